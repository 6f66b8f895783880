//! Faults of the stage `book`.

use std::fmt;

/// A book's page map could not be built or changed.
#[derive(Debug)]
pub enum BookFault {}

impl fmt::Display for BookFault {
    fn fmt(&self, _: &mut fmt::Formatter) -> fmt::Result {
        match *self {}
    }
}

impl BookFault {
    pub(super) fn hint(&self) -> Option<String> {
        match *self {}
    }
}
