//! The words that say what a number beside them is: a file of data, `src/data/reading/words.json`.

use crate::format::{Format, Source, parse};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;
use std::sync::OnceLock;

/// Words by what they say, in lower case and in all languages together, short forms without their point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// Where they come from.
    pub source: Source,
    /// Names of months.
    pub months: Vec<String>,
    /// Names of the days of the week.
    pub weekdays: Vec<String>,
    /// What stands before the number of a page: "p", "seite".
    pub page_marks: Vec<String>,
    /// What stands before a reference: "see", "vide".
    pub see: Vec<String>,
    /// Ranks of celebrations.
    pub ranks: Vec<String>,
}

impl Format for Words {
    const NAME: &'static str = "vitta reading words";
    const VERSION: u32 = 1;
}

impl Words {
    /// The shipped ones; none where the file is at fault, which a test would have found, and which only loses hints.
    pub fn shipped() -> Option<&'static Words> {
        static WORDS: OnceLock<Option<Words>> = OnceLock::new();
        let file = include_str!("../data/reading/words.json");
        WORDS.get_or_init(|| parse(file, Path::new("words.json")).ok()).as_ref()
    }
}
