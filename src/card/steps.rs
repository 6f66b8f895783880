//! The stops of a plan become the steps of a card. What was said once is not said again: the text of a page
//! named above, the book of a stand.

use super::Step;
use super::words;
use crate::book::PageState;
use crate::language::Language;
use crate::order::Stand;
use crate::place::Place;
use crate::ribbon::{Move, Stop};

/// The moments in order; neighbours known by heart are drawn together into one line.
pub(super) fn steps(stops: &[Stop], language: Language) -> Vec<Step> {
    let mut telling = Telling::of(stops, language);
    let mut steps: Vec<Step> = vec![];
    for index in 0..stops.len() {
        let next = telling.step(index);
        match steps.last_mut() {
            Some(last) if last.by_heart && next.by_heart && next.stand.is_none() => {
                last.moment = format!("{}, {}", last.moment, next.moment);
            }
            _ => steps.push(next),
        }
    }
    steps
}

/// Whether a book is opened for it.
pub(super) fn is_read(stop: &Stop) -> bool {
    !matches!(stop.hand, Move::ByHeart | Move::OnSheet | Move::From { .. } | Move::NotHere)
}

/// What has been said so far.
pub(super) struct Telling<'a> {
    stops: &'a [Stop],
    language: Language,
    /// Texts come from several books.
    several: bool,
    stand: Option<Stand>,
    /// The book named last.
    book: &'a str,
    named: Vec<(&'a Place, &'a str)>,
}

impl<'a> Telling<'a> {
    pub fn of(stops: &'a [Stop], language: Language) -> Self {
        let mut books = stops.iter().filter(|s| is_read(s)).map(|s| s.book.as_str());
        let first = books.next().unwrap_or("");
        let several = books.any(|b| b != first);
        Telling { stops, language, several, stand: None, book: "", named: vec![] }
    }

    /// The step of the `index`-th stop.
    pub fn step(&mut self, index: usize) -> Step {
        let stop = &self.stops[index];
        let mut step = plain(stop, self.language);
        if self.stand != Some(stop.stand) {
            step.stand = Some(self.heading(index));
            self.stand = Some(stop.stand);
        }
        if !is_read(stop) {
            return step;
        }
        if self.named.contains(&(&stop.place, stop.book.as_str())) {
            step.text = String::new();
        } else {
            self.named.push((&stop.place, &stop.book));
        }
        if self.several && self.book != stop.book {
            step.moment = format!("{} ({})", step.moment, stop.book);
        }
        step
    }

    /// The stand, with the book first used there where there are several.
    fn heading(&mut self, index: usize) -> String {
        let stand = self.stops[index].stand;
        let there = self.stops[index..].iter().take_while(|s| s.stand == stand);
        let book = there.filter(|s| is_read(s)).map(|s| s.book.as_str()).next();
        let name = words::stand(stand, self.language);
        match book.filter(|_| self.several) {
            Some(book) => {
                self.book = book;
                format!("{name} · {book}")
            }
            None => name.to_owned(),
        }
    }
}

/// A stop by itself.
fn plain(stop: &Stop, language: Language) -> Step {
    let by_heart = stop.hand == Move::ByHeart;
    let elsewhere = matches!(stop.hand, Move::From { .. });
    let text = if elsewhere { "" } else { stop.text.get(language) };
    let (mut moment, text) = named(stop.title.get(language), text);
    if stop.optional {
        moment = format!("{moment} ({})", language.either("optional", "facultativo"));
    }
    let ribbon = match &stop.hand {
        Move::Pull { ribbon, .. } => Some(ribbon.clone()),
        _ => None,
    };
    Step {
        stand: None,
        moment,
        text: if by_heart { String::new() } else { text },
        page: stop.page.clone().filter(|_| !by_heart),
        hand: words::hand(stop, language),
        ribbon,
        or: others(stop, language),
        doubt: stop.doubt && stop.state != PageState::Reckoned && !by_heart,
        by_heart,
    }
}

/// Nothing is said twice: beside "Eucharistic Prayer II" no "Eucharistic Prayer" need stand, nor "The Communion
/// Rite" beside "The Lord’s Prayer and Communion Rite".
pub(super) fn named(moment: &str, text: &str) -> (String, String) {
    let (said, of) = (bare(moment), bare(text));
    match (of.starts_with(&said), said.contains(&of)) {
        (true, _) => (text.to_owned(), String::new()),
        (_, true) => (moment.to_owned(), String::new()),
        _ => (moment.to_owned(), text.to_owned()),
    }
}

/// In lower case, without the article.
fn bare(title: &str) -> String {
    let lower = title.to_lowercase();
    let articles = ["the ", "el ", "la ", "los ", "las "];
    articles.iter().find_map(|a| lower.strip_prefix(a)).unwrap_or(&lower).to_owned()
}

/// At most two of the others: a card is read at a glance.
fn others(stop: &Stop, language: Language) -> Option<String> {
    let one = |o: &crate::ribbon::Other| words::or(o.text.get(language), &o.page, language);
    let some: Vec<String> = stop.others.iter().take(2).map(one).collect();
    let more = if stop.others.len() > 2 { "\u{a0}…" } else { "" };
    (!some.is_empty()).then(|| some.join("; ") + more)
}
