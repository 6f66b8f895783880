//! Simulated editions: an outline printed with random lengths, its lists read with errors.
//!
//! The generator knows nothing of the model it tests: lengths are log-normal around a scale drawn for
//! each section and level, texts run on or start new pages, sections may be moved, and the reader
//! misreads digits, letters and rows at given rates.

use std::collections::HashMap;
use vitta::book::{Label, Outline, OutlinePlace};
use vitta::geom::Rect;
use vitta::language::Language;
use vitta::place::Place;
use vitta::text::{Alternative, Reading, Row, Strip};

/// A small repeatable generator (SplitMix64, Steele, Lea and Flood, OOPSLA 2014, figure 15).
pub struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Uniform in 0..1.
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn chance(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    pub fn below(&mut self, end: usize) -> usize {
        (self.unit() * end as f64) as usize
    }

    /// Normal with mean 0 and deviation 1 (Box and Muller, 1958).
    pub fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.unit(), self.unit());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// How an edition is printed and read.
#[derive(Clone, Copy)]
pub struct Habits {
    /// Deviation of the logarithm of the scale of a section's headings of one level.
    pub scale_spread: f64,
    /// Deviation of the logarithm of a single text's length.
    pub length_spread: f64,
    /// Share of texts longer than half a page that start a new page.
    pub new_page: f64,
    /// Whether the later sections stand in another order.
    pub permuted: bool,
    /// Share of numbers with a misread digit.
    pub digit_errors: f64,
    /// Share of letters misread.
    pub letter_errors: f64,
    /// Share of rows that are not read at all.
    pub lost_rows: f64,
}

pub const USUAL: Habits = Habits {
    scale_spread: 0.2,
    length_spread: 0.25,
    new_page: 0.5,
    permuted: false,
    digit_errors: 0.03,
    letter_errors: 0.01,
    lost_rows: 0.02,
};

/// Read without an error.
pub const EXACT: Habits = Habits { digit_errors: 0.0, letter_errors: 0.0, lost_rows: 0.0, ..USUAL };

/// A printed edition: the page of each place.
pub struct Edition {
    pub pages: HashMap<Place, u32>,
    /// Length of each place, in pages, before its own chance.
    pub expected: HashMap<Place, f64>,
    pub order: Vec<&'static OutlinePlace>,
}

/// Nations whose propers one English edition prints: a book is made for one conference of bishops, or
/// for none (common practice).
const EDITIONS: [&[&str]; 8] =
    [&[], &["us"], &["ie"], &["gb-eng", "gb-wls"], &["gb-sct"], &["au", "nz"], &["ca"], &["in"]];

/// Share of sections that open on the second right-hand page from where the text before them ends.
pub const OPENS: f64 = 0.7;
/// Texts longer than this may begin a new page.
pub const BREAKABLE: f64 = 0.5;
/// So far down a page a text still begins at its head.
pub const NEAR_THE_HEAD: f64 = 0.15;
/// Room that a heading takes.
pub const LEAST_LENGTH: f64 = 0.05;

/// Sections that some books print in another order.
const MOVABLE: [&str; 5] = ["common", "ritual", "needs", "votive", "dead"];

impl Edition {
    pub fn print(habits: &Habits, dice: &mut Dice) -> Self {
        let outline = Outline::shipped("roman-missal-3").unwrap();
        let nations = EDITIONS[dice.below(EDITIONS.len())];
        let printed = |p: &OutlinePlace| {
            p.nations.is_empty() || p.nations.iter().any(|n| nations.contains(&n.as_str()))
        };
        let body = |p: &&OutlinePlace| !p.place.is_under("front") && printed(p);
        let mut order: Vec<&OutlinePlace> = outline.places.iter().filter(body).collect();
        if habits.permuted {
            order = permuted(order, dice);
        }
        let whole = (0.15 * dice.normal()).exp();
        let mut scales: HashMap<String, f64> = HashMap::new();
        let mut pages = HashMap::new();
        let mut expected = HashMap::new();
        let mut position = 1.0;
        let mut headed = false;
        for place in &order {
            let section = place.place.as_str().split('/').next().unwrap();
            if place.level == 1 && dice.chance(OPENS) {
                position = f64::floor(position / 2.0) * 2.0 + 3.0;
            }
            let kind = format!("{section} {}", place.level);
            let scale = *scales
                .entry(kind)
                .or_insert_with(|| whole * (habits.scale_spread * dice.normal()).exp());
            expected.insert(place.place.clone(), place.pages * scale);
            let length = place.pages * scale * (habits.length_spread * dice.normal()).exp();
            // A heading stands over its text, so the page is broken before the heading or not at all.
            let heading = place.pages == 0.0;
            if !headed && (heading || length > BREAKABLE) && dice.chance(habits.new_page) {
                position = f64::ceil(position - NEAR_THE_HEAD);
            }
            headed = heading;
            pages.insert(place.place.clone(), position as u32);
            position += length.max(LEAST_LENGTH);
        }
        Edition { pages, expected, order }
    }

    pub fn page(&self, place: &Place) -> Option<u32> {
        self.pages.get(place).copied()
    }

    /// The list of the places that `listed` picks, in page order, as read from photograph `file`.
    pub fn list(
        &self,
        file: &str,
        habits: &Habits,
        dice: &mut Dice,
        listed: impl Fn(&OutlinePlace) -> bool,
    ) -> Reading {
        let places: Vec<&OutlinePlace> = self.order.iter().copied().filter(|p| listed(p)).collect();
        self.rows(file, places, habits, dice)
    }

