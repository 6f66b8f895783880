//! A white sheet with print in a known place, drawn flat and sharp.

use ab_glyph::{Font, FontRef, Glyph, point};
use image::imageops::crop_imm;
use image::{DynamicImage, GrayImage, Luma, RgbImage};

/// Height of the type's em, in pixels.
pub const SIZE: f32 = 44.0;
/// From a baseline to the next.
pub const PITCH: f32 = 52.0;
const WIDTH: f32 = 1400.0;

/// The sheet and the baseline of the next line.
pub struct Sheet {
    font: FontRef<'static>,
    grey: GrayImage,
    /// In pixels from the top.
    pub y: f32,
}

impl Sheet {
    pub fn new() -> Sheet {
        let bytes = include_bytes!("../src/data/fonts/ebgaramond-medium.ttf");
        let font = FontRef::try_from_slice(bytes).unwrap();
        Sheet { font, grey: GrayImage::from_pixel(WIDTH as u32, 2000, Luma([250])), y: 120.0 }
    }

    fn step(&self, c: char) -> f32 {
        let units = self.font.units_per_em().unwrap();
        self.font.h_advance_unscaled(self.font.glyph_id(c)) / units * SIZE
    }

    pub fn width(&self, text: &str) -> f32 {
        text.chars().map(|c| self.step(c)).sum()
    }

    /// Prints at `x` on the present line and gives the right end.
    pub fn put(&mut self, mut x: f32, text: &str) -> f32 {
        for c in text.chars() {
            let scale = SIZE * self.font.height_unscaled() / self.font.units_per_em().unwrap();
            let glyph = Glyph {
                id: self.font.glyph_id(c),
                scale: scale.into(),
                position: point(x, self.y),
            };
            if let Some(outline) = self.font.outline_glyph(glyph) {
                let area = outline.px_bounds();
                outline.draw(|gx, gy, cover| {
                    let (px, py) = (gx + area.min.x as u32, gy + area.min.y as u32);
                    if px < self.grey.width() && py < self.grey.height() {
                        let old = f32::from(self.grey.get_pixel(px, py).0[0]);
                        self.grey.put_pixel(px, py, Luma([(old * (1.0 - cover * 0.9)) as u8]));
                    }
                });
            }
            x += self.step(c);
        }
        x
    }

    pub fn down(&mut self) {
        self.y += PITCH;
    }

    /// Title at `left`, dots, number ending at `right`.
    pub fn dotted(&mut self, left: f32, title: &str, right: f32, page: &str) {
        let end = self.put(left, title);
        let start = right - self.width(page);
        let mut x = (end / 22.0).ceil() * 22.0 + 11.0;
        while x + 22.0 < start {
            self.put(x, ".");
            x += 22.0;
        }
        self.put(start, page);
        self.down();
    }

    pub fn right(&mut self, left: f32, title: &str, right: f32, page: &str) {
        self.put(left, title);
        let start = right - self.width(page);
        self.put(start, page);
        self.down();
    }

    /// The sheet as a picture, its lower margin as wide as the others.
    pub fn picture(&self) -> RgbImage {
        let height = (self.y + PITCH) as u32;
        let page = crop_imm(&self.grey, 0, 0, WIDTH as u32, height).to_image();
        DynamicImage::from(page).to_rgb8()
    }
}
