//! The sentences in which a day explains itself.
//!
//! "Norms" are the Universal Norms on the Liturgical Year and the Calendar, "line" a line of the Table
//! of Liturgical Days.

use super::base::Part;
use super::choice::{DayOfYear, Item, Manner};
use super::compile::Version;
use super::year::{Falling, Move, Rule};
use super::{Displaced, Evening, Permitted, Season};
use crate::language::Language;
use chrono::NaiveDate;
use std::borrow::Cow;

const MOTHER_OF_THE_CHURCH: &str = "saints/mother-of-the-church";

/// "Monday 9 December 2024".
fn long_date(date: NaiveDate) -> String {
    date.format("%A %-d %B %Y").to_string()
}

impl DayOfYear<'_, '_> {
    /// Every sentence of the day, the kept celebration first.
    pub(super) fn reasons(
        &self,
        displaced: &[Displaced],
        evening: Option<&Evening>,
        permitted: &Permitted,
        language: Language,
    ) -> Vec<String> {
        let mut reasons = vec![self.kept_sentence(language)];
        reasons.extend(self.came_here_sentence(language));
        reasons.extend(displaced.iter().map(|d| d.reason.clone()));
        reasons.extend(self.choice_sentence(language));
        reasons.extend(self.collect_sentence(language));
        reasons.extend(self.week_sentence());
        reasons.extend(evening.map(|evening| evening.reason.clone()));
        reasons.push(permitted.sentence());
        reasons
    }

