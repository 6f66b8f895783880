//! A plan, its service and its day become a card: everything in words, nothing left for the writers to
//! decide.

use super::steps::steps;
use super::words;
use super::{Card, Line};
use crate::book::PageState;
use crate::calendar::Day;
use crate::language::Language;
use crate::order::Service;
use crate::ribbon::{Laid, Move, Plan, Stop};

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
        notices: plan.notices.iter().map(|n| n.say(language)).collect(),
        reasons: reasons(day, service, language),
        worth: worth(plan, language),
        headings: words::headings(language),
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

/// What the plan costs, its proof, and what other ways would cost.
fn worth(plan: &Plan, language: Language) -> Vec<String> {
    let [cost, more, fewer, without] =
        [plan.cost, plan.saved_by_one_more, plan.cost_with_one_fewer, plan.cost_without]
            .map(|c| words::leaves(c, language));
    let n = plan.available;
    let proven = plan.lower_bound >= plan.cost;
    let mut lines = match language {
        Language::Es => vec![
            match proven {
                true => format!(
                    "Cuesta como pasar {cost} hojas; con {n} cintas nada cuesta menos (demostrado)."
                ),
                false => format!(
                    "Cuesta como pasar {cost} hojas; a lo sumo sobran {}.",
                    words::leaves(plan.cost - plan.lower_bound, language)
                ),
            },
            match plan.saved_by_one_more {
                0 => format!("Más cintas no ahorrarían nada; sin cintas, {without}."),
                _ => format!(
                    "Una cinta más ahorraría {more}; con una menos costaría {fewer}; sin cintas, {without}."
                ),
            },
        ],
        _ => vec![
            match proven {
                true => format!(
                    "It costs as much as turning {cost} leaves; with {n} ribbons nothing costs less (proven)."
                ),
                false => format!(
                    "It costs as much as turning {cost} leaves; at most {} of them too many.",
                    words::leaves(plan.cost - plan.lower_bound, language)
                ),
            },
            match plan.saved_by_one_more {
                0 => {
                    format!("More ribbons would save nothing; without any it would cost {without}.")
                }
                _ => format!(
                    "One ribbon more would save {more}; with one fewer it would cost {fewer}; without any, {without}."
                ),
            },
        ],
    };
    lines.extend(plan.sheet.iter().map(|s| {
        let (text, saves) = (s.text.get(language), words::leaves(s.saves, language));
        match language {
            Language::Es => {
                format!("Copiar en una hoja «{text}» (p. {}) ahorraría {saves}.", s.page)
            }
            _ => format!("Copying {text} (p. {}) onto a sheet would save {saves}.", s.page),
        }
    }));
    lines.extend(plan.rules_of_thumb.iter().filter(|r| r.cost > plan.cost).map(|r| {
        let usual = language.either("The usual way", "La costumbre");
        format!("{usual} ({}): {}.", r.rule.get(language), words::leaves(r.cost, language))
    }));
    lines
}
