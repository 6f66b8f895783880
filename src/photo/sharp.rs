//! How sharp the letters of a flattened page are: the width over which paper becomes ink.

use image::GrayImage;

/// Strokes count where paper and ink differ by so many grey steps within half a letter.
const LEAST_CONTRAST: u8 = 50;
/// Fewer edges tell nothing.
const FEWEST: usize = 200;

/// Median width of the edges of letters, in pixels of the picture; none where there is too little print.
pub(super) fn edge_px(grey: &GrayImage, x_height: f32) -> Option<f32> {
    let reach = (x_height * 0.5).ceil().max(2.0) as usize;
    let mut widths: Vec<f32> = Vec::new();
    let width = grey.width().max(1) as usize;
    // Every third line is enough, and windows side by side count each stroke about once.
    for line in grey.as_raw().chunks_exact(width).step_by(3) {
        for window in line.chunks_exact(2 * reach) {
            let (low, high) = window.iter().fold((255u8, 0u8), |(l, h), &v| (l.min(v), h.max(v)));
            let steepest = window.windows(2).map(|w| w[0].abs_diff(w[1])).max().unwrap_or(0);
            if high - low >= LEAST_CONTRAST && steepest > 0 {
                widths.push(f32::from(high - low) / f32::from(steepest));
            }
        }
    }
    if widths.len() < FEWEST {
        return None;
    }
    widths.sort_by(f32::total_cmp);
    widths.get(widths.len() / 2).copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Luma;

    #[test]
    fn blur_widens_the_edges() {
        let sharp = GrayImage::from_fn(400, 300, |x, _| Luma([if x % 24 < 6 { 20 } else { 250 }]));
        let blurred = imageproc::filter::gaussian_blur_f32(&sharp, 3.0);
        let (a, b) = (edge_px(&sharp, 20.0), edge_px(&blurred, 20.0));
        assert!(a.unwrap() < 1.5 && b.unwrap() > 3.0, "{a:?} {b:?}");
        assert_eq!(edge_px(&GrayImage::from_pixel(400, 300, Luma([250])), 20.0), None);
    }
}
