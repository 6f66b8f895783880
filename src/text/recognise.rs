//! Strips of print become lattices of characters: a trained recogniser gives for each step along a crop how likely
//! each character ends there.
//!
//! The network and how it was made: `src/data/reading/SOURCES.md`. It reads 46 languages of Latin script.

use super::lattice::{Lattice, Step};
use crate::Result;
use crate::net::{Net, Numbers};
use crate::photo::{CROP_HEIGHT, Crop};
use std::sync::OnceLock;

/// Pixels of a crop in one step of the lattice.
pub const STEP_PX: f32 = 8.0;
/// Narrower strips are filled up with grey, as in the training.
const NARROWEST: usize = 64;
/// Rivals kept at each step; the next ones have less than a thousandth together.
const RIVALS: usize = 8;

fn net() -> Result<&'static Net> {
    static NET: OnceLock<Option<Net>> = OnceLock::new();
    Net::once(&NET, "recogniser", include_bytes!("../data/reading/recogniser.onnx"))
}

/// The characters in the order of the network's classes, of which the first, 0, is none.
pub fn characters() -> &'static [char] {
    static ALL: OnceLock<Vec<char>> = OnceLock::new();
    ALL.get_or_init(|| {
        let listed = include_str!("../data/reading/characters.txt");
        let one = |line: &str| line.chars().next().unwrap_or(' ');
        std::iter::once('\0').chain(listed.lines().map(one)).chain([' ']).collect()
    })
}

/// Reads one crop.
pub fn recognise(crop: &Crop) -> Result<Lattice> {
    let (width, height) = (crop.picture.width() as usize, CROP_HEIGHT as usize);
    let wide = width.next_multiple_of(STEP_PX as usize).max(NARROWEST);
    let mut values = vec![0.0; 3 * height * wide];
    for (x, y, pixel) in crop.picture.enumerate_pixels() {
        for (plane, colour) in [2, 1, 0].into_iter().enumerate() {
            let at = (plane * height + y as usize) * wide + x as usize;
            if let (Some(value), Some(seen)) = (values.get_mut(at), pixel.0.get(colour)) {
                *value = f32::from(*seen) / 127.5 - 1.0;
            }
        }
    }
    let found = net()?.run(Numbers { shape: vec![1, 3, height, wide], values })?;
    let Some(found) = found.into_iter().next() else { return Ok(Lattice::default()) };
    let classes = found.shape.last().copied().unwrap_or(1).max(1);
    let steps = width.div_ceil(STEP_PX as usize);
    let rows = found.values.chunks_exact(classes).take(steps);
    Ok(Lattice { steps: rows.map(likeliest).collect() })
}

fn likeliest(row: &[f32]) -> Step {
    let mut all: Vec<(u16, f32)> =
        row.iter().enumerate().filter(|(_, p)| **p > 1e-5).map(|(c, p)| (c as u16, *p)).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all.truncate(RIVALS);
    all
}
