//! The optimum of one book, against plain enumeration and against its own certificate.

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use vitta::ribbon::solve::dual::{Certificate, bound, certify};
use vitta::ribbon::solve::{Client, Movement, solve, solve_apart};

/// The same instances on every run.
pub fn runner(cases: u32) -> TestRunner {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

/// Walks that never fall and grow ever more slowly, from steps sorted downwards.
pub fn movements() -> impl Strategy<Value = Movement> {
    (prop::collection::vec(0u32..30, 0..7), 0u32..40).prop_map(|(mut steps, pull)| {
        steps.sort_unstable_by(|a, b| b.cmp(a));
        let mut walk = vec![0];
        for step in steps {
            walk.push(walk[walk.len() - 1] + step);
        }
        Movement::new(walk, pull).unwrap()
    })
}

fn texts(most: usize, reach: i32) -> impl Strategy<Value = Vec<Client>> {
    let one = (-2..reach, 0u16..6, 0u32..120).prop_map(|(opening, weight, alternative)| Client {
        opening,
        weight,
        alternative,
    });
    prop::collection::vec(one, 0..=most)
}

/// No two ribbons within a leaf of each other: as cheap as any such laying at the texts, and laid so.
#[test]
fn ribbons_kept_apart_equal_enumeration() {
    fn extend(clients: &[Client], movement: &Movement, left: usize, laid: &mut Vec<i32>) -> u64 {
        let mut least = movement.cost(clients, laid);
        for at in clients.iter().map(|c| c.opening).filter(|_| left > 0) {
            if laid.last().is_none_or(|&last| at > last + 1) {
                laid.push(at);
                least = least.min(extend(clients, movement, left - 1, laid));
                laid.pop();
            }
        }
        least
    }
    runner(1_000)
        .run(&(movements(), texts(6, 12)), |(movement, clients)| {
            for ribbons in 0..4 {
                let optima = solve_apart(&clients, &movement, ribbons, 1);
                let least = extend(&clients, &movement, ribbons, &mut vec![]);
                prop_assert_eq!(optima.cost(ribbons), least);
                let laid = optima.openings(ribbons);
                prop_assert!(laid.len() <= ribbons && laid.windows(2).all(|w| w[1] > w[0] + 1));
                prop_assert_eq!(movement.cost(&clients, &laid), least);
            }
            Ok(())
        })
        .unwrap();
}

/// The least cost of `ribbons` ribbons anywhere in `from..=to`, by trying every laying.
pub fn by_enumeration(
    clients: &[Client],
    movement: &Movement,
    ribbons: usize,
    (from, to): (i32, i32),
) -> u64 {
    fn extend(
        clients: &[Client],
        movement: &Movement,
        left: usize,
        (from, to): (i32, i32),
        laid: &mut Vec<i32>,
    ) -> u64 {
        let mut least = movement.cost(clients, laid);
        if left > 0 {
            for at in from..=to {
                laid.push(at);
                least = least.min(extend(clients, movement, left - 1, (at + 1, to), laid));
                laid.pop();
            }
        }
        least
    }
    extend(clients, movement, ribbons, (from, to), &mut vec![])
}

/// What must hold of every answer, whatever the instance.
fn assert_sound(clients: &[Client], movement: &Movement, most: usize) {
    let optima = solve(clients, movement, most + 1);
    for k in 0..=most {
        let laid = optima.openings(k);
        assert!(laid.len() <= k, "{k} ribbons: {laid:?}");
        assert_eq!(movement.cost(clients, &laid), optima.cost(k), "{k} ribbons at {laid:?}");
        let price = optima.cost(k) - optima.cost(k + 1);
        let certificate = certify(clients, movement, price);
        assert_eq!(bound(clients, movement, k, &certificate), Some(optima.cost(k)), "{k} ribbons");
        if k > 0 {
            assert!(optima.cost(k - 1) - optima.cost(k) >= price, "not convex at {k}");
        }
    }
}

#[test]
fn ten_thousand_random_services_equal_enumeration() {
    let strategy = (movements(), texts(6, 9));
    runner(10_000)
        .run(&strategy, |(movement, clients)| {
            let optima = solve(&clients, &movement, 3);
            for k in 0..=3 {
                // Two openings beyond the texts on either side: none is ever better.
                let least = by_enumeration(&clients, &movement, k, (-4, 11));
                prop_assert_eq!(optima.cost(k), least, "{} ribbons", k);
            }
            assert_sound(&clients, &movement, 6);
            Ok(())
        })
        .unwrap();
}

#[test]
fn every_service_of_three_texts_on_six_openings_equals_enumeration() {
    let movement = Movement::new(vec![0, 4, 7, 9, 10], 3).unwrap();
    let choices: Vec<Client> = (0..6)
        .flat_map(|opening| [(1, 10), (3, 5), (2, 2)].map(|(w, a)| (opening, w, a)))
        .map(|(opening, weight, alternative)| Client { opening, weight, alternative })
        .collect();
    for a in &choices {
        for b in &choices {
            for c in &choices {
                let clients = [*a, *b, *c];
                let optima = solve(&clients, &movement, 3);
                for k in 0..=3 {
                    let least = by_enumeration(&clients, &movement, k, (0, 5));
                    assert_eq!(optima.cost(k), least, "{k} ribbons for {clients:?}");
                }
                assert_sound(&clients, &movement, 3);
            }
        }
    }
}

#[test]
fn long_services_carry_their_certificate_and_no_random_laying_beats_them() {
    let strategy = (movements(), texts(30, 700), prop::collection::vec(-2..700, 8));
    runner(2_000)
        .run(&strategy, |(movement, clients, anywhere)| {
            assert_sound(&clients, &movement, 9);
            let optima = solve(&clients, &movement, 8);
            prop_assert!(movement.cost(&clients, &anywhere) >= optima.cost(8));
            Ok(())
        })
        .unwrap();
}

#[test]
fn no_texts_cost_nothing() {
    let movement = Movement::new(vec![0, 10], 5).unwrap();
    let optima = solve(&[], &movement, 4);
    assert_eq!((optima.cost(0), optima.cost(4)), (0, 0));
    assert!(optima.openings(4).is_empty());
    assert_sound(&[], &movement, 3);
}

#[test]
fn no_ribbons_leave_every_text_to_be_searched() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = |opening, weight| Client { opening, weight, alternative: 15 };
    let optima = solve(&[text(1, 2), text(9, 3)], &movement, 0);
    assert_eq!(optima.cost(0), 75);
    assert!(optima.openings(0).is_empty());
}

