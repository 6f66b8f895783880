//! The books on the shelf: begun, given ribbons, compared, exported, imported.

use super::door::parse;
use super::reply::{Reply, work};
use super::{Desk, Shared, not_understood};
use crate::Result;
use crate::book::{Book, Outline, Ribbon, State as Known, carry_marks, concordance};
use crate::card;
use crate::error::{DeskFault, FileFault};
use crate::format;
use crate::language::{Language, PrintedLanguage};
use crate::shelf::now;
use axum::body::{Body, Bytes};
use axum::extract::{Path, State};
use axum::response::Response;
use chrono::{Datelike, Days, Local, NaiveDate, Weekday};
use serde::{Deserialize, Serialize};

/// Largest book's file taken: one of a thousand places with its evidence has about one megabyte.
const LARGEST_MB: u64 = 20;
/// A name longer than this is no name.
const LONGEST_NAME: usize = 60;

#[derive(Serialize)]
struct AtDesk {
    version: &'static str,
    language: Language,
    today: NaiveDate,
    /// Today if it is one, or the next.
    sunday: NaiveDate,
    books: Vec<Listed>,
    /// Books that are put away.
    away: Vec<String>,
    outlines: Vec<&'static str>,
    /// Names of the parish's calendar and of the parish.
    parish: String,
    network: bool,
}

#[derive(Serialize)]
struct Listed {
    /// What it is called in addresses.
    file: String,
    name: String,
    doubtful: usize,
    known: usize,
    ribbons: Vec<Coloured>,
    outline: Option<String>,
    language: Option<PrintedLanguage>,
    copies: Vec<String>,
}

#[derive(Serialize)]
struct Coloured {
    colour: String,
    dye: Option<String>,
}

fn coloured(ribbon: &Ribbon) -> Coloured {
    let dye = card::dye(&ribbon.colour).map(|[r, g, b]| format!("#{r:02x}{g:02x}{b:02x}"));
    Coloured { colour: ribbon.colour.clone(), dye }
}

/// The book called `name`; never a file elsewhere.
pub(super) fn open(desk: &Desk, name: &str) -> Result<Book> {
    let no_such = || FileFault::NoSuchBook {
        name: name.to_owned(),
        known: desk.shelf.names().unwrap_or_default(),
    };
    Ok(desk.shelf.find(name)?.ok_or_else(no_such)?)
}

/// `GET /api/desk`
pub(super) async fn desk(State(desk): State<Shared>) -> Response {
    work(desk, move |desk| {
        let today = Local::now().date_naive();
        let ahead = u64::from(Weekday::Sun.days_since(today.weekday()));
        let mut books = Vec::new();
        for name in desk.shelf.names()? {
            books.push(listed(&name, &open(desk, &name)?));
        }
        Reply::json(&AtDesk {
            version: env!("CARGO_PKG_VERSION"),
            language: desk.language,
            today,
            sunday: today.checked_add_days(Days::new(ahead)).unwrap_or(today),
            books,
            away: desk.shelf.away()?,
            outlines: Outline::names().collect(),
            parish: desk.shelf.parish()?.name,
            network: desk.door.is_open(),
        })
    })
    .await
}

fn listed(file: &str, book: &Book) -> Listed {
    let known = |s: Known| !matches!(s, Known::Absent | Known::Estimated | Known::Doubtful);
    Listed {
        file: file.to_owned(),
        name: book.name.clone(),
        doubtful: book.doubtful(),
        known: book.entries.iter().filter(|e| known(e.state)).count(),
        ribbons: book.ribbons.iter().map(coloured).collect(),
        outline: book.outline.clone(),
        language: book.language,
        copies: book.copies.iter().map(|c| c.name.clone()).collect(),
    }
}

/// A book as a list of its texts in the order of the book.
#[derive(Serialize)]
struct Whole {
    #[serde(flatten)]
    listed: Listed,
    entries: Vec<Line>,
    notices: Vec<String>,
}

#[derive(Serialize)]
struct Line {
    place: crate::place::Place,
    title: String,
    page: Option<String>,
    state: Known,
    interval: Option<(String, String)>,
    level: u8,
}

