//! Broken letters are made whole: pieces of ink that a stroke too thin to count as ink joins are one blob.
//!
//! Under a high limit thin strokes stay, but neighbouring letters run together; so faint ink joins only pieces
//! that together are no larger than one letter, or that stand above each other.

use super::ink::{Blob, blobs};
use super::line::overlap;
use crate::geom::Rect;
use image::Luma;
use imageproc::definitions::Image;

/// The widest single letter, in letter heights.
const WIDEST: f32 = 1.3;
/// The highest, with ascender and descender.
const HIGHEST: f32 = 2.2;
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
    let host = |b: &Blob| hosts.get(b.label as usize).copied().unwrap_or(0);
    found.sort_by_key(|b| (host(b), b.area.left));
    let mut names: Vec<u32> = (0..=largest as u32).collect();
    let mut changed = false;
    for pieces in found.chunk_by(|a, b| host(a) == host(b)).filter(|p| p.len() > 1) {
        for letter in letters(pieces, letter) {
            let Some(first) = letter.first() else { continue };
            changed |= letter.len() > 1;
            for piece in &letter {
                if let Some(name) = names.get_mut(piece.label as usize) {
                    *name = first.label;
                }
            }
        }
    }
    if !changed {
        return;
    }
    for pixel in labels.pixels_mut() {
        pixel.0[0] = names.get(pixel.0[0] as usize).copied().unwrap_or(0);
    }
    *found = blobs(labels);
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
                let stacked =
                    overlap((area.left, area.right), (piece.area.left, piece.area.right));
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
