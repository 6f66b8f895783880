//! What a drawn list prints: titles with their days and pages, in any language that has a file in `titles/` or a
//! name in the outline.

use super::look::List;
use crate::edition::{Edition, Habit, roman};
use crate::lists;
use crate::random::Random;
use serde_json::Value;
use std::error::Error;
use vitta::book::Outline;
use vitta::language::Language;

/// One entry before it is laid out.
#[derive(Debug, Clone, Default)]
pub struct Item {
    /// Title.
    pub title: String,
    /// Subtitle of a preface.
    pub subtitle: Option<String>,
    /// Month, from 0, and day.
    pub day: Option<(usize, u32)>,
    /// Depth, 1 the outermost.
    pub level: u8,
    /// Whether it stands over what follows.
    pub heading: bool,
    /// Page labels.
    pub pages: Vec<String>,
    /// Place in the outline.
    pub place: Option<String>,
    /// Whether it may follow the entry before in the same line.
    pub runs_in: bool,
}

/// Everything an edition can list.
#[derive(Debug)]
pub struct Stock {
    /// Language code.
    pub language: &'static str,
    /// Words of the language around lists.
    pub words: Value,
    edition: Option<Edition>,
    items: Vec<(List, Vec<Item>)>,
}

/// The codes of the languages and their files.
pub const LANGUAGES: [(&str, &str); 8] = [
    ("en", include_str!("../titles/en.json")),
    ("es", include_str!("../titles/es.json")),
    ("la", include_str!("../titles/la.json")),
    ("de", include_str!("../titles/de.json")),
    ("fr", include_str!("../titles/fr.json")),
    ("it", include_str!("../titles/it.json")),
    ("pt", include_str!("../titles/pt.json")),
    ("pl", include_str!("../titles/pl.json")),
];

/// The texts of a list in a data file.
pub fn texts(value: &Value) -> Vec<String> {
    value.as_array().into_iter().flatten().filter_map(|v| v.as_str().map(str::to_owned)).collect()
}

/// Hands out pages in the order of the book.
struct Pager {
    random: Random,
    position: f32,
    scale: f32,
    front: bool,
}

impl Pager {
    fn page(&mut self, length: f32) -> Vec<String> {
        let n = self.position as u32;
        self.position += length * self.scale * self.random.between(0.55, 1.7);
        vec![if self.front { roman(n) } else { n.to_string() }]
    }

    /// An entry with its page; texts of `length` pages follow.
    fn item(&mut self, title: &str, level: u8, length: f32) -> Item {
        Item { title: title.to_owned(), level, pages: self.page(length), ..Item::default() }
    }

    fn groups(&mut self, groups: &Value, length: f32, out: &mut Vec<Item>) {
        for group in groups.as_array().into_iter().flatten() {
            let titles = texts(&group[1]);
            let head = self.item(group[0].as_str().unwrap_or_default(), 1, 0.2);
            // A group without parts is an entry of its own.
            out.push(Item { heading: !titles.is_empty(), ..head });
            for title in titles {
                out.push(self.item(&title, 2, length));
            }
        }
    }
}

/// The days of the week after each Sunday of the great seasons, whose groups stand first, third and fifth.
fn with_weekdays(sundays: Vec<Item>, weekdays: &[String], pager: &mut Pager) -> Vec<Item> {
    let mut out = Vec::new();
    let (mut group, mut nth) = (0, 0);
    for mut item in sundays {
        (group, nth) = if item.heading { (group + 1, 0) } else { (group, nth + 1) };
        let season = [(1, 1..=4), (3, 2..=6), (5, 2..=6)];
        let sunday = season.iter().any(|(g, which)| *g == group && which.contains(&nth));
        item.pages = pager.page(if item.heading { 0.2 } else { 1.4 });
        out.push(item);
        for day in weekdays.iter().filter(|_| sunday) {
            out.push(Item { runs_in: true, ..pager.item(day, 3, 0.7) });
        }
    }
    out
}

