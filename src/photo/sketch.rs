//! The reduced photograph on which structure is looked for: its light, its letters, levelled lines,
//! and the sheets of the pages on it.

use super::ink::{self, Blob};
use super::light::Light;
use super::lines::{self, Chain, Reach};
use super::paper::Paper;
use super::pose::{self, Pose};
use super::sheet::Sheet;
use super::spread::{self, Leaf};
use super::surface::Patch;
use super::upright::{self, Outline};
use super::{LEAST_X_HEIGHT, SKETCH_PIXELS, direction, dots, grey, strokes};
use crate::Result;
use crate::error::PhotoFault;
use crate::geom::Point;
use image::GrayImage;

/// The reduced photograph.
pub(super) struct Sketch {
    /// Pixels of the photograph along each side of a pixel of the sketch.
    pub factor: f32,
    pub light: Light,
    grey: GrayImage,
    even: GrayImage,
}

/// The sketch turned so that lines run level, and its letters.
pub(super) struct Level {
    /// Degrees by which lines ran down to the right.
    pub angle: f32,
    /// The way to the photograph at full size.
    pub pose: Pose,
    /// Typical height of a lower-case letter on the sketch.
    pub x_height: f32,
    even: GrayImage,
    to_sketch: Pose,
    letters: Vec<Blob>,
    /// Rows of leader dots.
    leaders: Vec<Vec<Blob>>,
}

/// One page: its shape and its letters at their flat places.
pub(super) struct LeafSheet {
    pub sheet: Sheet,
    pub flat: Vec<Blob>,
    /// Leaders and the numbers behind them, at their flat places.
    pub led: Vec<Blob>,
    pub chains: Vec<Chain>,
    pub outline: Outline,
    pub notices: Vec<String>,
}

impl Sketch {
    pub(super) fn of(full: &GrayImage) -> Sketch {
        let pixels = full.width() as f32 * full.height() as f32;
        let factor = (pixels / SKETCH_PIXELS).sqrt().ceil().max(1.0);
        let grey = grey::reduce(full, factor as u32);
        let light = Light::measure(&grey);
        let even = light.even(&grey);
        Sketch { factor, light, grey, even }
    }

    /// Turns the sketch by the angle of its lines, or a given one; refuses what cannot be read.
    pub(super) fn level(&self, photo: &str, angle: Option<f32>) -> Result<Level> {
        let no_text = || PhotoFault::NoText { photo: photo.into() };
        let angle = match angle {
            Some(angle) => angle,
            None => {
                let letters = letters(&self.even);
                let size = ink::x_height(&letters).ok_or_else(no_text)?;
                settled(direction::line_angle(&letters, size).ok_or_else(no_text)?)
            }
        };
        let (even, to_sketch) = pose::level(&self.even, angle);
        let (pieces, paper) = ink::pieces(&even);
        let letters: Vec<Blob> = pieces.iter().filter(|b| ink::like_a_letter(b)).copied().collect();
        let rough = ink::x_height(&letters).ok_or_else(no_text)?;
        let printed = Printed::of(&letters, &paper, rough);
        let x_height = ink::x_height(&printed.letters).unwrap_or(rough);
        let found_px = x_height * self.factor;
        if found_px < LEAST_X_HEIGHT {
            let photo = photo.into();
            return Err(
                PhotoFault::LettersTooSmall { photo, found_px, needed_px: LEAST_X_HEIGHT }.into()
            );
        }
        let on_page = |b: &Blob| printed.holds(&paper, b);
        let letters =
            letters.into_iter().filter(|l| lines::fits(l, x_height) && on_page(l)).collect();
        let like_dots: Vec<Blob> =
            pieces.into_iter().filter(|b| dots::like_a_dot(b, x_height)).collect();
        let leaders = dots::rows(&like_dots, x_height);
        let pose = to_sketch.then(&Pose::enlarged(self.factor));
        Ok(Level { angle, pose, x_height, even, to_sketch, letters, leaders })
    }
}

/// What is surely print, and where it stands.
struct Printed {
    /// Letters of lines: grain has pieces as high as letters, but they do not stand in rows.
    letters: Vec<Blob>,
    pieces: Vec<usize>,
    /// Which pieces of paper carry lines.
    carries: Vec<bool>,
}

impl Printed {
    /// So many letters in a row are a line.
    const ROW: usize = 5;
    /// A piece of paper with a smaller share of the letters of lines than the best is table or cover.
    const LEAST: f32 = 0.05;

    fn of(letters: &[Blob], paper: &Paper, x_height: f32) -> Printed {
        let like: Vec<Blob> =
            letters.iter().filter(|l| lines::fits(l, x_height)).copied().collect();
        let chains = lines::trace(&like, x_height, Reach::BENT);
        let rows = chains.iter().filter(|c| c.len() >= Printed::ROW).flatten();
        let letters: Vec<Blob> = rows.map(|&i| like[i]).collect();
        let (pieces, count) = paper.pieces();
        let mut counts = vec![0u32; count + 1];
        for letter in &letters {
            counts[piece(letter, paper, &pieces)] += 1;
        }
        let most = counts.iter().copied().max().unwrap_or(0) as f32;
        let carries = counts.iter().map(|n| *n as f32 >= Printed::LEAST * most).collect();
        Printed { letters, pieces, carries }
    }

