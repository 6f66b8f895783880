//! From the files typed to what was read on each: photographs spread over the cores, one bad
//! photograph never stopping the others.

use super::{report, steps};
use crate::error::FileFault;
use crate::language::Language;
use crate::shelf::{ReadPhoto, Shelf, read_photograph};
use crate::text::Reading;
use crate::{Error, Result, photo};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

const ENDINGS: &[&str] = &["jpg", "jpeg", "png", "tif", "tiff", "webp", "heic", "pdf"];

/// The photographs meant by `typed`: files as they are, folders by the pictures in them, sorted.
pub fn find(typed: &[PathBuf]) -> Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for path in typed {
        if path.is_dir() {
            found.extend(in_folder(path)?);
        } else {
            found.push(path.clone());
        }
    }
    Ok(found)
}

fn in_folder(folder: &Path) -> Result<Vec<PathBuf>> {
    let unreadable = |e| Error::from(FileFault::Unreadable(folder.to_owned())).because(e);
    let mut pictures = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
        if ENDINGS.contains(&ending.as_str()) {
            pictures.push(path);
        }
    }
    pictures.sort();
    if pictures.is_empty() {
        let expected = "photographs (.jpg, .png, .tif, .webp, .heic, .pdf)";
        return Err(FileFault::Empty { folder: folder.to_owned(), expected }.into());
    }
    Ok(pictures)
}

/// Reads each photograph, each page of a PDF by itself; the results keep the order of `files`. Pictures of
/// the steps go to the folder `steps`, if there is one, the photographs to the shelf of the book they are
/// read into.
pub fn read(
    files: &[PathBuf],
    printed: Option<Language>,
    steps: Option<&Path>,
    keep: Option<(&Shelf, &str)>,
) -> Result<Vec<Result<Reading>>> {
    if let Some(folder) = steps {
        std::fs::create_dir_all(folder)
            .map_err(|e| Error::from(FileFault::Unwritable(folder.to_owned())).because(e))?;
    }
    let counted = files.iter().map(|file| Ok((file.as_path(), photo::count(file)?)));
    let (mut pictures, mut failed) = (Vec::new(), Vec::new());
    for found in counted {
        match found {
            Ok((file, count)) => pictures.extend((0..count).map(|page| (file, page))),
            Err(error) => failed.push(Err(error)),
        }
    }
    let bar = report::progress(pictures.len() as u64, "Reading");
    let mut readings: Vec<Result<Reading>> = pictures
        .par_iter()
        .map(|&(file, page)| {
            let read = read_photograph(file, page, printed);
            bar.inc(1);
            let ReadPhoto { photo, pages, reading } = read?;
            if let Some(folder) = steps {
                steps::write(folder, &photo, &pages, &reading)?;
            }
            keep.map_or(Ok(()), |(shelf, book)| shelf.keep_photo(book, &photo))?;
            Ok(reading)
        })
        .collect();
    bar.finish_and_clear();
    readings.extend(failed);
    Ok(readings)
}
