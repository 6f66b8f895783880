//! Faults of the stage `order`.

use std::fmt;

/// The order of service could not be made.
#[derive(Debug)]
pub enum OrderFault {}

impl fmt::Display for OrderFault {
    fn fmt(&self, _: &mut fmt::Formatter) -> fmt::Result {
        match *self {}
    }
}

impl OrderFault {
    pub(super) fn hint(&self) -> Option<String> {
        match *self {}
    }
}