    /// The alphabetical index of the places that `listed` picks.
    pub fn index(
        &self,
        file: &str,
        habits: &Habits,
        dice: &mut Dice,
        listed: impl Fn(&OutlinePlace) -> bool,
    ) -> Reading {
        let mut places: Vec<&OutlinePlace> =
            self.order.iter().copied().filter(|p| listed(p)).collect();
        places.sort_by_key(|p| p.title.en.trim_start_matches("The ").to_owned());
        self.rows(file, places, habits, dice)
    }

    fn rows(
        &self,
        file: &str,
        places: Vec<&OutlinePlace>,
        habits: &Habits,
        dice: &mut Dice,
    ) -> Reading {
        let mut rows = Vec::new();
        for (i, place) in places.iter().enumerate() {
            if dice.chance(habits.lost_rows) {
                continue;
            }
            let page = self.pages[&place.place];
            let title = misspell(place.title.get(Language::En), habits.letter_errors, dice);
            rows.push(row(file, i, &title, place.level, &page.to_string(), habits, dice));
        }
        Reading { file: file.into(), rows, crossrefs: Vec::new(), notices: Vec::new() }
    }
}

/// Moves the sections that may move, by exchanging two of them.
fn permuted(order: Vec<&'static OutlinePlace>, dice: &mut Dice) -> Vec<&'static OutlinePlace> {
    let mut sections: Vec<&str> = MOVABLE.to_vec();
    let (a, b) = (dice.below(5), dice.below(5));
    sections.swap(a, b);
    let of = |section: &str| -> Vec<&'static OutlinePlace> {
        order.iter().copied().filter(|p| p.place.is_under(section)).collect()
    };
    let first = order.iter().position(|p| p.place.is_under(MOVABLE[0])).unwrap();
    let moved: Vec<_> = sections.iter().flat_map(|s| of(s)).collect();
    let end = first + moved.len();
    [&order[..first], &moved, &order[end..]].concat()
}

/// A read row: sometimes a digit is wrong, and the reader is less sure of it then, but not always.
fn row(
    file: &str,
    line: usize,
    title: &str,
    level: u8,
    page: &str,
    habits: &Habits,
    dice: &mut Dice,
) -> Row {
    let read = if dice.chance(habits.digit_errors) { misread(page, dice) } else { page.to_owned() };
    let wrong = read != page;
    // The reader notices two thirds of its errors, and suspects a tenth of what it read rightly.
    let suspects = dice.chance(if wrong { 0.67 } else { 0.1 });
    let probability = if suspects { 0.75 } else { 0.985 };
    let second = if wrong { page.to_owned() } else { misread(page, dice) };
    let alternatives = vec![
        Alternative { page: read.clone(), weight: probability },
        Alternative { page: second, weight: if suspects { 0.2 } else { 0.005 } },
    ];
    Row {
        title: title.to_owned(),
        page: Some(read),
        pages: Vec::new(),
        level,
        column: 1,
        alternatives,
        probability,
        doubt: suspects,
        strip: strip(file, line),
    }
}

fn strip(file: &str, line: usize) -> Strip {
    let top = 40 * line as i32;
    Strip { photo: file.into(), area: Rect { left: 0, top, right: 800, bottom: top + 36 } }
}

/// One digit taken for another, lost or doubled.
pub fn misread(page: &str, dice: &mut Dice) -> String {
    let mut digits: Vec<u8> = page.bytes().collect();
    let at = dice.below(digits.len());
    match dice.below(10) {
        0 if digits.len() > 1 => {
            digits.remove(at);
        }
        1 => digits.insert(at, digits[at]),
        _ => digits[at] = confused(digits[at], dice),
    }
    let text = String::from_utf8(digits).unwrap();
    match Label::parse(&text) {
        Some(label) if text != page => label.to_string(),
        _ => misread(page, dice),
    }
}

/// One digit taken for another.
pub fn misread_digit(page: &str, dice: &mut Dice) -> String {
    let mut digits: Vec<u8> = page.bytes().collect();
    let at = dice.below(digits.len());
    digits[at] = confused(digits[at], dice);
    let text = String::from_utf8(digits).unwrap();
    if text.starts_with('0') { misread_digit(page, dice) } else { text }
}

/// A digit of like shape three times in four, any other otherwise (from memory of optical readers).
fn confused(digit: u8, dice: &mut Dice) -> u8 {
    let like = match digit {
        b'0' => "689",
        b'1' => "74",
        b'2' => "37",
        b'3' => "85",
        b'4' => "91",
        b'5' => "63",
        b'6' => "85",
        b'7' => "12",
        b'8' => "36",
        _ => "40",
    };
    let any = b'0' + dice.below(10) as u8;
    let close = like.as_bytes()[dice.below(like.len())];
    let read = if dice.chance(0.75) { close } else { any };
    if read == digit { confused(digit, dice) } else { read }
}

fn misspell(title: &str, rate: f64, dice: &mut Dice) -> String {
    let letters = "etaoinsrhl1I.";
    title
        .chars()
        .map(|c| {
            let wrong = c.is_alphabetic() && dice.chance(rate);
            if wrong { letters.chars().nth(dice.below(letters.len())).unwrap() } else { c }
        })
        .collect()
}

/// The general contents: sections and their parts.
pub fn general(place: &OutlinePlace) -> bool {
    place.level <= 2
}

/// The list of prefaces.
pub fn prefaces(place: &OutlinePlace) -> bool {
    place.place.is_under("order/preface") || place.place.as_str().contains("/preface")
}

/// Everything with a text of its own.
pub fn formularies(place: &OutlinePlace) -> bool {
    place.level >= 3 || place.pages > 0.0
}

/// What an index of celebrations names.
pub fn celebrations(place: &OutlinePlace) -> bool {
    place.level == 3 && (place.place.is_under("saints") || place.place.is_under("time"))
}
