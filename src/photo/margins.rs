//! The edges of columns: line starts that stand under each other, and line ends likewise.

use super::ink::Blob;
use super::lines::Chain;
use crate::geom::Point;

/// A letter at the edge of a column, and on which of its sides the edge is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mark {
    letter: usize,
    right: bool,
}

/// Fewest lines that make an edge; fewer may stand under each other by chance.
const FEWEST: usize = 5;
/// Ends further apart across than this, in x-heights, are no edge. Indents are larger.
const NEAR: f32 = 0.5;
/// Lines of another indent skipped between two marks of an edge: so many x-heights down.
const SKIP: f32 = 14.0;

/// Groups of marks, top to bottom, that nearly stand under each other on the flat page.
pub(super) fn edges(flat: &[Blob], chains: &[Chain], x_height: f32) -> Vec<Vec<Mark>> {
    let starts =
        chains.iter().filter_map(|c| c.first()).map(|&letter| Mark { letter, right: false });
    let ends = chains.iter().filter_map(|c| c.last()).map(|&letter| Mark { letter, right: true });
    let mut out = grouped(starts.collect(), flat, x_height);
    out.extend(grouped(ends.collect(), flat, x_height));
    out
}

/// Each mark joins the group whose last mark is nearest above it.
fn grouped(mut marks: Vec<Mark>, flat: &[Blob], x_height: f32) -> Vec<Vec<Mark>> {
    marks.sort_by(|a, b| flat[a.letter].bottom.total_cmp(&flat[b.letter].bottom));
    let mut groups: Vec<Vec<Mark>> = Vec::new();
    for mark in marks {
        let here = side(&flat[mark.letter], mark.right);
        let distance = |group: &Vec<Mark>| {
            let last = side(&flat[group.last()?.letter], mark.right);
            let (dx, dy) = ((here.x - last.x).abs() / x_height, (here.y - last.y) / x_height);
            (dx < NEAR && dy < SKIP && dy > 0.8).then_some(dx)
        };
        let best = groups
            .iter_mut()
            .filter_map(|g| distance(g).map(|d| (d, g)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        match best {
            Some((_, group)) => group.push(mark),
            None => groups.push(vec![mark]),
        }
    }
    groups.retain(|g| g.len() >= FEWEST);
    groups
}

/// How many marks stand under the one above, each counted by how exactly it does.
pub(super) fn agreement(edges: &[Vec<Mark>], flat: &[Blob], x_height: f32) -> f32 {
    let x = |m: &Mark| side(&flat[m.letter], m.right).x;
    let pairs = edges.iter().flat_map(|edge| edge.windows(2));
    pairs.map(|w| 1.0 - (x(&w[0]) - x(&w[1])).abs() / (NEAR * x_height)).sum()
}

fn side(letter: &Blob, right: bool) -> Point {
    Point { x: if right { letter.right } else { letter.left }, y: letter.bottom }
}

/// The marked points on the sketch.
pub(super) fn on_sketch(edges: &[Vec<Mark>], letters: &[Blob]) -> Vec<Vec<Point>> {
    edges.iter().map(|e| e.iter().map(|m| side(&letters[m.letter], m.right)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn indents_make_edges_of_their_own_and_ragged_ends_none() {
        let letter = |left: f32, line: i32| {
            let top = 30.0 * line as f32;
            Blob { left, top, right: left + 8.0, bottom: top + 10.0, area: 40.0 }
        };
        let mut letters = Vec::new();
        let mut chains = Vec::new();
        for line in 0..20 {
            let start = if line % 2 == 0 { 100.0 } else { 120.0 } + 0.3 * line as f32;
            letters.push(letter(start, line));
            letters.push(letter(300.0 + 17.0 * (line * 7 % 11) as f32, line));
            chains.push(vec![letters.len() - 2, letters.len() - 1]);
        }
        let found = edges(&letters, &chains, 10.0);
        assert_eq!(found.iter().map(Vec::len).collect::<Vec<_>>(), [10, 10]);
        assert!(found.iter().flatten().all(|m| !m.right));
        // Each of the 18 steps is 0.6 px of the 5 px allowed.
        assert!((agreement(&found, &letters, 10.0) - 18.0 * 0.88).abs() < 0.1);
    }
}
