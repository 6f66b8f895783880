//! Page labels of a book become positions in its leaf order, and back.

use crate::book::Book;

/// Roman front matter lies before the first arabic page.
const FRONT: i32 = -2_000;

/// The position of `label`: positions 2n and 2n + 1 are seen together. A letter after the number
/// (`1747a`) is a leaf laid in at that page.
pub(super) fn position(book: &Book, label: &str) -> Option<i32> {
    let digits = label.trim_end_matches(|c: char| c.is_ascii_lowercase());
    match digits.parse::<i32>() {
        Ok(number) => number.checked_add(book.offset),
        Err(_) => Some(FRONT + i32::try_from(roman(label)?).ok()?),
    }
}

/// The label `pages` pages after `label`; none where the labels are not plainly counted.
pub(super) fn after(label: &str, pages: u16) -> Option<String> {
    let number: u32 = label.parse().ok()?;
    Some((number + u32::from(pages)).to_string())
}

/// The opening of a position.
pub(super) fn opening(position: i32) -> i32 {
    position.div_euclid(2)
}

fn roman(label: &str) -> Option<u32> {
    let value = |c| {
        Some(match c {
            'i' => 1,
            'v' => 5,
            'x' => 10,
            'l' => 50,
            'c' => 100,
            _ => return None,
        })
    };
    let values: Vec<u32> = label.to_ascii_lowercase().chars().map(value).collect::<Option<_>>()?;
    let signed = values.iter().enumerate().map(|(i, &v)| {
        let less = values.get(i + 1).is_some_and(|&next| v < next);
        if less { -i64::from(v) } else { i64::from(v) }
    });
    u32::try_from(signed.sum::<i64>()).ok().filter(|&n| n > 0)
}
