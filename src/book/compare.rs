//! Two editions side by side: every place with both pages, and a parish's marks carried from the old
//! book to the new.

use super::{Book, Entry, Label, State, Sticker, Tab};
use crate::place::Place;
use serde::Serialize;

/// A place in two editions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pair {
    /// The place.
    pub place: Place,
    /// Its title, as the new edition has it where it does.
    pub title: String,
    /// In the old edition.
    pub old: Option<Known>,
    /// In the new edition.
    pub new: Option<Known>,
}

/// A page and how it is known.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Known {
    /// Page label, or the pages it lies among.
    pub page: String,
    /// How it is known.
    pub state: State,
    /// Probability that it is right.
    pub probability: f64,
}

impl Known {
    fn of(entry: &Entry) -> Option<Self> {
        let page = entry.shown_page()?;
        Some(Known { page, state: entry.state, probability: entry.probability })
    }
}

/// Every place of either book, in the order of the new one; places only the old one has come last, in
/// its order.
pub fn concordance(old: &Book, new: &Book) -> Vec<Pair> {
    let known = |book: &Book, place: &Place| book.entry(place).and_then(Known::of);
    let pair = |entry: &Entry| Pair {
        place: entry.place.clone(),
        title: entry.title.clone(),
        old: known(old, &entry.place),
        new: known(new, &entry.place),
    };
    let only_old = old.entries.iter().filter(|e| new.entry(&e.place).is_none());
    let pairs = new.entries.iter().chain(only_old).map(pair);
    pairs.filter(|p| p.old.is_some() || p.new.is_some()).collect()
}

/// What could not be carried over.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftBehind {
    /// The tab's title or the sheet's label.
    pub mark: String,
    /// Why, in a sentence.
    pub why: String,
}

/// Carries the ribbons, tabs and laid-in sheets of `old` over to `new`, each tab to the page of the
/// text that starts where it stood. It is one step of `new`, made at `when`.
pub fn carry_marks(old: &Book, new: &mut Book, when: &str) -> Vec<LeftBehind> {
    let mut left = Vec::new();
    let mut marks = new.marks(None);
    marks.ribbons = old.ribbons.clone();
    for tab in &old.tabs {
        match new_page(old, new, &tab.page) {
            Some(page) => marks.tabs.push(Tab { title: tab.title.clone(), page }),
            None => left.push(LeftBehind {
                mark: tab.title.clone(),
                why: format!("no text known to both books starts on page {} of the old", tab.page),
            }),
        }
    }
    for sticker in &old.stickers {
        if new.entry(&sticker.place).is_some_and(|e| e.state != State::Absent) {
            let why = "the new book prints this text itself".into();
            left.push(LeftBehind { mark: sticker.page.clone(), why });
            continue;
        }
        match moved_sheet(old, new, sticker) {
            Some(moved) => marks.stickers.push(moved),
            None => left.push(LeftBehind {
                mark: sticker.page.clone(),
                why: "the page it lies at has no counterpart in the new book".into(),
            }),
        }
    }
    new.mark_from(None, marks, Some(&old.name), when);
    left
}

/// The page in `new` of the last text that starts on or before `page` of `old`, on the very page if
/// one does.
fn new_page(old: &Book, new: &Book, page: &str) -> Option<String> {
    let at = Label::parse(page)?;
    let label = |e: &Entry| Label::parse(e.page.as_deref()?);
    let shared = |e: &&Entry| new.entry(&e.place).is_some_and(|n| n.page.is_some());
    let start = old.entries.iter().filter(shared).filter_map(|e| Some((label(e)?, e)));
    let best = start.filter(|(l, _)| *l <= at).max_by(|a, b| a.0.cmp(&b.0))?;
    new.entry(&best.1.place)?.page.clone()
}

fn moved_sheet(old: &Book, new: &Book, sticker: &Sticker) -> Option<Sticker> {
    let label = Label::parse(&sticker.page)?;
    let base = new_page(old, new, &Label::arabic(label.number).to_string())?;
    let page = format!("{base}{}", label.insert);
    Some(Sticker { page, place: sticker.place.clone() })
}
