//! Books that follow no outline, and places of a book's own.

use super::simulate::*;
use vitta::book::{Book, Label, Outline, State};
use vitta::geom::Rect;
use vitta::language::{Language, PrintedLanguage};
use vitta::place::Place;
use vitta::text::{Reading, Row, Strip};

fn row(title: &str, page: Option<&str>, level: u8) -> Row {
    Row {
        title: title.into(),
        page: page.map(str::to_owned),
        pages: vec![],
        level,
        column: 1,
        alternatives: vec![],
        probability: 0.98,
        doubt: false,
        strip: Strip {
            photo: "contents.jpg".into(),
            area: Rect { left: 0, top: 0, right: 9, bottom: 9 },
        },
    }
}

fn reading(file: &str, rows: Vec<Row>) -> Reading {
    Reading { file: file.into(), rows, crossrefs: vec![], notices: vec![] }
}

#[test]
fn a_book_without_outline_keeps_its_printed_titles() {
    let rows = vec![
        row("Preface", Some("vii"), 1),
        row("Morning Prayer", None, 1),
        row("Opening Sentences", Some("12"), 2),
        row("The Litany", Some("19"), 2),
        row("Holy Communion", Some("31"), 1),
        row("The Litany", Some("45"), 2),
        row("Collects", Some("60"), 1),
    ];
    let first = [reading("contents.jpg", rows)];
    let mut book = Book::from_readings("Red book", &first, None, None, "2026-11-25");
    let page = |path: &str, book: &Book| {
        book.entry(&Place::new(path).unwrap()).and_then(|e| e.page.clone())
    };
    for (path, expected) in [
        ("preface", "vii"),
        ("morning-prayer/opening-sentences", "12"),
        ("morning-prayer/litany", "19"),
        ("holy-communion/litany", "45"),
        ("collects", "60"),
    ] {
        assert_eq!(page(path, &book).as_deref(), Some(expected), "{path}");
    }
    assert_eq!(book.roman_pages, 7);
    // A second photograph of the same list adds evidence, not places.
    let known = book.entries.len();
    let again = vec![row("Opening Sentences", Some("12"), 2), row("Collects", Some("60"), 1)];
    book.read(&[reading("again.jpg", again)], "2026-11-26");
    assert_eq!(book.entries.len(), known);
}

#[test]
fn a_place_of_the_books_own_stands_where_its_list_has_it() {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let dice = &mut Dice(21);
    let exact = Habits { digit_errors: 0.0, letter_errors: 0.0, lost_rows: 0.0, ..USUAL };
    let edition = Edition::print(&exact, dice);
    let mut list = edition.list("saints.jpg", &exact, dice, |p| {
        p.place.is_under("saints") && p.level == 3 && p.nations.is_empty()
    });
    let after = list.rows.iter().position(|r| r.title.contains("Patrick")).unwrap();
    let page = list.rows[after].page.clone();
    list.rows.insert(after + 1, row("Patronage of the Hill Chapel", page.as_deref(), 3));
    let english = Some(PrintedLanguage::En);
    let book = Book::from_readings("Own", &[list], Some(outline), english, "2026-11-25");
    let at = book.entries.iter().position(|e| e.title == "Patronage of the Hill Chapel").unwrap();
    assert!(book.entries[at - 1].title.contains("Patrick"));
    assert_eq!(book.entries[at].page, page);
}

#[test]
fn front_matter_in_roman_numbers_is_its_own_run() {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let rows = vec![
        row("General Instruction of the Roman Missal", Some("xix"), 2),
        row("The General Roman Calendar", Some("cx"), 2),
        row("Proper of Time", Some("3"), 1),
        row("Advent", Some("5"), 2),
        row("Christmas Time", Some("41"), 2),
        row("Lent", Some("79"), 2),
        row("The Order of Mass", Some("395"), 1),
        row("Proper of Saints", Some("701"), 1),
    ];
    let readings = [reading("contents.jpg", rows)];
    let book = Book::from_readings("Roman", &readings, Some(outline), None, "2026-11-25");
    let entry = |path: &str| book.entry(&Place::new(path).unwrap()).unwrap();
    assert_eq!(entry("front/instruction").page.as_deref(), Some("xix"));
    assert_eq!(entry("time/lent").page.as_deref(), Some("79"));
    let norms = entry("front/norms");
    assert_eq!(norms.state, State::Estimated);
    let label = Label::parse(norms.page.as_deref().unwrap()).unwrap();
    assert!((19..=110).contains(&label.number), "{label}");
    assert!(book.opening("cx").unwrap() < book.opening("3").unwrap());
}

#[test]
fn the_language_is_guessed_from_the_titles() {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    for (language, titles) in [
        (Language::Es, ["Propio del Tiempo", "Tiempo de Adviento", "Ordinario de la Misa"]),
        (Language::La, ["Proprium de tempore", "Tempus Adventus", "Ordo Missae"]),
        (Language::En, ["Proper of Time", "Advent", "The Order of Mass"]),
    ] {
        let pages = ["3", "5", "395"];
        let rows = titles.iter().zip(pages).map(|(t, p)| row(t, Some(p), 1)).collect();
        let readings = [reading("contents.jpg", rows)];
        let book = Book::from_readings("Guess", &readings, Some(outline), None, "2026-11-25");
        assert_eq!(book.language, language.into());
        let order = book.entry(&Place::new("order").unwrap()).unwrap();
        assert_eq!(order.page.as_deref(), Some("395"), "{language:?}");
    }
}
