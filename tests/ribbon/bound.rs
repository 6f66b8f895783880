//! What a person binds: the programme against the plain methods and against trying all, and plans that keep it.

use super::choices::{agree, combinations, services};
use super::horizon::weeks;
use super::optimum::{by_enumeration, movements, runner};
use super::plans::{SIX, edition, lent_commemoration, need};
use super::services::serve;
use proptest::prelude::*;
use vitta::book::Book;
use vitta::order::Stand;
use vitta::place::Place;
use vitta::ribbon::costs::Costs;
use vitta::ribbon::solve::choose::{Choice, Text, choose, clients};
use vitta::ribbon::solve::horizon::{Row, course};
use vitta::ribbon::solve::programme::{Bundle, Problem, solve};
use vitta::ribbon::solve::{Client, Movement};
use vitta::ribbon::{Move, Occasion, OnTable, Plan, plan, plan_table, plan_week};

fn free(ribbons: &[usize]) -> Vec<Bundle> {
    ribbons.iter().map(|&free| Bundle { free, bound: vec![] }).collect()
}

fn one_service<'a>(
    services: &'a [Vec<Text>],
    movement: &'a Movement,
    books: &'a [Bundle],
) -> Problem<'a> {
    Problem { services, movement, books, relay: 0, before: None, apart: None }
}

/// Where no ribbon is bound both methods apply.
#[test]
fn the_programme_and_the_plain_choice_agree_on_two_books() {
    runner(600)
        .run(&(movements(), services()), |(movement, texts)| {
            for ribbons in [[0, 0], [1, 1], [2, 1]] {
                let services = [texts.clone()];
                let answer = solve(&one_service(&services, &movement, &free(&ribbons))).unwrap();
                prop_assert!(answer.proven);
                prop_assert_eq!(answer.cost, choose(&texts, &movement, &ribbons).cost);
                prop_assert!(agree(&texts, &answer.services[0].choices));
            }
            Ok(())
        })
        .unwrap();
}

/// One book, services in a row, each text at one place: the row's own method applies too.
#[test]
fn the_programme_and_the_row_agree_on_one_book() {
    runner(200)
        .run(
            &(movements(), weeks(3, 3, 5), 0usize..3, 0u64..200),
            |(movement, days, ribbons, relay)| {
                // What a text costs without a ribbon is what the texts before leave it at.
                let text = |c: &Client| Text {
                    weight: c.weight,
                    stand: (c.alternative % 2) as u8,
                    choices: vec![Choice {
                        book: 0,
                        rank: 0,
                        opening: c.opening,
                        ends: c.opening,
                        extra: 0,
                        by_mark: c.alternative,
                    }],
                    together: None,
                };
                let texts: Vec<Vec<Text>> =
                    days.iter().map(|d| d.iter().map(text).collect()).collect();
                let own = |t: &Vec<Text>| clients(t, &movement, &vec![0; t.len()], 0).0;
                let services: Vec<Vec<Client>> = texts.iter().map(own).collect();
                let books = free(&[ribbons]);
                let problem = Problem { relay, ..one_service(&texts, &movement, &books) };
                let row =
                    Row { services: &services, movement: &movement, ribbons, relay, before: None };
                let answer = solve(&problem).unwrap();
                prop_assert_eq!(answer.cost, course(&row).cost);
                prop_assert_eq!(problem.cost(&answer.services), answer.cost);
                Ok(())
            },
        )
        .unwrap();
}

/// A bound ribbon and one free in the first book, one free in the other, against trying all.
#[test]
fn a_bound_ribbon_equals_trying_all() {
    let places = prop::collection::btree_set(0i32..9, 1..4);
    runner(500)
        .run(&(movements(), services(), places), |(movement, texts, places)| {
            let places: Vec<i32> = places.into_iter().collect();
            let mut least = u64::MAX;
            for made in combinations(&texts).filter(|m| agree(&texts, m)) {
                let extra: u64 = texts.iter().zip(&made).map(|(t, &c)| t.choices[c].extra).sum();
                let other =
                    by_enumeration(&clients(&texts, &movement, &made, 1).0, &movement, 1, (0, 8));
                for &at in &places {
                    let mut own = clients(&texts, &movement, &made, 0).0;
                    for c in &mut own {
                        let by_bound = movement.pull() + movement.walk(at.abs_diff(c.opening));
                        c.alternative = c.alternative.min(by_bound);
                    }
                    least = least.min(extra + other + by_enumeration(&own, &movement, 1, (0, 8)));
                }
            }
            let services = [texts.clone()];
            let books = [
                Bundle { free: 1, bound: vec![places.clone()] },
                Bundle { free: 1, bound: vec![] },
            ];
            let answer = solve(&one_service(&services, &movement, &books)).unwrap();
            prop_assert_eq!(answer.cost, least);
            prop_assert!(places.contains(&answer.services[0].books[0].bound[0]));
            Ok(())
        })
        .unwrap();
}

fn bound(colour: &str, section: &str) -> Book {
    let mut book = edition(SIX);
    let ribbon = book.ribbons.iter_mut().find(|r| r.colour == colour).unwrap();
    ribbon.stays = Some(Place::new(section).unwrap());
    book
}

