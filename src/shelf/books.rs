//! Books renamed, put away and brought back.
//!
//! What moves is written in its new place before it is taken from the old one, so that a program broken off in
//! between loses nothing; the same call then goes on.

use super::{Over, Shelf, book_path, stem};
use crate::book::Book;
use crate::error::{FileFault, UsageFault};
use crate::{Error, Result, format};

impl Shelf {
    /// Gives the book called `name` the name `to`, with its photographs; the parish's book for the chair stays the
    /// same book. Refused where there is one of that name, on the shelf or put away.
    pub fn rename(&self, name: &str, to: &str) -> Result<Book> {
        let (old, new) = (book_path(name)?, book_path(to)?);
        if old == new {
            let (book, ()) = self.change(name, |book| {
                book.name = to.to_owned();
                Ok(())
            })?;
            return Ok(book);
        }
        let kept = self.store.get(&old)?.ok_or_else(|| self.no_such_book(name))?;
        let book: Book = format::parse_bytes(&kept.bytes, &self.store.name(&old))?;
        let from = book.name.clone();
        let book = Book { name: to.to_owned(), ..book };
        let same = self.find(to)?.is_some_and(|there| there == book);
        if !same {
            self.is_free(to)?;
        }
        self.move_photographs(name, to, false)?;
        if !same {
            self.begin(&book)?;
        }
        if !self.store.remove(&old, Some(kept.mark))? {
            return Err(FileFault::Contended(self.store.name(&old)).into());
        }
        self.move_photographs(name, to, true)?;
        let is_it = |chair: &String| stem(chair).ok() == stem(&from).ok();
        if self.parish()?.settings.chair_book.as_ref().is_some_and(is_it) {
            self.change_parish(|parish| {
                parish.settings.chair_book = Some(to.to_owned());
                Ok(())
            })?;
        }
        Ok(book)
    }

    /// Puts the book called `name` away: it keeps everything, and no list names it until it is brought back.
    pub fn put_away(&self, name: &str) -> Result<()> {
        let missing = || self.no_such_book(name);
        self.carry(&book_path(name)?, &away_path(name)?, missing)
    }

    /// Brings the book called `name`, which was put away, back on the shelf.
    pub fn bring_back(&self, name: &str) -> Result<()> {
        let missing = || match self.away() {
            Ok(known) => UsageFault::NotAway { name: name.to_owned(), known }.into(),
            Err(error) => error,
        };
        self.carry(&away_path(name)?, &book_path(name)?, missing)
    }

    /// The names of the books that are put away, sorted.
    pub fn away(&self) -> Result<Vec<String>> {
        self.books_in(AWAY)
    }

    /// Refuses a name that a book has, on the shelf or put away.
    pub(crate) fn is_free(&self, name: &str) -> Result<()> {
        if self.store.get(&away_path(name)?)?.is_some() {
            return Err(UsageFault::BookIsAway(name.to_owned()).into());
        }
        match self.store.get(&book_path(name)?)? {
            Some(_) => Err(UsageFault::BookIsThere(name.to_owned()).into()),
            None => Ok(()),
        }
    }

    /// Moves a file of a book; what stands at `to` must be the same, if anything does.
    fn carry(&self, from: &str, to: &str, missing: impl Fn() -> Error) -> Result<()> {
        let kept = self.store.get(from)?.ok_or_else(missing)?;
        if let Some(there) = self.store.get(to)?
            && there.bytes != kept.bytes
        {
            let name = |path: &str| self.store.name(path).file_stem().map(|s| s.to_owned());
            let name = name(to).unwrap_or_default().to_string_lossy().into_owned();
            return Err(UsageFault::BookIsThere(name).into());
        }
        self.store.put(to, &kept.bytes, Over::Anything)?;
        match self.store.remove(from, Some(kept.mark))? {
            true => Ok(()),
            false => Err(FileFault::Contended(self.store.name(from)).into()),
        }
    }

    /// Copies the photographs of a book to another name's, or, where they are there, removes the old ones.
    fn move_photographs(&self, from: &str, to: &str, remove: bool) -> Result<()> {
        let [from, to] = [from, to].map(|name| stem(name).map(|s| format!("photographs/{s}")));
        let (from, to) = (from?, to?);
        for (file, _) in self.store.list(&from)? {
            let old = format!("{from}/{file}");
            match remove {
                true => {
                    self.store.remove(&old, None)?;
                }
                false => {
                    if let Some(kept) = self.store.get(&old)? {
                        let over = Over::Anything;
                        self.store.put(&format!("{to}/{file}"), &kept.bytes, over)?;
                    }
                }
            }
        }
        Ok(())
    }
}

/// Where books are that were put away.
const AWAY: &str = "away";

fn away_path(name: &str) -> Result<String> {
    Ok(format!("{AWAY}/{}.json", stem(name)?))
}
