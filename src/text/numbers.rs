//! A page label is looked at more than once: in the line as it was read, then cut out alone, as it is and widened
//! (near a gutter figures are squeezed), and at last by Tesseract, which sees with other eyes.

use super::kind::Kind;
use super::label::{self, LabelReading};
use super::layout::{Opinion, Role};
use super::look::Look;
use super::recognise::recognise;
use super::segment::Segment;
use super::witness;
use crate::Result;
use crate::photo::{Crop, Cut, cut};
use image::RgbImage;

/// A label surer than this after the first look is not looked at again, and none is shown to the witness.
const SURE: f64 = 0.997;
/// Widenings of the further looks, with the height of the band.
const LOOKS: [(f32, f32); 2] = [(1.0, 1.1), (1.6, 1.05)];

/// The ways to read a segment as a label, the likeliest first.
pub fn read(picture: &RgbImage, look: &Look, segment: &Segment) -> Result<Vec<LabelReading>> {
    let Some(window) = Window::of(look, segment) else { return Ok(Vec::new()) };
    let first = window.readings(look);
    let probability = |r: &[LabelReading]| r.first().map_or(0.0, |r| r.probability);
    let stuck = stuck(segment) || stroke(segment) && among_romans(look);
    if probability(&first) >= SURE && !roman(&first) && !stuck {
        return Ok(first);
    }
    let mut looks = vec![first];
    for (stretch, room) in LOOKS {
        let crop = window.crop(picture, look, stretch, room);
        let lattice = recognise(&crop)?;
        looks.push(label::readings(&lattice, 0, lattice.steps.len()));
    }
    let mut found = label::together(looks);
    if probability(&found) < SURE || roman(&found) {
        let crop = window.crop(picture, look, 1.0, 1.1);
        weigh(&mut found, witness::says(&crop)?);
    }
    if stuck {
        found.iter_mut().for_each(|r| r.probability = r.probability.min(STUCK));
    }
    Ok(found)
}

/// At the end of its figures a letter counts as a figure, which may be the next word without its white: "298 I" read
/// as "298I" is not 2981. So sure it is at most.
const STUCK: f64 = 0.9;

fn stuck(segment: &Segment) -> bool {
    let core = segment.text.trim_matches(|c: char| !c.is_alphanumeric());
    let figures = core.chars().any(|c| c.is_ascii_digit());
    let ends = [core.chars().next(), core.chars().last()];
    figures && ends.into_iter().flatten().any(|c| super::kind::TAKEN_FOR.iter().any(|t| t.0 == c))
}

/// Whether a label is a lone stroke: among roman numbers it may be 1, i or fifty.
fn stroke(segment: &Segment) -> bool {
    let mut core = segment.text.chars().filter(|c| c.is_alphanumeric() || *c == '|');
    matches!((core.next(), core.next()), (Some('1' | 'l' | 'I' | 'i' | '|'), None))
}

fn among_romans(look: &Look) -> bool {
    let roman = |s: &Segment, o: &Opinion| {
        o.role() == Role::Label && s.kind == Kind::Roman && s.text.len() > 1
    };
    look.segments.iter().zip(&look.layout.opinions).any(|(s, o)| roman(s, o))
}

/// A number in a title, and how sure it is: it decides which text is meant ("Eucharistic Prayer II").
pub fn in_title(look: &Look, segment: &Segment) -> Option<LabelReading> {
    let readings = Window::of(look, segment)?.readings(look);
    let total: f64 = readings.iter().map(|r| r.probability).sum();
    let best = readings.into_iter().next()?;
    Some(LabelReading { probability: best.probability / total.max(best.probability), ..best })
}

fn roman(readings: &[LabelReading]) -> bool {
    readings.first().is_some_and(|r| r.label.starts_with(|c: char| c.is_alphabetic()))
}

/// How much likelier a reading becomes that the witness shares, and how much less likely one that it does not; of roman
/// numbers the witness knows little.
const AGREES: f64 = 20.0;
const DIFFERS: f64 = 0.1;
const DIFFERS_ON_ROMAN: f64 = 0.4;

fn weigh(found: &mut [LabelReading], said: Option<String>) {
    let Some(said) = said else { return };
    for reading in found.iter_mut() {
        let odds = reading.probability / (1.0 - reading.probability).max(1e-9);
        let roman = reading.label.starts_with(char::is_alphabetic);
        let differs = if roman { DIFFERS_ON_ROMAN } else { DIFFERS };
        let odds = if reading.label == said { odds * AGREES } else { odds * differs };
        reading.probability = odds / (1.0 + odds);
    }
    found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
}

/// Where a label stands in its line.
struct Window {
    line: usize,
    /// Steps of the lattice.
    steps: (usize, usize),
    /// Pixels along the axis.
    along: (f32, f32),
}

impl Window {
    fn of(look: &Look, segment: &Segment) -> Option<Window> {
        let read = look.read.get(segment.line)?;
        let step = *look.steps.get(segment.line)?;
        let (first, last) =
            (read.marks.get(segment.marks.0)?, read.marks.get(segment.marks.1 - 1)?);
        // Half way to the neighbours, so that nothing of the label is left out and nothing of theirs gets in.
        let before = segment.marks.0.checked_sub(1).and_then(|i| read.marks.get(i));
        let after = read.marks.get(segment.marks.1);
        let room = 0.3 * segment.height;
        let from = before
            .map_or(first.from - room, |b| ((b.to + first.from) / 2.0).max(first.from - room));
        let to = after.map_or(last.to + room, |a| ((a.from + last.to) / 2.0).min(last.to + room));
        let step_of = |x: f32| (x / step).round().max(0.0) as usize;
        Some(Window {
            line: segment.line,
            steps: (step_of(from), step_of(to).max(step_of(from) + 1)),
            along: (from, to),
        })
    }

    fn readings(&self, look: &Look) -> Vec<LabelReading> {
        let lattice = look.lattices.get(self.line);
        lattice.map_or(Vec::new(), |l| label::readings(l, self.steps.0, self.steps.1))
    }

    fn crop(&self, picture: &RgbImage, look: &Look, stretch: f32, room: f32) -> Crop {
        let line = &look.lines[self.line];
        cut(picture, line, Cut { stretch, room, from: self.along.0, to: self.along.1 })
    }
}
