//! Copies of one edition: the same pages, each with its own ribbons, tabs and laid-in sheets.

use super::{Book, Change};
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A ribbon of a copy.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ribbon {
    /// Its colour in the user's words: "red", "gold".
    pub colour: String,
    /// It is torn or too frayed to be gripped: nothing is laid with it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub torn: bool,
    /// The section it stays in: it lies at one of the day's texts there, or where the section begins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stays: Option<Place>,
}

impl Ribbon {
    /// A ribbon that can be laid anywhere.
    pub fn new(colour: &str) -> Self {
        Ribbon { colour: colour.trim().to_owned(), ..Ribbon::default() }
    }

    /// Ribbons of these colours from the spine; one whose colour stood at the same number before is as it was.
    pub fn renamed<'a>(colours: impl Iterator<Item = &'a str>, before: &[Ribbon]) -> Vec<Ribbon> {
        let same = |(i, colour): (usize, &str)| {
            let known = before.get(i).filter(|r| r.colour == colour.trim()).cloned();
            known.unwrap_or_else(|| Ribbon::new(colour))
        };
        colours.enumerate().map(same).collect()
    }
}

/// A tab stuck to the edge of a leaf.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tab {
    /// What is written on it.
    pub title: String,
    /// The page it stands at.
    pub page: String,
}

/// A sheet laid or stuck in: a new saint, a diocesan proper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sticker {
    /// Its label, numbered after the page it lies at: "1747a".
    pub page: String,
    /// The text on it.
    pub place: Place,
}

/// A copy of the edition and its marks.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Copy {
    /// Its name in the parish: "chapel".
    pub name: String,
    /// Its ribbons in order from the spine.
    pub ribbons: Vec<Ribbon>,
    /// Its tabs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tabs: Vec<Tab>,
    /// Sheets laid into it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stickers: Vec<Sticker>,
}

impl Book {
    /// How many ribbons can be laid: those that are not torn.
    pub fn usable_ribbons(&self) -> usize {
        self.ribbons.iter().filter(|r| !r.torn).count()
    }

    /// The marks of the copy called `name`, or of the first copy; an unknown copy has none yet.
    pub fn marks(&self, name: Option<&str>) -> Copy {
        match name {
            None => Copy {
                name: String::new(),
                ribbons: self.ribbons.clone(),
                tabs: self.tabs.clone(),
                stickers: self.stickers.clone(),
            },
            Some(name) => {
                let known = self.copies.iter().find(|c| c.name == name).cloned();
                let begun = || Copy { name: name.to_owned(), ..Copy::default() };
                known.unwrap_or_else(begun)
            }
        }
    }

    /// Gives the copy called `name`, or the first copy, these marks as a step that can be undone; nothing where it
    /// has them.
    pub fn mark(&mut self, name: Option<&str>, marks: Copy, when: &str) {
        self.mark_from(name, marks, None, when);
    }

    /// The same, with the name of the book that they are carried over from.
    pub(super) fn mark_from(
        &mut self,
        name: Option<&str>,
        marks: Copy,
        from: Option<&str>,
        when: &str,
    ) {
        let marks = Copy { name: name.unwrap_or_default().to_owned(), ..marks };
        let had = self.marks(name);
        if had == marks {
            return;
        }
        let known = name.is_none_or(|name| self.copies.iter().any(|c| c.name == name));
        self.set_marks(name, marks.clone());
        let (copy, from) = (name.map(str::to_owned), from.map(str::to_owned));
        self.record(when, Change::Marks { copy, before: known.then_some(had), marks, from });
    }

    /// Gives the copy called `name`, or the first copy, these marks, without a step.
    pub fn set_marks(&mut self, name: Option<&str>, marks: Copy) {
        match name {
            None => {
                self.ribbons = marks.ribbons;
                self.tabs = marks.tabs;
                self.stickers = marks.stickers;
            }
            Some(name) => {
                let marks = Copy { name: name.to_owned(), ..marks };
                match self.copies.iter_mut().find(|c| c.name == name) {
                    Some(known) => *known = marks,
                    None => self.copies.push(marks),
                }
            }
        }
    }

    /// The book as the copy called `name` is: the same pages, that copy's marks. `None` where there is
    /// no such copy.
    pub fn of_copy(&self, name: &str) -> Option<Book> {
        let marks = self.copies.iter().find(|c| c.name == name)?.clone();
        let mut book = self.clone();
        book.set_marks(None, marks);
        Some(book)
    }
}
