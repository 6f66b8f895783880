//! Many photographs, in one call or in as many calls as there are: none stops another, nothing finished is done
//! again or lost.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::Duration;
use vitta::book::{Book, Change};
use vitta::shelf::Shelf;
use vitta::text::Readings;

/// A photograph of a few printed lines; each `shade` makes another one of it.
pub fn photograph(folder: &Path, name: &str, shade: u8) -> PathBuf {
    let whole = image::open("fixtures/photos/catalogue-1849/cat.007.jpg").unwrap().to_rgb8();
    let mut few = image::imageops::crop_imm(&whole, 0, 150, whole.width(), 420).to_image();
    few.iter_mut().for_each(|v| *v = v.saturating_sub(shade));
    let file = folder.join(name);
    few.save(&file).unwrap();
    file
}

/// A folder with photographs and a shelf, gone at the end.
struct Sacristy {
    folder: tempfile::TempDir,
}

impl Sacristy {
    fn with(photographs: u8) -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir(folder.path().join("photos")).unwrap();
        for n in 0..photographs {
            photograph(&folder.path().join("photos"), &format!("{n}.jpg"), 3 * n);
        }
        Sacristy { folder }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The program in the folder; one photograph in work at once.
    fn command(&self, program: &str, words: &[&str]) -> Command {
        let mut command = Command::new(program);
        command
            .args(words)
            .current_dir(self.folder.path())
            .env("VITTA_SHELF", self.path("shelf"))
            .env("OMP_THREAD_LIMIT", "1")
            .env("RAYON_NUM_THREADS", "1");
        command
    }

    fn vitta(&self, words: &[&str]) -> (i32, String) {
        let Output { status, stderr, .. } =
            self.command(env!("CARGO_BIN_EXE_vitta"), words).output().unwrap();
        (status.code().unwrap(), String::from_utf8(stderr).unwrap())
    }

    fn book(&self) -> Book {
        Shelf::at(self.path("shelf")).open("chapel").unwrap()
    }

