//! Photographs on their way into a book: taken, waiting, read, attached.
//!
//! What a phone sends is on the disk before it is answered, so a desk that is ended in between finds it
//! waiting. All that wait are read together, since lists that run over several pages are matched as one.

use super::books::{open, take as take_body};
use super::reply::{Reply, Said, work};
use super::{Desk, Shared};
use crate::book::Book;
use crate::error::{BookFault, DeskFault, FileFault};
use crate::shelf::{ReadPhoto, USUAL_PIXELS, now, read_photograph, spread};
use crate::text::Reading;
use crate::{Error, Result, format, photo};
use axum::body::Body;
use axum::extract::{Path as Named, State};
use axum::http::{HeaderMap, header};
use axum::response::Response;
use serde::Serialize;
use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::Path;
use std::sync::MutexGuard;

/// The largest photograph taken. A phone's of 50 megapixels has about 25 MB.
const LARGEST_MB: u64 = 40;
/// The most photographs that may wait: the contents, indexes and month lists of a thick book.
const MOST: usize = 60;

/// The photographs being read, by book.
pub(super) type InHand = HashMap<String, Batch>;

/// Photographs read together.
#[derive(Default)]
pub(super) struct Batch {
    files: Vec<Waiting>,
    /// Why what was read could not be put into the book.
    failed: Option<Said>,
    busy: bool,
}

#[derive(Clone, Serialize)]
struct Waiting {
    /// The photograph's name on the shelf.
    file: String,
    #[serde(flatten)]
    state: Progress,
}

#[derive(Clone, Serialize)]
#[serde(tag = "state", rename_all = "lowercase")]
enum Progress {
    /// Not begun.
    Waiting,
    /// Being read.
    Reading,
    /// Read, with its entries and how many of them are in doubt.
    Read { entries: usize, doubtful: usize, notices: Vec<String> },
    /// It could not be read.
    Refused { error: Said },
}

#[derive(Serialize)]
struct Answer {
    files: Vec<Waiting>,
    busy: bool,
    failed: Option<Said>,
    /// Photographs that the book was read from.
    read: Vec<OfBook>,
}

#[derive(Serialize)]
struct OfBook {
    photo: String,
    entries: usize,
    /// It is kept, so that it can be read again.
    kept: bool,
}

impl Desk {
    fn in_hand(&self) -> MutexGuard<'_, InHand> {
        self.reading.lock().unwrap_or_else(|broken| broken.into_inner())
    }

    /// Refuses while photographs of a book are read, or wait to be.
    pub(super) fn is_idle(&self, book: &str) -> Result<()> {
        let busy = self.in_hand().get(book).is_some_and(|batch| batch.busy);
        match busy || !self.waiting(book)?.is_empty() {
            true => Err(DeskFault::Busy { book: book.to_owned() }.into()),
            false => Ok(()),
        }
    }

    /// Names of the photographs that wait.
    fn waiting(&self, book: &str) -> Result<Vec<String>> {
        let folder = self.shelf.waiting_folder(book)?;
        let entries = match std::fs::read_dir(&folder) {
            Ok(entries) => entries,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(Error::from(FileFault::Unreadable(folder)).because(e)),
        };
        let names = entries.flatten().filter_map(|e| e.file_name().into_string().ok());
        // A file half written begins with a dot.
        let mut names: Vec<String> = names.filter(|n| !n.starts_with('.')).collect();
        names.sort();
        Ok(names)
    }

    fn progress(&self, book: &str) -> Result<Answer> {
        let waiting = self.waiting(book)?;
        let in_hand = self.in_hand();
        let batch = in_hand.get(book);
        let mut files = batch.map(|b| b.files.clone()).unwrap_or_default();
        let known: Vec<String> = files.iter().map(|f| f.file.clone()).collect();
        let new = waiting.into_iter().filter(|f| !known.contains(f));
        files.extend(new.map(|file| Waiting { file, state: Progress::Waiting }));
        let (busy, failed) = batch.map_or((false, None), |b| (b.busy, b.failed.clone()));
        drop(in_hand);
        let map = open(self, book)?;
        let photos = self.shelf.photos(&map.name)?;
        let of_book = |photo: String| OfBook {
            entries: map.readings.iter().find(|r| r.file == photo).map_or(0, |r| r.rows.len()),
            kept: photos.has(&photo),
            photo,
        };
        Ok(Answer { files, busy, failed, read: map.photos().into_iter().map(of_book).collect() })
    }

    fn set_progress(&self, book: &str, file: &str, state: Progress) {
        if let Some(batch) = self.in_hand().get_mut(book)
            && let Some(waiting) = batch.files.iter_mut().find(|w| w.file == file)
        {
            waiting.state = state;
        }
    }
}

