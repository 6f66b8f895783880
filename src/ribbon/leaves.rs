//! Page labels of a book become positions in its leaf order, and the label some pages on.

use crate::book::{Book, Label};

/// The position of `label`: positions 2n and 2n + 1 are seen together.
pub(super) fn position(book: &Book, label: &str) -> Option<i32> {
    Label::parse(label).map(|l| book.leaf_order().position(&l))
}

/// The label `pages` pages after `label`; none beyond the numbers of a book.
pub(super) fn after(label: &str, pages: u16) -> Option<String> {
    let label = Label::parse(label)?;
    let number = i32::try_from(label.number).ok()? + i32::from(pages);
    match pages {
        0 => Some(label.to_string()),
        _ => Label::page(label.numbering, number).map(|l| l.to_string()),
    }
}

/// The opening of a position.
pub(super) fn opening(position: i32) -> i32 {
    position.div_euclid(2)
}
