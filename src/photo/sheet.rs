//! The shape of the sheet: two smooth surfaces that say, for each point of the levelled sketch, how
//! far it lies from its place on the flat page. Down, every line of print must become straight;
//! across, every upright stroke and every edge of a column must become upright.

use super::ink::{Blob, median};
use super::lines::{Chain, Reach, trace};
use super::strokes::Lean;
use super::surface::{Fit, Patch, Surface, Wish};
use super::{dots, margins};
use crate::geom::Point;

/// Where each point of the levelled sketch belongs on the flat page.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    across: Surface,
    down: Surface,
}

/// Spline intervals across and down for the lines: the curl at a gutter takes up about an eighth of
/// a page. By trial.
const DOWN_INTERVALS: [usize; 2] = [8, 6];
/// The same for strokes and column edges, which change more slowly.
const ACROSS_INTERVALS: [usize; 2] = [3, 4];
/// Weight of not bending, against letters that count 1 at a distance of one x-height. Measured on
/// curled photographs: ten times as much leaves curves at the gutter, ten times less follows noise.
const STIFFNESS: f32 = 0.0005;
/// Weight of keeping the spine; large against the letters of a page.
const SPINE_WEIGHT: f32 = 100.0;
/// Allowed distance from the line in x-heights, round by round: wide at first, so that steep curves
/// are found, then so narrow that descenders and commas no longer pull.
const ROUNDS: [f32; 4] = [0.6, 0.3, 0.15, 0.12];
/// Column edges of so many lines together are trusted more than the slant of strokes.
const ENOUGH_MARKS: usize = 12;
/// Lines that stray less than this over a whole page, in x-heights, are straight.
const STRAIGHT_DOWN: f32 = 0.25;
/// Edges that stray less than this over a whole page, in x-heights, are upright.
const STRAIGHT_ACROSS: f32 = 0.8;
/// Fewest letters that show the way of a line: a page number of three digits does.
const SHORTEST: usize = 3;

impl Sheet {
    /// Fits a sheet to the letters, and the strokes, of one page.
    ///
    /// `leaders` are rows of dots, which tie numbers to their titles.
    pub(super) fn fit(
        letters: &[Blob],
        leaders: &[Vec<Blob>],
        leans: &[Lean],
        x_height: f32,
        patch: Patch,
    ) -> Sheet {
        let lines = |chains: &[Chain]| dots::tied(letters, chains, leaders, x_height, SHORTEST);
        let rough = lines(&trace(letters, x_height, Reach::BENT));
        let down = straighten(&rough, x_height, patch, Surface::flat(patch), &ROUNDS);
        let across = Surface::flat(patch);
        let rough = Sheet { across, down };
        // Nearly level lines can be traced over wider gaps, which ties their ends to them.
        let chains = trace(&rough.flat_letters(letters), x_height, Reach::FLAT);
        let down = straighten(&lines(&chains), x_height, patch, rough.down, &ROUNDS[2..]);
        let print = Print { letters, chains: &chains, leans, x_height, patch };
        let across = print.upright(&down);
        Sheet { across, down }.or_none(x_height, &patch)
    }

    /// A sheet that hardly moves anything is none: drawing it would only cost sharpness.
    fn or_none(self, x_height: f32, patch: &Patch) -> Sheet {
        const PARTS: usize = 12;
        let at = |i: usize| Point {
            x: patch.left + patch.width * (i % (PARTS + 1)) as f32 / PARTS as f32,
            y: patch.top + patch.height * (i / (PARTS + 1)) as f32 / PARTS as f32,
        };
        let moves: Vec<[f32; 2]> = (0..(PARTS + 1) * (PARTS + 1))
            .map(|i| [self.across.at(at(i)), self.down.at(at(i))])
            .collect();
        let spread = |k: usize| {
            let most = moves.iter().map(|m| m[k]).fold(f32::NEG_INFINITY, f32::max);
            most - moves.iter().map(|m| m[k]).fold(f32::INFINITY, f32::min)
        };
        let [across, down] = [spread(0), spread(1)].map(|s| s / x_height);
        if across < STRAIGHT_ACROSS && down < STRAIGHT_DOWN {
            let none = Surface::flat(*patch);
            return Sheet { across: none.clone(), down: none };
        }
        self
    }

