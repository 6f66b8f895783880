//! `vitta read`: photographs become readings, and readings a book on the shelf.

use super::args::{Common, Read};
use super::{Outcome, photographs, print_json, report};
use crate::book::{Book, Outline, State};
use crate::shelf::now;
use crate::text::Reading;
use crate::{Error, Result};
use serde::Serialize;
use std::fmt::Write;

#[derive(Serialize)]
struct Readings<'a> {
    photos: &'a [Reading],
}

/// Runs the command.
pub fn run(command: &Read, common: &Common) -> Result<Outcome> {
    // Whatever can be refused is refused before the long work.
    let shelf = common.shelf()?;
    let outline = outline(&command.outline)?;
    let known = command.book.as_deref().map(|name| shelf.find(name)).transpose()?.flatten();
    let files = photographs::find(&command.photos)?;
    let printed = command.printed.map(Into::into);
    let keep = command.book.as_deref().map(|name| (&shelf, name));
    let results = photographs::read(&files, printed, command.show_steps.as_deref(), keep)?;
    let (readings, failed) = sort_out(results)?;
    if common.json {
        print_json(&Readings { photos: &readings })?;
    } else {
        readings.iter().for_each(|r| report::result(&summary(r, command.book.is_none())));
    }
    let mut look = failed || readings.iter().any(|r| r.rows.iter().any(|row| row.doubt));
    if let Some(name) = &command.book {
        let when = now();
        let book = match known {
            Some(mut book) => {
                book.read(&readings, &when);
                book
            }
            None => Book::from_readings(name, &readings, outline, printed, &when),
        };
        let file = shelf.put(&book)?;
        look |= book.entries.iter().any(|e| e.state == State::Doubtful);
        if !common.json {
            report::result(&map_summary(&book));
        }
        report::message(&format!("written to {}", file.display()));
    }
    Ok(if look { Outcome::Look } else { Outcome::Done })
}

fn outline(name: &str) -> Result<Option<&'static Outline>> {
    if name == "none" { Ok(None) } else { Outline::shipped(name).map(Some) }
}

/// What was read, and whether some photographs could not be. Only where none could is it an error.
fn sort_out(results: Vec<Result<Reading>>) -> Result<(Vec<Reading>, bool)> {
    let mut readings = Vec::new();
    let mut failed: Vec<Error> = Vec::new();
    for result in results {
        match result {
            Ok(reading) => readings.push(reading),
            Err(error) => failed.push(error),
        }
    }
    // Where data or a program are missing, it is the same for every photograph.
    failed.dedup_by_key(|error| error.whole());
    let last = if readings.is_empty() { failed.pop() } else { None };
    failed.iter().for_each(report::error);
    match last {
        Some(error) => Err(error),
        None => Ok((readings, !failed.is_empty())),
    }
}

/// What was read on one photograph: its rows too, where no book is to hold them.
fn summary(reading: &Reading, with_rows: bool) -> String {
    let doubtful = reading.rows.iter().filter(|r| r.doubt).count();
    let mut text =
        format!("{}: {} entries, {doubtful} in doubt\n", reading.file, reading.rows.len());
    if with_rows {
        for row in &reading.rows {
            let indent = "  ".repeat(usize::from(row.level.max(1)));
            let page = row.page.as_deref().unwrap_or("");
            let mark = if row.doubt { " ?" } else { "" };
            let _ = writeln!(text, "{indent}{} … {page}{mark}", row.title);
        }
        for reference in &reading.crossrefs {
            let mark = if reference.doubt { " ?" } else { "" };
            let _ = writeln!(text, "  {} → {}{mark}", reference.label, reference.pages.join(", "));
        }
    }
    for notice in &reading.notices {
        let _ = writeln!(text, "  {notice}");
    }
    text
}

/// How well a book's pages are known.
pub fn map_summary(book: &Book) -> String {
    let count = |state| book.entries.iter().filter(|e| e.state == state).count();
    format!(
        "{}: {} pages read, {} mended, {} confirmed, {} estimated, {} absent, {} for a person to look at\n",
        book.name,
        count(State::Read),
        count(State::Mended),
        count(State::Confirmed),
        count(State::Estimated),
        count(State::Absent),
        count(State::Doubtful),
    )
}
