//! Faults of the stage `ribbon`.

use std::fmt;

/// The ribbons could not be laid.
#[derive(Debug)]
pub enum RibbonFault {
    /// The copy's ribbons are not known.
    NoRibbons {
        /// Name of the book.
        book: String,
    },
    /// The service has no text that is in the book.
    NothingInBook {
        /// Name of the book.
        book: String,
        /// Texts the service needs.
        texts: usize,
    },
    /// A ribbon is to stay in a section of which the book has no page.
    NoSection {
        /// Name of the book.
        book: String,
        /// The ribbon.
        ribbon: String,
        /// The section's title.
        section: String,
    },
    /// Something was not timed, or took no time.
    NotTimed {
        /// What the hand was to do.
        what: &'static str,
    },
    /// A search took no longer than opening at a ribbon.
    SearchIsFaster,
    /// The costs make a walk that the plan cannot be computed with.
    Costs,
}

impl fmt::Display for RibbonFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::NoRibbons { book } => {
                write!(f, "nobody has said how many ribbons the copy \"{book}\" has")
            }
            Self::NothingInBook { book, texts } => {
                write!(f, "none of the {texts} texts of this service has a page in \"{book}\"")
            }
            Self::NoSection { book, ribbon, section } => write!(
                f,
                "the {ribbon} ribbon of \"{book}\" is to stay in \"{section}\", of which the book has no page"
            ),
            Self::NotTimed { what } => write!(f, "{what} was not timed or took no time"),
            Self::SearchIsFaster => {
                write!(f, "a search took no longer than opening the book at a ribbon")
            }
            Self::Costs => write!(f, "the costs of turning pages are not a walk that never falls"),
        }
    }
}

impl RibbonFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::NoRibbons { .. } => {
                "say it, e.g. --ribbons 6; --ribbons 0 gives the pages in order".into()
            }
            Self::NothingInBook { .. } => {
                "photograph the contents pages with the Proper of Time and the Order of Mass".into()
            }
            Self::NoSection { book, .. } => {
                format!(
                    "let it go with `vitta book marks {book} --free` and its colour, or photograph the contents pages with it"
                )
            }
            Self::NotTimed { .. } | Self::SearchIsFaster => {
                "time it again with the altar book at hand; nothing was changed".into()
            }
            Self::Costs => "leave the costs out of the parish file to use the usual ones".into(),
        })
    }
}
