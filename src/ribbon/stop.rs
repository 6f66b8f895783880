//! Needs and a book become stops: each text with its page and opening, and what is not in the book.
//!
//! A need's places are tried in their order. Where none is in any book on the table, the nearest
//! heading above the preferred one is given instead, marked as a place to search from; where there is
//! no such heading either, the text is kept without a page and a notice says so.

use super::costs::Costs;
use super::leaves::{after, opening, position};
use super::solve::Movement;
use super::{Move, Notice, Plan, Stop};
use crate::book::{Book, Entry, PageState, State, about};
use crate::order::{Candidate, Need, Service, Stand};
use crate::place::Place;

/// A book on the table: its copy, how many of its ribbons may be used, and where it is used.
#[derive(Debug, Clone, Copy)]
pub struct OnTable<'a> {
    /// The book.
    pub book: &'a Book,
    /// Ribbons that may be used, of those that are not torn.
    pub ribbons: usize,
    /// Where it is used; empty for everywhere.
    pub stands: &'a [Stand],
}

impl OnTable<'_> {
    fn is_at(&self, stand: Stand) -> bool {
        self.stands.is_empty() || self.stands.contains(&stand)
    }
}

/// One way to meet a need: the book's index on the table, the stop, and the opening where its text ends.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub book: usize,
    pub stop: Stop,
    pub opening: i32,
    pub ends: i32,
    /// Rank of the text among the permitted ones, 0 the preferred.
    pub rank: u32,
    /// Half the width, in openings, of the interval in which the page lies.
    pub doubt: u32,
    /// The tab nearest to it.
    pub tab: Option<Tab>,
}

/// A tab and the leaves to turn from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Tab {
    pub title: String,
    pub leaves: i32,
}

impl Tab {
    /// Cost of opening the book at the tab and leafing on.
    pub fn cost(&self, movement: &Movement, costs: &Costs) -> u32 {
        costs.tab.saturating_add(movement.walk(self.leaves.unsigned_abs()))
    }

    fn nearest(book: &Book, to: i32) -> Option<Self> {
        let tab = |t: &crate::book::Tab| {
            let leaves = to - opening(position(book, &t.page)?);
            Some(Tab { title: t.title.clone(), leaves })
        };
        book.tabs.iter().filter_map(tab).min_by_key(|t| t.leaves.unsigned_abs())
    }
}

/// The ways to meet `need`, the preferred first; a text that is in no book adds a notice. `None` for a
/// need without any place.
pub(super) fn locate(need: &Need, table: &[OnTable], notices: &mut Vec<Notice>) -> Option<Located> {
    let preferred = need.places.first()?;
    if need.on_sheet || need.from.is_some() {
        return Some(Located { stop: stop(need, preferred), ways: vec![] });
    }
    let here: Vec<usize> = books_for(need, table);
    let mut ways = vec![];
    for (rank, candidate) in (0u32..).zip(&need.places) {
        ways.extend(here.iter().filter_map(|&b| way(need, candidate, rank, b, table[b].book)));
    }
    if ways.is_empty() {
        ways.extend(under_heading(need, preferred, &here, table, notices));
    }
    if ways.is_empty() && !need.by_heart {
        notices.push(Notice::NotInBook { text: preferred.title.clone() });
    }
    let stop = ways.first().map_or_else(|| stop(need, preferred), |w| w.stop.clone());
    Some(Located { stop, ways })
}

/// What became of a need.
pub(super) struct Located {
    /// Its stop at the preferred place.
    pub stop: Stop,
    /// The ways to meet it; none where no book has it.
    pub ways: Vec<Way>,
}

/// The books used where the need arises; every book if no book there has any of its places. By name, so that
/// the order in which books are given decides nothing.
fn books_for(need: &Need, table: &[OnTable]) -> Vec<usize> {
    let has = |b: &usize| need.places.iter().any(|c| entry(table[*b].book, &c.place).is_some());
    let mut here: Vec<usize> = (0..table.len()).filter(|&b| table[b].is_at(need.stand)).collect();
    if !here.iter().any(has) {
        here = (0..table.len()).collect();
    }
    here.sort_by_key(|&b| &table[b].book.name);
    here
}

/// The entry of `place` if it has a page.
fn entry<'a>(book: &'a Book, place: &Place) -> Option<&'a Entry> {
    let known = |e: &&Entry| e.place == *place && e.state != State::Absent && e.page.is_some();
    book.entries.iter().find(known)
}

