//! A line of print cut from the picture along its own curve: level, of a fixed height, resampled once.

use super::trace::TextLine;
use crate::geom::Point;
use image::{Rgb, RgbImage};

/// Height of a crop, in pixels: what the recogniser takes.
pub const CROP_HEIGHT: u32 = 48;
/// Longest crop, in pixels; longer lines are squeezed.
const LONGEST: f32 = 3200.0;

/// A crop, and how it lies on its line.
#[derive(Debug, Clone)]
pub struct Crop {
    /// The print, [`CROP_HEIGHT`] pixels high.
    pub picture: RgbImage,
    /// Pixels of the upright picture along the axis for one of the crop.
    pub step: f32,
    /// Where the crop begins, in pixels along the axis.
    pub from: f32,
}

/// Points along an axis by their distance from its start.
pub struct Along {
    points: Vec<Point>,
    reached: Vec<f32>,
}

impl Along {
    /// Measures an axis of at least two points.
    pub fn of(axis: &[Point]) -> Along {
        let mut reached = vec![0.0];
        for pair in axis.windows(2) {
            let last = reached.last().copied().unwrap_or(0.0);
            reached.push(last + pair[0].to(pair[1]));
        }
        Along { points: axis.to_vec(), reached }
    }

    /// The point at a distance, and the direction there as a unit vector; beyond the ends it goes on straight.
    pub fn at(&self, distance: f32) -> (Point, Point) {
        let after = self.reached.partition_point(|r| *r <= distance);
        let i = after.clamp(1, self.points.len().saturating_sub(1).max(1));
        let (Some(a), Some(b)) = (self.points.get(i - 1), self.points.get(i)) else {
            return (Point { x: 0.0, y: 0.0 }, Point { x: 1.0, y: 0.0 });
        };
        let length = a.to(*b).max(1e-3);
        let way = Point { x: (b.x - a.x) / length, y: (b.y - a.y) / length };
        let rest = distance - self.reached.get(i - 1).copied().unwrap_or(0.0);
        (Point { x: a.x + way.x * rest, y: a.y + way.y * rest }, way)
    }
}

/// How to cut: `stretch` widens the print, `room` is the band's height for the line's own height, 1 as it is,
/// `from` and `to` are distances along the axis.
#[derive(Debug, Clone, Copy)]
pub struct Cut {
    /// Widening, 1 for none.
    pub stretch: f32,
    /// Height of the band, in heights of the line.
    pub room: f32,
    /// First pixel along the axis.
    pub from: f32,
    /// Last pixel along the axis.
    pub to: f32,
}

impl Cut {
    /// The whole line as it is.
    pub fn whole(line: &TextLine) -> Cut {
        Cut { stretch: 1.0, room: 1.0, from: 0.0, to: line.length() }
    }
}

/// Cuts a crop. What lies beyond the picture is white.
pub fn cut(picture: &RgbImage, line: &TextLine, cut: Cut) -> Crop {
    let along = Along::of(&line.axis);
    let height = (line.height * cut.room).max(4.0);
    let down = height / CROP_HEIGHT as f32;
    let length = (cut.to - cut.from).max(1.0);
    let width = (length / down * cut.stretch).clamp(8.0, LONGEST).round();
    let step = length / width;
    let columns: Vec<(Point, Point)> =
        (0..width as u32).map(|u| along.at(cut.from + (u as f32 + 0.5) * step)).collect();
    // A coarse crop takes the mean of several pixels for each of its own.
    let samples = down.max(step).ceil().clamp(1.0, 4.0) as u32;
    let mut out = RgbImage::new(width as u32, CROP_HEIGHT);
    for (u, v, pixel) in out.enumerate_pixels_mut() {
        let Some((point, way)) = columns.get(u as usize) else { continue };
        let mut sum = [0.0f32; 3];
        for j in 0..samples * samples {
            let inner = |i: u32| (i as f32 + 0.5) / samples as f32 - 0.5;
            let across = (v as f32 + 0.5 + inner(j / samples)) * down - height / 2.0;
            let on = inner(j % samples) * step;
            let (x, y) =
                (point.x + way.x * on - way.y * across, point.y + way.y * on + way.x * across);
            let seen = bilinear(picture, x, y);
            (0..3).for_each(|c| sum[c] += seen[c]);
        }
        *pixel = Rgb(sum.map(|s| (s / (samples * samples) as f32).round() as u8));
    }
    Crop { picture: out, step, from: cut.from }
}

/// Red, green and blue at a place between pixels, 0–255; white beyond the picture.
#[inline]
pub(super) fn bilinear(picture: &RgbImage, x: f32, y: f32) -> [f32; 3] {
    let (x, y) = (x - 0.5, y - 0.5);
    let (left, top) = (x.floor(), y.floor());
    let (fx, fy) = (x - left, y - top);
    let at = |dx: f32, dy: f32| {
        let (x, y) = (left + dx, top + dy);
        let inside =
            x >= 0.0 && y >= 0.0 && x < picture.width() as f32 && y < picture.height() as f32;
        if inside { picture.get_pixel(x as u32, y as u32).0.map(f32::from) } else { [255.0; 3] }
    };
    let (a, b, c, d) = (at(0.0, 0.0), at(1.0, 0.0), at(0.0, 1.0), at(1.0, 1.0));
    std::array::from_fn(|i| {
        (a[i] * (1.0 - fx) + b[i] * fx) * (1.0 - fy) + (c[i] * (1.0 - fx) + d[i] * fx) * fy
    })
}
