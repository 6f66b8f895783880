//! A civil year settled: every celebration has its day, every day what falls on it.
//!
//! Source: Universal Norms 5 and 59–60; for what the Holy See has decided by name, the `exceptions`
//! of the layers. Nothing is formatted here: sentences are made when a [`super::Day`] is asked for.

use super::base::{Base, Part};
use super::compile::Calendar;
use super::entry::{Impeded, InHolyWeek, OnSunday, Way};
use super::frame::{Customs, DayIndex, Frame, MARGIN};
use super::layer::Kept;
use super::precedence::{LAST_FEAST_LINE, Standing};
use super::version::Version;
use super::{Day, Rank, When};
use crate::Result;
use crate::error::CalendarFault;
use crate::language::Language;
use chrono::{Datelike, NaiveDate};

/// The years the calendar is made for.
pub const YEARS: std::ops::RangeInclusive<i32> = 1970..=2100;

/// From this year a solemnity on a Sunday of Advent, Lent or Easter goes to the Monday after; before,
/// it was kept on the Saturday before (decree of 22 April 1990, Notitiae 26 (1990) 160; the earlier
/// practice from memory).
const FIRST_YEAR_OF_THE_MONDAY: i32 = 1990;

/// A civil year of a calendar, settled.
#[derive(Debug, Clone)]
pub struct Year<'c> {
    pub(super) calendar: &'c Calendar,
    pub(super) frame: Frame,
    pub(super) bases: Vec<Base>,
    /// Sorted by day, then by precedence.
    pub(super) falling: Vec<Falling>,
    /// Where the celebrations of each day begin in `falling`; one more than there are days.
    starts: Vec<u16>,
    pub(super) moves: Vec<Move>,
}

/// A celebration on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Falling {
    pub(super) day: DayIndex,
    /// Smaller is kept.
    pub(super) key: u16,
    pub(super) known: u16,
    pub(super) version: u16,
    /// Whether it came from another day.
    pub(super) moved: bool,
}

/// A celebration that left its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Move {
    pub(super) known: u16,
    pub(super) version: u16,
    pub(super) from: DayIndex,
    pub(super) to: DayIndex,
    pub(super) by: Rule,
}

/// Why a celebration left its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// Published decision; index among the calendar's decisions.
    Decision(u16),
    /// From Saturday or Monday to the Sunday, where the bishops have so decided.
    NearSunday,
    /// From any Sunday to the Monday after, by the calendar of the nation.
    ToMonday,
    /// To the day its calendar names for it when it is impeded.
    NamedDay,
    /// Norms 5: the Monday after a Sunday of Advent, Lent or Easter.
    Monday,
    /// Norms 5 before 1990: the Saturday before.
    Saturday,
    /// Norms 60: the next day free of lines 1 to 8.
    NextFree,
    /// The last free day before Palm Sunday.
    BeforeHolyWeek,
}

/// Precedence as one number.
pub(super) fn key(standing: Standing) -> u16 {
    u16::from(standing.line) * 100 + u16::from(standing.place)
}

/// The first key after those of lines 1 to 8.
const FREE: u16 = (LAST_FEAST_LINE as u16 + 1) * 100;

impl Calendar {
    /// The settled year.
    ///
    /// ```
    /// use vitta::calendar::Calendar;
    /// let calendar = Calendar::shipped("general")?;
    /// assert_eq!(calendar.year(2026)?.days().count(), 365);
    /// assert!(calendar.year(1582).is_err());
    /// # Ok::<(), vitta::Error>(())
    /// ```
    pub fn year(&self, year: i32) -> Result<Year<'_>> {
        if !YEARS.contains(&year) {
            return Err(CalendarFault::YearOutside { year }.into());
        }
        Ok(Year::settle(self, year))
    }

    /// One day, with its titles in all languages and its sentences in `language`.
    pub fn day(&self, date: NaiveDate, language: Language) -> Result<Day> {
        let year = self.year(date.year())?;
        Ok(year.day_at(date.ordinal0() as DayIndex, language))
    }

    fn customs(&self, year: i32) -> Customs<'_> {
        let version = self.epiphany.and_then(|at| {
            let known = self.known.get(at)?;
            known.versions.get(known.in_year(year)?)
        });
        Customs {
            epiphany: self.epiphany_kept(year),
            epiphany_on: version.map_or(When::Epiphany, |v| v.when),
            epiphany_to_sunday: version.map_or(&[], |v| &v.to_sunday),
        }
    }
}

