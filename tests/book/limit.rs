//! How well any map could do: an observer who knows the generator of `simulate`, each section's true
//! scale and every habit, and weighs all paths through the book on sixteenths of a page. Its rows are read
//! rightly but for planted ones, which are a page too few or show the next row's page; it knows which.

use super::simulate::*;
use std::ops::Range;
use vitta::book::OutlinePlace;

/// Parts of a page.
const CELLS: usize = 16;
/// What is planted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Planted {
    PageTooFew,
    NextRowsPage,
}

/// What the observer expects: a reading of the page printed.
const RIGHT: f64 = 0.98;
/// Of one more, one less, any other page: where pages too few are planted; where pages of the next row
/// are and a row beside it shows the same page, whichever its own is; and where none does.
const TOO_FEW: [f64; 3] = [0.006, 0.002, 1e-5];
const ECHO: [f64; 3] = [0.006; 3];
const ALONE: [f64; 3] = [1e-5; 3];

/// Masses of cells from `start` on.
#[derive(Clone)]
struct Band {
    start: usize,
    mass: Vec<f64>,
}

impl Band {
    fn over(cells: &Range<usize>, mass: impl Fn(usize) -> f64) -> Self {
        let mut band = Band { start: cells.start, mass: cells.clone().map(mass).collect() };
        let largest = band.mass.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        band.mass.iter_mut().for_each(|p| *p /= largest);
        band
    }

    fn at(&self, cell: usize) -> f64 {
        cell.checked_sub(self.start).and_then(|i| self.mass.get(i)).copied().unwrap_or(0.0)
    }
}

/// A place as the observer sees it.
struct Known {
    /// Masses of its length by cells, of texts that are never broken to a new page, and the others.
    lengths: [Vec<f64>; 2],
    new_page: f64,
    opens: f64,
    /// Cells it may begin on.
    cells: Range<usize>,
    read: Vec<usize>,
    misread: [f64; 3],
}

impl Known {
    fn new(edition: &Edition, habits: &Habits, place: &OutlinePlace, headed: bool) -> Self {
        let mean = edition.expected[&place.place];
        let mut lengths = [vec![], vec![]];
        for step in -200..=200 {
            let z = f64::from(step) / 50.0;
            let length = mean * (habits.length_spread * z).exp();
            let breakable = usize::from(place.pages == 0.0 || length > BREAKABLE);
            let cell = length.max(LEAST_LENGTH) * CELLS as f64;
            let (whole, part) = (cell as usize, cell.fract());
            let masses = &mut lengths[breakable];
            if masses.len() < whole + 2 {
                masses.resize(whole + 2, 0.0);
            }
            masses[whole] += (-0.5 * z * z).exp() * (1.0 - part);
            masses[whole + 1] += (-0.5 * z * z).exp() * part;
        }
        let page = edition.pages[&place.place] as usize;
        let lists: [fn(&OutlinePlace) -> bool; 4] = [formularies, general, prefaces, celebrations];
        Known {
            lengths,
            new_page: if headed { 0.0 } else { habits.new_page },
            opens: if place.level == 1 { OPENS } else { 0.0 },
            cells: 0..0,
            read: lists.iter().filter(|listed| listed(place)).map(|_| page).collect(),
            misread: TOO_FEW,
        }
    }

    fn seen(&self, cell: usize) -> f64 {
        let one = |read: &usize| match (cell / CELLS) as i64 - *read as i64 {
            0 => RIGHT,
            1 => self.misread[0],
            -1 => self.misread[1],
            _ => self.misread[2],
        };
        self.read.iter().map(one).product()
    }

    /// Where a section opens when the text before it ends in `cell`.
    fn opened(cell: usize) -> usize {
        (cell / CELLS / 2 * 2 + 3) * CELLS
    }

    fn head(cell: usize) -> usize {
        let near = cell % CELLS <= (NEAR_THE_HEAD * CELLS as f64) as usize;
        (cell / CELLS + usize::from(!near)) * CELLS
    }

    /// Moves the share `share` of each cell's mass to the cell that `to` names.
    fn moved(&self, band: &Band, share: f64, to: fn(usize) -> usize) -> Band {
        let mut mass = vec![0.0; self.cells.len()];
        for (cell, p) in (band.start..).zip(&band.mass) {
            for (target, share) in [(cell, 1.0 - share), (to(cell), share)] {
                let at = target.checked_sub(self.cells.start);
                if let Some(slot) = at.and_then(|i| mass.get_mut(i)) {
                    *slot += share * p;
                }
            }
        }
        Band { start: self.cells.start, mass }
    }

    /// Cells the text before it may end in: a section may open three pages on.
    fn ended(&self) -> Range<usize> {
        self.cells.start.saturating_sub(3 * CELLS)..self.cells.end
    }

    /// Texts that are never broken, and the others, begin as these from where the text before ends.
    fn begun(&self, ended: &Band) -> [Band; 2] {
        let opened = self.moved(ended, self.opens, Self::opened);
        let broken = self.moved(&opened, self.new_page, Self::head);
        [opened, broken]
    }
}

