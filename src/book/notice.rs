//! What a person should know of a map: prints that contradict each other, words that contradict the
//! order of the book.

use super::lists::Lists;
use super::{Book, Change, Entry, Evidence, Kind, Label, Said, State};

impl Book {
    /// Writes the notices anew.
    pub(super) fn note(&mut self, lists: &Lists) {
        let mut notices: Vec<String> = lists.doubted().map(unbelieved).collect();
        notices.extend(self.entries.iter().filter_map(contradiction));
        notices.extend(self.entries.iter().filter_map(against_the_order));
        notices.extend(self.words_out_of_order());
        notices.extend(self.strange_language());
        self.notices = notices;
    }

    /// A sentence where rows were read that are in no language of the outlines.
    fn strange_language(&self) -> Option<String> {
        let read = self.history.iter().any(|step| matches!(step.what, Change::Read { .. }));
        let strange = read && self.language.is_none() && self.outline.is_some();
        let sentence = "the titles read are in none of the languages that are known (English, Spanish, Latin, \
            French, German, Italian, Portuguese, Polish), so no row was given a place of the outline";
        strange.then(|| sentence.to_owned())
    }

    /// Pairs of words of one season or section that go against the outline's order.
    fn words_out_of_order(&self) -> Vec<String> {
        let outline = self.outlined();
        let said = |e: &Entry| match &e.said {
            Some(Said::Page(page)) => Label::parse(page),
            _ => None,
        };
        let rank = |(at, e): (usize, &Entry)| outline.map_or(Some(at), |o| o.position(&e.place));
        let mut words: Vec<(usize, &Entry, Label)> = self
            .entries
            .iter()
            .enumerate()
            .filter_map(|e| said(e.1).and_then(|label| Some((rank(e)?, e.1, label))))
            .collect();
        words.sort_by_key(|w| w.0);
        let backwards =
            |w: &&[(usize, &Entry, Label)]| w[0].2 > w[1].2 && of_one_part(w[0].1, w[1].1);
        let tell = |w: &[(usize, &Entry, Label)]| {
            format!(
                "{} is said to be on {}, but {}, which should follow it, on {}",
                w[0].1.title, w[0].2, w[1].1.title, w[1].2
            )
        };
        words.windows(2).filter(backwards).map(tell).collect()
    }
}

/// Whether two places have their section and their season, or part of it, in common.
fn of_one_part(a: &Entry, b: &Entry) -> bool {
    let part = |e: &Entry| e.place.as_str().split('/').take(2).collect::<Vec<_>>().join("/");
    part(a) == part(b)
}

/// A sentence on a photograph that the other lists contradict.
fn unbelieved(photo: &str) -> String {
    format!(
        "{photo}: its pages do not agree with the other lists; photograph it again, or look up what it names"
    )
}

/// A sentence where print and the order of the book differ.
fn against_the_order(entry: &Entry) -> Option<String> {
    let (page, reckoned) = (entry.page.as_deref()?, entry.reckoned.as_deref()?);
    let printed = entry.evidence.iter().any(|e| e.label() == Some(page));
    (printed && entry.state == State::Doubtful).then(|| {
        format!(
            "{}: {page} as printed, {reckoned} as reckoned from the rest of the book",
            entry.title
        )
    })
}

/// A sentence where two prints name different pages for one place.
fn contradiction(entry: &Entry) -> Option<String> {
    let mut told: Vec<(&str, &Evidence)> = Vec::new();
    for reading in &entry.evidence {
        let Some(label) = reading.label() else { continue };
        if told.iter().all(|t| t.0 != label) {
            told.push((label, reading));
        }
    }
    let (first, second) = (told.first()?, told.get(1)?);
    let given = match (&entry.page, entry.state) {
        (Some(page), State::Confirmed) => format!("you said {page}"),
        (Some(page), State::Doubtful) => format!("{page} is likelier, look there"),
        (Some(page), _) => format!("the map gives {page}"),
        (None, _) => return None,
    };
    Some(format!(
        "{}: {} says {}, {} says {}; {given}",
        entry.title,
        print(first.1),
        first.0,
        print(second.1),
        second.0
    ))
}

fn print(reading: &Evidence) -> String {
    let what = match reading.kind {
        Kind::List => "the list on",
        Kind::Index => "the index on",
        Kind::Reference => "a day's page on",
    };
    format!("{what} {}", reading.strip.photo)
}
