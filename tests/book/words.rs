//! A person's words: confirmed pages, absent places, the way back, the file for others.

use super::score::*;
use super::simulate::*;
use std::path::Path;
use vitta::book::{Book, Change, Said, State, Sticker, Tab, carry_marks, concordance};
use vitta::place::Place;
use vitta::text::CrossReference;

fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

fn sparse() -> (Edition, Book) {
    let dice = &mut Dice(11);
    let edition = Edition::print(&USUAL, dice);
    let readings = photograph(&edition, &USUAL, Photographed::ContentsAndPrefaces, dice);
    (edition, book_of(&readings))
}

fn width(book: &Book, path: &str) -> u32 {
    let entry = book.entry(&place(path)).unwrap();
    let number = |l: &str| vitta::book::Label::parse(l).unwrap().number;
    entry.interval.as_ref().map_or(0, |(a, b)| number(b) - number(a))
}

#[test]
fn a_confirmed_page_narrows_its_neighbours() {
    let (edition, mut book) = sparse();
    let thursday = place("time/lent/week-3/thursday");
    let before = width(&book, "time/lent/week-3/wednesday");
    let page = edition.page(&thursday).unwrap().to_string();
    book.confirm(&thursday, &page, "2026-11-25").unwrap();
    let entry = book.entry(&thursday).unwrap();
    assert_eq!((entry.state, entry.probability), (State::Confirmed, 1.0));
    assert_eq!(entry.page.as_deref(), Some(page.as_str()));
    assert!(width(&book, "time/lent/week-3/wednesday") < before, "{before}");
}

#[test]
fn every_step_can_be_undone_to_the_empty_book() {
    let (edition, mut book) = sparse();
    let mut stages = vec![book.clone()];
    let friday = place("time/lent/week-2/friday");
    let page = edition.page(&friday).unwrap().to_string();
    book.confirm(&friday, &page, "2026-11-25").unwrap();
    stages.push(book.clone());
    book.mark_absent(&friday, "2026-11-25").unwrap();
    stages.push(book.clone());
    let dice = &mut Dice(5);
    book.read(&[edition.list("weekdays.jpg", &USUAL, dice, formularies)], "2026-11-26");
    assert!(book.entries.iter().filter(|e| !e.evidence.is_empty()).count() > 800);
    while let Some(stage) = stages.pop() {
        book.undo().unwrap();
        assert_eq!(Book { undone: Vec::new(), ..book.clone() }, stage);
    }
    book.undo().unwrap();
    assert!(book.undo().is_none());
    assert!(book.entries.iter().all(|e| e.evidence.is_empty() && e.said.is_none()));
}

#[test]
fn a_photograph_read_again_replaces_itself_and_can_be_undone() {
    let dice = &mut Dice(11);
    let edition = Edition::print(&USUAL, dice);
    let mut readings = photograph(&edition, &USUAL, Photographed::ContentsAndPrefaces, dice);
    let mut book = book_of(&readings);
    let before = book.clone();
    let lent = place("time/lent");
    let row = readings[0].rows.iter_mut().find(|r| r.title == "Lent").expect("the row of Lent");
    row.alternatives.clear();
    row.page = Some("173".into());
    book.read(&readings[..1], "2026-11-26");
    let labels: Vec<_> = book.entry(&lent).unwrap().evidence.iter().map(|e| e.label()).collect();
    // A page so far from its neighbours is no evidence; what was read there before is none any more.
    assert!(labels.iter().all(|l| *l == Some("173")), "{labels:?}");
    book.undo();
    assert_eq!(Book { undone: Vec::new(), ..book }, before);
}

#[test]
fn a_book_survives_its_file() {
    let (_, book) = sparse();
    let file = Path::new("book.json");
    let text = vitta::format::to_text(&book, file).unwrap();
    let again: Book = vitta::format::parse(&text, file).unwrap();
    assert_eq!(again.entries, book.entries);
    let mut settled = again.clone();
    settled.infer();
    assert_eq!(settled.entries, again.entries, "the file holds all the evidence");
}

#[test]
fn what_is_wrong_is_refused_with_a_hint() {
    let (_, mut book) = sparse();
    for (path, page, hint) in [
        ("time/lent/week-3/thurday", "210", "did you mean time/lent/week-3/thursday?"),
        ("time/lent/week-3/thursday", "p. 210", "labels look like 512, xiv or 1747a"),
    ] {
        let before = book.clone();
        let error = book.confirm(&place(path), page, "2026-11-25").unwrap_err();
        assert_eq!(error.hint().as_deref(), Some(hint), "{error}");
        assert_eq!(book, before);
    }
}

#[test]
fn a_reference_on_a_days_page_is_heard_and_contradicts() {
    let (edition, mut book) = sparse();
    let preface = place("order/preface/lent-2");
    let truth = edition.page(&preface).unwrap();
    let label = "Preface II of Lent".to_owned();
    let crossref = CrossReference { label, pages: vec![(truth + 18).to_string()], doubt: false };
    let reading = vitta::text::Reading {
        file: "day.jpg".into(),
        rows: vec![],
        crossrefs: vec![crossref],
        notices: vec![],
    };
    book.read(&[reading], "2026-11-25");
    let entry = book.entry(&preface).unwrap();
    assert!(entry.evidence.iter().any(|e| e.strip.photo == "day.jpg"));
    let told = book.notices.iter().find(|n| n.contains("day.jpg"));
    let told = told.expect("the contradiction is shown");
    // One number that goes against all lists: they are believed, and the photograph is named.
    let names = told.contains(&(truth + 18).to_string()) || told.contains("do not agree");
    assert!(names, "{told}");
}

