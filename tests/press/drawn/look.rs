//! The grammar of layouts: what books vary in a printed list, drawn at random for each picture. What does not go
//! together in any book is not drawn together.

use crate::random::Random;

/// What a page lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    /// Sections and their parts, the front matter first.
    Contents,
    /// Sundays and weekdays.
    Time,
    /// Prefaces with their subtitles.
    Prefaces,
    /// Saints in the order of the year.
    Months,
    /// Saints by name.
    Alphabet,
    /// Commons by groups.
    Commons,
    /// Masses for needs.
    Needs,
    /// Days with references.
    Day,
    /// No list at all.
    Prose,
}

impl List {
    /// As often as a set shows them.
    pub const DECK: [List; 12] = [
        List::Contents,
        List::Time,
        List::Months,
        List::Alphabet,
        List::Prefaces,
        List::Time,
        List::Months,
        List::Alphabet,
        List::Commons,
        List::Needs,
        List::Contents,
        List::Day,
    ];

    /// Its kind in the truth files.
    pub fn kind(self) -> &'static str {
        match self {
            List::Contents => "contents",
            List::Time | List::Commons | List::Needs => "section",
            List::Prefaces => "prefaces",
            List::Months => "months",
            List::Alphabet => "alphabet",
            List::Day => "day",
            List::Prose => "prose",
        }
    }

    /// Its heading in the language files.
    pub fn name(self) -> &'static str {
        match self {
            List::Contents => "contents",
            List::Time => "time",
            List::Prefaces => "prefaces",
            List::Months | List::Day => "months",
            List::Alphabet => "alphabet",
            List::Commons => "common",
            List::Needs => "needs",
            List::Prose => "prose",
        }
    }
}

/// Where the page number stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Number {
    /// At the right edge, at the end of the last line of the title.
    Right,
    /// At the right edge of the first line of the title.
    RightOfFirst,
    /// In a column left of the titles.
    Left,
    /// After the title and a comma.
    Comma,
    /// After the title and a dash.
    Dash,
    /// After the title and a space.
    Space,
}

/// What leads to a number at the right edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Leader {
    /// White.
    None,
    /// A thin rule.
    Rule,
    /// Dots with a gap in ems.
    Dots(f32),
}

/// Where the date of a celebration stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DatePlace {
    /// Nowhere.
    None,
    /// Before the title in the same line.
    Before,
    /// In a column left of the titles.
    Column,
    /// After the title and a comma.
    After,
    /// After the title in brackets.
    Brackets,
}

/// How a date is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateForm {
    /// 4.
    Day,
    /// October 4.
    Long,
    /// Oct. 4.
    Short,
    /// 4/10.
    Numeric,
    /// 4 X.
    RomanMonth,
}

/// Where rank or subtitle stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Second {
    /// Nowhere.
    None,
    /// After the title in the same line.
    Beside,
    /// On a line of its own under the title.
    Under,
}

/// How letters look.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Type {
    /// Rubric red.
    pub red: bool,
    /// Bold.
    pub bold: bool,
    /// Italic.
    pub italic: bool,
    /// Small capitals.
    pub small_caps: bool,
    /// Capitals.
    pub caps: bool,
}

/// Folio and running head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Running {
    /// Title at the head, folio at the foot.
    HeadAndFoot,
    /// Both at the head, the folio outside.
    Head,
    /// Folio between dashes at the foot, no head.
    Foot,
    /// Nothing.
    Nothing,
}

/// A font of the tuning half and what it has.
#[derive(Debug, Clone, Copy)]
pub struct Font {
    /// Its name.
    pub name: &'static str,
    /// Whether it has small capitals and old-style figures.
    pub fine: bool,
    /// Size that looks like 10 points, as a factor.
    pub scale: f32,
}

