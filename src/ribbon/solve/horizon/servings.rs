//! The layings of one service that can be part of the best course: those nearly best for it alone.
//!
//! Only ribbons that serve a text are in them; what else lies in the book does not matter here.

use super::super::{Client, Movement, solve};
use super::lying::{At, Lying};

/// Ribbons that serve, each of them needed, and what the service costs with them.
#[derive(Debug, Clone, Copy)]
pub struct Serving {
    pub lying: Lying,
    pub cost: u64,
}

/// The servings of one service.
#[derive(Debug, Clone)]
pub struct Servings {
    /// The cheapest first.
    pub all: Vec<Serving>,
    /// Cost of the best.
    pub least: u64,
    /// Every serving that costs less than this is there.
    pub complete_below: u64,
}

/// Servings beyond which only the cheaper ones are listed.
const MOST_SERVINGS: usize = 20_000;

/// The texts of a service and what a ribbon at each opening would make of them.
struct Service<'a> {
    texts: &'a [Client],
    /// Openings that serve a text, with its cost for each text.
    near: Vec<(At, Vec<u64>)>,
    most: usize,
    /// One best laying, with its cost.
    best: Lying,
    least: u64,
    /// What moving a ribbon to another place and back costs.
    there_and_back: u64,
}

/// The servings with at most `most` ribbons. One that another, with one ribbon more or one elsewhere,
/// undercuts by more than moving a ribbon there and back is left out.
pub fn servings(
    texts: &[Client],
    movement: &Movement,
    openings: &[i32],
    most: usize,
    relay: u64,
) -> Servings {
    let costs = |&o: &i32| texts.iter().map(|c| movement.reach(c, o)).collect::<Vec<u64>>();
    let serves =
        |(_, costs): &(At, Vec<u64>)| costs.iter().zip(texts).any(|(&c, t)| c < t.unaided());
    let near = (0..).zip(openings.iter().map(costs)).filter(serves).collect();
    let optima = solve(texts, movement, most);
    let (least, laid) = (optima.cost(most), optima.openings(most));
    let best = Lying::at((0..).zip(openings).filter(|(_, o)| laid.contains(o)).map(|(at, _)| at));
    let there_and_back = 2 * relay;
    let service = Service { texts, near, most, best, least, there_and_back };
    let mut slack = there_and_back.saturating_mul(most as u64);
    let mut complete_below = u64::MAX;
    let mut all = vec![];
    while !service.list(slack, &mut all) && slack > 0 {
        complete_below = least + slack / 2;
        (slack, all) = (slack / 2, vec![]);
    }
    all.retain(|s| !service.is_undercut(s));
    all.sort_unstable_by_key(|s| (s.cost, s.lying));
    Servings { all, least, complete_below }
}

impl Service<'_> {
    fn unaided(&self) -> Vec<u64> {
        self.texts.iter().map(Client::unaided).collect()
    }

    /// All servings that cost at most `slack` more than the best; false if there are too many.
    fn list(&self, slack: u64, found: &mut Vec<Serving>) -> bool {
        self.extend(0, &self.unaided(), Lying::NOWHERE, slack, found)
    }

    /// What a serving that holds `laid` may cost: exchanging it for the best moves at most the ribbons of
    /// the best that are not in it.
    fn limit(&self, laid: Lying, slack: u64) -> u64 {
        let lacking = self.best.iter().filter(|&at| !laid.has(at)).count() as u64;
        self.least.saturating_add(slack.min(self.there_and_back.saturating_mul(lacking)))
    }

    /// Adds openings from the `from`-th on. What a further ribbon saves falls with each ribbon laid, so
    /// the sum of the greatest savings bounds what those still free can save; nor can they bring a text
    /// nearer than the nearest of the openings left.
    fn extend(
        &self,
        from: usize,
        costs: &[u64],
        laid: Lying,
        slack: u64,
        found: &mut Vec<Serving>,
    ) -> bool {
        let (cost, limit): (u64, u64) = (costs.iter().sum(), self.limit(laid, slack));
        if cost <= limit && self.each_is_needed(laid, cost) {
            if found.len() == MOST_SERVINGS {
                return false;
            }
            found.push(Serving { lying: laid, cost });
        }
        let free = self.most - laid.len();
        let saved: Vec<u64> = self.near[from..].iter().map(|(_, by)| saving(costs, by)).collect();
        if free == 0
            || cost.saturating_sub(sum_of_greatest(&saved, free)) > limit
            || self.with_all_from(from, costs) > limit
        {
            return true;
        }
        (from..self.near.len()).filter(|j| saved[j - from] > 0).all(|j| {
            let (at, by) = &self.near[j];
            let with: Vec<u64> = costs.iter().zip(by).map(|(a, b)| *a.min(b)).collect();
            self.extend(j + 1, &with, laid.with(*at), slack, found)
        })
    }

    /// The cost with a ribbon at every opening from the `from`-th on.
    fn with_all_from(&self, from: usize, costs: &[u64]) -> u64 {
        let nearest = |(i, &cost): (usize, &u64)| {
            self.near[from..].iter().filter_map(|(_, by)| by.get(i)).fold(cost, |a, &b| a.min(b))
        };
        costs.iter().enumerate().map(nearest).sum()
    }

    fn costs(&self, laid: Lying, left_out: Option<At>) -> Vec<u64> {
        let mut costs = self.unaided();
        let there = |at: &At| laid.has(*at) && Some(*at) != left_out;
        for (_, by) in self.near.iter().filter(|(at, _)| there(at)) {
            for (cost, by) in costs.iter_mut().zip(by) {
                *cost = (*cost).min(*by);
            }
        }
        costs
    }

    fn each_is_needed(&self, laid: Lying, cost: u64) -> bool {
        laid.iter().all(|at| self.costs(laid, Some(at)).iter().sum::<u64>() > cost)
    }

    /// Whether one ribbon more, or one elsewhere, saves more than moving it there and back.
    fn is_undercut(&self, serving: &Serving) -> bool {
        let price = self.there_and_back;
        let room = (serving.lying.len() < self.most).then_some(None);
        let elsewhere = serving.lying.iter().map(Some);
        room.into_iter().chain(elsewhere).any(|left_out| {
            let costs = self.costs(serving.lying, left_out);
            let cost: u64 = costs.iter().sum();
            self.near.iter().any(|(_, by)| cost - saving(&costs, by) + price < serving.cost)
        })
    }
}

/// What a ribbon with the costs `by` saves.
fn saving(costs: &[u64], by: &[u64]) -> u64 {
    costs.iter().zip(by).map(|(a, b)| a.saturating_sub(*b)).sum()
}

fn sum_of_greatest(values: &[u64], count: usize) -> u64 {
    if values.len() <= count {
        return values.iter().sum();
    }
    let mut values = values.to_vec();
    values.select_nth_unstable_by(count, |a, b| b.cmp(a));
    values[..count].iter().sum()
}
