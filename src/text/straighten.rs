//! Sets leaning columns upright: level lines whose left and right edges still wander with the height of the page
//! are moved sideways until the edges stand.

use super::line::Chain;
use crate::geom::Rect;
use image::{GrayImage, Luma};

/// How a page leans.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lean {
    /// Pixels to the right for each pixel down.
    slope: f32,
    middle: f32,
    /// White added at the left so that nothing is pushed off.
    margin: i32,
}

impl Lean {
    /// No lean.
    pub const NONE: Lean = Lean { slope: 0.0, middle: 0.0, margin: 0 };

    /// Measures the lean by which most lines start or end at the same x.
    pub fn of(chains: &[Chain], letter: f32, height: u32) -> Lean {
        let chains: Vec<&Chain> = chains.iter().filter(|c| c.blobs.len() > 1).collect();
        let score = |slope: f32| edges(&chains, slope, letter);
        let slopes = (-12..=12).map(|i| i as f32 * STEP);
        let best =
            slopes.max_by(|a, b| score(*a).total_cmp(&score(*b)).then(b.abs().total_cmp(&a.abs())));
        match best {
            Some(slope) if slope != 0.0 && score(slope) > score(0.0) * CLEAR => {
                let margin = (slope.abs() * height as f32 / 2.0).ceil() as i32;
                Lean { slope, middle: height as f32 / 2.0, margin }
            }
            _ => Lean::NONE,
        }
    }

    /// The page set upright.
    pub fn upright(&self, grey: &GrayImage) -> GrayImage {
        if *self == Lean::NONE {
            return grey.clone();
        }
        GrayImage::from_fn(grey.width() + 2 * self.margin as u32, grey.height(), |x, y| {
            let from = self.back(x as f32, y as f32);
            let (left, share) = (from.floor(), from - from.floor());
            let at = |x: f32| {
                let inside = x >= 0.0 && x < grey.width() as f32;
                if inside { f32::from(grey.get_pixel(x as u32, y).0[0]) } else { 255.0 }
            };
            Luma([(at(left) * (1.0 - share) + at(left + 1.0) * share).round() as u8])
        })
    }

    /// Where a point of the upright page lies on the page as it was.
    fn back(&self, x: f32, y: f32) -> f32 {
        x - self.margin as f32 + self.slope * (y - self.middle)
    }

    /// The same for a box.
    pub fn box_back(&self, area: Rect) -> Rect {
        let at = |x: i32, y: i32| self.back(x as f32, y as f32);
        let lefts = at(area.left, area.top).min(at(area.left, area.bottom));
        let rights = at(area.right, area.top).max(at(area.right, area.bottom));
        Rect { left: lefts.floor() as i32, right: rights.ceil() as i32, ..area }
    }
}

/// Step between slopes tried.
const STEP: f32 = 0.005;
/// How much better the edges must stand to move anything.
const CLEAR: f32 = 1.15;

/// How sharply the edges of the lines gather: sum of squares of a histogram.
fn edges(chains: &[&Chain], slope: f32, letter: f32) -> f32 {
    let mut counts = std::collections::HashMap::<(bool, i32), f32>::new();
    for chain in chains {
        let middle = (chain.band.0 + chain.band.1) as f32 / 2.0;
        for (right, x) in [(false, chain.area.left), (true, chain.area.right)] {
            let place = (x as f32 - slope * middle) / (letter * 0.4);
            // Each edge counts in two bins, so that none is torn apart by a bin's border.
            for bin in [place.floor() as i32, place.floor() as i32 + 1] {
                *counts.entry((right, bin)).or_default() += 1.0;
            }
        }
    }
    counts.values().map(|c| c * c).sum()
}

#[cfg(test)]
mod tests {
    use super::super::ink::Blob;
    use super::*;

    #[test]
    fn a_leaning_column_is_measured_and_set_upright() {
        let chain = |i: i32| {
            let left = 100 + i; // one pixel a line of 40
            let blob = |x: i32| Blob {
                label: 1,
                area: Rect {
                    left: left + x,
                    top: 40 * i,
                    right: left + x + 15,
                    bottom: 40 * i + 20,
                },
                pixels: 100,
            };
            Chain::of(vec![blob(0), blob(20), blob(40 + 7 * (i % 5))])
        };
        let chains: Vec<Chain> = (0..30).filter_map(chain).collect();
        let lean = Lean::of(&chains, 20.0, 1200);
        assert!((lean.slope - 0.025).abs() < 0.006, "{lean:?}");
        let back = lean.box_back(Rect {
            left: lean.margin + 10,
            top: 600,
            right: lean.margin + 20,
            bottom: 600,
        });
        assert_eq!((back.left, back.right), (10, 20));
    }
}
