//! How one page is set: drawn at random, wider than books go.

use super::random::Random;

/// What a page is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    Contents,
    Section,
    Prefaces,
    Months,
    Alphabet,
    RunIn,
    Day,
    None,
}

impl List {
    pub const ALL: [List; 8] = [
        List::Contents,
        List::Section,
        List::Prefaces,
        List::Months,
        List::Alphabet,
        List::RunIn,
        List::Day,
        List::None,
    ];

    pub fn draw(random: &mut Random) -> List {
        match random.index(100) {
            0..20 => List::Contents,
            20..38 => List::Section,
            38..50 => List::Prefaces,
            50..70 => List::Months,
            70..84 => List::Alphabet,
            84..89 => List::RunIn,
            89..96 => List::Day,
            _ => List::None,
        }
    }
}

/// Where the page number stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NumberPlace {
    Right,
    Comma,
    Space,
    Dash,
    Left,
    Bracket,
}

/// What leads to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leader {
    Spaced,
    Tight,
    Rule,
    None,
}

/// Where a date stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DatePlace {
    None,
    /// The day of the month before the title, the month as a heading.
    Before,
    /// In a column of its own left of the title.
    Column,
    /// Behind the title.
    After,
    /// Behind it in brackets.
    Bracket,
    /// In a column of its own between title and number.
    Between,
}

/// How a date is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateForm {
    Day,
    DayMonth,
    MonthDay,
    Numeric,
}

/// The looks of a page; lengths in em.
#[derive(Debug, Clone)]
pub struct Style {
    pub list: List,
    pub columns: usize,
    pub column_width: f32,
    pub gutter: f32,
    pub line: f32,
    pub lines: usize,
    pub wide: f32,
    pub number: NumberPlace,
    pub leader: Leader,
    pub leader_step: f32,
    pub mark: Option<&'static str>,
    pub date: DatePlace,
    pub form: DateForm,
    /// Chance of a rank or subtitle, on its own line or on the title's.
    pub second: f32,
    pub second_below: bool,
    pub second_right: bool,
    pub indent: f32,
    pub hang: f32,
    pub number_first: bool,
    pub head_every: usize,
    pub head_centred: bool,
    pub head_caps: bool,
    pub head_page: f32,
    pub depth: usize,
    pub ordinal: f32,
    pub marginal: Option<bool>,
    pub roman_until: usize,
    pub roman_large: bool,
    pub several: f32,
    pub title_words: (usize, usize),
    pub capitals: bool,
    pub letter_heads: bool,
    pub running: bool,
    pub folio: bool,
    pub intro: usize,
    pub notes: usize,
    pub red_heads: bool,
    pub red_numbers: bool,
    pub red_days: bool,
    pub gap_above: f32,
    pub see: f32,
    pub repeats: f32,
    /// Ordinals in a column of their own before the titles, one more each time.
    pub ordinal_column: bool,
    /// Chance of what catalogues print behind a title: place, year, size.
    pub bookish: f32,
    /// Large first letters two lines high.
    pub drop_caps: bool,
    /// Chance that a title is a number or a letter alone, as forms of one Common are told apart.
    pub numerals: f32,
    /// With what they count: shifts arabic, roman and letters through the levels.
    pub counting: usize,
    /// Days of a month stand as titles instead ("December 17"); whether the month comes first.
    pub days: Option<bool>,
    /// White before a number that follows its title, and a stop behind it.
    pub space: &'static str,
    pub stop: bool,
    /// Captions over the columns of numbers.
    pub captions: bool,
}

