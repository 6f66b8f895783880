//! Ink of one glyph, brought to the size the network looks at.

use image::GrayImage;
use image::imageops::{FilterType, resize};

/// Width and height of a glyph as the network sees it, in pixels.
pub const SIDE: usize = 20;

/// A glyph: `SIDE` rows of `SIDE` values, 0 paper to 1 full ink.
pub type Glyph = [f32; SIDE * SIDE];

/// Scales the picture of one glyph, dark on white and cut close to its ink, to fill the square without changing
/// its shape, and stretches its darkness to 0–1.
pub fn normalise(picture: &GrayImage) -> Glyph {
    let mut glyph = [0.0; SIDE * SIDE];
    let longest = picture.width().max(picture.height()).max(1) as f32;
    let scale = SIDE as f32 / longest;
    let size = |v: u32| ((v as f32 * scale).round() as u32).clamp(1, SIDE as u32);
    let (width, height) = (size(picture.width()), size(picture.height()));
    let small = resize(picture, width, height, FilterType::Triangle);
    let darkest = small.pixels().map(|p| p.0[0]).min().unwrap_or(0);
    let range = f32::from(255 - darkest).max(1.0);
    let (left, top) = ((SIDE as u32 - width) / 2, (SIDE as u32 - height) / 2);
    for (x, y, pixel) in small.enumerate_pixels() {
        let place = (y + top) as usize * SIDE + (x + left) as usize;
        if let Some(value) = glyph.get_mut(place) {
            *value = f32::from(255 - pixel.0[0]) / range;
        }
    }
    glyph
}
