//! What detector and recogniser make of a picture: lines fall into boxes at wide white, neighbours run together,
//! characters are misread or lost.

use super::compose::Role;
use super::random::Random;
use super::sheet::{EM, Seen, View};
use vitta::geom::Point;
use vitta::text::segment::{Mark, ReadLine};

/// Height of a line's band in heights of its letters' em, as the detector gives it on computed pages.
const BAND: f32 = 1.15;

/// How well the eyes see on this picture.
struct Sight {
    gap: f32,
    leaders: f32,
    /// Share of leaders too faint to be followed.
    unled: f32,
    lost_box: f32,
    lost_figure: f32,
    wrong: f32,
    wrong_figure: f32,
    lost_space: f32,
    shake: f32,
    wide: f32,
}

impl Sight {
    fn draw(random: &mut Random) -> Sight {
        let poor = *random.pick(&[0.0, 0.1, 0.2, 0.2, 1.0, 2.0]);
        Sight {
            gap: random.between(0.7, 2.2),
            leaders: *random.pick(&[0.0, 0.0, 0.15, 0.3, 1.0]),
            unled: *random.pick(&[0.0, 0.0, 0.0, 0.2, 1.0]),
            lost_box: 0.001 + 0.02 * poor * random.unit(),
            // Lone figures are lost far more often than words: on some computed pictures nearly half of them.
            lost_figure: *random.pick(&[0.01, 0.02, 0.05, 0.15, 0.4]),
            wrong: 0.001 + 0.05 * poor * random.unit(),
            wrong_figure: 0.001 + 0.02 * poor * random.unit(),
            lost_space: *random.pick(&[0.02, 0.05, 0.3]),
            shake: 0.02 + 0.08 * poor * random.unit(),
            wide: random.between(0.92, 1.08),
        }
    }
}

/// A line as it was read, with the characters it truly holds.
pub struct Read {
    pub line: ReadLine,
    /// For each mark the character behind it.
    pub truth: Vec<Seen>,
}

/// What the detector takes for one line, and where the leader behind it leads.
struct Box {
    seen: Vec<Seen>,
    leads: Option<Point>,
}

/// Reads a picture.
pub fn read(view: &View, random: &mut Random) -> Vec<Read> {
    let sight = Sight::draw(random);
    let mut boxes: Vec<Box> = Vec::new();
    for line in &view.lines {
        let parts = parted(line, &sight, random);
        boxes.extend(parts.into_iter().map(|seen| {
            let leads = followed(&seen, line, &sight, random);
            Box { seen, leads }
        }));
    }
    boxes = merged(boxes, &sight, random);
    boxes.retain(|b| {
        let lost = if b.seen.len() <= 1 { sight.lost_figure } else { sight.lost_box };
        !random.chance(lost)
    });
    let mut read: Vec<Read> = boxes.into_iter().filter_map(|b| spell(b, &sight, random)).collect();
    read.extend(dirt(view, random));
    read.sort_by(|a, b| top(a).total_cmp(&top(b)));
    read
}

/// Where the leader behind a part of a line is found to end. `src/photo/leaders.rs` follows runs longer than three
/// bands; on computed pages it misses about one in twenty-five, stops early or slips into the next line in one of a
/// hundred.
fn followed(part: &[Seen], line: &[Seen], sight: &Sight, random: &mut Random) -> Option<Point> {
    let dot = |s: &Seen| s.char.role == Role::Leader && matches!(s.char.letter, '.' | '_');
    let last = part.iter().rev().find(|s| !dot(s) && s.char.letter != ' ')?;
    let mut run: Vec<&Seen> = Vec::new();
    for s in line.iter().filter(|s| s.x > last.x && s.char.letter != ' ') {
        let before = run.last().map_or(last.x + last.width, |r| r.x);
        if !dot(s) || s.x - before > 3.0 * BAND * EM {
            break;
        }
        run.push(s);
    }
    let end = run.last()?;
    if end.x - last.x < 3.0 * BAND * EM {
        let astray = random.chance(0.002);
        let (dx, dy) = (random.between(3.0, 12.0) * EM, random.between(-1.0, 1.0) * EM);
        return astray.then_some(Point { x: last.x + dx, y: last.y + dy });
    }
    if random.chance(0.02 + 4.0 * sight.lost_box + sight.unled) {
        return None;
    }
    let end =
        if random.chance(0.012 + sight.lost_box) { run[random.index(run.len())] } else { end };
    let slip =
        if random.chance(0.006 + sight.lost_box) { *random.pick(&[-1.25, 1.25]) * EM } else { 0.0 };
    let y = end.y + slip + 0.05 * EM * random.normal();
    Some(Point { x: end.x + end.width + 0.1 * EM * random.normal(), y })
}

