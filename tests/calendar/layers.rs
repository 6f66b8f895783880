//! Layers laid over the general calendar: shipped ones, and parishes invented at random.

use super::{day, kept};
use proptest::prelude::*;
use vitta::calendar::{Calendar, Layer};
use vitta::language::Language;

#[test]
fn every_shipped_calendar_is_read_and_bears_its_own_name() {
    for name in vitta::calendar::names() {
        let calendar = Calendar::shipped(name).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(calendar.name(), name);
    }
}

/// Table of principal dates 2025–2028 and monthly calendars of the Liturgy Office of England and Wales.
#[test]
fn england_and_wales_bring_holy_days_from_saturday_and_monday_to_sunday() {
    let england = Calendar::shipped("england").unwrap();
    for (date, id) in [
        ("2025-11-02", "saints/11-01/all-saints"),
        ("2026-08-16", "saints/08-15/assumption"),
        ("2015-06-28", "saints/06-29/peter-and-paul"),
        ("2024-01-07", "time/christmas/epiphany"),
        ("2024-01-08", "time/christmas/baptism"),
        ("2025-01-05", "time/christmas/epiphany"),
        ("2026-01-06", "time/christmas/epiphany"),
        ("2017-05-28", "time/easter/ascension"),
        ("2026-05-14", "time/easter/ascension"),
    ] {
        assert_eq!(kept(&england, date), id, "{date}");
    }
}

fn parse(layer: &serde_json::Value) -> vitta::Result<Layer> {
    let mut whole = serde_json::json!({
        "format": "vitta calendar", "version": 1,
        "source": {"title": "invented", "how": "invented"},
        "sources": {"own": {"title": "invented", "how": "invented"}},
        "name": "own", "title": {"en": "Saint Invented"}, "kind": "parish"
    });
    whole.as_object_mut().unwrap().extend(layer.as_object().unwrap().clone());
    vitta::format::parse(&whole.to_string(), std::path::Path::new("own.json"))
}

fn calendar(layer: serde_json::Value) -> vitta::Result<Calendar> {
    Calendar::of(parse(&layer)?)
}

/// Table of Liturgical Days 4 and 6: title, dedication and patron are solemnities of the parish, and
/// replace an Ordinary Sunday; in Advent and Lent they move.
#[test]
fn a_parish_keeps_its_title_dedication_and_patron() {
    let parish = calendar(serde_json::json!({"over": ["england"], "celebrations": [
        {"id": "saints/10-04/francis-of-assisi", "role": "title of the church", "source": "own"},
        {"id": "saints/09-20/dedication-of-our-church", "on": "09-20", "colour": "white", "of": "lord",
         "title": {"en": "The Dedication of our Church"}, "role": "dedication of the church", "source": "own"},
        {"id": "saints/12-06/nicholas", "role": "patron of the place", "source": "own"}
    ]}))
    .unwrap();
    let title = day(&parish, "2026-10-04");
    assert_eq!(title.celebrations[0].id.as_str(), "saints/10-04/francis-of-assisi");
    assert_eq!(title.celebrations[0].line, 4);
    assert_eq!(kept(&parish, "2026-09-20"), "saints/09-20/dedication-of-our-church");
    assert_eq!(kept(&parish, "2026-12-06"), "time/advent/week-2/sunday");
    assert_eq!(kept(&parish, "2026-12-07"), "saints/12-06/nicholas");
}

/// A solemnity of the General Calendar stays on its line when it is also the title of the church.
#[test]
fn a_title_that_is_already_a_solemnity_keeps_its_line() {
    let parish = calendar(serde_json::json!({"celebrations": [
        {"id": "time/ordinary/sacred-heart", "role": "title of the church", "source": "own"}
    ]}))
    .unwrap();
    assert_eq!(day(&parish, "2026-06-12").celebrations[0].line, 3);
}

fn file(name: &str, over: &[&str], celebrations: serde_json::Value) -> String {
    serde_json::json!({
        "format": "vitta calendar", "version": 1,
        "source": {"title": "invented", "how": "invented"},
        "sources": {"own": {"title": "invented", "how": "invented"}},
        "name": name, "title": {"en": name}, "kind": "parish", "over": over,
        "celebrations": celebrations
    })
    .to_string()
}

