//! What an edition prints about itself: its lists of contents and its indexes, as entries in
//! reading order, before they are set in type.

use crate::edition::{Edition, Placed};
use crate::random::Random;
use serde::Serialize;
use std::collections::BTreeMap;
use vitta::place::Place;

/// One printed entry.
#[derive(Debug, Clone, Default)]
pub struct Entry {
    /// What stands before the title in a column of its own: the day of the month.
    pub lead: Option<String>,
    /// Title.
    pub title: String,
    /// Second part of the title, printed in italics.
    pub subtitle: Option<String>,
    /// Page labels; none under a bare heading.
    pub pages: Vec<String>,
    /// Depth, 1 the outermost.
    pub level: u8,
    /// Whether it is a heading over what follows.
    pub heading: bool,
    /// The place it names, if it names one.
    pub place: Option<Place>,
    /// On a day's page: the references in it.
    pub refers: Vec<Reference>,
}

/// A reference to other pages: "Preface I of Saints, pp. 566-567".
#[derive(Debug, Clone, Serialize)]
pub struct Reference {
    /// What is referred to.
    pub label: String,
    /// Page labels.
    pub pages: Vec<String>,
}

impl Entry {
    /// Space over it, in lines.
    pub fn above(&self) -> f32 {
        match (self.heading, self.level) {
            (false, _) => 0.0,
            (true, 1) => 0.75,
            (true, _) => 0.3,
        }
    }
}

/// Kinds of printed lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Sections and their parts.
    Contents,
    /// All of one section, the Proper of Time for instance.
    Section(&'static str),
    /// Prefaces with their subtitles.
    Prefaces,
    /// Saints by months, the day on the left.
    Months,
    /// Alphabetical index.
    Alphabet,
    /// A day's page with its references.
    Day,
}

impl Kind {
    /// Its name in the truth files.
    pub fn name(self) -> &'static str {
        match self {
            Kind::Contents => "contents",
            Kind::Section(_) => "section",
            Kind::Prefaces => "prefaces",
            Kind::Months => "months",
            Kind::Alphabet => "alphabet",
            Kind::Day => "day",
        }
    }
}

fn entry(placed: &Placed, title: &str, level: u8) -> Entry {
    Entry {
        title: title.to_owned(),
        pages: vec![placed.page.clone()],
        level,
        place: Some(placed.place.clone()),
        ..Entry::default()
    }
}

fn heading(title: &str, level: u8) -> Entry {
    Entry { title: title.to_owned(), level, heading: true, ..Entry::default() }
}

/// The parts of a title that an edition prints as headings over it: "Common of Martyrs", "I. …",
/// "A. …", "1". A preface's name is one part; the stop after a number ends none.
fn parts(title: &str) -> Vec<&str> {
    if ["Preface", "Prefacio", "Praefatio"].iter().any(|p| title.starts_with(p)) {
        return vec![title];
    }
    let number = |word: &str| word.chars().all(|c| c.is_ascii_digit() || c.is_ascii_uppercase());
    let mut out = Vec::new();
    let mut start = 0;
    for (at, mark) in title.match_indices([':', '.']) {
        let word = title[start..at].rsplit(' ').next().unwrap_or_default();
        let ends = title[at + 1..].starts_with(' ') && (mark == ":" || !number(word));
        if ends {
            out.push(&title[start..at]);
            start = at + 2;
        }
    }
    out.push(&title[start..]);
    out
}

/// A heading or entry that stands open over what follows.
struct Open {
    text: String,
    level: u8,
}

/// Prints a run of places as an indented list, `outermost` the outline level that becomes 1: what a
/// title shares with the headings before it is not repeated. With `bare_headings`, headings over a
/// group have no page.
pub fn indented(places: &[Placed], outermost: u8, bare_headings: bool) -> Vec<Entry> {
    let mut out: Vec<Entry> = Vec::new();
    let mut open: Vec<Open> = Vec::new();
    for (i, placed) in places.iter().enumerate() {
        let next = places.get(i + 1).map_or(vec![], |n| parts(&n.title));
        let segments = parts(&placed.title);
        let known = open.iter().zip(&segments).take_while(|(a, b)| a.text == **b).count();
        let shared = segments.len() > 1 && next.first() == segments.first();
        let natural = placed.level.saturating_sub(outermost) + 1;
        if known == 0 && !shared {
            let mut own = entry(placed, &placed.title, natural);
            own.heading = natural == 1;
            if own.heading && bare_headings && next.len() > 1 && next[0] == placed.title {
                own.pages.clear();
            }
            let keep = placed.title.starts_with("Pr") && !open.is_empty();
            if !keep {
                open = vec![Open { text: placed.title.clone(), level: natural }];
            }
            out.push(own);
            continue;
        }
        open.truncate(known);
        for (depth, part) in segments.iter().enumerate().skip(known) {
            let level = open.last().map_or(natural, |o| o.level + 1);
            out.push(if depth + 1 == segments.len() {
                entry(placed, part, level)
            } else {
                heading(part, level)
            });
            open.push(Open { text: (*part).to_owned(), level });
        }
    }
    out
}

