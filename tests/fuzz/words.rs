//! Words that a person types or print shows: page labels, places, dates of calendars, papers, files' endings.

use super::change::Kind;
use super::engine::{Answer, Target, hold, refused};
use std::path::Path;
use vitta::book::{Label, LeafOrder};
use vitta::calendar::{MonthDay, When};
use vitta::card::{self, Kind as CardKind, Paper};
use vitta::place::Place;

#[test]
fn words() {
    let seeds = [
        "512",
        "xiv",
        "1747a",
        "xlix",
        "ccclxxxix",
        "order/prayer/2",
        "saints/03-19/joseph",
        "03-19",
        "easter+68",
        "advent-7",
        "sunday from 10-25",
        "epiphany",
        "a5",
        "card.pdf",
        "dark red",
        "mdclxvi",
    ];
    let seeds = seeds.iter().map(|s| s.as_bytes().to_vec()).collect();
    hold(Target { name: "words", seeds, kind: Kind::Bytes, cases: 400, run });
}

/// What is taken is written as it is read, in the form it then keeps.
fn run(case: &[u8]) -> Result<Answer, String> {
    let word = String::from_utf8_lossy(case);
    let mut taken = Vec::new();
    if let Some(label) = Label::parse(&word) {
        if Label::parse(&label.to_string()) != Some(label.clone()) {
            return Err(format!("the label {label} is not read as it is written"));
        }
        for (offset, roman_pages) in [(0, 0), (i32::MAX, u32::MAX), (i32::MIN, u32::MAX - 1)] {
            LeafOrder { offset, roman_pages }.opening(&label);
        }
        taken.push("label");
    }
    if let Some(place) = Place::new(&word) {
        if place.as_str() != word || !place.is_under(&word) {
            return Err(format!("{place} is not the place typed"));
        }
        taken.push("place");
    }
    if let Ok(when) = word.parse::<When>() {
        if when.to_string().parse() != Ok(when) {
            return Err(format!("the date {when} is not read as it is written"));
        }
        taken.push("when");
    }
    if let Ok(date) = word.parse::<MonthDay>() {
        if date.to_string().parse() != Ok(date) {
            return Err(format!("the day {date} is not read as it is written"));
        }
        taken.push("day");
    }
    card::dye(&word);
    for answer in [word.parse::<Paper>().map(drop), CardKind::of(Path::new(&*word)).map(drop)] {
        match answer {
            Ok(()) => taken.push("card"),
            Err(error) => drop(refused(&error)?),
        }
    }
    Ok(Answer::Taken(taken.join(" ")))
}
