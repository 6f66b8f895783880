//! A page in its style becomes printed characters, each with its place and its part in an entry.

use super::random::Random;
use super::style::{DateForm, DatePlace, Leader, List, NumberPlace, Style};
use super::words;

/// What a printed character is; the order is that of the network's answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Role {
    /// Of a title that has a page.
    Title,
    /// Of a title that has none.
    Heading,
    /// A day, a date or an ordinal, part of what is printed of the entry.
    Date,
    /// A page number of the entry.
    Label,
    /// Leaders, "p.", whatever joins the two.
    Leader,
    /// Folio, running head, dirt.
    Furniture,
    /// A number in the margin that is no page.
    Marginal,
    /// Running text.
    Prose,
    /// What a cross-reference names.
    ReferenceText,
    /// Its page.
    ReferencePage,
    /// Print of another page that the picture cuts.
    Facing,
}

/// A printed character; lengths in em, y at the middle of the small letters.
#[derive(Debug, Clone)]
pub struct Char {
    pub letter: char,
    pub x: f32,
    pub width: f32,
    pub y: f32,
    pub size: f32,
    pub red: bool,
    pub role: Role,
    pub entry: usize,
}

/// What an entry is besides its characters.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    pub level: u8,
    pub column: u8,
}

/// A set page.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// Printed lines, each within one column.
    pub lines: Vec<Vec<Char>>,
    pub entries: Vec<Entry>,
    pub width: f32,
    pub height: f32,
}

/// Width of a character in a usual serif type, in em.
fn width(letter: char) -> f32 {
    match letter {
        'i' | 'j' | 'l' | '.' | ',' | ';' | ':' | '\'' | '|' | 'I' => 0.28,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '-' => 0.34,
        ' ' => 0.25,
        'm' | 'w' | 'M' | 'W' => 0.82,
        '—' => 0.9,
        '–' => 0.5,
        c if c.is_ascii_digit() => 0.5,
        c if c.is_uppercase() => 0.68,
        _ => 0.47,
    }
}

/// How a run of characters is printed.
#[derive(Clone, Copy)]
struct Ink {
    size: f32,
    red: bool,
    role: Role,
    entry: usize,
}

struct Press<'a> {
    style: &'a Style,
    random: &'a mut Random,
    page: Page,
    column: usize,
    y: f32,
    top: f32,
    bottom: f32,
    page_number: u32,
    day: u32,
    initial: u8,
    marginal: u32,
    ordinal: u32,
    /// Lines that still stand beside a large first letter.
    beside: usize,
    /// Whether the last title was a number alone, and which.
    counting: bool,
    nth: u32,
}

/// Sets a page; `right` is a recto.
pub fn set(style: &Style, right: bool, random: &mut Random) -> Page {
    let width =
        style.columns as f32 * style.column_width + (style.columns - 1) as f32 * style.gutter;
    let height = style.lines as f32 * style.line;
    let page = Page { width, height, ..Page::default() };
    let page_number =
        if random.chance(0.2) { 1 + random.index(30) } else { 30 + random.index(1700) } as u32;
    let (day, initial) = (1 + random.index(24) as u32, random.index(22) as u8);
    let marginal = 1 + random.index(120) as u32;
    let mut press = Press {
        style,
        random,
        page,
        column: 0,
        y: 0.0,
        top: 0.0,
        bottom: height,
        page_number,
        day,
        initial,
        marginal,
        ordinal: 0,
        beside: 0,
        counting: false,
        nth: 0,
    };
    press.furniture(right);
    press.introduction();
    press.fill();
    press.page
}

