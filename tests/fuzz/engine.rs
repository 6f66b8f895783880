//! Runs the cases of a target and watches what must hold.

use super::change::{self, Kind};
use proptest::test_runner::{Config, RngSeed, TestCaseError, TestError, TestRunner};
use std::cell::Cell;
use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::sync::{Mutex, Once};
use std::time::{Duration, Instant};

/// A case that has no answer after so long hangs. Far above what the slowest takes on a loaded machine.
pub const LONGEST: Duration = Duration::from_secs(60);
/// More than this is no longer bounded: the largest picture taken needs 0.7 GB while it is decoded and turned.
pub const MOST_MEMORY: u64 = 2 << 30;

/// How a case ended, if nothing that must hold was broken.
pub enum Answer {
    /// It was taken. Cases of another mark are of another kind.
    Taken(String),
    /// It was refused with this sentence.
    Refused(String),
}

/// What is given to the program.
pub struct Target {
    /// Its name, and that of its folder under `fixtures/fuzz`.
    pub name: &'static str,
    /// What the cases are made of.
    pub seeds: Vec<Vec<u8>>,
    /// What a seed is.
    pub kind: Kind,
    /// How many cases `cargo test` runs.
    pub cases: u32,
    /// Gives one case to the program; `Err` says what was broken.
    pub run: fn(&[u8]) -> Result<Answer, String>,
}

/// An error's sentence, if it is one with a hint.
pub fn refused(error: &vitta::Error) -> Result<Answer, String> {
    let said = error.whole();
    let hint = error.hint().ok_or_else(|| format!("no hint: {said}"))?;
    one_sentence(&said)?;
    one_sentence(&hint)?;
    Ok(Answer::Refused(said))
}

/// Whether a person reads it on one or two lines of a terminal, and the terminal stays as it is.
pub fn one_sentence(said: &str) -> Result<(), String> {
    let fault = match said.chars().count() {
        0 => "nothing is said",
        1001.. => "more than a sentence",
        _ if said.chars().any(char::is_control) => "control characters",
        _ => return Ok(()),
    };
    Err(format!("{fault}: {said:?}"))
}

/// Runs the target: its kept cases, its seeds as they are, then as many changed ones as there are to be or
/// as the time allows.
pub fn hold(target: Target) {
    let mut seeds = kept(target.name);
    seeds.extend(target.seeds.iter().cloned());
    let mut known = HashSet::new();
    for seed in &seeds {
        match watched(&target, seed) {
            Ok(kind) => drop(known.insert(kind)),
            Err(fault) => {
                panic!(
                    "{}: {fault}; the case is {}",
                    target.name,
                    keep(target.name, seed).display()
                )
            }
        }
    }
    let taken = known.iter().filter(|kind| kind.starts_with('+')).count();
    assert!(taken > 0, "{}: no seed is taken: {known:?}", target.name);
    if std::env::var_os("FUZZ_TELL").is_some() {
        println!("{}: {known:#?}", target.name);
    }
    let watch = Watch { target: &target, seeds, known, executions: 0 };
    let (executions, kinds, seconds) = match minutes() {
        None => watch.run_cases(),
        Some(minutes) => watch.run_for(Duration::from_secs_f64(60.0 * minutes)),
    };
    println!(
        "{:<12} {executions:>8} cases, {kinds:>5} kinds of answer, {seconds:>6.0} s",
        target.name
    );
}

/// Minutes for each target, where a long run is asked for.
fn minutes() -> Option<f64> {
    let typed = std::env::var("FUZZ_MINUTES").ok()?;
    Some(typed.parse().expect("FUZZ_MINUTES is a number"))
}

struct Watch<'t> {
    target: &'t Target,
    seeds: Vec<Vec<u8>>,
    known: HashSet<String>,
    executions: u64,
}

