//! A photograph becomes pages: upright, flat in shape and light, in grey.
//!
//! The structure is looked for on a reduced copy of a few megapixels; only the last step, drawing
//! the page, touches the photograph at full size.

mod grey;
mod ink;
mod light;
mod load;
mod mapping;
mod remap;

pub use load::load;
pub use mapping::Mapping;

use crate::Result;
use crate::error::{Error, FileFault, PhotoFault};
use crate::geom::Point;
use image::{GrayImage, RgbImage};
use std::path::Path;

/// A photograph as the eye sees it: EXIF orientation applied, three channels of 0–255.
#[derive(Debug, Clone)]
pub struct Photo {
    /// The file's base name.
    pub name: String,
    /// The picture.
    pub image: RgbImage,
}

/// One page of a book, flattened: text lines level and straight, paper near 255, ink dark.
#[derive(Debug, Clone)]
pub struct Page {
    /// Base name of the photograph it comes from.
    pub photo: String,
    /// The flattened picture, 0 black to 255 white.
    pub grey: GrayImage,
    /// Typical height of a lower-case letter in `grey`, in pixels.
    pub x_height: f32,
    /// Way back to the photograph.
    pub mapping: Mapping,
    /// What a person should know: "a thumb covers the lower left".
    pub notices: Vec<String>,
}

impl Page {
    /// Writes the flattened picture, so that a bad row can be traced to its step.
    pub fn save_png(&self, path: &Path) -> Result<()> {
        self.grey
            .save_with_format(path, image::ImageFormat::Png)
            .map_err(|e| Error::from(FileFault::Unwritable(path.into())).because(e))
    }
}

/// Structure is looked for on at most about so many pixels.
const SKETCH_PIXELS: f32 = 3.2e6;
/// Lower-case letters this high are read best and leave room for thin strokes.
const WANTED_X_HEIGHT: f32 = 24.0;
/// Within these heights a page is not scaled, because every scaling costs sharpness.
const GOOD_X_HEIGHTS: std::ops::Range<f32> = 18.0..36.0;
/// Below this height lower-case letters run together.
const LEAST_X_HEIGHT: f32 = 9.0;
/// Distance of the mapping's grid points, in pixels of the page.
const GRID_STEP: u32 = 16;

/// Finds the page or the two facing pages (left first) and flattens them.
pub fn flatten(photo: &Photo) -> Result<Vec<Page>> {
    let full = grey::grey(&photo.image);
    let pixels = full.width() as f32 * full.height() as f32;
    let factor = (pixels / SKETCH_PIXELS).sqrt().ceil().max(1.0);
    let sketch = grey::reduce(&full, factor as u32);
    let light = light::Light::measure(&sketch);
    let letters: Vec<_> = ink::blobs(&ink::binarise(&light.even(&sketch)))
        .into_iter()
        .filter(ink::like_a_letter)
        .collect();
    let found =
        ink::x_height(&letters).ok_or_else(|| PhotoFault::NoText { photo: photo.name.clone() })?;
    let found_px = found * factor;
    if found_px < LEAST_X_HEIGHT {
        let photo = photo.name.clone();
        return Err(
            PhotoFault::LettersTooSmall { photo, found_px, needed_px: LEAST_X_HEIGHT }.into()
        );
    }
    let scale = if GOOD_X_HEIGHTS.contains(&found_px) { 1.0 } else { WANTED_X_HEIGHT / found_px };
    let (width, height) =
        ((full.width() as f32 * scale) as u32, (full.height() as f32 * scale) as u32);
    let mapping =
        Mapping::new(GRID_STEP, width, height, |p| Point { x: p.x / scale, y: p.y / scale });
    let reduction = (1.0 / scale).floor().max(1.0);
    let source = remap::Source {
        grey: &grey::reduce(&full, reduction as u32),
        factor: reduction,
        light: &light,
        light_factor: factor,
        tone: [0.1, 0.94],
    };
    let grey = source.draw(&mapping, width, height);
    Ok(vec![Page {
        photo: photo.name.clone(),
        grey,
        x_height: found_px * scale,
        mapping,
        notices: Vec::new(),
    }])
}
