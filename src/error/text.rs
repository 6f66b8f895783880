//! Faults of the stage `text`.

use std::fmt;

/// A page could not be read.
#[derive(Debug)]
pub enum TextFault {}

impl fmt::Display for TextFault {
    fn fmt(&self, _: &mut fmt::Formatter) -> fmt::Result {
        match *self {}
    }
}

impl TextFault {
    pub(super) fn hint(&self) -> Option<String> {
        match *self {}
    }
}
