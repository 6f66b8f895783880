//! Tesseract on one line of print: a grey crop becomes words with boxes.
//!
//! One engine per thread and language is kept alive, because starting one costs more than reading a line.
//! Crops are grey, 0 black to 255 white; word boxes are in pixels of the crop.

use crate::error::TextFault;
use crate::geom::Rect;
use crate::{Error, Result};
use image::GrayImage;
use std::cell::RefCell;
use std::collections::HashMap;
use std::path::Path;
use tesseract::{PageSegMode, Tesseract, TesseractError};

/// A word as Tesseract gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    /// The letters.
    pub text: String,
    /// Where, in pixels of the picture given.
    pub area: Rect,
    /// Tesseract's own confidence, 0–1; optimistic.
    pub confidence: f32,
}

/// What Tesseract is told to expect.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Expect {
    /// A line of words in any letters.
    Line,
    /// A line in these characters only.
    Only(&'static str),
}

/// Tesseract's code of English, whose data read digits best of the three languages.
pub const DIGITS_LANGUAGE: &str = "eng";

thread_local! {
    static ENGINES: RefCell<HashMap<String, Tesseract>> = RefCell::default();
}

/// Reads one line. `language` is Tesseract's code ("eng", "spa+lat").
pub fn read_line(picture: &GrayImage, language: &str, expect: Expect) -> Result<Vec<Word>> {
    let engine = take(language)?;
    let (engine, tsv) = ask(engine, picture, expect).map_err(|e| {
        Error::from(TextFault::EngineFailed { photo: "the page".into(), step: "read a line" })
            .because(e)
    })?;
    ENGINES.with_borrow_mut(|all| all.insert(language.to_owned(), engine));
    Ok(words(&tsv))
}

/// Says at once whether Tesseract starts with these data.
pub fn check(language: &str) -> Result<()> {
    let engine = take(language)?;
    ENGINES.with_borrow_mut(|all| all.insert(language.to_owned(), engine));
    Ok(())
}

/// The engine leaves the shelf while it works: the crate's calls consume it, and a failed one is gone.
fn take(language: &str) -> Result<Tesseract> {
    if let Some(engine) = ENGINES.with_borrow_mut(|all| all.remove(language)) {
        return Ok(engine);
    }
    let missing = |code: &str| Error::from(TextFault::NoLanguageData(code.to_owned()));
    if let Some(code) = language.split('+').find(|code| !is_there(code)) {
        return Err(missing(code));
    }
    start(language).map_err(|e| missing(language).because(e))
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

fn start(language: &str) -> std::result::Result<Tesseract, TesseractError> {
    Ok(Tesseract::new(None, Some(language))?
        // Tesseract would otherwise talk on the error stream about every empty crop.
        .set_variable("debug_file", if cfg!(windows) { "NUL" } else { "/dev/null" })?
        .set_variable("user_defined_dpi", "300")?
        // Crops are dark on light already.
        .set_variable("tessedit_do_invert", "0")?)
}

fn ask(
    mut engine: Tesseract,
    picture: &GrayImage,
    expect: Expect,
) -> std::result::Result<(Tesseract, String), TesseractError> {
    let (mode, letters) = match expect {
        Expect::Line => (PageSegMode::PsmSingleLine, ""),
        Expect::Only(letters) => (PageSegMode::PsmSingleLine, letters),
    };
    engine.set_page_seg_mode(mode);
    let (width, height) = (picture.width() as i32, picture.height() as i32);
    let mut engine = engine
        .set_variable("tessedit_char_whitelist", letters)?
        .set_frame(picture.as_raw(), width, height, 1, width)?
        .recognize()?;
    let tsv = engine.get_tsv_text(0)?;
    Ok((engine, tsv))
}

/// The lines of level 5 of Tesseract's table: level, page, block, paragraph, line, word, left, top, width,
/// height, confidence, text.
fn words(tsv: &str) -> Vec<Word> {
    tsv.lines().filter_map(word).collect()
}

fn word(line: &str) -> Option<Word> {
    let mut cells = line.split('\t');
    if cells.next()? != "5" {
        return None;
    }
    let mut numbers = cells.by_ref().skip(5).take(4).map(|c| c.parse::<i32>().ok());
    let (left, top) = (numbers.next()??, numbers.next()??);
    let (width, height) = (numbers.next()??, numbers.next()??);
    let confidence = cells.next()?.parse::<f32>().ok()? / 100.0;
    let text = cells.next()?.trim();
    (!text.is_empty()).then(|| Word {
        text: text.to_owned(),
        area: Rect { left, top, right: left + width, bottom: top + height },
        confidence: confidence.clamp(0.0, 1.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn word_lines_are_taken_and_others_left() {
        let tsv = "1\t1\t0\t0\t0\t0\t0\t0\t90\t40\t-1\t\n5\t1\t1\t1\t1\t1\t10\t12\t30\t20\t96.5\tAdvent\n5\t1\t1\t1\t1\t2\t50\t12\t30\t20\t91\t \n";
        let found = words(tsv);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].text, "Advent");
        assert_eq!(found[0].area, Rect { left: 10, top: 12, right: 40, bottom: 32 });
    }

    #[test]
    fn missing_language_data_name_the_package() {
        let error = check("xyz").unwrap_err();
        assert!(error.to_string().contains("\"xyz\""));
        assert!(error.hint().unwrap().contains("tesseract-ocr-xyz"));
    }
}
