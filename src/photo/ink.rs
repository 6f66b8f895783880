//! Light-evened grey becomes pieces of ink: connected dark components with their boxes, and from
//! them the typical height of a lower-case letter.

use super::paper::Paper;
use image::{GrayImage, Luma};
use imageproc::region_labelling::{Connectivity, connected_components};
use rayon::prelude::*;

/// A connected piece of ink, in pixels of the picture it was found on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Blob {
    pub left: f32,
    pub top: f32,
    /// Just outside.
    pub right: f32,
    /// Just outside.
    pub bottom: f32,
    /// Dark pixels.
    pub area: f32,
}

impl Blob {
    pub(super) fn width(&self) -> f32 {
        self.right - self.left
    }

    pub(super) fn height(&self) -> f32 {
        self.bottom - self.top
    }

    pub(super) fn moved(&self, dx: f32, dy: f32) -> Blob {
        Blob {
            left: self.left + dx,
            top: self.top + dy,
            right: self.right + dx,
            bottom: self.bottom + dy,
            area: self.area,
        }
    }

    pub(super) fn middle_x(&self) -> f32 {
        (self.left + self.right) / 2.0
    }

    pub(super) fn middle_y(&self) -> f32 {
        (self.top + self.bottom) / 2.0
    }

    /// Whether the middle of another lies in its box.
    pub(super) fn holds(&self, other: &Blob) -> bool {
        (self.left..self.right).contains(&other.middle_x())
            && (self.top..self.bottom).contains(&other.middle_y())
    }
}

/// The box around all; none around nothing.
pub(super) fn around<'a>(blobs: impl Iterator<Item = &'a Blob>) -> Option<Blob> {
    blobs.copied().reduce(|a, b| Blob {
        left: a.left.min(b.left),
        top: a.top.min(b.top),
        right: a.right.max(b.right),
        bottom: a.bottom.max(b.bottom),
        area: a.area + b.area,
    })
}

/// Ink darker than this share of the way from paper to full ink counts. By trial: higher loses thin
/// strokes, lower lets print show through from the other side.
const INK_SHARE: f32 = 0.45;
/// Ink must be at least so much darker than paper; less is show-through or grain.
const LEAST_CONTRAST: f32 = 50.0;

/// Side of the squares of paper, in pixels of the sketch: two or three letters.
const PAPER_SIDE: u32 = 24;

/// All pieces of ink on the paper of a light-evened picture, and the paper.
pub(super) fn pieces(even: &GrayImage) -> (Vec<Blob>, Paper) {
    let paper = Paper::of(even, PAPER_SIDE);
    let threshold = ink_threshold(even, &paper);
    let mut dark = even.clone();
    dark.par_iter_mut().for_each(|v| *v = if *v < threshold { 255 } else { 0 });
    let mut found = blobs(&dark);
    found.retain(|b| paper.at(b.middle_x(), b.middle_y()));
    (found, paper)
}

/// Full ink is taken as the median of all that is clearly dark.
fn ink_threshold(even: &GrayImage, paper: &Paper) -> u8 {
    let mut counts = [0u64; 256];
    for (y, line) in even.chunks_exact(even.width().max(1) as usize).enumerate() {
        for (x, pixels) in line.chunks(PAPER_SIDE as usize).enumerate() {
            if paper.at((x * PAPER_SIDE as usize) as f32, y as f32) {
                pixels.iter().for_each(|v| counts[usize::from(*v)] += 1);
            }
        }
    }
    let darker = (255.0 - LEAST_CONTRAST) as usize;
    let half = counts[..darker].iter().sum::<u64>() / 2;
    let mut seen = 0;
    let ink = counts[..darker].iter().position(|&n| {
        seen += n;
        seen > half
    });
    let contrast = 255.0 - ink.unwrap_or(darker) as f32;
    (255.0 - (INK_SHARE * contrast * 1.2).max(LEAST_CONTRAST)) as u8
}

/// All connected pieces, in the order of their first pixel.
fn blobs(binary: &GrayImage) -> Vec<Blob> {
    let labels = connected_components(binary, Connectivity::Eight, Luma([0u8]));
    let mut out: Vec<Blob> = Vec::new();
    for (y, row) in labels.as_raw().chunks_exact(binary.width().max(1) as usize).enumerate() {
        for (x, &label) in row.iter().enumerate().filter(|(_, l)| **l > 0) {
            let (x, y, i) = (x as f32, y as f32, label as usize - 1);
            if i >= out.len() {
                out.resize(i + 1, Blob { left: x, top: y, right: x, bottom: y, area: 0.0 });
            }
            let blob = &mut out[i];
            *blob = Blob {
                left: blob.left.min(x),
                top: blob.top.min(y),
                right: blob.right.max(x + 1.0),
                bottom: blob.bottom.max(y + 1.0),
                area: blob.area + 1.0,
            };
        }
    }
    out
}

