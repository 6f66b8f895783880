//! A smooth surface over a rectangle, fitted by least squares: a tensor product of uniform cubic
//! B-splines with a penalty on bending (P. Eilers and B. Marx, "Flexible smoothing with B-splines
//! and penalties", Statistical Science 11, 1996, carried to two dimensions).

use crate::geom::Point;
use nalgebra::{Cholesky, DMatrix, DVector};

/// Where a surface lives and how finely it can bend.
#[derive(Debug, Clone, Copy)]
pub(super) struct Patch {
    pub left: f32,
    pub top: f32,
    pub width: f32,
    pub height: f32,
    /// Spline intervals across.
    pub columns: usize,
    /// Spline intervals down.
    pub rows: usize,
}

/// The sixteen coefficients that matter at a point, with their factors.
pub(super) type Terms = [(usize, f32); 16];

impl Patch {
    /// Whether a point lies on it.
    pub(super) fn holds(&self, x: f32, y: f32) -> bool {
        (self.left..self.left + self.width).contains(&x)
            && (self.top..self.top + self.height).contains(&y)
    }

    fn count(&self) -> usize {
        (self.columns + 3) * (self.rows + 3)
    }

    /// Factors of the value at a point.
    pub(super) fn value_terms(&self, p: Point) -> Terms {
        let ((i, bx, _), (j, by, _)) = self.bases(p);
        self.terms(i, j, bx, by)
    }

    /// Factors of the slopes across and down at a point.
    pub(super) fn slope_terms(&self, p: Point) -> [Terms; 2] {
        let ((i, bx, dx), (j, by, dy)) = self.bases(p);
        [self.terms(i, j, dx, by), self.terms(i, j, bx, dy)]
    }

    fn bases(&self, p: Point) -> (Basis, Basis) {
        let (sx, sy) = (self.columns as f32 / self.width, self.rows as f32 / self.height);
        (
            basis((p.x - self.left) * sx, self.columns, sx),
            basis((p.y - self.top) * sy, self.rows, sy),
        )
    }

    fn terms(&self, i: usize, j: usize, bx: [f32; 4], by: [f32; 4]) -> Terms {
        std::array::from_fn(|k| {
            let (a, b) = (k % 4, k / 4);
            ((j + b) * (self.columns + 3) + i + a, bx[a] * by[b])
        })
    }
}

/// First coefficient, factors of the value and of the slope.
type Basis = (usize, [f32; 4], [f32; 4]);

/// Uniform cubic B-spline at `t` intervals from the start; beyond the ends it goes on straight.
fn basis(t: f32, intervals: usize, slope_scale: f32) -> Basis {
    let inside = t.clamp(0.0, intervals as f32);
    let i = (inside as usize).min(intervals - 1);
    let f = inside - i as f32;
    let g = 1.0 - f;
    let slope =
        [-g * g / 2.0, (3.0 * f - 4.0) * f / 2.0, (1.0 + 2.0 * f - 3.0 * f * f) / 2.0, f * f / 2.0];
    let mut value = [
        g * g * g / 6.0,
        (4.0 + f * f * (3.0 * f - 6.0)) / 6.0,
        (1.0 + 3.0 * f * (1.0 + f - f * f)) / 6.0,
        f * f * f / 6.0,
    ];
    for (v, s) in value.iter_mut().zip(&slope) {
        *v += s * (t - inside);
    }
    (i, value, slope.map(|s| s * slope_scale))
}

/// A fitted surface.
#[derive(Debug, Clone)]
pub(super) struct Surface {
    patch: Patch,
    coefficients: Vec<f32>,
}

impl Surface {
    /// The level surface of height zero.
    pub(super) fn flat(patch: Patch) -> Surface {
        Surface { patch, coefficients: vec![0.0; patch.count()] }
    }

    pub(super) fn is_flat(&self) -> bool {
        self.coefficients.iter().all(|c| *c == 0.0)
    }

    /// Height at a point; beyond the patch the surface goes on straight.
    pub(super) fn at(&self, p: Point) -> f32 {
        self.sum(&self.patch.value_terms(p))
    }

    /// Slopes across and down at a point.
    pub(super) fn slopes(&self, p: Point) -> [f32; 2] {
        self.patch.slope_terms(p).map(|terms| self.sum(&terms))
    }

    fn sum(&self, terms: &Terms) -> f32 {
        terms.iter().map(|&(i, w)| w * self.coefficients[i]).sum()
    }
}

/// Collects wishes about a surface as normal equations.
pub(super) struct Fit {
    patch: Patch,
    matrix: DMatrix<f64>,
    target: DVector<f64>,
}

impl Fit {
    /// Starts with the wish to bend little; `stiffness` weighs it, a touch of it pulls to zero.
    pub(super) fn new(patch: Patch, stiffness: f32) -> Fit {
        let n = patch.count();
        let mut fit = Fit { patch, matrix: DMatrix::zeros(n, n), target: DVector::zeros(n) };
        let (columns, rows) = (patch.columns + 3, patch.rows + 3);
        for i in 0..n {
            let (x, y) = (i % columns, i / columns);
            fit.matrix[(i, i)] += 1e-4 * f64::from(stiffness) + 1e-9;
            if x + 2 < columns {
                fit.add(&[(i, 1.0), (i + 1, -2.0), (i + 2, 1.0)], 0.0, stiffness);
            }
            if y + 2 < rows {
                fit.add(&[(i, 1.0), (i + columns, -2.0), (i + 2 * columns, 1.0)], 0.0, stiffness);
            }
            if x + 1 < columns && y + 1 < rows {
                let twist = [(i, 1.0), (i + 1, -1.0), (i + columns, -1.0), (i + columns + 1, 1.0)];
                fit.add(&twist, 0.0, stiffness * 0.2);
            }
        }
        fit
    }

