//! A scanned PDF becomes pictures, one for each of its pages.

use crate::Result;
use crate::error::{Error, PhotoFault};
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::{PixmapSettings, RenderCache, RenderSettings, render};
use image::RgbImage;
use std::path::Path;

/// A PDF measures in 72nds of an inch; scans are drawn at 300 to the inch.
const SCALE: f32 = 300.0 / 72.0;
/// Larger sheets are drawn coarser.
const MOST_PIXELS: f32 = 24e6;

/// How many pages the PDF has.
pub(super) fn count(path: &Path, bytes: Vec<u8>) -> Result<usize> {
    Ok(open(path, bytes)?.pages().len())
}

/// Draws one page, the first being 0.
pub(super) fn draw(path: &Path, bytes: Vec<u8>, page: usize) -> Result<RgbImage> {
    let pdf = open(path, bytes)?;
    let pages = pdf.pages();
    let page = pages.get(page).ok_or_else(|| damaged(path))?;
    let (width, height) = page.render_dimensions();
    let scale = SCALE.min((MOST_PIXELS / (width * height).max(1.0)).sqrt());
    let white = hayro::vello_cpu::color::palette::css::WHITE;
    let drawn = render(
        page,
        &RenderCache::new(),
        &InterpreterSettings::default(),
        &RenderSettings::default(),
        &PixmapSettings { x_scale: scale, y_scale: scale, bg_color: white },
    );
    let rgb = drawn.data().iter().flat_map(|p| [p.r, p.g, p.b]).collect();
    RgbImage::from_raw(drawn.width().into(), drawn.height().into(), rgb)
        .ok_or_else(|| damaged(path))
}

fn open(path: &Path, bytes: Vec<u8>) -> Result<Pdf> {
    let pdf = Pdf::new(bytes).map_err(|_| damaged(path))?;
    if pdf.pages().is_empty() { Err(damaged(path)) } else { Ok(pdf) }
}

fn damaged(path: &Path) -> Error {
    PhotoFault::Damaged { file: path.into(), kind: "PDF", cut_off: false }.into()
}
