//! The network's layers: convolution 5×5, largest of 2×2, convolution 3×3, largest of 2×2, two full layers.
//! All values are f32; maps are stored map by map, row by row.

use super::glyph::{Glyph, SIDE};
use crate::format::{Format, Source};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Maps of the first convolution.
pub const MAPS_1: usize = 8;
/// Maps of the second convolution.
pub const MAPS_2: usize = 16;
/// Side of a map after the first convolution and halving.
pub const SIDE_1: usize = (SIDE - 4) / 2;
/// Side of a map after the second convolution and halving.
pub const SIDE_2: usize = (SIDE_1 - 2) / 2;
/// Width of the layer between.
pub const HIDDEN: usize = 64;
/// Ten figures and "no figure".
pub const CLASSES: usize = 11;
/// The class of everything that is no single figure.
pub const NO_FIGURE: usize = 10;

/// The weights. Each list is ordered by output, then input map, then row, then column.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FigureNet {
    /// How the weights came about.
    pub source: Source,
    /// First convolution, `MAPS_1` × 5 × 5.
    #[serde(deserialize_with = "finite")]
    pub conv_1: Vec<f32>,
    /// Its offsets.
    #[serde(deserialize_with = "finite")]
    pub offset_1: Vec<f32>,
    /// Second convolution, `MAPS_2` × `MAPS_1` × 3 × 3.
    #[serde(deserialize_with = "finite")]
    pub conv_2: Vec<f32>,
    /// Its offsets.
    #[serde(deserialize_with = "finite")]
    pub offset_2: Vec<f32>,
    /// First full layer, `HIDDEN` × `MAPS_2`·`SIDE_2`².
    #[serde(deserialize_with = "finite")]
    pub full_1: Vec<f32>,
    /// Its offsets.
    #[serde(deserialize_with = "finite")]
    pub offset_3: Vec<f32>,
    /// Second full layer, `CLASSES` × `HIDDEN`.
    #[serde(deserialize_with = "finite")]
    pub full_2: Vec<f32>,
    /// Its offsets.
    #[serde(deserialize_with = "finite")]
    pub offset_4: Vec<f32>,
}

/// Weights beyond the range of f32 would become infinite.
fn finite<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Vec<f32>, D::Error> {
    let weights = Vec::<f32>::deserialize(from)?;
    match weights.iter().all(|w| w.is_finite()) {
        true => Ok(weights),
        false => Err(serde::de::Error::custom("a weight is too large, expected less than 3e38")),
    }
}

impl Format for FigureNet {
    const NAME: &'static str = "vitta figures";
    const VERSION: u32 = 1;
}

impl FigureNet {
    /// The probabilities of the figures 0–9 and of [`NO_FIGURE`].
    pub fn read(&self, glyph: &Glyph) -> [f64; CLASSES] {
        let first = convolve(glyph, SIDE, 1, &self.conv_1, &self.offset_1, 5);
        let first = halve(&first, SIDE - 4, MAPS_1);
        let second = convolve(&first, SIDE_1, MAPS_1, &self.conv_2, &self.offset_2, 3);
        let second = halve(&second, SIDE_1 - 2, MAPS_2);
        let hidden: Vec<f32> =
            full(&second, &self.full_1, &self.offset_3).iter().map(|v| v.max(0.0)).collect();
        softmax(&full(&hidden, &self.full_2, &self.offset_4))
    }
}

/// Convolution without border, negative results set to 0.
pub fn convolve(
    input: &[f32],
    side: usize,
    maps: usize,
    weights: &[f32],
    offsets: &[f32],
    kernel: usize,
) -> Vec<f32> {
    let out_side = side + 1 - kernel;
    let mut out = Vec::with_capacity(offsets.len() * out_side * out_side);
    for (filter, offset) in weights.chunks_exact(maps * kernel * kernel).zip(offsets) {
        for y in 0..out_side {
            for x in 0..out_side {
                let mut sum = *offset;
                for (map, plane) in
                    filter.chunks_exact(kernel * kernel).zip(input.chunks_exact(side * side))
                {
                    for (ky, row) in map.chunks_exact(kernel).enumerate() {
                        let start = (y + ky) * side + x;
                        let under = plane.get(start..start + kernel).unwrap_or_default();
                        sum += row.iter().zip(under).map(|(w, v)| w * v).sum::<f32>();
                    }
                }
                out.push(sum.max(0.0));
            }
        }
    }
    out
}

/// Keeps the largest of each 2×2 values.
pub fn halve(input: &[f32], side: usize, maps: usize) -> Vec<f32> {
    let half = side / 2;
    let mut out = Vec::with_capacity(maps * half * half);
    for plane in input.chunks_exact(side * side) {
        let at = |y: usize, x: usize| plane.get(y * side + x).copied().unwrap_or(0.0);
        for y in 0..half {
            for x in 0..half {
                let (y, x) = (2 * y, 2 * x);
                out.push(at(y, x).max(at(y, x + 1)).max(at(y + 1, x)).max(at(y + 1, x + 1)));
            }
        }
    }
    out
}

/// Weighted sums of all inputs.
pub fn full(input: &[f32], weights: &[f32], offsets: &[f32]) -> Vec<f32> {
    let rows = weights.chunks_exact(input.len().max(1));
    rows.zip(offsets)
        .map(|(row, o)| o + row.iter().zip(input).map(|(w, v)| w * v).sum::<f32>())
        .collect()
}

fn softmax(values: &[f32]) -> [f64; CLASSES] {
    let largest = values.iter().copied().fold(f32::MIN, f32::max);
    let powers: Vec<f64> = values.iter().map(|v| f64::from(v - largest).exp()).collect();
    let sum: f64 = powers.iter().sum();
    let mut out = [0.0; CLASSES];
    for (slot, power) in out.iter_mut().zip(powers) {
        *slot = power / sum;
    }
    out
}
