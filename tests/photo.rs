//! Tests of the stage `photo`.

use super::pdf;
use image::{DynamicImage, GrayImage, ImageEncoder, ImageFormat, Luma, RgbImage};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use vitta::geom::Point;
use vitta::photo::{Page, Photo, count, flatten, load, load_page};

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
fn a_blurred_photograph_is_refused_with_its_measures() {
    let path = "fixtures/photos/vallombra/prefaces-1639.jpg";
    let mut photo = load(&Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap();
    photo.image = image::imageops::blur(&photo.image, 2.5);
    let Err(error) = flatten(&photo) else { panic!("a blurred photograph was taken") };
    let said = error.to_string();
    assert!(
        said.contains("prefaces-1639.jpg is blurred") && said.contains("pixels high"),
        "{said}"
    );
    assert!(error.hint().is_some());
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

#[test]
fn letters_too_small_are_refused_with_their_height() {
    let folder = TempDir::new().unwrap();
    let tiny = DynamicImage::from(lines_of_print(400, 500, 5));
    let photo = load(&write(&folder, "far.jpg", &jpeg(&tiny.to_rgb8().into()))).unwrap();
    let error = flatten(&photo).unwrap_err();
    assert!(error.to_string().contains("about 5 pixels high, needed are 8"), "{error}");
    let blank = DynamicImage::from(GrayImage::from_pixel(800, 800, Luma([210])));
    let photo = load(&write(&folder, "blank.jpg", &jpeg(&blank.to_rgb8().into()))).unwrap();
    assert!(flatten(&photo).unwrap_err().to_string().contains("no lines of print"));
}

#[test]
fn small_letters_are_enlarged_and_good_ones_left_alone() {
    let folder = TempDir::new().unwrap();
    for (x_height, grows) in [(12, true), (24, false)] {
        let picture = DynamicImage::from(lines_of_print(1000, 1200, x_height));
        let photo = load(&write(&folder, "p.jpg", &jpeg(&picture.to_rgb8().into()))).unwrap();
        let page = &flatten(&photo).unwrap()[0];
        assert!((page.x_height - 24.0).abs() < 1.5, "{x_height}: {}", page.x_height);
        assert_eq!(page.grey.width() > 1000, grows);
    }
}

/// A flat page of print of this many pixels, its letters `SIZE` high; the deformed photographs below
/// are made from it by a known way from photograph to page, which the mapping must undo.
const FLAT: [f32; 2] = [1100.0, 1500.0];
const SIZE: f32 = 14.0;

/// Brightness of the flat page: words of hollow letters with ascenders, in lines with indents.
fn paper(p: Point) -> f32 {
    let (advance, pitch) = (SIZE, 3.0 * SIZE);
    let [left, top] = [110.0, 120.0];
    let (column, line) = (((p.x - left) / advance).floor(), ((p.y - top) / pitch).floor());
    let (dx, dy) = (p.x - left - column * advance, p.y - top - line * pitch);
    let (n, l) = (column as i32, line as i32);
    let used = n >= if l % 3 == 1 { 3 } else { 0 }
        && n < if l % 4 == 2 { 45 } else { 62 }
        && (0..29).contains(&l);
    let letter = used && (n * 5 + l * 3) % 7 != 0 && dx < 0.75 * advance;
    let low = (SIZE..2.0 * SIZE).contains(&dy);
    let hollow = dx > 0.2 * SIZE && dx < 0.55 * SIZE && dy > 1.2 * SIZE && dy < 1.8 * SIZE;
    let tall = (n * 2 + l) % 3 == 0 && dx < 0.2 * SIZE && (0.4 * SIZE..SIZE).contains(&dy);
    let deep = (n + 2 * l) % 9 == 0 && dx < 0.2 * SIZE && (2.0 * SIZE..2.4 * SIZE).contains(&dy);
    if letter && ((low && !hollow) || tall || deep) { 45.0 } else { 225.0 }
}

/// A photograph whose pixels come from the flat page through `way`, with soft edges; beyond the
/// page is a dark table.
fn photographed(width: u32, height: u32, way: &dyn Fn(Point) -> Point) -> Photo {
    let [wide, high] = FLAT;
    let image = RgbImage::from_fn(width, height, |x, y| {
        // Nine samples over two pixels' width: no lens is sharper.
        let shade = (0..9).map(|i| {
            let (dx, dy) = (0.67 * ((i % 3) as f32 - 1.0), 0.67 * ((i / 3) as f32 - 1.0));
            let p = way(Point { x: x as f32 + dx, y: y as f32 + dy });
            let on_page = p.x >= 0.0 && p.y >= 0.0 && p.x < wide && p.y < high;
            if on_page { paper(p) } else { 50.0 }
        });
        let shade = shade.sum::<f32>() / 9.0;
        image::Rgb([shade as u8, (shade * 0.95) as u8, (shade * 0.85) as u8])
    });
    Photo { name: "deformed".into(), image }
}

/// How far rows of the flattened page stray from rows of print, and its columns from uprights, in
/// letter heights: the largest deviation from the median over the printed part.
fn strays(page: &Page, way: &dyn Fn(Point) -> Point) -> [f32; 2] {
    let (width, height) = (page.grey.width() as f32, page.grey.height() as f32);
    let share = |i: usize| 0.06 + 0.88 * i as f32 / 20.0;
    let truth = |i: usize, j: usize| {
        let p = page.mapping.at(width * share(i), height * share(j));
        way(p)
    };
    let worst = |values: Vec<f32>| {
        let mut sorted = values.clone();
        sorted.sort_by(f32::total_cmp);
        values.iter().map(|v| (v - sorted[10]).abs() / SIZE).fold(0.0, f32::max)
    };
    let rows = (0..21).map(|j| worst((0..21).map(|i| truth(i, j).y).collect())).fold(0.0, f32::max);
    let columns =
        (0..21).map(|i| worst((0..21).map(|j| truth(i, j).x).collect())).fold(0.0, f32::max);
    [rows, columns]
}

/// A flat page seen by a camera that is turned by angles in degrees: `pan` about the upright axis,
/// `tilt` about the level one, `roll` about the line of sight.
fn camera(pan: f32, tilt: f32, roll: f32, size: [f32; 2]) -> impl Fn(Point) -> Point {
    let [(sp, cp), (st, ct), (sr, cr)] = [pan, tilt, roll].map(|a| a.to_radians().sin_cos());
    let distance = 2200.0;
    move |p: Point| {
        let (x0, y0) = (p.x - size[0] / 2.0, p.y - size[1] / 2.0);
        let (x, y) = (cr * x0 + sr * y0, cr * y0 - sr * x0);
        // The ray (x, y, distance) meets the page, whose axes are turned by pan and tilt.
        let (right, down) = ([cp, 0.0, sp], [sp * st, ct, -cp * st]);
        let normal = [-sp * ct, st, cp * ct];
        let ray = [x, y, distance];
        let dot = |a: [f32; 3], b: [f32; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        let reach = normal[2] * distance / dot(normal, ray);
        let hit = [ray[0] * reach, ray[1] * reach, ray[2] * reach - distance];
        Point { x: dot(hit, right) + FLAT[0] / 2.0, y: dot(hit, down) + FLAT[1] / 2.0 }
    }
}

#[test]
fn deformed_pages_become_flat_again() {
    let size = [1500.0, 1900.0];
    let [ox, oy] = [200.0, 200.0];
    type Way = Box<dyn Fn(Point) -> Point>;
    let cases: [(&str, Way, [f32; 2]); 7] = [
        ("lying flat", Box::new(move |p| Point { x: p.x - ox, y: p.y - oy }), [0.15, 0.8]),
        ("rolled by 12 degrees", Box::new(camera(0.0, 0.0, 12.0, size)), [0.15, 0.8]),
        ("from below by 25 degrees", Box::new(camera(0.0, 25.0, 0.0, size)), [0.2, 1.0]),
        ("from the side by 30 degrees", Box::new(camera(30.0, 0.0, 0.0, size)), [0.25, 1.0]),
        ("from a corner and rolled", Box::new(camera(-18.0, 18.0, 5.0, size)), [0.25, 1.0]),
        (
            "curled at the gutter",
            Box::new(move |p| {
                let (x, y) = (p.x - ox, p.y - oy);
                let rise = 70.0 * (-(x - 60.0) / 160.0).exp();
                Point { x, y: y + rise * (y / 1500.0 - 0.2) }
            }),
            [0.3, 1.0],
        ),
        (
            "bulging in the middle",
            Box::new(move |p| {
                let (x, y) = (p.x - ox, p.y - oy);
                Point {
                    x,
                    y: y + 40.0 * (x / 1100.0 * std::f32::consts::PI).sin() * (y / 1500.0 + 0.3),
                }
            }),
            [0.25, 1.0],
        ),
    ];
    let mut wrong = Vec::new();
    for (name, way, [rows, columns]) in cases {
        let photo = photographed(size[0] as u32, size[1] as u32, &*way);
        let pages = flatten(&photo).unwrap();
        let found = strays(&pages[0], &*way);
        if pages.len() != 1 || found[0] > rows || found[1] > columns {
            wrong.push(format!(
                "{name}: {} pages, strays {found:?}, allowed {rows} and {columns}",
                pages.len()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn sideways_and_upside_down_pages_are_turned_upright() {
    for (roll, size) in [
        (0.0, [1300.0, 1700.0]),
        (90.0, [1700.0, 1300.0]),
        (180.0, [1300.0, 1700.0]),
        (-90.0, [1700.0, 1300.0]),
    ] {
        let way = camera(0.0, 0.0, roll, size);
        let page = &flatten(&photographed(size[0] as u32, size[1] as u32, &way)).unwrap()[0];
        let (width, height) = (page.grey.width() as f32, page.grey.height() as f32);
        let at = |x: f32, y: f32| way(page.mapping.at(x * width, y * height));
        let (right, down) = (at(0.9, 0.5).x - at(0.1, 0.5).x, at(0.5, 0.9).y - at(0.5, 0.1).y);
        assert!(right > 500.0 && down > 700.0, "{roll}: {right} {down}");
    }
}

/// The flat page twice, side by side, of which `cut` pixels are hidden on each side of the middle;
/// both rise to the middle by `rise` pixels.
fn opening(rise: f32, cut: f32) -> impl Fn(Point) -> Point {
    move |p: Point| {
        let from_middle = p.x - 1150.0;
        let y = p.y - 100.0 + rise * (-from_middle.abs() / 150.0).exp();
        let x = if from_middle < 0.0 { FLAT[0] + from_middle - cut } else { from_middle + cut };
        Point { x, y }
    }
}

#[test]
fn an_open_book_gives_its_left_page_first_and_two_columns_stay_one_page() {
    let book = opening(90.0, 0.0);
    let pages = flatten(&photographed(2300, 1600, &book)).unwrap();
    assert_eq!(pages.len(), 2);
    let middle = |page: &Page| {
        page.mapping.at(page.grey.width() as f32 / 2.0, page.grey.height() as f32 / 2.0).x
    };
    assert!(middle(&pages[0]) < 1000.0 && middle(&pages[1]) > 1300.0);
    for page in &pages {
        assert!(strays(page, &book)[0] < 0.35, "{:?}", strays(page, &book));
    }
    let columns = flatten(&photographed(2300, 1600, &opening(0.0, 80.0))).unwrap();
    assert_eq!(columns.len(), 1);
}
