//! How a printed page label becomes what was read: digits confused, lost, added, or the number of the
//! row above or below.
//!
//! A reading turns into its [`Emission`]: for every page the probability of reading just this if that
//! page were printed, up to a constant.

use super::label::{Label, Numbering};
use crate::format::{Format, Source};
use crate::text::Alternative;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::OnceLock;

/// Which printed digits are read as which, given that one was misread.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DigitConfusions {
    /// Where the table comes from.
    pub source: Source,
    /// What is left for the digits not named, shared evenly.
    pub rest: f64,
    /// Printed digit → read digit → probability.
    pub pairs: BTreeMap<char, BTreeMap<char, f64>>,
}

impl Format for DigitConfusions {
    const NAME: &'static str = "vitta digit confusions";
    const VERSION: u32 = 1;
}

impl DigitConfusions {
    /// The shipped table.
    fn shipped() -> Option<&'static DigitConfusions> {
        static TABLE: OnceLock<Option<DigitConfusions>> = OnceLock::new();
        let text = include_str!("../data/digit-confusions.json");
        let parse = || crate::format::parse(text, Path::new("digit-confusions.json")).ok();
        TABLE.get_or_init(parse).as_ref()
    }

    /// Probability that a misread `printed` is read as `read`, another digit.
    fn get(&self, printed: u8, read: u8) -> f64 {
        let row = self.pairs.get(&char::from(printed));
        let named = row.and_then(|r| r.get(&char::from(read)).copied());
        named.unwrap_or_else(|| self.rest / (9 - row.map_or(0, BTreeMap::len)).max(1) as f64)
    }
}

/// Probability that a misread `printed` digit is read as `read`.
fn confusion(printed: u32, read: u32) -> f64 {
    static TABLE: OnceLock<[[f64; 10]; 10]> = OnceLock::new();
    let digit = |d: usize| b'0' + d as u8;
    let fill = || {
        let of = |p: usize, r: usize| match DigitConfusions::shipped() {
            Some(table) if p != r => table.get(digit(p), digit(r)),
            _ => 1.0 / 9.0,
        };
        std::array::from_fn(|p| std::array::from_fn(|r| of(p, r)))
    };
    let row = TABLE.get_or_init(fill).get(printed as usize);
    row.and_then(|r| r.get(read as usize)).copied().unwrap_or(0.0)
}

// How the errors of number reading divide, by trial on photographs of lists: mostly one digit taken
// for another, sometimes one lost at a dark edge, sometimes the row above or below.
const CONFUSED: f64 = 0.6;
const LOST: f64 = 0.15;
const ADDED: f64 = 0.08;
const NEIGHBOUR: f64 = 0.17;

/// How far on each side the page of a neighbouring row usually lies.
const NEIGHBOUR_REACH: i32 = 6;

/// For every page of one numbering, how well it explains what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Emission {
    /// For every page not named below: the reading has nothing to do with this place.
    pub floor: f64,
    /// Added to the floor at single pages; sorted by page, each once.
    pub peaks: Vec<(i32, f64)>,
}

impl Emission {
    /// A person's word. The floor keeps two contradicting words from making every path impossible.
    pub fn certain(page: i32) -> Self {
        Emission { floor: 1e-9, peaks: vec![(page, 1.0)] }
    }

    /// What `alternatives` say about pages of `numbering`.
    ///
    /// `misread` is the probability that the number is not among the alternatives' strings as
    /// printed, `misplaced` that the row belongs to another place, `span` the number of pages.
    pub fn of(
        alternatives: &[Alternative],
        numbering: Numbering,
        misread: f64,
        misplaced: f64,
        span: f64,
    ) -> Self {
        let mut peaks: Vec<(i32, f64)> = Vec::new();
        let mut told = 0.0;
        for alternative in alternatives {
            let label = Label::parse(&alternative.page);
            let Some(label) = label.filter(|l| l.numbering == numbering) else { continue };
            told += alternative.weight;
            let weight = alternative.weight * (1.0 - misplaced);
            let explained = printed_as(&label, misread).into_iter();
            peaks.extend(explained.map(|(page, probability)| (page, weight * probability)));
        }
        let untold = (1.0 - told).clamp(0.0, 1.0);
        let floor = (misplaced + untold * (1.0 - misplaced)).max(1e-6) / span.max(1.0);
        Emission { floor, peaks: each_once(peaks) }
    }

