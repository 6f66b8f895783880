//! From likely pixels to lines of print: each spot becomes an axis, a smooth curve through its middle, and a height.

use super::detect::Likely;
use crate::geom::{Point, median};
use image::{GrayImage, Luma};
use imageproc::region_labelling::{Connectivity, connected_components};

/// A line of print, or a part of one between wide whites.
#[derive(Debug, Clone, PartialEq)]
pub struct TextLine {
    /// Points of its middle from its left end to its right, in pixels of the upright picture; at least two.
    pub axis: Vec<Point>,
    /// Height of the band around the axis that holds the letters with what rises and hangs, in the same pixels.
    pub height: f32,
}

impl TextLine {
    /// Length of the axis, in pixels.
    pub fn length(&self) -> f32 {
        self.axis.windows(2).map(|w| w[0].to(w[1])).sum()
    }

    /// Whether a point lies nearer to the axis than so many heights of the band.
    pub fn is_near(&self, point: Point, heights: f32) -> bool {
        self.axis.windows(2).any(|w| point.to_piece(w[0], w[1]) < heights * self.height)
    }

    /// Angle from its left end to its right, in radians, positive downwards.
    pub fn angle(&self) -> f32 {
        match (self.axis.first(), self.axis.last()) {
            (Some(a), Some(b)) => (b.y - a.y).atan2(b.x - a.x),
            _ => 0.0,
        }
    }
}

/// A pixel belongs to print where the detector finds that likelier than this, as its authors have it.
const LIKELY: f32 = 0.3;
/// A spot is print where its mean is higher than this; the authors take 0.6 for signs in streets. Lone figures
/// stay below that.
const SPOT: f32 = 0.45;
/// A faint spot is looked at where the detector finds print likelier than this. Lone figures before leaders come to
/// 0.1 to 0.4 on the computed pages of `fixtures/photos`, the paper between the lines to less than 0.01.
const FAINT: f32 = 0.1;
/// Fewer pixels of the reduced picture hold no character.
const FEWEST: usize = 4;
/// The detector marks the middle of a line; the letters reach beyond by this share of area over circumference
/// (Liao and others, "Real-time scene text detection with differentiable binarization", 2020, section 3.4).
const REACH: f32 = 1.6;

/// The lines of print, and the angle at which they run in radians, −π/2 to π/2. Which way up they stand is open:
/// all run to the same side.
pub(super) fn lines(likely: &Likely) -> (Vec<TextLine>, f32) {
    let spots = spots(likely);
    let guides: Vec<Guide> = spots.iter().filter_map(Spot::guide).collect();
    let usual = usual_angle(&guides);
    let lines = spots.iter().filter_map(|spot| {
        let angle = spot.guide().map_or_else(|| beside(spot, &guides, usual), |g| g.angle);
        line(spot, same_side(angle, usual), likely.scale)
    });
    (lines.collect(), usual)
}

/// A spot long enough to have a direction of its own.
struct Guide {
    middle: (f32, f32),
    angle: f32,
    weight: f32,
}

/// Mean of the directions, each with its opposite: angles doubled, as directions of axes are averaged (Mardia and
/// Jupp, "Directional Statistics", section 9.1).
fn usual_angle(guides: &[Guide]) -> f32 {
    let sum = guides.iter().fold((0.0, 0.0), |s, g| {
        (s.0 + g.weight * (2.0 * g.angle).cos(), s.1 + g.weight * (2.0 * g.angle).sin())
    });
    if guides.is_empty() { 0.0 } else { 0.5 * f32::atan2(sum.1, sum.0) }
}

/// The direction or its opposite, whichever is nearer to the usual one.
fn same_side(angle: f32, usual: f32) -> f32 {
    if (angle - usual).cos() < 0.0 { angle + std::f32::consts::PI } else { angle }
}

/// The direction of print beside a spot that has none of its own.
fn beside(spot: &Spot, guides: &[Guide], usual: f32) -> f32 {
    let (x, y) = spot.middle();
    let mut near: Vec<(f32, f32)> = guides
        .iter()
        .map(|g| ((g.middle.0 - x).hypot(g.middle.1 - y), same_side(g.angle, usual)))
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    median(near.iter().take(3).map(|n| n.1)).unwrap_or(usual)
}

