//! How the ribbons lie at Masses in a row: each book by itself, exactly ([`super::solve::horizon`]); where a
//! ribbon is bound, or a text can be read from more than one book, all books together as an integer programme
//! ([`super::solve::programme`]), some Masses at a time.

use super::apart;
use super::bound::{Ribbons, on_table};
use super::costs::Costs;
use super::found::Found;
use super::hand::{self, LaidAt, Placed};
use super::plan::{Laying, bound_ones};
use super::solve::Movement;
use super::solve::choose::{Choice, Text};
use super::solve::horizon::{Row, course};
use super::solve::programme::{self, Bundle, Lie, Problem, Serving};
use super::stop::OnTable;
use crate::Result;
use crate::error::RibbonFault;
use crate::order::Service;

/// A Mass with its texts found in the books.
pub(super) struct Mass<'a> {
    pub service: &'a Service,
    pub laying: Laying<'a>,
    pub found: Found,
}

/// Masses in a row.
pub(super) struct InARow<'a> {
    pub masses: Vec<Mass<'a>>,
    table: &'a [OnTable<'a>],
    movement: Movement,
    relay: u64,
    ribbons: Vec<Ribbons>,
}

/// How the ribbons lie at each Mass in each book, and what that costs in all.
pub(super) struct Course {
    pub lies: Vec<Vec<Lie>>,
    pub cost: u64,
    pub lower_bound: u64,
    /// What keeping ribbons apart costs, and laying what is left; within `cost`.
    pub apart: u64,
}

/// Each Mass laid best for itself.
pub(super) struct OneByOne {
    pub cost: u64,
    pub moved: usize,
}

/// Masses that are laid together as one programme: a week with its Sunday (by trial: some seconds).
const TOGETHER: usize = 8;

impl<'a> InARow<'a> {
    pub fn prepare(
        services: &[&'a Service],
        table: &'a [OnTable<'a>],
        costs: &Costs,
    ) -> Result<Self> {
        let mut masses = vec![];
        for &service in services {
            let (laying, found) = Laying::prepare(service, table, costs)?;
            masses.push(Mass { service, laying, found });
        }
        // A ribbon that stays in a section may lie at a text that another Mass reads there.
        let ribbons = on_table(table, &masses.iter().map(|m| &m.found).collect::<Vec<_>>())?;
        masses.iter_mut().for_each(|m| m.laying.ribbons.clone_from(&ribbons));
        let movement = costs.movement().ok_or(RibbonFault::Costs)?;
        Ok(InARow { masses, table, movement, relay: u64::from(costs.relay), ribbons })
    }

    /// What the Masses cost with each laid best for itself, the relays included.
    pub fn one_by_one(&self) -> OneByOne {
        let lies: Vec<Vec<Lie>> = self.masses.iter().map(|m| m.laying.lies(&m.found)).collect();
        let moved = lies.windows(2).flat_map(|w| w[0].iter().zip(&w[1]).map(|(a, b)| b.moved(a)));
        let moved: u64 = moved.sum();
        let reach = self.masses.iter().zip(&lies).map(|(m, lies)| m.laying.costs(&m.found, lies));
        OneByOne {
            cost: reach.sum::<u64>() + self.relay * moved,
            moved: usize::try_from(moved).unwrap_or(usize::MAX),
        }
    }

    /// The best course, with the texts read from the books that it takes.
    pub fn course(&mut self) -> Course {
        let mut course = match self.is_plain() {
            true => self.each_book(),
            false => self.together().unwrap_or_else(|| self.as_each_lies()),
        };
        for book in 0..self.ribbons.len() {
            self.settle(book, &mut course);
        }
        course
    }

    /// Lays one book as on a day: ribbons apart, and those left at what may be left out.
    fn settle(&self, book: usize, course: &mut Course) {
        let here: Vec<_> = self.masses.iter().map(|m| m.laying.in_book(&m.found, book)).collect();
        let services: Vec<_> = here.iter().map(|h| h.clients.clone()).collect();
        let wanted = |(mass, here): (&Mass, &hand::InBook)| -> Vec<bool> {
            let stops = here.stops.iter().map(|&i| &mass.found.stops[i]);
            stops.map(|s| s.optional && !s.no_ribbon).collect()
        };
        let wanted: Vec<_> = self.masses.iter().zip(&here).map(wanted).collect();
        let bound: Vec<_> = course.lies.iter().map(|l| l[book].bound.clone()).collect();
        let row = apart::Row {
            services: &services,
            wanted: &wanted,
            movement: &self.movement,
            ribbons: self.ribbons[book].count() - self.ribbons[book].bound.len(),
            relay: self.relay,
            slack: self.masses.iter().map(|m| m.laying.slack).max().unwrap_or(0),
            bound: &bound,
        };
        let mut layings: Vec<_> = course.lies.iter().map(|l| l[book].free.clone()).collect();
        let before = row.cost(&layings);
        row.settle(&mut layings);
        let more = row.cost(&layings).saturating_sub(before);
        course.apart += more;
        course.cost += more;
        for (lies, free) in course.lies.iter_mut().zip(layings) {
            lies[book].free = free;
        }
    }

