//! Tesseract as a second witness of page labels: other eyes, trained otherwise. Without the feature `tesseract` there
//! is none, and more labels stay in doubt.

#[cfg(feature = "tesseract")]
mod engine;

use crate::Result;
use crate::photo::Crop;

/// What the witness reads in a crop, if it is a label.
#[cfg(feature = "tesseract")]
pub fn says(crop: &Crop) -> Result<Option<String>> {
    Ok(super::label::label(&engine::read(&image::imageops::grayscale(&crop.picture))?))
}

/// Says at once whether the witness can be asked.
#[cfg(feature = "tesseract")]
pub fn ready() -> Result<()> {
    engine::check()
}

/// There is no witness.
#[cfg(not(feature = "tesseract"))]
pub fn says(_: &Crop) -> Result<Option<String>> {
    Ok(None)
}

/// Nobody need be asked.
#[cfg(not(feature = "tesseract"))]
pub fn ready() -> Result<()> {
    Ok(())
}
