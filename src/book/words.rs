//! Titles as words that can be compared: case and accents gone, ordinals and roman numerals as
//! numbers, filler words dropped, abbreviations spelled out.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// One word of a title.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Word {
    /// An ordinary word, lower case, without accents.
    Plain(String),
    /// "3", "III", "Third", "tercero".
    Number(u16),
    /// A letter that counts: the B of "B. For One Pastor".
    Letter(char),
}

/// Words that tell no title from another, in English, Spanish and Latin.
const FILLERS: &str = " the of in for on at to and or a an with by from within during after our \
    de del la el los las y en por para con un una o lo su al se dentro \
    et ad de in ex cum pro infra post seu vel ";

/// Short forms and variant words, with what they stand for. Common practice in lists and calendars.
const SHORT_FORMS: &str = " st:saint ss:saints sts:saints sto:saint sta:saint san:saint santo:saint \
    santa:saint santos:saints santas:saints s:saint bl:blessed bvm:blessed+virgin+mary \
    sun:sunday mon:monday tue:tuesday tues:tuesday wed:wednesday thu:thursday thur:thursday \
    thurs:thursday fri:friday sat:saturday dom:domingo jan:january feb:february mar:march \
    apr:april jun:june jul:july aug:august sept:september sep:september oct:october nov:november \
    dec:december pref:preface ep:eucharistic+prayer ord:ordinary wk:week abp:bishop bp:bishop \
    evang:evangelist ap:apostle app:apostles mart:martyr virg:virgin doct:doctor hebd:hebdomadae \
    dominica:dominica praef:praefatio ";

const ORDINALS: [&str; 10] = [
    "first primero primera primer primus prima primum primi primae",
    "second segundo segunda secundus secunda secundum secundae",
    "third tercero tercera tercer tertius tertia tertium tertiae",
    "fourth cuarto cuarta quartus quarta quartum quartae",
    "fifth quinto quinta quintus quintum quintae",
    "sixth sexto sexta sextus sextum sextae",
    "seventh septimo septima septimus septimum septimae",
    "eighth octavo octavus octavum",
    "ninth noveno novena nonus nona nonum nonae",
    "tenth decimo decima decimus decimum decimae",
];

const TEENS: [&str; 10] = [
    "eleventh undecimo",
    "twelfth duodecimo",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
    "twentieth vigesimo",
];

/// The words of a title, in order.
pub fn words(title: &str) -> Vec<Word> {
    let mut found = Vec::new();
    let mut tens = 0;
    for raw in title.split(|c: char| !is_in_word(c)) {
        if raw.is_empty() {
            continue;
        }
        let plain = folded(raw);
        if let Some(value) = tens_word(&plain) {
            tens = value;
            continue;
        }
        match ordinal(&plain) {
            Some(unit) if unit < 10 => found.push(Word::Number(tens + unit)),
            Some(unit) => found.push(Word::Number(unit)),
            None => push_word(raw, plain, &mut found),
        }
        tens = 0;
    }
    found
}

/// Whether a character is part of a word.
pub(super) fn is_in_word(c: char) -> bool {
    c.is_alphanumeric() || is_combining_mark(c)
}

/// Lower case, without accents, ligatures taken apart.
pub(super) fn folded(raw: &str) -> String {
    let folded = raw.nfkd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase);
    let letters = folded.collect::<String>();
    letters.replace('æ', "ae").replace('œ', "oe").replace('ß', "ss").replace('ł', "l")
}

fn push_word(raw: &str, plain: String, found: &mut Vec<Word>) {
    if let Some(number) = number(raw, &plain) {
        found.push(Word::Number(number));
        return;
    }
    let mut letters = raw.chars();
    if let (Some(letter), None) = (letters.next(), letters.next())
        && ('A'..='H').contains(&letter)
    {
        found.push(Word::Letter(letter));
        return;
    }
    if FILLERS.split(' ').any(|f| f == plain) {
        return;
    }
    match SHORT_FORMS
        .split(' ')
        .find_map(|pair| pair.strip_prefix(plain.as_str())?.strip_prefix(':'))
    {
        Some(long) => found.extend(long.split('+').map(|w| Word::Plain(w.to_owned()))),
        None => found.push(Word::Plain(plain)),
    }
}