    /// No ribbon is bound, and each text that is read is in one book.
    fn is_plain(&self) -> bool {
        let one_book = |mass: &Mass| {
            let open = (0..mass.laying.texts.len()).map(|i| mass.laying.same_text(i));
            open.into_iter().all(|ways| ways.len() < 2)
        };
        self.ribbons.iter().all(|r| r.bound.is_empty()) && self.masses.iter().all(one_book)
    }

    fn each_book(&self) -> Course {
        let extras: u64 = self.masses.iter().map(|m| m.laying.extras()).sum();
        let lies = vec![vec![]; self.masses.len()];
        let mut all = Course { lies, cost: extras, lower_bound: extras, apart: 0 };
        for (book, own) in self.ribbons.iter().enumerate() {
            let clients = |m: &Mass| m.laying.in_book(&m.found, book).clients;
            let services: Vec<_> = self.masses.iter().map(clients).collect();
            let course = course(&Row {
                services: &services,
                movement: &self.movement,
                ribbons: own.count(),
                relay: self.relay,
                before: None,
            });
            all.cost += course.cost;
            all.lower_bound += course.lower_bound;
            for (lies, free) in all.lies.iter_mut().zip(course.layings) {
                lies.push(Lie { free, bound: vec![] });
            }
        }
        all
    }

    /// Some Masses at a time, each time from where the ribbons were left.
    fn together(&mut self) -> Option<Course> {
        let books: Vec<Bundle> = self.ribbons.iter().map(Ribbons::bundle).collect();
        let services: Vec<Vec<Text>> = self.masses.iter().map(Mass::texts).collect();
        let whole = Problem {
            services: &services,
            movement: &self.movement,
            books: &books,
            relay: self.relay,
            before: None,
            apart: None,
        };
        let (mut servings, mut proven): (Vec<Serving>, bool) = (vec![], true);
        for some in services.chunks(TOGETHER) {
            let before = servings.last().map(|s| s.books.clone());
            let some_of = Problem { services: some, before: before.as_deref(), ..whole };
            let answer = programme::solve(&some_of)?;
            proven &= answer.proven && some.len() == services.len();
            servings.extend(answer.services);
        }
        let cost = whole.cost(&servings);
        let each: u64 = self.masses.iter().map(|m| m.laying.chosen.lower_bound).sum();
        let lower_bound = if proven { cost } else { each.min(cost) };
        for (mass, serving) in self.masses.iter_mut().zip(&servings) {
            mass.read(&serving.choices, self.table);
        }
        let lies = servings.into_iter().map(|s| s.books).collect();
        Some(Course { lies, cost, lower_bound, apart: 0 })
    }

    /// Each Mass laid for itself, where nothing better was found in time.
    fn as_each_lies(&self) -> Course {
        let lies = self.masses.iter().map(|m| m.laying.lies(&m.found)).collect();
        let each = self.masses.iter().map(|m| m.laying.chosen.lower_bound).sum();
        Course { lies, cost: self.one_by_one().cost, lower_bound: each, apart: 0 }
    }

    /// Which ribbon lies where at each Mass in each book; one that already lies at an opening stays.
    pub fn named(&self, lies: &[Vec<Lie>]) -> Vec<Vec<Vec<LaidAt>>> {
        let mut named = vec![vec![]; self.masses.len()];
        for book in 0..self.table.len() {
            let here: Vec<_> =
                self.masses.iter().map(|m| m.laying.in_book(&m.found, book)).collect();
            let mut placed: Vec<Vec<Placed>> = vec![];
            for ((mass, here), lies) in self.masses.iter().zip(&here).zip(lies) {
                let own = &self.ribbons[book];
                let mut lying = bound_ones(own, &lies[book]);
                let free = |p: &&Placed| own.bound.iter().all(|b| b.number != p.number);
                lying.extend(placed.last().into_iter().flatten().filter(free));
                let stops = &mass.found.stops;
                placed.push(hand::place(here, stops, &lies[book].all(), &own.numbers, &lying));
            }
            // What lies at an opening is named by the Mass itself, or the nearest later or earlier one.
            let name = |d: usize, p: &Placed| {
                let order = (d..here.len()).chain((0..d).rev());
                order.filter_map(|d| hand::laid(&here[d], &self.masses[d].found.stops, p)).next()
            };
            for (d, named) in named.iter_mut().enumerate() {
                named.push(placed[d].iter().filter_map(|p| name(d, p)).collect());
            }
        }
        named
    }
}

impl Mass<'_> {
    /// The texts chosen, each in every book that has it.
    fn texts(&self) -> Vec<Text> {
        let text = |(i, text): (usize, &Text)| {
            let choices: Vec<Choice> =
                self.laying.same_text(i).into_iter().map(|c| text.choices[c]).collect();
            Text { choices, ..text.clone() }
        };
        self.laying.texts.iter().enumerate().map(text).collect()
    }

    /// Reads each text at that one of its [`Mass::texts`].
    fn read(&mut self, among: &[usize], table: &[OnTable]) {
        let choice =
            |(i, &c): (usize, &usize)| self.laying.same_text(i).get(c).copied().unwrap_or(0);
        let choices: Vec<usize> = among.iter().enumerate().map(choice).collect();
        if choices != self.laying.chosen.choices {
            self.found = Found::new(self.service, table);
            self.found.settle(&choices);
            self.laying.chosen.choices = choices;
        }
    }
}
