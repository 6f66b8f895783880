//! Seeded chance: the same seed gives the same photograph on every machine and for ever, which is
//! why the generator is written out here and not taken from a crate that may change its stream.
//!
//! SplitMix64: G. Steele, D. Lea, C. Flood, "Fast splittable pseudorandom number generators",
//! OOPSLA 2014, figure 17.

/// A stream of random numbers.
#[derive(Debug, Clone)]
pub struct Random(u64);

fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

impl Random {
    /// The stream of `seed` for one purpose, so that drawing more for one leaves the others alone.
    pub fn new(seed: u64, purpose: &str) -> Self {
        let salt = purpose.bytes().fold(seed, |h, b| mix(h ^ u64::from(b)));
        Random(salt)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        mix(self.0)
    }

    /// Evenly in 0–1.
    pub fn unit(&mut self) -> f32 {
        (self.bits() >> 40) as f32 / (1u64 << 24) as f32
    }

    /// Evenly in `low`–`high`.
    pub fn between(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * self.unit()
    }

    /// True with probability `p`.
    pub fn chance(&mut self, p: f32) -> bool {
        self.unit() < p
    }

    /// −1 or 1.
    pub fn sign(&mut self) -> f32 {
        if self.chance(0.5) { 1.0 } else { -1.0 }
    }

    /// Evenly in 0 … `below` − 1; 0 where `below` is 0.
    pub fn index(&mut self, below: usize) -> usize {
        if below == 0 { 0 } else { (self.bits() % below as u64) as usize }
    }

    /// One of `choices`, which must not be empty.
    pub fn pick<'a, T>(&mut self, choices: &'a [T]) -> &'a T {
        &choices[self.index(choices.len())]
    }

    /// Normal with mean 0 and deviation 1, near enough for noise: the sum of four even draws.
    pub fn normal(&mut self) -> f32 {
        let bits = self.bits();
        let sum: u64 = (0..4).map(|i| bits >> (16 * i) & 0xFFFF).sum();
        (sum as f32 / 65536.0 - 2.0) * 3f32.sqrt()
    }
}

fn lattice(seed: u64, x: i32, y: i32) -> f32 {
    let h = mix(seed ^ mix((x as u32 as u64) << 32 | y as u32 as u64));
    (h >> 40) as f32 / (1u64 << 23) as f32 - 1.0
}

/// Smooth noise in −1…1 that changes over a distance of 1 (value noise on a square lattice).
pub fn noise(seed: u64, x: f32, y: f32) -> f32 {
    let (x0, y0) = (x.floor(), y.floor());
    let ease = |t: f32| t * t * (3.0 - 2.0 * t);
    let (fx, fy) = (ease(x - x0), ease(y - y0));
    let at = |dx: i32, dy: i32| lattice(seed, x0 as i32 + dx, y0 as i32 + dy);
    let top = at(0, 0) + (at(1, 0) - at(0, 0)) * fx;
    let bottom = at(0, 1) + (at(1, 1) - at(0, 1)) * fx;
    top + (bottom - top) * fy
}

/// Noise of several sizes on top of each other, still in −1…1.
pub fn clouds(seed: u64, x: f32, y: f32) -> f32 {
    let octave = |k: u64, f: f32| noise(seed.wrapping_add(k), x * f, y * f) / f;
    (octave(0, 1.0) + octave(1, 2.0) + octave(2, 4.0)) / 1.75
}
