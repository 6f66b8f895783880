//! A read line is divided into title and page labels, by the style of its page.

use super::edge::Edge;
use super::glyphs;
use super::ink::Blob;
use super::label::{self, Token};
use super::line::WIDEST_SPACE;
use super::style::{Edges, Style, middle};
use super::words::{PageWord, ReadLine};
use crate::geom::Rect;

/// One printed label on a line.
#[derive(Debug, Clone)]
pub struct PrintedLabel {
    /// As first read, in figures.
    pub text: String,
    /// Its ink; none where it could not be parted from its neighbours.
    pub blobs: Vec<Blob>,
    /// Tesseract's confidence in its word, 0–1.
    pub confidence: f32,
}

/// A line divided.
#[derive(Debug, Clone)]
pub struct SplitLine {
    /// Words of the title.
    pub title: Vec<PageWord>,
    /// Labels, left to right.
    pub labels: Vec<PrintedLabel>,
    /// The list of labels goes on: the last one has a comma or a dash after it.
    pub open: bool,
    /// The last label is the start of a range that ends on the next line.
    pub range: bool,
    /// A dash stands where the number would.
    pub dash: bool,
    /// Box of the line.
    pub area: Rect,
    /// Dot leaders ran along it.
    pub leader: bool,
}

/// Divides a line. `letter` is the height of a letter.
pub fn split(line: &ReadLine, style: Style, edges: Edges, letter: f32) -> SplitLine {
    let mut words = line.words.clone();
    let dash = drop_dash(&mut words);
    drop_dust(&mut words, line.leader);
    if style == Style::Right {
        drop_beyond(&mut words, edges.right, letter);
        join_torn(&mut words, line.leader, letter);
    }
    let run = match style {
        Style::Left => leading(&words, edges, letter),
        Style::None => Vec::new(),
        Style::Right => right(&words, edges.right, line.leader, letter),
        Style::Trailing { comma } => trailing(&words, comma),
    };
    let range = run.last().is_some_and(|w| w.text.ends_with(DASHES) && w.text.len() > 1);
    let open = range || run.last().is_some_and(|w| w.text.ends_with([',', ';']));
    let keep = words.len() - run.len();
    let area = words.iter().map(|w| w.area).reduce(|a, b| a.union(&b)).unwrap_or(line.area);
    let title = if style == Style::Left {
        words.split_off(run.len())
    } else {
        words.drain(..keep).collect()
    };
    SplitLine { title, labels: printed(&run), open, range, dash, area, leader: line.leader }
}

/// The labels of a run of words. "87" and "—90" in two words are one range.
pub fn printed(run: &[PageWord]) -> Vec<PrintedLabel> {
    let mut labels: Vec<PrintedLabel> = Vec::new();
    let mut range = false;
    for word in run {
        let from_before = word.text.starts_with(DASHES) || range;
        range = word.text.ends_with(DASHES);
        for (i, label) in in_word(word).into_iter().enumerate() {
            match labels.last_mut() {
                Some(last) if i == 0 && from_before && !last.text.contains('-') => {
                    last.text = format!("{}-{}", last.text, label.text);
                    last.blobs.extend(label.blobs);
                    last.confidence = last.confidence.min(label.confidence);
                }
                _ => labels.push(label),
            }
        }
    }
    labels
}

const DASHES: [char; 3] = ['-', '–', '—'];

fn in_word(word: &PageWord) -> Vec<PrintedLabel> {
    let Some(tokens) = label::tokens(&word.text) else { return vec![forced(word)] };
    let inks = glyphs::between_commas(&word.blobs);
    if inks.len() == 1 && tokens.len() > 1 {
        return vec![forced(word)];
    }
    let known = inks.len() == tokens.len();
    let labels = tokens.iter().enumerate().map(|(i, token)| PrintedLabel {
        text: token.text().to_owned(),
        blobs: inks.get(i).filter(|_| known).cloned().unwrap_or_default(),
        confidence: word.confidence,
    });
    labels.collect()
}

