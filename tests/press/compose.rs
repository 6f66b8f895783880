//! Lists are divided into leaves.

use crate::lists::{Entry, Kind};
use crate::typeset::{Leader, Leaf, Style};

/// A list, before it is divided into leaves.
#[derive(Debug, Clone)]
pub struct List {
    /// What it is.
    pub kind: Kind,
    /// Its title.
    pub title: &'static str,
    /// Columns on a page.
    pub columns: usize,
    /// What stands between title and page.
    pub leader: Leader,
    /// Its entries.
    pub entries: Vec<Entry>,
}

/// Divides a list into leaves, the first of them with page number `first_page`; at most `most`.
pub fn leaves(style: &Style, list: List, first_page: u32, most: usize) -> Vec<Leaf> {
    let mut entries = list.entries;
    let mut out: Vec<Leaf> = Vec::new();
    while !entries.is_empty() && out.len() < most {
        let number = first_page + out.len() as u32;
        let first = out.is_empty();
        let columns = style.take(&mut entries, list.columns, if first { 14.0 } else { 0.0 });
        out.push(Leaf {
            kind: list.kind,
            title: first.then(|| list.title.to_owned()),
            head: list.title.to_owned(),
            folio: number.to_string(),
            right: number % 2 == 1,
            leader: list.leader,
            columns,
        });
    }
    out
}
