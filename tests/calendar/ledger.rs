//! `src/calendar/norms.md` names every paragraph and line, and only code and tests that exist.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn texts_in(folder: &Path) -> String {
    std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
}

fn ledger() -> String {
    std::fs::read_to_string(root().join("src/calendar/norms.md")).unwrap()
}

/// Numbers in the first column of the ledger's tables; `45–47` is three, `16a` is 16.
fn numbers(part: &str) -> BTreeSet<u32> {
    let mut found = BTreeSet::new();
    for line in part.lines().filter(|l| l.starts_with("| ")) {
        let first = line.trim_start_matches("| ").split('|').next().unwrap().trim();
        let ends: Vec<u32> = first
            .split('–')
            .filter_map(|n| n.trim_end_matches(char::is_alphabetic).parse().ok())
            .collect();
        if let (Some(&from), Some(&to)) = (ends.first(), ends.last()) {
            found.extend(from..=to);
        }
    }
    found
}

#[test]
fn the_ledger_has_61_paragraphs_and_13_lines() {
    let text = ledger();
    let (norms, table) = text.split_once("## The Table of Liturgical Days").unwrap();
    let table = table.split("## Beside").next().unwrap();
    assert_eq!(numbers(norms), (1..=61).collect());
    assert_eq!(numbers(table), (1..=13).collect());
}

#[test]
fn the_ledger_names_only_what_exists() {
    let tests = texts_in(&root().join("tests/calendar"));
    let code = texts_in(&root().join("src/calendar"));
    let mut missing = Vec::new();
    for name in ledger().split('`').skip(1).step_by(2) {
        let is_name =
            name.contains('_') && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        let there = if let Some(file) = name.strip_suffix(".rs") {
            let file = format!("{file}.rs");
            ["src/calendar", "tests/calendar"].iter().any(|f| root().join(f).join(&file).exists())
        } else if name.starts_with("trap_") {
            tests.contains(&format!("fn {name}_"))
        } else if is_name {
            tests.contains(&format!("fn {name}(")) || code.contains(name)
        } else {
            true
        };
        if !there {
            missing.push(name.to_owned());
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}
