//! One settled day: what is kept, what may be chosen instead, and what gives way.
//!
//! Source: Universal Norms 14–16 and 59, the Table of Liturgical Days, General Instruction of the
//! Roman Missal 355.

use super::Rank;
use super::base::{Base, Part};
use super::entry::{Impeded, Way};
use super::frame::DayIndex;
use super::layer::ImmaculateHeart;
use super::version::Version;
use super::year::{Falling, Move, Year};

/// Something that can be celebrated on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Item {
    /// The Sunday or weekday of the season.
    Base(Base),
    /// A celebration of the calendar.
    Proper(Falling),
    /// The memorial of Mary on a free Saturday of Ordinary Time (Norms 15).
    SaturdayOfMary,
}

/// How a thing is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Manner {
    /// With the rank that is its own.
    Own,
    /// A memorial made optional, because the Immaculate Heart met it (reply of 1998) or by a decision.
    MadeOptional,
    /// Only its Collect may be taken (General Instruction 355a).
    CollectOnly,
}

/// One day of a settled year.
#[derive(Debug, Clone, Copy)]
pub struct DayOfYear<'y, 'c> {
    pub(super) year: &'y Year<'c>,
    pub(super) day: DayIndex,
    pub(super) base: Base,
}

impl<'c> Year<'c> {
    /// The days of the year in order.
    pub fn days(&self) -> impl Iterator<Item = DayOfYear<'_, 'c>> {
        (0..self.frame.length).map(|day| self.at(day))
    }

    pub(super) fn at(&self, day: DayIndex) -> DayOfYear<'_, 'c> {
        DayOfYear { year: self, day, base: self.base_on(day) }
    }
}

impl<'y, 'c> DayOfYear<'y, 'c> {
    fn falling(&self) -> &'y [Falling] {
        self.year.on(self.day)
    }

    /// What is kept by default.
    pub(super) fn kept(&self) -> Item {
        match self.falling().first() {
            Some(first) if first.key < self.base_key() && !self.heart_meets_memorial() => {
                Item::Proper(*first)
            }
            _ => Item::Base(self.base),
        }
    }

    /// Optional memorials never take a weekday by default, so line 12 counts as after line 13 here.
    fn base_key(&self) -> u16 {
        match self.base.line() {
            13 => 1200,
            line => u16::from(line) * 100 + u16::from(self.base.place_in_line()),
        }
    }

    /// Whether the Immaculate Heart meets another obligatory memorial on a free weekday, in a place
    /// and year where both are then optional.
    pub(super) fn heart_meets_memorial(&self) -> bool {
        let falling = self.falling();
        let obligatory = falling.iter().take_while(|f| f.key < 1200);
        let is_heart =
            |f: &Falling| Some(usize::from(f.known)) == self.year.calendar.immaculate_heart;
        self.base.line() == 13
            && falling.first().is_some_and(|f| f.key >= 1000)
            && obligatory.clone().count() > 1
            && obligatory.clone().any(is_heart)
            && self.year.calendar.immaculate_heart_rule(self.year.frame.year)
                == ImmaculateHeart::BothOptional
    }

    /// What may be celebrated, the kept first.
    pub(super) fn offered(&self) -> impl Iterator<Item = (Item, Manner)> + use<'y, 'c> {
        let kept = self.kept();
        let this = *self;
        let others = self
            .falling()
            .iter()
            .filter_map(move |f| this.manner(f, kept).map(|manner| (Item::Proper(*f), manner)));
        let mary = this.is_saturday_of_mary(kept).then_some((Item::SaturdayOfMary, Manner::Own));
        std::iter::once((kept, Manner::Own)).chain(others).chain(mary)
    }

    /// How `falling` may be chosen although `kept` is kept.
    fn manner(&self, falling: &Falling, kept: Item) -> Option<Manner> {
        let version = self.year.version(falling.known, falling.version)?;
        if falling.key < 1000 {
            return None;
        }
        match kept {
            Item::Proper(f) if f.key < 1000 || version.rank != Rank::DayOfPrayer => None,
            Item::Proper(f) => (f != *falling).then_some(Manner::Own),
            _ => self.beside_the_season(falling, version),
        }
    }

    /// How `falling` may be chosen where the day of the season is kept.
    fn beside_the_season(&self, falling: &Falling, version: &Version) -> Option<Manner> {
        let civil = version.rank == Rank::DayOfPrayer;
        let by_indult = version.impeded == Some(Impeded::By(Way::Beside));
        let lowered = falling.key < 1200 || version.standing.line < 12;
        match self.base.line() {
            9 if by_indult => Some(Manner::Own),
            9 if civil => None,
            9 => Some(Manner::CollectOnly),
            13 if lowered => Some(Manner::MadeOptional),
            13 => Some(Manner::Own),
            _ => None,
        }
    }

    /// Norms 15.
    fn is_saturday_of_mary(&self, kept: Item) -> bool {
        self.base.part == Part::Ordinary
            && self.base.weekday == 6
            && matches!(kept, Item::Base(_))
            && !self.heart_meets_memorial()
    }

    /// Celebrations of this day that are neither kept nor offered, and the day of the season if a
    /// celebration takes its place.
    pub(super) fn giving_way(&self) -> impl Iterator<Item = Item> + use<'y, 'c> {
        let kept = self.kept();
        let this = *self;
        let base = (kept != Item::Base(this.base) && this.base.has_own_mass())
            .then_some(Item::Base(this.base));
        let rest = self.falling().iter().filter_map(move |f| {
            let item = Item::Proper(*f);
            (item != kept && this.manner(f, kept).is_none()).then_some(item)
        });
        base.into_iter().chain(rest)
    }

    /// Celebrations whose own day this is, but which are kept on another.
    pub(super) fn moved_away(&self) -> impl Iterator<Item = &'y Move> + use<'y, 'c> {
        let day = self.day;
        self.year.moves.iter().filter(move |m| m.from == day)
    }

    /// How `falling` came here from another day.
    pub(super) fn moved_here(&self, falling: &Falling) -> Option<&'y Move> {
        let day = self.day;
        let known = falling.known;
        self.year.moves.iter().find(move |m| m.to == day && m.known == known)
    }
}
