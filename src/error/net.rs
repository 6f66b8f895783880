//! Faults of the trained networks.

use std::fmt;

/// A network could not be run.
#[derive(Debug)]
pub enum NetFault {
    /// Its weights, which are part of the program, cannot be read.
    Unreadable(&'static str),
    /// It broke off.
    Failed(&'static str),
}

impl fmt::Display for NetFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Unreadable(net) => {
                write!(f, "the weights of the {net} inside this program cannot be read")
            }
            Self::Failed(net) => write!(f, "the {net} broke off its calculation"),
        }
    }
}

impl NetFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::Unreadable(_) => "build the program again from an undamaged checkout".into(),
            Self::Failed(_) => {
                "try again with more free memory; report the photograph if it stays".into()
            }
        })
    }
}
