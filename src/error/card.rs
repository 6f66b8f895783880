//! Faults of the stage `card`.

use std::fmt;

/// The card could not be made.
#[derive(Debug)]
pub enum CardFault {
    /// A font that the program carries is not understood.
    Font(&'static str),
    /// The PDF writer refused the card.
    Pdf,
    /// The file's name ends in something that is no kind of card.
    Kind {
        /// The ending found, empty if there is none.
        found: String,
    },
    /// No paper of that name.
    Paper {
        /// The name found.
        found: String,
    },
}

impl fmt::Display for CardFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Font(name) => write!(f, "the built-in font {name} is not understood"),
            Self::Pdf => write!(f, "the card could not be written as PDF"),
            Self::Kind { found } if found.is_empty() => {
                write!(f, "the card's file name has no ending, expected .pdf, .svg or .txt")
            }
            Self::Kind { found } => {
                write!(f, "cards are not written as .{found}, expected .pdf, .svg or .txt")
            }
            Self::Paper { found } => write!(f, "no paper \"{found}\", expected a6, a5 or a4"),
        }
    }
}

impl CardFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::Font(_) | Self::Pdf => "build the program anew from its own files".into(),
            Self::Kind { .. } => "name the file card.pdf".into(),
            Self::Paper { .. } => "a5 suits a card laid into the book".into(),
        })
    }
}
