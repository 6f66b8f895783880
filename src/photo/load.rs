//! A file becomes a [`Photo`]: recognised by its first bytes, refused by its header when it is too
//! large, decoded, laid over white where it is transparent, turned upright by its EXIF orientation.

use super::{Photo, heic, pdf};
use crate::Result;
use crate::error::{Error, FileFault, PhotoFault};
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, RgbImage};
use std::io::{Cursor, ErrorKind, Read};
use std::path::Path;

/// Beyond the 50-megapixel phones; three bytes a pixel, twice while turning, stays under 400 MB.
const LIMIT_PIXELS: u64 = 64_000_000;

/// Opens a photograph and turns it upright by its EXIF orientation.
///
/// JPEG, PNG, TIFF (its first picture), WebP, HEIC and PDF (its first page) are told apart by content,
/// not by the file's name.
pub fn load(path: &Path) -> Result<Photo> {
    load_page(path, 0)
}

/// How many pictures a file holds: the pages of a PDF, otherwise 1. A file that cannot be read counts as
/// one; [`load`] says why.
pub fn count(path: &Path) -> Result<usize> {
    let mut start = [0; 4];
    let read = std::fs::File::open(path).and_then(|mut f| f.read_exact(&mut start));
    if read.is_ok() && &start == b"%PDF" { pdf::count(path, content(path)?) } else { Ok(1) }
}

/// How many pixels a photograph has by its header; none where the header does not say: of a PDF, a HEIC picture, a
/// file that is no picture.
pub fn pixels(path: &Path) -> Option<u64> {
    let reader = ImageReader::open(path).ok()?.with_guessed_format().ok()?;
    let (width, height) = reader.into_dimensions().ok()?;
    Some(u64::from(width) * u64::from(height))
}

/// Opens one of the pictures a file holds, the first being 0. Those of a PDF of several pages are named
/// "scan.pdf, page 2".
pub fn load_page(path: &Path, page: usize) -> Result<Photo> {
    let bytes = content(path)?;
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    if bytes.starts_with(b"%PDF") {
        let name = if page > 0 { format!("{name}, page {}", page + 1) } else { name };
        return Ok(Photo { name, image: pdf::draw(path, bytes, page)? });
    }
    let bytes = if is_heic(&bytes) { heic::to_png(path)? } else { bytes };
    let format = recognise(path, &bytes)?;
    Ok(Photo { name, image: decode(path, &bytes, format)? })
}

fn is_heic(bytes: &[u8]) -> bool {
    let brand = bytes.get(4..12).unwrap_or_default();
    brand.starts_with(b"ftyp")
        && [&b"heic"[..], b"heix", b"mif1", b"msf1", b"hevc", b"avif"].contains(&&brand[4..])
}

/// Refuses by its first bytes and its header what [`load`] would refuse by them; `path` names it. What a
/// PDF or a HEIC picture holds shows only when it is loaded.
pub fn check(path: &Path, bytes: &[u8]) -> Result<()> {
    if bytes.is_empty() {
        return Err(PhotoFault::Empty(path.into()).into());
    }
    if bytes.starts_with(b"%PDF") || is_heic(bytes) {
        return Ok(());
    }
    decoder(path, bytes, recognise(path, bytes)?).map(drop)
}

/// The bytes of a photograph's file, which is not empty.
pub fn content(path: &Path) -> Result<Vec<u8>> {
    let bytes = std::fs::read(path).map_err(|e| {
        let fault = match e.kind() {
            ErrorKind::NotFound => FileFault::Missing(path.into()),
            _ => FileFault::Unreadable(path.into()),
        };
        Error::from(fault).because(e)
    })?;
    if bytes.is_empty() {
        return Err(PhotoFault::Empty(path.into()).into());
    }
    Ok(bytes)
}

fn recognise(path: &Path, bytes: &[u8]) -> Result<ImageFormat> {
    use ImageFormat::{Jpeg, Png, Tiff, WebP};
    match image::guess_format(bytes) {
        Ok(format @ (Jpeg | Png | Tiff | WebP)) => Ok(format),
        _ => Err(unopened(path, bytes).into()),
    }
}

