//! The folder where the books and the parish live: one JSON file for each book, and the photographs it
//! was read from.

mod mass;
mod parish;
mod photographs;
mod week;

pub use mass::{Mass, table, wanted};
pub use parish::{Parish, calendar};
pub use photographs::{ReadPhoto, read_photograph};
pub use week::{MassAt, masses};

use crate::Result;
use crate::book::Book;
use crate::calendar::Calendar;
use crate::error::FileFault;
use crate::format;
use std::path::{Path, PathBuf};

/// A shelf of books in a folder.
#[derive(Debug, Clone)]
pub struct Shelf {
    folder: PathBuf,
}

impl Shelf {
    /// The shelf in `folder`, which need not exist yet.
    pub fn at(folder: impl Into<PathBuf>) -> Self {
        Shelf { folder: folder.into() }
    }

    /// The shelf of this user, in the system's folder for application data; none where the system
    /// has no home folder for the user.
    pub fn of_user() -> Option<Self> {
        directories::ProjectDirs::from("", "", "vitta").map(|d| Shelf::at(d.data_dir()))
    }

    /// The folder itself.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The parish of this shelf; where it has no file, the general calendar and usual habits.
    pub fn parish(&self) -> Result<Parish> {
        let file = self.parish_file();
        if file.exists() { format::read(&file) } else { Ok(Parish::default()) }
    }

    /// Keeps the parish in place of what was settled before.
    pub fn put_parish(&self, parish: &Parish) -> Result<()> {
        self.put_file(parish, &self.parish_file())
    }

    /// Writes a file of the shelf; its folder is made where it is not there yet.
    pub fn put_file<T: format::Format>(&self, value: &T, file: &Path) -> Result<()> {
        if let Some(folder) = file.parent() {
            std::fs::create_dir_all(folder).map_err(|e| {
                crate::Error::from(FileFault::Unwritable(folder.to_owned())).because(e)
            })?;
        }
        format::write(value, file)
    }

    /// The parish's file, which need not exist.
    pub fn parish_file(&self) -> PathBuf {
        self.folder.join("parish.json")
    }

    /// The parish's calendar.
    pub fn calendar(&self) -> Result<Calendar> {
        calendar(&self.parish()?.calendar, &self.folder)
    }

    /// The parish's book for the chair, if it has one on this shelf.
    pub fn chair_book(&self, parish: &Parish) -> Result<Option<Book>> {
        parish.settings.chair_book.as_deref().map_or(Ok(None), |name| self.find(name))
    }

    /// The file of the book called `name`: letters and digits of the name in lower case, anything
    /// else a hyphen. A name without any letter or digit is refused.
    pub fn book_file(&self, name: &str) -> Result<PathBuf> {
        Ok(self.folder.join("books").join(format!("{}.json", stem(name)?)))
    }

    /// The names of the books, sorted.
    pub fn names(&self) -> Result<Vec<String>> {
        let folder = self.folder.join("books");
        let entries = match std::fs::read_dir(&folder) {
            Ok(entries) => entries,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(crate::Error::from(FileFault::Unreadable(folder)).because(e)),
        };
        let mut names: Vec<String> = entries
            .filter_map(|entry| {
                let path = entry.ok()?.path();
                (path.extension()? == "json")
                    .then(|| path.file_stem()?.to_str().map(str::to_owned))?
            })
            .collect();
        names.sort();
        Ok(names)
    }

    /// The book called `name`, or the one in the file `name` where that is a path to a JSON file.
    pub fn open(&self, name: &str) -> Result<Book> {
        if name.ends_with(".json") {
            return format::read(Path::new(name));
        }
        let file = self.book_file(name)?;
        if !file.exists() {
            let known = self.names()?;
            return Err(FileFault::NoSuchBook { name: name.to_owned(), known }.into());
        }
        format::read(&file)
    }

    /// The book called `name` if the shelf has it.
    pub fn find(&self, name: &str) -> Result<Option<Book>> {
        let file = self.book_file(name)?;
        if file.exists() { format::read(&file).map(Some) } else { Ok(None) }
    }

    /// Puts `book` on the shelf under its own name, in place of the one that was there; returns its
    /// file.
    pub fn put(&self, book: &Book) -> Result<PathBuf> {
        let file = self.book_file(&book.name)?;
        self.put_file(book, &file)?;
        Ok(file)
    }
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
