//! The review of a book: what a person should look at, in the order in which a look teaches most, each
//! with the strip of the photograph it was read from.

use super::books::open;
use super::door::parse;
use super::reply::{Reply, work};
use super::{Desk, Shared, not_understood};
use crate::book::{Book, Change, Entry, Outline, Said, State as Known, Step};
use crate::error::{BookFault, FileFault};
use crate::geom::Rect;
use crate::language::Language;
use crate::place::Place;
use crate::shelf::{KeptPhotos, now, wanted};
use crate::{Error, Result};
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use chrono::Local;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, imageops::FilterType};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;
use std::io::Cursor;

/// The Masses of so many days count.
const MONTH: u16 = 31;
/// The looks that are weighed against each other in full.
const WEIGHED: usize = 5;
/// Rows shown of what follows; more are there when these are done.
const SHOWN: usize = 60;
/// More looks than this are not counted one by one.
const COUNTED: usize = 60;

#[derive(Serialize)]
struct Review {
    book: String,
    /// Steps of the history, so that an undo undoes what the page shows.
    steps: usize,
    /// The last step that can be undone, in words.
    last: Option<String>,
    /// The step undone last that can be done again, in words.
    next: Option<String>,
    /// Texts in doubt in the whole book.
    doubtful: usize,
    known: usize,
    absent: usize,
    estimated: usize,
    /// Texts that the coming month wants and that are in doubt: no more looks than these are needed.
    unsafe_texts: usize,
    queue: Vec<Row>,
    /// What the last step moved besides its own text.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    moved: Vec<Moved>,
}

#[derive(Serialize)]
struct Row {
    place: Place,
    title: String,
    /// The headings over it.
    above: Vec<String>,
    page: Option<String>,
    state: Known,
    probability: f64,
    interval: Option<(String, String)>,
    said: Option<Said>,
    /// How often the coming month wants it.
    wanted: f64,
    strips: Vec<StripOf>,
    /// Texts before and after it with their pages, to find one's way in the book.
    before: Option<Beside>,
    after: Option<Beside>,
}

#[derive(Serialize)]
struct Beside {
    title: String,
    page: String,
}

#[derive(Serialize)]
struct StripOf {
    /// Which reading of the place, from 0.
    reading: usize,
    title: String,
    photo: String,
    /// Ways to read the page, likeliest first.
    pages: Vec<String>,
    kept: bool,
}

#[derive(Serialize)]
struct Moved {
    title: String,
    from: Option<String>,
    to: Option<String>,
    settled: bool,
}

/// What a page may ask of the review.
#[derive(Deserialize)]
pub(super) struct First {
    lang: Option<Language>,
    /// A text to be looked at first, in doubt or not.
    place: Option<Place>,
}

/// `GET /api/books/{book}/review`
pub(super) async fn review(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    Query(first): Query<First>,
) -> Response {
    work(desk, move |desk| {
        let book = open(desk, &name)?;
        let mut review = of(desk, &book, first.lang.unwrap_or(desk.language), Vec::new())?;
        if let Some(at) = first.place.and_then(|p| book.entries.iter().position(|e| e.place == p)) {
            let language = first.lang.unwrap_or(desk.language);
            let photos = desk.shelf.photos(&book.name)?;
            let row = row(&photos, &book, at, 0.0, language)?;
            review.queue.retain(|r| r.place != row.place);
            review.queue.insert(0, row);
        }
        Reply::json(&review)
    })
    .await
}

fn of(desk: &Desk, book: &Book, language: Language, moved: Vec<Moved>) -> Result<Review> {
    let wanted = coming_month(desk)?;
    let needed: HashMap<&Place, f64> = wanted.iter().map(|(p, w)| (p, *w)).collect();
    let open = |e: &&Entry| in_doubt(e) && e.page.is_some() && needed.contains_key(&e.place);
    let count = |state| book.entries.iter().filter(|e| e.state == state).count();
    Ok(Review {
        book: book.name.clone(),
        steps: book.history.len(),
        last: book.undoable().map(|s| sentence(book, s, language)),
        next: book.redoable().map(|s| sentence(book, s, language)),
        doubtful: book.doubtful(),
        known: count(Known::Read) + count(Known::Mended) + count(Known::Confirmed),
        absent: count(Known::Absent),
        estimated: count(Known::Estimated),
        unsafe_texts: book.entries.iter().filter(open).count(),
        queue: queue(desk, book, &wanted, language)?,
        moved,
    })
}

