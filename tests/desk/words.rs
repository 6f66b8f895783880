//! The page's words: both languages have the same, and every word asked for is there.

use std::collections::BTreeSet;
use std::path::Path;

fn page(file: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/desk/page");
    std::fs::read_to_string(folder.join(file)).unwrap()
}

/// The keys of one of the two lists: names before a colon at the start of a line or after a comma.
fn keys(list: &str) -> BTreeSet<String> {
    let mut keys = BTreeSet::new();
    let mut depth = 0;
    let mut quoted = None;
    let mut word = String::new();
    let mut before = '\n';
    for c in list.chars() {
        match (quoted, c) {
            (Some(q), c) if c == q => quoted = None,
            (Some('"'), c) if depth == 1 => word.push(c),
            (Some(_), _) => {}
            (None, '"' | '`') => {
                quoted = Some(c);
                if depth == 1 && matches!(before, ',' | '{') {
                    word.clear();
                }
            }
            (None, '{' | '[' | '(') => depth += 1,
            (None, '}' | ']' | ')') => depth -= 1,
            (None, ':') if depth == 1 && !word.is_empty() => {
                keys.insert(std::mem::take(&mut word));
            }
            (None, ',') if depth == 1 => word.clear(),
            (None, c) if depth == 1 && (c.is_alphanumeric() || c == '-') => word.push(c),
            (None, c) if depth == 1 && !c.is_whitespace() => word.clear(),
            _ => {}
        }
        if !c.is_whitespace() {
            before = c;
        }
    }
    keys
}

fn lists() -> (BTreeSet<String>, BTreeSet<String>) {
    let words = page("words.js");
    let (english, spanish) = words.split_once("const SPANISH = ").unwrap();
    let english = english.split_once("const ENGLISH = ").unwrap().1;
    let end = |text: &str| text[..text.find("\n};").unwrap() + 2].to_owned();
    (keys(&end(english)), keys(&end(spanish)))
}

#[test]
fn both_languages_have_the_same_words() {
    let (english, spanish) = lists();
    assert!(english.len() > 150, "{english:?}");
    assert_eq!(english, spanish);
}

#[test]
fn every_word_that_the_page_asks_for_is_there() {
    let (english, _) = lists();
    let mut asked = 0;
    for file in [
        "desk.js",
        "today.js",
        "week.js",
        "book.js",
        "review.js",
        "ribbons.js",
        "parish.js",
        "edge.js",
    ] {
        let text = page(file);
        for (at, _) in text.match_indices("t(\"") {
            let before = text[..at].chars().next_back();
            if before.is_some_and(|c| c.is_alphanumeric()) {
                continue;
            }
            let word = text[at + 3..].split('"').next().unwrap();
            assert!(english.contains(word), "{file} asks for \"{word}\"");
            asked += 1;
        }
    }
    assert!(asked > 100);
}
