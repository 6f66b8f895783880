//! Where the paper is. After the light is evened out, most of printed paper is white; the dark of a gutter, the edge
//! of a cover and the grain of a table are not, and their specks must not pass for print.

use super::ink::Blob;
use image::GrayImage;

/// Side of a cell, in letter heights.
const CELL: f32 = 2.0;
/// Lighter than this is white.
const WHITE: u8 = 240;
/// Share of white that paper has at least, over a cell and those around it. By trial: close print keeps 0.55, a
/// gutter and a table beside it have less than 0.45.
const LEAST_WHITE: f32 = 0.45;
/// A piece of paper with fewer letters than this share of those on the best carries no list: a strip of the facing
/// page, a slip of paper on the table.
const FEWEST_LETTERS: f32 = 0.05;

/// The pieces of paper with print on them: one page, or two where a dark gutter parts them.
#[derive(Debug, Clone)]
pub struct Paper {
    cell: u32,
    columns: usize,
    /// For each cell its piece, from 1 in reading order; 0 for what is no page.
    pieces: Vec<usize>,
}

impl Paper {
    /// Finds the paper on which `letters` stand; `letter` is their height in pixels.
    pub fn of(grey: &GrayImage, letters: &[Blob], letter: f32) -> Paper {
        let cell = ((letter * CELL) as u32).max(8);
        let (columns, rows) =
            (grey.width().div_ceil(cell).max(1) as usize, grey.height().div_ceil(cell) as usize);
        let pieces = pieces(&white(grey, cell, columns, rows), columns);
        let mut paper = Paper { cell, columns, pieces };
        let count = paper.pieces.iter().max().map_or(0, |last| last + 1);
        // Of each piece the letters on it and the sum of their distances from the left.
        let mut found = vec![(0f32, 0f32); count];
        for blob in letters.iter().filter(|b| (0.6..2.5).contains(&b.height_in(letter))) {
            if let Some((letters, left)) = paper.piece(blob).and_then(|p| found.get_mut(p)) {
                *letters += 1.0;
                *left += blob.area.left as f32;
            }
        }
        let most = found.iter().map(|f| f.0).fold(1.0, f32::max);
        let mut printed: Vec<usize> = (1..count)
            .filter(|p| found.get(*p).is_some_and(|f| f.0 >= FEWEST_LETTERS * most))
            .collect();
        let left = |p: &usize| found.get(*p).map_or(0.0, |f| f.1 / f.0.max(1.0));
        printed.sort_by(|a, b| left(a).total_cmp(&left(b)));
        let rank = |piece: &usize| printed.iter().position(|p| p == piece).map_or(0, |i| i + 1);
        let ranks: Vec<usize> = (0..count).map(|p| rank(&p)).collect();
        for piece in &mut paper.pieces {
            *piece = ranks.get(*piece).copied().unwrap_or(0);
        }
        paper
    }

    /// The piece on which the middle of a blob is, from 1 in reading order.
    pub fn piece(&self, blob: &Blob) -> Option<usize> {
        let area = blob.area;
        let (x, y) = ((area.left + area.right) / 2, (area.top + area.bottom) / 2);
        let cell = |v: i32| Some(usize::try_from(v).ok()? / self.cell as usize);
        let place = cell(y)? * self.columns + cell(x)?;
        self.pieces.get(place).copied().filter(|piece| *piece > 0)
    }
}

/// Which cells are white enough, each with those around it.
fn white(grey: &GrayImage, cell: u32, columns: usize, rows: usize) -> Vec<bool> {
    let mut counts = vec![(0u32, 0u32); columns * rows];
    for (y, line) in grey.chunks_exact(grey.width().max(1) as usize).enumerate() {
        let row = y / cell as usize * columns;
        for (at, pixels) in line.chunks(cell as usize).enumerate() {
            if let Some((white, all)) = counts.get_mut(row + at) {
                *white += pixels.iter().filter(|v| **v >= WHITE).count() as u32;
                *all += pixels.len() as u32;
            }
        }
    }
    let share = |place: usize| {
        let sum = around(place, columns, rows).filter_map(|i| counts.get(i));
        let (white, all) = sum.fold((0, 0), |(w, a), (white, all)| (w + white, a + all));
        white as f32 >= LEAST_WHITE * all as f32
    };
    (0..counts.len()).map(share).collect()
}

/// Numbers the pieces of touching cells from 1; 0 is no paper.
fn pieces(paper: &[bool], columns: usize) -> Vec<usize> {
    let rows = paper.len() / columns.max(1);
    let mut pieces = vec![0; paper.len()];
    let mut next = 0;
    for start in 0..paper.len() {
        if pieces.get(start) != Some(&0) || paper.get(start) != Some(&true) {
            continue;
        }
        next += 1;
        let mut open = vec![start];
        while let Some(place) = open.pop() {
            match pieces.get_mut(place) {
                Some(slot) if *slot == 0 && paper.get(place) == Some(&true) => *slot = next,
                _ => continue,
            }
            open.extend(around(place, columns, rows));
        }
    }
    pieces
}

/// A cell and those around it.
fn around(place: usize, columns: usize, rows: usize) -> impl Iterator<Item = usize> {
    let (column, row) = (place % columns, place / columns);
    let across = column.saturating_sub(1)..(column + 2).min(columns);
    (row.saturating_sub(1)..(row + 2).min(rows))
        .flat_map(move |y| across.clone().map(move |x| y * columns + x))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;
    use image::Luma;

    #[test]
    fn specks_in_the_gutter_and_on_the_table_are_not_on_paper() {
        // A page with bars of print, a dark noisy gutter from 600 to 700, and a speckled table after it.
        let grey = GrayImage::from_fn(1000, 600, |x, y| {
            let noise = ((x * 31 + y * 17) % 7) as u8 * 20;
            Luma([match x {
                600..700 => noise,
                700.. => {
                    if (x / 9 + y / 9) % 8 == 0 {
                        90
                    } else {
                        255
                    }
                }
                _ => {
                    if y % 40 < 14 && x % 16 < 6 {
                        30
                    } else {
                        255
                    }
                }
            }])
        });
        let blob = |left: i32| Blob {
            label: 1,
            area: Rect { left, top: 200, right: left + 10, bottom: 214 },
            pixels: 90,
        };
        let mut letters: Vec<Blob> = (0..30).map(|i| blob(20 + 16 * i)).collect();
        letters.push(blob(800));
        let paper = Paper::of(&grey, &letters, 14.0);
        assert_eq!(paper.piece(&blob(300)), Some(1));
        assert_eq!(paper.piece(&blob(650)), None, "the gutter");
        assert_eq!(paper.piece(&blob(800)), None, "the table");
    }
}
