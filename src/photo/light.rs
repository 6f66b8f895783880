//! The light on the paper: a coarse map of how bright bare paper is at each place, and the grey
//! picture divided by it, so that shadow, lamp and yellowed paper all become 255.

use super::squares::Squares;
use image::GrayImage;
use rayon::prelude::*;

/// Brightness of bare paper, 1–255, for each square of a picture.
pub(super) struct Light {
    squares: Squares,
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
        let squares = Squares::over(image, side);
        let greys = squares.greys(image);
        let mut levels: Vec<f32> = (0..squares.count())
            .into_par_iter()
            .map(|i| quantile(squares.around(i).filter_map(|j| greys.get(j)), PAPER_QUANTILE))
            .collect();
        // Fills in heavy initials and rules, which are darker than paper over a whole neighbourhood.
        levels = neighbours(&levels, squares, f32::max);
        levels = neighbours(&levels, squares, f32::min);
        levels = blur(&levels, squares);
        let brightest = levels.iter().copied().fold(1.0, f32::max);
        for level in &mut levels {
            *level = level.max(LEAST_LIGHT * brightest).max(1.0);
        }
        Light { squares, levels }
    }

    /// Brightness of bare paper at a point of the measured picture, bilinear between squares.
    pub(super) fn at(&self, x: f32, y: f32) -> f32 {
        self.squares.between(&self.levels, x, y)
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

/// The grey under which `share` of the pixels lie, counted by grey in several squares.
fn quantile<'a>(squares: impl Iterator<Item = &'a [u32; 256]>, share: f32) -> f32 {
    let mut counts = [0u32; 256];
    for square in squares {
        counts.iter_mut().zip(square).for_each(|(sum, n)| *sum += n);
    }
    let wanted = (counts.iter().sum::<u32>() as f32 * share) as u32;
    let mut seen = 0;
    let level = counts.iter().position(|&n| {
        seen += n;
        seen > wanted
    });
    level.unwrap_or(255) as f32
}

fn neighbours(levels: &[f32], squares: Squares, pick: fn(f32, f32) -> f32) -> Vec<f32> {
    (0..levels.len()).map(|i| squares.around(i).map(|j| levels[j]).fold(levels[i], pick)).collect()
}

fn blur(levels: &[f32], squares: Squares) -> Vec<f32> {
    (0..levels.len())
        .map(|i| {
            let (sum, count) =
                squares.around(i).fold((0.0, 0.0), |(s, n), j| (s + levels[j], n + 1.0));
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
