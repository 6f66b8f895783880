//! The card for a terminal: aligned, wrapped to its width, colours painted only if asked for and always
//! named in words.

use super::{Card, Line, Step};

/// How to write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terminal {
    /// Columns; at least 40 are assumed.
    pub width: usize,
    /// Paint with ANSI colours.
    pub colour: bool,
    /// Say why the day is what it is and what the laying is worth.
    pub reasons: bool,
}

/// The card as text, ending with a newline.
pub fn write(card: &Card, terminal: Terminal) -> String {
    let mut out = Writer::new(terminal);
    out.head(card);
    out.ribbons(card);
    out.steps(card);
    out.list(&card.headings.notices, &card.notices, "? ");
    if terminal.reasons {
        out.list(&card.headings.reasons, &card.reasons, "");
        out.list(&card.headings.worth, &card.worth, "");
    }
    out.blank();
    out.paragraph(&card.caution, 2, "", Paint::Faint);
    out.finish()
}

#[derive(Clone, Copy)]
pub(super) enum Paint {
    Plain,
    Bold,
    Faint,
    Rubric,
}

/// Writes lines no wider than the terminal.
pub(super) struct Writer {
    terminal: Terminal,
    width: usize,
    text: String,
}

impl Writer {
    pub(super) fn new(terminal: Terminal) -> Self {
        Writer { terminal, width: terminal.width.clamp(40, 100), text: String::new() }
    }

    /// What was written.
    pub(super) fn finish(self) -> String {
        self.text
    }

    fn paint(&self, text: &str, paint: Paint) -> String {
        let code = match paint {
            Paint::Plain => return text.to_owned(),
            _ if !self.terminal.colour || text.is_empty() => return text.to_owned(),
            Paint::Bold => "1",
            Paint::Faint => "2",
            Paint::Rubric => "31",
        };
        format!("\u{1b}[{code}m{text}\u{1b}[0m")
    }

