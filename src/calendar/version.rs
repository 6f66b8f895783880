//! What a celebration is from one year to another: the entries of all layers laid over each other.

use super::entry::{
    Certainty, Entry, Impeded, InHolyWeek, NearSunday, Of, OnSunday, Precept, Role,
};
use super::layer::{Kind, Layer};
use super::precedence::{FEASTS_OF_THE_LORD, Standing};
use super::{Colour, Rank, When};
use crate::Result;
use crate::error::CalendarFault;
use crate::format::Source;
use crate::language::Titles;
use crate::place::Place;

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
    pub(super) on_sunday: Option<OnSunday>,
    pub(super) impeded: Option<Impeded>,
    pub(super) in_holy_week: InHolyWeek,
    pub(super) title: Titles,
    pub(super) commons: Vec<Place>,
    /// It has its rank or its day from a particular calendar, not from the general one.
    pub(super) particular: bool,
    /// What of it is from memory.
    pub(super) from_memory: Option<Certainty>,
    pub(super) doubt: Option<Titles>,
    /// The paper by which it stays on a Sunday.
    pub(super) permission: String,
}

/// An entry with the layer it stands in.
#[derive(Clone, Copy)]
pub(super) struct Said<'a> {
    pub(super) layer: &'a Layer,
    pub(super) entry: &'a Entry,
}

/// How sure an entry is: by its own word, else by how its source came here.
pub(super) fn certainty(said: Option<Certainty>, source: Option<&Source>) -> Certainty {
    let remembered = source.is_none_or(|s| s.how.starts_with("from memory"));
    said.unwrap_or(if remembered { Certainty::Memory } else { Certainty::Printed })
}

/// Whether what is said from one year to another, both inclusive, holds in `year`.
pub(super) fn holds(from: Option<i32>, until: Option<i32>, year: i32) -> bool {
    from.is_none_or(|first| first <= year) && until.is_none_or(|last| year <= last)
}

/// The versions of one celebration: the years are cut wherever an entry begins or ceases to speak.
pub(super) fn versions(id: &Place, said: &[Said]) -> Result<Vec<Version>> {
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
    on_sunday: Option<OnSunday>,
    impeded: Option<Impeded>,
    in_holy_week: Option<InHolyWeek>,
    commons: Vec<Place>,
    particular: bool,
    /// How sure the day is, the rank, and the colour.
    certainty: [Option<Certainty>; 3],
    doubt: Option<&'a Titles>,
    permission: Option<&'a Source>,
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
        self.on_sunday = entry.on_sunday.or(self.on_sunday);
        self.impeded = entry.impeded.or(self.impeded);
        self.doubt = entry.doubt.as_ref().or(self.doubt);
        if entry.on_sunday.is_some() {
            self.permission = layer.sources.get(&entry.source);
        }
        if let Some(commons) = &entry.commons {
            self.commons.clone_from(commons);
        }
        if let Some(colours) = &entry.other_colours {
            self.other_colours.clone_from(colours);
        }
        if let Some(days) = &entry.to_sunday {
            self.to_sunday.clone_from(days);
        }
        self.trust(layer, entry);
        self.stand(layer.kind, entry);
    }

    /// How sure each part is that the entry gives.
    fn trust(&mut self, layer: &Layer, entry: &Entry) {
        let certainty = certainty(entry.certainty, layer.sources.get(&entry.source));
        let day = entry.on.is_some() || entry.to_sunday.is_some() || entry.on_sunday.is_some();
        let rank = entry.rank.is_some() || entry.role.is_some();
        let dress = entry.colour.is_some() || entry.other_colours.is_some();
        self.particular |= layer.kind != Kind::General && (day || rank);
        let given = [day, rank, dress];
        for (part, _) in self.certainty.iter_mut().zip(given).filter(|(_, given)| *given) {
            *part = Some(certainty);
        }
    }

    /// What is from memory: the day, or only rank or colour.
    fn remembered(&self) -> Option<Certainty> {
        let of = |wanted: Certainty| self.certainty.contains(&Some(wanted));
        let day = self.certainty.first() == Some(&Some(Certainty::Memory));
        match () {
            () if day => Some(Certainty::Memory),
            () if of(Certainty::Memory) || of(Certainty::RankFromMemory) => {
                Some(Certainty::RankFromMemory)
            }
            () => None,
        }
    }

    /// A new rank or role gives a new standing; the same rank said again never lowers it.
    fn stand(&mut self, kind: Kind, entry: &Entry) {
        let Some(rank) = entry.rank.or_else(|| self.raised_by(entry.role)) else { return };
        let of = self.of.unwrap_or(Of::Saint);
        let standing = match entry.line {
            Some(line) => Standing::at_line(line, of),
            None if self.on_sunday == Some(OnSunday::ReplacesOrdinary) => {
                Standing::at_line(FEASTS_OF_THE_LORD, of)
            }
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
        let from_memory = self.remembered();
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
            on_sunday: self.on_sunday,
            impeded: self.impeded,
            in_holy_week: self.in_holy_week.unwrap_or(InHolyWeek::After),
            commons: self.commons,
            particular: self.particular,
            from_memory,
            doubt: self.doubt.cloned(),
            permission: self.permission.map(|s| s.title.clone()).unwrap_or_default(),
        })
    }
}
