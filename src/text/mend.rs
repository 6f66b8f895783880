//! Broken letters are made whole: pieces of ink that a stroke too thin to count as ink joins are one blob.
//!
//! Under a high limit thin strokes stay, but neighbouring letters run together; so faint ink joins only pieces
//! that together are no larger than one letter, or that stand above each other. The faint strokes themselves
//! belong to the ink they touch, so that a letter's box does not cut them off.

use super::ink::{Blob, blobs};
use super::line::overlap;
use crate::geom::Rect;
use image::Luma;
use imageproc::definitions::Image;

/// The widest single letter, in letter heights.
const WIDEST: f32 = 1.3;
/// The highest, with ascender and descender.
const HIGHEST: f32 = 2.2;
/// The longest faint stroke that belongs to a letter, in letter heights.
const LONGEST: f32 = 0.35;
/// Share of the narrower piece that stands above the other.
const STACKED: f32 = 0.5;

/// Joins the pieces of broken letters in `labels` and `found`. `faint` labels the ink under a higher limit.
pub fn mend(
    labels: &mut Image<Luma<u32>>,
    found: &mut Vec<Blob>,
    faint: &Image<Luma<u32>>,
    letter: f32,
) {
    let largest = found.iter().map(|b| b.label).max().unwrap_or(0) as usize;
    let mut hosts = vec![0u32; largest + 1];
    for (piece, host) in labels.pixels().zip(faint.pixels()) {
        if piece.0[0] > 0
            && let Some(slot) = hosts.get_mut(piece.0[0] as usize)
        {
            *slot = host.0[0];
        }
    }
    grow(labels, faint, (letter * LONGEST) as usize);
    let host = |b: &Blob| hosts.get(b.label as usize).copied().unwrap_or(0);
    found.sort_by_key(|b| (host(b), b.area.left));
    let mut names: Vec<u32> = (0..=largest as u32).collect();
    for pieces in found.chunk_by(|a, b| host(a) == host(b)).filter(|p| p.len() > 1) {
        for letter in letters(pieces, letter) {
            let Some(first) = letter.first() else { continue };
            for piece in &letter {
                if let Some(name) = names.get_mut(piece.label as usize) {
                    *name = first.label;
                }
            }
        }
    }
    for pixel in labels.pixels_mut() {
        pixel.0[0] = names.get(pixel.0[0] as usize).copied().unwrap_or(0);
    }
    *found = blobs(labels);
}

/// Gives faint pixels to the ink they touch, up to `far` pixels away.
fn grow(labels: &mut Image<Luma<u32>>, faint: &Image<Luma<u32>>, far: usize) {
    let (width, height) = faint.dimensions();
    let around = |x: u32, y: u32| {
        let (xs, ys) = (x.saturating_sub(1)..=x + 1, y.saturating_sub(1)..=y + 1);
        ys.flat_map(move |y| xs.clone().map(move |x| (x, y)))
            .filter(move |&(x, y)| x < width && y < height)
    };
    let free = |labels: &Image<Luma<u32>>, x, y| {
        labels.get_pixel(x, y).0[0] == 0 && faint.get_pixel(x, y).0[0] > 0
    };
    let inked = labels.enumerate_pixels().filter(|(.., label)| label.0[0] > 0);
    let mut front: Vec<(u32, u32)> = inked
        .filter(|&(x, y, _)| around(x, y).any(|(x, y)| free(labels, x, y)))
        .map(|(x, y, _)| (x, y))
        .collect();
    for _ in 0..far {
        let mut next = Vec::new();
        for (x, y) in front {
            let label = *labels.get_pixel(x, y);
            for (x, y) in around(x, y) {
                if free(labels, x, y) {
                    labels.put_pixel(x, y, label);
                    next.push((x, y));
                }
            }
        }
        front = next;
    }
}

/// Groups pieces joined by faint ink into letters.
fn letters(pieces: &[Blob], letter: f32) -> Vec<Vec<Blob>> {
    let small = |area: Rect| {
        area.width() as f32 <= letter * WIDEST && area.height() as f32 <= letter * HIGHEST
    };
    let around = |set: &[Blob]| set.iter().map(|b| b.area).reduce(|a, b| a.union(&b));
    if around(pieces).is_some_and(small) {
        return vec![pieces.to_vec()];
    }
    let mut sets: Vec<Vec<Blob>> = Vec::new();
    for piece in pieces {
        let joins = |set: &Vec<Blob>| {
            around(set).is_some_and(|area| {
                let stacked = overlap((area.left, area.right), (piece.area.left, piece.area.right));
                stacked >= STACKED && small(area.union(&piece.area))
            })
        };
        match sets.iter_mut().find(|s| joins(s)) {
            Some(set) => set.push(*piece),
            None => sets.push(vec![*piece]),
        }
    }
    sets
}
