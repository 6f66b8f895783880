//! Faults of the stage `photo`.

use std::fmt;

/// A photograph could not be opened or flattened.
#[derive(Debug)]
pub enum PhotoFault {}

impl fmt::Display for PhotoFault {
    fn fmt(&self, _: &mut fmt::Formatter) -> fmt::Result {
        match *self {}
    }
}

impl PhotoFault {
    pub(super) fn hint(&self) -> Option<String> {
        match *self {}
    }
}
