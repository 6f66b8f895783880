//! Which prefaces a Mass may have.
//!
//! The Mass's own; else those its heading names; else the season's; else those of the Sundays or the
//! common ones. Rules: the headings and rubrics of the prefaces (Order of Mass 33–82); GIRM 364 only says that
//! there are many.

use super::commons;
use super::formulary::{Binding, Formulary};
use super::mass::{Mass, MassKind};
use super::missal::Missal;
use super::service_order::Assigned;
use crate::calendar::{After, Rank, Season};
use crate::place::Place;
use chrono::{Datelike, NaiveDate};

/// The prefaces that may be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Allowed {
    /// Offered, the usual one first.
    pub(super) places: Vec<Place>,
    /// Permitted besides, but not what the Mass looks for.
    pub(super) besides: Vec<Place>,
    pub(super) bound: Bound,
    pub(super) reason: String,
}

/// How firmly a preface is prescribed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bound {
    /// The Mass has a preface of its own.
    Day,
    /// The season has one.
    Season,
    /// None is prescribed.
    Free,
}

impl Allowed {
    fn new(bound: Bound, names: &[&str], reason: &str) -> Self {
        let places =
            names.iter().filter_map(|n| Place::new(&format!("order/preface/{n}"))).collect();
        Allowed { places, besides: vec![], bound, reason: reason.to_owned() }
    }

    /// Whether no rule forbids `preface`.
    pub(super) fn permits(&self, preface: &Place) -> bool {
        self.places.contains(preface) || self.besides.contains(preface)
    }
}

/// The prefaces of `mass`.
pub(super) fn allowed(
    mass: &Mass,
    formulary: Option<&Formulary>,
    assigned: Option<&Assigned>,
    missal: Missal,
) -> Allowed {
    if let Some(assigned) = assigned {
        let bound = if assigned.obligatory { Bound::Day } else { Bound::Season };
        let reason = assigned.reason.clone();
        let places = assigned.places.clone();
        return Allowed { places, besides: vec![], bound, reason };
    }
    if mass.is_for_the_dead() {
        let names = ["dead-1", "dead-2", "dead-3", "dead-4", "dead-5"];
        return Allowed::new(Bound::Day, &names, "Order of Mass 78–82: in Masses for the Dead");
    }
    match formulary.and_then(|f| f.prefaces_on(mass.day)) {
        Some(named) => {
            let mut allowed = by_heading(mass, named.binding, &named.places);
            allowed.besides.extend(with_another_gospel(formulary));
            allowed
        }
        None => own(mass, missal).unwrap_or_else(|| by_common(mass)),
    }
}

/// For a saint whose Mass no formulary is known of: the prefaces of the class that the Commons name.
fn by_common(mass: &Mass) -> Allowed {
    let named = commons::prefaces(&mass.commons);
    match mass.collect.is_none() && !named.is_empty() {
        true => of_a_class(mass, named),
        false => of_the_time(mass),
    }
}

/// The prefaces of a class of saints. Their rubrics: they are said on solemnities and feasts, and may be
/// said on memorials; those of the Blessed Virgin Mary are said in her Masses (Order of Mass 62–71).
fn of_a_class(mass: &Mass, named: Vec<Place>) -> Allowed {
    let of_mary = named.iter().all(|p| p.as_str().starts_with("order/preface/mary"));
    let reason = match (of_mary, mass.is_festive()) {
        (true, _) => "Order of Mass 62–63: in Masses of the Blessed Virgin Mary",
        (_, true) => "Order of Mass 64–71: the preface of the class, on solemnities and feasts",
        _ => return suggested(named, of_the_time(mass)),
    };
    Allowed { places: named, besides: vec![], bound: Bound::Day, reason: reason.into() }
}

fn is_common(preface: &Place) -> bool {
    preface.as_str().starts_with("order/preface/common")
}

/// Whether a preface is one of the collection for a class of saints.
fn is_of_a_class(preface: &Place) -> bool {
    let name = preface.as_str().strip_prefix("order/preface/").unwrap_or_default();
    ["mary", "apostles", "saints", "martyrs", "pastors", "virgins"]
        .iter()
        .any(|class| name.starts_with(class))
}

/// Prefaces that go with the Gospel of one year, which may be read in every year.
fn with_another_gospel(formulary: Option<&Formulary>) -> Vec<Place> {
    let of_a_year = formulary.iter().flat_map(|f| &f.prefaces).filter(|p| p.cycle.is_some());
    of_a_year.flat_map(|p| p.places.clone()).collect()
}

/// The prefaces printed with the Mass.
fn own(mass: &Mass, missal: Missal) -> Option<Allowed> {
    let places = missal.own_prefaces(&mass.place);
    let reason = "the Mass has a preface of its own".to_owned();
    (!places.is_empty()).then_some(Allowed { places, besides: vec![], bound: Bound::Day, reason })
}

