//! What all readings of one place say together: the page they name, how surely, and whether they quarrel.
//!
//! Readings of one printed row (the same list photographed again) are not witnesses apart: of each page only
//! the two that speak loudest for it count, so that thirty photographs of a page add no more than two, and
//! one that agrees never adds doubt. All is summed in logarithms.

use super::channel::Emission;
use super::label::{Label, Numbering};
use super::lists::Lists;
use super::words::{alike, words};
use super::{Entry, Evidence, Said};
use std::collections::BTreeMap;

/// Logarithm of the most that readings together may speak for a page.
const MOST: f64 = 200.0;
/// Readings of one printed row that count.
const COUNTED: usize = 2;
/// However surely a column is faulty, some of what it says is kept.
const UNBELIEVED: f64 = 0.9;

/// The page that the readings of a place name.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Claim {
    /// The page.
    pub label: Label,
    /// It is read clearly, surely of this place, in a list that is believed.
    pub clear: bool,
    /// Another clear reading names another page.
    pub disputed: bool,
    /// Its list goes on with it, or another list names it too, or a person said it.
    pub vouched: bool,
    /// It is printed so clearly that the outline's order gives way to it.
    pub stands: bool,
}

impl Entry {
    /// What the readings say; none where nobody read a page.
    pub(super) fn claim(&self, lists: &Lists) -> Option<Claim> {
        if let Some(Said::Page(page)) = &self.said {
            let label = Label::parse(page)?;
            return Some(Claim {
                label,
                clear: true,
                disputed: false,
                vouched: true,
                stands: true,
            });
        }
        let mut told: BTreeMap<Label, (f64, Vec<&Evidence>)> = BTreeMap::new();
        for reading in &self.evidence {
            let Some(label) = reading.label().and_then(Label::parse) else { continue };
            let believed = if lists.believes(reading) { 1.0 } else { 0.1 };
            let weight = reading.weight() * believed;
            let known = told.entry(label).or_default();
            known.0 += weight;
            known.1.push(reading);
        }
        let best = told.iter().max_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
        let (label, readings) = (best.0.clone(), &best.1.1);
        let believed = |r: &&&Evidence| lists.believes(r);
        let clear = readings.iter().filter(believed).any(|r| r.clear().is_some());
        // Two lists that give a place one page each confirm that the other's row is its.
        let together = || {
            let fair = readings.iter().copied().filter(|r| believed(&r) && r.fair().is_some());
            groups(fair).len() > 1
        };
        let disputed = self.evidence.iter().any(|r| r.clear().is_some_and(|l| l != label));
        let framed = readings.iter().any(|r| lists.frames(r));
        let apart = groups(readings.iter().copied()).len() > 1;
        Some(Claim {
            label,
            clear: clear || together(),
            disputed,
            vouched: framed || apart,
            stands: false,
        })
    }

    /// How well each page explains all readings together.
    pub(super) fn emission(
        &self,
        lists: &Lists,
        numbering: Numbering,
        span: f64,
    ) -> Option<Emission> {
        if let Some(Said::Page(page)) = &self.said {
            let label = Label::parse(page).filter(|l| l.numbering == numbering);
            return label.map(|l| Emission::certain(l.number as i32));
        }
        if self.evidence.is_empty() {
            return None;
        }
        let mut together: BTreeMap<i32, f64> = BTreeMap::new();
        for group in groups(self.evidence.iter()) {
            let mut spoken: BTreeMap<i32, Vec<f64>> = BTreeMap::new();
            for reading in group {
                let faulty = lists.doubt(&reading.strip.photo, reading.column).min(UNBELIEVED);
                let misplaced = 1.0 - (1.0 - reading.misplaced) * (1.0 - faulty);
                let emission = Emission::of(
                    &reading.alternatives,
                    numbering,
                    reading.misread,
                    misplaced,
                    span,
                );
                for (page, peak) in emission.peaks {
                    spoken.entry(page).or_default().push((1.0 + peak / emission.floor).ln());
                }
            }
            for (page, mut logs) in spoken {
                logs.sort_by(|a, b| b.total_cmp(a));
                *together.entry(page).or_default() += logs.iter().take(COUNTED).sum::<f64>();
            }
        }
        let peak = |(page, log): (i32, f64)| (page, log.min(MOST).exp_m1());
        Some(Emission { floor: 1.0, peaks: together.into_iter().map(peak).collect() })
    }
}

impl Evidence {
    /// Weight of the likeliest label as this place's.
    fn weight(&self) -> f64 {
        self.alternatives.first().map_or(0.0, |a| a.weight) * (1.0 - self.misplaced)
    }
}

/// Readings by the printed row they show: the same words in a list of the same kind are the same row.
fn groups<'a>(readings: impl Iterator<Item = &'a Evidence>) -> Vec<Vec<&'a Evidence>> {
    let mut groups: Vec<Vec<&Evidence>> = Vec::new();
    for reading in readings {
        let same = |g: &&mut Vec<&Evidence>| g.first().is_some_and(|r| same_row(r, reading));
        match groups.iter_mut().find(same) {
            Some(group) => group.push(reading),
            None => groups.push(vec![reading]),
        }
    }
    groups
}

/// Whether two readings have the same words, but for letters misread, in lists of one kind.
fn same_row(a: &Evidence, b: &Evidence) -> bool {
    if a.kind != b.kind || a.title == b.title {
        return a.kind == b.kind;
    }
    let (a, b) = (words(&a.title), words(&b.title));
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| alike(a, b) > 0.0)
}
