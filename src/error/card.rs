//! Faults of the stage `card`.

use std::fmt;

/// The card could not be made.
#[derive(Debug)]
pub enum CardFault {}

impl fmt::Display for CardFault {
    fn fmt(&self, _: &mut fmt::Formatter) -> fmt::Result {
        match *self {}
    }
}

impl CardFault {
    pub(super) fn hint(&self) -> Option<String> {
        match *self {}
    }
}
