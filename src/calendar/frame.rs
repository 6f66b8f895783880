//! One civil year laid out in days, with the dates the seasons hang on.
//!
//! A [`DayIndex`] counts from 1 January of the year (0); December of the year before is negative and
//! January of the year after goes on counting, because what is moved may cross New Year.

use super::computus::easter;
use super::entry::NearSunday;
use super::layer::Kept;
use super::when::{MonthDay, When};
use chrono::{Days, NaiveDate};

/// Days after 1 January of the frame's year.
pub(super) type DayIndex = i16;

/// Days of December before the year, and of January after it, that the frame holds.
pub(super) const MARGIN: DayIndex = 31;

/// What the seasons of one civil year need to know.
#[derive(Debug, Clone)]
pub(super) struct Frame {
    pub(super) year: i32,
    first_weekday: i16,
    pub(super) length: DayIndex,
    pub(super) easter: DayIndex,
    pub(super) advent: DayIndex,
    pub(super) advent_before: DayIndex,
    pub(super) epiphany: [DayIndex; 2],
    pub(super) baptism: [DayIndex; 2],
}

/// How the territory keeps the movable solemnities in one year.
#[derive(Debug, Clone, Copy)]
pub(super) struct Customs<'a> {
    pub(super) epiphany: Kept,
    pub(super) epiphany_on: When,
    pub(super) epiphany_to_sunday: &'a [NearSunday],
}

/// Whether February has 29 days.
pub(super) fn is_leap(year: i32) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

/// Weekday of 1 January, 0 for Sunday (C. F. Gauss, *Den Wochentag des 1. Januar eines Jahres zu finden*).
fn weekday_of_new_year(year: i32) -> i16 {
    let before = year - 1;
    ((1 + 5 * (before % 4) + 4 * (before % 100) + 6 * (before % 400)) % 7) as i16
}

