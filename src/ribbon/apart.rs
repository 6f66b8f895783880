//! Masses in a row, laid best, are laid as on a day: no two ribbons within a leaf of each other where that costs
//! nearly nothing, and ribbons that nothing needs lie at what may be left out.
//!
//! Both are changes of a best course, one after the other: what they cost is known, that no other change would
//! cost less is not.

use super::plan::CLOSE;
use super::solve::{Client, Movement};

/// One book at Masses in a row.
pub(super) struct Row<'a> {
    /// The texts of each Mass; those that weigh nothing may be left out.
    pub services: &'a [Vec<Client>],
    /// Of each text that may be left out, whether it shall have a ribbon if one is free.
    pub wanted: &'a [Vec<bool>],
    pub movement: &'a Movement,
    /// Ribbons that are not bound.
    pub ribbons: usize,
    pub relay: u64,
    /// What nearly nothing is at one Mass.
    pub slack: u64,
    /// Where the bound ribbons lie at each Mass.
    pub bound: &'a [Vec<i32>],
}

impl Row<'_> {
    /// Changes `layings`, the openings of the free ribbons at each Mass, ascending.
    pub fn settle(&self, layings: &mut [Vec<i32>]) {
        for d in 0..layings.len() {
            self.keep_apart(d, layings);
        }
        for d in 0..layings.len() {
            self.lay_what_is_left(d, layings);
        }
    }

    /// What a course costs.
    pub fn cost(&self, layings: &[Vec<i32>]) -> u64 {
        let mass = |(d, laid): (usize, &Vec<i32>)| {
            let all = [&laid[..], &self.bound[d][..]].concat();
            self.movement.cost(&self.services[d], &all)
        };
        let each: u64 = layings.iter().enumerate().map(mass).sum();
        let come = |w: &[Vec<i32>]| w[1].iter().filter(|o| !w[0].contains(o)).count() as u64;
        each + self.relay * layings.windows(2).map(come).sum::<u64>()
    }

    /// Moves one of two ribbons that lie close at a Mass, for all the Masses at which it lies there in a row.
    fn keep_apart(&self, d: usize, layings: &mut [Vec<i32>]) {
        for _ in 0..self.ribbons {
            let close = self.close_to_another(d, layings);
            let before = self.cost(layings);
            let changes = close.iter().flat_map(|&from| self.changes(d, from, layings));
            let priced = changes.map(|(change, masses)| (self.cost(&change), masses, change));
            let best = priced.min_by_key(|(cost, ..)| *cost);
            match best {
                Some((cost, masses, change)) if cost <= before + self.slack * masses => {
                    layings.clone_from_slice(&change);
                }
                _ => return,
            }
        }
    }

    fn close_to_another(&self, d: usize, layings: &[Vec<i32>]) -> Vec<i32> {
        let laid = &layings[d];
        let close = |&&o: &&i32| self.is_close(o, d, laid.iter().filter(|p| **p != o));
        laid.iter().filter(close).copied().collect()
    }

    fn is_close<'a>(&self, opening: i32, d: usize, mut to: impl Iterator<Item = &'a i32>) -> bool {
        let near = |p: &i32| p.abs_diff(opening) <= CLOSE;
        to.any(near) || self.bound[d].iter().any(near)
    }

    /// The courses with the ribbon at `from` elsewhere, and at how many Masses it then is: at a text of these
    /// Masses, or still where it lay before, or already where it will lie.
    fn changes(&self, d: usize, from: i32, layings: &[Vec<i32>]) -> Vec<(Vec<Vec<i32>>, u64)> {
        let lies = |&i: &usize| layings[i].contains(&from);
        let first = (0..=d).rev().take_while(lies).last().unwrap_or(d);
        let last = (d..layings.len()).take_while(lies).last().unwrap_or(d);
        let texts = self.services[first..=last].iter().flatten().map(|c| c.opening);
        let gone = |a: usize, b: usize| {
            layings[a].iter().filter(move |o| !layings[b].contains(o)).copied()
        };
        let before = first.checked_sub(1).into_iter().flat_map(|b| gone(b, first));
        let after = (last + 1..layings.len()).take(1).flat_map(|a| gone(a, last));
        let mut places: Vec<i32> = texts.chain(before).chain(after).collect();
        places.sort_unstable();
        places.dedup();
        let masses = (last - first + 1) as u64;
        let free = |at: &i32| {
            (first..=last)
                .all(|i| !self.is_close(*at, i, layings[i].iter().filter(|o| **o != from)))
        };
        let change = |at: i32| {
            let mut changed = layings.to_vec();
            for laid in &mut changed[first..=last] {
                laid.retain(|o| *o != from);
                laid.push(at);
                laid.sort_unstable();
            }
            (changed, masses)
        };
        places.into_iter().filter(free).map(change).collect()
    }

    /// Ribbons that lie nowhere at a Mass lie at its texts that may be left out.
    fn lay_what_is_left(&self, d: usize, layings: &mut [Vec<i32>]) {
        for (text, wanted) in self.services[d].iter().zip(&self.wanted[d]) {
            let free = layings[d].len() < self.ribbons;
            let useful = *wanted && text.alternative > self.movement.pull();
            if free && useful && !self.is_close(text.opening, d, layings[d].iter()) {
                layings[d].push(text.opening);
                layings[d].sort_unstable();
            }
        }
    }
}
