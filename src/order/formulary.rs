//! The formularies: which texts a Mass has of its own, and from where it takes the others.
//!
//! Data in `src/data/formularies/`, one file for the Proper of Time, one for the saints, one for
//! ritual, various-needs, votive Masses and Masses for the dead. No prayer text stands in them, only
//! where each is printed. Rules that hold for a whole rank (Gloria, Creed, memorials in Lent) are not
//! repeated here; an entry states what departs from them.

use crate::Result;
use crate::book::Outline;
use crate::calendar::{After, Colour, Day, Season};
use crate::format::{self, Format, Source};
use crate::language::Titles;
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;
use std::sync::OnceLock;

/// A text that a Mass may have of its own.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// Entrance antiphon.
    Entrance,
    /// Collect.
    Collect,
    /// Prayer over the Offerings.
    Offerings,
    /// Communion antiphon.
    Communion,
    /// Prayer after Communion.
    AfterCommunion,
    /// Prayer over the people.
    OverPeople,
    /// A rite or insert printed with the Mass.
    Rite,
}

/// How far a preface is prescribed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Binding {
    /// One of these must be taken: it belongs to this Mass.
    Assigned,
    /// One of these must be taken unless the Mass chosen has a preface of its own: they are the
    /// season's.
    Season,
    /// One of these fits best; the season's, or outside the seasons a common preface, may be taken.
    Choice,
}

/// The prefaces of a Mass.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prefaces {
    /// How far they are prescribed.
    pub binding: Binding,
    /// Where they are printed, the usual one first.
    pub places: Vec<Place>,
    /// Only in this Sunday cycle (`A`, `B`, `C`), that is with its Gospel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cycle: Option<char>,
    /// Only from this month and day of the year on: `12-17`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// Only after this solemnity, on whichever day the territory keeps it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<After>,
}

/// Whether a sequence is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sequence {
    /// It must be.
    Obligatory,
    /// It may be.
    Optional,
}

/// Words put into the Eucharistic Prayer on this day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Insert {
    /// Their name: `communicantes`, `hanc-igitur`, `qui-pridie`, `remembrance`.
    pub name: String,
    /// The Eucharistic Prayers that take them.
    pub prayers: Vec<Place>,
    /// Where they are printed: inside the prayer, or with the Mass.
    pub at: Place,
}

/// The texts of one Mass, or of all Masses of one pattern.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Formulary {
    /// The celebrations it serves, by address; a `*` stands for any one step.
    pub serves: Vec<String>,
    /// Only in these nations, by the codes of their calendars (`us`); without it everywhere. What a nation's
    /// edition prints comes before what all editions have.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub only_in: Vec<String>,
    /// Where its own texts are printed, if not at the celebration's own place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Place>,
    /// Texts of its own.
    pub own: Vec<Part>,
    /// The Commons that its heading names for the rest, in that order; one of them is chosen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub commons: Vec<Place>,
    /// Its prefaces: the first whose conditions hold. None: the season's, or a common one.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prefaces: Vec<Prefaces>,
    /// Colours of a Mass that is not the day's own, the usual first (GIRM 347).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub colours: Vec<Colour>,
    /// Whether the Gloria is said, where that departs from the rank (GIRM 53).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gloria: Option<bool>,
    /// Whether the Creed is said, where that departs from the rank (GIRM 68).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub creed: Option<bool>,
    /// Its sequence; the text is in the lectionary (GIRM 64).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sequence: Option<Sequence>,
    /// Words of its own in the Eucharistic Prayer.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub inserts: Vec<Insert>,
    /// Solemn blessings that fit, the best first; always optional.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub blessings: Vec<Place>,
    /// The dismissal has its double Alleluia.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub dismissal_alleluia: bool,
    /// The Mass of the evening before, where it has one of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vigil: Option<Place>,
    /// The longer form of that Mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extended_vigil: Option<Place>,
    /// The Masses of the day, where it has several.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub masses: Vec<Place>,
    /// Only one of `masses` is said: the day has no texts of its own and names Masses printed elsewhere.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub one_of: bool,
    /// What the priest or sacristan should know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Titles>,
    /// Where the entry comes from.
    pub source: String,
}

/// A file of formularies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Formularies {
    /// Where they come from.
    pub source: Source,
    /// In the order of the book.
    pub formularies: Vec<Formulary>,
}

impl Format for Formularies {
    const NAME: &'static str = "vitta formularies";
    const VERSION: u32 = 1;
}

const FILES: [(&str, &str); 3] = [
    ("time.json", include_str!("../data/formularies/time.json")),
    ("saints.json", include_str!("../data/formularies/saints.json")),
    ("masses.json", include_str!("../data/formularies/masses.json")),
];

