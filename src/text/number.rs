//! Reads a page number again, alone, by two independent readers, and weighs their answers.
//!
//! The ink of the number is cut out and shown to Tesseract in several sizes and sharpnesses with nothing but
//! figures (or roman numerals) allowed; then each of its glyphs goes to the [`figure`] network. An answer's
//! weight is how far both believe it. Tesseract's several answers are not independent of each other, so that they
//! agree says less than that the network agrees.

use super::crop::Crop;
use super::engine::{self, DIGITS_LANGUAGE, Expect};
use super::glyphs;
use super::ink::{Blob, Ink};
use super::label;
use crate::Result;
use crate::geom::Rect;
use image::{GrayImage, Luma};

/// One answer with its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The label.
    pub text: String,
    /// Share of the belief, 0–1; all answers together stay under 1.
    pub weight: f64,
}

/// Heights of the cut-outs, in pixels, and whether they are sharpened to black and white.
const PREPARATIONS: [(f32, bool); 3] = [(36.0, false), (28.0, true), (48.0, false)];

const FIGURES: &str = "0123456789";
const FIGURE_RANGE: &str = "0123456789-";
const ROMANS: &str = "ivxlcdm";
const ROMAN_RANGE: &str = "ivxlcdm-";

/// Belief that Tesseract means something else than all its answers.
const TESSERACT_FLOOR: f64 = 0.03;
/// Belief in an answer of which the glyphs tell nothing, because they touch or are broken.
const UNFIT: f64 = 0.06;
/// Belief of the network in a figure it rules out.
const GLYPH_FLOOR: f64 = 0.004;
/// Belief of the network at which two equal answers of Tesseract are enough.
const ENOUGH: f64 = 0.98;
/// Belief in a roman number that only Tesseract saw, and only when told to look for one.
const BLIND: f64 = 0.3;
/// What is left of the belief in a roman number with fewer letters than the ink has glyphs, or room for.
const CUT_SHORT: f64 = 0.1;
/// Belief in an answer nobody gave.
const UNHEARD: f64 = 0.002;

/// Reads the ink of a number. `first` is what the line said, empty if that was no number; it counts as one of
/// Tesseract's answers.
pub fn read_again(grey: &GrayImage, ink: &Ink, blobs: &[Blob], first: &str) -> Result<Vec<Answer>> {
    let seen =
        (!first.starts_with(char::is_alphabetic)).then(|| glyphs::Seen::of(grey, ink, blobs));
    let votes = tesseract(grey, ink, blobs, first, allowed(first), seen.as_ref())?;
    let total: f64 = votes.iter().map(|v| v.1).sum();
    let mut heard: Vec<(String, f64)> = Vec::new();
    for (text, weight) in votes {
        match heard.iter_mut().find(|h| h.0 == text) {
            Some(known) => known.1 += weight / total,
            None => heard.push((text, weight / total)),
        }
    }
    if let Some(seen) = seen {
        if let Some(text) = seen.best()?
            && heard.iter().all(|h| h.0 != text)
        {
            heard.push((text, 0.0));
        }
        for answer in &mut heard {
            let tesseract = TESSERACT_FLOOR + (1.0 - TESSERACT_FLOOR) * answer.1;
            answer.1 = tesseract * seen.belief(&answer.0)?.unwrap_or(UNFIT).max(GLYPH_FLOOR);
        }
        if first.is_empty() && seen.best()?.is_none() {
            add_romans(grey, ink, blobs, &mut heard)?;
        }
    }
    let mut unheard = UNHEARD;
    for answer in &mut heard {
        let roman = answer.0.starts_with(char::is_alphabetic);
        if roman && lost_a_letter(&answer.0, blobs, ink.letter) {
            answer.1 *= CUT_SHORT;
            unheard += 1.0 - CUT_SHORT;
        }
    }
    Ok(weigh(heard, unheard))
}

/// Whether the ink shows more than the letters of a roman number: more glyphs than letters ("cxl" read as "cx"), or a
/// glyph too high or too wide for its letter, in which another one hides.
fn lost_a_letter(roman: &str, blobs: &[Blob], letter: f32) -> bool {
    let glyphs = glyphs::areas(blobs);
    let size = |g: &Rect| (g.width() as f32 / letter, g.height() as f32 / letter);
    let low = glyphs.iter().map(|g| size(g).1).fold(1.0, f32::min);
    let rises = |g: &Rect| size(g).1 > RISES * low;
    // Where one is too pale to be ink, there is a hole.
    let hole = |pair: &[Rect]| match pair {
        [a, b] => (b.left - a.right) as f32 > WHITE * letter,
        _ => false,
    };
    if glyphs.windows(2).any(hole) {
        return true;
    }
    let letters: Vec<Shape> = roman.chars().map(Shape::of).collect();
    if glyphs.len() == letters.len() {
        let hides =
            |(g, shape): (&Rect, &Shape)| size(g).0 > shape.widest || rises(g) && !shape.rises;
        return glyphs.iter().zip(&letters).any(hides);
    }
    // Letters that touch are known by their sum only, and one more hides easily.
    let widest: f32 = TOO_WIDE * letters.iter().map(|shape| shape.usual).sum::<f32>();
    let wide: f32 = glyphs.iter().map(|g| size(g).0).sum();
    glyphs.len() > letters.len()
        || wide > widest
        || glyphs.iter().any(rises) && letters.iter().all(|shape| !shape.rises)
}

/// What a small letter of a roman number looks like in any usual type, in heights of a letter.
struct Shape {
    usual: f32,
    widest: f32,
    /// It rises above a small letter, with its stem or its dot.
    rises: bool,
}

