//! The ribbons get their colours and the hand its movements.

use super::bound::Bound;
use super::colours::{REST, match_homes, role};
use super::found::number;
use super::solve::choose::Choice;
use super::solve::{Client, Movement};
use super::stop::Tab;
use super::{Laid, Landmark, Move, Stop};
use crate::book::{Book, PageState};
use crate::place::Place;

/// The texts read from one book, in the order of the service.
pub(super) struct InBook<'a> {
    pub book: &'a Book,
    pub clients: Vec<Client>,
    /// Index of each one's stop.
    pub stops: Vec<usize>,
    /// The choice made for each.
    pub choices: Vec<Choice>,
    /// The nearest tab to each.
    pub tabs: Vec<Option<Tab>>,
    /// Ribbons that stay in a section.
    pub bound: Vec<Bound>,
}

/// A ribbon, by its index from the spine, at an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Placed {
    pub opening: i32,
    pub number: usize,
}

/// A ribbon with the opening it lies at and what the plan says of it.
#[derive(Debug, Clone)]
pub(super) struct LaidAt {
    pub opening: i32,
    pub laid: Laid,
}

impl InBook<'_> {
    /// The role of each text's place. The day's Mass is the one that most of the service's weight is
    /// read from: the weekday, not the saint of whom only the Collect is taken.
    pub fn roles(&self, stops: &[Stop]) -> Vec<usize> {
        let places: Vec<&Place> =
            self.stops.iter().filter_map(|&i| stops.get(i)).map(|s| &s.place).collect();
        let weight = |place: &Place| -> u64 {
            let there = places.iter().zip(&self.clients).filter(|(p, _)| **p == place);
            there.map(|(_, c)| u64::from(c.weight)).sum()
        };
        let masses = places.iter().filter(|p| !p.is_under("order") && !p.is_under("appendix"));
        // `max_by_key` takes the last of equals: turned round, the first in the service.
        let mass = masses.rev().max_by_key(|p| weight(p)).copied();
        places.iter().map(|p| role(p, mass)).collect()
    }

    /// The roles of openings: where two have the same, the one that matters more keeps it and the other
    /// joins the rest, as does one that no text of this service is read at.
    fn distinct_roles(&self, openings: &[i32], stops: &[Stop]) -> Vec<usize> {
        let all = self.roles(stops);
        let role = |o: i32| self.named_by(o, stops).map_or(REST, |i| all[i]);
        let weight = |o: i32| -> u64 {
            let there = self.clients.iter().filter(|c| c.opening == o);
            there.map(|c| u64::from(c.weight)).sum()
        };
        let keeps = |o: i32| {
            let same = openings.iter().copied().filter(|&p| role(p) == role(o));
            same.max_by_key(|&p| weight(p)) == Some(o)
        };
        openings.iter().map(|&o| if keeps(o) { role(o) } else { REST }).collect()
    }

    /// The text that names an opening: one that begins a place rather than one further in.
    fn named_by(&self, opening: i32, stops: &[Stop]) -> Option<usize> {
        let there = (0..self.clients.len()).filter(|&i| self.clients[i].opening == opening);
        there.min_by_key(|&i| stops.get(self.stops[i]).map(|s| s.pages_in))
    }
}

/// Chooses the ribbon for each opening, among those with the `numbers` given. `lying` are ribbons from the service before: one that already
/// lies at an opening stays, the others take what is left, each as near its home as can be.
pub(super) fn place(
    here: &InBook,
    stops: &[Stop],
    openings: &[i32],
    numbers: &[usize],
    lying: &[Placed],
) -> Vec<Placed> {
    let mut placed: Vec<Placed> =
        lying.iter().filter(|p| openings.contains(&p.opening)).copied().collect();
    let taken = |n: &usize| placed.iter().any(|p| p.number == *n);
    let free: Vec<usize> = numbers.iter().copied().filter(|n| !taken(n)).collect();
    let new: Vec<i32> =
        openings.iter().copied().filter(|o| placed.iter().all(|p| p.opening != *o)).collect();
    let roles = here.distinct_roles(&new, stops);
    for (&opening, number) in new.iter().zip(match_homes(&roles, &free)) {
        placed.extend(free.contains(&number).then_some(Placed { opening, number }));
    }
    placed.sort_by_key(|p| p.number);
    placed
}

