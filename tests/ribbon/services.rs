//! Plans for real days, as a priest would read them.

use super::plans::{SIX, edition};
use chrono::NaiveDate;
use vitta::calendar::{Calendar, Day};
use vitta::language::Language;
use vitta::order::{Service, Settings, service};
use vitta::place::Place;
use vitta::ribbon::costs::Costs;
use vitta::ribbon::{Move, Occasion, OnTable, Plan, Week, plan, plan_week};

/// A day of the general calendar with the service of the Mass at `choice`, or of the day's own.
pub fn serve(date: &str, choice: Option<&str>) -> (Day, Service) {
    let date: NaiveDate = date.parse().unwrap();
    let day = Calendar::shipped("general").unwrap().day(date, Language::En).unwrap();
    let choice = choice.map(|c| Place::new(c).unwrap());
    let service = service(&day, choice.as_ref(), &Settings::default()).unwrap();
    (day, service)
}

fn laid_out(date: &str, choice: Option<&str>, ribbons: usize) -> (Day, Service, Plan) {
    let (day, service) = serve(date, choice);
    let plan = plan(&service, &edition(SIX), Some(ribbons), &Costs::default()).unwrap();
    (day, service, plan)
}

const DAYS: &[(&str, Option<&str>)] = &[
    ("2026-11-30", None),
    ("2026-12-08", None),
    ("2027-01-12", None),
    ("2027-02-24", None),
    ("2027-03-19", None),
    ("2027-03-21", Some("time/holy-week/palm-sunday/procession")),
    ("2027-03-27", Some("time/triduum/vigil")),
    ("2027-03-28", None),
    ("2027-05-08", Some("ritual/marriage/a")),
    ("2027-05-11", Some("dead/funeral/easter")),
    ("2027-06-20", None),
    ("2027-11-02", None),
];

/// Proven, convex, never worse than the usual ways; every text read has a movement and a page.
#[test]
fn plans_of_ordinary_and_hard_days_are_proven_and_complete() {
    for &(date, choice) in DAYS {
        let mut last_saving = u64::MAX;
        for ribbons in 1..=8 {
            let (_, service, plan) = laid_out(date, choice, ribbons);
            let at = format!("{date} with {ribbons}");
            assert_eq!(plan.cost, plan.lower_bound + plan.apart, "{at}");
            assert_eq!(plan.stops.len(), service.needs.len(), "{at}");
            assert!(plan.rules_of_thumb.iter().all(|r| r.cost >= plan.lower_bound), "{at}");
            assert!(plan.cost_without >= plan.cost_with_one_fewer, "{at}");
            // With the texts free to choose the cost may fall unevenly; with them fixed it is convex.
            if service.needs.iter().all(|n| n.places.len() == 1) {
                assert!(plan.saved_by_one_more <= last_saving, "{at}");
                last_saving = plan.saved_by_one_more;
            }
            for stop in &plan.stops {
                let away = matches!(stop.hand, Move::NotHere | Move::ByHeart | Move::From { .. });
                assert!(stop.page.is_some() || away, "{at}: {}", stop.moment);
                assert!(stop.hand != Move::NotHere, "{at}: {} is not in the book", stop.moment);
            }
        }
    }
}

fn hand_of<'p>(plan: &'p Plan, moment: &str) -> &'p Move {
    &plan.stops.iter().find(|s| s.moment == moment).unwrap().hand
}

/// A weekday whose Eucharistic Prayer has its own preface: the book stays open there.
#[test]
fn the_preface_inside_the_second_prayer_leads_into_it() {
    let (_, _, plan) = laid_out("2027-01-12", None, 6);
    let preface = plan.stops.iter().find(|s| s.moment == "preface").unwrap();
    assert_eq!(preface.place.as_str(), "order/prayer/2");
    assert_eq!(hand_of(&plan, "eucharistic-prayer"), &Move::Stay);
}

