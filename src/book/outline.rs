//! The outlines: which texts a kind of book holds, in which order, before any photograph is read.
//!
//! The shipped ones are data compiled in; a book of another kind brings its own file in the same
//! format. Lengths are pages of an altar edition.

use super::titles::PrintedTitles;
use crate::Result;
use crate::error::BookFault;
use crate::format::{self, Format, Source};
use crate::language::{PrintedLanguage, Titles};
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::OnceLock;

/// The places of a kind of book in canonical order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Outline {
    /// Where it comes from.
    pub source: Source,
    /// Name of this kind of book: `roman-missal-3`.
    pub name: String,
    /// Places in canonical order.
    pub places: Vec<OutlinePlace>,
}

impl Format for Outline {
    const NAME: &'static str = "vitta outline";
    const VERSION: u32 = 1;
}

/// One place of an outline.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OutlinePlace {
    /// Its address.
    pub place: Place,
    /// Title as usually printed.
    pub title: Titles,
    /// Other titles: older names, short forms.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub aliases: Vec<String>,
    /// Titles in languages that only books are printed in, the usual one first. Those of the shipped outlines
    /// stand in files of their own, one for each language ([`PrintedTitles`]).
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub printed: BTreeMap<PrintedLanguage, Vec<String>>,
    /// Depth of the heading, 1 a section.
    pub level: u8,
    /// Typical length in pages of an altar edition, up to the next place in the list; 0 where the
    /// next heading usually stands on the same page.
    pub pages: f64,
    /// Marginal numbers in the Order of Mass, first and last, the same in every edition.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order_numbers: Option<(u16, u16)>,
    /// Day it is kept on where that is fixed, as a month list prints it: `March 19`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub month_day: Option<String>,
    /// Nations whose editions print it, by ISO 3166 codes in lower case; empty for all editions.
    /// A national place that nobody read is not in the book.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub nations: Vec<String>,
    /// Source, where it differs from the outline's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// A shipped outline's name, its text, and the outline once it has been parsed.
type Shipped = (&'static str, &'static str, OnceLock<Outline>);

macro_rules! shipped {
    ($name:literal) => {
        ($name, include_str!(concat!("../data/outlines/", $name, ".json")), OnceLock::new())
    };
}

static SHIPPED: [Shipped; 4] = [
    shipped!("roman-missal-3"),
    shipped!("chair-book"),
    shipped!("weekday-chapel"),
    shipped!("roman-missal-1962"),
];

impl Outline {
    /// Names of the shipped outlines.
    pub fn names() -> impl Iterator<Item = &'static str> {
        SHIPPED.iter().map(|(name, _, _)| *name)
    }

    /// The shipped outline called `name`.
    ///
    /// ```
    /// use vitta::book::Outline;
    /// let missal = Outline::shipped("roman-missal-3")?;
    /// assert_eq!(missal.places[0].place.as_str(), "front");
    /// assert!(Outline::shipped("hymnal").is_err());
    /// # Ok::<(), vitta::Error>(())
    /// ```
    pub fn shipped(name: &str) -> Result<&'static Outline> {
        let (known, text, parsed) = SHIPPED
            .iter()
            .find(|(known, _, _)| *known == name)
            .ok_or_else(|| BookFault::UnknownOutline { name: name.to_owned() })?;
        if let Some(outline) = parsed.get() {
            return Ok(outline);
        }
        let mut outline: Outline = format::parse(text, Path::new(known))?;
        for titles in PrintedTitles::shipped()? {
            titles.add_to(&mut outline);
        }
        Ok(parsed.get_or_init(|| outline))
    }

    /// Where `place` stands in the canonical order, from 0.
    pub fn position(&self, place: &Place) -> Option<usize> {
        self.places.iter().position(|p| p.place == *place)
    }

    /// What the outline says of `place`.
    pub fn get(&self, place: &Place) -> Option<&OutlinePlace> {
        self.places.iter().find(|p| p.place == *place)
    }

    /// The headings over the place at `position`, outermost first: section, season, Sunday.
    pub fn headings(&self, position: usize) -> Vec<&OutlinePlace> {
        let mut above = Vec::new();
        let mut level = self.places.get(position).map_or(0, |p| p.level);
        for heading in self.places.iter().take(position).rev() {
            if heading.level < level {
                level = heading.level;
                above.push(heading);
            }
        }
        above.reverse();
        above
    }
}
