//! Dot leaders: rows of dots that tie a page number to its title where the sheet curls between them.

use super::ink::Blob;
use super::lines::{self, Chain};
use crate::geom::Point;

/// Widest gap between two dots, in x-heights; loose leaders stand two apart.
const WIDEST: f32 = 2.6;
/// Highest step from dot to dot, in x-heights: the steepest curl falls by a quarter of its run.
const STEP: f32 = 0.45;
/// Fewest dots that make a row: full stops and dust do not come six in an even row.
const FEWEST: usize = 6;
/// How far from the middle step a step may differ, as a share of it; a lost dot doubles one.
const UNEVEN: f32 = 0.4;
/// Share of the steps that are even.
const EVEN_SHARE: f32 = 0.7;
/// Widest gap from title to leader and from leader to number, in x-heights.
const BESIDE: f32 = 4.0;
/// A letter's foot lies so near the dots' level, in x-heights; descenders hang lower.
const LEVEL: f32 = 0.6;

/// Whether a piece of ink has the size of a dot beside letters `x_height` high.
pub(super) fn like_a_dot(blob: &Blob, x_height: f32) -> bool {
    blob.height() < 0.5 * x_height && blob.width() < 0.6 * x_height
}

/// Rows of evenly spaced dots, each from left to right.
pub(super) fn rows(dots: &[Blob], x_height: f32) -> Vec<Vec<Blob>> {
    let cost = |a: &Blob, b: &Blob| {
        let apart = b.middle_x() - a.middle_x();
        let step = (b.middle_y() - a.middle_y()).abs();
        // Two pixels are what rounding makes of a level row.
        let fits = apart >= 2.0 && step <= (STEP * apart).max(2.0).min(STEP * x_height);
        fits.then_some(apart + 3.0 * step)
    };
    let rows = lines::link(dots, WIDEST * x_height, cost).into_iter();
    rows.map(|row| row.into_iter().map(|i| dots[i]).collect::<Vec<Blob>>())
        .filter(|r| even(r))
        .collect()
}

fn even(row: &[Blob]) -> bool {
    if row.len() < FEWEST {
        return false;
    }
    let steps: Vec<f32> = row.windows(2).map(|w| w[1].middle_x() - w[0].middle_x()).collect();
    let usual = super::ink::median(steps.iter().copied());
    let fits = |s: &&f32| (**s - usual).abs() < UNEVEN * usual + 1.0;
    steps.iter().filter(fits).count() as f32 >= EVEN_SHARE * steps.len() as f32
}

/// Feet of the letters of each line, title, leader and number in one where a leader ties them.
/// Lines of fewer than `shortest` letters count only if they are tied.
pub(super) fn tied(
    letters: &[Blob],
    chains: &[Chain],
    rows: &[Vec<Blob>],
    x_height: f32,
    shortest: usize,
) -> Vec<Vec<Point>> {
    let foot = |b: &Blob| Point { x: b.middle_x(), y: b.bottom };
    let feet = |c: &Chain| c.iter().map(|&i| foot(&letters[i])).collect::<Vec<_>>();
    let mut used = vec![false; chains.len()];
    let mut lines = Vec::new();
    for row in rows {
        let (Some(first), Some(last)) = (row.first(), row.last()) else { continue };
        let title = nearest(letters, chains, first, x_height, true);
        let number = nearest(letters, chains, last, x_height, false);
        let mut line = Vec::new();
        for chain in [title, number] {
            if let Some(at) = chain.filter(|&at| !used[at]) {
                used[at] = true;
                line.extend(feet(&chains[at]));
            }
        }
        line.extend(row.iter().map(foot));
        lines.push(line);
    }
    let rest = chains.iter().zip(&used).filter(|(c, used)| !**used && c.len() >= shortest);
    lines.extend(rest.map(|(c, _)| feet(c)));
    lines
}

/// The chain that ends before a dot (`left`) or begins behind it, on its level.
fn nearest(
    letters: &[Blob],
    chains: &[Chain],
    dot: &Blob,
    x_height: f32,
    left: bool,
) -> Option<usize> {
    let distance = |chain: &Chain| {
        let letter = &letters[*if left { chain.last() } else { chain.first() }?];
        let gap = if left { dot.left - letter.right } else { letter.left - dot.right };
        let off = (letter.bottom - dot.bottom)
            .abs()
            .min((foot_of_band(letter, x_height) - dot.bottom).abs());
        let fits = (-1.0..BESIDE * x_height).contains(&gap) && off < LEVEL * x_height;
        fits.then_some(gap + 2.0 * off)
    };
    let near = chains.iter().enumerate().filter_map(|(i, c)| Some((distance(c)?, i)));
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, i)| i)
}

/// Where the foot of a letter would be if it hung below the line.
fn foot_of_band(letter: &Blob, x_height: f32) -> f32 {
    letter.top + x_height
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blob(left: f32, top: f32, width: f32, height: f32) -> Blob {
        Blob { left, top, right: left + width, bottom: top + height, area: width * height }
    }

    /// A title of five letters, dots that fall by one in five, a number of three.
    fn entry(top: f32) -> (Vec<Blob>, Vec<Blob>) {
        let fall = |x: f32| top + 0.2 * (x - 60.0).max(0.0);
        let letters = [0.0, 11.0, 22.0, 33.0, 44.0, 220.0, 231.0, 242.0];
        let letters = letters.map(|x| blob(x, fall(x), 9.0, 10.0)).to_vec();
        let dots = (0..18).map(|i| 64.0 + 8.0 * i as f32).map(|x| blob(x, fall(x) + 8.0, 2.0, 2.0));
        (letters, dots.collect())
    }

    #[test]
    fn a_leader_ties_the_number_to_its_title_down_a_curl() {
        let (mut letters, mut dots) = entry(0.0);
        let (below, more) = entry(24.0);
        letters.extend(below);
        dots.extend(more);
        // Dust, and the full stops of an abbreviation.
        dots.extend([blob(80.0, 60.0, 2.0, 2.0), blob(120.0, 63.0, 2.0, 2.0)]);
        let chains = super::super::lines::trace(&letters, 10.0, super::super::lines::Reach::BENT);
        assert_eq!(chains.len(), 4);
        let rows = rows(&dots, 10.0);
        assert_eq!(rows.iter().map(Vec::len).collect::<Vec<_>>(), [18, 18]);
        let lines = tied(&letters, &chains, &rows, 10.0, 3);
        assert_eq!(lines.iter().map(Vec::len).collect::<Vec<_>>(), [26, 26]);
    }
}
