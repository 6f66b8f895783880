//! A flattened page becomes blobs of ink: connected dark components with their boxes, and the typical height
//! of a letter. Coordinates are pixels of the flattened page.

use super::leaves::Leaves;
use super::limit::Limit;
use super::{line, mend};
use crate::geom::Rect;
use image::{GrayImage, Luma};
use imageproc::definitions::Image;
use imageproc::region_labelling::{Connectivity, connected_components};

/// One connected piece of ink.
#[derive(Debug, Clone, Copy)]
pub struct Blob {
    /// Its number in [`Ink::labels`].
    pub label: u32,
    /// The smallest box around it.
    pub area: Rect,
    /// Dark pixels in it.
    pub pixels: u32,
}

impl Blob {
    /// Height in units of `letter`.
    pub fn height_in(&self, letter: f32) -> f32 {
        self.area.height() as f32 / letter
    }

    /// Width in units of `letter`.
    pub fn width_in(&self, letter: f32) -> f32 {
        self.area.width() as f32 / letter
    }
}

/// All ink of a page.
pub struct Ink {
    /// For each pixel the label of its blob, 0 for paper.
    pub labels: Image<Luma<u32>>,
    /// The blobs, in no order; specks far smaller than a dot are left out.
    pub blobs: Vec<Blob>,
    /// Typical height of a letter in pixels: the most common height of blobs, so usually the x-height.
    pub letter: f32,
    /// For each label whether its blob belongs to a line or a leader.
    used: Vec<bool>,
    leaves: Leaves,
}

impl Ink {
    /// Whether the blob of a label belongs to a line or a leader: other ink may be a stray part of a letter.
    pub fn is_used(&self, label: u32) -> bool {
        self.used.get(label as usize).copied().unwrap_or(false)
    }

    /// The blobs of each leaf, the left page first.
    pub fn leaves(&self) -> Vec<Vec<Blob>> {
        let mut leaves: Vec<Vec<Blob>> = Vec::new();
        for blob in &self.blobs {
            let Some(leaf) = self.leaves.leaf(blob) else { continue };
            leaves.resize(leaves.len().max(leaf), Vec::new());
            if let Some(blobs) = leaves.get_mut(leaf - 1) {
                blobs.push(*blob);
            }
        }
        leaves
    }

    /// Notes which blobs belong to lines and leaders.
    pub fn mark_used(&mut self, labels: impl Iterator<Item = u32>) {
        let largest = self.blobs.iter().map(|b| b.label).max().unwrap_or(0);
        self.used = vec![false; largest as usize + 1];
        for label in labels {
            if let Some(slot) = self.used.get_mut(label as usize) {
                *slot = true;
            }
        }
    }

    /// Finds the ink on a page whose paper is near white. `x_height` is what the stage before measured, or 0.
    pub fn of(grey: &GrayImage, x_height: f32) -> Ink {
        let anywhere = Limit::anywhere(grey);
        let mut first = blobs(&components(grey, &anywhere));
        let letter = letter_height(&first, x_height);
        first = clear(first, grey, letter);
        let leaves = Leaves::of(grey, &first, letter);
        leaves.keep(&mut first, letter);
        let areas: Vec<Rect> = line::chains(&first, letter).iter().map(|l| l.area).collect();
        let limit = Limit::near(grey, &areas).unwrap_or(anywhere);
        let mut labels = components(grey, &limit);
        let mut found = blobs(&labels);
        let letter = letter_height(&found, x_height);
        mend::mend(&mut labels, &mut found, &components(grey, &limit.towards_white(FAINT)), letter);
        let speck = (letter * 0.12).powi(2).max(3.0);
        found.retain(|b| b.pixels as f32 >= speck);
        leaves.keep(&mut found, letter);
        let found = clear(found, grey, letter);
        Ink { labels, blobs: found, letter, used: Vec::new(), leaves }
    }
}

/// A thin stroke is not as dark as ink, but at least so far from paper: share of the way from ink's limit to white.
const FAINT: f32 = 0.4;

/// Drops what is far fainter against its surroundings than the letters: grain in a shadow, print showing through.
fn clear(found: Vec<Blob>, grey: &GrayImage, letter: f32) -> Vec<Blob> {
    let contrasts: Vec<f32> = found.iter().map(|b| contrast(b, grey)).collect();
    let mut of_letters: Vec<f32> = found
        .iter()
        .zip(&contrasts)
        .filter(|(b, _)| (0.8..2.2).contains(&b.height_in(letter)))
        .map(|(_, c)| *c)
        .collect();
    of_letters.sort_by(f32::total_cmp);
    let least = of_letters.get(of_letters.len() / 2).map_or(0.0, |c| c * LEAST_CONTRAST);
    found.into_iter().zip(contrasts).filter(|(_, c)| *c >= least).map(|(b, _)| b).collect()
}

