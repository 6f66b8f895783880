//! The eyes on one photograph: every line cut out and read, parted into segments, and weighed as a page.

use super::entries::{self, Entry};
use super::hands;
use super::lattice::{Glyph, Lattice};
use super::layout::{self, Layout, Opinion, Role, features::Frame};
use super::led;
use super::recognise::{STEP_PX, recognise};
use super::segment::{Mark, ReadLine, Segment, segments};
use crate::Result;
use crate::geom::{Point, median};
use crate::photo::{CROP_HEIGHT, Crop, Cut, Print, TextLine, closer, cut};
use image::RgbImage;

/// All that was seen on a photograph.
#[derive(Debug, Clone)]
pub struct Look {
    /// The lines in the order in which segments count them, from the top.
    pub lines: Vec<TextLine>,
    /// What each may read.
    pub lattices: Vec<Lattice>,
    /// What each was read as.
    pub read: Vec<ReadLine>,
    /// The parts of the lines.
    pub segments: Vec<Segment>,
    /// What the model of the page says of them.
    pub layout: Layout,
    /// Pixels along a line's axis for one step of its lattice.
    pub steps: Vec<f32>,
}

impl Look {
    /// Mean certainty of the characters, 0–1: print that can be read is above 0.9.
    pub fn certainty(&self) -> f32 {
        mean(self.read.iter().flat_map(|r| &r.marks).map(|m| m.probability))
    }

    /// The entries of the page in reading order.
    pub fn entries(&self) -> Vec<Entry> {
        entries::entries(self)
    }

    /// Height of a lower-case letter of most lines, in pixels of the picture: two fifths of the band.
    pub fn letter_px(&self) -> f32 {
        0.4 * usual_height(self.read.iter())
    }
}

/// Median height of the bands of lines that hold more than a sign or two, in pixels.
fn usual_height<'a>(lines: impl Iterator<Item = &'a ReadLine>) -> f32 {
    median(lines.filter(|r| r.marks.len() > 2).map(|r| r.height)).unwrap_or(0.0)
}

fn mean(values: impl Iterator<Item = f32> + Clone) -> f32 {
    values.clone().sum::<f32>() / values.count().max(1) as f32
}

/// Mean certainty of the characters below which a photograph is tried the other way up. Print read upside down stays
/// below 0.75 (by trial on the pictures of `fixtures/photos`), upright above 0.9.
const UPRIGHT: f32 = 0.85;

/// Reads the print of a picture.
pub fn look(picture: &RgbImage, print: &Print) -> Result<Look> {
    let (angle, mut lines) = upright(picture, print)?;
    let led = led(picture, angle, &lines)?;
    let first = weighed(picture, angle, &led)?;
    if lacking(&first) < LACKING {
        return Ok(first);
    }
    lines.extend(missed(picture, angle, &led)?);
    weighed(picture, angle, &self::led(picture, angle, &lines)?)
}

/// Clear numbers that the first look missed. Words it seldom misses, and parts of words make the page harder to weigh.
fn missed(picture: &RgbImage, angle: f32, known: &[Spelled]) -> Result<Vec<Spelled>> {
    let known: Vec<TextLine> = known.iter().map(|s| s.line.clone()).collect();
    let lines = closer(picture, &known, angle)?;
    let mut found = read_all(picture, &Print { lines, angle })?;
    found.retain(|s| led::is_clear_number(&s.read));
    Ok(found)
}

/// Share of entries that lack a title or a page from which a photograph is looked at more closely. On 24 pages of
/// `press --drawn` it stays below 0.08; where many numbers of a page were missed it comes to 0.2 to 0.7.
const LACKING: f64 = 0.1;

/// Share of the entries that have no page though they look like having one, or no title.
fn lacking(look: &Look) -> f64 {
    let entries = look.entries();
    let role = |i: &usize| look.layout.opinions.get(*i).map(Opinion::role);
    let lacks = |e: &&Entry| match (e.title.first(), e.labels.is_empty()) {
        (None, _) => true,
        (Some(first), true) => role(first) == Some(Role::Title),
        _ => false,
    };
    entries.iter().filter(lacks).count() as f64 / entries.len().max(1) as f64
}

/// The lines with what leaders lead to.
fn led(picture: &RgbImage, angle: f32, lines: &[Spelled]) -> Result<Vec<Spelled>> {
    let mut lines = lines.to_vec();
    led::lead(picture, angle, &mut lines)?;
    sort(&mut lines);
    Ok(lines)
}

/// The print read the right way up, and the angle at which it then runs.
fn upright(picture: &RgbImage, print: &Print) -> Result<(f32, Vec<Spelled>)> {
    let first = read_all(picture, print)?;
    if certainty(&first) >= UPRIGHT {
        return Ok((print.angle, first));
    }
    let turned = print.turned();
    let second = read_all(picture, &turned)?;
    let better = certainty(&second) > certainty(&first);
    Ok(if better { (turned.angle, second) } else { (print.angle, first) })
}

/// A point of the picture in the level frame.
pub(super) fn level(p: &Point, angle: f32) -> Point {
    let (sin, cos) = angle.sin_cos();
    Point { x: p.x * cos + p.y * sin, y: p.y * cos - p.x * sin }
}

/// From the top.
fn sort(lines: &mut [Spelled]) {
    let top = |s: &Spelled| s.read.axis.first().map_or(0.0, |p| p.y);
    lines.sort_by(|a, b| top(a).total_cmp(&top(b)));
}

