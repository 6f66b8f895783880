//! Leaders: the row of dots, or the rule, that leads the eye from a title to its number.
//!
//! Over a bent sheet the line of a title, drawn on straight, arrives a line too high or too low. The leader itself is
//! printed on that line, so it is followed dot by dot. The detector of print does not mark it.

use super::crop::{Along, bilinear};
use super::trace::TextLine;
use crate::geom::Point;
use image::RgbImage;

/// A leader that was followed to its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leader {
    /// Where it ends, at the height of the middle of its line, in pixels of the upright picture.
    pub end: Point,
    /// Its direction there, a unit vector.
    pub way: Point,
}

/// Lengths below are in heights of the line's band. A window holds two dots of the widest leaders (1.4 em).
const WINDOW: f32 = 4.0;
/// Parts of a window in which dots are counted.
const QUARTERS: usize = 4;
/// How far the dots may lie from where the leader was expected: at its start below the middle of the line, later on.
const AT_START: (f32, f32) = (-0.1, 0.45);
const LATER: (f32, f32) = (-0.22, 0.22);
/// How fast its direction may change from one window to the next, in radians.
const TURN: f32 = 0.08;
/// A dot is at least this share as dark as the letters.
const DOT: f32 = 0.18;
/// Letters and figures rise so far above the dots.
const RISE: (f32, f32) = (0.25, 0.5);
/// Fewer parts with dots are no leader.
const FEWEST: usize = 3;
/// Leaders lead no farther.
const FARTHEST: usize = 40;

/// From where to where along its axis a line holds letters or figures, in pixels.
pub type Reach = (f32, f32);

/// On which side of a line its leader lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// To the right of a title.
    Behind,
    /// To the left of a number.
    Before,
}

/// The leader that begins at an end of each line of `some`, if there is one. `printed` says how far the print of each
/// line reaches; a line with none has no leader and stops none.
pub fn follow(
    picture: &RgbImage,
    (lines, printed): (&[TextLine], &[Option<Reach>]),
    side: Side,
    some: impl Fn(usize) -> bool,
) -> Vec<Option<Leader>> {
    let bands: Vec<Option<Band>> =
        lines.iter().zip(printed).map(|(line, p)| p.map(|p| Band::of(line, p))).collect();
    let one = |(i, line): (usize, &TextLine)| {
        let (from, to) = printed.get(i).copied().flatten().filter(|_| some(i))?;
        let start = if side == Side::Behind { to } else { from };
        let stops = |p: Point| {
            let mut others = bands.iter().enumerate().filter(|(other, _)| *other != i);
            others.any(|(_, band)| band.as_ref().is_some_and(|b| b.holds(p)))
        };
        lead(&Eye::of(picture, line, start), line, (start, side), stops)
    };
    lines.iter().enumerate().map(one).collect()
}

/// Where a line stands, for others to stop at.
struct Band {
    from: Point,
    to: Point,
    height: f32,
}

impl Band {
    fn of(line: &TextLine, (from, to): (f32, f32)) -> Band {
        let along = Along::of(&line.axis);
        Band { from: along.at(from).0, to: along.at(to).0, height: line.height }
    }

    fn holds(&self, p: Point) -> bool {
        let (x, y) = (self.to.x - self.from.x, self.to.y - self.from.y);
        let length = x.hypot(y).max(1.0);
        let (dx, dy) = (p.x - self.from.x, p.y - self.from.y);
        let (along, across) = ((dx * x + dy * y) / length, (dy * x - dx * y) / length);
        (0.0..length).contains(&along) && across.abs() < 0.45 * self.height
    }
}

/// Where the following has come to; `down` is 1 where across the way is down the page, else −1.
#[derive(Clone, Copy)]
struct Place {
    at: Point,
    angle: f32,
    down: f32,
}

impl Place {
    fn point(&self, along: f32, across: f32) -> Point {
        let (sin, cos) = self.angle.sin_cos();
        let across = self.down * across;
        Point {
            x: self.at.x + along * cos - across * sin,
            y: self.at.y + along * sin + across * cos,
        }
    }
}

fn lead(
    eye: &Eye,
    line: &TextLine,
    start: (f32, Side),
    stops: impl Fn(Point) -> bool,
) -> Option<Leader> {
    let (at, way) = Along::of(&line.axis).at(start.0);
    let mut place = match start.1 {
        Side::Behind => Place { at, angle: way.y.atan2(way.x), down: 1.0 },
        Side::Before => Place { at, angle: (-way.y).atan2(-way.x), down: -1.0 },
    };
    let (mut drop, mut end, mut dotted) = (None, None, 0);
    for _ in 0..FARTHEST {
        let clear = free(&place, eye.height, &stops);
        let found = eye.window(&place, clear, if drop.is_some() { LATER } else { AT_START });
        let Some(last) = found.last else { break };
        drop.get_or_insert(found.offset);
        let turned = Place { angle: place.angle + place.down * found.turn, ..place };
        end = Some((turned.point(last, found.offset), turned.angle));
        dotted += found.parts;
        if !found.whole || clear < WINDOW * eye.height {
            break;
        }
        place = Place { at: turned.point(0.5 * WINDOW * eye.height, found.offset), ..turned };
    }
    let (end, angle) = end?;
    let up = place.down * drop.unwrap_or(0.0);
    let (sin, cos) = angle.sin_cos();
    (dotted >= FEWEST).then_some(Leader {
        end: Point { x: end.x + up * sin, y: end.y - up * cos },
        way: Point { x: cos, y: sin },
    })
}