/// The general contents: sections and their parts, the parts of some sections left to their own
/// lists.
pub fn contents(edition: &Edition, without: &[&str]) -> Vec<Entry> {
    let wanted = |p: &&Placed| {
        let prayer = p.place.as_str().starts_with("order/prayer/");
        let elsewhere = without.iter().any(|w| p.level > 1 && p.place.is_under(w));
        (p.level <= 2 || prayer) && !elsewhere
    };
    let kept: Vec<Placed> = edition.places.iter().filter(wanted).cloned().collect();
    let mut out = Vec::new();
    for placed in &kept {
        let level = if placed.level <= 1 { 1 } else { 2 };
        let mut own = entry(placed, &placed.title, level);
        own.heading = level == 1;
        out.push(own);
    }
    out
}

fn subtitle(placed: &Placed) -> Option<String> {
    let all: serde_json::Value = serde_json::from_str(include_str!("subtitles.json")).ok()?;
    let slug = placed.place.as_str().strip_prefix("order/preface/")?;
    all["en"][slug].as_str().map(str::to_owned)
}

/// The prefaces with their subtitles, those of single days after those of the Order of Mass.
pub fn prefaces(edition: &Edition, own_days: bool) -> Vec<Entry> {
    let mut out = Vec::new();
    for placed in edition.under("order/preface").iter().skip(1) {
        let mut own = entry(placed, &placed.title, 1);
        if edition.language == vitta::language::Language::En {
            own.subtitle = subtitle(placed);
        }
        out.push(own);
    }
    if own_days {
        for placed in &edition.places {
            let last = placed.place.as_str().rsplit('/').next().unwrap_or_default();
            if last.starts_with("preface") && !placed.place.is_under("order") {
                out.push(entry(placed, &placed.title, 1));
            }
        }
    }
    out
}

/// The saints month by month.
pub fn months(edition: &Edition) -> Vec<Entry> {
    let mut out = Vec::new();
    for placed in edition.under("saints").iter().skip(1) {
        if placed.level == 2 {
            out.push(Entry { heading: true, pages: vec![], ..entry(placed, &placed.title, 1) });
            continue;
        }
        let number = placed.day.as_ref().and_then(|d| d.rsplit(' ').next());
        let inner = placed.level > 3;
        let title = placed.title.rsplit(": ").next().unwrap_or_default();
        let mut own = entry(
            placed,
            if inner && !placed.title.starts_with("Preface") { title } else { &placed.title },
            if inner { 3 } else { 2 },
        );
        own.lead = number.filter(|_| !inner).map(str::to_owned);
        out.push(own);
    }
    out
}

fn short_month(day: &str) -> String {
    let (month, number) = day.split_once(' ').unwrap_or((day, ""));
    let short: String = month.chars().take(3).collect();
    let dot = if month.len() > 3 { "." } else { "" };
    format!("{short}{dot} {number}")
}

/// "Saint Joseph, Spouse of the Blessed Virgin Mary" → "Joseph, St., Spouse of the BVM (Mar. 19)".
fn inverted(placed: &Placed) -> String {
    const RANKS: [(&str, &str); 8] = [
        ("Saints ", "Sts."),
        ("Saint ", "St."),
        ("Blessed ", "Bl."),
        ("The ", "The"),
        ("San ", "San"),
        ("Santa ", "Santa"),
        ("Santo ", "Santo"),
        ("Santos ", "Stos."),
    ];
    let title = placed.title.replace("Blessed Virgin Mary", "BVM");
    let mut out = title.clone();
    for (rank, short) in RANKS {
        if let Some(rest) = title.strip_prefix(rank) {
            let (name, tail) = rest.split_once(", ").unwrap_or((rest, ""));
            let tail = if tail.is_empty() { String::new() } else { format!(", {tail}") };
            out = format!("{name}, {short}{tail}");
            break;
        }
    }
    let day = placed.day.as_deref().map(|d| format!(" ({})", short_month(d)));
    out + &day.unwrap_or_default()
}

