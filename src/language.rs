//! The languages the program speaks and reads, and titles in them; books are printed in more of them.

use chrono::{Datelike, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// English, Spanish or Latin, by their ISO 639-1 codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// English.
    #[default]
    En,
    /// Spanish.
    Es,
    /// Latin.
    La,
}

/// The language a book is printed in, by its ISO 639-1 code: cards and messages speak three of them.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum PrintedLanguage {
    /// English.
    En,
    /// Spanish.
    Es,
    /// Latin.
    La,
    /// French.
    Fr,
    /// German.
    De,
    /// Italian.
    It,
    /// Portuguese, of Portugal and of Brazil.
    Pt,
    /// Polish.
    Pl,
}

impl PrintedLanguage {
    /// All of them.
    pub const ALL: [PrintedLanguage; 8] =
        [Self::En, Self::Es, Self::La, Self::Fr, Self::De, Self::It, Self::Pt, Self::Pl];

    /// The same as a language of cards and messages; none where the program does not speak it.
    ///
    /// ```
    /// use vitta::language::{Language, PrintedLanguage};
    /// assert_eq!(PrintedLanguage::Es.spoken(), Some(Language::Es));
    /// assert_eq!(PrintedLanguage::Pl.spoken(), None);
    /// ```
    pub fn spoken(self) -> Option<Language> {
        match self {
            Self::En => Some(Language::En),
            Self::Es => Some(Language::Es),
            Self::La => Some(Language::La),
            Self::Fr | Self::De | Self::It | Self::Pt | Self::Pl => None,
        }
    }
}

impl From<Language> for PrintedLanguage {
    fn from(language: Language) -> Self {
        match language {
            Language::En => Self::En,
            Language::Es => Self::Es,
            Language::La => Self::La,
        }
    }
}

impl From<Language> for Option<PrintedLanguage> {
    fn from(language: Language) -> Self {
        Some(language.into())
    }
}

const ENGLISH_MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

const SPANISH_MONTHS: [&str; 12] = [
    "enero",
    "febrero",
    "marzo",
    "abril",
    "mayo",
    "junio",
    "julio",
    "agosto",
    "septiembre",
    "octubre",
    "noviembre",
    "diciembre",
];

/// English ordinals from first to nineteenth, as titles print them.
pub const ENGLISH_ORDINALS: [&str; 19] = [
    "First",
    "Second",
    "Third",
    "Fourth",
    "Fifth",
    "Sixth",
    "Seventh",
    "Eighth",
    "Ninth",
    "Tenth",
    "Eleventh",
    "Twelfth",
    "Thirteenth",
    "Fourteenth",
    "Fifteenth",
    "Sixteenth",
    "Seventeenth",
    "Eighteenth",
    "Nineteenth",
];

const ENGLISH_DAYS: [&str; 7] =
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

const SPANISH_DAYS: [&str; 7] =
    ["lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo"];

impl Language {
    /// The Spanish words for a reader of Spanish, else the English: sentences are not written in Latin.
    pub fn either<'a>(self, english: &'a str, spanish: &'a str) -> &'a str {
        match self {
            Language::Es => spanish,
            Language::En | Language::La => english,
        }
    }

    /// A date in words: "Friday 19 March 2027", "viernes 19 de marzo de 2027".
    pub fn date(self, date: NaiveDate) -> String {
        let (day, year) = (self.day_and_month(date), date.year());
        match self {
            Language::Es => format!("{day} de {year}"),
            _ => format!("{day} {year}"),
        }
    }

    /// A date in words without the year: "Friday 19 March", "viernes 19 de marzo".
    pub fn day_and_month(self, date: NaiveDate) -> String {
        let month = date.month0() as usize % 12;
        let weekday = date.weekday().num_days_from_monday() as usize % 7;
        let day = date.day();
        match self {
            Language::Es => format!("{} {day} de {}", SPANISH_DAYS[weekday], SPANISH_MONTHS[month]),
            _ => format!("{} {day} {}", ENGLISH_DAYS[weekday], ENGLISH_MONTHS[month]),
        }
    }
}

/// A title in the languages it is known in; English is always there.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Titles {
    /// English title.
    pub en: String,
    /// Spanish title.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub es: Option<String>,
    /// Latin title.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub la: Option<String>,
}

impl Titles {
    /// The title in `language`, or in English where that is missing.
    pub fn get(&self, language: Language) -> &str {
        match language {
            Language::En => &self.en,
            Language::Es => self.es.as_deref().unwrap_or(&self.en),
            Language::La => self.la.as_deref().unwrap_or(&self.en),
        }
    }
}
