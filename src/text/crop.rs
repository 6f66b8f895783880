//! Cuts single lines and numbers out of a page: only the ink asked for, all else white, at the size Tesseract
//! reads best.

use super::engine::Word;
use super::ink::{Blob, Ink};
use crate::geom::Rect;
use image::imageops::{FilterType, resize};
use image::{GrayImage, Luma};

/// White around the ink, in pixels of the finished picture.
const MARGIN: u32 = 12;

/// A cut-out with the way back to the page.
pub struct Crop {
    /// The picture, dark on white.
    pub picture: GrayImage,
    origin: (i32, i32),
    scale: f32,
}

impl Crop {
    /// The blobs of one part of a line, its letters about `letter_px` high.
    pub fn of(grey: &GrayImage, ink: &Ink, blobs: &[Blob], letter_px: f32) -> Option<Crop> {
        let area = blobs.iter().map(|b| b.area).reduce(|a, b| a.union(&b))?;
        let cut = only(grey, ink, blobs, area);
        let wanted = (letter_px / ink.letter).clamp(0.4, 4.0);
        // A scale near 1 would blur and gain nothing.
        let scale = if (0.8..1.25).contains(&wanted) { 1.0 } else { wanted };
        let scaled = scaled(&cut.picture, scale);
        Some(Crop { picture: framed(&scaled), origin: cut.origin, scale })
    }

    /// The same, scaled to exactly `height_px` from top to bottom.
    pub fn high(grey: &GrayImage, ink: &Ink, blobs: &[Blob], height_px: f32) -> Option<Crop> {
        let area = blobs.iter().map(|b| b.area).reduce(|a, b| a.union(&b))?;
        let cut = only(grey, ink, blobs, area);
        let scale = (height_px / area.height().max(1) as f32).clamp(0.2, 6.0);
        Some(Crop { picture: framed(&scaled(&cut.picture, scale)), origin: cut.origin, scale })
    }

    /// One glyph in the size of the page, without frame; `area` may be a part of the blobs' box.
    pub fn glyph(grey: &GrayImage, ink: &Ink, blobs: &[Blob], area: Rect) -> GrayImage {
        only(grey, ink, blobs, area).picture
    }

    /// Moves a word's box from the cut-out to the page.
    pub fn to_page(&self, word: Word) -> Word {
        let back =
            |v: i32, origin: i32| ((v - MARGIN as i32) as f32 / self.scale).round() as i32 + origin;
        let area = Rect {
            left: back(word.area.left, self.origin.0),
            top: back(word.area.top, self.origin.1),
            right: back(word.area.right, self.origin.0),
            bottom: back(word.area.bottom, self.origin.1),
        };
        Word { area, ..word }
    }
}

struct Cut {
    picture: GrayImage,
    origin: (i32, i32),
}

/// Copies the box of the blobs; the ink of other lines and of leaders turns white with its soft edges. What
/// belongs to no line stays: it may be the hairline of a figure.
fn only(grey: &GrayImage, ink: &Ink, blobs: &[Blob], area: Rect) -> Cut {
    let edge = ((ink.letter * 0.1) as i32).max(2);
    let (left, top) = ((area.left - edge).max(0), (area.top - edge).max(0));
    let right = (area.right + edge).min(grey.width() as i32);
    let bottom = (area.bottom + edge).min(grey.height() as i32);
    let (width, height) = ((right - left).max(1) as u32, (bottom - top).max(1) as u32);
    let mut wanted: Vec<u32> = blobs.iter().map(|b| b.label).collect();
    wanted.sort_unstable();
    let label = |x: u32, y: u32| ink.labels.get_pixel(x + left as u32, y + top as u32).0[0];
    let mask = |own: bool| {
        let marked = GrayImage::from_fn(width, height, |x, y| {
            let label = label(x, y);
            let mine = wanted.binary_search(&label).is_ok();
            Luma([if if own { mine } else { !mine && ink.is_used(label) } { 255 } else { 0 }])
        });
        imageproc::morphology::dilate(
            &marked,
            imageproc::distance_transform::Norm::LInf,
            edge as u8,
        )
    };
    let (near, far) = (mask(true), mask(false));
    let picture = GrayImage::from_fn(width, height, |x, y| {
        let mine = wanted.binary_search(&label(x, y)).is_ok();
        let foreign = far.get_pixel(x, y).0[0] > 0 && near.get_pixel(x, y).0[0] == 0;
        let other = !mine && ink.is_used(label(x, y));
        if foreign || other {
            Luma([255])
        } else {
            *grey.get_pixel(x + left as u32, y + top as u32)
        }
    });
    Cut { picture, origin: (left, top) }
}

fn scaled(picture: &GrayImage, scale: f32) -> GrayImage {
    if scale == 1.0 {
        return picture.clone();
    }
    let size = |v: u32| ((v as f32 * scale).round() as u32).max(1);
    resize(picture, size(picture.width()), size(picture.height()), FilterType::CatmullRom)
}

fn framed(picture: &GrayImage) -> GrayImage {
    let mut frame = GrayImage::from_pixel(
        picture.width() + 2 * MARGIN,
        picture.height() + 2 * MARGIN,
        Luma([255]),
    );
    image::imageops::replace(&mut frame, picture, MARGIN.into(), MARGIN.into());
    frame
}