    pub(super) fn blank(&mut self) {
        self.text.push('\n');
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Wrapped text, indented; `bullet` stands before the first line.
    pub(super) fn paragraph(&mut self, text: &str, indent: usize, bullet: &str, paint: Paint) {
        let room = self.width.saturating_sub(indent + bullet.chars().count());
        for (i, line) in wrap(text, room).iter().enumerate() {
            let lead = if i == 0 { bullet.to_owned() } else { " ".repeat(bullet.chars().count()) };
            let painted = self.paint(line, paint);
            self.line(&format!("{}{lead}{painted}", " ".repeat(indent)));
        }
    }

    fn head(&mut self, card: &Card) {
        self.blank();
        self.paragraph(&card.date, 2, "", Paint::Faint);
        self.paragraph(&card.celebration.to_uppercase(), 2, "", Paint::Bold);
        self.paragraph(&card.particulars, 2, "", Paint::Plain);
    }

    pub(super) fn heading(&mut self, text: &str, beside: &str) {
        self.blank();
        let painted = self.paint(&text.to_uppercase(), Paint::Rubric);
        self.line(&format!("  {painted}  {beside}"));
    }

    /// A line in red where red is to be had.
    pub(super) fn rubric(&mut self, text: &str) {
        let painted = self.paint(text, Paint::Rubric);
        self.line(&format!("  {painted}"));
    }

    fn ribbons(&mut self, card: &Card) {
        self.heading(&card.headings.ribbons, &card.book);
        let colours = widest(card.ribbons.iter().map(|r| r.colour.as_str()));
        let pages = widest(card.ribbons.iter().map(|r| r.page.as_str()));
        for ribbon in &card.ribbons {
            let swatch = match self.terminal.colour {
                true => format!("{} ", swatch(&ribbon.colour)),
                false => String::new(),
            };
            let page = self.paint(&pad_left(&ribbon.page, pages), Paint::Bold);
            let colour = pad_right(&ribbon.colour, colours);
            let lead = format!("  {swatch}{colour}  p. {page}{}  ", doubt(ribbon.doubt));
            let indent = colours + pages + 10 + if self.terminal.colour { 3 } else { 0 };
            self.hang(&lead, indent, &ribbon_text(ribbon));
        }
        for open in &card.open_at {
            let text =
                format!("{} p. {}, {}.", card.headings.open_at, open.page, ribbon_text(open));
            self.paragraph(&text, 2, "", Paint::Plain);
        }
    }

    /// `lead`, then `text` wrapped to the right of column `indent`.
    pub(super) fn hang(&mut self, lead: &str, indent: usize, text: &str) {
        let lines = wrap(text, self.width.saturating_sub(indent).max(12));
        self.line(&format!("{lead}{}", lines.first().map_or("", |l| l.as_str())));
        for line in lines.iter().skip(1) {
            self.line(&format!("{}{line}", " ".repeat(indent)));
        }
    }

    fn steps(&mut self, card: &Card) {
        self.heading(&card.headings.steps, "");
        let pages = widest(card.steps.iter().filter_map(|s| s.page.as_deref()));
        let hands = widest(card.steps.iter().map(|s| s.hand.as_str())).min(self.width / 3);
        for step in &card.steps {
            if let Some(stand) = &step.stand {
                self.rubric(stand);
            }
            self.step(step, pages, hands);
        }
    }

    /// Page, moment with text, and the hand at the right edge; each column wrapped by itself.
    fn step(&mut self, step: &Step, pages: usize, hands: usize) {
        let swatch = if self.terminal.colour { 3 } else { 0 };
        let around = 2 + pages + 1 + 2 + 2 + swatch + hands;
        let room = self.width.saturating_sub(around).max(12);
        let mut middle = wrap(&middle(step), room);
        middle.extend(step.or.iter().flat_map(|or| wrap(or, room)));
        let hand = wrap(&step.hand, hands);
        for i in 0..middle.len().max(hand.len()) {
            let page = match i {
                0 => pad_left(step.page.as_deref().unwrap_or(""), pages) + doubt(step.doubt),
                _ => " ".repeat(pages + 1),
            };
            let page = self.paint(&page, Paint::Bold);
            let text = pad_right(middle.get(i).map_or("", |l| l), room);
            let text = if step.by_heart { self.paint(&text, Paint::Faint) } else { text };
            let hand = self.hand(step, i, hand.get(i).map_or("", |l| l));
            self.line(&format!("  {page}  {text}  {hand}"));
        }
    }

    fn hand(&self, step: &Step, line: usize, text: &str) -> String {
        match &step.ribbon {
            Some(ribbon) if self.terminal.colour && line == 0 => {
                format!("{} {text}", swatch(ribbon))
            }
            _ => {
                let indent = if self.terminal.colour { "   " } else { "" };
                let paint = if step.by_heart { Paint::Faint } else { Paint::Plain };
                format!("{indent}{}", self.paint(text, paint))
            }
        }
    }

    pub(super) fn list(&mut self, heading: &str, items: &[String], bullet: &str) {
        if items.is_empty() {
            return;
        }
        self.heading(heading, "");
        for item in items {
            self.paragraph(item, 2, bullet, Paint::Plain);
        }
    }
}

fn ribbon_text(line: &Line) -> String {
    match &line.book {
        Some(book) => format!("{} ({book})", line.text),
        None => line.text.clone(),
    }
}

fn middle(step: &Step) -> String {
    match step.text.is_empty() {
        true => step.moment.clone(),
        false => format!("{}: {}", step.moment, step.text),
    }
}

fn doubt(doubt: bool) -> &'static str {
    if doubt { "?" } else { " " }
}

fn widest<'a>(texts: impl Iterator<Item = &'a str>) -> usize {
    texts.map(|t| t.chars().count()).max().unwrap_or(0)
}

fn pad_left(text: &str, width: usize) -> String {
    format!("{text:>width$}")
}

fn pad_right(text: &str, width: usize) -> String {
    format!("{text:<width$}")
}

/// Lines of at most `room` characters, broken at blanks; a longer word stands alone.
pub(super) fn wrap(text: &str, room: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Two columns painted in the ribbon's colour; blank for a colour without a dye.
fn swatch(colour: &str) -> String {
    match super::dye::dye(colour) {
        Some([r, g, b]) => format!("\u{1b}[38;2;{r};{g};{b}m\u{2588}\u{2588}\u{1b}[0m"),
        None => "  ".to_owned(),
    }
}
