//! The dates everything else hangs on: Easter and the First Sunday of Advent, Gregorian calendar.
//!
//! Easter is the anonymous Gregorian algorithm printed in J. Meeus, *Astronomical Algorithms* (2nd
//! edition, chapter 8) and, before him, in Butcher's *Ecclesiastical Calendar* (1876): valid for
//! every Gregorian year, from 1583 on.

use chrono::NaiveDate;

/// Easter Sunday of a Gregorian year as month and day.
///
/// ```
/// use vitta::calendar::easter;
/// assert_eq!(easter(2026), (4, 5));
/// ```
pub fn easter(year: i32) -> (u32, u32) {
    let (golden, century, in_century) = (year % 19, year / 100, year % 100);
    let correction = (century - (century + 8) / 25 + 1) / 3;
    let epact = (19 * golden + century - century / 4 - correction + 15) % 30;
    let to_sunday = (32 + 2 * (century % 4) + 2 * (in_century / 4) - epact - in_century % 4) % 7;
    let late = (golden + 11 * epact + 22 * to_sunday) / 451;
    let sum = epact + to_sunday - 7 * late + 114;
    ((sum / 31) as u32, (sum % 31 + 1) as u32)
}

/// Easter Sunday as a date, where the library can write one.
pub fn easter_date(year: i32) -> Option<NaiveDate> {
    let (month, day) = easter(year);
    NaiveDate::from_ymd_opt(year, month, day)
}
