//! Several services in a row: a weekend, a week. A ribbon that stays where it is costs nothing, one that
//! is laid elsewhere between two services costs the relay. Integers only.
//!
//! # The problem
//!
//! Choose for each service `d` the set `R_d` of openings where ribbons lie, at most `k`, with least
//!
//! ```text
//! Σ_d f_d(R_d) + relay · Σ_d |R_d \ R_{d−1}|
//! ```
//!
//! where `f_d` is the cost of the service as in [`super`]. The relay does not depend on how far a
//! ribbon is moved, so while a ribbon rests its place may again be shifted to an opening of some
//! service: along the services at which it lies there the sum is concave between neighbouring openings
//! of all of them. So only those openings matter, `m` of them together.
//!
//! # Two exact ways
//!
//! [`by_subsets`]: dynamic programme over the sets of at most `k` openings. From the least cost `V(S)`
//! after a service the least cost before the next is found in two sweeps, one opening at a time: leaving
//! an opening is free, `U(T) = min V(T ∪ {j})`, coming to one costs the relay,
//! `W(S) = min(U(S), U(S \ {j}) + relay)`. O(m) for each set and service.
//!
//! [`by_linear_programme`]: the intervals of [`super::dual`] for each service, with variables for the
//! ribbons that come; solved by branch and bound with the general solver of the `good_lp` crate. The
//! coupling of the services takes total unimodularity away, so here the ribbons' variables are integer.
//!
//! Both give the same cost; a test holds it.

use super::dual::{Interval, intervals};
use super::{Client, Movement};
use good_lp::{
    Expression, Solution, SolverModel, Variable, constraint, microlp, variable, variables,
};
use std::collections::HashMap;

/// Services in a row.
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    /// The texts of each service.
    pub services: &'a [Vec<Client>],
    /// What the hand's movements cost.
    pub movement: &'a Movement,
    /// Ribbons of the book.
    pub ribbons: usize,
    /// Cost of moving a ribbon between two services.
    pub relay: u64,
    /// Where ribbons lie before the first service; none where laying them the first time is free.
    pub before: Option<&'a [i32]>,
}

/// Where the ribbons lie at each service.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Course {
    /// Openings for each service, ascending.
    pub layings: Vec<Vec<i32>>,
    /// Cost of all services and of the ribbons moved between them.
    pub cost: u64,
}

impl Row<'_> {
    /// The openings where ribbons may have to lie, ascending.
    fn openings(&self) -> Vec<i32> {
        let texts = self.services.iter().flatten().map(|c| c.opening);
        let mut all: Vec<i32> =
            texts.chain(self.before.unwrap_or_default().iter().copied()).collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// What a course costs.
    pub fn cost(&self, layings: &[Vec<i32>]) -> u64 {
        let mut sum = 0;
        let mut before = self.before;
        for (texts, laid) in self.services.iter().zip(layings) {
            let came = before.map_or(0, |b| laid.iter().filter(|o| !b.contains(o)).count() as u64);
            sum += self.movement.cost(texts, laid) + self.relay * came;
            before = Some(laid);
        }
        sum
    }
}

/// Sets beyond which the dynamic programme would take more than some hundred megabytes.
const MOST_SETS: usize = 400_000;

/// The best course by dynamic programming; `None` if there are too many sets of openings.
pub fn by_subsets(row: &Row) -> Option<Course> {
    let openings = row.openings();
    let sets = sets(openings.len(), row.ribbons)?;
    let index: HashMap<u64, usize> = sets.iter().enumerate().map(|(i, &s)| (s, i)).collect();
    let steps = Steps { count: openings.len(), sets: &sets, index: &index };
    let (mut value, mut from) = (first_values(row, &openings, &sets), vec![]);
    for (d, texts) in row.services.iter().enumerate() {
        if d > 0 || row.before.is_some() {
            from.push(steps.relay(&mut value, row.relay));
        } else {
            from.push((0..sets.len()).collect());
        }
        let costs = service_costs(texts, row.movement, &openings, &sets);
        for (v, cost) in value.iter_mut().zip(costs) {
            *v = v.saturating_add(cost);
        }
    }
    let mut at = (0..sets.len()).min_by_key(|&i| value[i])?;
    let cost = value[at];
    let mut layings = vec![];
    for back in from.iter().rev() {
        layings.push(members(sets[at], &openings));
        at = back[at];
    }
    layings.reverse();
    Some(Course { layings, cost })
}

/// All sets of at most `most` of `count` things as bits, smaller sets first.
fn sets(count: usize, most: usize) -> Option<Vec<u64>> {
    if count > 63 {
        return None;
    }
    let (mut all, mut layer) = (vec![0], vec![0u64]);
    for _ in 0..most.min(count) {
        let larger = |&set: &u64| {
            let above = 64 - set.leading_zeros() as usize;
            (above..count).map(move |j| set | 1 << j)
        };
        layer = layer.iter().flat_map(larger).collect();
        all.extend(&layer);
        if all.len() > MOST_SETS {
            return None;
        }
    }
    Some(all)
}

fn members(set: u64, openings: &[i32]) -> Vec<i32> {
    (0..openings.len()).filter(|j| set >> j & 1 == 1).map(|j| openings[j]).collect()
}

