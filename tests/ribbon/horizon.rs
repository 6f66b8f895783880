//! Several services in a row, against plain enumeration and against an integer programme.

use super::optimum::{movements, runner};
use super::programme;
use proptest::prelude::*;
use vitta::ribbon::solve::horizon::{Course, Row, course};
use vitta::ribbon::solve::{Client, Movement, solve};

pub fn weeks(days: usize, texts: usize, reach: i32) -> impl Strategy<Value = Vec<Vec<Client>>> {
    let text = (0..reach, 1u16..6, 0u32..120).prop_map(|(opening, weight, alternative)| Client {
        opening,
        weight,
        alternative,
    });
    prop::collection::vec(prop::collection::vec(text, 0..=texts), 1..=days)
}

/// Every course over openings 0..reach, by trying all.
fn by_enumeration(row: &Row, reach: i32) -> u64 {
    let mut sets: Vec<Vec<i32>> = vec![vec![]];
    for o in 0..reach {
        let with: Vec<Vec<i32>> = sets.iter().map(|s| [s.as_slice(), &[o]].concat()).collect();
        sets.extend(with);
    }
    sets.retain(|s| s.len() <= row.ribbons);
    let mut courses: Vec<Vec<Vec<i32>>> = vec![vec![]];
    for _ in row.services {
        courses = courses
            .iter()
            .flat_map(|c| {
                sets.iter().map(move |s| [c.as_slice(), std::slice::from_ref(s)].concat())
            })
            .collect();
    }
    courses.iter().map(|c| row.cost(c)).min().unwrap()
}

fn assert_sound(row: &Row, course: &Course) {
    assert_eq!(row.cost(&course.layings), course.cost, "{course:?}");
    assert_eq!(course.lower_bound, course.cost, "{course:?}");
    assert!(course.layings.iter().all(|l| l.len() <= row.ribbons), "{course:?}");
}

#[test]
fn three_services_equal_enumeration_and_the_integer_programme() {
    let strategy = (movements(), weeks(3, 3, 5), 0usize..3, 0u64..200, any::<bool>());
    runner(400)
        .run(&strategy, |(movement, services, ribbons, relay, laid)| {
            let before: &[i32] = if laid && ribbons > 0 { &[2] } else { &[] };
            let before = laid.then_some(before);
            let row = Row { services: &services, movement: &movement, ribbons, relay, before };
            let course = course(&row);
            assert_sound(&row, &course);
            prop_assert_eq!(course.cost, by_enumeration(&row, 5));
            prop_assert_eq!(programme::least(&row), course.cost);
            Ok(())
        })
        .unwrap();
}

#[test]
fn whole_weeks_agree_with_the_integer_programme() {
    runner(4)
        .run(&(movements(), weeks(7, 8, 700), 0u64..800), |(movement, mut services, relay)| {
            // The Order of Mass is the same every day: half the texts are shared.
            let shared = services[0].clone();
            for day in services.iter_mut().skip(1) {
                day.truncate(3);
                day.extend(shared.iter().take(4));
            }
            let row =
                Row { services: &services, movement: &movement, ribbons: 3, relay, before: None };
            let course = course(&row);
            assert_sound(&row, &course);
            prop_assert_eq!(programme::least(&row), course.cost);
            Ok(())
        })
        .unwrap();
}

#[test]
fn a_relay_that_costs_nothing_leaves_each_service_its_own_optimum() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = |opening| Client { opening, weight: 3, alternative: 15 };
    let services = [vec![text(3), text(9)], vec![text(20)], vec![text(9), text(40)]];
    let row = Row { services: &services, movement: &movement, ribbons: 1, relay: 0, before: None };
    let each: u64 = services.iter().map(|s| solve(s, &movement, 1).cost(1)).sum();
    assert_eq!(course(&row).cost, each);
}

/// Worked by hand. One ribbon, two services of one text each, at 10 and at 30, weight 1, a search 15, a
/// pull 5. Moving the ribbon saves 15 − 5 = 10 at the second service: worth it for a relay of 9
/// (5 + 9 + 5 = 19), not for one of 11 (5 + 15 = 20).
#[test]
fn a_ribbon_is_moved_when_that_saves_more_than_the_relay() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = |opening| Client { opening, weight: 1, alternative: 15 };
    let services = [vec![text(10)], vec![text(30)]];
    let row =
        |relay| Row { services: &services, movement: &movement, ribbons: 1, relay, before: None };
    let moved = course(&row(9));
    assert_eq!((moved.cost, moved.layings), (19, vec![vec![10], vec![30]]));
    let kept = course(&row(11));
    assert_eq!(kept.cost, 20);
    assert!(kept.layings[1] == kept.layings[0] || kept.layings[1].is_empty(), "{kept:?}");
}

/// Thirteen ribbons are more than any book has; what is not looked at is said.
#[test]
fn more_ribbons_than_a_book_has_leave_a_bound() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let texts: Vec<Client> =
        (0..14).map(|o| Client { opening: o * 9, weight: 1, alternative: 15 }).collect();
    let services = [texts];
    let row = Row { services: &services, movement: &movement, ribbons: 13, relay: 1, before: None };
    let course = course(&row);
    assert_eq!((course.cost, course.lower_bound), (12 * 5 + 2 * 15, 13 * 5 + 15));
}
