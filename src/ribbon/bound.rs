//! Which ribbons of a copy can be laid: torn ones cannot, and one may be bound to a section.

use super::found::Found;
use super::leaves::{opening, position};
use super::solve::programme::Bundle;
use super::stop::OnTable;
use crate::Result;
use crate::book::{Book, Entry, PageState, State};
use crate::error::RibbonFault;
use crate::language::Titles;
use crate::order::title_of;
use crate::place::Place;

/// The ribbons that are laid, by their index from the spine, ascending, when `count` of those that are not torn
/// are used: the bound ones first. Beyond those that the copy has are further ones, as many as are asked for.
pub(super) fn usable(book: &Book, count: usize) -> Vec<usize> {
    let whole = |bound: bool| {
        let all = book.ribbons.iter().enumerate();
        all.filter(move |(_, r)| !r.torn && r.stays.is_some() == bound).map(|(i, _)| i)
    };
    let all = whole(true).chain(whole(false)).chain(book.ribbons.len()..);
    let mut usable: Vec<usize> = all.take(count).collect();
    usable.sort_unstable();
    usable
}

/// A ribbon that stays in a section.
#[derive(Debug, Clone)]
pub(super) struct Bound {
    /// Its index from the spine.
    pub number: usize,
    /// Where the section begins.
    pub section: Section,
    /// The openings where it may lie, ascending: the section's first, and those of the texts there.
    pub openings: Vec<i32>,
}

/// A section with its first page.
#[derive(Debug, Clone)]
pub(super) struct Section {
    pub place: Place,
    pub title: Titles,
    pub page: String,
    pub state: PageState,
    pub opening: i32,
}

/// The ribbons of one book on the table.
#[derive(Debug, Clone)]
pub(super) struct Ribbons {
    /// Those that can be laid, by their index from the spine.
    pub numbers: Vec<usize>,
    /// Those of them that are bound.
    pub bound: Vec<Bound>,
}

impl Ribbons {
    /// `count` ribbons of a book for services whose texts are `found`; `index` is the book's on the table.
    pub fn of(book: &Book, index: usize, count: usize, found: &[&Found]) -> Result<Self> {
        let numbers = usable(book, count);
        let mut bound = vec![];
        for &number in &numbers {
            let Some(ribbon) = book.ribbons.get(number) else { continue };
            let Some(place) = &ribbon.stays else { continue };
            let section = section(book, place).ok_or_else(|| RibbonFault::NoSection {
                book: book.name.clone(),
                ribbon: ribbon.colour.clone(),
                section: title(place).en,
            })?;
            let ways = found.iter().flat_map(|f| &f.read).flat_map(|r| &r.ways);
            let there = ways.filter(|w| w.book == index && w.stop.place.is_under(place.as_str()));
            let mut openings: Vec<i32> = there.map(|w| w.opening).collect();
            openings.push(section.opening);
            openings.sort_unstable();
            openings.dedup();
            bound.push(Bound { number, section, openings });
        }
        Ok(Ribbons { numbers, bound })
    }

    /// The same with another number of ribbons.
    pub fn with(&self, book: &Book, count: usize) -> Self {
        let numbers = usable(book, count);
        let bound = self.bound.iter().filter(|b| numbers.contains(&b.number)).cloned().collect();
        Ribbons { numbers, bound }
    }

    /// How many can be laid.
    pub fn count(&self) -> usize {
        self.numbers.len()
    }

    /// What the programme is told of them.
    pub fn bundle(&self) -> Bundle {
        let bound: Vec<Vec<i32>> = self.bound.iter().map(|b| b.openings.clone()).collect();
        Bundle { free: self.count() - bound.len(), bound }
    }
}

/// The ribbons of all books on the table.
pub(super) fn on_table(table: &[OnTable], found: &[&Found]) -> Result<Vec<Ribbons>> {
    let each = table.iter().enumerate();
    each.map(|(index, on)| Ribbons::of(on.book, index, on.ribbons, found)).collect()
}

/// The first page of a section; none where the book has none of it.
fn section(book: &Book, place: &Place) -> Option<Section> {
    let there = |e: &&Entry| e.place.is_under(place.as_str()) && e.state != State::Absent;
    let paged = book.entries.iter().filter(there);
    let placed = paged.filter_map(|e| Some((position(book, e.page.as_deref()?)?, e)));
    let (at, entry) = placed.min_by_key(|(at, _)| *at)?;
    Some(Section {
        place: place.clone(),
        title: title(place),
        page: entry.shown_page()?,
        state: entry.state.shown(),
        opening: opening(at),
    })
}

fn title(place: &Place) -> Titles {
    let known = title_of(place).ok().flatten();
    known.unwrap_or_else(|| Titles { en: place.to_string(), ..Titles::default() })
}