/// The alphabetical index: saints by name, Commons and needs with all their pages.
pub fn alphabet(edition: &Edition) -> Vec<Entry> {
    let mut sorted: BTreeMap<String, Entry> = BTreeMap::new();
    let mut add = |title: String, placed: &Placed, pages: Vec<String>| {
        let key: String = title.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
        sorted.entry(key).or_insert(Entry {
            title: title.clone(),
            pages,
            ..entry(placed, &title, 1)
        });
    };
    for placed in &edition.places {
        let path = placed.place.as_str();
        let saint = path.starts_with("saints/") && placed.level == 3;
        let day = path.starts_with("time/") && placed.level == 3 && !placed.title.contains("Week");
        let vote = path.starts_with("votive/") && placed.level == 2;
        let title =
            placed.title.trim_start_matches(|c: char| c.is_ascii_digit() || ". ".contains(c));
        if saint || day {
            add(inverted(placed), placed, vec![placed.page.clone()]);
        } else if vote {
            add(format!("{title}, votive Mass"), placed, vec![placed.page.clone()]);
        }
    }
    for group in edition.under("common").iter().filter(|p| p.level == 2) {
        let name =
            group.title.trim_start_matches("Common of the ").trim_start_matches("Common of ");
        add(format!("{name}, Common of"), group, ranges(&edition.under(group.place.as_str())));
    }
    sorted.into_values().collect()
}

/// The pages of a group as an index prints them: "503, 505-507".
fn ranges(places: &[Placed]) -> Vec<String> {
    let mut numbers: Vec<u32> = places.iter().filter_map(|p| p.page.parse().ok()).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let mut out: Vec<(u32, u32)> = Vec::new();
    for n in numbers {
        match out.last_mut() {
            Some(last) if last.1 + 1 == n => last.1 = n,
            _ => out.push((n, n)),
        }
    }
    out.iter().map(|(a, b)| if a == b { a.to_string() } else { format!("{a}-{b}") }).collect()
}

/// "From the Common of Virgins: For One Virgin, p. 1200, or …": one reference as a day's page has it.
fn refer(placed: &Placed, length: u32) -> (String, Reference) {
    let first: u32 = placed.page.parse().unwrap_or(0);
    let label = placed.title.trim_end_matches(|c: char| c.is_ascii_digit() || ": ".contains(c));
    let (mark, page) = match length {
        0 | 1 => ("p.", first.to_string()),
        n => ("pp.", format!("{first}-{}", first + n - 1)),
    };
    let label = label.replace(": I. ", ": ").replace(": II. ", ": ").replace(": III. ", ": ");
    (format!("{label}, {mark} {page}"), Reference { label, pages: vec![page] })
}

fn line(text: String, level: u8, heading: bool, refers: Vec<Reference>) -> Entry {
    Entry { title: text, level, heading, refers, ..Entry::default() }
}

/// Some days of the Proper of Saints as the book prints them, prayers left out: date, title, from
/// which Commons, which preface.
pub fn days(edition: &Edition, random: &mut Random) -> Vec<Entry> {
    let saints: Vec<Placed> =
        edition.under("saints").into_iter().filter(|p| p.level == 3 && p.day.is_some()).collect();
    let commons: Vec<Placed> =
        edition.under("common").into_iter().filter(|p| p.level == 3).collect();
    let prefaces = edition.under("order/preface");
    let first = random.index(saints.len().saturating_sub(40));
    let mut out = Vec::new();
    for saint in saints.iter().skip(first).take(40) {
        out.push(line(saint.day.clone().unwrap_or_default(), 1, true, vec![]));
        out.push(line(saint.title.clone(), 2, true, vec![]));
        let (mut text, one) = refer(random.pick(&commons), 1);
        let mut refers = vec![one];
        if random.chance(0.5) {
            let (other, reference) = refer(random.pick(&commons), 1 + random.index(2) as u32);
            text = format!("{text}, or {other}");
            refers.push(reference);
        }
        out.push(line(format!("From the {text}."), 1, false, refers));
        if random.chance(0.5) && prefaces.len() > 1 {
            let (text, reference) = refer(&prefaces[1 + random.index(prefaces.len() - 1)], 2);
            out.push(line(format!("{text}."), 1, false, vec![reference]));
        }
        out.push(line("Collect".into(), 3, true, vec![]));
    }
    out
}
