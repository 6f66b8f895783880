//! What a person binds the laying to, as typed: torn ribbons, ribbons that stay, texts on sheets or without one.

use super::args::Bindings;
use super::named;
use crate::Result;
use crate::book::{Book, Ribbon};
use crate::error::UsageFault;
use crate::order::{self, Kind, Settings};
use crate::place::Place;

impl Bindings {
    /// Enters what is typed of ribbons among those of the books on the table, in the first that has such a ribbon.
    pub fn enter(&self, books: &mut [Book]) -> Result<()> {
        for typed in &self.torn {
            one_of(typed, books)?.torn = true;
        }
        for typed in &self.keep {
            let (ribbon, section) = kept(typed)?;
            one_of(&ribbon, books)?.stays = Some(section);
        }
        Ok(())
    }

    /// Enters what is typed of texts among the parish's settings.
    pub fn settle(&self, settings: &mut Settings) -> Result<()> {
        for (typed, list) in
            [(&self.no_ribbon, &mut settings.no_ribbon), (&self.on_sheet, &mut settings.on_sheet)]
        {
            for typed in typed {
                list.push(text(typed)?);
            }
        }
        Ok(())
    }
}

/// A moment of a service or a text of the missal, by its title or id.
pub fn text(typed: &str) -> Result<String> {
    let moment = named::one_of(typed, "moment", &order::texts(Kind::Moment)?);
    let text = || named::one_of(typed, "text", &order::texts(Kind::Heading)?);
    // Of a title that several moments share, those are named.
    let place = moment.or_else(|of_moment| text().map_err(|_| of_moment))?;
    Ok(place.to_string())
}

/// `green=Order of Mass`: the ribbon as typed and its section.
pub fn kept(typed: &str) -> Result<(String, Place)> {
    let parts = typed.split_once('=');
    let (ribbon, section) = parts.ok_or_else(|| UsageFault::NoRibbonKept(typed.to_owned()))?;
    let section = named::one_of(section, "section", &order::texts(Kind::Heading)?)?;
    Ok((ribbon.to_owned(), section))
}

/// The ribbon typed among those of several books.
fn one_of<'a>(typed: &str, books: &'a mut [Book]) -> Result<&'a mut Ribbon> {
    let has = books.iter().position(|b| at(typed, &b.ribbons).is_some());
    let all = || books.iter().flat_map(|b| &b.ribbons).map(|r| r.colour.clone()).collect();
    let book = has.ok_or_else(|| UsageFault::NoRibbon { typed: typed.to_owned(), some: all() })?;
    one(typed, &mut books[book].ribbons)
}

/// The ribbon typed, by its colour or its number from the spine.
pub fn one<'a>(typed: &str, ribbons: &'a mut [Ribbon]) -> Result<&'a mut Ribbon> {
    let some = ribbons.iter().map(|r| r.colour.clone()).collect();
    let there = at(typed, ribbons).and_then(|i| ribbons.get_mut(i));
    Ok(there.ok_or_else(|| UsageFault::NoRibbon { typed: typed.to_owned(), some })?)
}

fn at(typed: &str, ribbons: &[Ribbon]) -> Option<usize> {
    let typed = typed.trim();
    let by_colour = ribbons.iter().position(|r| r.colour.eq_ignore_ascii_case(typed));
    let by_number = || typed.parse::<usize>().ok()?.checked_sub(1).filter(|&i| i < ribbons.len());
    by_colour.or_else(by_number)
}