#[test]
fn texts_on_one_opening_take_one_ribbon() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = Client { opening: 7, weight: 2, alternative: 15 };
    let optima = solve(&[text; 5], &movement, 6);
    assert_eq!(optima.openings(6), [7]);
    assert_eq!(optima.cost(6), 50);
}

/// Worked by hand. Texts A at 10 (weight 4), B at 12 (weight 1), C at 40 (weight 5); a search costs 20,
/// a pull 5, a leaf 6, two leaves 10. Without ribbons: (4 + 1 + 5) · 20 = 200. One ribbon: at 10 it
/// costs 4·5 + 1·(5 + 10) + 5·20 = 135; at 12, 4·15 + 5 + 100 = 165; at 40, 80 + 20 + 25 = 125, the
/// least. Two: 10 and 40 cost 20 + 15 + 25 = 60. Three: 20 + 5 + 25 = 50.
#[test]
fn three_texts_worked_by_hand() {
    let movement = Movement::new(vec![0, 6, 10, 13, 15, 16, 17, 18, 19, 20], 5).unwrap();
    let text = |opening, weight| Client { opening, weight, alternative: 20 };
    let optima = solve(&[text(40, 5), text(10, 4), text(12, 1)], &movement, 3);
    assert_eq!([0, 1, 2, 3].map(|k| optima.cost(k)), [200, 125, 60, 50]);
    assert_eq!(optima.openings(1), [40]);
    assert_eq!(optima.openings(2), [10, 40]);
}

