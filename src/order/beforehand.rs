//! The texts a priest prays through in the sacristy before Mass.
//!
//! The prayers of preparation and thanksgiving stand at the back of the missal (GIRM has no number for
//! them; from memory of the book's appendix); the others are those of the service that change from day
//! to day.

use super::missal::Missal;
use super::{Need, Service, Stand};
use crate::Result;
use crate::language::Titles;
use crate::place::Place;

/// Moments whose text is worth reading beforehand: proper to the day, spoken by the priest.
const MOMENTS: [&str; 7] = [
    "collect",
    "offerings",
    "preface",
    "inserts",
    "after-communion",
    "over-people",
    "solemn-blessing",
];

/// The texts to read before `service`: the prayers of preparation, what is proper to the day in order,
/// the prayers of thanksgiving.
pub fn beforehand(service: &Service) -> Result<Vec<Need>> {
    let missal = Missal::shipped()?;
    let proper = service.needs.iter().filter(|n| MOMENTS.contains(&n.moment.as_str()));
    let before = private("preparation-for-mass", "appendix/preparation", missal);
    let after = private("thanksgiving", "appendix/thanksgiving", missal);
    Ok(before.into_iter().chain(proper.cloned()).chain(after).collect())
}

fn private(moment: &str, place: &str, missal: Missal) -> Option<Need> {
    let candidate = missal.candidate(Place::new(place)?);
    let title: Titles = candidate.title.clone();
    Some(Need {
        moment: moment.into(),
        title,
        places: vec![candidate],
        stand: Stand::Sacristy,
        weight: 1,
        reason: "private prayer, at the priest’s choice; appendix of the missal".into(),
        by_heart: false,
        from: None,
        on_sheet: false,
        no_ribbon: false,
        optional: false,
        together: None,
    })
}
