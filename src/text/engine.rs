//! Tesseract on one line of print: a grey crop, 0 black to 255 white, becomes a string.
//!
//! One engine per thread is kept alive, because starting one costs more than reading a line.

use crate::error::TextFault;
use crate::{Error, Result};
use image::GrayImage;
use std::cell::RefCell;
use std::path::Path;
use tesseract::{PageSegMode, Tesseract, TesseractError};

/// Tesseract's code of English, whose data read digits best of English, Spanish and Latin.
const LANGUAGE: &str = "eng";

thread_local! {
    static ENGINE: RefCell<Option<Tesseract>> = const { RefCell::new(None) };
}

/// Reads one line in these characters only.
pub fn read_line(picture: &GrayImage, letters: &str) -> Result<String> {
    let engine = take()?;
    let (engine, text) = ask(engine, picture, letters).map_err(|e| {
        Error::from(TextFault::EngineFailed { photo: "the page".into(), step: "read a line" })
            .because(e)
    })?;
    ENGINE.set(Some(engine));
    Ok(text)
}

/// The engine leaves its place while it works: the crate's calls consume it, and a failed one is gone.
fn take() -> Result<Tesseract> {
    if let Some(engine) = ENGINE.take() {
        return Ok(engine);
    }
    let missing = || Error::from(TextFault::NoLanguageData(LANGUAGE.to_owned()));
    if !is_there() {
        return Err(missing());
    }
    start().map_err(|e| missing().because(e))
}

/// Whether the data are in the folder that the user names, if one is named: Tesseract itself says of missing data
/// three lines on the error stream.
fn is_there() -> bool {
    let Some(named) = std::env::var_os("TESSDATA_PREFIX").filter(|named| !named.is_empty()) else {
        return true;
    };
    let file = format!("{LANGUAGE}.traineddata");
    ["", "tessdata"].iter().any(|folder| Path::new(&named).join(folder).join(&file).is_file())
}

fn start() -> std::result::Result<Tesseract, TesseractError> {
    let mut engine = Tesseract::new(None, Some(LANGUAGE))?
        // Tesseract would otherwise talk on the error stream about every empty crop.
        .set_variable("debug_file", if cfg!(windows) { "NUL" } else { "/dev/null" })?
        .set_variable("user_defined_dpi", "300")?
        // Crops are dark on light already.
        .set_variable("tessedit_do_invert", "0")?;
    engine.set_page_seg_mode(PageSegMode::PsmSingleLine);
    Ok(engine)
}

fn ask(
    engine: Tesseract,
    picture: &GrayImage,
    letters: &str,
) -> std::result::Result<(Tesseract, String), TesseractError> {
    let (width, height) = (picture.width() as i32, picture.height() as i32);
    let mut engine = engine
        .set_variable("tessedit_char_whitelist", letters)?
        .set_frame(picture.as_raw(), width, height, 1, width)?
        .recognize()?;
    let text = engine.get_text()?;
    Ok((engine, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_paper_reads_as_nothing_and_the_engine_is_kept() {
        let white = GrayImage::from_pixel(120, 48, image::Luma([255]));
        assert_eq!(read_line(&white, "0123456789").unwrap().trim(), "");
        assert!(ENGINE.take().is_some());
    }
}
