//! Masses permitted on each kind of day, and what may be chosen.

use super::{day, general, offered};
use vitta::calendar::Permitted;

/// A row of the table in the order R N P V F D d: ritual, by leave of the bishop, for pastoral
/// advantage, free choice, funeral, news and burial, other for the dead.
fn row(permitted: &Permitted) -> String {
    [
        (permitted.ritual, 'R'),
        (permitted.by_leave_of_the_bishop, 'N'),
        (permitted.for_pastoral_advantage, 'P'),
        (permitted.free_choice, 'V'),
        (permitted.funeral, 'F'),
        (permitted.news_burial_anniversary, 'D'),
        (permitted.other_for_the_dead, 'd'),
    ]
    .into_iter()
    .filter_map(|(yes, letter)| yes.then_some(letter))
    .collect()
}

/// General Instruction of the Roman Missal 371–381 and the table appended to it in older printings
/// (from memory, the lists for ritual and funeral Masses read in the text of 1975).
#[test]
fn masses_permitted_on_each_kind_of_day() {
    let calendar = general();
    for (date, kind, letters) in [
        ("2026-04-02", "Holy Thursday", ""),
        ("2026-04-03", "Good Friday", ""),
        ("2026-03-01", "Sunday of Lent", ""),
        ("2026-12-06", "Sunday of Advent", ""),
        ("2026-08-15", "solemnity of precept", ""),
        ("2026-03-25", "solemnity not of precept", "F"),
        ("2026-11-02", "All Souls", "F"),
        ("2026-02-18", "Ash Wednesday", "F"),
        ("2026-03-30", "Monday of Holy Week", "F"),
        ("2026-04-08", "octave of Easter", "F"),
        ("2026-07-12", "Ordinary Sunday", "RNF"),
        ("2026-08-24", "feast", "RNF"),
        ("2026-12-18", "17 to 24 December", "RNFD"),
        ("2026-03-03", "weekday of Lent", "RNFD"),
        ("2026-12-30", "octave of Christmas", "RNFD"),
        ("2026-01-17", "obligatory memorial", "RNPFD"),
        ("2026-12-01", "Advent to 16 December", "RNPFD"),
        ("2026-04-14", "Easter Time", "RNPFD"),
        ("2026-02-10", "memorial of Scholastica", "RNPFD"),
        ("2026-02-12", "weekday of Ordinary Time", "RNPVFDd"),
        ("2026-02-03", "weekday with optional memorials", "RNPVFDd"),
    ] {
        assert_eq!(row(&day(&calendar, date).permitted), letters, "{date}: {kind}");
    }
}

/// Universal Norms 15 (from memory).
#[test]
fn saturday_of_mary_only_in_ordinary_time() {
    let mary = "saints/saturday-of-mary";
    for (date, there) in [
        ("2026-02-07", true),
        ("2026-03-14", false),
        ("2026-12-05", false),
        ("2026-04-25", false),
        ("2026-01-17", false),
        ("2026-07-04", true),
    ] {
        let found = offered(&general(), date).iter().any(|id| id == mary);
        assert_eq!(found, there, "{date}");
    }
}

/// Universal Norms 14: several optional memorials on a day are all offered after the weekday.
#[test]
fn several_optional_memorials_are_offered_after_the_weekday() {
    assert_eq!(
        offered(&general(), "2026-05-25")[..1],
        ["saints/mother-of-the-church"],
        "an obligatory memorial leaves no choice"
    );
    assert_eq!(
        offered(&general(), "2027-05-25"),
        [
            "time/ordinary/week-8/tuesday",
            "saints/05-25/bede",
            "saints/05-25/gregory-vii",
            "saints/05-25/mary-magdalene-de-pazzi"
        ]
    );
}
