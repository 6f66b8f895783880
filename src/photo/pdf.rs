//! A scanned PDF becomes pictures, one for each of its pages.

use crate::Result;
use crate::error::{Error, PhotoFault};
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::object::dict::keys::{BBOX, X_STEP, Y_STEP};
use hayro::hayro_syntax::object::{Dict, Object, Rect};
use hayro::{PixmapSettings, RenderCache, RenderSettings, render};
use image::RgbImage;
use std::path::Path;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// A PDF measures in 72nds of an inch; scans are drawn at 300 to the inch.
const SCALE: f32 = 300.0 / 72.0;
/// Larger sheets are drawn coarser.
const MOST_PIXELS: f32 = 24e6;

/// The longest side drawn, in pixels; the drawing library counts in 16 bits.
const MOST_SIDE: f32 = 16_000.0;
/// Forms may lie in forms.
const STACK: usize = 16 << 20;
/// A scan is drawn in a second or two; what takes so long is no scan.
const LONGEST: Duration = Duration::from_secs(30);
/// A pattern whose tile is so many steps wide is drawn over itself as often; the drawing library knows no bound.
const MOST_TILES: f64 = 8.0;

/// How many pages the PDF has.
pub(super) fn count(path: &Path, bytes: Vec<u8>) -> Result<usize> {
    apart(path, move || Some(Pdf::new(bytes).ok()?.pages().len()).filter(|pages| *pages > 0))
}

/// Draws one page, the first being 0.
pub(super) fn draw(path: &Path, bytes: Vec<u8>, page: usize) -> Result<RgbImage> {
    apart(path, move || {
        let pdf = Pdf::new(bytes).ok().filter(|pdf| !tiles_without_end(pdf))?;
        let page = pdf.pages().get(page)?;
        let (width, height) = page.render_dimensions();
        let by_area = (MOST_PIXELS / (width * height).max(1.0)).sqrt();
        let scale = SCALE.min(by_area).min(MOST_SIDE / width.max(height).max(1.0));
        let white = hayro::vello_cpu::color::palette::css::WHITE;
        let drawn = render(
            page,
            &RenderCache::new(),
            &InterpreterSettings::default(),
            &RenderSettings::default(),
            &PixmapSettings { x_scale: scale, y_scale: scale, bg_color: white },
        );
        let rgb = drawn.data().iter().flat_map(|p| [p.r, p.g, p.b]).collect();
        RgbImage::from_raw(drawn.width().into(), drawn.height().into(), rgb)
            .filter(|picture| picture.width() > 0 && picture.height() > 0)
    })
}

/// Whether a pattern's tile is far larger than its steps (ISO 32000-1, 8.7.3.1).
fn tiles_without_end(pdf: &Pdf) -> bool {
    let overlaps = |dict: &Dict| {
        let tile = dict.get::<Rect>(BBOX)?;
        let (across, down) = (dict.get::<f32>(X_STEP)?, dict.get::<f32>(Y_STEP)?);
        let few = |side: f64, step: f32| side.abs() <= MOST_TILES * f64::from(step).abs();
        Some(!(few(tile.width(), across) && few(tile.height(), down)))
    };
    pdf.objects().into_iter().any(|object| match object {
        Object::Stream(stream) => overlaps(stream.dict()).unwrap_or(false),
        _ => false,
    })
}

/// Does `work` on a thread of its own, because the PDF library panics at, or never finishes, some damaged
/// files. What was not done is given up: the thread of an endless one ends with the program.
fn apart<T: Send + 'static>(
    path: &Path,
    work: impl FnOnce() -> Option<T> + Send + 'static,
) -> Result<T> {
    let damaged = || PhotoFault::Damaged { file: path.into(), kind: "PDF", cut_off: false };
    let (send, receive) = channel();
    std::thread::Builder::new()
        .name(super::UNHEARD.into())
        .stack_size(STACK)
        .spawn(move || send.send(work()))
        .map_err(|e| Error::from(damaged()).because(e))?;
    match receive.recv_timeout(LONGEST) {
        Ok(Some(done)) => Ok(done),
        Err(RecvTimeoutError::Timeout) => {
            Err(Error::from(damaged()).because(format!("not drawn in {} s", LONGEST.as_secs())))
        }
        _ => Err(damaged().into()),
    }
}