impl Press<'_> {
    fn measure(&self, text: &str, size: f32) -> f32 {
        text.chars().map(|c| width(c) * size * self.style.wide).sum()
    }

    fn run(&mut self, line: &mut Vec<Char>, text: &str, x: f32, ink: Ink) -> f32 {
        let mut x = x;
        for letter in text.chars() {
            let wide = width(letter) * ink.size * self.style.wide;
            line.push(Char {
                letter,
                x,
                width: wide,
                y: self.y,
                size: ink.size,
                red: ink.red,
                role: ink.role,
                entry: ink.entry,
            });
            x += wide;
        }
        x
    }

    fn left(&self) -> f32 {
        self.column as f32 * (self.style.column_width + self.style.gutter)
    }

    /// Steps to the next line; false where the page is full.
    fn next(&mut self, lines: f32) -> bool {
        self.y += lines * self.style.line;
        if self.y <= self.bottom {
            return true;
        }
        if self.column + 1 < self.style.columns {
            self.column += 1;
            self.y = self.top + if self.random.chance(0.1) { self.style.line } else { 0.0 };
            return true;
        }
        false
    }

    fn finish(&mut self, line: Vec<Char>) {
        if !line.is_empty() {
            self.page.lines.push(line);
        }
    }

    fn plain(&self, role: Role) -> Ink {
        Ink { size: 1.0, red: false, role, entry: usize::MAX }
    }

    fn furniture(&mut self, right: bool) {
        let width = self.page.width;
        let folio = (1 + self.random.index(1900)).to_string();
        let folio = if self.random.chance(0.1) {
            words::roman(1 + self.random.index(30) as u32, false)
        } else {
            folio
        };
        let folio = if self.random.chance(0.2) { format!("– {folio} –") } else { folio };
        let (mut line, mut foot) = (Vec::new(), Vec::new());
        self.y = -self.random.between(1.6, 3.0);
        let at_top = self.random.chance(0.6);
        if self.style.running {
            let count = 1 + self.random.index(4);
            let title = words::title(self.random, count, true);
            let title = if self.random.chance(0.5) { title.to_uppercase() } else { title };
            let size = self.random.between(0.75, 1.3);
            let ink = Ink { size, ..self.plain(Role::Furniture) };
            let x = if self.random.chance(0.7) {
                (width - self.measure(&title, size)) / 2.0
            } else {
                0.0
            };
            self.run(&mut line, &title, x.max(0.0), ink);
        }
        if self.style.folio {
            let wide = self.measure(&folio, 1.0);
            let x = match self.random.index(3) {
                0 => (width - wide) / 2.0,
                _ if right => width - wide,
                _ => 0.0,
            };
            let free = line.iter().all(|c| c.x + c.width + 1.0 < x || c.x > x + wide + 1.0);
            if at_top && free {
                self.run(&mut line, &folio, x, self.plain(Role::Furniture));
            } else {
                self.y = self.page.height + self.random.between(2.0, 3.5);
                self.run(&mut foot, &folio, x, self.plain(Role::Furniture));
            }
        }
        line.sort_by(|a, b| a.x.total_cmp(&b.x));
        self.finish(line);
        self.finish(foot);
        self.y = 0.0;
    }

    /// The list's own heading, and sentences before and after it.
    fn introduction(&mut self) {
        if self.random.chance(0.45) {
            let entry = self.entry(1);
            let count = 1 + self.random.index(4);
            let title = words::title(self.random, count, true);
            let title = if self.random.chance(0.5) { title.to_uppercase() } else { title };
            let size = self.random.between(1.1, 2.0);
            let red = self.style.red_heads;
            let x = ((self.page.width - self.measure(&title, size)) / 2.0).max(0.0);
            let mut line = Vec::new();
            self.run(&mut line, &title, x, Ink { size, red, role: Role::Heading, entry });
            self.finish(line);
            self.y += (size + self.random.between(0.3, 1.5)) * self.style.line;
        }
        let full = self.page.width;
        for _ in 0..self.style.intro {
            self.prose_line(0.0, full, Role::Prose);
            self.y += self.style.line;
        }
        if self.style.captions {
            self.caption();
        }
        self.top = self.y;
        if self.style.notes > 0 {
            self.bottom = self.page.height - (self.style.notes as f32 + 0.8) * self.style.line;
            let resume = self.y;
            for i in 0..self.style.notes {
                self.y = self.bottom + (i as f32 + 1.2) * self.style.line;
                self.prose_line(0.0, full, Role::Prose);
            }
            self.y = resume;
        }
    }

    /// "Page" over the numbers of each column, now and then a word over the titles.
    fn caption(&mut self) {
        for column in 0..self.style.columns {
            let left = column as f32 * (self.style.column_width + self.style.gutter);
            let word = words::name(self.random);
            let word = if word.chars().count() > 8 { "Page".to_owned() } else { word };
            let mut line = Vec::new();
            let ink = Ink { size: 0.85, ..self.plain(Role::Furniture) };
            if self.random.chance(0.4) {
                let other = words::name(self.random);
                self.run(&mut line, &other, left, ink);
            }
            let x = left + self.style.column_width - self.measure(&word, 0.85);
            self.run(&mut line, &word, x, ink);
            self.finish(line);
        }
        self.y += self.style.line;
    }

    /// A line of running text, with a number now and then.
    fn prose_line(&mut self, x: f32, wide: f32, role: Role) {
        let mut line = Vec::new();
        let mut at = x;
        let size = if role == Role::Prose { 1.0 } else { 0.9 };
        let ink = Ink { size, ..self.plain(role) };
        let end =
            x + wide * if self.random.chance(0.12) { self.random.between(0.3, 0.9) } else { 1.0 };
        loop {
            let mut word = match self.random.index(25) {
                0 => (1 + self.random.index(2000)).to_string(),
                1 => words::name(self.random),
                _ => words::word(self.random),
            };
            if self.random.chance(0.08) {
                word.push(*self.random.pick(&[',', '.', ';']));
            }
            if at + self.measure(&word, size) > end {
                break;
            }
            at = self.run(&mut line, &word, at, ink);
            at = self.run(&mut line, " ", at, ink);
        }
        self.finish(line);
    }

    fn entry(&mut self, level: u8) -> usize {
        self.page.entries.push(Entry { level, column: self.column as u8 });
        self.page.entries.len() - 1
    }

    fn fill(&mut self) {
        match self.style.list {
            List::Day => self.days(),
            List::None => self.prose(),
            List::RunIn => self.run_in(),
            _ => self.list(),
        }
    }

    fn prose(&mut self) {
        let wide = self.style.column_width;
        loop {
            if self.random.chance(0.12) {
                let entry = self.entry(1);
                self.heading_line(entry, false);
            } else {
                let (x, indent) = (self.left(), if self.random.chance(0.2) { 1.2 } else { 0.0 });
                self.prose_line(x + indent, wide - indent, Role::Prose);
            }
            if !self.next(1.0) {
                return;
            }
        }
    }

    /// A heading over what follows; with a page where the style gives it one.
    fn heading_line(&mut self, entry: usize, with_page: bool) {
        let text = if self.style.letter_heads {
            self.initial = (self.initial + 1) % 26;
            char::from(b'A' + self.initial).to_string()
        } else if matches!(self.style.date, DatePlace::Before) && self.style.form == DateForm::Day {
            self.day = 1 + self.random.index(5) as u32;
            words::month(self.random).trim_end_matches('.').to_owned()
        } else {
            let count = 1 + self.random.index(4);
            words::title(self.random, count, true)
        };
        let text = if self.style.head_caps { text.to_uppercase() } else { text };
        let size = 1.0 + 0.3 * self.style.gap_above;
        let role = if with_page { Role::Title } else { Role::Heading };
        let ink = Ink { size, red: self.style.red_heads, role, entry };
        let wide = self.measure(&text, size);
        let centred = self.style.head_centred && !with_page;
        let x = self.left()
            + if centred { ((self.style.column_width - wide) / 2.0).max(0.0) } else { 0.0 };
        let mut line = Vec::new();
        let end = self.run(&mut line, &text, x, ink);
        if with_page {
            let label = self.label();
            self.number(&mut line, &[label], end, entry, self.left() + self.style.column_width);
        }
        line.sort_by(|a, b| a.x.total_cmp(&b.x));
        self.finish(line);
    }

    fn label(&mut self) -> String {
        if self.style.list == List::Alphabet {
            self.page_number = 3 + self.random.index(1800) as u32;
        } else if !self.random.chance(self.style.repeats) {
            let most = if self.random.chance(0.1) { 60 } else { 5 };
            self.page_number += 1 + self.random.index(most) as u32;
        }
        let entries = self.page.entries.len();
        if entries <= self.style.roman_until {
            return words::roman(4 + 3 * entries as u32, self.style.roman_large);
        }
        let number = self.page_number;
        match self.random.index(40) {
            0 if self.style.several > 0.0 => {
                format!("{number}–{}", number + 1 + self.random.index(9) as u32)
            }
            1 if self.style.several > 0.0 => {
                format!("{number}-{}", number + 1 + self.random.index(9) as u32)
            }
            2 if self.style.several > 0.2 => format!("{number}f."),
            3 if self.style.several > 0.0 => {
                format!("{number} – {}", number + 1 + self.random.index(9) as u32)
            }
            _ => number.to_string(),
        }
    }

    /// Prints page numbers behind what ends at `end`; `edge` is the column's right edge.
    fn number(
        &mut self,
        line: &mut Vec<Char>,
        labels: &[String],
        end: f32,
        entry: usize,
        edge: f32,
    ) {
        let red = self.style.red_numbers;
        let ink = Ink { size: 1.0, red, role: Role::Label, entry };
        let joint = Ink { size: 1.0, red: false, role: Role::Leader, entry };
        let text = labels.join(", ");
        let mark = self.style.mark.unwrap_or("");
        match self.style.number {
            NumberPlace::Left => {}
            NumberPlace::Right => {
                let jitter =
                    if self.random.chance(0.05) { self.random.between(0.0, 0.6) } else { 0.0 };
                let start = edge - jitter - self.measure(&text, 1.0);
                let before = start - self.measure(mark, 1.0);
                self.leader(line, end + 0.35, before - 0.3, joint);
                self.run(line, mark, before, joint);
                self.run(line, &text, start, ink);
            }
            place => {
                let (lead, close) = match place {
                    NumberPlace::Comma => (", ", ""),
                    NumberPlace::Dash => (" — ", ""),
                    NumberPlace::Bracket => (" (", ")"),
                    _ => (self.style.space, ""),
                };
                let close = if self.style.stop && close.is_empty() { "." } else { close };
                let x = self.run(line, lead, end, joint);
                let x = self.run(line, mark, x, joint);
                let x = self.run(line, &text, x, ink);
                self.run(line, close, x, joint);
            }
        }
    }

    fn leader(&mut self, line: &mut Vec<Char>, from: f32, to: f32, ink: Ink) {
        let (letter, step) = match self.style.leader {
            Leader::None => return,
            Leader::Spaced => ('.', self.style.leader_step),
            Leader::Tight => ('.', 0.3),
            Leader::Rule => ('_', 0.5),
        };
        // Leaders stand below one another: they begin at a multiple of their step.
        let mut x = (from / step).ceil() * step;
        while x + 0.25 < to {
            line.push(Char {
                letter,
                x,
                width: 0.22,
                y: self.y,
                size: 1.0,
                red: false,
                role: ink.role,
                entry: ink.entry,
            });
            x += step;
        }
    }

    fn list(&mut self) {
        let mut since_head = self.random.index(3);
        loop {
            let level = 1 + self.random.index(self.style.depth) as u8;
            let every = self.style.head_every;
            if every > 0 && since_head >= every + self.random.index(every)
                || (every > 0 && self.page.entries.is_empty() && self.random.chance(0.6))
            {
                since_head = 0;
                if self.y > self.top && !self.next(self.style.gap_above) {
                    return;
                }
                let entry = self.entry(1);
                let with_page = self.random.chance(self.style.head_page);
                self.heading_line(entry, with_page);
                if !self.next(1.0 + 0.3 * self.style.gap_above) {
                    return;
                }
                continue;
            }
            since_head += 1;
            if !self.item(level) {
                return;
            }
        }
    }

    fn date(&mut self) -> String {
        self.day = self.day % 31 + 1 + self.random.index(3) as u32;
        let day = self.day.clamp(1, 31);
        match self.style.form {
            DateForm::Day => day.to_string(),
            DateForm::DayMonth => format!("{day} {}", words::month(self.random)),
            DateForm::MonthDay => format!("{} {day}", words::month(self.random)),
            DateForm::Numeric => {
                let month = 1 + self.random.index(12);
                let mark = *self.random.pick(&['/', '.', '-']);
                let roman = self.random.chance(0.25);
                let month =
                    if roman { words::roman(month as u32, true) } else { month.to_string() };
                format!("{day}{mark}{month}")
            }
        }
    }

    /// Whether the next title is a number or a day alone; such follow one another, counted from the first.
    fn alone(&mut self) -> bool {
        let share = self.style.numerals;
        let more = if self.counting && share > 0.0 { share.max(0.75) } else { share };
        let alone = self.random.chance(more);
        let first = if self.style.days.is_some() { self.random.index(28) as u32 } else { 0 };
        self.nth = if alone && self.counting { self.nth + 1 } else { first };
        self.counting = alone;
        alone
    }

    fn labels(&mut self) -> Vec<String> {
        // A column of numbers before the titles has room for one.
        let lone = self.style.number == NumberPlace::Left;
        let count = if !lone && self.random.chance(self.style.several) {
            2 + self.random.index(4)
        } else {
            1
        };
        let mut all: Vec<String> = (0..count).map(|_| self.label()).collect();
        if count > 1 && self.style.list == List::Alphabet {
            all.sort_by_key(|l| {
                l.chars()
                    .take_while(char::is_ascii_digit)
                    .collect::<String>()
                    .parse::<u32>()
                    .unwrap_or(0)
            });
        }
        all
    }

    /// One entry over as many lines as it needs; false where the page ended.
    fn item(&mut self, level: u8) -> bool {
        let style = self.style.clone();
        let bare = self.random.chance(0.03) || self.random.chance(style.see);
        let entry = self.entry(level);
        let role = if bare { Role::Heading } else { Role::Title };
        let ink = Ink { size: 1.0, red: false, role, entry };
        let edge = self.left() + style.column_width;
        let lead = match style.date {
            DatePlace::Column | DatePlace::Before if style.form == DateForm::Day => 1.9,
            DatePlace::Column => 5.0,
            _ if style.ordinal_column => 2.2,
            _ => 0.0,
        };
        let large = style.drop_caps && self.beside == 0 && self.random.chance(0.12);
        if large {
            self.beside = 2;
        }
        let aside = if self.beside > 0 { 1.8 } else { 0.0 };
        self.beside = self.beside.saturating_sub(1);
        let left = self.left()
            + lead
            + if style.number == NumberPlace::Left { 3.0 } else { 0.0 }
            + (level - 1) as f32 * style.indent
            + aside;
        let count =
            style.title_words.0 + self.random.index(style.title_words.1 - style.title_words.0 + 1);
        let mut title = words::title(self.random, count, style.capitals);
        if self.alone() {
            let form = (level as usize + style.counting) % 3;
            title = match style.days {
                Some(month_first) => words::day(self.random, month_first, 1 + self.nth % 31),
                None => words::numeral(self.random, form, self.nth),
            };
        }
        if self.random.chance(style.see) && bare {
            title = format!(
                "{title}, {} {}",
                words::listed(self.random, "see"),
                words::name(self.random)
            );
        }
        if self.random.chance(style.bookish) {
            title.push_str(&self.bookish());
        }
        if large {
            let initial = title.chars().next().unwrap_or('A').to_uppercase().next().unwrap_or('A');
            title = title.chars().skip(1).collect();
            let (y, size) = (self.y, self.random.between(1.9, 2.6));
            self.y += 0.5 * style.line;
            let mut line = Vec::new();
            self.run(
                &mut line,
                &initial.to_string(),
                left - 1.7,
                Ink { size, red: style.red_heads, ..ink },
            );
            self.finish(line);
            self.y = y;
        }
        let mut line = Vec::new();
        let labels = if bare { Vec::new() } else { self.labels() };
        self.marginal_number(&mut line, edge);
        if style.number == NumberPlace::Left && !bare {
            let text = labels.join(", ");
            let x = self.left()
                + if self.random.chance(0.5) {
                    (2.3 - self.measure(&text, 1.0)).max(0.0)
                } else {
                    0.0
                };
            self.run(&mut line, &text, x, Ink { role: Role::Label, red: style.red_numbers, ..ink });
        }
        let mut x = left;
        if matches!(style.date, DatePlace::Before | DatePlace::Column) && !self.random.chance(0.04)
        {
            let date = self.date();
            let dated = Ink { role: Role::Date, red: style.red_days, ..ink };
            if lead > 0.0 {
                let wide = self.measure(&date, 1.0);
                let at = left - lead
                    + if self.random.chance(0.5) { (lead - 0.6 - wide).max(0.0) } else { 0.0 };
                let end = self.run(&mut line, &date, at, dated);
                x = x.max(end + 0.4);
            } else {
                x = self.run(&mut line, &date, x, dated) + 0.3;
                if self.random.chance(0.5) {
                    x = self.run(&mut line, ": ", x, dated);
                }
            }
        } else if style.ordinal_column {
            self.ordinal = if self.ordinal == 0 {
                1 + self.random.index(200) as u32
            } else {
                self.ordinal + 1
            };
            let number = self.ordinal.to_string();
            let dot = if self.random.chance(0.2) { "." } else { "" };
            self.run(
                &mut line,
                &format!("{number}{dot}"),
                left - lead,
                Ink { role: Role::Date, ..ink },
            );
        } else if self.random.chance(style.ordinal) {
            let (form, nth) = (self.random.index(3), self.random.index(60) as u32);
            let number = format!("{}. ", words::counted(form, nth));
            x = self.run(&mut line, &number, x, Ink { role: Role::Date, ..ink });
        }
        self.titled(line, &title, (x, left), entry, &labels, role)
    }

    /// What catalogues print behind a title: ". Paris, 1840. 2 v. in-8."
    fn bookish(&mut self) -> String {
        let place = words::name(self.random);
        let year = 1500 + self.random.index(500);
        let size = *self.random.pick(&[
            " in-8.",
            " in-4. c.",
            " 2 v. in-8.",
            " gr. in-12.",
            "",
            " 3 vol.",
            " fig.",
            " 12 pl.",
        ]);
        match self.random.index(4) {
            0 => format!(". {place}, {year}.{size}"),
            1 => format!(", {year}.{size}"),
            2 => format!(". {place}.{size}"),
            _ => format!(", {} {}", words::word(self.random), 1 + self.random.index(900)),
        }
    }

    fn marginal_number(&mut self, line: &mut Vec<Char>, edge: f32) {
        let Some(at_left) = self.style.marginal else { return };
        if !self.random.chance(0.7) {
            return;
        }
        self.marginal += 1 + self.random.index(2) as u32;
        let text = self.marginal.to_string();
        let x = if at_left { self.left() - 1.0 - self.measure(&text, 0.8) } else { edge + 0.9 };
        let ink = Ink { size: 0.8, red: self.style.red_days, ..self.plain(Role::Marginal) };
        self.run(line, &text, x, ink);
    }

    /// The title over its lines, then date, rank and number where the style has them.
    fn titled(
        &mut self,
        mut line: Vec<Char>,
        title: &str,
        (mut x, left): (f32, f32),
        entry: usize,
        labels: &[String],
        role: Role,
    ) -> bool {
        let style = self.style.clone();
        let ink = Ink { size: 1.0, red: false, role, entry };
        let edge = self.left() + style.column_width;
        let at_edge = style.number == NumberPlace::Right;
        let text = format!("{}{}", style.mark.unwrap_or(""), labels.join(", "));
        let room = if at_edge && !labels.is_empty() { self.measure(&text, 1.0) + 0.8 } else { 0.0 };
        let between = if style.date == DatePlace::Between { 4.5 } else { 0.0 };
        // Titles of some books wrap early and leave the numbers a clear column.
        let limit =
            edge - (room + between).min(style.column_width * 0.6) - if at_edge { 0.5 } else { 0.0 };
        let tail = match style.date {
            DatePlace::After => Some(format!(", {}", self.date())),
            DatePlace::Bracket => Some(format!(" ({})", self.date())),
            _ => None,
        };
        let second = self.random.chance(style.second).then(|| {
            if self.random.chance(0.4) {
                words::listed(self.random, "ranks")
            } else {
                let count = 1 + self.random.index(6);
                words::title(self.random, count, false)
            }
        });
        let same_line = if style.second_below { None } else { second.clone() };
        let mut pieces: Vec<(String, Role, f32)> =
            title.split(' ').map(|w| (w.to_owned(), role, 1.0)).collect();
        for word in same_line.iter().flat_map(|s| s.split(' ')) {
            pieces.push((word.to_owned(), role, 0.9));
        }
        for word in tail.iter().flat_map(|t| t.split(' ')).filter(|w| !w.is_empty()) {
            pieces.push((word.to_owned(), Role::Date, 1.0));
        }
        let mut first = true;
        let mut placed = false;
        let start = x;
        for (word, role, size) in pieces {
            let glued = word == ",";
            if x > start + 0.1 && x + self.measure(&word, size) > limit && !glued {
                if style.number_first && first && !labels.is_empty() {
                    self.number(&mut line, labels, x, entry, edge);
                    placed = true;
                }
                first = false;
                line.sort_by(|a, b| a.x.total_cmp(&b.x));
                self.finish(std::mem::take(&mut line));
                let column = self.column;
                if !self.next(1.0) {
                    return false;
                }
                if self.column != column {
                    // An entry that goes on in the next column: its rest is out of its sight there.
                    return self.rest(entry, labels, placed);
                }
                x = left + style.hang;
            }
            let red = style.red_days && role == Role::Date;
            let spaced =
                if x > start + 0.1 && !glued { self.run(&mut line, " ", x, ink) } else { x };
            x = self.run(&mut line, &word, spaced, Ink { size, red, role, ..ink });
        }
        if style.date == DatePlace::Between {
            let date = self.date();
            let at = (edge - room - between + 0.4).max(x + 0.8);
            x = self.run(
                &mut line,
                &date,
                at,
                Ink { role: Role::Date, red: style.red_days, ..ink },
            );
        }
        let below = second.filter(|_| style.second_below);
        let number_below = below.is_some() && at_edge && self.random.chance(0.15) && !placed;
        if !labels.is_empty() && !placed && !number_below {
            let fits = at_edge || x + self.measure(&text, 1.0) + 1.0 < edge + 0.5;
            if !fits {
                line.sort_by(|a, b| a.x.total_cmp(&b.x));
                self.finish(std::mem::take(&mut line));
                if !self.next(1.0) {
                    return false;
                }
                x = self.left() + style.hang;
            }
            self.wrapped_numbers(&mut line, labels, x, entry, edge);
        }
        line.sort_by(|a, b| a.x.total_cmp(&b.x));
        self.finish(std::mem::take(&mut line));
        if let Some(second) = below {
            if !self.next(0.95) {
                return false;
            }
            let size = self.random.between(0.8, 1.0);
            let wide = self.measure(&second, size);
            let x = if style.second_right {
                (limit - wide).max(left)
            } else {
                left + style.hang.max(0.6)
            };
            let end = self.run(&mut line, &second, x, Ink { size, ..ink });
            if number_below {
                self.number(&mut line, labels, end, entry, edge);
            }
            self.finish(std::mem::take(&mut line));
        }
        let step = if self.random.chance(0.03) { 1.6 } else { 1.0 };
        self.next(step)
    }

    /// Numbers behind a comma go on below where they do not fit.
    fn wrapped_numbers(
        &mut self,
        line: &mut Vec<Char>,
        labels: &[String],
        x: f32,
        entry: usize,
        edge: f32,
    ) {
        if self.style.number == NumberPlace::Right || labels.len() < 2 {
            self.number(line, labels, x, entry, edge);
            return;
        }
        let fits =
            |press: &Self, n: usize| x + 0.8 + press.measure(&labels[..n].join(", "), 1.0) < edge;
        let count = (1..=labels.len()).rev().find(|n| fits(self, *n)).unwrap_or(1);
        self.number(line, &labels[..count], x, entry, edge);
        if count < labels.len() {
            let comma = Ink { size: 1.0, red: false, role: Role::Leader, entry };
            let end = line.iter().map(|c| c.x + c.width).fold(x, f32::max);
            self.run(line, ",", end, comma);
            self.finish(std::mem::take(line));
            if self.next(1.0) {
                let text = labels[count..].join(", ");
                let ink = Ink { role: Role::Label, ..comma };
                let x = self.left() + self.style.hang.max(1.0);
                self.run(line, &text, x, ink);
            }
        }
    }

    fn rest(&mut self, entry: usize, labels: &[String], placed: bool) -> bool {
        let ink = Ink { size: 1.0, red: false, role: Role::Title, entry };
        let mut line = Vec::new();
        let word = words::word(self.random);
        let x = self.left() + self.style.hang;
        let end = self.run(&mut line, &word, x, ink);
        if !placed && !labels.is_empty() {
            self.number(&mut line, labels, end, entry, self.left() + self.style.column_width);
        }
        line.sort_by(|a, b| a.x.total_cmp(&b.x));
        self.finish(line);
        self.next(1.0)
    }

    /// Paragraphs of entries one behind the other: "Monday, 10; Tuesday, 12".
    fn run_in(&mut self) {
        loop {
            if self.style.head_every > 0 && self.random.chance(0.4) {
                let entry = self.entry(1);
                let with_page = self.random.chance(self.style.head_page);
                self.heading_line(entry, with_page);
                if !self.next(1.0) {
                    return;
                }
            }
            let count = 2 + self.random.index(12);
            if !self.paragraph(count) || !self.next(self.style.gap_above.max(1.0)) {
                return;
            }
        }
    }

    fn paragraph(&mut self, count: usize) -> bool {
        let style = self.style.clone();
        let separator = *self.random.pick(&["; ", ". ", ", ", " — ", " · "]);
        let mut line = Vec::new();
        let mut x = self.left();
        for i in 0..count {
            let entry = self.entry(2);
            let title = if self.random.chance(style.numerals) {
                words::numeral(self.random, style.counting, i as u32)
            } else if self.random.chance(0.3) {
                words::listed(self.random, "weekdays")
            } else {
                let count = 1 + self.random.index(3);
                words::title(self.random, count, true)
            };
            let label = self.label();
            let (lead, close) = match style.number {
                NumberPlace::Bracket => ("(", ")"),
                _ => ("", ""),
            };
            let comma = if style.number == NumberPlace::Comma { "," } else { "" };
            let mut words: Vec<(String, Role)> =
                title.split(' ').map(|w| (w.to_owned(), Role::Title)).collect();
            if let Some(last) = words.last_mut() {
                last.0.push_str(comma);
            }
            let behind = if i + 1 < count { separator.trim() } else { "." };
            words.push((format!("{lead}{label}{close}"), Role::Label));
            for (word, role) in words {
                if x + self.measure(&word, 1.0) > self.left() + style.column_width {
                    self.finish(std::mem::take(&mut line));
                    let column = self.column;
                    if !self.next(1.0) {
                        return false;
                    }
                    if self.column != column {
                        self.page.entries[entry].column = self.column as u8;
                    }
                    x = self.left() + if style.hang > 0.0 { style.hang } else { 0.0 };
                }
                let ink = Ink { size: 1.0, red: false, role, entry };
                x = self.run(&mut line, &word, x, ink);
                x = if role == Role::Label && behind.len() == 1 {
                    x
                } else {
                    self.run(&mut line, " ", x, ink)
                };
            }
            let joint = Ink { size: 1.0, red: false, role: Role::Leader, entry };
            x = self.run(&mut line, behind, x, joint);
            x = self.run(&mut line, " ", x, joint);
        }
        self.finish(line);
        true
    }

    /// Days of the Proper as a book has them: date, title, from which Common, then prayers.
    fn days(&mut self) {
        loop {
            let heads: Vec<String> = vec![
                {
                    let date = self.date();
                    if self.random.chance(0.5) { date } else { words::month(self.random) }
                },
                {
                    let count = 1 + self.random.index(6);
                    words::title(self.random, count, true)
                },
            ];
            for text in heads {
                let entry = self.entry(1);
                let wide = self.measure(&text, 1.1);
                let centred = self.style.head_centred;
                let x = self.left()
                    + if centred { ((self.style.column_width - wide) / 2.0).max(0.0) } else { 0.0 };
                let mut line = Vec::new();
                self.run(
                    &mut line,
                    &text,
                    x,
                    Ink { size: 1.1, red: self.style.red_heads, role: Role::Heading, entry },
                );
                self.finish(line);
                if !self.next(1.1) {
                    return;
                }
            }
            if !self.references() {
                return;
            }
            let paragraphs = self.random.index(5);
            for _ in 0..paragraphs {
                if !self.sentence() {
                    return;
                }
            }
            if !self.next(self.style.gap_above) {
                return;
            }
        }
    }

    /// A paragraph of running text: its last line is short, further lines may be indented.
    fn sentence(&mut self) -> bool {
        let lines = *self.random.pick(&[1, 1, 2, 2, 3, 6]);
        let (left, wide) = (self.left(), self.style.column_width);
        for line in 0..lines {
            let indent = if line > 0 { self.style.hang } else { 0.0 };
            let share = if line + 1 == lines { self.random.between(0.15, 0.98) } else { 1.0 };
            self.prose_line(left + indent, (wide - indent) * share, Role::Prose);
            if let Some(printed) = self.page.lines.last_mut() {
                if let Some(first) = printed.first_mut().filter(|_| line == 0) {
                    first.letter = first.letter.to_uppercase().next().unwrap_or(first.letter);
                }
                if let Some(last) =
                    printed.last_mut().filter(|l| l.letter == ' ' && line + 1 == lines)
                {
                    last.letter = '.';
                }
            }
            if !self.next(1.0) {
                return false;
            }
        }
        true
    }

    fn references(&mut self) -> bool {
        let mut words: Vec<(String, Role, usize)> = Vec::new();
        for i in 0..1 + self.random.index(3) {
            let entry = self.entry(3);
            let lead = if i == 0 {
                *self.random.pick(&["From the", "Del", "De", "Aus dem", "Ex", "See the", ""])
            } else {
                *self.random.pick(&["or", "or the", "o", "o bien", "vel", "oder", "ou", "lub"])
            };
            words.extend(
                lead.split(' ')
                    .filter(|w| !w.is_empty())
                    .map(|w| (w.to_owned(), Role::Prose, usize::MAX)),
            );
            let count = 2 + self.random.index(6);
            let title = words::title(self.random, count, true);
            words.extend(title.split(' ').map(|w| (w.to_owned(), Role::ReferenceText, entry)));
            if self.random.chance(0.3) {
                let form = words::numeral(self.random, self.style.counting, i as u32);
                words.push((format!(": {form}"), Role::ReferenceText, entry));
            }
            if let Some(last) = words.last_mut() {
                last.0.push(',');
            }
            words.push((
                (*self.random.pick(&["p.", "pp.", "page", "S.", "pág."])).to_owned(),
                Role::Leader,
                entry,
            ));
            let page = self.page_number + self.random.index(900) as u32;
            let page = if self.random.chance(0.3) {
                format!("{page}-{}", page + 2)
            } else {
                page.to_string()
            };
            words.push((
                format!("{page}{}", self.random.pick(&[",", ".", ";", ""])),
                Role::ReferencePage,
                entry,
            ));
        }
        let (mut line, mut x) = (Vec::new(), self.left());
        for (word, role, entry) in words {
            if x + self.measure(&word, 1.0) > self.left() + self.style.column_width {
                self.finish(std::mem::take(&mut line));
                if !self.next(1.0) {
                    return false;
                }
                x = self.left();
            }
            let ink = Ink { size: 1.0, red: self.style.red_heads, role, entry };
            x = self.run(&mut line, &word, x, ink);
            x = self.run(&mut line, " ", x, ink);
        }
        self.finish(line);
        self.next(1.0)
    }
}
