//! A file of any version that was ever written stays readable: `fixtures/version-1` holds one of each format, made
//! when that version was the newest. They are not made anew when a format changes; a new version gets a folder
//! beside it.

use serde_json::Value;
use std::fmt::Debug;
use std::path::{Path, PathBuf};
use vitta::book::{Book, DigitConfusions, Outline, PrintedTitles};
use vitta::calendar::{Calendar, Layer};
use vitta::format::{self, Format};
use vitta::order::{Formularies, ServiceOrder};
use vitta::ribbon::Week;
use vitta::shelf::Parish;
use vitta::text::{Readings, Words};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/version-1").join(format!("{name}.json"))
}

/// The file as it was written; formats without a field for their source are kept in an envelope beside it.
fn json(name: &str) -> Value {
    let mut kept: Value = serde_json::from_slice(&std::fs::read(fixture(name)).unwrap()).unwrap();
    if kept.get("format").is_none() { kept["file"].take() } else { kept }
}

/// What a newer version of a format no longer says, because it decides nothing any more: file and field.
const NO_LONGER_SAID: [(&str, &str); 1] = [("readings", "printed")];

/// Every text, number and truth in the file, in no order: what an old file said must not get lost.
fn said(value: &Value, all: &mut Vec<String>) {
    match value {
        Value::Array(items) => items.iter().for_each(|v| said(v, all)),
        Value::Object(fields) => fields.values().for_each(|v| said(v, all)),
        Value::Number(n) => all.push(format!("{}", n.as_f64().unwrap() as f32)),
        other => all.push(other.to_string()),
    }
}

/// Reads the old file and writes it as it is written today; nothing that it said is gone.
fn reads<T: Format + PartialEq + Debug>(name: &str) {
    let old = json(name);
    assert_eq!(old["version"], 1, "{name}: a fixture is never brought to a newer version");
    let file = Path::new("today.json");
    let parsed = format::parse(&old.to_string(), file);
    let value: T = parsed.unwrap_or_else(|e| panic!("{name}: {}", e.whole()));
    let today = format::to_text(&value, file).unwrap();
    assert_eq!(format::parse::<T>(&today, file).unwrap(), value, "{name}");
    let (mut before, mut after) = (Vec::new(), Vec::new());
    let mut kept = old.as_object().unwrap().clone();
    kept.retain(|field, _| field != "version" && !NO_LONGER_SAID.contains(&(name, field.as_str())));
    said(&Value::Object(kept), &mut before);
    said(&serde_json::from_str(&today).unwrap(), &mut after);
    let lost: Vec<&String> = before.iter().filter(|text| !after.contains(text)).collect();
    assert!(lost.is_empty(), "{name}: lost {lost:?}");
}

#[test]
fn version_1_of_each_format_is_read() {
    type Reads = fn(&str);
    let read = [
        ("book", reads::<Book> as Reads),
        ("calendar", reads::<Layer>),
        ("outline", reads::<Outline>),
        ("titles", reads::<PrintedTitles>),
        ("digit-confusions", reads::<DigitConfusions>),
        ("formularies", reads::<Formularies>),
        ("service-order", reads::<ServiceOrder>),
        ("parish", reads::<Parish>),
        ("week", reads::<Week>),
        ("readings", reads::<Readings>),
        ("reading-words", reads::<Words>),
    ];
    for (name, _) in vitta::schemas::all() {
        assert!(read.iter().any(|r| r.0 == name), "no file of version 1 of the format {name}");
    }
    read.iter().for_each(|(name, reads)| reads(name));
}

#[test]
fn an_old_book_is_used_and_corrected_and_an_old_calendar_kept() {
    let mut book: Book = format::read(&fixture("book")).unwrap();
    let (steps, place) = (book.history.len(), book.entries[0].place.clone());
    book.confirm(&place, "xiv", "2026-11-26 08:00:00").unwrap();
    assert_eq!((book.history.len(), book.ribbons.len(), book.copies.len()), (steps + 1, 4, 1));
    let calendar = Calendar::read(&fixture("calendar")).unwrap();
    assert!(calendar.year(2027).is_ok());
}

#[test]
fn a_file_of_a_newer_version_is_refused_and_told() {
    for (name, newer) in [("book", 2), ("parish", 99)] {
        let mut file = json(name);
        file["version"] = newer.into();
        let text = file.to_string();
        let path = Path::new("chapel.json");
        let error = match name {
            "book" => format::parse::<Book>(&text, path).map(drop),
            _ => format::parse::<Parish>(&text, path).map(drop),
        }
        .unwrap_err();
        let expected = format!("chapel.json has version {newer}, this program knows 1 to 1");
        assert_eq!(error.to_string(), expected);
        assert_eq!(error.hint().as_deref(), Some("use a newer vitta"));
    }
    for version in ["0", "-1", "1.5", "\"1\"", "null"] {
        let text = format!("{{\"format\":\"vitta book\",\"version\":{version}}}");
        assert!(format::parse::<Book>(&text, Path::new("chapel.json")).is_err(), "{version}");
    }
}