    /// The value at `page`.
    #[cfg(test)]
    pub fn at(&self, page: i32) -> f64 {
        let peak = self.peaks.binary_search_by_key(&page, |p| p.0).ok();
        self.floor + peak.and_then(|i| self.peaks.get(i)).map_or(0.0, |p| p.1)
    }
}

/// Sorts by page and adds up what stands for the same page.
fn each_once(mut peaks: Vec<(i32, f64)>) -> Vec<(i32, f64)> {
    peaks.sort_unstable_by_key(|p| p.0);
    peaks.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    peaks
}

/// Pages that may have been printed where `read` was read, with the probability of reading it.
fn printed_as(read: &Label, misread: f64) -> Vec<(i32, f64)> {
    let number = read.number as i32;
    let mut pages = vec![(number, 1.0 - misread)];
    for near in 1..=NEIGHBOUR_REACH {
        // The row above or below is most often one page away: 1/2, 1/4, 1/8 … on both sides.
        let share = misread * NEIGHBOUR * 0.5f64.powi(near + 1);
        pages.push((number + near, share));
        pages.push((number - near, share));
    }
    if read.numbering == Numbering::Arabic {
        digits_misread(read.number, misread, &mut pages);
    } else {
        strokes_misread(number, misread, &mut pages);
    }
    pages.retain(|(page, _)| *page > 0);
    pages
}

fn digits_misread(read: u32, misread: f64, pages: &mut Vec<(i32, f64)>) {
    let count = read.checked_ilog10().unwrap_or(0) + 1;
    let length = f64::from(count);
    let mut push = |page: u32, probability: f64| pages.push((page as i32, misread * probability));
    for at in 0..=count {
        let (unit, above) = (10u32.pow(at), 10u32.pow(at + 1));
        let (high, low) = (read / unit, read % unit);
        for printed in 0..10 {
            // No label starts with 0.
            if printed > 0 || at < count {
                push(high * above + printed * unit + low, LOST / (length + 1.0));
            }
        }
        if at == count {
            break;
        }
        let digit = high % 10;
        for printed in (0..10).filter(|d| *d != digit) {
            if printed > 0 || at + 1 < count {
                let page = read - digit * unit + printed * unit;
                push(page, CONFUSED / length * confusion(printed, digit));
            }
        }
        push(read / above * unit + low, ADDED / (length * 10.0));
    }
}

/// Roman numerals lose or gain a stroke or a letter; the pages these lead to lie 1, 2, 5 or 10 away.
fn strokes_misread(read: i32, misread: f64, pages: &mut Vec<(i32, f64)>) {
    for (away, share) in [(1, 0.2), (2, 0.1), (5, 0.06), (10, 0.05)] {
        pages.push((read + away, misread * share));
        pages.push((read - away, misread * share));
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn one(page: &str) -> Vec<Alternative> {
        vec![Alternative { page: page.into(), weight: 1.0 }]
    }

    #[test]
    fn each_printed_digit_is_read_as_something() {
        let table = DigitConfusions::shipped().expect("the table parses");
        for printed in b'0'..=b'9' {
            let sum: f64 =
                (b'0'..=b'9').filter(|d| *d != printed).map(|d| table.get(printed, d)).sum();
            assert!((sum - 1.0).abs() < 1e-9, "{}: {sum}", char::from(printed));
        }
    }

    #[test]
    fn likely_confusions_beat_unlikely_ones() {
        let e = Emission::of(&one("186"), Numbering::Arabic, 0.05, 0.01, 1000.0);
        for (likelier, less) in [(186, 188), (188, 182), (786, 286), (1868, 950), (180, 950)] {
            assert!(e.at(likelier) > e.at(less), "{likelier} over {less}");
        }
    }

    #[test]
    fn a_roman_reading_says_nothing_of_arabic_pages() {
        let e = Emission::of(&one("xii"), Numbering::Arabic, 0.05, 0.01, 1000.0);
        assert!(e.peaks.is_empty());
        let r = Emission::of(&one("xii"), Numbering::Roman, 0.05, 0.01, 100.0);
        assert!(r.at(12) > r.at(13) && r.at(13) > r.at(40));
    }
}
