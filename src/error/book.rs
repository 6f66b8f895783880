//! Faults of the stage `book`.

use crate::book::Outline;
use crate::place::Place;
use std::fmt;

/// A book's page map could not be built or changed.
#[derive(Debug)]
pub enum BookFault {
    /// No shipped outline has this name.
    UnknownOutline {
        /// The name asked for.
        name: String,
    },
    /// The book has no such place.
    UnknownPlace {
        /// The place asked for.
        place: Place,
        /// The place spelled most alike.
        near: Option<Place>,
    },
    /// A page label was expected.
    NotALabel {
        /// The place it was given for.
        place: Place,
        /// What was given.
        found: String,
    },
    /// The book was not read from such a photograph.
    UnknownPhoto {
        /// The name asked for.
        photo: String,
        /// The photographs it was read from.
        known: Vec<String>,
    },
    /// The map gives no page that could be confirmed.
    NoPage {
        /// The place.
        place: Place,
    },
}

impl fmt::Display for BookFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::UnknownOutline { name } => write!(f, "no outline is called \"{name}\""),
            Self::UnknownPlace { place, .. } => write!(f, "the book has no place {place}"),
            Self::NotALabel { place, found } => {
                write!(f, "\"{found}\", given for {place}, is not a page label")
            }
            Self::UnknownPhoto { photo, .. } => {
                write!(f, "the book was not read from a photograph called \"{photo}\"")
            }
            Self::NoPage { place } => write!(f, "the book gives no page for {place} to confirm"),
        }
    }
}

impl BookFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::UnknownOutline { .. } => {
                let names: Vec<_> = Outline::names().collect();
                format!("the outlines are {}", names.join(", "))
            }
            Self::UnknownPlace { near: Some(near), .. } => format!("did you mean {near}?"),
            Self::UnknownPlace { near: None, .. } => {
                "`vitta book show` lists the places of a book".into()
            }
            Self::NotALabel { .. } => "labels look like 512, xiv or 1747a".into(),
            Self::UnknownPhoto { known, .. } if known.is_empty() => {
                "no photograph is kept with it".into()
            }
            Self::UnknownPhoto { known, .. } => format!("its photographs are {}", known.join(", ")),
            Self::NoPage { .. } => "say the page".into(),
        })
    }
}
