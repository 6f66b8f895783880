//! What a run of characters looks like: words, a number, leaders; and the words that say something about what stands
//! beside them, in every language of the data file.

use super::words::Words;
use std::sync::OnceLock;

/// What a segment looks like. What it is, the page decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Words,
    /// Figures, perhaps a range, perhaps with a letter read for a figure: "512", "505-507", "1I9".
    Arabic,
    /// Letters that may be a roman number: "xiv", "II".
    Roman,
    /// Dots, dashes or a rule that lead from a title to its number.
    Leader,
}

/// Dashes between the ends of a range.
pub const DASHES: [char; 5] = ['-', '–', '—', '−', '‐'];
/// What leaders are read as.
const DOTS: [char; 8] = ['.', '·', '•', '…', '_', '‧', '∙', ','];
/// Letters that a recogniser reads for figures, and the figures. S and B stand for themselves too often: "B1194" is
/// form B on page 1194.
pub const TAKEN_FOR: [(char, char); 6] =
    [('I', '1'), ('l', '1'), ('|', '1'), ('i', '1'), ('O', '0'), ('o', '0')];

/// What a run of characters without white inside looks like.
pub fn of(text: &str) -> Kind {
    let core = text.trim_matches(|c: char| !c.is_alphanumeric());
    if core.is_empty() {
        let dots = text.chars().filter(|c| DOTS.contains(c)).count();
        let dashes = text.chars().filter(|c| DASHES.contains(c)).count();
        return if dots >= 2 || dashes >= 3 || text == "…" || text == "_" {
            Kind::Leader
        } else {
            Kind::Words
        };
    }
    if arabic(core) {
        Kind::Arabic
    } else if roman_in(core).is_some() {
        Kind::Roman
    } else {
        Kind::Words
    }
}

/// Figures, at most a third of them read as letters, with what a label may hold between and behind them.
fn arabic(core: &str) -> bool {
    let core = without_follows(core);
    let figures = core.chars().filter(char::is_ascii_digit).count();
    let taken = core.chars().filter(|c| TAKEN_FOR.iter().any(|t| t.0 == *c)).count();
    let between = core.chars().filter(|c| DASHES.contains(c) || "/.,".contains(*c)).count();
    figures > 0 && taken <= figures && figures + taken + between == core.chars().count()
}

/// "512f" and "1747a" without their letters.
pub fn without_follows(core: &str) -> &str {
    let bare = core.trim_end_matches(|c: char| c.is_ascii_lowercase() && "abcdf".contains(c));
    let letters = core.len() - bare.len();
    if (1..=2).contains(&letters) && bare.ends_with(|c: char| c.is_ascii_digit()) {
        bare
    } else {
        core
    }
}

/// The roman number in a word of which some letters were read for others: "Il" and "lll" are II and III, "x1v" is xiv.
/// A lone stroke is left as it was read.
pub fn roman_in(word: &str) -> Option<String> {
    if roman(word).is_some() {
        return Some(word.to_owned());
    }
    let strokes = word.chars().all(|c| "IVXl1|".contains(c));
    let figures = word.chars().all(|c| c.is_ascii_digit());
    if word.chars().count() < 2 || figures {
        return None;
    }
    let to = |stroke: char, also: &[char]| -> String {
        word.chars()
            .map(|c| if c == '1' || c == '|' || also.contains(&c) { stroke } else { c })
            .collect()
    };
    let mended = if strokes { to('I', &['l']) } else { to('i', &['I']) };
    roman(&mended).map(|_| mended)
}

/// The value of a roman number in one case, 1–3999.
pub fn roman(text: &str) -> Option<u32> {
    let lower = text.chars().all(|c| "ivxlcdm".contains(c));
    let upper = text.chars().all(|c| "IVXLCDM".contains(c));
    if text.is_empty() || text.len() > 15 || !(lower || upper) {
        return None;
    }
    let value = |c: char| match c.to_ascii_lowercase() {
        'i' => 1,
        'v' => 5,
        'x' => 10,
        'l' => 50,
        'c' => 100,
        'd' => 500,
        _ => 1000,
    };
    let values: Vec<u32> = text.chars().map(value).collect();
    let sum = (0..values.len()).fold(0i64, |sum, i| {
        let here = i64::from(values[i]);
        if values.get(i + 1).is_some_and(|next| *next > values[i]) {
            sum - here
        } else {
            sum + here
        }
    });
    let sum = u32::try_from(sum).ok().filter(|v| (1..4000).contains(v))?;
    (written(sum) == text.to_ascii_lowercase()).then_some(sum)
}

