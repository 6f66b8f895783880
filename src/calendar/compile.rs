//! Layers become a [`Calendar`]: for each celebration, what it is in which years.

use super::entry::{Certainty, Of};
use super::layer::{ImmaculateHeart, Kept, Layer, Settings};
use super::precedence::Standing;
use super::version::{Said, Version, certainty, holds, versions};
use super::when::When;
use super::year::key;
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
    pub(super) settings: Vec<Setting>,
    pub(super) decided: Vec<Decided>,
    pub(super) epiphany: Option<usize>,
    pub(super) immaculate_heart: Option<usize>,
    /// Code of the nation whose calendar it is.
    pub(super) nation: Option<String>,
    name: String,
    title: Titles,
}

/// Decisions of a territory, with how sure they are.
#[derive(Debug, Clone)]
pub(super) struct Setting {
    pub(super) settings: Settings,
    pub(super) certainty: Certainty,
}

/// A celebration through the years.
#[derive(Debug, Clone)]
pub(super) struct Known {
    pub(super) id: Place,
    pub(super) versions: Vec<Version>,
}

/// A published decision for one year.
#[derive(Debug, Clone)]
pub(super) struct Decided {
    pub(super) known: usize,
    pub(super) on: NaiveDate,
    pub(super) document: String,
    /// Precedence on that day: before everything, unless the decision gives a rank.
    pub(super) key: u16,
    pub(super) certainty: Certainty,
    pub(super) doubt: Option<Titles>,
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
            nation: layers.iter().rev().find_map(|l| l.nation.clone()),
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
        self.said(year, of).map(|(said, _)| said)
    }

    /// The same with how sure it is.
    fn said<T>(&self, year: i32, of: impl Fn(&Settings) -> Option<T>) -> Option<(T, Certainty)> {
        let speaks = |s: &&Setting| holds(s.settings.from, s.settings.until, year);
        let of = |s: &Setting| Some((of(&s.settings)?, s.certainty));
        self.settings.iter().rev().filter(speaks).find_map(of)
    }

    /// How sure it is on which day the territory keeps a movable solemnity.
    pub(super) fn certainty_of_day(&self, when: When, year: i32) -> Option<Certainty> {
        let said = self.said(year, |s| match when {
            When::Epiphany => s.epiphany,
            When::Ascension => s.ascension,
            When::CorpusChristi => s.corpus_christi,
            _ => None,
        });
        said.map(|(_, certainty)| certainty)
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

fn settings(layers: &[Layer]) -> Result<Vec<Setting>> {
    let mut all = Vec::new();
    for layer in layers {
        for settings in &layer.settings {
            check_source(layer, "settings", &settings.source)?;
            let certainty = certainty(None, layer.sources.get(&settings.source));
            all.push(Setting { settings: settings.clone(), certainty });
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
            let source = layer.sources.get(&exception.source);
            let of_rank = |rank| key(Standing::new(layer.kind, rank, None, Of::Saint));
            all.push(Decided {
                known,
                on: exception.on,
                document: source.map(|s| s.title.clone()).unwrap_or_default(),
                key: exception.rank.map_or(0, of_rank),
                certainty: certainty(None, source),
                doubt: exception.doubt.clone(),
            });
        }
    }
    Ok(all)
}

impl Decided {
    /// Whether the decision is about the celebration's day in `year`.
    pub(super) fn is_for(&self, known: usize, year: i32) -> bool {
        self.known == known && self.on.year() == year
    }
}
