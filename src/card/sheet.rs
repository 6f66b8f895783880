//! A card set on paper: marks at their places, for the writers of PDF and SVG.
//!
//! The ribbons come in from the left edge of the paper as they do from the spine of the book, and the
//! moment that pulls one carries its end again at the same edge. Lengths are in hundredths of a point,
//! y grows downwards, corner zero is the top left of the page.

use super::letters::{Face, Letters, Run, Style};
use super::{Card, Line, Step};
use crate::Result;
use crate::language::Language;

/// The paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// A card laid into the book.
    A6,
    /// A card on the credence.
    A5,
    /// A sheet on the sacristy wall, with the reasons.
    A4,
}

impl Paper {
    /// Width and height.
    pub(super) fn size(self) -> (i32, i32) {
        match self {
            Paper::A6 => (29_764, 41_953),
            Paper::A5 => (41_953, 59_528),
            Paper::A4 => (59_528, 84_189),
        }
    }

    /// Percent of the sizes given for A5.
    fn scale(self) -> i32 {
        match self {
            Paper::A6 => 80,
            Paper::A5 => 100,
            Paper::A4 => 138,
        }
    }
}

/// What a mark is printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ink {
    Black,
    /// The red of headings.
    Rubric,
    Grey,
}

impl Ink {
    pub fn rgb(self) -> [u8; 3] {
        match self {
            Ink::Black => [16, 14, 14],
            Ink::Rubric => [150, 22, 28],
            Ink::Grey => [92, 88, 86],
        }
    }
}

/// Something printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Mark {
    /// A run of text; `y` is its baseline.
    Text { x: i32, y: i32, run: Run, ink: Ink },
    /// A ribbon from `x` to the right, or hanging down from `y`, its end cut like a swallow's tail.
    Ribbon { x: i32, y: i32, length: i32, breadth: i32, hangs: bool, dye: Option<[u8; 3]> },
    /// A horizontal line.
    Rule { x: i32, y: i32, length: i32, ink: Ink },
}

impl Mark {
    /// The corners of a ribbon, the ends of a rule; none for text.
    pub fn outline(&self) -> Vec<(i32, i32)> {
        match *self {
            Mark::Text { .. } => vec![],
            Mark::Ribbon { x, y, length, breadth, hangs: true, .. } => {
                let (end, right) = (y + length, x + breadth);
                vec![
                    (x, y),
                    (x, end),
                    (x + breadth / 2, end - breadth / 2),
                    (right, end),
                    (right, y),
                ]
            }
            Mark::Ribbon { x, y, length, breadth, .. } => {
                let (end, low) = (x + length, y + breadth);
                vec![(x, y), (end, y), (end - breadth / 2, y + breadth / 2), (end, low), (x, low)]
            }
            Mark::Rule { x, y, length, .. } => vec![(x, y), (x + length, y)],
        }
    }
}

/// Printed pages.
pub(super) struct Sheet {
    /// Width and height.
    pub size: (i32, i32),
    pub language: Language,
    pub title: String,
    pub pages: Vec<Vec<Mark>>,
}

/// Sets `card` on `paper`: on one side if it fits there, else with the ribbons on the front and the order
/// of service on the back, each as large as there is room for.
pub(super) fn set(card: &Card, paper: Paper) -> Result<Sheet> {
    let letters = Letters::load()?;
    let attempt = |percent: i32, sides, most_pages| {
        let mut setter = Setter::new(card, paper, &letters, paper.scale() * percent / 100);
        setter.most_pages = most_pages;
        setter.all(sides);
        setter.pages
    };
    let one = [106, 100, 94, 88, 83].map(|percent| (percent, Sides::One));
    let two = [135, 125, 115, 105, 100, 92, 85, 77, 70, 63].map(|percent| (percent, Sides::Two));
    let smallest = if card.dark { IN_THE_DARK } else { SMALLEST };
    let readable = |(percent, _): &(i32, Sides)| paper.scale() * percent / 100 >= smallest;
    for (percent, sides) in one.into_iter().chain(two).filter(readable) {
        let pages = attempt(percent, sides, sides as usize);
        if pages.len() == sides as usize {
            return Ok(sheet(card, paper, pages));
        }
    }
    let percent = (100 * smallest).div_euclid(paper.scale()) + 1;
    Ok(sheet(card, paper, attempt(percent.max(100), Sides::Two, usize::MAX)))
}

