//! How far a row can be trusted: the weights of its labels become a probability, and a page whose numbers
//! otherwise ascend makes the ones that do not ascend doubtful.

use super::number::Answer;
use super::{Row, label};
use crate::ascent;

/// At this probability a row needs no look.
pub const SURE: f64 = 0.95;

/// What the shape of an entry says against it.
#[derive(Debug, Clone, Copy)]
pub struct Shape {
    /// A number is due (leaders, ink at its place) and none was read.
    pub lost: bool,
    /// Something else is odd.
    pub odd: bool,
}

/// A title without number is mostly what it seems: a heading.
const NO_NUMBER: f64 = 0.96;
/// Nothing is surer than this from one photograph.
const CEILING: f64 = 0.999;

/// The probability that the labels (or their absence) are what is printed.
pub fn probability(labels: &[&Answer], shape: Shape) -> f64 {
    let read: f64 =
        if labels.is_empty() { NO_NUMBER } else { labels.iter().map(|a| a.weight).product() };
    let read = if shape.lost { read * 0.2 } else { read };
    (if shape.odd { read * 0.5 } else { read }).min(CEILING)
}

/// The fewest numbers of a column that tell whether the list ascends.
const COLUMN: usize = 10;
/// Share of a column's numbers in order that tells it.
const COLUMN_ASCENDING: f64 = 0.9;
/// A column in the order of the alphabet has no such share of its numbers in order, one of lost figures has.
const EACH_ASCENDING: f64 = 0.65;
/// A page ascends if this share of its numbers does.
const ASCENDING: f64 = 0.8;
/// So many entries in a row do not begin on one page: the number has lost a figure.
const STUCK: usize = 10;
/// What a number out of order keeps of its probability. By trial: most are misread, some are printed so.
const OUT_OF_ORDER: f64 = 0.4;

/// From this share of doubtful numbers on, a page is so hard that its other numbers are not trusted either.
const HARD: f64 = 0.4;
/// What every number of a hard page keeps.
const HARD_KEEPS: f64 = 0.9;

/// Whether the page was so hard to read that all its numbers are now in doubt.
pub fn distrust_hard_page(rows: &mut [Row]) -> bool {
    let numbered = rows.iter().filter(|r| r.page.is_some()).count();
    let doubtful = rows.iter().filter(|r| r.page.is_some() && r.doubt).count();
    let hard = numbered >= 5 && doubtful as f64 >= HARD * numbered as f64;
    for row in rows.iter_mut().filter(|r| hard && r.page.is_some()) {
        row.probability *= HARD_KEEPS;
        row.doubt = true;
    }
    hard
}

/// Several numbers of one entry ascend; where they do not, one of them belongs to a neighbour, most
/// often the first of the next column.
pub fn distrust_descending_pages(rows: &mut [Row]) {
    for row in rows.iter_mut() {
        let pages: Vec<i64> = row.pages.iter().filter_map(|p| label::position(p)).collect();
        if pages.windows(2).any(|pair| matches!(pair, [a, b] if b <= a)) {
            row.probability *= OUT_OF_ORDER;
            row.doubt = row.probability < SURE;
        }
    }
}

/// Where a page or one of its columns ascends, numbers out of order lose trust: a whole column may have lost its
/// last figures in a gutter. Nothing is changed in what was read.
pub fn settle(rows: &mut [Row]) {
    let position = |r: &Row| label::position(r.page.as_deref().filter(|_| r.pages.is_empty())?);
    let numbered: Vec<(usize, u8, i64)> =
        rows.iter().enumerate().filter_map(|(i, r)| Some((i, r.column, position(r)?))).collect();
    let (stuck, numbered): (Vec<_>, Vec<_>) =
        numbered.chunk_by(|a, b| a.2 == b.2).partition(|same| same.len() >= STUCK);
    let (stuck, numbered) = (stuck.concat(), numbered.concat());
    let numbers: Vec<i64> = numbered.iter().map(|n| n.2).collect();
    let kept = ascent::longest(&numbers);
    let page = numbers.len() >= 5 && kept.len() as f64 >= ASCENDING * numbers.len() as f64;
    let ascent = |column: u8| {
        let of_column = numbered.iter().filter(|n| n.1 == column);
        let numbers: Vec<i64> = of_column.map(|n| n.2).collect();
        let ascent = ascent::longest(&numbers).len() as f64;
        (numbers.len() >= COLUMN).then(|| ascent / numbers.len() as f64)
    };
    let columns = rows.iter().map(|r| r.column).max().unwrap_or(0);
    let ascents: Vec<f64> = (1..=columns).filter_map(ascent).collect();
    // An index by the alphabet may have a column of Sundays in their order.
    let column = ascents.iter().any(|a| *a >= COLUMN_ASCENDING)
        && ascents.iter().all(|a| *a >= EACH_ASCENDING);
    let ascends = page || column;
    let out_of_order = numbered
        .iter()
        .enumerate()
        .filter(|(place, _)| ascends && !kept.contains(place))
        .map(|(_, number)| number);
    for (i, ..) in out_of_order.chain(&stuck) {
        if let Some(row) = rows.get_mut(*i) {
            row.probability *= OUT_OF_ORDER;
            row.doubt = row.probability < SURE;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lost_number_is_never_sure() {
        assert!(probability(&[], Shape { lost: true, odd: false }) < SURE);
        assert!(probability(&[], Shape { lost: false, odd: false }) >= SURE);
    }

    fn row(page: i64, column: u8) -> Row {
        let area = crate::geom::Rect { left: 0, top: 0, right: 1, bottom: 1 };
        Row {
            title: String::new(),
            page: Some(page.to_string()),
            pages: Vec::new(),
            level: 1,
            column,
            alternatives: Vec::new(),
            probability: 0.99,
            doubt: false,
            strip: super::super::Strip { photo: String::new(), area },
        }
    }

    #[test]
    fn a_column_that_lost_its_last_figures_in_the_gutter_is_in_doubt() {
        let mut rows: Vec<Row> = (0..14).map(|i| row(760 + i, 1)).collect();
        rows.extend((0..20).map(|_| row(7, 2)));
        settle(&mut rows);
        assert!(rows.iter().all(|r| r.doubt == (r.column == 2)));
    }

    #[test]
    fn an_alphabetical_index_need_not_ascend() {
        let mut rows: Vec<Row> = (0..28).map(|i| row(i * 577 % 911, 1 + (i / 14) as u8)).collect();
        settle(&mut rows);
        assert!(rows.iter().all(|r| !r.doubt));
    }

    #[test]
    fn a_column_of_sundays_does_not_make_an_index_ascend() {
        let by_name = [741, 714, 719, 650, 730, 182, 237, 94, 3, 59, 812, 40];
        let mut rows: Vec<Row> = by_name.iter().map(|page| row(*page, 1)).collect();
        rows.extend((0..20).map(|i| row(250 + i, 2)));
        settle(&mut rows);
        assert!(rows.iter().all(|r| !r.doubt));
    }
}
