//! What each day is by the season alone: the Sunday or weekday on which celebrations fall.
//!
//! Source: Universal Norms on the Liturgical Year and the Calendar 18–44 and the Table of Liturgical
//! Days (lines 1, 2, 6, 9 and 13); the rubric before Ordinary Time in the Missal for the week that is
//! left out.

use super::frame::{DayIndex, Frame};
use super::{Colour, Rank, Season};

/// The part of the season a day belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Part {
    /// Advent to 16 December, and its Sundays.
    Advent,
    /// 17 to 24 December, not Sundays.
    LateAdvent,
    /// 25 December to 1 January.
    ChristmasOctave,
    /// Christmas Time before Epiphany.
    BeforeEpiphany,
    /// Christmas Time after Epiphany.
    AfterEpiphany,
    AshWednesday,
    AfterAsh,
    Lent,
    PalmSunday,
    HolyWeek,
    LordsSupper,
    GoodFriday,
    HolySaturday,
    EasterSunday,
    EasterOctave,
    Easter,
    Ordinary,
}

/// A day of a season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Base {
    pub(super) part: Part,
    /// Week of the season, 0 where weeks are not counted.
    pub(super) week: u8,
    /// 0 for Sunday.
    pub(super) weekday: u8,
    /// Day of the month, for December.
    pub(super) date: u8,
}

impl Frame {
    /// The day of the season at `day`.
    pub(super) fn base(&self, day: DayIndex) -> Base {
        let weekday = self.weekday(day);
        let (part, week, date) = if day < 0 {
            self.year_end(day, self.advent_before, -7)
        } else if day >= self.length {
            self.year_start(day, 1)
        } else if day <= self.baptism[0] {
            self.year_start(day, 0)
        } else if day >= self.advent - 7 {
            self.year_end(day, self.advent, self.length - 7)
        } else {
            self.middle(day)
        };
        Base { part, week, weekday, date }
    }

    /// From the last week of Ordinary Time to 31 December.
    fn year_end(&self, day: DayIndex, advent: DayIndex, christmas: DayIndex) -> (Part, u8, u8) {
        let date = (25 + day - christmas).max(0) as u8;
        let week = ((day - advent).div_euclid(7) + 1).max(0) as u8;
        match day {
            _ if day < advent => (Part::Ordinary, 34, 0),
            _ if day >= christmas => (Part::ChristmasOctave, 0, date),
            _ if date >= 17 && self.weekday(day) != 0 => (Part::LateAdvent, week, date),
            _ => (Part::Advent, week, date),
        }
    }

    /// From 1 January to the end of week 1 of Ordinary Time and beyond it, for the year `next` (0 or 1).
    fn year_start(&self, day: DayIndex, next: usize) -> (Part, u8, u8) {
        let new_year = if next == 0 { 0 } else { self.length };
        let (epiphany, baptism) = (self.epiphany[next], self.baptism[next]);
        if day > baptism {
            (Part::Ordinary, self.early_week(day, baptism), 0)
        } else if day == new_year {
            (Part::ChristmasOctave, 0, 1)
        } else if day <= epiphany && self.weekday(day) != 0
            || (self.weekday(day) == 0 && day < new_year + 6)
        {
            (Part::BeforeEpiphany, 0, 0)
        } else {
            (Part::AfterEpiphany, 0, 0)
        }
    }

    /// Week of Ordinary Time before Lent: week 1 is that of the Sunday after 6 January (Norms 44).
    fn early_week(&self, day: DayIndex, baptism: DayIndex) -> u8 {
        let first_sunday = baptism - DayIndex::from(self.weekday(baptism));
        ((day - first_sunday) / 7 + 1) as u8
    }

    /// From the end of Christmas Time to the last week but one of Ordinary Time.
    fn middle(&self, day: DayIndex) -> (Part, u8, u8) {
        let from_easter = day - self.easter;
        let week_of = |days: DayIndex| (days / 7 + 1) as u8;
        match from_easter {
            ..-46 => (Part::Ordinary, self.early_week(day, self.baptism[0]), 0),
            -46 => (Part::AshWednesday, 0, 0),
            -45..-42 => (Part::AfterAsh, 0, 0),
            -42..-7 => (Part::Lent, week_of(from_easter + 42), 0),
            -7 => (Part::PalmSunday, 0, 0),
            -6..-3 => (Part::HolyWeek, 0, 0),
            -3 => (Part::LordsSupper, 0, 0),
            -2 => (Part::GoodFriday, 0, 0),
            -1 => (Part::HolySaturday, 0, 0),
            0 => (Part::EasterSunday, 1, 0),
            1..7 => (Part::EasterOctave, 1, 0),
            7..50 => (Part::Easter, week_of(from_easter), 0),
            _ => (Part::Ordinary, self.late_week(day), 0),
        }
    }

