//! Which list to photograph next: the one that names most of what is wanted and nobody has read.

use super::{Book, Entry, PageState};
use crate::place::Place;
use serde::Serialize;
use std::collections::HashMap;

/// Rows of a printed page of a list; common practice of altar books, in one column or two.
const ROWS: usize = 60;
/// Minutes to take a photograph and have it read; a judgement, not measured.
const MINUTES: f64 = 1.0;
/// A list is worth a photograph if it settles as many pages; fewer are sooner looked up.
const WORTH: usize = 3;

/// A list to photograph.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shot {
    /// The heading over the texts it names.
    pub place: Place,
    /// Its title.
    pub title: String,
    /// Wanted texts whose pages it names and nobody has read.
    pub settles: usize,
    /// Photographs it takes, about.
    pub photographs: usize,
    /// Minutes that takes, about.
    pub minutes: f64,
}

impl Book {
    /// The lists worth a photograph before anything is looked up, those that settle most first. `wanted` are
    /// places with how often they are needed; if empty, all places are wanted.
    pub fn photograph_next(&self, wanted: &[(Place, f64)]) -> Vec<Shot> {
        let weights: HashMap<&Place, f64> = wanted.iter().map(|w| (&w.0, w.1)).collect();
        let needed = |e: &Entry| wanted.is_empty() || weights.contains_key(&e.place);
        let mut book = self.clone();
        book.in_outline_order();
        let mut lists: Vec<(usize, usize, usize)> = Vec::new();
        let mut list: HashMap<usize, usize> = HashMap::new();
        let prefaces = book.entries.iter().position(|e| e.place.as_str() == "order/preface");
        let mut heading = None;
        for (index, entry) in book.entries.iter().enumerate() {
            if entry.level <= 2 {
                heading = Some(index);
            }
            let of = if entry.is_preface() { prefaces.or(heading) } else { heading };
            let Some(of) = of.filter(|of| *of != index) else { continue };
            let at = *list.entry(of).or_insert_with(|| {
                lists.push((of, 0, 0));
                lists.len() - 1
            });
            let unread = entry.state.shown() == PageState::Reckoned && entry.evidence.is_empty();
            lists[at].1 += 1;
            lists[at].2 += usize::from(unread && needed(entry));
        }
        let mut shots: Vec<Shot> = lists
            .into_iter()
            .filter(|l| l.2 >= WORTH)
            .filter_map(|(of, rows, settles)| {
                let heading = book.entries.get(of)?;
                let photographs = rows.div_ceil(ROWS);
                let (place, title) = (heading.place.clone(), heading.title.clone());
                let minutes = MINUTES * photographs as f64;
                Some(Shot { place, title, settles, photographs, minutes })
            })
            .collect();
        shots.sort_by(|a, b| b.settles.cmp(&a.settles).then_with(|| a.place.cmp(&b.place)));
        shots
    }
}
