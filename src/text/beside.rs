//! Ink beside a number that belongs to nothing: a figure too pale for the limit of ink, or cut off with the dark of a
//! gutter, may be missing from it ("14" of "514").

use super::ink::{Blob, Ink};
use crate::geom::Rect;
use image::GrayImage;

/// What a number keeps of its belief where a figure of it may be missing.
pub const KEEPS: f64 = 0.4;

/// White between two figures and the width of one, in letter heights: ink from the one to the other is too near to
/// be another word's.
const NEAR: f32 = 0.12;
const FAR: f32 = 0.8;
/// A pixel is ink if it is so far on the way from paper to the number's own ink.
const INK: f32 = 0.5;
/// Such pixels that make a figure, in squares of the letter height.
const FIGURE: f32 = 0.12;

/// Whether a figure's worth of ink stands close before or behind a number and is part of nothing.
pub fn unclaimed(grey: &GrayImage, ink: &Ink, blobs: &[Blob]) -> bool {
    let Some(area) = blobs.iter().map(|b| b.area).reduce(|a, b| a.union(&b)) else { return false };
    let (near, far) = ((NEAR * ink.letter) as i32, (FAR * ink.letter) as i32);
    let before = Rect { left: area.left - far, right: area.left - near, ..area };
    let behind = Rect { left: area.right + near, right: area.right + far, ..area };
    let limit = middle(grey, area);
    let enough = FIGURE * ink.letter * ink.letter;
    [before, behind].into_iter().any(|side| loose(grey, ink, side, limit) as f32 > enough)
}

/// Half way from the paper around a number to its ink.
fn middle(grey: &GrayImage, area: Rect) -> u8 {
    let mut greys: Vec<u8> = pixels(grey, area).map(|(x, y)| grey.get_pixel(x, y).0[0]).collect();
    greys.sort_unstable();
    let at = |share: usize| f32::from(greys.get(greys.len() * share / 100).copied().unwrap_or(0));
    let (dark, light) = (at(10), at(90));
    (light - INK * (light - dark)) as u8
}

/// Dark pixels that belong to no line and no leader, nor to the soft edge of one.
fn loose(grey: &GrayImage, ink: &Ink, area: Rect, limit: u8) -> usize {
    let free = |x: u32, y: u32| {
        let around = (y.saturating_sub(1)..=y + 1)
            .flat_map(|y| (x.saturating_sub(1)..=x + 1).map(move |x| (x, y)));
        around
            .filter(|&(x, y)| x < grey.width() && y < grey.height())
            .all(|(x, y)| !ink.is_used(ink.labels.get_pixel(x, y).0[0]))
    };
    pixels(grey, area).filter(|&(x, y)| grey.get_pixel(x, y).0[0] < limit && free(x, y)).count()
}

fn pixels(grey: &GrayImage, area: Rect) -> impl Iterator<Item = (u32, u32)> {
    let (left, right) = (area.left.max(0), area.right.min(grey.width() as i32));
    let (top, bottom) = (area.top.max(0), area.bottom.min(grey.height() as i32));
    (top..bottom).flat_map(move |y| (left..right).map(move |x| (x as u32, y as u32)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Luma;

    /// Bars as figures at these left edges, black or pale; only the black ones belong to the number.
    fn page(pale: &[u32], black: &[u32]) -> (GrayImage, Ink, Vec<Blob>) {
        let bar = |at: &[u32], x: u32| at.iter().any(|left| (*left..left + 8).contains(&x));
        let grey = GrayImage::from_fn(400, 200, |x, y| {
            Luma([match (80..110).contains(&y) {
                true if bar(black, x) => 40,
                true if bar(pale, x) => 120,
                _ => 250,
            }])
        });
        let mut ink = Ink::of(&grey, 20.0);
        let mine = |b: &&Blob| black.iter().any(|left| b.area.left.abs_diff(*left as i32) < 3);
        let blobs: Vec<Blob> = ink.blobs.iter().filter(mine).copied().collect();
        ink.mark_used(blobs.iter().map(|b| b.label));
        (grey, ink, blobs)
    }

    #[test]
    fn a_pale_figure_before_a_number_is_missed_and_a_far_one_is_not() {
        let unclaimed = |pale: &[u32]| {
            let (grey, ink, blobs) = page(pale, &[200, 214]);
            assert_eq!(blobs.len(), 2);
            unclaimed(&grey, &ink, &blobs)
        };
        assert!(unclaimed(&[186]));
        assert!(unclaimed(&[228]));
        assert!(!unclaimed(&[]));
        assert!(!unclaimed(&[120]));
    }
}
