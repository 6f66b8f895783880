//! A photograph is opened, and the lines of print on it are found: where each runs, with its curve.
//!
//! Nothing is flattened. Each line is cut from the photograph along its own curve when it is read.

mod closer;
mod crop;
mod detect;
mod find;
mod heic;
mod leaders;
mod load;
mod pdf;
mod trace;

pub use closer::closer;
pub use crop::{Along, CROP_HEIGHT, Crop, Cut, cut};
pub use find::{Print, find};
pub use leaders::{Leader, Reach, Side, follow};
pub use load::{check, content, count, load, load_page, pixels};
pub use trace::TextLine;

/// Name of the threads whose panics are a damaged file's and are told as an error; a program's panic hook leaves
/// them alone.
pub const UNHEARD: &str = "damaged file";

use image::RgbImage;

/// A photograph as the eye sees it: EXIF orientation applied, three channels of 0–255.
#[derive(Debug, Clone)]
pub struct Photo {
    /// The file's base name.
    pub name: String,
    /// The picture.
    pub image: RgbImage,
}
