//! A photograph becomes pages: upright, flat in shape and light, in grey.
//!
//! The structure is looked for on a reduced copy of a few megapixels; only the last step, drawing
//! the page, touches the photograph at full size.

mod direction;
mod dots;
mod draw;
mod grey;
mod heic;
mod ink;
mod light;
mod lines;
mod load;
mod mapping;
mod margins;
mod paper;
mod pdf;
mod pose;
mod remap;
mod sharp;
mod sheet;
mod sketch;
mod spread;
mod squares;
mod strokes;
mod surface;
mod upright;

pub use load::{check, content, count, load, load_page, pixels};
pub use mapping::Mapping;
pub use paper::Paper;
pub use squares::Squares;

/// Name of the threads whose panics are a damaged file's and are told as an error; a program's panic hook leaves
/// them alone.
pub const UNHEARD: &str = "damaged file";

use crate::Result;
use crate::error::{Error, FileFault, PhotoFault};
use image::{GrayImage, RgbImage};
use sketch::{LeafSheet, Level, Sketch};
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
/// Below this height lower-case letters run together.
const LEAST_X_HEIGHT: f32 = 7.5;

/// Widest edge of letters that can be read, in x-heights. By trial: at 0.2 most of a page is read, at 0.3 hardly
/// anything.
const WIDEST_EDGE: f32 = 0.28;

/// Finds the page or the two facing pages (left first) and flattens them.
pub fn flatten(photo: &Photo) -> Result<Vec<Page>> {
    let full = grey::grey(&photo.image);
    let sketch = Sketch::of(&full);
    let draw = |level: &Level, sheets: Vec<LeafSheet>| -> Vec<Page> {
        sheets.into_iter().map(|sheet| draw::page(photo, &full, &sketch, level, sheet)).collect()
    };
    let mut level = sketch.level(&photo.name, None)?;
    let sheets = level.sheets(&sketch);
    let clear = sheets.iter().find_map(|s| s.outline.upside_down());
    let mut pages = if clear == Some(true) { Vec::new() } else { draw(&level, sheets) };
    let read = |page: &Page| upright::reads_upside_down(&page.grey, page.x_height);
    if clear.or_else(|| pages.iter().find_map(read)).unwrap_or(false) {
        level = sketch.level(&photo.name, Some(level.angle + 180.0))?;
        let sheets = level.sheets(&sketch);
        pages = draw(&level, sheets);
    }
    sharp_enough(photo, pages, level.x_height * sketch.factor)
}

/// Refuses a photograph of which no page is sharp; `letter_px` is the x-height on the photograph.
fn sharp_enough(photo: &Photo, pages: Vec<Page>, letter_px: f32) -> Result<Vec<Page>> {
    let edges = pages.iter().map(|p| Some(sharp::edge_px(&p.grey, p.x_height)? / p.x_height));
    let sharpest = edges.map(|edge| edge.unwrap_or(0.0)).reduce(f32::min);
    match sharpest {
        Some(edge) if edge > WIDEST_EDGE => Err(PhotoFault::Blurred {
            photo: photo.name.clone(),
            letter_px,
            edge_px: edge * letter_px,
            limit_px: WIDEST_EDGE * letter_px,
        }
        .into()),
        _ => Ok(pages),
    }
}
