//! The lines of print on a photograph.

use super::detect;
use super::trace::{self, TextLine};
use crate::Result;
use image::RgbImage;

/// The print found on a photograph.
#[derive(Debug, Clone)]
pub struct Print {
    /// Its lines, in no order. All run to the same side, but perhaps upside down.
    pub lines: Vec<TextLine>,
    /// The angle at which most run, in radians, positive downwards to the right.
    pub angle: f32,
}

impl Print {
    /// The same print the other way up.
    pub fn turned(&self) -> Print {
        let turned =
            |l: &TextLine| TextLine { axis: l.axis.iter().rev().copied().collect(), ..l.clone() };
        Print {
            lines: self.lines.iter().map(turned).collect(),
            angle: self.angle + std::f32::consts::PI,
        }
    }
}

/// Finds the print of a picture.
pub fn find(picture: &RgbImage) -> Result<Print> {
    let (lines, angle) = trace::lines(&detect::detect(picture)?);
    Ok(Print { lines, angle })
}