/// Before the first service: nothing costs anything, or only the set that lies there is possible.
fn first_values(row: &Row, openings: &[i32], sets: &[u64]) -> Vec<u64> {
    let Some(before) = row.before else { return vec![0; sets.len()] };
    let lies = |j: &usize| before.contains(&openings[*j]);
    let mut set = (0..openings.len()).filter(lies).fold(0u64, |set, j| set | 1 << j);
    // More ribbons than the book has are not there.
    while set.count_ones() as usize > row.ribbons {
        set &= set - 1;
    }
    sets.iter().map(|&s| if s == set { 0 } else { u64::MAX }).collect()
}

/// Cost of a service for every set.
fn service_costs(
    texts: &[Client],
    movement: &Movement,
    openings: &[i32],
    sets: &[u64],
) -> Vec<u64> {
    let reach: Vec<Vec<u64>> =
        texts.iter().map(|c| openings.iter().map(|&o| movement.reach(c, o)).collect()).collect();
    let cost = |&set: &u64| {
        let one = |(c, by): (&Client, &Vec<u64>)| {
            let (mut least, mut rest) = (c.unaided(), set);
            while rest != 0 {
                least = least.min(by[rest.trailing_zeros() as usize]);
                rest &= rest - 1;
            }
            least
        };
        texts.iter().zip(&reach).map(one).sum()
    };
    sets.iter().map(cost).collect()
}

/// The sweeps between two services.
struct Steps<'a> {
    count: usize,
    sets: &'a [u64],
    index: &'a HashMap<u64, usize>,
}

impl Steps<'_> {
    /// Replaces `value` by the least value after moving ribbons; gives the set each one came from.
    fn relay(&self, value: &mut [u64], relay: u64) -> Vec<usize> {
        let mut from: Vec<usize> = (0..value.len()).collect();
        for j in 0..self.count {
            self.sweep(j, |smaller, larger| {
                if value[larger] < value[smaller] {
                    value[smaller] = value[larger];
                    from[smaller] = from[larger];
                }
            });
        }
        for j in 0..self.count {
            self.sweep(j, |smaller, larger| {
                let came = value[smaller].saturating_add(relay);
                if came < value[larger] {
                    value[larger] = came;
                    from[larger] = from[smaller];
                }
            });
        }
        from
    }

    /// Visits each pair of sets that differ in opening `j`.
    fn sweep(&self, j: usize, mut visit: impl FnMut(usize, usize)) {
        for (smaller, &set) in self.sets.iter().enumerate().filter(|(_, s)| *s >> j & 1 == 0) {
            if let Some(&larger) = self.index.get(&(set | 1 << j)) {
                visit(smaller, larger);
            }
        }
    }
}

/// The best course by branch and bound on the linear programme; `None` if the solver gives up.
pub fn by_linear_programme(row: &Row) -> Option<Course> {
    let openings = row.openings();
    let mut vars = variables!();
    let lies: Vec<Vec<Variable>> = row
        .services
        .iter()
        .map(|_| openings.iter().map(|_| vars.add(variable().binary())).collect())
        .collect();
    let comes: Vec<Vec<Variable>> = row
        .services
        .iter()
        .map(|_| openings.iter().map(|_| vars.add(variable().min(0).max(1))).collect())
        .collect();
    let missed: Vec<(Interval, Variable)> = row
        .services
        .iter()
        .flat_map(|texts| intervals(texts, row.movement, &openings))
        .map(|interval| (interval, vars.add(variable().min(0).max(1))))
        .collect();
    let first_free = if row.before.is_none() { 1 } else { 0 };
    let relays: Expression = comes.iter().skip(first_free).flatten().copied().sum();
    let misses: Expression = missed.iter().map(|(i, v)| i.amount as f64 * *v).sum();
    let mut model = vars.minimise(row.relay as f64 * relays + misses).using(microlp);
    let mut service_of = row.services.iter().enumerate().flat_map(|(d, texts)| {
        std::iter::repeat_n(d, intervals(texts, row.movement, &openings).len())
    });
    for (interval, miss) in &missed {
        let there = lies.get(service_of.next()?)?;
        let served: Expression = there.get(interval.from..=interval.to)?.iter().copied().sum();
        model = model.with(constraint!(served + *miss >= 1));
    }
    for (d, there) in lies.iter().enumerate() {
        let all: Expression = there.iter().copied().sum();
        model = model.with(constraint!(all <= row.ribbons as f64));
        for (j, &here) in there.iter().enumerate() {
            let before: Expression = match d.checked_sub(1) {
                Some(yesterday) => lies[yesterday][j].into(),
                None => {
                    f64::from(u8::from(row.before.is_some_and(|b| b.contains(&openings[j])))).into()
                }
            };
            model = model.with(constraint!(comes[d][j] >= here - before));
        }
    }
    let solution = model.solve().ok()?;
    let laid = |there: &Vec<Variable>| {
        let on = |j: &usize| solution.value(there[*j]) > 0.5;
        (0..openings.len()).filter(on).map(|j| openings[j]).collect()
    };
    let layings: Vec<Vec<i32>> = lies.iter().map(laid).collect();
    Some(Course { cost: row.cost(&layings), layings })
}
