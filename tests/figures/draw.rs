//! Draws a glyph as print and photograph leave it: sheared, stretched, thick or worn, blurred, noisy, at the few
//! pixels a phone gives it.

use crate::random::Random;
use ab_glyph::{Font, FontVec, Glyph as Outline, point};
use image::{GrayImage, Luma, imageops};
use imageproc::filter::gaussian_blur_f32;
use vitta::text::figure::{Glyph, NO_FIGURE, normalise};

/// Large enough that the wear below looks like wear of print.
const LARGE: f32 = 44.0;
const OTHERS: &str = "abcdefghijkmnpqrstuvwxyzABCDEFGHKLMNPQRTUVWXYZ.,;-()&?%";

/// A picture of the class's glyph, or `None` where the font draws nothing.
pub fn glyph(font: &FontVec, class: usize, random: &mut Random) -> Option<Glyph> {
    let text = text(class, random);
    let large = set(font, &text, random)?;
    let large = if class == NO_FIGURE && text.len() == 1 && text.as_bytes()[0].is_ascii_digit() {
        half(&large, random)
    } else {
        large
    };
    let worn = worn(&large, random);
    cut_close(&worn).map(|picture| normalise(&picture))
}

fn text(class: usize, random: &mut Random) -> String {
    if class < NO_FIGURE {
        return class.to_string();
    }
    match random.below(3) {
        0 => random.below(10).to_string(),
        1 => format!("{}{}", random.below(10), random.below(10)),
        _ => OTHERS.chars().nth(random.below(OTHERS.len())).unwrap_or('x').to_string(),
    }
}

/// White 255, ink 0, sheared and stretched, with a margin.
fn set(font: &FontVec, text: &str, random: &mut Random) -> Option<GrayImage> {
    let margin = LARGE / 3.0;
    let side = (LARGE * (0.9 + 0.7 * text.len() as f32)) as u32;
    let mut ink = GrayImage::from_pixel(side, (LARGE * 1.4) as u32, Luma([255]));
    let shear =
        if random.chance(0.25) { random.between(0.0, 0.35) } else { random.between(-0.06, 0.06) };
    let turn = random.between(-0.05, 0.05);
    let wide = random.between(0.8, 1.2);
    let mut x = margin;
    let mut drawn = false;
    let units = font.units_per_em()?;
    for c in text.chars() {
        let id = font.glyph_id(c);
        let outline =
            font.outline_glyph(Outline { id, scale: LARGE.into(), position: point(x, LARGE) });
        if let Some(outline) = outline {
            let area = outline.px_bounds();
            outline.draw(|px, py, cover| {
                let (gx, gy) = (px + area.min.x as u32, py + area.min.y as u32);
                if gx < ink.width() && gy < ink.height() {
                    let old = ink.get_pixel(gx, gy).0[0];
                    ink.put_pixel(gx, gy, Luma([old.min((255.0 * (1.0 - cover)) as u8)]));
                    drawn = true;
                }
            });
        }
        x += font.h_advance_unscaled(id) / units * LARGE * 0.86;
    }
    if !drawn {
        return None;
    }
    let middle = (margin + LARGE * 0.3, LARGE * 0.7);
    let bent = GrayImage::from_fn(ink.width(), ink.height(), |px, py| {
        let (dx, dy) = ((px as f32 - middle.0) / wide, py as f32 - middle.1);
        let (sx, sy) = (dx + shear * dy + middle.0, dy + turn * dx + middle.1);
        if sx < 0.0 || sy < 0.0 || sx >= (ink.width() - 1) as f32 || sy >= (ink.height() - 1) as f32
        {
            return Luma([255]);
        }
        *ink.get_pixel(sx.round() as u32, sy.round() as u32)
    });
    Some(bent)
}