fn coming_month(desk: &Desk) -> Result<Vec<(Place, f64)>> {
    let parish = desk.shelf.parish()?;
    let calendar = desk.calendar(&parish)?;
    wanted(&calendar, &parish, Local::now().date_naive(), MONTH)
}

/// What only a longer computation tells.
#[derive(Serialize)]
struct Looks {
    /// The history's length when this was computed; of another length it says nothing.
    steps: usize,
    /// Looks until no page that the coming month wants is in doubt, if each finds the page as given.
    left: usize,
    more: bool,
    /// The looks that teach most, best first.
    best: Vec<Place>,
}

/// `GET /api/books/{book}/looks`
pub(super) async fn looks(State(desk): State<Shared>, Path(name): Path<String>) -> Response {
    work(desk, move |desk| {
        let book = open(desk, &name)?;
        let wanted = coming_month(desk)?;
        let left = book.looks_left(&wanted, COUNTED);
        let best = book.look_next(&wanted, WEIGHED).into_iter().map(|l| l.place).collect();
        let (steps, more) = (book.history.len(), left >= COUNTED);
        Reply::json(&Looks { steps, left, more, best })
    })
    .await
}

/// What the coming month wants and is in doubt, the look that promises most first; then every other
/// doubtful text in the order of the book.
fn queue(
    desk: &Desk,
    book: &Book,
    wanted: &[(Place, f64)],
    language: Language,
) -> Result<Vec<Row>> {
    let at: HashMap<&Place, usize> =
        book.entries.iter().enumerate().map(|(i, e)| (&e.place, i)).collect();
    let glance = book.glance(wanted);
    let mut order: Vec<usize> = glance.iter().filter_map(|p| at.get(p).copied()).collect();
    order.retain(|i| book.entries.get(*i).is_some_and(in_doubt));
    let rest = (0..book.entries.len()).filter(|i| book.entries[*i].state == Known::Doubtful);
    let rest: Vec<usize> = rest.filter(|i| !order.contains(i)).collect();
    order.extend(rest);
    order.truncate(SHOWN);
    let weights: HashMap<&Place, f64> = wanted.iter().map(|(p, w)| (p, *w)).collect();
    let weight = |i: usize| weights.get(&book.entries[i].place).copied().unwrap_or(0.0);
    let photos = desk.shelf.photos(&book.name)?;
    order.into_iter().map(|i| row(&photos, book, i, weight(i), language)).collect()
}

fn in_doubt(entry: &Entry) -> bool {
    matches!(entry.state, Known::Doubtful | Known::Estimated)
}

/// The `i`-th text as a row; `wanted` is how often the coming month wants it.
fn row(photos: &KeptPhotos, book: &Book, i: usize, wanted: f64, language: Language) -> Result<Row> {
    let entry = &book.entries[i];
    let beside = |e: Option<&Entry>| {
        e.and_then(|e| Some(Beside { title: e.title.clone(), page: e.page.clone()? }))
    };
    let near = |e: &&Entry| !matches!(e.state, Known::Absent) && e.page.is_some();
    let outline = book.outline.as_deref().and_then(|name| Outline::shipped(name).ok());
    Ok(Row {
        place: entry.place.clone(),
        title: entry.title.clone(),
        above: above(outline, &entry.place, language),
        page: entry.page.clone(),
        state: entry.state,
        probability: entry.probability,
        interval: entry.interval.clone(),
        said: entry.said.clone(),
        wanted,
        strips: strips(photos, entry),
        before: beside(book.entries[..i].iter().rfind(near)),
        after: beside(book.entries[i + 1..].iter().find(near)),
    })
}

fn above(outline: Option<&Outline>, place: &Place, language: Language) -> Vec<String> {
    let headings = outline.and_then(|o| Some(o.headings(o.position(place)?)));
    headings.unwrap_or_default().iter().map(|h| h.title.get(language).to_owned()).collect()
}

fn strips(photos: &KeptPhotos, entry: &Entry) -> Vec<StripOf> {
    let strip = |(reading, e): (usize, &crate::book::Evidence)| StripOf {
        reading,
        title: e.title.clone(),
        photo: e.strip.photo.clone(),
        pages: e.alternatives.iter().map(|a| a.page.clone()).collect(),
        kept: photos.has(&e.strip.photo),
    };
    entry.evidence.iter().enumerate().map(strip).collect()
}

