//! A plan, its service and its day become a card: everything in words, nothing left for the writers to
//! decide.

use super::steps::steps;
use super::words;
use super::{Card, Line};
use crate::book::PageState;
use crate::calendar::Day;
use crate::language::Language;
use crate::order::Service;
use crate::ribbon::{Deeds, Laid, Move, Plan, Stop};

/// The card in `language`.
pub fn lay_out(day: &Day, service: &Service, plan: &Plan, language: Language) -> Card {
    let books = books(plan.stops.iter());
    let several = books.len() > 1;
    Card {
        language,
        date: language.date(day.date),
        celebration: service.celebration.get(language).to_owned(),
        particulars: particulars(day, service, language),
        book: books.join(", "),
        open_at: open_at(plan, several, language),
        ribbons: plan.ribbons.iter().map(|r| ribbon(r, several, language)).collect(),
        steps: steps(&plan.stops, language),
        notices: words::notices(plan.notices.iter(), language),
        reasons: reasons(day, service, language),
        worth: worth(plan, several, language),
        headings: words::headings(language, plan.ribbons.is_empty()),
        dark: service.mass.is_under("time/triduum/vigil"),
        caution: words::caution(language),
    }
}

/// Rank, colour and season of what is celebrated.
pub(super) fn particulars(day: &Day, service: &Service, language: Language) -> String {
    words::particulars_of_mass(day, &service.said, language)
}

/// Names of the books that anything is read from, each once.
pub(super) fn books<'a>(stops: impl Iterator<Item = &'a Stop>) -> Vec<&'a str> {
    let mut books: Vec<&str> = vec![];
    for stop in stops.filter(|s| super::steps::is_read(s)) {
        if !books.contains(&stop.book.as_str()) {
            books.push(&stop.book);
        }
    }
    books
}

fn open_at(plan: &Plan, several: bool, language: Language) -> Vec<Line> {
    let laid_open = plan.stops.iter().filter(|s| s.hand == Move::LaidOpen);
    let line = |s: &Stop| Line {
        colour: String::new(),
        page: s.page.clone().unwrap_or_default(),
        text: s.text.get(language).to_owned(),
        book: several.then(|| s.book.clone()),
        doubt: s.doubt && s.state != PageState::Reckoned,
    };
    laid_open.map(line).collect()
}

fn ribbon(laid: &Laid, several: bool, language: Language) -> Line {
    Line {
        colour: words::ribbon_name(&laid.ribbon, language),
        page: laid.page.clone(),
        text: laid.text.get(language).to_owned(),
        book: several.then(|| laid.book.clone()),
        doubt: laid.doubt && laid.state != PageState::Reckoned,
    }
}

/// Why this day, what gives way and what may be chosen, each sentence once.
pub fn reasons(day: &Day, service: &Service, language: Language) -> Vec<String> {
    let displaced = day.displaced.iter().map(|d| &d.reason);
    let mut all: Vec<String> = vec![];
    let notes = service.notes.iter().map(|n| n.get(language));
    for reason in day.reasons.iter().chain(displaced).map(String::as_str).chain(notes) {
        if all.iter().all(|told| told != reason) {
            all.push(reason.to_owned());
        }
    }
    all
}

/// What the hand does, whether another laying asks less of it, and what another number of ribbons would change.
fn worth(plan: &Plan, several: bool, language: Language) -> Vec<String> {
    let mut lines = vec![format!("{}.", words::deeds(Deeds::of(&plan.stops), language))];
    let n = plan.available;
    let ribbons = match (n, language) {
        (1, Language::Es) => "1 cinta".to_owned(),
        (1, _) => "1 ribbon".to_owned(),
        (_, Language::Es) => format!("{n} cintas"),
        _ => format!("{n} ribbons"),
    };
    let say =
        |english: String, spanish: String| if language == Language::Es { spanish } else { english };
    lines.extend(match (plan.cost.saturating_sub(plan.lower_bound), plan.apart) {
        _ if n == 0 => None,
        (0, _) => Some(say(
            format!("For the texts that must be read, weighed by their moments, no laying of {ribbons} asks less of the hand (proven)."),
            format!("Para los textos que deben leerse, según el peso de su momento, ninguna disposición de {ribbons} pide menos a la mano (demostrado)."),
        )),
        (more, apart) if more == apart => Some(say(
            "Only ribbons within a leaf of each other would ask a little less.".into(),
            "Solo cintas a una hoja una de otra pedirían algo menos.".into(),
        )),
        _ => Some(say(
            "Not every choice could be tried: another laying may ask less.".into(),
            "No se pudo probar todo: otra disposición puede pedir menos.".into(),
        )),
    });
    match &plan.one_more {
        Some(more) => lines.push(words::other_number(more, true, several, language)),
        None if plan.saved_by_one_more == 0 => {
            lines.push(say(
                "More ribbons would change nothing.".into(),
                "Más cintas no cambiarían nada.".into(),
            ));
        }
        None => {}
    }
    let fewer = plan.one_fewer.iter().filter(|_| n > 0);
    lines.extend(fewer.map(|f| words::other_number(f, false, several, language)));
    lines
}
