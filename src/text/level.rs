//! Numbers far from their titles are brought to the height of their line.
//!
//! Where no leader ties a number to its title, the white between them shows nothing of the sheet: near the gutter a
//! column of numbers may stand half a line higher than its titles at the top of the page and level with them at the
//! bottom. The step from title to number changes slowly down the page, though, and somewhere it is next to nothing;
//! so the numbers are given to the lines in the order of both such that the step changes least (a Viterbi path over
//! the lines). Heights are in letter heights.

use super::line::{self, Chain};

/// The fewest untied numbers that show how the step changes.
const FEWEST: usize = 6;
/// A page number has at most so many letters: "1505-1507a".
const LONGEST: usize = 10;
/// Share of a column's width that is the titles'.
const TITLES: f32 = 0.5;
/// White before an untied number.
const FAR: f32 = 2.5;
/// Nearer to each other than this are only pieces of one number; lines of print are not.
const PIECES: f32 = 1.2;
/// Share of their heights that chains on one height have in common.
const BESIDE: f32 = 0.3;
/// Deviation of the step from number to number: what figures that hang or rise hide of the line, and the sheet's
/// bend from line to line.
const WAVERS: f64 = 0.3;
/// Cost of a step as high as a letter: where all lines are alike, the nearest is the likeliest.
const STEEP: f64 = 0.05;
/// Cost of a line that takes no number.
const BARE: f64 = 0.4;
/// From this cost on a change of the step is a jump, and the path is not believed.
const JUMP: f64 = 8.0;
/// A step so small needs no mending.
const LEVEL: f32 = 0.4;
/// So many numbers must stand level without mending: without them the path may be one line off.
const SURELY_LEVEL: usize = 3;

/// Brings the numbers at the right edge level with their titles, if their steps tell how.
pub fn level(chains: &mut [Chain], letter: f32) {
    let numbers = numbers(chains, letter);
    if numbers.len() < FEWEST {
        return;
    }
    let titles: Vec<Chain> = chains
        .iter()
        .enumerate()
        .filter(|(i, c)| numbers.binary_search_by_key(i, |n| n.chain).is_err() && !c.is_leader())
        .map(|(_, c)| c.clone())
        .collect();
    let lines: Vec<(f32, f32)> = line::lines(titles, letter)
        .iter()
        .filter_map(|l| l.parts.last())
        .map(|part| {
            let (top, bottom) = part.end_band(true);
            (top as f32 / letter, bottom as f32 / letter)
        })
        .collect();
    // Pieces of broken figures go where their number goes.
    let mut sorted = numbers.clone();
    sorted.sort_by(|a, b| a.bottom.total_cmp(&b.bottom));
    let pieces: Vec<&[Number]> = sorted.chunk_by(|a, b| b.bottom - a.bottom < PIECES).collect();
    let height = |n: &&Number| n.bottom - n.top;
    let whole: Vec<Number> = pieces
        .iter()
        .filter_map(|p| p.iter().max_by(|a, b| height(a).total_cmp(&height(b))))
        .copied()
        .collect();
    let Some(steps) = steps(&whole, &lines) else { return };
    let mended = steps.iter().any(|s| s.abs() > LEVEL);
    let level = steps.iter().filter(|s| s.abs() <= LEVEL).count();
    if !mended || level < SURELY_LEVEL {
        return;
    }
    for (pieces, step) in pieces.iter().zip(steps) {
        for piece in *pieces {
            if let Some(chain) = chains.get_mut(piece.chain) {
                chain.lift((-step * letter).round() as i32);
            }
        }
    }
}

/// A number that no leader ties to its title.
#[derive(Debug, Clone, Copy)]
struct Number {
    chain: usize,
    top: f32,
    bottom: f32,
}

/// By their place among the chains.
fn numbers(chains: &[Chain], letter: f32) -> Vec<Number> {
    let left = chains.iter().map(|c| c.area.left).min().unwrap_or(0);
    let right = chains.iter().map(|c| c.area.right).max().unwrap_or(0);
    // Near a gutter their edge may lean and bend.
    let far_right = left + ((right - left) as f32 * TITLES) as i32;
    let short = |c: &Chain| !c.is_leader() && c.blobs.len() <= LONGEST && c.area.left > far_right;
    // Anything within reach on the left ties the number to its line; anything on the right is behind it.
    let alone = |c: &Chain| {
        let beside = |o: &&Chain| {
            let reach = if o.area.left < c.area.left { FAR * letter } else { f32::INFINITY };
            let white = c.area.left.max(o.area.left) - c.area.right.min(o.area.right);
            let other = o.area != c.area && line::overlap(o.band, c.band) > BESIDE;
            other && (white as f32) < reach
        };
        !chains.iter().any(|o| beside(&o))
    };
    let untied = chains.iter().enumerate().filter(|(_, c)| short(c) && alone(c));
    untied
        .map(|(chain, c)| Number {
            chain,
            top: c.band.0 as f32 / letter,
            bottom: c.band.1 as f32 / letter,
        })
        .collect()
}

