//! Several Masses in a row: a weekend, a week, a season. Ribbons that can stay where they are stay,
//! with their colour; moving one between two Masses costs the relay.
//!
//! The texts of each Mass are chosen for it alone; the ribbons of each book are then laid for all
//! Masses together, exactly ([`super::solve::horizon`]).

use super::costs::Costs;
use super::found::Found;
use super::hand::{self, LaidAt, Placed};
use super::plan::Laying;
use super::solve::horizon::{Row, course};
use super::solve::{Movement, solve};
use super::{Laid, Plan, stop::OnTable};
use crate::Result;
use crate::error::RibbonFault;
use crate::format::Format;
use crate::language::Titles;
use crate::order::Service;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A Mass to be laid for.
#[derive(Debug, Clone, Copy)]
pub struct Occasion<'a> {
    /// The date on which it is celebrated.
    pub date: NaiveDate,
    /// In the evening, where the next day begins on it.
    pub evening: bool,
    /// What it needs.
    pub service: &'a Service,
}

/// The plans of Masses in a row.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Week {
    /// In the order in which they are celebrated.
    pub masses: Vec<LaidMass>,
    /// Cost of all Masses and of the ribbons moved between them, in hundredths of a leaf.
    pub cost: u64,
    /// With the texts of each Mass as they are, no laying costs less.
    pub lower_bound: u64,
    /// What the Masses would cost with each laid best for itself, the relays included.
    pub cost_one_by_one: u64,
    /// Ribbons that would be moved between the Masses with each laid best for itself.
    pub moved_one_by_one: usize,
}

impl Format for Week {
    const NAME: &'static str = "vitta week";
    const VERSION: u32 = 1;
}

impl Week {
    /// Ribbons moved between the Masses; the first laying is not counted.
    pub fn moved(&self) -> usize {
        self.masses.iter().skip(1).map(|m| m.moved.len()).sum()
    }
}

/// A Mass and the ribbons at it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LaidMass {
    /// The date on which it is celebrated.
    pub date: NaiveDate,
    /// In the evening, where the next day begins on it.
    pub evening: bool,
    /// What is celebrated.
    pub celebration: Titles,
    /// The ribbons laid anew before it.
    pub moved: Vec<Laid>,
    /// Its plan; the ribbons that rest for another Mass are in it too. Its `lower_bound` is that of the
    /// Mass by itself.
    pub plan: Plan,
}

/// Lays the ribbons of the books on the table for Masses in a row.
pub fn plan_week(occasions: &[Occasion], table: &[OnTable], costs: &Costs) -> Result<Week> {
    let mut prepared = vec![];
    for occasion in occasions {
        prepared.push(Laying::prepare(occasion.service, table, costs)?);
    }
    let row = InARow { movement: costs.movement().ok_or(RibbonFault::Costs)?, prepared, table };
    let relay = u64::from(costs.relay);
    let books: Vec<BookInARow> = (0..table.len()).map(|book| row.lay(book, relay)).collect();
    let mut week = Week {
        masses: vec![],
        cost: books.iter().map(|b| b.cost).sum(),
        lower_bound: books.iter().map(|b| b.lower_bound).sum(),
        cost_one_by_one: books.iter().map(|b| b.cost_one_by_one).sum(),
        moved_one_by_one: books.iter().map(|b| b.moved_one_by_one).sum(),
    };
    for (d, (occasion, (laying, found))) in occasions.iter().zip(row.prepared).enumerate() {
        let lying: Vec<Vec<LaidAt>> = books.iter().map(|b| b.lying[d].clone()).collect();
        let plan = laying.plan(found, Some(&lying));
        let moved = books.iter().flat_map(|b| b.moved(d)).collect();
        let extras = laying.extras();
        week.cost += extras;
        week.lower_bound += extras;
        week.cost_one_by_one += extras;
        week.masses.push(LaidMass {
            date: occasion.date,
            evening: occasion.evening,
            celebration: occasion.service.celebration.clone(),
            moved,
            plan,
        });
    }
    Ok(week)
}

/// The Masses with their texts found in the books.
struct InARow<'a> {
    movement: Movement,
    prepared: Vec<(Laying<'a>, Found)>,
    table: &'a [OnTable<'a>],
}

/// One book at all Masses.
struct BookInARow {
    lying: Vec<Vec<LaidAt>>,
    cost: u64,
    lower_bound: u64,
    cost_one_by_one: u64,
    moved_one_by_one: usize,
}

impl BookInARow {
    /// The ribbons that lie elsewhere than at the Mass before.
    fn moved(&self, d: usize) -> impl Iterator<Item = Laid> {
        let before = d.checked_sub(1).and_then(|b| self.lying.get(b));
        let stays = move |r: &LaidAt| {
            before.is_some_and(|b| {
                b.iter().any(|b| (b.laid.number, b.opening) == (r.laid.number, r.opening))
            })
        };
        self.lying[d].iter().filter(move |r| !stays(r)).map(|r| r.laid.clone())
    }
}

impl InARow<'_> {
    fn lay(&self, book: usize, relay: u64) -> BookInARow {
        let ribbons = self.table[book].ribbons;
        let here: Vec<_> = self.prepared.iter().map(|(l, f)| l.in_book(f, book)).collect();
        let clients: Vec<_> = here.iter().map(|h| h.clients.clone()).collect();
        let alone: Vec<Vec<i32>> =
            clients.iter().map(|c| solve(c, &self.movement, ribbons).openings(ribbons)).collect();
        let (services, movement) = (clients.as_slice(), &self.movement);
        let row = Row { services, movement, ribbons, relay, before: None };
        let course = course(&row);
        let mut placed: Vec<Vec<Placed>> = vec![];
        for ((here, (_, found)), openings) in here.iter().zip(&self.prepared).zip(&course.layings) {
            let lying = placed.last().map_or(&[][..], Vec::as_slice);
            placed.push(hand::place(here, &found.stops, openings, ribbons, lying));
        }
        // What lies at an opening is named by the Mass itself, or the nearest later or earlier one.
        let name = |d: usize, p: &Placed| {
            let order = (d..here.len()).chain((0..d).rev());
            let at = |d: usize| hand::laid(&here[d], &self.prepared[d].1.stops, p);
            order.filter_map(at).next()
        };
        let lying = (0..placed.len())
            .map(|d| placed[d].iter().filter_map(|p| name(d, p)).collect())
            .collect();
        BookInARow {
            lying,
            cost: course.cost,
            lower_bound: course.lower_bound,
            cost_one_by_one: row.cost(&alone),
            moved_one_by_one: moves(&alone),
        }
    }
}

fn moves(layings: &[Vec<i32>]) -> usize {
    let came = |w: &[Vec<i32>]| w[1].iter().filter(|o| !w[0].contains(o)).count();
    layings.windows(2).map(came).sum()
}
