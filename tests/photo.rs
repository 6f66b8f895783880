//! Tests of the stage `photo`.

use super::pdf;
use super::sheet::{PITCH, SIZE, Sheet};
use image::{DynamicImage, GrayImage, ImageEncoder, ImageFormat, Luma, RgbImage, imageops};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use vitta::geom::Point;
use vitta::photo::{CROP_HEIGHT, Cut, Print, TextLine, count, cut, find, load, load_page};

/// Letter-like pieces in level lines: `x_height` high, every fourth with an ascender.
fn lines_of_print(width: u32, height: u32, x_height: u32) -> GrayImage {
    let (pitch, advance) = (3 * x_height, x_height);
    GrayImage::from_fn(width, height, |x, y| {
        let inside = x > width / 8 && x < width * 7 / 8 && y > height / 8 && y < height * 7 / 8;
        let (letter, dx) = (x / advance, x % advance);
        let dy = y % pitch;
        let low = dy >= pitch - 2 * x_height && dy < pitch - x_height;
        let hollow = dx > x_height / 4 && dx < x_height / 2 && dy > pitch - 7 * x_height / 4;
        let tall = letter % 4 == 0 && dx < x_height / 4 && dy >= pitch / 6 && dy < pitch - x_height;
        let letter = letter % 6 != 5 && dx < 3 * x_height / 4 && ((low && !hollow) || tall);
        let ink = inside && letter;
        Luma([if ink { 40 } else { 225 }])
    })
}

fn write(folder: &TempDir, name: &str, bytes: &[u8]) -> PathBuf {
    let path = folder.path().join(name);
    fs::write(&path, bytes).unwrap();
    path
}

fn jpeg(image: &DynamicImage) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    image.write_to(&mut out, ImageFormat::Jpeg).unwrap();
    out.into_inner()
}

