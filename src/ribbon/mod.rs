//! Needs found in books become a plan: which ribbon at which page, each movement of the hand, and the
//! proof that no other laying costs less.
//!
//! [`solve`] is the optimum, in integers; [`costs`] the settings, [`calibrate`] gets them from a clock; `stop` and `found` look the needs up in the
//! books; `plan` puts it together; `colours` and `hand` give each ribbon its text and the hand its
//! movements; `thumb` is what people do without; `deeds` counts what the hand does. `week` looks over several services.

pub mod calibrate;
pub mod costs;
pub mod solve;

mod apart;
mod bound;
mod colours;
mod deeds;
mod found;
mod hand;
mod leaves;
mod notice;
mod plan;
mod row;
mod stop;
mod thumb;
mod week;

pub use deeds::{Change, Deeds, FEW_LEAVES, OtherNumber, Way as Reached};
pub use notice::Notice;
pub use plan::{plan, plan_table};
pub use stop::{OnTable, as_planned};
pub use week::{LaidMass, Occasion, Week, plan_week};

use crate::book::PageState;
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
    /// Name of the book; empty where no book has it.
    pub book: String,
    /// Page label where the text begins; where it is reckoned the pages it lies among, "≈ 380–420"; none where
    /// no book has it.
    pub page: Option<String>,
    /// How the page is known.
    #[serde(default)]
    pub state: PageState,
    /// Pages between the first page of the place and `page`, by the usual layout of a Mass.
    #[serde(default)]
    pub pages_in: u16,
    /// First and last page where the page is only estimated or doubtful.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval: Option<(String, String)>,
    /// The page that the rest of the book speaks for, where that is not the one printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reckoned: Option<String>,
    /// A person must look at the page.
    pub doubt: bool,
    /// Where the book stands.
    pub stand: Stand,
    /// How bad a search is here, 1–5; 0 for a text known by heart.
    pub weight: u8,
    /// It may be left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub optional: bool,
    /// No ribbon is laid for its sake.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub no_ribbon: bool,
    /// Where to look for the page by eye, where it is far from the last one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub landmark: Option<Landmark>,
    /// Why this text.
    pub reason: String,
    /// Texts that may be taken instead, nearest first in what the rules prefer.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<Other>,
    /// How the hand gets there.
    pub hand: Move,
}

/// A text that may be taken instead.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Other {
    /// What it is.
    pub text: Titles,
    /// Its page.
    pub page: String,
}

/// The ribbon nearest to a page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Landmark {
    /// Which ribbon, as named in the plan.
    pub ribbon: String,
    /// The page lies before it; otherwise after it.
    pub before: bool,
}

/// How the hand gets to a stop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "move")]
pub enum Move {
    /// The book was laid open there before the service.
    LaidOpen,
    /// The book already lies open there.
    Stay,
    /// Leaf on from the text before.
    Leaf {
        /// Leaves turned, negative towards the front.
        leaves: i32,
    },
    /// Open at a ribbon, then leaf from it.
    Pull {
        /// Which ribbon, as named in the plan.
        ribbon: String,
        /// Leaves turned after, 0 where the ribbon lies at the opening.
        leaves: i32,
    },
    /// Open at a tab, then leaf from it.
    Tab {
        /// What is written on it.
        tab: String,
        /// Leaves turned after.
        leaves: i32,
    },
    /// Find the page in the closed book.
    Search,
    /// Recited by heart, the book is not moved.
    ByHeart,
    /// Read from a sheet, as was asked for.
    OnSheet,
    /// Never read from the altar book, but from this.
    From {
        /// "From the lectionary".
        what: Titles,
    },
    /// No book on the table has it.
    NotHere,
}

/// A ribbon's place in the plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Laid {
    /// Its colour, with its number from the spine where the copy has several of it.
    pub ribbon: String,
    /// Its number from the spine, from 1.
    pub number: usize,
    /// Name of the book.
    pub book: String,
    /// Page label it lies at; where it is reckoned the pages it lies among, "≈ 380–420".
    pub page: String,
    /// How the page is known.
    #[serde(default)]
    pub state: PageState,
    /// The text there.
    pub place: Place,
    /// The text's title.
    pub text: Titles,
    /// A person must look at the page.
    pub doubt: bool,
}

/// A text worth copying onto a sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// The text.
    pub text: Titles,
    /// Its page.
    pub page: String,
    /// What it saves.
    pub saves: u64,
}

/// A usual way to lay the ribbons, and what it costs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RuleOfThumb {
    /// What it does.
    pub rule: Titles,
    /// What it costs.
    pub cost: u64,
}

/// Prices from which the lower bound follows by additions; see [`solve::dual`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Proof {
    /// Name of the book.
    pub book: String,
    /// Price of a ribbon.
    pub ribbon_price: u64,
    /// The share of each text read from this book, in the order of the service.
    pub shares: Vec<Share>,
}

/// What one text must cost at least, before the ribbons' refunds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// The moment.
    pub moment: String,
    /// Its opening.
    pub opening: i32,
    /// Its weight.
    pub weight: u16,
    /// Its cost without a ribbon, before the weight.
    pub unaided: u32,
    /// Its share.
    pub share: u64,
}

/// Where the ribbons go and what it is worth. Costs are in hundredths of one leaf turned under cover.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// In the order of the service, each with its movement.
    pub stops: Vec<Stop>,
    /// The ribbons laid, from the spine; fewer than there are where one more would save nothing.
    pub ribbons: Vec<Laid>,
    /// Ribbons that were to be had.
    pub available: usize,
    /// Cost of the plan.
    pub cost: u64,
    /// No plan with as many ribbons costs less than this.
    pub lower_bound: u64,
    /// What keeping two ribbons from lying within a leaf of each other costs; within `cost`.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub apart: u64,
    /// What one more ribbon would save.
    pub saved_by_one_more: u64,
    /// What the plan would cost with one ribbon fewer.
    pub cost_with_one_fewer: u64,
    /// Cost without any ribbon.
    pub cost_without: u64,
    /// What one more ribbon would change.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub one_more: Option<OtherNumber>,
    /// What one ribbon fewer would change.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub one_fewer: Option<OtherNumber>,
    /// The text to copy onto a sheet, if that saves anything.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheet: Option<Sheet>,
    /// The usual ways to lay as many ribbons.
    pub rules_of_thumb: Vec<RuleOfThumb>,
    /// Prices that prove the plan for the texts chosen, one for each book.
    pub proofs: Vec<Proof>,
    /// What a person should know.
    pub notices: Vec<Notice>,
}

fn is_zero(n: &u64) -> bool {
    *n == 0
}