fn top(read: &Read) -> f32 {
    read.line.axis.first().map_or(0.0, |p| p.y)
}

fn parted(line: &[Seen], sight: &Sight, random: &mut Random) -> Vec<Vec<Seen>> {
    let mut out: Vec<Vec<Seen>> = Vec::new();
    let mut reach = f32::MIN;
    let leaders_here = random.chance(sight.leaders);
    for seen in line {
        let dot = seen.char.role == Role::Leader && matches!(seen.char.letter, '.' | '_');
        // A dot or two beside a word is in its box all the same.
        let near = seen.x - reach < 0.5 * EM;
        if seen.char.letter == ' ' || dot && !(leaders_here || near && random.chance(0.5)) {
            continue;
        }
        let gap = sight.gap * EM * random.between(0.85, 1.15);
        match out.last_mut() {
            Some(last) if seen.x - reach < gap => {
                // The white between words is read as a space.
                if seen.x - reach > 0.12 * EM && !dot {
                    let mut space = seen.clone();
                    space.char.letter = ' ';
                    space.x = reach;
                    space.width = seen.x - reach;
                    if !random.chance(sight.lost_space) {
                        last.push(space);
                    }
                }
                last.push(seen.clone());
            }
            _ => out.push(vec![seen.clone()]),
        }
        reach = seen.x + seen.width;
    }
    out
}

/// Boxes of neighbouring columns, or of a line and its number, that the detector cannot part.
fn merged(boxes: Vec<Box>, sight: &Sight, random: &mut Random) -> Vec<Box> {
    let mut out: Vec<Box> = Vec::new();
    for b in boxes {
        let Some(first) = b.seen.first().cloned() else { continue };
        let fits = |o: &&mut Box| {
            let Some(last) = o.seen.last() else { return false };
            let gap = first.x - (last.x + last.width);
            (-0.2 * EM..0.8 * sight.gap * EM).contains(&gap) && (first.y - last.y).abs() < 0.3 * EM
        };
        match out.iter_mut().rev().take(200).find(fits) {
            Some(other) if random.chance(0.8) => {
                let mut space = first.clone();
                space.char.letter = ' ';
                let last = other.seen.last().map_or(first.x, |l| l.x + l.width);
                space.width = (first.x - last).max(0.0);
                space.x = last;
                other.seen.push(space);
                other.seen.extend(b.seen);
                other.leads = b.leads;
            }
            _ => out.push(b),
        }
    }
    out
}

fn misread(letter: char, random: &mut Random) -> char {
    let figures = ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9'];
    match letter {
        '1' if random.chance(0.6) => *random.pick(&['l', 'I', 'i', '7']),
        '0' if random.chance(0.4) => *random.pick(&['O', 'o', '6']),
        '5' if random.chance(0.3) => 'S',
        c if c.is_ascii_digit() => *random.pick(&figures),
        '.' | ',' => *random.pick(&['.', ',', '·', '-']),
        'i' | 'l' | 'I' if random.chance(0.3) => *random.pick(&['1', 'l', 'i', 'I']),
        c if c.is_uppercase() => *random.pick(&['A', 'B', 'C', 'E', 'F', 'H', 'T', 'S', 'V']),
        _ => *random.pick(&['a', 'e', 'i', 'n', 'o', 's', 't', 'r', 'c', 'm', '.', 'l']),
    }
}

