//! The outlines against the books they describe.

use std::collections::BTreeSet;
use vitta::book::Outline;
use vitta::order::{Binding, Formulary};
use vitta::place::Place;

fn missal() -> &'static Outline {
    Outline::shipped("roman-missal-3").unwrap()
}

fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

#[test]
fn every_outline_is_called_by_its_name_and_has_each_address_once() {
    for name in Outline::names() {
        let outline = Outline::shipped(name).unwrap();
        assert_eq!(outline.name, name);
        let mut seen = BTreeSet::new();
        let twice: Vec<_> = outline.places.iter().filter(|p| !seen.insert(&p.place)).collect();
        assert!(twice.is_empty(), "{name}: {twice:?}");
    }
}

/// Every heading stands one level under the one above it, or further out.
#[test]
fn headings_open_one_level_at_a_time() {
    for name in Outline::names() {
        let outline = Outline::shipped(name).unwrap();
        let mut level = 0;
        for p in &outline.places {
            assert!(p.level >= 1 && p.level <= level + 2, "{name}: {} jumps a level", p.place);
            level = p.level;
        }
    }
}

/// Order of the sections: Catholic bishops of the United States, "Parts of the Roman Missal"; the
/// Order of Mass stands in the middle of the book.
#[test]
fn the_sections_follow_the_book() {
    let sections: Vec<_> =
        missal().places.iter().filter(|p| p.level == 1).map(|p| p.place.as_str()).collect();
    assert_eq!(
        sections,
        [
            "front", "time", "order", "saints", "common", "ritual", "needs", "votive", "dead",
            "appendix", "index"
        ]
    );
}

/// Numbers 33–82 of the Order of Mass, third typical edition, are the fifty prefaces: 82 − 33 + 1;
/// number 116 opens Eucharistic Prayer IV (Paul Turner, answer on prefaces, paulturner.org).
#[test]
fn the_order_of_mass_is_numbered_without_gap() {
    let numbered: Vec<_> = missal()
        .places
        .iter()
        .filter(|p| !matches!(p.place.as_str(), "order" | "order/preface"))
        .filter_map(|p| p.order_numbers.map(|n| (p.place.as_str(), n)))
        .collect();
    let mut next = 1;
    for (place, (first, last)) in &numbered {
        assert_eq!(*first, next, "{place}");
        next = last + 1;
    }
    assert_eq!(next, 147);
    let prefaces = numbered.iter().filter(|(p, _)| p.starts_with("order/preface/")).count();
    assert_eq!(prefaces, 50);
    assert_eq!(missal().get(&place("order/prayer/4")).unwrap().order_numbers, Some((116, 123)));
}

/// An altar edition of the third typical edition has some 1,300 to 1,500 pages (common practice).
#[test]
fn the_lengths_add_up_to_an_altar_edition() {
    let pages: f64 = missal().places.iter().map(|p| p.pages).sum();
    assert!((1300.0..1500.0).contains(&pages), "{pages}");
}

#[test]
fn saints_follow_the_calendar_year() {
    let days: Vec<_> = missal()
        .places
        .iter()
        .filter_map(|p| p.place.as_str().strip_prefix("saints/"))
        .filter(|rest| rest.as_bytes().get(2) == Some(&b'-'))
        .filter_map(|rest| rest.split('/').next())
        .collect();
    assert!(days.len() > 230);
    assert!(days.is_sorted(), "{:?}", days.windows(2).find(|w| w[0] > w[1]));
}

#[test]
fn a_weekday_stands_under_its_sunday_season_and_section() {
    let at = missal().position(&place("time/lent/week-1/thursday")).unwrap();
    let above: Vec<_> = missal().headings(at).iter().map(|p| p.title.en.as_str()).collect();
    assert_eq!(above, ["Proper of Time", "Lent", "First Sunday of Lent"]);
    assert!(missal().headings(0).is_empty());
    assert!(missal().get(&place("time/lent/week-9/sunday")).is_none());
}

/// Every place a formulary names is in the outline.
#[test]
fn formularies_name_only_places_of_the_outline() {
    let mut unknown = BTreeSet::new();
    for f in Formulary::shipped().unwrap() {
        let named =
            f.at.iter()
                .chain(&f.commons)
                .chain(f.prefaces.iter().flat_map(|p| &p.places))
                .chain(f.inserts.iter().flat_map(|i| i.prayers.iter().chain([&i.at])))
                .chain(&f.blessings)
                .chain(&f.vigil)
                .chain(&f.masses);
        unknown.extend(named.filter(|p| missal().get(p).is_none()).map(|p| (&f.serves, p)));
    }
    assert!(unknown.is_empty(), "{unknown:#?}");
}

/// Every Mass of the Proper of Time has a formulary, and its texts stand in the book.
#[test]
fn every_mass_of_the_proper_of_time_has_a_formulary() {
    let mut without = Vec::new();
    let days = missal().places.iter().map(|p| &p.place).filter(|p| p.is_under("time"));
    for day in days {
        let depth = day.as_str().split('/').count();
        let part = day.as_str().ends_with("/preface")
            || depth < 3
            || (depth == 4 && day.is_under("time/triduum"));
        let heading = matches!(
            day.as_str(),
            "time/christmas/weekday" | "time/easter/octave" | "time/ordinary/solemnities"
        );
        let entrance = day.as_str().contains("-entrance") || day.as_str().ends_with("/procession");
        if part || heading || entrance {
            continue;
        }
        match Formulary::of(day).unwrap() {
            Some(f) if f.printed_at(day, missal()).is_some() => {}
            _ => without.push(day.as_str()),
        }
    }
    assert!(without.is_empty(), "{without:?}");
}

/// Preface II of Advent from 17 December, also on a Third Sunday (Portsmouth diocese, Prefaces of
/// the Roman Missal (8); Paul Turner, Third Sunday of Advent); the preface of the Samaritan Woman
/// with the Gospel of Year A only (And With Your Spirit, 9 March 2012).
#[test]
fn a_preface_may_depend_on_the_date_or_the_cycle() {
    let first = |day: &str, on: &str, cycle: char| {
        let f = Formulary::of(&place(day)).unwrap().unwrap();
        let prefaces = f.prefaces_on(on, cycle).unwrap();
        (prefaces.binding, prefaces.places[0].as_str().to_owned())
    };
    let cases = [
        ("time/advent/week-3/sunday", "12-16", 'A', Binding::Season, "order/preface/advent-1"),
        ("time/advent/week-3/sunday", "12-17", 'A', Binding::Season, "order/preface/advent-2"),
        (
            "time/lent/week-3/sunday",
            "03-08",
            'A',
            Binding::Assigned,
            "time/lent/week-3/sunday/preface",
        ),
        ("time/lent/week-3/sunday", "03-08", 'B', Binding::Season, "order/preface/lent-1"),
        ("time/lent/week-5/friday", "03-28", 'B', Binding::Season, "order/preface/passion-1"),
        ("time/lent/after-ash/friday", "03-01", 'B', Binding::Season, "order/preface/lent-3"),
    ];
    let wrong: Vec<_> = cases
        .iter()
        .filter(|(day, on, cycle, binding, preface)| {
            first(day, on, *cycle) != (*binding, (*preface).to_owned())
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

#[test]
fn a_weekday_of_ordinary_time_is_printed_with_its_sunday() {
    let day = place("time/ordinary/week-5/thursday");
    let f = Formulary::of(&day).unwrap().unwrap();
    assert_eq!(f.printed_at(&day, missal()), Some(place("time/ordinary/week-5")));
}
