//! Lines of ink become lines of words: each part of a line is read alone and its words know their ink.

use super::crop::Crop;
use super::engine::{self, Expect, Word};
use super::ink::{Blob, Ink};
use super::line::{Chain, Line};
use crate::Result;
use crate::geom::Rect;
use image::GrayImage;
use rayon::prelude::*;

/// How high letters are shown to Tesseract, in pixels (its network wants lines of 36 in all), and whether darker than
/// they are: one attempt after the other until one is sure, and the surest is kept.
const ATTEMPTS: [(f32, bool); 3] = [(20.0, false), (28.0, false), (28.0, true)];
/// Confidence below which a part is read again.
const UNSURE: f32 = 0.85;

/// A word on the page with its ink.
#[derive(Debug, Clone)]
pub struct PageWord {
    /// As read.
    pub text: String,
    /// Its box on the page.
    pub area: Rect,
    /// Tesseract's confidence, 0–1.
    pub confidence: f32,
    /// Its ink, left to right.
    pub blobs: Vec<Blob>,
    /// Which part of the line it stands in, 0 the leftmost.
    pub part: usize,
}

/// A line that has been read.
#[derive(Debug, Clone)]
pub struct ReadLine {
    /// Its words, left to right.
    pub words: Vec<PageWord>,
    /// The box around its ink.
    pub area: Rect,
    /// Whether dot leaders ran along it.
    pub leader: bool,
    /// See [`Line::step`].
    pub step: Option<f32>,
}

/// Reads the lines in parallel; a line in which nothing is read keeps its place, empty.
pub fn read_lines(
    grey: &GrayImage,
    ink: &Ink,
    lines: Vec<Line>,
    language: &str,
) -> Result<Vec<ReadLine>> {
    lines.into_par_iter().map(|line| read_line(grey, ink, &line, language)).collect()
}

fn read_line(grey: &GrayImage, ink: &Ink, line: &Line, language: &str) -> Result<ReadLine> {
    let mut words = Vec::new();
    for (part, chain) in line.parts.iter().enumerate() {
        words.extend(read_part(grey, ink, chain, part, language)?);
    }
    hand_back_commas(&mut words);
    Ok(ReadLine { words, area: line.area, leader: line.leader, step: line.step })
}

/// A comma read with the word after it (`(May 2) ,615`) belongs to the word before.
fn hand_back_commas(words: &mut [PageWord]) {
    for at in 1..words.len() {
        let Some([before, word]) = words.get_mut(at - 1..=at) else { continue };
        let rest = word.text.trim_start_matches([',', ';']);
        if rest.len() < word.text.len() && rest.starts_with(char::is_alphanumeric) {
            word.text = rest.to_owned();
            if !before.text.ends_with([',', ';']) {
                before.text.push(',');
            }
        }
    }
}

/// Reads one part of a line.
pub fn read_part(
    grey: &GrayImage,
    ink: &Ink,
    chain: &Chain,
    part: usize,
    language: &str,
) -> Result<Vec<PageWord>> {
    let mut best: Option<Vec<Word>> = None;
    for (height, dark) in ATTEMPTS {
        let Some(crop) = Crop::of(grey, ink, &chain.blobs, height) else { break };
        let picture = if dark { &darker(&crop.picture) } else { &crop.picture };
        let words = engine::read_line(picture, language, Expect::Line)?;
        if best.as_ref().is_none_or(|best| sure(&words) > sure(best)) {
            best = Some(words.into_iter().map(|w| crop.to_page(w)).collect());
        }
        if best.as_ref().is_some_and(|best| sure(best) >= UNSURE) {
            break;
        }
    }
    Ok(with_ink(best.unwrap_or_default(), &chain.blobs, part))
}

/// The picture with its hairlines as dark as its stems: the grey between ink and paper moves towards ink.
fn darker(picture: &GrayImage) -> GrayImage {
    let mut greys: Vec<u8> = picture.as_raw().clone();
    greys.sort_unstable();
    let at = |share: usize| f32::from(greys.get(greys.len() * share / 100).copied().unwrap_or(0));
    let (black, white) = (at(2), at(70));
    let mut dark = picture.clone();
    for pixel in dark.iter_mut() {
        let light = ((f32::from(*pixel) - black) / (white - black).max(1.0)).clamp(0.0, 1.0);
        *pixel = (255.0 * light.powf(2.5)) as u8;
    }
    dark
}

/// Mean confidence over letters; 0 where nothing was read.
fn sure(words: &[Word]) -> f32 {
    let letters = |w: &Word| w.text.chars().count() as f32;
    let all: f32 = words.iter().map(letters).sum();
    words.iter().map(|w| w.confidence * letters(w)).sum::<f32>() / all.max(1.0)
}

/// Shares the ink among the words: each blob goes to the word whose box lies nearest.
fn with_ink(words: Vec<Word>, blobs: &[Blob], part: usize) -> Vec<PageWord> {
    let page_word = |w: Word| PageWord {
        text: w.text,
        area: w.area,
        confidence: w.confidence,
        blobs: Vec::new(),
        part,
    };
    let mut words: Vec<PageWord> = words.into_iter().map(page_word).collect();
    words.sort_by_key(|w| w.area.left);
    for blob in blobs {
        let middle = (blob.area.left + blob.area.right) / 2;
        let far = |w: &PageWord| (w.area.left - middle).max(middle - w.area.right).max(0);
        if let Some(word) = words.iter_mut().min_by_key(|w| far(w)) {
            word.blobs.push(*blob);
        }
    }
    for word in &mut words {
        let ink = word.blobs.iter().map(|b| b.area).reduce(|a, b| a.union(&b));
        word.area = ink.unwrap_or(word.area);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_before_a_number_ends_the_title() {
        let area = Rect { left: 0, top: 0, right: 9, bottom: 9 };
        let word = |text: &&str| PageWord {
            text: (*text).to_owned(),
            area,
            confidence: 1.0,
            blobs: Vec::new(),
            part: 0,
        };
        let read = |texts: &[&str]| {
            let mut words: Vec<PageWord> = texts.iter().map(word).collect();
            hand_back_commas(&mut words);
            words.into_iter().map(|w| w.text).collect::<Vec<_>>()
        };
        assert_eq!(read(&["(May", "2)", ",615"]), ["(May", "2),", "615"]);
        assert_eq!(read(&["503,", ",505-507"]), ["503,", "505-507"]);
        assert_eq!(read(&[",", "‚", ","]), [",", "‚", ","]);
    }
}