fn sheet(card: &Card, paper: Paper, pages: Vec<Vec<Mark>>) -> Sheet {
    let title = format!("{}: {}", card.date, card.celebration);
    Sheet { size: paper.size(), language: card.language, title, pages }
}

/// Percent of the sizes given for A5 below which a card cannot be read in dim light: 9 points (by trial).
const SMALLEST: i32 = 66;

/// The same by candlelight: the notes, 12.5 points for A5, come to [`NIGHT_SIZE`].
const IN_THE_DARK: i32 = 96;

/// Nothing smaller is printed on a card for the dark, in hundredths of a point (common practice: large print
/// begins at 12).
const NIGHT_SIZE: i32 = 1_200;

/// How many pages a card is meant to take.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sides {
    One = 1,
    /// The order of service begins a page.
    Two = 2,
}

struct Setter<'a> {
    card: &'a Card,
    paper: Paper,
    letters: &'a Letters,
    /// Percent of the sizes given for A5.
    scale: i32,
    /// With more pages the attempt has failed and need not be finished.
    most_pages: usize,
    pages: Vec<Vec<Mark>>,
    /// Baseline of the last line set.
    y: i32,
    foot: Vec<Vec<Run>>,
}

/// Margins at the scale of A5.
const LEFT: i32 = 4_700;
const RIGHT: i32 = 2_700;
const TOP: i32 = 3_300;
const BOTTOM: i32 = 2_300;

pub(super) const PLAIN: Style = Style { face: Face::Text, size: 1_400, small_caps: false };
pub(super) const ITALIC: Style = Style { face: Face::Italic, size: 1_350, small_caps: false };
pub(super) const CAPS: Style = Style { face: Face::Text, size: 1_400, small_caps: true };
pub(super) const SMALL: Style = Style { face: Face::Italic, size: 1_050, small_caps: false };
pub(super) const PAGE: Style = Style { face: Face::Bold, size: 1_550, small_caps: false };
pub(super) const LARGE_PAGE: Style = Style { face: Face::Bold, size: 2_100, small_caps: false };
pub(super) const TITLE: Style = Style { face: Face::Bold, size: 2_100, small_caps: false };

/// Room of the line that says where the priest stands.
const STAND: i32 = 2_100;

/// A step taken apart into lines: what is said in the middle, and what the hand does.
struct Parts {
    middle: Vec<Vec<Run>>,
    hand: Vec<Vec<Run>>,
    /// Where the middle begins.
    from: i32,
}

impl Parts {
    /// Height before it is scaled.
    fn height(&self) -> i32 {
        let lines = self.middle.len().max(self.hand.len());
        2_000 + 1_500 * i32::try_from(lines.saturating_sub(1)).unwrap_or(0)
    }
}

impl<'a> Setter<'a> {
    fn new(card: &'a Card, paper: Paper, letters: &'a Letters, scale: i32) -> Self {
        let mut setter = Setter {
            card,
            paper,
            letters,
            scale,
            most_pages: usize::MAX,
            pages: vec![vec![]],
            y: 0,
            foot: vec![],
        };
        setter.y = setter.scaled(TOP);
        let room = setter.right() - setter.left();
        setter.foot = letters.flow(&[(&card.caution, setter.style(SMALL))], room);
        setter
    }

    fn all(&mut self, sides: Sides) {
        let card = self.card;
        self.head();
        self.ribbons();
        self.list(&card.headings.notices, &card.notices, "?");
        match sides {
            Sides::One => {
                self.steps();
                self.explanations();
            }
            Sides::Two => {
                self.explanations();
                self.new_page();
                self.steps();
            }
        }
        self.foot();
    }