fn from_data(language: &'static str, words: &Value, seed: u64) -> Stock {
    let mut random = Random::new(seed, language);
    let scale = random.between(0.8, 1.6);
    let mut pager = Pager { random, position: 5.0, scale, front: true };
    let front: Vec<Item> = texts(&words["front"]).iter().map(|t| pager.item(t, 2, 5.0)).collect();
    (pager.front, pager.position) = (false, 1.0);
    let mut sundays = Vec::new();
    pager.groups(&words["time"], 2.2, &mut sundays);
    pager.position = 1.0;
    let time = with_weekdays(sundays, &texts(&words["weekdays"]), &mut pager);
    let order: Vec<Item> = texts(&words["order"]).iter().map(|t| pager.item(t, 2, 6.0)).collect();
    let mut prefaces = Vec::new();
    for preface in words["prefaces"].as_array().into_iter().flatten() {
        let subtitle = preface[1].as_str().map(str::to_owned);
        prefaces
            .push(Item { subtitle, ..pager.item(preface[0].as_str().unwrap_or_default(), 1, 2.0) });
    }
    let mut months = Vec::new();
    for saint in words["saints"].as_array().into_iter().flatten() {
        let date = saint[0].as_str().unwrap_or("1-1").split_once('-').unwrap_or(("1", "1"));
        let day = (date.0.parse::<usize>().unwrap_or(1) - 1, date.1.parse().unwrap_or(1));
        let own = pager.item(saint[1].as_str().unwrap_or_default(), 2, 1.1);
        months.push(Item { day: Some(day), ..own });
    }
    let mut commons = Vec::new();
    pager.groups(&words["common"], 2.4, &mut commons);
    let needs: Vec<Item> = texts(&words["needs"]).iter().map(|t| pager.item(t, 1, 1.8)).collect();
    let first = |name: &str, list: &[Item]| Item {
        title: words["names"][name].as_str().unwrap_or_default().to_owned(),
        level: 1,
        heading: true,
        pages: list[0].pages.clone(),
        ..Item::default()
    };
    let mut contents = front;
    let plain = |list: &[Item]| list.iter().filter(|i| !i.runs_in && !i.heading).cloned().collect();
    let parts: [(&str, Vec<Item>); 5] = [
        (
            "time",
            time.iter()
                .filter(|i| i.heading)
                .map(|i| Item { level: 2, heading: false, ..i.clone() })
                .collect(),
        ),
        ("order", order.clone()),
        ("months", vec![]),
        (
            "common",
            commons
                .iter()
                .filter(|i| i.heading)
                .map(|i| Item { level: 2, heading: false, ..i.clone() })
                .collect(),
        ),
        ("needs", plain(&needs)),
    ];
    for (name, part) in parts {
        let own = match name {
            "time" => &time,
            "order" => &order,
            "months" => &months,
            "common" => &commons,
            _ => &needs,
        };
        contents.push(first(name, own));
        contents.extend(part);
    }
    let items = vec![
        (List::Contents, contents),
        (List::Time, time),
        (List::Prefaces, prefaces),
        (List::Months, months),
        (List::Commons, commons),
        (List::Needs, needs),
    ];
    Stock { language, words: words.clone(), edition: None, items }
}

fn item(entry: lists::Entry) -> Item {
    Item {
        title: entry.title,
        subtitle: entry.subtitle,
        level: entry.level,
        heading: entry.heading,
        pages: entry.pages,
        place: entry.place.map(|p| p.as_str().to_owned()),
        ..Item::default()
    }
}

/// The day of an outline's place, from its address.
fn day_of(place: Option<&str>) -> Option<(usize, u32)> {
    let (month, day) = place?.split('/').find_map(|part| part.split_once('-'))?;
    Some((month.parse::<usize>().ok()?.checked_sub(1)?, day.parse().ok()?))
}

fn from_outline(
    code: &'static str,
    language: Language,
    words: &Value,
    seed: u64,
) -> Result<Stock, Box<dyn Error>> {
    let mut random = Random::new(seed, code);
    let habit = Habit { scale: f64::from(random.between(0.8, 1.5)), roman: true, omits: 0.05 };
    let outline = Outline::shipped("roman-missal-3")?;
    let edition = Edition::draw(&format!("drawn {code} edition"), outline, language, habit, seed);
    let under = |name: &str| {
        let mut places = edition.under(name);
        places.retain(|p| p.level > 1);
        lists::indented(&places, 2, true).into_iter().map(item).collect::<Vec<_>>()
    };
    let weekdays = texts(&words["weekdays"]);
    let mut time = under("time");
    for own in &mut time {
        // "Monday of the First Week of Advent" under its Sunday is "Monday".
        let named = weekdays.iter().find(|d| own.title.starts_with(d.as_str()));
        let week = own.place.as_ref().is_some_and(|p| p.contains("/week-"));
        if let (Some(day), true) = (named, week) {
            own.title = day.clone();
            (own.runs_in, own.level) = (true, 3);
        }
    }
    let mut months: Vec<Item> = lists::months(&edition).into_iter().map(item).collect();
    months.iter_mut().for_each(|m| m.day = day_of(m.place.as_deref()));
    months.retain(|m| m.day.is_some() && !m.heading && m.level < 3);
    let contents: Vec<Item> =
        lists::contents(&edition, &["votive", "saints"]).into_iter().map(item).collect();
    let prefaces = lists::prefaces(&edition, true).into_iter().map(item).collect();
    let items = vec![
        (List::Contents, contents),
        (List::Time, time),
        (List::Prefaces, prefaces),
        (List::Months, months),
        (List::Commons, under("common")),
        (List::Needs, under("needs")),
    ];
    Ok(Stock { language: code, words: words.clone(), edition: Some(edition), items })
}

impl Stock {
    /// Draws an edition in the language with code `code`.
    pub fn draw(code: &str, seed: u64) -> Result<Stock, Box<dyn Error>> {
        let (code, text) = *LANGUAGES.iter().find(|l| l.0 == code).ok_or("no such language")?;
        let words: Value = serde_json::from_str(text)?;
        match code {
            "en" => from_outline(code, Language::En, &words, seed),
            "es" => from_outline(code, Language::Es, &words, seed),
            "la" => from_outline(code, Language::La, &words, seed),
            _ => Ok(from_data(code, &words, seed)),
        }
    }

    /// The page map, where the outline has the language.
    pub fn edition(&self) -> Option<&Edition> {
        self.edition.as_ref()
    }

    /// The entries of a list in the order of the book.
    pub fn items(&self, list: List) -> Vec<Item> {
        self.items.iter().find(|i| i.0 == list).map(|i| i.1.clone()).unwrap_or_default()
    }

    /// A word that stands for a list or between references.
    pub fn word(&self, group: &str, name: &str) -> String {
        self.words[group][name].as_str().unwrap_or_default().to_owned()
    }
}
