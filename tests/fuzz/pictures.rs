//! Files that should be photographs: cut off, damaged, of the wrong size, bombs, odd kinds; scanned PDFs; a
//! phone's HEIC.

use super::change::Kind;
use super::engine::{Answer, Target, hold, refused};
use super::pdf;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageBuffer, ImageFormat, Luma, Rgb, RgbImage, RgbaImage};
use std::io::Cursor;
use std::path::Path;
use vitta::photo::{Photo, check, count, load_page};

fn paper(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        Rgb([if y / 6 % 3 == 0 && x / 5 % 4 > 0 { 40 } else { 230 }; 3])
    })
}

fn encoded(image: impl Into<DynamicImage>, format: ImageFormat) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    image.into().write_to(&mut out, format).unwrap();
    out.into_inner()
}

/// A JPEG with an EXIF block whose entries lie: an orientation of 9999, offsets outside, a directory that is
/// its own next one (TIFF 6.0, section 2; CIPA DC-008, 4.5.4).
fn lying_exif(plain: &[u8]) -> Vec<u8> {
    let mut tiff = b"Exif\0\0MM\0*\0\0\0\x08\0\x03".to_vec();
    for (tag, kind, count, value) in [
        (0x0112u16, 3u16, 1u32, 9999u32 << 16),
        (0x8769, 4, 1, 0xFFFF_FFF0),
        (0x010F, 2, 0xFFFF_FFFF, 8),
    ] {
        tiff.extend(tag.to_be_bytes());
        tiff.extend(kind.to_be_bytes());
        tiff.extend(count.to_be_bytes());
        tiff.extend(value.to_be_bytes());
    }
    tiff.extend(8u32.to_be_bytes());
    let length = (tiff.len() as u16 + 2).to_be_bytes();
    [&plain[..2], &[0xFF, 0xE1], &length, &tiff, &plain[2..]].concat()
}

/// The JPEG with four components, as print shops save it: the frame and the scan name a component more.
fn four_components() -> Vec<u8> {
    // Grey planes four times: each component has its own blocks of the same few bits (ITU-T T.81, annex B).
    let mut out = vec![0xFF, 0xD8];
    let adobe = b"Adobe\0\x64\0\0\0\0\x02";
    out.extend([0xFF, 0xEE, 0, adobe.len() as u8 + 2]);
    out.extend(adobe);
    out.extend([0xFF, 0xDB, 0, 67, 0]);
    out.extend([16; 64]);
    out.extend([0xFF, 0xC0, 0, 20, 8, 0, 8, 0, 8, 4]);
    (1..=4).for_each(|c| out.extend([c, 0x11, 0]));
    // One code each: a difference of no bits, and the end of a block.
    for class in [0x00, 0x10] {
        out.extend([0xFF, 0xC4, 0, 20, class, 1]);
        out.extend([0; 15]);
        out.push(0);
    }
    out.extend([0xFF, 0xDA, 0, 14, 4, 1, 0, 2, 0, 3, 0, 4, 0, 0, 63, 0]);
    out.extend([0x00, 0xFF, 0xD9]);
    out
}

/// A header that claims 100,000 × 100,000 pixels.
fn bomb(mut png: Vec<u8>) -> Vec<u8> {
    for at in [16, 20] {
        png[at..at + 4].copy_from_slice(&100_000u32.to_be_bytes());
    }
    super::change::apply(&png, Kind::Bytes, &[])
}

/// A PNG with the chunk of an animation before its data (PNG specification, third edition, 11.3.6).
fn animated(png: &[u8]) -> Vec<u8> {
    let chunk = b"\0\0\0\x08acTL\xFF\xFF\xFF\xFF\0\0\0\0\0\0\0\0";
    let whole = [&png[..33], chunk, &png[33..]].concat();
    super::change::apply(&whole, Kind::Bytes, &[])
}

