//! The open book as a landscape of heights: two curved pages, their stacks of leaves, the cover,
//! the table, a thumb, a ribbon.
//!
//! Millimetres; x = 0 in the gutter and to the right, y = 0 at the head of the pages and down,
//! z = 0 on the table and up. Each page is a generalised cylinder: its height depends on x only,
//! and the print is laid along the arc, so that nothing is stretched (the curl of a loose corner,
//! some millimetres high, is added on top).

/// What lies at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Matter {
    /// The print side of a page; u from the gutter along the paper and v from the head, in mm.
    Page { right: bool, u: f32, v: f32 },
    /// The cut edges of the leaves; `fore` on the long side.
    Edge { fore: bool },
    /// The boards.
    Cover,
    /// The table.
    Table,
    /// A thumb; `nail` 0–1.
    Thumb { nail: f32 },
    /// A ribbon, −1…1 across.
    Ribbon { across: f32 },
}

/// Height over the table and what is there.
#[derive(Debug, Clone, Copy)]
pub struct Spot {
    /// Millimetres over the table.
    pub z: f32,
    /// What is there.
    pub matter: Matter,
}

/// How one page lies.
#[derive(Debug, Clone, Copy)]
pub struct Lie {
    /// Thickness of the leaves under it.
    pub stack: f32,
    /// How much of `stack` the paper falls into the gutter, 0–1.
    pub dip: f32,
    /// Distance over which it comes out of the gutter.
    pub reach: f32,
    /// Height of the swelling beside the gutter.
    pub swell: f32,
    /// Fall towards the fore-edge.
    pub droop: f32,
    /// Rise of the lower outer corner.
    pub corner: f32,
}

/// Distance of the samples of a profile.
const STEP: f32 = 0.25;
/// Thickness of the boards.
const BOARD: f32 = 3.0;
/// How far the boards stand out.
const SQUARE: f32 = 4.0;

/// One page's cross-section.
#[derive(Debug)]
struct Profile {
    lie: Lie,
    z: Vec<f32>,
    arc: Vec<f32>,
    sky: Vec<f32>,
    /// x of the fore-edge.
    edge: f32,
    /// How far the lowest leaf stands out over the top one.
    fan: f32,
}

fn height(lie: &Lie, x: f32, width: f32) -> f32 {
    let t = x / lie.reach;
    let rise = 1.0 - lie.dip * (-t * t * 0.5 - t * 0.6).exp();
    BOARD + lie.stack * rise + lie.swell * t * t * (2.0 - 2.0 * t).exp()
        - lie.droop * (x / width).powi(2)
}

impl Profile {
    fn new(lie: Lie, width: f32) -> Self {
        let mut profile = Profile {
            lie,
            z: vec![],
            arc: vec![],
            sky: vec![],
            edge: width,
            fan: 0.6 + lie.stack * 0.14,
        };
        let mut arc = 0.0;
        for i in 0.. {
            let x = i as f32 * STEP;
            let z = height(&lie, x, width).max(BOARD + 0.3);
            if let Some(before) = profile.z.last() {
                arc += STEP.hypot(z - before);
            }
            profile.z.push(z);
            profile.arc.push(arc);
            if arc > width {
                profile.edge = x;
                break;
            }
        }
        profile
    }

    /// Values at x, linear between samples.
    fn at(list: &[f32], x: f32) -> f32 {
        let t = (x / STEP).max(0.0);
        let i = (t as usize).min(list.len().saturating_sub(2));
        let f = (t - i as f32).min(1.0);
        list[i] + (list[i + 1] - list[i]) * f
    }
}

/// A thumb that holds the page: a rounded finger from outside to its tip.
#[derive(Debug, Clone, Copy)]
pub struct Thumb {
    /// Where it comes from.
    pub root: (f32, f32),
    /// Where it ends.
    pub tip: (f32, f32),
    /// Half its thickness.
    pub radius: f32,
    /// Height of the paper under its tip.
    pub base: f32,
}