/// How far the way is free of other lines, up to a window, in pixels.
fn free(place: &Place, height: f32, stops: impl Fn(Point) -> bool) -> f32 {
    let window = WINDOW * height;
    let step = (0.15 * height).max(1.0);
    let mut ways = (0..).map(|i| i as f32 * step).take_while(|along| *along < window);
    ways.find(|along| stops(place.point(*along, 0.0))).unwrap_or(window)
}

/// Looks at the darkness of print.
struct Eye<'a> {
    picture: &'a RgbImage,
    height: f32,
    /// Pixels of one step.
    step: f32,
    /// How much darker than the paper the line's letters are, 0–255.
    ink: f32,
}

/// What a window holds.
struct Found {
    /// Across the way, in pixels.
    offset: f32,
    /// In radians.
    turn: f32,
    /// Parts from the first on that hold dots; a part may be missed.
    parts: usize,
    /// Whether they reach to its end.
    whole: bool,
    /// Where the last of these dots stands, in pixels along.
    last: Option<f32>,
}

impl<'a> Eye<'a> {
    fn of(picture: &'a RgbImage, line: &TextLine, end: f32) -> Eye<'a> {
        let (height, step) = (line.height, (line.height / 24.0).max(1.0));
        let mut eye = Eye { picture, height, step, ink: 255.0 };
        let along = Along::of(&line.axis);
        let mut seen: Vec<f32> = (0..200)
            .flat_map(|i| {
                let (p, way) = along.at((end - 0.05 * i as f32 * height).max(0.0));
                [-0.2, -0.1, 0.0, 0.1, 0.2].map(|v| (p, way, v * height))
            })
            .map(|(p, way, v)| eye.light(Point { x: p.x - v * way.y, y: p.y + v * way.x }))
            .collect();
        seen.sort_by(f32::total_cmp);
        let share = |s: f32| seen.get((s * seen.len() as f32) as usize).copied().unwrap_or(0.0);
        eye.ink = (share(0.9) - share(0.05)).max(20.0);
        eye
    }

    /// Light of a point, 0–255: green, in which red ink is dark too.
    fn light(&self, p: Point) -> f32 {
        bilinear(self.picture, p.x, p.y)[1]
    }

    fn window(&self, place: &Place, clear: f32, range: (f32, f32)) -> Found {
        let grid = Grid::of(self, place, clear);
        let mut best = (f32::MIN, 0.0, 0.0);
        let across = ((range.1 - range.0) * self.height / self.step).ceil() as i32;
        for turn in (-4..=4).map(|t| TURN * t as f32 / 4.0) {
            for o in 0..=across {
                let offset = range.0 * self.height + o as f32 * self.step;
                let strange = (turn / TURN).powi(2) + (offset / (0.45 * self.height)).powi(2);
                let score = grid.mean(offset, turn) - 0.01 * self.ink * strange;
                if score > best.0 {
                    best = (score, offset, turn);
                }
            }
        }
        let (_, offset, turn) = best;
        let dots = grid.dots(self, offset, turn);
        let part =
            |at: f32| ((at / (WINDOW * self.height) * QUARTERS as f32) as usize).min(QUARTERS - 1);
        let mut filled = [None; QUARTERS];
        for at in dots {
            if let Some(part) = filled.get_mut(part(at)) {
                *part = Some(at);
            }
        }
        // Up to the first two parts in a row without a dot.
        let reach = filled.windows(2).position(|w| w == [None, None]);
        let held = filled.get(..reach.unwrap_or(QUARTERS)).unwrap_or_default();
        let parts = held.iter().flatten().count();
        Found {
            offset,
            turn,
            parts,
            whole: reach.is_none() && parts >= QUARTERS - 1,
            last: held.iter().flatten().next_back().copied(),
        }
    }
}

/// Darkness of a window, in steps along and across.
struct Grid {
    values: Vec<f32>,
    along: usize,
    across: usize,
    step: f32,
}

/// Half the width of a grid, in heights.
const HALF: f32 = 1.0;

impl Grid {
    fn of(eye: &Eye, place: &Place, clear: f32) -> Grid {
        let along = (clear / eye.step) as usize;
        let across = 2 * (HALF * eye.height / eye.step) as usize + 1;
        let mut values = Vec::with_capacity(along * across);
        for u in 0..along {
            let column: Vec<f32> = (0..across)
                .map(|v| {
                    let y = (v as f32 - (across / 2) as f32) * eye.step;
                    eye.light(place.point((u as f32 + 0.5) * eye.step, y))
                })
                .collect();
            let mut sorted = column.clone();
            sorted.sort_by(f32::total_cmp);
            let paper = sorted.get(across * 7 / 10).copied().unwrap_or(255.0);
            values.extend(column.iter().map(|light| (paper - light).clamp(0.0, eye.ink)));
        }
        Grid { values, along, across, step: eye.step }
    }

