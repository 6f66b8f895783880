//! The grey below which a pixel is ink. Print fades toward a gutter, in a shadow and where the lens is soft, and a
//! table, a cover or a finger at the edge of the picture is darker than any print: so the limit is measured where
//! the lines are, and place by place.

use crate::geom::Rect;
use crate::photo::Squares;
use image::GrayImage;

/// Side of a place, in pixels: some lines of print, a few words wide.
const SIDE: u32 = 256;
/// A place counts so much more than those around it.
const OWN: u64 = 4;
/// Pixels that the whole page counts for at each place: nothing where there is print, all where there is none.
const WHOLE: u64 = 500;

/// Pixels by their grey or their steepness.
type Counts = [u64; 256];

/// A limit for each place of a picture.
pub struct Limit {
    places: Squares,
    /// Grey of each place.
    levels: Vec<f32>,
}

impl Limit {
    /// The limit of each place, whatever is there.
    pub fn anywhere(grey: &GrayImage) -> Limit {
        let (right, bottom) = (grey.width() as i32, grey.height() as i32);
        limit(Squares::over(grey, SIDE), grey, &[Rect { left: 0, top: 0, right, bottom }])
    }

    /// The limit of each place, from the pixels within `lines` alone; none without lines.
    pub fn near(grey: &GrayImage, lines: &[Rect]) -> Option<Limit> {
        (!lines.is_empty()).then(|| limit(Squares::over(grey, SIDE), grey, lines))
    }

    /// The limit moved by `share` of its way to white.
    pub fn towards_white(&self, share: f32) -> Limit {
        let levels = self.levels.iter().map(|l| l + (255.0 - l) * share).collect();
        Limit { levels, ..*self }
    }

    /// White where `grey` is darker than the limit, black elsewhere.
    pub fn darker(&self, grey: &GrayImage) -> GrayImage {
        let mut dark = grey.clone();
        let width = grey.width().max(1) as usize;
        let mut limits = vec![0u8; width];
        for (y, line) in dark.chunks_exact_mut(width).enumerate() {
            // The limit changes slowly: a few lines may share it.
            if y % 8 == 0 {
                let at = |x: usize| self.places.between(&self.levels, x as f32, y as f32) as u8;
                limits.iter_mut().enumerate().for_each(|(x, l)| *l = at(x));
            }
            line.iter_mut().zip(&limits).for_each(|(v, l)| *v = if *v < *l { 255 } else { 0 });
        }
        dark
    }
}

/// Otsu's threshold at each place, over the pixels near edges only, because most of a page is paper and would
/// pull a plain threshold up into show-through.
/// (N. Otsu, A Threshold Selection Method from Gray-Level Histograms, 1979.)
fn limit(places: Squares, grey: &GrayImage, lines: &[Rect]) -> Limit {
    let steep = count(places, grey, lines, |_, _, steep| Some(steep));
    let edges: Vec<usize> = steep.iter().map(least_edge).collect();
    let greys = count(places, grey, lines, |place, here, steep| {
        edges.get(place).is_some_and(|edge| steep > *edge).then_some(here)
    });
    Limit { places, levels: greys.iter().map(|g| f32::from(otsu(g))).collect() }
}

/// Counts what `value` takes of a place, a grey and a steepness; each place with those around it.
fn count(
    places: Squares,
    grey: &GrayImage,
    lines: &[Rect],
    value: impl Fn(usize, usize, usize) -> Option<usize>,
) -> Vec<Counts> {
    let mut counts = vec![[0u64; 256]; places.count()];
    for line in lines {
        steepness(grey, *line, |x, y, here, steep| {
            if let Some(place) = places.place(x as i32, y as i32)
                && let Some(value) = value(place, here, steep)
                && let Some(count) = counts.get_mut(place).and_then(|c| c.get_mut(value))
            {
                *count += 1;
            }
        });
    }
    let mut whole = [0u64; 256];
    counts.iter().for_each(|c| add(&mut whole, c, 1));
    let all: u64 = whole.iter().sum();
    let share = whole.map(|n| (n * WHOLE).div_ceil(all.max(1)));
    let smooth = |place: usize| {
        let mut sum = share;
        for near in places.around(place) {
            let weight = if near == place { OWN } else { 1 };
            if let Some(counts) = counts.get(near) {
                add(&mut sum, counts, weight);
            }
        }
        sum
    };
    (0..counts.len()).map(smooth).collect()
}