impl Shape {
    fn of(letter: char) -> Shape {
        match letter {
            'i' | 'l' => Shape { usual: 0.4, widest: 0.8, rises: true },
            'd' => Shape { usual: 0.85, widest: 1.5, rises: true },
            'm' => Shape { usual: 1.25, widest: 2.1, rises: false },
            'c' => Shape { usual: 0.7, widest: 1.15, rises: false },
            _ => Shape { usual: 0.75, widest: 1.4, rises: false },
        }
    }
}

/// The widest white between two letters of a number, in heights of a letter.
const WHITE: f32 = 0.5;
/// By this factor print in the widest usual type is wider than the usual widths; a lost l makes "cx" 1.3 times too
/// wide.
const TOO_WIDE: f32 = 1.25;

/// How much higher l, d and i with its dot are than v, x, c and m; less even in type with low ascenders.
const RISES: f32 = 1.3;

/// What stood where a number stands but was read as none, and shows no figures, may be a roman number.
fn add_romans(
    grey: &GrayImage,
    ink: &Ink,
    blobs: &[Blob],
    heard: &mut Vec<(String, f64)>,
) -> Result<()> {
    let votes = tesseract(grey, ink, blobs, "", ROMANS, None)?;
    let total: f64 = votes.iter().map(|v| v.1).sum();
    for (text, weight) in votes {
        let share = BLIND * weight / total;
        match heard.iter_mut().find(|h| h.0 == text) {
            Some(known) => known.1 += share,
            None => heard.push((text, share)),
        }
    }
    Ok(())
}

/// Tesseract's answers with their weights. Once two agree and the network is sure of the same, the rest is spared.
fn tesseract(
    grey: &GrayImage,
    ink: &Ink,
    blobs: &[Blob],
    first: &str,
    allowed: &'static str,
    seen: Option<&glyphs::Seen>,
) -> Result<Vec<(String, f64)>> {
    let heard = (!first.is_empty()).then(|| (first.to_owned(), 0.8));
    let mut votes: Vec<(String, f64)> = heard.into_iter().collect();
    for (height, sharp) in PREPARATIONS {
        let Some(crop) = Crop::high(grey, ink, blobs, height) else { continue };
        let picture = if sharp { sharpened(&crop.picture) } else { crop.picture };
        let words = engine::read_line(&picture, DIGITS_LANGUAGE, Expect::Only(allowed))?;
        let text: String = words.iter().map(|w| w.text.as_str()).collect();
        let sure = words.iter().map(|w| w.confidence).fold(1.0f32, f32::min);
        if let Some(text) = tidy(&text) {
            votes.push((text, 0.4 + 0.6 * f64::from(sure)));
        }
        if let ([(a, _), (b, _)], Some(seen)) = (votes.as_slice(), seen)
            && a == b
            && seen.belief(a)?.is_some_and(|b| b >= ENOUGH)
        {
            break;
        }
    }
    Ok(votes)
}

fn allowed(first: &str) -> &'static str {
    let roman = !first.is_empty() && first.chars().all(|c| ROMAN_RANGE.contains(c));
    match (roman, first.contains('-')) {
        (true, false) => ROMANS,
        (true, true) => ROMAN_RANGE,
        (false, false) => FIGURES,
        (false, true) => FIGURE_RANGE,
    }
}

fn tidy(text: &str) -> Option<String> {
    match label::tokens(text)?.as_slice() {
        [one] => Some(one.text().to_owned()),
        _ => None,
    }
}

/// Black and white with a soft edge, for print on grey paper.
fn sharpened(picture: &GrayImage) -> GrayImage {
    let level = imageproc::contrast::otsu_level(picture);
    let hard = GrayImage::from_fn(picture.width(), picture.height(), |x, y| {
        Luma([if picture.get_pixel(x, y).0[0] > level { 255 } else { 0 }])
    });
    imageproc::filter::gaussian_blur_f32(&hard, 0.7)
}

fn weigh(heard: Vec<(String, f64)>, unheard: f64) -> Vec<Answer> {
    let total: f64 = heard.iter().map(|h| h.1).sum::<f64>() + unheard;
    let mut answers: Vec<Answer> =
        heard.into_iter().map(|(text, weight)| Answer { text, weight: weight / total }).collect();
    answers.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    answers
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ink_that_shows_more_than_the_letters_hides_one() {
        let glyph = |(left, top, right): &(i32, i32, i32)| Blob {
            label: 1,
            area: Rect { left: *left, top: *top, right: *right, bottom: 40 },
            pixels: 200,
        };
        // Letters 20 pixels high: left, top and right of each glyph.
        let (c, touching) = ((0, 20, 17), (20, 8, 48));
        type Glyphs<'a> = &'a [(i32, i32, i32)];
        let cases: [(&str, Glyphs, bool, &str); 9] = [
            ("cx", &[(0, 20, 12), (14, 6, 32)], true, "x and l, squeezed at the gutter"),
            ("cxl", &[(0, 20, 12), (14, 6, 32)], false, "squeezed"),
            ("cx", &[(0, 20, 12), (14, 20, 28)], false, "squeezed"),
            ("cl", &[c, touching], true, "x and l in one glyph"),
            ("cxl", &[c, touching], false, "x and l touch"),
            ("cl", &[c, (20, 8, 30)], false, "as printed"),
            ("x", &[(0, 20, 42)], true, "xx"),
            ("cl", &[c, (34, 8, 42)], true, "a pale x between them"),
            ("v", &[(0, 20, 25)], false, "wide type, v as wide as its capital"),
        ];
        for (roman, glyphs, lost, what) in cases {
            let ink: Vec<Blob> = glyphs.iter().map(glyph).collect();
            assert_eq!(lost_a_letter(roman, &ink, 20.0), lost, "{roman}: {what}");
        }
    }
}
