//! Set pages lie in an open book before a camera: a curved sheet, the facing page beside it, a frame that cuts.

use super::compose::{self, Char, Page, Role};
use super::random::Random;
use super::style::{List, Style};

/// Pixels of an em.
pub const EM: f32 = 30.0;

/// A character on the picture, in pixels of the level frame.
#[derive(Debug, Clone)]
pub struct Seen {
    pub char: Char,
    pub x: f32,
    pub y: f32,
    pub width: f32,
    pub leaf: u8,
    pub column: u8,
    pub level: u8,
    /// Numbers its entry on the whole picture; none for what belongs to no entry.
    pub entry: Option<usize>,
}

/// What a picture shows.
#[derive(Debug, Clone)]
pub struct View {
    /// Printed lines with their characters from the left.
    pub lines: Vec<Vec<Seen>>,
    pub left: f32,
    pub right: f32,
    pub style: Style,
}

/// How one sheet bends.
struct Bend {
    width: f32,
    height: f32,
    /// The gutter is at its left.
    gutter_left: bool,
    inner: f32,
    squeeze: f32,
    reach: f32,
    lift: (f32, f32),
    bow: f32,
    wave: (f32, f32, f32),
    keystone: (f32, f32),
    /// How far lines run down to the right, and columns lean, for each em.
    slope: f32,
    lean: f32,
}

impl Bend {
    fn draw(page: &Page, gutter_left: bool, random: &mut Random) -> Bend {
        let hard = *random.pick(&[0.0, 0.15, 0.5, 0.5, 1.0]);
        let lift = |random: &mut Random| hard * random.between(-3.2, 3.2);
        Bend {
            width: page.width,
            height: page.height,
            gutter_left,
            inner: random.between(0.8, 3.5),
            squeeze: hard * random.between(0.0, 0.75),
            reach: page.width * random.between(0.12, 0.6),
            lift: (lift(random), lift(random)),
            bow: hard * random.between(-1.6, 1.6),
            wave: (
                hard * random.between(0.0, 0.3),
                random.between(0.5, 1.6),
                random.between(0.0, 6.3),
            ),
            slope: (0.012 + 0.07 * hard) * random.normal(),
            lean: (0.01 + 0.09 * hard) * random.normal(),
            keystone: (
                hard.max(0.1) * random.between(-0.2, 0.2),
                hard.max(0.15) * random.between(-0.16, 0.16),
            ),
        }
    }

    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        let from_gutter = self.inner + if self.gutter_left { x } else { self.width - x };
        let fade = (-from_gutter / self.reach).exp();
        let squeezed = from_gutter - self.squeeze * self.reach * (1.0 - fade);
        let (u, v) = (x / self.width - 0.5, y / self.height - 0.5);
        let flat_x = if self.gutter_left {
            squeezed - self.inner
        } else {
            self.width - (squeezed - self.inner)
        };
        let (strength, turns, phase) = self.wave;
        let y = y
            + (self.lift.0 + 2.0 * self.lift.1 * v) * fade
            + 4.0 * self.bow * u * u
            + strength * (std::f32::consts::TAU * turns * u + phase).sin();
        let scale = 1.0 + self.keystone.0 * v;
        let flat_x = self.width / 2.0 + (flat_x - self.width / 2.0) * scale;
        let y = y * (1.0 + self.keystone.1 * u);
        (flat_x + self.lean * (y - self.height / 2.0), y + self.slope * (x - self.width / 2.0))
    }
}

