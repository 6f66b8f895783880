//! What is known of where one place stands: a probability for each page in a row of pages. The path
//! model uses the same for cells, the parts of a page it counts in.

use super::channel::Emission;
use std::ops::Range;

/// Where one place may start, by pages (in the passes of the path: by cells).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Posterior {
    /// Page of the first probability.
    pub start: i32,
    /// Probabilities of `start`, `start + 1` …; sums to one.
    pub mass: Vec<f64>,
}

impl Posterior {
    /// Probability of `page`.
    pub fn at(&self, page: i32) -> f64 {
        usize::try_from(page - self.start).ok().and_then(|i| self.mass.get(i)).map_or(0.0, |p| *p)
    }

    /// The likeliest page and its probability; the earliest of equals.
    pub fn mode(&self) -> (i32, f64) {
        let best = self.pages().fold(
            (self.start, -1.0),
            |best, next| {
                if next.1 > best.1 { next } else { best }
            },
        );
        (best.0, best.1.max(0.0))
    }

    /// The least page with at least `share` of the mass at or before it.
    pub fn quantile(&self, share: f64) -> i32 {
        let mut sum = 0.0;
        for (page, mass) in self.pages() {
            sum += mass;
            if sum >= share {
                return page;
            }
        }
        self.start + self.mass.len() as i32 - 1
    }

    /// The fewest pages in a row that hold `share` of the mass; of equal runs the likeliest.
    pub fn narrowest(&self, share: f64) -> (i32, i32) {
        let mut best: Option<(usize, f64, usize)> = None;
        let (mut from, mut sum) = (0, 0.0);
        for (to, mass) in self.mass.iter().enumerate() {
            sum += mass;
            while let Some(first) = self.mass.get(from).filter(|p| sum - **p >= share && from < to)
            {
                sum -= first;
                from += 1;
            }
            let width = to - from;
            if sum >= share && best.is_none_or(|b| (width, -sum) < (b.0, -b.1)) {
                best = Some((width, sum, from));
            }
        }
        let (width, from) = best.map_or((self.mass.len().saturating_sub(1), 0), |b| (b.0, b.2));
        (self.start + from as i32, self.start + (from + width) as i32)
    }

    /// The first and the last page with more than `share` of the mass.
    pub fn beyond(&self, share: f64) -> (i32, i32) {
        let mut kept = self.pages().filter(|p| p.1 > share).map(|p| p.0);
        let first = kept.next().unwrap_or(self.start);
        (first, kept.next_back().unwrap_or(first))
    }

    /// The expected page.
    pub fn mean(&self) -> f64 {
        self.pages().map(|(page, mass)| f64::from(page) * mass).sum()
    }

    /// The expected page under this times `weights`.
    pub(super) fn mean_weighed(&self, weights: &[f64]) -> f64 {
        let (mut sum, mut mean) = (0.0, 0.0);
        for ((page, mass), weight) in self.pages().zip(weights) {
            sum += mass * weight;
            mean += mass * weight * f64::from(page);
        }
        if sum > 0.0 { mean / sum } else { self.mean() }
    }

    fn pages(&self) -> impl DoubleEndedIterator<Item = (i32, f64)> + '_ {
        self.mass.iter().enumerate().map(|(i, p)| (self.start + i as i32, *p))
    }

    /// Scales to sum one and drops what is negligible at both ends; returns the sum before.
    pub(super) fn normalise(&mut self, trim: f64) -> f64 {
        let sum = sum(&self.mass);
        if !(sum > 0.0 && sum.is_finite()) {
            let even = 1.0 / self.mass.len().max(1) as f64;
            self.mass.iter_mut().for_each(|p| *p = even);
            return f64::MIN_POSITIVE;
        }
        self.keep(self.kept(trim));
        let scale = 1.0 / sum;
        self.mass.iter_mut().for_each(|p| *p *= scale);
        sum
    }

    /// Multiplies by what was read, but for the reading's floor, which is the same on every page.
    pub(super) fn weigh(&mut self, reading: &Emission, cells: i32) {
        let first = self.start.div_euclid(cells);
        let end = self.start + self.mass.len() as i32;
        let peaks = reading.peaks.iter().skip(reading.peaks.partition_point(|p| p.0 < first));
        for (page, peak) in peaks.take_while(|p| p.0 * cells < end) {
            let index = |cell: i32| usize::try_from(cell - self.start).unwrap_or(0);
            let range = index(page * cells)..index((page + 1) * cells).min(self.mass.len());
            let factor = (reading.floor + peak) / reading.floor;
            let weighed = self.mass.get_mut(range).into_iter().flatten();
            weighed.for_each(|p| *p *= factor);
        }
    }

    /// Leaves only pages `first` to `last`, where any mass lies there.
    pub(super) fn clip(&mut self, (first, last): (i32, i32), cells: i32) {
        let index = |cell: i32| usize::try_from(cell - self.start).unwrap_or(0);
        let (from, to) = (index(first * cells), index((last + 1) * cells).min(self.mass.len()));
        if self.mass.get(from..to).is_some_and(|kept| kept.iter().any(|p| *p > 0.0)) {
            self.keep(from..to);
        }
    }

    /// Indices from the first to the last mass that is over `trim` of the largest.
    pub(super) fn kept(&self, trim: f64) -> Range<usize> {
        let least = largest(&self.mass) * trim;
        let front = self.mass.iter().position(|p| *p > least).unwrap_or(0);
        let back = self.mass.iter().rposition(|p| *p > least).unwrap_or(0);
        front..back + 1
    }

    /// Drops all masses but these.
    pub(super) fn keep(&mut self, range: Range<usize>) {
        self.mass.truncate(range.end);
        self.mass.drain(..range.start.min(self.mass.len()));
        self.start += range.start as i32;
    }

    /// Cells added up to pages.
    pub(super) fn by_page(&self, cells: i32) -> Posterior {
        if cells == 1 {
            return self.clone();
        }
        let start = self.start.div_euclid(cells);
        let mut mass = vec![0.0; self.mass.len() / cells as usize + 2];
        for (cell, p) in self.pages() {
            if let Some(page) = mass.get_mut((cell.div_euclid(cells) - start) as usize) {
                *page += p;
            }
        }
        Posterior { start, mass }
    }

    /// Scales the largest value to one: messages are likelihoods, only their ratios count.
    pub(super) fn scale(&mut self) {
        let largest = largest(&self.mass);
        if largest > 0.0 {
            let scale = 1.0 / largest;
            self.mass.iter_mut().for_each(|p| *p *= scale);
        }
    }
}

/// Sums kept side by side, so that the processor does them at once.
const LANES: usize = 8;

fn sum(mass: &[f64]) -> f64 {
    let chunks = mass.chunks_exact(LANES);
    let rest: f64 = chunks.remainder().iter().sum();
    let mut lanes = [0.0; LANES];
    chunks.for_each(|chunk| lanes.iter_mut().zip(chunk).for_each(|(lane, p)| *lane += p));
    lanes.iter().sum::<f64>() + rest
}

fn largest(mass: &[f64]) -> f64 {
    let higher = |a: f64, b: f64| if b > a { b } else { a };
    let chunks = mass.chunks_exact(LANES);
    let rest = chunks.remainder().iter().copied().fold(0.0, higher);
    let mut lanes = [0.0; LANES];
    chunks.for_each(|chunk| {
        lanes.iter_mut().zip(chunk).for_each(|(lane, p)| *lane = higher(*lane, *p));
    });
    lanes.into_iter().fold(rest, higher)
}
