//! A photograph's way onto the shelf: read, and kept upright beside the book, so that a person can see
//! the print a page was read from.

use super::{Over, Shelf};
use crate::error::{FileFault, PhotoFault};
use crate::photo::{self, Photo};
use crate::text::{self, Look, Reading};
use crate::{Error, Result};
use image::codecs::jpeg::JpegEncoder;
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// Small print stays readable at this quality, and a photograph of 12 megapixels stays under 3 MB (by
/// trial on the photographs in `fixtures/photos`).
const QUALITY: u8 = 75;

/// A photograph and what was read on it.
pub struct ReadPhoto {
    /// The photograph.
    pub photo: Photo,
    /// What was seen on it.
    pub look: Look,
    /// What was read.
    pub reading: Reading,
}

/// Loads and reads one photograph, of a file with several pictures that at `page`, from 0. One that
/// breaks the reading off is refused like any other, so that the photographs beside it go on.
pub fn read_photograph(file: &Path, page: usize) -> Result<ReadPhoto> {
    let read = || {
        let photo = photo::load_page(file, page)?;
        let look = text::look(&photo.image, &photo::find(&photo.image)?)?;
        let reading = text::understood(&photo, &look)?;
        Ok(ReadPhoto { photo, look, reading })
    };
    std::panic::catch_unwind(read).unwrap_or_else(|_| Err(PhotoFault::Broken(file.into()).into()))
}

impl Shelf {
    /// Reads a kept photograph of a book anew; refused where it was not kept.
    pub fn read_again(&self, book: &str, photo: &str) -> Result<Reading> {
        let file = self.photo_file(book, photo)?;
        let kept = self.photo(book, photo)?.ok_or_else(|| FileFault::Missing(file.clone()))?;
        let read = || {
            let image = image::load_from_memory(&kept)
                .map_err(|e| Error::from(FileFault::Unreadable(file.clone())).because(e))?;
            let photo = Photo { name: photo.to_owned(), image: image.into_rgb8() };
            let look = text::look(&photo.image, &photo::find(&photo.image)?)?;
            text::understood(&photo, &look)
        };
        let read = std::panic::catch_unwind(std::panic::AssertUnwindSafe(read));
        read.unwrap_or_else(|_| Err(PhotoFault::Broken(file).into()))
    }

    /// Keeps a photograph that was read into the book called `book`: upright, in its own size, as JPEG,
    /// without what the camera noted of place and time. One of the same name gives way, as its reading does.
    pub fn keep_photo(&self, book: &str, photo: &Photo) -> Result<()> {
        let path = photo_path(book, &photo.name)?;
        let mut bytes = Vec::new();
        JpegEncoder::new_with_quality(&mut bytes, QUALITY)
            .encode_image(&photo.image)
            .map_err(|e| Error::from(FileFault::Unwritable(self.store.name(&path))).because(e))?;
        self.store.put(&path, &bytes, Over::Anything).map(drop)
    }

    /// The photograph called `photo` of a book, as a JPEG file, if it was kept.
    pub fn photo(&self, book: &str, photo: &str) -> Result<Option<Vec<u8>>> {
        Ok(self.store.get(&photo_path(book, photo)?)?.map(|kept| kept.bytes))
    }

    /// Which photographs of a book were kept.
    pub fn photos(&self, book: &str) -> Result<KeptPhotos> {
        let files = self.store.list(&format!("photographs/{}", super::stem(book)?))?;
        Ok(KeptPhotos(files.into_iter().map(|(file, _)| file).collect()))
    }

    /// What a person calls the file of a kept photograph, whether it is there or not.
    pub fn photo_file(&self, book: &str, photo: &str) -> Result<PathBuf> {
        Ok(self.store.name(&photo_path(book, photo)?))
    }

    /// The folder of this machine where photographs of a book wait to be read: on the shelf itself, or, where
    /// that is a bucket, among what the system keeps for this program; none if there is no home folder.
    pub fn waiting_folder(&self, book: &str) -> Result<PathBuf> {
        let here = match self.store.as_folder() {
            Some(folder) => folder.join("waiting"),
            None => {
                let dirs =
                    directories::ProjectDirs::from("", "", "vitta").ok_or(FileFault::NoHome)?;
                dirs.data_dir()
                    .join("waiting")
                    .join(super::stem(&self.address().to_string_lossy())?)
            }
        };
        Ok(here.join(super::stem(book)?))
    }
}

/// The names of a book's photographs on its shelf.
pub struct KeptPhotos(HashSet<String>);

impl KeptPhotos {
    /// Whether the photograph called `photo` is among them.
    pub fn has(&self, photo: &str) -> bool {
        photo_name(photo).is_ok_and(|name| self.0.contains(&name))
    }
}

/// Of both names only letters, digits and hyphens remain, so that the file is always in the shelf.
fn photo_path(book: &str, photo: &str) -> Result<String> {
    Ok(format!("photographs/{}/{}", super::stem(book)?, photo_name(photo)?))
}

fn photo_name(photo: &str) -> Result<String> {
    Ok(format!("{}.jpg", super::stem(photo)?))
}
