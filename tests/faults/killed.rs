//! The program is killed before and after every system call of a save. What is on the shelf then is the old or
//! the new, never a mixture, and what is left lying about hinders nobody.
//!
//! A kill leaves the files as the system calls so far have made them. A loss of power may lose more; that a
//! file is on the disk before it takes the old one's place (fsync before rename) is seen to in `format`.

use super::trace::{Ended, Then, run};
use super::{PLACES, Sacristy, done, state};
use std::collections::HashSet;
use std::path::Path;
use std::process::Command;
use vitta::book::{Book, Change, Said};
use vitta::place::Place;
use vitta::shelf::Shelf;

/// Stops before the first change of the shelf that count too: the save has begun, and nothing is seen yet.
const BEFORE: usize = 6;

/// Runs `command` on a fresh sacristy again and again, killed one system call later each time, from a little
/// before it changes the shelf until it ends by itself. Returns at how many stops it was killed.
fn kill_everywhere(
    prepare: impl Fn() -> Sacristy,
    command: &[&str],
    judge: impl Fn(&Sacristy, Left),
) -> usize {
    let mut begins = None;
    let first = prepare();
    let before = state(first.folder.path());
    let mut stops = 0;
    let ended = run(first.vitta(command), || {
        stops += 1;
        if begins.is_none() && state(first.folder.path()) != before {
            begins = Some(stops);
        }
        Then::GoOn
    });
    if ended == Ended::NotAllowed {
        eprintln!("skipped: this system lets no program stop another (ptrace is forbidden)");
        return usize::MAX;
    }
    let begins: usize = begins.expect("the command changes the shelf");
    let (mut killed, mut known) = (0, HashSet::new());
    for last in begins.saturating_sub(BEFORE).. {
        let sacristy = prepare();
        let mut stops = 0;
        let ended = run(sacristy.vitta(command), || {
            stops += 1;
            if stops == last { Then::Kill } else { Then::GoOn }
        });
        let new = known.insert(shape(sacristy.folder.path()));
        judge(&sacristy, Left { ended: ended != Ended::Killed, new });
        if ended != Ended::Killed {
            break;
        }
        killed += 1;
    }
    killed
}

/// What a command left behind.
struct Left {
    /// It ended by itself.
    ended: bool,
    /// No kill before left such files; only then the next command is tried too.
    new: bool,
}

/// Names and sizes of all files; those still being written have a name by chance.
fn shape(folder: &Path) -> Vec<(String, u64)> {
    let name = |path: &Path| path.file_name().unwrap().to_string_lossy().into_owned();
    let known = |name: String| if name.starts_with(".tmp") { ".tmp".into() } else { name };
    state(folder).into_iter().map(|(path, size, _)| (known(name(&path)), size)).collect()
}

fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

/// The book is the old one or the new one in all its parts; returns whether it is the new.
fn old_or_new(old: &Book, now: &Book, page: &str) -> bool {
    let said = |book: &Book| book.entry(&place(PLACES[1])).unwrap().said.clone();
    if now == old {
        return false;
    }
    assert_eq!(said(now), Some(Said::Page(page.into())));
    let (last, before) = now.history.split_last().unwrap();
    assert_eq!(before, old.history, "the history before it is whole");
    assert!(matches!(&last.what, Change::Word { place, .. } if place.as_str() == PLACES[1]));
    let mut back = now.clone();
    back.undo();
    assert_eq!((&back.entries, &back.history), (&old.entries, &old.history));
    true
}

/// The next correction is made as if nothing had happened, and the shelf has one book.
fn goes_on(sacristy: &Sacristy) {
    done(&sacristy.vitta(&["book", "set", "chapel", PLACES[2], "700"]).output().unwrap());
    let book = sacristy.shelf().open("chapel").unwrap();
    assert_eq!(book.entry(&place(PLACES[2])).unwrap().said, Some(Said::Page("700".into())));
    assert_eq!(sacristy.shelf().names().unwrap(), ["chapel"]);
}

#[test]
fn a_correction_is_made_whole_or_not_at_all() {
    let prepare = || {
        let sacristy = Sacristy::new();
        done(&sacristy.vitta(&["book", "set", "chapel", PLACES[0], "390"]).output().unwrap());
        sacristy
    };
    let command = ["book", "set", "chapel", PLACES[1], "440"];
    let seen = std::cell::RefCell::new([0; 2]);
    let killed = kill_everywhere(prepare, &command, |sacristy, left| {
        let now = sacristy.shelf().open("chapel").unwrap();
        let mut old = now.clone();
        if old.history.len() > 1 {
            old.undo();
        }
        assert_eq!(old.entry(&place(PLACES[0])).unwrap().said, Some(Said::Page("390".into())));
        let new = old_or_new(&old, &now, "440");
        assert!(new || !left.ended, "it said that it is done");
        seen.borrow_mut()[usize::from(new)] += 1;
        if left.new {
            goes_on(sacristy);
        }
    });
    println!(
        "a correction: killed at {killed} stops, old and new book found {:?} times",
        seen.borrow()
    );
    assert!(killed > 20 && seen.borrow().iter().all(|n| *n > 0), "{killed} {:?}", seen.borrow());
}

