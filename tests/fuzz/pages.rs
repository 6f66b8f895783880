//! Pictures that show no page, or a strange one: cut, squeezed, turned, in bad light, with blots. Their lines are
//! found and read to the end.

use super::change::Kind;
use super::engine::{Answer, Target, hold, refused};
use image::imageops::{FilterType, crop_imm, resize, rotate90};
use image::{Rgb, RgbImage};
use serde::Deserialize;
use serde_json::json;
use std::path::Path;
use std::sync::OnceLock;
use vitta::book::Book;
use vitta::photo::{Photo, find, load};
use vitta::text;

/// How the picture is made of a real photograph.
#[derive(Deserialize)]
struct View {
    /// Left, top, width, height on the photograph.
    crop: [u32; 4],
    /// Width and height it is brought to.
    size: [u32; 2],
    /// Quarter turns.
    turn: u32,
    /// What black and white become.
    tones: [u8; 2],
    /// Left, top, width, height, grey of blots.
    blots: Vec<[u32; 5]>,
}

/// Larger pictures show nothing more here and take long.
const MOST_PIXELS: u64 = 1_500_000;

fn photograph() -> &'static RgbImage {
    static PHOTO: OnceLock<RgbImage> = OnceLock::new();
    PHOTO.get_or_init(|| {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        load(&root.join("fixtures/photos/vallombra/prefaces-1400.jpg")).unwrap().image
    })
}

impl View {
    fn picture(&self) -> Option<RgbImage> {
        let [width, height] = self.size;
        if width == 0 || height == 0 || u64::from(width) * u64::from(height) > MOST_PIXELS {
            return None;
        }
        let [left, top, across, down] = self.crop;
        let whole = photograph();
        let (left, top) = (left % whole.width(), top % whole.height());
        let (across, down) = (across.clamp(1, whole.width()), down.clamp(1, whole.height()));
        let piece = crop_imm(whole, left, top, across, down).to_image();
        let mut picture = resize(&piece, width, height, FilterType::Triangle);
        for _ in 0..self.turn % 4 {
            picture = rotate90(&picture);
        }
        let [dark, light] = self.tones.map(i32::from);
        for pixel in picture.pixels_mut() {
            pixel.0 = pixel.0.map(|v| (dark + (light - dark) * i32::from(v) / 255) as u8);
        }
        for [left, top, width, height, grey] in self.blots.iter().take(40).copied() {
            let (right, bottom) = (left.saturating_add(width), top.saturating_add(height));
            for y in top..bottom.min(picture.height()) {
                for x in left..right.min(picture.width()) {
                    picture.put_pixel(x, y, Rgb([grey as u8; 3]));
                }
            }
        }
        Some(picture)
    }
}

#[test]
fn pages() {
    let seed = |crop: [u32; 4], size: [u32; 2], blots: &[[u32; 5]]| {
        let view =
            json!({"crop": crop, "size": size, "turn": 0, "tones": [0, 255], "blots": blots});
        view.to_string().into_bytes()
    };
    let seeds = vec![
        seed([300, 300, 1100, 500], [1100, 500], &[]),
        seed([300, 300, 1100, 500], [1100, 500], &[[200, 100, 90, 40, 0], [0, 0, 1100, 12, 0]]),
        seed([0, 0, 1900, 2500], [500, 660], &[]),
        seed([0, 0, 60, 60], [30, 30], &[]),
        seed([600, 600, 200, 40], [900, 8], &[]),
    ];
    let run = |case: &[u8]| {
        let Ok(view) = serde_json::from_slice::<View>(case) else {
            return Ok(Answer::Taken("no view".into()));
        };
        let Some(image) = view.picture() else { return Ok(Answer::Taken("too large".into())) };
        let photo = Photo { name: "view.jpg".into(), image };
        let look = match find(&photo.image).and_then(|print| text::look(&photo.image, &print)) {
            Ok(look) => look,
            Err(error) => return refused(&error),
        };
        text::show(&photo.image, &look);
        text::told(&look);
        let reading = match text::understood(&photo, &look) {
            Ok(reading) => reading,
            Err(error) => return refused(&error),
        };
        let book =
            Book::from_readings("View", std::slice::from_ref(&reading), None, None, "2026-11-25");
        let notices = reading.notices.len() + book.notices.len();
        let seen = if look.segments.is_empty() { "nothing" } else { "print" };
        Ok(Answer::Taken(format!("{seen} seen, {notices} notices")))
    };
    hold(Target { name: "pages", seeds, kind: Kind::Json, cases: 12, run });
}