/// Whether a piece has the shape of a letter or of a few that touch: not a speck, rule, stain or edge.
pub(super) fn like_a_letter(blob: &Blob) -> bool {
    let (w, h) = (blob.width(), blob.height());
    let fill = blob.area / (w * h);
    h >= 3.0 && w >= 2.0 && (0.2..8.0).contains(&(w / h)) && fill > 0.12
}

/// Typical height of a lower-case letter: the commonest height among letter-like pieces.
///
/// None when there are too few pieces to be print.
pub(super) fn x_height(letters: &[Blob]) -> Option<f32> {
    const FEWEST: usize = 20;
    let mut counts = vec![0.0f32; 400];
    for blob in letters {
        if let Some(count) = counts.get_mut(blob.height() as usize) {
            // Weighted by height, because grain and pieces of broken letters are many but low.
            *count += blob.height();
        }
    }
    if letters.len() < FEWEST {
        return None;
    }
    let around = |h: usize| {
        let reach = (h as f32 * 0.1).round().max(1.0) as usize;
        let (from, to) = (h.saturating_sub(reach), (h + reach + 1).min(counts.len()));
        (from, to, counts[from..to].iter().sum::<f32>() / (to - from) as f32)
    };
    let best = (3..counts.len()).max_by(|&a, &b| around(a).2.total_cmp(&around(b).2))?;
    // A list full of figures and capitals has more of them than of small letters.
    let (low, high) = (best as f32 * SMALL[0], best as f32 * SMALL[1]);
    let small = (low as usize..=high as usize)
        .filter(|&h| h >= 3)
        .max_by(|&a, &b| around(a).2.total_cmp(&around(b).2))
        .filter(|&h| around(h).2 >= SMALL_SHARE * around(best).2);
    let (from, to, _) = around(small.unwrap_or(best));
    let weight: f32 = counts[from..to].iter().sum();
    let moment: f32 = (from..to).map(|h| h as f32 * counts[h]).sum();
    (weight > 0.0).then(|| moment / weight)
}

/// Height of small letters in shares of the height of capitals and figures, over the usual book types.
const SMALL: [f32; 2] = [0.58, 0.76];
/// So common, beside capitals and figures, small letters are at least. By trial: broken pieces are fewer.
const SMALL_SHARE: f32 = 0.4;

/// The middle value, 0 of none.
pub(super) fn median(values: impl Iterator<Item = f32>) -> f32 {
    let mut sorted: Vec<f32> = values.collect();
    sorted.sort_by(f32::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(boxes: &[[u32; 4]]) -> GrayImage {
        let mut image = GrayImage::from_pixel(200, 100, Luma([255]));
        for &[x, y, w, h] in boxes {
            for (dx, dy) in (0..w).flat_map(|dx| (0..h).map(move |dy| (dx, dy))) {
                image.put_pixel(x + dx, y + dy, Luma([40]));
            }
        }
        image
    }

    #[test]
    fn pieces_of_ink_have_their_boxes() {
        let (found, _) = pieces(&picture(&[[10, 10, 6, 9], [30, 12, 3, 5]]));
        let boxes: Vec<_> =
            found.iter().map(|b| [b.left, b.top, b.width(), b.height(), b.area]).collect();
        assert_eq!(boxes, [[10.0, 10.0, 6.0, 9.0, 54.0], [30.0, 12.0, 3.0, 5.0, 15.0]]);
    }

    #[test]
    fn the_commonest_height_wins_over_capitals_and_specks() {
        let blob = |height: f32| Blob {
            left: 0.0,
            top: 0.0,
            right: 8.0,
            bottom: height,
            area: 4.0 * height,
        };
        let mut letters = vec![blob(12.0); 60];
        letters.extend(vec![blob(17.0); 25]);
        letters.extend(vec![blob(3.0); 80]);
        let found = x_height(&letters).unwrap();
        assert!((found - 12.0).abs() < 0.6, "{found}");
        assert_eq!(x_height(&letters[..5]), None);
    }
}
