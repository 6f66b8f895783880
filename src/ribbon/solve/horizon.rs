//! Several services in a row: a weekend, a week, a season. A ribbon that stays where it is costs
//! nothing, one that is laid elsewhere between two services costs the relay. Integers only.
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
//! of all of them. So only those openings matter.
//!
//! # The method
//!
//! A dynamic programme over what lies in the book after each service, kept small by four facts.
//!
//! *Ribbons move late.* A move may wait until the service at which the ribbon serves a text; it then
//! costs no more. So at each service a *serving* is chosen, a set of ribbons each of which serves a
//! text, and what else lies there has served before. A ribbon not laid yet takes its first place for
//! nothing, and where it will be wanted it is laid before the first service.
//!
//! *Only servings nearly best matter.* Exchanging one ribbon at one service, there and back, costs at
//! most two relays. A serving that such an exchange undercuts by more is in no best course; nor is one
//! that costs `2 k` relays more than the best.
//!
//! *Only what serves again matters.* A place where no later serving has a ribbon is forgotten.
//!
//! *Only states nearly best matter.* From a state `S'` every course of a state `S` can be followed for
//! one relay for each ribbon of `S` that `S'` lacks. So `S` is dropped if some `S'` has
//! `F(S') + relay · |S \ S'| ≤ F(S)`, `F` being the least cost so far. The least `F` of all states that
//! hold `T`, for each part `T` of a state, decides that with a few look-ups.
//!
//! Without the limits on the number of servings and states the course is a best one; where they cut
//! something off, `lower_bound` says how much better another course might be. Tests hold the cost
//! against enumeration and against an integer programme.

mod lying;
mod servings;

use super::{Client, Movement, solve};
use lying::{At, Lying, MOST, NOT_LAID};
use servings::{Serving, Servings, servings};
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
    /// No course costs less; equal to `cost` unless the row was too large to be searched whole.
    pub lower_bound: u64,
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

    /// What lies there before the first service.
    fn first(&self, openings: &[i32], most: usize) -> State {
        let lying = match self.before {
            None => Lying::at(std::iter::repeat_n(NOT_LAID, most)),
            Some(before) => Lying::at(places(openings, before).take(most)),
        };
        State { lying, cost: 0, from: 0, serving: 0 }
    }
}

fn places<'a>(openings: &'a [i32], some: &'a [i32]) -> impl Iterator<Item = At> + 'a {
    (0..).zip(openings).filter(|(_, o)| some.contains(o)).map(|(at, _)| at)
}

/// States beyond which only the cheapest are kept.
const MOST_STATES: usize = 30_000;

/// What lies in the book after a service.
#[derive(Debug, Clone, Copy)]
struct State {
    /// The ribbons that serve again, and those not laid yet.
    lying: Lying,
    /// Least cost so far.
    cost: u64,
    /// Index of the state before.
    from: usize,
    /// Index of the serving chosen.
    serving: usize,
}

/// The best course.
///
/// ```
/// use vitta::ribbon::solve::horizon::{Row, course};
/// use vitta::ribbon::solve::{Client, Movement};
/// let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
/// let text = |opening| Client { opening, weight: 1, alternative: 15 };
/// // One text shared by two services, one of each service's own.
/// let services = [vec![text(10), text(30)], vec![text(10), text(50)]];
/// let row = Row { services: &services, movement: &movement, ribbons: 2, relay: 3, before: None };
/// assert_eq!(course(&row).layings, [vec![10, 30], vec![10, 50]]);
/// assert_eq!(course(&row).cost, 4 * 5 + 3);
/// ```
pub fn course(row: &Row) -> Course {
    let (openings, most) = (row.openings(), row.ribbons.min(MOST));
    let listed = |texts: &Vec<Client>| servings(texts, row.movement, &openings, most, row.relay);
    let services: Vec<Servings> = row.services.iter().map(listed).collect();
    let mut layers = vec![vec![row.first(&openings, most)]];
    let mut bound = Bound::new(row, &services);
    for (d, here) in services.iter().enumerate() {
        let step = Step { here, later: &services[d + 1..], most, relay: row.relay };
        let mut states = step.states(layers.last().map_or(&[], Vec::as_slice), openings.len());
        if let Some(dropped) = states.get(MOST_STATES) {
            bound.lower(dropped.cost + services[d + 1..].iter().map(|s| s.least).sum::<u64>());
            states.truncate(MOST_STATES);
        }
        layers.push(states);
    }
    let layings = walk_back(&layers, &services, &openings);
    let cost = row.cost(&layings);
    Course { layings, cost, lower_bound: bound.0.min(cost) }
}

