//! Reads a page number again, alone: its ink is cut out, shown to Tesseract in several sizes and sharpnesses
//! with nothing but figures (or roman numerals) allowed, and the answers are weighed.

use super::crop::Crop;
use super::engine::{self, DIGITS_LANGUAGE, Expect};
use super::ink::{Blob, Ink};
use super::label;
use crate::Result;
use image::{GrayImage, Luma};

/// One answer with its weight; the weights of all answers sum to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Labels joined by a comma.
    pub text: String,
    /// Share of the votes, 0–1.
    pub weight: f64,
}

/// Heights of the cut-outs, in pixels, and whether they are sharpened to black and white.
const PREPARATIONS: [(f32, bool); 3] = [(36.0, false), (28.0, true), (48.0, false)];

const FIGURES: &str = "0123456789";
const FIGURE_LISTS: &str = "0123456789,.-";
const ROMANS: &str = "ivxlcdm";
const ROMAN_LISTS: &str = "ivxlcdm,.-";

/// Reads the ink of a number. `first` is what the line said; it gives one vote.
pub fn read_again(grey: &GrayImage, ink: &Ink, blobs: &[Blob], first: &str) -> Result<Vec<Answer>> {
    let allowed = allowed(first);
    let mut votes: Vec<(String, f64)> = vec![(first.to_owned(), 0.8)];
    for (height, sharp) in PREPARATIONS {
        let Some(crop) = Crop::high(grey, ink, blobs, height) else { continue };
        let picture = if sharp { sharpened(&crop.picture) } else { crop.picture };
        let words = engine::read_line(&picture, DIGITS_LANGUAGE, Expect::Only(allowed))?;
        let text: String = words.iter().map(|w| w.text.as_str()).collect();
        let sure = words.iter().map(|w| w.confidence).fold(1.0f32, f32::min);
        if let Some(text) = tidy(&text) {
            votes.push((text, 0.4 + 0.6 * f64::from(sure)));
        }
    }
    Ok(weigh(votes))
}

fn allowed(first: &str) -> &'static str {
    let roman = first.chars().all(|c| ROMAN_LISTS.contains(c));
    let list = first.contains([',', '-']);
    match (roman, list) {
        (true, false) => ROMANS,
        (true, true) => ROMAN_LISTS,
        (false, false) => FIGURES,
        (false, true) => FIGURE_LISTS,
    }
}

fn tidy(text: &str) -> Option<String> {
    let tokens = label::tokens(text)?;
    let labels: Vec<&str> = tokens.iter().map(label::Token::text).collect();
    Some(labels.join(","))
}

/// Black and white with a soft edge, for print on grey paper.
fn sharpened(picture: &GrayImage) -> GrayImage {
    let level = imageproc::contrast::otsu_level(picture);
    let hard = GrayImage::from_fn(picture.width(), picture.height(), |x, y| {
        Luma([if picture.get_pixel(x, y).0[0] > level { 255 } else { 0 }])
    });
    imageproc::filter::gaussian_blur_f32(&hard, 0.7)
}

fn weigh(votes: Vec<(String, f64)>) -> Vec<Answer> {
    let total: f64 = votes.iter().map(|v| v.1).sum();
    let mut answers: Vec<Answer> = Vec::new();
    for (text, weight) in votes {
        match answers.iter_mut().find(|a| a.text == text) {
            Some(answer) => answer.weight += weight / total,
            None => answers.push(Answer { text, weight: weight / total }),
        }
    }
    answers.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    answers
}