/// Fonts of the tuning half, groff's as the files that it names T and P.
pub const FONTS: [Font; 6] = [
    Font { name: "TeX Gyre Pagella", fine: true, scale: 0.94 },
    Font { name: "Linux Libertine O", fine: true, scale: 1.02 },
    Font { name: "Nimbus Roman", fine: false, scale: 1.0 },
    Font { name: "Gentium Plus", fine: false, scale: 0.94 },
    Font { name: "Old Standard TT", fine: false, scale: 1.02 },
    Font { name: "P052", fine: false, scale: 0.95 },
];

/// A drawn layout.
#[derive(Debug, Clone)]
pub struct Look {
    /// What is listed.
    pub list: List,
    /// Font.
    pub font: Font,
    /// Size in points.
    pub size: f32,
    /// Line distance as a multiple of the size.
    pub leading: f32,
    /// White between entries, in ems.
    pub apart: f32,
    /// Width and height of the page, mm.
    pub page: (f32, f32),
    /// Columns.
    pub columns: usize,
    /// Whether a rule stands between them.
    pub column_rule: bool,
    /// Old-style figures.
    pub old_figures: bool,
    /// Where the number stands.
    pub number: Number,
    /// What leads to it.
    pub leader: Leader,
    /// How it looks.
    pub label: Type,
    /// Where dates stand.
    pub date: DatePlace,
    /// How they are written.
    pub form: DateForm,
    /// Whether they look like the label.
    pub red_date: bool,
    /// Where ranks stand.
    pub rank: Second,
    /// Where subtitles stand.
    pub subtitle: Second,
    /// Months or letters over groups.
    pub heads: bool,
    /// Whether heads are in the middle of the column.
    pub centred: bool,
    /// How heads look.
    pub head: Type,
    /// How entries look.
    pub entry: Type,
    /// Red first letters.
    pub initials: bool,
    /// A full stop after each title.
    pub stop: bool,
    /// Following lines of a title stand in or not, ems.
    pub hang: f32,
    /// Step of a level, ems.
    pub indent: f32,
    /// Short entries run on in one paragraph, with this between them.
    pub run_in: Option<&'static str>,
    /// Names stand before "Saint".
    pub inverted: bool,
    /// Share of the entries of an index that have several pages.
    pub several: f32,
    /// Marginal numbers that are no pages.
    pub marginal: bool,
    /// Front matter in capitals.
    pub roman_upper: bool,
    /// Sentence under the heading.
    pub intro: bool,
    /// Note at the foot.
    pub note: bool,
    /// Folio and head.
    pub running: Running,
}

fn number(random: &mut Random, list: List) -> Number {
    use Number::{Comma, Dash, Left, Right, RightOfFirst, Space};
    let choices: &[Number] = match list {
        List::Alphabet => {
            &[Comma, Comma, Comma, Space, Space, Dash, Right, Right, RightOfFirst, Left]
        }
        List::Months => {
            &[Right, Right, Right, RightOfFirst, RightOfFirst, Left, Left, Comma, Dash, Space]
        }
        _ => &[Right, Right, Right, Right, RightOfFirst, Left, Left, Comma, Dash, Space],
    };
    *random.pick(choices)
}

fn leader(random: &mut Random, number: Number) -> Leader {
    if number != Number::Right || random.chance(0.2) {
        return Leader::None;
    }
    match random.index(6) {
        0 => Leader::Rule,
        1 | 2 => Leader::Dots(random.between(0.6, 1.4)),
        3 => Leader::Dots(random.between(0.3, 0.5)),
        _ => Leader::Dots(random.between(0.05, 0.2)),
    }
}

fn date(random: &mut Random, list: List, heads: bool, number: Number) -> (DatePlace, DateForm) {
    use DatePlace::{After, Before, Brackets, Column, None};
    let places: &[DatePlace] = match list {
        List::Months if number == Number::Left => &[Before, Before, After, Brackets],
        List::Months => &[Column, Column, Column, Before, Before, After, Brackets],
        List::Alphabet => &[None, After, After, Brackets, Brackets, Brackets],
        _ => &[None],
    };
    let place = *random.pick(places);
    let day_alone = list == List::Months && heads && matches!(place, Column | Before);
    let form = if day_alone && random.chance(0.75) {
        DateForm::Day
    } else {
        use DateForm::{Long, Numeric, RomanMonth, Short};
        *random.pick(&[Long, Long, Short, Short, Short, Numeric, RomanMonth])
    };
    (place, form)
}

