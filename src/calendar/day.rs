//! A day of a settled year written out as a [`Day`].

use super::choice::{DayOfYear, Item, Manner};
use super::compile::Decided;
use super::frame::DayIndex;
use super::version::Version;
use super::year::{Falling, Year};
use super::{After, Celebration, Certainty, Colour, Day, Displaced, Rank, Season, When};
use crate::language::{Language, Titles};
use crate::place::Place;
use chrono::{Datelike, NaiveDate};

/// Address of the memorial of Mary on a free Saturday.
const SATURDAY_OF_MARY: &str = "saints/saturday-of-mary";

/// The cycles of readings of a day.
pub(super) struct Cycles {
    /// `A`, `B` or `C`.
    pub(super) sunday: char,
    /// 1 or 2.
    pub(super) weekday: u8,
}

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

    /// Line of the Table on which what is kept stands.
    pub fn kept_line(&self) -> u8 {
        match self.kept() {
            Item::Proper(f) => {
                self.year.version(f.known, f.version).map_or(13, |v| v.standing.line)
            }
            _ => self.base.line(),
        }
    }

    /// In how many ways the day may be celebrated.
    pub fn choices(&self) -> usize {
        self.offered().count()
    }

    /// The day written out, with its sentences.
    pub fn write(&self, language: Language) -> Day {
        let cycles = self.cycles();
        let displaced = self.displaced(language);
        let evening = self.evening(language);
        let permitted = self.permitted();
        let reasons = self.reasons(&displaced, evening.as_ref(), &permitted, language);
        Day {
            date: self.date(),
            season: self.base.season(),
            week: self.week(),
            sunday_cycle: cycles.sunday,
            weekday_cycle: cycles.weekday,
            psalter_week: self.base.psalter_week(),
            after: self.after(),
            nation: self.year.calendar.nation.clone(),
            celebrations: self.celebrations().collect(),
            displaced,
            evening,
            permitted,
            reasons,
        }
    }

    /// Week of the season, where the weeks are counted.
    pub(super) fn week(&self) -> Option<u8> {
        (self.base.week > 0).then_some(self.base.week)
    }

    /// Where texts differ after a solemnity: after the day on which it is kept here.
    fn after(&self) -> Option<After> {
        let (frame, day) = (&self.year.frame, self.day);
        let kept = self.year.calendar.ascension_kept(frame.year);
        let ascension = frame.place(When::Ascension, 0, kept)?;
        match self.base.season() {
            Season::Christmas if (frame.epiphany[0] + 1..=frame.baptism[0]).contains(&day) => {
                Some(After::Epiphany)
            }
            Season::Easter if (ascension + 1..frame.easter + 49).contains(&day) => {
                Some(After::Ascension)
            }
            _ => None,
        }
    }

    /// Named by the civil year that the liturgical year mostly falls in: divisible by three is C, odd
    /// is I (introduction to the Lectionary 66 and 69, from memory).
    pub(super) fn cycles(&self) -> Cycles {
        let frame = &self.year.frame;
        let liturgical_year = frame.year + i32::from(self.day >= frame.advent);
        Cycles {
            sunday: match liturgical_year.rem_euclid(3) {
                0 => 'C',
                1 => 'A',
                _ => 'B',
            },
            weekday: if liturgical_year % 2 == 0 { 2 } else { 1 },
        }
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
                commons: Vec::new(),
                from_memory: None,
                doubt: None,
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
        Celebration {
            id,
            title: version.title.clone(),
            rank,
            line,
            colour,
            other_colours,
            commons: version.commons.clone(),
            from_memory: self.remembered(falling, version),
            doubt: self.decision(falling).and_then(|d| d.doubt.clone()).or(version.doubt.clone()),
        }
    }

    /// The decision that put a celebration on its day this year.
    fn decision(&self, falling: &Falling) -> Option<&Decided> {
        let year = self.year.frame.year;
        self.year.calendar.decided.iter().find(|d| d.is_for(usize::from(falling.known), year))
    }

    /// What of a celebration on this day is from memory: itself, the decision that put it here, or the day
    /// on which the territory keeps it.
    fn remembered(&self, falling: &Falling, version: &Version) -> Option<Certainty> {
        let (calendar, year) = (self.year.calendar, self.year.frame.year);
        let decided = self.decision(falling).map(|d| d.certainty);
        let day = decided.or_else(|| calendar.certainty_of_day(version.when, year));
        day.filter(|c| *c == Certainty::Memory).or(version.from_memory)
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
        commons: Vec::new(),
        from_memory: None,
        doubt: None,
    }
}
