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
mod under_headings;

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

/// A row of a list.
struct Listed {
    /// Where it stands in the order of the pages.
    order: usize,
    place: &'static str,
    title: &'static str,
}

fn list(text: &'static str) -> Vec<Listed> {
    let pairs = text.lines().map(|line| line.split_once('|').unwrap()).enumerate();
    pairs.map(|(order, (place, title))| Listed { order, place, title }).collect()
}

/// A row of a photograph; `at` is its index there.
fn row(at: usize, title: &str, page: Option<usize>, level: u8) -> Row {
    let top = at as i32 * 10;
    Row {
        title: title.to_owned(),
        page: page.map(|page| page.to_string()),
        level,
        column: 1,
        probability: 0.98,
        alternatives: Vec::new(),
        pages: Vec::new(),
        doubt: false,
        strip: Strip {
            photo: "list.jpg".into(),
            area: Rect { left: 0, top, right: 100, bottom: top + 9 },
        },
    }
}

/// A list of titles with their places in the order of the pages; the pages are 25 apart, whatever stands between.
fn reading(titles: &[(usize, &str)]) -> Reading {
    let titled =
        |(at, (order, title)): (usize, &(usize, &str))| row(at, title, Some(20 + 25 * order), 1);
    Reading {
        file: "list.jpg".into(),
        rows: titles.iter().enumerate().map(titled).collect(),
        crossrefs: vec![],
        notices: vec![],
    }
}

/// The book that one list shows.
fn read(titles: &[(usize, &str)]) -> Book {
    Book::from_readings("List", &[reading(titles)], Some(missal()), None, "2026-11-28")
}

/// The place each row was given to, by its index; of the outline's only.
fn found(book: &Book) -> HashMap<usize, String> {
    let known = book.entries.iter().filter(|e| missal().get(&e.place).is_some());
    let rows = known.flat_map(|e| e.evidence.iter().map(|v| (v.row, e.place.to_string())));
    rows.collect()
}

/// The rows that were given to another place than theirs, or to none.
fn misplaced(rows: &[Listed]) -> Vec<String> {
    let titles: Vec<(usize, &str)> = rows.iter().map(|r| (r.order, r.title)).collect();
    let found = found(&read(&titles));
    let given = |at| found.get(&at).map_or("no place", |place: &String| place.as_str());
    let wrong = rows.iter().enumerate().filter(|(at, row)| given(*at) != row.place);
    wrong.map(|(at, r)| format!("{}: {} instead of {}", r.title, given(at), r.place)).collect()
}

#[test]
fn rows_of_each_language_find_their_places() {
    let (mut lost, mut all) = (Vec::new(), 0);
    for (language, text) in LISTS {
        let rows = list(text);
        assert!(rows.len() >= 40, "{language:?}");
        all += rows.len();
        lost.extend(misplaced(&rows));
    }
    assert!(lost.len() * 130 <= all, "{} of {all}: {lost:#?}", lost.len());
}

/// In an index no neighbours and no order tell where a row belongs: it has its title alone to go by.
#[test]
fn rows_of_an_index_find_their_places() {
    let (mut lost, mut all) = (Vec::new(), 0);
    for (_, text) in LISTS {
        let mut rows = list(text);
        rows.sort_by_key(|row| row.title.chars().rev().collect::<String>());
        all += rows.len();
        lost.extend(misplaced(&rows));
    }
    assert!(lost.len() * 130 <= all, "{} of {all}: {lost:#?}", lost.len());
}

#[test]
fn the_language_of_few_rows_is_guessed() {
    for (language, text) in LISTS {
        let rows = list(text);
        for few in rows.chunks_exact(8) {
            let guessed = missal().language_of(few.iter().map(|row| row.title));
            assert_eq!(guessed, Some(language), "{}", few[0].title);
        }
    }
}

#[test]
fn each_languages_titles_are_guessed_as_that_language() {
    for language in PrintedLanguage::ALL {
        let titled = missal().places.iter().filter(|p| p.nations.is_empty());
        let titles: Vec<&str> = titled.map(|p| p.title_in(Some(language))).collect();
        assert_eq!(missal().language_of(titles), Some(language));
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
    book.read(&[reading(&[(0, "12"), (1, "xxxi")])], "2026-11-28");
    assert_eq!(book.language, None);
    let rows = list(LISTS[0].1);
    let titles: Vec<(usize, &str)> = rows.iter().map(|row| (row.order, row.title)).collect();
    book.read(&[reading(&titles)], "2026-11-29");
    assert_eq!(book.language, Some(PrintedLanguage::Fr));
    let lent = book.entry(&Place::new("time/lent").unwrap()).unwrap();
    assert_eq!(lent.title, "Temps du Carême");
    assert!(!lent.evidence.is_empty());
}

#[test]
fn titles_take_the_forms_of_contents_and_indexes() {
    let forms = |language: PrintedLanguage, path: &str| {
        missal().get(&Place::new(path).unwrap()).unwrap().forms(language)
    };
    let cases = [
        (PrintedLanguage::Fr, "saints/03-19/joseph", "Saint Joseph"),
        (PrintedLanguage::Fr, "needs/45-sick", "Pour les malades"),
        (PrintedLanguage::Fr, "time/easter/week-3/tuesday", "Mardi"),
        (PrintedLanguage::De, "time/ordinary/week-3", "Dritter Sonntag"),
        (PrintedLanguage::De, "saints/01-13/hilary", "Hl. Hilarius"),
        (PrintedLanguage::It, "order/preface/advent-1", "Avvento I"),
        (PrintedLanguage::It, "common/martyrs/virgin", "Per una vergine martire"),
        (PrintedLanguage::Pt, "time/lent/week-1/sunday", "Domingo I"),
        (PrintedLanguage::Pt, "time/lent/week-1/monday", "Segunda-feira"),
        (PrintedLanguage::Pl, "saints/01-13/hilary", "Świętego Hilarego"),
        (PrintedLanguage::Pl, "time/advent/week-3/sunday", "III Niedziela"),
    ];
    let missing: Vec<_> = cases
        .iter()
        .filter(|(language, path, form)| !forms(*language, path).contains(&(*form).to_owned()))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
    // A date is no numbered heading.
    assert!(!forms(PrintedLanguage::De, "time/advent/12-17").contains(&"Dezember".to_owned()));
}