#[test]
fn files_that_are_no_photographs_get_one_sentence_and_a_hint() {
    let folder = TempDir::new().unwrap();
    let whole = jpeg(&DynamicImage::from(lines_of_print(400, 400, 14)).to_rgb8().into());
    let mut corrupt = whole.clone();
    corrupt[20..200].fill(0xA5);
    let cases: [(&str, &[u8], &str); 7] = [
        ("empty.jpg", b"", "is empty"),
        ("text.jpg", "Ordo Missæ, a text".as_bytes(), "found plain text"),
        ("noise.png", &[1, 2, 3, 0, 200, 5], "found unknown data"),
        ("cut.jpg", &whole[..whole.len() / 2], "ends before the picture does"),
        ("corrupt.jpg", &corrupt, "is damaged"),
        ("phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC"),
        ("scan.pdf", b"%PDF-1.7\n%\xE2\xE3\n", "its PDF data cannot be decoded"),
    ];
    let mut wrong = Vec::new();
    for (name, bytes, want) in cases {
        let path = write(&folder, name, bytes);
        match load(&path) {
            Ok(_) => wrong.push(format!("{name}: was opened")),
            Err(e) => {
                let said = e.to_string();
                if !said.contains(want)
                    || !said.contains(name)
                    || said.contains('\n')
                    || e.hint().is_none()
                {
                    wrong.push(format!("{name}: said {said:?}, expected {want:?}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(load(Path::new("no/such/photo.jpg")).unwrap_err().to_string().contains("not there"));
    assert!(load(folder.path()).unwrap_err().to_string().contains("cannot be read"));
}

#[test]
fn a_picture_bomb_is_refused_by_its_header() {
    // A PNG header that claims 60000 × 60000 pixels, with no data behind it.
    let mut png = Vec::new();
    image::codecs::png::PngEncoder::new(&mut png)
        .write_image(&[0], 1, 1, image::ExtendedColorType::L8)
        .unwrap();
    png[16..20].copy_from_slice(&60_000u32.to_be_bytes());
    png[20..24].copy_from_slice(&60_000u32.to_be_bytes());
    let sum = crc32(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    let folder = TempDir::new().unwrap();
    let said = load(&write(&folder, "bomb.png", &png)).unwrap_err().to_string();
    assert!(said.contains("60000 × 60000") && said.contains("at most 64 million"), "{said}");
}

/// The check sum of PNG chunks (PNG specification, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0u32, |crc, &b| {
        (0..8).fold(
            crc ^ u32::from(b),
            |c, _| if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 },
        )
    })
}

#[test]
fn jpeg_png_tiff_and_webp_are_opened_whatever_they_are_called() {
    let folder = TempDir::new().unwrap();
    let picture = DynamicImage::from(lines_of_print(300, 200, 14));
    let want = picture.to_rgb8();
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::Tiff, ImageFormat::WebP] {
        let mut out = std::io::Cursor::new(Vec::new());
        let saved =
            if format == ImageFormat::WebP { picture.to_rgb8().into() } else { picture.clone() };
        saved.write_to(&mut out, format).unwrap();
        let photo = load(&write(&folder, "contents.dat", out.get_ref())).unwrap();
        assert_eq!(photo.image.dimensions(), (300, 200), "{format:?}");
        assert_eq!(photo.name, "contents.dat");
        let far = photo.image.pixels().zip(want.pixels()).filter(|(a, b)| a[0].abs_diff(b[0]) > 60);
        assert!(far.count() < 60, "{format:?}");
    }
}

/// The smallest scan: each page one JPEG over the whole sheet (ISO 32000-1, 7.5 and 8.9.5).
fn scanned_pdf(pages: &[RgbImage]) -> Vec<u8> {
    let kids: Vec<String> = (0..pages.len()).map(|i| format!("{} 0 R", 3 + 3 * i)).collect();
    let mut objects: Vec<Vec<u8>> = vec![
        b"<</Type/Catalog/Pages 2 0 R>>".to_vec(),
        format!("<</Type/Pages/Count {}/Kids[{}]>>", pages.len(), kids.join(" ")).into_bytes(),
    ];
    for (i, page) in pages.iter().enumerate() {
        let (w, h) = page.dimensions();
        let (content, picture) = (4 + 3 * i, 5 + 3 * i);
        objects.push(
            format!(
                "<</Type/Page/Parent 2 0 R/MediaBox[0 0 72 48]/Contents {content} 0 R\
                 /Resources<</XObject<</I {picture} 0 R>>>>>>"
            )
            .into_bytes(),
        );
        objects.push(pdf::stream("", b"72 0 0 48 0 0 cm /I Do"));
        let head = format!(
            "/Subtype/Image/Width {w}/Height {h}/ColorSpace/DeviceRGB/BitsPerComponent 8\
             /Filter/DCTDecode"
        );
        objects.push(pdf::stream(&head, &jpeg(&page.clone().into())));
    }
    pdf::of(&objects)
}

fn halves(left: u8) -> RgbImage {
    RgbImage::from_fn(96, 64, |x, _| image::Rgb([if x < 48 { left } else { 255 - left }; 3]))
}

#[test]
fn each_page_of_a_scanned_pdf_is_a_picture_at_300_to_the_inch() {
    let folder = TempDir::new().unwrap();
    let file = write(&folder, "scan.pdf", &scanned_pdf(&[halves(20), halves(235)]));
    assert_eq!(count(&file).unwrap(), 2);
    for (page, name, left) in [(0, "scan.pdf", 20), (1, "scan.pdf, page 2", 235)] {
        let photo = load_page(&file, page).unwrap();
        assert_eq!((photo.name.as_str(), photo.image.dimensions()), (name, (300, 200)));
        let [a, b] = [75, 225].map(|x| photo.image.get_pixel(x, 100)[0]);
        assert!(a.abs_diff(left) < 12 && b.abs_diff(255 - left) < 12, "{name}: {a} {b}");
    }
    assert!(load_page(&file, 2).is_err());
}

#[test]
fn a_phones_heic_is_opened_or_the_missing_converter_named() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/photos/kinds/halves.heic");
    match load(&file) {
        Ok(photo) => {
            assert_eq!(photo.image.dimensions(), (96, 64));
            let [a, b] = [20, 76].map(|x| photo.image.get_pixel(x, 30)[0]);
            assert!(a < 50 && b > 225, "{a} {b}");
        }
        Err(error) => {
            assert!(error.to_string().contains("heif-convert is not installed"), "{error}");
            assert!(error.hint().unwrap().contains("libheif-examples"));
        }
    }
}

#[test]
fn transparent_paper_is_white() {
    let folder = TempDir::new().unwrap();
    let clear = image::RgbaImage::from_pixel(4, 4, image::Rgba([0, 0, 0, 0]));
    let mut out = std::io::Cursor::new(Vec::new());
    clear.write_to(&mut out, ImageFormat::Png).unwrap();
    let photo = load(&write(&folder, "clear.png", out.get_ref())).unwrap();
    assert_eq!(photo.image, RgbImage::from_pixel(4, 4, image::Rgb([255; 3])));
}

#[test]
fn the_orientation_a_camera_noted_is_applied() {
    let picture = RgbImage::from_fn(40, 20, |x, _| image::Rgb([if x < 20 { 0 } else { 255 }; 3]));
    let plain = jpeg(&picture.into());
    // An Exif segment with one tag, 0x0112 Orientation = 6: the camera was turned clockwise by 90°.
    let tiff = b"MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0";
    let mut bytes = plain[..2].to_vec();
    bytes.extend([0xFF, 0xE1, 0, (2 + 6 + tiff.len()) as u8]);
    bytes.extend(b"Exif\0\0");
    bytes.extend(tiff);
    bytes.extend(&plain[2..]);
    let folder = TempDir::new().unwrap();
    let photo = load(&write(&folder, "turned.jpg", &bytes)).unwrap();
    assert_eq!(photo.image.dimensions(), (20, 40));
    assert!(photo.image.get_pixel(10, 5)[0] < 30 && photo.image.get_pixel(10, 35)[0] > 225);
}

/// Lines of print on a sheet: the left and the right end of each, on the baseline.
fn printed(sheet: &mut Sheet) -> Vec<[Point; 2]> {
    let lines = [
        "Masses for Various Needs and Occasions",
        "For the Pope or for the Bishop, on the anniversary",
        "For the Election of a Pope",
        "For Vocations to Holy Orders",
        "For Priests and for the Priest himself",
        "For Ministers of the Church",
        "For Religious and for Vocations to Religious Life",
        "For Promoting Harmony",
        "For Reconciliation",
        "For the Unity of Christians",
    ];
    lines
        .into_iter()
        .map(|line| {
            let left = Point { x: 180.0, y: sheet.y };
            let right = Point { x: sheet.put(left.x, line), y: sheet.y };
            sheet.y += 1.6 * PITCH;
            [left, right]
        })
        .collect()
}

/// The middle of the letters above the baseline, those that rise and hang counted, in heights of the em.
const MIDDLE: f32 = 0.24;

/// A picture of this size whose pixels come from the sheet by `way`; beyond it is a table.
fn photographed(sheet: &RgbImage, size: [u32; 2], way: impl Fn(Point) -> Point) -> RgbImage {
    RgbImage::from_fn(size[0], size[1], |x, y| {
        let at = way(Point { x: x as f32 + 0.5, y: y as f32 + 0.5 });
        imageops::sample_bilinear(sheet, at.x / sheet.width() as f32, at.y / sheet.height() as f32)
            .unwrap_or(image::Rgb([70, 55, 45]))
    })
}

/// A line of `print` whose axis passes the point within half its height.
fn line_at(print: &Print, p: Point) -> Option<&TextLine> {
    print.lines.iter().find(|line| far(line, p) < 0.5 * line.height)
}

/// How far a point lies from an axis.
fn far(line: &TextLine, p: Point) -> f32 {
    let to = |w: &[Point]| {
        let (dx, dy) = (w[1].x - w[0].x, w[1].y - w[0].y);
        let t = ((p.x - w[0].x) * dx + (p.y - w[0].y) * dy) / (dx * dx + dy * dy);
        let t = t.clamp(0.0, 1.0);
        (p.x - w[0].x - t * dx).hypot(p.y - w[0].y - t * dy)
    };
    line.axis.windows(2).map(to).fold(f32::MAX, f32::min)
}

/// What is wrong with the lines found, where `place` says where a point of the sheet is in the picture.
fn misplaced(print: &Print, lines: &[[Point; 2]], place: impl Fn(Point) -> Point) -> Vec<String> {
    let mut wrong = Vec::new();
    // A speck may be looked at besides; it reads as nothing.
    if print.lines.len() < lines.len() || print.lines.len() > lines.len() + 1 {
        wrong.push(format!("{} lines found, {} printed", print.lines.len(), lines.len()));
    }
    for (n, [left, right]) in lines.iter().enumerate() {
        let middle = |share: f32| {
            place(Point { x: left.x + share * (right.x - left.x), y: left.y - MIDDLE * SIZE })
        };
        let Some(line) = line_at(print, middle(0.5)) else {
            wrong.push(format!("line {n} is not found"));
            continue;
        };
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let off = far(line, middle(share)) / line.height;
            // The band has a quarter of its height of white on either side; 0.16 was measured.
            if off > 0.2 {
                wrong.push(format!("line {n} is {off:.2} heights off at {share}"));
            }
        }
        // Letters of an em have their band, and little beyond their ends belongs to them.
        let length = (middle(1.0).x - middle(0.0).x).hypot(middle(1.0).y - middle(0.0).y);
        if !(0.7 * SIZE..1.6 * SIZE).contains(&line.height) || line.length() > length + 1.5 * SIZE {
            wrong.push(format!("line {n} is {} high and {} long", line.height, line.length()));
        }
    }
    wrong
}