    /// Whether every point stays where it is.
    pub(super) fn is_none(&self) -> bool {
        self.across.is_flat() && self.down.is_flat()
    }

    /// The flat place of a point of the sketch.
    pub(super) fn flat(&self, p: Point) -> Point {
        Point { x: p.x + self.across.at(p), y: p.y + self.down.at(p) }
    }

    /// Letters at their flat places, their widths and heights kept.
    pub(super) fn flat_letters(&self, letters: &[Blob]) -> Vec<Blob> {
        letters
            .iter()
            .map(|l| {
                let foot = Point { x: l.middle_x(), y: l.bottom };
                let at = self.flat(foot);
                l.moved(at.x - foot.x, at.y - foot.y)
            })
            .collect()
    }

    /// The point of the sketch that belongs at a flat place; Newton's method from `near`.
    pub(super) fn bent(&self, flat: Point, near: Point) -> Point {
        const CLOSE_PX: f32 = 0.02;
        let mut p = near;
        for _ in 0..12 {
            let q = self.flat(p);
            let (ex, ey) = (flat.x - q.x, flat.y - q.y);
            let ([ax, ay], [dx, dy]) = (self.across.slopes(p), self.down.slopes(p));
            let (a, b, c, d) = (1.0 + ax, ay, dx, 1.0 + dy);
            // Far outside the print the surface may fold; a small step is then as good as any.
            let det = (a * d - b * c).max(0.2);
            p = Point { x: p.x + (d * ex - b * ey) / det, y: p.y + (a * ey - c * ex) / det };
            if ex.abs() + ey.abs() < CLOSE_PX {
                break;
            }
        }
        p
    }
}

fn straighten(
    lines: &[Vec<Point>],
    x_height: f32,
    patch: Patch,
    mut surface: Surface,
    rounds: &[f32],
) -> Surface {
    let spine = median(lines.iter().flatten().map(|p| p.x));
    let patch = Patch { columns: DOWN_INTERVALS[0], rows: DOWN_INTERVALS[1], ..patch };
    for allowed in rounds {
        let mut fit = Fit::new(patch, STIFFNESS);
        // Straight lines do not say how far apart they lie: along one upright they stay as they are.
        for i in 0..=4 * patch.rows {
            let at = Point {
                x: spine,
                y: patch.top + patch.height * i as f32 / (4 * patch.rows) as f32,
            };
            fit.add(&patch.value_terms(at), 0.0, SPINE_WEIGHT);
        }
        for line in lines {
            fit.add_alike(&weighed(line, &surface, x_height, *allowed));
        }
        surface = fit.solve();
    }
    surface
}

/// Wishes for one line; letters far from the line as it is now count less (Cauchy's weight).
fn weighed(line: &[Point], surface: &Surface, x_height: f32, allowed: f32) -> Vec<Wish> {
    let heights: Vec<f32> = line.iter().map(|p| p.y + surface.at(*p)).collect();
    let middle = median(heights.iter().copied());
    line.iter()
        .zip(&heights)
        .map(|(at, h)| {
            let off = (h - middle) / (allowed * x_height);
            Wish { at: *at, value: -at.y, weight: 1.0 / (1.0 + off * off) / (x_height * x_height) }
        })
        .collect()
}

/// Pixels down for each pixel to the right along the lines in the middle of the patch.
fn slope_of_lines(down: &Surface, patch: &Patch) -> f32 {
    let middle = Point { x: patch.left + patch.width / 2.0, y: patch.top + patch.height / 2.0 };
    let [across, along] = down.slopes(middle);
    -across / (1.0 + along)
}

/// What tells how the page leans.
struct Print<'a> {
    letters: &'a [Blob],
    chains: &'a [Chain],
    leans: &'a [Lean],
    x_height: f32,
    patch: Patch,
}

/// Groups of points that belong under each other, and how well they already stand so.
struct Edges {
    points: Vec<Vec<Point>>,
    agreement: f32,
}

