//! Masses and texts by their titles, or by their ids, as typed.

use super::args::Texts;
use crate::calendar::Day;
use crate::error::UsageFault;
use crate::order::{self, DayChoices, Named};
use crate::place::Place;
use crate::{Error, Result};

/// The Mass of `day` typed: one of its celebrations, their forms, or any Mass of the missal.
pub fn mass(typed: &str, day: &Day) -> Result<Place> {
    let mut all: Vec<Named> = day
        .celebrations
        .iter()
        .map(|c| Named { place: c.id.clone(), title: c.title.clone() })
        .collect();
    for celebration in &day.celebrations {
        all.extend(order::masses_of(&celebration.id)?);
    }
    if let Ok(place) = one_of(typed, "Mass of this day", &all) {
        return Ok(place);
    }
    // Any other is for the rules to judge.
    match Place::new(typed).filter(|_| typed.contains('/')) {
        Some(place) => Ok(place),
        None => one_of(typed, "Mass", &order::texts(order::Kind::Mass)?)
            .map_err(|_| none(typed, "Mass", &all)),
    }
}

impl Texts {
    /// Enters what was typed among the choices for a date.
    pub fn choose(&self, choices: &mut DayChoices) -> Result<()> {
        let text = |typed: &Option<String>, what, kind| -> Result<Option<Place>> {
            typed.as_ref().map(|t| one_of(t, what, &order::texts(kind)?)).transpose()
        };
        choices.preface =
            text(&self.preface, "preface", order::Kind::Preface)?.or(choices.preface.take());
        choices.prayer = text(&self.prayer, "Eucharistic Prayer", order::Kind::Prayer)?
            .or(choices.prayer.take());
        if let Some(blessing) = text(&self.blessing, "blessing", order::Kind::Blessing)? {
            let over_people = blessing.is_under("order/people");
            choices.set.insert("over-people".into(), over_people);
            choices.set.insert("solemn-blessing".into(), !over_people);
            choices.blessing = Some(blessing);
        }
        if self.sprinkling {
            choices.set.insert("sprinkling".into(), true);
        }
        choices.penitential = self.penitential.map(Into::into).or(choices.penitential);
        Ok(())
    }
}

/// The one that is typed: by its id, its whole title, or a part of the title that no other has.
pub fn one_of(typed: &str, what: &'static str, all: &[Named]) -> Result<Place> {
    if let Some(named) = all.iter().find(|n| n.place.as_str() == typed) {
        return Ok(named.place.clone());
    }
    let wanted = plain(typed);
    let titles = |n: &Named| -> Vec<String> {
        let t = &n.title;
        [Some(&t.en), t.es.as_ref(), t.la.as_ref()]
            .into_iter()
            .flatten()
            .map(|t| plain(t))
            .collect()
    };
    let has_words = |title: &String| format!(" {title} ").contains(&format!(" {wanted} "));
    let mut meant = once_each(all.iter().filter(|n| titles(n).contains(&wanted)));
    if meant.is_empty() && !wanted.is_empty() {
        meant = once_each(all.iter().filter(|n| titles(n).iter().any(has_words)));
    }
    match meant.as_slice() {
        [one] => Ok(one.place.clone()),
        [] => Err(none(typed, what, all)),
        some => Err(none(typed, what, some)),
    }
}

fn once_each<'a>(some: impl Iterator<Item = &'a Named>) -> Vec<Named> {
    let mut each: Vec<Named> = vec![];
    for named in some {
        if each.iter().all(|n| n.place != named.place) {
            each.push(named.clone());
        }
    }
    each
}

/// Some that could be meant are named, those first that share a word with what was typed.
fn none(typed: &str, what: &'static str, all: &[Named]) -> Error {
    let words = plain(typed);
    let shared = |n: &Named| {
        let title = plain(&n.title.en);
        words.split(' ').filter(|w| title.split(' ').any(|t| t == *w)).count()
    };
    let mut some: Vec<&Named> = all.iter().collect();
    some.sort_by_key(|n| std::cmp::Reverse(shared(n)));
    let some = some.iter().take(6).map(|n| n.title.en.clone()).collect();
    UsageFault::NoTitle { typed: typed.to_owned(), what, some }.into()
}

/// Lower case, without accents, signs and a "the" before it, so that a title may be typed on any keyboard.
fn plain(title: &str) -> String {
    let letter = |c: char| match c {
        'á' | 'à' | 'â' | 'æ' => 'a',
        'é' | 'è' | 'ê' => 'e',
        'í' | 'ì' => 'i',
        'ó' | 'ò' => 'o',
        'ú' | 'ù' | 'ü' => 'u',
        'ñ' => 'n',
        c if c.is_alphanumeric() => c,
        _ => ' ',
    };
    let letters: String = title.to_lowercase().chars().map(letter).collect();
    let words = letters.split_whitespace().collect::<Vec<_>>().join(" ");
    words.strip_prefix("the ").unwrap_or(&words).to_owned()
}
