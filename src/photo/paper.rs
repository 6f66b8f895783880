//! Where bare paper is. After the light is evened out, most of printed paper is light; the dark of a gutter, the edge
//! of a cover and the grain of a table are not, and their specks must not pass for print.

use super::squares::Squares;
use image::GrayImage;

/// The lightest tenth of a cell is bare paper; what is so many grey steps darker at most is bare paper too.
const SHADES: usize = 32;
/// Nothing darker is bare paper.
const DARKEST: usize = 150;
/// Share of bare paper over a cell and those around it. By trial: close print leaves 0.65, a gutter's dark and the
/// grain of a table less than 0.45.
const LEAST_BARE: f32 = 0.5;

/// Which squares of a picture are paper.
#[derive(Debug, Clone)]
pub struct Paper {
    squares: Squares,
    paper: Vec<bool>,
}

impl Paper {
    /// Looks at squares of `side` pixels, a few letters each; `even` has its light evened out.
    pub fn of(even: &GrayImage, side: u32) -> Paper {
        let squares = Squares::over(even, side);
        let greys = squares.greys(even);
        let near = |place: usize| {
            let mut sum = [0u32; 256];
            for greys in squares.around(place).filter_map(|i| greys.get(i)) {
                sum.iter_mut().zip(greys).for_each(|(sum, n)| *sum += n);
            }
            sum
        };
        Paper { squares, paper: (0..squares.count()).map(|place| bare(&near(place))).collect() }
    }

    fn is_paper(&self, place: usize) -> bool {
        self.paper.get(place) == Some(&true)
    }

    /// Whether a point is on paper.
    pub fn at(&self, x: f32, y: f32) -> bool {
        self.squares.place(x as i32, y as i32).is_some_and(|place| self.is_paper(place))
    }

    /// For each square the connected piece of paper it belongs to, from 1, or 0 for none; and how many pieces there
    /// are.
    pub fn pieces(&self) -> (Vec<usize>, usize) {
        let mut pieces = vec![0; self.paper.len()];
        let mut count = 0;
        for start in 0..self.paper.len() {
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
                open.extend(self.squares.around(place));
            }
        }
        (pieces, count)
    }

    /// The squares.
    pub fn squares(&self) -> Squares {
        self.squares
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
        let at = |x: i32| paper.at(x as f32, 150.0);
        assert!(at(100) && at(300), "print, in the light and in the shade");
        assert!(!at(500), "the gutter");
        assert!(!at(700), "the grain");
        assert!(!paper.at(800.0, 0.0), "outside");
    }
}