    /// On the wall there is room for the reasons.
    fn explanations(&mut self) {
        let card = self.card;
        if self.paper == Paper::A4 {
            self.list(&card.headings.reasons, &card.reasons, "");
            self.list(&card.headings.worth, &card.worth, "");
        }
    }

    fn has_failed(&self) -> bool {
        self.pages.len() > self.most_pages
    }

    fn scaled(&self, length: i32) -> i32 {
        length * self.scale / 100
    }

    fn style(&self, style: Style) -> Style {
        let least = if self.card.dark { NIGHT_SIZE } else { 0 };
        Style { size: self.scaled(style.size).max(least), ..style }
    }

    fn left(&self) -> i32 {
        self.scaled(LEFT)
    }

    fn right(&self) -> i32 {
        self.paper.size().0 - self.scaled(RIGHT)
    }

    /// The lowest baseline above the foot.
    fn lowest(&self) -> i32 {
        let lines = i32::try_from(self.foot.len()).unwrap_or(1);
        self.paper.size().1 - self.scaled(BOTTOM) - lines * self.scaled(1_200) - self.scaled(700)
    }

    fn mark(&mut self, mark: Mark) {
        if let Some(page) = self.pages.last_mut() {
            page.push(mark);
        }
    }

    fn text(&mut self, x: i32, y: i32, run: Run, ink: Ink) {
        self.mark(Mark::Text { x, y, run, ink });
    }

    fn word(&self, text: &str, style: Style) -> Run {
        self.letters.set(text, self.style(style))
    }

    /// A line of runs beginning at `x`.
    fn line(&mut self, mut x: i32, y: i32, runs: Vec<Run>, ink: Ink) {
        for (i, run) in runs.into_iter().enumerate() {
            if i > 0 {
                x += self.letters.blank(run.style);
            }
            let width = run.width;
            self.text(x, y, run, ink);
            x += width;
        }
    }

    /// Lines of `text` under one another from the next baseline on.
    fn paragraph(&mut self, text: &str, style: Style, leading: i32, ink: Ink) {
        let (left, room) = (self.left(), self.right() - self.left());
        for line in self.letters.flow(&[(text, self.style(style))], room) {
            self.advance(leading);
            self.line(left, self.y, line, ink);
        }
    }

    /// Moves down by `leading`; on a new page if there is no room.
    fn advance(&mut self, leading: i32) {
        self.y += self.scaled(leading);
        if self.y > self.lowest() {
            self.new_page();
        }
    }

    /// A new page unless `height` more fits on this one.
    fn keep(&mut self, height: i32) {
        if self.y + self.scaled(height) > self.lowest() {
            self.new_page();
        }
    }

    fn new_page(&mut self) {
        self.foot();
        self.pages.push(vec![]);
        self.y = self.scaled(TOP) + self.scaled(900);
        let head = format!("{} · {}", self.card.date, self.card.celebration);
        let room = self.right() - self.left();
        let mut lines = self.letters.flow(&[(&head, self.style(SMALL))], room).into_iter();
        if let Some(mut first) = lines.next() {
            if lines.next().is_some() {
                first.push(self.word("…", SMALL));
            }
            self.line(self.left(), self.y, first, Ink::Grey);
        }
    }

    /// The caution, on every page.
    fn foot(&mut self) {
        let (left, right) = (self.left(), self.right());
        let mut y = self.lowest() + self.scaled(700);
        self.mark(Mark::Rule { x: left, y, length: right - left, ink: Ink::Rubric });
        y += self.scaled(100);
        for line in self.foot.clone() {
            y += self.scaled(1_200);
            self.line(left, y, line, Ink::Grey);
        }
    }

