//! The leaves of a picture: one page, or two where a dark gutter parts them. Specks beside the paper belong to none.

use super::ink::Blob;
use super::line::overlap;
use crate::photo::{Paper, Squares};
use image::GrayImage;

/// Side of a square of paper, in letter heights.
const SIDE: f32 = 2.0;
/// A piece of paper with fewer letters than this share of those on the best carries no list: a strip of the facing
/// page, a slip of paper on the table.
const FEWEST_LETTERS: f32 = 0.05;

/// Ink so many squares beside the paper is on it.
const BESIDE: usize = 1;
/// So many squares into the dark a line may go on: a number of four figures.
const NEAR: usize = 4;
/// White between the letters of a word, in letter heights.
const WORD: f32 = 0.8;
/// Letters, and figures that touch, in letter heights.
const HEIGHTS: std::ops::Range<f32> = 0.8..2.6;
const WIDEST: f32 = 3.5;

/// The pieces of paper with print on them.
#[derive(Debug, Clone)]
pub struct Leaves {
    squares: Squares,
    /// For each square the nearest leaf, from 1 in reading order, and how many squares away it is; none further than
    /// [`NEAR`].
    nearest: Vec<Option<(usize, usize)>>,
}

impl Leaves {
    /// Finds the paper on which `letters` stand; `letter` is their height in pixels.
    pub fn of(grey: &GrayImage, letters: &[Blob], letter: f32) -> Leaves {
        let paper = Paper::of(grey, ((letter * SIDE) as u32).max(8));
        let (pieces, count) = paper.pieces();
        let squares = paper.squares();
        let on_pieces = Leaves { squares, nearest: nearest(squares, &pieces) };
        // Of each piece the letters on it and the sum of their distances from the left.
        let mut print = vec![(0f32, 0f32); count + 1];
        for blob in letters.iter().filter(|b| (0.6..2.5).contains(&b.height_in(letter))) {
            if let Some((letters, left)) = on_pieces.leaf(blob).and_then(|p| print.get_mut(p)) {
                *letters += 1.0;
                *left += blob.area.left as f32;
            }
        }
        let most = print.iter().map(|p| p.0).fold(1.0, f32::max);
        let mut order: Vec<(usize, f32)> = print
            .iter()
            .enumerate()
            .filter(|(_, p)| p.0 >= FEWEST_LETTERS * most)
            .map(|(piece, (letters, left))| (piece, left / letters))
            .collect();
        order.sort_by(|a, b| a.1.total_cmp(&b.1));
        let rank = |piece: usize| order.iter().position(|o| o.0 == piece).map_or(0, |i| i + 1);
        let leaves: Vec<usize> = pieces.into_iter().map(rank).collect();
        Leaves { squares, nearest: nearest(squares, &leaves) }
    }

    /// The leaf on which a blob is, or which it is near. From 1 in reading order.
    pub fn leaf(&self, blob: &Blob) -> Option<usize> {
        self.nearest(blob).map(|(leaf, _)| leaf)
    }

    fn nearest(&self, blob: &Blob) -> Option<(usize, usize)> {
        let (x, y) = (blob.area.left + blob.area.right, blob.area.top + blob.area.bottom);
        *self.nearest.get(self.squares.place(x / 2, y / 2)?)?
    }

    /// Keeps the ink on the leaves and beside them, and letters near them that go on in a line from there: the last
    /// figures of a number may stand in the dark of a gutter, but so do specks.
    pub fn keep(&self, blobs: &mut Vec<Blob>, letter: f32) {
        let (mut kept, beyond): (Vec<Blob>, Vec<Blob>) =
            blobs.drain(..).partition(|b| self.nearest(b).is_some_and(|(_, away)| away <= BESIDE));
        let letters =
            |b: &Blob| HEIGHTS.contains(&b.height_in(letter)) && b.width_in(letter) < WIDEST;
        let mut beyond: Vec<Blob> =
            beyond.into_iter().filter(|b| letters(b) && self.leaf(b).is_some()).collect();
        let mut ends: Vec<Blob> = kept
            .iter()
            .filter(|b| letters(b) && beyond.iter().any(|o| goes_on(b, o, letter)))
            .copied()
            .collect();
        while let Some(end) = ends.pop() {
            let (next, rest): (Vec<Blob>, Vec<Blob>) =
                beyond.into_iter().partition(|b| goes_on(&end, b, letter));
            ends.extend(&next);
            kept.extend(next);
            beyond = rest;
        }
        *blobs = kept;
    }
}

/// For each square the nearest one with a leaf (or piece) other than 0, ring by ring.
fn nearest(squares: Squares, leaves: &[usize]) -> Vec<Option<(usize, usize)>> {
    let mut nearest: Vec<Option<(usize, usize)>> =
        leaves.iter().map(|leaf| (*leaf > 0).then_some((*leaf, 0))).collect();
    for away in 1..=NEAR {
        let before = nearest.clone();
        let reached = |place| squares.around(place).find_map(|p| before.get(p).copied().flatten());
        for (place, slot) in nearest.iter_mut().enumerate().filter(|(_, slot)| slot.is_none()) {
            *slot = reached(place).map(|(leaf, _)| (leaf, away));
        }
    }
    nearest
}

/// Whether two letters stand side by side.
fn goes_on(a: &Blob, b: &Blob, letter: f32) -> bool {
    let white = a.area.left.max(b.area.left) - a.area.right.min(b.area.right);
    let level = overlap((a.area.top, a.area.bottom), (b.area.top, b.area.bottom));
    white as f32 <= WORD * letter && level > 0.6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;
    use image::Luma;

    #[test]
    fn two_pages_parted_by_a_dark_gutter_are_two_leaves_and_a_speckled_table_is_none() {
        // Bars of print, a dark noisy gutter from 600 to 700, more print, the edge of a cover, and a table.
        let grey = GrayImage::from_fn(1700, 600, |x, y| {
            let noise = ((x * 31 + y * 17) % 7) as u8 * 20;
            let ink = y % 40 < 14 && x % 16 < 6;
            let speck = (x / 9 + y / 9) % 8 == 0;
            Luma([match x {
                600..700 | 1300..1400 => noise,
                1400.. if speck => 90,
                0..1300 if ink => 30,
                _ => 255,
            }])
        });
        let blob = |left: i32| Blob {
            label: 1,
            area: Rect { left, top: 200, right: left + 10, bottom: 214 },
            pixels: 90,
        };
        let mut letters: Vec<Blob> = (0..30).map(|i| blob(20 + 16 * i)).collect();
        letters.extend((0..20).map(|i| blob(720 + 16 * i)));
        letters.push(blob(1500));
        let leaves = Leaves::of(&grey, &letters, 14.0);
        assert_eq!(leaves.leaf(&blob(300)), Some(1));
        assert_eq!(leaves.leaf(&blob(900)), Some(2));
        // A figure that goes on from the paper into the gutter, a speck there, and one on the table.
        let mut ink = vec![blob(590), blob(604), blob(618), blob(632), blob(646)];
        let speck = Rect { left: 645, top: 300, right: 655, bottom: 314 };
        ink.push(Blob { area: speck, ..blob(0) });
        ink.push(blob(1500));
        leaves.keep(&mut ink, 14.0);
        let mut kept: Vec<i32> = ink.iter().map(|b| b.area.left).collect();
        kept.sort_unstable();
        assert_eq!(kept, [590, 604, 618, 632, 646]);
    }
}