fn way(need: &Need, candidate: &Candidate, rank: u32, index: usize, book: &Book) -> Option<Way> {
    let entry = entry(book, &candidate.place)?;
    let label = entry.page.as_deref()?;
    let start = position(book, label)?;
    let next = (candidate.pages_in > 0).then(|| next_heading(book, start)).flatten();
    // Some pages on, but not beyond the next heading.
    let pages_in = match next {
        Some(next) => candidate.pages_in.min(u16::try_from(next - start).unwrap_or(u16::MAX)),
        None => candidate.pages_in,
    };
    let begins = opening(start + i32::from(pages_in));
    let state = entry.state.shown();
    let (page, state) = match (state, pages_in) {
        (PageState::Reckoned | PageState::Absent, _) | (_, 0) => (entry.shown_page(), state),
        // How a Mass is laid out is not read: between its first page and the next heading.
        (_, further) => (Some(about(label, &after(label, further)?)), state),
    };
    let stop = Stop {
        book: book.name.clone(),
        page,
        state,
        pages_in,
        interval: entry.interval.clone(),
        reckoned: entry.reckoned.clone(),
        doubt: state != PageState::Known,
        ..stop(need, candidate)
    };
    Some(Way {
        book: index,
        opening: begins,
        ends: end_of_text(book, need, &candidate.place, start).map_or(begins, opening).max(begins),
        rank,
        tab: Tab::nearest(book, begins),
        doubt: half_width(book, entry.interval.as_ref()),
        stop,
    })
}

/// The position of the next text that begins on a later page.
fn next_heading(book: &Book, start: i32) -> Option<i32> {
    let pages = book.entries.iter().filter_map(|e| position(book, e.page.as_deref()?));
    pages.filter(|&p| p > start).min()
}

/// The stop before it is known where its text stands.
fn stop(need: &Need, candidate: &Candidate) -> Stop {
    Stop {
        moment: need.moment.clone(),
        title: need.title.clone(),
        text: candidate.title.clone(),
        place: candidate.place.clone(),
        book: String::new(),
        page: None,
        state: PageState::Absent,
        pages_in: candidate.pages_in,
        interval: None,
        reckoned: None,
        doubt: false,
        stand: need.stand,
        weight: if need.by_heart || need.from.is_some() { 0 } else { need.weight },
        optional: need.optional,
        no_ribbon: need.no_ribbon,
        landmark: None,
        reason: need.reason.clone(),
        others: vec![],
        hand: match (&need.from, need.by_heart, need.on_sheet) {
            (Some(what), ..) => Move::From { what: what.clone() },
            (_, true, _) => Move::ByHeart,
            (.., true) => Move::OnSheet,
            _ => Move::NotHere,
        },
    }
}

/// Half the width of an interval of pages, in openings.
fn half_width(book: &Book, interval: Option<&(String, String)>) -> u32 {
    let ends = interval.and_then(|(a, b)| Some((position(book, a)?, position(book, b)?)));
    ends.map_or(0, |(a, b)| opening(a).abs_diff(opening(b)).div_ceil(2))
}

/// Pages that a text of the Order of Mass takes at most; a wider gap to the next heading means that
/// headings are missing. The first Eucharistic Prayer is the longest (common practice).
const LONGEST_TEXT: i32 = 14;

/// Where a text that is read through to its end ends: before the next heading. Only texts of the Order
/// of Mass are; of a day's Mass one prayer is read at a time.
fn end_of_text(book: &Book, need: &Need, place: &Place, start: i32) -> Option<i32> {
    // A preface printed in a Eucharistic Prayer ends before the prayer does.
    let preface = need.moment == "preface" && place.is_under("order/prayer");
    if !place.is_under("order") || preface {
        return None;
    }
    let next = next_heading(book, start)?;
    (next - start <= LONGEST_TEXT).then_some(next - 1)
}

/// The nearest heading above `candidate` that a book has, as a place to search from.
fn under_heading(
    need: &Need,
    candidate: &Candidate,
    here: &[usize],
    table: &[OnTable],
    notices: &mut Vec<Notice>,
) -> Option<Way> {
    let mut path = candidate.place.as_str();
    while let Some((above, _)) = path.rsplit_once('/') {
        path = above;
        let Some(heading) = Place::new(path) else { continue };
        for &b in here {
            let from =
                Candidate { place: heading.clone(), pages_in: 0, title: candidate.title.clone() };
            let Some(mut way) = way(need, &from, 0, b, table[b].book) else { continue };
            way.stop.doubt = true;
            way.stop.state = PageState::Check;
            way.doubt = section_width(table[b].book, &heading, way.opening);
            notices.push(Notice::UnderHeading {
                text: candidate.title.clone(),
                heading: entry(table[b].book, &heading)
                    .map(|e| e.title.clone())
                    .unwrap_or_default(),
                page: way.stop.page.clone().unwrap_or_default(),
            });
            return Some(way);
        }
    }
    None
}

/// Openings from the heading to the last page known under it.
fn section_width(book: &Book, heading: &Place, start: i32) -> u32 {
    let under = book.entries.iter().filter(|e| e.place.is_under(heading.as_str()));
    let last = under.filter_map(|e| position(book, e.page.as_deref()?)).max();
    last.map_or(1, |last| opening(last).abs_diff(start).max(1))
}

/// The service with the texts that `plan` chose wherever `book` has them, so that two books side by side
/// are opened at the same ones.
pub fn as_planned(service: &Service, plan: &Plan, book: &Book) -> Service {
    let mut same = service.clone();
    for need in &mut same.needs {
        let chosen = plan.stops.iter().find(|s| s.moment == need.moment).map(|s| &s.place);
        let here = |c: &&Candidate| Some(&c.place) == chosen && entry(book, &c.place).is_some();
        if let Some(candidate) = need.places.iter().find(here).cloned() {
            need.places = vec![candidate];
            need.together = None;
        }
    }
    same
}
