//! Two programs on one shelf at the same time.

use super::{Sacristy, done, refused};
use vitta::book::{Book, Entry, Said};
use vitta::place::Place;

/// Many correct one book at once: each correction that was told as done is in the book, and in its history.
#[test]
fn of_two_who_correct_one_book_neither_loses_a_word() {
    let sacristy = Sacristy::new();
    let places: Vec<String> = (0..12).map(|n| format!("votive/{n}")).collect();
    let mut book: Book = sacristy.shelf().open("chapel").unwrap();
    for place in &places {
        book.entries.push(Entry::typed(Place::new(place).unwrap(), place, "900"));
    }
    sacristy.shelf().put(&book).unwrap();
    let running: Vec<_> = places
        .iter()
        .enumerate()
        .map(|(n, place)| {
            let page = (901 + n).to_string();
            let mut set = sacristy.vitta(&["book", "set", "chapel", place, &page]);
            set.stdout(std::process::Stdio::piped()).stderr(std::process::Stdio::piped());
            (place, page, set.spawn().unwrap())
        })
        .collect();
    let mut kept = 0;
    let answers: Vec<_> = running
        .into_iter()
        .map(|(place, page, set)| (place, page, set.wait_with_output().unwrap()))
        .collect();
    let book = sacristy.shelf().open("chapel").unwrap();
    for (place, page, answer) in answers {
        if answer.status.code() == Some(2) {
            refused(&answer);
            continue;
        }
        done(&answer);
        kept += 1;
        let said = book.entry(&Place::new(place).unwrap()).unwrap().said.clone();
        assert_eq!(said, Some(Said::Page(page)), "{place}");
    }
    assert_eq!(book.history.len(), kept);
    assert!(kept > 0);
}

/// What the one settles and what the other settles of the parish are both kept.
#[test]
fn of_two_who_settle_the_parish_neither_loses_a_word() {
    let sacristy = Sacristy::new();
    let moments = ["greeting", "kyrie", "gloria", "creed", "preparation", "preface-dialogue"];
    let prayers = ["order/prayer/1", "order/prayer/2", "order/prayer/3", "order/prayer/4"];
    let texts: Vec<String> = moments.iter().chain(&prayers).map(|t| (*t).to_owned()).collect();
    let running: Vec<_> = texts
        .iter()
        .map(|text| {
            let mut set = sacristy.vitta(&["parish", "set", "--by-heart", text]);
            set.stdout(std::process::Stdio::null()).stderr(std::process::Stdio::null());
            (text, set.spawn().unwrap())
        })
        .collect();
    let done: Vec<_> =
        running.into_iter().map(|(text, mut set)| (text, set.wait().unwrap().success())).collect();
    let by_heart = sacristy.shelf().parish().unwrap().settings.by_heart;
    for (text, _) in done.iter().filter(|(_, done)| *done) {
        assert!(by_heart.contains(text), "{text} was told as done; {by_heart:?}");
    }
}
