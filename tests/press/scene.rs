//! Light on the landscape: what the camera's film receives, in linear light, bare of all faults of
//! lens and sensor.

use crate::camera::{Camera, Stand, Vec3, along, dot, unit};
use crate::film::Film;
use crate::print::Print;
use crate::random::{clouds, noise};
use crate::sheet::{Landscape, Matter, Spot};
use rayon::prelude::*;

/// The lamp, the window and what stands between.
#[derive(Debug, Clone, Copy)]
pub struct Light {
    /// Where the lamp is, mm.
    pub lamp: Vec3,
    /// Its colour and strength at the middle of the page.
    pub colour: Vec3,
    /// Colour and strength of the light from all sides.
    pub room: Vec3,
    /// A hand or telephone before the lamp: middle, half size, softness (mm) and darkness 0–1.
    pub shade: Option<Shade>,
}

/// A soft shadow with a straight edge and rounded end.
#[derive(Debug, Clone, Copy)]
pub struct Shade {
    /// Middle on the page.
    pub middle: (f32, f32),
    /// Half width and half height.
    pub half: (f32, f32),
    /// Turn, radians.
    pub turn: f32,
    /// Width of the half-shadow.
    pub soft: f32,
    /// Share of the light that it takes.
    pub dark: f32,
}

impl Shade {
    fn lets_through(&self, x: f32, y: f32) -> f32 {
        let (s, c) = self.turn.sin_cos();
        let (dx, dy) = (x - self.middle.0, y - self.middle.1);
        let (a, b) = ((dx * c + dy * s).abs(), (dy * c - dx * s).abs());
        let out = (a - self.half.0).max(0.0).hypot((b - self.half.1).max(0.0));
        let t = (1.0 - out / self.soft).clamp(0.0, 1.0);
        1.0 - self.dark * t * t * (3.0 - 2.0 * t)
    }
}

/// Surfaces.
#[derive(Debug, Clone, Copy)]
pub struct Stuff {
    /// Colour of the paper.
    pub paper: Vec3,
    /// How yellow its margins are, 0–1.
    pub age: f32,
    /// How much of the print of the other side comes through, 0–1.
    pub through: f32,
    /// Colour of the cut edges.
    pub edge: Vec3,
    /// Colour of the boards.
    pub cover: Vec3,
    /// Colour of the table.
    pub table: Vec3,
    /// Whether the table is wood (else cloth).
    pub wood: bool,
    /// Colour of the ribbon.
    pub ribbon: Vec3,
    /// Colour of skin.
    pub skin: Vec3,
    /// Reflection of the lamp on the paper, 0–1.
    pub gloss: f32,
    /// Seed of all grain.
    pub seed: u64,
}

/// Everything before the camera.
#[derive(Debug)]
pub struct Scene {
    /// The book.
    pub land: Landscape,
    /// What is printed on the left and on the right page.
    pub prints: [Print; 2],
    /// What is printed on the backs of these leaves.
    pub backs: [Print; 2],
    /// The light.
    pub light: Light,
    /// The surfaces.
    pub stuff: Stuff,
}

/// Where a ray ended.
#[derive(Debug, Clone, Copy)]
struct Hit {
    at: Vec3,
    spot: Spot,
    /// Distance from the camera.
    far: f32,
}

fn times(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] * b[0], a[1] * b[1], a[2] * b[2]]
}

fn scaled(a: Vec3, k: f32) -> Vec3 {
    [a[0] * k, a[1] * k, a[2] * k]
}

impl Scene {
    /// Exposes the scene on a film of `size` pixels, with four rays a pixel.
    pub fn expose(&self, stand: &Stand, size: (u32, u32)) -> Film {
        let camera = Camera::aim(stand, size);
        let mut film = Film::new(size.0, size.1);
        let width = size.0 as usize;
        film.light
            .par_chunks_mut(width)
            .zip(film.depth.par_chunks_mut(width))
            .enumerate()
            .for_each(|(y, (row, depths))| {
                let mut near = None;
                for (x, (light, depth)) in row.iter_mut().zip(depths).enumerate() {
                    (*light, *depth) = self.pixel(&camera, size, (x as f32, y as f32), near);
                    near = Some(*depth);
                }
            });
        film
    }