/// No course cut off costs less.
struct Bound(u64);

impl Bound {
    fn new(row: &Row, services: &[Servings]) -> Self {
        let mut bound = Bound(u64::MAX);
        let least: u64 = services.iter().map(|s| s.least).sum();
        for service in services.iter().filter(|s| s.complete_below < u64::MAX) {
            bound.lower(least - service.least + service.complete_below);
        }
        if row.ribbons > MOST {
            let each = row.services.iter();
            bound.lower(each.map(|t| solve(t, row.movement, row.ribbons).cost(row.ribbons)).sum());
        }
        bound
    }

    fn lower(&mut self, to: u64) {
        self.0 = self.0.min(to);
    }
}

/// From the states before a service to those after it.
struct Step<'a> {
    here: &'a Servings,
    later: &'a [Servings],
    most: usize,
    relay: u64,
}

impl Step<'_> {
    /// The states after the service, the cheapest first.
    fn states(&self, before: &[State], openings: usize) -> Vec<State> {
        let again = self.serving_again(openings);
        let serves_again = |at: &At| *at == NOT_LAID || again.get(usize::from(*at)) == Some(&true);
        let mut reached: HashMap<Lying, State> = HashMap::new();
        // A state this far above the best is better reached from the best.
        let window = self.relay.saturating_mul(self.most as u64);
        let mut ceiling = u64::MAX;
        for (from, state) in before.iter().enumerate() {
            for (serving, Serving { lying, cost }) in self.here.all.iter().enumerate() {
                let cost = state.cost + cost;
                if cost > ceiling {
                    break;
                }
                let come = lying.iter().filter(|&at| !state.lying.has(at)).count();
                let first = come.min(state.lying.not_laid());
                let cost = cost + self.relay * (come - first) as u64;
                if cost > ceiling {
                    continue;
                }
                ceiling = ceiling.min(cost.saturating_add(window));
                let mut rest = state.lying;
                for _ in 0..first {
                    rest = rest.without(rest.len() - 1);
                }
                let rest = Lying::at(rest.iter().filter(|at| !lying.has(*at)).filter(serves_again));
                let kept = Lying::at(lying.iter().filter(serves_again));
                let room = self.most - lying.len();
                each_part(rest, room.min(rest.len()), &mut |part| {
                    let lying = part.iter().fold(kept, |all, at| all.with(at));
                    let state = State { lying, cost, from, serving };
                    let best = reached.entry(lying).or_insert(state);
                    if cost < best.cost {
                        *best = state;
                    }
                });
            }
        }
        let mut states: Vec<State> = reached.into_values().filter(|s| s.cost <= ceiling).collect();
        drop_dominated(&mut states, self.relay);
        states.sort_unstable_by_key(|s| (s.cost, s.lying));
        states
    }

    /// Whether a ribbon at each opening serves in a later service.
    fn serving_again(&self, openings: usize) -> Vec<bool> {
        let mut again = vec![false; openings];
        for at in self.later.iter().flat_map(|s| &s.all).flat_map(|s| s.lying.iter()) {
            again[usize::from(at)] = true;
        }
        again
    }
}

