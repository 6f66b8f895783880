//! The page for the server or master of ceremonies: what he has ready, when the book is held or carried,
//! which ribbon opens it.

use super::layout::lay_out;
use super::steps::{Telling, is_read};
use super::{Card, Step};
use crate::calendar::Day;
use crate::language::Language;
use crate::order::{Service, Stand};
use crate::ribbon::{Move, Plan, Stop};

/// The page in `language`. It is a card like the priest's, with the server's own steps.
pub fn lay_out_server(day: &Day, service: &Service, plan: &Plan, language: Language) -> Card {
    let mut card = lay_out(day, service, plan, language);
    card.headings.steps = language.either("For the server", "Para el que ayuda").to_owned();
    card.headings.ribbons = language.either("Before Mass", "Antes de la Misa").to_owned();
    (card.reasons, card.worth) = (vec![], vec![]);
    card.steps = steps(&plan.stops, language);
    card
}

fn steps(stops: &[Stop], language: Language) -> Vec<Step> {
    let mut telling = Telling::of(stops, language);
    let mut steps: Vec<Step> = vec![];
    let mut last: Option<&Stop> = None;
    // For what the priest says by heart there is nothing to do.
    let asked = stops.iter().enumerate().filter(|(_, stop)| stop.hand != Move::ByHeart);
    for (index, stop) in asked {
        let mut step = telling.step(index);
        step.or = None;
        if is_read(stop) {
            let fetch = last.and_then(|before| fetch(before, stop, &mut step, language));
            steps.extend(fetch);
            last = Some(stop);
        }
        hold(stop, &mut step, language);
        steps.push(step);
    }
    steps
}

/// The book is carried. The heading of the stand is then this step's.
fn fetch(before: &Stop, stop: &Stop, step: &mut Step, language: Language) -> Option<Step> {
    let say = |english: &str, spanish: &str| language.either(english, spanish).to_owned();
    let what = match (before.book == stop.book, stop.stand) {
        // Another book is there already; the heading names it.
        (false, _) => return None,
        (true, stand) if stand == before.stand => return None,
        (true, Stand::Altar) => say("Take the book to the altar", "Lleve el libro al altar"),
        (true, Stand::Chair) => say("Bring the book to the chair", "Traiga el libro a la sede"),
        (true, Stand::Ambo) => say("Take the book to the ambo", "Lleve el libro al ambón"),
        (true, Stand::Font) => say("Take the book to the font", "Lleve el libro a la fuente"),
        (true, _) => say("Take the book along", "Lleve el libro consigo"),
    };
    Some(Step {
        stand: step.stand.take(),
        moment: what,
        text: String::new(),
        page: None,
        hand: String::new(),
        ribbon: None,
        or: None,
        doubt: false,
        by_heart: false,
    })
}

/// At the altar the book lies on its stand, elsewhere the server holds it.
fn hold(stop: &Stop, step: &mut Step, language: Language) {
    let say = |english: &str, spanish: &str| language.either(english, spanish).to_owned();
    let held = stop.stand != Stand::Altar;
    step.hand = match &stop.hand {
        Move::NotHere | Move::OnSheet => say("have the sheet ready", "tenga lista la hoja"),
        Move::From { .. } => return,
        _ if !held => return,
        Move::LaidOpen => say("hold it, it lies open", "sosténgalo, ya está abierto"),
        Move::Stay => say("hold it, same opening", "sosténgalo, misma abertura"),
        _ => format!("{}: {}", say("hold it", "sosténgalo"), step.hand),
    };
}
