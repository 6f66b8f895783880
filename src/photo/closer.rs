//! A closer look at a photograph: print so small, faint or squeezed that the first look missed it.

use super::crop::Along;
use super::find::seen;
use super::trace::TextLine;
use crate::Result;
use crate::geom::Point;
use image::{RgbImage, imageops};

/// The picture is looked at in so many parts across and down, each as large as the whole was at first.
const PARTS: u32 = 2;
/// Parts overlap by this share of the picture's sides: the widest label and the closest gap beside it.
const OVERLAP: f32 = 0.04;
/// A line is known where so much of its length lies on lines found before.
const KNOWN: f32 = 0.3;

/// Lines that are not among the `known`, at the angle `usual` in radians.
pub fn closer(picture: &RgbImage, known: &[TextLine], usual: f32) -> Result<Vec<TextLine>> {
    let mut found: Vec<TextLine> = Vec::new();
    for part in parts(picture) {
        let view = imageops::crop_imm(picture, part.left, part.top, part.width, part.height);
        let (lines, _) = seen(&view.to_image(), usual)?;
        for line in lines.into_iter().map(|l| part.placed(l, usual)) {
            if part.holds(&line, picture) && !is_known(&line, known) && !is_known(&line, &found) {
                found.push(line);
            }
        }
    }
    Ok(found)
}

/// A rectangle of the picture, in its pixels.
struct Part {
    left: u32,
    top: u32,
    width: u32,
    height: u32,
}

fn parts(picture: &RgbImage) -> Vec<Part> {
    let side = |length: u32, n: u32| {
        let room = (length as f32 * OVERLAP) as u32;
        let from = (length * n / PARTS).saturating_sub(room / 2);
        let to = (length * (n + 1) / PARTS + room / 2).min(length);
        (from, to - from)
    };
    let mut all = Vec::new();
    for (row, column) in (0..PARTS).flat_map(|r| (0..PARTS).map(move |c| (r, c))) {
        let ((left, width), (top, height)) =
            (side(picture.width(), column), side(picture.height(), row));
        all.push(Part { left, top, width, height });
    }
    all
}

impl Part {
    /// A line of the part in pixels of the picture, running to the usual side.
    fn placed(&self, line: TextLine, usual: f32) -> TextLine {
        let place = |p: &Point| Point { x: p.x + self.left as f32, y: p.y + self.top as f32 };
        let mut axis: Vec<Point> = line.axis.iter().map(place).collect();
        if (line.angle() - usual).cos() < 0.0 {
            axis.reverse();
        }
        TextLine { axis, ..line }
    }

    /// Whether a line is whole in the part: none of it nearer to an edge that cuts the picture than its height.
    fn holds(&self, line: &TextLine, picture: &RgbImage) -> bool {
        let room = 0.5 * line.height;
        let (left, top) = (self.left as f32, self.top as f32);
        let (right, bottom) = (left + self.width as f32, top + self.height as f32);
        let inside = |p: &Point| {
            (self.left == 0 || p.x > left + room)
                && (self.top == 0 || p.y > top + room)
                && (self.left + self.width == picture.width() || p.x < right - room)
                && (self.top + self.height == picture.height() || p.y < bottom - room)
        };
        line.axis.iter().all(inside)
    }
}

fn is_known(line: &TextLine, known: &[TextLine]) -> bool {
    let along = Along::of(&line.axis);
    let (steps, length) = (12, line.length());
    let on = |i: &i32| {
        let point = along.at(length * *i as f32 / steps as f32).0;
        known.iter().any(|k| k.is_near(point, 0.5))
    };
    (0..=steps).filter(on).count() as f32 > KNOWN * (steps + 1) as f32
}