impl Watch<'_> {
    fn run_cases(mut self) -> (u64, usize, f64) {
        let begun = Instant::now();
        self.batch(self.target.cases, 1);
        (self.executions, self.known.len(), begun.elapsed().as_secs_f64())
    }

    fn run_for(mut self, time: Duration) -> (u64, usize, f64) {
        let begun = Instant::now();
        let first = std::env::var("FUZZ_SEED").ok().and_then(|s| s.parse().ok()).unwrap_or(2);
        for round in first.. {
            self.batch(self.target.cases.min(32), round);
            if begun.elapsed() >= time {
                break;
            }
        }
        (self.executions, self.known.len(), begun.elapsed().as_secs_f64())
    }

    /// Runs `cases` changed seeds; those with a new kind of answer are seeds from then on.
    fn batch(&mut self, cases: u32, round: u64) {
        let config = Config {
            cases,
            failure_persistence: None,
            rng_seed: RngSeed::Fixed(round),
            max_shrink_iters: 300,
            max_shrink_time: 60_000,
            ..Config::default()
        };
        let target = self.target;
        let made = |(seed, changes): &(usize, Vec<change::Change>)| {
            change::apply(&self.seeds[seed % self.seeds.len()], target.kind, changes)
        };
        let new = Mutex::new(Vec::new());
        let executions = Cell::new(0);
        let strategy = (0..usize::MAX, change::changes());
        let outcome = TestRunner::new(config).run(&strategy, |drawn| {
            let case = made(&drawn);
            executions.set(executions.get() + 1);
            let kind = watched(target, &case).map_err(TestCaseError::fail)?;
            new.lock().unwrap().push((kind, case));
            Ok(())
        });
        if let Err(TestError::Fail(fault, drawn)) = &outcome {
            let case = keep(target.name, &made(drawn));
            panic!("{}: {fault}; the case is {}", target.name, case.display());
        }
        outcome.unwrap();
        self.executions += executions.get();
        for (kind, case) in new.into_inner().unwrap() {
            if self.known.insert(kind) && case.len() < 100_000 && self.seeds.len() < 3000 {
                self.seeds.push(case);
            }
        }
    }
}

thread_local! {
    static QUIET: Cell<bool> = const { Cell::new(false) };
}

/// What the last panic said, with its file and line, on whichever thread it was.
static HEARD: Mutex<String> = Mutex::new(String::new());

/// Panics of cases are heard and told once, when the guilty changes are found.
fn listen() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            *HEARD.lock().unwrap() = info.to_string().replace('\n', " ");
            if !QUIET.get() {
                usual(info);
            }
        }));
    });
}

/// Gives one case to the program on a thread of its own, so that a hanging one is noticed. Says which kind of
/// answer came.
fn watched(target: &Target, case: &[u8]) -> Result<String, String> {
    // What overflows the stack or the memory leaves nobody to tell of it.
    if minutes().is_some() {
        std::fs::write(folder().join(format!("{}.last", target.name)), case).unwrap();
    }
    // Linux: forgets the highest memory so far.
    let _ = std::fs::write("/proc/self/clear_refs", "5");
    let (send, receive) = channel();
    let (run, given) = (target.run, case.to_vec());
    listen();
    std::thread::spawn(move || {
        QUIET.set(true);
        let answer = std::panic::catch_unwind(|| run(&given));
        let _ = send.send(answer.unwrap_or_else(|_| Err(HEARD.lock().unwrap().clone())));
    });
    let answer = match receive.recv_timeout(LONGEST) {
        Ok(answer) => answer?,
        Err(RecvTimeoutError::Timeout) => return Err(format!("no answer after {LONGEST:?}")),
        Err(RecvTimeoutError::Disconnected) => return Err("the thread ended without answer".into()),
    };
    match most_memory() {
        Some(bytes) if bytes > MOST_MEMORY => Err(format!("{} MB of memory", bytes >> 20)),
        _ => Ok(kind(&answer)),
    }
}

/// The answer without what is only this case's: figures and quoted words.
fn kind(answer: &Answer) -> String {
    let (mark, said) = match answer {
        Answer::Taken(mark) => ('+', mark),
        Answer::Refused(said) => ('-', said),
    };
    let unquoted: String = said.split('"').step_by(2).collect();
    let words = unquoted.split(' ').filter(|word| !word.starts_with('/'));
    let plain = words.collect::<Vec<_>>().join(" ");
    let letters = plain.chars().filter(|c| !c.is_ascii_digit()).take(160);
    std::iter::once(mark).chain(letters).collect()
}

/// The most memory this process had since it was last forgotten, in bytes.
fn most_memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix(" kB")?.parse::<u64>().ok().map(|kb| kb << 10)
}

fn kept(name: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/fuzz").join(name);
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder).into_iter().flatten().map(|e| e.unwrap().path()).collect();
    files.sort();
    files.iter().map(|file| std::fs::read(file).unwrap()).collect()
}

fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fuzz");
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn keep(name: &str, case: &[u8]) -> PathBuf {
    let file = folder().join(format!("{name}.failed"));
    std::fs::write(&file, case).unwrap();
    file
}
