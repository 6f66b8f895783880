//! Where on the lines of a page the page numbers stand.

use super::label::{self, Token};
use super::words::{PageWord, ReadLine};

/// The place of the page numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Style {
    /// Aligned at the right edge of the column.
    Right,
    /// After the title, "title, 512".
    Trailing {
        /// A comma stands between title and number.
        comma: bool,
    },
    /// Before the title.
    Left,
    /// Nowhere.
    None,
}

/// A number at one end of a line.
#[derive(Debug, Clone, Copy)]
struct Ends {
    trailing: Option<i32>,
    comma: bool,
    leading: bool,
    /// Words besides the numbers.
    titled: bool,
}

/// Decides by counting over all lines of a page. `letter` is the height of a letter.
pub fn style(lines: &[&ReadLine], letter: f32) -> Style {
    let ends: Vec<Ends> = lines.iter().map(|l| ends(l)).collect();
    let trailing: Vec<i32> = ends.iter().filter_map(|e| e.trailing).collect();
    let leading = ends.iter().filter(|e| e.leading && e.titled).count();
    let titled = ends.iter().filter(|e| e.titled).count();
    let aligned = aligned(&trailing, letter);
    let after_title = ends.iter().filter(|e| e.trailing.is_some() && e.titled).count();
    if leading >= 4 && leading * 10 >= titled * 4 && leading > 2 * aligned && !ordinals(lines) {
        return Style::Left;
    }
    if aligned >= 2 && aligned * 10 >= trailing.len() * 6 && trailing.len() * 8 >= titled {
        return Style::Right;
    }
    if after_title >= 3 && after_title * 5 >= titled {
        let commas = ends.iter().filter(|e| e.comma).count();
        return Style::Trailing { comma: commas * 2 > trailing.len() };
    }
    if aligned >= 1 && lines.iter().any(|l| l.leader) { Style::Right } else { Style::None }
}

/// The size of the largest group of numbers that end at the same x.
fn aligned(rights: &[i32], letter: f32) -> usize {
    let slack = (letter * 0.8) as i32;
    rights
        .iter()
        .map(|a| rights.iter().filter(|b| (*a - **b).abs() <= slack).count())
        .max()
        .unwrap_or(0)
}

fn ends(line: &ReadLine) -> Ends {
    let numeric = |w: &&PageWord| arabic(&w.text);
    let trailing_words = line.words.iter().rev().take_while(numeric).count();
    let last = line.words.last().filter(numeric).filter(|w| separate(line, w));
    let before = line.words.len().checked_sub(trailing_words + 1).and_then(|i| line.words.get(i));
    Ends {
        trailing: last.map(|w| w.area.right),
        comma: last.is_some() && before.is_some_and(|w| w.text.ends_with([',', ';'])),
        leading: line.words.first().is_some_and(|w| arabic(&w.text) && !closed(&w.text)),
        titled: line
            .words
            .iter()
            .any(|w| !arabic(&w.text) && w.text.chars().filter(|c| c.is_alphabetic()).count() > 1),
    }
}

/// A number in running text is no page number just because the line ends there: years and volumes have a
/// full stop or belong to a wrapped sentence. Only the last word counts, and "in-8." is no number at all.
fn separate(line: &ReadLine, word: &PageWord) -> bool {
    line.words.len() == 1 || !word.blobs.is_empty()
}

/// "12." and "12)" number the entries, they are no pages.
fn closed(text: &str) -> bool {
    text.ends_with(['.', ')', ':'])
}

/// Whether a word is a number in figures.
pub fn arabic(text: &str) -> bool {
    label::tokens(text).is_some_and(|t| t.iter().all(|t| matches!(t, Token::Arabic(_))))
}

/// Whether the numbers at the left count the entries from 1.
fn ordinals(lines: &[&ReadLine]) -> bool {
    let first =
        |l: &&&ReadLine| l.words.first().and_then(|w| label::position(label::bare(&w.text)));
    let numbers: Vec<i64> = lines.iter().filter_map(|l| first(&l)).filter(|n| *n > 0).collect();
    let steps = numbers.windows(2).filter(|w| matches!(w, [a, b] if b - a == 1)).count();
    numbers.iter().take(3).any(|n| *n <= 2) && steps * 10 >= numbers.len().saturating_sub(1) * 7
}
