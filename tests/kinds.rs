//! The same page under every condition a phone meets: read about as well as the untouched photograph, and nothing
//! wrong in silence.

use super::score::{self, Case, Score};
use image::imageops::{self, FilterType};
use image::{DynamicImage, Rgb, RgbImage};
use imageproc::geometric_transformations::{Border, Interpolation, Projection, warp};
use std::path::Path;

/// Saints by months in two columns, the day before the title, no leaders, a curled sheet.
const PAGE: &str = "proper-of-saints-1403";

type Change = fn(&RgbImage) -> RgbImage;

const CHANGES: [(&str, Change); 9] = [
    ("tilted by about 30 degrees", tilted),
    ("warm lamp and shadow", lamp_and_shadow),
    ("print showing through", showing_through),
    ("thumb", thumb),
    ("wooden table and gold edge", table),
    ("upside down", imageops::rotate180),
    ("sideways", imageops::rotate90),
    ("50 megapixels", large),
    ("red ink", red_ink),
];

#[test]
fn a_page_is_read_under_every_condition_of_a_phone() {
    let cases = score::fixtures();
    let case = cases.iter().find(|c| c.name == PAGE).unwrap();
    let photo = vitta::photo::load(&case.photo).unwrap().image;
    let untouched = read(case, &photo, "untouched");
    assert!(untouched.right >= 58 && untouched.silent == 0, "{untouched:?}");
    let worse: Vec<(&str, Score)> = CHANGES
        .iter()
        .map(|(name, change)| (*name, read(case, &change(&photo), name)))
        .filter(|(_, s)| (s.right as f64) < 0.9 * untouched.right as f64 || s.silent > 0)
        .collect();
    assert!(worse.is_empty(), "{worse:#?}");
}

/// Refused with a hint, or read with doubts.
#[test]
fn what_is_too_blurred_or_too_small_is_never_wrong_in_silence() {
    let cases = score::fixtures();
    let case = cases.iter().find(|c| c.name == "prefaces-1400").unwrap();
    let photo = vitta::photo::load(&case.photo).unwrap().image;
    let (width, height) = photo.dimensions();
    let changed = [
        ("blurred", imageops::blur(&photo, 4.0)),
        ("small", imageops::resize(&photo, width / 4, height / 4, FilterType::Triangle)),
    ];
    for (name, picture) in changed {
        match try_read(case, &picture, name) {
            Ok(score) => assert!(score.silent + score.stray == 0, "{name}: {score:?}"),
            Err(refused) => assert!(refused.hint().is_some(), "{name}: {refused}"),
        }
    }
}

fn read(case: &Case, picture: &RgbImage, name: &str) -> Score {
    try_read(case, picture, name).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Reads a picture through a file, as a phone gives it.
fn try_read(case: &Case, picture: &RgbImage, name: &str) -> vitta::Result<Score> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("photo.jpg");
    save(picture, &path);
    let photo = vitta::photo::load(&path).unwrap();
    let reading = vitta::text::read(&photo, &vitta::photo::find(&photo.image)?)?;
    for row in reading.rows.iter().filter(|r| !r.doubt) {
        let printed = case.truth.rows.iter().find(|p| p.title == row.title);
        if printed.is_some_and(|p| p.page != row.page) {
            println!("{name}: {} {:?}", row.title, row.page);
        }
    }
    Ok(score::score(&reading.rows, &case.truth.rows))
}

fn save(picture: &RgbImage, path: &Path) {
    let mut bytes = Vec::new();
    let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 88);
    DynamicImage::from(picture.clone()).write_with_encoder(encoder).unwrap();
    std::fs::write(path, bytes).unwrap();
}

/// Seen from below: the far edge a fifth shorter, the page foreshortened by the cosine of 30 degrees.
fn tilted(photo: &RgbImage) -> RgbImage {
    let (w, h) = (photo.width() as f32, photo.height() as f32);
    let from = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
    let to = [(0.1 * w, 0.13 * h), (0.9 * w, 0.13 * h), (w, h), (0.0, h)];
    let way = Projection::from_control_points(from, to).unwrap();
    warp(photo, way, Interpolation::Bilinear, Border::Constant(Rgb([60, 50, 45])))
}