struct Spot {
    pixels: Vec<(f32, f32)>,
}

/// The spots that are surely print, and the faint ones apart from them: lone figures, print in the dark of a gutter,
/// leaders. What is nothing reads as nothing.
fn spots(likely: &Likely) -> Vec<Spot> {
    let strong = connected(likely, LIKELY, SPOT);
    let mut taken = vec![false; likely.values.len()];
    for (x, y) in strong.iter().flat_map(|s| &s.pixels) {
        if let Some(place) = taken.get_mut(*y as usize * likely.width + *x as usize) {
            *place = true;
        }
    }
    let apart = |spot: &Spot| {
        let touches = |(x, y): &(f32, f32)| {
            taken.get(*y as usize * likely.width + *x as usize).copied().unwrap_or(false)
        };
        !spot.pixels.iter().any(touches)
    };
    let faint = connected(likely, FAINT, FAINT);
    strong.into_iter().chain(faint.into_iter().filter(apart)).collect()
}

/// Connected pixels above a limit, where their mean is above another.
fn connected(likely: &Likely, limit: f32, mean: f32) -> Vec<Spot> {
    let (width, height) = (likely.width as u32, likely.height as u32);
    let at = |x: u32, y: u32| likely.values.get((y * width + x) as usize).copied().unwrap_or(0.0);
    let mask = GrayImage::from_fn(width, height, |x, y| Luma([u8::from(at(x, y) > limit)]));
    let labels = connected_components(&mask, Connectivity::Eight, Luma([0]));
    let count = labels.pixels().map(|l| l.0[0]).max().unwrap_or(0) as usize;
    let mut all: Vec<(Vec<(f32, f32)>, f32)> = vec![(Vec::new(), 0.0); count];
    for (x, y, label) in labels.enumerate_pixels() {
        if let Some(spot) = (label.0[0] as usize).checked_sub(1).and_then(|i| all.get_mut(i)) {
            spot.0.push((x as f32 + 0.5, y as f32 + 0.5));
            spot.1 += at(x, y);
        }
    }
    let printed =
        |(pixels, sum): &(Vec<_>, f32)| pixels.len() >= FEWEST && sum / pixels.len() as f32 > mean;
    all.into_iter().filter(printed).map(|(pixels, _)| Spot { pixels }).collect()
}

impl Spot {
    fn middle(&self) -> (f32, f32) {
        let n = self.pixels.len().max(1) as f32;
        let (x, y) = self.pixels.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
        (x / n, y / n)
    }

    /// Second moments about the middle: xx, xy, yy.
    fn moments(&self) -> [f32; 3] {
        let (mx, my) = self.middle();
        let n = self.pixels.len().max(1) as f32;
        let mut sum = [0.0; 3];
        for (x, y) in &self.pixels {
            let (dx, dy) = (x - mx, y - my);
            sum = [sum[0] + dx * dx, sum[1] + dx * dy, sum[2] + dy * dy];
        }
        // A lone pixel is a square of side 1.
        [sum[0] / n + 1.0 / 12.0, sum[1] / n, sum[2] / n + 1.0 / 12.0]
    }

    /// Its direction, −π/2 to π/2, if it is more than `LONG` times as long as it is wide.
    fn guide(&self) -> Option<Guide> {
        const LONG: f32 = 3.0;
        let [xx, xy, yy] = self.moments();
        let (middle, half) = ((xx + yy) / 2.0, (((xx - yy) / 2.0).powi(2) + xy * xy).sqrt());
        let long = middle + half > LONG * LONG * (middle - half);
        let (angle, weight) = (0.5 * (2.0 * xy).atan2(xx - yy), self.pixels.len() as f32);
        long.then(|| Guide { middle: self.middle(), angle, weight })
    }
}