/// The step from title to number for each number, if there is a path without a jump. Both lists go down the page;
/// `lines` are top and bottom of the titles.
fn steps(numbers: &[Number], lines: &[(f32, f32)]) -> Option<Vec<f32>> {
    let (first, rest) = numbers.split_first()?;
    let steep = |s: f32| STEEP * f64::from(s).powi(2);
    let mut columns: Vec<Vec<Node>> = vec![
        lines
            .iter()
            .map(|line| {
                // Hanging figures share the head of small letters, others their foot.
                let step = nearest(first, *line, 0.0);
                Node { cost: steep(step), step, from: None }
            })
            .collect(),
    ];
    for number in rest {
        let before = columns.last()?;
        let node = |(at, line): (usize, &(f32, f32))| {
            let ways = before.iter().take(at).enumerate().filter(|(_, n)| n.cost.is_finite());
            let reach = |(from, n): (usize, &Node)| {
                let step = nearest(number, *line, n.step);
                let change = (f64::from(step - n.step) / WAVERS).powi(2);
                let cost = n.cost + change + steep(step) + BARE * (at - from - 1) as f64;
                (change < JUMP).then_some(Node { cost, step, from: Some(from) })
            };
            ways.filter_map(reach).min_by(|a, b| a.cost.total_cmp(&b.cost)).unwrap_or(Node {
                cost: f64::INFINITY,
                step: 0.0,
                from: None,
            })
        };
        columns.push(lines.iter().enumerate().map(node).collect());
    }
    let last = columns.last()?.iter().enumerate();
    let (mut at, _) =
        last.filter(|(_, n)| n.cost.is_finite()).min_by(|a, b| a.1.cost.total_cmp(&b.1.cost))?;
    let mut path = Vec::with_capacity(numbers.len());
    for column in columns.iter().rev() {
        let node = column.get(at)?;
        path.push(node.step);
        at = node.from.unwrap_or(0);
    }
    path.reverse();
    Some(path)
}

#[derive(Debug, Clone, Copy)]
struct Node {
    cost: f64,
    step: f32,
    from: Option<usize>,
}

/// The step by the heads or by the feet, whichever is nearer to the step before.
fn nearest(number: &Number, line: (f32, f32), before: f32) -> f32 {
    let (head, foot) = (number.top - line.0, number.bottom - line.1);
    if (head - before).abs() < (foot - before).abs() { head } else { foot }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Old-style figures, no higher than small letters.
    fn number(chain: usize, foot: f32) -> Number {
        Number { chain, top: foot - 1.0, bottom: foot }
    }

    fn line(foot: f32) -> (f32, f32) {
        (foot - 1.0, foot)
    }

    #[test]
    fn numbers_that_climb_half_a_line_keep_their_titles() {
        // Twenty lines, the third without number; numbers level at the foot, a line and a half too high at the top.
        let lines: Vec<(f32, f32)> = (0..20).map(|i| line(2.4 * i as f32)).collect();
        let numbered = (0..20).filter(|i| *i != 2);
        let numbers: Vec<Number> =
            numbered.map(|i| number(i, 2.4 * i as f32 - 0.1 * (19 - i) as f32)).collect();
        let steps = steps(&numbers, &lines).unwrap();
        assert!((steps[0] + 1.9).abs() < 0.01, "{steps:?}");
        assert!(steps[18].abs() < 0.01, "{steps:?}");
    }

    #[test]
    fn a_column_that_jumps_is_left() {
        let lines: Vec<(f32, f32)> = (0..20).map(|i| line(2.4 * i as f32)).collect();
        let jumping = |i: usize| number(i, 2.4 * i as f32 + if i > 9 { 1.2 } else { 0.0 });
        let numbers: Vec<Number> = (0..20).map(jumping).collect();
        assert_eq!(steps(&numbers, &lines), None);
    }
}
