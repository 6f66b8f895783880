//! A day of a settled year written out as a [`Day`].

use super::choice::{DayOfYear, Item, Manner};
use super::frame::DayIndex;
use super::year::{Falling, Year};
use super::{Celebration, Colour, Day, Displaced, Rank};
use crate::language::{Language, Titles};
use crate::place::Place;
use chrono::{Datelike, NaiveDate};

/// Address of the memorial of Mary on a free Saturday.
const SATURDAY_OF_MARY: &str = "saints/saturday-of-mary";

impl Year<'_> {
    /// The day at `date`, if it is of this year, with its sentences in English and its titles in them
    /// in `language`.
    pub fn day(&self, date: NaiveDate, language: Language) -> Option<Day> {
        let index = DayIndex::try_from(date.ordinal0()).ok()?;
        (date.year() == self.number()).then(|| self.day_at(index, language))
    }

    pub(super) fn day_at(&self, index: DayIndex, language: Language) -> Day {
        self.at(index).write(language)
    }
}

impl DayOfYear<'_, '_> {
    /// The civil date.
    pub fn date(&self) -> NaiveDate {
        self.year.frame.civil(self.day)
    }

    /// The day written out, with its sentences.
    pub fn write(&self, language: Language) -> Day {
        let liturgical_year = self.liturgical_year();
        Day {
            date: self.date(),
            season: self.base.season(),
            week: (self.base.week > 0).then_some(self.base.week),
            sunday_cycle: ['C', 'A', 'B'][liturgical_year.rem_euclid(3) as usize],
            weekday_cycle: if liturgical_year % 2 == 0 { 2 } else { 1 },
            psalter_week: self.base.psalter_week(),
            celebrations: self.celebrations().collect(),
            displaced: self.displaced(language),
            evening: self.evening(language),
            permitted: self.permitted(),
            reasons: self.reasons(language),
        }
    }

    /// The civil year that the liturgical year mostly falls in.
    fn liturgical_year(&self) -> i32 {
        let frame = &self.year.frame;
        frame.year + i32::from(self.day >= frame.advent)
    }

    /// What may be celebrated, the kept first.
    pub fn celebrations(&self) -> impl Iterator<Item = Celebration> {
        self.offered().map(|(item, manner)| self.celebration(item, manner))
    }

    pub(super) fn celebration(&self, item: Item, manner: Manner) -> Celebration {
        match item {
            Item::Base(base) => Celebration {
                id: Place::composed(base.path()),
                title: base.title(self.year.frame.year),
                rank: base.rank(),
                line: base.line(),
                colour: base.colour(),
                other_colours: base.other_colours().to_vec(),
            },
            Item::SaturdayOfMary => saturday_of_mary(),
            Item::Proper(falling) => self.proper(&falling, manner),
        }
    }

    fn proper(&self, falling: &Falling, manner: Manner) -> Celebration {
        let year = self.year;
        let Some(version) = year.version(falling.known, falling.version) else {
            return self.celebration(Item::Base(self.base), Manner::Own);
        };
        let (rank, line) = match manner {
            Manner::Own => (version.rank, version.standing.line),
            Manner::MadeOptional => (Rank::OptionalMemorial, 12),
            Manner::CollectOnly => (Rank::Commemoration, 12),
        };
        let (colour, other_colours) = match manner {
            Manner::CollectOnly => (self.base.colour(), Vec::new()),
            _ => (version.colour, version.other_colours.clone()),
        };
        let id =
            year.id(falling.known).cloned().unwrap_or_else(|| Place::composed(self.base.path()));
        Celebration { id, title: version.title.clone(), rank, line, colour, other_colours }
    }

    fn displaced(&self, language: Language) -> Vec<Displaced> {
        let away = self.moved_away().map(|m| {
            let falling =
                Falling { day: m.from, key: 0, known: m.known, version: m.version, moved: true };
            Displaced {
                celebration: self.celebration(Item::Proper(falling), Manner::Own),
                moved_to: Some(self.year.frame.civil(m.to)),
                reason: self.moved_away_sentence(m, language),
            }
        });
        let omitted = self.giving_way().map(|item| Displaced {
            celebration: self.celebration(item, Manner::Own),
            moved_to: None,
            reason: self.gives_way_sentence(item, language),
        });
        away.chain(omitted).collect()
    }
}

impl Year<'_> {
    pub(super) fn id(&self, known: u16) -> Option<&Place> {
        self.calendar.known.get(usize::from(known)).map(|k| &k.id)
    }
}

fn saturday_of_mary() -> Celebration {
    Celebration {
        id: Place::composed(SATURDAY_OF_MARY.into()),
        title: Titles {
            en: "The Blessed Virgin Mary on Saturday".into(),
            es: Some("Santa María en sábado".into()),
            la: Some("Sanctae Mariae in sabbato".into()),
        },
        rank: Rank::OptionalMemorial,
        line: 12,
        colour: Colour::White,
        other_colours: Vec::new(),
    }
}
