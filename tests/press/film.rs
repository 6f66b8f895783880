//! From light to a stored picture: defocus, motion, sensor noise, the telephone's sharpening and
//! tone, JPEG.

use crate::random::Random;
use image::{ExtendedColorType, RgbImage};
use std::error::Error;

/// Light on the sensor.
#[derive(Debug, Clone)]
pub struct Film {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Linear light, 1 the brightest that is kept.
    pub light: Vec<[f32; 3]>,
    /// Distance from the camera, mm.
    pub depth: Vec<f32>,
}

/// What lens and sensor do.
#[derive(Debug, Clone, Copy)]
pub struct Faults {
    /// Blur everywhere, σ in pixels.
    pub blur: f32,
    /// More blur for each 100 mm before or behind the sharp plane, σ in pixels.
    pub defocus: f32,
    /// Where it is sharp: share of the depth, 0 nearest, 1 farthest.
    pub focus: f32,
    /// Movement during the exposure, in pixels.
    pub motion: (f32, f32),
    /// Noise of bright parts, as deviation at full light.
    pub noise: f32,
    /// Darkening of the corners, 0–1.
    pub vignette: f32,
    /// Sharpening afterwards.
    pub sharpen: f32,
    /// Light of the brightest paper after exposure.
    pub exposure: f32,
    /// JPEG quality, 1–100.
    pub quality: u8,
    /// Whether only grey is kept.
    pub grey: bool,
}

fn kernel(sigma: f32) -> Vec<f32> {
    let reach = (sigma * 3.0).ceil().max(1.0) as i32;
    let raw: Vec<f32> =
        (-reach..=reach).map(|i| (-(i * i) as f32 / (2.0 * sigma * sigma)).exp()).collect();
    let sum: f32 = raw.iter().sum();
    raw.iter().map(|k| k / sum).collect()
}

impl Film {
    /// Dark film.
    pub fn new(width: u32, height: u32) -> Film {
        let n = width as usize * height as usize;
        Film { width, height, light: vec![[0.0; 3]; n], depth: vec![0.0; n] }
    }

    /// Each pixel becomes the weighted sum of others at given distances, the border repeated.
    fn smeared(&self, taps: &[(i32, i32, f32)]) -> Vec<[f32; 3]> {
        use rayon::prelude::*;
        let (w, h) = (self.width as i32, self.height as i32);
        let mut out = vec![[0.0; 3]; self.light.len()];
        out.par_chunks_mut(w as usize).enumerate().for_each(|(y, row)| {
            for (dx, dy, k) in taps {
                let from = (y as i32 + dy).clamp(0, h - 1) * w;
                let source = &self.light[from as usize..(from + w) as usize];
                for (x, o) in row.iter_mut().enumerate() {
                    let s = source[(x as i32 + dx).clamp(0, w - 1) as usize];
                    for (o, s) in o.iter_mut().zip(s) {
                        *o += s * k;
                    }
                }
            }
        });
        out
    }

    fn blurred(&self, sigma: f32) -> Film {
        let line = kernel(sigma);
        let half = (line.len() / 2) as i32;
        let taps = |flat: bool| -> Vec<(i32, i32, f32)> {
            let tap = |(i, k): (usize, &f32)| {
                let d = i as i32 - half;
                if flat { (d, 0, *k) } else { (0, d, *k) }
            };
            line.iter().enumerate().map(tap).collect()
        };
        let across = self.with(self.smeared(&taps(true)));
        self.with(across.smeared(&taps(false)))
    }

    fn with(&self, light: Vec<[f32; 3]>) -> Film {
        Film { width: self.width, height: self.height, light, depth: vec![] }
    }

    fn focus(&mut self, faults: &Faults) {
        let near = self.depth.iter().copied().fold(f32::MAX, f32::min);
        let far = self.depth.iter().copied().fold(0.0, f32::max);
        let sharp = near + (far - near) * faults.focus;
        let worst = faults.blur + faults.defocus * (far - near) / 100.0;
        if worst - faults.blur < 0.1 {
            self.light = self.blurred(faults.blur.max(0.3)).light;
            return;
        }
        let levels: Vec<f32> =
            (0..4).map(|i| faults.blur + (worst - faults.blur) * i as f32 / 3.0).collect();
        let layers: Vec<Film> = levels.iter().map(|s| self.blurred(s.max(0.3))).collect();
        for i in 0..self.light.len() {
            let sigma = faults.defocus * (self.depth[i] - sharp).abs() / 100.0;
            let t = (sigma / (worst - faults.blur).max(1e-3) * 3.0).clamp(0.0, 2.999);
            let (a, f) = (t as usize, t.fract());
            for c in 0..3 {
                let (p, q) = (layers[a].light[i][c], layers[a + 1].light[i][c]);
                self.light[i][c] = p + (q - p) * f;
            }
        }
    }

