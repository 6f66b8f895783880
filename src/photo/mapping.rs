//! The way from a flattened page back to the photograph.

use crate::geom::{Point, Rect};

/// Where each point of a flattened page lies on the photograph: a grid of points, bilinear between.
#[derive(Debug, Clone)]
pub struct Mapping {
    /// Distance between grid points on the page, in pixels.
    pub step: u32,
    /// Grid points in a row, at least two.
    pub columns: u32,
    /// Points on the photograph, row by row, at least two rows.
    pub points: Vec<Point>,
}

impl Mapping {
    /// A grid over a page of `width` × `height` pixels from the point each page point comes from.
    pub fn new(step: u32, width: u32, height: u32, from: impl Fn(Point) -> Point) -> Mapping {
        let (columns, rows) = (width.div_ceil(step) + 1, height.div_ceil(step) + 1);
        let points = (0..rows)
            .flat_map(|row| (0..columns).map(move |column| (column, row)))
            .map(|(column, row)| from(Point { x: (column * step) as f32, y: (row * step) as f32 }))
            .collect();
        Mapping { step, columns, points }
    }

    /// Shifts by less than a pixel so that the first point falls on a pixel of the photograph.
    pub(super) fn snap(&mut self) {
        let Some(&first) = self.points.first() else { return };
        let (dx, dy) = (first.x.round() - first.x, first.y.round() - first.y);
        for p in &mut self.points {
            *p = Point { x: p.x + dx, y: p.y + dy };
        }
    }

    /// The point of the photograph under a point of the page; beyond the grid its edge cells go on.
    pub fn at(&self, x: f32, y: f32) -> Point {
        let columns = self.columns as usize;
        let rows = self.points.len() / columns.max(1);
        if columns < 2 || rows < 2 {
            return Point { x, y };
        }
        let (gx, gy) = (x / self.step as f32, y / self.step as f32);
        let column = (gx.max(0.0) as usize).min(columns - 2);
        let row = (gy.max(0.0) as usize).min(rows - 2);
        let (fx, fy) = (gx - column as f32, gy - row as f32);
        let upper = &self.points[row * columns + column..][..2];
        let lower = &self.points[(row + 1) * columns + column..][..2];
        between(between(upper[0], upper[1], fx), between(lower[0], lower[1], fx), fy)
    }

    /// The upright box on the photograph around a box of the page.
    pub fn area(&self, page: &Rect) -> Rect {
        // A curved sheet bulges between the corners, so points along the edges count too.
        const PARTS: i32 = 8;
        let along =
            |from: i32, to: i32, i: i32| from as f32 + (to - from) as f32 * i as f32 / PARTS as f32;
        let points = (0..=PARTS).flat_map(|i| {
            let (x, y) = (along(page.left, page.right, i), along(page.top, page.bottom, i));
            [
                self.at(x, page.top as f32),
                self.at(x, page.bottom as f32),
                self.at(page.left as f32, y),
                self.at(page.right as f32, y),
            ]
        });
        let [mut left, mut top] = [f32::INFINITY; 2];
        let [mut right, mut bottom] = [f32::NEG_INFINITY; 2];
        for p in points {
            (left, right) = (left.min(p.x), right.max(p.x));
            (top, bottom) = (top.min(p.y), bottom.max(p.y));
        }
        Rect {
            left: left as i32,
            top: top as i32,
            right: right.ceil() as i32,
            bottom: bottom.ceil() as i32,
        }
    }
}

fn between(a: Point, b: Point, t: f32) -> Point {
    Point { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_and_stretched_page_finds_its_way_back() {
        let to_photo = |p: Point| Point { x: 300.0 - 2.0 * p.y, y: 10.0 + 0.5 * p.x };
        let mapping = Mapping::new(16, 100, 60, to_photo);
        for (x, y) in [(0.0, 0.0), (99.0, 59.0), (37.5, 21.25)] {
            let (found, want) = (mapping.at(x, y), to_photo(Point { x, y }));
            assert!((found.x - want.x).abs() < 1e-3 && (found.y - want.y).abs() < 1e-3);
        }
        let area = mapping.area(&Rect { left: 10, top: 20, right: 30, bottom: 40 });
        assert_eq!(area, Rect { left: 220, top: 15, right: 260, bottom: 25 });
    }
}