    /// Light and depth of one pixel; `near` is the depth of the one beside it.
    fn pixel(
        &self,
        camera: &Camera,
        size: (u32, u32),
        at: (f32, f32),
        near: Option<f32>,
    ) -> (Vec3, f32) {
        let rays = [(0.375, 0.125), (0.875, 0.375), (0.125, 0.625), (0.625, 0.875)]
            .map(|(dx, dy)| camera.ray(at.0 + dx, at.1 + dy, size));
        let first = self.strike(camera.eye, rays[0], near);
        let mut hits = [first; 4];
        for (hit, ray) in hits.iter_mut().zip(rays).skip(1) {
            *hit = self.strike(camera.eye, ray, Some(first.far));
        }
        let depth = hits.iter().map(|h| h.far).sum::<f32>() / 4.0;
        let same_page = |h: &Hit| matches!(h.spot.matter, Matter::Page { .. });
        let mut sum = [0.0; 3];
        if hits.iter().all(same_page) {
            // Light and grain of the paper change slowly: once for the pixel; the print four times.
            let (light, shine) = self.light_on(&first, rays[0]);
            let bare = self.bare_paper(&first.spot.matter);
            for hit in &hits {
                let colour = times(bare, self.print_on(&hit.spot.matter));
                sum = along(sum, along(times(colour, light), self.light.colour, shine), 0.25);
            }
            return (sum, depth);
        }
        for (hit, ray) in hits.iter().zip(rays) {
            let (light, shine) = self.light_on(hit, ray);
            let colour = self.colour(hit.at, hit.spot.matter);
            sum = along(sum, along(times(colour, light), self.light.colour, shine), 0.25);
        }
        (sum, depth)
    }

    /// Where a ray meets the landscape: steps down to the first point under the surface, then
    /// halves the last step. `near` is where a neighbouring ray met it.
    fn strike(&self, eye: Vec3, ray: Vec3, near: Option<f32>) -> Hit {
        let steep = (-ray[2]).max(0.05);
        let step = 1.6 / steep;
        let height = |t: f32| {
            let at = along(eye, ray, t);
            (at[2], self.land.spot(at[0], at[1]).z)
        };
        let top = (eye[2] - self.land.summit()) / steep;
        let mut above = near.map_or(top, |t| (t - 2.0 * step).max(top));
        let (z, mut ground) = height(above);
        if z < ground {
            above = top;
            ground = height(top).1;
        }
        let floor = eye[2] / steep;
        let mut under = above;
        while under < floor {
            under += step;
            let (z, below) = height(under);
            if z < below {
                break;
            }
            // Past an edge: the ray may have cut its corner between two steps.
            if (below - ground).abs() > 1.0
                && let Some(cut) = (1..16).map(|i| above + step * i as f32 / 16.0).find(|t| {
                    let (z, ground) = height(*t);
                    z < ground
                })
            {
                under = cut;
                break;
            }
            (above, ground) = (under, below);
        }
        for _ in 0..7 {
            let middle = (above + under) / 2.0;
            let (z, ground) = height(middle);
            if z < ground { under = middle } else { above = middle }
        }
        let at = along(eye, ray, under);
        let mut spot = self.land.spot(at[0], at[1]);
        let wall = spot.z - at[2] > 0.5;
        if wall && matches!(spot.matter, Matter::Page { .. } | Matter::Ribbon { .. }) {
            spot.matter = Matter::Edge { fore: false };
        }
        Hit { at, spot, far: under }
    }

    /// Whether nothing stands between the eye and a point of the paper.
    pub fn sees(&self, eye: Vec3, paper: Vec3) -> bool {
        let way = along(paper, eye, -1.0);
        let hit = self.strike(eye, unit(way), None);
        let miss = (hit.far - dot(way, way).sqrt()).abs();
        matches!(hit.spot.matter, Matter::Page { .. }) && miss < 2.0
    }