fn number(raw: &str, plain: &str) -> Option<u16> {
    let digits = ["st", "nd", "rd", "th"].iter().find_map(|end| plain.strip_suffix(end));
    if let Ok(number) = digits.unwrap_or(plain).parse() {
        return Some(number);
    }
    // A reader takes the strokes of small numerals for one another: "Il" is II, "lV" is IV.
    let strokes: String = raw.chars().map(|c| if "Il1|".contains(c) { 'I' } else { c }).collect();
    let roman = !strokes.is_empty() && strokes.chars().all(|c| "IVX".contains(c));
    roman.then(|| roman_value(&strokes)).flatten()
}

/// The value of a roman numeral up to 39, also of the sloppy "IIII".
fn roman_value(text: &str) -> Option<u16> {
    let value = |c| match c {
        'I' => 1,
        'V' => 5,
        _ => 10,
    };
    let letters: Vec<i32> = text.chars().map(value).collect();
    let after = letters.iter().skip(1).chain(std::iter::once(&0));
    let sum: i32 = letters.iter().zip(after).map(|(a, b)| if a < b { -a } else { *a }).sum();
    u16::try_from(sum).ok().filter(|n| (1..40).contains(n))
}

fn tens_word(plain: &str) -> Option<u16> {
    match plain {
        "twenty" | "vigesimo" => Some(20),
        "thirty" | "trigesimo" => Some(30),
        _ => None,
    }
}

fn ordinal(plain: &str) -> Option<u16> {
    let at = |table: &[&str]| table.iter().position(|w| w.split(' ').any(|x| x == plain));
    let unit = at(&ORDINALS).map(|i| i + 1);
    let teen = || at(&TEENS).map(|i| i + 11);
    let thirtieth = || (plain == "thirtieth").then_some(30);
    unit.or_else(teen).or_else(thirtieth).and_then(|n| u16::try_from(n).ok())
}

/// How alike two words are, 0–1. Numbers and letters are equal or not; plain words forgive what a
/// reader confuses.
pub fn alike(a: &Word, b: &Word) -> f64 {
    let (Word::Plain(a), Word::Plain(b)) = (a, b) else { return f64::from(u8::from(a == b)) };
    if a == b {
        return 1.0;
    }
    let shorter = a.len().min(b.len());
    if shorter < 4 {
        return 0.0;
    }
    if a.starts_with(b.as_str()) || b.starts_with(a.as_str()) {
        return 0.9;
    }
    let likeness = rapidfuzz::distance::levenshtein::normalized_similarity(a.chars(), b.chars());
    if likeness >= 0.7 { likeness } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_however_written() {
        for (title, number) in [
            ("Twenty-First Sunday in Ordinary Time", 21),
            ("21st Sunday", 21),
            ("Domingo XXI del Tiempo Ordinario", 21),
            ("Dominica XXI per annum", 21),
            ("Thirtieth Sunday", 30),
            ("Tercer domingo de Adviento", 3),
            ("Preface Il of Lent", 2),
            ("Preface lV of Lent", 4),
            ("December 17", 17),
        ] {
            assert!(words(title).contains(&Word::Number(number)), "{title}: {:?}", words(title));
        }
    }

    #[test]
    fn fillers_accents_and_short_forms() {
        assert_eq!(words("St. Joseph"), words("Saint Joseph"));
        assert_eq!(words("Miércoles de Ceniza"), words("MIERCOLES DE CENIZA"));
        assert_eq!(words("B. For One Pastor").first(), Some(&Word::Letter('B')));
    }

    #[test]
    fn forgives_what_a_reader_confuses() {
        let word = |w: &str| Word::Plain(w.into());
        assert!(alike(&word("sunday"), &word("5unday")) > 0.5);
        assert_eq!(alike(&word("monday"), &word("sunday")), 0.0);
        assert_eq!(alike(&Word::Number(1), &Word::Number(2)), 0.0);
    }
}
