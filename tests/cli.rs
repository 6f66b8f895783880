//! The program as a person uses it: what it prints, what it refuses, what it leaves behind.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A shelf of its own for one test, gone at its end.
struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    fn new() -> Self {
        Desk { folder: tempfile::tempdir().unwrap() }
    }

    fn shelf(&self) -> PathBuf {
        self.folder.path().join("shelf")
    }

    fn file(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    }

    fn vitta(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_vitta"))
            .args(arguments)
            .env("VITTA_SHELF", self.shelf())
            .output()
            .unwrap()
    }

    /// Runs what must be refused: exit 2, nothing on stdout, one sentence and one hint on stderr,
    /// and no shelf. Returns the sentence.
    fn refused(&self, arguments: &[&str]) -> String {
        let output = self.vitta(arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(output.stdout.is_empty(), "{arguments:?} printed to stdout");
        let lines: Vec<&str> = said.lines().collect();
        assert_eq!(lines.len(), 2, "{arguments:?}: {said}");
        assert!(lines[0].starts_with("vitta: "), "{said}");
        assert!(lines[1].starts_with("hint: "), "{said}");
        assert!(!self.shelf().exists(), "{arguments:?} left something on the shelf");
        lines[0].to_owned()
    }
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

#[test]
fn a_corrupt_photograph_is_refused_with_one_sentence() {
    let desk = Desk::new();
    let mut bytes =
        b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00".to_vec();
    bytes.extend([0x55; 900]);
    let photo = desk.file("contents.jpg", &bytes);
    let said = desk.refused(&["read", text(&photo), "--book", "chapel"]);
    assert!(said.contains("contents.jpg"), "{said}");
}

#[test]
fn a_text_named_jpg_is_refused() {
    let desk = Desk::new();
    let photo = desk.file("notes.jpg", b"Ribbons: red at the preface.\n");
    let said = desk.refused(&["read", text(&photo), "--book", "chapel"]);
    assert!(said.contains("notes.jpg"), "{said}");
}

#[test]
fn an_empty_folder_is_refused() {
    let desk = Desk::new();
    let folder = desk.folder.path().join("photos");
    std::fs::create_dir(&folder).unwrap();
    let said = desk.refused(&["read", text(&folder), "--book", "chapel"]);
    assert!(said.contains("photos"), "{said}");
}

#[test]
fn a_photograph_that_is_not_there_is_refused() {
    let desk = Desk::new();
    let said = desk.refused(&["read", "nowhere.jpg", "--book", "chapel"]);
    assert!(said.contains("nowhere.jpg"), "{said}");
}

#[test]
fn the_thirtieth_of_february_is_refused() {
    let desk = Desk::new();
    for command in [&["day", "2026-02-30"][..], &["lay", "2026-02-30", "--book", "chapel"]] {
        let said = desk.refused(command);
        assert!(said.contains("February 2026 has 28 days"), "{said}");
    }
}

/// The parser's refusals are one sentence and a hint too.
#[test]
fn what_the_parser_does_not_understand_is_refused_like_the_rest() {
    let desk = Desk::new();
    for (typed, sentence) in [
        (&["lay", "2026-12-08"][..], "--book"),
        (&["lay", "2026-12-08", "--book", "chapel", "--ribbon", "4"], "--ribbon"),
        (&["lay", "2026-12-08", "--book", "chapel", "--ribbons", "four"], "four"),
        (&["lie", "2026-12-08"], "lie"),
        (&["week", "--book", "chapel", "--days", "0"], "--days"),
        (&[], "no command"),
    ] {
        let said = desk.refused(typed);
        assert!(said.contains(sentence), "{typed:?}: {said}");
        assert!(!said.contains("error:") && !said.contains("Usage"), "{typed:?}: {said}");
    }
    let help = desk.vitta(&["lay", "--help"]);
    assert!(help.status.success() && !help.stdout.is_empty());
}

#[test]
fn an_unknown_book_is_refused() {
    let desk = Desk::new();
    let said = desk.refused(&["lay", "2026-12-08", "--book", "nowhere", "--ribbons", "4"]);
    assert!(said.contains("nowhere"), "{said}");
}