    fn normal(&self, at: Vec3, matter: Matter) -> Vec3 {
        if let Matter::Edge { fore: false } = matter {
            return [0.0, if at[1] > 10.0 { 1.0 } else { -1.0 }, 0.25];
        }
        let e = 0.3;
        let z = |dx: f32, dy: f32| self.land.spot(at[0] + dx, at[1] + dy).z;
        let limit = |d: f32| (d / (2.0 * e)).clamp(-4.0, 4.0);
        unit([limit(z(-e, 0.0) - z(e, 0.0)), limit(z(0.0, -e) - z(0.0, e)), 1.0])
    }

    /// Share of the lamp that is not hidden by book or thumb: the nearest miss sets the softness
    /// (after I. Quilez, "Soft shadows in raymarched SDFs", 2010).
    fn lit(&self, at: Vec3, towards: Vec3) -> f32 {
        let mut clear: f32 = 1.0;
        let summit = self.land.summit();
        let mut t = 1.2;
        while t < 90.0 {
            let p = along(at, towards, t);
            if p[2] > summit {
                break;
            }
            let gap = p[2] - self.land.spot(p[0], p[1]).z;
            clear = clear.min(0.5 + 9.0 * gap / t);
            t += 0.8 + t * 0.2;
        }
        clear.clamp(0.0, 1.0)
    }

    /// Light that falls on a point, and the share of the lamp that it mirrors.
    fn light_on(&self, hit: &Hit, ray: Vec3) -> (Vec3, f32) {
        let (at, matter) = (hit.at, hit.spot.matter);
        let normal = self.normal(at, matter);
        let reach = along(self.light.lamp, at, -1.0);
        let towards = unit(reach);
        let middle = [self.land.width / 2.0, self.land.height / 2.0, 0.0];
        let to_middle = along(self.light.lamp, middle, -1.0);
        let falloff = dot(to_middle, to_middle) / dot(reach, reach);
        let shade = self.light.shade.map_or(1.0, |s| s.lets_through(at[0], at[1]));
        let facing = dot(normal, towards).max(0.0) / unit(to_middle)[2].max(0.2);
        let lamp = facing * falloff * self.lit(along(at, normal, 0.3), towards) * shade;
        let sky = match matter {
            Matter::Page { .. } | Matter::Ribbon { .. } => self.land.sky(at[0]),
            Matter::Edge { .. } => 0.55,
            Matter::Cover | Matter::Table => self.near_book(at),
            Matter::Thumb { .. } => 0.5 + 0.4 * normal[2],
        };
        let room = sky * (0.6 + 0.4 * shade);
        let light = along(scaled(self.light.colour, lamp), self.light.room, room);
        let mirror = along(ray, normal, -2.0 * dot(ray, normal));
        let (gloss, sharp) = self.gloss(matter);
        (light, gloss * dot(mirror, towards).max(0.0).powf(sharp) * shade)
    }

    /// The table darkens beside the book.
    fn near_book(&self, at: Vec3) -> f32 {
        let dx = (at[0].abs() - self.land.width - 4.0).max(0.0);
        let dy = (at[1] - self.land.height - 4.0).max(-at[1] - 4.0).max(0.0);
        1.0 - 0.5 * (-dx.hypot(dy) / 14.0).exp()
    }

    fn gloss(&self, matter: Matter) -> (f32, f32) {
        match matter {
            Matter::Page { .. } => (self.stuff.gloss, 9.0),
            Matter::Thumb { nail } => (0.05 + 0.22 * nail, 18.0),
            Matter::Cover => (0.10, 14.0),
            Matter::Ribbon { .. } => (0.12, 8.0),
            Matter::Edge { .. } => (0.18, 6.0),
            Matter::Table => (0.03, 10.0),
        }
    }

