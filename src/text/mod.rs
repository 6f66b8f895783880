//! A flattened page becomes rows: printed title, page label, and how far to trust them.

mod accent;
mod beside;
mod column;
mod crop;
mod crossref;
mod edge;
mod engine;
pub mod figure;
mod glyphs;
mod ink;
mod kept;
mod label;
mod leaders;
mod leaves;
mod level;
mod limit;
mod line;
mod lone;
mod mend;
mod number;
mod ordinal;
mod page;
mod rows;
mod show;
mod split;
mod straighten;
mod strip;
mod style;
mod tongue;
mod trust;
mod words;

pub use kept::Readings;
pub use show::show;

use crate::Result;
use crate::geom::Rect;
use crate::language::Language;
use crate::photo::Page;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One printed entry of a contents page, list or index.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Title as printed, wrapped lines joined.
    pub title: String,
    /// Page label as printed ("512", "xiv"); none for a heading without page.
    pub page: Option<String>,
    /// All page labels where the entry names several ("503, 505-507").
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pages: Vec<String>,
    /// Depth of the entry by its indent and type, 1 the outermost.
    pub level: u8,
    /// Column on the page, 1 the leftmost.
    pub column: u8,
    /// Other ways to read `page`, with weights that sum to at most 1, `page` itself first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub alternatives: Vec<Alternative>,
    /// Probability that `page` (or its absence) is what is printed, 0–1.
    pub probability: f64,
    /// A person must look.
    pub doubt: bool,
    /// Where the entry stands.
    pub strip: Strip,
}

/// One way to read a page label.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Alternative {
    /// The label.
    pub page: String,
    /// Its weight, 0–1.
    pub weight: f64,
}

/// A box on a photograph.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Strip {
    /// Base name of the photograph.
    pub photo: String,
    /// The box, in pixels of the photograph after its EXIF orientation.
    pub area: Rect,
}

/// A cross-reference printed on a day's page: "Preface …, pp. 512-515".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CrossReference {
    /// What is referred to, as printed.
    pub label: String,
    /// Page labels as printed.
    pub pages: Vec<String>,
    /// A person must look.
    pub doubt: bool,
}

/// All that was read on one photograph.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Base name of the photograph.
    pub file: String,
    /// Rows in reading order: left page first, left column first.
    pub rows: Vec<Row>,
    /// References found on day pages.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub crossrefs: Vec<CrossReference>,
    /// What a person should know.
    pub notices: Vec<String>,
}

/// Reads the pages of one photograph. `language` is guessed where it is not given.
pub fn read(file: &str, pages: &[Page], language: Option<Language>) -> Result<Reading> {
    let read: Result<Vec<page::ReadPage>> =
        pages.par_iter().map(|p| page::read(p, language)).collect();
    let mut reading = Reading {
        file: file.to_owned(),
        rows: Vec::new(),
        crossrefs: Vec::new(),
        notices: Vec::new(),
    };
    for (page, found) in pages.iter().zip(read?) {
        reading.notices.extend(page.notices.iter().cloned());
        reading.rows.extend(found.rows);
        reading.crossrefs.extend(found.crossrefs);
        reading.notices.extend(found.notices);
    }
    Ok(reading)
}