/// A parish lies over its diocese's file, which lies over a shipped nation.
#[test]
fn layers_lie_over_files_beside_them_but_not_over_themselves() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let feast = serde_json::json!([{"id": "saints/01-13/hilary", "rank": "feast", "role": "patron of the diocese", "source": "own"}]);
    std::fs::write(at("diocese.json"), file("diocese", &["wales"], feast)).unwrap();
    std::fs::write(at("parish.json"), file("parish", &["diocese.json"], serde_json::json!([])))
        .unwrap();
    let parish = Calendar::read(&at("parish.json")).unwrap();
    assert_eq!(kept(&parish, "2026-01-13"), "saints/01-13/hilary");
    assert_eq!(kept(&parish, "2027-03-01"), "saints/03-01/david");
    std::fs::write(at("diocese.json"), file("diocese", &["parish.json"], serde_json::json!([])))
        .unwrap();
    let error = Calendar::read(&at("parish.json")).map(|_| ()).unwrap_err().to_string();
    assert!(error.contains("lies over itself"), "{error}");
}

#[test]
fn a_faulty_layer_is_refused_with_a_sentence() {
    for (layer, words) in [
        (
            serde_json::json!({"celebrations": [{"id": "saints/01-02/new", "rank": "memorial", "colour": "white", "title": {"en": "New"}, "source": "own"}]}),
            "\"on\" is missing",
        ),
        (
            serde_json::json!({"celebrations": [{"id": "saints/01-17/anthony-abbot", "rank": "feast", "source": "elsewhere"}]}),
            "cites \"elsewhere\"",
        ),
        (
            serde_json::json!({"celebrations": [{"id": "saints/01-17/anthony-abbot", "rank": "Sunday", "source": "own"}]}),
            "the rank \"Sunday\"",
        ),
        (
            serde_json::json!({"celebrations": [{"id": "saints/01-17/anthony-abbot", "on": "easter+300", "source": "own"}]}),
            "leaves the year",
        ),
        (
            serde_json::json!({"celebrations": [{"id": "saints/01-17/anthony-abbot", "on": "01-32", "source": "own"}]}),
            "is not a date",
        ),
        (
            serde_json::json!({"exceptions": [{"id": "saints/01-17/nobody", "on": "2026-01-17", "source": "own"}]}),
            "which no layer has",
        ),
        (serde_json::json!({"over": ["atlantis"]}), "no calendar \"atlantis\""),
    ] {
        let error = calendar(layer.clone()).map(|_| ()).unwrap_err().to_string();
        assert!(error.contains(words), "{layer}: {error}");
    }
}

/// An entry of an invented parish: a day of the year clear of New Year, a rank, a role.
fn entry() -> impl Strategy<Value = (u32, &'static str, Option<&'static str>)> {
    let rank = prop::sample::select(vec!["solemnity", "feast", "memorial", "optional memorial"]);
    let role = prop::option::of(prop::sample::select(vec![
        "patron of the place",
        "dedication of the church",
        "title of the church",
        "secondary patron",
    ]));
    (10_u32..355, rank, role)
}

fn invented(entries: &[(u32, &str, Option<&str>)]) -> serde_json::Value {
    let new_year = chrono::NaiveDate::from_ymd_opt(2001, 1, 1).unwrap();
    let celebrations: Vec<serde_json::Value> = entries
        .iter()
        .enumerate()
        .map(|(n, (day, rank, role))| {
            let on = (new_year + chrono::Days::new(u64::from(*day))).format("%m-%d").to_string();
            let mut entry = serde_json::json!({
                "id": format!("saints/{on}/invented-{n}"), "on": on, "rank": rank, "colour": "white",
                "title": {"en": format!("Invented {n}")}, "source": "own"
            });
            if let Some(role) = role {
                entry["role"] = (*role).into();
            }
            entry
        })
        .collect();
    serde_json::json!({"celebrations": celebrations})
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Whatever a parish adds: each day keeps one thing, no solemnity is lost, what is moved lands on
    /// a day that was free of lines 1 to 8, and nothing yields to something lower.
    #[test]
    fn no_parish_breaks_the_year(entries in prop::collection::vec(entry(), 0..14), year in 1970..=2100) {
        let calendar = calendar(invented(&entries)).unwrap();
        let settled = calendar.year(year).unwrap();
        let days: Vec<_> = settled.days().map(|d| d.write(Language::En)).collect();
        for day in &days {
            let kept = &day.celebrations[0];
            for displaced in day.displaced.iter().filter(|d| d.moved_to.is_none()) {
                prop_assert!(kept.line <= displaced.celebration.line, "{}: {:?}", day.date, day.reasons);
            }
        }
        for (n, (_, rank, _)) in entries.iter().enumerate() {
            let name = format!("/invented-{n}");
            let kept_on = days.iter().filter(|d| d.celebrations[0].id.as_str().ends_with(&name)).count();
            let told = days.iter().any(|d| d.celebrations.iter().chain(d.displaced.iter().map(|x| &x.celebration)).any(|c| c.id.as_str().ends_with(&name)));
            prop_assert!(told, "{name} is lost");
            prop_assert!(kept_on == 1 || *rank != "solemnity", "{name} is kept {kept_on} times");
        }
    }
}
