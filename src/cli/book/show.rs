//! `vitta book show`: a book's pages as lines to read.

use super::super::args::Common;
use super::super::{Outcome, print_json, report};
use super::args::Show;
use super::place;
use crate::Result;
use crate::book::{Book, Change, Copy, Entry, Known, PageState, Pair, Said, State, Step};
use std::fmt::Write;

/// Runs the command.
pub fn run(command: &Show, common: &Common) -> Result<Outcome> {
    let book = common.shelf()?.open(&command.name)?;
    if command.history {
        return history(&book, common);
    }
    if command.photographs {
        let photos = book.photos();
        match common.json {
            true => print_json(&photos)?,
            false => photos.iter().for_each(|p| report::result(&format!("{p}\n"))),
        }
        return Ok(Outcome::Done);
    }
    let mut entries: Vec<&Entry> = book.entries.iter().collect();
    if let Some(typed) = &command.place {
        let above = place(typed)?;
        entries.retain(|e| e.place.is_under(above.as_str()));
    }
    if !command.in_order {
        entries.sort_by_key(|e| urgency(e.state));
    }
    if common.json {
        print_json(&entries)?;
        return Ok(Outcome::Done);
    }
    for entry in entries {
        report::result(&line(entry));
        if command.evidence {
            report::result(&evidence(entry));
        }
    }
    for notice in &book.notices {
        report::message(notice);
    }
    Ok(if book.doubtful() > 0 { Outcome::Look } else { Outcome::Done })
}

fn history(book: &Book, common: &Common) -> Result<Outcome> {
    if common.json {
        print_json(&book.history)?;
    } else {
        book.history.iter().for_each(|s| report::result(&(step(s) + "\n")));
    }
    Ok(Outcome::Done)
}

/// What a person should see first.
fn urgency(state: State) -> u8 {
    match state {
        State::Doubtful => 0,
        State::Mended => 1,
        State::Estimated => 2,
        State::Read => 3,
        State::Confirmed => 4,
        State::Absent => 5,
    }
}

/// How a state is said.
fn state(state: PageState) -> &'static str {
    match state {
        PageState::Known => "known",
        PageState::Check => "check",
        PageState::Reckoned => "reckoned",
        PageState::Absent => "not in this book",
    }
}

/// An entry on one line: page, how it is known, title, place.
pub fn line(entry: &Entry) -> String {
    let page = entry.shown_page().unwrap_or_else(|| "–".to_owned());
    let shown = entry.state.shown();
    let known = match (&entry.reckoned, &entry.interval, shown) {
        (Some(reckoned), _, PageState::Check) => format!("check, {reckoned} as reckoned"),
        (None, Some((first, last)), PageState::Check) => format!("check {first}–{last}"),
        _ => state(shown).to_owned(),
    };
    format!("{page:>11}  {known:<16}  {}  {}\n", entry.title, entry.place)
}

/// What was read of an entry, a line each.
fn evidence(entry: &Entry) -> String {
    let mut text = String::new();
    for reading in &entry.evidence {
        let ways: Vec<String> = reading
            .alternatives
            .iter()
            .map(|a| format!("{} ({:.0} %)", a.page, 100.0 * a.weight))
            .collect();
        let at = reading.strip.area.top;
        let _ = writeln!(
            text,
            "        {} \"{}\" on {} at {at} px",
            ways.join(", "),
            reading.title,
            reading.strip.photo
        );
    }
    text
}

/// What a copy has.
fn told(marks: &Copy) -> String {
    let colours: Vec<&str> = marks.ribbons.iter().map(|r| r.colour.as_str()).collect();
    let (tabs, sheets) = (marks.tabs.len(), marks.stickers.len());
    format!("ribbons {}; {tabs} tabs, {sheets} laid-in sheets", colours.join(", "))
}

/// A step as a sentence.
pub fn step(step: &Step) -> String {
    let what = match &step.what {
        Change::Read { photos, .. } => format!("read {}", photos.join(", ")),
        Change::Removed { photo, .. } => format!("took {photo} away"),
        Change::Brought { from } => format!("brought from another parish, called \"{from}\" there"),
        Change::Word { place, said: Some(Said::Page(page)), .. } => format!("{place} is on {page}"),
        Change::Word { place, said: Some(Said::Absent), .. } => {
            format!("{place} is not in the book")
        }
        Change::Word { place, said: None, .. } => format!("nothing is said of {place} any more"),
        Change::Marks { from: Some(from), .. } => format!("carried the marks of \"{from}\" over"),
        Change::Marks { copy: Some(copy), marks, .. } => {
            format!("marks of the copy \"{copy}\": {}", told(marks))
        }
        Change::Marks { copy: None, marks, .. } => format!("marks: {}", told(marks)),
    };
    format!("{}  {what}", step.when)
}

/// A place in two editions on one line.
pub fn pair(pair: &Pair) -> String {
    let page = |known: &Option<Known>| match known {
        Some(known) => {
            let mark = match known.state.shown() {
                PageState::Check => "?",
                _ => "",
            };
            format!("{}{mark}", known.page)
        }
        None => "–".to_owned(),
    };
    format!("{:>7} {:>7}  {}\n", page(&pair.old), page(&pair.new), pair.title)
}
