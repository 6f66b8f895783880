//! A service and the books on the table become a plan.

use super::costs::Costs;
use super::found::Found;
use super::hand::{self, InBook, LaidAt};
use super::solve::choose::{self, Choice, Chosen, Text};
use super::solve::dual::{bound, certify};
use super::solve::{Movement, Optima};
use super::stop::{OnTable, Tab};
use super::{Plan, Proof, RuleOfThumb, Share, Sheet, thumb};
use crate::Result;
use crate::book::Book;
use crate::error::RibbonFault;
use crate::order::Service;

/// Lays the ribbons of one book for one service: `ribbons` of them, or all that the copy has.
pub fn plan(service: &Service, book: &Book, ribbons: Option<usize>, costs: &Costs) -> Result<Plan> {
    let ribbons = ribbons.unwrap_or(book.ribbons.len());
    plan_table(service, &[OnTable { book, ribbons, stands: &[] }], costs)
}

/// Lays the ribbons of all books on the table for one service.
pub fn plan_table(service: &Service, table: &[OnTable], costs: &Costs) -> Result<Plan> {
    let (laying, found) = Laying::prepare(service, table, costs)?;
    Ok(laying.plan(found, None))
}

/// The texts with their choices made.
pub(super) struct Laying<'a> {
    table: &'a [OnTable<'a>],
    texts: Vec<Text>,
    movement: Movement,
    ribbons: Vec<usize>,
    chosen: Chosen,
}

