//! Entries become rows: the title as printed, its page labels with their probabilities, where it stands.

use super::entries::{self, Entry};
use super::hands;
use super::kind::{self, Kind};
use super::label::LabelReading;
use super::look::Look;
use super::numbers;
use super::segment::Segment;
use super::{Alternative, CrossReference, Row, Strip};
use crate::Result;
use crate::geom::{Point, Rect};
use crate::photo::TextLine;
use image::RgbImage;

/// Rows this sure need no look.
pub const SURE: f64 = 0.97;

/// The rows and cross-references of a photograph.
pub fn rows(
    name: &str,
    picture: &RgbImage,
    look: &Look,
) -> Result<(Vec<Row>, Vec<CrossReference>)> {
    let entries = entries::entries(look);
    let read = hands::each(&entries, |entry| labels(picture, look, entry))?;
    let (mut rows, mut references) = (Vec::new(), Vec::new());
    for (entry, labels) in entries.iter().zip(read) {
        if entry.reference {
            references.extend(reference(look, entry, &labels));
        } else {
            rows.push(row(name, picture, look, entry, &labels));
        }
    }
    Ok((rows, references))
}

/// The labels of an entry in reading order, each with the ways to read it; a range set wide is one.
fn labels(picture: &RgbImage, look: &Look, entry: &Entry) -> Result<Vec<Vec<LabelReading>>> {
    let mut found: Vec<Vec<LabelReading>> = Vec::new();
    let mut before: Option<&Segment> = None;
    for segment in entry.labels.iter().filter_map(|i| look.segments.get(*i)) {
        // A dash alone belongs to the numbers beside it.
        if !segment.text.contains(char::is_alphanumeric) {
            continue;
        }
        let mut read = numbers::read(picture, look, segment)?;
        if let Some(follows) = follows(look, segment) {
            read.iter_mut().for_each(|r| r.label = format!("{} {follows}", r.label));
        }
        match found.last_mut() {
            Some(last) if before.is_some_and(|b| dash_between(look, b, segment)) => {
                *last = range(last, &read)
            }
            _ => found.push(read),
        }
        before = Some(segment);
    }
    Ok(found)
}

/// Whether only a dash stands between two segments of a line, or the first ends in one at the end of its line.
fn dash_between(look: &Look, a: &Segment, b: &Segment) -> bool {
    if a.line != b.line {
        return a.text.ends_with(kind::DASHES);
    }
    let marks =
        look.read.get(a.line).and_then(|r| r.marks.get(a.marks.1..b.marks.0.max(a.marks.1)));
    let between: String = marks.unwrap_or_default().iter().map(|m| m.letter).collect();
    let dash = between.trim();
    !dash.is_empty() && dash.chars().all(|c| kind::DASHES.contains(&c))
}

/// What marks the pages after a number as meant too, in the usual languages.
const FOLLOWS: [&str; 8] = ["f", "ff", "s", "ss", "sq", "sqq", "sg", "n"];

/// The "f." that stands behind a label with white between.
fn follows(look: &Look, label: &Segment) -> Option<String> {
    let next = look.segments.iter().find(|s| s.line == label.line && s.marks.0 >= label.marks.1)?;
    let core = next.text.trim_matches(|c: char| !c.is_alphanumeric());
    let near = next.left.x - label.right.x < 0.6 * label.height;
    (near && next.text.ends_with(['.', ',', ';']) && FOLLOWS.contains(&core))
        .then(|| core.to_owned())
}

/// The parts of a title without the "f." of its labels.
fn without_follows(look: &Look, entry: &Entry) -> Vec<usize> {
    let behind = |i: &usize| {
        let labels = entry.labels.iter().filter_map(|l| look.segments.get(*l));
        let text = look.segments.get(*i).map(|s| (s.line, s.marks.0));
        labels.into_iter().any(|l| {
            let next = look.segments.iter().find(|s| s.line == l.line && s.marks.0 >= l.marks.1);
            follows(look, l).is_some() && next.map(|s| (s.line, s.marks.0)) == text
        })
    };
    entry.title.iter().filter(|i| !behind(i)).copied().collect()
}