/// The prefaces a heading names, with the season's beside them where it only suggests.
fn by_heading(mass: &Mass, binding: Binding, named: &[Place]) -> Allowed {
    let time = of_the_time(mass);
    let places = named.to_vec();
    match binding {
        Binding::Assigned => Allowed {
            places,
            besides: vec![],
            bound: Bound::Day,
            reason: "assigned by the heading of this Mass".into(),
        },
        Binding::Season => Allowed { places, ..time },
        // A season's preface is said in its Masses without one of their own: the common ones then are not.
        Binding::Choice if time.bound == Bound::Season && named.iter().all(is_common) => time,
        Binding::Choice if named.iter().all(is_of_a_class) => of_a_class(mass, places),
        // What is printed with another day, as Saint Joseph's, is his on every feast.
        Binding::Choice if mass.is_festive() && named.iter().all(is_printed_with_a_day) => {
            Allowed { places, besides: vec![], bound: Bound::Day, reason: OF_THE_FEAST.into() }
        }
        Binding::Choice if named.iter().all(|p| time.places.contains(p)) => {
            Allowed { places, ..time }
        }
        Binding::Choice => suggested(places, time),
    }
}

const OF_THE_FEAST: &str = "named by the heading of this Mass";

/// Whether a preface is printed with a day, not in the collection of the Order of Mass.
fn is_printed_with_a_day(preface: &Place) -> bool {
    preface.is_under("saints") || preface.is_under("time")
}

/// Prefaces that fit a Mass, beside those of the time: a season's are offered with them, the common
/// ones only permitted.
fn suggested(mut places: Vec<Place>, time: Allowed) -> Allowed {
    let others = time.places.into_iter().filter(|p| !places.contains(p)).collect();
    let reason = format!("named by the heading of this Mass as fitting; or {}", time.reason);
    let besides = match time.bound {
        Bound::Free => others,
        Bound::Day | Bound::Season => {
            places.extend(others);
            vec![]
        }
    };
    Allowed { places, besides, bound: time.bound, reason }
}

/// The prefaces of the season, or in Ordinary Time of the Sundays and the common ones.
fn of_the_time(mass: &Mass) -> Allowed {
    let sunday = mass.rank == Rank::Sunday && mass.kind == MassKind::OfTheDay;
    match mass.day.season {
        Season::Advent => advent(mass.day.date),
        Season::Christmas => christmas(mass.day.after),
        Season::Lent => lent(mass, sunday),
        Season::Triduum => {
            Allowed::new(Bound::Season, &["easter-1"], "Order of Mass 45: from the Easter Vigil")
        }
        Season::Easter => easter(mass),
        Season::Ordinary if sunday => Allowed::new(
            Bound::Free,
            &[
                "sundays-1",
                "sundays-2",
                "sundays-3",
                "sundays-4",
                "sundays-5",
                "sundays-6",
                "sundays-7",
                "sundays-8",
            ],
            "Order of Mass 52–59: any of the eight on Sundays in Ordinary Time",
        ),
        Season::Ordinary => Allowed::new(
            Bound::Free,
            &["common-1", "common-2", "common-3", "common-4", "common-5", "common-6"],
            "Order of Mass 72–77: Masses without a preface of their own or of a season",
        ),
    }
}

fn advent(date: NaiveDate) -> Allowed {
    if date.month() == 12 && date.day() >= 17 {
        return Allowed::new(
            Bound::Season,
            &["advent-2"],
            "Order of Mass 34: from 17 to 24 December",
        );
    }
    Allowed::new(Bound::Season, &["advent-1"], "Order of Mass 33: Advent to 16 December")
}

/// Before the Epiphany the three of the Nativity, after it that of the Epiphany too.
fn christmas(after: Option<After>) -> Allowed {
    let nativity = ["nativity-1", "nativity-2", "nativity-3"];
    if after == Some(After::Epiphany) {
        let after = ["epiphany", nativity[0], nativity[1], nativity[2]];
        return Allowed::new(
            Bound::Season,
            &after,
            "Order of Mass 38: Epiphany or Nativity until the Saturday before the Baptism of the Lord",
        );
    }
    Allowed::new(
        Bound::Season,
        &nativity,
        "Order of Mass 35–37: in Christmas Time, any of the three",
    )
}

fn lent(mass: &Mass, sunday: bool) -> Allowed {
    let holy_week = mass.asked.is_under("time/holy-week");
    match mass.day.week {
        _ if holy_week => Allowed::new(
            Bound::Season,
            &["passion-2"],
            "Order of Mass 44: Monday to Wednesday of Holy Week",
        ),
        _ if sunday => Allowed::new(
            Bound::Season,
            &["lent-1", "lent-2"],
            "Order of Mass 39–40: Sundays of Lent without a preface of their own",
        ),
        Some(5) => {
            Allowed::new(Bound::Season, &["passion-1"], "Order of Mass 43: fifth week of Lent")
        }
        _ => Allowed::new(
            Bound::Season,
            &["lent-1", "lent-2", "lent-3", "lent-4"],
            "Order of Mass 39–42: weekdays of Lent",
        ),
    }
}

fn easter(mass: &Mass) -> Allowed {
    let octave = mass.asked.is_under("time/easter/octave")
        || ["time/easter/sunday", "time/easter/week-2/sunday"].contains(&mass.asked.as_str());
    if octave {
        return Allowed::new(
            Bound::Season,
            &["easter-1"],
            "Order of Mass 45: Easter and its Octave",
        );
    }
    let all = ["easter-1", "easter-2", "easter-3", "easter-4", "easter-5"];
    if mass.day.after == Some(After::Ascension) {
        let after = ["ascension-1", "ascension-2", all[0], all[1], all[2], all[3], all[4]];
        return Allowed::new(
            Bound::Season,
            &after,
            "Order of Mass 45–51: Easter or Ascension until the Saturday before Pentecost",
        );
    }
    Allowed::new(Bound::Season, &all, "Order of Mass 45–49: in Easter Time, any of the five")
}