impl<'c> Year<'c> {
    fn settle(calendar: &'c Calendar, year: i32) -> Self {
        let frame = Frame::new(year, [calendar.customs(year), calendar.customs(year + 1)]);
        let bases = (-MARGIN..frame.length + MARGIN).map(|day| frame.base(day)).collect();
        let mut settled = Year {
            calendar,
            frame,
            bases,
            falling: Vec::with_capacity(calendar.known.len() + 64),
            starts: Vec::new(),
            moves: Vec::new(),
        };
        settled.gather();
        settled.sort();
        settled.move_impeded();
        settled.index();
        settled
    }

    /// Puts every celebration on the day that is its own, or that a decision gives it.
    fn gather(&mut self) {
        for years_on in [-1, 0, 1] {
            let year = self.frame.year + years_on;
            let kept =
                [self.calendar.ascension_kept(year), self.calendar.corpus_christi_kept(year)];
            for (at, known) in self.calendar.known.iter().enumerate() {
                let Some(version) = known.in_year(year) else { continue };
                let Some(of) = known.versions.get(version) else { continue };
                let on_sunday = match of.when {
                    When::Ascension => kept[0],
                    When::CorpusChristi => kept[1],
                    _ => Kept::OnItsDay,
                };
                if let Some(day) = self.frame.place(of.when, years_on, on_sunday) {
                    self.put(at, version, of, day, year);
                }
            }
        }
    }

    /// Puts one celebration on `own`, its own day, or where a decision or custom takes it from there.
    fn put(&mut self, at: usize, version: usize, of: &Version, own: DayIndex, year: i32) {
        let decided = self.calendar.decided.iter().position(|d| d.is_for(at, year));
        let placed = decided.and_then(|d| self.by_decision(d));
        let (day, key, rule) = placed.unwrap_or_else(|| self.by_custom(of, own));
        if !self.frame.holds(day) {
            return;
        }
        let (known, version, moved) = (at as u16, version as u16, day != own);
        self.falling.push(Falling { day, key, known, version, moved });
        if moved {
            self.moves.push(Move { known, version, from: own, to: day, by: rule });
        }
    }

    fn by_decision(&self, decision: usize) -> Option<(DayIndex, u16, Rule)> {
        let key = self.calendar.decided.get(decision)?.key;
        Some((self.decided_day(decision)?, key, Rule::Decision(decision as u16)))
    }

    /// Where the territory keeps what falls on `own`. What stays on a Sunday is kept before everything.
    fn by_custom(&self, of: &Version, own: DayIndex) -> (DayIndex, u16, Rule) {
        let near = match of.when {
            When::Epiphany => own,
            _ => self.frame.near_sunday(own, &of.to_sunday),
        };
        match of.on_sunday {
            Some(OnSunday::Stays) if self.is_high_sunday(near) => (near, 0, Rule::NearSunday),
            Some(OnSunday::Monday) if self.frame.weekday(near) == 0 => {
                (near + 1, key(of.standing), Rule::ToMonday)
            }
            _ => (near, key(of.standing), Rule::NearSunday),
        }
    }

    fn decided_day(&self, decision: usize) -> Option<DayIndex> {
        let on = self.calendar.decided.get(decision)?.on;
        let first = NaiveDate::from_ymd_opt(self.frame.year, 1, 1)?;
        DayIndex::try_from((on - first).num_days()).ok()
    }

    fn sort(&mut self) {
        self.falling.sort_unstable_by_key(|f| (f.day, f.key, f.known));
    }

    /// Precedence of what the season gives.
    fn base_key(base: &Base) -> u16 {
        key(Standing { line: base.line(), place: base.place_in_line() })
    }

