//! Printed pages as the paper carries them: typeset pictures with a scale, sampled in millimetres.

use image::RgbImage;

/// A typeset page.
#[derive(Debug, Clone)]
pub struct Print {
    /// Ink picture: white paper, black or red ink.
    pub picture: RgbImage,
    /// Pixels of the picture in a millimetre of the page.
    pub scale: f32,
}

impl Print {
    /// A page without print.
    pub fn blank() -> Print {
        Print { picture: RgbImage::from_pixel(2, 2, image::Rgb([255; 3])), scale: 1e-6 }
    }

    /// How much light the print lets through at u, v mm: 1 on bare paper, by colour, linear.
    pub fn at(&self, u: f32, v: f32) -> [f32; 3] {
        let (x, y) = (u * self.scale - 0.5, v * self.scale - 0.5);
        let (w, h) = self.picture.dimensions();
        if x < 0.0 || y < 0.0 || x + 2.0 > w as f32 || y + 2.0 > h as f32 {
            return [1.0; 3];
        }
        let (fx, fy) = (x.fract(), y.fract());
        let (x, y) = (x as u32, y as u32);
        let mut out = [0.0; 3];
        for (dx, dy, k) in [
            (0, 0, (1.0 - fx) * (1.0 - fy)),
            (1, 0, fx * (1.0 - fy)),
            (0, 1, (1.0 - fx) * fy),
            (1, 1, fx * fy),
        ] {
            let pixel = self.picture.get_pixel(x + dx, y + dy);
            for (o, c) in out.iter_mut().zip(pixel.0) {
                *o += k * f32::from(c) / 255.0;
            }
        }
        out
    }
}
