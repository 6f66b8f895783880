//! Read lines become segments: the smallest parts of print that may play a role of their own.
//!
//! A line of print may hold several entries, a title with its number, or a number alone; what belongs together is
//! decided later, by the page as a whole. So a line is parted wherever a role may change: at every number, at
//! leaders, at wide white and behind punctuation.

use super::kind::{self, Kind};
use crate::geom::{Point, median};
use crate::photo::Reach;

/// A character that was read, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// The character.
    pub letter: char,
    /// Its left and right edge along the line's axis, in pixels of the picture.
    pub from: f32,
    /// Its right edge.
    pub to: f32,
    /// How sure the reader is of it, 0–1.
    pub probability: f32,
}

/// A line that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadLine {
    /// Its characters from the left, spaces included.
    pub marks: Vec<Mark>,
    /// Points of its axis from left to right in the level frame (the picture turned so that most lines run level),
    /// in pixels.
    pub axis: Vec<Point>,
    /// Height of its band, in pixels.
    pub height: f32,
    /// Share of its ink that is red, 0–1.
    pub red: f32,
    /// Where the leader that begins at its end leads, in the level frame, if there is one.
    pub leads: Option<Point>,
}

impl ReadLine {
    /// From where to where along its axis it holds letters or figures, in pixels.
    pub fn printed(&self) -> Option<Reach> {
        let printed =
            |m: &&Mark| m.letter.is_alphanumeric() || matches!(m.letter, ')' | ']' | '(' | '[');
        Some((self.marks.iter().find(printed)?.from, self.marks.iter().rfind(printed)?.to))
    }
}

/// A part of a line with one role.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    /// Number of its line.
    pub line: usize,
    /// First of its marks in the line, and just behind the last.
    pub marks: (usize, usize),
    /// What is printed, without white at the ends.
    pub text: String,
    /// What it looks like.
    pub kind: Kind,
    /// Middle of its left end in the level frame, in pixels.
    pub left: Point,
    /// Middle of its right end.
    pub right: Point,
    /// Height of its line's band, in pixels.
    pub height: f32,
    /// Share of red ink in its line, 0–1.
    pub red: f32,
    /// Mean of its characters' probabilities.
    pub sure: f32,
    /// Where the leader behind it leads, in the level frame, if there is one.
    pub leads: Option<Point>,
}

/// White wider than this many heights of the band parts two segments. A space is about 0.15.
const WIDE: f32 = 0.75;

/// Parts lines; the segments in the order of the lines, from left to right.
pub fn segments(lines: &[ReadLine]) -> Vec<Segment> {
    lines.iter().enumerate().flat_map(|(i, line)| of_line(i, line)).collect()
}

fn of_line(number: usize, line: &ReadLine) -> Vec<Segment> {
    let mut found: Vec<Segment> =
        parts(line).into_iter().filter_map(|part| segment(number, line, part)).collect();
    // The leader begins behind the last print; what was read of its dots leads on.
    for last in found.iter_mut().rev() {
        last.leads = line.leads;
        if last.kind != Kind::Leader {
            break;
        }
    }
    found
}

/// A run of marks with what it looks like.
struct Part {
    from: usize,
    to: usize,
    kind: Kind,
}

fn segment(number: usize, line: &ReadLine, part: Part) -> Option<Segment> {
    let marks = line.marks.get(part.from..part.to)?;
    let (first, last) = (marks.first()?, marks.last()?);
    let along = crate::photo::Along::of(&line.axis);
    let text: String = marks.iter().map(|m| m.letter).collect();
    Some(Segment {
        line: number,
        marks: (part.from, part.to),
        text: text.trim().to_owned(),
        kind: part.kind,
        left: along.at(first.from).0,
        right: along.at(last.to).0,
        height: line.height,
        red: line.red,
        sure: marks.iter().map(|m| m.probability).sum::<f32>() / marks.len() as f32,
        leads: None,
    })
}

fn parts(line: &ReadLine) -> Vec<Part> {
    let mut found: Vec<Part> = Vec::new();
    for (from, to) in tokens(line) {
        let text: String =
            line.marks.get(from..to).unwrap_or_default().iter().map(|m| m.letter).collect();
        let kind = kind::of(&text);
        let goes_on = |last: &Part| {
            let end = line.marks.get(last.to - 1);
            kind == Kind::Words
                && last.kind == Kind::Words
                && end.is_some_and(|e| !matches!(e.letter, '.' | ',' | ';' | ':'))
                && white(line, last.to, from) < WIDE
        };
        let leads_on = |last: &Part| kind == Kind::Leader && last.kind == Kind::Leader;
        match found.last_mut() {
            Some(last) if goes_on(last) || leads_on(last) => last.to = to,
            _ => found.push(Part { from, to, kind }),
        }
    }
    found
}

/// White between two marks, in heights of the band.
fn white(line: &ReadLine, before: usize, after: usize) -> f32 {
    match (line.marks.get(before.wrapping_sub(1)), line.marks.get(after)) {
        (Some(a), Some(b)) => (b.from - a.to) / line.height.max(1.0),
        _ => 0.0,
    }
}

