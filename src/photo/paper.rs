//! Where bare paper is. After the light is evened out, most of printed paper is light; the dark of a gutter, the edge
//! of a cover and the grain of a table are not, and their specks must not pass for print.

use image::GrayImage;

/// The lightest tenth of a cell is bare paper; what is so many grey steps darker at most is bare paper too.
const SHADES: usize = 32;
/// Nothing darker is bare paper.
const DARKEST: usize = 150;
/// Share of bare paper over a cell and those around it. By trial: close print leaves 0.65, a gutter's dark and the
/// grain of a table less than 0.45.
const LEAST_BARE: f32 = 0.5;
/// Squares of a picture, row by row, and which of them are paper.
#[derive(Debug, Clone)]
pub struct Paper {
    side: u32,
    columns: usize,
    cells: Vec<bool>,
}

impl Paper {
    /// Looks at squares of `side` pixels, a few letters each; `even` has its light evened out.
    pub fn of(even: &GrayImage, side: u32) -> Paper {
        let side = side.max(1);
        let count = |size: u32| size.div_ceil(side).max(1) as usize;
        let (columns, rows) = (count(even.width()), count(even.height()));
        let mut paper = Paper { side, columns, cells: vec![false; columns * rows] };
        let counts = paper.counts(even);
        let near = |place: usize| {
            let mut sum = [0u32; 256];
            for counts in paper.around(place).filter_map(|i| counts.get(i)) {
                sum.iter_mut().zip(counts).for_each(|(sum, n)| *sum += n);
            }
            sum
        };
        paper.cells = (0..counts.len()).map(|place| bare(&near(place))).collect();
        paper
    }

    /// Pixels of each grey in each square.
    fn counts(&self, even: &GrayImage) -> Vec<[u32; 256]> {
        let mut counts = vec![[0u32; 256]; self.cells.len()];
        for (y, line) in even.chunks_exact(even.width().max(1) as usize).enumerate() {
            let row = y / self.side as usize * self.columns;
            for (at, pixels) in line.chunks(self.side as usize).enumerate() {
                if let Some(counts) = counts.get_mut(row + at) {
                    pixels.iter().for_each(|v| counts[usize::from(*v)] += 1);
                }
            }
        }
        counts
    }

    /// Whether a square is paper.
    pub fn is_paper(&self, place: usize) -> bool {
        self.cells.get(place) == Some(&true)
    }

    /// Whether a point is on paper.
    pub fn at(&self, x: f32, y: f32) -> bool {
        self.place(x as i32, y as i32).is_some_and(|place| self.is_paper(place))
    }

    /// The square of a pixel.
    pub fn place(&self, x: i32, y: i32) -> Option<usize> {
        let cell = |v: i32| Some((u32::try_from(v).ok()? / self.side) as usize);
        let column = cell(x).filter(|column| *column < self.columns)?;
        Some(cell(y)? * self.columns + column)
    }

    /// For each square the connected piece of paper it belongs to, from 1, or 0 for none; and how many pieces there are.
    pub fn pieces(&self) -> (Vec<usize>, usize) {
        let mut pieces = vec![0; self.cells.len()];
        let mut count = 0;
        for start in 0..self.cells.len() {
            if pieces.get(start) != Some(&0) || !self.is_paper(start) {
                continue;
            }
            count += 1;
            let mut open = vec![start];
            while let Some(place) = open.pop() {
                match pieces.get_mut(place) {
                    Some(slot) if *slot == 0 && self.is_paper(place) => *slot = count,
                    _ => continue,
                }
                open.extend(self.around(place));
            }
        }
        (pieces, count)
    }

    /// A square and those around it.
    pub fn around(&self, place: usize) -> impl Iterator<Item = usize> + use<> {
        let (columns, rows) = (self.columns, self.cells.len() / self.columns);
        let (column, row) = (place % columns, place / columns);
        let across = column.saturating_sub(1)..(column + 2).min(columns);
        (row.saturating_sub(1)..(row + 2).min(rows))
            .flat_map(move |y| across.clone().map(move |x| y * columns + x))
    }
}

/// Whether most pixels, counted by their grey, are bare paper.
fn bare(counts: &[u32; 256]) -> bool {
    let all: u32 = counts.iter().sum();
    let mut seen = 0;
    let lightest = counts.iter().rposition(|n| {
        seen += n;
        seen * 10 > all
    });
    let least = lightest.unwrap_or(0).saturating_sub(SHADES).max(DARKEST);
    counts.iter().skip(least).sum::<u32>() as f32 >= LEAST_BARE * all as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Luma;

    #[test]
    fn print_is_on_paper_and_so_is_a_page_in_shade_but_not_a_dark_gutter_nor_grain() {
        let even = GrayImage::from_fn(800, 300, |x, y| {
            let ink = y % 20 < 8 && x % 10 < 5;
            let grain = ((x * 31 + y * 57) % 101) as u8;
            Luma([match x {
                0..200 if ink => 40,
                0..200 => 255,
                200..400 if ink => 90,
                200..400 => 215,
                400..600 => grain / 2,
                _ => 155 + grain,
            }])
        });
        let paper = Paper::of(&even, 20);
        let at = |x: i32| paper.is_paper(paper.place(x, 150).unwrap());
        assert!(at(100) && at(300), "print, in the light and in the shade");
        assert!(!at(500), "the gutter");
        assert!(!at(700), "the grain");
        assert_eq!(paper.place(800, 0), None);
    }
}