/// A name for a photograph: of what the phone calls it only ASCII letters, digits and hyphens, and a mark
/// of its content, because phones call every photograph they send `image.jpg`.
fn name(typed: &str, bytes: &[u8]) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let ending = typed.rsplit_once('.').filter(|(_, ending)| ending.len() <= 4);
    let stem = ending.map_or(typed, |(stem, _)| stem);
    let stem: String = stem.chars().map(plain).take(40).collect();
    let mut hasher = DefaultHasher::new();
    bytes.hash(&mut hasher);
    format!("{}-{:08x}", stem.trim_matches('-'), hasher.finish() as u32)
        .trim_start_matches('-')
        .to_owned()
}

/// `PUT /api/books/{book}/photographs/{file}`: a photograph to be read.
pub(super) async fn take(
    State(desk): State<Shared>,
    Named((book, file)): Named<(String, String)>,
    headers: HeaderMap,
    body: Body,
) -> Response {
    let announced = headers.get(header::CONTENT_LENGTH).and_then(|v| v.to_str().ok()?.parse().ok());
    let bytes = take_body(body, &file, announced, LARGEST_MB).await;
    work(desk, move |desk| {
        let bytes = bytes?;
        open(desk, &book)?;
        photo::check(Path::new(&file), &bytes)?;
        let folder = desk.shelf.waiting_folder(&book)?;
        if desk.waiting(&book)?.len() >= MOST {
            return Err(DeskFault::TooMany { limit: MOST }.into());
        }
        std::fs::create_dir_all(&folder)
            .map_err(|e| Error::from(FileFault::Unwritable(folder.clone())).because(e))?;
        let name = name(&file, &bytes);
        format::write_bytes(&bytes, &folder.join(&name))?;
        if let Some(batch) = desk.in_hand().get_mut(&book).filter(|b| !b.busy) {
            batch.files.retain(|f| f.file != name);
        }
        Reply::json(&desk.progress(&book)?)
    })
    .await
}

/// `DELETE /api/books/{book}/photographs/{file}`: a photograph that is not to be read after all.
pub(super) async fn put_back(
    State(desk): State<Shared>,
    Named((book, file)): Named<(String, String)>,
) -> Response {
    work(desk, move |desk| {
        if desk.progress(&book)?.busy {
            return Err(DeskFault::Busy { book }.into());
        }
        // Only a name that was listed leads to a file.
        if desk.waiting(&book)?.contains(&file) {
            let path = desk.shelf.waiting_folder(&book)?.join(&file);
            std::fs::remove_file(&path)
                .map_err(|e| Error::from(FileFault::Unwritable(path)).because(e))?;
        }
        if let Some(batch) = desk.in_hand().get_mut(&book) {
            batch.files.retain(|f| f.file != file);
        }
        Reply::json(&desk.progress(&book)?)
    })
    .await
}

/// `GET /api/books/{book}/photographs`
pub(super) async fn list(State(desk): State<Shared>, Named(book): Named<String>) -> Response {
    work(desk, move |desk| {
        open(desk, &book)?;
        Reply::json(&desk.progress(&book)?)
    })
    .await
}

/// `DELETE /api/books/{book}/read/{photo}`: nothing that a photograph of the book showed counts any more.
pub(super) async fn remove(
    State(desk): State<Shared>,
    Named((book, photo)): Named<(String, String)>,
) -> Response {
    work(desk, move |desk| {
        desk.shelf.change(&book, |map| match map.remove_photo(&photo, &now()) {
            true => Ok(()),
            false => Err(unknown(map, &photo)),
        })?;
        Reply::json(&desk.progress(&book)?)
    })
    .await
}

/// `POST /api/books/{book}/read/{photo}`: reads a photograph that is kept with the book again.
pub(super) async fn again(
    State(desk): State<Shared>,
    Named((book, photo)): Named<(String, String)>,
) -> Response {
    work(desk, move |desk| {
        let map = open(desk, &book)?;
        if !map.photos().contains(&photo) {
            return Err(unknown(&map, &photo));
        }
        let reading = [desk.shelf.read_again(&map.name, &photo)?];
        desk.shelf.change(&book, |map| {
            map.read(&reading, &now());
            Ok(())
        })?;
        Reply::json(&desk.progress(&book)?)
    })
    .await
}