/// Worked by hand. The preface follows the dialogue two leaves on: leafing costs 2·3 = 6 there, less
/// than a pull (8), so no ribbon is ever spent on it, although its weight is greatest.
#[test]
fn a_text_near_the_one_before_needs_no_ribbon() {
    let movement = Movement::new(vec![0, 3, 6, 9, 12], 8).unwrap();
    let preface = Client { opening: 300, weight: 5, alternative: 6 };
    let collect = Client { opening: 20, weight: 1, alternative: 12 };
    let optima = solve(&[preface, collect], &movement, 2);
    assert_eq!([0, 1, 2].map(|k| optima.cost(k)), [42, 38, 38]);
    assert_eq!(optima.openings(2), [20]);
}

/// Worked by hand. Equal texts at 0, 2 and 4, one ribbon: in the middle it costs 0 + 4 + 4 beside three
/// pulls of 1, at an end 0 + 4 + 6. The certificate for one ribbon has the price 2·4 − 4 = 4 that the
/// second ribbon saves (at 0 and 4, or 0 and 2, the third is reached for 4).
#[test]
fn one_ribbon_among_three_texts_lies_in_the_middle() {
    let movement = Movement::new(vec![0, 2, 4, 5, 6], 1).unwrap();
    let text = |opening| Client { opening, weight: 1, alternative: 20 };
    let clients = [text(0), text(2), text(4)];
    let optima = solve(&clients, &movement, 3);
    assert_eq!([1, 2, 3].map(|k| optima.cost(k)), [11, 7, 3]);
    assert_eq!(optima.openings(1), [2]);
    let certificate = certify(&clients, &movement, 4);
    assert_eq!(bound(&clients, &movement, 1, &certificate), Some(11));
}

#[test]
fn a_false_certificate_is_refused() {
    let movement = Movement::new(vec![0, 2, 4], 1).unwrap();
    let clients = [Client { opening: 3, weight: 2, alternative: 6 }];
    // Reached by the ribbon it costs 2, else 12: a ribbon at price 4 leaves a share of at most 6.
    let honest = Certificate { ribbon_price: 4, shares: vec![6] };
    assert_eq!(bound(&clients, &movement, 1, &honest), Some(2));
    for (ribbon_price, shares) in [(4, vec![7]), (99, vec![13]), (4, vec![]), (4, vec![6, 0])] {
        let false_one = Certificate { ribbon_price, shares };
        assert_eq!(bound(&clients, &movement, 1, &false_one), None, "{false_one:?}");
    }
}

#[test]
fn a_walk_that_is_not_concave_or_falls_is_refused() {
    for walk in [vec![], vec![1, 2], vec![0, 5, 4], vec![0, 1, 3]] {
        assert!(Movement::new(walk.clone(), 3).is_none(), "{walk:?}");
    }
}

/// A stored service with its optimum for 0, 1, 2 … ribbons, found by another program.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Stored {
    #[serde(rename = "source")]
    _source: vitta::format::Source,
    walk: Vec<u32>,
    pull: u32,
    clients: Vec<StoredText>,
    optima: Vec<u64>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct StoredText {
    #[serde(rename = "moment")]
    _moment: String,
    opening: i32,
    weight: u16,
    alternative: u32,
}

#[test]
fn stored_services_have_their_proven_optimum() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/plans");
    let mut count = 0;
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let stored: Stored = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
        let movement = Movement::new(stored.walk, stored.pull).unwrap();
        let client = |t: &StoredText| Client {
            opening: t.opening,
            weight: t.weight,
            alternative: t.alternative,
        };
        let clients: Vec<Client> = stored.clients.iter().map(client).collect();
        let most = stored.optima.len() - 1;
        let optima = solve(&clients, &movement, most);
        let found: Vec<u64> = (0..=most).map(|k| optima.cost(k)).collect();
        assert_eq!(found, stored.optima, "{}", path.display());
        assert_sound(&clients, &movement, most);
        count += 1;
    }
    assert!(count >= 5, "{count} stored services");
}