/// Photographs a page of the kind `list`, at times both pages of the opening or a strip of the facing one.
pub fn photograph(list: List, random: &mut Random) -> View {
    let style = Style::draw(list, random);
    let right = random.chance(0.5);
    let main = compose::set(&style, right, random);
    let gap = random.between(2.0, 6.0);
    // Nothing, a strip, or the whole facing page.
    let shown = match random.index(20) {
        0..11 => 0.0,
        11..18 => random.between(0.03, 0.5),
        _ => 2.0,
    };
    let mut lines = Vec::new();
    let mut entries = 0;
    let facing_style = if random.chance(0.8) {
        style.clone()
    } else {
        let other = List::draw(random);
        Style::draw(other, random)
    };
    let mut left = -random.between(0.4, 5.0);
    let mut edge = main.width + random.between(0.4, 5.0);
    let both = shown > 1.0;
    if shown > 0.0 {
        let facing = compose::set(&facing_style, !right, random);
        let offset = if right { -(facing.width + gap) } else { main.width + gap };
        let bend = Bend::draw(&facing, !right, random);
        let leaf = if both { Some(u8::from(!right)) } else { None };
        place(&facing, &bend, offset, leaf, &mut entries, &mut lines);
        let visible =
            if both { facing.width + random.between(0.5, 3.0) } else { facing.width * shown };
        if right { left = -(gap + visible) } else { edge = main.width + gap + visible }
    } else if random.chance(0.06) {
        // The frame cuts the page itself.
        if random.chance(0.5) {
            left = random.between(0.0, 2.0)
        } else {
            edge = main.width - random.between(0.0, 2.0)
        }
    }
    let bend = Bend::draw(&main, right, random);
    let leaf = if both { u8::from(right) } else { 0 };
    place(&main, &bend, 0.0, Some(leaf), &mut entries, &mut lines);
    let (top, bottom) = vertical(&main, random);
    turn(lines, (left, edge, top, bottom), style, random)
}

/// Upper and lower edge of the frame; at times it cuts.
fn vertical(page: &Page, random: &mut Random) -> (f32, f32) {
    let cut =
        |random: &mut Random| random.chance(0.1).then(|| random.between(0.0, 0.4) * page.height);
    (cut(random).unwrap_or(-9.0), cut(random).map_or(page.height + 9.0, |c| page.height - c))
}

fn place(
    page: &Page,
    bend: &Bend,
    offset: f32,
    leaf: Option<u8>,
    entries: &mut usize,
    lines: &mut Vec<Vec<Seen>>,
) {
    for line in &page.lines {
        let seen = line.iter().map(|char| {
            let (x, y) = bend.at(char.x, char.y);
            let end = bend.at(char.x + char.width, char.y).0;
            let entry = page.entries.get(char.entry);
            let mut char = char.clone();
            if leaf.is_none() {
                char.role = Role::Facing;
            }
            Seen {
                x: (x + offset) * EM,
                y: y * EM,
                width: (end - x) * EM,
                leaf: leaf.unwrap_or(0),
                column: entry.map_or(0, |e| e.column),
                level: entry.map_or(1, |e| e.level),
                entry: entry.filter(|_| leaf.is_some()).map(|_| *entries + char.entry),
                char,
            }
        });
        lines.push(seen.collect());
    }
    *entries += page.entries.len();
}

/// The frame, and what is left of the camera's turn once the picture has been levelled.
fn turn(
    lines: Vec<Vec<Seen>>,
    frame: (f32, f32, f32, f32),
    style: Style,
    random: &mut Random,
) -> View {
    let (left, right, top, bottom) = frame;
    let slope = random.between(-0.015, 0.015);
    // A thumb at an edge, a ribbon across: what they cover is not seen.
    let thumb = random.chance(0.12).then(|| {
        let (wide, high) = (random.between(2.0, 7.0), random.between(2.0, 6.0));
        let x = if random.chance(0.5) { left } else { right - wide };
        (x, random.between(top.max(0.0), bottom), wide, high)
    });
    let ribbon =
        random.chance(0.05).then(|| (random.between(left, right), random.between(0.6, 1.5)));
    let covered = move |x: f32, y: f32| {
        thumb.is_some_and(|(l, t, w, h)| (l..l + w).contains(&x) && (t..t + h).contains(&y))
            || ribbon.is_some_and(|(l, w)| (l..l + w).contains(&x))
    };
    let inside = |s: &Seen| {
        let (x, y) = (s.x / EM, s.y / EM);
        x >= left && x + s.width / EM <= right && (top..bottom).contains(&y) && !covered(x, y)
    };
    let turned = |line: Vec<Seen>| -> Vec<Seen> {
        line.into_iter().filter(inside).map(|s| Seen { y: s.y + slope * s.x, ..s }).collect()
    };
    let lines = lines.into_iter().map(turned).filter(|l: &Vec<Seen>| !l.is_empty()).collect();
    View { lines, left: left * EM, right: right * EM, style }
}