    fn colour(&self, at: Vec3, matter: Matter) -> Vec3 {
        let stuff = &self.stuff;
        let seed = stuff.seed;
        match matter {
            Matter::Page { .. } => times(self.bare_paper(&matter), self.print_on(&matter)),
            Matter::Edge { fore } => {
                let layer = if fore { at[2] * 1.4 + at[1] * 0.004 } else { at[2] * 1.6 };
                let leaf = noise(seed ^ 3, at[0] * 0.01 + at[1] * 0.02, layer * 3.0);
                scaled(stuff.edge, 0.78 + 0.22 * leaf)
            }
            Matter::Cover => {
                let grain = noise(seed ^ 4, at[0] * 1.3, at[1] * 1.3);
                scaled(stuff.cover, 1.0 + 0.25 * grain)
            }
            Matter::Table if stuff.wood => {
                let bend = 9.0 * clouds(seed ^ 5, at[0] * 0.004, at[1] * 0.012);
                let ring = (at[1] * 0.16 + bend).sin();
                let fibre = noise(seed ^ 6, at[0] * 0.03, at[1] * 1.9);
                scaled(stuff.table, 0.82 + 0.12 * ring + 0.13 * fibre)
            }
            Matter::Table => {
                let weave = (at[0] * 4.4).sin() * (at[1] * 4.4).sin();
                let fold = clouds(seed ^ 7, at[0] * 0.011, at[1] * 0.009);
                scaled(stuff.table, 0.9 + 0.04 * weave + 0.09 * fold)
            }
            Matter::Thumb { nail } => {
                let crease = 0.05 * clouds(seed ^ 8, at[0] * 0.6, at[1] * 0.6);
                let pale = [0.16, 0.13, 0.12];
                along(scaled(stuff.skin, 1.0 + crease), pale, nail)
            }
            Matter::Ribbon { across } => {
                let weave = 0.06 * (at[1] * 7.0).sin() + 0.05 * noise(seed, at[0] * 3.0, at[1]);
                scaled(stuff.ribbon, 0.9 + weave - 0.35 * across.abs().powi(4))
            }
        }
    }

    /// The sheet itself: grain, yellowing, unevenness of the ink's hold.
    fn bare_paper(&self, matter: &Matter) -> Vec3 {
        let Matter::Page { u, v, .. } = *matter else { return self.stuff.paper };
        let stuff = &self.stuff;
        let grain = 0.012 * noise(stuff.seed, u * 3.1, v * 3.1)
            + 0.018 * clouds(stuff.seed ^ 1, u * 0.08, v * 0.08);
        let border = (self.land.width - u).min(v).min(self.land.height - v).max(0.0);
        let yellow = stuff.age * (0.35 + 0.65 * (-border / 16.0).exp());
        let sheet = [1.0 - 0.10 * yellow, 1.0 - 0.20 * yellow, 1.0 - 0.42 * yellow];
        scaled(times(stuff.paper, sheet), 1.0 + grain)
    }

    /// Share of the light that ink on both sides leaves.
    fn print_on(&self, matter: &Matter) -> Vec3 {
        let Matter::Page { right, u, v } = *matter else { return [1.0; 3] };
        let (side, width) = (usize::from(right), self.land.width);
        // The left page's picture has its gutter on the right.
        let x = if right { u } else { width - u };
        let ink = self.prints[side].at(x, v).map(|t| 0.035 + 0.965 * t.powf(2.4));
        let back = self.behind(side, width - x, v);
        times(ink, back.map(|t| 1.0 - self.stuff.through * (1.0 - t)))
    }

    /// The print on the back, blurred by the paper.
    fn behind(&self, side: usize, x: f32, v: f32) -> Vec3 {
        if self.stuff.through <= 0.0 {
            return [1.0; 3];
        }
        let mut sum = [0.0; 3];
        for (dx, dy) in [(-0.16, -0.1), (0.16, 0.1), (-0.1, 0.16), (0.1, -0.16)] {
            sum = along(sum, self.backs[side].at(x + dx, v + dy), 0.25);
        }
        sum
    }
}
