//! The way from a flattened page back to the photograph.

use super::Strip;
use crate::geom::{Point, Rect};
use crate::photo::{Mapping, Page};

/// The smallest box on the photograph around a box of the flattened page.
pub fn strip(page: &Page, area: Rect) -> Strip {
    let corners = [
        (area.left, area.top),
        (area.right, area.top),
        (area.left, area.bottom),
        (area.right, area.bottom),
    ];
    let middle = (area.left + area.right) / 2;
    // On a curled page the middle of a line lies higher or lower than its ends.
    let points = corners.into_iter().chain([(middle, area.top), (middle, area.bottom)]);
    let points = points.map(|(x, y)| on_photo(&page.mapping, x as f32, y as f32));
    let boxes = points.map(|p| {
        let (x, y) = (p.x.round() as i32, p.y.round() as i32);
        Rect { left: x, top: y, right: x + 1, bottom: y + 1 }
    });
    let area = boxes.reduce(|a, b| a.union(&b)).unwrap_or(area);
    Strip { photo: page.photo.clone(), area }
}

/// Bilinear between the four grid points around; without a grid the page is the photograph.
fn on_photo(mapping: &Mapping, x: f32, y: f32) -> Point {
    let (step, columns) = (mapping.step.max(1) as f32, mapping.columns as usize);
    let rows = mapping.points.len() / columns.max(1);
    if columns < 2 || rows < 2 {
        return Point { x, y };
    }
    let cell = |v: f32, count: usize| (v / step).clamp(0.0, (count - 1) as f32 - 1e-3);
    let (gx, gy) = (cell(x, columns), cell(y, rows));
    let (i, j) = (gx as usize, gy as usize);
    let (fx, fy) = (gx - i as f32, gy - j as f32);
    let at =
        |i: usize, j: usize| mapping.points.get(j * columns + i).copied().unwrap_or(Point { x, y });
    let mix = |a: f32, b: f32, f: f32| a + (b - a) * f;
    let (a, b, c, d) = (at(i, j), at(i + 1, j), at(i, j + 1), at(i + 1, j + 1));
    Point {
        x: mix(mix(a.x, b.x, fx), mix(c.x, d.x, fx), fy),
        y: mix(mix(a.y, b.y, fx), mix(c.y, d.y, fx), fy),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::GrayImage;

    #[test]
    fn a_page_at_half_size_leads_back_to_the_photograph() {
        let points = (0..5).flat_map(|j| {
            (0..5).map(move |i| Point { x: 100.0 + 40.0 * i as f32, y: 40.0 * j as f32 })
        });
        let mapping = Mapping { step: 20, columns: 5, points: points.collect() };
        let page = Page {
            photo: "a.jpg".into(),
            grey: GrayImage::new(81, 81),
            x_height: 10.0,
            mapping,
            notices: Vec::new(),
        };
        let found = strip(&page, Rect { left: 10, top: 20, right: 30, bottom: 25 });
        assert_eq!(found.area, Rect { left: 120, top: 40, right: 161, bottom: 51 });
    }
}
