//! The ribbons get their colours and the hand its movements.

use super::colours::{REST, match_homes, role};
use super::solve::{Client, Movement};
use super::{Laid, Move, Stop, leaves};
use crate::book::Book;
use crate::place::Place;

/// The texts read from one book, in the order of the service.
pub(super) struct InBook<'a> {
    pub book: &'a Book,
    pub clients: Vec<Client>,
    /// Index of each one's stop.
    pub stops: Vec<usize>,
    /// Opening where each one ends.
    pub ends: Vec<i32>,
}

/// A ribbon with the opening it lies at.
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

    /// The roles of openings `at` (indices of texts): where two have the same, the one that matters more
    /// keeps it and the other joins the rest.
    fn distinct_roles(&self, at: &[usize], stops: &[Stop]) -> Vec<usize> {
        let all = self.roles(stops);
        let weight = |i: usize| -> u64 {
            let there = self.clients.iter().filter(|c| c.opening == self.clients[i].opening);
            there.map(|c| u64::from(c.weight)).sum()
        };
        let keeps = |i: usize| {
            let same = at.iter().copied().filter(|&j| all[j] == all[i]);
            same.max_by_key(|&j| weight(j)) == Some(i)
        };
        at.iter().map(|&i| if keeps(i) { all[i] } else { REST }).collect()
    }

    /// The text that names an opening: one that begins a place rather than one further in.
    fn named_by(&self, opening: i32, stops: &[Stop]) -> Option<usize> {
        let there = (0..self.clients.len()).filter(|&i| self.clients[i].opening == opening);
        there.min_by_key(|&i| stops.get(self.stops[i]).map(|s| s.pages_in))
    }
}

/// Gives each opening a ribbon of the copy; from the spine.
pub(super) fn colour(
    here: &InBook,
    stops: &[Stop],
    openings: &[i32],
    ribbons: usize,
) -> Vec<LaidAt> {
    let named: Vec<(i32, usize)> =
        openings.iter().filter_map(|&o| Some((o, here.named_by(o, stops)?))).collect();
    let at: Vec<usize> = named.iter().map(|&(_, i)| i).collect();
    let numbers = match_homes(&here.distinct_roles(&at, stops), ribbons);
    let laid = |(&(opening, i), &number): (&(i32, usize), &usize)| {
        let stop = stops.get(here.stops[i])?;
        let page = stop.page.clone()?;
        let laid = Laid {
            ribbon: name(here.book, number),
            number: number + 1,
            book: here.book.name.clone(),
            page: leaves::after(&page, stop.pages_in).unwrap_or(page),
            place: stop.place.clone(),
            text: stop.text.clone(),
            doubt: stop.doubt,
        };
        Some(LaidAt { opening, laid })
    };
    let mut all: Vec<LaidAt> = named.iter().zip(&numbers).filter_map(laid).collect();
    all.sort_by_key(|l| l.laid.number);
    all
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
        let before = i.checked_sub(1);
        let carried =
            before.is_some_and(|b| stops[here.stops[b]].stand != stops[here.stops[i]].stand);
        let unaided = match before {
            None => Move::LaidOpen,
            Some(_) if carried => Move::Search,
            Some(b) => leaf_on(client.opening - here.ends[b], movement),
        };
        stops[here.stops[i]].hand = by_ribbon(client, laid, movement).unwrap_or(unaided);
    }
}

fn leaf_on(leaves: i32, movement: &Movement) -> Move {
    match leaves {
        0 => Move::Stay,
        _ if movement.walk(leaves.unsigned_abs()) == movement.walk(u32::MAX) => Move::Search,
        _ => Move::Leaf { leaves },
    }
}

/// The pull at the nearest ribbon, where that is better than going on without.
fn by_ribbon(client: &Client, laid: &[LaidAt], movement: &Movement) -> Option<Move> {
    let nearest = laid.iter().min_by_key(|l| l.opening.abs_diff(client.opening))?;
    let leaves = client.opening - nearest.opening;
    let cost = movement.pull().saturating_add(movement.walk(leaves.unsigned_abs()));
    (cost < client.alternative).then(|| Move::Pull { ribbon: nearest.laid.ribbon.clone(), leaves })
}
