//! Faults of the desk: what a browser asked for that is refused.

use std::fmt;

/// The desk refused a request, or could not be opened.
#[derive(Debug)]
pub enum DeskFault {
    /// No address to listen at.
    NoPort {
        /// Address and port.
        at: String,
    },
    /// The system gives no random numbers for the code.
    NoRandomness,
    /// The request names another host than this desk.
    OtherHost {
        /// Host named.
        found: String,
    },
    /// The request comes from another site's page.
    OtherSite {
        /// Site it comes from.
        found: String,
    },
    /// A device that has not given the code.
    NoCode,
    /// A wrong code.
    WrongCode {
        /// How many more tries this code has.
        left: u8,
    },
    /// What was sent is too large.
    TooLarge {
        /// What was sent: a file's name.
        what: String,
        /// Its size in megabytes, rounded up; none where the sending was broken off.
        found_mb: Option<u64>,
        /// Most megabytes taken.
        limit_mb: u64,
    },
    /// Too many photographs wait to be read.
    TooMany {
        /// Most that may wait.
        limit: usize,
    },
    /// Photographs of the book are being read.
    Busy {
        /// Name of the book.
        book: String,
    },
    /// No photograph waits to be read.
    NothingWaits {
        /// Name of the book.
        book: String,
    },
    /// The request is not understood.
    NotUnderstood {
        /// Where and what, found against expected.
        said: String,
    },
    /// There is nothing at this address.
    Nowhere {
        /// The address asked for.
        path: String,
    },
    /// Another page changed the same thing meanwhile.
    Conflict,
    /// The work ended without an answer.
    Broken,
}

impl fmt::Display for DeskFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::NoPort { at } => write!(f, "the desk cannot be opened at {at}"),
            Self::NoRandomness => write!(f, "the system gives no random numbers for the code"),
            Self::OtherHost { found } => {
                write!(f, "the request is for \"{found}\", expected this desk's own address")
            }
            Self::OtherSite { found } => {
                write!(f, "the request comes from \"{found}\", expected this desk's own page")
            }
            Self::NoCode => write!(f, "this device has not given the code yet"),
            Self::WrongCode { left: 0 } => {
                write!(f, "this is not the code, and it was the last try: a new code is shown")
            }
            Self::WrongCode { left } => write!(f, "this is not the code; {left} tries are left"),
            Self::TooLarge { what, found_mb: Some(found), limit_mb } => {
                write!(f, "{what} has {found} MB, expected at most {limit_mb} MB")
            }
            Self::TooLarge { what, found_mb: None, limit_mb } => {
                write!(f, "{what} is larger than {limit_mb} MB, the most that is taken")
            }
            Self::TooMany { limit } => {
                write!(f, "{limit} photographs wait to be read already, the most that may wait")
            }
            Self::Busy { book } => {
                write!(f, "photographs of \"{book}\" wait or are being read just now")
            }
            Self::NothingWaits { book } => {
                write!(f, "no photograph of \"{book}\" waits to be read")
            }
            Self::NotUnderstood { said } => write!(f, "the request is not understood: {said}"),
            Self::Nowhere { path } => write!(f, "there is nothing at {path}"),
            Self::Conflict => write!(f, "another page has changed this meanwhile"),
            Self::Broken => write!(f, "the work broke off, nothing was changed"),
        }
    }
}

impl DeskFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(
            match self {
                Self::NoPort { .. } => {
                    "choose another port, e.g. --port 7450; perhaps a desk is open already"
                }
                Self::NoRandomness => "open the desk without --lan",
                Self::OtherHost { .. } => "open the address that vitta desk shows in the terminal",
                Self::OtherSite { .. } => "open the desk in a window of its own and do it there",
                Self::NoCode | Self::WrongCode { .. } => {
                    "type the code that vitta desk shows in the terminal"
                }
                Self::TooLarge { .. } => {
                    "save a smaller copy: 12 million pixels are plenty for one page"
                }
                Self::TooMany { .. } => "have those read first, then add the others",
                Self::Busy { .. } => "wait until they are read, or put back those that wait",
                Self::NothingWaits { .. } => "take or choose photographs first",
                Self::NotUnderstood { .. } | Self::Nowhere { .. } => {
                    "load the page again; it may be of an older vitta"
                }
                Self::Conflict => "look at both and choose",
                Self::Broken => "try again; if it happens again, restart vitta desk",
            }
            .into(),
        )
    }
}