impl Formulary {
    /// All shipped formularies.
    pub fn shipped() -> Result<&'static [Formulary]> {
        static ALL: OnceLock<Vec<Formulary>> = OnceLock::new();
        if let Some(all) = ALL.get() {
            return Ok(all);
        }
        let mut all = Vec::new();
        for (name, text) in FILES {
            all.extend(format::parse::<Formularies>(text, Path::new(name))?.formularies);
        }
        Ok(ALL.get_or_init(|| all))
    }

    /// The formulary that serves `place` most exactly.
    ///
    /// ```
    /// use vitta::order::Formulary;
    /// use vitta::place::Place;
    /// let sunday = Place::new("time/lent/week-1/sunday").ok_or("no place")?;
    /// let preface = Formulary::of(&sunday)?.map(|f| f.prefaces[0].places[0].as_str());
    /// assert_eq!(preface, Some("time/lent/week-1/sunday/preface"));
    /// let sprinkling = Place::new("appendix/sprinkling").ok_or("no place")?;
    /// assert!(Formulary::of(&sprinkling)?.is_none());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(place: &Place) -> Result<Option<&'static Formulary>> {
        Self::of_nation(place, None)
    }

    /// The same in the editions of a nation, by its code.
    pub fn of_nation(place: &Place, nation: Option<&str>) -> Result<Option<&'static Formulary>> {
        let here = |f: &&Formulary| {
            f.only_in.is_empty() || nation.is_some_and(|n| f.only_in.iter().any(|o| o == n))
        };
        let exact = |f: &&Formulary| {
            let stars = f.serves.iter().filter_map(|p| stars(p, place)).min()?;
            Some((stars, f.only_in.is_empty()))
        };
        let serving = Self::shipped()?.iter().filter(here).filter(|f| exact(f).is_some());
        Ok(serving.min_by_key(exact))
    }

    /// The prefaces that hold on `day`.
    pub fn prefaces_on(&self, day: &Day) -> Option<&Prefaces> {
        let month_day = day.date.format("%m-%d").to_string();
        self.prefaces.iter().find(|p| {
            p.cycle.is_none_or(|c| c == day.sunday_cycle)
                && p.from.as_deref().is_none_or(|d| month_day.as_str() >= d)
                && p.after.is_none_or(|a| day.after == Some(a))
        })
    }

    /// The Masses of the Commons that the heading offers in `season`, in the order of the book.
    ///
    /// The Common of the Virgin Mary and that of Martyrs are divided by season.
    pub fn commons_in(&self, season: Season, outline: &Outline) -> Vec<Place> {
        masses_of(&self.commons, season, outline)
    }
}

/// The Masses of some Commons in `season`.
pub(super) fn masses_of(commons: &[Place], season: Season, outline: &Outline) -> Vec<Place> {
    let named = commons.iter().filter_map(|common| seasonal(common, season));
    named.flat_map(|heading| masses_under(&heading, outline)).collect()
}

/// How many `*` of `pattern` it takes to match `place`, if it matches.
fn stars(pattern: &str, place: &Place) -> Option<usize> {
    let (mut wanted, mut found) = (pattern.split('/'), place.as_str().split('/'));
    let mut stars = 0;
    loop {
        match (wanted.next(), found.next()) {
            (None, None) => return Some(stars),
            (Some("*"), Some(_)) => stars += 1,
            (Some(w), Some(f)) if w == f => {}
            _ => return None,
        }
    }
}

/// The part of a Common that holds in `season`.
fn seasonal(common: &Place, season: Season) -> Option<Place> {
    let easter = season == Season::Easter;
    Place::new(match common.as_str() {
        "common/mary" => match season {
            Season::Advent => "common/mary/advent",
            Season::Christmas => "common/mary/christmas",
            Season::Easter => "common/mary/easter",
            Season::Lent | Season::Triduum | Season::Ordinary => "common/mary/ordinary",
        },
        "common/martyrs/several" if easter => "common/martyrs/easter-several",
        "common/martyrs/one" if easter => "common/martyrs/easter-one",
        other => other,
    })
}

/// The Masses printed under a heading, or the place itself where it is one.
fn masses_under(heading: &Place, outline: &Outline) -> Vec<Place> {
    let own = |p: &&Place| p.is_under(heading.as_str()) && *p != heading;
    let places = outline.places.iter().map(|p| &p.place);
    let masses: Vec<Place> =
        places.filter(own).filter(|p| !p.as_str().ends_with("/preface")).cloned().collect();
    if masses.is_empty() { vec![heading.clone()] } else { masses }
}
