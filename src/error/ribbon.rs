//! Faults of the stage `ribbon`.

use std::fmt;

/// The ribbons could not be laid.
#[derive(Debug)]
pub enum RibbonFault {}

impl fmt::Display for RibbonFault {
    fn fmt(&self, _: &mut fmt::Formatter) -> fmt::Result {
        match *self {}
    }
}

impl RibbonFault {
    pub(super) fn hint(&self) -> Option<String> {
        match *self {}
    }
}
