//! The recogniser alone: every box of the truth is cut out and read.

use super::score::{Boxes, Printed, Quad};
use image::RgbImage;
use rapidfuzz::distance::levenshtein;
use vitta::geom::Point;
use vitta::photo::{Cut, TextLine, cut};
use vitta::text::label::label;
use vitta::text::recognise::recognise;

/// Heights of the band around a box, for one height of the box, which ends where its letters end; the detector's
/// bands reach beyond them as far.
const ROOM: f32 = 1.35;

/// What was read in boxes.
#[derive(Debug, Clone, Copy, Default)]
pub struct Eyes {
    /// Titles with boxes.
    pub titles: usize,
    /// Their edit distances, white left out, each as a share of the title's length, together.
    pub error: f64,
    /// Labels with boxes.
    pub labels: usize,
    /// Of them read exactly.
    pub exact: usize,
}

impl Eyes {
    pub fn add(&mut self, other: Eyes) {
        self.titles += other.titles;
        self.error += other.error;
        self.labels += other.labels;
        self.exact += other.exact;
    }
}

/// Reads all boxes of a photograph.
pub fn alone(picture: &RgbImage, truth: &[Printed]) -> Eyes {
    let mut eyes = Eyes::default();
    for (row, boxes) in truth.iter().filter_map(|row| Some((row, row.boxes.as_ref()?))) {
        title(picture, row, boxes, &mut eyes);
        labels(picture, row, boxes, &mut eyes);
    }
    eyes
}

fn title(picture: &RgbImage, row: &Printed, boxes: &Boxes, eyes: &mut Eyes) {
    if boxes.title.is_empty() {
        return;
    }
    let plain = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
    let parts: Vec<String> = boxes.title.iter().map(|quad| read(picture, quad)).collect();
    let mut read = String::new();
    for part in &parts {
        // A word that is broken at the end of a line.
        if read.ends_with('-') && part.starts_with(char::is_lowercase) {
            read.pop();
        }
        read.push_str(part);
    }
    let (read, printed) = (plain(&read), plain(&row.title));
    let longest = read.chars().count().max(printed.chars().count()).max(1);
    eyes.titles += 1;
    eyes.error += levenshtein::distance(read.chars(), printed.chars()) as f64 / longest as f64;
}

fn labels(picture: &RgbImage, row: &Printed, boxes: &Boxes, eyes: &mut Eyes) {
    let Some(page) = row.page.as_deref().filter(|_| !boxes.label.is_empty()) else { return };
    let read: Vec<String> =
        boxes.label.iter().filter_map(|quad| label(&read(picture, quad))).collect();
    eyes.labels += 1;
    eyes.exact +=
        usize::from(super::score::fold_page(&read.join(", ")) == super::score::fold_page(page));
}

/// What stands in a box, by the likeliest character at each step.
fn read(picture: &RgbImage, quad: &Quad) -> String {
    let [[ax, ay], [bx, by], [cx, cy], [dx, dy]] = *quad;
    let axis = vec![
        Point { x: (ax + dx) / 2.0, y: (ay + dy) / 2.0 },
        Point { x: (bx + cx) / 2.0, y: (by + cy) / 2.0 },
    ];
    let height = ((dx - ax).hypot(dy - ay) + (cx - bx).hypot(cy - by)) / 2.0;
    let line = TextLine { axis, height };
    let beyond = (ROOM - 1.0) * height;
    let whole = Cut { room: ROOM, from: -beyond, to: line.length() + beyond, ..Cut::whole(&line) };
    let lattice = recognise(&cut(picture, &line, whole)).unwrap();
    lattice.best().iter().map(|glyph| glyph.letter).collect()
}
