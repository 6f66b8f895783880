//! The sheet for the sacristy wall: A4 across, the ribbons hanging from its upper edge as from the spine,
//! a row for each Mass. Lengths are in hundredths of a point.

use super::letters::{Letters, Run, Style};
use super::sheet::{CAPS, ITALIC, Ink, LARGE_PAGE, Mark, PAGE, PLAIN, Paper, SMALL, Sheet, TITLE};
use super::week::{Cell, Row, WeekCard};
use crate::Result;

const LEFT: i32 = 3_400;
const RIGHT: i32 = 3_000;
const TOP: i32 = 3_000;
const BOTTOM: i32 = 2_400;
/// Width of what is said of the Mass.
const MASS: i32 = 21_000;
/// The most that a ribbon's column takes.
const WIDEST: i32 = 16_000;

/// Sets the sheet, as large as one page allows; on several where even small type needs them.
pub(super) fn set(card: &WeekCard) -> Result<Sheet> {
    let letters = Letters::load()?;
    let attempt = |scale| Wall::new(card, &letters, scale).all();
    let sizes = [120, 112, 105, 98, 91, 85, 79, 73, 68];
    let mut pages = sizes.into_iter().map(attempt);
    let pages = pages.find(|p| p.len() == 1).unwrap_or_else(|| attempt(85));
    let (height, width) = Paper::A4.size();
    Ok(Sheet { size: (width, height), language: card.language, title: card.title.clone(), pages })
}

struct Wall<'a> {
    card: &'a WeekCard,
    letters: &'a Letters,
    /// Percent of the sizes given.
    scale: i32,
    width: i32,
    height: i32,
    pages: Vec<Vec<Mark>>,
    y: i32,
}

/// Lines of text with their leading and ink.
struct Block {
    lines: Vec<Vec<Run>>,
    leading: i32,
    ink: Ink,
}

impl<'a> Wall<'a> {
    fn new(card: &'a WeekCard, letters: &'a Letters, scale: i32) -> Self {
        let (height, width) = Paper::A4.size();
        Wall { card, letters, scale, width, height, pages: vec![], y: 0 }
    }

    fn all(mut self) -> Vec<Vec<Mark>> {
        self.new_page();
        let rows = &self.card.rows;
        rows.iter().for_each(|row| self.row(row));
        self.closing();
        self.pages
    }

    fn scaled(&self, length: i32) -> i32 {
        length * self.scale / 100
    }

    fn style(&self, style: Style) -> Style {
        Style { size: self.scaled(style.size), ..style }
    }

    fn mark(&mut self, mark: Mark) {
        self.pages.last_mut().into_iter().for_each(|page| page.push(mark.clone()));
    }

    fn right(&self) -> i32 {
        self.width - RIGHT
    }

    /// Left edge of a ribbon's column.
    fn column(&self, index: usize) -> i32 {
        let count = i32::try_from(self.card.columns.len()).unwrap_or(1).max(1);
        let first = LEFT + MASS + 1_200;
        let width = ((self.right() - first) / count).min(WIDEST);
        first + width * i32::try_from(index).unwrap_or(0)
    }

    /// Room for the text of a cell.
    fn cell_width(&self) -> i32 {
        self.column(1) - self.column(0) - 1_000
    }

    fn block(&self, text: &str, style: Style, leading: i32, ink: Ink, room: i32) -> Block {
        let lines = self.letters.flow(&[(text, self.style(style))], room);
        Block { lines, leading: self.scaled(leading), ink }
    }

    /// Sets blocks under one another from `y` on; returns the last baseline.
    fn blocks(&mut self, x: i32, mut y: i32, blocks: Vec<Block>) -> i32 {
        for block in blocks {
            for line in block.lines {
                y += block.leading;
                let mut at = x;
                for (i, run) in line.into_iter().enumerate() {
                    at += if i > 0 { self.letters.blank(run.style) } else { 0 };
                    let width = run.width;
                    self.mark(Mark::Text { x: at, y, run, ink: block.ink });
                    at += width;
                }
            }
        }
        y
    }

    fn new_page(&mut self) {
        self.pages.push(vec![]);
        let card = self.card;
        let room = MASS;
        let head = vec![
            self.block(&card.title, TITLE, 2_200, Ink::Black, room),
            self.block(&card.book, ITALIC, 1_700, Ink::Black, room),
        ];
        let below = self.blocks(LEFT, TOP - self.scaled(600), head);
        let mut lowest = below;
        for (i, column) in card.columns.iter().enumerate() {
            let (x, length) = (self.column(i), self.scaled(4_200));
            self.mark(Mark::Ribbon {
                x,
                y: 0,
                length,
                breadth: self.scaled(1_300),
                hangs: true,
                dye: super::dye::dye(&column.colour),
            });
            let book = column.book.as_deref().unwrap_or("");
            let name = vec![
                self.block(&column.colour, CAPS, 1_500, Ink::Black, self.cell_width()),
                self.block(book, SMALL, 1_100, Ink::Grey, self.cell_width()),
            ];
            lowest = lowest.max(self.blocks(x, length + self.scaled(200), name));
        }
        self.y = lowest + self.scaled(700);
    }