    fn move_by(&mut self, motion: (f32, f32)) {
        let steps = motion.0.hypot(motion.1).ceil() as i32;
        if steps < 2 {
            return;
        }
        let k = 1.0 / steps as f32;
        let tap = |i: i32| {
            let t = i as f32 / (steps - 1) as f32 - 0.5;
            ((motion.0 * t).round() as i32, (motion.1 * t).round() as i32, k)
        };
        let taps: Vec<_> = (0..steps).map(tap).collect();
        self.light = self.smeared(&taps);
    }

    fn grain(&mut self, noise: f32, random: &mut Random) {
        let mut own = Film::new(self.width, self.height);
        for (g, light) in own.light.iter_mut().zip(&self.light) {
            let common = random.normal();
            for (g, l) in g.iter_mut().zip(light) {
                let deviation = noise * (0.02 + l.max(0.0)).sqrt();
                *g = deviation * (0.75 * common + 0.65 * random.normal());
            }
        }
        // Demosaicing spreads the noise over neighbouring pixels.
        let spread = own.blurred(0.55);
        for (light, g) in self.light.iter_mut().zip(&spread.light) {
            for (l, g) in light.iter_mut().zip(g) {
                *l += g * 1.5;
            }
        }
    }

    fn darken_corners(&mut self, vignette: f32) {
        let (cx, cy) = (self.width as f32 / 2.0, self.height as f32 / 2.0);
        let width = self.width as usize;
        for (i, light) in self.light.iter_mut().enumerate() {
            let (dx, dy) = ((i % width) as f32 - cx, (i / width) as f32 - cy);
            let r2 = (dx * dx + dy * dy) / (cx * cx + cy * cy);
            let k = 1.0 - vignette * r2;
            light.iter_mut().for_each(|l| *l *= k);
        }
    }

    fn expose(&mut self, level: f32) {
        let mut lights: Vec<f32> = self.light.iter().step_by(97).map(|l| l[1]).collect();
        lights.sort_by(f32::total_cmp);
        let bright = lights[lights.len() * 97 / 100].max(1e-3);
        self.light.iter_mut().flatten().for_each(|l| *l *= level / bright);
    }

    fn tones(&self, grey: bool) -> Vec<f32> {
        let tone = |l: f32| {
            let l = l.clamp(0.0, 1.0);
            let s = if l <= 0.003_130_8 { 12.92 * l } else { 1.055 * l.powf(1.0 / 2.4) - 0.055 };
            s + 0.10 * (s - 0.5) * s * (1.0 - s) * 4.0
        };
        let mean = |l: &[f32; 3]| [0.3 * l[0] + 0.59 * l[1] + 0.11 * l[2]; 3];
        self.light.iter().flat_map(|l| if grey { mean(l) } else { *l }).map(tone).collect()
    }

    fn sharpened(mut tones: Vec<f32>, width: usize, amount: f32) -> Vec<f32> {
        let old = tones.clone();
        let stride = width * 3;
        for i in stride..old.len().saturating_sub(stride) {
            let around = old[i - stride] + old[i + stride] + old[i - 3] + old[i + 3];
            tones[i] += amount * (old[i] - around / 4.0);
        }
        tones
    }

    /// The picture as the telephone would store it, before compression.
    pub fn develop(mut self, faults: &Faults, random: &mut Random) -> RgbImage {
        self.focus(faults);
        self.move_by(faults.motion);
        self.darken_corners(faults.vignette);
        self.expose(faults.exposure);
        self.grain(faults.noise, random);
        let tones = self.tones(faults.grey);
        let tones = Film::sharpened(tones, self.width as usize, faults.sharpen);
        let bytes = tones.iter().map(|t| (t * 255.0 + 0.5).clamp(0.0, 255.0) as u8).collect();
        RgbImage::from_raw(self.width, self.height, bytes)
            .unwrap_or_else(|| RgbImage::new(self.width, self.height))
    }
}

/// Quarter turns clockwise that a viewer must apply, as EXIF orientation.
pub fn orientation(turns: u32) -> u8 {
    [1, 6, 3, 8][turns as usize % 4]
}

/// JPEG bytes; with `turns`, the pixels are stored turned back and EXIF says how to undo it, unless
/// it is kept `silent`.
pub fn jpeg(
    picture: &RgbImage,
    quality: u8,
    turns: u32,
    silent: bool,
) -> Result<Vec<u8>, Box<dyn Error>> {
    use image::imageops::{rotate90, rotate180, rotate270};
    let turned = match turns % 4 {
        1 => rotate270(picture),
        2 => rotate180(picture),
        3 => rotate90(picture),
        _ => picture.clone(),
    };
    let mut bytes = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, quality).encode(
        turned.as_raw(),
        turned.width(),
        turned.height(),
        ExtendedColorType::Rgb8,
    )?;
    if !turns.is_multiple_of(4) && !silent {
        let mut exif = vec![0xFF, 0xE1, 0, 34];
        exif.extend(b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0");
        exif.extend([orientation(turns), 0, 0, 0, 0, 0, 0]);
        bytes.splice(2..2, exif);
    }
    Ok(bytes)
}
