//! One file for another parish with the same edition: the map and its evidence, without what belongs
//! to this parish's copy.

use super::{Book, Change, Step};

impl Book {
    /// The book as it is given away: no ribbons, tabs, sheets, copies or history.
    pub fn to_share(&self) -> Book {
        let mut shared = Book {
            ribbons: Vec::new(),
            tabs: Vec::new(),
            stickers: Vec::new(),
            copies: Vec::new(),
            history: Vec::new(),
            ..self.clone()
        };
        shared.entries.iter_mut().flat_map(|e| &mut e.evidence).for_each(|e| e.step = 0);
        shared
    }

    /// A book given by another parish, under a name of one's own. Its words and readings stay; its
    /// history starts here.
    pub fn brought(shared: &Book, name: &str, when: &str) -> Book {
        let from = shared.name.clone();
        let mut book = Book { name: name.to_owned(), ..shared.to_share() };
        book.history = vec![Step { when: when.to_owned(), what: Change::Brought { from } }];
        book.infer();
        book
    }
}
