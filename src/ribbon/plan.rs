//! A service and the books on the table become a plan.

use super::bound::{Ribbons, on_table};
use super::costs::Costs;
use super::found::Found;
use super::hand::{self, InBook, LaidAt, Placed};
use super::solve::choose::{self, Choice, Chosen, Text};
use super::solve::dual::{bound, certify};
use super::solve::programme::{self, Answer, Lie, Problem, Serving};
use super::solve::{Movement, Optima, solve, solve_apart};
use super::stop::{OnTable, Tab};
use super::{Deeds, OtherNumber, Plan, Proof, RuleOfThumb, Share, Sheet, deeds, thumb};
use crate::Result;
use crate::book::Book;
use crate::error::RibbonFault;
use crate::order::Service;

/// Lays the ribbons of one book for one service: `ribbons` of them, or all that the copy has.
pub fn plan(service: &Service, book: &Book, ribbons: Option<usize>, costs: &Costs) -> Result<Plan> {
    let ribbons = ribbons.unwrap_or_else(|| book.usable_ribbons());
    plan_table(service, &[OnTable { book, ribbons, stands: &[] }], costs)
}

/// Lays the ribbons of all books on the table for one service.
pub fn plan_table(service: &Service, table: &[OnTable], costs: &Costs) -> Result<Plan> {
    let (laying, found) = Laying::prepare(service, table, costs)?;
    Ok(laying.plan(found, None))
}

/// Two ribbons within so many leaves of each other are mistaken for one another (common practice: nothing
/// twice within a leaf).
pub(super) const CLOSE: u32 = 1;

/// Two ribbons are kept further apart where that costs no more than this many leaves turned at the moment
/// that is covered least, weight 5. A judgement.
const NEARLY_NOTHING: u64 = 5;