/// Every other row of `area`: for each pixel its place, its grey, and the difference of greys across it.
fn steepness(grey: &GrayImage, area: Rect, mut each: impl FnMut(u32, u32, usize, usize)) {
    let (width, height) = grey.dimensions();
    let within = |from: i32, to: i32, size: u32| {
        (from.max(1) as u32, (to.max(0) as u32).min(size.saturating_sub(1)))
    };
    let ((left, right), (top, bottom)) =
        (within(area.left, area.right, width), within(area.top, area.bottom, height));
    for y in (top..bottom).step_by(2) {
        for x in left..right {
            let at = |x: u32, y: u32| grey.get_pixel(x, y).0[0];
            let (across, down) =
                (at(x - 1, y).abs_diff(at(x + 1, y)), at(x, y - 1).abs_diff(at(x, y + 1)));
            each(x, y, usize::from(at(x, y)), usize::from(across.max(down)));
        }
    }
}

fn add(sum: &mut Counts, greys: &Counts, weight: u64) {
    sum.iter_mut().zip(greys).for_each(|(sum, n)| *sum += n * weight);
}

/// Grey steps over two pixels below which there is no edge; less where the picture is blurred.
fn least_edge(counts: &Counts) -> usize {
    const SHARP: usize = 48;
    let steepest = counts.iter().sum::<u64>() / 200;
    let mut seen = 0;
    let steep = counts.iter().rposition(|n| {
        seen += n;
        seen > steepest
    });
    steep.map_or(SHARP, |steep| SHARP.min(steep * 2 / 5).max(10))
}

/// Otsu's threshold, within what can be a limit of print at all.
fn otsu(counts: &Counts) -> u8 {
    let total: u64 = counts.iter().sum();
    let sum: f64 = counts.iter().enumerate().map(|(v, &n)| v as f64 * n as f64).sum();
    let (mut below, mut sum_below, mut best, mut limit) = (0u64, 0.0, -1.0, 128u8);
    for (value, &n) in (0u8..=255).zip(counts) {
        below += n;
        sum_below += f64::from(value) * n as f64;
        let above = total - below;
        if below == 0 || above == 0 {
            continue;
        }
        let apart = sum_below / below as f64 - (sum - sum_below) / above as f64;
        let spread = below as f64 * above as f64 * apart * apart;
        if spread > best {
            (best, limit) = (spread, value);
        }
    }
    limit.clamp(70, 210)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use image::Luma;

    #[test]
    fn pale_print_beside_black_print_and_a_dark_table_has_its_own_limit() {
        // Bars of print: black on the left, pale on the right, and a noisy dark table below.
        let bar = |x: u32| x % 12 < 4;
        let grey = GrayImage::from_fn(1600, 1200, |x, y| {
            let noise = ((x * 7 + y * 13) % 40) as u8;
            Luma([match (y > 700, bar(x), x < 800) {
                (true, ..) => noise,
                (_, true, true) => 30,
                (_, true, false) => 150 + noise / 2,
                _ => 250,
            }])
        });
        let lines: Vec<Rect> = (0..12)
            .map(|i| Rect { left: 10, top: i * 50, right: 1590, bottom: i * 50 + 30 })
            .collect();
        let limit = Limit::near(&grey, &lines).unwrap();
        let dark = limit.darker(&grey);
        for (x, y) in [(100, 300), (1500, 300)] {
            let inked: Vec<bool> = (x..x + 12).map(|x| dark.get_pixel(x, y).0[0] > 0).collect();
            let bars: Vec<bool> = (x..x + 12).map(bar).collect();
            assert_eq!(inked, bars, "at {x}");
        }
    }
}
