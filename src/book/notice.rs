//! What a person should know of a map: prints that contradict each other, words that contradict the
//! order of the book.

use super::{Book, Change, Entry, Evidence, Kind, Label, Said, State};

impl Book {
    /// Writes the notices anew.
    pub(super) fn note(&mut self) {
        let mut notices: Vec<String> = self.entries.iter().filter_map(contradiction).collect();
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

    /// Pairs of words of which the later place would stand before the earlier.
    fn words_out_of_order(&self) -> Vec<String> {
        let said = |e: &Entry| match &e.said {
            Some(Said::Page(page)) => Label::parse(page),
            _ => None,
        };
        let words: Vec<(&Entry, Label)> =
            self.entries.iter().filter_map(|e| Some((e, said(e)?))).collect();
        let backwards = words.windows(2).filter(|w| w[0].1 > w[1].1);
        let tell = |w: &[(&Entry, Label)]| {
            format!(
                "{} is said to be on {}, but {}, which should follow it, on {}",
                w[0].0.title, w[0].1, w[1].0.title, w[1].1
            )
        };
        backwards.map(tell).collect()
    }
}

/// A sentence where two prints name different pages for one place.
fn contradiction(entry: &Entry) -> Option<String> {
    let mut told: Vec<(&str, &Evidence)> = Vec::new();
    for reading in &entry.evidence {
        let label = reading.label()?;
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
