//! The prior of how far a text reaches, in cells: a page is divided into a few of them.
//!
//! A text's length L is gamma distributed around the expected one; between two cells it counts for both
//! in proportion. A small part of all gaps is drawn from a long geometric tail instead: pictures,
//! inserted chants, a section the outline does not know.

use std::collections::HashMap;

/// Lengths are summed on at most this many steps a cell, and on six for each deviation.
const MOST_STEPS: f64 = 32.0;
/// Part of gaps that nothing in the outline explains; by trial on simulated editions.
const SURPRISE: f64 = 0.004;
/// A heading whose text stands on the same page still starts the next page now and then.
const LEAST_LENGTH: f64 = 0.06;
/// No text is longer, whatever length a file names.
const MOST_PAGES: f64 = 1_500.0;

/// Probabilities of a gap of 0, 1, 2 … cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// The usual gaps; sums to one less `surprise`.
    pub core: Vec<f64>,
    /// Mass of the long tail.
    pub surprise: f64,
    /// The tail falls by this factor a cell.
    pub decay: f64,
}

impl Gap {
    /// The gap around `length` pages with standard deviation `spread` of the text's length, where a
    /// page has `cells`.
    pub fn around(length: f64, spread: f64, cells: i32) -> Self {
        let cells = f64::from(cells);
        let length = within(length, LEAST_LENGTH) * cells;
        let spread = within(spread, 0.05) * cells;
        let steps = (6.0 / spread).ceil().clamp(4.0, MOST_STEPS) as usize;
        let mut core = floor_of(&gamma_masses(length, spread, steps, MOST_PAGES * cells), steps);
        let sum: f64 = core.iter().sum();
        core.iter_mut().for_each(|p| *p *= (1.0 - SURPRISE) / sum);
        Gap { core, surprise: SURPRISE, decay: 1.0 - 1.0 / (8.0 * cells + 2.0 * length) }
    }

    /// Mass of the tail at no gap at all.
    pub fn tail(&self) -> f64 {
        self.surprise * (1.0 - self.decay)
    }

    /// Cells to where nothing over `trim` is left.
    pub fn reach(&self, trim: f64) -> usize {
        let tail = (trim / self.tail()).ln() / self.decay.ln();
        self.core.len().max(tail.max(0.0) as usize)
    }

    /// Probability of a gap of `cells`.
    #[cfg(test)]
    pub fn at(&self, cells: i32) -> f64 {
        let Ok(cells) = usize::try_from(cells) else { return 0.0 };
        let tail = self.tail() * self.decay.powi(cells as i32);
        self.core.get(cells).copied().unwrap_or(0.0) + tail
    }
}

/// Lengths of a damaged file may end as no number at all.
fn within(pages: f64, least: f64) -> f64 {
    if pages.is_nan() { least } else { pages.clamp(least, MOST_PAGES) }
}

/// Mass of a gamma variable on each step of a cell; not normalised.
fn gamma_masses(mean: f64, spread: f64, steps: usize, most: f64) -> Vec<f64> {
    let step = 1.0 / steps as f64;
    let shape = (mean / spread).powi(2);
    let scale = spread * spread / mean;
    let reach = (mean + 7.0 * spread).min(most) + 1.0;
    let count = (reach / step).ceil() as usize;
    let log = |x: f64| (shape - 1.0) * x.ln() - x / scale;
    let peak = log(((shape - 1.0) * scale).max(0.5 * step));
    let mass = |i: usize| {
        let middle = (i as f64 + 0.5) * step;
        if shape >= 1.0 {
            return (log(middle) - peak).exp();
        }
        // The density has a pole at zero; its power is integrated exactly over the step.
        let power = |i: usize| (i as f64 * step).powf(shape);
        (power(i + 1) - power(i)) * (-middle / scale).exp()
    };
    (0..count).map(mass).collect()
}

/// Distribution of ⌊u + L⌋ for the masses of L: weight 1 − |L − d| for each gap d within a cell.
fn floor_of(masses: &[f64], steps: usize) -> Vec<f64> {
    let mut gaps = vec![0.0; masses.len() / steps + 2];
    for (i, mass) in masses.iter().enumerate() {
        let length = (i as f64 + 0.5) / steps as f64;
        let whole = i / steps;
        let part = length - whole as f64;
        gaps[whole] += mass * (1.0 - part);
        gaps[whole + 1] += mass * part;
    }
    gaps
}

/// Steps of the table's rounding for each factor e: lengths to two per cent, since all of a kind err
/// alike; spreads to six.
const FINENESS: (f64, f64) = (25.0, 8.0);

/// Gaps already computed: a book has hundreds of places but few different lengths.
#[derive(Debug, Default)]
pub struct GapTable {
    known: HashMap<(i32, i32, i32), usize>,
    gaps: Vec<Gap>,
}

impl GapTable {
    /// The index of the gap around `length` pages with `spread`, both rounded, in `cells` of a page.
    pub fn index(&mut self, length: f64, spread: f64, cells: i32) -> usize {
        let step = |x: f64, fine: f64| (x.max(0.01).ln() * fine).round() as i32;
        let value = |step: i32, fine: f64| (f64::from(step) / fine).exp();
        let key = (step(length, FINENESS.0), step(spread, FINENESS.1), cells);
        *self.known.entry(key).or_insert_with(|| {
            let spread = value(key.1, FINENESS.1);
            self.gaps.push(Gap::around(value(key.0, FINENESS.0), spread, cells));
            self.gaps.len() - 1
        })
    }

    /// The gaps, by index.
    pub fn gaps(&self) -> &[Gap] {
        &self.gaps
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_are_distributions_with_the_asked_mean() {
        for (length, spread) in [(0.1, 0.2), (0.5, 0.3), (1.0, 0.3), (2.0, 0.5), (9.0, 3.0)] {
            let gap = Gap::around(length, spread, 1);
            let core: f64 = gap.core.iter().sum();
            let mean: f64 =
                gap.core.iter().enumerate().map(|(d, p)| d as f64 * p).sum::<f64>() / core;
            assert!((core + gap.surprise - 1.0).abs() < 1e-9, "{length}: {core}");
            assert!((mean - length).abs() < 0.05 + 0.02 * length, "{length}: {mean}");
        }
    }

    #[test]
    fn a_length_beyond_every_book_stays_a_distribution_and_small() {
        for (length, spread) in [(8e8, 4e7), (f64::MAX, f64::INFINITY), (1.0, f64::NAN), (9e3, 0.0)]
        {
            let gap = Gap::around(length, spread, 4);
            let sum: f64 = gap.core.iter().sum();
            assert!((sum + gap.surprise - 1.0).abs() < 1e-9, "{length} {spread}: {sum}");
            assert!(gap.core.len() < 40_010, "{length} {spread}: {}", gap.core.len());
        }
    }

    #[test]
    fn a_page_long_text_puts_the_next_on_the_next_page() {
        let gap = Gap::around(1.0, 0.1, 2);
        assert!(gap.at(2) > 0.7 && gap.at(1) + gap.at(2) + gap.at(3) > 0.99, "{gap:?}");
    }
}
