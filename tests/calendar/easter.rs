//! The date of Easter against a general-purpose library's table and against the method of the
//! Church's own tables.

use super::fixture;
use vitta::calendar::easter;

/// Days after 21 March of every Easter from 1583, by the Western method of python-dateutil (the
/// fixture says how it was made).
#[test]
fn every_easter_from_1583_to_4099_is_that_of_dateutil() {
    let table: serde_json::Value = serde_json::from_str(&fixture("easter-1583-4099.json")).unwrap();
    let days = table["days_after_21_march"].as_array().unwrap();
    assert_eq!((table["first_year"].as_i64(), days.len()), (Some(1583), 2517));
    for (year, days) in (1583..).zip(days) {
        assert_eq!(after_21_march(easter(year)), days.as_i64().unwrap(), "{year}");
    }
}

fn after_21_march((month, day): (u32, u32)) -> i64 {
    i64::from(if month == 3 { day } else { day + 31 }) - 21
}

/// C. Clavius, *Romani calendarii a Gregorio XIII restituti explicatio* (1603): golden number, solar and
/// lunar equation, epact with the exception of 25 and 24, paschal full moon, and the Sunday after
/// it. Written from memory of the rule.
fn by_epact(year: i32) -> i64 {
    let golden = year % 19 + 1;
    let century = year / 100 + 1;
    let solar = 3 * century / 4 - 12;
    let lunar = (8 * century + 5) / 25 - 5;
    let mut epact = (11 * golden + 20 + lunar - solar).rem_euclid(30);
    if epact == 24 || epact == 25 && golden > 11 {
        epact += 1;
    }
    let full_moon = if epact > 23 { 74 - epact } else { 44 - epact };
    let sunday_letter = 5 * year / 4 - solar - 10;
    let sunday = full_moon + 7 - (sunday_letter + full_moon).rem_euclid(7);
    i64::from(sunday) - 21
}

#[test]
fn every_easter_is_that_of_the_epacts() {
    for year in 1583..=4099 {
        assert_eq!(after_21_march(easter(year)), by_epact(year), "{year}");
    }
}