fn unknown(book: &Book, photo: &str) -> Error {
    BookFault::UnknownPhoto { photo: photo.to_owned(), known: book.photos() }.into()
}

/// `POST /api/books/{book}/read`: reads all that wait; answers at once, [`list`] tells how far it is.
pub(super) async fn read(State(desk): State<Shared>, Named(book): Named<String>) -> Response {
    let begun = desk.clone();
    work(desk, move |desk| {
        open(desk, &book)?;
        let files = desk.waiting(&book)?;
        if files.is_empty() {
            return Err(DeskFault::NothingWaits { book }.into());
        }
        {
            let mut in_hand = desk.in_hand();
            let batch = in_hand.entry(book.clone()).or_default();
            if batch.busy {
                return Err(DeskFault::Busy { book }.into());
            }
            let waiting = |f: &String| Waiting { file: f.clone(), state: Progress::Waiting };
            *batch = Batch { files: files.iter().map(waiting).collect(), failed: None, busy: true };
        }
        let reading = book.clone();
        std::thread::spawn(move || read_all(&begun, &reading, &files));
        Reply::json(&desk.progress(&book)?)
    })
    .await
}

fn read_all(desk: &Desk, book: &str, files: &[String]) {
    // A photograph that breaks the reading must not leave the book busy for ever.
    let done = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| attach(desk, book, files)));
    let failed = match done {
        Ok(Ok(())) => None,
        Ok(Err(error)) => Some(error),
        Err(_) => Some(DeskFault::Broken.into()),
    };
    if let Some(batch) = desk.in_hand().get_mut(book) {
        batch.busy = false;
        batch.failed = failed.map(|error| Said::of(&error, desk));
    }
}

fn attach(desk: &Desk, book: &str, files: &[String]) -> Result<()> {
    let folder = desk.shelf.waiting_folder(book)?;
    let pixels = |file: &String| photo::pixels(&folder.join(file)).unwrap_or(USUAL_PIXELS);
    let largest = files.iter().map(pixels).max().unwrap_or(0);
    let read = spread(
        files,
        largest,
        || true,
        |file| {
            desk.set_progress(book, file, Progress::Reading);
            let read = read_file(desk, book, &folder.join(file));
            let (state, readings) = match read {
                Ok(readings) => (read_state(&readings), readings),
                Err(error) => (Progress::Refused { error: Said::of(&error, desk) }, Vec::new()),
            };
            desk.set_progress(book, file, state);
            readings
        },
    );
    let readings: Vec<Reading> = read.into_iter().flatten().flatten().collect();
    if !readings.is_empty() {
        let when = now();
        desk.shelf.change(book, |map| {
            map.read(&readings, &when);
            Ok(())
        })?;
    }
    for file in files {
        // What stays behind is only read again.
        let _ = std::fs::remove_file(folder.join(file));
    }
    Ok(())
}

/// Reads and keeps the pictures of one file: a photograph, or the pages of a PDF.
fn read_file(desk: &Desk, book: &str, file: &Path) -> Result<Vec<Reading>> {
    let read = |page| {
        let ReadPhoto { photo, reading, .. } = read_photograph(file, page)?;
        desk.shelf.keep_photo(book, &photo)?;
        Ok(reading)
    };
    (0..photo::count(file)?).map(read).collect()
}

fn read_state(readings: &[Reading]) -> Progress {
    let rows = || readings.iter().flat_map(|r| &r.rows);
    Progress::Read {
        entries: rows().count() + readings.iter().map(|r| r.crossrefs.len()).sum::<usize>(),
        doubtful: rows().filter(|r| r.doubt).count(),
        notices: readings.iter().flat_map(|r| r.notices.clone()).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_photographs_stay_in_their_folder_and_differ() {
        let cases = [
            ("../../etc/passwd", "etc-passwd-"),
            ("image.jpg", "image-"),
            ("Misal — índice.JPG", "misal----ndice-"),
            ("..", ""),
        ];
        for (typed, start) in cases {
            let name = name(typed, b"one");
            assert!(name.starts_with(start), "{typed}: {name}");
            assert!(!name.starts_with(['.', '-', '/']) && !name.contains(['/', '\\']), "{name}");
        }
        assert_ne!(name("image.jpg", b"one"), name("image.jpg", b"two"));
        assert_eq!(name("image.jpg", b"one"), name("image.jpg", b"one"));
    }
}