/// About the middle of a sheet to that of a picture, by an angle in degrees.
fn turned(degrees: f32, from: [u32; 2], to: [u32; 2]) -> impl Fn(Point) -> Point {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let [[fx, fy], [tx, ty]] = [from, to].map(|size| size.map(|side| side as f32 / 2.0));
    move |p: Point| {
        let (x, y) = (p.x - fx, p.y - fy);
        Point { x: tx + x * cos - y * sin, y: ty + x * sin + y * cos }
    }
}

#[test]
fn lines_are_found_where_they_are_printed_however_the_page_is_turned() {
    let mut sheet = Sheet::new();
    let lines = printed(&mut sheet);
    let picture = sheet.picture();
    let size = [picture.width(), picture.height()];
    let large = [1700, 1700];
    let mut wrong = Vec::new();
    for degrees in [0.0, 8.0, 30.0, -30.0, 90.0, -90.0, 180.0] {
        let photo = photographed(&picture, large, turned(-degrees, large, size));
        let print = find(&photo).unwrap();
        let found = misplaced(&print, &lines, turned(degrees, size, large));
        wrong.extend(found.iter().map(|w| format!("{degrees} degrees: {w}")));
        // Which way up they stand is open.
        let off = (print.angle - degrees.to_radians()).sin().abs();
        if off > 0.02 {
            wrong.push(format!("{degrees} degrees: they run at {}", print.angle.to_degrees()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_axis_of_a_curved_line_follows_its_curve() {
    let mut sheet = Sheet::new();
    let lines = printed(&mut sheet);
    let picture = sheet.picture();
    let size = [picture.width(), picture.height() + 140];
    type Curve = fn(f32) -> f32;
    let curves: [(&str, Curve); 3] = [
        ("curled at the gutter", |x| 120.0 * (-(x - 100.0) / 260.0).exp()),
        ("bulging in the middle", |x| 60.0 * (x / 1400.0 * std::f32::consts::PI).sin()),
        ("in a wave", |x| 25.0 * (x / 1400.0 * 2.0 * std::f32::consts::PI).sin() + 40.0),
    ];
    let mut wrong = Vec::new();
    for (name, curve) in curves {
        let photo = photographed(&picture, size, |p| Point { x: p.x, y: p.y - curve(p.x) });
        let print = find(&photo).unwrap();
        let place = |p: Point| Point { x: p.x, y: p.y + curve(p.x) };
        wrong.extend(misplaced(&print, &lines, place).iter().map(|w| format!("{name}: {w}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_line_is_cut_out_level_however_it_runs() {
    let mut sheet = Sheet::new();
    let lines = printed(&mut sheet);
    let picture = sheet.picture();
    let size = [picture.width(), picture.height()];
    let flat = find(&picture).unwrap();
    let slanted = photographed(&picture, [1700, 1700], turned(-12.0, [1700, 1700], size));
    let print = find(&slanted).unwrap();
    let place = turned(12.0, size, [1700, 1700]);
    for [left, right] in lines {
        let middle = Point { x: (left.x + right.x) / 2.0, y: left.y - MIDDLE * SIZE };
        let level = |picture: &RgbImage, print: &Print, p: Point| {
            let line = line_at(print, p).unwrap();
            let crop = cut(picture, line, Cut::whole(line)).picture;
            assert_eq!(crop.height(), CROP_HEIGHT);
            ink_by_rows(&crop)
        };
        let [a, b] = [level(&picture, &flat, middle), level(&slanted, &print, place(middle))];
        let apart: f32 = a.iter().zip(&b).map(|(a, b)| (a - b).abs()).sum();
        assert!(apart < 0.25, "the rows hold other shares of the ink: {apart}");
    }
}

/// Share of the ink in each row of a crop.
fn ink_by_rows(crop: &RgbImage) -> Vec<f32> {
    let ink =
        |row: u32| (0..crop.width()).map(|x| 255.0 - f32::from(crop.get_pixel(x, row)[0])).sum();
    let rows: Vec<f32> = (0..crop.height()).map(ink).collect();
    let all: f32 = rows.iter().sum();
    rows.into_iter().map(|r| r / all).collect()
}

#[test]
fn nothing_is_found_on_white_paper() {
    let print = find(&RgbImage::from_pixel(800, 800, image::Rgb([210; 3]))).unwrap();
    assert_eq!(print.lines, []);
}
