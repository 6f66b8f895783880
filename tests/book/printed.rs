//! What an unseen edition prints about itself, as rows of photographs: read perfectly, or misread as often as
//! the reader says.

use super::simulate::{Dice, misread};
use super::unseen::{Unseen, is_day_preface};
use vitta::book::{Label, OutlinePlace};
use vitta::geom::Rect;
use vitta::place::Place;
use vitta::text::{Alternative, Reading, Row, Strip};

/// One printed entry.
#[derive(Debug, Clone)]
pub struct Printed {
    pub title: String,
    /// None for a heading without page.
    pub page: Option<u32>,
    pub further: Vec<u32>,
    pub level: u8,
    pub place: Place,
}

/// One printed list.
pub struct List {
    pub name: &'static str,
    pub rows: Vec<Printed>,
}

/// All lists of an edition.
pub fn lists(edition: &Unseen) -> Vec<List> {
    let section = |name: &'static str, root: &'static str, skip: fn(&OutlinePlace) -> bool| {
        let under = |p: &&&OutlinePlace| p.place.is_under(root) && p.level > 1 && !skip(p);
        let places: Vec<&OutlinePlace> = edition.order.iter().filter(under).copied().collect();
        List { name, rows: indented(edition, &places) }
    };
    let none = |_: &OutlinePlace| false;
    vec![
        contents(edition),
        section(
            "time",
            "time",
            match edition.layout.day_prefaces {
                0 => none,
                _ => is_day_preface,
            },
        ),
        prefaces(edition),
        months(edition),
        section("commons", "common", none),
        section("blessings", "order/blessing", none),
        section("people", "order/people", none),
        section("ritual", "ritual", none),
        section("needs", "needs", none),
        section("votive", "votive", none),
        section("dead", "dead", none),
        section("appendix", "appendix", none),
        alphabet(edition),
    ]
}

fn entry(edition: &Unseen, place: &OutlinePlace, title: &str, level: u8) -> Printed {
    Printed {
        title: title.to_owned(),
        page: edition.page(&place.place),
        further: Vec::new(),
        level,
        place: place.place.clone(),
    }
}

/// Sections, their parts and the Eucharistic Prayers.
fn contents(edition: &Unseen) -> List {
    let wanted = |p: &&&OutlinePlace| {
        let prayer = p.place.as_str().starts_with("order/prayer/");
        let elsewhere = p.level > 1 && ["votive", "saints"].iter().any(|s| p.place.is_under(s));
        (p.level <= 2 || prayer) && !elsewhere
    };
    let rows = edition.order.iter().filter(wanted);
    List {
        name: "contents",
        rows: rows.map(|p| entry(edition, p, &p.title.en, p.level.min(2))).collect(),
    }
}

/// The parts of a title that are printed as headings over one another.
fn parts(title: &str) -> Vec<&str> {
    if title.starts_with("Preface") {
        return vec![title];
    }
    title.split(": ").collect()
}

/// An indented list: what a title shares with the headings over it is printed once.
fn indented(edition: &Unseen, places: &[&'static OutlinePlace]) -> Vec<Printed> {
    let bare = edition.layout.bare_headings;
    let mut rows: Vec<Printed> = Vec::new();
    let mut open: Vec<String> = Vec::new();
    for (i, place) in places.iter().enumerate() {
        let title = weekday_alone(edition, place).unwrap_or(&place.title.en);
        let segments = parts(title);
        let known = open.iter().zip(&segments).take_while(|(a, b)| a.as_str() == **b).count();
        let next = places.get(i + 1).map_or(vec![], |n| parts(&n.title.en));
        let natural = place.level - 1;
        if segments.len() == 1 || known == 0 && next.first() != segments.first() {
            let mut row = entry(edition, place, title, natural);
            let over = next.len() > 1 && next[0] == title;
            if bare && over && place.pages == 0.0 {
                row.page = None;
            }
            if !title.starts_with("Preface") {
                open = vec![title.to_owned()];
            }
            rows.push(row);
            continue;
        }
        let known = known.min(segments.len() - 1);
        open.truncate(known);
        for (depth, part) in segments.iter().enumerate().skip(known) {
            let mut row = entry(edition, place, part, natural.max(depth as u8 + 1));
            if depth + 1 < segments.len() {
                row.page = None;
                row.level = depth as u8 + 1;
            }
            rows.push(row);
            open.push((*part).to_owned());
        }
    }
    rows
}

/// "Monday of the First Week of Lent" → "Monday", where its Sunday stands over it.
fn weekday_alone(edition: &Unseen, place: &OutlinePlace) -> Option<&'static str> {
    const DAYS: [&str; 6] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
    let week = place.place.as_str().contains("/week-") && place.level == 4;
    let bare = edition.layout.bare_weekdays && !edition.layout.weekdays_apart && week;
    DAYS.into_iter().find(|d| bare && place.title.en.starts_with(d))
}

