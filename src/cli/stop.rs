//! Ctrl-C while photographs are read: the first lets those in hand be finished and keeps what was read, the
//! second ends the program at once. The wish of a system that shuts down counts like Ctrl-C.

use std::sync::atomic::{AtomicBool, Ordering};

static ASKED: AtomicBool = AtomicBool::new(false);

/// From here on Ctrl-C is heard. Where it cannot be heard it ends the program, which loses no file: each is
/// written whole or not at all.
#[cfg(unix)]
pub fn listen() {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    if let Ok(mut signals) = signal_hook::iterator::Signals::new([SIGINT, SIGTERM, SIGHUP]) {
        std::thread::spawn(move || signals.forever().for_each(|_| heard()));
    }
}

/// On other systems Ctrl-C ends the program.
#[cfg(not(unix))]
pub fn listen() {}

#[cfg(unix)]
#[allow(clippy::exit)] // The work goes on in other threads, and is not to be waited for.
fn heard() {
    /// The exit code of a program that was ended by Ctrl-C, by the custom of shells.
    const ENDED: i32 = 130;
    if ASKED.swap(true, Ordering::SeqCst) {
        std::process::exit(ENDED);
    }
    super::report::message("finishing the photographs in hand; Ctrl-C again ends at once");
}

/// Whether the work is to be stopped.
pub fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}