    fn rule(&mut self, ink: Ink) {
        let length = self.right() - LEFT;
        self.mark(Mark::Rule { x: LEFT, y: self.y, length, ink });
    }

    /// What is said of a Mass.
    fn mass(&self, row: &Row) -> Vec<Block> {
        let title = Style { size: 1_350, ..PAGE };
        let small = Style { size: 1_050, ..ITALIC };
        let mut blocks: Vec<Block> =
            row.dates.iter().map(|date| self.block(date, CAPS, 1_550, Ink::Rubric, MASS)).collect();
        blocks.push(self.block(&row.celebration, title, 1_450, Ink::Black, MASS));
        blocks.push(self.block(&row.particulars, small, 1_200, Ink::Black, MASS));
        blocks.push(self.block(&self.card.open_at(row), small, 1_200, Ink::Black, MASS));
        blocks
    }

    /// Where a ribbon lies: large where it is laid anew, small and grey where it stays.
    fn cell(&self, cell: &Cell) -> Vec<Block> {
        let doubt = if cell.doubt { "?" } else { "" };
        let page = format!("{}{doubt}", cell.page);
        let room = self.cell_width();
        if !cell.moved {
            return vec![self.block(&page, PLAIN, 1_600, Ink::Grey, room)];
        }
        let text = Style { size: 1_000, ..SMALL };
        vec![
            self.block(&page, Style { size: 1_750, ..LARGE_PAGE }, 1_600, Ink::Black, room),
            self.block(&cell.text, text, 1_080, Ink::Black, room),
        ]
    }

    fn row(&mut self, row: &Row) {
        let height = |blocks: &[Block]| -> i32 {
            blocks.iter().map(|b| b.leading * i32::try_from(b.lines.len()).unwrap_or(1)).sum()
        };
        let mass = self.mass(row);
        let cells: Vec<Option<Vec<Block>>> =
            row.cells.iter().map(|c| c.as_ref().map(|c| self.cell(c))).collect();
        let tallest =
            cells.iter().flatten().map(|b| height(b)).chain([height(&mass)]).max().unwrap_or(0);
        if self.y + tallest + self.scaled(900) > self.height - BOTTOM {
            self.new_page();
        }
        self.rule(Ink::Grey);
        let top = self.y;
        self.blocks(LEFT, top, mass);
        for (i, blocks) in cells.into_iter().enumerate() {
            let Some(blocks) = blocks else { continue };
            let x = self.column(i);
            if let Some(Some(cell)) =
                row.cells.get(i).filter(|c| c.as_ref().is_some_and(|c| c.moved))
            {
                let colour = self.card.columns.get(i).map_or("", |c| c.colour.as_str());
                let page = self.letters.set(&cell.page, self.style(LARGE_PAGE)).width;
                self.end_of_ribbon(x + page + self.scaled(900), top, colour);
            }
            self.blocks(x, top, blocks);
        }
        self.y = top + tallest + self.scaled(650);
    }

    /// The end of a ribbon beside the page where it is laid.
    fn end_of_ribbon(&mut self, x: i32, top: i32, colour: &str) {
        self.mark(Mark::Ribbon {
            x,
            y: top + self.scaled(550),
            length: self.scaled(2_000),
            breadth: self.scaled(900),
            hangs: false,
            dye: super::dye::dye(colour),
        });
    }

    /// How the sheet is read, what to look at, what it is worth, the caution.
    fn closing(&mut self) {
        let card = self.card;
        let room = self.right() - LEFT;
        let mut blocks = vec![self.block(&card.key, SMALL, 1_350, Ink::Black, room)];
        for notice in &card.notices {
            blocks.push(self.block(&format!("? {notice}"), SMALL, 1_250, Ink::Rubric, room));
        }
        let worth = card.worth.join(" ");
        blocks.push(self.block(&worth, SMALL, 1_250, Ink::Grey, room));
        blocks.push(self.block(&card.caution, SMALL, 1_250, Ink::Grey, room));
        let lines: i32 =
            blocks.iter().map(|b| b.leading * i32::try_from(b.lines.len()).unwrap_or(1)).sum();
        if self.y + lines > self.height - BOTTOM + self.scaled(600) {
            self.new_page();
        }
        self.rule(Ink::Rubric);
        self.y = self.blocks(LEFT, self.y, blocks);
    }
}
