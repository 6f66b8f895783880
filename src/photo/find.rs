//! The lines of print on a photograph.

use super::detect;
use super::trace::{self, TextLine};
use crate::Result;
use crate::geom::Point;
use image::{RgbImage, imageops};
use std::f32::consts::FRAC_PI_2;

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
    let (lines, angle) = seen(picture, 0.0)?;
    let (lines, angle) = if is_sideways(angle) { seen(picture, angle)? } else { (lines, angle) };
    Ok(Print { lines, angle })
}

/// Whether print at this angle runs up or down the picture rather than across.
fn is_sideways(angle: f32) -> bool {
    angle.sin().abs() > angle.cos().abs()
}

/// The lines of a picture whose print runs at about this angle, and the angle they have. The detector joins what stands side by
/// side: on a picture that lies on its side the numbers of a column would become one line, so that is looked at turned.
pub(super) fn seen(picture: &RgbImage, angle: f32) -> Result<(Vec<TextLine>, f32)> {
    if !is_sideways(angle) {
        return Ok(trace::lines(&detect::detect(picture)?));
    }
    let height = picture.height() as f32;
    let (lines, angle) = trace::lines(&detect::detect(&imageops::rotate90(picture))?);
    let back = |p: &Point| Point { x: p.y, y: height - p.x };
    let turned = |l: TextLine| TextLine { axis: l.axis.iter().map(back).collect(), ..l };
    Ok((lines.into_iter().map(turned).collect(), angle - FRAC_PI_2))
}
