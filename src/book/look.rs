//! Which page a person should look up next: the one whose confirmation would clear most doubt over the
//! places that are wanted.

use super::{Book, Entry, Said, State};
use crate::place::Place;
use rayon::prelude::*;
use serde::Serialize;

/// A page to look up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Look {
    /// The place to look for.
    pub place: Place,
    /// Its title.
    pub title: String,
    /// The page to open, or the pages it lies among.
    pub page: String,
    /// How it is known now.
    pub state: State,
    /// How many wanted texts, on average, would be found right that may now be wrong.
    pub teaches: f64,
}

/// Candidates that are tried out in full; the first glance is good enough to pick them.
const TRIED: usize = 10;
/// Doubt within this many places counts at first glance: a look settles the neighbours too.
const NEAR: usize = 6;

impl Book {
    /// The looks that teach most, best first. `wanted` are places with how often they are needed; if
    /// empty, all places count alike.
    pub fn look_next(&self, wanted: &[(Place, f64)], most: usize) -> Vec<Look> {
        let weights: Vec<f64> = self.entries.iter().map(|e| weight(e, wanted)).collect();
        let doubt = self.doubt(&weights);
        let mut looks: Vec<Look> = self
            .at_first_glance(&weights)
            .into_par_iter()
            .filter_map(|index| self.try_out(index, &weights, doubt))
            .collect();
        looks.sort_by(|a, b| b.teaches.total_cmp(&a.teaches));
        looks.truncate(most);
        looks
    }

    /// Looks until no place that is wanted is in doubt any more, if each finds the page as the map has it;
    /// counted up to `most`.
    pub fn looks_left(&self, wanted: &[(Place, f64)], most: usize) -> usize {
        let mut looked = self.clone();
        let in_doubt = |e: &Entry| matches!(e.state, State::Doubtful | State::Estimated);
        for looks in 0..most {
            let open = looked.entries.iter().enumerate();
            let open = open.filter(|(_, e)| in_doubt(e) && e.page.is_some());
            let worth = open.map(|(i, e)| (weight(e, wanted) * e.doubt(), i));
            let Some((_, next)) = worth.filter(|w| w.0 > 0.0).max_by(|a, b| a.0.total_cmp(&b.0))
            else {
                return looks;
            };
            if let Some(entry) = looked.entries.get_mut(next) {
                entry.said = entry.page.clone().map(Said::Page);
            }
            looked.infer();
        }
        most
    }

    /// The expected number of wanted texts that are looked for on a wrong page.
    fn doubt(&self, weights: &[f64]) -> f64 {
        let each = self.entries.iter().zip(weights);
        each.map(|(e, w)| w * e.doubt()).sum()
    }

    /// Places in doubt by how much a look would teach as far as a first glance tells: by the doubt in and
    /// near them. What is not wanted is left out.
    pub fn glance(&self, wanted: &[(Place, f64)]) -> Vec<Place> {
        let weights: Vec<f64> = self.entries.iter().map(|e| weight(e, wanted)).collect();
        let by_glance = self.by_first_glance(&weights).into_iter();
        by_glance.filter_map(|i| self.entries.get(i).map(|e| e.place.clone())).collect()
    }

    fn at_first_glance(&self, weights: &[f64]) -> Vec<usize> {
        self.by_first_glance(weights).into_iter().take(TRIED).collect()
    }

    /// Entries with most doubt in and near them first.
    fn by_first_glance(&self, weights: &[f64]) -> Vec<usize> {
        let open = |i: usize| self.entries.get(i).map_or(0.0, Entry::doubt);
        let near = |i: usize| -> f64 {
            let range = i.saturating_sub(NEAR)..=i + NEAR;
            range
                .map(|j| open(j) * weights.get(j).unwrap_or(&0.0) / (1 + i.abs_diff(j)) as f64)
                .sum()
        };
        let mut scored: Vec<(f64, usize)> = (0..self.entries.len())
            .filter(|i| open(*i) > 0.001)
            .map(|i| (near(i) * open(i), i))
            .collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        scored.into_iter().filter(|s| s.0 > 0.0).map(|s| s.1).collect()
    }

    /// What is left of the doubt if a look finds the page as the map has it.
    fn try_out(&self, index: usize, weights: &[f64], doubt: f64) -> Option<Look> {
        let entry = self.entries.get(index)?;
        let page = entry.page.clone()?;
        let mut looked = self.clone();
        looked.entries.get_mut(index)?.said = Some(Said::Page(page.clone()));
        looked.infer();
        // The order of the entries may have changed with the word, so weights go by place.
        let by_place: std::collections::HashMap<&Place, f64> =
            self.entries.iter().map(|e| &e.place).zip(weights.iter().copied()).collect();
        let left: Vec<f64> =
            looked.entries.iter().map(|e| by_place.get(&e.place).copied().unwrap_or(0.0)).collect();
        Some(Look {
            place: entry.place.clone(),
            title: entry.title.clone(),
            page: entry.shown_page().unwrap_or(page),
            state: entry.state,
            teaches: (doubt - looked.doubt(&left)).max(0.0),
        })
    }
}

/// A page that must be looked at is wrong at least this likely, whatever its probability: prints quarrel, or a
/// whole list is not believed.
const LEAST_DOUBT: f64 = 0.2;

impl Entry {
    /// How likely the page is wrong.
    fn doubt(&self) -> f64 {
        match self.state {
            State::Absent | State::Confirmed => 0.0,
            State::Doubtful => (1.0 - self.probability).max(LEAST_DOUBT),
            _ => 1.0 - self.probability,
        }
    }
}

fn weight(entry: &Entry, wanted: &[(Place, f64)]) -> f64 {
    if wanted.is_empty() {
        return 1.0;
    }
    wanted.iter().filter(|w| w.0 == entry.place).map(|w| w.1).sum()
}
