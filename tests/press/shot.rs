//! How a photograph is taken: from a grade and a seed, the lie of the book, light, camera, lens.

use crate::camera::Stand;
use crate::film::Faults;
use crate::random::Random;
use crate::scene::{Light, Shade, Stuff};
use crate::sheet::{Landscape, Lie, Thumb};

/// How hard a picture is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Grade {
    /// A scanner: flat, even light.
    Flat,
    /// A careful photograph in good light.
    Mild,
    /// A usual telephone photograph.
    Usual,
    /// Curl, tilt, shadow, blur, a thumb.
    Hard,
}

impl Grade {
    /// All of them, easiest first, as often as a corpus shows them.
    pub const MIX: [Grade; 6] =
        [Grade::Flat, Grade::Mild, Grade::Usual, Grade::Hard, Grade::Usual, Grade::Hard];

    /// Its name in the manifest.
    pub fn name(self) -> &'static str {
        match self {
            Grade::Flat => "flat",
            Grade::Mild => "mild",
            Grade::Usual => "usual",
            Grade::Hard => "hard",
        }
    }

    /// 0 for a scan, 1 for the hardest.
    fn hardness(self) -> f32 {
        [0.0, 0.25, 0.6, 1.0][self as usize]
    }
}

/// Which pages are wanted in the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Framing {
    /// One page, the left or the right.
    One { right: bool },
    /// The whole opening.
    Both,
}

/// Everything drawn for one photograph.
#[derive(Debug)]
pub struct Shot {
    /// The book.
    pub land: Landscape,
    /// The light.
    pub light: Light,
    /// The surfaces.
    pub stuff: Stuff,
    /// The camera.
    pub stand: Stand,
    /// Lens and sensor.
    pub faults: Faults,
    /// Size of the picture in pixels.
    pub size: (u32, u32),
    /// Quarter turns clockwise that make the stored picture upright.
    pub turns: u32,
    /// Whether EXIF keeps silent about them.
    pub silent: bool,
}

/// What comes into a picture that a careful photographer keeps out of it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Intrusion {
    /// This much of the facing page, mm.
    pub strip: Option<f32>,
    /// A thumb that reaches this much further over the print, mm.
    pub thumb: Option<f32>,
    /// A ribbon over the print, at this share of the page's width from the gutter.
    pub ribbon: Option<f32>,
    /// This share of the page is cut off at head or foot.
    pub crop: Option<f32>,
}

/// Where the opening lies in the book and how large the picture is.
#[derive(Debug, Clone, Copy)]
pub struct Order {
    /// How hard.
    pub grade: Grade,
    /// What is framed.
    pub framing: Framing,
    /// Width and height of a page, mm.
    pub page: (f32, f32),
    /// How far through the book, 0–1.
    pub through: f32,
    /// Long side of the picture, pixels.
    pub long_side: u32,
    /// Seed of this photograph.
    pub seed: u64,
    /// Seed of the copy: its paper, boards, ribbon and the table it lies on.
    pub copy: u64,
    /// What else comes into the picture.
    pub over: Intrusion,
}

fn lie(random: &mut Random, hard: f32, stack: f32) -> Lie {
    Lie {
        stack,
        dip: random.between(0.3, 0.5) + 0.2 * hard * random.unit(),
        reach: random.between(6.0, 9.0) + 9.0 * hard * random.unit(),
        swell: random.between(0.5, 2.0) + hard * random.between(0.5, 4.5),
        droop: random.between(0.0, 2.0) + hard * random.between(0.0, 4.0),
        corner: if random.chance(0.5) { hard * random.between(0.0, 7.0) } else { 0.0 },
    }
}

fn light(random: &mut Random, hard: f32, page: (f32, f32), side: f32) -> Light {
    // From above the reader's shoulder or a window at the side; lower lamps make uneven light.
    let away = random.between(500.0, 900.0) - 200.0 * hard;
    let bearing = random.between(-2.9, -0.2);
    let height = random.between(650.0, 1000.0) - 300.0 * hard;
    let lamp = [
        side * page.0 / 2.0 + away * bearing.cos(),
        page.1 / 2.0 + away * bearing.sin() * 0.8,
        height,
    ];
    let warm = random.between(0.15, 0.55) + 0.3 * hard * random.unit();
    let share = random.between(0.45, 0.62) + 0.2 * hard;
    let colour = [share, share * (1.0 - 0.22 * warm), share * (1.0 - 0.55 * warm)];
    let rest = 1.0 - share;
    let room = [rest * 0.97, rest, rest * random.between(0.95, 1.08)];
    let shade = random.chance(0.25 + 0.6 * hard).then(|| Shade {
        middle: (side * page.0 * random.between(0.0, 1.0), page.1 * random.between(0.55, 1.25)),
        half: (random.between(30.0, 70.0), random.between(50.0, 120.0)),
        turn: random.between(-0.8, 0.8),
        soft: random.between(50.0, 110.0) - 25.0 * hard,
        dark: random.between(0.25, 0.5) + 0.2 * hard,
    });
    Light { lamp, colour, room, shade }
}