/// A step as the page shows it.
fn sentence(book: &Book, step: &Step, language: Language) -> String {
    let title = |place: &Place| book.entry(place).map_or(place.to_string(), |e| e.title.clone());
    let spanish = language == Language::Es;
    match &step.what {
        Change::Read { photos, .. } if spanish => format!("Fotografías leídas: {}", photos.len()),
        Change::Read { photos, .. } => format!("Photographs read: {}", photos.len()),
        Change::Removed { photo, .. } if spanish => format!("Fotografía quitada: {photo}"),
        Change::Removed { photo, .. } => format!("Photograph removed: {photo}"),
        Change::Brought { from } => from.clone(),
        Change::Word { place, said: Some(Said::Page(page)), .. } => {
            format!("{}: p. {page}", title(place))
        }
        Change::Word { place, said: Some(Said::Absent), .. } if spanish => {
            format!("{}: no está en el libro", title(place))
        }
        Change::Word { place, said: Some(Said::Absent), .. } => {
            format!("{}: not in the book", title(place))
        }
        Change::Word { place, said: None, .. } => format!("{}: –", title(place)),
        Change::Marks { marks, .. } => {
            let colours: Vec<&str> = marks.ribbons.iter().map(|r| r.colour.as_str()).collect();
            let (ribbons, more) = (colours.join(", "), marks.tabs.len() + marks.stickers.len());
            match (spanish, more) {
                (true, 0) => format!("Cintas: {ribbons}"),
                (true, _) => format!("Cintas: {ribbons}; pestañas y hojas: {more}"),
                (false, 0) => format!("Ribbons: {ribbons}"),
                (false, _) => format!("Ribbons: {ribbons}; tabs and sheets: {more}"),
            }
        }
    }
}

/// What a person says of a text, and what had been said of it when they looked.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Word {
    place: Place,
    said: Option<Said>,
    before: Option<Said>,
    /// They were asked about it and are sure.
    #[serde(default)]
    sure: bool,
}

/// `POST /api/books/{book}/word`
pub(super) async fn word(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    Query(tongue): Query<super::Tongue>,
    body: Bytes,
) -> Response {
    work(desk, move |desk| {
        let word: Word = parse(&body)?;
        change(desk, &name, tongue.or(desk), Some(&word.place), |book| {
            let now_said = book.entry(&word.place).and_then(|e| e.said.clone());
            if now_said != word.before && now_said != word.said {
                return Ok(Some(serde_json::to_value(now_said).unwrap_or_default()));
            }
            match &word.said {
                Some(Said::Page(page)) => {
                    if !word.sure {
                        book.in_order(&word.place, page)?;
                    }
                    book.confirm(&word.place, page, &now())?;
                }
                Some(Said::Absent) => book.mark_absent(&word.place, &now())?,
                None => book.take_back(&word.place, &now())?,
            }
            Ok(None)
        })
    })
    .await
}

/// How many steps the page knows of.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Steps {
    steps: usize,
    /// They were asked about a whole reading and are sure.
    #[serde(default)]
    sure: bool,
}

/// `POST /api/books/{book}/undo`
pub(super) async fn undo(
    state: State<Shared>,
    name: Path<String>,
    tongue: Query<super::Tongue>,
    body: Bytes,
) -> Response {
    go(state, name, tongue, body, |book, sure| {
        if let Some(photographs) = book.undoable().and_then(Step::reading)
            && !sure
        {
            return Err(BookFault::WholeReading { photographs }.into());
        }
        book.undo();
        Ok(())
    })
    .await
}

/// `POST /api/books/{book}/redo`
pub(super) async fn redo(
    state: State<Shared>,
    name: Path<String>,
    tongue: Query<super::Tongue>,
    body: Bytes,
) -> Response {
    go(state, name, tongue, body, |book, _| {
        book.redo();
        Ok(())
    })
    .await
}

/// One step back or forth from the state that the page shows.
async fn go(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    Query(tongue): Query<super::Tongue>,
    body: Bytes,
    step: fn(&mut Book, bool) -> Result<()>,
) -> Response {
    work(desk, move |desk| {
        let asked: Steps = parse(&body)?;
        let language = tongue.or(desk);
        change(desk, &name, language, None, |book| {
            if book.history.len() != asked.steps {
                let last = book.history.last().map(|s| sentence(book, s, language));
                return Ok(Some(last.into()));
            }
            step(book, asked.sure)?;
            Ok(None)
        })
    })
    .await
}