fn pictures_as_they_come() -> Vec<Vec<u8>> {
    let page = paper(60, 40);
    let jpeg = |image: &RgbImage| {
        let mut out = Vec::new();
        JpegEncoder::new_with_quality(&mut out, 70).encode_image(image).unwrap();
        out
    };
    let png = encoded(page.clone(), ImageFormat::Png);
    let deep: ImageBuffer<Luma<u16>, Vec<u16>> =
        ImageBuffer::from_fn(40, 30, |x, y| Luma([(x * y * 50) as u16]));
    let clear = RgbaImage::from_pixel(30, 20, image::Rgba([9, 9, 9, 60]));
    let plain = jpeg(&page);
    vec![
        lying_exif(&plain),
        plain[..plain.len() / 2].to_vec(),
        plain,
        four_components(),
        bomb(png.clone()),
        animated(&png),
        png,
        encoded(deep.clone(), ImageFormat::Png),
        encoded(deep, ImageFormat::Tiff),
        encoded(clear.clone(), ImageFormat::Png),
        encoded(clear, ImageFormat::WebP),
        encoded(page.clone(), ImageFormat::Tiff),
        encoded(page, ImageFormat::WebP),
        encoded(paper(1, 1), ImageFormat::Png),
        b"GIF89a\x01\0\x01\0\0\0\0;".to_vec(),
        b"BM".to_vec(),
    ]
}

fn open(case: &[u8]) -> Result<Answer, String> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("photo.jpg");
    std::fs::write(&file, case).unwrap();
    let checked = check(Path::new("photo.jpg"), case);
    let pages = match count(&file) {
        Ok(pages) => pages,
        Err(error) => return refused(&error),
    };
    for page in (0..pages).take(3) {
        match load_page(&file, page) {
            Ok(Photo { image, .. }) if image.width() == 0 || image.height() == 0 => {
                return Err("a picture without pixels".into());
            }
            Ok(_) if checked.is_err() => return Err("opened, but refused by its header".into()),
            Ok(_) => {}
            Err(error) => return refused(&error),
        }
    }
    Ok(Answer::Taken(format!("{} pages, {:?}", pages.min(3), image::guess_format(case).ok())))
}

#[test]
fn pictures() {
    let seeds = pictures_as_they_come();
    hold(Target { name: "pictures", seeds, kind: Kind::Bytes, cases: 600, run: open });
}

/// A PDF of two sheets: one JPEG over the whole sheet, and drawn lines with a pattern and a form in it
/// (ISO 32000-1, 7.5, 8.7.3, 8.9.5, 8.10).
fn drawn_pdf() -> Vec<u8> {
    let mut jpeg = Vec::new();
    JpegEncoder::new(&mut jpeg).encode_image(&paper(24, 16)).unwrap();
    let objects: Vec<Vec<u8>> = vec![
        b"<</Type/Catalog/Pages 2 0 R>>".to_vec(),
        b"<</Type/Pages/Count 2/Kids[3 0 R 6 0 R]>>".to_vec(),
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 36 24]/Contents 4 0 R/Resources<</XObject<</I 5 0 R>>>>>>".to_vec(),
        pdf::stream("", b"36 0 0 24 0 0 cm /I Do"),
        pdf::stream(
            "/Subtype/Image/Width 24/Height 16/ColorSpace/DeviceRGB/BitsPerComponent 8/Filter/DCTDecode",
            &jpeg,
        ),
        b"<</Type/Page/Parent 2 0 R/Rotate 90/UserUnit 1/MediaBox[0 0 36 24]/Contents 7 0 R/Resources<</XObject<</F 8 0 R>>/Pattern<</P 9 0 R>>/Font<</T 10 0 R>>>>>>".to_vec(),
        pdf::stream("", b"q 2 w 1 1 m 30 20 l S /Pattern cs /P scn 4 4 20 12 re f Q BT /T 9 Tf 2 8 Td (page 12) Tj ET /F Do"),
        pdf::stream("/Subtype/Form/BBox[0 0 9 9]/Matrix[1 0 0 1 3 3]/Resources<<>>", b"0 0 5 5 re f"),
        pdf::stream(
            "/Type/Pattern/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 4 4]/XStep 4/YStep 4/Resources<<>>",
            b"0 0 2 2 re f",
        ),
        b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>".to_vec(),
    ];
    pdf::of(&objects)
}

#[test]
fn scans() {
    let seeds = vec![drawn_pdf()];
    hold(Target { name: "scans", seeds, kind: Kind::Bytes, cases: 100, run: open });
}

/// Through the converter of libheif where it is installed, else as far as the sentence that it is not.
#[test]
fn heic() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let halves = std::fs::read(root.join("fixtures/photos/kinds/halves.heic")).unwrap();
    let seeds = vec![halves, b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".to_vec()];
    hold(Target { name: "heic", seeds, kind: Kind::Bytes, cases: 20, run: open });
}
