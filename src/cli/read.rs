//! `vitta read`: photographs become readings, and readings a book on the shelf.

use super::args::{Common, Read};
use super::photographs::{Came, Work};
use super::{Outcome, photographs, print_json, report, stop};
use crate::book::{Book, Outline, PageState, State};
use crate::error::UsageFault;
use crate::language::PrintedLanguage;
use crate::shelf::{PhotoNames, now};
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
    let there = command.book.as_deref().map(|name| shelf.find(name)).transpose()?.flatten();
    let names = PhotoNames::of(there.as_ref());
    if let (Some(name), None) = (&command.book, &there) {
        shelf.is_free(name)?;
    }
    let files = photographs::find(&command.photos)?;
    stop::listen();
    let printed: Option<PrintedLanguage> = command.printed.map(Into::into);
    let mut came = photographs::read(
        &files,
        Work {
            steps: command.show_steps.as_deref(),
            out: command.out.as_deref(),
            keep: command.book.as_deref().map(|name| (&shelf, name, &names)),
        },
    )?;
    if came.readings.is_empty() {
        return Err(nothing(came));
    }
    let readings = std::mem::take(&mut came.readings);
    if common.json {
        print_json(&Readings { photos: &readings })?;
    } else {
        let with_rows = command.book.is_none() && command.out.is_none();
        readings.iter().for_each(|r| report::result(&summary(r, with_rows)));
    }
    // Readings that are kept are looked at in the book they go to.
    let mut look =
        command.out.is_none() && readings.iter().any(|r| r.rows.iter().any(|row| row.doubt));
    if let Some(name) = &command.book {
        let begin = || Book::from_readings(name, &readings, outline, printed, &now());
        let book = shelf.read_into(name, &readings, &names.contents(), begin)?;
        look |= book.entries.iter().any(|e| e.state == State::Doubtful);
        if !common.json {
            report::result(&map_summary(&book));
        }
        report::message(&format!("written to {}", shelf.book_file(name)?.display()));
    }
    look |= !came.failed.is_empty() || came.left > 0;
    told_last(&came, readings.len());
    Ok(if look { Outcome::Look } else { Outcome::Done })
}

/// Only where nothing was read is a photograph that cannot be read an error.
fn nothing(mut came: Came) -> Error {
    let last = came.failed.pop();
    came.failed.iter().for_each(report::error);
    last.unwrap_or_else(|| UsageFault::Stopped.into())
}

/// What a person must not overlook: the photographs that could not be read, and those left.
fn told_last(came: &Came, read: usize) {
    came.failed.iter().for_each(report::error);
    if came.left > 0 {
        report::message(&format!("stopped: {read} photographs are read, {} are left", came.left));
    }
}

fn outline(name: &str) -> Result<Option<&'static Outline>> {
    if name == "none" { Ok(None) } else { Outline::shipped(name).map(Some) }
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
    let count = |state| book.entries.iter().filter(|e| e.state.shown() == state).count();
    format!(
        "{}: {} pages known, {} to check, {} reckoned, {} not in this book\n",
        book.name,
        count(PageState::Known),
        count(PageState::Check),
        count(PageState::Reckoned),
        count(PageState::Absent),
    )
}
