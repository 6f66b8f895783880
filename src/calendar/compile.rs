//! Layers become a [`Calendar`]: for each celebration, what it is in which years.

use super::layer::{
    Entry, ImmaculateHeart, InHolyWeek, Kept, Kind, Layer, NearSunday, Of, Precept, Role, Settings,
};
use super::precedence::Standing;
use super::{Colour, Rank, When};
use crate::Result;
use crate::error::CalendarFault;
use crate::language::Titles;
use crate::place::Place;
use chrono::{Datelike, NaiveDate};
use std::collections::HashMap;

/// Addresses of celebrations that a norm names.
pub(super) const EPIPHANY: &str = "time/christmas/epiphany";
pub(super) const IMMACULATE_HEART: &str = "saints/immaculate-heart";

/// A calendar ready to be asked: the general one with its layers laid over it.
#[derive(Debug, Clone)]
pub struct Calendar {
    pub(super) known: Vec<Known>,
    pub(super) settings: Vec<Settings>,
    pub(super) decided: Vec<Decided>,
    pub(super) epiphany: Option<usize>,
    pub(super) immaculate_heart: Option<usize>,
    name: String,
    title: Titles,
}

/// A celebration through the years.
#[derive(Debug, Clone)]
pub(super) struct Known {
    pub(super) id: Place,
    pub(super) versions: Vec<Version>,
}

/// What a celebration is from one year to another, both inclusive.
#[derive(Debug, Clone)]
pub(super) struct Version {
    pub(super) from: i32,
    pub(super) until: i32,
    pub(super) when: When,
    pub(super) rank: Rank,
    pub(super) standing: Standing,
    pub(super) colour: Colour,
    pub(super) other_colours: Vec<Colour>,
    pub(super) precept: Precept,
    pub(super) vigil: bool,
    pub(super) to_sunday: Vec<NearSunday>,
    pub(super) in_holy_week: InHolyWeek,
    pub(super) title: Titles,
}

/// A published decision for one year.
#[derive(Debug, Clone)]
pub(super) struct Decided {
    pub(super) known: usize,
    pub(super) on: NaiveDate,
    pub(super) document: String,
}

/// An entry with the layer it stands in.
#[derive(Clone, Copy)]
struct Said<'a> {
    layer: &'a Layer,
    entry: &'a Entry,
}

impl Calendar {
    /// Lays `layers` over each other, the general calendar first.
    pub fn new(layers: &[Layer]) -> Result<Calendar> {
        let mut order: Vec<&Place> = Vec::new();
        let mut said: HashMap<&Place, Vec<Said>> = HashMap::new();
        for layer in layers {
            for entry in &layer.celebrations {
                check_source(layer, entry.id.as_str(), &entry.source)?;
                let about = said.entry(&entry.id).or_default();
                if about.is_empty() {
                    order.push(&entry.id);
                }
                about.push(Said { layer, entry });
            }
        }
        let known = order
            .into_iter()
            .map(|id| Ok(Known { id: id.clone(), versions: versions(id, &said[id])? }))
            .collect::<Result<Vec<_>>>()?;
        let find = |id: &str| known.iter().position(|k| k.id.as_str() == id);
        Ok(Calendar {
            epiphany: find(EPIPHANY),
            immaculate_heart: find(IMMACULATE_HEART),
            decided: decisions(layers, &known)?,
            settings: settings(layers)?,
            name: layers.last().map(|l| l.name.clone()).unwrap_or_default(),
            title: layers.last().map(|l| l.title.clone()).unwrap_or_default(),
            known,
        })
    }

    /// Name of the uppermost layer.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Title of the uppermost layer.
    pub fn title(&self) -> &Titles {
        &self.title
    }

    /// The celebrations that this calendar has in `year`, besides the days of the seasons.
    pub fn celebrations_in(&self, year: i32) -> impl Iterator<Item = &Place> {
        self.known.iter().filter(move |k| k.in_year(year).is_some()).map(|k| &k.id)
    }

