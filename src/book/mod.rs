//! Rows and an outline become a book: the map from places to pages, with what it knows of each.
//!
//! Rows are given to places ([`Book::read`]), all readings and a person's words then settle every page at once
//! ([`Book::infer`]): what is clearly printed stands, what nobody read is reckoned, what does not fit is shown to
//! a person. The file keeps the rows, so each new photograph or word settles the whole anew.

mod align;
mod apart;
mod arrange;
mod auction;
mod begin;
mod catalogue;
mod channel;
mod claim;
mod compare;
mod copy;
mod far;
mod fault;
mod fit;
mod gap;
mod history;
mod infer;
mod kinds;
mod label;
mod lists;
mod look;
mod notice;
mod odds;
mod outline;
mod path;
mod posterior;
mod read;
mod reference;
mod seen;
mod share;
mod shot;
mod titles;
mod words;

pub use channel::DigitConfusions;
pub use compare::{Known, LeftBehind, Pair, carry_marks, concordance};
pub use copy::{Copy, Ribbon, Sticker, Tab};
pub use history::{Change, Replaced, Step, Undone};
pub use label::{Label, LeafOrder, Numbering};
pub use look::Look;
pub use outline::{Outline, OutlinePlace};
pub use shot::Shot;
pub use titles::PrintedTitles;

use crate::format::{Format, Source};
use crate::language::PrintedLanguage;
use crate::place::Place;
use crate::text::{Alternative, Reading, Strip};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

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

/// How a page is shown, the same in every output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum PageState {
    /// Read surely, or said by a person.
    #[default]
    Known,
    /// Something was read, but unsure, or print and the rest of the book disagree.
    Check,
    /// Nobody read it: an interval, never one page.
    Reckoned,
    /// Not in this book.
    Absent,
}

impl State {
    /// How a page of this state is shown.
    pub fn shown(self) -> PageState {
        match self {
            State::Read | State::Confirmed => PageState::Known,
            State::Mended | State::Doubtful => PageState::Check,
            State::Estimated => PageState::Reckoned,
            State::Absent => PageState::Absent,
        }
    }
}

impl Entry {
    /// Its page as every output shows it, without the mark of what must be checked: "958"; of what is reckoned the
    /// interval, "≈ 380–420". None where it is not in the book.
    pub fn shown_page(&self) -> Option<String> {
        let page = self.page.as_ref()?;
        match (self.state.shown(), &self.interval) {
            (PageState::Absent, _) => None,
            (PageState::Reckoned, Some((first, last))) => Some(about(first, last)),
            (PageState::Reckoned, None) => Some(about(page, page)),
            _ => Some(page.clone()),
        }
    }
}

/// An interval of pages as it is shown.
pub fn about(first: &str, last: &str) -> String {
    if first == last { format!("≈ {first}") } else { format!("≈ {first}–{last}") }
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
    /// The page that the rest of the book speaks for, where that is not `page`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reckoned: Option<String>,
    /// Depth of the heading, 1 a section.
    #[serde(default = "one")]
    pub level: u8,
    /// Expected length in pages before this edition's own scale, up to the next place.
    #[serde(default = "one_page")]
    pub length: f64,
    /// Nations whose editions print it; empty for all. Unread in every such place, it is absent.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub nations: Vec<String>,
    /// The place it follows, where it is the book's own and no outline says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Place>,
    /// What a person said; it settles the page.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said: Option<Said>,
    /// What was read, from which photographs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
}

fn one() -> u8 {
    1
}

fn one_page() -> f64 {
    1.0
}

/// A person's word on a place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Said {
    /// It is on this page.
    Page(String),
    /// It is not in this book.
    Absent,
}

/// What kind of print named a page.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// A list in the order of the pages: contents, prefaces, a month.
    #[default]
    List,
    /// An alphabetical index.
    Index,
    /// A reference on a day's page.
    Reference,
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
    /// The column of the photograph, 1 the leftmost.
    #[serde(default = "one")]
    pub column: u8,
    /// What kind of print it is.
    #[serde(default)]
    pub kind: Kind,
    /// Probability that the printed label is none of the alternatives.
    #[serde(default = "some_doubt")]
    pub misread: f64,
    /// Probability that the row belongs to another place.
    #[serde(default = "some_doubt")]
    pub misplaced: f64,
    /// The step of the history that brought it.
    #[serde(default)]
    pub step: usize,
    /// Its row among all rows of that step, in printed order.
    #[serde(default)]
    pub row: usize,
}

fn some_doubt() -> f64 {
    0.02
}

impl Evidence {
    /// The likeliest label.
    pub fn label(&self) -> Option<&str> {
        self.alternatives.first().map(|a| a.page.as_str())
    }
}