    /// Wishes that a sum of coefficients has a value.
    pub(super) fn add(&mut self, terms: &[(usize, f32)], value: f32, weight: f32) {
        let terms: Vec<(usize, f64)> = terms.iter().map(|&(i, a)| (i, f64::from(a))).collect();
        self.add_exact(&terms, f64::from(value), f64::from(weight));
    }

    fn add_exact(&mut self, terms: &[(usize, f64)], value: f64, weight: f64) {
        for &(i, a) in terms {
            self.target[i] += weight * a * value;
            for &(j, b) in terms {
                self.matrix[(i, j)] += weight * a * b;
            }
        }
    }

    /// Wishes that surface minus value is the same, whatever it is, at all points of a group.
    pub(super) fn add_alike(&mut self, group: &[Wish]) {
        let total: f64 = group.iter().map(|w| f64::from(w.weight)).sum();
        if total <= 0.0 {
            return;
        }
        let mut mean = vec![0f64; self.patch.count()];
        let mut mean_value = 0.0;
        for wish in group {
            let share = f64::from(wish.weight) / total;
            let terms = self.patch.value_terms(wish.at);
            mean_value += share * f64::from(wish.value);
            for (i, a) in terms {
                mean[i] += share * f64::from(a);
            }
            self.add(&terms, wish.value, wish.weight);
        }
        // Σw(aᵢ − ā)(aᵢ − ā)ᵀ = Σw aᵢaᵢᵀ − W āāᵀ, so the mean is taken off once at the end.
        let mean: Vec<(usize, f64)> =
            mean.into_iter().enumerate().filter(|(_, a)| *a != 0.0).collect();
        self.add_exact(&mean, mean_value, -total);
    }

    /// The surface that meets all wishes best.
    pub(super) fn solve(self) -> Surface {
        let coefficients = Cholesky::new(self.matrix)
            .map(|c| c.solve(&self.target).iter().map(|&v| v as f32).collect())
            .unwrap_or_else(|| vec![0.0; self.patch.count()]);
        Surface { patch: self.patch, coefficients }
    }
}

/// A value wished for at a point.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wish {
    pub at: Point,
    pub value: f32,
    pub weight: f32,
}

#[cfg(test)]
mod tests {
    use super::*;

    const PATCH: Patch =
        Patch { left: 0.0, top: 0.0, width: 100.0, height: 200.0, columns: 5, rows: 4 };

    fn hill(p: Point) -> f32 {
        0.001 * (p.x - 50.0).powi(2) + 0.1 * p.y - 0.0004 * p.x * p.y
    }

    fn points() -> impl Iterator<Item = Point> {
        (0..400).map(|i| Point { x: (i * 37 % 100) as f32, y: (i * 91 % 200) as f32 })
    }

    #[test]
    fn a_surface_of_second_degree_is_found_again_with_its_slopes() {
        let mut fit = Fit::new(PATCH, 1e-6);
        for p in points() {
            fit.add(&PATCH.value_terms(p), hill(p), 1.0);
        }
        let surface = fit.solve();
        for p in points() {
            assert!((surface.at(p) - hill(p)).abs() < 0.01);
            let [across, down] = surface.slopes(p);
            assert!((across - (0.002 * (p.x - 50.0) - 0.0004 * p.y)).abs() < 0.003);
            assert!((down - (0.1 - 0.0004 * p.x)).abs() < 0.003);
        }
    }

    #[test]
    fn groups_fix_the_shape_but_not_the_height() {
        let mut fit = Fit::new(PATCH, 1e-5);
        for row in 0..20 {
            let line = (0..30).map(|i| Point { x: i as f32 * 3.4, y: row as f32 * 10.0 });
            let wishes: Vec<Wish> =
                line.map(|at| Wish { at, value: hill(at) + row as f32, weight: 1.0 }).collect();
            fit.add_alike(&wishes);
        }
        let surface = fit.solve();
        for y in [0.0, 60.0, 190.0] {
            let along = |x: f32| surface.at(Point { x, y }) - hill(Point { x, y });
            let off = along(0.0) - along(98.0);
            assert!(off.abs() < 0.05, "at {y}: {off}");
        }
    }

    #[test]
    fn beyond_the_patch_it_goes_on_straight() {
        let mut fit = Fit::new(PATCH, 1e-6);
        for p in points() {
            fit.add(&PATCH.value_terms(p), 0.5 * p.x, 1.0);
        }
        let surface = fit.solve();
        assert!((surface.at(Point { x: 140.0, y: 100.0 }) - 70.0).abs() < 0.1);
        assert!((surface.at(Point { x: -20.0, y: 100.0 }) + 10.0).abs() < 0.1);
    }
}
