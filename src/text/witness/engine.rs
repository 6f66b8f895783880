//! Tesseract on one crop. An engine is kept alive for each thread, because starting one costs more than reading a
//! label.

use crate::error::TextFault;
use crate::{Error, Result};
use image::GrayImage;
use std::cell::RefCell;
use std::path::Path;
use tesseract::{PageSegMode, Tesseract, TesseractError};

/// Tesseract's code of the data that read figures best.
const LANGUAGE: &str = "eng";
/// What a label may hold.
const LETTERS: &str = "0123456789-–ivxlcdmIVXLCDM";

thread_local! {
    static ENGINE: RefCell<Option<Tesseract>> = const { RefCell::new(None) };
}

/// The characters in a grey crop, dark on light.
pub fn read(picture: &GrayImage) -> Result<String> {
    let failed = |e| {
        Error::from(TextFault::EngineFailed { photo: "the page".into(), step: "read a number" })
            .because(e)
    };
    let (engine, text) = ask(take()?, picture).map_err(failed)?;
    ENGINE.with_borrow_mut(|kept| *kept = Some(engine));
    Ok(text)
}

/// Says at once whether Tesseract starts with its data.
pub fn check() -> Result<()> {
    let engine = take()?;
    ENGINE.with_borrow_mut(|kept| *kept = Some(engine));
    Ok(())
}

/// The engine leaves its place while it works: the crate's calls consume it, and a failed one is gone.
fn take() -> Result<Tesseract> {
    if let Some(engine) = ENGINE.with_borrow_mut(Option::take) {
        return Ok(engine);
    }
    let missing = || Error::from(TextFault::NoLanguageData(LANGUAGE.to_owned()));
    if !is_there(LANGUAGE) {
        return Err(missing());
    }
    start().map_err(|e| missing().because(e))
}

/// Whether the data are in the folder that the user names, if one is named: Tesseract itself says of missing data
/// three lines on the error stream.
fn is_there(code: &str) -> bool {
    let Some(named) = std::env::var_os("TESSDATA_PREFIX").filter(|named| !named.is_empty()) else {
        return true;
    };
    let file = format!("{code}.traineddata");
    ["", "tessdata"].iter().any(|folder| Path::new(&named).join(folder).join(&file).is_file())
}

fn start() -> std::result::Result<Tesseract, TesseractError> {
    let mut engine = Tesseract::new(None, Some(LANGUAGE))?
        // Tesseract would otherwise talk on the error stream about every empty crop.
        .set_variable("debug_file", if cfg!(windows) { "NUL" } else { "/dev/null" })?
        .set_variable("user_defined_dpi", "300")?
        // Crops are dark on light already.
        .set_variable("tessedit_do_invert", "0")?
        .set_variable("tessedit_char_whitelist", LETTERS)?;
    engine.set_page_seg_mode(PageSegMode::PsmSingleLine);
    Ok(engine)
}

fn ask(
    engine: Tesseract,
    picture: &GrayImage,
) -> std::result::Result<(Tesseract, String), TesseractError> {
    let (width, height) = (picture.width() as i32, picture.height() as i32);
    let mut engine = engine.set_frame(picture.as_raw(), width, height, 1, width)?.recognize()?;
    let text = engine.get_text()?;
    Ok((engine, text))
}
