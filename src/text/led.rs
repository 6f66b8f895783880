//! What leaders lead to.
//!
//! Each is followed from its title. Where it ends at nothing, or at something that could hardly be read, the place is
//! looked at again: the detector misses lone figures and what stands in the dark of a gutter. Labels to which no leader
//! came are followed back; where nothing was found before that leader, a title may be a figure alone.

use super::look::{Spelled, level, spell};
use super::segment::ReadLine;
use crate::Result;
use crate::geom::Point;
use crate::photo::{Along, Leader, Reach, Side, TextLine, follow};
use image::RgbImage;

/// What a leader leads to lies within this many heights of the band: a gap and four figures.
const REACH: f32 = 3.2;
/// No print stands nearer to the end of a leader, in the same heights.
const NEAR: f32 = 0.1;
/// A label begins no farther from it: where leaders end below one another, the widest has three figures more. What
/// begins farther is of the next column.
const GAP: f32 = 1.6;
/// A second look begins so far before the end of the leader, should that have run over the print's first letters.
const EARLIER: f32 = 0.9;
/// How far the place looked at again may go; what lies behind the print, a gutter or a table, confuses the reader.
const ENDS: [f32; 3] = [REACH, 2.2, 1.2];
/// The gutter squeezes: print is also tried so much wider.
const STRETCHES: [f32; 2] = [1.0, 1.7];
/// Certainty below which a place is looked at again, and above which a second look is believed. Of labels in the
/// gutters of `fixtures/photos` the ones read rightly come to 0.9 and more.
const UNSURE: f32 = 0.85;
/// White that must stand between print and both ends of its place, in heights: else it may be cut.
const WHITE: f32 = 0.2;

/// Notes where leaders lead, and adds or mends the lines at their ends.
pub fn lead(picture: &RgbImage, angle: f32, lines: &mut Vec<Spelled>) -> Result<()> {
    let mut seen = Seen::of(picture, angle, lines);
    for (i, leader) in seen.leaders(Side::Behind, |_| true) {
        if let Some(line) = lines.get_mut(i) {
            line.read.leads = Some(level(&leader.end, angle));
        }
        seen.behind(&leader, i, lines)?;
    }
    let alone =
        |i: usize| !seen.reached.contains(&i) && lines.get(i).is_some_and(|l| is_number(&l.read));
    for (i, leader) in seen.leaders(Side::Before, alone) {
        seen.before(&leader, i, lines)?;
    }
    let mut number = 0..;
    lines.retain(|_| number.next().is_none_or(|i| !seen.mended.contains(&i)));
    lines.append(&mut seen.found);
    Ok(())
}

/// Whether a line holds nothing but one arabic or roman number.
fn is_number(line: &ReadLine) -> bool {
    let printed = || line.marks.iter().map(|m| m.letter).filter(|c| c.is_alphanumeric());
    let count = printed().count();
    (1..=9).contains(&count)
        && (printed().all(|c| c.is_ascii_digit()) || printed().all(|c| "ivxlcIVXLC".contains(c)))
}

/// Whether a line is surely one number and nothing else.
pub fn is_clear_number(line: &ReadLine) -> bool {
    is_number(line) && certainty(line) > UNSURE
}

/// Mean probability of the letters and figures of a line.
fn certainty(line: &ReadLine) -> f32 {
    let printed = || line.marks.iter().filter(|m| m.letter.is_alphanumeric());
    printed().map(|m| m.probability).sum::<f32>() / printed().count().max(1) as f32
}

/// The lines as they were when leaders were followed, and what came of it.
struct Seen<'a> {
    picture: &'a RgbImage,
    angle: f32,
    axes: Vec<TextLine>,
    printed: Vec<Option<Reach>>,
    /// Lines that a leader reached.
    reached: Vec<usize>,
    /// Lines in whose place something better was found.
    mended: Vec<usize>,
    found: Vec<Spelled>,
}

