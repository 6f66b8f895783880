//! What the hand does, counted: ribbons opened, leaves turned, pages looked for; and what another number of
//! ribbons would change in that.

use super::{Move, Plan, Stop};
use crate::language::Titles;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Leaves that a hand counts as it turns them; further on it looks for the page by its number. A judgement:
/// four are turned at a glance.
pub const FEW_LEAVES: u32 = 4;

/// The movements of a plan, counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deeds {
    /// Times that the book is opened at a ribbon.
    pub ribbons: u32,
    /// Times that it is opened at a tab.
    pub tabs: u32,
    /// Leaves turned one by one.
    pub leaves: u32,
    /// Pages looked for by their number.
    pub looked_for: u32,
}

/// How a page is come to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// At once: it lies open, or a ribbon or a tab lies there.
    AtOnce,
    /// By turning a few leaves.
    Leafing,
    /// By looking for its number.
    LookingFor,
}

/// A text come to in another way.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// What the moment is called on the card.
    pub title: Titles,
    /// How it is come to in the plan.
    pub from: Way,
    /// How it would be.
    pub to: Way,
}

/// What another number of ribbons would change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OtherNumber {
    /// The book whose ribbons they are.
    pub book: String,
    /// How many it then has.
    pub ribbons: usize,
    /// What the hand does then.
    pub deeds: Deeds,
    /// What is then come to better, of one more; worse, of one fewer.
    pub changes: Vec<Change>,
}

impl Deeds {
    /// Those of some stops.
    pub fn of(stops: &[Stop]) -> Self {
        stops.iter().fold(Deeds::default(), |mut sum, stop| {
            match stop.hand {
                Move::Pull { .. } => sum.ribbons += 1,
                Move::Tab { .. } => sum.tabs += 1,
                _ => {}
            }
            match way(&stop.hand) {
                Way::AtOnce => {}
                Way::Leafing => sum.leaves += leaves(&stop.hand),
                Way::LookingFor => sum.looked_for += 1,
            }
            sum
        })
    }

    /// Those of several plans together.
    pub fn of_all<'a>(plans: impl Iterator<Item = &'a Plan>) -> Self {
        plans.map(|p| Deeds::of(&p.stops)).fold(Deeds::default(), |a, b| Deeds {
            ribbons: a.ribbons + b.ribbons,
            tabs: a.tabs + b.tabs,
            leaves: a.leaves + b.leaves,
            looked_for: a.looked_for + b.looked_for,
        })
    }
}

fn leaves(hand: &Move) -> u32 {
    match hand {
        Move::Leaf { leaves } | Move::Pull { leaves, .. } | Move::Tab { leaves, .. } => {
            leaves.unsigned_abs()
        }
        _ => 0,
    }
}

fn way(hand: &Move) -> Way {
    match (hand, leaves(hand)) {
        (Move::Search, _) => Way::LookingFor,
        (_, 0) => Way::AtOnce,
        (_, 1..=FEW_LEAVES) => Way::Leafing,
        _ => Way::LookingFor,
    }
}

/// The texts come to better in `then` than in `now`, of the same service, or those come to worse; none where some
/// are better and some worse, as naming only the ones would mislead.
pub(super) fn changes(now: &[Stop], then: &[Stop], better: bool) -> Vec<Change> {
    let change = |(a, b): (&Stop, &Stop)| {
        let (from, to) = (way(&a.hand), way(&b.hand));
        (from != to).then(|| Change { title: a.title.clone(), from, to })
    };
    let all: Vec<Change> = now.iter().zip(then).filter_map(change).collect();
    let one_way = all.iter().all(|c| (c.to < c.from) == better);
    if one_way { all } else { vec![] }
}
