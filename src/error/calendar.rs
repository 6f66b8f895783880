//! Faults of the stage `calendar`.

use std::fmt;

/// A date or a calendar was refused.
#[derive(Debug)]
pub enum CalendarFault {}

impl fmt::Display for CalendarFault {
    fn fmt(&self, _: &mut fmt::Formatter) -> fmt::Result {
        match *self {}
    }
}

impl CalendarFault {
    pub(super) fn hint(&self) -> Option<String> {
        match *self {}
    }
}
