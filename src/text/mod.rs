//! The print of a photograph becomes rows: printed title, page label, and how far to trust them.
//!
//! ```text
//! Print ─look→ lines read, parted into segments, weighed as a page ─entries, rows→ Reading
//! ```

mod chain;
mod entries;
mod hands;
mod kept;
mod kind;
pub mod label;
pub mod lattice;
pub mod layout;
mod led;
mod look;
mod numbers;
mod pairing;
pub mod recognise;
mod rows;
pub mod segment;
mod show;
mod witness;
mod words;

pub use entries::Entry;
pub use kept::Readings;
pub use look::{Look, look};
pub use show::{show, told};
pub use words::Words;

use crate::Result;
use crate::error::PhotoFault;
use crate::geom::Rect;
use crate::photo::{Photo, Print};
use layout::ListKind;
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

/// Letters lower than this are refused where they are hardly read, in pixels. Measured on two real pages of about 5
/// pixels, of which nothing right was read, and computed ones down to 8, which are read.
const LEAST_LETTER_PX: f32 = 7.0;
/// Mean certainty of the characters below which print so small cannot be read, and below which none can.
const HARDLY: f32 = 0.87;
const UNREADABLE: f32 = 0.7;

/// Refuses a photograph whose print cannot be read.
fn readable(photo: &Photo, look: &Look) -> Result<()> {
    let name = || photo.name.clone();
    if look.read.is_empty() {
        return Err(PhotoFault::NoText { photo: name() }.into());
    }
    let (certainty, letter_px) = (look.certainty(), look.letter_px());
    if letter_px < LEAST_LETTER_PX && certainty < HARDLY {
        let needed_px = LEAST_LETTER_PX + 1.0;
        return Err(
            PhotoFault::LettersTooSmall { photo: name(), found_px: letter_px, needed_px }.into()
        );
    }
    if certainty < UNREADABLE {
        return Err(PhotoFault::Blurred { photo: name(), letter_px, certainty }.into());
    }
    Ok(())
}

/// Reads the print of one photograph.
pub fn read(photo: &Photo, print: &Print) -> Result<Reading> {
    understood(photo, &look(&photo.image, print)?)
}

/// What was seen on a photograph, as rows and cross-references.
pub fn understood(photo: &Photo, look: &Look) -> Result<Reading> {
    witness::ready()?;
    readable(photo, look)?;
    let (mut rows, crossrefs) = rows::rows(&photo.name, &photo.image, look)?;
    let mut notices = Vec::new();
    if rows.iter().all(|r| r.page.is_none()) && crossrefs.is_empty() {
        notices.push("no page numbers found on this page".to_owned());
        if look.layout.likeliest() == Some(ListKind::None) {
            notices.push(
                "it looks like running text, not like a list; nothing was taken from it".to_owned(),
            );
            rows.clear();
        }
    }
    Ok(Reading { file: photo.name.clone(), rows, crossrefs, notices })
}
