//! The folder or bucket where the books and the parish live: one JSON file for each book, and the photographs
//! it was read from.

mod books;
mod mass;
mod names;
mod parish;
mod photographs;
mod spread;
mod store;
mod week;

pub use mass::{Mass, table, wanted};
pub use names::{PhotoNames, renamed};
pub use parish::{Parish, calendar};
pub use photographs::{KeptPhotos, ReadPhoto, read_photograph};
pub use spread::{USUAL_PIXELS, spread};
pub use store::Mark;
pub use week::{MassAt, masses};

use crate::book::Book;
use crate::calendar::Calendar;
use crate::error::{FileFault, UsageFault};
use crate::format::{self, Format};
use crate::text::Reading;
use crate::{Error, Result};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use store::{Over, Store};

/// A shelf of books, in a folder or in a bucket that many parishes share.
#[derive(Debug, Clone)]
pub struct Shelf {
    store: Store,
}

impl Shelf {
    /// The shelf in `folder`, which need not exist yet.
    pub fn at(folder: impl Into<PathBuf>) -> Self {
        Shelf { store: Store::folder(folder.into()) }
    }

    /// The shelf at an address: a folder, or a bucket such as `s3://bucket/prefix`, for which the usual
    /// environment variables (`AWS_ACCESS_KEY_ID`, `AWS_ENDPOINT_URL` …) are read.
    pub fn at_address(address: &Path) -> Result<Self> {
        Ok(Shelf { store: Store::at(address)? })
    }

    /// The shelf of this user, in the system's folder for application data; none where the system
    /// has no home folder for the user.
    pub fn of_user() -> Option<Self> {
        directories::ProjectDirs::from("", "", "vitta").map(|d| Shelf::at(d.data_dir()))
    }

    /// Where it is: its folder or its address.
    pub fn address(&self) -> PathBuf {
        self.store.name("")
    }

    /// The parish of this shelf; where it has no file, the general calendar and usual habits.
    pub fn parish(&self) -> Result<Parish> {
        Ok(self.get(PARISH)?.unwrap_or_default())
    }

    /// Changes what the parish has settled, and keeps it if it is another then. Where somebody else was quicker,
    /// `change` is done once more on what they left.
    pub fn change_parish<R>(
        &self,
        mut change: impl FnMut(&mut Parish) -> Result<R>,
    ) -> Result<(Parish, R)> {
        self.alter(PARISH, |parish: Option<Parish>| {
            let mut parish = parish.unwrap_or_default();
            let answer = change(&mut parish)?;
            Ok((parish, answer))
        })
    }

    /// The parish's file, which need not exist.
    pub fn parish_file(&self) -> PathBuf {
        self.store.name(PARISH)
    }

    /// The parish's calendar.
    pub fn calendar(&self) -> Result<Calendar> {
        self.calendar_called(&self.parish()?.calendar)
    }

    /// The parish's book for the chair, if it has one on this shelf.
    pub fn chair_book(&self, parish: &Parish) -> Result<Option<Book>> {
        parish.settings.chair_book.as_deref().map_or(Ok(None), |name| self.find(name))
    }

    /// The file of the book called `name`: letters and digits of the name in lower case, anything
    /// else a hyphen. A name without any letter or digit is refused.
    pub fn book_file(&self, name: &str) -> Result<PathBuf> {
        Ok(self.store.name(&book_path(name)?))
    }

    /// The names of the books, sorted.
    pub fn names(&self) -> Result<Vec<String>> {
        self.books_in("books")
    }

    fn books_in(&self, folder: &str) -> Result<Vec<String>> {
        let files = self.store.list(folder)?;
        Ok(files
            .iter()
            .filter_map(|(file, _)| Some(file.strip_suffix(".json")?.to_owned()))
            .collect())
    }

    /// The book called `name`, or the one in the file `name` where that is a path to a JSON file of this
    /// machine.
    pub fn open(&self, name: &str) -> Result<Book> {
        if name.ends_with(".json") {
            return format::read(Path::new(name));
        }
        self.find(name)?.ok_or_else(|| self.no_such_book(name))
    }

