//! A second reader of figures, independent of Tesseract: one glyph becomes the probabilities of the ten figures
//! and of "no figure".
//!
//! A small convolutional network (after Y. LeCun et al., Gradient-Based Learning Applied to Document
//! Recognition, 1998, section II, made smaller). Its weights come from `tests/figures`, which draws figures in
//! many typefaces, wears them as print and photographs do, and trains it.

mod glyph;
mod net;

pub use glyph::{Glyph, SIDE, normalise};
/// The layers' arithmetic, for the training.
pub mod layers {
    pub use super::net::{convolve, full, halve};
}

pub use net::{CLASSES, FigureNet, HIDDEN, MAPS_1, MAPS_2, NO_FIGURE, SIDE_1, SIDE_2};

use crate::Result;
use std::path::Path;
use std::sync::OnceLock;

/// The network compiled into the program.
pub fn net() -> Result<&'static FigureNet> {
    static NET: OnceLock<FigureNet> = OnceLock::new();
    if let Some(net) = NET.get() {
        return Ok(net);
    }
    let read = crate::format::parse(
        include_str!("../../data/figures.json"),
        Path::new("src/data/figures.json"),
    )?;
    Ok(NET.get_or_init(|| read))
}
