//! The one error of the crate: what could not be done, where, found against expected, and a hint.
//!
//! Each stage keeps its own small list of faults in a file of this folder; a fault's `Display` is one
//! sentence without the closing stop, its `hint` the next thing to try.

mod book;
mod calendar;
mod card;
mod desk;
mod file;
mod net;
mod order;
mod photo;
mod ribbon;
mod text;
mod usage;

pub use book::BookFault;
pub use calendar::CalendarFault;
pub use card::CardFault;
pub use desk::DeskFault;
pub use file::FileFault;
pub use net::NetFault;
pub use order::OrderFault;
pub use photo::PhotoFault;
pub use ribbon::RibbonFault;
pub use text::TextFault;
pub use usage::UsageFault;

use std::fmt;

/// `Result` with the crate's [`Error`].
pub type Result<T> = std::result::Result<T, Error>;

/// What went wrong, with the cause beneath it if another program or library reported one.
#[derive(Debug)]
pub struct Error {
    fault: Fault,
    cause: Option<Box<dyn std::error::Error + Send + Sync>>,
}

/// The stage a fault belongs to, with the fault.
#[derive(Debug)]
#[non_exhaustive]
pub enum Fault {
    /// A file could not be read, written or understood.
    File(FileFault),
    /// A photograph could not be opened or flattened.
    Photo(PhotoFault),
    /// A trained network could not be run.
    Net(NetFault),
    /// A page could not be read.
    Text(TextFault),
    /// A book's page map could not be built or changed.
    Book(BookFault),
    /// A date or a calendar was refused.
    Calendar(CalendarFault),
    /// The order of service could not be made.
    Order(OrderFault),
    /// The ribbons could not be laid.
    Ribbon(RibbonFault),
    /// The card could not be made.
    Card(CardFault),
    /// The desk refused a request.
    Desk(DeskFault),
    /// What was typed cannot be done.
    Usage(UsageFault),
}

impl Error {
    /// Adds the error that another library or the system gave.
    pub fn because(mut self, cause: impl Into<Box<dyn std::error::Error + Send + Sync>>) -> Self {
        self.cause = Some(cause.into());
        self
    }

    /// The fault, for callers that act on it.
    pub fn fault(&self) -> &Fault {
        &self.fault
    }

    /// The error with all its causes, on one line.
    pub fn whole(&self) -> String {
        let mut line = self.to_string();
        let mut cause = std::error::Error::source(self);
        while let Some(e) = cause {
            // Other libraries write their errors over several lines.
            let said = e.to_string().split_whitespace().collect::<Vec<_>>().join(" ");
            // Some repeat their causes.
            if !line.contains(&said) {
                line.push_str(&format!(" ({said})"));
            }
            cause = e.source();
        }
        readable(&line)
    }

    /// The next thing to try, if there is one.
    pub fn hint(&self) -> Option<String> {
        let hint = match &self.fault {
            Fault::File(f) => f.hint(),
            Fault::Photo(f) => f.hint(),
            Fault::Net(f) => f.hint(),
            Fault::Text(f) => f.hint(),
            Fault::Book(f) => f.hint(),
            Fault::Calendar(f) => f.hint(),
            Fault::Order(f) => f.hint(),
            Fault::Ribbon(f) => f.hint(),
            Fault::Card(f) => f.hint(),
            Fault::Desk(f) => f.hint(),
            Fault::Usage(f) => f.hint(),
        };
        hint.map(|hint| readable(&hint))
    }
}

/// Longest line told to a person; what was typed or found in a file may have any length.
const LONGEST: usize = 600;

/// A sentence that quotes what somebody typed or a file held, without what would steer the terminal and not
/// too long.
fn readable(sentence: &str) -> String {
    let on_one_line = |c| if matches!(c, '\n' | '\t') { ' ' } else { crate::format::shown(c) };
    let mut shown: String = sentence.chars().map(on_one_line).take(LONGEST).collect();
    if sentence.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match &self.fault {
            Fault::File(e) => e.fmt(f),
            Fault::Photo(e) => e.fmt(f),
            Fault::Net(e) => e.fmt(f),
            Fault::Text(e) => e.fmt(f),
            Fault::Book(e) => e.fmt(f),
            Fault::Calendar(e) => e.fmt(f),
            Fault::Order(e) => e.fmt(f),
            Fault::Ribbon(e) => e.fmt(f),
            Fault::Card(e) => e.fmt(f),
            Fault::Desk(e) => e.fmt(f),
            Fault::Usage(e) => e.fmt(f),
        }
    }
}

impl std::error::Error for Error {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.cause.as_deref().map(|c| c as _)
    }
}

/// Gives each stage's fault its way into [`Error`].
macro_rules! from_fault {
    ($($variant:ident: $fault:ty),*) => {$(
        impl From<$fault> for Error {
            fn from(fault: $fault) -> Self {
                Error { fault: Fault::$variant(fault), cause: None }
            }
        }
    )*};
}
from_fault!(File: FileFault, Photo: PhotoFault, Net: NetFault, Text: TextFault, Book: BookFault, Calendar: CalendarFault, Order: OrderFault, Ribbon: RibbonFault, Card: CardFault, Desk: DeskFault, Usage: UsageFault);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_is_quoted_without_steering_the_terminal() {
        let typed = format!("\u{1b}[2J\u{202e}{}", "long ".repeat(1000));
        let error = Error::from(UsageFault::NoPlace(typed));
        assert!(error.whole().starts_with("\"\u{fffd}[2J\u{fffd}long"));
        assert!(error.whole().chars().count() <= LONGEST + 1);
    }
}
