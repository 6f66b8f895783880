//! Roman numbers in titles: "Preface II of Advent", "III. For Missionary Martyrs". Capitals I in a row are read as
//! l, 1, H or M, by Tesseract's language model, for which they are no word; strokes are counted in the ink instead.

use super::glyphs;
use super::ink::Blob;
use super::words::{PageWord, ReadLine};
use std::collections::HashSet;

/// Corrects the roman numbers in the titles of a page.
pub fn restore(lines: &mut [ReadLine]) {
    for line in &mut *lines {
        let last = line.words.len().saturating_sub(1);
        let (words, end) = line.words.split_at_mut(last);
        // A bar that begins a line is a piece of the rule between columns.
        let bar = |w: &PageWord| !w.text.contains(char::is_alphanumeric);
        let first = words.iter().take_while(|w| bar(w)).count();
        words.iter_mut().skip(first).for_each(by_strokes);
        // The last word may be a page number, the only one a heading's.
        end.iter_mut()
            .filter(|w| !w.text.contains(|c: char| c.is_ascii_digit()))
            .for_each(by_strokes);
    }
    let known = Known::of(lines);
    for line in lines {
        let last = line.words.len().saturating_sub(1);
        let mut before = None;
        for word in line.words.iter_mut().take(last).filter(|w| w.part == 0) {
            if known.stands_for_roman(before.as_deref(), &word.text) {
                word.text = word.text.replace('1', "I");
            }
            before = Some(word.text.to_lowercase());
        }
    }
}

/// Takes a word for a roman number if its characters can be nothing else and the ink shows as many strokes.
fn by_strokes(word: &mut PageWord) {
    let core = word.text.trim_end_matches(['.', ',', ':', ';', ')']);
    let end = word.text.get(core.len()..).unwrap_or_default();
    if core.is_empty() || is_roman(core) || core.chars().all(|c| c.is_ascii_digit()) {
        return;
    }
    let strokes: Option<String> = core.chars().map(strokes).collect();
    let Some(roman) = strokes.filter(|r| is_roman(r)) else { return };
    let letters = glyph_count(&word.blobs);
    // "VIIL" is "VIII." with its point drawn to the last stroke.
    let pointed = core.ends_with('L') && end.is_empty();
    if letters == roman.len() {
        word.text = format!("{roman}{}", if pointed { "." } else { end });
    }
}

/// The letters of a roman number that a character may be.
fn strokes(c: char) -> Option<&'static str> {
    Some(match c {
        'I' | 'l' | '1' | '|' | '!' | '[' | ']' | 'i' | 'J' | 'T' | 'L' => "I",
        'H' | 'M' | 'U' | 'N' | '"' => "II",
        'V' => "V",
        'X' => "X",
        _ => return None,
    })
}

/// Glyphs as high as capitals.
fn glyph_count(blobs: &[Blob]) -> usize {
    let glyphs = glyphs::areas(blobs);
    let highest = glyphs.iter().map(|g| g.height()).max().unwrap_or(0);
    glyphs.iter().filter(|g| g.height() * 2 > highest).count()
}

/// A number in capitals up to 39, in its usual form: no list of an altar book counts further.
fn is_roman(text: &str) -> bool {
    let tens = text.bytes().take_while(|b| *b == b'X').count();
    let ones = ["", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX"];
    !text.is_empty() && tens <= 3 && text.get(tens..).is_some_and(|rest| ones.contains(&rest))
}

/// Where on a page roman numbers stand: "1", "11" and "111" in such a place are of their kind.
struct Known {
    /// Words that a number follows, in small letters.
    before: HashSet<String>,
    /// Lines begin with roman numbers, and none with figures.
    begin: bool,
}

impl Known {
    fn of(lines: &[ReadLine]) -> Known {
        let (mut before, mut romans, mut figures) = (HashSet::new(), 0, 0);
        for line in lines {
            if let Some(number) = line.words.first().and_then(|w| w.text.strip_suffix('.')) {
                romans += usize::from(number.len() > 1 && is_roman(number));
                let digits = number.bytes().all(|b| b.is_ascii_digit());
                figures += usize::from(digits && number.bytes().any(|b| b != b'1'));
            }
            for pair in line.words.windows(2) {
                if let [word, number] = pair
                    && is_roman(number.text.trim_end_matches([',', ':', ';']))
                    && number.text.len() > 1
                {
                    before.insert(word.text.to_lowercase());
                }
            }
        }
        Known { before, begin: romans > 0 && figures == 0 }
    }

    fn stands_for_roman(&self, before: Option<&str>, word: &str) -> bool {
        let number = word.trim_end_matches(['.', ',', ':', ';']);
        let ones = !number.is_empty() && number.len() <= 3 && number.bytes().all(|b| b == b'1');
        let place = match before {
            Some(before) => self.before.contains(before),
            None => self.begin && number.len() < word.len(),
        };
        ones && place
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;

    /// A word with `glyphs` strokes.
    fn word(text: &str, glyphs: i32) -> PageWord {
        let blob = |i| Blob {
            label: i as u32 + 1,
            area: Rect { left: 12 * i, top: 0, right: 12 * i + 8, bottom: 30 },
            pixels: 200,
        };
        let area = Rect { left: 0, top: 0, right: 12 * glyphs, bottom: 30 };
        let blobs = (0..glyphs).map(blob).collect();
        PageWord { text: text.into(), area, confidence: 0.8, blobs, part: 0 }
    }

    fn line(words: Vec<PageWord>) -> ReadLine {
        let area = Rect { left: 0, top: 0, right: 900, bottom: 30 };
        ReadLine { words, area, leader: false, step: None }
    }

    /// Each word with a stroke for each character.
    fn lines(texts: &[&str]) -> Vec<ReadLine> {
        let plain = |text: &str| word(text, text.len() as i32);
        texts.iter().map(|text| line(text.split(' ').map(plain).collect())).collect()
    }

    fn read(mut lines: Vec<ReadLine>) -> Vec<String> {
        restore(&mut lines);
        let text =
            |l: &ReadLine| l.words.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
        lines.iter().map(text).collect()
    }

    #[test]
    fn strokes_tell_a_number_from_letters() {
        let cases = [
            ("Il", 2, "II"),
            ("lll", 3, "III"),
            ("HI", 3, "III"),
            ("H", 2, "II"),
            ("H", 1, "H"),
            ("IJI.", 3, "III."),
            ("VIIL", 4, "VIII."),
            ("Ml", 3, "III"),
            ("TV.", 2, "IV."),
            ("|", 1, "I"),
            ("In", 2, "In"),
            ("Mill", 4, "Mill"),
            ("XIV", 3, "XIV"),
        ];
        for (text, strokes, right) in cases {
            let words = vec![word("Preface", 7), word(text, strokes), word("end", 3)];
            assert_eq!(read(vec![line(words)]), [format!("Preface {right} end")]);
        }
    }

    #[test]
    fn ones_are_roman_where_their_like_are() {
        let cases: [(&[&str], &[&str]); 4] = [
            (
                &["Preface 1 of Advent 11", "Preface II of Advent 12", "Week 1 and 13"],
                &["Preface I of Advent 11", "Preface II of Advent 12", "Week 1 and 13"],
            ),
            (&["11. Pastors", "IV. Virgins"], &["II. Pastors", "IV. Virgins"]),
            (&["10. Peace", "11. Rain", "II. Civil"], &["10. Peace", "11. Rain", "II. Civil"]),
            // A rule between columns.
            (&["| Virgins 12"], &["| Virgins 12"]),
        ];
        for (printed, right) in cases {
            assert_eq!(read(lines(printed)), right);
        }
    }
}