/// The words inserted at a wedding take the hand out of the Eucharistic Prayer and back: a ribbon lies
/// at both ends.
#[test]
fn a_wedding_has_ribbons_at_both_ends_of_its_insert() {
    let (_, service, plan) = laid_out("2027-05-08", Some("ritual/marriage/a"), 6);
    let at = service.needs.iter().position(|n| n.moment.starts_with("insert")).unwrap();
    for stop in &plan.stops[at..=at + 1] {
        assert!(
            matches!(stop.hand, Move::Pull { leaves: 0, .. }),
            "{}: {:?}",
            stop.moment,
            stop.hand
        );
    }
}

/// The Vigil is read on and on in its order; the ribbons go to where it leaves that order.
#[test]
fn the_easter_vigil_is_leafed_through_and_its_mass_has_the_ribbons() {
    let (_, _, plan) = laid_out("2027-03-27", Some("time/triduum/vigil"), 6);
    let places: Vec<&str> = plan.ribbons.iter().map(|r| r.place.as_str()).collect();
    for section in ["order/preface", "order/prayer", "order/communion", "time/triduum/vigil"] {
        assert!(places.iter().any(|p| p.starts_with(section)), "{section}: {places:?}");
    }
    let leafed = plan.stops.iter().filter(|s| matches!(s.hand, Move::Stay | Move::Leaf { .. }));
    assert!(leafed.count() >= 8);
}

#[test]
fn colours_mean_the_same_from_day_to_day() {
    for (date, choice) in [
        ("2026-11-30", None),
        ("2027-02-24", None),
        ("2027-06-20", None),
        ("2027-05-11", Some("dead/funeral/easter")),
    ] {
        let (_, _, plan) = laid_out(date, choice, 6);
        let at = |colour: &str| {
            plan.ribbons.iter().find(|r| r.ribbon == colour).map_or("", |r| r.place.as_str())
        };
        assert!(!at("red").starts_with("order"), "{date}: {}", at("red"));
        assert!(at("green").starts_with("order/preface"), "{date}: {}", at("green"));
        assert!(at("gold").starts_with("order/prayer"), "{date}: {}", at("gold"));
        assert_eq!(at("violet"), "order/communion", "{date}");
    }
}

/// With three ribbons or more the Eucharistic Prayer has the gold one on every day that it has one, whether or not
/// the preface needs one; so have the preface the green and the day's Mass the red.
#[test]
fn a_colour_means_the_same_with_few_ribbons_and_many() {
    let dates =
        ["2026-12-25", "2027-01-20", "2027-02-14", "2027-03-21", "2027-06-29", "2027-08-22"];
    for (date, ribbons) in dates.iter().flat_map(|d| (3..=6).map(move |n| (d, n))) {
        let (_, _, plan) = laid_out(date, None, ribbons);
        for (section, colour) in [("order/prayer", "gold"), ("order/preface", "green")] {
            let there = plan.ribbons.iter().find(|r| r.place.is_under(section));
            assert!(there.is_none_or(|r| r.ribbon == colour), "{date}, {ribbons}: {there:?}");
        }
        assert!(!plan.ribbons[0].place.is_under("order"), "{date}, {ribbons}");
    }
}

/// A week of Masses, Sunday to Saturday.
fn week(ribbons: usize) -> Week {
    let days: Vec<(Day, Service)> =
        (20..27).map(|day| serve(&format!("2027-06-{day}"), None)).collect();
    let occasions: Vec<Occasion> = days
        .iter()
        .map(|(day, service)| Occasion { date: day.date, evening: false, service })
        .collect();
    let book = edition(SIX);
    let table = [OnTable { book: &book, ribbons, stands: &[] }];
    plan_week(&occasions, &table, &Costs::default()).unwrap()
}

