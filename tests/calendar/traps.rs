//! Days on which calendars go wrong. A source stands beside each case; "rule" is the Universal Norms on
//! the Liturgical Year and the Calendar, "table" a published calendar in `fixtures/years`.

use super::{day, general, kept, offered};
use vitta::calendar::{Calendar, Layer, Rank};
use vitta::language::Language;

const JOSEPH: &str = "saints/03-19/joseph";
const ANNUNCIATION: &str = "saints/03-25/annunciation";
const JOHN: &str = "saints/06-24/nativity-of-john-the-baptist";
const SACRED_HEART: &str = "time/ordinary/sacred-heart";
const IMMACULATE_CONCEPTION: &str = "saints/12-08/immaculate-conception";
const IMMACULATE_HEART: &str = "saints/immaculate-heart";
const ALL_SOULS: &str = "saints/11-02/all-souls";

fn all_kept(calendar: &Calendar, cases: &[(&str, &str)]) {
    let wrong: Vec<String> = cases
        .iter()
        .filter_map(|(date, id)| {
            let found = kept(calendar, date);
            (found != *id).then(|| format!("{date}: expected {id}, found {found}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The general calendar with one more layer, given as the fields of its file.
fn with(layer: serde_json::Value) -> Calendar {
    let mut whole = serde_json::json!({
        "format": "vitta calendar", "version": 1,
        "source": {"title": "invented for a test", "how": "invented"},
        "sources": {"test": {"title": "invented for a test", "how": "invented"}},
        "name": "test", "title": {"en": "Test"}, "kind": "parish"
    });
    let fields = layer.as_object().unwrap().clone();
    whole.as_object_mut().unwrap().extend(fields);
    let layer: Layer =
        vitta::format::parse(&whole.to_string(), std::path::Path::new("test.json")).unwrap();
    Calendar::of(layer).unwrap()
}

/// Table: Brisbane 2008. Rule and the Notification of 2006 (Notitiae 42, 96, from memory) for the others.
#[test]
fn trap_01_joseph_in_holy_week_goes_before_palm_sunday() {
    all_kept(
        &general(),
        &[
            ("2008-03-15", JOSEPH),
            ("2008-03-19", "time/holy-week/wednesday"),
            ("2035-03-17", JOSEPH),
            ("2046-03-17", JOSEPH),
            ("2062-03-18", JOSEPH),
            ("2017-03-20", JOSEPH),
        ],
    );
}

/// Norms 60, quoted in parish calendars of 2018; 2029 by rule.
#[test]
fn trap_02_annunciation_on_palm_sunday_goes_after_the_octave() {
    all_kept(
        &general(),
        &[
            ("2018-03-25", "time/holy-week/palm-sunday"),
            ("2018-04-09", ANNUNCIATION),
            ("2029-03-25", "time/holy-week/palm-sunday"),
            ("2029-04-09", ANNUNCIATION),
            ("2016-04-04", ANNUNCIATION),
            ("2012-03-26", ANNUNCIATION),
        ],
    );
}

/// 2022: Notification of the Congregation (note of the diocese of Padua). For 2033 and 2044 nothing is
/// published; Norms 60 gives the day after.
#[test]
fn trap_03_sacred_heart_on_the_day_of_john_the_baptist() {
    all_kept(
        &general(),
        &[
            ("2022-06-23", JOHN),
            ("2022-06-24", SACRED_HEART),
            ("2033-06-24", SACRED_HEART),
            ("2033-06-25", JOHN),
            ("2044-06-24", SACRED_HEART),
            ("2044-06-25", JOHN),
        ],
    );
    let why = day(&general(), "2022-06-24").displaced;
    assert!(why.iter().any(|d| d.celebration.id.as_str() == JOHN
        && d.moved_to == "2022-06-23".parse().ok()
        && d.reason.contains("Notification")));
}

/// Table: England and Wales 2013, United States 2024, Italy 2019; before 1990 from memory.
#[test]
fn trap_04_immaculate_conception_on_the_second_sunday_of_advent() {
    all_kept(
        &general(),
        &[
            ("2013-12-09", IMMACULATE_CONCEPTION),
            ("2019-12-08", "time/advent/week-2/sunday"),
            ("2024-12-09", IMMACULATE_CONCEPTION),
            ("1985-12-07", IMMACULATE_CONCEPTION),
        ],
    );
    let italy = Calendar::shipped("italy").unwrap();
    all_kept(
        &italy,
        &[("2019-12-08", IMMACULATE_CONCEPTION), ("2002-12-09", IMMACULATE_CONCEPTION)],
    );
}

/// Norms 35a; table: San Antonio 2022.
#[test]
fn trap_05_christmas_on_sunday_puts_the_holy_family_on_friday() {
    all_kept(
        &general(),
        &[
            ("2022-12-25", "time/christmas/nativity"),
            ("2022-12-26", "saints/12-26/stephen"),
            ("2022-12-30", "time/christmas/holy-family"),
            ("2023-01-01", "time/christmas/mother-of-god"),
            ("2021-12-26", "time/christmas/holy-family"),
        ],
    );
}

/// Norms 38 and the rubric of the Missal; table: United States 2012, 2023, 2024.
#[test]
fn trap_06_epiphany_on_7_or_8_january_puts_the_baptism_on_monday() {
    let states = Calendar::shipped("united-states").unwrap();
    all_kept(
        &states,
        &[
            ("2018-01-07", "time/christmas/epiphany"),
            ("2018-01-08", "time/christmas/baptism"),
            ("2018-01-09", "time/ordinary/week-1/tuesday"),
            ("2023-01-08", "time/christmas/epiphany"),
            ("2023-01-09", "time/christmas/baptism"),
            ("2012-01-10", "time/ordinary/week-1/tuesday"),
            ("2026-01-04", "time/christmas/epiphany"),
            ("2026-01-11", "time/christmas/baptism"),
            ("2026-01-12", "time/ordinary/week-1/monday"),
        ],
    );
}

/// The rubric before Ordinary Time in the Missal; table: England and Wales 2010 and 2011, United States 2012.
#[test]
fn trap_07_a_week_of_ordinary_time_is_left_out_in_most_years() {
    let calendar = general();
    for (monday, week, left_out) in [
        ("2010-05-24", 8, Some(7)),
        ("2011-06-13", 11, Some(10)),
        ("2012-05-28", 8, None),
        ("2008-05-12", 6, Some(5)),
        ("2038-06-14", 11, Some(10)),
    ] {
        let day = day(&calendar, monday);
        assert_eq!(day.week, Some(week), "{monday}");
        let sentence = match left_out {
            Some(week) => format!("week {week} is left out"),
            None => "no week is left out".into(),
        };
        assert!(day.reasons.iter().any(|r| r.contains(&sentence)), "{monday}: {:?}", day.reasons);
    }
}

/// Table: England and Wales, September 2008 and August 2009.
#[test]
fn trap_08_a_replaced_sunday_leaves_its_number_to_the_weekdays() {
    let calendar = general();
    let sunday = day(&calendar, "2025-11-09");
    assert_eq!(sunday.week, Some(32));
    assert!(
        sunday
            .displaced
            .iter()
            .any(|d| d.celebration.id.as_str() == "time/ordinary/week-32/sunday")
    );
    all_kept(
        &calendar,
        &[
            ("2025-11-13", "time/ordinary/week-32/thursday"),
            ("2008-09-18", "time/ordinary/week-24/thursday"),
        ],
    );
}

/// Table of Liturgical Days 3, 5, 6, 7; table: England and Wales 2008, ccwatershed 2025.
#[test]
fn trap_09_what_replaces_an_ordinary_sunday_and_what_does_not() {
    all_kept(
        &general(),
        &[
            ("2014-11-09", "saints/11-09/dedication-of-the-lateran"),
            ("2014-11-02", ALL_SOULS),
            ("2008-09-21", "time/ordinary/week-25/sunday"),
            ("2026-01-25", "time/ordinary/week-3/sunday"),
            ("2025-09-14", "saints/09-14/exaltation-of-the-cross"),
            ("2017-08-06", "saints/08-06/transfiguration"),
            ("2025-02-02", "saints/02-02/presentation"),
            ("2018-06-24", JOHN),
            ("2015-05-31", "time/ordinary/trinity"),
        ],
    );
}

/// Norms 14 and 16b, General Instruction 355a (from memory); table: England and Wales, February 2023.
#[test]
fn trap_10_memorials_in_lent_lend_only_their_collect() {
    let lent = day(&general(), "2026-03-07");
    assert_eq!(lent.celebrations[0].id.as_str(), "time/lent/week-2/saturday");
    let memorial = &lent.celebrations[1];
    assert_eq!(memorial.id.as_str(), "saints/03-07/perpetua-and-felicity");
    assert_eq!((memorial.rank, memorial.line), (Rank::Commemoration, 12));
    assert_eq!(memorial.colour, lent.celebrations[0].colour);
    assert!(lent.reasons.iter().any(|r| r.contains("355a")), "{:?}", lent.reasons);
    let advent = day(&general(), "2013-12-21");
    assert_eq!(advent.celebrations[1].rank, Rank::Commemoration);
}

/// Table: England and Wales, February 2023; Norms 16a. A year later the feast beats the weekday of Lent.
#[test]
fn trap_11_the_chair_of_peter_yields_to_ash_wednesday_only() {
    let ash = day(&general(), "2023-02-22");
    assert_eq!(ash.celebrations.len(), 1);
    assert_eq!(ash.celebrations[0].id.as_str(), "time/lent/ash-wednesday");
    assert!(
        ash.reasons.iter().any(|r| r.contains("Chair of Saint Peter") && r.contains("Norms 16a"))
    );
    assert_eq!(kept(&general(), "2024-02-22"), "saints/02-22/chair-of-peter");
}

/// Decree of 11 February 2018 and Notification of 24 March 2018; the years by rule.
#[test]
fn trap_12_the_mother_of_the_church_yields_to_feasts() {
    all_kept(
        &general(),
        &[
            ("2035-05-14", "saints/05-14/matthias"),
            ("2066-05-31", "saints/05-31/visitation"),
            ("2020-06-01", "saints/mother-of-the-church"),
            ("2024-05-20", "saints/mother-of-the-church"),
            ("2017-06-05", "saints/06-05/boniface"),
        ],
    );
    let justin = day(&general(), "2020-06-01").displaced;
    assert!(justin.iter().any(|d| d.celebration.id.as_str() == "saints/06-01/justin"
        && d.reason.contains("Notification of 24 March 2018")));
}

/// Reply of 8 December 1998 (from memory): both are offered; a layer may read the Notification of 2018, which
/// is on Mary, Mother of the Church, as covering it. The years by rule.
#[test]
fn trap_13_the_immaculate_heart_meets_others() {
    let calendar = general();
    all_kept(
        &calendar,
        &[
            ("2008-05-31", "saints/05-31/visitation"),
            ("2017-06-24", JOHN),
            ("2019-06-29", "saints/06-29/peter-and-paul"),
            ("2038-07-03", "saints/07-03/thomas"),
            ("2025-06-28", "time/ordinary/week-12/saturday"),
            ("2014-06-28", "time/ordinary/week-12/saturday"),
        ],
    );
    let optional = ["time/ordinary/week-12/saturday", IMMACULATE_HEART, "saints/06-28/irenaeus"];
    assert_eq!(offered(&calendar, "2014-06-28"), optional);
    assert_eq!(offered(&calendar, "2025-06-28"), optional);
    let mary_first = with(serde_json::json!({
        "kind": "nation", "settings": [{"immaculate_heart": "mary first", "source": "test"}]
    }));
    assert_eq!(offered(&mary_first, "2025-06-28"), [IMMACULATE_HEART]);
}

/// Table of Liturgical Days 3; table: England and Wales 2025–2028.
#[test]
fn trap_14_all_souls_on_a_sunday() {
    let souls = day(&general(), "2025-11-02");
    assert_eq!(souls.celebrations[0].id.as_str(), ALL_SOULS);
    assert_eq!((souls.celebrations[0].line, souls.week), (3, Some(31)));
    assert!(!souls.permitted.ritual && souls.permitted.funeral);
    let england = Calendar::shipped("england").unwrap();
    all_kept(&england, &[("2025-11-02", "saints/11-01/all-saints"), ("2025-11-03", ALL_SOULS)]);
}

/// Norms 61; Notitiae 10 and 20 as quoted; each case from the published answers named in
/// `fixtures/years/published-days.json`, the last by rule.
#[test]
fn trap_15_two_days_claim_one_evening() {
    let (calendar, states) = (general(), Calendar::shipped("united-states").unwrap());
    for (calendar, date, masses, vespers) in [
        (
            &calendar,
            "2019-09-14",
            vec!["time/ordinary/week-24/sunday", "saints/09-14/exaltation-of-the-cross"],
            "2019-09-14",
        ),
        (&calendar, "2022-06-22", vec![JOHN], "2022-06-23"),
        (&calendar, "2022-06-23", vec![SACRED_HEART], "2022-06-24"),
        (&calendar, "2023-12-24", vec!["time/christmas/nativity"], "2023-12-25"),
        (&calendar, "2023-12-23", vec!["time/advent/week-4/sunday"], "2023-12-24"),
        (&calendar, "2024-12-08", vec!["time/advent/week-2/sunday"], "2024-12-08"),
        (&calendar, "2019-11-02", vec!["time/ordinary/week-31/sunday", ALL_SOULS], "2019-11-02"),
        (
            &states,
            "2021-10-31",
            vec!["time/ordinary/week-31/sunday", "saints/11-01/all-saints"],
            "2021-11-01",
        ),
        (&states, "2025-11-01", vec![ALL_SOULS, "saints/11-01/all-saints"], "2025-11-01"),
        (&states, "2019-06-23", vec!["time/ordinary/corpus-christi", JOHN], "2019-06-23"),
        (&calendar, "2026-04-04", vec!["time/easter/sunday"], "2026-04-05"),
    ] {
        let evening = day(calendar, date).evening.unwrap_or_else(|| panic!("{date}: no evening"));
        let found: Vec<&str> = evening.masses.iter().map(|m| m.celebration.id.as_str()).collect();
        assert_eq!(found, masses, "{date}: {}", evening.reason);
        assert_eq!(evening.vespers_of, vespers.parse().unwrap(), "{date}: {}", evening.reason);
    }
    assert!(day(&calendar, "2026-02-10").evening.is_none());
}

#[test]
fn a_vigil_mass_of_its_own_is_named() {
    for (date, vigil) in [
        ("2026-06-23", "saints/06-24/nativity-of-john-the-baptist/vigil"),
        ("2026-05-23", "time/easter/pentecost/vigil"),
        ("2026-04-04", "time/triduum/vigil"),
        ("2026-12-24", "time/christmas/nativity/vigil"),
    ] {
        let evening = day(&general(), date).evening.unwrap();
        assert_eq!(evening.masses[0].vigil.as_ref().map(|v| v.as_str()), Some(vigil), "{date}");
    }
}

/// The sentence the design gives as its example.
#[test]
fn the_day_says_why_in_sentences() {
    let annunciation = day(&general(), "2027-03-25");
    assert_eq!(annunciation.celebrations[0].id.as_str(), "time/triduum/lords-supper");
    let day = day(&general(), "2028-03-25");
    let lines = [day.celebrations[0].line, day.displaced[0].celebration.line];
    assert_eq!(lines, [3, 9]);
    assert_eq!(
        day.reasons[..2],
        [
            "Kept: The Annunciation of the Lord.",
            "Gives way: Saturday of the Third Week of Lent (Norms 59)."
        ]
    );
}

#[test]
fn titles_are_there_in_three_languages_every_day_of_a_year() {
    for day in general().year(2027).unwrap().days() {
        for celebration in day.celebrations() {
            let title = &celebration.title;
            for text in [Some(&title.en), title.es.as_ref(), title.la.as_ref()] {
                assert!(text.is_some_and(|t| !t.is_empty()), "{}", celebration.id);
            }
        }
    }
    let latin = general().day("2026-12-08".parse().unwrap(), Language::La).unwrap();
    assert!(latin.reasons[0].contains("In Conceptione Immaculata"));
}
