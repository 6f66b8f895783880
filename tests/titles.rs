//! Rows as books of other languages print them, against the places they name. All rows are from memory of
//! printed missals, not taken from the outline's data: numbers, dates and short forms stand as contents and lists of
//! months have them.

use std::collections::HashMap;
use vitta::book::{Book, Outline};
use vitta::geom::Rect;
use vitta::language::{Language, PrintedLanguage};
use vitta::place::Place;
use vitta::text::{Reading, Row, Strip};

mod strangers;

const LISTS: [(PrintedLanguage, &str); 5] = [
    (PrintedLanguage::Fr, include_str!("titles/french.txt")),
    (PrintedLanguage::De, include_str!("titles/german.txt")),
    (PrintedLanguage::It, include_str!("titles/italian.txt")),
    (PrintedLanguage::Pt, include_str!("titles/portuguese.txt")),
    (PrintedLanguage::Pl, include_str!("titles/polish.txt")),
];

fn missal() -> &'static Outline {
    Outline::shipped("roman-missal-3").unwrap()
}

/// The rows of a list with the places they name.
fn list(text: &str) -> Vec<(Place, &str)> {
    let pair = |line: &'static str| line.split_once('|').unwrap();
    let text: &'static str = Box::leak(text.to_owned().into_boxed_str());
    text.lines().map(pair).map(|(place, row)| (Place::new(place).unwrap(), row)).collect()
}

/// A list's rows, a page number each; no page tells where a row belongs.
fn reading(titles: &[&str]) -> Reading {
    let row = |(at, title): (usize, &&str)| Row {
        title: (*title).to_owned(),
        page: Some((20 + 25 * at).to_string()),
        level: 1,
        column: 1,
        probability: 0.98,
        alternatives: Vec::new(),
        pages: Vec::new(),
        doubt: false,
        strip: Strip {
            photo: "list.jpg".into(),
            area: Rect { left: 0, top: at as u32 * 10, right: 100, bottom: at as u32 * 10 + 9 },
        },
    };
    Reading {
        file: "list.jpg".into(),
        rows: titles.iter().enumerate().map(row).collect(),
        crossrefs: vec![],
        notices: vec![],
    }
}

fn read(titles: &[&str]) -> Book {
    Book::from_readings("List", &[reading(titles)], Some(missal()), None, "2026-11-28")
}

/// The place each row was given to, by its page; of the outline's only.
fn found(book: &Book) -> HashMap<String, String> {
    let known = book.entries.iter().filter(|e| missal().get(&e.place).is_some());
    let pages = known.flat_map(|e| e.evidence.iter().map(|v| (v, e.place.to_string())));
    pages.filter_map(|(v, place)| Some((v.alternatives.first()?.page.clone(), place))).collect()
}

#[test]
fn rows_of_each_language_find_their_places() {
    let mut lost = Vec::new();
    for (language, text) in LISTS {
        let rows = list(text);
        assert!(rows.len() >= 40, "{language:?}");
        let titles: Vec<&str> = rows.iter().map(|r| r.1).collect();
        let book = read(&titles);
        assert_eq!(book.language, Some(language));
        let found = found(&book);
        for (at, (place, title)) in rows.iter().enumerate() {
            let given = found.get(&(20 + 25 * at).to_string()).map_or("no place", |p| p.as_str());
            if given != place.as_str() {
                lost.push(format!("{title}: {given} instead of {place}"));
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

/// Without neighbours and their order a row has its title alone to go by.
#[test]
fn rows_by_themselves_find_their_places() {
    let mut lost = Vec::new();
    for (language, text) in LISTS {
        for (place, title) in list(text) {
            let mut book = Book::new("Row", language, Some(missal()));
            book.read(&[reading(&[title])], "2026-11-28");
            let found = found(&book);
            let given = found.get("20").map_or("no place", |p| p.as_str());
            if given != place.as_str() {
                lost.push(format!("{title}: {given} instead of {place}"));
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

#[test]
fn the_language_of_few_rows_is_guessed() {
    for (language, text) in LISTS {
        let rows = list(text);
        for few in rows.chunks(6).filter(|few| few.len() == 6) {
            let guessed = missal().language_of(few.iter().map(|r| r.1));
            assert_eq!(guessed, Some(language), "{few:?}");
        }
    }
}

#[test]
fn each_languages_titles_are_guessed_as_that_language() {
    for language in PrintedLanguage::ALL {
        let titled = missal().places.iter().filter(|p| p.nations.is_empty());
        let titles: Vec<&str> = titled.map(|p| p.title_in(Some(language))).collect();
        for part in titles.chunks(40) {
            assert_eq!(missal().language_of(part.iter().copied()), Some(language), "{part:?}");
        }
    }
}

#[test]
fn places_of_all_editions_are_titled_in_every_language() {
    for language in PrintedLanguage::ALL.into_iter().filter(|l| l.spoken().is_none()) {
        let general = missal().places.iter().filter(|p| p.nations.is_empty());
        let missing: Vec<_> =
            general.filter(|p| !p.printed.contains_key(&language)).map(|p| &p.place).collect();
        assert!(missing.is_empty(), "{language:?}: {missing:?}");
    }
}

#[test]
fn no_two_places_have_the_same_full_title_in_any_language() {
    for language in PrintedLanguage::ALL.into_iter().filter(|l| l.spoken().is_none()) {
        let titles = missal().places.iter().filter_map(|p| p.printed.get(&language)?.first());
        let mut seen = std::collections::BTreeSet::new();
        let twice: Vec<_> = titles.filter(|title| !seen.insert(*title)).collect();
        assert!(twice.is_empty(), "{language:?}: {twice:?}");
    }
}

/// A national Mass is titled in the languages its nation prints, and named in a book of no other.
#[test]
fn a_mass_of_another_nation_has_no_title() {
    let bobola = missal().get(&Place::new("saints/05-16/andrew-bobola").unwrap()).unwrap();
    assert!(!bobola.forms(PrintedLanguage::Pl).is_empty());
    assert!(bobola.forms(PrintedLanguage::Fr).is_empty());
    assert_eq!(bobola.title_in(Some(PrintedLanguage::Fr)), bobola.title.get(Language::En));
}

#[test]
fn a_book_not_known_yet_is_guessed_by_the_next_photograph() {
    let mut book = Book::new("Later", None, Some(missal()));
    book.read(&[reading(&["12", "xxxi"])], "2026-11-28");
    assert_eq!(book.language, None);
    let titles: Vec<&str> = list(LISTS[0].1).iter().map(|r| r.1).collect();
    book.read(&[reading(&titles)], "2026-11-29");
    assert_eq!(book.language, Some(PrintedLanguage::Fr));
    let lent = book.entry(&Place::new("time/lent").unwrap()).unwrap();
    assert_eq!(lent.title, "Temps du Carême");
    assert!(!lent.evidence.is_empty());
}
