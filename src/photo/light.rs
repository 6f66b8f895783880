//! The light on the paper: a coarse map of how bright bare paper is at each place, and the grey
//! picture divided by it, so that shadow, lamp and yellowed paper all become 255.

use image::GrayImage;
use rayon::prelude::*;

/// Brightness of bare paper, 1–255, on a grid of squares over a picture.
pub(super) struct Light {
    /// Side of a square in pixels of the picture.
    square: f32,
    columns: usize,
    rows: usize,
    levels: Vec<f32>,
}

/// Squares along the longer side: about a third of a line of print each on a full page. By trial.
const SQUARES: u32 = 100;
/// Even in dense print less than this share of a neighbourhood is ink.
const PAPER_QUANTILE: f32 = 0.8;
/// Brightness below this share of the brightest paper is no paper (table, cover); dividing by it
/// would only raise noise.
const LEAST_LIGHT: f32 = 0.15;

impl Light {
    /// Measures the light on a (reduced) grey picture.
    pub(super) fn measure(image: &GrayImage) -> Light {
        let side = (image.width().max(image.height()) / SQUARES).max(4);
        let (columns, rows) =
            (image.width().div_ceil(side) as usize, image.height().div_ceil(side) as usize);
        let histograms = histograms(image, side, columns, rows);
        let mut levels: Vec<f32> = (0..columns * rows)
            .into_par_iter()
            .map(|i| quantile_around(&histograms, columns, rows, i, PAPER_QUANTILE))
            .collect();
        // Fills in heavy initials and rules, which are darker than paper over a whole neighbourhood.
        levels = neighbours(&levels, columns, f32::max);
        levels = neighbours(&levels, columns, f32::min);
        levels = blur(&levels, columns);
        let brightest = levels.iter().copied().fold(1.0, f32::max);
        for level in &mut levels {
            *level = level.max(LEAST_LIGHT * brightest).max(1.0);
        }
        Light { square: side as f32, columns, rows, levels }
    }

    /// Brightness of bare paper at a point of the measured picture, bilinear between squares.
    pub(super) fn at(&self, x: f32, y: f32) -> f32 {
        let (cx, fx) = cell(x / self.square - 0.5, self.columns);
        let (cy, fy) = cell(y / self.square - 0.5, self.rows);
        let (right, below) = ((cx + 1).min(self.columns - 1), (cy + 1).min(self.rows - 1));
        let level = |c: usize, r: usize| self.levels[r * self.columns + c];
        let upper = level(cx, cy) * (1.0 - fx) + level(right, cy) * fx;
        let lower = level(cx, below) * (1.0 - fx) + level(right, below) * fx;
        upper * (1.0 - fy) + lower * fy
    }

    /// The picture with the light divided out: bare paper near 255.
    pub(super) fn even(&self, image: &GrayImage) -> GrayImage {
        let mut out = image.clone();
        let width = image.width() as usize;
        out.par_chunks_exact_mut(width).enumerate().for_each(|(y, row)| {
            for (x, v) in row.iter_mut().enumerate() {
                *v = (f32::from(*v) * 255.0 / self.at(x as f32, y as f32)).min(255.0) as u8;
            }
        });
        out
    }
}

fn cell(at: f32, count: usize) -> (usize, f32) {
    let at = at.clamp(0.0, count as f32 - 1.0);
    (at as usize, at.fract())
}

type Histogram = [u16; 256];

fn histograms(image: &GrayImage, side: u32, columns: usize, rows: usize) -> Vec<Histogram> {
    let mut out = vec![[0u16; 256]; columns * rows];
    for (y, line) in image.as_raw().chunks_exact(image.width() as usize).enumerate() {
        let row = &mut out[y / side as usize * columns..][..columns];
        for (square, histogram) in line.chunks(side as usize).zip(row) {
            for &v in square {
                let count = &mut histogram[usize::from(v)];
                *count = count.saturating_add(1);
            }
        }
    }
    out
}

fn quantile_around(
    histograms: &[Histogram],
    columns: usize,
    rows: usize,
    i: usize,
    share: f32,
) -> f32 {
    let mut counts = [0u32; 256];
    for j in around(i, columns, rows) {
        for (sum, &n) in counts.iter_mut().zip(&histograms[j]) {
            *sum += u32::from(n);
        }
    }
    let wanted = (counts.iter().sum::<u32>() as f32 * share) as u32;
    let mut seen = 0;
    let level = counts.iter().position(|&n| {
        seen += n;
        seen > wanted
    });
    level.unwrap_or(255) as f32
}

/// The grid square `i` and those touching it.
fn around(i: usize, columns: usize, rows: usize) -> impl Iterator<Item = usize> {
    let (x, y) = (i % columns, i / columns);
    let xs = x.saturating_sub(1)..(x + 2).min(columns);
    (y.saturating_sub(1)..(y + 2).min(rows))
        .flat_map(move |r| xs.clone().map(move |c| r * columns + c))
}

fn neighbours(levels: &[f32], columns: usize, pick: fn(f32, f32) -> f32) -> Vec<f32> {
    let rows = levels.len() / columns;
    (0..levels.len())
        .map(|i| around(i, columns, rows).map(|j| levels[j]).fold(levels[i], pick))
        .collect()
}

fn blur(levels: &[f32], columns: usize) -> Vec<f32> {
    let rows = levels.len() / columns;
    (0..levels.len())
        .map(|i| {
            let (sum, count) =
                around(i, columns, rows).fold((0.0, 0.0), |(s, n), j| (s + levels[j], n + 1.0));
            sum / count
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Luma;

    #[test]
    fn a_shadow_across_the_paper_disappears_and_ink_stays() {
        let ink = |x: u32, y: u32| x % 20 < 4 && y % 30 < 10;
        let picture = GrayImage::from_fn(600, 800, |x, y| {
            let paper = 230.0 - 0.2 * x as f32;
            Luma([if ink(x, y) { paper * 0.3 } else { paper } as u8])
        });
        let flat = Light::measure(&picture).even(&picture);
        for (x, y, v) in flat.enumerate_pixels() {
            let want = if ink(x, y) { 76 } else { 255 };
            assert!(v[0].abs_diff(want) < 12, "at {x},{y}: {} against {want}", v[0]);
        }
    }
}
