//! What the hand's movements cost: the settings.
//!
//! The unit is a hundredth of one leaf turned while nobody waits (weight 1). No published times for
//! turning the pages of an altar book were found; the defaults are a judgement and only their ratios
//! matter: a leaf < a pull at a ribbon < riffling through a bundle < searching the book.

use super::solve::Movement;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Costs in hundredths of one leaf turned under cover.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Costs {
    /// One leaf, turned by itself.
    pub leaf: u32,
    /// Taking a bundle of leaves at once.
    pub bundle: u32,
    /// Each leaf in a bundle, for coming out beside the page.
    pub leaf_in_bundle: u32,
    /// Finding a page in the closed book; no walk costs more.
    pub search: u32,
    /// Opening the book at a ribbon.
    pub pull: u32,
    /// Opening the book at a tab.
    pub tab: u32,
    /// Taking the second of several permitted texts instead of the first, the third instead of the
    /// second, and so on.
    pub other_text: u32,
    /// Moving a ribbon between two Masses.
    pub relay: u32,
}

impl Default for Costs {
    fn default() -> Self {
        Costs {
            leaf: 100,
            bundle: 300,
            leaf_in_bundle: 20,
            search: 1000,
            pull: 150,
            tab: 250,
            other_text: 50,
            relay: 100,
        }
    }
}

/// The longest table of a walk: more leaves than any book has.
const MOST_LEAVES: u32 = 2_000;

impl Costs {
    /// Cost of turning `leaves` leaves: one by one, in a bundle, or by a search, whichever is least. A
    /// minimum of functions that are affine and never fall, so it never falls and is concave.
    pub fn walk(&self, leaves: u32) -> u32 {
        let one_by_one = self.leaf.saturating_mul(leaves);
        let bundled = self.bundle.saturating_add(self.leaf_in_bundle.saturating_mul(leaves));
        one_by_one.min(bundled).min(self.search)
    }

    /// The table for the solver, up to where the walk reaches the search. `None` never happens, since
    /// the walk is concave whatever the settings.
    pub fn movement(&self) -> Option<Movement> {
        let mut walk = vec![0];
        for leaves in 1..MOST_LEAVES {
            walk.push(self.walk(leaves));
            if self.walk(leaves) == self.search {
                break;
            }
        }
        Movement::new(walk, self.pull)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_settings_give_a_walk_that_the_solver_takes() {
        let odd = [
            Costs::default(),
            Costs { leaf: 0, ..Costs::default() },
            Costs { bundle: 0, leaf_in_bundle: 0, ..Costs::default() },
            Costs { search: 0, ..Costs::default() },
            Costs { leaf: u32::MAX, bundle: u32::MAX, search: u32::MAX, ..Costs::default() },
            Costs { leaf: 1, leaf_in_bundle: 700, search: 900_000, ..Costs::default() },
        ];
        for costs in odd {
            assert!(costs.movement().is_some(), "{costs:?}");
        }
    }

    #[test]
    fn the_walk_by_default() {
        let costs = Costs::default();
        assert_eq!(
            [0, 1, 3, 4, 10, 35, 700].map(|d| costs.walk(d)),
            [0, 100, 300, 380, 500, 1000, 1000]
        );
    }
}
