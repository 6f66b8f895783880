//! The desk: one page in the browser for the whole job, on the shelf's own files.
//!
//! [`router`] is a function from request to answer and needs no socket; [`serve`] listens. `door` decides
//! who may ask, `today`, `week`, `books`, `photographs` and `parish` answer, `page` is what the browser
//! loads: plain HTML, CSS and JavaScript, compiled in. Every change goes to the shelf at once through the
//! same code as the commands, whole or not at all, and says what it was made on: where another page was
//! quicker it is refused with both values (`reply::Reply::Conflict`).

mod books;
mod door;
mod page;
mod parish;
mod photographs;
mod reply;
mod review;
mod server;
mod today;
mod week;

pub use door::Door;
pub use server::{Listening, serve};

use crate::Result;
use crate::calendar::Calendar;
use crate::error::DeskFault;
use crate::language::Language;
use crate::shelf::{Parish, Shelf};
use axum::Router;
use axum::middleware;
use axum::routing::{get, post, put};
use chrono::NaiveDate;
use serde::Deserialize;
use std::sync::{Arc, Mutex};

/// The shelf and who may come to it.
pub struct Desk {
    shelf: Shelf,
    language: Language,
    door: Door,
    reading: Mutex<photographs::InHand>,
    /// The calendar last asked for, by the parish's word for it and its files' times.
    calendar: Mutex<Option<(parish::CalendarKey, Arc<Calendar>)>>,
}

type Shared = Arc<Desk>;

impl Desk {
    /// A desk on `shelf`; titles and cards are in `language` unless the page asks for another.
    pub fn new(shelf: Shelf, language: Language, door: Door) -> Self {
        Desk { shelf, language, door, reading: Mutex::default(), calendar: Mutex::default() }
    }

    fn calendar(&self, parish: &Parish) -> Result<Arc<Calendar>> {
        let key = parish::calendar_key(parish, &self.shelf)?;
        let mut last = self.calendar.lock().unwrap_or_else(|broken| broken.into_inner());
        if let Some((known, calendar)) = last.as_ref().filter(|(known, _)| *known == key) {
            let _ = known;
            return Ok(calendar.clone());
        }
        let calendar = Arc::new(self.shelf.calendar_called(&parish.calendar)?);
        *last = Some((key, calendar.clone()));
        Ok(calendar)
    }
}

/// The language a page asks for.
#[derive(Debug, Deserialize)]
struct Tongue {
    lang: Option<Language>,
}

impl Tongue {
    fn or(&self, desk: &Desk) -> Language {
        self.lang.unwrap_or(desk.language)
    }
}

/// A date in an address.
fn date(typed: &str) -> Result<NaiveDate> {
    typed
        .parse()
        .map_err(|_| not_understood(format!("\"{typed}\" is no date, expected 2026-12-08")))
}

fn not_understood(said: String) -> crate::Error {
    DeskFault::NotUnderstood { said }.into()
}

/// Everything the desk answers.
pub fn router(desk: Desk) -> Router {
    let desk: Shared = Arc::new(desk);
    Router::new()
        .route("/api/desk", get(books::desk))
        .route("/api/code", post(door::code))
        .route("/api/today/{date}", get(today::today))
        .route("/api/today/{date}/{card}", get(today::card))
        .route("/api/choices", get(today::choices))
        .route("/api/week/{date}", get(week::week))
        .route("/api/week/{date}/{sheet}", get(week::sheet))
        .route("/api/parish", get(parish::parish).post(parish::change))
        .route("/api/parish/own", post(parish::own))
        .route("/api/parish/layer", post(parish::layer))
        .route("/api/parish/on/{month}/{day}", get(parish::on))
        .route("/api/books/{book}", get(books::book).put(books::begin))
        .route("/api/books/{book}/review", get(review::review))
        .route("/api/books/{book}/looks", get(review::looks))
        .route("/api/books/{book}/word", post(review::word))
        .route("/api/books/{book}/undo", post(review::undo))
        .route("/api/books/{book}/redo", post(review::redo))
        .route("/api/books/{book}/ribbons", post(books::ribbons))
        .route("/api/books/{book}/import", post(books::import))
        .route("/api/books/{book}/export", get(books::export))
        .route("/api/books/{book}/compare/{other}", get(books::compare).post(books::carry))
        .route("/api/books/{book}/strip", get(review::strip))
        .route("/api/books/{book}/photographs", get(photographs::list))
        .route(
            "/api/books/{book}/photographs/{file}",
            put(photographs::take).delete(photographs::put_back),
        )
        .route("/api/books/{book}/read", post(photographs::read))
        .route(
            "/api/books/{book}/read/{photo}",
            post(photographs::again).delete(photographs::remove),
        )
        .route("/api/books/{book}/rename", post(books::rename))
        .route("/api/books/{book}/away", post(books::put_away))
        .route("/api/books/{book}/back", post(books::bring_back))
        .fallback(page::file)
        .layer(middleware::from_fn_with_state(desk.clone(), door::guard))
        .with_state(desk)
}