/// Takes one step in a book that nobody else writes meanwhile, keeps the book, and answers with the review
/// and what moved besides the text spoken of. What `step` returns is in its way: the value found.
fn change(
    desk: &Desk,
    name: &str,
    language: Language,
    spoken: Option<&Place>,
    step: impl Fn(&mut Book) -> Result<Option<serde_json::Value>>,
) -> Result<Reply> {
    let (book, (was, conflict)) = desk.shelf.change(name, |book| {
        let was = book.entries.clone();
        Ok((was, step(book)?))
    })?;
    if let Some(found) = conflict {
        return Ok(Reply::Conflict(found));
    }
    let moved = moved(&was, &book, spoken);
    Reply::json(&of(desk, &book, language, moved)?)
}

/// The texts whose page or standing another text's word changed.
fn moved(was: &[Entry], book: &Book, spoken: Option<&Place>) -> Vec<Moved> {
    let before: HashMap<&Place, &Entry> = was.iter().map(|e| (&e.place, e)).collect();
    let change = |e: &Entry| {
        let old = before.get(&e.place)?;
        let settled = in_doubt(old) && !in_doubt(e);
        (old.page != e.page || settled).then(|| Moved {
            title: e.title.clone(),
            from: old.page.clone(),
            to: e.page.clone(),
            settled,
        })
    };
    book.entries.iter().filter(|e| Some(&e.place) != spoken).filter_map(change).collect()
}

/// Which reading of which text.
#[derive(Deserialize)]
pub(super) struct Asked {
    place: Place,
    #[serde(default)]
    reading: usize,
    /// The whole photograph, with the row marked by nothing.
    #[serde(default)]
    whole: bool,
}

/// `GET /api/books/{book}/strip?place=…&reading=…`: a piece of the photograph.
pub(super) async fn strip(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
) -> Response {
    work(desk, move |desk| {
        let book = open(desk, &name)?;
        let entry = book.entry(&asked.place);
        let reading = entry.and_then(|e| e.evidence.get(asked.reading));
        let reading = reading.ok_or_else(|| not_understood("there is no such reading".into()))?;
        let file = desk.shelf.photo_file(&book.name, &reading.strip.photo)?;
        let bytes = desk.shelf.photo(&book.name, &reading.strip.photo)?;
        let bytes = bytes.ok_or_else(|| FileFault::Missing(file.clone()))?;
        let picture = image::load_from_memory(&bytes)
            .map_err(|e| Error::from(FileFault::Unreadable(file.clone())).because(e))?;
        let piece = match asked.whole {
            true => picture.resize(1800, 1800, FilterType::Triangle),
            false => cut(&picture, reading.strip.area),
        };
        let mut bytes = Vec::new();
        piece
            .into_rgb8()
            .write_with_encoder(JpegEncoder::new_with_quality(Cursor::new(&mut bytes), 85))
            .map_err(|e| Error::from(FileFault::Unreadable(file)).because(e))?;
        Ok(Reply::File { kind: "image/jpeg", name: None, bytes })
    })
    .await
}

/// The row with a row's height above and below it; the whole photograph where the row is not known.
fn cut(picture: &DynamicImage, area: Rect) -> DynamicImage {
    let (width, height) = (picture.width() as i32, picture.height() as i32);
    let (across, down) = (area.right - area.left, area.bottom - area.top);
    if across < 8 || down < 4 {
        return picture.resize(1800, 1800, FilterType::Triangle);
    }
    let margin = down.max(12);
    let left = (area.left - margin).clamp(0, width - 1);
    let top = (area.top - margin).clamp(0, height - 1);
    let right = (area.right + margin).clamp(left + 1, width);
    let bottom = (area.bottom + margin).clamp(top + 1, height);
    let mut piece = picture
        .crop_imm(left as u32, top as u32, (right - left) as u32, (bottom - top) as u32)
        .into_rgb8();
    // The lines above and below are there to find one's way, but paler, so that the row is plain.
    let (row, fading) = (area.top - top..area.bottom - top, (down / 2).max(1));
    for (_, y, pixel) in piece.enumerate_pixels_mut() {
        let y = y as i32;
        let away = (row.start - y).max(y - row.end).clamp(0, fading);
        // At most three quarters towards white.
        let pale = |v: u8| i32::from(v) + (255 - i32::from(v)) * away * 3 / (fading * 4);
        pixel.0 = pixel.0.map(|v| pale(v).clamp(0, 255) as u8);
    }
    piece.into()
}