/// What a ribbon lies at; none where no text of this service is read at its opening, nor its section begins there.
pub(super) fn laid(here: &InBook, stops: &[Stop], p: &Placed) -> Option<LaidAt> {
    let Some(text) = here.named_by(p.opening, stops) else { return at_its_section(here, p) };
    let stop = stops.get(here.stops[text])?;
    let laid = Laid {
        ribbon: name(here.book, p.number),
        number: p.number + 1,
        book: here.book.name.clone(),
        page: stop.page.clone()?,
        state: stop.state,
        place: stop.place.clone(),
        text: stop.text.clone(),
        doubt: stop.doubt,
    };
    Some(LaidAt { opening: p.opening, laid })
}

/// A bound ribbon where its section begins.
fn at_its_section(here: &InBook, p: &Placed) -> Option<LaidAt> {
    let at = |b: &&Bound| (b.number, b.section.opening) == (p.number, p.opening);
    let section = here.bound.iter().find(at)?.section.clone();
    let laid = Laid {
        ribbon: name(here.book, p.number),
        number: p.number + 1,
        book: here.book.name.clone(),
        page: section.page,
        state: section.state,
        place: section.place,
        text: section.title,
        doubt: section.state != PageState::Known,
    };
    Some(LaidAt { opening: p.opening, laid })
}

/// The colour, with the number where the copy has several of that colour or does not name it.
fn name(book: &Book, index: usize) -> String {
    match book.ribbons.get(index) {
        Some(r) if book.ribbons.iter().filter(|other| other.colour == r.colour).count() == 1 => {
            r.colour.clone()
        }
        Some(r) => format!("{} {}", r.colour, index + 1),
        None => format!("ribbon {}", index + 1),
    }
}

/// Writes the movement into each stop read from this book.
pub(super) fn move_hand(here: &InBook, stops: &mut [Stop], laid: &[LaidAt], movement: &Movement) {
    for (i, client) in here.clients.iter().enumerate() {
        let unaided = here.unaided(i, stops, movement);
        let stop = &mut stops[here.stops[i]];
        stop.hand = by_ribbon(client, laid, movement).unwrap_or(unaided);
        stop.landmark = landmark(client.opening, laid);
    }
}

impl InBook<'_> {
    /// The cheapest movement to the `i`-th text without a ribbon.
    fn unaided(&self, i: usize, stops: &[Stop], movement: &Movement) -> Move {
        let Some(before) = i.checked_sub(1) else { return Move::LaidOpen };
        let at = |i: usize| number(stops[self.stops[i]].stand);
        let carried = at(before) != at(i);
        let leaves = self.clients[i].opening - self.choices[before].ends;
        let walk = movement.walk(if carried { u32::MAX } else { leaves.unsigned_abs() });
        match &self.tabs[i] {
            Some(tab) if self.choices[i].by_mark < walk => {
                Move::Tab { tab: tab.title.clone(), leaves: tab.leaves }
            }
            _ if walk == movement.walk(u32::MAX) && (carried || leaves != 0) => Move::Search,
            _ if leaves == 0 => Move::Stay,
            _ => Move::Leaf { leaves },
        }
    }
}

/// The ribbon nearest to an opening at which none lies.
fn landmark(opening: i32, laid: &[LaidAt]) -> Option<Landmark> {
    let nearest = laid.iter().min_by_key(|l| l.opening.abs_diff(opening))?;
    let landmark =
        Landmark { ribbon: nearest.laid.ribbon.clone(), before: opening < nearest.opening };
    (opening != nearest.opening).then_some(landmark)
}

/// The pull at the nearest ribbon, where that is better than going on without.
fn by_ribbon(client: &Client, laid: &[LaidAt], movement: &Movement) -> Option<Move> {
    let nearest = laid.iter().min_by_key(|l| l.opening.abs_diff(client.opening))?;
    let leaves = client.opening - nearest.opening;
    let cost = movement.pull().saturating_add(movement.walk(leaves.unsigned_abs()));
    (cost < client.alternative).then(|| Move::Pull { ribbon: nearest.laid.ribbon.clone(), leaves })
}
