//! Points and boxes in pixels; zero is the top left corner, x to the right, y down.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A point on a picture, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f32,
    /// Down.
    pub y: f32,
}

impl Point {
    /// Distance to another, in pixels.
    pub fn to(self, other: Point) -> f32 {
        (other.x - self.x).hypot(other.y - self.y)
    }

    /// Distance to the nearest point of a piece of a line, in pixels.
    pub fn to_piece(self, from: Point, to: Point) -> f32 {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let t = ((self.x - from.x) * x + (self.y - from.y) * y) / (x * x + y * y).max(1e-6);
        let t = t.clamp(0.0, 1.0);
        self.to(Point { x: from.x + t * x, y: from.y + t * y })
    }
}

/// The middle one of some lengths, the upper of two; none of none.
pub fn median(lengths: impl Iterator<Item = f32>) -> Option<f32> {
    let mut sorted: Vec<f32> = lengths.collect();
    sorted.sort_by(f32::total_cmp);
    sorted.get(sorted.len() / 2).copied()
}

/// A box on a picture, in pixels; `right` and `bottom` are just outside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rect {
    /// Leftmost column.
    pub left: i32,
    /// Topmost line.
    pub top: i32,
    /// One past the rightmost column.
    pub right: i32,
    /// One past the lowest line.
    pub bottom: i32,
}

impl Rect {
    /// Width in pixels, never negative.
    pub fn width(&self) -> i32 {
        (self.right - self.left).max(0)
    }

    /// Height in pixels, never negative.
    pub fn height(&self) -> i32 {
        (self.bottom - self.top).max(0)
    }

    /// The smallest box around both.
    pub fn union(&self, other: &Rect) -> Rect {
        Rect {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }
}
