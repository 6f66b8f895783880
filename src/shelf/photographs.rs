//! A photograph's way onto the shelf: read, and kept upright beside the book, so that a person can see
//! the print a page was read from.

use super::Shelf;
use crate::error::FileFault;
use crate::language::Language;
use crate::photo::{self, Page, Photo};
use crate::text::{self, Reading};
use crate::{Error, Result, format};
use image::codecs::jpeg::JpegEncoder;
use std::path::{Path, PathBuf};

/// Small print stays readable at this quality, and a photograph of 12 megapixels stays under 3 MB (by
/// trial on the photographs in `fixtures/photos`).
const QUALITY: u8 = 75;

/// A photograph and what was read on it.
pub struct ReadPhoto {
    /// The photograph.
    pub photo: Photo,
    /// Its pages, flattened.
    pub pages: Vec<Page>,
    /// What was read.
    pub reading: Reading,
}

/// Loads, flattens and reads one photograph, of a file with several pictures that at `page`, from 0.
pub fn read_photograph(file: &Path, page: usize, printed: Option<Language>) -> Result<ReadPhoto> {
    let photo = photo::load_page(file, page)?;
    let pages = photo::flatten(&photo)?;
    let reading = text::read(&photo.name, &pages, printed)?;
    Ok(ReadPhoto { photo, pages, reading })
}

impl Shelf {
    /// Keeps a photograph that was read into the book called `book`: upright, in its own size, as JPEG,
    /// without what the camera noted of place and time.
    pub fn keep_photo(&self, book: &str, photo: &Photo) -> Result<()> {
        let file = self.photo_file(book, &photo.name)?;
        let unwritable = || Error::from(FileFault::Unwritable(file.clone()));
        if let Some(folder) = file.parent() {
            std::fs::create_dir_all(folder).map_err(|e| unwritable().because(e))?;
        }
        let mut bytes = Vec::new();
        JpegEncoder::new_with_quality(&mut bytes, QUALITY)
            .encode_image(&photo.image)
            .map_err(|e| unwritable().because(e))?;
        format::write_bytes(&bytes, &file)
    }

    /// Where the photograph called `photo` of a book is kept, whether it is there or not. Of both names
    /// only letters, digits and hyphens remain, so that the file is always in the shelf.
    pub fn photo_file(&self, book: &str, photo: &str) -> Result<PathBuf> {
        let (book, photo) = (super::stem(book)?, super::stem(photo)?);
        Ok(self.folder().join("photographs").join(book).join(format!("{photo}.jpg")))
    }
}