/// The whole landscape.
#[derive(Debug)]
pub struct Landscape {
    /// Width of a page along the paper.
    pub width: f32,
    /// Height of a page.
    pub height: f32,
    left: Profile,
    right: Profile,
    /// A thumb and its length.
    thumb: Option<(Thumb, f32)>,
    /// Distance of a ribbon from the gutter, signed, and how far it hangs out.
    ribbon: Option<(f32, f32)>,
    /// The highest paper.
    top: f32,
    /// Whether there is a book around the page or only the table of a scanner.
    loose: bool,
}

/// Share of the sky seen from each sample, across the gutter, with the other page opposite.
fn sky(own: &[f32], other: &[f32]) -> Vec<f32> {
    let stride = 8;
    let horizon = |z: f32, far: &mut dyn Iterator<Item = (f32, f32)>| -> f32 {
        far.map(|(d, h)| (h - z) / (d * d + (h - z).powi(2)).sqrt()).fold(0.0, f32::max)
    };
    (0..own.len())
        .map(|i| {
            let z = own[i];
            let outward = (i + 2..own.len()).step_by(stride);
            let out = horizon(z, &mut outward.map(|j| ((j - i) as f32 * STEP, own[j])));
            let inward = (0..i.saturating_sub(1)).step_by(stride);
            let mut near = inward.map(|j| ((i - j) as f32 * STEP, own[j]));
            let across = (0..other.len()).step_by(stride);
            let mut opposite = across.map(|j| ((i + j + 1) as f32 * STEP, other[j]));
            let into = horizon(z, &mut near).max(horizon(z, &mut opposite));
            (1.0 - out * 0.5 - into * 0.5).max(0.05)
        })
        .collect()
}

impl Landscape {
    /// A book open at two pages of `width` × `height`.
    pub fn book(width: f32, height: f32, left: Lie, right: Lie) -> Self {
        let mut left = Profile::new(left, width);
        let mut right = Profile::new(right, width);
        left.sky = sky(&left.z, &right.z);
        right.sky = sky(&right.z, &left.z);
        let peak = |p: &Profile| p.z.iter().copied().fold(0.0, f32::max) + p.lie.corner;
        let top = peak(&left).max(peak(&right));
        Landscape { width, height, left, right, thumb: None, ribbon: None, top, loose: false }
    }

    /// A single flat leaf on a scanner.
    pub fn leaf(width: f32, height: f32) -> Self {
        let flat = Lie { stack: 0.0, dip: 0.0, reach: 20.0, swell: 0.0, droop: 0.0, corner: 0.0 };
        Landscape { loose: true, ..Landscape::book(width, height, flat, flat) }
    }

    /// Puts a thumb on it.
    pub fn hold(&mut self, thumb: Thumb) {
        let length = (thumb.tip.0 - thumb.root.0).hypot(thumb.tip.1 - thumb.root.1);
        self.thumb = Some((thumb, length));
    }

    /// Lays a ribbon along the gutter, `x` from it, hanging `out` of the tail.
    pub fn lay_ribbon(&mut self, x: f32, out: f32) {
        self.ribbon = Some((x, out));
    }

    /// The highest point.
    pub fn summit(&self) -> f32 {
        self.top + if self.thumb.is_some() { 22.0 } else { 0.5 }
    }

    /// Where the fore-edge of a page is, signed.
    pub fn fore_edge(&self, right: bool) -> f32 {
        if right { self.right.edge } else { -self.left.edge }
    }

    /// Share of the sky that the paper at x sees, 0–1.
    pub fn sky(&self, x: f32) -> f32 {
        let p = if x >= 0.0 { &self.right } else { &self.left };
        Profile::at(&p.sky, x.abs().min(p.edge))
    }

    fn corner(&self, p: &Profile, x: f32, y: f32) -> f32 {
        let far = ((x / p.edge) * 0.6 + (y / self.height) * 0.6 - 0.7).max(0.0);
        p.lie.corner * far * far * 4.0
    }

