//! Which solemn blessing fits a Mass.
//!
//! The collection after the concluding rites; always optional (Order of Mass 142, GIRM 167).

use super::formulary::Formulary;
use super::mass::Mass;
use crate::calendar::Season;
use crate::place::Place;

/// Blessings that fit, the best first; never empty.
pub(super) fn fitting(mass: &Mass, formulary: Option<&Formulary>) -> Vec<Place> {
    if let Some(formulary) = formulary.filter(|f| !f.blessings.is_empty()) {
        return formulary.blessings.clone();
    }
    let names: &[&str] = match mass.day.season {
        _ if mass.is_for_the_dead() => &["dead"],
        _ if mass.commons.iter().any(|c| c.is_under("common/mary")) => &["mary"],
        _ if mass.commons.iter().any(|c| c.is_under("common/dedication")) => &["dedication"],
        _ if mass.asked.is_under("saints") => &["all-saints"],
        Season::Advent => &["advent"],
        Season::Christmas => &["nativity"],
        Season::Lent => &["passion"],
        Season::Triduum | Season::Easter => &["easter"],
        Season::Ordinary => {
            &["ordinary-1", "ordinary-2", "ordinary-3", "ordinary-4", "ordinary-5", "ordinary-6"]
        }
    };
    names.iter().filter_map(|n| Place::new(&format!("order/blessing/{n}"))).collect()
}
