//! Names that tell a book's photographs apart: two of one name but of another content are two photographs.

use crate::book::Book;
use crate::text::Reading;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// Digits of a content's mark in a name: of a few hundred photographs no two share them.
const MARK: usize = 8;

/// The photographs of a book by their names, each with the digest of its content; an empty one where it is not known.
#[derive(Debug, Default)]
pub struct PhotoNames(Mutex<BTreeMap<String, String>>);

impl PhotoNames {
    /// Those of a book, if there is one.
    pub fn of(book: Option<&Book>) -> Self {
        let Some(book) = book else { return PhotoNames::default() };
        let mut names: BTreeMap<String, String> =
            book.photos().into_iter().map(|name| (name, String::new())).collect();
        names.extend(book.contents.clone());
        PhotoNames(Mutex::new(names))
    }

    /// What the photograph with this content is called in the book: as its file `typed`, unless another has that name.
    pub fn name(&self, typed: &str, content: &str) -> String {
        let mut names = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let same_file = |other: &str| match (super::stem(typed), super::stem(other)) {
            (Ok(a), Ok(b)) => a == b,
            _ => typed == other,
        };
        let mut taken = names.iter().filter(|(name, _)| same_file(name));
        let name = match taken.next() {
            Some((name, known)) if known == content => return name.clone(),
            Some(_) => marked(typed, content),
            None => typed.to_owned(),
        };
        names.insert(name.clone(), content.to_owned());
        name
    }

    /// All names with the contents known of them.
    pub fn contents(self) -> BTreeMap<String, String> {
        let mut names = self.0.into_inner().unwrap_or_else(PoisonError::into_inner);
        names.retain(|_, content| !content.is_empty());
        names
    }
}

/// A name with a mark of the content before its ending.
fn marked(typed: &str, content: &str) -> String {
    let mark: String = content.chars().filter(char::is_ascii_alphanumeric).take(MARK).collect();
    let path = Path::new(typed);
    let part = |p: Option<&std::ffi::OsStr>| p.map(|p| p.to_string_lossy().into_owned());
    match (part(path.file_stem()), part(path.extension())) {
        (Some(stem), Some(ending)) => format!("{stem}-{mark}.{ending}"),
        _ => format!("{typed}-{mark}"),
    }
}

/// A reading under another name of its photograph.
pub fn renamed(mut reading: Reading, name: &str) -> Reading {
    reading.file = name.to_owned();
    reading.rows.iter_mut().for_each(|row| row.strip.photo = name.to_owned());
    reading
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn photographs_of_one_name_and_another_content_have_two_names() {
        let names = PhotoNames::default();
        assert_eq!(names.name("IMG_1.jpg", "aa11bb22cc33"), "IMG_1.jpg");
        assert_eq!(names.name("IMG_1.jpg", "dd44ee55ff66"), "IMG_1-dd44ee55.jpg");
        assert_eq!(names.name("IMG_1.jpg", "dd44ee55ff66"), "IMG_1-dd44ee55.jpg");
        assert_eq!(names.name("IMG_1.jpg", "aa11bb22cc33"), "IMG_1.jpg");
        // On the shelf these two would be one file.
        assert_eq!(names.name("img-1.jpg", "7788"), "img-1-7788.jpg");
        assert_eq!(names.contents().len(), 3);
    }
}
