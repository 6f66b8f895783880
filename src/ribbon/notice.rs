//! What a person should know about a plan, in English and Spanish.

use crate::language::{Language, Titles};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Something to know or to look at before the service.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "notice", deny_unknown_fields)]
pub enum Notice {
    /// No book on the table has the text.
    NotInBook {
        /// The text.
        text: Titles,
    },
    /// The text is not listed; a heading above it is.
    UnderHeading {
        /// The text.
        text: Titles,
        /// The heading, as the book has it.
        heading: String,
        /// The heading's page.
        page: String,
    },
    /// Nobody read the page; it is reckoned from those around it.
    Reckoned {
        /// The text.
        text: Titles,
        /// The pages it lies among, as shown.
        pages: String,
    },
    /// The page is doubtful.
    Look {
        /// The text.
        text: Titles,
        /// The likeliest page.
        page: String,
        /// First and last page it may be on.
        interval: Option<(String, String)>,
        /// The page that the rest of the book speaks for, where that is another.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        reckoned: Option<String>,
    },
    /// A text other than the first permitted is planned because it lies nearer.
    OtherText {
        /// The text planned.
        text: Titles,
        /// The text preferred.
        preferred: Titles,
    },
}

impl Notice {
    /// The notice as a sentence.
    pub fn say(&self, language: Language) -> String {
        match language {
            Language::Es => self.in_spanish(),
            Language::En | Language::La => self.in_english(),
        }
    }

    fn in_english(&self) -> String {
        let l = Language::En;
        match self {
            Self::NotInBook { text } => {
                format!("{} is not in this book: have it on a sheet.", text.get(l))
            }
            Self::UnderHeading { text, heading, page } => format!(
                "{} has no page of its own in this book: look from \"{heading}\", p. {page}.",
                text.get(l)
            ),
            Self::Reckoned { text, pages } => format!(
                "{}: no list read so far names its page; it lies about {}. Look before the service.",
                text.get(l),
                pages.trim_start_matches("≈ ")
            ),
            Self::Look { text, page, reckoned: Some(reckoned), .. } => format!(
                "{}: {page} as printed, {reckoned} as reckoned from the rest of the book. Look before the service.",
                text.get(l)
            ),
            Self::Look { text, page, interval: Some((from, to)), .. } if from != to => format!(
                "{}: page {page} is not certain, it lies between {from} and {to}. Look before the service.",
                text.get(l)
            ),
            Self::Look { text, page, .. } => {
                format!("{}: page {page} is not certain. Look before the service.", text.get(l))
            }
            Self::OtherText { text, preferred } => format!(
                "{} is planned because it lies nearer than {}; either may be used.",
                text.get(l),
                preferred.get(l)
            ),
        }
    }

    fn in_spanish(&self) -> String {
        let l = Language::Es;
        match self {
            Self::NotInBook { text } => {
                format!("{} no está en este libro: téngalo en una hoja.", text.get(l))
            }
            Self::UnderHeading { text, heading, page } => format!(
                "{} no tiene página propia en este libro: busque desde «{heading}», p. {page}.",
                text.get(l)
            ),
            Self::Reckoned { text, pages } => format!(
                "{}: ninguna lista leída da su página; está hacia {}. Mírela antes de la Misa.",
                text.get(l),
                pages.trim_start_matches("≈ ")
            ),
            Self::Look { text, page, reckoned: Some(reckoned), .. } => format!(
                "{}: {page} según lo impreso, {reckoned} según el resto del libro. Mírela antes de la Misa.",
                text.get(l)
            ),
            Self::Look { text, page, interval: Some((from, to)), .. } if from != to => format!(
                "{}: la página {page} no es segura, está entre {from} y {to}. Mírela antes de la Misa.",
                text.get(l)
            ),
            Self::Look { text, page, .. } => {
                format!("{}: la página {page} no es segura. Mírela antes de la Misa.", text.get(l))
            }
            Self::OtherText { text, preferred } => format!(
                "Se prevé {} porque está más cerca que {}; ambos pueden usarse.",
                text.get(l),
                preferred.get(l)
            ),
        }
    }
}