    fn head(&mut self) {
        let date = self.word(&self.card.date, CAPS);
        self.y += self.scaled(700);
        self.text(self.left(), self.y, date, Ink::Rubric);
        self.y += self.scaled(300);
        self.paragraph(&self.card.celebration, TITLE, 2_200, Ink::Black);
        self.paragraph(&self.card.particulars, ITALIC, 1_800, Ink::Black);
    }

    /// A heading, with something beside it at the right edge.
    fn heading(&mut self, text: &str, beside: &str) {
        self.keep(5_000);
        self.advance(2_700);
        let y = self.y;
        let heading = self.word(text, CAPS);
        let start = self.left() + heading.width + self.scaled(600);
        self.text(self.left(), y, heading, Ink::Rubric);
        let beside = self.word(beside, SMALL);
        let mut end = self.right();
        if beside.width > 0 {
            end -= beside.width;
            self.text(end, y, beside, Ink::Grey);
            end -= self.scaled(600);
        }
        let length = end - start;
        self.mark(Mark::Rule { x: start, y: y - self.scaled(380), length, ink: Ink::Rubric });
    }

    fn ribbons(&mut self) {
        let card = self.card;
        self.heading(&card.headings.ribbons, &card.book);
        let widest = |style: Style, texts: Vec<&str>| {
            texts.into_iter().map(|t| self.word(t, style).width).max().unwrap_or(0)
        };
        let names = widest(CAPS, card.ribbons.iter().map(|r| r.colour.as_str()).collect());
        let pages = widest(LARGE_PAGE, card.ribbons.iter().map(|r| r.page.as_str()).collect());
        let page_edge = self.left() + names + self.scaled(800) + pages;
        for ribbon in &card.ribbons {
            self.ribbon(ribbon, page_edge);
        }
        self.y += self.scaled(500);
        for open in &card.open_at {
            let text = format!("{} p. {}, {}.", card.headings.open_at, open.page, named(open));
            self.paragraph(&text, ITALIC, 1_700, Ink::Black);
        }
    }

    /// One ribbon: its end at the edge of the paper, colour, page, text.
    fn ribbon(&mut self, ribbon: &Line, page_edge: i32) {
        let text_from = page_edge + self.scaled(1_500);
        let lines = self
            .letters
            .flow(&[(named(ribbon).as_str(), self.style(PLAIN))], self.right() - text_from);
        self.keep(2_700 + 1_600 * i32::try_from(lines.len()).unwrap_or(1));
        self.y += self.scaled(2_500);
        let y = self.y;
        self.mark(Mark::Ribbon {
            x: 0,
            y: y - self.scaled(1_330),
            length: self.left() - self.scaled(700),
            breadth: self.scaled(1_500),
            hangs: false,
            dye: super::dye::dye(&ribbon.colour),
        });
        let name = self.word(&ribbon.colour, CAPS);
        self.text(self.left(), y, name, Ink::Black);
        self.page(&ribbon.page, ribbon.doubt, page_edge, LARGE_PAGE);
        for (i, line) in lines.into_iter().enumerate() {
            if i > 0 {
                self.y += self.scaled(1_600);
            }
            self.line(text_from, self.y, line, Ink::Black);
        }
    }

    /// A page number that ends at `edge`, with a red question mark after it where it is doubtful.
    fn page(&mut self, page: &str, doubt: bool, edge: i32, style: Style) {
        let run = self.word(page, style);
        self.text(edge - run.width, self.y, run, Ink::Black);
        if doubt {
            let mark = self.word("?", style);
            self.text(edge + self.scaled(120), self.y, mark, Ink::Rubric);
        }
    }

    fn steps(&mut self) {
        let card = self.card;
        self.heading(&card.headings.steps, "");
        let pages = card.steps.iter().filter_map(|s| s.page.as_deref());
        let widest = pages.map(|p| self.word(p, PAGE).width).max().unwrap_or(0);
        let page_edge = self.left() + widest;
        for step in &card.steps {
            if self.has_failed() {
                return;
            }
            let parts = self.parts(step, page_edge);
            if let Some(stand) = &step.stand {
                // It does not stand alone at the foot of a page.
                self.keep(STAND + parts.height());
                self.advance(STAND);
                let run = self.word(stand, CAPS);
                self.text(self.left(), self.y, run, Ink::Rubric);
            }
            self.keep(parts.height());
            self.step(step, parts, page_edge);
        }
    }

