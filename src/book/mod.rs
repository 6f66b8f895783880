//! Rows and an outline become a book: the map from places to pages, with what it knows of each.

mod outline;
mod titles;

pub use outline::{Outline, OutlinePlace};

use crate::format::{Format, Source};
use crate::language::Language;
use crate::place::Place;
use crate::text::{Alternative, Strip};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a place's page is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// Read, and everything else agrees.
    Read,
    /// Read, but another page fits better and is given.
    Mended,
    /// A person must look.
    Doubtful,
    /// Nobody read it; the interval says how far to trust it.
    Estimated,
    /// A person said so.
    Confirmed,
    /// Not in this book.
    Absent,
}

/// One place of a book.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its address.
    pub place: Place,
    /// Title as the book or its outline has it.
    pub title: String,
    /// Page label; none where absent.
    pub page: Option<String>,
    /// How it is known.
    pub state: State,
    /// Probability that `page` is right, 0–1.
    pub probability: f64,
    /// First and last page label of the 95 % interval, where the page is not certain.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval: Option<(String, String)>,
    /// What was read, from which photographs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
}

/// One reading of a place's page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Evidence {
    /// Title as printed.
    pub title: String,
    /// Ways to read the label, likeliest first.
    pub alternatives: Vec<Alternative>,
    /// Where it stands.
    pub strip: Strip,
}

/// A ribbon of this copy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ribbon {
    /// Its colour in the user's words: "red", "gold".
    pub colour: String,
}

/// An edition's page map and the ribbons of this copy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Book {
    /// Where the map comes from.
    pub source: Source,
    /// Name on the shelf.
    pub name: String,
    /// Language of the titles.
    pub language: Language,
    /// Outline it was matched to; none for a book of another kind.
    pub outline: Option<String>,
    /// What is added to an arabic page number to get its place in the leaf order; even positions
    /// are versos (left pages).
    #[serde(default)]
    pub offset: i32,
    /// Ribbons in order from the spine.
    pub ribbons: Vec<Ribbon>,
    /// Places in the order of the book.
    pub entries: Vec<Entry>,
    /// What a person should know.
    #[serde(default)]
    pub notices: Vec<String>,
}

impl Format for Book {
    const NAME: &'static str = "vitta book";
    const VERSION: u32 = 1;
}