/// The list of prefaces, those of single days where the edition prints them, or after the others.
fn prefaces(edition: &Unseen) -> List {
    let subtitle = |p: &OutlinePlace| {
        let long = p.aliases.iter().find(|a| a.starts_with(&format!("{}: ", p.title.en)));
        long.filter(|_| edition.layout.subtitles).map(|l| l.replacen(": ", ". ", 1))
    };
    let row =
        |p: &OutlinePlace| entry(edition, p, &subtitle(p).unwrap_or_else(|| p.title.en.clone()), 1);
    let own = |p: &&&OutlinePlace| {
        is_day_preface(p) && ["time", "saints"].iter().any(|s| p.place.is_under(s))
    };
    let of_order = |p: &&&OutlinePlace| p.place.is_under("order/preface") && p.level == 3;
    let rows = if edition.layout.day_prefaces == 1 {
        edition.order.iter().filter(|p| of_order(p) || own(p)).map(|p| row(p)).collect()
    } else {
        let first = edition.order.iter().filter(of_order);
        first.chain(edition.order.iter().filter(own)).map(|p| row(p)).collect()
    };
    List { name: "prefaces", rows }
}

/// The saints month by month.
fn months(edition: &Unseen) -> List {
    let mut rows = Vec::new();
    for place in edition.order.iter().filter(|p| p.place.is_under("saints") && p.level > 1) {
        if place.level == 2 {
            rows.push(Printed { page: None, ..entry(edition, place, &place.title.en, 1) });
            continue;
        }
        if edition.layout.day_prefaces > 0 && is_day_preface(place) {
            continue;
        }
        let inner = place.level > 3;
        let preface = place.title.en.starts_with("Preface");
        let last = place.title.en.rsplit(": ").next().unwrap_or_default();
        let title = if inner && !preface { last } else { place.title.en.as_str() };
        let day = place.month_day.as_ref().and_then(|d| d.rsplit(' ').next());
        let title = match day.filter(|_| edition.layout.days_lead && !inner) {
            Some(day) => format!("{day} {title}"),
            None => title.to_owned(),
        };
        rows.push(entry(edition, place, &title, if inner { 3 } else { 2 }));
    }
    List { name: "months", rows }
}

/// The alphabetical index.
fn alphabet(edition: &Unseen) -> List {
    let mut rows = Vec::new();
    for place in &edition.order {
        let path = place.place.as_str();
        let saint = path.starts_with("saints/") && place.level == 3;
        let day = path.starts_with("time/") && place.level == 3 && !place.title.en.contains("Week");
        if saint || day {
            rows.push(entry(edition, place, &inverted(place), 1));
        } else if path.starts_with("votive/") && place.level == 2 {
            let name =
                place.title.en.trim_start_matches(|c: char| c.is_ascii_digit() || ". ".contains(c));
            rows.push(entry(edition, place, &format!("{name}, votive Mass"), 1));
        }
    }
    rows.sort_by_key(|r| r.title.to_lowercase());
    List { name: "alphabet", rows }
}

fn inverted(place: &OutlinePlace) -> String {
    let title = place.title.en.replace("Blessed Virgin Mary", "BVM");
    let ranks = [("Saints ", "Sts."), ("Saint ", "St."), ("Blessed ", "Bl."), ("The ", "The")];
    let turned = ranks.iter().find_map(|(rank, short)| {
        let rest = title.strip_prefix(rank)?;
        let (name, tail) = rest.split_once(", ").unwrap_or((rest, ""));
        Some(format!("{name}, {short}{}{tail}", if tail.is_empty() { "" } else { ", " }))
    });
    let day = place.month_day.as_deref().map_or(String::new(), |d| {
        let (month, number) = d.split_once(' ').unwrap_or((d, ""));
        format!(" ({}. {number})", month.chars().take(3).collect::<String>())
    });
    turned.unwrap_or(title) + &day
}

