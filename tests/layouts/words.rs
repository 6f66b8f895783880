//! Invented words in the shape of titles: the model of the page never sees words, only their shape.

use super::random::Random;

const ONSETS: [&str; 24] = [
    "b", "c", "d", "f", "g", "l", "m", "n", "p", "r", "s", "t", "v", "br", "cl", "fr", "gr", "st",
    "tr", "ch", "qu", "th", "j", "",
];
const NUCLEI: [&str; 14] =
    ["a", "e", "i", "o", "u", "ae", "ie", "ou", "é", "ö", "ia", "io", "ã", "y"];
const CODAS: [&str; 14] = ["", "", "", "n", "s", "r", "l", "m", "t", "nt", "st", "us", "x", "ng"];
const SMALL: [&str; 22] = [
    "of", "the", "and", "de", "la", "der", "in", "et", "del", "du", "des", "von", "und", "los",
    "y", "da", "do", "di", "for", "or", "a", "w",
];

fn syllable(random: &mut Random) -> String {
    let parts: [&str; 3] = [*random.pick(&ONSETS), *random.pick(&NUCLEI), *random.pick(&CODAS)];
    parts.concat()
}

/// A word in small letters.
pub fn word(random: &mut Random) -> String {
    (0..1 + random.index(2) + random.index(2)).map(|_| syllable(random)).collect()
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// A word with a capital.
pub fn name(random: &mut Random) -> String {
    capital(&word(random))
}

/// A title of about so many words: capitals as some languages set them, now and then a number, a comma, brackets.
pub fn title(random: &mut Random, words: usize, capitals: bool) -> String {
    let mut out: Vec<String> = Vec::new();
    for i in 0..words.max(1) {
        let mut one = match random.index(if i == 0 { 4 } else { 8 }) {
            6 | 7 => (*random.pick(&SMALL)).to_owned(),
            _ if capitals || i == 0 => name(random),
            _ => word(random),
        };
        let last = i + 1 == words;
        if i > 0 && random.chance(0.05) {
            one = number(random);
        } else if !last && random.chance(0.14) {
            one.push(if random.chance(0.8) { ',' } else { ':' });
        } else if !last && random.chance(0.05) {
            one = format!("{}.", one.chars().take(3).collect::<String>());
        } else if last && i > 0 && random.chance(0.06) {
            one = format!("({one})");
        }
        out.push(one);
    }
    out.join(" ")
}

/// A number or letter as lists count with: 0 arabic, 1 roman, 2 a letter.
pub fn counted(form: usize, nth: u32) -> String {
    match form {
        0 => (1 + nth % 30).to_string(),
        1 => roman(1 + nth % 20, true),
        _ => char::from(b'A' + (nth % 8) as u8).to_string(),
    }
}

/// A title that is a number or a letter alone: "2", "II.", "B".
pub fn numeral(random: &mut Random, form: usize, nth: u32) -> String {
    let stop = *random.pick(&["", "", ".", ")"]);
    format!("{}{stop}", counted(form, nth))
}

/// A day of a month as a title: "December 17", "17 de diciembre".
pub fn day(random: &mut Random, month_first: bool, day: u32) -> String {
    let month = month(random);
    match random.index(4) {
        _ if month_first => format!("{month} {day}"),
        0 => format!("{day} {} {month}", word(random)),
        1 => format!("{day}. {month}"),
        _ => format!("{day} {month}"),
    }
}

/// A number as titles hold them: "II", "3", "1962", "A".
fn number(random: &mut Random) -> String {
    match random.index(5) {
        0 | 1 => roman(1 + random.index(34) as u32, true),
        2 => (1 + random.index(34)).to_string(),
        3 => (1 + random.index(150)).to_string(),
        _ => (1500 + random.index(500)).to_string(),
    }
}

/// A roman number.
pub fn roman(mut value: u32, large: bool) -> String {
    const PARTS: [(u32, &str); 9] = [
        (100, "c"),
        (90, "xc"),
        (50, "l"),
        (40, "xl"),
        (10, "x"),
        (9, "ix"),
        (5, "v"),
        (4, "iv"),
        (1, "i"),
    ];
    let mut out = String::new();
    for (worth, letters) in PARTS {
        while value >= worth {
            out.push_str(letters);
            value -= worth;
        }
    }
    if large { out.to_uppercase() } else { out }
}

/// A word that says something about its neighbour, from the program's own list.
pub fn listed(random: &mut Random, list: &str) -> String {
    let file: serde_json::Value =
        serde_json::from_str(include_str!("../../src/data/reading/words.json"))
            .expect("words.json");
    let words = file[list].as_array().expect("a list");
    words[random.index(words.len())].as_str().expect("a word").to_owned()
}

/// The name of a month as print has it, whole or cut short.
pub fn month(random: &mut Random) -> String {
    let month = listed(random, "months");
    let month = if random.chance(0.7) { capital(&month) } else { month };
    if month.chars().count() <= 4 && random.chance(0.7) { format!("{month}.") } else { month }
}
