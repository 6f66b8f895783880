//! A plan becomes a card, laid out once; the writers only write it.
//!
//! [`lay_out`] puts everything into words, [`lay_out_server`] for the server, [`lay_out_week`] for the wall;
//! [`terminal`] writes them for a terminal; `sheet` and `wall` set them in type (`letters`) on paper for the
//! writers [`pdf`] and [`svg`]. [`Kind`] chooses the writer by a file's name.

mod beside;
mod day;
mod dye;
mod file;
mod layout;
mod letters;
pub mod pdf;
mod server;
mod sheet;
mod steps;
pub mod svg;
pub mod terminal;
mod wall;
mod week;
mod words;

pub use day::{DayPage, Elsewhere, day_page};
pub use dye::dye;
pub use file::Kind;
pub use layout::{lay_out, reasons};
pub use server::lay_out_server;
pub use sheet::Paper;
pub use week::{WeekCard, lay_out_week, week_text};
pub use words::{caution, particulars, particulars_of_mass, ribbon_name, stand};

use crate::language::Language;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The card for the sacristy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// The card's language.
    pub language: Language,
    /// The date in words.
    pub date: String,
    /// What is celebrated.
    pub celebration: String,
    /// Rank, colour, season.
    pub particulars: String,
    /// Names of the books.
    pub book: String,
    /// Where each book is laid open before the service.
    pub open_at: Vec<Line>,
    /// Ribbons to lay, from the spine.
    pub ribbons: Vec<Line>,
    /// Order of the service.
    pub steps: Vec<Step>,
    /// What needs a look or a choice.
    pub notices: Vec<String>,
    /// Why this day, what gives way and what may be chosen.
    pub reasons: Vec<String>,
    /// What the laying is worth.
    pub worth: Vec<String>,
    /// The headings, in the card's language.
    pub headings: Headings,
    /// The diocese's directory prevails; the priest decides.
    pub caution: String,
    /// It is read in the dark church of the Easter Vigil.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub dark: bool,
}

impl Card {
    /// The same for the evening of `date`, on which the day it belongs to begins.
    pub fn on_the_evening_of(self, date: NaiveDate) -> Card {
        Card { date: week::when_in_full(date, self.language), ..self }
    }
}

/// The headings of a card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Headings {
    /// Above the ribbons.
    pub ribbons: String,
    /// Before the place where the book is laid open.
    pub open_at: String,
    /// Above the order of the service.
    pub steps: String,
    /// Above what needs a look.
    pub notices: String,
    /// Above the reasons.
    pub reasons: String,
    /// Above what the laying is worth.
    pub worth: String,
}

/// A ribbon, or the place where a book is laid open.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// The ribbon's colour, named; empty for a place where a book is laid open.
    pub colour: String,
    /// The page, as printed.
    pub page: String,
    /// The text there.
    pub text: String,
    /// Name of the book, where there are several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// A person must look at the page.
    pub doubt: bool,
}

/// One moment on the card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Where the book stands, at the first moment there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stand: Option<String>,
    /// The moment.
    pub moment: String,
    /// The text; empty where the moment says it already.
    pub text: String,
    /// The page; none for what is known by heart or not in the book.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub page: Option<String>,
    /// The movement of the hand.
    pub hand: String,
    /// The ribbon pulled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ribbon: Option<String>,
    /// What may be read instead, with its page.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub or: Option<String>,
    /// A person must look.
    pub doubt: bool,
    /// Known by heart.
    pub by_heart: bool,
}
