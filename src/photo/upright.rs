//! Right way up or upside down: in Latin script more letters rise above the small ones (b d f h k l,
//! capitals, figures) than hang below the line (g j p q y).

use super::ink::{Blob, median};
use super::lines::Chain;

/// How the letters of straight lines stand out above and below.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Outline {
    pub above: usize,
    pub below: usize,
}

impl Outline {
    /// Some for a clear answer.
    pub(super) fn upside_down(&self) -> Option<bool> {
        const FEWEST: usize = 12;
        let (above, below) = (self.above, self.below);
        if above.max(below) < FEWEST || 2 * above.max(below) < 3 * above.min(below) {
            return None;
        }
        Some(below > above)
    }
}

/// Counts over all lines of letters that stand level.
pub(super) fn outline(flat: &[Blob], chains: &[Chain], x_height: f32) -> Outline {
    const FEWEST: usize = 5;
    const CLEARLY: f32 = 0.2;
    let mut sum = Outline { above: 0, below: 0 };
    for chain in chains.iter().filter(|c| c.len() >= FEWEST) {
        let letters = || chain.iter().map(|&i| &flat[i]);
        let (top, bottom) = (median(letters().map(|l| l.top)), median(letters().map(|l| l.bottom)));
        sum.above += letters().filter(|l| top - l.top > CLEARLY * x_height).count();
        sum.below += letters().filter(|l| l.bottom - bottom > CLEARLY * x_height).count();
    }
    sum
}