fn lamp_and_shadow(photo: &RgbImage) -> RgbImage {
    let (w, h) = (photo.width() as f32, photo.height() as f32);
    let mut out = photo.clone();
    for (x, y, pixel) in out.enumerate_pixels_mut() {
        let across = (x as f32 / w + y as f32 / h) / 2.0;
        let shadow = 1.0 - 0.4 / (1.0 + (-(across - 0.6) * 30.0).exp());
        let lamp = [1.0, 0.85, 0.6];
        *pixel = Rgb(std::array::from_fn(|i| (f32::from(pixel.0[i]) * shadow * lamp[i]) as u8));
    }
    out
}

/// The print of the other side, mirrored and blurred, at an eighth of its strength.
fn showing_through(photo: &RgbImage) -> RgbImage {
    let back = imageops::blur(&imageops::flip_horizontal(photo), 2.0);
    let mut out = photo.clone();
    for (pixel, behind) in out.pixels_mut().zip(back.pixels()) {
        let share = |i: usize| 1.0 - 0.12 * (1.0 - f32::from(behind.0[i]) / 255.0);
        *pixel = Rgb(std::array::from_fn(|i| (f32::from(pixel.0[i]) * share(i)) as u8));
    }
    out
}

/// A thumb that holds the page at its lower edge, beside the print.
fn thumb(photo: &RgbImage) -> RgbImage {
    let (w, h) = (photo.width() as f32, photo.height() as f32);
    let mut out = photo.clone();
    for (x, y, pixel) in out.enumerate_pixels_mut() {
        let (dx, dy) = ((x as f32 - 0.72 * w) / (0.06 * w), (y as f32 - h) / (0.1 * h));
        let inside = dx * dx + dy * dy;
        if inside < 1.0 {
            let light = 1.0 - 0.35 * inside;
            *pixel = Rgb([214.0, 158.0, 128.0].map(|c| (c * light) as u8));
        }
    }
    out
}

/// More table around the book, with the grain of wood, and the gilded edge of the book block.
fn table(photo: &RgbImage) -> RgbImage {
    let (w, h) = photo.dimensions();
    let (side, top) = (w / 6, h / 8);
    let wood = |x: u32, y: u32| {
        let grain = (f64::from(y) * 0.11 + (f64::from(x) * 0.013).sin() * 9.0).sin() * 6.0;
        let fine = f64::from((x.wrapping_mul(73) ^ y.wrapping_mul(151)) % 9);
        let light = 118.0 + grain + fine;
        Rgb([light, light * 0.72, light * 0.48].map(|c| c as u8))
    };
    let mut out = RgbImage::from_fn(w + 2 * side, h + 2 * top, wood);
    let gold = |x: u32, y: u32| Rgb([190 + (y * 7 + x * 13) as u8 % 40, 150, 60 + (y % 20) as u8]);
    for (x, y) in (0..side / 6).flat_map(|x| (0..h).map(move |y| (x, y))) {
        out.put_pixel(side + w + x, top + y, gold(x, y));
    }
    imageops::replace(&mut out, photo, i64::from(side), i64::from(top));
    out
}

fn large(photo: &RgbImage) -> RgbImage {
    let scale = (50e6 / f64::from(photo.width() * photo.height())).sqrt();
    let side = |n: u32| (f64::from(n) * scale) as u32;
    imageops::resize(photo, side(photo.width()), side(photo.height()), FilterType::Triangle)
}

/// Black becomes red: red light is taken away only in part.
fn red_ink(photo: &RgbImage) -> RgbImage {
    let mut out = photo.clone();
    for pixel in out.pixels_mut() {
        pixel.0[0] = 255 - (f32::from(255 - pixel.0[0]) * 0.4) as u8;
    }
    out
}
