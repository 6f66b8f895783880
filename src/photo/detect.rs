//! Where print is: a trained detector looks once at the reduced picture and gives, for each of its pixels, how
//! likely the pixel lies in the middle of a line of print.
//!
//! The network and how it was made: `src/data/reading/SOURCES.md`. It was trained for text of any kind and script.

use crate::Result;
use crate::net::{Net, Numbers};
use image::RgbImage;
use image::imageops::{self, FilterType};
use std::sync::OnceLock;

/// Longest side of the reduced picture, in pixels. On 60 photographs of lists 960 found as much as 1,920; the
/// closest set indexes want a little more.
const LONGEST_SIDE: u32 = 1280;
/// The network halves its picture five times.
const SIDES_OF: u32 = 32;

/// How likely each pixel of the reduced picture lies in a line of print.
pub(super) struct Likely {
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Row by row, 0–1.
    pub values: Vec<f32>,
    /// Pixels of the picture for one of these, across and down.
    pub scale: (f32, f32),
}

fn net() -> Result<&'static Net> {
    static NET: OnceLock<Option<Net>> = OnceLock::new();
    Net::once(&NET, "detector", include_bytes!("../data/reading/detector.onnx"))
}

/// Looks at a picture.
pub(super) fn detect(picture: &RgbImage) -> Result<Likely> {
    let (width, height) = (picture.width().max(1), picture.height().max(1));
    let by = (LONGEST_SIDE as f32 / width.max(height) as f32).min(1.0);
    let side =
        |length: u32| ((length as f32 * by / SIDES_OF as f32).round() as u32).max(1) * SIDES_OF;
    let (w, h) = (side(width), side(height));
    let small = reduced(picture, w, h);
    let found = net()?.run(scaled(&small))?;
    let values = found.into_iter().next().map(|n| n.values).unwrap_or_default();
    let scale = (width as f32 / w as f32, height as f32 / h as f32);
    Ok(Likely { width: w as usize, height: h as usize, values, scale })
}

/// The picture smaller. What is hardly reduced is interpolated: a mean over whole pixels would make its strokes uneven.
fn reduced(picture: &RgbImage, width: u32, height: u32) -> RgbImage {
    if 2 * picture.width() < 3 * width {
        imageops::resize(picture, width, height, FilterType::Triangle)
    } else {
        imageops::thumbnail(picture, width, height)
    }
}

/// A picture as the networks take it: blue, green, red planes of −1 to 1.
pub(super) fn scaled(picture: &RgbImage) -> Numbers {
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let plane = |colour: usize| picture.pixels().map(move |p| f32::from(p.0[colour]) / 127.5 - 1.0);
    let values = [2, 1, 0].into_iter().flat_map(plane).collect();
    Numbers { shape: vec![1, 3, height, width], values }
}
