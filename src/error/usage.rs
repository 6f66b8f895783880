//! Faults of what was typed on the command line.

use std::fmt;
use std::path::PathBuf;

/// What was typed cannot be done.
#[derive(Debug)]
pub enum UsageFault {
    /// Not a date. `why` says what is wrong with it.
    NoDate {
        /// What was typed.
        typed: String,
        /// What is wrong with it.
        why: String,
    },
    /// More ribbons than the copy has.
    FewerRibbons {
        /// Name of the book.
        book: String,
        /// Ribbons of the copy.
        has: usize,
        /// Ribbons typed.
        typed: usize,
    },
    /// The copy has no such ribbon.
    NoRibbon {
        /// What was typed.
        typed: String,
        /// The colours that there are.
        some: Vec<String>,
    },
    /// A ribbon and its section were to be given.
    NoRibbonKept(String),
    /// No text of the kind asked for goes by that title.
    NoTitle {
        /// What was typed.
        typed: String,
        /// What was to be named.
        what: &'static str,
        /// Some that can be.
        some: Vec<String>,
    },
    /// The command line could not be understood.
    Typed {
        /// What is wrong with it.
        said: String,
        /// What to try.
        hint: String,
    },
    /// More numbers of ribbons than books.
    TooManyRibbons {
        /// Numbers of ribbons typed.
        numbers: usize,
        /// Books typed.
        books: usize,
    },
    /// The book for the chair is not among the books on the table.
    ChairNotHere(String),
    /// A cost was to be given as name and number.
    NoCost(String),
    /// The input ended before all was timed.
    NoMoreEnter,
    /// There is no Mass on the days asked for.
    NoMass,
    /// Not the id of a celebration.
    NoPlace(String),
    /// A mark of a copy was to be given as page and name.
    NoMark(String),
    /// A book of this name is on the shelf already.
    BookIsThere(String),
    /// A book of this name is put away.
    BookIsAway(String),
    /// No book of this name is put away.
    NotAway {
        /// The name asked for.
        name: String,
        /// The books that are.
        known: Vec<String>,
    },
    /// Two files of one name, whose readings would be kept in one place.
    SameName {
        /// The one.
        one: PathBuf,
        /// The other.
        other: PathBuf,
    },
    /// Ctrl-C was pressed before anything was read.
    Stopped,
}

impl fmt::Display for UsageFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::NoDate { typed, why } => write!(f, "\"{typed}\" is no date: {why}"),
            Self::FewerRibbons { book, has, typed } => {
                let ribbons = if *has == 1 { "ribbon" } else { "ribbons" };
                write!(f, "the copy \"{book}\" has {has} {ribbons}, but {typed} were asked for")
            }
            Self::NoRibbon { typed, .. } => write!(f, "there is no ribbon \"{typed}\""),
            Self::NoRibbonKept(typed) => {
                write!(f, "\"{typed}\" says no place: a ribbon, \"=\" and a section are expected")
            }
            Self::NoTitle { typed, what, .. } => {
                write!(f, "\"{typed}\" is not the title of one {what}")
            }
            Self::Typed { said, .. } => write!(f, "{said}"),
            Self::TooManyRibbons { numbers, books } => {
                let books = if *books == 1 { "1 book".into() } else { format!("{books} books") };
                write!(f, "--ribbons is given {numbers} times for {books}")
            }
            Self::ChairNotHere(name) => {
                write!(f, "the book \"{name}\" for the chair is not among the books given")
            }
            Self::NoCost(typed) => {
                write!(
                    f,
                    "\"{typed}\" is no cost: a name, \"=\" and hundredths of a leaf are expected"
                )
            }
            Self::NoMoreEnter => write!(f, "the input ended before everything was timed"),
            Self::NoMass => write!(f, "there is no Mass on the days asked for"),
            Self::NoMark(typed) => {
                write!(f, "\"{typed}\" is no mark: a page, \"=\" and a name are expected")
            }
            Self::BookIsThere(name) => {
                write!(f, "a book called \"{name}\" is on the shelf already")
            }
            Self::BookIsAway(name) => write!(f, "a book called \"{name}\" is put away"),
            Self::NotAway { name, known } if known.is_empty() => {
                write!(f, "no book is put away, so not \"{name}\" either")
            }
            Self::NotAway { name, known } => {
                write!(f, "no book \"{name}\" is put away, only {}", known.join(", "))
            }
            Self::SameName { one, other } => write!(
                f,
                "{} and {} have one name, and --out keeps a photograph's readings by its name",
                one.display(),
                other.display()
            ),
            Self::Stopped => write!(f, "stopped before a photograph was read"),
            Self::NoPlace(typed) => {
                write!(
                    f,
                    "\"{typed}\" is no id: lower-case letters, digits, hyphens and slashes are expected"
                )
            }
        }
    }
}

impl UsageFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::NoDate { .. } => {
                "write year-month-day, e.g. 2026-12-08, or today, tomorrow, sunday".into()
            }
            Self::FewerRibbons { has, .. } => {
                format!(
                    "give at most --ribbons {has}, or correct the copy's ribbons in `vitta desk`"
                )
            }
            Self::NoRibbon { some, .. } if some.is_empty() => {
                "say how many the copy has, e.g. --ribbons 6, or their colours with `vitta book marks`".into()
            }
            Self::NoRibbon { some, .. } => {
                format!("write its number from the spine, or one of: {}", some.join(", "))
            }
            Self::NoRibbonKept(_) => "write e.g. green=\"Order of Mass\"".into(),
            Self::NoTitle { some, .. } if some.is_empty() => "write more of its title".into(),
            Self::NoTitle { some, .. } => format!("write one of: {}", some.join("; ")),
            Self::Typed { hint, .. } => hint.clone(),
            Self::TooManyRibbons { .. } => {
                "give it once for each book, in their order, e.g. --ribbons 2 --ribbons 6".into()
            }
            Self::ChairNotHere(name) => format!("add --book {name}"),
            Self::NoCost(_) => "write e.g. pull=180; `vitta parish show` lists the names".into(),
            Self::NoMoreEnter => "run it on a terminal and press Enter; nothing was changed".into(),
            Self::NoMass => "ask for more --days".into(),
            Self::NoMark(_) => "write e.g. 531=Prefaces, or 1747a=saints/06-30/patron".into(),
            Self::BookIsThere(_) => "give another name".into(),
            Self::BookIsAway(name) => {
                format!("give another name, or bring it back: vitta book back {name}")
            }
            Self::NotAway { .. } => "`vitta book list --away` shows the books put away".into(),
            Self::SameName { .. } => "read them in two calls, each with an --out of its own".into(),
            Self::Stopped => "nothing was written".into(),
            Self::NoPlace(_) => "`vitta day` lists the titles of a day's celebrations".into(),
        })
    }
}