/// Figures stand apart where the step from one to the next is so many usual ones, and that much white, in heights of the
/// band, lies between them: the recogniser gives no space between "1065" and "8". On the pages of `press --drawn` steps
/// within a number stay below 1.3.
const STEP: f32 = 1.6;
const APART: f32 = 0.25;

fn middle(mark: &Mark) -> f32 {
    (mark.from + mark.to) / 2.0
}

/// The usual step from figure to figure, in pixels.
fn pitch(line: &ReadLine) -> Option<f32> {
    let figure = |m: &Mark| m.letter.is_ascii_digit();
    let steps = line.marks.windows(2).filter(|w| w.iter().all(figure));
    let several = steps.clone().nth(1).is_some();
    median(steps.map(|w| middle(&w[1]) - middle(&w[0]))).filter(|_| several)
}

fn apart(line: &ReadLine, a: usize, b: usize, pitch: Option<f32>) -> bool {
    let (Some(pitch), Some(first), Some(second)) = (pitch, line.marks.get(a), line.marks.get(b))
    else {
        return false;
    };
    let figures = first.letter.is_ascii_digit() && second.letter.is_ascii_digit();
    figures && middle(second) - middle(first) > STEP * pitch && white(line, a + 1, b) > APART
}

/// Runs of marks without space or wide white, parted again where letters, figures and leaders meet.
fn tokens(line: &ReadLine) -> Vec<(usize, usize)> {
    let mut words: Vec<(usize, usize)> = Vec::new();
    let mut last_filled = None;
    let pitch = pitch(line);
    for (i, mark) in line.marks.iter().enumerate() {
        if mark.letter.is_whitespace() {
            last_filled = None;
            continue;
        }
        let joined = last_filled.is_some_and(|last: usize| {
            white(line, last + 1, i) < WIDE && !apart(line, last, i, pitch)
        });
        match words.last_mut() {
            Some(word) if joined => word.1 = i + 1,
            _ => words.push((i, i + 1)),
        }
        last_filled = Some(i);
    }
    let letters: Vec<char> = line.marks.iter().map(|m| m.letter).collect();
    let inner = |(from, to): (usize, usize)| {
        let cuts = kind::cuts(letters.get(from..to).unwrap_or_default());
        let ends: Vec<usize> = cuts.into_iter().map(|c| from + c).chain([to]).collect();
        let starts = std::iter::once(from).chain(ends.clone());
        starts.zip(ends).filter(|(a, b)| a < b).collect::<Vec<_>>()
    };
    words.into_iter().flat_map(inner).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(text: &str) -> ReadLine {
        let mark = |(i, letter): (usize, char)| Mark {
            letter,
            from: 10.0 * i as f32,
            to: 10.0 * i as f32 + 8.0,
            probability: 0.9,
        };
        let axis = vec![Point { x: 0.0, y: 0.0 }, Point { x: 2000.0, y: 0.0 }];
        ReadLine {
            marks: text.chars().enumerate().map(mark).collect(),
            axis,
            height: 30.0,
            red: 0.0,
            leads: None,
        }
    }

    #[test]
    fn lines_part_where_a_role_may_change() {
        let cases = [
            ("24 Saint Agnes, Virgin ..... 695", "24|Saint Agnes,|Virgin|.....|695"),
            ("Augustine, 514; Barnabas, 503, 505-507", "Augustine,|514;|Barnabas,|503,|505|-|507"),
            ("Preface I of Advent....512", "Preface|I|of Advent|....|512"),
            ("Common of Pastors, p.1213", "Common of Pastors,|p.|1213"),
            ("Easter 200-207", "Easter|200|-|207"),
            // Form 1 on page 1267, or a range: the page decides.
            ("1 - 1267", "1|-|1267"),
            ("Easter      207", "Easter|207"),
            ("Hours 503,505", "Hours|503,|505"),
            ("Years 1I9", "Years|1I9"),
        ];
        for (printed, parts) in cases {
            let found: Vec<String> =
                segments(&[line(printed)]).into_iter().map(|s| s.text).collect();
            assert_eq!(found.join("|"), parts);
        }
    }

    #[test]
    fn figures_part_where_the_step_is_wider() {
        let mut wide = line("10658. For the Church");
        let at = |i: usize| 10.0 * i as f32 + if i > 3 { 8.0 } else { 0.0 };
        for (i, mark) in wide.marks.iter_mut().enumerate() {
            (mark.from, mark.to) = (at(i), at(i) + 8.0);
        }
        let found: Vec<String> = segments(&[wide]).into_iter().map(|s| s.text).collect();
        assert_eq!(found.join("|"), "1065|8.|For the Church");
        let even: Vec<String> = segments(&[line("10658")]).into_iter().map(|s| s.text).collect();
        assert_eq!(even, ["10658"]);
    }

    #[test]
    fn a_leader_begins_behind_the_last_print_of_its_line() {
        let end = Point { x: 900.0, y: 12.0 };
        let dotted = ReadLine { leads: Some(end), ..line("8. For Rain ...") };
        let found = segments(&[dotted]);
        let leads: Vec<bool> = found.iter().map(|s| s.leads == Some(end)).collect();
        let texts: Vec<&str> = found.iter().map(|s| s.text.as_str()).collect();
        assert_eq!(texts, ["8.", "For Rain", "..."]);
        assert_eq!(leads, [false, true, true]);
    }
}