impl Style {
    pub fn draw(list: List, random: &mut Random) -> Style {
        let columns = match list {
            List::Contents | List::Prefaces => {
                1 + usize::from(random.chance(0.3)) + usize::from(random.chance(0.06))
            }
            List::RunIn | List::None => 1 + usize::from(random.chance(0.4)),
            List::Day => 1 + usize::from(random.chance(0.6)),
            List::Alphabet => 1 + random.index(3) + usize::from(random.chance(0.1)),
            _ => 1 + random.index(2) + usize::from(random.chance(0.2)),
        };
        let column_width = match columns {
            1 => random.between(18.0, 52.0),
            2 => random.between(13.0, 30.0),
            _ => random.between(9.5, 18.0),
        };
        let number = match random.index(100) {
            _ if list == List::RunIn => *random.pick(&[
                NumberPlace::Comma,
                NumberPlace::Comma,
                NumberPlace::Space,
                NumberPlace::Bracket,
            ]),
            0..62 => NumberPlace::Right,
            62..78 => NumberPlace::Comma,
            78..86 => NumberPlace::Space,
            86..89 => NumberPlace::Dash,
            89..96 => NumberPlace::Left,
            _ => NumberPlace::Bracket,
        };
        let leader = match random.index(10) {
            _ if number != NumberPlace::Right => Leader::None,
            0..4 => Leader::Spaced,
            4..6 => Leader::Tight,
            6 => Leader::Rule,
            _ => Leader::None,
        };
        let date = match (list, random.index(20)) {
            (List::Months, 0..10) => DatePlace::Before,
            (List::Months, 10..14) => DatePlace::Column,
            (List::Months | List::Alphabet, 14 | 15) => DatePlace::After,
            (List::Months | List::Alphabet, 16) => DatePlace::Bracket,
            (List::Months | List::Alphabet, 17 | 18) => DatePlace::Between,
            (List::Section | List::Contents, 0 | 1) => DatePlace::Before,
            (List::Section | List::Contents, 2) => DatePlace::Between,
            (List::Section | List::RunIn, 3) => DatePlace::After,
            _ => DatePlace::None,
        };
        let form = match date {
            DatePlace::Before => *random.pick(&[
                DateForm::Day,
                DateForm::Day,
                DateForm::Day,
                DateForm::DayMonth,
                DateForm::MonthDay,
            ]),
            DatePlace::Column => *random.pick(&[
                DateForm::Day,
                DateForm::DayMonth,
                DateForm::MonthDay,
                DateForm::Numeric,
            ]),
            _ => *random.pick(&[
                DateForm::DayMonth,
                DateForm::MonthDay,
                DateForm::Numeric,
                DateForm::Day,
            ]),
        };
        let long = columns == 1;
        Style {
            list,
            columns,
            column_width,
            gutter: random.between(1.2, 4.0),
            line: if random.chance(0.15) {
                random.between(0.86, 1.05)
            } else {
                random.between(1.02, 1.55)
            },
            lines: if random.chance(0.15) { 8 + random.index(15) } else { 22 + random.index(44) },
            wide: random.between(0.8, 1.15),
            number,
            leader,
            leader_step: random.between(0.45, 1.4),
            mark: random
                .chance(0.05)
                .then(|| *random.pick(&["p. ", "p.", "pp. ", "S. ", "pág. ", "fol. ", "page "])),
            date,
            form,
            second: if list == List::Prefaces {
                random.between(0.3, 1.0)
            } else if random.chance(0.35) {
                random.between(0.1, 0.8)
            } else {
                0.0
            },
            second_below: random.chance(0.6),
            second_right: random.chance(0.15),
            indent: random.between(0.6, 2.4),
            hang: *random.pick(&[0.0, 0.8, 1.2, 2.0, 3.0]),
            number_first: random.chance(0.15),
            head_every: match list {
                List::Prefaces | List::RunIn => *random.pick(&[0, 6, 12]),
                _ => *random.pick(&[0, 3, 5, 8, 14]),
            },
            head_centred: random.chance(0.5),
            head_caps: random.chance(0.45),
            head_page: *random.pick(&[0.0, 0.0, 0.3, 1.0]),
            depth: 1 + random.index(3),
            ordinal: if random.chance(0.2) { random.between(0.2, 1.0) } else { 0.0 },
            marginal: random.chance(0.12).then(|| random.chance(0.6)),
            roman_until: if list == List::Contents && random.chance(0.5) {
                random.index(9)
            } else {
                0
            },
            roman_large: random.chance(0.2),
            several: match list {
                List::Alphabet => *random.pick(&[0.1, 0.3, 0.6]),
                _ => *random.pick(&[0.0, 0.0, 0.05, 0.15]),
            },
            title_words: if long && random.chance(0.08) {
                (6, 45)
            } else if long {
                (1, 4 + random.index(8))
            } else {
                (1, 3 + random.index(6))
            },
            capitals: random.chance(0.6),
            letter_heads: list == List::Alphabet && random.chance(0.6),
            running: random.chance(0.5),
            folio: random.chance(0.75),
            intro: if random.chance(0.12) { 1 + random.index(4) } else { 0 },
            notes: if random.chance(0.07) { 1 + random.index(3) } else { 0 },
            red_heads: random.chance(0.35),
            red_numbers: random.chance(0.06),
            red_days: random.chance(0.15),
            gap_above: random.between(0.0, 1.2),
            see: if list == List::Alphabet { random.between(0.0, 0.15) } else { 0.0 },
            repeats: if random.chance(0.3) { 0.4 } else { 0.05 },
            ordinal_column: number == NumberPlace::Right
                && date == DatePlace::None
                && random.chance(0.06),
            bookish: if random.chance(0.06) { random.between(0.2, 1.0) } else { 0.0 },
            drop_caps: matches!(list, List::Alphabet | List::Contents) && random.chance(0.1),
            counting: random.index(3),
            days: (date == DatePlace::None && random.chance(0.4)).then(|| random.chance(0.5)),
            numerals: if random.chance(if list == List::RunIn { 0.3 } else { 0.15 }) {
                random.between(0.1, 0.9)
            } else {
                0.0
            },
            space: random.pick::<&str>(&[" ", " ", "  ", "   ", "     "]),
            stop: random.chance(0.2),
            captions: random.chance(0.12),
        }
    }
}
