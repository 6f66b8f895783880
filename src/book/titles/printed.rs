//! Titles of an edition in a language that only books are printed in, one file for each language, so that who
//! knows the language can read it through.

use super::super::{Outline, OutlinePlace};
use crate::Result;
use crate::format::{self, Format, Source};
use crate::language::PrintedLanguage;
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::OnceLock;

/// The titles of places in one language.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PrintedTitles {
    /// Where they come from.
    pub source: Source,
    /// The language.
    pub language: PrintedLanguage,
    /// Names of the outlines whose places are titled so.
    pub outlines: Vec<String>,
    /// Titles of each place, the usual one first. A place that no book in this language prints is left out.
    pub titles: BTreeMap<Place, Vec<String>>,
}

impl Format for PrintedTitles {
    const NAME: &'static str = "vitta titles";
    const VERSION: u32 = 1;
}

macro_rules! shipped {
    ($language:literal) => {
        ($language, include_str!(concat!("../../data/outlines/titles/", $language, ".json")))
    };
}

static SHIPPED: [(&str, &str); 5] =
    [shipped!("fr"), shipped!("de"), shipped!("it"), shipped!("pt"), shipped!("pl")];

static PARSED: OnceLock<Vec<PrintedTitles>> = OnceLock::new();

impl PrintedTitles {
    /// The shipped ones, a language each.
    pub fn shipped() -> Result<&'static [PrintedTitles]> {
        if let Some(parsed) = PARSED.get() {
            return Ok(parsed);
        }
        let parse = |(name, text): &(&str, &str)| format::parse(text, Path::new(name));
        let parsed: Vec<PrintedTitles> = SHIPPED.iter().map(parse).collect::<Result<_>>()?;
        Ok(PARSED.get_or_init(|| parsed))
    }

    /// Gives the places of `outline` these titles, if it is one they are for; what it holds itself stays first.
    pub(in crate::book) fn add_to(&self, outline: &mut Outline) {
        if !self.outlines.contains(&outline.name) {
            return;
        }
        for place in &mut outline.places {
            if let Some(titles) = self.titles.get(&place.place) {
                place.printed.entry(self.language).or_default().extend(titles.iter().cloned());
            }
        }
    }
}

impl OutlinePlace {
    /// Its titles in `language` as they are known, the usual one first; none in a language that no edition
    /// prints it in. English stands in for Spanish and Latin that are missing.
    pub(in crate::book) fn titles_in(&self, language: PrintedLanguage) -> Vec<String> {
        match language.spoken() {
            Some(spoken) => {
                let title = self.title.get(spoken).to_owned();
                std::iter::once(title).chain(self.aliases.iter().cloned()).collect()
            }
            None => self.printed.get(&language).cloned().unwrap_or_default(),
        }
    }

    /// The title to show in a book printed in `language`; English where there is none.
    pub fn title_in(&self, language: Option<PrintedLanguage>) -> &str {
        let printed = language.and_then(|l| self.printed.get(&l)?.first());
        let spoken = language.and_then(PrintedLanguage::spoken).unwrap_or_default();
        printed.map_or_else(|| self.title.get(spoken), String::as_str)
    }
}
