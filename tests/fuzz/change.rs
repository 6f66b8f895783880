//! A seed with changes: of bytes, or of values where the seed is JSON.

use proptest::prelude::*;
use serde_json::{Number, Value};

/// One change. What its numbers mean depends on the seed: they are taken modulo what there is.
#[derive(Debug, Clone, Copy)]
pub struct Change {
    kind: u8,
    at: u32,
    with: u32,
}

/// Up to eight changes.
pub fn changes() -> impl Strategy<Value = Vec<Change>> {
    let change = (any::<u8>(), any::<u32>(), any::<u32>());
    prop::collection::vec(change.prop_map(|(kind, at, with)| Change { kind, at, with }), 0..8)
}

/// What a seed is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Only bytes.
    Bytes,
    /// JSON: values are changed, and at times bytes of its text after that.
    Json,
}

/// The seed with all changes.
pub fn apply(seed: &[u8], kind: Kind, changes: &[Change]) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    let of_values = |c: &&Change| c.kind < 230;
    if kind == Kind::Json
        && let Ok(mut value) = serde_json::from_slice::<Value>(seed)
    {
        changes.iter().filter(of_values).for_each(|c| change_value(&mut value, *c));
        bytes = value.to_string().into_bytes();
        changes.iter().filter(|c| !of_values(c)).for_each(|c| change_bytes(&mut bytes, *c));
    } else {
        changes.iter().for_each(|c| change_bytes(&mut bytes, *c));
    }
    // Otherwise each change of a PNG would end at the first check sum.
    if bytes.starts_with(&PNG) {
        mend_sums(&mut bytes);
    }
    bytes
}

const PNG: [u8; 8] = *b"\x89PNG\r\n\x1a\n";

/// Writes the right check sum behind each chunk (PNG specification, 5.3).
fn mend_sums(png: &mut [u8]) {
    let mut at = PNG.len();
    while let Some(head) = png.get(at..at + 4) {
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        let Some(end) = at.checked_add(8 + length).filter(|end| end + 4 <= png.len()) else {
            break;
        };
        let sum = crc32(&png[at + 4..end]);
        png[end..end + 4].copy_from_slice(&sum.to_be_bytes());
        at = end + 4;
    }
}

/// The check sum of PNG chunks (PNG specification, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0u32, |crc, &b| {
        (0..8).fold(
            crc ^ u32::from(b),
            |c, _| if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 },
        )
    })
}

/// Numbers at the edges of their types, and what headers of bombs claim.
const EDGES: [u32; 14] = [
    0,
    1,
    2,
    7,
    0x7F,
    0x80,
    0xFF,
    0x7FFF,
    0xFFFF,
    100_000,
    0x7FFF_FFFF,
    0x8000_0000,
    0xFFFF_FFFE,
    0xFFFF_FFFF,
];

fn change_bytes(bytes: &mut Vec<u8>, change: Change) {
    if bytes.is_empty() {
        bytes.push(change.with as u8);
        return;
    }
    // Headers are where the structure is: half of all changes are made in the first bytes.
    let reach = if change.at.is_multiple_of(2) { bytes.len().min(96) } else { bytes.len() };
    let at = (change.at / 2) as usize % reach;
    let with = change.with as usize;
    match change.kind % 12 {
        0 => bytes[at] ^= 1 << (with % 8),
        1 => bytes[at] = change.with as u8,
        2 => bytes.truncate(at),
        3 => bytes.drain(at..bytes.len().min(at + 1 + with % 64)).for_each(drop),
        4 => bytes.insert(at, change.with as u8),
        5 => {
            let piece = bytes[at..bytes.len().min(at + 1 + with % 512)].to_vec();
            bytes.splice(at..at, piece.repeat(1 + with / 512 % 4));
        }
        6 => overwrite(bytes, at, &EDGES[with % EDGES.len()].to_be_bytes()),
        7 => overwrite(bytes, at, &EDGES[with % EDGES.len()].to_le_bytes()),
        8 => overwrite(bytes, at, &(EDGES[with % EDGES.len()] as u16).to_be_bytes()),
        9 => {
            let from = with % bytes.len();
            let piece = bytes[from..bytes.len().min(from + 1 + with % 128)].to_vec();
            overwrite(bytes, at, &piece);
        }
        10 => change_figures(bytes, change),
        _ => bytes[at] = bytes[at].wrapping_add(if with.is_multiple_of(2) { 1 } else { 255 }),
    }
}

fn overwrite(bytes: &mut [u8], at: usize, with: &[u8]) {
    for (to, from) in bytes[at..].iter_mut().zip(with) {
        *to = *from;
    }
}

/// Puts another number where the text has one, as PDF and dates do.
fn change_figures(bytes: &mut Vec<u8>, change: Change) {
    let starts: Vec<usize> = (0..bytes.len())
        .filter(|&i| bytes[i].is_ascii_digit() && (i == 0 || !bytes[i - 1].is_ascii_digit()))
        .collect();
    if starts.is_empty() {
        return;
    }
    let start = starts[change.at as usize % starts.len()];
    let length = bytes[start..].iter().take_while(|b| b.is_ascii_digit()).count();
    let number = match change.with % 3 {
        0 => EDGES[change.with as usize / 3 % EDGES.len()].to_string(),
        1 => format!("-{}", change.with % 100),
        _ => "9".repeat(1 + change.with as usize % 24),
    };
    bytes.splice(start..start + length, number.into_bytes());
}

