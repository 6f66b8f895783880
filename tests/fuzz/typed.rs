//! What may be typed after `vitta`: every command with words, dates, names and numbers that went wrong.
//!
//! A case is a JSON list of arguments. The program runs in a folder of its own, with a shelf of its own.

use super::change::Kind;
use super::engine::{Answer, Target, hold, one_sentence};
use super::formats::small_book;
use serde_json::json;
use std::path::Path;
use std::process::{Command, Stdio};
use vitta::shelf::Shelf;

const COMMANDS: [&[&str]; 23] = [
    &["day", "2026-12-08"],
    &["day", "sunday", "--choose", "saints/12-08/immaculate-conception", "--language", "es"],
    &["day", "2027-03-27", "--evening", "--texts", "--book", "chapel"],
    &["day", "2027-03-19", "--calendar", "england", "--json"],
    &[
        "lay",
        "2027-03-19",
        "--book",
        "chapel",
        "--ribbons",
        "3",
        "--card",
        "card.pdf",
        "--paper",
        "a6",
    ],
    &[
        "lay", "tomorrow", "--book", "chapel", "--beside", "chapel", "--server", "page.svg",
        "--json",
    ],
    &[
        "lay",
        "today",
        "--book",
        "chapel",
        "--book",
        "chapel",
        "--ribbons",
        "2",
        "--chair",
        "chapel",
    ],
    &["week", "2026-11-28", "--evening", "--days", "2", "--book", "chapel", "--card", "week.txt"],
    &["week", "2026-11-28", "--days", "1", "--book", "chapel", "--ics", "--color", "always"],
    &["book", "list", "--json"],
    &["book", "show", "chapel", "order", "--in-order", "--evidence"],
    &["book", "show", "chapel", "--history"],
    &["book", "set", "chapel", "order/preface/advent-1", "531"],
    &["book", "set", "chapel", "order", "--absent"],
    &["book", "confirm", "chapel", "order", "front"],
    &["book", "undo", "chapel", "--steps", "3"],
    &["book", "next", "chapel", "--days", "2", "--most", "2"],
    &[
        "book",
        "marks",
        "chapel",
        "--copy",
        "crypt",
        "--ribbons",
        "red,green",
        "--tab",
        "531=Prefaces",
        "--sheet",
        "1747a=order",
    ],
    &["book", "export", "chapel", "--out", "pages.json"],
    &["book", "compare", "chapel", "chapel", "--carry"],
    &[
        "parish",
        "set",
        "--calendar",
        "england",
        "--by-heart",
        "order/prayer/2",
        "--cost",
        "pull=180",
        "--name",
        "Little Invented",
    ],
    &["parish", "show", "--shelf", "elsewhere"],
    &[
        "read",
        "list.jpg",
        "--book",
        "chapel",
        "--outline",
        "none",
        "--printed",
        "la",
        "--show-steps",
        "steps",
    ],
];

#[test]
fn typed() {
    let seeds = COMMANDS.iter().map(|c| json!(c).to_string().into_bytes()).collect();
    hold(Target { name: "typed", seeds, kind: Kind::Json, cases: 60, run });
}

fn run(case: &[u8]) -> Result<Answer, String> {
    let Ok(arguments) = serde_json::from_slice::<Vec<String>>(case) else {
        return Ok(Answer::Taken("no list".into()));
    };
    // The system itself refuses a zero in an argument. What waits for a person is not asked for.
    let waits = |a: &String| ["desk", "demo", "calibrate"].contains(&a.as_str());
    if arguments.iter().any(|a| a.contains('\0') || waits(a)) {
        return Ok(Answer::Taken("not run".into()));
    }
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path().join("a/b/c");
    std::fs::create_dir_all(&here).unwrap();
    let shelf = here.join("shelf");
    Shelf::at(&shelf).put(small_book_once()).unwrap();
    std::fs::write(here.join("list.jpg"), b"\xFF\xD8 no picture").unwrap();
    let done = Command::new(env!("CARGO_BIN_EXE_vitta"))
        .args(&arguments)
        .current_dir(&here)
        .envs([("VITTA_SHELF", shelf.as_path()), ("HOME", here.as_path())])
        .env("OMP_THREAD_LIMIT", "1")
        .stdin(Stdio::null())
        .output()
        .map_err(|e| e.to_string());
    // A list of arguments may be longer than the system takes.
    let Ok(done) = done else { return Ok(Answer::Taken("not begun".into())) };
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    judge(done.status.code(), &done.stdout, &said)?;
    whole(&shelf)?;
    let first = said.lines().next().unwrap_or_default().to_owned();
    Ok(if done.status.code() == Some(2) { Answer::Refused(first) } else { Answer::Taken(first) })
}

fn small_book_once() -> &'static vitta::book::Book {
    static BOOK: std::sync::OnceLock<vitta::book::Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(small_book)
}

/// 0 and 1 are done; 2 is refused in our words, with a hint and no result, or in those of the parser.
fn judge(code: Option<i32>, printed: &[u8], said: &str) -> Result<(), String> {
    if said.contains("panicked") {
        return Err(said.to_owned());
    }
    match code {
        Some(0 | 1) => return Ok(()),
        Some(2) if printed.is_empty() => {}
        Some(2) => return Err(format!("refused, but something was printed: {said}")),
        other => return Err(format!("exit code {other:?}: {said}")),
    }
    let lines: Vec<&str> = said.lines().collect();
    match lines.as_slice() {
        [first, ..] if first.starts_with("error: ") => Ok(()),
        [sentences @ .., hint] if hint.starts_with("hint: ") && !sentences.is_empty() => {
            let ours = |line: &&str| line.starts_with("vitta: ") || line.starts_with("hint: ");
            if !sentences.iter().all(ours) {
                return Err(format!("not one sentence: {said}"));
            }
            lines.iter().try_for_each(|line| one_sentence(line))
        }
        _ => Err(format!("no sentence with a hint: {said}")),
    }
}

/// Whatever was asked for, the book on the shelf is whole.
fn whole(shelf: &Path) -> Result<(), String> {
    Shelf::at(shelf)
        .open("chapel")
        .map(drop)
        .map_err(|e| format!("the book is lost: {}", e.whole()))
}
