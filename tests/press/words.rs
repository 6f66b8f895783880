//! Where each entry stands on the printed page: the words of the PDF with their boxes, in the order in which they
//! were set, are matched to the letters of the entries.

use crate::print::Print;
use std::error::Error;
use std::path::Path;
use std::process::Command;
use unicode_normalization::UnicodeNormalization;

/// What a piece of an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Part of the title: date, rank and subtitle included.
    Title,
    /// A page label.
    Label,
}

/// A printed line of a piece: left, top, right, bottom in mm of the page.
#[derive(Debug, Clone, Copy)]
pub struct Mark {
    /// What it is.
    pub role: Role,
    /// Where it stands.
    pub rect: [f32; 4],
}

/// A letter of a page.
#[derive(Debug, Clone, Copy)]
struct Letter {
    sign: char,
    rect: [f32; 4],
    /// Whether it is the first of its word.
    first: bool,
}

/// The letters and figures of a page in the order in which they were set.
#[derive(Debug, Clone, Default)]
pub struct Letters(Vec<Letter>);

const MM: f32 = 0.352_78;

/// Letters and figures alone, without accents, small: what every setter and font leaves the same.
fn bare(text: &str) -> impl Iterator<Item = char> + '_ {
    let spelled = |c: char| match c {
        'ß' | 'ẞ' => "ss".chars().collect::<Vec<_>>(),
        'ł' | 'Ł' => vec!['l'],
        'ſ' => vec!['s'],
        'æ' | 'Æ' => vec!['a', 'e'],
        'œ' | 'Œ' => vec!['o', 'e'],
        c => vec![c],
    };
    text.nfkd().filter(|c| c.is_alphanumeric()).flat_map(spelled).flat_map(char::to_lowercase)
}

fn attribute(line: &str, name: &str) -> Option<f32> {
    let from = line.split_once(&format!("{name}=\""))?.1;
    from.split_once('"')?.0.parse().ok()
}

fn word(line: &str, tallest: f32) -> Option<Vec<Letter>> {
    let value = |name: &str| attribute(line, name).map(|v| v * MM);
    let [x0, mut y0, x1, mut y1] = [value("xMin")?, value("yMin")?, value("xMax")?, value("yMax")?];
    let text = line.split_once("\">")?.1.split_once("</word>")?.0;
    let text = text.replace("&amp;", "&").replace("&quot;", "\"").replace("&apos;", "’");
    // The box is as high as ascent and descent of the font, which may be more than a line.
    let (middle, half) = ((y0 + y1) / 2.0, ((y1 - y0) / 2.0).min(tallest / 2.0));
    (y0, y1) = (middle - half, middle + half);
    let signs: Vec<char> = text.chars().collect();
    let step = (x1 - x0) / signs.len().max(1) as f32;
    let mut out = Vec::new();
    for (i, sign) in signs.iter().enumerate() {
        let x = x0 + step * i as f32;
        // A bracket belongs to the letter that it touches.
        let left = if i > 0 && "([".contains(signs[i - 1]) { x - step } else { x };
        let closed = signs.get(i + 1).is_some_and(|c| ")]".contains(*c))
            || signs.get(i + 1) == Some(&'.') && signs.get(i + 2) == Some(&')');
        let right = if closed { x0 + step * signs.len() as f32 } else { x + step };
        let rect = [left, y0, right, y1];
        out.extend(bare(&sign.to_string()).map(|sign| Letter { sign, rect, first: false }));
    }
    if let Some(first) = out.first_mut() {
        first.first = true;
    }
    Some(out)
}

/// The pages of a PDF; no letter's box is higher than `tallest` mm.
pub fn pages(pdf: &Path, tallest: f32) -> Result<Vec<Letters>, Box<dyn Error>> {
    let done = Command::new("pdftotext").args(["-raw", "-bbox"]).arg(pdf).arg("-").output()?;
    let mut out = Vec::new();
    for line in String::from_utf8_lossy(&done.stdout).lines() {
        if line.contains("<page ") {
            out.push(Letters::default());
        } else if let (Some(letters), Some(page)) = (word(line, tallest), out.last_mut()) {
            page.0.extend(letters);
        }
    }
    Ok(out)
}

impl Letters {
    /// Finds `pieces`, which follow each other, from letter `from` on, and says where those with a role stand and which letter
    /// comes next.
    pub fn find(&self, from: usize, pieces: &[(Option<Role>, &str)]) -> Option<(Vec<Mark>, usize)> {
        let wanted: Vec<char> = pieces.iter().flat_map(|(_, text)| bare(text)).collect();
        // Whole words only: a letter over a group is not the first one of a title.
        let starts = |i: usize| self.0.get(i).is_none_or(|l| l.first);
        let fits = |at: &usize| {
            let end = at + wanted.len();
            let run = self.0.get(*at..end).unwrap_or_default();
            let same = run.len() == wanted.len();
            same && starts(*at) && starts(end) && run.iter().zip(&wanted).all(|(l, c)| l.sign == *c)
        };
        let at = (from..self.0.len()).find(fits)?;
        let mut next = at;
        let mut marks = Vec::new();
        for (role, text) in pieces {
            let end = next + bare(text).count();
            let lines = lines(&self.0[next..end]);
            if let Some(role) = role {
                lines.into_iter().for_each(|rect| add(&mut marks, *role, rect));
            }
            next = end;
        }
        Some((marks, next))
    }
}

/// White wider than this, mm, parts a line of a title in two: a date in a column of its own is one by itself.
const APART: f32 = 3.0;

/// Adds a mark; a piece of a title that follows another in the same line is one with it.
fn add(marks: &mut Vec<Mark>, role: Role, r: [f32; 4]) {
    if let Some(Mark { role: Role::Title, rect: l }) = marks.last_mut()
        && role == Role::Title
        && (r[1] + r[3] - l[1] - l[3]).abs() < r[3] - r[1]
        && (-0.5..APART).contains(&(r[0] - l[2]))
    {
        *l = [l[0], l[1].min(r[1]), l[2].max(r[2]), l[3].max(r[3])];
    } else {
        marks.push(Mark { role, rect: r });
    }
}

/// The printed lines of a run of letters.
fn lines(run: &[Letter]) -> Vec<[f32; 4]> {
    let mut out: Vec<[f32; 4]> = Vec::new();
    for Letter { rect: r, .. } in run {
        if let Some(l) = out.last_mut()
            && (r[1] + r[3] - l[1] - l[3]).abs() < r[3] - r[1]
            && r[0] >= l[0] - 0.5
        {
            *l = [l[0].min(r[0]), l[1].min(r[1]), l[2].max(r[2]), l[3].max(r[3])];
        } else {
            out.push(*r);
        }
    }
    out
}

/// Draws a box together to the ink in it.
pub fn to_ink(print: &Print, rect: [f32; 4]) -> [f32; 4] {
    let s = print.scale;
    let (w, h) = print.picture.dimensions();
    let span =
        |a: f32, b: f32, end: u32| ((a * s).max(0.0) as u32, ((b * s).ceil() as u32).min(end));
    let (left, right) = span(rect[0] - 0.15, rect[2] + 0.15, w);
    let (top, bottom) = span(rect[1], rect[3], h);
    let mut ink = [u32::MAX, u32::MAX, 0, 0];
    for y in top..bottom {
        for x in left..right {
            if print.picture.get_pixel(x, y).0[1] < 128 {
                ink = [ink[0].min(x), ink[1].min(y), ink[2].max(x + 1), ink[3].max(y + 1)];
            }
        }
    }
    if ink[2] == 0 { rect } else { ink.map(|v| v as f32 / s) }
}