#[test]
fn a_week_laid_as_one_moves_fewer_ribbons_and_never_costs_more() {
    for ribbons in [2, 4, 6] {
        let week = week(ribbons);
        assert!(week.cost - week.apart <= week.cost_one_by_one, "{ribbons}");
        assert!(week.moved() <= week.moved_one_by_one, "{ribbons}");
        assert_eq!(week.lower_bound, week.cost - week.apart, "{ribbons}");
        let plans: u64 = week.masses.iter().map(|m| m.plan.cost).sum();
        let relay = u64::from(Costs::default().relay);
        assert_eq!(week.cost, plans + relay * week.moved() as u64, "{ribbons}");
        for mass in &week.masses {
            assert!(mass.plan.cost >= mass.plan.lower_bound, "{ribbons}");
            assert!(mass.plan.ribbons.len() <= ribbons, "{ribbons}");
        }
    }
}

/// A ribbon that is not moved keeps its opening, and its colour with it; the first laying lays all that
/// are there.
#[test]
fn a_ribbon_that_rests_keeps_its_colour() {
    let week = week(6);
    assert_eq!(week.masses[0].moved, week.masses[0].plan.ribbons);
    let book = edition(SIX);
    for pair in week.masses.windows(2) {
        for ribbon in pair[1].plan.ribbons.iter().filter(|r| !pair[1].moved.contains(r)) {
            let earlier = pair[0].plan.ribbons.iter().find(|r| r.ribbon == ribbon.ribbon).unwrap();
            assert_eq!(book.opening(&earlier.page), book.opening(&ribbon.page));
        }
    }
}

/// What the hand is told to do costs what the plan says it costs.
#[test]
fn the_movements_of_a_week_cost_what_is_said() {
    let costs = Costs::default();
    let movement = costs.movement().unwrap();
    for mass in week(4).masses {
        let one = |s: &vitta::ribbon::Stop| {
            let cost = match &s.hand {
                Move::LaidOpen | Move::Stay | Move::ByHeart | Move::NotHere => 0,
                Move::OnSheet | Move::From { .. } => 0,
                Move::Leaf { leaves } => movement.walk(leaves.unsigned_abs()),
                Move::Pull { leaves, .. } => costs.pull + movement.walk(leaves.unsigned_abs()),
                Move::Tab { leaves, .. } => costs.tab + movement.walk(leaves.unsigned_abs()),
                Move::Search => costs.search,
            };
            u64::from(if s.optional { 0 } else { s.weight.max(1) }) * u64::from(cost)
        };
        let hands: u64 = mass.plan.stops.iter().map(one).sum();
        let other_texts = mass.plan.cost - hands;
        assert!(other_texts.is_multiple_of(u64::from(costs.other_text)), "{}", mass.date);
        assert!(other_texts < 10 * u64::from(costs.other_text), "{}: {hands}", mass.date);
    }
}

/// In a week as on a day: no two ribbons lie within a leaf of each other, and one that no other text needs lies at
/// the solemn blessing, which may be left out (Order of Mass 142).
#[test]
fn a_week_is_laid_by_the_rules_of_a_day() {
    let dates = ["2027-06-27", "2027-06-28", "2027-06-29", "2027-06-30", "2027-07-01"];
    let days: Vec<(Day, Service)> = dates.iter().map(|d| serve(d, None)).collect();
    let occasions: Vec<Occasion> = days
        .iter()
        .map(|(day, service)| Occasion { date: day.date, evening: false, service })
        .collect();
    let book = edition(SIX);
    let table = [OnTable { book: &book, ribbons: 6, stands: &[] }];
    let week = plan_week(&occasions, &table, &Costs::default()).unwrap();
    for mass in &week.masses {
        let mut lie: Vec<i32> =
            mass.plan.ribbons.iter().filter_map(|r| book.opening(&r.page)).collect();
        lie.sort_unstable();
        assert!(lie.windows(2).all(|w| w[1] - w[0] > 1), "{}: {lie:?}", mass.date);
    }
    let feast = &week.masses[2].plan.ribbons;
    assert!(feast.iter().any(|r| r.place.is_under("order/blessing")), "{feast:?}");
}
