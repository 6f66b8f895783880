//! The way from the printed page to the photograph: where a piece of print comes to lie on the stored
//! picture, and how much of it can be seen there.

use crate::camera::Camera;
use crate::scene::Scene;
use serde::Serialize;

/// Corners of a piece of print on the photograph as a viewer shows it (EXIF orientation applied), in pixels:
/// upper left, upper right, lower right, lower left of the print.
pub type Quad = [(f32, f32); 4];

/// Printed lines of a row on the photograph.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Boxes {
    /// One for each printed line of the title.
    pub title: Vec<Quad>,
    /// One for each page label.
    pub label: Vec<Quad>,
}

/// A photograph's geometry.
#[derive(Debug)]
pub struct Sight {
    /// What was photographed.
    pub scene: Scene,
    /// From where.
    pub camera: Camera,
    /// Size of the upright picture.
    pub size: (u32, u32),
    /// Quarter turns that a viewer does not undo, because EXIF keeps silent about them.
    pub turns: u32,
}

impl Sight {
    fn turned(&self, (x, y): (f32, f32)) -> (f32, f32) {
        let (w, h) = (self.size.0 as f32, self.size.1 as f32);
        let (x, y) = match self.turns % 4 {
            1 => (y, w - x),
            2 => (w - x, h - y),
            3 => (h - y, x),
            _ => (x, y),
        };
        ((x * 10.0).round() / 10.0, (y * 10.0).round() / 10.0)
    }

    /// Where the point x, y mm of a page's print lies, and whether it is seen.
    fn point(&self, right: bool, x: f32, y: f32) -> ((f32, f32), bool) {
        let land = &self.scene.land;
        let u = if right { x } else { land.width - x };
        let paper = land.paper(right, u, y);
        let (px, py) = self.camera.project(paper, self.size);
        let inside = px >= 0.0 && py >= 0.0 && px <= self.size.0 as f32 && py <= self.size.1 as f32;
        ((px, py), inside && self.scene.sees(self.camera.eye, paper))
    }

    /// The quadrilateral of a rectangle of print (left, top, right, bottom in mm), and the share of it that is seen.
    pub fn quad(&self, right: bool, [x0, y0, x1, y1]: [f32; 4]) -> (Quad, f32) {
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
        let quad = corners.map(|(x, y)| self.turned(self.point(right, x, y).0));
        let steps = (((x1 - x0) / 1.5).ceil() as usize).max(2);
        let at = |i: usize| x0 + (x1 - x0) * (i as f32 + 0.5) / steps as f32;
        let seen = |(i, k): (usize, f32)| self.point(right, at(i), y0 + (y1 - y0) * k).1;
        let samples = (0..steps).flat_map(|i| [(i, 0.2), (i, 0.8)]);
        let count = samples.filter(|s| seen(*s)).count();
        (quad, count as f32 / (2 * steps) as f32)
    }
}