    fn ground(&self, x: f32, y: f32) -> Spot {
        let side = self.width + SQUARE;
        let inside = x.abs() < side && y > -SQUARE && y < self.height + SQUARE;
        if inside && !self.loose {
            return Spot { z: BOARD, matter: Matter::Cover };
        }
        Spot { z: 0.0, matter: Matter::Table }
    }

    fn page(&self, x: f32, y: f32) -> Option<Spot> {
        if y < 0.0 || y > self.height || (self.loose && x < 0.0) {
            return None;
        }
        let right = x >= 0.0;
        let p = if right { &self.right } else { &self.left };
        let d = x.abs();
        if d <= p.edge {
            let z = Profile::at(&p.z, d) + self.corner(p, d, y);
            let matter = Matter::Page { right, u: Profile::at(&p.arc, d), v: y };
            return Some(Spot { z, matter });
        }
        let out = (d - p.edge) / p.fan;
        let top = Profile::at(&p.z, p.edge);
        (out < 1.0 && !self.loose)
            .then_some(Spot { z: top + (BOARD - top) * out, matter: Matter::Edge { fore: true } })
    }

    fn finger(&self, thumb: &Thumb, length: f32, x: f32, y: f32) -> Option<Spot> {
        let (ax, ay) = thumb.root;
        let (dx, dy) = (thumb.tip.0 - ax, thumb.tip.1 - ay);
        let along = ((x - ax) * dx + (y - ay) * dy) / length;
        let across = ((y - ay) * dx - (x - ax) * dy) / length;
        let r = thumb.radius;
        // Nowhere is it thicker than at the knuckle; nearly every point asked for is far from it.
        let most = 1.1 * r;
        if along < 0.0 || along > length + most || across.abs() > most {
            return None;
        }
        let beyond = (along - length).max(0.0);
        let off = across.hypot(beyond);
        let back = (length - along) / r;
        let taper = 1.0 - 0.16 * (1.2 - back).clamp(0.0, 1.2).powi(2) / 1.44;
        let knuckle = 1.0 + 0.09 * (-((back - 3.2) / 0.9).powi(2)).exp();
        let radius = r * taper * knuckle;
        if off >= radius {
            return None;
        }
        let nail = ((across / (0.58 * r)).powi(4) + ((back - 0.15) / 0.85).powi(4)).min(2.0);
        let nail = (1.6 - 1.6 * nail).clamp(0.0, 1.0);
        let rise = 0.10 * (length - along).max(0.0);
        let z = thumb.base + rise + 0.6 + (radius * radius - off * off).sqrt() * 0.8;
        Some(Spot { z, matter: Matter::Thumb { nail } })
    }

    /// The point of a page's paper `u` mm from the gutter along it and `v` mm from the head.
    pub fn paper(&self, right: bool, u: f32, v: f32) -> [f32; 3] {
        let p = if right { &self.right } else { &self.left };
        let i = p.arc.partition_point(|a| *a < u).clamp(1, p.arc.len() - 1);
        let (a, b) = (p.arc[i - 1], p.arc[i]);
        let x = ((i - 1) as f32 + ((u - a) / (b - a)).clamp(0.0, 1.0)) * STEP;
        let z = Profile::at(&p.z, x) + self.corner(p, x, v);
        [if right { x } else { -x }, v, z]
    }

    /// What is seen from above at x, y.
    pub fn spot(&self, x: f32, y: f32) -> Spot {
        let mut spot = self.page(x, y).unwrap_or_else(|| self.ground(x, y));
        if let Some((at, out)) = self.ribbon
            && (x - at).abs() < 6.0
        {
            let middle = at + 1.6 * (y * 0.021).sin() + 0.8 * (y * 0.007 + 1.0).sin();
            let across = (x - middle) / 3.2;
            if across.abs() < 1.0 && y < self.height + out && y > -2.0 {
                spot = Spot { z: spot.z + 0.4, matter: Matter::Ribbon { across } };
            }
        }
        if let Some((thumb, length)) = &self.thumb
            && let Some(finger) = self.finger(thumb, *length, x, y)
        {
            spot = finger;
        }
        spot
    }
}
