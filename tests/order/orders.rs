//! The service orders as data, and what the priest's settings do to any service.

use std::collections::HashSet;
use vitta::book::Outline;
use vitta::calendar::{Calendar, Day};
use vitta::language::Language;
use vitta::order::{
    DayChoices, Need, Service, ServiceOrder, Settings, Stand, Step, Text, beforehand, service,
    service_orders,
};
use vitta::place::Place;

fn day(date: &str) -> Day {
    Calendar::shipped("general").unwrap().day(date.parse().unwrap(), Language::En).unwrap()
}

fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

fn moments(service: &Service) -> Vec<(&str, &str)> {
    service.needs.iter().map(|n| (n.moment.as_str(), n.places[0].place.as_str())).collect()
}

fn need<'s>(service: &'s Service, moment: &str) -> &'s Need {
    service.needs.iter().find(|n| n.moment == moment).unwrap()
}

fn places_named(order: &ServiceOrder) -> Vec<&Place> {
    let mut places: Vec<&Place> = order.serves.iter().chain(&order.texts).collect();
    places.extend(order.preface.iter().chain(&order.prayer).flat_map(|a| &a.places));
    places.extend(order.printed.iter().flat_map(|p| [&p.prayer, &p.at]));
    for step in &order.steps {
        if let Step::Moment(moment) = step
            && let Text::At(at) = &moment.text
        {
            places.extend(at);
        }
    }
    places
}