/// A word that stands where only a number can stand but was not read as one ("BOO" for 300): read again it
/// will show its figures.
fn forced(word: &PageWord) -> PrintedLabel {
    PrintedLabel { text: String::new(), blobs: word.blobs.clone(), confidence: 0.0 }
}

/// Whether a word could be a misread number: short, and with a figure or a letter like one.
fn like_number(word: &PageWord) -> bool {
    let bare = label::bare(&word.text);
    (1..=5).contains(&bare.chars().count())
        && bare.chars().any(|c| c.is_ascii_digit() || "lIoOSBZ|".contains(c))
}

/// Whether a word after a leader could be a misread roman number.
fn like_roman(word: &PageWord) -> bool {
    let bare = label::bare(&word.text).to_lowercase();
    let like = |c: char| "ivxlcdmjyth1".contains(c);
    (1..=8).contains(&bare.chars().count()) && bare.chars().all(like)
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

/// Words without a letter or figure at the ends of a line are dust, rules or dashes; so is a single letter that
/// stands far off, if it is no roman number.
fn drop_dust(words: &mut Vec<PageWord>, leader: bool) {
    let dust = |w: &PageWord| !w.text.contains(char::is_alphanumeric);
    let lone = |w: &PageWord, all: &[PageWord]| {
        let alone = w.part > 0 && all.iter().filter(|o| o.part == w.part).count() == 1;
        let letter = label::bare(&w.text).chars().count() == 1
            && !w.text.contains(|c: char| c.is_ascii_digit());
        alone && letter && !(leader && numeric(w))
    };
    while words.last().is_some_and(|w| dust(w) || lone(w, words)) {
        words.pop();
    }
    let first = words.iter().take_while(|w| dust(w)).count();
    words.drain(..first);
}

/// Nothing is printed to the right of right-aligned numbers.
fn drop_beyond(words: &mut Vec<PageWord>, edge: Option<Edge>, letter: f32) {
    let beyond = |w: &PageWord| {
        edge.is_some_and(|e| w.area.left as f32 - e.at(middle(&w.area)) > letter * 0.5)
    };
    while words.len() > 1 && words.last().is_some_and(|w| w.part > 0 && beyond(w)) {
        words.pop();
    }
}

fn numeric(word: &PageWord) -> bool {
    // The day in "(Apr. 23), 916" belongs to the title.
    let ends_bracket = word.text.contains(')') && !word.text.contains('(');
    !ends_bracket && label::tokens(&word.text).is_some()
}

fn has_roman(word: &PageWord) -> bool {
    label::tokens(&word.text).is_some_and(|t| t.iter().any(|t| matches!(t, Token::Roman(_))))
}

/// A number that stands apart and was read as two words ("31 9") is one.
fn join_torn(words: &mut Vec<PageWord>, leader: bool, letter: f32) {
    let figures = |w: &PageWord| w.text.chars().all(|c| c.is_ascii_digit());
    if !words.last().is_some_and(figures) {
        return;
    }
    let mut count = 1;
    while let [.., before, first] = words.get(..words.len() - count + 1).unwrap_or_default()
        && figures(before)
        && gap_is_small(before, first)
    {
        count += 1;
    }
    let apart = leader || white_before(words, count, letter).is_none_or(|w| w > WIDEST_SPACE);
    if count < 2 || !apart {
        return;
    }
    let joined = words.split_off(words.len() - count).into_iter().reduce(|a, b| PageWord {
        text: format!("{}{}", a.text, b.text),
        area: a.area.union(&b.area),
        confidence: a.confidence.min(b.confidence),
        blobs: [a.blobs, b.blobs].concat(),
        part: a.part,
    });
    words.extend(joined);
}

/// The number at the left, where the others of its column start or end.
fn leading(words: &[PageWord], edges: Edges, letter: f32) -> Vec<PageWord> {
    let placed = |w: &&PageWord| {
        let near = |x: i32, edge: Option<Edge>| {
            edge.is_some_and(|e| (x as f32 - e.at(middle(&w.area))).abs() <= letter * 0.9)
        };
        near(w.area.left, edges.left) || (near(w.area.right, edges.left_end) && numeric(w))
    };
    let number = |w: &&PageWord| if numeric(w) { !has_roman(w) } else { like_number(w) };
    words.first().filter(placed).filter(number).into_iter().cloned().collect()
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
        let kind = |w: &PageWord| has_roman(w);
        let mixed = count > 0 && words.last().is_some_and(|l| kind(l) != kind(word));
        if !numeric(word) || !joined || mixed {
            break;
        }
        count += 1;
    }
    count
}

