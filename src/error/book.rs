//! Faults of the stage `book`.

use crate::book::Outline;
use std::fmt;

/// A book's page map could not be built or changed.
#[derive(Debug)]
pub enum BookFault {
    /// No shipped outline has this name.
    UnknownOutline {
        /// The name asked for.
        name: String,
    },
}

impl fmt::Display for BookFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            BookFault::UnknownOutline { name } => write!(f, "no outline is called \"{name}\""),
        }
    }
}

impl BookFault {
    pub(super) fn hint(&self) -> Option<String> {
        match self {
            BookFault::UnknownOutline { .. } => {
                let names: Vec<_> = Outline::names().collect();
                Some(format!("the outlines are {}", names.join(", ")))
            }
        }
    }
}
