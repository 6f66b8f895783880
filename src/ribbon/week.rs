//! Several Masses in a row: a weekend, a week, a season. Ribbons that can stay where they are stay,
//! with their colour; moving one between two Masses costs the relay.
//!
//! The texts of each Mass are chosen for it alone; which book each is read from, and the ribbons, for all
//! Masses together (`row`).

use super::costs::Costs;
use super::hand::LaidAt;
use super::row::InARow;
use super::{Laid, Plan, stop::OnTable};
use crate::Result;
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
    /// What keeping two ribbons from lying within a leaf of each other costs, and laying those that are left at
    /// what may be left out; within `cost`.
    #[serde(default, skip_serializing_if = "super::is_zero")]
    pub apart: u64,
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
    let services: Vec<&Service> = occasions.iter().map(|o| o.service).collect();
    let mut row = InARow::prepare(&services, table, costs)?;
    let alone = row.one_by_one();
    let course = row.course();
    let lying = row.named(&course.lies);
    let mut week = Week {
        masses: vec![],
        cost: course.cost,
        lower_bound: course.lower_bound,
        apart: course.apart,
        cost_one_by_one: alone.cost,
        moved_one_by_one: alone.moved,
    };
    for (d, (occasion, mass)) in occasions.iter().zip(row.masses).enumerate() {
        let moved = lying[d].iter().enumerate().flat_map(|(book, now)| {
            let before = d.checked_sub(1).map_or(&[][..], |b| lying[b][book].as_slice());
            come(now, before)
        });
        week.masses.push(LaidMass {
            date: occasion.date,
            evening: occasion.evening,
            celebration: occasion.service.celebration.clone(),
            moved: moved.collect(),
            plan: mass.laying.plan(mass.found, Some(&lying[d])),
        });
    }
    Ok(week)
}

/// The ribbons that lie elsewhere than at the Mass before.
fn come<'a>(now: &'a [LaidAt], before: &'a [LaidAt]) -> impl Iterator<Item = Laid> + 'a {
    let at = |r: &LaidAt| (r.laid.number, r.opening);
    now.iter().filter(move |r| before.iter().all(|b| at(b) != at(r))).map(|r| r.laid.clone())
}
