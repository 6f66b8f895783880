//! From the files typed to what was read on each: photographs spread over the cores, one bad
//! photograph never stopping the others.

use super::report;
use crate::error::FileFault;
use crate::language::Language;
use crate::text::Reading;
use crate::{Error, Result, photo, text};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

const ENDINGS: &[&str] = &["jpg", "jpeg", "png", "tif", "tiff", "webp"];

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
        let expected = "photographs (.jpg, .png, .tif, .webp)";
        return Err(FileFault::Empty { folder: folder.to_owned(), expected }.into());
    }
    Ok(pictures)
}

/// Reads each photograph; the results keep the order of `files`. The flattened pages go to the
/// folder `pictures`, if there is one.
pub fn read(
    files: &[PathBuf],
    printed: Option<Language>,
    pictures: Option<&Path>,
) -> Result<Vec<Result<Reading>>> {
    if let Some(folder) = pictures {
        std::fs::create_dir_all(folder)
            .map_err(|e| Error::from(FileFault::Unwritable(folder.to_owned())).because(e))?;
    }
    let bar = report::progress(files.len() as u64, "Reading");
    let readings = files
        .par_iter()
        .map(|file| {
            let reading = one(file, printed, pictures);
            bar.inc(1);
            reading
        })
        .collect();
    bar.finish_and_clear();
    Ok(readings)
}

fn one(file: &Path, printed: Option<Language>, pictures: Option<&Path>) -> Result<Reading> {
    let photo = photo::load(file)?;
    let pages = photo::flatten(&photo)?;
    if let Some(folder) = pictures {
        let stem = file.file_stem().and_then(|s| s.to_str()).unwrap_or("page");
        for (i, page) in pages.iter().enumerate() {
            page.save_png(&folder.join(format!("{stem}-{}.png", i + 1)))?;
        }
    }
    text::read(&photo.name, &pages, printed)
}
