//! A plan becomes a card, laid out once; the writers only write it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The card for the sacristy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// The date in words.
    pub date: String,
    /// What is celebrated.
    pub celebration: String,
    /// Rank, colour, season.
    pub particulars: String,
    /// What gives way and what may be chosen.
    pub reasons: Vec<String>,
    /// Name of the book.
    pub book: String,
    /// Ribbons to lay.
    pub ribbons: Vec<RibbonLine>,
    /// Order of the service.
    pub steps: Vec<Step>,
    /// What needs a look or a choice.
    pub notices: Vec<String>,
    /// The diocese's directory prevails; the priest decides.
    pub caution: String,
}

/// One ribbon on the card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RibbonLine {
    /// Its colour, named.
    pub colour: String,
    /// The page.
    pub page: String,
    /// The text there.
    pub text: String,
}

/// One moment on the card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// The moment.
    pub moment: String,
    /// The text.
    pub text: String,
    /// The page.
    pub page: String,
    /// The movement of the hand.
    pub hand: String,
    /// A person must look.
    pub doubt: bool,
}