impl<'a> Laying<'a> {
    /// Finds the texts in the books and chooses among the permitted ones.
    pub fn prepare(
        service: &Service,
        table: &'a [OnTable<'a>],
        costs: &Costs,
    ) -> Result<(Self, Found)> {
        if let Some(first) = table.first().filter(|_| table.iter().all(|t| t.ribbons == 0)) {
            let has_none = first.book.ribbons.is_empty();
            return Err(RibbonFault::NoRibbons { book: first.book.name.clone(), has_none }.into());
        }
        let movement = costs.movement().ok_or(RibbonFault::Costs)?;
        let mut found = Found::new(service, table);
        if found.read.is_empty() {
            let book = table.first().map(|t| t.book.name.clone()).unwrap_or_default();
            let texts = service.needs.len();
            return Err(RibbonFault::NothingInBook { book, texts }.into());
        }
        let texts = found.texts(&movement, costs);
        let ribbons: Vec<usize> = table.iter().map(|t| t.ribbons).collect();
        let chosen = choose::choose(&texts, &movement, &ribbons);
        found.settle(&chosen.choices);
        Ok((Laying { table, texts, movement, ribbons, chosen }, found))
    }

    /// The texts read from one book.
    pub fn in_book(&self, found: &Found, book: usize) -> InBook<'a> {
        let (clients, indices) =
            choose::clients(&self.texts, &self.movement, &self.chosen.choices, book);
        let stops = indices.iter().filter_map(|&i| found.read.get(i)).map(|r| r.stop).collect();
        let choices = indices.iter().map(|&i| self.choice(i)).collect();
        let tabs = indices.iter().map(|&i| self.tab(found, i)).collect();
        InBook { book: self.table[book].book, clients, stops, choices, tabs }
    }

    /// The plan with the ribbons laid best, or at the places given for each book.
    pub fn plan(&self, mut found: Found, given: Option<&[Vec<LaidAt>]>) -> Plan {
        let cost = given.map_or(self.chosen.cost, |given| self.cost_of(&found, given));
        let (mut ribbons, mut proofs, mut rules) = (vec![], vec![], vec![]);
        for (book, on_table) in self.table.iter().enumerate() {
            let here = self.in_book(&found, book);
            let optima = super::solve::solve(&here.clients, &self.movement, on_table.ribbons + 1);
            let laid = match given.and_then(|given| given.get(book)) {
                Some(given) => given.clone(),
                None => {
                    let best = optima.openings(on_table.ribbons);
                    let placed = hand::place(&here, &found.stops, &best, on_table.ribbons, &[]);
                    placed.iter().filter_map(|p| hand::laid(&here, &found.stops, p)).collect()
                }
            };
            hand::move_hand(&here, &mut found.stops, &laid, &self.movement);
            proofs.extend(self.prove(&here, &found, on_table.ribbons, &optima));
            thumb::compare(&here, &found.stops, &self.movement, on_table.ribbons, &mut rules);
            ribbons.extend(laid.into_iter().map(|l| l.laid));
        }
        let saved_by_one_more = cost.saturating_sub(self.least_with(|n| n + 1));
        Plan {
            sheet: self.sheet(&found).filter(|_| saved_by_one_more > 0),
            ribbons,
            available: self.ribbons.iter().sum(),
            cost,
            lower_bound: self.chosen.lower_bound,
            saved_by_one_more,
            cost_with_one_fewer: self.least_with(|n| n.saturating_sub(1)),
            cost_without: self.least(&self.texts, &vec![0; self.ribbons.len()]),
            rules_of_thumb: self.with_extras(rules),
            proofs,
            stops: found.stops,
            notices: found.notices,
        }
    }

    /// Cost of the service with each book's ribbons at the places given.
    fn cost_of(&self, found: &Found, given: &[Vec<LaidAt>]) -> u64 {
        let book = |(book, placed): (usize, &Vec<LaidAt>)| {
            let openings: Vec<i32> = placed.iter().map(|p| p.opening).collect();
            self.movement.cost(&self.in_book(found, book).clients, &openings)
        };
        self.extras() + given.iter().enumerate().map(book).sum::<u64>()
    }

    /// What the texts chosen cost however the ribbons lie.
    pub fn extras(&self) -> u64 {
        (0..self.texts.len()).map(|i| self.choice(i).extra).sum()
    }

    fn least(&self, texts: &[Text], ribbons: &[usize]) -> u64 {
        choose::choose(texts, &self.movement, ribbons).cost
    }

    /// The least cost when the ribbons of one book, whichever is best, are changed in number.
    fn least_with(&self, change: impl Fn(usize) -> usize) -> u64 {
        let changed = |book: usize| {
            let mut ribbons = self.ribbons.clone();
            if let Some(n) = ribbons.get_mut(book) {
                *n = change(*n);
            }
            self.least(&self.texts, &ribbons)
        };
        (0..self.ribbons.len()).map(changed).min().unwrap_or(self.chosen.cost)
    }

    /// The choice made for the `index`-th text.
    fn choice(&self, index: usize) -> Choice {
        self.texts[index].choices[self.chosen.choices[index]]
    }

    fn tab(&self, found: &Found, index: usize) -> Option<Tab> {
        let ways = &found.read.get(index)?.ways;
        ways.get(self.chosen.choices[index])?.tab.clone()
    }

    /// The certificate of one book, if it holds, as it always does.
    fn prove(
        &self,
        here: &InBook,
        found: &Found,
        ribbons: usize,
        optima: &Optima,
    ) -> Option<Proof> {
        let price = optima.cost(ribbons) - optima.cost(ribbons + 1);
        let certificate = certify(&here.clients, &self.movement, price);
        bound(&here.clients, &self.movement, ribbons, &certificate)?;
        let share = |((client, &stop), &share): ((_, &usize), &u64)| {
            let client: &super::solve::Client = client;
            Share {
                moment: found.stops.get(stop).map(|s| s.moment.clone()).unwrap_or_default(),
                opening: client.opening,
                weight: client.weight,
                unaided: client.alternative,
                share,
            }
        };
        let shares = here.clients.iter().zip(&here.stops).zip(&certificate.shares).map(share);
        Some(Proof { book: here.book.name.clone(), ribbon_price: price, shares: shares.collect() })
    }

    /// The text that saves most when it is read from a sheet.
    fn sheet(&self, found: &Found) -> Option<Sheet> {
        let without = |i: usize| {
            let mut texts = self.texts.clone();
            texts.remove(i);
            self.least(&texts, &self.ribbons)
        };
        let (cost, best) = (0..self.texts.len()).map(|i| (without(i), i)).min()?;
        let stop = found.stops.get(found.read.get(best)?.stop)?;
        let saves = self.chosen.cost.checked_sub(cost).filter(|&s| s > 0)?;
        Some(Sheet { text: stop.text.clone(), page: stop.page.clone()?, saves })
    }

    /// Adds what the texts chosen cost however the ribbons lie.
    fn with_extras(&self, mut rules: Vec<RuleOfThumb>) -> Vec<RuleOfThumb> {
        for rule in &mut rules {
            rule.cost += self.extras();
        }
        rules
    }
}