/// `GET /api/books/{book}`
pub(super) async fn book(State(desk): State<Shared>, Path(name): Path<String>) -> Response {
    work(desk, move |desk| {
        let book = open(desk, &name)?;
        let line = |e: &crate::book::Entry| Line {
            place: e.place.clone(),
            title: e.title.clone(),
            page: e.page.clone(),
            state: e.state,
            interval: e.interval.clone(),
            level: e.level,
        };
        Reply::json(&Whole {
            entries: book.entries.iter().map(line).collect(),
            notices: book.notices.clone(),
            listed: listed(&name, &book),
        })
    })
    .await
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct New {
    outline: Option<String>,
    language: PrintedLanguage,
}

/// `PUT /api/books/{book}`: begins a book of which only the kind is known.
pub(super) async fn begin(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    body: Bytes,
) -> Response {
    work(desk, move |desk| {
        let new: New = parse(&body)?;
        let outline = new.outline.as_deref().map(Outline::shipped).transpose()?;
        begun(desk, &Book::new(named(&name)?, new.language, outline))
    })
    .await
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Renamed {
    to: String,
}

/// `POST /api/books/{book}/rename`
pub(super) async fn rename(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    body: Bytes,
) -> Response {
    work(desk, move |desk| {
        let to: Renamed = parse(&body)?;
        desk.is_idle(&name)?;
        let book = desk.shelf.rename(&name, named(&to.to)?)?;
        Reply::json(&listed(&file_name(desk, &book)?, &book))
    })
    .await
}

/// `POST /api/books/{book}/away`: the book keeps everything, and no list names it.
pub(super) async fn put_away(State(desk): State<Shared>, Path(name): Path<String>) -> Response {
    work(desk, move |desk| {
        desk.is_idle(&name)?;
        desk.shelf.put_away(&name)?;
        Reply::json(&name)
    })
    .await
}

/// `POST /api/books/{book}/back`: a book that was put away.
pub(super) async fn bring_back(State(desk): State<Shared>, Path(name): Path<String>) -> Response {
    work(desk, move |desk| {
        desk.shelf.bring_back(&name)?;
        Reply::json(&listed(&name, &open(desk, &name)?))
    })
    .await
}

/// What a book is called in addresses.
fn file_name(desk: &Desk, book: &Book) -> Result<String> {
    let file = desk.shelf.book_file(&book.name)?;
    Ok(file.file_stem().unwrap_or_default().to_string_lossy().into_owned())
}

/// Refuses a name that is none.
fn named(name: &str) -> Result<&str> {
    let found = name.chars().count();
    if found > LONGEST_NAME {
        let said = format!("the name has {found} letters, expected at most {LONGEST_NAME}");
        return Err(not_understood(said));
    }
    Ok(name.trim())
}

/// Puts a new book on the shelf; a name that is taken is refused.
fn begun(desk: &Desk, book: &Book) -> Result<Reply> {
    desk.shelf.begin(book)?;
    Reply::json(&listed(&file_name(desk, book)?, book))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Ribbons {
    before: Vec<String>,
    value: Vec<String>,
}

/// `POST /api/books/{book}/ribbons`: the colours from the spine.
pub(super) async fn ribbons(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    body: Bytes,
) -> Response {
    work(desk, move |desk| {
        let change: Ribbons = parse(&body)?;
        let (book, conflict) = desk.shelf.change(&name, |book| {
            let now: Vec<&str> = book.ribbons.iter().map(|r| r.colour.as_str()).collect();
            if now != change.before && now != change.value {
                return Ok(Some(now.into()));
            }
            let colours = change.value.iter().map(String::as_str).filter(|c| !c.trim().is_empty());
            let mut marks = book.marks(None);
            marks.ribbons = Ribbon::renamed(colours, &book.ribbons);
            book.mark(None, marks, &crate::shelf::now());
            Ok(None)
        })?;
        conflict.map_or_else(|| Reply::json(&listed(&name, &book)), |now| Ok(Reply::Conflict(now)))
    })
    .await
}

/// `GET /api/books/{book}/export`
pub(super) async fn export(State(desk): State<Shared>, Path(name): Path<String>) -> Response {
    work(desk, move |desk| {
        let book = open(desk, &name)?;
        let file = desk.shelf.book_file(&book.name)?;
        let bytes = format::to_text(&book.to_share(), &file)?.into_bytes();
        let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
        let name = format!("{}-pages.json", name.chars().map(plain).collect::<String>());
        Ok(Reply::File { kind: "application/json", name: Some(name), bytes })
    })
    .await
}

/// `POST /api/books/{book}/import`: a book's file from another parish, under a name of one's own.
pub(super) async fn import(
    State(desk): State<Shared>,
    Path(name): Path<String>,
    body: Body,
) -> Response {
    let bytes = take(body, "the book's file", None, LARGEST_MB).await;
    work(desk, move |desk| {
        let bytes = bytes?;
        let text = std::str::from_utf8(&bytes).map_err(|e| not_understood(e.to_string()))?;
        let shared: Book = format::parse(text, std::path::Path::new("the book's file"))?;
        begun(desk, &Book::brought(&shared, named(&name)?, &now())?)
    })
    .await
}

/// The bytes sent, up to a limit; `announced` is the size that the request says they have.
pub(super) async fn take(
    body: Body,
    what: &str,
    announced: Option<u64>,
    limit_mb: u64,
) -> Result<Bytes> {
    let limit = limit_mb * 1_000_000;
    let too_large = |found: Option<u64>| DeskFault::TooLarge {
        what: what.to_owned(),
        found_mb: found.map(|f| f.div_ceil(1_000_000)),
        limit_mb,
    };
    if announced.is_some_and(|size| size > limit) {
        return Err(too_large(announced).into());
    }
    let bytes = axum::body::to_bytes(body, usize::try_from(limit).unwrap_or(usize::MAX)).await;
    Ok(bytes.map_err(|_| too_large(None))?)
}

/// `GET /api/books/{book}/compare/{other}`: every place with its page in both.
pub(super) async fn compare(
    State(desk): State<Shared>,
    Path((old, new)): Path<(String, String)>,
) -> Response {
    work(desk, move |desk| Reply::json(&concordance(&open(desk, &old)?, &open(desk, &new)?))).await
}

/// `POST /api/books/{book}/compare/{other}`: carries ribbons, tabs and sheets over; answers what stays
/// behind.
pub(super) async fn carry(
    State(desk): State<Shared>,
    Path((old, new)): Path<(String, String)>,
) -> Response {
    work(desk, move |desk| {
        let old = open(desk, &old)?;
        let (_, left) = desk.shelf.change(&new, |new| Ok(carry_marks(&old, new, &now())))?;
        Reply::json(&left)
    })
    .await
}
