//! No room, no right to write, files that are gone or are something else.

use super::{PLACES, Sacristy, done, like, refused, state};
use std::os::unix::fs::{PermissionsExt, symlink};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Command, Output};
use vitta::book::Said;
use vitta::place::Place;

/// Runs a command that may write files of at most `blocks` half kilobytes, as on a disk without room
/// (setrlimit(2), RLIMIT_FSIZE: more is refused like on a full disk, once the signal is ignored).
fn without_room(program: &Command, blocks: u32) -> Output {
    let mut shell = Command::new("sh");
    shell.args(["-c", &format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"")]);
    shell.arg(program.get_program()).args(program.get_args());
    like(program, &mut shell);
    shell.output().unwrap()
}

#[test]
fn a_full_disk_loses_nothing() {
    let sacristy = Sacristy::new();
    done(&sacristy.vitta(&["parish", "set", "--name", "Before"]).output().unwrap());
    let book = sacristy.shelf().open("chapel").unwrap();
    for command in [
        &["book", "set", "chapel", PLACES[1], "440"][..],
        &["book", "export", "chapel", "--out", "pages.json"],
        &["parish", "set", "--name", "After"],
        &["lay", "2027-03-19", "--book", "chapel", "--ribbons", "2", "--card", "card.pdf"],
    ] {
        let said = refused(&without_room(&sacristy.vitta(command), 0));
        assert!(said.contains("cannot be written") && said.contains("room"), "{command:?}: {said}");
        assert_eq!(sacristy.shelf().open("chapel").unwrap(), book, "{command:?}");
        assert_eq!(sacristy.shelf().parish().unwrap().name, "Before", "{command:?}");
        let left: Vec<_> = state(sacristy.folder.path())
            .into_iter()
            .filter(|(path, size, _)| path.is_file() && *size == 0 && !path.ends_with(".lock"))
            .collect();
        assert!(left.is_empty(), "{command:?} left {left:?}");
    }
    done(&sacristy.vitta(&["book", "set", "chapel", PLACES[1], "440"]).output().unwrap());
}

/// A command as a user who may write nowhere it is not allowed to: root may everything, so root becomes nobody.
fn as_nobody(sacristy: &Sacristy, arguments: &[&str]) -> Command {
    let mut vitta = sacristy.vitta(arguments);
    if is_root() {
        let copy = sacristy.path("vitta");
        if !copy.exists() {
            std::fs::copy(env!("CARGO_BIN_EXE_vitta"), &copy).unwrap();
        }
        let mut copied = Command::new(copy);
        copied.args(vitta.get_args()).uid(65534).gid(65534);
        like(&vitta, &mut copied);
        vitta = copied;
    }
    vitta
}

fn is_root() -> bool {
    nix::unistd::geteuid().is_root()
}

