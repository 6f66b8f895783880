//! The languages the program speaks and reads, and titles in them.

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
