//! The altar missal as its outline describes it: titles, what is printed with a Mass, and how far into
//! a Mass a text usually begins.

use super::Candidate;
use super::formulary::Part;
use crate::Result;
use crate::book::{Outline, OutlinePlace};
use crate::language::Titles;
use crate::place::Place;

/// The shipped outline of the altar missal.
#[derive(Clone, Copy)]
pub(super) struct Missal(&'static Outline);

impl Missal {
    pub(super) fn shipped() -> Result<Self> {
        Outline::shipped("roman-missal-3").map(Missal)
    }

    pub(super) fn outline(self) -> &'static Outline {
        self.0
    }

    pub(super) fn knows(self, place: &Place) -> bool {
        self.0.get(place).is_some()
    }

    /// The outline's title, or the path where it has none.
    pub(super) fn title(self, place: &Place) -> Titles {
        match self.0.get(place) {
            Some(known) => known.title.clone(),
            None => Titles { en: place.to_string(), ..Titles::default() },
        }
    }

    pub(super) fn candidate(self, place: Place) -> Candidate {
        Candidate { title: self.title(&place), pages_in: 0, place }
    }

    /// `part` of the Mass at `place`, with the pages that usually lie between them.
    pub(super) fn part(self, place: Place, part: Part) -> Candidate {
        let pages_in = self.pages_in(&place, part);
        Candidate { title: self.title(&place), pages_in, place }
    }

    /// Where a text begins in a Mass as altar editions lay it out: Collect first, the Prayer over the
    /// Offerings before the middle, then the preface if one is printed, the Prayer after Communion and
    /// the prayer over the people last. The shares are a judgement on that layout, not measured.
    fn pages_in(self, place: &Place, part: Part) -> u16 {
        let Some(at) = self.0.position(place) else { return 0 };
        let own = self.0.places.get(at).map_or(0.0, |p| p.pages);
        let after = self.0.places.get(at + 1).filter(|p| is_preface(p)).map_or(0.0, |p| p.pages);
        let pages = match part {
            Part::Entrance | Part::Collect => 0.0,
            Part::Rite => 0.35 * own,
            Part::Offerings => 0.4 * own,
            Part::Communion => 0.75 * (own + after),
            Part::AfterCommunion => 0.8 * (own + after),
            Part::OverPeople => 0.9 * (own + after),
        };
        pages as u16
    }

    /// The middle of a long text.
    pub(super) fn middle(self, place: Place) -> Candidate {
        let pages = self.0.get(&place).map_or(0.0, |p| p.pages);
        Candidate { title: self.title(&place), pages_in: (0.5 * pages) as u16, place }
    }

    /// Whether a preface stands at `place`: one of the collection, one printed with a Mass, or that of
    /// a Eucharistic Prayer.
    pub(super) fn has_preface(self, place: &Place) -> bool {
        let path = place.as_str();
        let collected = path.starts_with("order/preface/") || path.starts_with("order/prayer/");
        self.0.get(place).is_some_and(|known| collected || is_preface(known))
    }

    /// The prefaces printed with the Mass at `place`, or with the celebration it is a form of.
    pub(super) fn own_prefaces(self, place: &Place) -> Vec<Place> {
        let under = |base: &str| -> Vec<Place> {
            let of_base = |p: &&OutlinePlace| {
                is_preface(p) && p.place.as_str().rsplit_once('/').is_some_and(|(b, _)| b == base)
            };
            self.0.places.iter().filter(of_base).map(|p| p.place.clone()).collect()
        };
        let own = under(place.as_str());
        match place.as_str().rsplit_once('/') {
            Some((parent, _)) if own.is_empty() && self.is_divided(parent) => under(parent),
            _ => own,
        }
    }

    /// Whether `base` is only the heading over several Masses.
    fn is_divided(self, base: &str) -> bool {
        self.0.places.iter().any(|p| p.place.as_str() == base && p.pages == 0.0)
    }
}

fn is_preface(place: &OutlinePlace) -> bool {
    place.place.as_str().rsplit('/').next().is_some_and(|step| step.starts_with("preface"))
        && !place.place.is_under("order")
}
