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
    /// A page typed lies far from where the book's order has the text; it is believed when it is said again.
    FarOut {
        /// Title of the text.
        title: String,
        /// The page typed.
        page: String,
        /// What it is far from.
        neighbour: String,
    },
    /// The step to be undone is a whole reading; it is undone when that is asked for.
    WholeReading {
        /// How many photographs were read.
        photographs: usize,
    },
    /// A book's file claims pages without a reading or a person's word for them.
    Unsupported {
        /// How many places it claims so.
        places: usize,
        /// The first of them.
        first: Place,
        /// The page claimed for it.
        page: String,
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
            Self::FarOut { title, page, neighbour } => {
                write!(f, "{title} would be far out of order on {page}: {neighbour}")
            }
            Self::WholeReading { photographs } => {
                write!(f, "the step to undo is a whole reading, of {}", count(*photographs))
            }
            Self::Unsupported { places, first, page } => write!(
                f,
                "the file gives pages without what was read or said of them, of {places} places, the first {first} on {page}"
            ),
            Self::NoPage { place } => write!(f, "the book gives no page for {place} to confirm"),
        }
    }
}

fn count(photographs: usize) -> String {
    if photographs == 1 { "1 photograph".into() } else { format!("{photographs} photographs") }
}

impl BookFault {
    /// Whether what was refused is done when it is asked for once more, and surely.
    pub fn is_question(&self) -> bool {
        matches!(self, Self::FarOut { .. } | Self::WholeReading { .. })
    }

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
            Self::FarOut { .. } => "if the book has it there, say it again with --sure".into(),
            Self::WholeReading { .. } => {
                "undo it with --reading; `vitta book remove` takes one photograph away".into()
            }
            Self::Unsupported { .. } => {
                "let the other parish make it with `vitta book export`, or mark what somebody looked up \
                 as \"confirmed\""
                    .into()
            }
            Self::NoPage { .. } => "say the page".into(),
        })
    }
}