fn unopened(path: &Path, bytes: &[u8]) -> PhotoFault {
    let start = &bytes[..bytes.len().min(512)];
    let text = start.iter().all(|b| matches!(b, 9..=13 | 32..=126 | 128..));
    let found = match image::guess_format(bytes) {
        Ok(ImageFormat::Gif) => "GIF",
        Ok(ImageFormat::Bmp) => "BMP",
        Ok(_) => "a picture of another kind",
        Err(_) if text => "plain text",
        Err(_) => "unknown data",
    };
    PhotoFault::NotAPicture { file: path.into(), found }
}

fn kind(format: ImageFormat) -> &'static str {
    match format {
        ImageFormat::Jpeg => "JPEG",
        ImageFormat::Png => "PNG",
        ImageFormat::Tiff => "TIFF",
        _ => "WebP",
    }
}

/// The decoder of a picture that is neither too large nor cut off.
fn decoder<'a>(
    path: &Path,
    bytes: &'a [u8],
    format: ImageFormat,
) -> Result<impl ImageDecoder + use<'a>> {
    let damaged = |cut_off| PhotoFault::Damaged { file: path.into(), kind: kind(format), cut_off };
    let decoder = ImageReader::with_format(Cursor::new(bytes), format)
        .into_decoder()
        .map_err(|e| Error::from(damaged(false)).because(e))?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > LIMIT_PIXELS {
        let limit_megapixels = LIMIT_PIXELS / 1_000_000;
        return Err(
            PhotoFault::TooLarge { file: path.into(), width, height, limit_megapixels }.into()
        );
    }
    if format == ImageFormat::Jpeg && !jpeg_reaches_its_end(bytes) {
        return Err(damaged(true).into());
    }
    Ok(decoder)
}

fn decode(path: &Path, bytes: &[u8], format: ImageFormat) -> Result<RgbImage> {
    let mut decoder = decoder(path, bytes, format)?;
    let damaged = || PhotoFault::Damaged { file: path.into(), kind: kind(format), cut_off: false };
    // A picture without, or with unreadable, orientation is taken as it lies.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut image =
        DynamicImage::from_decoder(decoder).map_err(|e| Error::from(damaged()).because(e))?;
    image.apply_orientation(orientation);
    Ok(over_white(image))
}

/// Scanning programs save transparent paper; the bare colour under it is often black.
fn over_white(image: DynamicImage) -> RgbImage {
    if !image.color().has_alpha() {
        return image.into_rgb8();
    }
    let rgba = image.into_rgba8();
    let mut rgb = RgbImage::new(rgba.width(), rgba.height());
    for (to, from) in rgb.pixels_mut().zip(rgba.pixels()) {
        let alpha = u16::from(from[3]);
        for (t, &f) in to.0.iter_mut().zip(&from.0) {
            *t = ((u16::from(f) * alpha + 255 * (255 - alpha)) / 255) as u8;
        }
    }
    rgb
}

/// The decoder fills a JPEG that was cut off with grey and says nothing, so the end marker is looked
/// for here: ITU-T T.81 (JPEG), annex B, FF D9 outside every marker segment.
fn jpeg_reaches_its_end(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some(&[marker, code]) = bytes.get(at..at + 2) {
        match (marker, code) {
            (0xFF, 0xD9) => return true,
            (0xFF, 0x00 | 0x01 | 0xD0..=0xD8) => at += 2,
            (0xFF, 0xFF) => at += 1,
            (0xFF, _) => match bytes.get(at + 2..at + 4) {
                Some(&[high, low]) => at += 2 + usize::from(u16::from_be_bytes([high, low])),
                _ => return false,
            },
            _ => at += 1,
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_end_marker_inside_a_thumbnail_is_not_the_end() {
        let thumbnail = [0xFF, 0xE1, 0x00, 0x04, 0xFF, 0xD9];
        let mut jpeg = vec![0xFF, 0xD8];
        jpeg.extend(thumbnail);
        jpeg.extend([0xFF, 0xDA, 0x00, 0x02, 0x12, 0x34, 0xFF, 0x00]);
        assert!(!jpeg_reaches_its_end(&jpeg));
        jpeg.extend([0xFF, 0xD9]);
        assert!(jpeg_reaches_its_end(&jpeg));
    }
}