/// Visits each part of `count` of what lies there.
fn each_part(whole: Lying, count: usize, visit: &mut impl FnMut(Lying)) {
    fn choose(whole: &[At], count: usize, chosen: Lying, visit: &mut impl FnMut(Lying)) {
        if count == 0 {
            return visit(chosen);
        }
        for first in 0..=whole.len() - count {
            // Of ribbons not yet laid one is as good as another.
            if first > 0 && whole[first] == whole[first - 1] {
                continue;
            }
            choose(&whole[first + 1..], count - 1, chosen.with(whole[first]), visit);
        }
    }
    choose(&whole.iter().collect::<Vec<_>>(), count, Lying::NOWHERE, visit);
}

/// Drops each state that can do nothing that another cannot do for less.
fn drop_dominated(states: &mut Vec<State>, relay: u64) {
    // For each part of a state: the least cost of the states that hold it.
    let mut holding: HashMap<Lying, u64> = states.iter().map(|s| (s.lying, s.cost)).collect();
    // Of each state's parts: the least cost of another state that holds more than it.
    let mut larger: HashMap<Lying, u64> = HashMap::new();
    let mut sizes: Vec<Vec<Lying>> = vec![vec![]; MOST + 1];
    states.iter().for_each(|s| sizes[s.lying.len()].push(s.lying));
    for size in (1..=MOST).rev() {
        for whole in std::mem::take(&mut sizes[size]) {
            let cost = holding[&whole];
            for i in 0..size {
                let part = whole.without(i);
                larger.entry(part).and_modify(|c| *c = cost.min(*c)).or_insert(cost);
                let known = holding.entry(part).or_insert_with(|| {
                    sizes[size - 1].push(part);
                    u64::MAX
                });
                *known = cost.min(*known);
            }
        }
    }
    // The least cost of coming to a part from a state that may lack some of it, smaller parts first.
    let mut coming: HashMap<Lying, u64> = HashMap::with_capacity(holding.len());
    let mut parts: Vec<(Lying, u64)> = holding.into_iter().collect();
    parts.sort_unstable_by_key(|(part, _)| part.len());
    for (part, cost) in parts {
        let less = |i: usize| coming.get(&part.without(i)).map(|c| c.saturating_add(relay));
        let least = (0..part.len()).filter_map(less).fold(cost, u64::min);
        coming.insert(part, least);
    }
    states.retain(|s| {
        let lacking = (0..s.lying.len()).filter_map(|i| coming.get(&s.lying.without(i)));
        let better = lacking.min().is_some_and(|c| c.saturating_add(relay) < s.cost);
        !better && larger.get(&s.lying).is_none_or(|&c| c > s.cost)
    });
}

/// The openings at each service, from the cheapest last state back to the first.
fn walk_back(layers: &[Vec<State>], services: &[Servings], openings: &[i32]) -> Vec<Vec<i32>> {
    let mut layings: Vec<Lying> = vec![Lying::NOWHERE; services.len()];
    let mut at = 0;
    for d in (0..services.len()).rev() {
        let Some(state) = layers[d + 1].get(at) else { break };
        let before = layers[d].get(state.from).map_or(Lying::NOWHERE, |s| s.lying);
        let serving = services[d].all.get(state.serving).map_or(Lying::NOWHERE, |s| s.lying);
        let laid = state.lying.iter().filter(|&p| p != NOT_LAID);
        layings[d] = laid.chain(layings[d].iter()).fold(serving, add);
        // Ribbons that take their first place here lay there from the beginning.
        let come = serving.iter().filter(|&p| !before.has(p));
        for place in come.take(before.not_laid()) {
            for earlier in &mut layings[..d] {
                *earlier = add(*earlier, place);
            }
        }
        at = state.from;
    }
    let opening = |at: At| openings.get(usize::from(at)).copied();
    layings.iter().map(|l| l.iter().filter_map(opening).collect()).collect()
}

fn add(lying: Lying, place: At) -> Lying {
    if lying.has(place) { lying } else { lying.with(place) }
}