/// A line with what it may read.
#[derive(Clone)]
pub(super) struct Spelled {
    pub(super) line: TextLine,
    pub(super) lattice: Lattice,
    pub(super) read: ReadLine,
    pub(super) step: f32,
}

/// Lines read with less certainty than this are grain: on computed pages print stays above 0.6.
const GRAIN: f32 = 0.4;

impl Spelled {
    pub(super) fn is_print(&self) -> bool {
        self.certainty() > GRAIN
    }

    /// Whether it is a dot of a leader, which is read as "•", "o" or "C". Their bands come to 0.05 to 0.43 of the usual
    /// height, those of lone figures to 0.24 and more (sheets drawn flat and sharp; `fixtures/photos`).
    fn is_dot(&self, usual: f32) -> bool {
        let mut printed = self.read.marks.iter().map(|m| m.letter).filter(|c| !c.is_whitespace());
        let (Some(letter), None) = (printed.next(), printed.next()) else { return false };
        let figure = "123456789ivxIVXl|".contains(letter);
        self.read.height < if figure { 0.2 } else { 0.45 } * usual
    }

    /// Mean probability of its characters, 0 for none.
    pub(super) fn certainty(&self) -> f32 {
        let printed = self.read.marks.iter().filter(|m| !m.letter.is_whitespace());
        mean(printed.map(|m| m.probability))
    }
}

fn read_all(picture: &RgbImage, print: &Print) -> Result<Vec<Spelled>> {
    let mut all = hands::each(&print.lines, |line| spell(picture, line, print.angle, 1.0))?;
    all.retain(Spelled::is_print);
    let usual = usual_height(all.iter().map(|s| &s.read));
    all.retain(|s| !s.is_dot(usual));
    sort(&mut all);
    Ok(all)
}

/// Mean probability over the characters of all lines.
fn certainty(lines: &[Spelled]) -> f32 {
    mean(lines.iter().flat_map(|s| &s.read.marks).map(|m| m.probability))
}

/// Reads a line, `stretch` times as wide as it is.
pub(super) fn spell(
    picture: &RgbImage,
    line: &TextLine,
    angle: f32,
    stretch: f32,
) -> Result<Spelled> {
    let crop = cut(picture, line, Cut { stretch, ..Cut::whole(line) });
    let lattice = recognise(&crop)?;
    let step = STEP_PX * crop.step;
    let marks = marks(&lattice.best(), step, line.height);
    let axis = line.axis.iter().map(|p| level(p, angle)).collect();
    let read = ReadLine { marks, axis, height: line.height, red: red(&crop), leads: None };
    Ok(Spelled { line: line.clone(), lattice, read, step })
}

/// Half the width of a usual character, in heights of the band: the lattice knows only where each has its middle.
const HALF_WIDTH: f32 = 0.2;

fn marks(glyphs: &[Glyph], step: f32, height: f32) -> Vec<Mark> {
    let middle = |g: &Glyph| (g.from + g.to) as f32 / 2.0 * step;
    let edge = |i: usize| -> (f32, f32) {
        let here = glyphs.get(i).map_or(0.0, middle);
        let half = HALF_WIDTH * height;
        let between = |other: Option<&Glyph>| other.map(|g| (middle(g) - here).abs() / 2.0);
        let left =
            between(i.checked_sub(1).and_then(|i| glyphs.get(i))).map_or(half, |b| b.min(half));
        let right = between(glyphs.get(i + 1)).map_or(half, |b| b.min(half));
        (here - left, here + right)
    };
    glyphs
        .iter()
        .enumerate()
        .map(|(i, g)| {
            let (from, to) = edge(i);
            Mark { letter: g.letter, from, to, probability: g.probability }
        })
        .collect()
}

/// Share of the ink that is red.
fn red(crop: &Crop) -> f32 {
    let pixels = || crop.picture.pixels().map(|p| p.0.map(i32::from));
    let mean = pixels().map(|[_, g, _]| g).sum::<i32>()
        / (crop.picture.width() * CROP_HEIGHT).max(1) as i32;
    let ink: Vec<[i32; 3]> = pixels().filter(|[_, g, b]| *g.max(b) < mean - 30).collect();
    let red = ink.iter().filter(|[r, g, b]| r - g.max(b) > 40).count();
    red as f32 / ink.len().max(1) as f32
}

fn weighed(picture: &RgbImage, angle: f32, all: &[Spelled]) -> Result<Look> {
    let (sin, cos) = angle.sin_cos();
    let corners = [(0, 0), (1, 0), (0, 1), (1, 1)]
        .map(|(x, y)| (x * picture.width()) as f32 * cos + (y * picture.height()) as f32 * sin);
    let frame = Frame {
        left: corners.iter().copied().fold(f32::MAX, f32::min),
        right: corners.iter().copied().fold(f32::MIN, f32::max),
    };
    let read: Vec<ReadLine> = all.iter().map(|s| s.read.clone()).collect();
    let segments = segments(&read);
    let layout = layout::weigh(&segments, frame)?;
    let steps = all.iter().map(|s| s.step).collect();
    let (lines, lattices) = all.iter().map(|s| (s.line.clone(), s.lattice.clone())).unzip();
    Ok(Look { lines, lattices, read, segments, layout, steps })
}