/// Days before a month in a common year.
const BEFORE_MONTH: [DayIndex; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

/// Index of a date inside its own year.
fn day_of_year(year: i32, date: MonthDay) -> DayIndex {
    let before = BEFORE_MONTH.get(usize::from(date.month) - 1).copied().unwrap_or(0);
    let leap_day = is_leap(year);
    let day = if date.month == 2 && date.day == 29 && !leap_day { 28 } else { date.day };
    before + DayIndex::from(leap_day && date.month > 2) + DayIndex::from(day) - 1
}

const fn at(month: u8, day: u8) -> MonthDay {
    MonthDay { month, day }
}

impl Frame {
    pub(super) fn new(year: i32, customs: [Customs; 2]) -> Self {
        let mut frame = Frame {
            year,
            first_weekday: weekday_of_new_year(year),
            length: 365 + DayIndex::from(is_leap(year)),
            easter: 0,
            advent: 0,
            advent_before: 0,
            epiphany: [0; 2],
            baptism: [0; 2],
        };
        let (month, day) = easter(year);
        frame.easter = day_of_year(year, at(month as u8, day as u8));
        frame.advent = frame.sunday_from(frame.date(0, at(11, 27)));
        frame.advent_before = frame.sunday_from(frame.date(-1, at(11, 27)));
        for (next, customs) in customs.iter().enumerate() {
            let epiphany = frame.place_epiphany(next as i32, customs);
            let sunday = frame.sunday_from(frame.date(next as i32, at(1, 7)));
            frame.epiphany[next] = epiphany;
            frame.baptism[next] = sunday + DayIndex::from(epiphany == sunday);
        }
        frame
    }

    fn place_epiphany(&self, next: i32, customs: &Customs) -> DayIndex {
        match (customs.epiphany_on, customs.epiphany) {
            (When::Epiphany, Kept::OnSunday) => self.sunday_from(self.date(next, at(1, 2))),
            (When::Date(date), _) => {
                self.near_sunday(self.date(next, date), customs.epiphany_to_sunday)
            }
            _ => self.near_sunday(self.date(next, at(1, 6)), customs.epiphany_to_sunday),
        }
    }

    /// Weekday, 0 for Sunday.
    pub(super) fn weekday(&self, day: DayIndex) -> u8 {
        (self.first_weekday + day).rem_euclid(7) as u8
    }

    /// The first Sunday on or after `day`.
    fn sunday_from(&self, day: DayIndex) -> DayIndex {
        self.weekday_from(0, day)
    }

    fn weekday_from(&self, weekday: u8, day: DayIndex) -> DayIndex {
        day + (DayIndex::from(weekday) - DayIndex::from(self.weekday(day))).rem_euclid(7)
    }

    /// The Sunday next to `day` if the territory brings celebrations from there.
    pub(super) fn near_sunday(&self, day: DayIndex, from: &[NearSunday]) -> DayIndex {
        match self.weekday(day) {
            6 if from.contains(&NearSunday::Saturday) => day + 1,
            1 if from.contains(&NearSunday::Monday) => day - 1,
            _ => day,
        }
    }

    /// Index of a month and day in the year before (-1), this one (0) or the next (1).
    pub(super) fn date(&self, years_on: i32, date: MonthDay) -> DayIndex {
        let within = day_of_year(self.year + years_on, date);
        match years_on {
            -1 => within - 365 - DayIndex::from(is_leap(self.year - 1)),
            1 => within + self.length,
            _ => within,
        }
    }

    /// Where a celebration would fall in the year `years_on` (-1, 0 or 1), if the frame reaches it.
    pub(super) fn place(&self, when: When, years_on: i32, on_sunday: Kept) -> Option<DayIndex> {
        let this_year = years_on == 0;
        let next = usize::from(years_on > 0);
        let day = match when {
            When::Date(date) => self.date(years_on, date),
            When::WeekdayFrom(weekday, date) => {
                self.weekday_from(weekday, self.date(years_on, date))
            }
            When::HolyFamily => self.holy_family(self.date(years_on, at(12, 25))),
            When::Advent(days) if years_on <= 0 => {
                days + if this_year { self.advent } else { self.advent_before }
            }
            When::Epiphany if years_on >= 0 => *self.epiphany.get(next)?,
            When::Baptism if years_on >= 0 => *self.baptism.get(next)?,
            When::Easter(days) if this_year => self.easter + days,
            When::Ascension if this_year => self.easter + sunday_or(on_sunday, 42, 39),
            When::CorpusChristi if this_year => self.easter + sunday_or(on_sunday, 63, 60),
            _ => return None,
        };
        self.holds(day).then_some(day)
    }

    /// Norms 35a: the Sunday in the octave, or 30 December when both its ends are Sundays.
    fn holy_family(&self, christmas: DayIndex) -> DayIndex {
        if self.weekday(christmas) == 0 { christmas + 5 } else { self.sunday_from(christmas) }
    }

    /// Whether the frame reaches `day`.
    pub(super) fn holds(&self, day: DayIndex) -> bool {
        (-MARGIN..self.length + MARGIN).contains(&day)
    }

    /// How many days the frame holds, margins included.
    pub(super) fn width(&self) -> usize {
        (self.length + 2 * MARGIN) as usize
    }

    /// Position of `day` among the days the frame holds.
    pub(super) fn slot(&self, day: DayIndex) -> usize {
        usize::try_from(day + MARGIN).unwrap_or(usize::MAX)
    }

    /// The civil date of `day`.
    pub(super) fn civil(&self, day: DayIndex) -> NaiveDate {
        let first = NaiveDate::from_ymd_opt(self.year, 1, 1).unwrap_or_default();
        let far = Days::new(u64::from(day.unsigned_abs()));
        let moved = if day < 0 { first.checked_sub_days(far) } else { first.checked_add_days(far) };
        moved.unwrap_or(first)
    }
}

fn sunday_or(kept: Kept, sunday: DayIndex, day: DayIndex) -> DayIndex {
    match kept {
        Kept::OnSunday => sunday,
        Kept::OnItsDay => day,
    }
}