    /// Week of Ordinary Time after Pentecost, counted back from the 34th: in most years the one that
    /// would follow the last before Lent is left out.
    fn late_week(&self, day: DayIndex) -> u8 {
        let sunday = day - DayIndex::from(self.weekday(day));
        (35 - (self.advent - sunday) / 7) as u8
    }

    /// Last week of Ordinary Time before Lent and first after Pentecost.
    pub(super) fn weeks_around_lent(&self) -> (u8, u8) {
        let shrove = self.easter - 47;
        (self.early_week(shrove, self.baptism[0]), self.late_week(self.easter + 50))
    }
}

impl Base {
    pub(super) fn is_sunday(&self) -> bool {
        self.weekday == 0
    }

    pub(super) fn season(&self) -> Season {
        match self.part {
            Part::Advent | Part::LateAdvent => Season::Advent,
            Part::ChristmasOctave | Part::BeforeEpiphany | Part::AfterEpiphany => Season::Christmas,
            Part::AshWednesday
            | Part::AfterAsh
            | Part::Lent
            | Part::PalmSunday
            | Part::HolyWeek => Season::Lent,
            Part::LordsSupper | Part::GoodFriday | Part::HolySaturday | Part::EasterSunday => {
                Season::Triduum
            }
            Part::EasterOctave | Part::Easter => Season::Easter,
            Part::Ordinary => Season::Ordinary,
        }
    }

    /// Line of the Table of Liturgical Days.
    pub(super) fn line(&self) -> u8 {
        match self.part {
            Part::LordsSupper | Part::GoodFriday | Part::HolySaturday | Part::EasterSunday => 1,
            Part::AshWednesday | Part::PalmSunday | Part::HolyWeek | Part::EasterOctave => 2,
            Part::Advent | Part::Lent | Part::Easter if self.is_sunday() => 2,
            _ if self.is_sunday() => 6,
            Part::LateAdvent | Part::ChristmasOctave | Part::AfterAsh | Part::Lent => 9,
            _ => 13,
        }
    }

    /// Place inside its line: Sundays, then Ash Wednesday, Holy Week, the octave, as printed.
    pub(super) fn place_in_line(&self) -> u8 {
        match self.part {
            Part::AshWednesday => 60,
            Part::HolyWeek => 70,
            Part::EasterOctave => 80,
            _ => 50,
        }
    }

    /// Rank: the Triduum and the octave of Easter count as solemnities of the Lord (Norms 24; the
    /// Table puts them above all others).
    pub(super) fn rank(&self) -> Rank {
        match self.part {
            Part::LordsSupper | Part::GoodFriday | Part::HolySaturday => Rank::Solemnity,
            Part::EasterSunday | Part::EasterOctave => Rank::Solemnity,
            _ if self.is_sunday() => Rank::Sunday,
            _ => Rank::Weekday,
        }
    }

    /// Whether the Missal has a Mass for the day itself; the others are always taken by a feast.
    pub(super) fn has_own_mass(&self) -> bool {
        match self.part {
            Part::ChristmasOctave => self.weekday != 0 && (29..=31).contains(&self.date),
            Part::AfterEpiphany => self.weekday != 0,
            Part::Easter => self.week < 8,
            Part::Ordinary => self.week > 1 || self.weekday != 0,
            _ => true,
        }
    }

    /// Colour (General Instruction 346).
    pub(super) fn colour(&self) -> Colour {
        match self.part {
            Part::PalmSunday | Part::GoodFriday => Colour::Red,
            Part::Ordinary => Colour::Green,
            Part::LordsSupper | Part::EasterSunday | Part::EasterOctave | Part::Easter => {
                Colour::White
            }
            Part::ChristmasOctave | Part::BeforeEpiphany | Part::AfterEpiphany => Colour::White,
            _ => Colour::Violet,
        }
    }

    /// Colours permitted besides: rose on Gaudete and Laetare Sunday (General Instruction 346f).
    pub(super) fn other_colours(&self) -> &'static [Colour] {
        match (self.part, self.week, self.weekday) {
            (Part::Advent, 3, 0) | (Part::Lent, 4, 0) => &[Colour::Rose],
            _ => &[],
        }
    }

    /// Week of the psalter, where the four weeks run (General Instruction of the Liturgy of the Hours 133).
    pub(super) fn psalter_week(&self) -> Option<u8> {
        match self.part {
            Part::AfterAsh | Part::AshWednesday => Some(4),
            Part::PalmSunday | Part::HolyWeek => Some(2),
            Part::Advent | Part::LateAdvent | Part::Lent | Part::Easter | Part::Ordinary => {
                Some((self.week + 3) % 4 + 1)
            }
            _ => None,
        }
    }
}