#[test]
fn the_next_look_is_near_what_is_wanted() {
    let (_, book) = sparse();
    let wanted: Vec<(Place, f64)> = ["monday", "tuesday", "wednesday"]
        .map(|day| (place(&format!("time/lent/week-4/{day}")), 1.0))
        .to_vec();
    let looks = book.look_next(&wanted, 3);
    assert_eq!(looks.len(), 3);
    assert!(looks[0].place.is_under("time/lent"), "{looks:?}");
    assert!(looks[0].teaches >= looks[1].teaches && looks[0].teaches > 0.3, "{looks:?}");
}

#[test]
fn a_given_book_starts_its_own_history() {
    let (_, mut book) = sparse();
    book.ribbons.push(vitta::book::Ribbon::new("red"));
    let brought = Book::brought(&book.to_share(), "Chapel", "2026-11-25").unwrap();
    assert!(brought.ribbons.is_empty());
    assert_eq!(brought.name, "Chapel");
    assert_eq!(brought.entries.len(), book.entries.len());
    let same = brought.entries.iter().zip(&book.entries).filter(|(a, b)| a.page == b.page).count();
    assert_eq!(same, book.entries.len());
    assert!(matches!(
        brought.history[..],
        [vitta::book::Step { what: Change::Brought { .. }, .. }]
    ));
    assert!(brought.clone().undo().is_none());
}

#[test]
fn two_editions_side_by_side_and_marks_carried_over() {
    let (old_edition, mut old) = sparse();
    let dice = &mut Dice(99);
    let new_edition = Edition::print(&USUAL, dice);
    let readings = photograph(&new_edition, &USUAL, Photographed::All, dice);
    let mut new = book_of(&readings);
    let advent = place("time/advent");
    let exact = |book: &mut Book, edition: &Edition| {
        let page = edition.page(&advent).unwrap().to_string();
        book.confirm(&advent, &page, "2026-11-25").unwrap();
        page
    };
    let (old_page, new_page) = (exact(&mut old, &old_edition), exact(&mut new, &new_edition));
    let pairs = concordance(&old, &new);
    let pair = pairs.iter().find(|p| p.place == advent).unwrap();
    assert_eq!(pair.old.as_ref().unwrap().page, old_page);
    assert_eq!(pair.new.as_ref().unwrap().page, new_page);
    old.tabs.push(Tab { title: "Advent".into(), page: old_page });
    old.stickers.push(Sticker { page: "40a".into(), place: place("saints/06-30/own-patron") });
    let left = carry_marks(&old, &mut new, "2026-11-25");
    assert!(left.is_empty(), "{left:?}");
    let expected = new.entry(&advent).unwrap().page.clone().unwrap();
    let tab = new.tabs[0].page.parse::<u32>().unwrap();
    assert!(tab.abs_diff(expected.parse().unwrap()) <= 3, "{tab} for {expected}");
    assert!(new.stickers[0].page.ends_with('a'));
}

#[test]
fn words_against_the_order_of_the_book_are_noted() {
    let (edition, mut book) = sparse();
    let [monday, tuesday] =
        ["monday", "tuesday"].map(|day| place(&format!("time/lent/week-2/{day}")));
    let page = edition.page(&tuesday).unwrap();
    book.confirm(&monday, &(page + 3).to_string(), "2026-11-25").unwrap();
    book.confirm(&tuesday, &page.to_string(), "2026-11-25").unwrap();
    assert_eq!(book.entry(&monday).unwrap().said, Some(Said::Page((page + 3).to_string())));
    assert!(book.notices.iter().any(|n| n.contains("should follow")), "{:?}", book.notices);
}

#[test]
fn a_page_far_out_of_order_is_asked_about_once_and_then_believed() {
    let (edition, mut book) = sparse();
    let friday = place("time/lent/week-2/friday");
    let page = edition.page(&friday).unwrap();
    for near in [page, page + 3, page - 3] {
        book.in_order(&friday, &near.to_string()).unwrap();
    }
    for far in ["3331", "12", "xiv"] {
        let question = book.in_order(&friday, far).unwrap_err();
        assert!(question.to_string().contains(far), "{question}");
        assert_eq!(
            question.hint().as_deref(),
            Some("if the book has it there, say it again with --sure")
        );
    }
    book.confirm(&friday, "3331", "2026-11-25").unwrap();
    assert_eq!(book.entry(&friday).unwrap().page.as_deref(), Some("3331"));
    book.in_order(&friday, "3331").unwrap();
}

#[test]
fn what_a_file_claims_without_a_reading_or_a_word_is_refused_or_taken_as_said() {
    let (_, book) = sparse();
    let shared = |state: State| {
        let mut shared = book.to_share();
        let entry = shared.entries.iter_mut().find(|e| e.place.as_str() == "time/lent").unwrap();
        (entry.state, entry.page, entry.said) = (state, Some("777".into()), None);
        entry.evidence.clear();
        shared
    };
    for claimed in [State::Read, State::Mended, State::Doubtful] {
        let refused = Book::brought(&shared(claimed), "Chapel", "2026-11-25").unwrap_err();
        let told = "without what was read or said of them, of 1 places, the first time/lent on 777";
        assert!(refused.to_string().contains(told), "{refused}");
    }
    let brought = Book::brought(&shared(State::Confirmed), "Chapel", "2026-11-25").unwrap();
    let lent = brought.entry(&place("time/lent")).unwrap();
    assert_eq!((lent.page.as_deref(), lent.state), (Some("777"), State::Confirmed));
    assert_eq!(lent.said, Some(Said::Page("777".into())));
    // Evidence that names another page than the one claimed speaks for nothing.
    let mut shared = book.to_share();
    let entry = shared.entries.iter_mut().find(|e| e.state == State::Read).unwrap();
    entry.page = Some("9998".into());
    assert!(Book::brought(&shared, "Chapel", "2026-11-25").is_err());
}
