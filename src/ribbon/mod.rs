//! Needs found in books become a plan: which ribbon at which page, each movement of the hand, and the
//! proof that no other laying costs less.

pub mod solve;

use crate::language::Titles;
use crate::order::Stand;
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A need found in a book.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// The moment of the service.
    pub moment: String,
    /// What the moment is called on the card.
    pub title: Titles,
    /// What the text is: "Preface I of Lent".
    pub text: Titles,
    /// Its place.
    pub place: Place,
    /// Name of the book.
    pub book: String,
    /// Page label.
    pub page: String,
    /// First and last page where the page is only estimated or doubtful.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval: Option<(String, String)>,
    /// Number of the opening: positions 2n and 2n+1 are seen together.
    pub opening: i32,
    /// Where the book stands.
    pub stand: Stand,
    /// How bad a search is here, 1–5; 0 for a text known by heart.
    pub weight: u8,
    /// Why this text.
    pub reason: String,
}

/// How the hand gets to a stop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "move")]
pub enum Move {
    /// The book already lies open there.
    Stay,
    /// Leaf on from the opening before.
    Leaf {
        /// Leaves turned, negative towards the front.
        leaves: i32,
    },
    /// Pull a ribbon, then leaf from it.
    Pull {
        /// Which ribbon, 0 nearest the spine's first.
        ribbon: usize,
        /// Leaves turned after, 0 where the ribbon lies at the opening.
        leaves: i32,
    },
    /// Recited by heart, the book is not moved.
    ByHeart,
}

/// A ribbon's place in the plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Laid {
    /// Index among the copy's ribbons, from the spine.
    pub ribbon: usize,
    /// Its colour.
    pub colour: String,
    /// Page label it lies at.
    pub page: String,
    /// The text there.
    pub place: Place,
    /// The text's title.
    pub text: Titles,
}

/// Where the ribbons go and what it is worth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// In the order of the service.
    pub stops: Vec<Stop>,
    /// One for each stop.
    pub moves: Vec<Move>,
    /// The ribbons laid; fewer than the copy has where one more would save nothing.
    pub ribbons: Vec<Laid>,
    /// Cost of the plan, in hundredths of one leaf turned under cover.
    pub cost: u64,
    /// No plan with as many ribbons costs less than this.
    pub lower_bound: u64,
    /// What one more ribbon would save.
    pub saved_by_one_more: u64,
    /// Cost without any ribbon.
    pub cost_without: u64,
    /// What a person should know.
    pub notices: Vec<String>,
}