fn range(from: &[LabelReading], to: &[LabelReading]) -> Vec<LabelReading> {
    let (Some(a), Some(b)) = (from.first(), to.first()) else { return Vec::new() };
    vec![LabelReading {
        label: format!("{}-{}", a.label, b.label),
        probability: a.probability * b.probability,
    }]
}

fn row(
    name: &str,
    picture: &RgbImage,
    look: &Look,
    entry: &Entry,
    labels: &[Vec<LabelReading>],
) -> Row {
    let best: Vec<&LabelReading> = labels.iter().filter_map(|l| l.first()).collect();
    let pages: Vec<String> = best.iter().map(|r| r.label.clone()).collect();
    let touches = entry.title.iter().chain(&entry.labels).any(|i| cut_by_frame(picture, look, *i));
    let lost = best.len() < labels.len() || labels.is_empty() && !entry.labels.is_empty();
    let ordinals: f64 = entry.title.iter().map(|i| ordinal(look, *i)).product();
    let whole = if touches || lost || entries::interrupted(look, entry) { 0.5 } else { 1.0 };
    let probability = entry.probability * read(&best) * ordinals * whole;
    let alternatives = match labels {
        [one] => one
            .iter()
            .take(4)
            .map(|r| Alternative { page: r.label.clone(), weight: r.probability })
            .collect(),
        _ => Vec::new(),
    };
    Row {
        title: title(&look.segments, &without_follows(look, entry)),
        page: (!pages.is_empty()).then(|| pages.join(", ")),
        pages: if pages.len() > 1 { pages } else { Vec::new() },
        level: entry.level,
        column: entry.place.1 + 1,
        alternatives,
        probability,
        doubt: probability < SURE || entry.title.is_empty(),
        strip: Strip { photo: name.to_owned(), area: area(look, entry) },
    }
}

/// Probability that all labels are read right.
fn read(best: &[&LabelReading]) -> f64 {
    best.iter().map(|r| r.probability).product()
}

/// How sure the number is that a part of a title holds; 1 where there is none.
fn ordinal(look: &Look, segment: usize) -> f64 {
    let number =
        look.segments.get(segment).filter(|s| matches!(s.kind, Kind::Roman | Kind::Arabic));
    number.and_then(|s| numbers::in_title(look, s)).map_or(1.0, |reading| reading.probability)
}

fn reference(look: &Look, entry: &Entry, labels: &[Vec<LabelReading>]) -> Option<CrossReference> {
    let best: Vec<&LabelReading> = labels.iter().filter_map(|l| l.first()).collect();
    let label = without_lead(&title(&look.segments, &entry.title));
    if best.is_empty() || label.is_empty() {
        return None;
    }
    Some(CrossReference {
        label,
        pages: best.iter().map(|r| r.label.clone()).collect(),
        doubt: best.len() < labels.len() || entry.probability * read(&best) < SURE,
    })
}

/// Words that lead to a reference's name and are no part of it.
const LEADING: [&str; 24] = [
    "from", "the", "or", "del", "de", "la", "los", "las", "o", "vel", "e", "ex", "see", "and",
    "du", "des", "ou", "aus", "dem", "der", "oder", "dal", "dalle", "do",
];

fn without_lead(label: &str) -> String {
    let plain = |w: &str| w.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let words = label
        .split_whitespace()
        .skip_while(|w| plain(w).is_empty() || LEADING.contains(&plain(w).as_str()));
    words.collect::<Vec<_>>().join(" ")
}

