//! Tesseract as a second witness of page labels: other eyes, trained otherwise. Without the feature `tesseract` there
//! is none, and more labels stay in doubt.

use crate::Result;
use crate::photo::Crop;

/// What Tesseract reads in a crop, if it is a label.
#[cfg(feature = "tesseract")]
pub fn says(crop: &Crop) -> Result<Option<String>> {
    /// What a label may hold.
    const LETTERS: &str = "0123456789-–ivxlcdmIVXLCDM";
    let text = super::engine::read_line(&image::imageops::grayscale(&crop.picture), LETTERS)?;
    Ok(super::label::label(&text))
}

/// No witness.
#[cfg(not(feature = "tesseract"))]
pub fn says(_: &Crop) -> Result<Option<String>> {
    Ok(None)
}