const STRINGS: [&str; 22] = [
    "",
    " ",
    "a",
    "\0",
    "\n\r\t",
    "\u{202e}\u{1b}[31mred",
    "é̂ ß 漢字 🕯",
    "0",
    "00",
    "-1",
    "9999",
    "99999999999999999999",
    "iiii",
    "xiv",
    "1747a",
    "2027-02-29",
    "0000-00-00",
    "9999-12-31",
    "02-29",
    "easter+32767",
    "../x",
    "order/prayer/2",
];

fn change_value(whole: &mut Value, change: Change) {
    let count = count(whole);
    let other = nth(whole, &mut (change.with as usize % count)).cloned().unwrap_or(Value::Null);
    let with = change.with as usize;
    // Among siblings: taken out, doubled, turned round, put elsewhere.
    if change.kind.is_multiple_of(4) {
        let mut groups = change.at as usize % count;
        if let Some(group) = nth_mut(whole, &mut groups) {
            change_group(group, with, other);
        }
        return;
    }
    let mut at = change.at as usize % count;
    let Some(value) = nth_mut(whole, &mut at) else { return };
    *value = match (change.kind % 4, &value) {
        // Another value of the file that is of the same kind: wrong only in meaning.
        (1, here) if std::mem::discriminant(*here) == std::mem::discriminant(&other) => other,
        (1 | 2, Value::Number(n)) => number(n, with),
        (1 | 2, Value::String(s)) => string(s, with),
        (1 | 2, Value::Bool(b)) => Value::Bool(!b),
        _ => strange(with, other),
    };
}

fn change_group(group: &mut Value, with: usize, other: Value) {
    match group {
        Value::Array(items) if !items.is_empty() => {
            let (at, to) = (with % items.len(), with / 7 % items.len());
            match with % 5 {
                0 => drop(items.remove(at)),
                1 => items.swap(at, to),
                2 => items.reverse(),
                3 => items.insert(at, other),
                _ => {
                    let item = items[at].clone();
                    items.splice(at..at, std::iter::repeat_n(item, 1 + with / 5 % 40));
                }
            }
        }
        Value::Object(fields) if !fields.is_empty() => {
            let key = fields.keys().nth(with % fields.len()).cloned().unwrap_or_default();
            match with % 3 {
                0 => drop(fields.shift_remove(&key)),
                1 => drop(fields.insert(key, other)),
                _ => drop(fields.insert("another".into(), other)),
            }
        }
        other => *other = Value::Null,
    }
}

fn number(n: &Number, with: usize) -> Value {
    let value = n.as_f64().unwrap_or(0.0);
    let whole = n.is_i64() || n.is_u64();
    match with % 6 {
        0 if whole => (value as i64).wrapping_add(1).into(),
        1 if whole => (value as i64).wrapping_sub(1).into(),
        2 if whole => EDGES[with / 6 % EDGES.len()].into(),
        3 if whole => (value as i64).wrapping_neg().into(),
        0 => (value * 1e9).into(),
        1 => (-value).into(),
        2 => f64::MAX.into(),
        3 => f64::MIN_POSITIVE.into(),
        4 => 0.into(),
        _ => (value as i64).saturating_mul(1000).into(),
    }
}

fn string(s: &str, with: usize) -> Value {
    let some = STRINGS[with / 6 % STRINGS.len()];
    let at = s.char_indices().map(|(at, _)| at).nth(with / 6 % s.chars().count().max(1));
    let (before, after) = s.split_at(at.unwrap_or(0));
    match with % 6 {
        0 => some.into(),
        1 => format!("{before}{some}{after}").into(),
        2 => before.into(),
        3 => after.into(),
        4 => s.repeat(1 + with / 6 % 200).into(),
        _ => s.to_uppercase().into(),
    }
}

fn strange(with: usize, other: Value) -> Value {
    match with % 10 {
        0 => Value::Null,
        1 => Value::Bool(true),
        2 => EDGES[with / 10 % EDGES.len()].into(),
        3 => (-1).into(),
        4 => i64::MAX.into(),
        5 => f64::MAX.into(),
        6 => Value::Array(Vec::new()),
        7 => Value::Object(Default::default()),
        8 => STRINGS[with / 10 % STRINGS.len()].into(),
        _ => Value::Array(vec![other]),
    }
}

fn count(value: &Value) -> usize {
    1 + match value {
        Value::Array(items) => items.iter().map(count).sum(),
        Value::Object(fields) => fields.values().map(count).sum::<usize>(),
        _ => 0,
    }
}

fn nth<'v>(value: &'v Value, n: &mut usize) -> Option<&'v Value> {
    if *n == 0 {
        return Some(value);
    }
    *n -= 1;
    match value {
        Value::Array(items) => items.iter().find_map(|v| nth(v, n)),
        Value::Object(fields) => fields.values().find_map(|v| nth(v, n)),
        _ => None,
    }
}

fn nth_mut<'v>(value: &'v mut Value, n: &mut usize) -> Option<&'v mut Value> {
    if *n == 0 {
        return Some(value);
    }
    *n -= 1;
    match value {
        Value::Array(items) => items.iter_mut().find_map(|v| nth_mut(v, n)),
        Value::Object(fields) => fields.values_mut().find_map(|v| nth_mut(v, n)),
        _ => None,
    }
}
