//! Words that stand alone where a number can stand, but were not read as one, are shown to the figure network:
//! Tesseract reads a single figure as a letter and figures of an old cut as words.

use super::glyphs::Seen;
use super::ink::Ink;
use super::style::arabic;
use super::words::{PageWord, ReadLine};
use crate::Result;
use image::GrayImage;

/// The network must be so sure of all figures together.
const SURE: f64 = 0.8;
/// More figures has no page number.
const MOST_FIGURES: usize = 4;

/// Corrects the lone words of a line.
pub fn correct(line: &mut ReadLine, grey: &GrayImage, ink: &Ink) -> Result<()> {
    let parts = line.words.iter().map(|w| w.part).max().unwrap_or(0) + 1;
    let last = line.words.len().saturating_sub(1);
    let words: Vec<usize> = line.words.iter().map(|w| w.part).collect();
    for (i, word) in line.words.iter_mut().enumerate() {
        let alone = words.iter().filter(|p| **p == word.part).count() == 1;
        // A single figure is told from a single letter only by its place: what comes first may be a title, C or I.
        let company = parts > 1 && i == last;
        if !alone || arabic(&word.text) && word.confidence > 0.5 {
            continue;
        }
        if let Some(figures) = figures(word, grey, ink)?
            && (figures.len() > 1 || company)
        {
            word.text = figures;
        }
    }
    Ok(())
}

/// What the network reads, if all of it are figures.
fn figures(word: &PageWord, grey: &GrayImage, ink: &Ink) -> Result<Option<String>> {
    let seen = Seen::of(grey, ink, &word.blobs);
    let Some(text) = seen.best()? else { return Ok(None) };
    let fits = text.len() <= MOST_FIGURES && text.chars().all(|c| c.is_ascii_digit());
    let sure = fits && seen.belief(&text)?.is_some_and(|b| b >= SURE);
    Ok(sure.then_some(text))
}
