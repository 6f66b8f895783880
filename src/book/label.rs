//! Page labels and the order of the leaves: `xiv`, `512`, `1747a`.
//!
//! Roman numerals number the front matter and stand before the arabic pages. A letter marks a sheet
//! laid in after the page it is numbered after; it lies in that page's opening.

use std::fmt;

/// The two runs of pages a book may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Numbering {
    /// Front matter: i, ii, iii …
    Roman,
    /// The body: 1, 2, 3 …
    Arabic,
}

/// A page label taken apart. Labels order as their pages lie in the book.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Label {
    /// Which run of pages.
    pub numbering: Numbering,
    /// The number, from 1.
    pub number: u32,
    /// Letters of a laid-in sheet, lower case; empty for a page of the book itself.
    pub insert: String,
}

/// No altar book comes near this; longer digit strings are two numbers run together.
const MOST_PAGES: u32 = 9_999;
/// Front matter longer than this is not numbered in roman numerals (common practice).
const MOST_ROMAN: u32 = 399;

impl Label {
    /// An arabic page.
    pub fn arabic(number: u32) -> Self {
        Label { numbering: Numbering::Arabic, number, insert: String::new() }
    }

    /// The number of an arabic page.
    pub(super) fn arabic_number(&self) -> Option<i32> {
        let arabic = self.numbering == Numbering::Arabic;
        i32::try_from(self.number).ok().filter(|_| arabic)
    }

    /// The page `number` of `numbering`, or `None` for a number no page has.
    pub fn page(numbering: Numbering, number: i32) -> Option<Self> {
        let number = u32::try_from(number).ok().filter(|n| *n > 0)?;
        Some(Label { numbering, number, insert: String::new() })
    }

    /// Reads a printed label; `None` where it is not one.
    ///
    /// ```
    /// use vitta::book::Label;
    /// assert_eq!(Label::parse("XIV").map(|l| l.to_string()).as_deref(), Some("xiv"));
    /// assert!(Label::parse("1747") < Label::parse("1747a"));
    /// assert!(Label::parse("iiii").is_none());
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_lowercase();
        let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        if digits == 0 {
            let number = roman_number(&text)?;
            return Some(Label { numbering: Numbering::Roman, number, insert: String::new() });
        }
        let (number, insert) = text.split_at_checked(digits)?;
        let number = number.parse().ok().filter(|n| (1..=MOST_PAGES).contains(n))?;
        let lettered = insert.len() <= 2 && insert.bytes().all(|b| b.is_ascii_lowercase());
        lettered.then(|| Label { insert: insert.to_owned(), ..Label::arabic(number) })
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self.numbering {
            Numbering::Roman => f.pad(&roman_text(self.number)),
            Numbering::Arabic => f.pad(&format!("{}{}", self.number, self.insert)),
        }
    }
}

const ROMAN: [(u32, &str); 13] = [
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

fn roman_text(mut number: u32) -> String {
    let mut text = String::new();
    for (value, letters) in ROMAN {
        while number >= value {
            text.push_str(letters);
            number -= value;
        }
    }
    text
}

/// The number of a roman numeral in lower case; `None` unless it is written the usual way.
fn roman_number(text: &str) -> Option<u32> {
    let mut rest = text;
    let mut number = 0;
    for (value, letters) in ROMAN {
        while let Some(shorter) = rest.strip_prefix(letters) {
            rest = shorter;
            number += value;
        }
    }
    let usual = rest.is_empty() && (1..=MOST_ROMAN).contains(&number) && roman_text(number) == text;
    usual.then_some(number)
}

/// Where the pages of one book lie: positions are sides of leaves, versos even, rectos odd.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeafOrder {
    /// Added to an arabic number to get its position; odd where the count starts on a verso.
    pub offset: i32,
    /// Roman-numbered pages before the arabic ones.
    pub roman_pages: u32,
}

impl LeafOrder {
    /// The position of a page; a laid-in sheet has that of the page it follows.
    pub fn position(&self, label: &Label) -> i32 {
        // A file may say anything; no book is thicker than its page numbers reach.
        const MOST: i32 = MOST_PAGES as i32;
        let number = label.number.min(MOST_PAGES) as i32;
        match label.numbering {
            Numbering::Arabic => number + self.offset.clamp(-MOST, MOST),
            // The front matter starts on a recto, so its length counts in whole leaves.
            Numbering::Roman => {
                number - self.roman_pages.min(MOST_PAGES).next_multiple_of(2) as i32
            }
        }
    }

    /// The opening a page is seen in: positions 2n and 2n + 1 lie side by side in opening n.
    pub fn opening(&self, label: &Label) -> i32 {
        self.position(label).div_euclid(2)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn labels_as_printed() {
        for (text, expected) in [
            ("512", Some("512")),
            (" xiv ", Some("xiv")),
            ("XLIX", Some("xlix")),
            ("1747a", Some("1747a")),
            ("0", None),
            ("ic", None),
            ("12345", None),
            ("p. 12", None),
            ("", None),
        ] {
            assert_eq!(Label::parse(text).map(|l| l.to_string()).as_deref(), expected, "{text:?}");
        }
    }

    #[test]
    fn every_roman_numeral_reads_back() {
        for n in 1..=MOST_ROMAN {
            assert_eq!(roman_number(&roman_text(n)), Some(n));
        }
    }

    #[test]
    fn facing_pages_share_an_opening() {
        let order = LeafOrder { offset: 0, roman_pages: 11 };
        let opening = |text: &str| order.opening(&Label::parse(text).unwrap());
        assert_eq!(opening("512"), opening("513"));
        assert_ne!(opening("513"), opening("514"));
        assert_eq!(opening("1746"), opening("1747a"));
        assert_eq!(opening("ii"), opening("iii"));
        assert!(opening("xi") < opening("1"));
        let from_verso = LeafOrder { offset: 1, roman_pages: 0 };
        assert_eq!(from_verso.opening(&Label::arabic(1)), from_verso.opening(&Label::arabic(2)));
    }
}