/// The texts with their choices made.
#[derive(Clone)]
pub(super) struct Laying<'a> {
    table: &'a [OnTable<'a>],
    pub texts: Vec<Text>,
    movement: Movement,
    /// What nearly nothing is, in hundredths of a leaf.
    pub slack: u64,
    pub ribbons: Vec<Ribbons>,
    pub chosen: Chosen,
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
        let ribbons = on_table(table, &[&found])?;
        let chosen = choose(&texts, &movement, &ribbons);
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
        let bound = self.ribbons[book].bound.clone();
        InBook { book: self.table[book].book, clients, stops, choices, tabs, bound }
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
        for (book, own) in self.ribbons.iter().enumerate() {
            let (here, ribbons) = (self.in_book(&found, book), own.count());
            let optima = solve(&here.clients, &self.movement, ribbons + 1);
            // The certificate is for ribbons that may lie anywhere.
            if own.bound.is_empty() {
                proofs.extend(self.prove(&here, &found, ribbons, &optima));
            }
            thumb::compare(&here, &found.stops, &self.movement, ribbons, &mut rules);
        }
        let (more, fewer) = (self.least_with(|n| n + 1), self.least_with(|n| n.saturating_sub(1)));
        // Ribbons that rest for another Mass are not counted against this one.
        let alone = given.is_none();
        let apart = if alone { cost.saturating_sub(self.chosen.cost) } else { 0 };
        let saved_by_one_more = cost.saturating_sub(apart + more.chosen.cost);
        Plan {
            sheet: self.sheet(&found).filter(|_| saved_by_one_more > 0),
            available: self.ribbons.iter().map(Ribbons::count).sum(),
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
        let lay = |(book, lie): (usize, Lie)| {
            let (here, ribbons) = (self.in_book(found, book), &self.ribbons[book]);
            let mut openings = lie.all();
            for (text, &stop) in here.clients.iter().zip(&here.stops).filter(|(c, _)| c.weight == 0)
            {
                let close = |o: &i32| o.abs_diff(text.opening) <= CLOSE;
                let wanted =
                    text.alternative > self.movement.pull() && !found.stops[stop].no_ribbon;
                if openings.len() < ribbons.count() && wanted && !openings.iter().any(close) {
                    openings.push(text.opening);
                }
            }
            openings.sort_unstable();
            let lying = bound_ones(ribbons, &lie);
            let placed = hand::place(&here, &found.stops, &openings, &ribbons.numbers, &lying);
            placed.iter().filter_map(|p| hand::laid(&here, &found.stops, p)).collect()
        };
        self.lies(found).into_iter().enumerate().map(lay).collect()
    }

    /// How the ribbons of each book lie best for what must be read.
    pub fn lies(&self, found: &Found) -> Vec<Lie> {
        if self.ribbons.iter().all(|r| r.bound.is_empty()) {
            let book = |(book, ribbons): (usize, &Ribbons)| Lie {
                free: self.openings(&self.in_book(found, book), ribbons.count()),
                bound: vec![],
            };
            return self.ribbons.iter().enumerate().map(book).collect();
        }
        let texts = self.only_chosen();
        let best = with_bound(&texts, &self.movement, &self.ribbons, None);
        let apart = with_bound(&texts, &self.movement, &self.ribbons, Some(CLOSE));
        let apart = apart.filter(|a| best.as_ref().is_none_or(|b| a.cost <= b.cost + self.slack));
        let serving = apart.or(best).and_then(|a| a.services.into_iter().next());
        serving.map_or_else(|| anyhow(&texts, &self.movement, &self.ribbons).books, |s| s.books)
    }

    /// The texts with no other choice than the one made.
    fn only_chosen(&self) -> Vec<Text> {
        let only =
            |(i, text): (usize, &Text)| Text { choices: vec![self.choice(i)], ..text.clone() };
        self.texts.iter().enumerate().map(only).collect()
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
    fn with(&self, counts: Vec<usize>) -> Self {
        let all = self.ribbons.iter().zip(self.table).zip(counts);
        let ribbons: Vec<Ribbons> = all.map(|((r, on), n)| r.with(on.book, n)).collect();
        let chosen = choose(&self.texts, &self.movement, &ribbons);
        Laying { chosen, ribbons, ..self.clone() }
    }

    /// What this number of ribbons changes against that of `other`, whose stops are `found`; nothing where the
    /// hand does the same.
    fn against(&self, other: &Self, found: &Found, better: bool) -> Option<OtherNumber> {
        let mut mine = found.clone();
        mine.settle(&self.chosen.choices);
        let laid = self.lay(&mine);
        self.move_hand(&mut mine, &laid);
        let count = |laying: &Self, book: usize| laying.ribbons[book].count();
        let book = (0..self.ribbons.len()).find(|&b| count(self, b) != count(other, b))?;
        let deeds = Deeds::of(&mine.stops);
        (deeds != Deeds::of(&found.stops)).then(|| OtherNumber {
            book: self.table[book].book.name.clone(),
            ribbons: count(self, book),
            deeds,
            changes: deeds::changes(&found.stops, &mine.stops, better),
        })
    }

    /// Cost of the service with each book's ribbons at the places given.
    fn cost_of(&self, found: &Found, given: &[Vec<LaidAt>]) -> u64 {
        let lie = |placed: &Vec<LaidAt>| Lie {
            free: placed.iter().map(|p| p.opening).collect(),
            bound: vec![],
        };
        self.costs(found, &given.iter().map(lie).collect::<Vec<_>>())
    }

    /// Cost of the service with each book's ribbons lying so.
    pub fn costs(&self, found: &Found, lies: &[Lie]) -> u64 {
        let book = |(book, lie): (usize, &Lie)| {
            self.movement.cost(&self.in_book(found, book).clients, &lie.all())
        };
        self.extras() + lies.iter().enumerate().map(book).sum::<u64>()
    }

    /// The choices of the `index`-th text that are the text chosen, in whichever book.
    pub fn same_text(&self, index: usize) -> Vec<usize> {
        let (all, rank) = (&self.texts[index].choices, self.choice(index).rank);
        (0..all.len()).filter(|&c| all[c].rank == rank).collect()
    }

    /// What the texts chosen cost however the ribbons lie.
    pub fn extras(&self) -> u64 {
        (0..self.texts.len()).map(|i| self.choice(i).extra).sum()
    }

    /// The laying with the ribbons of one book, whichever is best, changed in number.
    fn least_with(&self, change: impl Fn(usize) -> usize) -> Self {
        let changed = |book: usize| {
            let mut ribbons: Vec<usize> = self.ribbons.iter().map(Ribbons::count).collect();
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
            choose(&texts, &self.movement, &self.ribbons).cost
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

/// The best choices: by the plain method where no ribbon is bound and its search comes to an end, else as an
/// integer programme.
fn choose(texts: &[Text], movement: &Movement, ribbons: &[Ribbons]) -> Chosen {
    let counts: Vec<usize> = ribbons.iter().map(Ribbons::count).collect();
    let plain = choose::choose(texts, movement, &counts);
    let bound = ribbons.iter().any(|r| !r.bound.is_empty());
    if !bound && plain.cost == plain.lower_bound {
        return plain;
    }
    let answer = with_bound(texts, movement, ribbons, None);
    // Ribbons that may lie anywhere cost no more than bound ones.
    let lower_bound = plain.lower_bound;
    let chosen = |answer: Answer| {
        let lower_bound = if answer.proven { answer.cost } else { lower_bound };
        let choices = answer.services.into_iter().next()?.choices;
        Some(Chosen { choices, cost: answer.cost, lower_bound })
    };
    match answer.and_then(chosen) {
        Some(chosen) if bound || chosen.cost < plain.cost => chosen,
        Some(chosen) => Chosen { lower_bound: chosen.lower_bound.min(plain.cost), ..plain },
        None if bound => {
            let serving = anyhow(texts, movement, ribbons);
            let cost = posed(&[texts.to_vec()], movement, &bundles(ribbons), None).cost(&[serving]);
            Chosen { cost, ..plain }
        }
        None => plain,
    }
}

fn bundles(ribbons: &[Ribbons]) -> Vec<programme::Bundle> {
    ribbons.iter().map(Ribbons::bundle).collect()
}

/// One service as a programme.
fn posed<'a>(
    services: &'a [Vec<Text>],
    movement: &'a Movement,
    books: &'a [programme::Bundle],
    apart: Option<u32>,
) -> Problem<'a> {
    Problem { services, movement, books, relay: 0, before: None, apart }
}

fn with_bound(
    texts: &[Text],
    movement: &Movement,
    ribbons: &[Ribbons],
    apart: Option<u32>,
) -> Option<Answer> {
    programme::solve(&posed(&[texts.to_vec()], movement, &bundles(ribbons), apart))
}

/// Where the programme finds nothing in time: the bound ribbons at the beginning of their sections, the others
/// as they lie best without them.
fn anyhow(texts: &[Text], movement: &Movement, ribbons: &[Ribbons]) -> Serving {
    let free: Vec<usize> = ribbons.iter().map(|r| r.count() - r.bound.len()).collect();
    let choices = choose::choose(texts, movement, &free).choices;
    let book = |(book, own): (usize, &Ribbons)| Lie {
        free: choose::optima(texts, movement, &choices, book, free[book]).openings(free[book]),
        bound: own.bound.iter().map(|b| b.section.opening).collect(),
    };
    Serving { books: ribbons.iter().enumerate().map(book).collect(), choices }
}

/// Where the bound ribbons lie.
pub(super) fn bound_ones(ribbons: &Ribbons, lie: &Lie) -> Vec<Placed> {
    let each = ribbons.bound.iter().zip(&lie.bound);
    each.map(|(b, &opening)| Placed { opening, number: b.number }).collect()
}
