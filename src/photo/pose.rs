//! The sketch turned so that lines of print run level, and the way back.

use crate::geom::Point;
use image::GrayImage;
use rayon::prelude::*;

/// An affine way from a picture to the picture it was made from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pose {
    /// x' = m₀x + m₁y + m₂, y' = m₃x + m₄y + m₅.
    m: [f32; 6],
}

impl Pose {
    /// The same picture at `factor` times the size.
    pub(super) fn enlarged(factor: f32) -> Pose {
        // Pixel centres: the middle of a reduced pixel is the middle of its square.
        let shift = (factor - 1.0) / 2.0;
        Pose { m: [factor, 0.0, shift, 0.0, factor, shift] }
    }

    /// First `self`, then `next`.
    pub(super) fn then(&self, next: &Pose) -> Pose {
        let ([a, b, c, d, e, f], n) = (self.m, next.m);
        let x = |p: f32, q: f32| n[0] * p + n[1] * q;
        let y = |p: f32, q: f32| n[3] * p + n[4] * q;
        Pose { m: [x(a, d), x(b, e), x(c, f) + n[2], y(a, d), y(b, e), y(c, f) + n[5]] }
    }

    /// The point of the original picture under a point.
    pub(super) fn at(&self, p: Point) -> Point {
        let m = self.m;
        Point { x: m[0] * p.x + m[1] * p.y + m[2], y: m[3] * p.x + m[4] * p.y + m[5] }
    }
}

/// Turns a picture so that lines at `angle` degrees (downwards to the right positive) run level.
///
/// The picture grows as needed; new corners are white. The pose leads from the turned picture back.
pub(super) fn level(image: &GrayImage, angle: f32) -> (GrayImage, Pose) {
    let (sin, cos) = exact(angle.to_radians().sin(), angle.to_radians().cos());
    let (w, h) = (image.width() as f32, image.height() as f32);
    let (width, height) =
        ((w * cos.abs() + h * sin.abs()).round(), (w * sin.abs() + h * cos.abs()).round());
    // Middles of pixels, so that quarter and half turns hit pixels exactly.
    let (mx, my) = ((width - 1.0) / 2.0, (height - 1.0) / 2.0);
    let pose = Pose {
        m: [
            cos,
            -sin,
            (w - 1.0) / 2.0 - cos * mx + sin * my,
            sin,
            cos,
            (h - 1.0) / 2.0 - sin * mx - cos * my,
        ],
    };
    let mut out = GrayImage::new(width as u32, height as u32);
    out.par_chunks_exact_mut(width as usize).enumerate().for_each(|(y, row)| {
        for (x, to) in row.iter_mut().enumerate() {
            *to = bilinear(image, pose.at(Point { x: x as f32, y: y as f32 }));
        }
    });
    (out, pose)
}

/// Sines and cosines of quarter turns without rounding.
fn exact(sin: f32, cos: f32) -> (f32, f32) {
    let snap = |v: f32| if (v - v.round()).abs() < 1e-5 { v.round() } else { v };
    (snap(sin), snap(cos))
}

fn bilinear(image: &GrayImage, p: Point) -> u8 {
    let (left, top) = (p.x.floor(), p.y.floor());
    let (fx, fy) = (p.x - left, p.y - top);
    let (width, height) = (image.width() as i32, image.height() as i32);
    let pixels = image.as_raw();
    let pixel = |dx: i32, dy: i32| {
        let (x, y) = (left as i32 + dx, top as i32 + dy);
        let inside = x >= 0 && y >= 0 && x < width && y < height;
        if inside { f32::from(pixels[(y * width + x) as usize]) } else { 255.0 }
    };
    if fx == 0.0 && fy == 0.0 {
        return pixel(0, 0) as u8;
    }
    let upper = pixel(0, 0) * (1.0 - fx) + pixel(1, 0) * fx;
    let lower = pixel(0, 1) * (1.0 - fx) + pixel(1, 1) * fx;
    (upper * (1.0 - fy) + lower * fy).round() as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Luma;

    #[test]
    fn quarter_turns_lose_nothing_and_lead_back() {
        let picture = GrayImage::from_fn(7, 4, |x, y| Luma([(10 * x + 60 * y) as u8]));
        for (angle, size) in [(90.0, (4, 7)), (-90.0, (4, 7)), (180.0, (7, 4)), (0.0, (7, 4))] {
            let (turned, pose) = level(&picture, angle);
            assert_eq!(turned.dimensions(), size, "{angle}");
            for (x, y, v) in turned.enumerate_pixels() {
                let from = pose.at(Point { x: x as f32, y: y as f32 });
                assert_eq!(
                    v,
                    picture.get_pixel(from.x.round() as u32, from.y.round() as u32),
                    "{angle}"
                );
            }
        }
    }

    #[test]
    fn lines_running_down_to_the_right_become_level() {
        let (_, pose) = level(&GrayImage::new(100, 100), 10.0);
        let (a, b) = (pose.at(Point { x: 0.0, y: 50.0 }), pose.at(Point { x: 80.0, y: 50.0 }));
        assert!(((b.y - a.y).atan2(b.x - a.x).to_degrees() - 10.0).abs() < 0.01);
    }

    #[test]
    fn poses_follow_each_other() {
        let (_, turn) = level(&GrayImage::new(30, 20), 37.0);
        let both = turn.then(&Pose::enlarged(4.0));
        let p = Point { x: 5.0, y: 9.0 };
        let (want, found) = (Pose::enlarged(4.0).at(turn.at(p)), both.at(p));
        assert!((want.x - found.x).abs() < 1e-3 && (want.y - found.y).abs() < 1e-3);
    }
}
