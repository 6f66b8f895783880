//! What goes wrong around the program: killed, no room, no right to write, two at once, files gone, no language
//! data. Nothing is lost or half written, and what is refused is refused with a sentence.

#[cfg(unix)]
mod disk;
mod gone;
mod installed;
#[cfg(target_os = "linux")]
mod killed;
mod together;
#[cfg(target_os = "linux")]
mod trace;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use vitta::book::{Book, Entry};
use vitta::language::Language;
use vitta::place::Place;
use vitta::shelf::Shelf;

/// A shelf with a small book called "chapel", in a folder of its own.
struct Sacristy {
    folder: tempfile::TempDir,
}

impl Sacristy {
    fn new() -> Self {
        let sacristy = Sacristy { folder: tempfile::tempdir().unwrap() };
        sacristy.shelf().put(&book()).unwrap();
        sacristy
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn shelf(&self) -> Shelf {
        Shelf::at(self.path("shelf"))
    }

    fn vitta(&self, arguments: &[&str]) -> Command {
        let mut vitta = Command::new(env!("CARGO_BIN_EXE_vitta"));
        vitta.args(arguments).current_dir(self.folder.path());
        vitta.env("VITTA_SHELF", self.path("shelf")).env("OMP_THREAD_LIMIT", "1");
        vitta
    }
}

const PLACES: [&str; 3] = ["order", "order/preface/advent-1", "saints"];

fn book() -> Book {
    let mut book = Book::new("chapel", Language::En, None);
    for (path, page) in PLACES.iter().zip(["385", "433", "661"]) {
        book.entries.push(Entry::typed(Place::new(path).unwrap(), path, page));
    }
    book.infer();
    book
}

/// The sentence of a command that must be refused: exit 2, one sentence, one hint.
fn refused(done: &Output) -> String {
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(2), "{said}");
    let lines: Vec<&str> = said.lines().collect();
    assert!(lines.len() == 2 && lines[1].starts_with("hint: "), "{said}");
    said
}

fn done(output: &Output) {
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(matches!(output.status.code(), Some(0 | 1)), "{said}");
}

/// Gives `other` the environment and the folder of `program`.
#[cfg(unix)]
fn like(program: &Command, other: &mut Command) {
    for (name, value) in program.get_envs() {
        if let Some(value) = value {
            other.env(name, value);
        }
    }
    if let Some(folder) = program.get_current_dir() {
        other.current_dir(folder);
    }
}

/// The files under a folder with what tells one state of them from another, sorted.
fn state(folder: &Path) -> Vec<(PathBuf, u64, Option<std::time::SystemTime>)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let Ok(about) = entry.metadata() else { continue };
        found.push((entry.path(), about.len(), about.modified().ok()));
        if about.is_dir() {
            found.extend(state(&entry.path()));
        }
    }
    found.sort();
    found
}
