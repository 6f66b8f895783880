//! Draws the flattened page: each of its pixels is fetched from the photograph through the mapping,
//! with the light divided out.

use super::Mapping;
use super::light::Light;
use crate::geom::Point;
use image::GrayImage;
use rayon::prelude::*;

/// What the page is drawn from. All coordinates are pixels of the grey photograph at full size.
pub(super) struct Source<'a> {
    /// The grey photograph, reduced by `factor`.
    pub grey: &'a GrayImage,
    /// Reduction of `grey`.
    pub factor: f32,
    /// The light, measured on a picture reduced by `light_factor`.
    pub light: &'a Light,
    /// Reduction of the picture the light was measured on.
    pub light_factor: f32,
    /// Brightness that becomes 0 and brightness that becomes 255, as shares of bare paper.
    pub tone: [f32; 2],
}

impl Source<'_> {
    /// Draws a page of the given size.
    pub(super) fn draw(&self, mapping: &Mapping, width: u32, height: u32) -> GrayImage {
        let mut out = GrayImage::new(width, height);
        out.par_chunks_exact_mut(width.max(1) as usize).enumerate().for_each(|(y, row)| {
            for (x, to) in row.iter_mut().enumerate() {
                *to = self.value(mapping.at(x as f32, y as f32));
            }
        });
        out
    }

    fn value(&self, at: Point) -> u8 {
        let (x, y) = (at.x / self.factor, at.y / self.factor);
        let beyond =
            x < -1.0 || y < -1.0 || x > self.grey.width() as f32 || y > self.grey.height() as f32;
        if beyond {
            return 255;
        }
        let paper = self.light.at(at.x / self.light_factor, at.y / self.light_factor);
        let [black, white] = self.tone;
        let share = cubic(self.grey, x, y) / paper;
        ((share - black) / (white - black) * 255.0).clamp(0.0, 255.0).round() as u8
    }
}

/// Catmull–Rom interpolation (E. Catmull and R. Rom, 1974) over 4 × 4 pixels; edges are continued.
fn cubic(image: &GrayImage, x: f32, y: f32) -> f32 {
    let (left, top) = (x.floor(), y.floor());
    let (wx, wy) = (weights(x - left), weights(y - top));
    let (width, height) = (image.width() as i32, image.height() as i32);
    let pixels = image.as_raw();
    let mut sum = 0.0;
    for (j, wy) in wy.iter().enumerate() {
        let row = (top as i32 + j as i32 - 1).clamp(0, height - 1) * width;
        for (i, wx) in wx.iter().enumerate() {
            let column = (left as i32 + i as i32 - 1).clamp(0, width - 1);
            sum += wx * wy * f32::from(pixels[(row + column) as usize]);
        }
    }
    sum
}

fn weights(t: f32) -> [f32; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [
        0.5 * (-t3 + 2.0 * t2 - t),
        0.5 * (3.0 * t3 - 5.0 * t2 + 2.0),
        0.5 * (-3.0 * t3 + 4.0 * t2 + t),
        0.5 * (t3 - t2),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Luma;

    #[test]
    fn a_slope_of_grey_is_interpolated_exactly() {
        let slope = GrayImage::from_fn(20, 20, |x, y| Luma([(3 * x + 5 * y + 20) as u8]));
        for (x, y) in [(5.0, 5.0), (7.25, 9.5), (12.9, 3.1)] {
            assert!((cubic(&slope, x, y) - (3.0 * x + 5.0 * y + 20.0)).abs() < 0.01);
        }
    }
}
