//! The monotone path: exact forward–backward over the pages of one run of places.
//!
//! Places s₁ … s_N start on pages x₁ ≤ … ≤ x_N. The forward pass carries P(x_i, readings of s₁ … s_i),
//! the backward pass P(readings of s_{i+1} … s_N | x_i); their product is the posterior of every place,
//! read or not (Rabiner, "A Tutorial on Hidden Markov Models", 1989, section III). Pages outside a band
//! around the mass are dropped, so the work follows the doubt and not the size of the book; the geometric
//! tail of the gaps is a running sum and costs one step a page.

use super::channel::Emission;
use super::gap::Gap;

/// One place on the path.
#[derive(Debug, Clone)]
pub struct Node<'a> {
    /// Index, in the list of gaps, of the gap from the place before (for the first: from the page
    /// before the run).
    pub gap: usize,
    /// What was read or said of it.
    pub readings: &'a [Emission],
}

/// A run of places and the pages it may use.
#[derive(Debug, Clone)]
pub struct Path<'a> {
    /// Gap distributions the nodes point into.
    pub gaps: &'a [Gap],
    /// Places in the order of the book.
    pub nodes: Vec<Node<'a>>,
    /// First page of the run.
    pub first: i32,
    /// Last page the run can have.
    pub last: i32,
    /// Mass under this share of the largest is dropped. Several readings in a row may be wrong and
    /// the next ones bring the dropped pages back, so the final answer needs it tiny; see [`EXACT`].
    pub trim: f64,
}

/// Keeps the true page through some twenty wrong readings in a row; then nothing near it is dropped.
pub const EXACT: f64 = 1e-120;
/// Enough for the likelihoods and means that fitting compares, once wild readings are left out.
pub const ROUGH: f64 = 1e-11;

/// Where one place may start.
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

    /// The expected page.
    pub fn mean(&self) -> f64 {
        self.pages().map(|(page, mass)| f64::from(page) * mass).sum()
    }

    fn pages(&self) -> impl Iterator<Item = (i32, f64)> + '_ {
        (self.start..).zip(self.mass.iter().copied())
    }

    /// Scales to sum one and drops what is negligible at both ends; returns the sum before.
    fn normalise(&mut self, trim: f64) -> f64 {
        let sum = sum(&self.mass);
        let largest = largest(&self.mass);
        if !(sum > 0.0 && sum.is_finite()) {
            let even = 1.0 / self.mass.len().max(1) as f64;
            self.mass.iter_mut().for_each(|p| *p = even);
            return f64::MIN_POSITIVE;
        }
        let kept = |p: &f64| *p > largest * trim;
        let front = self.mass.iter().position(kept).unwrap_or(0);
        let back = self.mass.iter().rposition(kept).unwrap_or(0);
        self.mass.truncate(back + 1);
        self.mass.drain(..front);
        self.start += front as i32;
        let scale = 1.0 / sum;
        self.mass.iter_mut().for_each(|p| *p *= scale);
        sum
    }

    /// Multiplies by what was read, but for the reading's floor, which is the same on every page.
    fn weigh(&mut self, reading: &Emission) {
        for (page, peak) in &reading.peaks {
            let at = usize::try_from(page - self.start).ok();
            if let Some(p) = at.and_then(|i| self.mass.get_mut(i)) {
                *p *= (reading.floor + peak) / reading.floor;
            }
        }
    }
}

impl Path<'_> {
    /// The posterior of every place.
    pub fn solve(&self) -> Vec<Posterior> {
        let (mut posteriors, _) = self.forward();
        let mut later: Option<Posterior> = None;
        for i in (0..posteriors.len()).rev() {
            let Some(here) = posteriors.get_mut(i) else { continue };
            let after = self.nodes.get(i + 1).and_then(|n| self.gaps.get(n.gap));
            let back = match (&later, after) {
                (Some(later), Some(gap)) => backward_step(later, gap, here),
                _ => vec![1.0; here.mass.len()],
            };
            let mut message = Posterior { start: here.start, mass: back };
            here.mass.iter_mut().zip(&message.mass).for_each(|(p, b)| *p *= b);
            here.normalise(self.trim);
            if let Some(node) = self.nodes.get(i) {
                node.readings.iter().for_each(|r| message.weigh(r));
            }
            message.scale();
            later = Some(message);
        }
        posteriors
    }

    /// Natural logarithm of the probability of all readings; the forward pass alone gives it.
    pub fn log_likelihood(&self) -> f64 {
        self.forward().1
    }

    fn forward(&self) -> (Vec<Posterior>, f64) {
        let mut bands: Vec<Posterior> = Vec::with_capacity(self.nodes.len());
        let mut log_likelihood = 0.0;
        let start = Posterior { start: self.first, mass: vec![1.0] };
        for node in &self.nodes {
            let before = bands.last().unwrap_or(&start);
            let mut band = match self.gaps.get(node.gap) {
                Some(gap) => forward_step(before, gap, self.last, self.trim),
                None => before.clone(),
            };
            for reading in node.readings {
                band.weigh(reading);
                log_likelihood += reading.floor.ln();
            }
            log_likelihood += band.normalise(self.trim).ln();
            bands.push(band);
        }
        (bands, log_likelihood)
    }
}