    /// What is decided for `year` by the uppermost layer that speaks.
    fn setting<T>(&self, year: i32, of: impl Fn(&Settings) -> Option<T>) -> Option<T> {
        let speaks = |s: &&Settings| holds(s.from, s.until, year);
        self.settings.iter().rev().filter(speaks).find_map(of)
    }

    pub(super) fn epiphany_kept(&self, year: i32) -> Kept {
        self.setting(year, |s| s.epiphany).unwrap_or_default()
    }

    pub(super) fn ascension_kept(&self, year: i32) -> Kept {
        self.setting(year, |s| s.ascension).unwrap_or_default()
    }

    pub(super) fn corpus_christi_kept(&self, year: i32) -> Kept {
        self.setting(year, |s| s.corpus_christi).unwrap_or_default()
    }

    pub(super) fn immaculate_heart_rule(&self, year: i32) -> ImmaculateHeart {
        self.setting(year, |s| s.immaculate_heart).unwrap_or_default()
    }
}

impl Known {
    /// What it is in `year`, if anything.
    pub(super) fn in_year(&self, year: i32) -> Option<usize> {
        self.versions.iter().position(|v| v.from <= year && year <= v.until)
    }
}

fn holds(from: Option<i32>, until: Option<i32>, year: i32) -> bool {
    from.is_none_or(|first| first <= year) && until.is_none_or(|last| year <= last)
}

fn check_source(layer: &Layer, about: &str, key: &str) -> Result<()> {
    if layer.sources.contains_key(key) {
        return Ok(());
    }
    let fault = CalendarFault::UnknownSource {
        layer: layer.name.clone(),
        about: about.to_owned(),
        key: key.to_owned(),
    };
    Err(fault.into())
}

fn settings(layers: &[Layer]) -> Result<Vec<Settings>> {
    let mut all = Vec::new();
    for layer in layers {
        for settings in &layer.settings {
            check_source(layer, "settings", &settings.source)?;
            all.push(settings.clone());
        }
    }
    Ok(all)
}

fn decisions(layers: &[Layer], known: &[Known]) -> Result<Vec<Decided>> {
    let mut all = Vec::new();
    for layer in layers {
        for exception in &layer.exceptions {
            check_source(layer, exception.id.as_str(), &exception.source)?;
            let known = known.iter().position(|k| k.id == exception.id).ok_or_else(|| {
                CalendarFault::UnknownCelebration {
                    layer: layer.name.clone(),
                    id: exception.id.clone(),
                }
            })?;
            let document =
                layer.sources.get(&exception.source).map(|s| s.title.clone()).unwrap_or_default();
            all.push(Decided { known, on: exception.on, document });
        }
    }
    Ok(all)
}

/// The versions of one celebration: the years are cut wherever an entry begins or ceases to speak.
fn versions(id: &Place, said: &[Said]) -> Result<Vec<Version>> {
    let mut cuts: Vec<i32> = said
        .iter()
        .flat_map(|s| [s.entry.from, s.entry.until.map(|last| last.saturating_add(1))])
        .flatten()
        .collect();
    cuts.push(i32::MIN);
    cuts.sort_unstable();
    cuts.dedup();
    let mut versions = Vec::new();
    for (n, &from) in cuts.iter().enumerate() {
        let until = cuts.get(n + 1).map_or(i32::MAX, |next| next - 1);
        let speaking = said.iter().filter(|s| holds(s.entry.from, s.entry.until, from));
        if let Some(draft) = Draft::of(speaking) {
            versions.push(draft.finish(id, from, until)?);
        }
    }
    if said.iter().all(|s| s.entry.title.is_none())
        && let Some(first) = said.first()
    {
        let layer = first.layer.name.clone();
        return Err(CalendarFault::Incomplete { layer, id: id.clone(), missing: "title" }.into());
    }
    Ok(versions)
}

/// A version while entries are laid over each other.
#[derive(Default)]
struct Draft<'a> {
    layer: &'a str,
    title: Option<&'a Titles>,
    when: Option<When>,
    rank: Option<Rank>,
    standing: Option<Standing>,
    colour: Option<Colour>,
    other_colours: Vec<Colour>,
    of: Option<Of>,
    precept: Option<Precept>,
    vigil: bool,
    to_sunday: Vec<NearSunday>,
    in_holy_week: Option<InHolyWeek>,
}