    fn at(&self, u: usize, across: f32) -> f32 {
        let v = (across / self.step).round() + (self.across / 2) as f32;
        if v < 0.0 || v >= self.across as f32 || u >= self.along {
            return 0.0;
        }
        self.values.get(u * self.across + v as usize).copied().unwrap_or(0.0)
    }

    fn on(&self, u: usize, offset: f32, turn: f32) -> f32 {
        self.at(u, offset + turn * u as f32 * self.step)
    }

    fn mean(&self, offset: f32, turn: f32) -> f32 {
        (0..self.along).map(|u| self.on(u, offset, turn)).sum::<f32>() / self.along.max(1) as f32
    }

    /// Where dots stand along a way, in pixels: dark there, light above.
    fn dots(&self, eye: &Eye, offset: f32, turn: f32) -> Vec<f32> {
        let dark = |u: &usize| {
            let here = self.on(*u, offset, turn);
            let steps =
                (RISE.0 * eye.height / self.step) as i32..=(RISE.1 * eye.height / self.step) as i32;
            let above =
                steps.map(|s| self.on(*u, offset - s as f32 * self.step, turn)).fold(0.0, f32::max);
            here > DOT * eye.ink && above < 0.5 * here
        };
        (0..self.along).filter(dark).map(|u| (u as f32 + 0.5) * self.step).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Rgb;
    use imageproc::drawing::draw_filled_circle_mut;

    const HEIGHT: f32 = 30.0;

    /// The sheet falls faster and faster to the right: two lines of print, a line and a half apart at the end.
    fn fall(x: f32) -> f32 {
        60.0 * ((x - 100.0) / 700.0).powi(2)
    }

    /// Three rows of dots from 120 to 800, and the titles before them.
    fn page() -> (RgbImage, Vec<TextLine>) {
        let mut picture = RgbImage::from_pixel(900, 300, Rgb([235, 230, 220]));
        let mut lines = Vec::new();
        for row in 0..3 {
            let y = 80.0 + 40.0 * row as f32;
            for step in 0..=40 {
                let x = 120.0 + 17.0 * step as f32;
                let dot = (x as i32, (y + fall(x) + 0.2 * HEIGHT) as i32);
                draw_filled_circle_mut(&mut picture, dot, 2, Rgb([40, 40, 40]));
            }
            let letter = imageproc::rect::Rect::at(30, y as i32 - 8).of_size(60, 14);
            imageproc::drawing::draw_filled_rect_mut(&mut picture, letter, Rgb([40, 40, 40]));
            let axis = vec![Point { x: 20.0, y }, Point { x: 105.0, y }];
            lines.push(TextLine { axis, height: HEIGHT });
        }
        (picture, lines)
    }

    #[test]
    fn a_leader_is_followed_over_a_bent_sheet() {
        let (picture, lines) = page();
        let found = follow(&picture, (&lines, &[Some((5.0, 75.0)); 3]), Side::Behind, |_| true);
        for (row, leader) in found.iter().enumerate() {
            let end = leader.expect("a leader").end;
            let y = 80.0 + 40.0 * row as f32 + fall(800.0);
            assert!((end.x - 800.0).abs() < 12.0 && (end.y - y).abs() < 8.0, "{row}: {end:?}, {y}");
        }
    }

    #[test]
    fn a_leader_is_followed_back_to_where_it_begins() {
        let (picture, _) = page();
        let at = |x: f32| Point { x, y: 120.0 + fall(x) };
        let number = TextLine { axis: vec![at(815.0), at(860.0)], height: HEIGHT };
        let found = follow(&picture, (&[number], &[Some((0.0, 40.0))]), Side::Before, |_| true);
        let end = found[0].expect("a leader").end;
        assert!((end.x - 120.0).abs() < 12.0 && (end.y - 120.0).abs() < 10.0, "{end:?}");
    }

    #[test]
    fn white_is_no_leader_and_print_stops_one() {
        let (picture, mut lines) = page();
        let bare = RgbImage::from_pixel(900, 300, Rgb([235, 230, 220]));
        let printed = vec![Some((5.0, 75.0)); 3];
        let none = follow(&bare, (&lines, &printed), Side::Behind, |_| true);
        assert!(none.iter().all(Option::is_none));
        let y = 80.0 + fall(400.0);
        lines.push(TextLine {
            axis: vec![Point { x: 400.0, y }, Point { x: 440.0, y: y + 6.0 }],
            height: HEIGHT,
        });
        let printed = [printed, vec![Some((0.0, 40.0))]].concat();
        let found = follow(&picture, (&lines, &printed), Side::Behind, |i| i == 0);
        assert!(found[0].expect("a leader").end.x < 402.0);
    }
}
