//! The usual ways to lay ribbons, to show what a plan is worth. All are common practice.

use super::colours::REST;
use super::hand::InBook;
use super::solve::{Client, Movement};
use super::{RuleOfThumb, Stop};
use crate::language::Titles;

/// Adds what each rule costs in this book to `rules`, which begin empty.
pub(super) fn compare(
    here: &InBook,
    stops: &[Stop],
    movement: &Movement,
    ribbons: usize,
    rules: &mut Vec<RuleOfThumb>,
) {
    let roles = here.roles(stops);
    let texts: Vec<(&Client, usize)> = here.clients.iter().zip(roles).collect();
    let costs = [first_places(texts.iter(), ribbons), by_section(&texts, ribbons)]
        .map(|openings| movement.cost(&here.clients, &openings));
    if rules.is_empty() {
        rules.extend(names().map(|rule| RuleOfThumb { rule, cost: 0 }));
    }
    for (rule, cost) in rules.iter_mut().zip(costs) {
        rule.cost += cost;
    }
}

fn names() -> [Titles; 2] {
    let title = |en: &str, es: &str| Titles { en: en.into(), es: Some(es.into()), la: None };
    [
        title("the first texts of the service", "los primeros textos de la Misa"),
        title(
            "the day's Mass, the preface, the Eucharistic Prayer, the Order of Mass",
            "la Misa del día, el prefacio, la Plegaria, el Ordinario",
        ),
    ]
}

/// The openings of the first texts, each once.
fn first_places<'a>(
    texts: impl Iterator<Item = &'a (&'a Client, usize)>,
    ribbons: usize,
) -> Vec<i32> {
    let mut openings = vec![];
    for (client, _) in texts {
        if openings.len() < ribbons && !openings.contains(&client.opening) {
            openings.push(client.opening);
        }
    }
    openings
}

/// One ribbon at the first text of each section, in the sections' order.
fn by_section(texts: &[(&Client, usize)], ribbons: usize) -> Vec<i32> {
    let sections = (0..=REST).filter_map(|role| texts.iter().find(|t| t.1 == role));
    first_places(sections, ribbons)
}
