//! Where on the lines of a page the page numbers stand, and whether it is a list at all.

use super::edge::Edge;
use super::label::{self, Token};
use super::words::{PageWord, ReadLine};
use crate::geom::Rect;

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

/// Where numbers are aligned in a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edges {
    /// Where numbers at the end of lines end.
    pub right: Option<Edge>,
    /// Where numbers at the start of lines start.
    pub left: Option<Edge>,
    /// Where numbers at the start of lines end.
    pub left_end: Option<Edge>,
}

impl Edges {
    /// Measures a column.
    pub fn of(lines: &[ReadLine], letter: f32) -> Edges {
        let last = |l: &ReadLine| l.words.last().filter(|w| number_at_end(w, l)).map(|w| w.area);
        let first = |l: &ReadLine| l.words.first().filter(|w| arabic(&w.text)).map(|w| w.area);
        let lasts: Vec<Rect> = lines.iter().filter_map(last).collect();
        let firsts: Vec<Rect> = lines.iter().filter_map(first).collect();
        let edge = |areas: &[Rect], x: fn(&Rect) -> i32| {
            let points: Vec<(i32, i32)> = areas.iter().map(|a| (x(a), middle(a))).collect();
            Edge::of(&points, letter).map(|e| e.0)
        };
        Edges {
            right: edge(&lasts, |a| a.right),
            left: edge(&firsts, |a| a.left),
            left_end: edge(&firsts, |a| a.right),
        }
    }
}

/// The height at which a word stands.
pub fn middle(area: &Rect) -> i32 {
    (area.top + area.bottom) / 2
}

/// The value with most others near it.
fn common(values: &[i32], letter: f32) -> Option<i32> {
    values.iter().copied().max_by_key(|v| near(values, *v, letter))
}

fn near(values: &[i32], at: i32, letter: f32) -> usize {
    let slack = letter as i32;
    values.iter().filter(|v| (at - **v).abs() <= slack).count()
}

/// A number at one end of a line.
#[derive(Debug, Clone, Copy)]
struct Ends {
    /// Right end of the number that ends the line.
    trailing: Option<i32>,
    /// White before it, far wider than a word space, or nothing before it.
    apart: bool,
    comma: bool,
    leading: bool,
    /// Words besides the numbers.
    titled: bool,
}

/// Decides by counting over all lines of a page, given column by column. `letter` is the height of a letter. The shares come from trials
/// on printed lists; running text with years and numbers in it stays under them.
pub fn style(columns: &[&[ReadLine]], letter: f32) -> Style {
    let lines: Vec<&ReadLine> = columns.iter().copied().flatten().collect();
    let lines = &lines;
    let ends: Vec<Ends> = lines.iter().map(|l| ends(l, letter)).collect();
    let count = |f: &dyn Fn(&Ends) -> bool| ends.iter().filter(|e| f(e)).count();
    let trailing: Vec<i32> = ends.iter().filter_map(|e| e.trailing).collect();
    let titled = count(&|e| e.titled);
    let leading = count(&|e| e.leading && e.titled);
    let after_title = count(&|e| e.trailing.is_some() && e.titled);
    let aligned: usize = columns.iter().map(|lines| aligned(lines, letter)).sum();
    let apart = count(&|e| e.apart && e.trailing.is_some());
    let leaders = lines.iter().filter(|l| l.leader).count();
    let left = leading >= 4 && leading * 10 >= titled * 4 && leading > 2 * aligned;
    if left && !ordinals(lines) && !(days(lines) && after_title * 2 >= leading) {
        return Style::Left;
    }
    let set_apart = apart * 2 >= trailing.len();
    if aligned >= 2
        && aligned * 10 >= trailing.len() * 6
        && set_apart
        && trailing.len() * 8 >= titled
    {
        return Style::Right;
    }
    if after_title >= 3 && after_title * 3 >= titled {
        let commas = count(&|e| e.comma);
        return Style::Trailing { comma: commas * 2 > after_title };
    }
    if leaders >= 2 { Style::Right } else { Style::None }
}

/// How many lines of a column end in numbers with one right edge.
fn aligned(lines: &[ReadLine], letter: f32) -> usize {
    let trailing = |l: &ReadLine| Some((ends(l, letter).trailing?, middle(&l.area)));
    let trailing: Vec<(i32, i32)> = lines.iter().filter_map(trailing).collect();
    Edge::of(&trailing, letter).map_or(0, |e| e.1)
}

fn ends(line: &ReadLine, letter: f32) -> Ends {
    let run = line.words.iter().rev().take_while(|w| number_at_end(w, line)).count();
    let last = line.words.last().filter(|_| run > 0);
    let before = line.words.len().checked_sub(run + 1).and_then(|i| line.words.get(i));
    let first_of_run = line.words.get(line.words.len() - run);
    let white = before.zip(first_of_run).map(|(b, f)| (f.area.left - b.area.right) as f32 / letter);
    let wordy =
        |w: &PageWord| !arabic(&w.text) && w.text.chars().filter(|c| c.is_alphabetic()).count() > 1;
    Ends {
        trailing: last.map(|w| w.area.right),
        apart: white.is_none_or(|w| w > 1.2),
        comma: run > 0 && before.is_some_and(|w| w.text.ends_with([',', ';'])),
        leading: line.words.first().is_some_and(|w| arabic(&w.text) && !closed(&w.text)),
        titled: line.words.iter().any(wordy),
    }
}

/// A number in figures, or in roman numerals far from the title.
fn number_at_end(word: &PageWord, line: &ReadLine) -> bool {
    let roman = || {
        word.part > 0
            && (line.leader || line.words.len() > 1)
            && label::tokens(&word.text).is_some()
    };
    arabic(&word.text) || roman()
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
    let first = |l: &&ReadLine| l.words.first().and_then(|w| label::position(label::bare(&w.text)));
    let numbers: Vec<i64> = lines.iter().filter_map(first).filter(|n| *n > 0).collect();
    let steps = numbers.windows(2).filter(|w| matches!(w, [a, b] if b - a == 1)).count();
    numbers.iter().take(3).any(|n| *n <= 2) && steps * 10 >= numbers.len().saturating_sub(1) * 7
}

/// Whether the numbers at the left can be days of the month.
fn days(lines: &[&ReadLine]) -> bool {
    let first = |l: &&ReadLine| l.words.first().and_then(|w| label::position(label::bare(&w.text)));
    let numbers: Vec<i64> = lines.iter().filter_map(first).filter(|n| *n > 0).collect();
    let days = numbers.iter().filter(|n| **n <= 31).count();
    days * 10 >= numbers.len() * 9
}

/// Whether the lines are running text: most of them full, and no leaders.
pub fn prose(lines: &[ReadLine], letter: f32) -> bool {
    let last = |l: &ReadLine| {
        l.words
            .iter()
            .rev()
            .find(|w| w.text.chars().filter(|c| c.is_alphanumeric()).count() > 1)
            .map(|w| w.area.right)
    };
    let ends: Vec<i32> = lines.iter().filter_map(last).collect();
    let full = common(&ends, letter).map_or(0, |at| near(&ends, at, letter * 1.5));
    ends.len() >= 10 && full * 2 >= ends.len() && lines.iter().all(|l| !l.leader)
}
