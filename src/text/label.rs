//! Page labels in print: arabic and roman numbers, ranges ("505-507"), lists ("503, 505-507").

/// Letters that print or Tesseract puts in the place of digits.
const LIKE_DIGITS: &str = "lI|iOoSsBZzÏ!]";

/// One printed label with what follows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Token {
    /// A page number or range in figures, "512", "505-507", "1747a".
    Arabic(String),
    /// A page number in small roman numerals, "xiv".
    Roman(String),
}

impl Token {
    /// The label as text.
    pub fn text(&self) -> &str {
        match self {
            Token::Arabic(t) | Token::Roman(t) => t,
        }
    }
}

/// Takes one word as page labels if it is nothing else; "60,61." gives two.
pub fn tokens(word: &str) -> Option<Vec<Token>> {
    let body = bare(word);
    if body.is_empty() {
        return None;
    }
    let pieces = body.split([',', ';', '.', ':']).map(str::trim).filter(|p| !p.is_empty());
    let tokens: Option<Vec<Token>> = pieces.map(token).collect();
    tokens.filter(|t| !t.is_empty())
}

/// The word without the marks around it.
pub fn bare(word: &str) -> &str {
    word.trim_matches(|c: char| !c.is_alphanumeric() && c != '|' && c != '!')
}

fn token(piece: &str) -> Option<Token> {
    let ends: Vec<&str> = piece.split(['-', '–', '—']).collect();
    match ends.as_slice() {
        [one] => arabic(one).map(Token::Arabic).or_else(|| roman_label(one).map(Token::Roman)),
        [from, to] => {
            let both = arabic(from).zip(arabic(to)).map(|(a, b)| Token::Arabic(format!("{a}-{b}")));
            both.or_else(|| {
                roman_label(from)
                    .zip(roman_label(to))
                    .map(|(a, b)| Token::Roman(format!("{a}-{b}")))
            })
        }
        _ => None,
    }
}

/// Figures, letting through letters that look like figures where at least half are figures. At most four
/// figures and a letter after them.
fn arabic(piece: &str) -> Option<String> {
    let (figures, suffix) = match piece.char_indices().last() {
        Some((at, last @ 'a'..='d')) if at > 0 => (piece.get(..at)?, Some(last)),
        _ => (piece, None),
    };
    let count = figures.chars().count();
    let real = figures.chars().filter(char::is_ascii_digit).count();
    if count == 0 || count > 4 || real * 2 < count || real == 0 {
        return None;
    }
    let mut text = figures.chars().map(as_digit).collect::<Option<String>>()?;
    text.extend(suffix);
    Some(text)
}

fn as_digit(c: char) -> Option<char> {
    match c {
        '0'..='9' => Some(c),
        _ if !LIKE_DIGITS.contains(c) => None,
        'O' | 'o' => Some('0'),
        'S' | 's' => Some('5'),
        'B' => Some('8'),
        'Z' | 'z' => Some('2'),
        _ => Some('1'),
    }
}

fn roman_label(piece: &str) -> Option<String> {
    (roman(piece)? > 0).then(|| piece.to_owned())
}

/// The value of a small roman numeral in its usual form; `None` for any other text.
pub fn roman(text: &str) -> Option<u32> {
    plain_roman(text).filter(|v| to_roman(*v) == text)
}

fn plain_roman(text: &str) -> Option<u32> {
    let (mut rest, mut value) = (text, 0);
    for (numeral, worth) in NUMERALS {
        while let Some(after) = rest.strip_prefix(numeral) {
            (rest, value) = (after, value + worth);
        }
    }
    (rest.is_empty() && value > 0).then_some(value)
}

const NUMERALS: [(&str, u32); 13] = [
    ("m", 1000),
    ("cm", 900),
    ("d", 500),
    ("cd", 400),
    ("c", 100),
    ("xc", 90),
    ("l", 50),
    ("xl", 40),
    ("x", 10),
    ("ix", 9),
    ("v", 5),
    ("iv", 4),
    ("i", 1),
];

fn to_roman(mut value: u32) -> String {
    let mut text = String::new();
    for (numeral, worth) in NUMERALS {
        while value >= worth {
            text.push_str(numeral);
            value -= worth;
        }
    }
    text
}

/// The first page a label names, for comparing neighbours: "505-507" gives 505; roman numbers come before
/// all others and give a negative position.
pub fn position(label: &str) -> Option<i64> {
    let first = label.split('-').next()?;
    let figures: String = first.chars().take_while(char::is_ascii_digit).collect();
    match figures.parse::<i64>() {
        Ok(number) => Some(number),
        Err(_) => roman(first).map(|v| i64::from(v) - 10_000),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(word: &str) -> String {
        tokens(word).map_or("-".into(), |t| t.iter().map(Token::text).collect::<Vec<_>>().join(" "))
    }

    #[test]
    fn words_that_are_labels() {
        let cases = [
            ("512", "512"),
            ("512.", "512"),
            ("60,", "60"),
            ("135,207,208", "135 207 208"),
            ("505-507", "505-507"),
            ("505–7", "505-7"),
            ("xiv", "xiv"),
            ("xiv-xvi", "xiv-xvi"),
            ("16l.", "161"),
            // More letters than figures are no number, however alike.
            ("l6l.", "-"),
            ("(45)", "45"),
            ("1747a", "1747a"),
            ("2O", "20"),
            ("Barth", "-"),
            ("in-8", "-"),
            ("iiii", "-"),
            ("II", "-"),
            ("is", "-"),
            ("12345", "-"),
            ("", "-"),
        ];
        let wrong: Vec<_> =
            cases.iter().filter(|(w, r)| read(w) != *r).map(|(w, r)| (w, r, read(w))).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
    }

    #[test]
    fn roman_numbers_in_their_usual_form_only() {
        let cases = [
            ("i", Some(1)),
            ("iv", Some(4)),
            ("xiv", Some(14)),
            ("xlix", Some(49)),
            ("iiii", None),
            ("vx", None),
            ("", None),
        ];
        for (text, value) in cases {
            assert_eq!(roman(text), value, "{text}");
        }
    }

    #[test]
    fn front_matter_comes_before_page_one() {
        assert!(position("xiv") < position("1") && position("9") < position("505-507"));
    }
}
