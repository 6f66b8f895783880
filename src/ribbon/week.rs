//! Several services from one book in a row: a weekend, a week. Ribbons that can stay where they are stay,
//! with their colour; moving one between two services costs the relay.
//!
//! The texts of each service are chosen for it alone; the ribbons are then laid for all services
//! together, exactly ([`super::solve::horizon`]).

use super::costs::Costs;
use super::hand::{self, Placed};
use super::plan::Laying;
use super::solve::horizon::{Course, Row, by_linear_programme, by_subsets};
use super::{Plan, stop::OnTable};
use crate::Result;
use crate::book::Book;
use crate::error::RibbonFault;
use crate::order::Service;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The plans of services in a row.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Week {
    /// One for each service. Its `lower_bound` is that of the service by itself.
    pub plans: Vec<Plan>,
    /// Ribbons to move before each service, by name; before the first all that are laid.
    pub moved: Vec<Vec<String>>,
    /// Cost of all services and of the ribbons moved between them.
    pub cost: u64,
    /// What the services would cost with each laid best for itself, the relays included.
    pub cost_one_by_one: u64,
}

/// Lays the ribbons of one book for services in a row.
pub fn plan_week(
    services: &[Service],
    book: &Book,
    ribbons: Option<usize>,
    costs: &Costs,
) -> Result<Week> {
    let ribbons = ribbons.unwrap_or(book.ribbons.len());
    let table = [OnTable { book, ribbons, stands: &[] }];
    let mut prepared = vec![];
    for service in services {
        prepared.push(Laying::prepare(service, &table, costs)?);
    }
    let clients: Vec<_> = prepared.iter().map(|(l, f)| l.in_book(f, 0).clients).collect();
    let movement = costs.movement().ok_or(RibbonFault::Costs)?;
    let relay = u64::from(costs.relay);
    let row = Row { services: &clients, movement: &movement, ribbons, relay, before: None };
    let alone: Vec<Vec<i32>> = clients
        .iter()
        .map(|c| super::solve::solve(c, &movement, ribbons).openings(ribbons))
        .collect();
    let apart = Course { cost: row.cost(&alone), layings: alone };
    // The solver of last resort may give up on a long row; the services one by one are then the answer.
    let course = by_subsets(&row).or_else(|| by_linear_programme(&row)).unwrap_or(apart.clone());
    let mut week =
        Week { plans: vec![], moved: vec![], cost: course.cost, cost_one_by_one: apart.cost };
    let mut lying: Vec<Placed> = vec![];
    for ((laying, found), openings) in prepared.into_iter().zip(&course.layings) {
        let here = laying.in_book(&found, 0);
        let placed = hand::place(&here, &found.stops, openings, ribbons, &lying);
        let came = placed.iter().filter(|p| !lying.contains(p));
        week.moved.push(came.map(|p| hand::name(book, p.number)).collect());
        let plan = laying.plan(found, Some(&placed));
        // What the texts cost however the ribbons lie is part of both sums.
        let extras = plan.cost - movement.cost(&here.clients, openings);
        week.cost += extras;
        week.cost_one_by_one += extras;
        week.plans.push(plan);
        lying = placed;
    }
    Ok(week)
}
