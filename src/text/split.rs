//! A read line is divided into title and page labels, by the style of its page.

use super::label::{self, Token};
use super::style::Style;
use super::words::{PageWord, ReadLine};
use crate::geom::Rect;

/// One printed label on a line.
#[derive(Debug, Clone)]
pub struct PrintedLabel {
    /// As first read, in figures.
    pub text: String,
    /// The word it was read in.
    pub word: PageWord,
    /// Whether that word held nothing but this label.
    pub alone: bool,
}

/// A line divided.
#[derive(Debug, Clone)]
pub struct SplitLine {
    /// Words of the title.
    pub title: Vec<PageWord>,
    /// Labels, left to right.
    pub labels: Vec<PrintedLabel>,
    /// The list of labels goes on: the last one has a comma after it.
    pub open: bool,
    /// A dash stands where the number would.
    pub dash: bool,
    /// Box of the line.
    pub area: Rect,
    /// Dot leaders ran along it.
    pub leader: bool,
}

/// Divides a line. `edge` is where right-aligned numbers end, `letter` the height of a letter.
pub fn split(line: &ReadLine, style: Style, edge: Option<i32>, letter: f32) -> SplitLine {
    let mut words = line.words.clone();
    let dash = drop_dash(&mut words);
    let run = match style {
        Style::Left => leading(&words),
        Style::None => Vec::new(),
        Style::Right => right(&words, edge, line.leader, letter),
        Style::Trailing { comma } => trailing(&words, comma),
    };
    let open = run.last().is_some_and(|w| w.text.ends_with([',', ';']));
    let keep = words.len() - run.len();
    let title = if style == Style::Left {
        words.split_off(run.len())
    } else {
        words.drain(..keep).collect()
    };
    let labels = run.into_iter().flat_map(printed).collect();
    SplitLine { title, labels, open, dash, area: line.area, leader: line.leader }
}

fn printed(word: PageWord) -> Vec<PrintedLabel> {
    let tokens = label::tokens(&word.text).unwrap_or_default();
    let alone = tokens.len() == 1;
    tokens
        .iter()
        .map(|t| PrintedLabel { text: t.text().to_owned(), word: word.clone(), alone })
        .collect()
}

/// A last part of dashes only stands for "no page".
fn drop_dash(words: &mut Vec<PageWord>) -> bool {
    let dash = |w: &PageWord| w.part > 0 && w.text.chars().all(|c| "-–—_~=".contains(c));
    let found = words.len() > 1 && words.last().is_some_and(dash);
    if found {
        words.pop();
    }
    found
}

fn numeric(word: &PageWord) -> bool {
    label::tokens(&word.text).is_some()
}

fn has_roman(word: &PageWord) -> bool {
    label::tokens(&word.text).is_some_and(|t| t.iter().any(|t| matches!(t, Token::Roman(_))))
}

/// The number at the left.
fn leading(words: &[PageWord]) -> Vec<PageWord> {
    let first = words.first().filter(|w| numeric(w) && !has_roman(w));
    first.into_iter().cloned().collect()
}

/// The last words that are numbers and continue each other ("503, 505-507").
fn run_at_end(words: &[PageWord]) -> usize {
    let mut count = 0;
    for (i, word) in words.iter().enumerate().rev() {
        let goes_on = |w: &PageWord| w.text.ends_with([',', ';', '-', '–']);
        let joined = count == 0
            || goes_on(word)
            || words
                .get(i + 1)
                .is_some_and(|next| next.part == word.part && i > 0 && gap_is_small(word, next));
        if !numeric(word) || !joined {
            break;
        }
        count += 1;
    }
    count
}

fn gap_is_small(left: &PageWord, right: &PageWord) -> bool {
    right.area.left - left.area.right < left.area.height().max(right.area.height())
}

fn right(words: &[PageWord], edge: Option<i32>, leader: bool, letter: f32) -> Vec<PageWord> {
    let mut count = run_at_end(words);
    while count > 0 {
        let Some(first) = words.get(words.len() - count) else { break };
        let before = (words.len() - count).checked_sub(1).and_then(|i| words.get(i));
        let gap = before.map_or(f32::MAX, |b| (first.area.left - b.area.right) as f32 / letter);
        let own_part = before.is_none_or(|b| b.part != first.part);
        let at_edge = words
            .last()
            .zip(edge)
            .is_some_and(|(w, e)| (w.area.right - e).abs() as f32 <= letter * 1.2);
        let roman = words.iter().rev().take(count).any(has_roman);
        let clear = if roman {
            own_part && at_edge && (leader || gap > 1.8)
        } else {
            (own_part || gap >= 0.3) && at_edge
        };
        if clear {
            return words.iter().rev().take(count).rev().cloned().collect();
        }
        count -= 1;
    }
    Vec::new()
}

fn trailing(words: &[PageWord], comma: bool) -> Vec<PageWord> {
    let mut count = words.iter().rev().take_while(|w| numeric(w)).count();
    while count > 0 {
        let roman = words.iter().rev().take(count).any(has_roman);
        let before = (words.len() - count).checked_sub(1).and_then(|i| words.get(i));
        let after_comma = before.is_none_or(|b| b.text.ends_with([',', ';', '.']));
        if before.is_none() && !roman || (if comma || roman { after_comma } else { true }) {
            break;
        }
        count -= 1;
    }
    words.iter().rev().take(count).rev().cloned().collect()
}
