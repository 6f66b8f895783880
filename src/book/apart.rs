//! Where an edition prints the prefaces of single days: each with its day, or all among the prefaces.
//!
//! Both are hypotheses for the whole book, scored by all pages read: with its day a preface lies between the texts
//! that the outline has next to it, among the prefaces within their pages. A single one may differ from the rest. A
//! preface apart from its day tells nothing of where the days lie.

use super::Entry;
use super::label::{Label, Numbering};

/// How often a preface stands otherwise than its edition's habit; a judgement.
const OTHERWISE: f64 = 0.05;
/// Part of the pages read that neither hypothesis explains.
const ASTRAY: f64 = 0.03;
/// Pages of the book at most, over which those spread.
const PAGES: f64 = 2000.0;
/// Room beyond the prefaces read and beyond what a section's end leaves, in pages.
const ROOM: f64 = 3.0;

/// Whether each entry, in the outline's order, is a preface of a single day that stands apart from it. `strays` are
/// texts that say nothing of their neighbours.
pub(super) fn apart(entries: &[Entry], anchors: &[Option<Label>], strays: &[bool]) -> Vec<bool> {
    let mut apart = vec![false; entries.len()];
    let pages = Pages { entries, anchors, strays };
    let of_days = |e: &Entry| e.place.is_under("time") || e.place.is_under("saints");
    for days in [true, false] {
        let members: Vec<usize> = (0..entries.len())
            .filter(|i| entries[*i].is_day_preface() && of_days(&entries[*i]) == days)
            .collect();
        let odds: Vec<Option<f64>> =
            members.iter().map(|i| pages.odds(*i, members.len())).collect();
        let all: f64 = odds.iter().flatten().sum();
        for (member, own) in members.iter().zip(&odds) {
            let rest = all - own.unwrap_or(0.0);
            // What the others say of the edition, unless this one differs from it.
            let habit = 1.0 / (1.0 + (-rest).exp());
            let expected = habit * (1.0 - OTHERWISE) + (1.0 - habit) * OTHERWISE;
            let log = (expected / (1.0 - expected)).ln() + own.unwrap_or(0.0);
            apart[*member] = log > 0.0;
        }
    }
    apart
}

struct Pages<'a> {
    entries: &'a [Entry],
    anchors: &'a [Option<Label>],
    strays: &'a [bool],
}

impl Pages<'_> {
    /// The arabic page an entry surely stands on, where it tells of its neighbours.
    fn page(&self, index: usize) -> Option<f64> {
        let tells = !self.entries[index].is_day_preface() && !self.strays[index];
        self.arabic(index).filter(|_| tells)
    }

    fn arabic(&self, index: usize) -> Option<f64> {
        let label = self.anchors[index].as_ref()?;
        (label.numbering == Numbering::Arabic).then_some(f64::from(label.number))
    }

    /// Log odds that the preface at `index`, one of so many, stands among the prefaces; none where it is unread.
    fn odds(&self, index: usize, members: usize) -> Option<f64> {
        let page = self.arabic(index)?;
        let among = self.among(members).map_or(0.0, |range| density(page, range));
        let beside = density(page, self.beside(index));
        let likely = |density: f64| (1.0 - ASTRAY) * density + ASTRAY / PAGES;
        Some((likely(among) / likely(beside)).ln())
    }

    /// The pages where prefaces stand, with room for those of the days.
    fn among(&self, members: usize) -> Option<(f64, f64)> {
        let prefaces = (0..self.entries.len())
            .filter(|i| self.entries[*i].place.is_under("order/preface"))
            .filter_map(|i| self.page(i));
        let ends = prefaces.fold(None, |ends: Option<(f64, f64)>, page| {
            Some(ends.map_or((page, page), |(a, b)| (a.min(page), b.max(page))))
        });
        ends.map(|(first, last)| (first - ROOM, last + ROOM + 2.0 * members as f64))
    }

    /// The pages between the known texts before and behind a preface in the outline, as far as its section goes.
    fn beside(&self, index: usize) -> (f64, f64) {
        let section = |i: usize| self.entries[i].place.as_str().split('/').next();
        let in_section = |i: &usize| section(*i) == section(index);
        let mut expected = [0.0; 2];
        let before = (0..index).rev().take_while(in_section).find_map(|i| {
            expected[0] += self.entries[i].length;
            self.page(i)
        });
        let after = (index + 1..self.entries.len()).take_while(in_section).find_map(|i| {
            expected[1] += self.entries[i - 1].length;
            self.page(i)
        });
        // Where nothing is known on one side, twice as many pages as are expected there.
        match (before, after) {
            (Some(before), Some(after)) => (before, after.max(before)),
            (Some(before), None) => (before, before + ROOM + 2.0 * (expected[0] + expected[1])),
            (None, Some(after)) => (after - ROOM - 2.0 * (expected[0] + expected[1]), after),
            (None, None) => (0.0, PAGES),
        }
    }
}

/// Probability of a page where all of a range are alike.
fn density(page: f64, (first, last): (f64, f64)) -> f64 {
    if (first..=last).contains(&page) { 1.0 / (last - first + 1.0) } else { 0.0 }
}
