//! A service and the books on the table become a plan.

use super::costs::Costs;
use super::found::Found;
use super::hand::{self, InBook, LaidAt};
use super::solve::choose::{self, Choice, Chosen, Text};
use super::solve::dual::{bound, certify};
use super::solve::{Movement, Optima, solve, solve_apart};
use super::stop::{OnTable, Tab};
use super::{Deeds, OtherNumber, Plan, Proof, RuleOfThumb, Share, Sheet, deeds, thumb};
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

/// Two ribbons within so many leaves of each other are mistaken for one another (common practice: nothing
/// twice within a leaf).
const CLOSE: u32 = 1;

/// Two ribbons are kept further apart where that costs no more than this many leaves turned at the moment
/// that is covered least, weight 5. A judgement.
const NEARLY_NOTHING: u64 = 5;

/// The texts with their choices made.
#[derive(Clone)]
pub(super) struct Laying<'a> {
    table: &'a [OnTable<'a>],
    texts: Vec<Text>,
    movement: Movement,
    /// What nearly nothing is, in hundredths of a leaf.
    slack: u64,
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
        let slack = NEARLY_NOTHING * u64::from(costs.leaf);
        Ok((Laying { table, texts, movement, slack, ribbons, chosen }, found))
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
        let laid = match given {
            Some(given) => given.to_vec(),
            None => self.lay(&found),
        };
        self.move_hand(&mut found, &laid);
        let cost = self.cost_of(&found, &laid);
        let (mut proofs, mut rules) = (vec![], vec![]);
        for (book, &ribbons) in self.ribbons.iter().enumerate() {
            let here = self.in_book(&found, book);
            let optima = solve(&here.clients, &self.movement, ribbons + 1);
            proofs.extend(self.prove(&here, &found, ribbons, &optima));
            thumb::compare(&here, &found.stops, &self.movement, ribbons, &mut rules);
        }
        let (more, fewer) = (self.least_with(|n| n + 1), self.least_with(|n| n.saturating_sub(1)));
        // Ribbons that rest for another Mass are not counted against this one.
        let alone = given.is_none();
        let apart = if alone { cost.saturating_sub(self.chosen.cost) } else { 0 };
        let saved_by_one_more = cost.saturating_sub(apart + more.chosen.cost);
        Plan {
            sheet: self.sheet(&found).filter(|_| saved_by_one_more > 0),
            available: self.ribbons.iter().sum(),
            apart,
            lower_bound: self.chosen.lower_bound,
            saved_by_one_more,
            cost_with_one_fewer: fewer.chosen.cost,
            cost_without: self.with(vec![0; self.ribbons.len()]).chosen.cost,
            one_more: alone.then(|| more.against(self, &found, true)).flatten(),
            one_fewer: alone.then(|| fewer.against(self, &found, false)).flatten(),
            rules_of_thumb: self.with_extras(rules),
            ribbons: laid.into_iter().flatten().map(|l| l.laid).collect(),
            cost,
            proofs,
            stops: found.stops,
            notices: found.notices,
        }
    }

    /// The best laying of each book's ribbons; those that no text wants which must be read lie at what may be
    /// left out.
    fn lay(&self, found: &Found) -> Vec<Vec<LaidAt>> {
        let lay = |(book, &ribbons): (usize, &usize)| {
            let here = self.in_book(found, book);
            let mut openings = self.openings(&here, ribbons);
            for text in here.clients.iter().filter(|c| c.weight == 0) {
                let close = |o: &i32| o.abs_diff(text.opening) <= CLOSE;
                let wanted = text.alternative > self.movement.pull();
                if openings.len() < ribbons && wanted && !openings.iter().any(close) {
                    openings.push(text.opening);
                }
            }
            openings.sort_unstable();
            let placed = hand::place(&here, &found.stops, &openings, ribbons, &[]);
            placed.iter().filter_map(|p| hand::laid(&here, &found.stops, p)).collect()
        };
        self.ribbons.iter().enumerate().map(lay).collect()
    }

    /// The best openings of one book, no two close to each other where that costs nearly nothing.
    fn openings(&self, here: &InBook, ribbons: usize) -> Vec<i32> {
        let best = solve(&here.clients, &self.movement, ribbons);
        let apart = solve_apart(&here.clients, &self.movement, ribbons, CLOSE);
        match apart.cost(ribbons) <= best.cost(ribbons) + self.slack {
            true => apart.openings(ribbons),
            false => best.openings(ribbons),
        }
    }

    fn move_hand(&self, found: &mut Found, laid: &[Vec<LaidAt>]) {
        for (book, laid) in laid.iter().enumerate() {
            let here = self.in_book(found, book);
            hand::move_hand(&here, &mut found.stops, laid, &self.movement);
        }
    }

    /// The same texts with another number of ribbons in each book, chosen and laid anew.
    fn with(&self, ribbons: Vec<usize>) -> Self {
        let chosen = choose::choose(&self.texts, &self.movement, &ribbons);
        Laying { chosen, ribbons, ..self.clone() }
    }

    /// What this number of ribbons changes against that of `other`, whose stops are `found`; nothing where the
    /// hand does the same.
    fn against(&self, other: &Self, found: &Found, better: bool) -> Option<OtherNumber> {
        let mut mine = found.clone();
        mine.settle(&self.chosen.choices);
        let laid = self.lay(&mine);
        self.move_hand(&mut mine, &laid);
        let book = (0..self.ribbons.len()).find(|&b| self.ribbons[b] != other.ribbons[b])?;
        let deeds = Deeds::of(&mine.stops);
        (deeds != Deeds::of(&found.stops)).then(|| OtherNumber {
            book: self.table[book].book.name.clone(),
            ribbons: self.ribbons[book],
            deeds,
            changes: deeds::changes(&found.stops, &mine.stops, better),
        })
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

    /// The laying with the ribbons of one book, whichever is best, changed in number.
    fn least_with(&self, change: impl Fn(usize) -> usize) -> Self {
        let changed = |book: usize| {
            let mut ribbons = self.ribbons.clone();
            if let Some(n) = ribbons.get_mut(book) {
                *n = change(*n);
            }
            self.with(ribbons)
        };
        let all = (0..self.ribbons.len()).map(changed);
        all.min_by_key(|l| l.chosen.cost).unwrap_or_else(|| self.clone())
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
            choose::choose(&texts, &self.movement, &self.ribbons).cost
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
