//! Which way is up on the page, place by place: the edges of the upright strokes of letters.

use super::surface::Patch;
use crate::geom::Point;
use image::GrayImage;
use imageproc::filter::gaussian_blur_f32;
use rayon::prelude::*;

/// The lean of upright strokes around a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lean {
    pub at: Point,
    /// Pixels to the right for each pixel down.
    pub slope: f32,
    /// Sum of edge strengths that agree, on any one scale.
    pub weight: f32,
}

/// Places measured across and down the picture.
const PLACES: [usize; 2] = [8, 12];
/// Steepest lean looked for: perspective to 30° and a hasty hand.
const STEEPEST: f32 = 0.6;
/// Grey steps between neighbouring pixels below this are paper.
const LEAST_EDGE: i32 = 15;
/// Standard deviation of the blur before edges are measured.
const SOFTENING_PX: f32 = 1.2;
const BINS: usize = 61;

/// Measures the lean of strokes within a patch of a light-evened picture with level lines.
pub(super) fn leans(even: &GrayImage, patch: &Patch) -> Vec<Lean> {
    let [columns, rows] = PLACES;
    // Sharp edges are stairs, each step of which is upright; softened, they show their direction.
    let even = &gaussian_blur_f32(even, SOFTENING_PX);
    let places: Vec<_> = (0..rows).flat_map(|r| (0..columns).map(move |c| (c, r))).collect();
    places
        .into_par_iter()
        .filter_map(|(c, r)| {
            let part = |from: f32, length: f32, i: usize, n: usize, size: u32| {
                let at = |i: usize| (from + length * i as f32 / n as f32).max(1.0) as usize;
                at(i)..at(i + 1).min(size.saturating_sub(1) as usize)
            };
            let xs = part(patch.left, patch.width, c, columns, even.width());
            lean(even, xs, part(patch.top, patch.height, r, rows, even.height()))
        })
        .collect()
}

fn lean(even: &GrayImage, xs: std::ops::Range<usize>, ys: std::ops::Range<usize>) -> Option<Lean> {
    let mut votes = [0f32; BINS];
    let mut centre = (0f32, 0f32, 0f32);
    for (x, y) in ys.flat_map(|y| xs.clone().map(move |x| (x, y))) {
        let (gx, gy) = gradient(even, x, y);
        // Along an upright edge the grey stays the same: gx·dx + gy·dy = 0.
        let slope = -(gy as f32) / gx as f32;
        if gx.abs() < 32 * LEAST_EDGE || slope.abs() >= STEEPEST {
            continue;
        }
        let strength = gx.abs() as f32;
        let bin = (slope / STEEPEST + 1.0) / 2.0 * (BINS - 1) as f32;
        votes[bin.round() as usize] += strength;
        centre =
            (centre.0 + strength * x as f32, centre.1 + strength * y as f32, centre.2 + strength);
    }
    let (slope, weight) = peak(&votes)?;
    let at = Point { x: centre.0 / centre.2, y: centre.1 / centre.2 };
    Some(Lean { at, slope, weight })
}

/// Scharr's gradient (B. Jähne, H. Scharr and S. Körkel, "Principles of filter design", 1999),
/// whose direction errs less than Sobel's; 32 times the grey step per pixel.
fn gradient(image: &GrayImage, x: usize, y: usize) -> (i32, i32) {
    let (width, pixels) = (image.width() as usize, image.as_raw());
    let v = |dx: usize, dy: usize| i32::from(pixels[(y + dy - 1) * width + x + dx - 1]);
    let gx = 3 * (v(2, 0) + v(2, 2) - v(0, 0) - v(0, 2)) + 10 * (v(2, 1) - v(0, 1));
    let gy = 3 * (v(0, 2) + v(2, 2) - v(0, 0) - v(2, 0)) + 10 * (v(1, 2) - v(1, 0));
    (gx, gy)
}

/// Middle of the highest peak; round letters spread evenly beneath it.
fn peak(votes: &[f32; BINS]) -> Option<(f32, f32)> {
    const REACH: usize = 4;
    let window = |b: usize| b.saturating_sub(REACH)..(b + REACH + 1).min(BINS);
    let mass = |b: usize| votes[window(b)].iter().sum::<f32>();
    let best = (0..BINS).max_by(|&a, &b| mass(a).total_cmp(&mass(b)))?;
    let floor = votes.iter().sum::<f32>() / BINS as f32;
    let above: Vec<(f32, f32)> =
        window(best).map(|b| (b as f32, (votes[b] - floor).max(0.0))).collect();
    let weight: f32 = above.iter().map(|(_, w)| w).sum();
    let middle = above.iter().map(|(b, w)| b * w).sum::<f32>() / weight;
    (weight > 0.0).then(|| ((middle / (BINS - 1) as f32 * 2.0 - 1.0) * STEEPEST, weight))
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Luma;

    #[test]
    fn leaning_strokes_are_measured() {
        let patch = Patch { left: 0.0, top: 0.0, width: 320.0, height: 480.0, columns: 1, rows: 1 };
        for slope in [0.0, 0.05, -0.2, 0.35] {
            let picture = GrayImage::from_fn(320, 480, |x, y| {
                let u = (x as f32 - slope * y as f32).rem_euclid(16.0);
                // A stroke five pixels wide with the soft edges of a camera.
                Luma([(40.0 + 107.0 * ((u - 8.0).abs() - 1.5).clamp(0.0, 2.0)) as u8])
            });
            let leans = leans(&picture, &patch);
            assert_eq!(leans.len(), PLACES[0] * PLACES[1]);
            for lean in leans {
                assert!((lean.slope - slope).abs() < 0.015, "{slope}: {lean:?}");
            }
        }
    }
}