/// Keeps a part of a figure only.
fn half(picture: &GrayImage, random: &mut Random) -> GrayImage {
    let Some(close) = bounds(picture, 128) else { return picture.clone() };
    let [left, top, width, height] = close;
    let share = random.between(0.3, 0.55);
    match random.below(4) {
        0 => imageops::crop_imm(picture, left, top, (width as f32 * share) as u32 + 1, height)
            .to_image(),
        1 => imageops::crop_imm(
            picture,
            left + (width as f32 * (1.0 - share)) as u32,
            top,
            (width as f32 * share) as u32 + 1,
            height,
        )
        .to_image(),
        2 => imageops::crop_imm(picture, left, top, width, (height as f32 * share) as u32 + 1)
            .to_image(),
        _ => imageops::crop_imm(
            picture,
            left,
            top + (height as f32 * (1.0 - share)) as u32,
            width,
            (height as f32 * share) as u32 + 1,
        )
        .to_image(),
    }
}

/// Blurs, wears and coarsens.
fn worn(large: &GrayImage, random: &mut Random) -> GrayImage {
    let framed = {
        let mut f = GrayImage::from_pixel(large.width() + 12, large.height() + 12, Luma([255]));
        imageops::replace(&mut f, large, 6, 6);
        f
    };
    let soft = gaussian_blur_f32(&framed, random.between(0.5, 2.0));
    // Ink spread (low) to starved print whose thin strokes break (high).
    let limit = random.between(70.0, 215.0);
    let patchy = random.chance(0.5);
    let (px, py) = (random.between(0.08, 0.32), random.between(0.08, 0.32));
    let (ax, ay) = (random.between(0.0, 6.3), random.between(0.0, 6.3));
    let depth = random.between(0.0, 70.0);
    let hard = GrayImage::from_fn(soft.width(), soft.height(), |x, y| {
        let wave = if patchy {
            depth * (x as f32 * px + ax).sin() * (y as f32 * py + ay).sin()
        } else {
            0.0
        };
        Luma([if f32::from(soft.get_pixel(x, y).0[0]) > limit + wave { 255 } else { 0 }])
    });
    let height = random.between(9.0, 34.0);
    let scale = height / (LARGE * 0.7);
    let size = |v: u32| ((v as f32 * scale) as u32).max(4);
    let small = imageops::resize(
        &hard,
        size(hard.width()),
        size(hard.height()),
        imageops::FilterType::Triangle,
    );
    let small = if random.chance(0.6) {
        gaussian_blur_f32(&small, random.between(0.3, 0.03 * height + 0.35))
    } else {
        small
    };
    let (dark, noise) = (random.between(0.0, 110.0), random.between(0.0, 18.0));
    let mut out = small;
    for pixel in out.pixels_mut() {
        let value = dark + f32::from(pixel.0[0]) / 255.0 * (255.0 - dark);
        let grain = noise * (random.unit() + random.unit() + random.unit() - 1.5);
        *pixel = Luma([(value + grain).clamp(0.0, 255.0) as u8]);
    }
    out
}

fn bounds(picture: &GrayImage, limit: u8) -> Option<[u32; 4]> {
    let dark = picture.enumerate_pixels().filter(|(_, _, p)| p.0[0] < limit);
    let mut area: Option<[u32; 4]> = None;
    for (x, y, _) in dark {
        let a = area.get_or_insert([x, y, x, y]);
        *a = [a[0].min(x), a[1].min(y), a[2].max(x), a[3].max(y)];
    }
    area.map(|a| [a[0], a[1], a[2] - a[0] + 1, a[3] - a[1] + 1])
}

fn cut_close(picture: &GrayImage) -> Option<GrayImage> {
    let darkest = picture.pixels().map(|p| p.0[0]).min()?;
    let limit = ((u32::from(darkest) + 255) / 2) as u8;
    let [left, top, width, height] = bounds(picture, limit)?;
    // The page keeps the soft edge around the ink, about a tenth of a letter.
    let edge = 2.min(left).min(top);
    let cut = imageops::crop_imm(
        picture,
        left - edge,
        top - edge,
        (width + 2 * edge).min(picture.width() - left + edge),
        (height + 2 * edge).min(picture.height() - top + edge),
    );
    (width * height >= 12).then(|| cut.to_image())
}