/// A number in small roman letters.
fn written(mut value: u32) -> String {
    const PARTS: [(u32, &str); 13] = [
        (1000, "m"),
        (900, "cm"),
        (500, "d"),
        (400, "cd"),
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
    out
}

/// Where a run of characters parts inside: between letters and figures ("p.512"), around leaders ("Advent....512"),
/// behind a comma between numbers ("503,505"), around a dash between them: a range, or form 1 on page 1267.
pub fn cuts(letters: &[char]) -> Vec<usize> {
    if of(&letters.iter().collect::<String>()) == Kind::Arabic {
        let comma = |i: usize| letters[i - 1] == ',' || letters[i - 1] == ';';
        let dash = |i: usize| DASHES.contains(&letters[i - 1]) || DASHES.contains(&letters[i]);
        return (1..letters.len()).filter(|i| comma(*i) || dash(*i)).collect();
    }
    let side = |i: usize| sort(letters, i);
    let mut cuts: Vec<usize> = Vec::new();
    for i in 1..letters.len() {
        let (before, after) = (side(i - 1), side(i));
        let parts = match (before, after) {
            (Sort::Dots, Sort::Dots) => false,
            (Sort::Dots, _) | (_, Sort::Dots) => true,
            (Sort::Figure, Sort::Letter) | (Sort::Letter, Sort::Figure) => true,
            // Punctuation stays with what is before it.
            (Sort::Stop, Sort::Figure) => holds_letter(letters, i),
            (Sort::Stop, Sort::Letter) => holds_figure(letters, i),
            _ => false,
        };
        if parts {
            cuts.push(i);
        }
    }
    cuts
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    Letter,
    Figure,
    Dots,
    Stop,
}

fn sort(letters: &[char], i: usize) -> Sort {
    let here = letters[i];
    let dotted = |c: Option<&char>| c.is_some_and(|c| DOTS.contains(c));
    if here == '…'
        || here == '_'
        || DOTS.contains(&here) && (run(letters, i) >= 3) && dotted(letters.get(i))
    {
        return Sort::Dots;
    }
    if here.is_ascii_digit() || looks_like_figure(letters, i) {
        Sort::Figure
    } else if here.is_alphabetic() {
        Sort::Letter
    } else {
        Sort::Stop
    }
}

/// Length of the run of dots around a place.
fn run(letters: &[char], i: usize) -> usize {
    let dot = |c: &&char| DOTS.contains(*c) || **c == ' ';
    let before = letters[..i].iter().rev().take_while(dot).count();
    before + letters[i..].iter().take_while(dot).count()
}

/// A letter between figures that is often read for one.
fn looks_like_figure(letters: &[char], i: usize) -> bool {
    let figure = |c: Option<&char>| c.is_some_and(char::is_ascii_digit);
    let like = TAKEN_FOR.iter().any(|t| t.0 == letters[i]);
    like && (figure(letters.get(i + 1)) && (i == 0 || !letters[i - 1].is_alphabetic())
        || i > 0
            && figure(letters.get(i - 1))
            && letters.get(i + 1).is_none_or(|c| !c.is_alphabetic()))
}

/// Whether the run of characters before a place, back to the last figure, holds a letter.
fn holds_letter(letters: &[char], i: usize) -> bool {
    letters[..i].iter().rev().take_while(|c| !c.is_ascii_digit()).any(|c| c.is_alphabetic())
}

fn holds_figure(letters: &[char], i: usize) -> bool {
    letters[..i].iter().rev().take_while(|c| !c.is_alphabetic()).any(char::is_ascii_digit)
}

/// What a word says about what stands beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hint {
    /// The name of a month, also cut short.
    Month,
    /// The name of a day of the week.
    Weekday,
    /// "p.", "pages".
    PageMark,
    /// "see".
    See,
    /// "Solemnity", "Memorial".
    Rank,
}

fn listed() -> &'static Vec<(&'static str, Hint)> {
    static ALL: OnceLock<Vec<(&str, Hint)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let Some(words) = Words::shipped() else { return Vec::new() };
        let all = [
            (&words.months, Hint::Month),
            (&words.weekdays, Hint::Weekday),
            (&words.page_marks, Hint::PageMark),
            (&words.see, Hint::See),
            (&words.ranks, Hint::Rank),
        ];
        all.into_iter()
            .flat_map(|(words, hint)| words.iter().map(move |w| (w.as_str(), hint)))
            .collect()
    })
}

/// What the words of a segment say.
pub fn hints(text: &str) -> Vec<Hint> {
    let words = text
        .split_whitespace()
        .map(|w| w.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase());
    words
        .flat_map(|word| {
            listed().iter().filter(move |(known, _)| *known == word).map(|(_, hint)| *hint)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_told_from_words() {
        let cases = [
            ("512", Kind::Arabic),
            ("1I9", Kind::Arabic),
            ("505-507", Kind::Arabic),
            ("1747a", Kind::Arabic),
            ("512f.", Kind::Arabic),
            ("(512)", Kind::Arabic),
            ("xiv", Kind::Roman),
            ("II", Kind::Roman),
            ("iiii", Kind::Words),
            ("Saint", Kind::Words),
            ("....", Kind::Leader),
            ("—", Kind::Words),
        ];
        for (text, kind) in cases {
            assert_eq!(of(text), kind, "{text}");
        }
        assert_eq!(roman("mcmxcix"), Some(1999));
        assert_eq!(roman("Xi"), None);
        for (read, meant) in [
            ("Il", Some("II")),
            ("VIl", Some("VII")),
            ("x1v", Some("xiv")),
            ("Is", None),
            ("11", None),
            ("l", Some("l")),
        ] {
            assert_eq!(roman_in(read).as_deref(), meant, "{read}");
        }
    }

    #[test]
    fn words_of_eight_languages_give_hints() {
        assert!(!listed().is_empty());
        for (text, hint) in [
            ("Oct.", Hint::Month),
            ("März", Hint::Month),
            ("pp.", Hint::PageMark),
            ("vide", Hint::See),
        ] {
            assert!(hints(text).contains(&hint), "{text}");
        }
    }
}
