//! Accents that the language data do not know, put back from the ink: the English data read "Müller" as "Muller"
//! and "Forêt" as "Forét", though the marks stand clearly over the letter.
//!
//! Two equal dots over a letter wider than an i are a diaeresis. A single mark is an acute, grave or circumflex by
//! the way it leans; it counts only on pages where Tesseract itself reads accents, because dust looks the same.

use super::ink::{Blob, Ink};
use super::words::PageWord;
use unicode_normalization::UnicodeNormalization;

const DIAERESIS: char = '\u{308}';
const ACUTE: char = '\u{301}';
const GRAVE: char = '\u{300}';
const CIRCUMFLEX: char = '\u{302}';

/// Corrects the accents of one word. `single` allows single marks too.
pub fn restore(word: &mut PageWord, ink: &Ink, single: bool) {
    let letters: Vec<Blob> =
        word.blobs.iter().filter(|b| b.height_in(ink.letter) >= 0.55).copied().collect();
    let chars: Vec<char> = word.text.chars().collect();
    let chars = with_diaereses(&chars, &letters, &word.blobs, ink.letter).unwrap_or(chars);
    let at: Vec<usize> =
        (0..chars.len()).filter(|&i| chars.get(i).is_some_and(|c| c.is_alphanumeric())).collect();
    // Only where letters and characters go one to one it is certain which letter carries the mark.
    if letters.len() != at.len() {
        return;
    }
    let mut chars = chars;
    for (letter, place) in letters.iter().zip(at) {
        let Some(slot) = chars.get_mut(place) else { continue };
        let marks: Vec<&Blob> = word.blobs.iter().filter(|b| over(b, letter, ink.letter)).collect();
        if let Some(accent) = accent(&marks, letter, ink, single) {
            *slot = with(*slot, accent).unwrap_or(*slot);
        }
    }
    word.text = chars.into_iter().collect();
}

/// Without German data "ü" is read as "ii" or "ti". Where so many letters fewer stand in the ink, and two dots stand
/// over each letter in question, it is a u.
fn with_diaereses(
    chars: &[char],
    letters: &[Blob],
    blobs: &[Blob],
    height: f32,
) -> Option<Vec<char>> {
    let mut read = Vec::with_capacity(chars.len());
    let mut doubled = Vec::new();
    let mut rest = chars.iter().copied().peekable();
    while let Some(c) = rest.next() {
        if matches!(c, 'i' | 't') && rest.next_if_eq(&'i').is_some() {
            doubled.push(read.len());
            read.push('u');
        } else {
            read.push(c);
        }
    }
    let place = |at: usize| read.iter().take(at).filter(|c| c.is_alphanumeric()).count();
    let dotted = |at: usize| {
        let letter = letters.get(place(at));
        letter.is_some_and(|l| blobs.iter().filter(|b| over(b, l, height)).count() == 2)
    };
    let one_to_one = letters.len() == place(read.len());
    (one_to_one && !doubled.is_empty() && doubled.iter().all(|at| dotted(*at))).then_some(read)
}

/// Whether a small mark stands over a letter.
fn over(mark: &Blob, letter: &Blob, height: f32) -> bool {
    let middle = (mark.area.left + mark.area.right) / 2;
    let slack = (height * 0.15) as i32;
    mark.height_in(height) < 0.5
        && mark.area.bottom <= letter.area.top + slack / 2
        && (letter.area.left - slack..=letter.area.right + slack).contains(&middle)
}

fn accent(marks: &[&Blob], letter: &Blob, ink: &Ink, single: bool) -> Option<char> {
    let wide = letter.width_in(ink.letter) > 0.55;
    match marks {
        [a, b] if wide => {
            let level = (a.area.top - b.area.top).abs() as f32 <= ink.letter * 0.15 + 1.0;
            let alike = a.pixels.max(b.pixels) <= 2 * a.pixels.min(b.pixels);
            (level && alike).then_some(DIAERESIS)
        }
        [mark] if wide && single && mark.height_in(ink.letter) >= 0.18 => lean(mark, ink),
        _ => None,
    }
}

/// Which way a mark leans: mean x of its upper half against its lower half.
fn lean(mark: &Blob, ink: &Ink) -> Option<char> {
    let middle = (mark.area.top + mark.area.bottom) / 2;
    let (mut upper, mut lower) = ((0i64, 0i64), (0i64, 0i64));
    for y in mark.area.top..mark.area.bottom {
        for x in mark.area.left..mark.area.right {
            if ink.labels.get_pixel(x as u32, y as u32).0[0] == mark.label {
                let half = if y < middle { &mut upper } else { &mut lower };
                *half = (half.0 + i64::from(x), half.1 + 1);
            }
        }
    }
    let mean = |(sum, count): (i64, i64)| (count > 0).then(|| sum as f32 / count as f32);
    let lean = (mean(upper)? - mean(lower)?) / mark.area.width().max(1) as f32;
    let roof = mark.width_in(ink.letter) >= 0.45 && lean.abs() < 0.12;
    match lean {
        _ if roof => Some(CIRCUMFLEX),
        l if l > 0.2 => Some(ACUTE),
        l if l < -0.2 => Some(GRAVE),
        _ => None,
    }
}

/// The letter with the accent, if print has such a letter.
fn with(c: char, accent: char) -> Option<char> {
    let base = std::iter::once(c).nfd().next()?;
    let carriers = match accent {
        DIAERESIS => "aouAOUei",
        CIRCUMFLEX | GRAVE => "aeou",
        _ => "aeouAEOU",
    };
    carriers.contains(base).then(|| [base, accent].into_iter().nfc().next())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_dots_over_one_letter_are_no_two_letters() {
        let blob = |label, left, top, right, bottom| Blob {
            label,
            area: crate::geom::Rect { left, top, right, bottom },
            pixels: 30,
        };
        let letters = [blob(1, 0, 0, 20, 28), blob(2, 24, 8, 40, 28), blob(3, 44, 8, 60, 28)];
        let dots = [blob(4, 26, 0, 30, 4), blob(5, 34, 0, 38, 4)];
        let blobs = [&letters[..], &dots].concat();
        let read: Vec<char> = "Biin".chars().collect();
        let found = with_diaereses(&read, &letters, &blobs, 20.0);
        assert_eq!(found.map(String::from_iter).as_deref(), Some("Bun"));
        assert_eq!(with_diaereses(&read, &letters, &letters, 20.0), None);
    }

    #[test]
    fn letters_take_only_accents_that_exist() {
        let cases = [
            ('u', DIAERESIS, Some('ü')),
            ('ó', DIAERESIS, Some('ö')),
            ('é', CIRCUMFLEX, Some('ê')),
            ('m', DIAERESIS, None),
        ];
        for (c, accent, result) in cases {
            assert_eq!(with(c, accent), result, "{c}");
        }
    }
}