    pub(super) fn version(&self, known: u16, version: u16) -> Option<&'c Version> {
        self.calendar.known.get(usize::from(known))?.versions.get(usize::from(version))
    }

    /// Moves every impeded solemnity, the highest first, to the day the norms give it.
    fn move_impeded(&mut self) {
        let mut best: Vec<u16> = self.bases.iter().map(Self::base_key).collect();
        let mut impeded = Vec::new();
        for (at, falling) in self.falling.iter().enumerate() {
            let Some(on_day) = best.get_mut(self.frame.slot(falling.day)) else { continue };
            let first_there = falling.key < *on_day;
            *on_day = falling.key.min(*on_day);
            if !first_there && self.can_move(falling) {
                impeded.push(at);
            }
        }
        impeded.sort_by_key(|&at| self.falling.get(at).map(|f| (f.key, f.day)));
        let any = !impeded.is_empty();
        for at in impeded {
            self.move_one(at, &mut best);
        }
        if any {
            self.sort();
        }
    }

    /// Solemnities move; so do All Souls, which stands in their line, and what its calendar moves. What is
    /// decided by name stays.
    fn can_move(&self, falling: &Falling) -> bool {
        let by_calendar = |v: &Version| v.impeded.is_some_and(|i| i != Impeded::By(Way::Beside));
        let movable =
            |v: &Version| v.rank == Rank::Solemnity || v.standing.line <= 4 || by_calendar(v);
        self.version(falling.known, falling.version).is_some_and(movable)
    }

    fn move_one(&mut self, at: usize, best: &mut [u16]) {
        let Some(&falling) = self.falling.get(at) else { return };
        let Some((to, by)) = self.destination(&falling, best) else { return };
        if let Some(on_day) = best.get_mut(self.frame.slot(to)) {
            *on_day = falling.key;
        }
        let Falling { known, version, day, .. } = falling;
        match self.moves.iter_mut().find(|m| m.known == known && m.to == day) {
            Some(earlier) => (earlier.to, earlier.by) = (to, by),
            None => self.moves.push(Move { known, version, from: day, to, by }),
        }
        if let Some(falling) = self.falling.get_mut(at) {
            (falling.day, falling.moved) = (to, true);
        }
    }

    /// The day an impeded solemnity goes to.
    fn destination(&self, falling: &Falling, best: &[u16]) -> Option<(DayIndex, Rule)> {
        let free = |day: DayIndex| best.get(self.frame.slot(day)).is_some_and(|&key| key >= FREE);
        let from = falling.day;
        let palm_sunday = self.frame.easter - 7;
        let in_holy_week = (palm_sunday..self.frame.easter).contains(&from);
        let version = self.version(falling.known, falling.version)?;
        if let Some(Impeded::To(when)) = version.impeded {
            return Some((self.frame.place(when, 0, Kept::OnItsDay)?, Rule::NamedDay));
        }
        let before = version.in_holy_week == InHolyWeek::Before;
        if in_holy_week && before {
            let earlier = (palm_sunday - 40..palm_sunday).rev().find(|&day| free(day))?;
            return Some((earlier, Rule::BeforeHolyWeek));
        }
        let high_sunday = self.is_high_sunday(from);
        if high_sunday && self.frame.year < FIRST_YEAR_OF_THE_MONDAY && free(from - 1) {
            return Some((from - 1, Rule::Saturday));
        }
        let next = (from + 1..self.frame.length + MARGIN).find(|&day| free(day))?;
        Some((next, if high_sunday && next == from + 1 { Rule::Monday } else { Rule::NextFree }))
    }

    /// Whether a celebration is kept today by a standing permission that beats the Table.
    pub(super) fn stays_on_sunday(&self, falling: &Falling) -> Option<&'c Version> {
        let version = self.version(falling.known, falling.version)?;
        let stays = version.on_sunday == Some(OnSunday::Stays) && falling.key == 0;
        (stays && self.is_high_sunday(falling.day)).then_some(version)
    }

    /// A Sunday of Advent, Lent or Easter other than Palm Sunday and Easter Sunday (Norms 5).
    pub(super) fn is_high_sunday(&self, day: DayIndex) -> bool {
        self.bases.get(self.frame.slot(day)).is_some_and(|base| {
            base.is_sunday() && matches!(base.part, Part::Advent | Part::Lent | Part::Easter)
        })
    }

    fn index(&mut self) {
        let width = self.frame.width();
        let mut starts = Vec::with_capacity(width + 1);
        let mut at = 0_u16;
        for slot in 0..width {
            starts.push(at);
            while self.falling.get(usize::from(at)).is_some_and(|f| self.frame.slot(f.day) == slot)
            {
                at += 1;
            }
        }
        starts.push(at);
        self.starts = starts;
    }

    /// What falls on a day, the highest first.
    pub(super) fn on(&self, day: DayIndex) -> &[Falling] {
        let slot = self.frame.slot(day);
        match (self.starts.get(slot), self.starts.get(slot + 1)) {
            (Some(&from), Some(&to)) => {
                self.falling.get(usize::from(from)..usize::from(to)).unwrap_or_default()
            }
            _ => &[],
        }
    }

    pub(super) fn base_on(&self, day: DayIndex) -> Base {
        self.bases.get(self.frame.slot(day)).copied().unwrap_or_else(|| self.frame.base(day))
    }

    /// The year's number.
    pub fn number(&self) -> i32 {
        self.frame.year
    }
}
