//! `vitta book` as a person types it, on a shelf in a folder of its own.

use super::score::*;
use super::simulate::*;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;
use vitta::book::Book;
use vitta::shelf::Shelf;

struct Parish {
    folder: tempfile::TempDir,
    edition: Edition,
}

impl Parish {
    /// A shelf with one book, of which the contents and the prefaces were read.
    fn new() -> Self {
        let dice = &mut Dice(31);
        let edition = Edition::print(&USUAL, dice);
        let readings = photograph(&edition, &USUAL, Photographed::ContentsAndPrefaces, dice);
        let folder = tempfile::tempdir().unwrap();
        let book = Book { name: "Chapel".into(), ..book_of(&readings) };
        Shelf::at(folder.path()).put(&book).unwrap();
        Parish { folder, edition }
    }

    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_vitta"));
        command.arg("--shelf").arg(self.folder.path()).arg("book").args(words);
        command
    }

    fn run(&self, words: &[&str]) -> (i32, String, String) {
        let Output { status, stdout, stderr } = self.command(words).output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (status.code().unwrap(), text(stdout), text(stderr))
    }

    fn book(&self) -> Book {
        vitta::format::read(&self.file()).unwrap()
    }

    fn file(&self) -> std::path::PathBuf {
        Shelf::at(self.folder.path()).book_file("Chapel").unwrap()
    }
}

#[test]
fn a_page_is_set_shown_and_undone() {
    let parish = Parish::new();
    let path = "time/lent/week-2/thursday";
    let page = parish.edition.page(&vitta::place::Place::new(path).unwrap()).unwrap().to_string();
    let before = parish.book();
    let (code, out, err) = parish.run(&["set", "chapel", path, &page]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains(&page) && out.contains("known"), "{out}");
    let (_, out, _) = parish.run(&["show", "chapel", path]);
    assert!(out.contains(&format!("{page}  known")), "{out}");
    let (_, out, _) = parish.run(&["show", "chapel", "--history"]);
    assert_eq!(out.lines().count(), 2, "{out}");
    let (code, out, _) = parish.run(&["undo", "chapel"]);
    assert!(code == 0 && out.contains(path), "{out}");
    assert_eq!(Book { undone: Vec::new(), ..parish.book() }, before);
    let (code, out, _) = parish.run(&["redo", "chapel"]);
    assert!(code == 0 && out.contains(path), "{out}");
    let (_, out, _) = parish.run(&["show", "chapel", path]);
    assert!(out.contains(&format!("{page}  known")), "{out}");
}

#[test]
fn what_is_mistyped_is_refused_and_nothing_written() {
    let parish = Parish::new();
    let before = std::fs::read(parish.file()).unwrap();
    for (words, told) in [
        (["set", "chapel", "time/lent/week-2/thursdy", "210"], "time/lent/week-2/thursday"),
        (["set", "chapel", "time/lent/week-2/thursday", "p.210"], "page label"),
        (["set", "chappel", "time/lent/week-2/thursday", "210"], "chappel"),
        (["set", "chapel", "Bells!", "210"], "Bells!"),
        (["marks", "chapel", "--tab", "Prefaces"], "531=Prefaces"),
    ] {
        let (code, _, err) = parish.run(&words);
        assert_eq!(code, 2, "{words:?}: {err}");
        assert!(err.contains(told), "{words:?}: {err}");
    }
    assert_eq!(std::fs::read(parish.file()).unwrap(), before);
}

#[test]
fn a_book_goes_to_another_parish() {
    let (giving, taking) = (Parish::new(), Parish::new());
    let file = giving.folder.path().join("pages.json");
    let file = file.to_str().unwrap();
    assert_eq!(giving.run(&["marks", "chapel", "--ribbons", "red,gold"]).0, 0);
    assert_eq!(giving.run(&["export", "chapel", "--out", file]).0, 0);
    assert_eq!(taking.run(&["import", file, "--name", "chapel"]).0, 2, "the name is taken");
    assert_eq!(taking.run(&["import", file, "--name", "sacristy"]).0, 0);
    let (_, out, _) = taking.run(&["marks", "sacristy"]);
    assert_eq!(out, "ribbons: \n");
    let (_, out, _) = taking.run(&["list"]);
    assert_eq!(out.lines().count(), 2, "{out}");
    let (code, out, _) = taking.run(&["compare", "chapel", "sacristy", "--json"]);
    let pairs: Vec<serde_json::Value> = serde_json::from_str(&out).unwrap();
    assert!(code == 0 && pairs.iter().all(|p| p["old"] == p["new"]));
}