    /// The files of the folder of readings.
    fn kept(&self) -> Vec<String> {
        let Ok(files) = std::fs::read_dir(self.path("readings")) else { return Vec::new() };
        let mut names: Vec<String> =
            files.map(|f| f.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

/// The photographs that a book was read from.
fn photographs(book: &Book) -> Vec<String> {
    let read = |step: &vitta::book::Step| match &step.what {
        Change::Read { photos, .. } => photos.clone(),
        _ => Vec::new(),
    };
    book.history.iter().flat_map(read).collect()
}

fn press_ctrl_c(process: &Child) {
    let pressed = Command::new("kill").args(["-INT", &process.id().to_string()]).status();
    assert!(pressed.unwrap().success());
}

#[test]
fn one_bad_photograph_never_stops_the_others() {
    let sacristy = Sacristy::with(2);
    std::fs::write(sacristy.path("photos/0-bad.jpg"), "Ribbons: red at the preface.\n").unwrap();
    let (code, said) = sacristy.vitta(&["read", "photos", "--outline", "none", "--book", "chapel"]);
    assert_eq!(code, 1, "{said}");
    assert_eq!(photographs(&sacristy.book()), ["0.jpg", "1.jpg"]);
    let lines: Vec<&str> = said.lines().collect();
    let [.., bad, hint] = lines[..] else { panic!("{said}") };
    assert!(bad.contains("0-bad.jpg is no photograph: found plain text"), "{said}");
    assert!(hint.starts_with("hint: "), "{said}");
}

#[test]
fn ctrl_c_keeps_what_was_read_and_the_same_call_goes_on() {
    let sacristy = Sacristy::with(4);
    let words = ["read", "photos", "--out", "readings", "--outline", "none", "--book", "chapel"];
    let reading = sacristy
        .command(env!("CARGO_BIN_EXE_vitta"), &words)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    while !sacristy.kept().iter().any(|name| name.ends_with(".json")) {
        std::thread::sleep(Duration::from_millis(10));
    }
    press_ctrl_c(&reading);
    let ended = reading.wait_with_output().unwrap();
    let said = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(1), "{said}");
    let kept = sacristy.kept();
    assert!(!kept.is_empty() && kept.len() < 4, "{kept:?}");
    let told = format!("stopped: {} photographs are read, {} are left", kept.len(), 4 - kept.len());
    assert!(said.contains(&told), "{said}");
    assert_eq!(photographs(&sacristy.book()).len(), kept.len());
    let first = sacristy.path("readings/0.jpg.json");
    let made = first.metadata().unwrap().modified().unwrap();
    let (code, said) = sacristy.vitta(&words);
    assert!(code < 2, "{said}");
    assert_eq!(sacristy.kept(), ["0.jpg.json", "1.jpg.json", "2.jpg.json", "3.jpg.json"]);
    assert_eq!(first.metadata().unwrap().modified().unwrap(), made, "it was read again");
    assert!(
        photographs(&sacristy.book())
            .ends_with(&["0.jpg", "1.jpg", "2.jpg", "3.jpg"].map(str::to_owned))
    );
}

#[test]
fn a_second_ctrl_c_ends_at_once() {
    let sacristy = Sacristy::with(3);
    let words = ["read", "photos", "--out", "readings", "--outline", "none", "--book", "chapel"];
    let mut reading = sacristy
        .command(env!("CARGO_BIN_EXE_vitta"), &words)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // When the first is read, the second is soon in hand and keeps the program for a second.
    while !sacristy.kept().iter().any(|name| name.ends_with(".json")) {
        std::thread::sleep(Duration::from_millis(5));
    }
    std::thread::sleep(Duration::from_millis(100));
    press_ctrl_c(&reading);
    let mut line = String::new();
    BufReader::new(reading.stderr.take().unwrap()).read_line(&mut line).unwrap();
    assert!(line.contains("Ctrl-C again ends at once"), "{line}");
    press_ctrl_c(&reading);
    assert_eq!(reading.wait().unwrap().code(), Some(130));
    for name in sacristy.kept().iter().filter(|name| name.ends_with(".json")) {
        vitta::format::read::<Readings>(&sacristy.path("readings").join(name)).unwrap();
    }
}

#[test]
fn steps_are_shown_as_pictures_and_as_text() {
    let sacristy = Sacristy::with(1);
    let (code, said) = sacristy.vitta(&["read", "photos", "--show-steps", "steps"]);
    assert!(code < 2, "{said}");
    for name in ["0.jpg-roles.jpg", "0.jpg-rows.jpg"] {
        let picture = image::open(sacristy.path("steps").join(name)).unwrap();
        assert_eq!(picture.height(), 420, "{name}");
    }
    let told = std::fs::read_to_string(sacristy.path("steps/0.jpg-read.txt")).unwrap();
    assert!(
        told.lines().any(|line| line.contains("Title 0.") || line.contains("Label 0.")),
        "{told}"
    );
}

/// The util-linux program `script` gives the command a terminal of its own.
#[test]
fn progress_is_shown_on_a_terminal() {
    let sacristy = Sacristy::with(2);
    let line = format!("{} read photos", env!("CARGO_BIN_EXE_vitta"));
    let shown = sacristy.command("script", &["-qec", &line, "/dev/null"]).output().unwrap();
    let shown = String::from_utf8_lossy(&shown.stdout);
    assert!(shown.contains("1 of 2"), "{shown}");
}

#[test]
fn readings_of_another_photograph_are_not_taken_for_this_one() {
    let sacristy = Sacristy::with(1);
    std::fs::create_dir(sacristy.path("others")).unwrap();
    photograph(&sacristy.path("others"), "0.jpg", 60);
    let (code, said) = sacristy.vitta(&["read", "photos", "others", "--out", "readings"]);
    assert!(code == 2 && said.contains("have one name"), "{said}");
    assert_eq!(sacristy.vitta(&["read", "photos", "--out", "readings"]).0, 0);
    let before = std::fs::read(sacristy.path("readings/0.jpg.json")).unwrap();
    let (code, said) = sacristy.vitta(&["read", "others", "--out", "readings"]);
    assert!(
        code == 2 && said.contains("others/0.jpg is not the photograph of that name"),
        "{said}"
    );
    assert_eq!(std::fs::read(sacristy.path("readings/0.jpg.json")).unwrap(), before);
}

/// The lines that DEVELOPERS.md gives for thousands of photographs, as they stand there.
fn worked_example() -> String {
    let developers = std::fs::read_to_string("DEVELOPERS.md").unwrap();
    let (_, section) = developers.split_once("**Thousands of photographs**").unwrap();
    let lines = section.lines().skip(1).skip_while(|l| !l.starts_with("    "));
    let lines: Vec<&str> = lines.take_while(|l| l.starts_with("    ")).map(str::trim).collect();
    assert!(lines.iter().any(|l| l.starts_with("parallel ")), "{lines:?}");
    lines.join("\n")
}

#[test]
fn an_engine_for_jobs_reads_as_one_call_does() {
    let sacristy = Sacristy::with(3);
    let program = Path::new(env!("CARGO_BIN_EXE_vitta")).parent().unwrap().to_str().unwrap();
    let path = format!("{program}:{}", std::env::var("PATH").unwrap());
    let example = || {
        let run = sacristy.command("sh", &["-ec", &worked_example()]).env("PATH", &path).output();
        let run = run.unwrap();
        assert!(run.status.code().unwrap() < 2, "{}", String::from_utf8_lossy(&run.stderr));
    };
    example();
    assert_eq!(sacristy.kept(), ["0.jpg.json", "1.jpg.json", "2.jpg.json"]);
    let by_jobs = sacristy.book();
    let direct = Sacristy { folder: tempfile::tempdir().unwrap() };
    let photos = sacristy.path("photos");
    direct.vitta(&["read", photos.to_str().unwrap(), "--book", "chapel"]);
    assert_eq!(by_jobs.entries, direct.book().entries);
    assert!(sacristy.path("shelf/photographs/chapel/2-jpg.jpg").exists());
    // Given again it does nothing again.
    let second = sacristy.path("readings/1.jpg.json");
    let made = second.metadata().unwrap().modified().unwrap();
    example();
    assert_eq!(second.metadata().unwrap().modified().unwrap(), made);
    // The readings alone make the book too, where the photographs are out of reach.
    let alone = Sacristy { folder: tempfile::tempdir().unwrap() };
    let readings = sacristy.path("readings");
    alone.vitta(&["read", readings.to_str().unwrap(), "--book", "chapel"]);
    assert_eq!(alone.book().entries, by_jobs.entries);
}

/// Cameras count from 1 again: two photographs of one name are two, and the same one read again is one.
#[test]
fn two_photographs_of_one_name_do_not_replace_each_other() {
    let sacristy = Sacristy::with(0);
    for (folder, shade) in [("first", 0), ("second", 40)] {
        std::fs::create_dir(sacristy.path(folder)).unwrap();
        photograph(&sacristy.path(folder), "IMG_1.jpg", shade);
    }
    let read = |folders: &[&str]| {
        let words = [&["read"], folders, &["--outline", "none", "--book", "chapel"]].concat();
        let (code, said) = sacristy.vitta(&words);
        assert!(code <= 1, "{said}");
        sacristy.book().photos()
    };
    assert_eq!(read(&["first"]), ["IMG_1.jpg"]);
    let both = read(&["second", "first"]);
    assert!(both.len() == 2 && both.contains(&"IMG_1.jpg".to_owned()), "{both:?}");
    assert_eq!(read(&["second"]), both);
    let shelf = Shelf::at(sacristy.path("shelf"));
    let kept = |name: &str| shelf.photo("chapel", name).unwrap().unwrap();
    assert_ne!(kept(&both[0]), kept(&both[1]));
    let rows = |book: &Book| book.readings.iter().map(|r| r.rows.len()).collect::<Vec<_>>();
    let (before, words) = (rows(&sacristy.book()), ["book", "again", "chapel", both[0].as_str()]);
    assert!(sacristy.vitta(&words).0 <= 1);
    assert_eq!(rows(&sacristy.book()).len(), before.len());
    assert_eq!(sacristy.vitta(&["book", "remove", "chapel", &both[0]]).0, 0);
    assert_eq!(sacristy.book().photos(), both[1..]);
}