impl Print<'_> {
    /// Strokes all leaning alike are italics, or roman type on a page seen obliquely. Whichever makes
    /// more lines start or end under each other is taken; the edges so found then decide.
    fn upright(&self, down: &Surface) -> Surface {
        let square = -slope_of_lines(down, &self.patch);
        let roman = self.leans.to_vec();
        let italic = without_slant(self.leans, |_| Some(square));
        let (across, edges) = [italic, roman]
            .map(|leans| {
                let across = raise(&leans, &[], self.x_height, self.patch);
                let edges = self.edges(&across, down);
                (across, edges)
            })
            .into_iter()
            .max_by(|(_, a), (_, b)| a.agreement.total_cmp(&b.agreement))
            .map_or_else(
                || (Surface::flat(self.patch), Vec::new()),
                |(across, e)| (across, e.points),
            );
        if edges.iter().map(Vec::len).sum::<usize>() < ENOUGH_MARKS {
            return across;
        }
        let across = raise(&self.leans_beside(&edges), &edges, self.x_height, self.patch);
        let edges = self.edges(&across, down).points;
        raise(&self.leans_beside(&edges), &edges, self.x_height, self.patch)
    }

    fn edges(&self, across: &Surface, down: &Surface) -> Edges {
        let flat = Sheet { across: across.clone(), down: down.clone() }.flat_letters(self.letters);
        let edges = margins::edges(&flat, self.chains, self.x_height);
        Edges {
            agreement: margins::agreement(&edges, &flat, self.x_height),
            points: margins::on_sketch(&edges, self.letters),
        }
    }

    /// Leans less the slant of the type, as the edges of columns show it. They speak for their own
    /// neighbourhood only: seen obliquely the other side leans otherwise.
    fn leans_beside(&self, edges: &[Vec<Point>]) -> Vec<Lean> {
        let by_edges = raise(&[], edges, self.x_height, self.patch);
        let reach = self.patch.width / 6.0;
        let near = |p: Point| edges.iter().flatten().any(|m| (m.x - p.x).hypot(m.y - p.y) < reach);
        without_slant(self.leans, |p| near(p).then(|| upright_slope(&by_edges, p)))
    }
}

/// Pixels to the right for each pixel down along an upright.
fn upright_slope(across: &Surface, p: Point) -> f32 {
    let [along, down] = across.slopes(p);
    -down / (1.0 + along)
}

/// Leans less the slant of the type, for italics lean all alike against the page, whose own lean
/// `page` tells where it is known.
fn without_slant(leans: &[Lean], page: impl Fn(Point) -> Option<f32>) -> Vec<Lean> {
    let slant = median(leans.iter().filter_map(|l| Some(l.slope - page(l.at)?)));
    leans.iter().map(|l| Lean { slope: l.slope - slant, ..*l }).collect()
}

/// Weight of all strokes of a page together, against one letter at the edge of a column.
const LEANS_WEIGHT: f32 = 100.0;

/// `edges` are groups of points that must come to stand under each other.
fn raise(leans: &[Lean], edges: &[Vec<Point>], x_height: f32, patch: Patch) -> Surface {
    let patch = Patch { columns: ACROSS_INTERVALS[0], rows: ACROSS_INTERVALS[1], ..patch };
    let mut fit = Fit::new(patch, STIFFNESS);
    let total: f32 = leans.iter().map(|l| l.weight).sum::<f32>().max(1.0);
    // A lean is counted by what it shifts over an eighth of the page's height.
    let run = patch.height / 8.0 / x_height;
    for lean in leans {
        let [across, down] = patch.slope_terms(lean.at);
        // Along a stroke nothing moves across: (1 + ∂x)·slope + ∂y = 0.
        let along =
            across.iter().zip(&down).map(|(&(i, a), &(_, d))| (i, (a * lean.slope + d) * run));
        fit.add(&along.collect::<Vec<_>>(), -lean.slope * run, LEANS_WEIGHT * lean.weight / total);
    }
    for edge in edges {
        let weight = 1.0 / (x_height * x_height);
        let wishes: Vec<Wish> =
            edge.iter().map(|at| Wish { at: *at, value: -at.x, weight }).collect();
        fit.add_alike(&wishes);
    }
    // Strokes and edges do not say how wide the page is: along the middle it stays as it is.
    for i in 0..=4 * patch.columns {
        let x = patch.left + patch.width * i as f32 / (4 * patch.columns) as f32;
        let at = Point { x, y: patch.top + patch.height / 2.0 };
        fit.add(&patch.value_terms(at), 0.0, SPINE_WEIGHT);
    }
    fit.solve()
}