/// An edition's page map and the ribbons of this copy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Book {
    /// Where the map comes from.
    pub source: Source,
    /// Name on the shelf.
    pub name: String,
    /// Language it is printed in; none where that is not known yet, or is none of those that outlines have titles
    /// in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub language: Option<PrintedLanguage>,
    /// Outline it was matched to; none for a book of another kind.
    pub outline: Option<String>,
    /// What is added to an arabic page number to get its place in the leaf order; even positions
    /// are versos (left pages).
    #[serde(default)]
    pub offset: i32,
    /// Roman-numbered pages before the arabic ones, as far as known.
    #[serde(default)]
    pub roman_pages: u32,
    /// Ribbons in order from the spine.
    pub ribbons: Vec<Ribbon>,
    /// Tabs of this copy.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tabs: Vec<Tab>,
    /// Pages laid or stuck into this copy.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stickers: Vec<Sticker>,
    /// Other copies of the same edition, with their own ribbons.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub copies: Vec<Copy>,
    /// Places in the order of the book.
    pub entries: Vec<Entry>,
    /// What was read on each photograph; the evidence of the entries is made from it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<Reading>,
    /// What tells its photographs apart: the SHA-256 of their files by their names, with the page of a PDF's later
    /// pages behind it. A name stays when its photograph is taken away.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub contents: BTreeMap<String, String>,
    /// What a person should know.
    #[serde(default)]
    pub notices: Vec<String>,
    /// What was done, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history: Vec<Step>,
    /// Steps that were undone and can be done again, the last undone last.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub undone: Vec<Undone>,
}

impl Format for Book {
    const NAME: &'static str = "vitta book";
    const VERSION: u32 = 1;
}

impl Book {
    /// A book of which only the kind is known: every place estimated from its outline, or no place.
    pub fn new(
        name: &str,
        language: impl Into<Option<PrintedLanguage>>,
        outline: Option<&Outline>,
    ) -> Self {
        let language = language.into();
        let mut book = Book {
            source: Source {
                title: format!("Contents and index pages of \"{name}\""),
                issuer: None,
                edition: None,
                at: None,
                how: "read from photographs and corrected by hand".into(),
                checked: None,
                holds: Some("this edition; another printing may have other pages".into()),
            },
            name: name.to_owned(),
            language,
            outline: outline.map(|o| o.name.clone()),
            offset: 0,
            roman_pages: 0,
            ribbons: Vec::new(),
            tabs: Vec::new(),
            stickers: Vec::new(),
            copies: Vec::new(),
            entries: Vec::new(),
            readings: Vec::new(),
            contents: BTreeMap::new(),
            notices: Vec::new(),
            history: Vec::new(),
            undone: Vec::new(),
        };
        if let Some(outline) = outline {
            book.entries = outline.places.iter().map(|p| Entry::expected(p, language)).collect();
            book.infer();
        }
        book
    }

    /// The entry of `place`.
    pub fn entry(&self, place: &Place) -> Option<&Entry> {
        self.entries.iter().find(|e| e.place == *place)
    }

    /// How the leaves of this book lie.
    pub fn leaf_order(&self) -> LeafOrder {
        LeafOrder { offset: self.offset, roman_pages: self.roman_pages }
    }

    /// The opening in which a page label is seen; `None` where it is not a page label.
    pub fn opening(&self, label: &str) -> Option<i32> {
        Label::parse(label).map(|l| self.leaf_order().opening(&l))
    }
}

impl Entry {
    /// A place whose page a person has typed.
    pub fn typed(place: Place, title: &str, page: &str) -> Self {
        Entry {
            place,
            title: title.to_owned(),
            page: Some(page.to_owned()),
            state: State::Confirmed,
            probability: 1.0,
            interval: None,
            reckoned: None,
            level: 1,
            length: 1.0,
            nations: Vec::new(),
            after: None,
            said: Some(Said::Page(page.to_owned())),
            evidence: Vec::new(),
        }
    }

    /// A place before anything was read of it.
    fn expected(place: &OutlinePlace, language: Option<PrintedLanguage>) -> Self {
        Entry {
            place: place.place.clone(),
            title: place.title_in(language).to_owned(),
            page: None,
            state: State::Estimated,
            probability: 0.0,
            interval: None,
            reckoned: None,
            level: place.level,
            length: place.pages,
            nations: place.nations.clone(),
            after: None,
            said: None,
            evidence: Vec::new(),
        }
    }

    /// Whether anything but the outline speaks of its page.
    fn is_observed(&self) -> bool {
        !self.evidence.is_empty() || matches!(self.said, Some(Said::Page(_)))
    }
}