fn columns(random: &mut Random, list: List, width: f32) -> usize {
    let choices: &[usize] = match list {
        List::Contents => &[1, 1, 1, 2],
        List::Alphabet => &[1, 2, 2, 3, 3],
        List::Prefaces => &[1, 1, 2],
        List::Time | List::Months => &[1, 2, 2, 3],
        _ => &[1, 2, 2],
    };
    let drawn = *random.pick(choices);
    if width < 185.0 { drawn.min(2) } else { drawn }
}

fn kind_of_type(random: &mut Random, fine: bool, red: f32) -> Type {
    let mut out = Type { red: random.chance(red), ..Type::default() };
    match random.index(5) {
        0 => out.bold = true,
        1 if fine => out.small_caps = true,
        2 => out.caps = true,
        3 => out.italic = true,
        _ => {}
    }
    out
}

/// Draws a layout for `list`.
pub fn draw(random: &mut Random, list: List) -> Look {
    let font = *random.pick(&FONTS);
    let page = (random.between(165.0, 210.0), random.between(240.0, 295.0));
    let columns = columns(random, list, page.0);
    let heads = match list {
        List::Months => random.chance(0.8),
        _ => random.chance(0.65),
    };
    let number = number(random, list);
    let (date, form) = date(random, list, heads, number);
    let close = [0.0, 0.0, 0.9, 2.0][columns];
    let inline = matches!(number, Number::Comma | Number::Dash | Number::Space);
    let ranked = list == List::Months && random.chance(0.5);
    let second = |random: &mut Random| *random.pick(&[Second::Beside, Second::Under]);
    let note = random.chance(0.2);
    let runs = matches!(list, List::Time | List::Commons) && random.chance(0.45);
    Look {
        list,
        font,
        size: (random.between(9.0, 11.6) - close) * font.scale,
        leading: random.between(1.08, 1.34),
        apart: if random.chance(0.5) { 0.0 } else { random.between(0.05, 0.45) },
        page,
        columns,
        column_rule: columns > 1 && !note && random.chance(0.4),
        old_figures: font.fine && random.chance(0.45),
        number,
        leader: leader(random, number),
        label: Type {
            red: random.chance(0.2),
            bold: random.chance(0.12),
            italic: random.chance(0.1),
            ..Type::default()
        },
        date,
        form,
        red_date: random.chance(0.25),
        rank: if ranked { second(random) } else { Second::None },
        subtitle: if random.chance(0.8) { second(random) } else { Second::None },
        heads,
        centred: random.chance(0.4),
        head: kind_of_type(random, font.fine, 0.4),
        entry: Type { small_caps: font.fine && random.chance(0.1), ..Type::default() },
        initials: random.chance(0.12),
        stop: !inline && random.chance(0.12),
        hang: if random.chance(0.7) { random.between(0.7, 1.8) } else { 0.0 },
        indent: if random.chance(0.75) { random.between(0.6, 1.6) } else { 0.0 },
        run_in: runs.then(|| *random.pick(&[";", ";", ",", ".", " —"])),
        inverted: random.chance(0.5),
        several: if random.chance(0.7) { random.between(0.1, 0.4) } else { 0.0 },
        marginal: columns < 3
            && !matches!(list, List::Alphabet | List::Prose)
            && random.chance(0.2),
        roman_upper: random.chance(0.35),
        intro: random.chance(0.3),
        note,
        running: *random.pick(&[
            Running::HeadAndFoot,
            Running::HeadAndFoot,
            Running::Head,
            Running::Head,
            Running::Foot,
            Running::Nothing,
        ]),
    }
}