fn at<'a>(plan: &'a Plan, colour: &str) -> Option<&'a str> {
    plan.ribbons.iter().find(|r| r.ribbon == colour).map(|r| r.place.as_str())
}

#[test]
fn a_ribbon_stays_in_its_section() {
    let laid = |section, ribbons| {
        plan(&lent_commemoration(), &bound("blue", section), Some(ribbons), &Costs::default())
            .unwrap()
    };
    for ribbons in 1..=6 {
        let plan = laid("order", ribbons);
        assert!(at(&plan, "blue").unwrap().starts_with("order/"), "{ribbons}");
        assert_eq!(plan.cost - plan.apart, plan.lower_bound, "{ribbons}");
        assert!(plan.ribbons.len() <= ribbons);
    }
    // Nothing is read there: it lies where the section begins.
    assert_eq!(at(&laid("votive", 6), "blue"), Some("votive"));
    // Laid where it would lie in any case it costs nothing.
    let usual = plan(&lent_commemoration(), &edition(SIX), None, &Costs::default()).unwrap();
    assert_eq!(laid("order", 6).lower_bound, usual.lower_bound);
    assert!(laid("votive", 6).lower_bound > usual.lower_bound);
}

#[test]
fn a_section_that_the_book_has_not_is_refused() {
    let mut book = bound("blue", "votive");
    book.entries.retain(|e| !e.place.is_under("votive"));
    let refused = plan(&lent_commemoration(), &book, None, &Costs::default()).unwrap_err();
    assert!(refused.to_string().contains("blue ribbon of \"altar\""), "{refused}");
}

#[test]
fn a_torn_ribbon_is_not_laid() {
    let mut book = edition(SIX);
    book.ribbons[2].torn = true;
    let plan_torn = plan(&lent_commemoration(), &book, None, &Costs::default()).unwrap();
    assert_eq!(at(&plan_torn, "gold"), None);
    assert_eq!(plan_torn.available, 5);
    let five = plan(&lent_commemoration(), &edition(SIX), Some(5), &Costs::default()).unwrap();
    assert_eq!((plan_torn.cost, plan_torn.ribbons.len()), (five.cost, five.ribbons.len()));
}

#[test]
fn a_text_on_a_sheet_leaves_its_ribbon_to_others() {
    let mut service = lent_commemoration();
    service.needs[5].on_sheet = true;
    let on_sheet = plan(&service, &edition(SIX), None, &Costs::default()).unwrap();
    assert_eq!((&on_sheet.stops[5].hand, &on_sheet.stops[5].page), (&Move::OnSheet, &None));
    assert!(on_sheet.ribbons.iter().all(|r| !r.place.is_under("order/preface")));
    assert!(on_sheet.notices.is_empty(), "it is as was asked for: {:?}", on_sheet.notices);
}

#[test]
fn no_ribbon_is_laid_for_what_shall_have_none() {
    let mut service = lent_commemoration();
    service.needs.push(need("solemn-blessing", Stand::Chair, 5, "order/blessing/passion"));
    let at_blessing = |p: &Plan| p.ribbons.iter().any(|r| r.place.is_under("order/blessing"));
    let usual = plan(&service, &edition(SIX), Some(8), &Costs::default()).unwrap();
    assert!(at_blessing(&usual));
    service.needs.last_mut().unwrap().no_ribbon = true;
    let asked = plan(&service, &edition(SIX), Some(8), &Costs::default()).unwrap();
    assert!(!at_blessing(&asked));
}

/// The green ribbon stays in the Order of Mass through the week, and never leaves it.
#[test]
fn a_bound_ribbon_stays_through_the_week() {
    let days: Vec<_> = (20..27).map(|day| serve(&format!("2027-06-{day}"), None)).collect();
    let occasions: Vec<Occasion> = days
        .iter()
        .map(|(day, service)| Occasion { date: day.date, evening: false, service })
        .collect();
    let book = bound("green", "order");
    let table = [OnTable { book: &book, ribbons: 4, stands: &[] }];
    let week = plan_week(&occasions, &table, &Costs::default()).unwrap();
    assert_eq!(week.cost - week.apart, week.lower_bound);
    for mass in &week.masses {
        assert!(at(&mass.plan, "green").unwrap().starts_with("order"), "{}", mass.date);
    }
    let plans: u64 = week.masses.iter().map(|m| m.plan.cost).sum();
    assert_eq!(week.cost, plans + 100 * week.moved() as u64);
}

/// Two whole books at every Mass of a year's feasts: what is chosen is proven.
#[test]
fn two_whole_books_are_laid_with_proof() {
    let (one, mut other) = (edition(SIX), edition(&["brown", "black"]));
    other.name = "chapel".into();
    let at = |book, ribbons| OnTable { book, ribbons, stands: &[] };
    for (date, choice) in [
        ("2027-02-21", None),
        ("2027-03-27", Some("time/triduum/vigil")),
        ("2027-06-29", None),
        ("2027-09-04", Some("ritual/marriage")),
    ] {
        let (_, service) = serve(date, choice);
        let plan = plan_table(&service, &[at(&one, 3), at(&other, 2)], &Costs::default()).unwrap();
        assert_eq!(plan.cost - plan.apart, plan.lower_bound, "{date}");
    }
}
