//! Dates as people type them.

use crate::Result;
use crate::error::UsageFault;
use chrono::{Datelike, Days, Local, NaiveDate, Weekday};

/// The date meant by `typed`: year-month-day, `today`, `tomorrow`, or `sunday` (today or the next).
pub fn parse(typed: &str) -> Result<NaiveDate> {
    parse_from(typed, Local::now().date_naive())
}

/// The coming Saturday, today if it is one.
pub fn saturday() -> NaiveDate {
    let today = Local::now().date_naive();
    today + Days::new(u64::from(Weekday::Sat.days_since(today.weekday())))
}

fn parse_from(typed: &str, today: NaiveDate) -> Result<NaiveDate> {
    let ahead = match typed {
        "today" => Some(0),
        "tomorrow" => Some(1),
        "sunday" => Some(u64::from(Weekday::Sun.days_since(today.weekday()))),
        _ => None,
    };
    match ahead {
        Some(days) => {
            today.checked_add_days(Days::new(days)).ok_or_else(|| no_date(typed, "too late"))
        }
        None => written(typed),
    }
}

fn no_date(typed: &str, why: &str) -> crate::Error {
    UsageFault::NoDate { typed: typed.to_owned(), why: why.to_owned() }.into()
}

fn written(typed: &str) -> Result<NaiveDate> {
    let parts: Vec<&str> = typed.split('-').collect();
    let [year, month, day] = parts.as_slice() else {
        return Err(no_date(typed, "year-month-day is expected"));
    };
    let digits = |s: &str, n: usize| s.len() == n && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(year, 4) || !digits(month, 2) || !digits(day, 2) {
        return Err(no_date(typed, "four digits, two and two are expected"));
    }
    let (year, month, day) =
        (year.parse().unwrap_or(0), month.parse().unwrap_or(0), day.parse().unwrap_or(0));
    let Some(first) = NaiveDate::from_ymd_opt(year, month, 1) else {
        return Err(no_date(typed, "months go from 01 to 12"));
    };
    NaiveDate::from_ymd_opt(year, month, day).ok_or_else(|| {
        let days = first.num_days_in_month();
        no_date(typed, &format!("{} has {days} days", first.format("%B %Y")))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_as_people_type_them() {
        let wednesday = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
        let sunday = NaiveDate::from_ymd_opt(2026, 11, 29).unwrap();
        let cases = [
            ("today", wednesday, wednesday),
            ("tomorrow", wednesday, wednesday.succ_opt().unwrap()),
            ("sunday", wednesday, sunday),
            ("sunday", sunday, sunday),
            ("2027-03-19", wednesday, NaiveDate::from_ymd_opt(2027, 3, 19).unwrap()),
        ];
        for (typed, today, expected) in cases {
            assert_eq!(parse_from(typed, today).unwrap(), expected, "{typed}");
        }
    }

    #[test]
    fn what_is_no_date_is_refused_with_the_reason() {
        let cases = [
            ("2026-02-30", "February 2026 has 28 days"),
            ("2026-13-01", "months go from 01 to 12"),
            ("8 December", "year-month-day is expected"),
            ("26-12-08", "four digits, two and two are expected"),
            ("", "year-month-day is expected"),
        ];
        for (typed, reason) in cases {
            let error = parse(typed).unwrap_err().to_string();
            assert!(error.contains(reason), "{typed}: {error}");
        }
    }
}