    /// The book called `name` if the shelf has it.
    pub fn find(&self, name: &str) -> Result<Option<Book>> {
        self.get(&book_path(name)?)
    }

    /// Changes the book called `name`, and keeps it if it is another then. Where somebody else was quicker,
    /// `change` is done once more on what they left.
    pub fn change<R>(
        &self,
        name: &str,
        mut change: impl FnMut(&mut Book) -> Result<R>,
    ) -> Result<(Book, R)> {
        self.alter(&book_path(name)?, |book: Option<Book>| {
            let mut book = book.ok_or_else(|| self.no_such_book(name))?;
            let answer = change(&mut book)?;
            Ok((book, answer))
        })
    }

    /// Puts a new book on the shelf under its own name; refused where there is one of that name, on the shelf or put
    /// away. Returns its file.
    pub fn begin(&self, book: &Book) -> Result<PathBuf> {
        self.is_free(&book.name)?;
        self.alter(&book_path(&book.name)?, |there: Option<Book>| match there {
            Some(_) => Err(UsageFault::BookIsThere(book.name.clone()).into()),
            None => Ok((book.clone(), ())),
        })?;
        self.book_file(&book.name)
    }

    /// Puts what was read into the book called `name`; where there is none, `begin` makes one of it. `contents` are
    /// the digests of the photographs by their names.
    pub fn read_into(
        &self,
        name: &str,
        readings: &[Reading],
        contents: &BTreeMap<String, String>,
        begin: impl Fn() -> Book,
    ) -> Result<Book> {
        let when = now();
        let read = |book: Option<Book>| {
            let mut book = match book {
                Some(mut book) => {
                    book.read(readings, &when);
                    book
                }
                None => {
                    self.is_free(name)?;
                    begin()
                }
            };
            book.contents.extend(contents.clone());
            Ok((book, ()))
        };
        Ok(self.alter(&book_path(name)?, read)?.0)
    }

    /// Puts `book` on the shelf under its own name, whatever was there; returns its file.
    pub fn put(&self, book: &Book) -> Result<PathBuf> {
        let path = book_path(&book.name)?;
        let file = self.store.name(&path);
        self.store.put(&path, format::to_text(book, &file)?.as_bytes(), Over::Anything)?;
        Ok(file)
    }

    fn no_such_book(&self, name: &str) -> Error {
        match self.names() {
            Ok(known) => FileFault::NoSuchBook { name: name.to_owned(), known }.into(),
            Err(error) => error,
        }
    }

    /// A file of the shelf, if it is there.
    fn get<T: Format>(&self, path: &str) -> Result<Option<T>> {
        let kept = self.store.get(path)?;
        kept.map(|kept| format::parse_bytes(&kept.bytes, &self.store.name(path))).transpose()
    }

    /// Changes a file of the shelf; written only if `change` gives another value than it was given. Returns the
    /// value that then stands there.
    fn alter<T: Format + Clone + PartialEq, R>(
        &self,
        path: &str,
        mut change: impl FnMut(Option<T>) -> Result<(T, R)>,
    ) -> Result<(T, R)> {
        let file = self.store.name(path);
        self.store.alter(path, |bytes| {
            let before: Option<T> = bytes.map(|b| format::parse_bytes(b, &file)).transpose()?;
            let (after, answer) = change(before.clone())?;
            let same = before.is_some_and(|before| before == after);
            let bytes = (!same).then(|| format::to_text(&after, &file)).transpose()?;
            Ok((bytes.map(String::into_bytes), (after, answer)))
        })
    }
}

/// Where the parish is on its shelf.
const PARISH: &str = "parish.json";

fn book_path(name: &str) -> Result<String> {
    Ok(format!("books/{}.json", stem(name)?))
}

/// A file's name for `name`: its letters and digits in lower case, anything else a hyphen.
fn stem(name: &str) -> Result<String> {
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    let stem = words.collect::<Vec<_>>().join("-").to_lowercase();
    if stem.is_empty() { Err(FileFault::BadName(name.to_owned()).into()) } else { Ok(stem) }
}

/// The moment now, for a book's history.
pub fn now() -> String {
    chrono::Local::now().format("%Y-%m-%d %H:%M:%S").to_string()
}
