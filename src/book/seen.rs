//! What a first match of all lists tells the second: the pages that other rows give a place and its
//! neighbours.
//!
//! "Monday" alone fits fifty places; which one is meant, the pages of the days around each of them say.

use super::catalogue::Candidate;
use super::lists::{CLEAR, Lists};
use super::{Entry, Label};

/// Log odds for the page another list gives the place and for any other; where no other names it, for one between
/// the pages of its neighbours and for one outside them. By trial; titles printed in full outweigh them.
const SAME: f64 = 3.0;
const BETWEEN: f64 = 0.5;
const ELSEWHERE: f64 = -4.0;
const OUTSIDE: f64 = -2.0;
/// Only rows matched this surely tell others.
const SURE: f64 = 0.3;

/// A row by its photograph and number.
pub(super) type RowOf<'a> = (&'a str, usize);

/// For each entry the clear pages read for it.
pub(super) struct Seen {
    rows: Vec<Vec<(String, usize, Label)>>,
    /// Prefaces of single days, which stand with their days or apart.
    apart: Vec<bool>,
    lists: Lists,
}

impl Seen {
    /// What the evidence of `entries` shows, in their order, but for columns that nobody believes.
    pub fn of(entries: &[Entry]) -> Self {
        let lists = Lists::of(entries, &[]);
        let clear = |e: &Entry| {
            let readings = e.evidence.iter().filter(|r| r.misplaced <= SURE && lists.believes(r));
            let clear =
                readings.filter(|r| r.alternatives.first().is_some_and(|a| a.weight >= CLEAR));
            clear
                .filter_map(|r| Some((r.strip.photo.clone(), r.row, Label::parse(r.label()?)?)))
                .collect()
        };
        Seen {
            rows: entries.iter().map(clear).collect(),
            apart: entries.iter().map(Entry::is_day_preface).collect(),
            lists,
        }
    }

    /// Whether the pages of a column say anything.
    pub fn believes(&self, photo: &str, column: u8) -> bool {
        self.lists.believes_column(photo, column)
    }

    /// What the page of a row says of a candidate.
    pub fn odds(&self, candidate: &Candidate, page: &Label, row: RowOf) -> f64 {
        let at = candidate.target;
        // Two rows of one list are two places, the heading and its first text on one page too.
        let own: Vec<&Label> = self
            .rows
            .get(at)
            .into_iter()
            .flatten()
            .filter(|r| r.0 != row.0)
            .map(|r| &r.2)
            .collect();
        if !own.is_empty() {
            return if own.contains(&page) { SAME } else { ELSEWHERE };
        }
        if self.apart.get(at) == Some(&true) {
            return 0.0;
        }
        let neighbour = |i: usize| match self.apart.get(i) {
            Some(false) => self.others(i, row).next(),
            _ => None,
        };
        let before = (0..at).rev().find_map(neighbour);
        let after = (at + 1..self.rows.len()).find_map(neighbour);
        match (before, after) {
            // Neighbours that stand apart frame nothing.
            (Some(before), Some(after)) if before > after => 0.0,
            (before, after) => {
                let between = before.is_none_or(|b| b <= page) && after.is_none_or(|a| page <= a);
                if between { BETWEEN } else { OUTSIDE }
            }
        }
    }

    /// The pages of an entry by other rows than this.
    fn others<'a>(&'a self, entry: usize, row: RowOf<'a>) -> impl Iterator<Item = &'a Label> {
        let rows = self.rows.get(entry).into_iter().flatten();
        rows.filter(move |r| (r.0.as_str(), r.1) != row).map(|r| &r.2)
    }
}