impl<'a> Draft<'a> {
    fn of<'b>(said: impl Iterator<Item = &'b Said<'a>>) -> Option<Self>
    where
        'a: 'b,
    {
        said.fold(None, |draft: Option<Self>, said| {
            let changes_nothing = draft.is_none() && said.entry.title.is_none();
            if said.entry.drop || changes_nothing {
                return None;
            }
            let mut draft = draft.unwrap_or_default();
            draft.change(said.layer, said.entry);
            Some(draft)
        })
    }

    fn change(&mut self, layer: &'a Layer, entry: &'a Entry) {
        self.layer = &layer.name;
        self.title = entry.title.as_ref().or(self.title);
        self.when = entry.on.or(self.when);
        self.colour = entry.colour.or(self.colour);
        self.of = entry.of.or(self.of);
        self.precept = entry.precept.or(self.precept);
        self.vigil = entry.vigil.unwrap_or(self.vigil);
        self.in_holy_week = entry.in_holy_week.or(self.in_holy_week);
        if let Some(colours) = &entry.other_colours {
            self.other_colours.clone_from(colours);
        }
        if let Some(days) = &entry.to_sunday {
            self.to_sunday.clone_from(days);
        }
        self.stand(layer.kind, entry);
    }

    /// A new rank or role gives a new standing; the same rank said again never lowers it.
    fn stand(&mut self, kind: Kind, entry: &Entry) {
        let Some(rank) = entry.rank.or_else(|| self.raised_by(entry.role)) else { return };
        let of = self.of.unwrap_or(Of::Saint);
        let standing = match entry.line {
            Some(line) => Standing::at_line(line, of),
            None => Standing::new(kind, rank, entry.role, of),
        };
        let same_rank = self.rank == Some(rank);
        self.standing = Some(match self.standing {
            Some(before) if same_rank => before.min(standing),
            _ => standing,
        });
        self.rank = Some(rank);
    }

    /// The rank that a role alone gives: the usual one of the role, unless a higher is there.
    fn raised_by(&self, role: Option<Role>) -> Option<Rank> {
        let usual = role?.usual_rank();
        Some(self.rank.map_or(usual, |rank| rank.higher(usual)))
    }

    fn finish(self, id: &Place, from: i32, until: i32) -> Result<Version> {
        let missing = |what: &'static str| CalendarFault::Incomplete {
            layer: self.layer.to_owned(),
            id: id.clone(),
            missing: what,
        };
        let when = self.when.ok_or_else(|| missing("on"))?;
        let rank = self.rank.ok_or_else(|| missing("rank"))?;
        if matches!(rank, Rank::Sunday | Rank::Weekday) {
            let layer = self.layer.to_owned();
            return Err(CalendarFault::NotARank { layer, id: id.clone(), rank: rank.name() }.into());
        }
        if let When::Easter(days) | When::Advent(days) = when
            && !(-100..=200).contains(&days)
        {
            let layer = self.layer.to_owned();
            return Err(
                CalendarFault::TooFar { layer, id: id.clone(), when: when.to_string() }.into()
            );
        }
        Ok(Version {
            from,
            until,
            when,
            rank,
            standing: self.standing.ok_or_else(|| missing("rank"))?,
            colour: self.colour.ok_or_else(|| missing("colour"))?,
            title: self.title.ok_or_else(|| missing("title"))?.clone(),
            other_colours: self.other_colours,
            precept: self.precept.unwrap_or(Precept::Never),
            vigil: self.vigil,
            to_sunday: self.to_sunday,
            in_holy_week: self.in_holy_week.unwrap_or(InHolyWeek::After),
        })
    }
}

impl Decided {
    /// Whether the decision is about the celebration's day in `year`.
    pub(super) fn is_for(&self, known: usize, year: i32) -> bool {
        self.known == known && self.on.year() == year
    }
}