    fn holds(&self, paper: &Paper, blob: &Blob) -> bool {
        self.carries[piece(blob, paper, &self.pieces)]
    }
}

/// The piece of paper on which the middle of a blob is; 0 for none.
fn piece(blob: &Blob, paper: &Paper, pieces: &[usize]) -> usize {
    let place = paper.squares().place(blob.middle_x() as i32, blob.middle_y() as i32);
    place.and_then(|place| pieces.get(place)).copied().unwrap_or(0)
}

/// Small angles are left to the shape of the sheet: a quarter turn loses nothing, others do.
fn settled(angle: f32) -> f32 {
    const SMALL: f32 = 5.0;
    let quarter = (angle / 90.0).round() * 90.0;
    if (angle - quarter).abs() < SMALL { quarter } else { angle }
}

fn letters(even: &GrayImage) -> Vec<Blob> {
    ink::pieces(even).0.into_iter().filter(ink::like_a_letter).collect()
}

impl Level {
    /// The pages on the photograph, left first, each with its shape.
    pub(super) fn sheets(&self, sketch: &Sketch) -> Vec<LeafSheet> {
        let (width, height) = (sketch.grey.width() as f32, sketch.grey.height() as f32);
        let beyond = |p: Point| {
            let q = self.to_sketch.at(p);
            q.x < 0.0 || q.y < 0.0 || q.x >= width || q.y >= height
        };
        let brightness = |p: Point| {
            let q = self.to_sketch.at(p);
            let (x, y) = (q.x.clamp(0.0, width - 1.0), q.y.clamp(0.0, height - 1.0));
            f32::from(sketch.grey.get_pixel(x as u32, y as u32)[0])
        };
        let leaves = spread::leaves(
            self.letters.clone(),
            &self.leaders,
            self.x_height,
            &brightness,
            &beyond,
        );
        leaves.into_iter().map(|leaf| self.sheet(leaf)).collect()
    }

    fn sheet(&self, leaf: Leaf) -> LeafSheet {
        let patch = patch(&leaf.letters, &self.leaders, self.x_height);
        let leans = strokes::leans(&self.even, &patch);
        let within =
            |row: &&Vec<Blob>| row.iter().all(|dot| patch.holds(dot.middle_x(), dot.middle_y()));
        let leaders: Vec<Vec<Blob>> = self.leaders.iter().filter(within).cloned().collect();
        let sheet = Sheet::fit(&leaf.letters, &leaders, &leans, self.x_height, patch);
        let flat = sheet.flat_letters(&leaf.letters);
        let led = |row: &Vec<Blob>| {
            row.iter().chain(behind(row, &leaf.letters, self.x_height)).copied().collect::<Vec<_>>()
        };
        let led = sheet.flat_letters(&leaders.iter().flat_map(led).collect::<Vec<_>>());
        let chains = lines::trace(&flat, self.x_height, Reach::FLAT);
        let outline = upright::outline(&flat, &chains, self.x_height);
        LeafSheet { sheet, flat, led, chains, outline, notices: leaf.notices }
    }
}

/// The patch around the lines of print, with a little room; `leaders` start in them, and numbers stand behind.
fn patch(letters: &[Blob], leaders: &[Vec<Blob>], x_height: f32) -> Patch {
    let chains = lines::trace(letters, x_height, Reach::BENT);
    let lines = chains.iter().filter(|c| c.len() >= 3).flatten().map(|&i| &letters[i]);
    let Some(print) = ink::around(lines) else {
        return Patch { left: 0.0, top: 0.0, width: 1.0, height: 1.0, columns: 1, rows: 1 };
    };
    let starts = |row: &&Vec<Blob>| row.first().is_some_and(|dot| print.holds(dot));
    let mut room = vec![print];
    for row in leaders.iter().filter(starts) {
        room.extend(row);
        let number: Vec<&Blob> = behind(row, letters, x_height).collect();
        // The dark of a gutter may hide the number from the sketch; it stands there all the same.
        let hidden = row.last().filter(|_| number.is_empty());
        room.extend(hidden.map(|dot| Blob { right: dot.right + NUMBER * x_height, ..*dot }));
        room.extend(number);
    }
    let print = ink::around(room.iter()).unwrap_or(print);
    let (width, height) = (print.width() + 2.0 * x_height, print.height() + 2.0 * x_height);
    let (left, top) = (print.left - x_height, print.top - x_height);
    Patch { left, top, width, height, columns: 1, rows: 1 }
}

/// How far behind its leader a number of four figures ends, in x-heights.
const NUMBER: f32 = 5.0;

/// The number behind a leader.
fn behind<'a>(
    row: &'a [Blob],
    letters: &'a [Blob],
    x_height: f32,
) -> impl Iterator<Item = &'a Blob> {
    const BEHIND: f32 = 6.0;
    let last = row.last();
    letters.iter().filter(move |l| {
        last.is_some_and(|dot| {
            (0.0..BEHIND * x_height).contains(&(l.left - dot.right))
                && (l.bottom - dot.bottom).abs() < x_height
        })
    })
}
