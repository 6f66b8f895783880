//! What can be chosen by its title: Masses and texts of the altar missal.

use super::missal::Missal;
use super::orders::shipped;
use super::prayer::PRAYERS;
use super::printed::formulary_of;
use super::service_order::Step;
use crate::Result;
use crate::language::Titles;
use crate::place::Place;

/// A Mass or text with its title.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Its address.
    pub place: Place,
    /// Its title.
    pub title: Titles,
}

/// What is to be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A Mass.
    Mass,
    /// A preface.
    Preface,
    /// A Eucharistic Prayer.
    Prayer,
    /// A solemn blessing or a prayer over the people.
    Blessing,
    /// Any heading of the missal: a section, a text.
    Heading,
    /// A moment of a service; its address is its name.
    Moment,
}

/// All of a kind, in the order of the missal.
///
/// # Errors
/// If the shipped outline cannot be read.
pub fn texts(kind: Kind) -> Result<Vec<Named>> {
    if kind == Kind::Moment {
        return moments();
    }
    let missal = Missal::shipped()?;
    let under = |place: &Place, roots: &[&str]| roots.iter().any(|r| place.is_under(r));
    let is = |place: &Place| {
        let last = place.as_str().rsplit('/').next().unwrap_or("");
        match kind {
            Kind::Mass => {
                let piece = last.starts_with("preface") || last.contains("blessing");
                let roots = ["time", "saints", "common", "ritual", "needs", "votive", "dead"];
                under(place, &roots) && !piece
            }
            Kind::Preface => {
                missal.has_preface(place)
                    && (!place.is_under("order/prayer") || last.contains("preface"))
            }
            Kind::Prayer => PRAYERS.contains(&place.as_str()),
            Kind::Blessing => under(place, &["order/blessing", "order/people"]),
            Kind::Heading => true,
            Kind::Moment => false,
        }
    };
    let heads = |pages: f64| pages > 0.0 || kind == Kind::Heading;
    let all = missal.outline().places.iter().filter(|p| heads(p.pages) && is(&p.place));
    Ok(all.map(|p| Named { place: p.place.clone(), title: p.title.clone() }).collect())
}

/// The Masses of a celebration besides the one that it is usually: at the vigil, at dawn.
///
/// # Errors
/// If the shipped outline or formularies cannot be read.
pub fn masses_of(celebration: &Place) -> Result<Vec<Named>> {
    let missal = Missal::shipped()?;
    let Some(formulary) = formulary_of(celebration, None)? else { return Ok(vec![]) };
    let all = formulary.vigil.iter().chain(&formulary.extended_vigil).chain(&formulary.masses);
    Ok(all.map(|p| Named { place: p.clone(), title: missal.title(p) }).collect())
}

/// The moments of all orders of service, each once under each of its titles.
fn moments() -> Result<Vec<Named>> {
    let mut all: Vec<Named> = vec![];
    for step in shipped()?.iter().flat_map(|order| &order.steps) {
        let Step::Moment(moment) = step else { continue };
        let Some(place) = Place::new(&moment.moment) else { continue };
        let named = Named { place, title: moment.title.clone() };
        if !all.contains(&named) {
            all.push(named);
        }
    }
    Ok(all)
}