    fn parts(&self, step: &Step, page_edge: i32) -> Parts {
        let from = page_edge + self.scaled(1_200);
        let hands = (self.right() - from) * 9 / 20;
        let hand = self.letters.flow(&[(&unbroken(&step.hand), self.style(ITALIC))], hands);
        let hand_width = hand.iter().map(|l| self.letters.width(l)).max().unwrap_or(0);
        let room = self.right() - hand_width - self.scaled(800) - from;
        let style = if step.by_heart { ITALIC } else { PLAIN };
        let pieces = [(step.moment.as_str(), self.style(style)), (&step.text, self.style(ITALIC))];
        let mut middle = self.letters.flow(&pieces, room);
        middle.extend(
            step.or
                .iter()
                .flat_map(|or| self.letters.flow(&[(&unbroken(or), self.style(SMALL))], room)),
        );
        Parts { middle, hand, from }
    }

    fn step(&mut self, step: &Step, Parts { middle, hand, from }: Parts, page_edge: i32) {
        let lines = middle.len().max(hand.len());
        self.y += self.scaled(2_000);
        self.pulled(step);
        if let Some(page) = &step.page {
            self.page(page, step.doubt, page_edge, PAGE);
        }
        let ink = if step.by_heart { Ink::Grey } else { Ink::Black };
        let hand_ink = if step.by_heart { Ink::Grey } else { Ink::Rubric };
        let top = self.y;
        let bottom = top + (i32::try_from(lines).unwrap_or(1) - 1) * self.scaled(1_500);
        for (y, line) in (top..).step_by(self.scaled(1_500) as usize).zip(middle) {
            self.line(from, y, line, ink);
        }
        for (y, line) in (top..).step_by(self.scaled(1_500) as usize).zip(hand) {
            let x = self.right() - self.letters.width(&line);
            self.line(x, y, line, hand_ink);
        }
        self.y = bottom;
    }

    /// The end of the ribbon that the step pulls, at the edge of the paper.
    fn pulled(&mut self, step: &Step) {
        if let Some(ribbon) = &step.ribbon {
            self.mark(Mark::Ribbon {
                x: 0,
                y: self.y - self.scaled(1_020),
                length: self.scaled(2_600),
                breadth: self.scaled(1_100),
                hangs: false,
                dye: super::dye::dye(ribbon),
            });
        }
    }

    fn list(&mut self, heading: &str, items: &[String], bullet: &str) {
        if items.is_empty() {
            return;
        }
        self.heading(heading, "");
        for item in items {
            if self.has_failed() {
                return;
            }
            self.y += self.scaled(300);
            self.item(item, bullet);
        }
    }

    /// A paragraph with `bullet` in the margin before its first line.
    fn item(&mut self, text: &str, bullet: &str) {
        let small = Style { size: 1_250, ..PLAIN };
        let (left, room) = (self.left(), self.right() - self.left());
        let lines = self.letters.flow(&[(text, self.style(small))], room);
        for (i, line) in lines.into_iter().enumerate() {
            self.advance(1_600);
            if i == 0 && !bullet.is_empty() {
                let mark = self.word(bullet, PAGE);
                let x = left - mark.width - self.scaled(400);
                self.text(x, self.y, mark, Ink::Rubric);
            }
            self.line(left, self.y, line, Ink::Black);
        }
    }
}

/// A page number stays on one line with its sign.
fn unbroken(text: &str) -> String {
    text.replace("p. ", "p.\u{a0}").replace("≈ ", "≈\u{a0}")
}

fn named(line: &Line) -> String {
    match &line.book {
        Some(book) => format!("{} ({book})", line.text),
        None => line.text.clone(),
    }
}
