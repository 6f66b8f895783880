//! One file for another parish with the same edition: the map and its evidence, without what belongs
//! to this parish's copy.

use super::{Book, Change, Entry, Said, State, Step};
use crate::Result;
use crate::error::BookFault;

impl Book {
    /// The book as it is given away: no ribbons, tabs, sheets, copies or history.
    pub fn to_share(&self) -> Book {
        let mut shared = Book {
            ribbons: Vec::new(),
            tabs: Vec::new(),
            stickers: Vec::new(),
            copies: Vec::new(),
            history: Vec::new(),
            undone: Vec::new(),
            ..self.clone()
        };
        shared.entries.iter_mut().flat_map(|e| &mut e.evidence).for_each(|e| e.step = 0);
        shared
    }

    /// A book given by another parish, under a name of one's own. Its words and readings stay; its
    /// history starts here. A page marked as confirmed is a word, whether the file says so or not; any other page
    /// that is not reckoned must come with what was read, or the file is refused.
    pub fn brought(shared: &Book, name: &str, when: &str) -> Result<Book> {
        let from = shared.name.clone();
        let mut book = Book { name: name.to_owned(), ..shared.to_share() };
        for entry in book.entries.iter_mut().filter(|e| e.said.is_none()) {
            match entry.state {
                State::Confirmed => entry.said = entry.page.clone().map(Said::Page),
                State::Absent if entry.evidence.is_empty() => entry.said = entry.is_denied(),
                _ => {}
            }
        }
        let unsupported: Vec<&Entry> = book.entries.iter().filter(|e| e.is_unsupported()).collect();
        if let [first, ..] = unsupported[..] {
            return Err(BookFault::Unsupported {
                places: unsupported.len(),
                first: first.place.clone(),
                page: first.page.clone().unwrap_or_default(),
            }
            .into());
        }
        book.history = vec![Step { when: when.to_owned(), what: Change::Brought { from } }];
        book.infer();
        Ok(book)
    }
}

impl Entry {
    /// A word that the place is not in the book, where the file is surer of that than a map without a word is.
    fn is_denied(&self) -> Option<Said> {
        (self.probability >= 1.0).then_some(Said::Absent)
    }

    /// Whether it claims a page that nothing in the file speaks for.
    fn is_unsupported(&self) -> bool {
        let claims = matches!(self.state, State::Read | State::Mended | State::Doubtful);
        let read = || {
            let labels = self.evidence.iter().flat_map(|e| &e.alternatives);
            labels.map(|a| &a.page).any(|p| Some(p) == self.page.as_ref())
        };
        let spoken = self.said.is_some()
            || match self.state {
                State::Read => read(),
                _ => !self.evidence.is_empty(),
            };
        claims && self.page.is_some() && !spoken
    }
}