#[test]
fn every_place_named_by_an_order_is_in_the_missal() {
    let missal = Outline::shipped("roman-missal-3").unwrap();
    let mut wrong = Vec::new();
    for order in service_orders().unwrap() {
        for place in places_named(order).into_iter().filter(|p| missal.get(p).is_none()) {
            wrong.push(format!("{}: {place}", order.name));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_two_orders_serve_the_same_mass_and_names_are_unique() {
    let orders = service_orders().unwrap();
    let mut seen = HashSet::new();
    for order in orders {
        assert!(seen.insert(order.name.clone()), "{} twice", order.name);
        for served in &order.serves {
            assert!(seen.insert(served.to_string()), "{served} served twice");
        }
    }
}

/// A date on which each order may be asked for, in the year of Easter 5 April 2026.
fn date_of(order: &ServiceOrder) -> &'static str {
    match order.name.as_str() {
        "ash-wednesday" => "2026-02-18",
        name if name.starts_with("palm-sunday") => "2026-03-29",
        "chrism" | "lords-supper" => "2026-04-02",
        "good-friday" => "2026-04-03",
        "easter-vigil" => "2026-04-04",
        "easter-day" => "2026-04-05",
        "pentecost-vigil" => "2026-05-24",
        "christmas-night" => "2026-12-25",
        "epiphany" => "2026-01-06",
        name if name.starts_with("presentation") => "2026-02-02",
        "all-souls" => "2026-11-02",
        "scrutiny-1" => "2026-03-08",
        "scrutiny-2" => "2026-03-15",
        "scrutiny-3" => "2026-03-22",
        _ => "2026-06-18",
    }
}

#[test]
fn every_order_is_used_and_every_option_changes_its_service() {
    for order in service_orders().unwrap() {
        let day = day(date_of(order));
        let asked = order.serves.first();
        let usual = service(&day, asked, &Settings::default()).unwrap();
        assert!(!usual.needs.is_empty(), "{}", order.name);
        for option in &order.options {
            let mut settings = Settings::default();
            let set = [(option.option.clone(), !option.usual)].into();
            settings.days.insert(day.date, DayChoices { set, ..DayChoices::default() });
            let other = service(&day, asked, &settings).unwrap();
            assert_ne!(moments(&usual), moments(&other), "{}: {}", order.name, option.option);
        }
    }
}

#[test]
fn the_prayers_of_one_mass_follow_each_other_in_the_book() {
    let calendar = Calendar::shipped("general").unwrap();
    let missal = Outline::shipped("roman-missal-3").unwrap();
    for day in calendar.year(2026).unwrap().days() {
        let day = day.write(Language::En);
        let mass = service(&day, None, &Settings::default()).unwrap();
        let of_formulary = ["collect", "offerings", "after-communion", "over-people"];
        let own: Vec<_> = mass
            .needs
            .iter()
            .filter(|n| of_formulary.contains(&n.moment.as_str()))
            .map(|n| &n.places[0])
            .collect();
        for pair in own.windows(2).filter(|p| p[0].place == p[1].place) {
            assert!(pair[0].pages_in <= pair[1].pages_in, "{}: {pair:?}", day.date);
            let at = missal.position(&pair[1].place).unwrap();
            let room: f64 = missal.places[at..].iter().take(2).map(|p| p.pages).sum();
            assert!(f64::from(pair[1].pages_in) < room.max(1.0), "{}: {pair:?}", day.date);
        }
    }
}

#[test]
fn a_prayer_by_heart_spends_no_ribbon_and_a_text_may_be_read_from_the_book() {
    let settings = Settings {
        by_heart: vec!["order/prayer/2".into(), "preparation".into()],
        from_the_book: vec!["greeting".into()],
        ..Settings::default()
    };
    let usual = service(&day("2026-06-18"), None, &Settings::default()).unwrap();
    let mass = service(&day("2026-06-18"), None, &settings).unwrap();
    for (moment, before, after) in [
        ("eucharistic-prayer", false, true),
        ("preface", false, true),
        ("preparation", false, true),
        ("greeting", true, false),
        ("collect", false, false),
    ] {
        assert_eq!(need(&usual, moment).by_heart, before, "{moment} as usual");
        assert_eq!(need(&mass, moment).by_heart, after, "{moment} as settled");
    }
}

#[test]
fn the_prayer_after_communion_is_said_at_the_altar_if_the_priest_stays_there() {
    let settings = Settings { closing: Stand::Altar, ..Settings::default() };
    let mass = service(&day("2026-06-21"), None, &settings).unwrap();
    assert_eq!(need(&mass, "collect").stand, Stand::Chair);
    assert_eq!(need(&mass, "after-communion").stand, Stand::Altar);
    assert_eq!(need(&mass, "concluding").stand, Stand::Altar);
}

#[test]
fn both_prayers_of_a_memorial_come_from_one_common() {
    let mass = service(&day("2026-08-11"), None, &Settings::default()).unwrap();
    let (offerings, after) = (need(&mass, "offerings"), need(&mass, "after-communion"));
    let places = |n: &Need| n.places.iter().map(|c| c.place.clone()).collect::<Vec<_>>();
    assert!(offerings.together.is_some());
    assert_eq!(offerings.together, after.together);
    assert_eq!(places(offerings), places(after));
}

#[test]
fn texts_to_read_beforehand_on_saint_joseph() {
    let mass = service(&day("2027-03-19"), None, &Settings::default()).unwrap();
    let texts = beforehand(&mass).unwrap();
    let moments: Vec<_> = texts.iter().map(|n| n.moment.as_str()).collect();
    assert_eq!(
        moments,
        [
            "preparation-for-mass",
            "collect",
            "offerings",
            "preface",
            "after-communion",
            "solemn-blessing",
            "thanksgiving"
        ]
    );
}

#[test]
fn settings_left_empty_are_the_usual_ones() {
    let empty: Settings = serde_json::from_str("{}").unwrap();
    assert_eq!(empty, Settings::default());
    let misspelt = serde_json::from_str::<Settings>(r#"{"sunday_prayers": "order/prayer/3"}"#);
    assert!(misspelt.is_err());
}

#[test]
fn the_fourth_prayer_keeps_its_preface_on_every_day_of_a_year() {
    let calendar = Calendar::shipped("general").unwrap();
    let fourth = place("order/prayer/4");
    let habit = Settings {
        sunday_prayer: fourth.clone(),
        weekday_prayer: fourth.clone(),
        ..Settings::default()
    };
    let (mut said, mut refused) = (0, 0);
    for day in calendar.year(2026).unwrap().days() {
        let day = day.write(Language::En);
        let mass = service(&day, None, &habit).unwrap();
        let Some(prayer) = mass.needs.iter().find(|n| n.moment == "eucharistic-prayer") else {
            continue;
        };
        if prayer.places[0].place == fourth {
            assert_eq!(need(&mass, "preface").places[0].place, fourth, "{}", day.date);
            said += 1;
        } else {
            let told = mass.notes.iter().any(|n| n.en.contains("not taken today"));
            assert!(told || day.date.to_string() == "2026-04-02", "{}: {:?}", day.date, mass.notes);
            refused += 1;
        }
    }
    assert!(said > 200 && refused > 50, "{said} {refused}");
}

/// Each place has its name; what is read from another book has its line (Missal: Easter Vigil, Good Friday 9 and
/// 14, Palm Sunday; Order of Mass 20: the universal prayer).
#[test]
fn places_are_named_and_what_other_books_give_has_its_line() {
    let mass = |date, choice: Option<&str>| {
        service(&day(date), choice.map(place).as_ref(), &Settings::default()).unwrap()
    };
    let vigil = mass("2027-03-27", Some("time/triduum/vigil"));
    for (moment, stand) in [
        ("fire", Stand::Fire),
        ("procession", Stand::Procession),
        ("exsultet", Stand::Ambo),
        ("water", Stand::Font),
    ] {
        assert_eq!(need(&vigil, moment).stand, stand, "{moment}");
    }
    let from = |mass: &Service, moment: &str| need(mass, moment).from.clone().map(|f| f.en);
    let friday = mass("2027-03-26", None);
    assert_eq!(need(&friday, "adoration").stand, Stand::Cross);
    for passion in [&friday, &mass("2027-03-21", None)] {
        assert_eq!(from(passion, "passion").as_deref(), Some("from the lectionary"));
    }
    assert_eq!(
        from(&mass("2027-06-20", None), "universal-prayer").as_deref(),
        Some("from a sheet")
    );
    let wedding = mass("2027-05-08", Some("ritual/marriage/a"));
    assert_eq!(from(&wedding, "rite").as_deref(), Some("from the ritual"));
    let by_the_book = Settings { universal_prayer: true, ..Settings::default() };
    let sunday = service(&day("2027-06-20"), None, &by_the_book).unwrap();
    let prayers: Vec<&Need> =
        sunday.needs.iter().filter(|n| n.moment == "universal-prayer").collect();
    assert!(prayers.len() == 1 && prayers[0].from.is_none(), "{prayers:?}");
}

/// Missal, Lent: the prayer over the people may be said on weekdays, on Sundays and Ash Wednesday it is; what was
/// chosen for the day is no longer open.
#[test]
fn prayers_over_the_people_on_weekdays_of_lent_are_optional() {
    for (date, optional) in [("2027-03-08", true), ("2027-02-21", false), ("2027-02-10", false)] {
        let mass = service(&day(date), None, &Settings::default()).unwrap();
        assert_eq!(need(&mass, "over-people").optional, optional, "{date}");
    }
    let mut settings = Settings::default();
    let choices =
        DayChoices { set: [("over-people".to_owned(), true)].into(), ..DayChoices::default() };
    settings.days.insert("2027-03-08".parse().unwrap(), choices);
    let chosen = service(&day("2027-03-08"), None, &settings).unwrap();
    assert!(!need(&chosen, "over-people").optional);
}