/// The parts of a title as one: words broken at a line's end are joined.
pub fn title(segments: &[Segment], parts: &[usize]) -> String {
    let mut text = String::new();
    let mut line = None;
    for segment in parts.iter().filter_map(|i| segments.get(*i)) {
        let new_line = line.is_some_and(|l| l != segment.line);
        let broken = new_line && text.chars().count() > 1 && text.ends_with(['-', '‐', '¬']);
        if broken && segment.text.starts_with(char::is_lowercase) {
            text.pop();
        } else if !broken && !text.is_empty() {
            text.push(' ');
        }
        // "Il" begins Italian titles.
        let first = text.is_empty();
        text.push_str(&printed(segment, first));
        line = Some(segment.line);
    }
    // The first dots of leaders are read with the title.
    while let Some(shorter) =
        [" .", "..", " ·", "…"].iter().find_map(|dots| text.strip_suffix(dots))
    {
        text = shorter.trim_end().to_owned();
    }
    text.trim_end_matches([',', ';', '(', ' ', '—', '–'])
        .trim_start_matches(['.', '·', ',', ' '])
        .to_owned()
}

/// A part of a title, roman numbers mended that were read with letters alike.
fn printed(segment: &Segment, first: bool) -> String {
    let core = segment.text.trim_matches(|c: char| !c.is_alphanumeric() && c != '|');
    match kind::roman_in(core) {
        Some(roman) if segment.kind == Kind::Roman && !first => {
            segment.text.replacen(core, &roman, 1)
        }
        _ => segment.text.clone(),
    }
}

/// A part that lies nearer to the frame than this many heights may be cut by it.
const FRAME: f32 = 0.15;

fn cut_by_frame(picture: &RgbImage, look: &Look, segment: usize) -> bool {
    let (width, height) = (picture.width() as f32, picture.height() as f32);
    corners(look, segment).iter().any(|p| {
        let room = FRAME * look.segments.get(segment).map_or(0.0, |s| s.height);
        // The band reaches beyond its letters by a quarter of its height on each side.
        let inner = 0.5 * room;
        p.x < inner || p.y < inner || p.x > width - inner || p.y > height - inner
    })
}

/// The corners of a segment's letters on the picture.
fn corners(look: &Look, segment: usize) -> Vec<Point> {
    let Some((segment, line)) =
        look.segments.get(segment).and_then(|s| Some((s, look.lines.get(s.line)?)))
    else {
        return Vec::new();
    };
    let marks =
        look.read.get(segment.line).and_then(|r| r.marks.get(segment.marks.0..segment.marks.1));
    let (Some(first), Some(last)) = (marks.and_then(<[_]>::first), marks.and_then(<[_]>::last))
    else {
        return Vec::new();
    };
    band(line, first.from, last.to)
}

fn band(line: &TextLine, from: f32, to: f32) -> Vec<Point> {
    let along = crate::photo::Along::of(&line.axis);
    let half = 0.3 * line.height;
    [from, (from + to) / 2.0, to]
        .into_iter()
        .flat_map(|at| {
            let (p, way) = along.at(at);
            [
                Point { x: p.x - way.y * half, y: p.y + way.x * half },
                Point { x: p.x + way.y * half, y: p.y - way.x * half },
            ]
        })
        .collect()
}

/// The box around an entry, with a little room, in pixels of the photograph.
fn area(look: &Look, entry: &Entry) -> Rect {
    let points: Vec<Point> =
        entry.title.iter().chain(&entry.labels).flat_map(|i| corners(look, *i)).collect();
    let range = |values: Vec<f32>| {
        values.iter().fold((f32::MAX, f32::MIN), |r, v| (r.0.min(*v), r.1.max(*v)))
    };
    let (left, right) = range(points.iter().map(|p| p.x).collect());
    let (top, bottom) = range(points.iter().map(|p| p.y).collect());
    if points.is_empty() {
        return Rect { left: 0, top: 0, right: 0, bottom: 0 };
    }
    Rect {
        left: left.max(0.0) as i32,
        top: top.max(0.0) as i32,
        right: right.ceil() as i32,
        bottom: bottom.ceil() as i32,
    }
}