fn gap_is_small(left: &PageWord, right: &PageWord) -> bool {
    right.area.left - left.area.right < left.area.height().max(right.area.height())
}

fn right(words: &[PageWord], edge: Option<Edge>, leader: bool, letter: f32) -> Vec<PageWord> {
    let at_edge = words
        .last()
        .zip(edge)
        .is_some_and(|(w, e)| (w.area.right as f32 - e.at(middle(&w.area))).abs() <= letter * EDGE);
    let most = run_at_end(words);
    let count =
        (1..=most).rev().find(|&count| at_edge && clear(words, count, leader, letter)).unwrap_or(0);
    if count == 0 && at_edge {
        return unread(words, leader, letter);
    }
    last(words, count)
}

/// How far a right-aligned number may end from the edge, in letter heights.
const EDGE: f32 = 1.6;

fn last(words: &[PageWord], count: usize) -> Vec<PageWord> {
    words.iter().skip(words.len() - count).cloned().collect()
}

/// White before the first of the last `count` words, in letter heights.
fn white_before(words: &[PageWord], count: usize, letter: f32) -> Option<f32> {
    let first = words.get(words.len() - count)?;
    let before = words.get((words.len() - count).checked_sub(1)?)?;
    Some((first.area.left - before.area.right) as f32 / letter)
}

/// Whether the last `count` words stand clear of the title.
fn clear(words: &[PageWord], count: usize, leader: bool, letter: f32) -> bool {
    let white = white_before(words, count, letter);
    let roman = words.iter().rev().take(count).any(has_roman);
    if roman {
        words.len() > count && white.is_some_and(|w| leader || w > WIDEST_SPACE)
    } else {
        white.is_none_or(|w| w >= 0.3)
    }
}

/// A short last part at the edge that was not read as a number.
fn unread(words: &[PageWord], leader: bool, letter: f32) -> Vec<PageWord> {
    let far = white_before(words, 1, letter).is_some_and(|w| w > WIDEST_SPACE);
    let alone = words.len() > 1
        && words.iter().rev().nth(1).zip(words.last()).is_some_and(|(a, b)| a.part != b.part);
    let like = words.last().is_some_and(|w| {
        like_number(w) && (leader || w.text.contains(|c: char| c.is_ascii_digit()))
            || leader && like_roman(w)
    });
    if far && alone && like { last(words, 1) } else { Vec::new() }
}

fn trailing(words: &[PageWord], comma: bool) -> Vec<PageWord> {
    let mut count = words.iter().rev().take_while(|w| numeric(w)).count();
    while count > 0 {
        let romans = words.iter().rev().take(count).filter(|w| has_roman(w)).count();
        let roman = romans > 0;
        let before = (words.len() - count).checked_sub(1).and_then(|i| words.get(i));
        let after_comma = before.is_none_or(|b| b.text.ends_with([',', ';', '.']));
        let romans_only = romans == count
            && words.iter().rev().take(count).all(|w| label::bare(&w.text).len() > 1);
        let fits = if roman { comma && romans_only && after_comma } else { !comma || after_comma };
        if fits {
            break;
        }
        count -= 1;
    }
    last(words, count)
}