/// Share of the letters' contrast that ink has at least. By trial: hairlines and leader dots stay above it.
const LEAST_CONTRAST: f32 = 0.35;

/// Grey steps from the darkest pixel of a blob to the paper around its box.
fn contrast(blob: &Blob, grey: &GrayImage) -> f32 {
    let Rect { left, top, right, bottom } = blob.area;
    let at = |x: i32, y: i32| {
        let inside = x >= 0 && y >= 0 && x < grey.width() as i32 && y < grey.height() as i32;
        inside.then(|| grey.get_pixel(x as u32, y as u32).0[0])
    };
    let across = (left - 2..right + 2).flat_map(|x| [(x, top - 2), (x, bottom + 1)]);
    let down = (top - 2..bottom + 2).flat_map(|y| [(left - 2, y), (right + 1, y)]);
    let mut around: Vec<u8> = across.chain(down).filter_map(|(x, y)| at(x, y)).collect();
    around.sort_unstable();
    let paper = around.get(around.len() * 3 / 4).copied().unwrap_or(255);
    let inside = (top..bottom).flat_map(|y| (left..right).filter_map(move |x| at(x, y)));
    f32::from(paper.saturating_sub(inside.min().unwrap_or(255)))
}

/// Connected pixels darker than `limit`.
fn components(grey: &GrayImage, limit: &Limit) -> Image<Luma<u32>> {
    connected_components(&limit.darker(grey), Connectivity::Eight, Luma([0]))
}

pub fn blobs(labels: &Image<Luma<u32>>) -> Vec<Blob> {
    let mut found: Vec<Option<Blob>> = Vec::new();
    for (x, y, &Luma([label])) in labels.enumerate_pixels() {
        if label == 0 {
            continue;
        }
        let (x, y, place) = (x as i32, y as i32, label as usize);
        if found.len() <= place {
            found.resize(place + 1, None);
        }
        let Some(slot) = found.get_mut(place) else { continue };
        let pixel = Rect { left: x, top: y, right: x + 1, bottom: y + 1 };
        let (area, pixels) = slot.map_or((pixel, 0), |b| (b.area.union(&pixel), b.pixels));
        *slot = Some(Blob { label, area, pixels: pixels + 1 });
    }
    found.into_iter().flatten().collect()
}

/// The most common height among blobs shaped like letters. Dots, rules and pictures do not count; with a
/// measured `x_height` the search stays around it.
fn letter_height(blobs: &[Blob], x_height: f32) -> f32 {
    let (low, high) = if x_height > 0.0 { (x_height * 0.75, x_height * 1.3) } else { (8.0, 120.0) };
    let mut counts = [0f32; 256];
    for blob in blobs {
        let (width, height) = (blob.area.width() as f32, blob.area.height() as f32);
        let shape = width / height.max(1.0);
        let full = blob.pixels as f32 / (width * height).max(1.0);
        if (0.25..2.5).contains(&shape) && height >= low && height <= high && full < 0.85 {
            // A line of n letters holds n of its height: weighting by height keeps dust from winning.
            if let Some(count) = counts.get_mut(height as usize) {
                *count += height;
            }
        }
    }
    let smooth = |i: usize| counts.iter().skip(i.saturating_sub(1)).take(3).sum::<f32>();
    let best =
        (1..255).max_by(|&a, &b| smooth(a).total_cmp(&smooth(b))).filter(|&i| smooth(i) > 0.0);
    best.map_or(if x_height > 0.0 { x_height } else { 20.0 }, |i| i as f32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_squares_are_two_blobs() {
        let mut grey = GrayImage::from_pixel(60, 40, Luma([250]));
        for (x, y) in (5..15).flat_map(|x| (10..22).map(move |y| (x, y))) {
            grey.put_pixel(x, y, Luma([20]));
            grey.put_pixel(x + 30, y, Luma([60]));
        }
        let ink = Ink::of(&grey, 12.0);
        let mut boxes: Vec<Rect> = ink.blobs.iter().map(|b| b.area).collect();
        boxes.sort_by_key(|b| b.left);
        assert_eq!(
            boxes,
            [
                Rect { left: 5, top: 10, right: 15, bottom: 22 },
                Rect { left: 35, top: 10, right: 45, bottom: 22 }
            ]
        );
    }

    #[test]
    fn blank_paper_has_no_ink() {
        assert!(Ink::of(&GrayImage::from_pixel(60, 40, Luma([255])), 12.0).blobs.is_empty());
    }
}
