//! Whether a page that a person types lies far from where the book's order has the text: asked about once, then
//! believed.

use super::{Book, Entry, Label, State};
use crate::Result;
use crate::error::BookFault;
use crate::place::Place;

/// So far out of order a page may be unasked: a slip in the last figure stays within, one in any other does not.
const SLACK: u32 = 10;
/// So far behind the end of its interval a text may stand that nothing known follows.
const BEHIND: u32 = 100;

impl Book {
    /// Refuses a page for `place` that lies far before what is known to stand before it, or far behind what is known
    /// to stand behind it, both in the order of this book and in the outline's. What a photograph shows is not far.
    pub fn in_order(&self, place: &Place, page: &str) -> Result<()> {
        let (Some(label), Some(entry)) = (Label::parse(page), self.entry(place)) else {
            return Ok(());
        };
        let printed = entry.evidence.iter().flat_map(|e| &e.alternatives);
        let mut shown = printed.map(|a| &a.page).chain(&entry.page).chain(&entry.reckoned);
        if shown.any(|p| Label::parse(p).as_ref() == Some(&label)) {
            return Ok(());
        }
        let here: Vec<&Entry> = self.entries.iter().collect();
        let far = beside(&here, entry).far(&label, entry);
        let outlined = self.outlined().and_then(|outline| {
            let mut usual: Vec<(usize, &Entry)> = self
                .entries
                .iter()
                .filter_map(|e| Some((outline.position(&e.place)?, e)))
                .collect();
            usual.sort_by_key(|u| u.0);
            let usual: Vec<&Entry> = usual.into_iter().map(|u| u.1).collect();
            usual.iter().any(|e| e.place == *place).then(|| beside(&usual, entry))
        });
        match far {
            Some(neighbour) if outlined.is_none_or(|o| o.far(&label, entry).is_some()) => {
                Err(BookFault::FarOut {
                    title: entry.title.clone(),
                    page: label.to_string(),
                    neighbour,
                }
                .into())
            }
            _ => Ok(()),
        }
    }
}

/// The known texts next to one.
struct Beside<'a> {
    before: Option<(&'a Entry, Label)>,
    after: Option<(&'a Entry, Label)>,
}

fn beside<'a>(order: &[&'a Entry], entry: &Entry) -> Beside<'a> {
    let known = |e: &&'a Entry| {
        let sure = matches!(e.state, State::Read | State::Confirmed) && e.place != entry.place;
        Some((*e, Label::parse(e.page.as_deref()?)?)).filter(|_| sure)
    };
    let at = order.iter().position(|e| e.place == entry.place).unwrap_or(order.len());
    Beside {
        before: order.iter().take(at).rev().find_map(known),
        after: order.iter().skip(at).find_map(known),
    }
}

impl Beside<'_> {
    /// What a page is far from, in words.
    fn far(&self, page: &Label, entry: &Entry) -> Option<String> {
        let off = |a: &Label, b: &Label| {
            a < b && (a.numbering != b.numbering || b.number - a.number > SLACK)
        };
        if let Some((before, label)) = self.before.as_ref().filter(|b| off(page, &b.1)) {
            return Some(format!("{} before it is on {label}", before.title));
        }
        if let Some((after, label)) = self.after.as_ref().filter(|a| off(&a.1, page)) {
            return Some(format!("{} after it is on {label}", after.title));
        }
        let end = entry.interval.as_ref().and_then(|i| Label::parse(&i.1))?;
        let behind = self.after.is_none() && page.number > end.number + BEHIND;
        behind.then(|| format!("the rest of the book ends about {end}"))
    }
}