#[test]
fn the_parish_is_settled_whole_or_not_at_all() {
    let names = ["Old Name", "New Name"];
    for begun in [false, true] {
        let prepare = || {
            let sacristy = Sacristy::new();
            if begun {
                let set = ["parish", "set", "--name", names[0], "--cost", "pull=180"];
                done(&sacristy.vitta(&set).output().unwrap());
            }
            sacristy
        };
        let killed = kill_everywhere(
            prepare,
            &["parish", "set", "--name", names[1], "--by-heart", "greeting"],
            |sacristy, left| {
                let parish = sacristy.shelf().parish().unwrap();
                let new = parish.name == names[1];
                assert_eq!(
                    parish.name,
                    if new {
                        names[1]
                    } else if begun {
                        names[0]
                    } else {
                        ""
                    }
                );
                assert_eq!(parish.settings.by_heart.contains(&"greeting".to_owned()), new);
                assert_eq!(parish.costs.pull, if begun { 180 } else { 150 });
                assert!(new || !left.ended);
                if left.new {
                    done(&sacristy.vitta(&["parish", "set", "--name", "Next"]).output().unwrap());
                    assert_eq!(sacristy.shelf().parish().unwrap().name, "Next");
                    goes_on(sacristy);
                }
            },
        );
        println!("the parish: killed at {killed} stops");
        assert!(killed > 20, "{killed}");
    }
}

#[test]
fn a_book_from_another_parish_comes_whole_or_not_at_all() {
    let prepare = || {
        let sacristy = Sacristy::new();
        let out = ["book", "export", "chapel", "--out", "pages.json"];
        done(&sacristy.vitta(&out).output().unwrap());
        sacristy
    };
    let import = ["book", "import", "pages.json", "--name", "crypt"];
    let killed = kill_everywhere(prepare, &import, |sacristy, left| {
        match sacristy.shelf().find("crypt").unwrap() {
            Some(book) => assert_eq!(book.entries.len(), PLACES.len()),
            None => {
                assert!(!left.ended);
                if !left.new {
                    return;
                }
                done(&sacristy.vitta(&import).output().unwrap());
            }
        }
        assert_eq!(sacristy.shelf().names().unwrap(), ["chapel", "crypt"]);
    });
    println!("an import: killed at {killed} stops");
    assert!(killed > 20, "{killed}");
}

/// Reading takes long, so the program is not killed: at each stop the folder is copied, which holds what a kill
/// there would have left.
#[test]
fn a_photograph_is_kept_whole_or_not_at_all() {
    let sacristy = Sacristy::new();
    let fixture =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/photos/vallombra/prefaces-1400.jpg");
    let whole = image::open(fixture).unwrap();
    whole.crop_imm(300, 300, 1100, 400).save(sacristy.path("list.jpg")).unwrap();
    let shelf = sacristy.path("shelf");
    let copies = tempfile::tempdir().unwrap();
    let (mut last, mut count) = (state(&shelf), 0);
    let read = ["read", "list.jpg", "--book", "chapel"];
    let ended = run(sacristy.vitta(&read), || {
        let now = state(&shelf);
        if now != last {
            let to = copies.path().join(count.to_string());
            done(&Command::new("cp").arg("-a").arg(&shelf).arg(&to).output().unwrap());
            (last, count) = (now, count + 1);
        }
        Then::GoOn
    });
    if ended == Ended::NotAllowed {
        eprintln!("skipped: this system lets no program stop another (ptrace is forbidden)");
        return;
    }
    assert!(matches!(ended, Ended::ByItself(0 | 1)), "{ended:?}");
    let mut found = [0; 2];
    for n in 0..count {
        let folder = copies.path().join(n.to_string());
        let photo = folder.join("photographs/chapel/list-jpg.jpg");
        if photo.exists() {
            let size = image::open(&photo).unwrap();
            assert_eq!((size.width(), size.height()), (1100, 400), "a picture to its last row");
        }
        let book = Shelf::at(&folder).open("chapel").unwrap();
        let read = !book.history.is_empty();
        assert!(!read || photo.exists(), "the book's readings have their photograph");
        found[usize::from(read)] += 1;
        let mut next = Command::new(env!("CARGO_BIN_EXE_vitta"));
        next.args(["book", "set", "chapel", PLACES[2], "700"]).env("VITTA_SHELF", &folder);
        done(&next.output().unwrap());
    }
    println!("a photograph: {count} states of the folder, old and new book found {found:?} times");
    assert!(count > 4 && found.iter().all(|n| *n > 0), "{count} {found:?}");
}