fn stuff(random: &mut Random, hard: f32) -> Stuff {
    let tables = [
        ([0.23, 0.12, 0.06], true),
        ([0.36, 0.23, 0.12], true),
        ([0.10, 0.06, 0.04], true),
        ([0.62, 0.60, 0.55], false),
        ([0.20, 0.21, 0.24], false),
        ([0.05, 0.16, 0.10], false),
    ];
    let covers = [[0.20, 0.02, 0.03], [0.03, 0.03, 0.04], [0.04, 0.07, 0.16], [0.14, 0.07, 0.03]];
    let edges = [[0.72, 0.52, 0.20], [0.74, 0.69, 0.58], [0.55, 0.10, 0.08]];
    let ribbons = [[0.52, 0.03, 0.05], [0.55, 0.40, 0.06], [0.03, 0.12, 0.36], [0.05, 0.26, 0.10]];
    let skins = [[0.62, 0.38, 0.28], [0.45, 0.25, 0.17], [0.24, 0.12, 0.08], [0.70, 0.46, 0.36]];
    let (table, wood) = *random.pick(&tables);
    Stuff {
        paper: [0.86, random.between(0.80, 0.85), random.between(0.68, 0.80)],
        age: hard * random.between(0.0, 0.7),
        through: random.between(0.02, 0.07) + hard * random.between(0.0, 0.09),
        edge: *random.pick(&edges),
        cover: *random.pick(&covers),
        table,
        wood,
        ribbon: *random.pick(&ribbons),
        skin: *random.pick(&skins),
        gloss: hard * random.between(0.0, 0.06),
        seed: random.bits(),
    }
}

fn faults(random: &mut Random, grade: Grade) -> Faults {
    let hard = grade.hardness();
    let motion =
        if random.chance(hard * 0.5) { random.between(1.5, 1.5 + 2.2 * hard) } else { 0.0 };
    let bearing = random.between(0.0, std::f32::consts::PI);
    Faults {
        blur: random.between(0.45, 0.65) + hard * random.between(0.0, 0.55),
        defocus: hard * random.between(0.0, 1.1),
        focus: random.between(0.2, 0.8),
        motion: (motion * bearing.cos(), motion * bearing.sin()),
        noise: 0.008 + hard * random.between(0.006, 0.03),
        vignette: random.between(0.05, 0.12) + hard * 0.15 * random.unit(),
        sharpen: random.between(0.4, 1.1),
        exposure: random.between(0.68, 0.88) - 0.2 * hard * random.unit(),
        quality: random.between(90.0 - 24.0 * hard, 93.0 - 16.0 * hard) as u8,
        grey: false,
    }
}

/// A thumb on the margin: from the fore-edge or the tail, its tip short of the print.
fn thumb(random: &mut Random, land: &Landscape, right: bool, further: f32) -> Thumb {
    let side = if right { 1.0 } else { -1.0 };
    let edge = land.fore_edge(right);
    let radius = random.between(9.0, 11.5);
    let base = |tip: (f32, f32)| land.spot(tip.0 - side * 6.0, tip.1 - 8.0).z;
    if random.chance(0.5) {
        let y = land.height * random.between(0.45, 0.8);
        let tip = (edge - side * (further + random.between(1.0, 5.0)), y);
        let root = (tip.0 + side * 75.0, tip.1 + random.between(25.0, 60.0));
        return Thumb { root, tip, radius, base: base(tip) };
    }
    let tip = (edge * random.between(0.45, 0.85), land.height - further - random.between(2.0, 6.0));
    let root = (tip.0 + side * random.between(10.0, 40.0), tip.1 + 80.0);
    Thumb { root, tip, radius, base: base(tip) }
}

/// The frame with the share of the page cut off that `order` says, at the head or at the foot.
fn cropped([left, top, right, bottom]: [f32; 4], order: &Order) -> [f32; 4] {
    let h = order.page.1;
    match order.over.crop {
        Some(share) if order.seed.is_multiple_of(2) => [left, h * share, right, bottom],
        Some(share) => [left, top, right, h * (1.0 - share)],
        None => [left, top, right, bottom],
    }
}