fn spell(Box { seen, leads }: Box, sight: &Sight, random: &mut Random) -> Option<Read> {
    let (first, last) = (seen.first()?.clone(), seen.last()?.clone());
    let size = seen.iter().map(|s| s.char.size).fold(0.0, f32::max);
    let height = EM * size * BAND * sight.wide * (1.0 + 0.08 * random.normal());
    let offset = sight.shake * EM * random.normal();
    let axis = axis(&seen, first.x, last.x + last.width, offset, sight, random);
    let red = seen.iter().filter(|s| s.char.red).count() as f32 / seen.len() as f32;
    let (mut marks, mut truth) = (Vec::new(), Vec::new());
    for s in seen {
        let figure = s.char.letter.is_ascii_digit();
        let wrong = random.chance(if figure { sight.wrong_figure } else { sight.wrong });
        let mut letter = s.char.letter;
        let mut probability = 1.0 - 0.03 * random.unit();
        if wrong {
            if random.chance(0.25) {
                continue;
            }
            if letter != ' ' {
                letter = misread(letter, random);
            }
            probability = random.between(0.35, 1.0);
        }
        if letter == '_' && random.chance(0.4)
            || letter == '.' && s.char.role == Role::Leader && random.chance(0.15)
        {
            continue;
        }
        let slack = 0.06 * EM * random.normal();
        let from = s.x - first.x + slack;
        marks.push(Mark {
            letter,
            from,
            to: from + s.width.max(1.0) * random.between(0.7, 1.0),
            probability,
        });
        truth.push(s);
    }
    let red = if red > 0.3 { red * random.between(0.6, 1.0) } else { red * 0.3 };
    (!marks.is_empty())
        .then_some(Read { line: ReadLine { marks, axis, height, red, leads }, truth })
}

/// A curve through the characters; short boxes know their direction only roughly.
fn axis(
    seen: &[Seen],
    from: f32,
    to: f32,
    offset: f32,
    sight: &Sight,
    random: &mut Random,
) -> Vec<Point> {
    let y_at = |x: f32| {
        let after = seen.iter().position(|s| s.x >= x).unwrap_or(seen.len() - 1);
        let (a, b) = (&seen[after.saturating_sub(1)], &seen[after]);
        let t = ((x - a.x) / (b.x - a.x).max(1.0)).clamp(0.0, 1.0);
        a.y + (b.y - a.y) * t
    };
    let tilt = sight.shake * random.normal() * if seen.len() < 5 { 0.6 } else { 0.05 };
    let steps = (seen.len() / 5).max(1);
    (0..=steps)
        .map(|i| {
            let x = from + (to - from) * i as f32 / steps as f32;
            Point { x, y: y_at(x) + offset + tilt * (x - (from + to) / 2.0) }
        })
        .collect()
}

/// Specks, a ribbon's edge, the grain of a table: boxes that hold nothing.
fn dirt(view: &View, random: &mut Random) -> Vec<Read> {
    let count = if random.chance(0.25) { 1 + random.index(8) } else { 0 };
    let Some(one) = view.lines.first().and_then(|l| l.first()).cloned() else { return Vec::new() };
    let bottom = view.lines.iter().flatten().map(|s| s.y).fold(0.0, f32::max);
    let mut out = Vec::new();
    for _ in 0..count {
        let x = if random.chance(0.7) {
            let side = if random.chance(0.5) { view.left } else { view.right };
            side + random.between(-2.0, 2.0) * EM
        } else {
            random.between(view.left, view.right)
        };
        let y = random.between(-3.0 * EM, bottom + 3.0 * EM);
        let letters = 1 + random.index(4);
        let marks: Vec<Mark> = (0..letters)
            .map(|i| Mark {
                letter: *random.pick(&['1', 'I', 'l', '-', '.', 'i', 'T', '7', 'e', '0', '|', 'o']),
                from: 12.0 * i as f32,
                to: 12.0 * i as f32 + 10.0,
                probability: random.between(0.2, 0.95),
            })
            .collect();
        let mut nothing = one.clone();
        nothing.char.role = Role::Furniture;
        nothing.entry = None;
        let axis = vec![
            Point { x, y },
            Point { x: x + 12.0 * letters as f32, y: y + random.between(-4.0, 4.0) },
        ];
        let height = EM * random.between(0.4, 2.0);
        out.push(Read {
            line: ReadLine { marks, axis, height, red: 0.0, leads: None },
            truth: vec![nothing; letters],
        });
    }
    out
}