impl Posterior {
    /// Scales the largest value to one: messages are likelihoods, only their ratios count.
    fn scale(&mut self) {
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

/// The distribution one gap further on, up to page `last` or where the tail falls under `trim`.
fn forward_step(before: &Posterior, gap: &Gap, last: i32, trim: f64) -> Posterior {
    let room = usize::try_from(last - before.start + 1).unwrap_or(0).max(before.mass.len());
    let thinnest = gap.surprise * (1.0 - gap.decay);
    let tail_reach = ((trim / thinnest).ln() / gap.decay.ln()).max(0.0) as usize;
    let length = room.min(before.mass.len() + tail_reach.max(gap.core.len()));
    let mut mass = vec![0.0; length];
    for (i, p) in before.mass.iter().enumerate() {
        let Some(reach) = mass.get_mut(i..) else { continue };
        reach.iter_mut().zip(&gap.core).for_each(|(to, share)| *to += p * share);
    }
    let mut tail = 0.0;
    let share = gap.surprise * (1.0 - gap.decay);
    let (near, far) = mass.split_at_mut(before.mass.len());
    for (to, p) in near.iter_mut().zip(&before.mass) {
        tail = tail * gap.decay + p;
        *to += share * tail;
    }
    for to in far {
        tail *= gap.decay;
        *to += share * tail;
    }
    Posterior { start: before.start, mass }
}

/// For each page of `here`: how well `later`, the message at the next place, is explained from it.
fn backward_step(later: &Posterior, gap: &Gap, here: &Posterior) -> Vec<f64> {
    let end = (later.start + later.mass.len() as i32).max(here.start);
    let length = usize::try_from(end - here.start).unwrap_or(0).max(here.mass.len());
    let at = |i: usize| {
        let index = usize::try_from(here.start + i as i32 - later.start).ok();
        index.and_then(|k| later.mass.get(k)).copied().unwrap_or(0.0)
    };
    let aligned: Vec<f64> = (0..length).map(at).collect();
    // Each later page gives its share to the pages before it: written so that the inner loop runs over
    // neighbours and can be done several at a time.
    let mut back = vec![0.0; length];
    let nearest: Vec<f64> = gap.core.iter().rev().copied().collect();
    for (page, value) in aligned.iter().enumerate().filter(|(_, value)| **value > 0.0) {
        let first = (page + 1).saturating_sub(nearest.len());
        let skipped = nearest.len() - (page + 1 - first);
        let (Some(reach), Some(near)) = (back.get_mut(first..=page), nearest.get(skipped..)) else {
            continue;
        };
        reach.iter_mut().zip(near).for_each(|(to, share)| *to += value * share);
    }
    let mut tail = 0.0;
    for (to, value) in back.iter_mut().zip(&aligned).rev() {
        tail = tail * gap.decay + value;
        *to += gap.surprise * (1.0 - gap.decay) * tail;
    }
    back.truncate(here.mass.len());
    back
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn reading(page: i32) -> Emission {
        Emission { floor: 1e-4, peaks: vec![(page, 0.9)] }
    }

    /// Sums over all paths by plain enumeration.
    fn enumerate(path: &Path) -> (Vec<Posterior>, f64) {
        let size = (path.last - path.first + 1) as usize;
        let empty = Posterior { start: path.first, mass: vec![0.0; size] };
        let mut sums = vec![empty; path.nodes.len()];
        let mut total = 0.0;
        let mut stack: Vec<(Vec<i32>, f64)> = vec![(vec![], 1.0)];
        while let Some((pages, weight)) = stack.pop() {
            let Some(node) = path.nodes.get(pages.len()) else {
                total += weight;
                for (sum, page) in sums.iter_mut().zip(&pages) {
                    sum.mass[(page - path.first) as usize] += weight;
                }
                continue;
            };
            let before = *pages.last().unwrap_or(&path.first);
            for page in before..=path.last {
                let seen: f64 = node.readings.iter().map(|r| r.at(page)).product();
                let next = weight * path.gaps[node.gap].at(page - before) * seen;
                stack.push(([pages.clone(), vec![page]].concat(), next));
            }
        }
        sums.iter_mut().for_each(|s| s.mass.iter_mut().for_each(|p| *p /= total));
        (sums, total.ln())
    }

    #[test]
    fn equal_to_summing_over_every_path() {
        let gaps = [Gap::around(1.0, 0.4), Gap::around(2.0, 1.0), Gap::around(0.3, 0.3)];
        for readings in [
            vec![vec![], vec![], vec![], vec![]],
            vec![vec![reading(2)], vec![], vec![reading(9)], vec![]],
            vec![vec![reading(11)], vec![reading(3), reading(4)], vec![], vec![reading(5)]],
            vec![vec![], vec![Emission::certain(6)], vec![Emission::certain(4)], vec![]],
        ] {
            let node = |(i, r)| Node { gap: i % 3, readings: r };
            let nodes = readings.iter().map(Vec::as_slice).enumerate().map(node).collect();
            let path = Path { gaps: &gaps, nodes, first: 1, last: 12, trim: EXACT };
            let solution = path.solve();
            let (expected, log) = enumerate(&path);
            assert!((path.log_likelihood() - log).abs() < 1e-9);
            for (got, expected) in solution.iter().zip(&expected) {
                for page in 1..=12 {
                    assert!((got.at(page) - expected.at(page)).abs() < 1e-9, "page {page}");
                }
            }
        }
    }

    #[test]
    fn a_swapped_digit_between_good_neighbours_is_overruled() {
        let gaps = [Gap::around(1.0, 0.3)];
        let read = [240, 241, 272, 243, 244];
        let readings = read.map(|page| {
            let alternative = crate::text::Alternative { page: page.to_string(), weight: 0.97 };
            let numbering = super::super::label::Numbering::Arabic;
            vec![Emission::of(&[alternative], numbering, 0.03, 0.01, 1500.0)]
        });
        let nodes = readings.iter().map(|readings| Node { gap: 0, readings }).collect();
        let solution = Path { gaps: &gaps, nodes, first: 1, last: 1500, trim: EXACT }.solve();
        assert_eq!(solution[2].mode().0, 242);
    }
}
