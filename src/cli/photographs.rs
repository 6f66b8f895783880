//! From the files typed to what was read on each: one bad photograph never stops the others, and what is
//! finished stays finished.

use super::{report, steps, stop};
use crate::error::{FileFault, UsageFault};
use crate::photo::Photo;
use crate::shelf::{
    KeptPhotos, PhotoNames, ReadPhoto, Shelf, USUAL_PIXELS, read_photograph, renamed, spread,
};
use crate::text::{Reading, Readings};
use crate::{Error, Result, format, photo};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard};

const ENDINGS: &[&str] = &["jpg", "jpeg", "png", "tif", "tiff", "webp", "heic", "pdf"];

/// The photographs meant by `typed`: files as they are, folders by the pictures in them, or, where a folder
/// holds none, by the readings kept there; sorted.
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
    let entries = std::fs::read_dir(folder).map_err(unreadable)?;
    let mut files: Vec<PathBuf> =
        entries.map(|e| e.map(|e| e.path())).collect::<std::io::Result<_>>().map_err(unreadable)?;
    files.sort();
    let pictures: Vec<PathBuf> =
        files.iter().filter(|f| ENDINGS.contains(&ending(f).as_str())).cloned().collect();
    if !pictures.is_empty() {
        return Ok(pictures);
    }
    files.retain(|f| is_kept_reading(f));
    if files.is_empty() {
        let expected = "photographs (.jpg, .png, .tif, .webp, .heic, .pdf)";
        return Err(FileFault::Empty { folder: folder.to_owned(), expected }.into());
    }
    Ok(files)
}

fn ending(file: &Path) -> String {
    file.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase()
}

fn is_kept_reading(file: &Path) -> bool {
    ending(file) == "json"
}

/// What is to be done with the photographs.
#[derive(Clone, Copy, Default)]
pub struct Work<'a> {
    /// Folder for pictures of the steps.
    pub steps: Option<&'a Path>,
    /// Folder where the readings of each file are kept; what is there already is not read again.
    pub out: Option<&'a Path>,
    /// The shelf and the book whose photographs they are, to be kept there under these names.
    pub keep: Option<(&'a Shelf, &'a str, &'a PhotoNames)>,
}

/// What came of the photographs, in the order of the files.
#[derive(Default)]
pub struct Came {
    /// What was read.
    pub readings: Vec<Reading>,
    /// Why some were not read.
    pub failed: Vec<Error>,
    /// How many were left when the work was stopped.
    pub left: usize,
}

/// One file and what is known of its pictures.
struct Source<'a> {
    file: &'a Path,
    /// Digest of its content, where that is asked for.
    sha256: Option<String>,
    /// The readings are to be kept under it.
    fresh: bool,
    pictures: Mutex<Vec<Option<Reading>>>,
}

/// One picture to be read, or, where it was read before, only to be kept on the shelf.
struct Picture<'a> {
    source: &'a Source<'a>,
    page: usize,
    read_before: bool,
}

/// Reads each photograph, each page of a PDF by itself, until all are read or Ctrl-C is pressed.
pub fn read(files: &[PathBuf], work: Work) -> Result<Came> {
    for folder in [work.steps, work.out].into_iter().flatten() {
        std::fs::create_dir_all(folder)
            .map_err(|e| Error::from(FileFault::Unwritable(folder.to_owned())).because(e))?;
    }
    work.out.map_or(Ok(()), |_| told_apart(files))?;
    let mut came = Came::default();
    let looked_at: Vec<Result<Source>> = files.iter().map(|file| Source::of(file, work)).collect();
    let mut sources = Vec::new();
    for source in looked_at {
        match source {
            Ok(source) => sources.push(source),
            Err(error) => came.failed.push(error),
        }
    }
    let on_shelf = work.keep.map(|(shelf, book, _)| shelf.photos(book)).transpose()?;
    let pictures: Vec<Picture> =
        sources.iter().flat_map(|source| source.to_do(on_shelf.as_ref(), work)).collect();
    let bar = report::progress(pictures.len() as u64, "Reading");
    let sizes = pictures.iter().map(|p| photo::pixels(p.source.file).unwrap_or(USUAL_PIXELS));
    let results = spread(
        &pictures,
        sizes.max().unwrap_or(0),
        || !stop::asked(),
        |picture| {
            let done = picture.done(work);
            bar.inc(1);
            done
        },
    );
    bar.finish_and_clear();
    came.left = results.iter().filter(|r| r.is_none()).count();
    came.failed.extend(results.into_iter().flatten().filter_map(Result::err));
    // Where data or a program are missing, it is the same for every photograph.
    came.failed.dedup_by_key(|error| error.whole());
    came.readings.extend(sources.into_iter().flat_map(|source| source.named(work)));
    Ok(came)
}

/// Refuses files of one name, whose readings would be kept in one place.
fn told_apart(files: &[PathBuf]) -> Result<()> {
    let mut known = HashMap::new();
    for file in files.iter().filter(|f| !is_kept_reading(f)) {
        if let Some(other) = known.insert(file.file_name(), file).filter(|other| *other != file) {
            let (one, other) = (other.clone(), file.clone());
            return Err(UsageFault::SameName { one, other }.into());
        }
    }
    Ok(())
}