impl Seen<'_> {
    fn of<'a>(picture: &'a RgbImage, angle: f32, lines: &[Spelled]) -> Seen<'a> {
        let (axes, printed) = lines.iter().map(|s| (s.line.clone(), s.read.printed())).unzip();
        let (reached, mended, found) = (Vec::new(), Vec::new(), Vec::new());
        Seen { picture, angle, axes, printed, reached, mended, found }
    }

    fn leaders(&self, side: Side, some: impl Fn(usize) -> bool) -> Vec<(usize, Leader)> {
        let all = follow(self.picture, (&self.axes, &self.printed), side, some);
        all.into_iter().enumerate().filter_map(|(i, leader)| Some((i, leader?))).collect()
    }

    /// Lines with print in a place.
    fn meeting(&self, place: &TextLine, but: usize) -> Vec<usize> {
        let meets = |i: &usize| *i != but && self.axes.get(*i).is_some_and(|l| meets(place, l));
        (0..self.axes.len()).filter(meets).collect()
    }

    /// What stands behind a title's leader.
    fn behind(&mut self, leader: &Leader, title: usize, lines: &[Spelled]) -> Result<()> {
        let height = self.axes.get(title).map_or(1.0, |l| l.height);
        let met = self.meeting(&place(leader, height, (NEAR, GAP), Side::Behind), title);
        self.reached.extend(&met);
        let sure = met.iter().filter_map(|i| lines.get(*i)).map(|l| certainty(&l.read));
        let sure = sure.fold(0.0, f32::max);
        if sure < UNSURE
            && let Some(found) = self.look(leader, (title, &met), Side::Behind)?
            && certainty(&found.read) > sure
        {
            self.mended.extend(met);
            self.found.push(found);
        }
        Ok(())
    }

    /// What stands before a label's leader.
    fn before(&mut self, leader: &Leader, label: usize, lines: &mut [Spelled]) -> Result<()> {
        let (Some(line), Some(Some((start, _)))) = (self.axes.get(label), self.printed.get(label))
        else {
            return Ok(());
        };
        let (height, to) = (line.height, level(&Along::of(&line.axis).at(*start).0, self.angle));
        let met = self.meeting(&place(leader, height, (NEAR, REACH), Side::Before), label);
        let ends = |i: &usize| self.end(*i).map_or(f32::MAX, |p| p.to(leader.end));
        match met.into_iter().min_by(|a, b| ends(a).total_cmp(&ends(b))) {
            Some(title) if ends(&title) < REACH * height => {
                if let Some(title) = lines.get_mut(title) {
                    title.read.leads = title.read.leads.or(Some(to));
                }
            }
            Some(_) => {}
            None => {
                if let Some(mut found) = self.look(leader, (label, &[]), Side::Before)? {
                    found.read.leads = Some(to);
                    self.found.push(found);
                }
            }
        }
        Ok(())
    }

    /// Where the print of a line ends.
    fn end(&self, line: usize) -> Option<Point> {
        let (_, to) = self.printed.get(line).copied().flatten()?;
        Some(Along::of(&self.axes.get(line)?.axis).at(to).0)
    }

    /// Reads what stands at the end of a leader of line `of`, if it is printed there whole and clear; of what was
    /// found before, only the lines `unsure` may stand in its place.
    fn look(
        &self,
        leader: &Leader,
        (of, unsure): (usize, &[usize]),
        side: Side,
    ) -> Result<Option<Spelled>> {
        let height = self.axes.get(of).map_or(1.0, |l| l.height);
        for reach in ENDS {
            let beyond = self.meeting(&place(leader, height, (NEAR, reach), side), of);
            if beyond.iter().any(|i| !unsure.contains(i)) {
                continue;
            }
            let line = place(leader, height, (-EARLIER, reach), side);
            for stretch in STRETCHES {
                let mut found = spell(self.picture, &line, self.angle, stretch)?;
                let Some((from, to)) = found.read.printed() else { continue };
                let white = from.min(line.length() - to);
                if certainty(&found.read) > UNSURE && white > WHITE * height {
                    // The last dots of the leader are none of it.
                    found.read.marks.retain(|m| m.from >= from && m.to <= to);
                    return Ok(Some(found));
                }
            }
        }
        Ok(None)
    }
}

/// The place at the end of a leader, from and to so many heights beyond it.
fn place(leader: &Leader, height: f32, (from, to): (f32, f32), side: Side) -> TextLine {
    let at = |d: f32| Point {
        x: leader.end.x + d * height * leader.way.x,
        y: leader.end.y + d * height * leader.way.y,
    };
    let mut axis = vec![at(from), at(to)];
    if side == Side::Before {
        axis.reverse();
    }
    TextLine { axis, height }
}

/// Whether a line has print in a place.
fn meets(place: &TextLine, line: &TextLine) -> bool {
    let along = Along::of(&place.axis);
    let (steps, length) = (8, place.length());
    let points = || (0..=steps).map(|i| along.at(length * i as f32 / steps as f32).0);
    let near =
        |p: Point| line.axis.windows(2).any(|w| p.to_piece(w[0], w[1]) < 0.45 * place.height);
    points().any(near)
}