/// For each place the probability that it stands on the page that its first reading names.
fn posteriors(known: &[Known]) -> Vec<f64> {
    let mut ended = vec![Band { start: CELLS, mass: vec![1.0] }];
    for (here, next) in known.iter().zip(known.iter().skip(1)) {
        let begun = here.begun(&ended[ended.len() - 1]);
        let mut sums = vec![0.0; next.cells.end];
        for (band, lengths) in begun.iter().zip(&here.lengths) {
            for cell in here.cells.clone() {
                let p = band.at(cell) * here.seen(cell);
                let reach = sums.iter_mut().skip(cell).zip(lengths);
                reach.filter(|_| p > 0.0).for_each(|(to, mass)| *to += p * mass);
            }
        }
        ended.push(Band::over(&next.ended(), |cell| sums[cell]));
    }
    let mut later: Option<Band> = None;
    let mut right = vec![0.0; known.len()];
    for (i, here) in known.iter().enumerate().rev() {
        let explained = here.lengths.each_ref().map(|lengths| {
            let from = |cell: usize| match &later {
                Some(later) => (cell..).zip(lengths).map(|(c, mass)| mass * later.at(c)).sum(),
                None => lengths.iter().sum::<f64>(),
            };
            here.cells.clone().map(|cell| from(cell) * here.seen(cell)).collect::<Vec<f64>>()
        });
        let explained = explained.map(|mass| Band { start: here.cells.start, mass });
        let begun = here.begun(&ended[i]);
        let joint = |cell| {
            begun[0].at(cell) * explained[0].at(cell) + begun[1].at(cell) * explained[1].at(cell)
        };
        let all: f64 = here.cells.clone().map(joint).sum();
        if let Some(page) = here.read.first() {
            right[i] = (page * CELLS..(page + 1) * CELLS).map(joint).sum::<f64>() / all;
        }
        let unbroken = |cell: usize| {
            let broken = here.new_page * explained[1].at(Known::head(cell));
            explained[0].at(cell) + (1.0 - here.new_page) * explained[1].at(cell) + broken
        };
        later = Some(Band::over(&here.ended(), |cell| {
            (1.0 - here.opens) * unbroken(cell) + here.opens * unbroken(Known::opened(cell))
        }));
    }
    right
}

/// Of planted rows and of the others: how sure the observer is of the page read.
pub fn sure_of(what: Planted, habits: &Habits, editions: Range<u64>) -> [Vec<f64>; 2] {
    let mut sure = [vec![], vec![]];
    for seed in editions {
        let dice = &mut Dice(1000 + seed);
        let edition = Edition::print(habits, dice);
        let headed = |i: usize| i > 0 && edition.order[i - 1].pages == 0.0;
        let places = edition.order.iter().enumerate();
        let mut known: Vec<Known> =
            places.map(|(i, place)| Known::new(&edition, habits, place, headed(i))).collect();
        let listed: Vec<usize> =
            (0..known.len()).filter(|i| formularies(edition.order[*i])).collect();
        let planted = plant(what, &mut known, &listed, dice.below(60));
        narrow(&mut known);
        for (i, p) in posteriors(&known).into_iter().enumerate() {
            let here = &known[i];
            // Two lists that disagree are always seen.
            let p = if here.read.iter().any(|page| *page != here.read[0]) { 0.0 } else { p };
            if !here.read.is_empty() {
                sure[usize::from(!planted.contains(&i))].push(p);
            }
        }
    }
    sure
}

/// Plants in every sixtieth row of the list from the row `first` on; returns the places.
fn plant(what: Planted, known: &mut [Known], listed: &[usize], first: usize) -> Vec<usize> {
    let printed: Vec<usize> = listed.iter().map(|i| known[*i].read[0]).collect();
    let mut planted = Vec::new();
    for row in (first..listed.len()).step_by(60) {
        let read = match what {
            Planted::PageTooFew => Some(printed[row] - 1),
            Planted::NextRowsPage => printed.get(row + 1).copied().filter(|p| *p != printed[row]),
        };
        if let Some(read) = read {
            known[listed[row]].read[0] = read;
            planted.push(listed[row]);
        }
    }
    if what == Planted::NextRowsPage {
        let shown: Vec<usize> = listed.iter().map(|i| known[*i].read[0]).collect();
        for (row, page) in shown.iter().enumerate() {
            let beside = [row.wrapping_sub(1), row + 1].map(|r| shown.get(r) == Some(page));
            known[listed[row]].misread = if beside.contains(&true) { ECHO } else { ALONE };
        }
    }
    planted
}

/// Sets the cells each place may begin on: between what was read of the places before and after it,
/// whichever of them is planted.
fn narrow(known: &mut [Known]) {
    let mut furthest = 1;
    let before: Vec<usize> = known
        .iter()
        .map(|here| {
            let before = furthest;
            furthest = here.read.iter().copied().fold(furthest, usize::max);
            before
        })
        .collect();
    let mut nearest = furthest + 60;
    for (here, before) in known.iter_mut().zip(before).rev() {
        let after = nearest;
        nearest = here.read.iter().copied().fold(nearest, usize::min);
        let furthest = here.read.iter().copied().fold(before, usize::max);
        here.cells =
            before.min(nearest).saturating_sub(1) * CELLS..(after.max(furthest) + 3) * CELLS;
    }
}

/// Of the planted rows, the share caught by doubting `share` of the others.
pub fn caught(sure: &mut [Vec<f64>; 2], share: f64) -> f64 {
    let [planted, others] = sure;
    others.sort_by(f64::total_cmp);
    let least = others[(share * others.len() as f64) as usize];
    planted.iter().filter(|p| **p <= least).count() as f64 / planted.len() as f64
}
