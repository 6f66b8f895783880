//! The steps of a reading as pictures, so that a bad row can be traced to the step that spoilt it.

use crate::error::FileFault;
use crate::geom::Rect;
use crate::photo::Photo;
use crate::text::{self, Look, Reading};
use crate::{Error, Result};
use image::{Rgb, RgbImage};
use imageproc::drawing::draw_hollow_rect_mut;
use std::path::Path;

const SURE: Rgb<u8> = Rgb([20, 150, 60]);
const DOUBT: Rgb<u8> = Rgb([220, 40, 40]);
/// Width of the frames, in pixels of the photograph.
const FRAME: i32 = 3;

/// Writes for a photograph "NAME": what was taken for what as NAME-roles.jpg, what was read with its weights as
/// NAME-read.txt, and the rows framed on the photograph as NAME-rows.jpg, those in doubt in red.
pub fn write(folder: &Path, photo: &Photo, look: &Look, reading: &Reading) -> Result<()> {
    let name = photo.name.replace([' ', ','], "_");
    save(&text::show(&photo.image, look), &folder.join(format!("{name}-roles.jpg")))?;
    let file = folder.join(format!("{name}-read.txt"));
    std::fs::write(&file, text::told(look))
        .map_err(|e| Error::from(FileFault::Unwritable(file.clone())).because(e))?;
    let mut picture = photo.image.clone();
    for row in &reading.rows {
        frame(&mut picture, row.strip.area, if row.doubt { DOUBT } else { SURE });
    }
    save(&picture, &folder.join(format!("{name}-rows.jpg")))
}

fn save(picture: &RgbImage, file: &Path) -> Result<()> {
    picture.save(file).map_err(|e| Error::from(FileFault::Unwritable(file.into())).because(e))
}

fn frame(picture: &mut RgbImage, area: Rect, colour: Rgb<u8>) {
    for by in 0..FRAME {
        let (width, height) = (area.width() + 2 * by, area.height() + 2 * by);
        let rect = imageproc::rect::Rect::at(area.left - by, area.top - by)
            .of_size(width.max(1) as u32, height.max(1) as u32);
        draw_hollow_rect_mut(picture, rect, colour);
    }
}
