//! The needs of a service, each found in the books on the table, and the texts left to choose.

use super::costs::Costs;
use super::solve::Movement;
use super::solve::choose::{Choice, Text};
use super::stop::{OnTable, Way, locate};
use super::{Notice, Other, Stop};
use crate::book::PageState;
use crate::order::{Service, Stand};
use crate::place::Place;

/// The needs after the search for them: where each is listed, and those read from a book.
#[derive(Clone)]
pub(super) struct Found {
    /// In the order of the service; of a text read from a book the movement is still missing.
    pub stops: Vec<Stop>,
    /// The texts that a book is opened for.
    pub read: Vec<Reading>,
    pub notices: Vec<Notice>,
}

/// A text that a book is opened for.
#[derive(Clone)]
pub(super) struct Reading {
    /// Its index among the stops.
    pub stop: usize,
    /// Where it may be read.
    pub ways: Vec<Way>,
    /// Texts with the same word take the way of the same rank.
    together: Option<String>,
}

impl Found {
    pub fn new(service: &Service, table: &[OnTable]) -> Self {
        let mut found = Found { stops: vec![], read: vec![], notices: vec![] };
        for need in &service.needs {
            let Some(located) = locate(need, table, &mut found.notices) else { continue };
            if !need.by_heart && !located.ways.is_empty() {
                let (stop, together) = (found.stops.len(), need.together.clone());
                found.read.push(Reading { stop, ways: located.ways, together });
            }
            found.stops.push(located.stop);
        }
        found.keep_together();
        found
    }

    /// Of texts to be taken from the same place, only the places that all of them have stay open; where
    /// they have none in common, each is chosen by itself.
    fn keep_together(&mut self) {
        for i in 0..self.read.len() {
            let Some(word) = self.read[i].together.clone() else { continue };
            let members: Vec<&Reading> =
                self.read.iter().filter(|r| r.together.as_ref() == Some(&word)).collect();
            let common = |rank: u32| members.iter().all(|m| m.ways.iter().any(|w| w.rank == rank));
            let ranks: Vec<u32> =
                self.read[i].ways.iter().map(|w| w.rank).filter(|&r| common(r)).collect();
            for reading in self.read.iter_mut().filter(|r| r.together.as_ref() == Some(&word)) {
                match ranks.is_empty() {
                    true => reading.together = None,
                    false => reading.ways.retain(|w| ranks.contains(&w.rank)),
                }
            }
        }
    }

    /// The texts for the solver.
    pub fn texts(&self, movement: &Movement, costs: &Costs) -> Vec<Text> {
        let words: Vec<&String> = self.read.iter().filter_map(|r| r.together.as_ref()).collect();
        let text = |reading: &Reading| {
            let stop = &self.stops[reading.stop];
            let weight = weight_of(stop);
            let choice = |w: &Way| Choice {
                book: w.book,
                rank: w.rank,
                opening: w.opening,
                ends: w.ends,
                extra: u64::from(weight) * expected_walk(movement, w.doubt)
                    + u64::from(w.rank) * u64::from(costs.other_text),
                by_mark: w.tab.as_ref().map_or(u32::MAX, |t| t.cost(movement, costs)),
            };
            let word = reading.together.as_ref();
            Text {
                weight,
                stand: number(stop.stand),
                choices: reading.ways.iter().map(choice).collect(),
                together: word.and_then(|word| words.iter().position(|w| *w == word)),
            }
        };
        self.read.iter().map(text).collect()
    }

    /// Puts the chosen text at each stop, with the others beside it.
    pub fn settle(&mut self, choices: &[usize]) {
        for (Reading { stop, ways, .. }, &choice) in self.read.iter().zip(choices) {
            let (Some(way), Some(stop)) = (ways.get(choice), self.stops.get_mut(*stop)) else {
                continue;
            };
            *stop = way.stop.clone();
            stop.others = others(ways, way);
            if let Some(preferred) = ways.first().filter(|w| w.rank < way.rank) {
                let (text, preferred) = (stop.text.clone(), preferred.stop.text.clone());
                let notice = Notice::OtherText { text, preferred };
                if !self.notices.contains(&notice) {
                    self.notices.push(notice);
                }
            }
        }
        self.look_at_doubtful();
    }

    /// One notice for each doubtful page that will be read.
    fn look_at_doubtful(&mut self) {
        let mut seen: Vec<&Place> = vec![];
        for reading in &self.read {
            let stop = &self.stops[reading.stop];
            let told =
                |n: &Notice| matches!(n, Notice::UnderHeading { text, .. } if *text == stop.text);
            if !stop.doubt || seen.contains(&&stop.place) || self.notices.iter().any(told) {
                continue;
            }
            seen.push(&stop.place);
            self.notices.push(match stop.state {
                PageState::Reckoned => Notice::Reckoned {
                    text: stop.text.clone(),
                    pages: stop.page.clone().unwrap_or_default(),
                },
                _ => Notice::Look {
                    text: stop.text.clone(),
                    page: stop.page.clone().unwrap_or_default(),
                    interval: stop.interval.clone(),
                    reckoned: stop.reckoned.clone(),
                },
            });
        }
    }
}

/// The texts that may be read instead of `taken`, each once, where its book has them if it does.
fn others(ways: &[Way], taken: &Way) -> Vec<Other> {
    let mut others: Vec<&Way> = ways.iter().filter(|w| w.rank != taken.rank).collect();
    others.sort_by_key(|w| (w.rank, w.book != taken.book));
    others.dedup_by_key(|w| w.rank);
    let other = |w: &Way| Some(Other { text: w.stop.text.clone(), page: w.stop.page.clone()? });
    others.into_iter().filter_map(other).collect()
}

/// What a text weighs for the solver. What may be left out weighs nothing there: it gets the ribbons that
/// no other text wants; nor does that which no ribbon is to be laid for.
pub(super) fn weight_of(stop: &Stop) -> u16 {
    if stop.optional || stop.no_ribbon { 0 } else { u16::from(stop.weight.max(1)) }
}

/// Stands between which the book is closed. From the fire to the ambo, from the font to the cross a server carries
/// it open (a judgement).
pub(super) fn number(stand: Stand) -> u8 {
    match stand {
        Stand::Chair => 0,
        Stand::Altar => 1,
        _ => 2,
    }
}

/// Mean walk from the likeliest opening to the true one, which lies evenly within `doubt` openings of
/// it. It is the same however the hand came to the likeliest one.
fn expected_walk(movement: &Movement, doubt: u32) -> u64 {
    let doubt = doubt.min(1_000);
    let one_side: u64 = (1..=doubt).map(|d| u64::from(movement.walk(d))).sum();
    2 * one_side / u64::from(2 * doubt + 1)
}
