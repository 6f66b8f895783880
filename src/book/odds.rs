//! What speaks for a row meaning one place rather than another of like title: the kind of its list, and the
//! page it names.

use super::catalogue::Candidate;
use super::read::Printed;
use super::words::{Word, words};
use super::{Book, Entry, Label, State};
use crate::text::Alternative;

/// Log odds that a row in a list of prefaces means a preface, and a row without the word elsewhere a text of
/// another kind. By trial: a list of prefaces may still name the Mass that one is taken from.
const IN_KIND: f64 = 1.0;
const OUT_OF_KIND: f64 = -3.0;
/// Log odds for a page that the map already gives the candidate, for one in the interval where it lies, and for
/// any other.
const SAME_PAGE: f64 = 3.0;
const WITHIN: f64 = 0.5;
const ELSEWHERE: f64 = -1.5;

impl Book {
    /// Moves the scores of a photograph's candidates by the kind of its list: where prefaces are listed a row
    /// means a preface, elsewhere only where it says so.
    /// Tells whether it lists prefaces.
    pub(super) fn by_kind_of_list(
        &self,
        photo: &[Printed],
        candidates: &mut [Vec<Candidate>],
    ) -> bool {
        let prefaces = self.lists_prefaces(photo, candidates);
        for (printed, found) in photo.iter().zip(candidates) {
            let under = || printed.line.headings.iter().any(|h| names_preface(h));
            let wanted = prefaces || names_preface(&printed.line.title) || under();
            for candidate in found {
                let preface = self.entries.get(candidate.target).is_some_and(Entry::is_preface);
                candidate.score += match (preface, wanted) {
                    (true, true) => IN_KIND,
                    (false, false) => 0.0,
                    _ => OUT_OF_KIND,
                };
            }
        }
        prefaces
    }

    fn lists_prefaces(&self, photo: &[Printed], candidates: &[Vec<Candidate>]) -> bool {
        let rows = photo.len();
        let named = photo.iter().filter(|p| names_preface(&p.line.title)).count();
        let best = |found: &&Vec<Candidate>| {
            let best = found.first().and_then(|c| self.entries.get(c.target));
            best.is_some_and(|e| e.place.is_under("order/preface"))
        };
        let alike = candidates.iter().filter(best).count();
        rows >= 4 && named.max(alike) * 2 > rows
    }

    /// What the page says about a candidate.
    pub(super) fn page_odds(&self, candidate: &Candidate, alternatives: &[Alternative]) -> f64 {
        let Some(entry) = self.entries.get(candidate.target) else { return 0.0 };
        let Some(page) = entry.page.as_deref().filter(|_| entry.state != State::Absent) else {
            return 0.0;
        };
        if alternatives.iter().any(|a| a.page == page) {
            // A page that is in doubt itself tells less.
            return if entry.state == State::Doubtful { WITHIN } else { SAME_PAGE };
        }
        let Some(label) = alternatives.first().and_then(|a| Label::parse(&a.page)) else {
            return 0.0;
        };
        let within = entry.interval.as_ref().is_some_and(|(first, last)| {
            Label::parse(first).is_some_and(|f| f <= label)
                && Label::parse(last).is_some_and(|l| label <= l)
        });
        if within { WITHIN } else { ELSEWHERE }
    }
}

impl Entry {
    /// A preface, of the collection or of a single day.
    pub(super) fn is_preface(&self) -> bool {
        self.place.is_under("order/preface") || self.is_day_preface()
    }
}

/// Whether a title says "preface", in any language of the outlines: Preface, Prefacio, Praefatio, Präfation …
fn names_preface(title: &str) -> bool {
    const BEGINNINGS: [&str; 3] = ["pref", "praef", "praf"];
    let says = |w: &Word| match w {
        Word::Plain(word) => BEGINNINGS.iter().any(|b| word.starts_with(b)),
        _ => false,
    };
    words(title).iter().any(says)
}