/// A spot's curve along `angle`.
fn line(spot: &Spot, angle: f32, scale: (f32, f32)) -> Option<TextLine> {
    let short = spot.guide().is_none();
    let (sin, cos) = angle.sin_cos();
    let (mx, my) = spot.middle();
    let turned: Vec<(f32, f32)> = spot
        .pixels
        .iter()
        .map(|(x, y)| ((x - mx) * cos + (y - my) * sin, (y - my) * cos - (x - mx) * sin))
        .collect();
    let (from, to) = turned.iter().fold((f32::MAX, f32::MIN), |r, p| (r.0.min(p.0), r.1.max(p.0)));
    let profile = profile(&turned, from, to);
    let thick = median(profile.iter().map(|p| p.2))?;
    let (length, thick) = (to - from + 1.0, thick.max(1.0));
    let reach = REACH * length * thick / (2.0 * (length + thick));
    let degree = match length / thick {
        r if r < 5.0 => 1,
        r if r < 14.0 => 2,
        _ => 3,
    };
    let curve = Curve::fit(&profile, degree, short)?;
    let (start, end) = (from - 0.5 - reach, to + 0.5 + reach);
    let steps = ((end - start) / (2.0 * thick)).ceil().clamp(2.0, 64.0) as usize;
    let axis = (0..=steps).map(|i| {
        let u = start + (end - start) * i as f32 / steps as f32;
        // Beyond the spot the curve goes on straight.
        let v = curve.at(u, from, to);
        Point { x: (mx + u * cos - v * sin) * scale.0, y: (my + u * sin + v * cos) * scale.1 }
    });
    Some(TextLine {
        axis: axis.collect(),
        height: (thick + 2.0 * reach) * (scale.0 + scale.1) / 2.0,
    })
}

/// Middle and thickness of a spot at each step along it: place along, place across, thickness.
fn profile(turned: &[(f32, f32)], from: f32, to: f32) -> Vec<(f32, f32, f32)> {
    let bins = ((to - from) / 1.5).ceil().max(1.0) as usize;
    let mut edges = vec![(f32::MAX, f32::MIN); bins];
    for (u, v) in turned {
        let bin = (((u - from) / (to - from + 1e-3)) * bins as f32) as usize;
        if let Some(edge) = edges.get_mut(bin) {
            *edge = (edge.0.min(*v), edge.1.max(*v));
        }
    }
    let place = |i: usize| from + (i as f32 + 0.5) * (to - from) / bins as f32;
    let filled = edges.iter().enumerate().filter(|(_, e)| e.0 <= e.1);
    filled.map(|(i, e)| (place(i), (e.0 + e.1) / 2.0, e.1 - e.0 + 1.0)).collect()
}

/// A polynomial through the middles.
struct Curve {
    by: f32,
    terms: Vec<f32>,
}

impl Curve {
    /// Least squares, each place weighted by its thickness so that the thin ends bend nothing; `flat`: a mean alone.
    fn fit(profile: &[(f32, f32, f32)], degree: usize, flat: bool) -> Option<Curve> {
        let by = profile.iter().map(|p| p.0.abs()).fold(1.0, f32::max);
        let degree = if flat { 0 } else { degree.min(profile.len().saturating_sub(1)) };
        let rows = profile.len();
        let weight = |p: &(f32, f32, f32)| p.2.sqrt();
        let a = nalgebra::DMatrix::from_fn(rows, degree + 1, |i, k| {
            profile.get(i).map_or(0.0, |p| weight(p) * (p.0 / by).powi(k as i32))
        });
        let b = nalgebra::DVector::from_fn(rows, |i, _| {
            profile.get(i).map_or(0.0, |p| weight(p) * p.1)
        });
        let terms = a.svd(true, true).solve(&b, 1e-6).ok()?;
        Some(Curve { by, terms: terms.iter().copied().collect() })
    }

    fn value(&self, u: f32) -> f32 {
        self.terms.iter().rev().fold(0.0, |sum, t| sum * (u / self.by) + t)
    }

    fn at(&self, u: f32, from: f32, to: f32) -> f32 {
        let inside = u.clamp(from, to);
        let step = 0.05 * (to - from).max(1.0);
        let slope = (self.value((inside + step).min(to)) - self.value((inside - step).max(from)))
            / ((inside + step).min(to) - (inside - step).max(from)).max(1e-3);
        self.value(inside) + slope * (u - inside)
    }
}
