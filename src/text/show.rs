//! What the stage saw on a page, as a picture: lines and their parts boxed, leaders crossed out. For tracing a bad
//! row to its step.

use super::page::{Sheet, layout};
use crate::geom::Rect;
use crate::photo::Page;
use image::{Rgb, RgbImage};
use imageproc::drawing::{draw_hollow_rect_mut, draw_line_segment_mut};

const LINE: Rgb<u8> = Rgb([40, 90, 220]);
const PART: Rgb<u8> = Rgb([20, 150, 60]);
const LEADER: Rgb<u8> = Rgb([220, 40, 40]);

/// The page set upright, with its lines in blue, the parts of a line in green, leaders crossed out in red.
pub fn show(page: &Page) -> RgbImage {
    let sheet = Sheet::of(page);
    let mut picture = image::DynamicImage::ImageLuma8(sheet.grey.clone()).into_rgb8();
    for leaf in sheet.ink.leaves() {
        for line in layout(&leaf, sheet.ink.letter).columns.into_iter().flat_map(|c| c.1) {
            frame(&mut picture, line.area, 3, LINE);
            line.parts.iter().for_each(|part| frame(&mut picture, part.area, 1, PART));
        }
    }
    for leader in super::leaders::leaders(&sheet.ink.blobs, sheet.ink.letter) {
        let middle = (leader.area.top + leader.area.bottom) as f32 / 2.0;
        let ends = (leader.area.left as f32, leader.area.right as f32);
        draw_line_segment_mut(&mut picture, (ends.0, middle), (ends.1, middle), LEADER);
    }
    picture
}

fn frame(picture: &mut RgbImage, area: Rect, around: i32, colour: Rgb<u8>) {
    let (width, height) = (area.width() + 2 * around, area.height() + 2 * around);
    let frame = imageproc::rect::Rect::at(area.left - around, area.top - around)
        .of_size(width.max(1) as u32, height.max(1) as u32);
    draw_hollow_rect_mut(picture, frame, colour);
}