    fn title(&self, item: Item, language: Language) -> Cow<'_, str> {
        match self.version_of(item) {
            Some(version) => version.title.get(language).into(),
            None => {
                let title = self.celebration(item, Manner::Own).title;
                title.get(language).to_owned().into()
            }
        }
    }

    fn version_of(&self, item: Item) -> Option<&Version> {
        match item {
            Item::Proper(f) => self.year.version(f.known, f.version),
            _ => None,
        }
    }

    fn line_of(&self, item: Item) -> u8 {
        match item {
            Item::Base(base) => base.line(),
            Item::SaturdayOfMary => 12,
            Item::Proper(_) => self.version_of(item).map_or(13, |v| v.standing.line),
        }
    }

    fn kept_sentence(&self, language: Language) -> String {
        let kept = self.kept();
        format!("Kept: {} (line {}).", self.title(kept, language), self.line_of(kept))
    }

    /// Why the kept celebration is here and not on the day that is its own, or by whose decision.
    fn came_here_sentence(&self, language: Language) -> Option<String> {
        let Item::Proper(falling) = self.kept() else { return None };
        if let Some(m) = self.moved_here(&falling) {
            let from = long_date(self.year.frame.civil(m.from));
            return Some(format!(
                "{} is moved here from {from}: {}.",
                self.title(Item::Proper(falling), language),
                self.rule_words(m)
            ));
        }
        let year = self.year.frame.year;
        let decided = &self.year.calendar.decided;
        let decision = decided.iter().find(|d| d.is_for(usize::from(falling.known), year))?;
        Some(format!("Kept today by a published decision: {}.", decision.document))
    }

    pub(super) fn moved_away_sentence(&self, m: &Move, language: Language) -> String {
        let falling =
            Falling { day: m.from, key: 0, known: m.known, version: m.version, moved: true };
        let to = self.year.frame.civil(m.to);
        let title = self.title(Item::Proper(falling), language);
        let date = long_date(to);
        format!(
            "Moved: {title} (line {}) is kept on {date}: {}.",
            self.line_of(Item::Proper(falling)),
            self.rule_words(m)
        )
    }

    fn rule_words(&self, m: &Move) -> String {
        match m.by {
            Rule::Decision(at) => {
                let document = self.year.calendar.decided.get(usize::from(at));
                format!("a published decision, {}", document.map_or("", |d| &d.document))
            }
            Rule::NearSunday => "the bishops bring it from Saturday or Monday to the Sunday".into(),
            Rule::Monday => "a solemnity that meets a Sunday of Advent, Lent or Easter goes to the Monday after (Norms 5)".into(),
            Rule::Saturday => "until 1990 a solemnity that met a Sunday of Advent, Lent or Easter was kept on the Saturday before (Norms 5 as it then stood)".into(),
            Rule::NextFree => "an impeded solemnity goes to the nearest day free of lines 1 to 8 (Norms 60)".into(),
            Rule::BeforeHolyWeek => "it does not wait until after Easter, and takes the last free day before Palm Sunday (Norms 56f; Notitiae 42, 96)".into(),
        }
    }

    pub(super) fn gives_way_sentence(&self, item: Item, language: Language) -> String {
        let title = self.title(item, language);
        format!("Gives way: {title} (line {}; {}).", self.line_of(item), self.citation(item))
    }

    /// The paragraph by which `gone` yields to what is kept.
    fn citation(&self, gone: Item) -> &'static str {
        let kept = self.kept();
        match (kept, gone) {
            (Item::Base(base), _) => match base.part {
                Part::AshWednesday | Part::HolyWeek => "Norms 16a",
                Part::EasterOctave => "Norms 24",
                Part::LordsSupper | Part::GoodFriday | Part::HolySaturday | Part::EasterSunday => {
                    "Norms 18-19"
                }
                _ if base.is_sunday() => "Norms 4-5",
                _ => "Norms 59",
            },
            (_, Item::Base(base)) if base.is_sunday() => "Norms 5",
            (_, Item::Base(_)) if self.line_of(kept) >= 10 => "Norms 16c",
            (Item::Proper(f), Item::Proper(_)) if self.marian_memorial(&f) => {
                "Notification of 24 March 2018"
            }
            _ => "Norms 59",
        }
    }

    /// A movable memorial of Mary that prevails over other memorials.
    fn marian_memorial(&self, falling: &Falling) -> bool {
        let heart = self.year.calendar.immaculate_heart == Some(usize::from(falling.known));
        let mother =
            self.year.id(falling.known).is_some_and(|id| id.as_str() == MOTHER_OF_THE_CHURCH);
        (heart || mother) && self.year.frame.year >= 2018
    }

    /// What may be celebrated instead.
    fn choice_sentence(&self, language: Language) -> Option<String> {
        let titles: Vec<Cow<str>> = self
            .offered()
            .skip(1)
            .filter(|(_, manner)| *manner != Manner::CollectOnly)
            .map(|(item, _)| self.title(item, language))
            .collect();
        if titles.is_empty() {
            return None;
        }
        let why = if self.heart_meets_memorial() {
            "memorials that meet are optional this year: reply of the Congregation, 8 December 1998"
        } else {
            "line 12; Norms 14"
        };
        Some(format!("May be kept instead: {} ({why}).", titles.join("; ")))
    }

    fn collect_sentence(&self, language: Language) -> Option<String> {
        let titles: Vec<Cow<str>> = self
            .offered()
            .filter(|(_, manner)| *manner == Manner::CollectOnly)
            .map(|(item, _)| self.title(item, language))
            .collect();
        (!titles.is_empty()).then(|| {
            format!(
                "The Collect may be taken from: {} (Norms 16b; General Instruction 355a).",
                titles.join("; ")
            )
        })
    }

    /// Where the count of weeks needs a word.
    fn week_sentence(&self) -> Option<String> {
        let frame = &self.year.frame;
        let week = self.base.week;
        if self.day == frame.easter + 50 {
            let (last, first) = frame.weeks_around_lent();
            return Some(if first == last + 1 {
                format!("Ordinary Time resumes with week {first}: no week is left out this year.")
            } else {
                format!(
                    "Ordinary Time resumes with week {first}: week {} is left out this year.",
                    last + 1
                )
            });
        }
        let replaced = self.base.is_sunday() && self.base.season() == Season::Ordinary;
        let kept_other = matches!(self.kept(), Item::Proper(_));
        (replaced && kept_other && week > 1).then(|| {
            format!("The weekdays that follow are of week {week}, whose Sunday this replaces.")
        })
    }
}
