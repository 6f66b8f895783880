//! Where numbers are aligned in a column: a line down the page, upright or leaning a little, because even a
//! flattened page keeps some lean at its sides.

/// A nearly upright line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    x: f32,
    /// Pixels to the right for each pixel down.
    slope: f32,
}

/// Nothing on a flattened page leans more than this.
const STEEPEST: f32 = 0.12;
/// The points that give a lean are at least so far apart, in letter heights.
const APART: f32 = 10.0;
/// A leaning line must meet more points than the best upright one by this factor.
const BETTER: f32 = 1.15;

impl Edge {
    /// The line that most of `points` (x, y) lie near, with their count; `None` without points.
    pub fn of(points: &[(i32, i32)], letter: f32) -> Option<(Edge, usize)> {
        let points: Vec<(f32, f32)> = points.iter().map(|p| (p.0 as f32, p.1 as f32)).collect();
        let upright = points.iter().map(|p| Edge { x: p.0, slope: 0.0 });
        let best = most(upright, &points, letter)?;
        let leaning = points.iter().enumerate().flat_map(|(i, a)| {
            points.iter().skip(i + 1).filter_map(move |b| Edge::through(*a, *b, letter))
        });
        match most(leaning, &points, letter) {
            Some(other) if other.1 as f32 > BETTER * best.1 as f32 + 1.0 => Some(other),
            _ => Some(best),
        }
    }

    fn through(a: (f32, f32), b: (f32, f32), letter: f32) -> Option<Edge> {
        let down = b.1 - a.1;
        let slope = (b.0 - a.0) / down;
        let fits = down.abs() > APART * letter && slope.abs() < STEEPEST;
        fits.then_some(Edge { x: a.0 - slope * a.1, slope })
    }

    /// Its x at the height `y`.
    pub fn at(&self, y: i32) -> f32 {
        self.x + self.slope * y as f32
    }
}

fn most(
    edges: impl Iterator<Item = Edge>,
    points: &[(f32, f32)],
    letter: f32,
) -> Option<(Edge, usize)> {
    let near = |edge: &Edge| {
        let meets = |p: &&(f32, f32)| (p.0 - edge.x - edge.slope * p.1).abs() <= letter;
        points.iter().filter(meets).count()
    };
    // The first of equals, so that the same page always gives the same edge.
    edges.map(|edge| (edge, near(&edge))).fold(None, |best: Option<(Edge, usize)>, next| {
        if best.is_none_or(|b| next.1 > b.1) { Some(next) } else { best }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leaning_edge_is_found_among_numbers_that_stand_elsewhere() {
        // Leans by one in 24; every fifth number stands elsewhere.
        let point = |i: i32| (if i % 5 == 0 { 900 } else { 1500 - 40 * i / 24 }, 40 * i);
        let points: Vec<(i32, i32)> = (0..40).map(point).collect();
        let (edge, count) = Edge::of(&points, 20.0).unwrap();
        assert_eq!(count, 32);
        assert!((edge.at(0) - 1500.0).abs() < 25.0 && (edge.at(1560) - 1435.0).abs() < 25.0);
    }

    #[test]
    fn an_upright_edge_stays_upright() {
        let points: Vec<(i32, i32)> = (0..20).map(|i| (700 + i % 3, 40 * i)).collect();
        assert_eq!(Edge::of(&points, 20.0), Some((Edge { x: 700.0, slope: 0.0 }, 20)));
        assert_eq!(Edge::of(&[], 20.0), None);
    }
}
