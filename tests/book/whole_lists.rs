//! A whole list misread: days taken for pages, every number beside the next row, the last figure cut off, columns
//! exchanged. Each row looks as clear as a right one; only the other lists tell.

use super::printed::*;
use super::score::book_of;
use super::year::*;
use vitta::text::{Alternative, Reading, Row};

/// What becomes of the page labels of a photograph.
type Fault = (&'static str, fn(&mut [Row]));

const FAULTS: [Fault; 5] = [
    ("days for pages", |rows| {
        for (i, row) in rows.iter_mut().enumerate() {
            set(row, row.page.is_some().then(|| (1 + i % 31).to_string()));
        }
    }),
    ("the next row's page", |rows| {
        for i in 0..rows.len() {
            let next = rows.get(i + 1).and_then(|r| r.page.clone());
            set(&mut rows[i], next);
        }
    }),
    ("the page of the row before", |rows| {
        for i in (0..rows.len()).rev() {
            let before = i.checked_sub(1).and_then(|b| rows[b].page.clone());
            set(&mut rows[i], before);
        }
    }),
    ("last figure cut off", |rows| {
        for row in rows {
            let cut =
                row.page.as_ref().and_then(|p| p.get(..p.len() - 1)).filter(|p| !p.is_empty());
            let cut = cut.map(str::to_owned);
            set(row, cut);
        }
    }),
    ("the labels of two columns exchanged", |rows| {
        let of = |column: u8| -> Vec<usize> {
            let here = |i: &usize| rows[*i].column == column && rows[*i].page.is_some();
            (0..rows.len()).filter(here).collect()
        };
        for (left, right) in of(1).into_iter().zip(of(2)) {
            let (a, b) = (rows[left].page.clone(), rows[right].page.clone());
            set(&mut rows[left], b);
            set(&mut rows[right], a);
        }
    }),
];

fn set(row: &mut Row, page: Option<String>) {
    let alternative = |page: String| Alternative { page, weight: row.probability };
    row.alternatives = page.clone().map(alternative).into_iter().collect();
    row.page = page;
}

const LISTS: [&str; 6] = ["contents", "time", "prefaces", "months", "commons", "alphabet"];

/// Places wrong in silence after a fault in all photographs of each list, of how many cases.
pub fn silent(editions: std::ops::Range<u64>, tell: bool) -> (usize, usize) {
    let (mut wrong, mut cases) = (0, 0);
    for number in editions {
        let (edition, readings) = read(number, &PERFECT);
        for (name, fault) in FAULTS {
            for list in LISTS {
                let mut faulty: Vec<Reading> = readings.clone();
                for reading in faulty.iter_mut().filter(|r| r.file.starts_with(list)) {
                    fault(&mut reading.rows);
                }
                let book = book_of(&faulty);
                cases += 1;
                for entry in book.entries.iter().filter(|e| vouched(e)) {
                    let truth = edition.page(&entry.place).map(|p| p.to_string());
                    // A place the edition leaves out has no page; only what it prints can be wrong.
                    if truth.is_some() && entry.page != truth {
                        wrong += 1;
                        if tell {
                            let read: Vec<_> = entry
                                .evidence
                                .iter()
                                .map(|e| (e.strip.photo.as_str(), e.column, e.label()))
                                .collect();
                            println!(
                                "{number} {list}, {name}: {} is on {truth:?}, given {:?} from {read:?}",
                                entry.place, entry.page
                            );
                        }
                    }
                }
            }
        }
    }
    (wrong, cases)
}

#[test]
fn a_whole_list_misread_gives_no_wrong_page_in_silence() {
    let (wrong, cases) = silent(0..1, true);
    assert_eq!(wrong, 0, "in {cases} cases");
}
