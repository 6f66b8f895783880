//! Colour becomes grey, 0 black to 255 white, so that both black and red ink are dark; and grey
//! pictures are reduced by whole factors.

use image::{GrayImage, RgbImage};
use rayon::prelude::*;

/// The darker of green and brightness: red ink reflects red light only, so it is nearly black in green.
pub(super) fn grey(image: &RgbImage) -> GrayImage {
    let mut out = GrayImage::new(image.width(), image.height());
    out.par_iter_mut().zip(image.as_raw().par_chunks_exact(3)).for_each(|(to, rgb)| {
        let [r, g, b] = [rgb[0], rgb[1], rgb[2]].map(u32::from);
        // Brightness after ITU-R BT.601, in 1/256.
        let brightness = (77 * r + 150 * g + 29 * b) >> 8;
        *to = brightness.min(g) as u8;
    });
    out
}

/// Averages squares of `factor` × `factor` pixels; the rest at the right and lower edge is dropped.
pub(super) fn reduce(image: &GrayImage, factor: u32) -> GrayImage {
    if factor <= 1 {
        return image.clone();
    }
    let (width, height) = ((image.width() / factor).max(1), (image.height() / factor).max(1));
    let mut out = GrayImage::new(width, height);
    let (stride, f) = (image.width() as usize, factor as usize);
    out.par_chunks_exact_mut(width as usize).enumerate().for_each(|(y, row)| {
        let mut sums = vec![0u32; row.len()];
        for line in image.as_raw().chunks_exact(stride).skip(y * f).take(f) {
            for (sum, square) in sums.iter_mut().zip(line.chunks_exact(f)) {
                *sum += square.iter().map(|&v| u32::from(v)).sum::<u32>();
            }
        }
        for (to, sum) in row.iter_mut().zip(sums) {
            *to = (sum / (factor * factor)) as u8;
        }
    });
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{Luma, Rgb};

    #[test]
    fn red_ink_is_as_dark_as_its_green() {
        let picture =
            RgbImage::from_fn(
                2,
                1,
                |x, _| if x == 0 { Rgb([200, 40, 45]) } else { Rgb([240, 230, 205]) },
            );
        let out = grey(&picture);
        assert_eq!(out.get_pixel(0, 0), &Luma([40]));
        assert!(out.get_pixel(1, 0)[0] >= 228);
    }

    #[test]
    fn squares_are_averaged() {
        let picture =
            GrayImage::from_fn(5, 4, |x, y| Luma([if (x + y) % 2 == 0 { 100 } else { 200 }]));
        assert_eq!(reduce(&picture, 2), GrayImage::from_pixel(2, 2, Luma([150])));
    }
}
