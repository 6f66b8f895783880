//! A photograph becomes pages: upright, flat in shape and light, in grey.

use crate::Result;
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

/// Where each point of a flattened page lies on the photograph: a grid of points, bilinear between.
#[derive(Debug, Clone)]
pub struct Mapping {
    /// Distance between grid points on the page, in pixels.
    pub step: u32,
    /// Grid points in a row.
    pub columns: u32,
    /// Points on the photograph, row by row.
    pub points: Vec<Point>,
}

/// Opens a photograph and turns it upright by its EXIF orientation.
pub fn load(_path: &Path) -> Result<Photo> {
    unimplemented!()
}

/// Finds the page or the two facing pages (left first) and flattens them.
pub fn flatten(_photo: &Photo) -> Result<Vec<Page>> {
    unimplemented!()
}