fn stand(random: &mut Random, order: &Order, land: &Landscape) -> Stand {
    let hard = order.grade.hardness();
    let (w, h) = order.page;
    let tilt = 4.0 + 22.0 * hard;
    let slack = 2.0 + 12.0 * random.unit();
    let facing = random.between(6.0, 14.0) + hard * random.between(0.0, 26.0);
    let facing = order.over.strip.unwrap_or(facing);
    let (left, right) = match order.framing {
        Framing::Both => (land.fore_edge(false) - slack, land.fore_edge(true) + slack),
        Framing::One { right: true } => (-facing, land.fore_edge(true) + slack),
        Framing::One { right: false } => (land.fore_edge(false) - slack, facing),
    };
    Stand {
        distance: random.between(430.0, 560.0)
            * (h / 270.0)
            * if order.framing == Framing::Both { 1.35 } else { 1.0 },
        pitch: random.between(0.25, 1.0) * tilt,
        yaw: random.sign() * random.between(0.0, 0.65) * tilt,
        roll: random.sign() * random.between(0.2, 1.2 + 4.0 * hard),
        barrel: random.between(-0.012, 0.018),
        frame: cropped(
            [left, -slack * random.between(0.4, 1.3), right, h + slack * random.between(0.6, 1.6)],
            order,
        ),
        level: land.spot(if left + right < 0.0 { -w / 2.0 } else { w / 2.0 }, h / 2.0).z,
    }
}

/// Draws a photograph.
pub fn draw(order: &Order) -> Shot {
    if order.grade == Grade::Flat {
        return scan(order);
    }
    let mut random = Random::new(order.seed, "shot");
    let hard = order.grade.hardness();
    let block = random.between(26.0, 42.0);
    let stacks = (1.0 + block * order.through, 1.0 + block * (1.0 - order.through));
    let (left, right) = (lie(&mut random, hard, stacks.0), lie(&mut random, hard, stacks.1));
    let mut land = Landscape::book(order.page.0, order.page.1, left, right);
    let on_right = order.framing != Framing::One { right: false };
    let side = if on_right { 1.0 } else { -1.0 };
    if random.chance(0.15 + 0.5 * hard) || order.over.thumb.is_some() {
        let further = order.over.thumb.unwrap_or(0.0);
        let thumb = thumb(&mut random, &land, on_right, further);
        land.hold(thumb);
    }
    if let Some(across) = order.over.ribbon {
        land.lay_ribbon(side * across * order.page.0, random.between(20.0, 60.0));
    } else if random.chance(0.6) {
        land.lay_ribbon(-side * random.between(3.0, 9.0), random.between(20.0, 60.0));
    }
    let stand = stand(&mut random, order, &land);
    let light = light(&mut random, hard, order.page, side);
    let stuff = stuff(&mut Random::new(order.copy, "copy"), hard);
    let faults = faults(&mut random, order.grade);
    let [l, t, r, b] = stand.frame;
    // Telephones store 3:4; a narrower frame leaves table on both sides.
    let upright = (b - t) >= (r - l);
    let short = order.long_side * 3 / 4;
    let size = if upright { (short, order.long_side) } else { (order.long_side, short) };
    let turns = if random.chance(0.25) { 1 + random.index(3) as u32 } else { 0 };
    let silent = turns > 0 && random.chance(0.15 * hard);
    Shot { land, light, stuff, stand, faults, size, turns, silent }
}

fn scan(order: &Order) -> Shot {
    let mut random = Random::new(order.seed, "scan");
    let land = Landscape::leaf(order.page.0, order.page.1);
    let (w, h) = order.page;
    let light =
        Light { lamp: [w / 2.0, h / 2.0, 9000.0], colour: [0.7; 3], room: [0.3; 3], shade: None };
    let stuff = Stuff {
        table: [0.9; 3],
        wood: false,
        gloss: 0.0,
        ..stuff(&mut Random::new(order.copy, "copy"), 0.0)
    };
    let stand = Stand {
        distance: 6000.0,
        pitch: 0.0,
        yaw: 0.0,
        roll: random.between(-1.2, 1.2),
        barrel: 0.0,
        frame: [-1.0, -2.0, w + 2.0, h + 2.0],
        level: 0.0,
    };
    let faults = Faults {
        blur: random.between(0.4, 0.6),
        noise: 0.005,
        vignette: 0.0,
        exposure: random.between(0.82, 0.95),
        motion: (0.0, 0.0),
        defocus: 0.0,
        quality: 88,
        grey: random.chance(0.5),
        ..faults(&mut random, Grade::Flat)
    };
    let long = order.long_side;
    let size = ((long as f32 * w / h) as u32, long);
    Shot { land, light, stuff, stand, faults, size, turns: 0, silent: false }
}