fn allow(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn a_shelf_that_may_only_be_read_is_read_and_not_written() {
    let sacristy = Sacristy::new();
    allow(sacristy.folder.path(), 0o755);
    let (shelf, books) = (sacristy.path("shelf"), sacristy.path("shelf/books"));
    allow(&sacristy.path("shelf/books/chapel.json"), 0o644);
    allow(&books, 0o555);
    allow(&shelf, 0o555);
    done(&as_nobody(&sacristy, &["book", "show", "chapel"]).output().unwrap());
    done(&as_nobody(&sacristy, &["day", "2027-03-19", "--book", "chapel"]).output().unwrap());
    let before = state(&shelf);
    for command in [
        &["book", "set", "chapel", PLACES[1], "440"][..],
        &["parish", "set", "--name", "After"],
        &["book", "export", "chapel", "--out", "shelf/pages.json"],
    ] {
        let said = refused(&as_nobody(&sacristy, command).output().unwrap());
        assert!(said.contains("cannot be written") && said.contains("may write"), "{said}");
    }
    assert_eq!(state(&shelf), before);
    allow(&sacristy.path("shelf/books/chapel.json"), 0o000);
    let said = refused(&as_nobody(&sacristy, &["book", "show", "chapel"]).output().unwrap());
    assert!(said.contains("chapel.json cannot be read"), "{said}");
    allow(&shelf, 0o755);
    allow(&books, 0o755);
}

#[test]
fn a_book_removed_under_the_program_is_missed_with_a_sentence() {
    let sacristy = Sacristy::new();
    std::fs::remove_file(sacristy.path("shelf/books/chapel.json")).unwrap();
    let set = ["book", "set", "chapel", PLACES[1], "440"];
    assert!(refused(&sacristy.vitta(&set).output().unwrap()).contains("no book \"chapel\""));
    std::fs::remove_dir_all(sacristy.path("shelf")).unwrap();
    assert!(refused(&sacristy.vitta(&set).output().unwrap()).contains("the shelf is empty"));
    // What is whole in memory makes its folder anew.
    sacristy.shelf().put(&super::book()).unwrap();
    done(&sacristy.vitta(&set).output().unwrap());
}

#[test]
fn a_folder_in_the_place_of_a_file_is_told() {
    let sacristy = Sacristy::new();
    let book = sacristy.path("shelf/books/chapel.json");
    std::fs::remove_file(&book).unwrap();
    std::fs::create_dir(&book).unwrap();
    let set = ["book", "set", "chapel", PLACES[1], "440"];
    assert!(refused(&sacristy.vitta(&set).output().unwrap()).contains("cannot be read"));
    let out = ["book", "export", "chapel", "--out", "shelf"];
    refused(&sacristy.vitta(&out).output().unwrap());
    std::fs::write(sacristy.path("file"), "").unwrap();
    let mut in_a_file = sacristy.vitta(&["parish", "set", "--name", "After"]);
    in_a_file.env("VITTA_SHELF", sacristy.path("file"));
    assert!(refused(&in_a_file.output().unwrap()).contains("cannot be"));
}

/// Who keeps the shelf in another folder behind a link keeps the link; who may read the file still may.
#[test]
fn links_and_rights_of_a_file_stay() {
    let sacristy = Sacristy::new();
    let (book, elsewhere) =
        (sacristy.path("shelf/books/chapel.json"), sacristy.path("chapel.json"));
    std::fs::rename(&book, &elsewhere).unwrap();
    symlink(&elsewhere, &book).unwrap();
    allow(&elsewhere, 0o640);
    done(&sacristy.vitta(&["book", "set", "chapel", PLACES[1], "440"]).output().unwrap());
    assert!(book.symlink_metadata().unwrap().is_symlink(), "the link was replaced by a file");
    assert_eq!(elsewhere.metadata().unwrap().permissions().mode() & 0o777, 0o640);
    let said = sacristy.shelf().open("chapel").unwrap();
    let said = said.entry(&Place::new(PLACES[1]).unwrap()).unwrap().said.clone();
    assert_eq!(said, Some(Said::Page("440".into())));
}

/// A card is for others to read, as the user's other files are; a pipe or a device is no place to put a file.
#[test]
fn a_card_is_written_like_any_file_and_over_no_device() {
    let sacristy = Sacristy::new();
    let lay = ["lay", "2027-03-19", "--book", "chapel", "--ribbons", "2", "--card"];
    let card = |name: &str| sacristy.vitta(&[&lay[..], &[name]].concat()).output().unwrap();
    std::fs::write(sacristy.path("usual"), "").unwrap();
    done(&card("card.svg"));
    let mode = |name: &str| sacristy.path(name).metadata().unwrap().permissions().mode() & 0o777;
    assert_eq!(mode("card.svg"), mode("usual"));
    done(&Command::new("mkfifo").arg(sacristy.path("pipe.svg")).output().unwrap());
    let said = refused(&card("pipe.svg"));
    assert!(said.contains("pipe.svg cannot be written"), "{said}");
    assert!(!sacristy.path("pipe.svg").metadata().unwrap().is_file());
}