#[test]
fn a_book_survives_a_kill_while_it_is_written() {
    let parish = Parish::new();
    let path = "time/lent/week-2/thursday";
    for n in 0..12u64 {
        let page = (200 + n).to_string();
        let mut command = parish.command(&["set", "chapel", path, &page]);
        let mut running = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(40 * n));
        let _ = running.kill();
        running.wait().unwrap();
        let book: Book = vitta::format::read(Path::new(&parish.file())).unwrap();
        assert!(book.entries.len() > 900);
    }
}

#[test]
fn a_whole_reading_is_undone_only_when_that_is_asked_for_and_can_be_done_again() {
    let parish = Parish::new();
    let before = parish.book();
    assert_eq!(parish.run(&["marks", "chapel", "--ribbons", "red"]).0, 0);
    let (code, _, err) = parish.run(&["undo", "chapel", "--steps", "2"]);
    assert!(code == 2 && err.contains("whole reading, of 2 photographs"), "{err}");
    assert_eq!(parish.run(&["undo", "chapel"]).0, 0);
    let (code, out, err) = parish.run(&["undo", "chapel", "--reading"]);
    assert!(code == 0 && out.contains("read contents.jpg, prefaces.jpg"), "{out}{err}");
    let (_, out, _) = parish.run(&["show", "chapel", "--photographs"]);
    assert_eq!(out, "");
    let (code, out, _) = parish.run(&["redo", "chapel"]);
    assert!(code == 0 && out.starts_with("done again: "), "{out}");
    assert_eq!(parish.run(&["redo", "chapel"]).0, 0);
    assert_eq!(parish.run(&["undo", "chapel"]).0, 0);
    assert_eq!(Book { undone: Vec::new(), ..parish.book() }, before);
}

#[test]
fn a_page_far_out_of_order_is_taken_when_it_is_said_surely() {
    let parish = Parish::new();
    let path = "time/lent/week-2/thursday";
    let (code, _, err) = parish.run(&["set", "chapel", path, "3331"]);
    assert!(
        code == 2 && err.contains("far out of order on 3331") && err.contains("--sure"),
        "{err}"
    );
    assert_eq!(parish.run(&["set", "chapel", path, "3331", "--sure"]).0, 0);
}

#[test]
fn a_book_is_renamed_put_away_and_brought_back_with_all_it_has() {
    let parish = Parish::new();
    let shelf = Shelf::at(parish.folder.path());
    let photograph =
        vitta::photo::Photo { name: "contents.jpg".into(), image: image::RgbImage::new(8, 8) };
    shelf.keep_photo("Chapel", &photograph).unwrap();
    shelf
        .change_parish(|p| {
            p.settings.chair_book = Some("chapel".into());
            Ok(())
        })
        .unwrap();
    let before = shelf.open("chapel").unwrap();
    assert_eq!(parish.run(&["rename", "chapel", "Crypt"]).0, 0);
    assert_eq!(shelf.names().unwrap(), ["crypt"]);
    let renamed = shelf.open("crypt").unwrap();
    assert_eq!(renamed, Book { name: "Crypt".into(), ..before });
    assert!(shelf.photo("crypt", "contents.jpg").unwrap().is_some());
    assert!(shelf.photo("chapel", "contents.jpg").unwrap().is_none());
    assert_eq!(shelf.parish().unwrap().settings.chair_book.as_deref(), Some("Crypt"));
    assert_eq!(parish.run(&["away", "crypt"]).0, 0);
    assert_eq!(parish.run(&["list"]).1, "");
    assert_eq!(parish.run(&["list", "--away"]).1, "crypt\n");
    let taken = shelf.begin(&Book { name: "Crypt".into(), ..renamed.clone() }).unwrap_err();
    assert!(taken.to_string().contains("is put away"), "{taken}");
    let (code, _, err) = parish.run(&["back", "chapel"]);
    assert!(code == 2 && err.contains("only crypt"), "{err}");
    assert_eq!(parish.run(&["back", "crypt"]).0, 0);
    assert_eq!(shelf.open("crypt").unwrap(), renamed);
}
