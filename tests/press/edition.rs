//! An invented edition: from an outline, a page for every place.
//!
//! Lengths are drawn around the outline's typical ones; sections begin on a right-hand page,
//! prefaces on a left-hand one (they fill an opening); the front matter counts in roman numbers,
//! or the arabic count runs through.

use crate::random::Random;
use vitta::book::{Outline, OutlinePlace};
use vitta::language::Language;
use vitta::place::Place;

/// A place of the edition.
#[derive(Debug, Clone)]
pub struct Placed {
    /// Its address.
    pub place: Place,
    /// Depth of its heading in the outline.
    pub level: u8,
    /// Title in the edition's language.
    pub title: String,
    /// Page label.
    pub page: String,
    /// `March 19`, where the outline has it.
    pub day: Option<String>,
}

/// A whole invented book.
#[derive(Debug, Clone)]
pub struct Edition {
    /// Its name.
    pub name: String,
    /// What the numbers are drawn from.
    pub seed: u64,
    /// Language of the titles.
    pub language: Language,
    /// Pages before arabic page 1: leaf order = page + offset, even leaves on the left.
    pub offset: i32,
    /// Places in the order of the book.
    pub places: Vec<Placed>,
}

/// How an edition counts and how generous it is.
#[derive(Debug, Clone, Copy)]
pub struct Habit {
    /// Pages for each typical page of the outline.
    pub scale: f64,
    /// Whether the front matter has roman numbers of its own.
    pub roman: bool,
    /// Share of the small places that it leaves out.
    pub omits: f32,
}

/// A number in small roman figures.
pub fn roman(mut n: u32) -> String {
    const STEPS: [(u32, &str); 13] = [
        (1000, "m"),
        (900, "cm"),
        (500, "d"),
        (400, "cd"),
        (100, "c"),
        (90, "xc"),
        (50, "l"),
        (40, "xl"),
        (10, "x"),
        (9, "ix"),
        (5, "v"),
        (4, "iv"),
        (1, "i"),
    ];
    let mut out = String::new();
    for (value, figure) in STEPS {
        while n >= value {
            out.push_str(figure);
            n -= value;
        }
    }
    out
}

/// Moves on to the next leaf side of the wanted parity (1 right-hand, 0 left-hand).
fn turn_to(position: f64, parity: i64) -> f64 {
    let next = position.ceil() as i64;
    (if next % 2 == parity { next } else { next + 1 }) as f64
}

fn start(place: &str, level: u8, position: f64) -> f64 {
    if level == 1 && place != "front" {
        return turn_to(position, 1);
    }
    let preface = place.starts_with("order/preface/");
    let prayer = place.starts_with("order/prayer/");
    let great = ["order/preface-dialogue", "order/communion", "time/triduum/vigil"];
    if preface || prayer {
        return turn_to(position, 0);
    }
    if level == 2 || great.contains(&place) { position.ceil() } else { position }
}

impl Edition {
    /// Draws an edition of `outline`.
    pub fn draw(
        name: &str,
        outline: &Outline,
        language: Language,
        habit: Habit,
        seed: u64,
    ) -> Edition {
        let mut random = Random::new(seed, "edition");
        let mut places = Vec::new();
        // Front matter begins on page v, after two title leaves.
        let mut position: f64 = 5.0;
        let mut offset = 0;
        for entry in &outline.places {
            let place = entry.place.as_str();
            let small = entry.level >= 3 && entry.pages > 0.0 && !place.starts_with("time/");
            if !entry.nations.is_empty() || (small && random.chance(habit.omits)) {
                continue;
            }
            if place == "time" && habit.roman {
                offset = turn_to(position, 0) as i32;
                position = f64::from(offset) + 1.0;
            }
            position = start(place, entry.level, position);
            let number = position.floor() as i32 - offset;
            let front = habit.roman && place.starts_with("front");
            let page = if front { roman(number as u32) } else { number.to_string() };
            places.push(Placed {
                place: entry.place.clone(),
                level: entry.level,
                title: entry.title.get(language).to_owned(),
                page,
                day: entry.month_day.clone(),
            });
            let spread = (1.0 + 0.22 * f64::from(random.normal())).clamp(0.55, 1.8);
            position += entry.pages * habit.scale * spread;
        }
        Edition { name: name.to_owned(), seed, language, offset, places }
    }

    /// An edition whose pages were drawn before and are kept in a page map, so that the outline's
    /// lengths may be bettered without moving them. Places that the map does not have are not in it.
    pub fn kept(name: &str, outline: &Outline, map: &serde_json::Value, seed: u64) -> Edition {
        let page = |place: &Place| map["pages"][place.as_str()].as_str().map(str::to_owned);
        let placed = |entry: &OutlinePlace| {
            Some(Placed {
                place: entry.place.clone(),
                level: entry.level,
                title: entry.title.en.clone(),
                page: page(&entry.place)?,
                day: entry.month_day.clone(),
            })
        };
        Edition {
            name: name.to_owned(),
            seed,
            language: Language::En,
            offset: map["offset"].as_i64().unwrap_or(0) as i32,
            places: outline.places.iter().filter_map(placed).collect(),
        }
    }

    /// Its language's ISO 639-1 code.
    pub fn code(&self) -> &'static str {
        match self.language {
            Language::En => "en",
            Language::Es => "es",
            Language::La => "la",
        }
    }

    /// The places at or under `prefix`.
    pub fn under(&self, prefix: &str) -> Vec<Placed> {
        self.places.iter().filter(|p| p.place.is_under(prefix)).cloned().collect()
    }
}
