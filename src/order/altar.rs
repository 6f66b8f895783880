//! What the rules choose for the altar: preface, Eucharistic Prayer, its inserts; and the blessing.

use super::blessing;
use super::formulary::Part;
use super::notes::note;
use super::prayer;
use super::preface::{self, Allowed};
use super::printed::formulary_of;
use super::service::Making;
use super::texts::Found;
use super::{Need, Stand};
use crate::Result;
use crate::language::Titles;
use crate::place::Place;

/// The texts chosen, and what is to be said about the choice.
pub(super) struct Altar {
    pub(super) preface: Found,
    pub(super) prayer: Found,
    pub(super) blessing: Found,
    /// Words printed apart from the prayer, and the way back into it.
    pub(super) inserts: Vec<Need>,
    pub(super) notes: Vec<Titles>,
}

/// Chooses for the Mass in the making.
pub(super) fn altar(making: &Making) -> Result<Altar> {
    let order = making.mass.rite.is_none().then_some(making.order);
    let assigned = order.and_then(|o| o.preface.as_ref());
    let allowed = preface::allowed(making.mass, making.formulary, assigned, making.missal);
    let chosen = prayer::choose(
        making.mass,
        allowed,
        order.and_then(|o| o.prayer.as_ref()),
        making.settings,
        making.choices,
    );
    let mut notes = chosen.notes;
    let preface = making.preface(&chosen.preface, &mut notes);
    let inserts = making.inserts(&chosen.prayer, &mut notes)?;
    let prayer = making.printed(chosen.prayer, &chosen.reason);
    Ok(Altar { preface, prayer, blessing: making.blessing(), inserts, notes })
}

impl Making<'_> {
    /// The preface chosen for the date, or those offered with the priest's favourites first.
    fn preface(&self, allowed: &Allowed, notes: &mut Vec<Titles>) -> Found {
        if let Some(chosen) = &self.choices.preface {
            if !allowed.permits(chosen) {
                notes.push(note(
                    format!(
                        "Against the rule, by your choice for this day: another preface than {}.",
                        allowed.reason
                    ),
                    "Contra la norma, por su elección para este día: otro prefacio que el debido.",
                ));
            }
            return self.found(std::slice::from_ref(chosen), "chosen for this day");
        }
        let favourites = &self.settings.prefaces;
        let liked = favourites.iter().filter(|p| allowed.permits(p)).cloned();
        let others = allowed.places.iter().filter(|p| !favourites.contains(p)).cloned();
        let mut places: Vec<Place> = liked.chain(others).collect();
        if !self.settings.nearest_preface {
            places.truncate(1);
        }
        self.found(&places, &allowed.reason)
    }

    /// Where a prayer is printed: with this Mass, apart with its chant, or in the Order of Mass.
    fn printed(&self, prayer: Place, reason: &str) -> Found {
        if let Some(printed) = self.order.printed.iter().find(|p| p.prayer == prayer) {
            let mut found = self.found(std::slice::from_ref(&printed.at), reason);
            found.places.iter_mut().for_each(|c| c.pages_in = printed.pages_in);
            return found;
        }
        let number = prayer.as_str().strip_prefix("order/prayer/");
        let chant = number.and_then(|n| Place::new(&format!("order/chant/prayer-{n}")));
        match chant {
            Some(chant) if self.settings.sung_prayer && self.missal.knows(&chant) => {
                self.found(&[chant], reason)
            }
            _ => self.found(&[prayer], reason),
        }
    }

    fn blessing(&self) -> Found {
        match &self.choices.blessing {
            Some(chosen) => self.found(std::slice::from_ref(chosen), "chosen for this day"),
            None => self.found(&blessing::fitting(self.mass, self.formulary), ""),
        }
    }

    /// The day's words in the Eucharistic Prayer: two needs where they are printed with the Mass, one
    /// there and one back in the prayer; a note where they stand inside it.
    fn inserts(&self, prayer: &Place, notes: &mut Vec<Titles>) -> Result<Vec<Need>> {
        let formulary = match &self.mass.rite {
            Some(rite) => formulary_of(rite, self.mass.day.nation.as_deref())?,
            None => self.formulary,
        };
        let inserts: Vec<_> = formulary
            .iter()
            .flat_map(|f| &f.inserts)
            .filter(|i| i.prayers.contains(prayer))
            .collect();
        let inside: Vec<&str> =
            inserts.iter().filter(|i| i.at == *prayer).map(|i| insert_title(&i.name)).collect();
        if !inside.is_empty() {
            let forms = inside.join(", ");
            notes.push(note(
                format!("Within the Eucharistic Prayer, the form of the day: {forms}."),
                format!("Dentro de la Plegaria eucarística, la forma del día: {forms}."),
            ));
        }
        let in_full = self.order.printed.iter().any(|p| p.prayer == *prayer);
        match inserts.iter().find(|i| i.at != *prayer) {
            Some(apart) if !in_full => Ok(vec![self.apart(&apart.at), self.resumed(prayer)]),
            _ => Ok(vec![]),
        }
    }

    fn apart(&self, at: &Place) -> Need {
        let title = Titles {
            en: "Words for the Eucharistic Prayer".into(),
            es: Some("Textos propios en la plegaria eucarística".into()),
            la: Some("Formulae propriae in prece eucharistica".into()),
        };
        let place = self.missal.part(at.clone(), Part::Rite);
        let reason = "printed with this Mass, said within the Eucharistic Prayer";
        within("inserts", title, place, reason)
    }

    /// The way back: the words stand about the middle of a prayer, a judgement on its layout.
    fn resumed(&self, prayer: &Place) -> Need {
        let title = Titles {
            en: "Eucharistic Prayer, continued".into(),
            es: Some("Plegaria eucarística, continuación".into()),
            la: Some("Prex eucharistica, pars altera".into()),
        };
        let place = self.missal.middle(prayer.clone());
        within(
            "eucharistic-prayer-continued",
            title,
            place,
            "back from the words printed with the Mass",
        )
    }
}

fn within(moment: &str, title: Titles, place: super::Candidate, reason: &str) -> Need {
    Need {
        moment: moment.to_owned(),
        title,
        places: vec![place],
        stand: Stand::Altar,
        weight: 5,
        reason: reason.to_owned(),
        by_heart: false,
        from: None,
        on_sheet: false,
        no_ribbon: false,
        optional: false,
        together: None,
    }
}

/// The usual name of an insert.
fn insert_title(name: &str) -> &str {
    match name {
        "communicantes" => "Communicantes",
        "hanc-igitur" => "Hanc igitur",
        "qui-pridie" => "Qui pridie",
        other => other,
    }
}