/// How rows are read.
#[derive(Clone, Copy)]
pub struct Eyes {
    /// Shares of rows read surely, fairly and badly, and the probability of each; a row is right as often as
    /// it says.
    pub grades: [(f64, f64); 3],
    /// Share of letters misread.
    pub letters: f64,
    /// Share of rows lost.
    pub lost: f64,
}

pub const PERFECT: Eyes =
    Eyes { grades: [(1.0, 1.0), (0.0, 1.0), (0.0, 1.0)], letters: 0.0, lost: 0.0 };

/// As the reader does with photographs of usual grade: nine rows in ten surely.
pub const FAIR: Eyes =
    Eyes { grades: [(0.9, 0.9995), (0.07, 0.95), (0.03, 0.6)], letters: 0.005, lost: 0.01 };

/// The photographs of all lists, each of forty to a hundred rows.
pub fn photographs(edition: &Unseen, eyes: &Eyes, dice: &mut Dice) -> Vec<Reading> {
    let mut readings = Vec::new();
    for list in lists(edition) {
        let (mut from, mut number) = (0, 1);
        while from < list.rows.len() {
            let to = (from + 40 + dice.below(60)).min(list.rows.len());
            let file = format!("{}-{number}.jpg", list.name);
            readings.push(photograph(&file, &list.rows[from..to], eyes, dice));
            (from, number) = (to, number + 1);
        }
    }
    readings
}

pub fn photograph(file: &str, printed: &[Printed], eyes: &Eyes, dice: &mut Dice) -> Reading {
    let mut rows = Vec::new();
    for (i, row) in printed.iter().enumerate() {
        if !dice.chance(eyes.lost) {
            let beside = printed.get(i + 1).or(printed.get(i.wrapping_sub(1)));
            let beside = beside.and_then(|b| b.page);
            let mut read = read_row(file, i, row, beside, eyes, dice);
            read.column = if i * 2 < printed.len() { 1 } else { 2 };
            rows.push(read);
        }
    }
    Reading { file: file.into(), rows, crossrefs: Vec::new(), notices: Vec::new() }
}

fn read_row(
    file: &str,
    line: usize,
    printed: &Printed,
    beside: Option<u32>,
    eyes: &Eyes,
    dice: &mut Dice,
) -> Row {
    let drawn = dice.unit();
    let [sure, fair, bad] = eyes.grades;
    let probability = match drawn {
        d if d < sure.0 => sure.1,
        d if d < sure.0 + fair.0 => fair.1,
        _ => bad.1,
    };
    let truth = printed.page.map(|p| p.to_string());
    let wrong = !dice.chance(probability);
    let page = truth.clone().map(|t| match (wrong, beside, dice.below(10)) {
        (false, _, _) => t,
        (true, Some(beside), 0..3) if beside.to_string() != t => beside.to_string(),
        (true, _, 3) => (t.parse::<u32>().unwrap() + 1).to_string(),
        _ => misread(&t, dice),
    });
    let mut alternatives = Vec::new();
    if let (Some(page), Some(truth)) = (&page, &truth) {
        alternatives.push(Alternative { page: page.clone(), weight: probability });
        let second = if wrong { truth.clone() } else { misread(truth, dice) };
        let weight = 0.8 * (1.0 - probability);
        if second != *page && weight > 0.0 && Label::parse(&second).is_some() {
            alternatives.push(Alternative { page: second, weight });
        }
    }
    let top = 40 * line as i32;
    Row {
        title: misspelt(&printed.title, eyes.letters, dice),
        page,
        pages: Vec::new(),
        level: printed.level,
        column: 1,
        alternatives,
        probability,
        doubt: probability < 0.97,
        strip: Strip {
            photo: file.into(),
            area: Rect { left: 0, top, right: 800, bottom: top + 36 },
        },
    }
}

fn misspelt(title: &str, rate: f64, dice: &mut Dice) -> String {
    const LETTERS: [char; 8] = ['e', 't', 'a', 'o', 'i', 'n', 'l', '1'];
    let letter = |c: char| match c.is_alphabetic() && dice.chance(rate) {
        true => LETTERS[dice.below(LETTERS.len())],
        false => c,
    };
    title.chars().map(letter).collect()
}