impl<'a> Source<'a> {
    /// What is known of a file before its pictures are read.
    fn of(file: &'a Path, work: Work) -> Result<Self> {
        if is_kept_reading(file) {
            let kept: Readings = format::read(file)?;
            return Ok(Source::known(file, kept));
        }
        let nothing = vec![None; photo::count(file)?];
        let digest = || Ok::<_, Error>(Readings::digest(&photo::content(file)?));
        let Some(out) = work.out else {
            let sha256 = work.keep.map(|_| digest()).transpose()?;
            return Ok(Source { file, sha256, fresh: false, pictures: Mutex::new(nothing) });
        };
        let sha256 = digest()?;
        let place = place(out, file);
        let kept: Option<Readings> = place.exists().then(|| format::read(&place)).transpose()?;
        match kept {
            Some(kept) if kept.sha256 != sha256 => {
                Err(FileFault::OtherPhotograph { file: file.to_owned(), kept: place }.into())
            }
            Some(kept) => Ok(Source::known(file, kept)),
            _ => {
                let (sha256, pictures) = (Some(sha256), Mutex::new(nothing));
                Ok(Source { file, sha256, fresh: true, pictures })
            }
        }
    }

    fn known(file: &'a Path, kept: Readings) -> Self {
        let pictures = Mutex::new(kept.readings.into_iter().map(Some).collect());
        Source { file, sha256: Some(kept.sha256), fresh: false, pictures }
    }

    /// What the picture called `typed` on a page of the file is called in the book.
    fn name(&self, typed: &str, page: usize, work: Work) -> String {
        let content = self.sha256.as_ref().map(|sha256| match page {
            0 => sha256.clone(),
            page => format!("{sha256} {}", page + 1),
        });
        let names = work.keep.map(|k| k.2).zip(content);
        names.map_or_else(|| typed.to_owned(), |(names, content)| names.name(typed, &content))
    }

    /// What was read, under the photographs' names in the book.
    fn named(self, work: Work) -> Vec<Reading> {
        let read = std::mem::take(&mut *self.pictures());
        let read = read.into_iter().enumerate().filter_map(|(page, r)| Some((page, r?)));
        read.map(|(page, reading)| {
            let name = self.name(&reading.file, page, work);
            renamed(reading, &name)
        })
        .collect()
    }

    /// The pictures that are not read yet, and those that are but are missing `on_shelf`.
    fn to_do(&self, on_shelf: Option<&KeptPhotos>, work: Work) -> Vec<Picture<'_>> {
        let picture = |(page, reading): (usize, &Option<Reading>)| {
            let missing = |name: &str| on_shelf.is_some_and(|shelf| !shelf.has(name));
            let read_before = match reading {
                None => false,
                Some(reading)
                    if !is_kept_reading(self.file)
                        && missing(&self.name(&reading.file, page, work)) =>
                {
                    true
                }
                Some(_) => return None,
            };
            Some(Picture { source: self, page, read_before })
        };
        self.pictures().iter().enumerate().filter_map(picture).collect()
    }

    fn pictures(&self) -> MutexGuard<'_, Vec<Option<Reading>>> {
        self.pictures.lock().unwrap_or_else(|broken| broken.into_inner())
    }

    /// Takes what was read on one picture; after the last one the readings are kept, if they are to be.
    fn take(&self, page: usize, reading: Reading, work: Work) -> Result<()> {
        let mut pictures = self.pictures();
        if let Some(slot) = pictures.get_mut(page) {
            *slot = Some(reading);
        }
        let (Some(out), Some(sha256), true) = (work.out, &self.sha256, self.fresh) else {
            return Ok(());
        };
        let Some(readings) = pictures.iter().cloned().collect::<Option<Vec<_>>>() else {
            return Ok(());
        };
        let file = self.file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let kept = Readings { file, sha256: sha256.clone(), readings };
        format::write(&kept, &place(out, self.file))
    }
}

/// Where the readings of a file are kept: its name with ".json" after it.
fn place(out: &Path, file: &Path) -> PathBuf {
    let mut name = file.file_name().unwrap_or_default().to_owned();
    name.push(".json");
    out.join(name)
}

impl Picture<'_> {
    fn done(&self, work: Work) -> Result<()> {
        let keep = |mut photo: Photo| {
            let Some((shelf, book, _)) = work.keep else { return Ok(()) };
            photo.name = self.source.name(&photo.name, self.page, work);
            shelf.keep_photo(book, &photo)
        };
        if self.read_before {
            return keep(photo::load_page(self.source.file, self.page)?);
        }
        let ReadPhoto { photo, look, reading } = read_photograph(self.source.file, self.page)?;
        if let Some(folder) = work.steps {
            steps::write(folder, &photo, &look, &reading)?;
        }
        keep(photo)?;
        self.source.take(self.page, reading, work)
    }
}
