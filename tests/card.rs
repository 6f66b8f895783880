//! Tests of the stage `card`.

use crate::ribbon::plans::{SIX, edition, lent_commemoration};
use chrono::NaiveDate;
use std::path::Path;
use vitta::book::State;
use vitta::calendar::{Calendar, Day};
use vitta::card::terminal::{Terminal, write};
use vitta::card::{Card, DayPage, Elsewhere, Kind, Paper, day_page, lay_out, pdf, svg};
use vitta::language::Language;
use vitta::ribbon::costs::Costs;
use vitta::ribbon::plan;

fn lent_monday() -> Day {
    let date = NaiveDate::from_ymd_opt(2026, 3, 9).unwrap();
    Calendar::shipped("general").unwrap().day(date, Language::En).unwrap()
}

fn card(colours: &[&str], language: Language) -> Card {
    let service = lent_commemoration();
    let plan = plan(&service, &edition(colours), None, &Costs::default()).unwrap();
    let mut card = lay_out(&lent_monday(), &service, &plan, language);
    // The day's own sentences are tested where they are made.
    card.reasons = vec!["Why the day is what it is.".into()];
    card
}

const PLAIN: Terminal = Terminal { width: 80, colour: false, reasons: true };

/// The card of `fixtures/cards/<name>.json`, laid out once and kept, so that the writers' tests do not
/// change with the titles of other stages.
fn stored(name: &str) -> Card {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("fixtures/cards/{name}.json"));
    let file: serde_json::Value = serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap();
    serde_json::from_value(file["card"].clone()).unwrap()
}

/// Compares with `fixtures/cards/<name>`; `UPDATE=1 cargo test --test all card` rewrites it.
fn assert_as_stored(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/cards").join(name);
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, text).unwrap();
    }
    let stored = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(
        text, stored,
        "{name} differs; if the new one is right: UPDATE=1 cargo test --test all card"
    );
}

/// Pages aligned under one another, each movement named, the caution last.
#[test]
fn a_card_in_eighty_columns() {
    assert_as_stored("lent-commemoration.txt", &write(&stored("lent-commemoration"), PLAIN));
}

/// The same card for a telephone's width, in Spanish where the titles are known in it.
#[test]
fn a_narrow_card_in_spanish() {
    let text = write(&stored("lent-commemoration-es"), Terminal { width: 46, ..PLAIN });
    assert_as_stored("lent-commemoration-es.txt", &text);
}

#[test]
fn no_line_is_wider_than_the_terminal() {
    for width in [40, 46, 60, 80, 100] {
        for language in [Language::En, Language::Es] {
            let text = write(&card(SIX, language), Terminal { width, ..PLAIN });
            let wide: Vec<&str> = text.lines().filter(|l| l.chars().count() > width).collect();
            assert!(wide.is_empty(), "{width}: {wide:#?}");
        }
    }
}

#[test]
fn colours_are_named_also_where_they_are_painted() {
    let painted = write(&card(SIX, Language::En), Terminal { colour: true, ..PLAIN });
    let plain = write(&card(SIX, Language::En), PLAIN);
    assert!(painted.contains('\u{1b}') && !plain.contains('\u{1b}'));
    for colour in SIX {
        assert!(painted.contains(&format!("{colour} ribbon")), "{colour}");
    }
}

#[test]
fn a_doubtful_page_is_marked_wherever_it_stands() {
    let mut book = edition(SIX);
    let prayer = book.entries.iter_mut().find(|e| e.place.as_str() == "order/prayer/2").unwrap();
    prayer.state = State::Doubtful;
    let page = prayer.page.clone().unwrap();
    let service = lent_commemoration();
    let plan = plan(&service, &book, None, &Costs::default()).unwrap();
    let card = lay_out(&lent_monday(), &service, &plan, Language::En);
    let text = write(&card, PLAIN);
    assert_eq!(text.matches(&format!("{page}?")).count(), 2, "{text}");
    assert!(card.notices.iter().any(|n| n.starts_with(&format!("Check p. {page}: ____"))));
}

#[test]
fn the_caution_stands_on_every_card() {
    assert!(card(SIX, Language::En).caution.contains("diocese's directory, which prevails"));
    assert!(card(SIX, Language::Es).caution.contains("El sacerdote decide"));
}

#[test]
fn a_pdf_is_the_same_to_the_byte_on_every_run() {
    for paper in [Paper::A6, Paper::A5, Paper::A4] {
        let write = || pdf::write(&card(SIX, Language::En), paper).unwrap();
        assert!(write() == write(), "{paper:?}");
    }
}

/// The catalogue of a PDF is not compressed: its pages and the embedded fonts can be counted.
#[test]
fn a_pdf_has_its_paper_its_fonts_and_few_pages() {
    for (paper, box_, most) in [
        (Paper::A6, "297.64 419.53", 2),
        (Paper::A5, "419.53 595.28", 1),
        (Paper::A4, "595.28 841.89", 2),
    ] {
        let bytes = pdf::write(&card(SIX, Language::En), paper).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let pages = text.matches(box_).count();
        assert!((1..=most).contains(&pages), "{paper:?}: {pages} pages of {box_}");
        for face in ["EBGaramond-Medium", "EBGaramond-MediumItalic", "EBGaramond-Bold"] {
            assert!(text.contains(face), "{paper:?}: {face}");
        }
    }
}

#[test]
fn an_svg_says_what_the_card_says() {
    let card = card(SIX, Language::En);
    let svg = svg::write(&card, Paper::A5).unwrap();
    for ribbon in &card.ribbons {
        assert!(svg.contains(&format!(">{}</text>", ribbon.colour)), "{}", ribbon.colour);
        assert!(svg.contains(&format!(">{}</text>", ribbon.page)), "{}", ribbon.page);
    }
    assert_eq!(svg.matches("@font-face").count(), 3);
    assert!(!svg.contains("http://") || svg.matches("http").count() == 1, "nothing is fetched");
}

#[test]
fn a_long_service_in_a_book_with_long_words_goes_on_over_the_pages() {
    let mut card = card(SIX, Language::Es);
    for step in &mut card.steps {
        step.text = "Conmemoración de todos los fieles difuntos ".repeat(6);
    }
    card.notices = vec!["Mire esta página antes de la Misa. ".repeat(12); 9];
    for paper in [Paper::A6, Paper::A5, Paper::A4] {
        assert!(pdf::write(&card, paper).unwrap().len() > 10_000);
    }
}

#[test]
fn the_file_name_says_what_kind_of_card() {
    for (name, kind) in [("card.PDF", Kind::Pdf), ("a/b.svg", Kind::Svg), ("x.txt", Kind::Text)] {
        assert_eq!(Kind::of(Path::new(name)).unwrap(), kind, "{name}");
    }
    for (name, sentence) in [
        ("card", "the card's file name has no ending, expected .pdf, .svg or .txt"),
        ("card.docx", "cards are not written as .docx, expected .pdf, .svg or .txt"),
    ] {
        let refused = Kind::of(Path::new(name)).unwrap_err();
        assert_eq!(refused.to_string(), sentence);
        assert!(refused.hint().is_some());
    }
    assert!("letter".parse::<Paper>().is_err() && "A5".parse::<Paper>().is_ok());
}

/// The Easter Vigil is white, though Holy Saturday is violet (Missal, Vigil 6: "white vestments", from
/// memory).
#[test]
fn the_card_of_the_easter_vigil_is_white() {
    let holy_saturday = NaiveDate::from_ymd_opt(2027, 3, 27).unwrap();
    let day = Calendar::shipped("general").unwrap().day(holy_saturday, Language::En).unwrap();
    let service = vitta::order::service(&day, None, &Default::default()).unwrap();
    let plan = plan(&service, &edition(SIX), None, &Costs::default()).unwrap();
    let card = lay_out(&day, &service, &plan, Language::En);
    assert_eq!(card.celebration, "The Easter Vigil in the Holy Night");
    assert!(card.particulars.contains("white"), "{}", card.particulars);
}

/// At a glance: colour, Gloria, Creed, one sentence why; what else is permitted only when asked for.
#[test]
fn the_day_at_a_glance() {
    let service = lent_commemoration();
    let day = lent_monday();
    let page = |in_full| {
        let (in_book, elsewhere) = (None, &[][..]);
        let language = Language::En;
        let page = DayPage {
            evening: None,
            day: &day,
            service: &service,
            in_book,
            elsewhere,
            beforehand: false,
            in_full,
            language,
        };
        day_page(&page, PLAIN)
    };
    for line in ["Colour: violet", "Gloria: no", "Creed: no", "Kept: "] {
        assert!(page(false).contains(line), "{}", page(false));
    }
    assert!(!page(false).contains("Permitted besides"), "{}", page(false));
    assert!(page(true).contains("Permitted besides"), "{}", page(true));
}

fn page(beforehand: bool, language: Language) -> String {
    let mut service = lent_commemoration();
    if beforehand {
        service.needs = vitta::order::beforehand(&service).unwrap();
    }
    let mut book = edition(SIX);
    book.entries.retain(|e| !e.place.is_under("appendix"));
    let plan = plan(&service, &book, Some(1), &Costs::default()).unwrap();
    let missing = plan.stops.iter().find(|s| s.page.is_none()).map(|s| s.place.clone());
    let elsewhere: Vec<Elsewhere> = missing
        .into_iter()
        .map(|place| Elsewhere { place, book: "Chapel".into(), page: "77".into() })
        .collect();
    let day = Calendar::shipped("general")
        .unwrap()
        .day(NaiveDate::from_ymd_opt(2026, 3, 9).unwrap(), language)
        .unwrap();
    let in_book = Some(&plan);
    let elsewhere = elsewhere.as_slice();
    let page = DayPage {
        evening: None,
        day: &day,
        service: &service,
        in_book,
        elsewhere,
        beforehand,
        in_full: true,
        language,
    };
    day_page(&page, PLAIN)
}

/// Each text once with its page, what is by heart left out, the caution last.
#[test]
fn the_page_of_a_day_gives_the_pages_of_a_book() {
    let page = page(false, Language::En);
    let line = |words: &str| page.lines().find(|l| l.contains(words)).unwrap_or_default().trim();
    assert!(line("Collect:").starts_with("815"), "{page}");
    assert!(line("Preface I").starts_with("473"), "{page}");
    assert!(!page.contains("Greeting"), "{page}");
    assert!(page.trim_end().ends_with("priest decides."), "{page}");
}

/// What this book lacks is named with the book that has it.
#[test]
fn a_text_that_is_not_in_the_book_is_found_in_another() {
    let page = page(true, Language::En);
    let at = page.find("not here").unwrap_or_else(|| panic!("{page}"));
    assert!(page[at..].contains("Chapel, p. 77"), "{page}");
    assert!(page.contains("In the sacristy\n  not here  Preparation"), "{page}");
}

/// A Spanish card has no English word for a ribbon whose colour nobody named.
#[test]
fn ribbons_without_colour_are_numbered_in_the_cards_language() {
    let service = lent_commemoration();
    let plan = plan(&service, &edition(&[]), Some(2), &Costs::default()).unwrap();
    let text = write(&lay_out(&lent_monday(), &service, &plan, Language::Es), PLAIN);
    assert!(text.contains("cinta 1") && !text.contains("ribbon"), "{text}");
}
