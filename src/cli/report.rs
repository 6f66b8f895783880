//! Messages to a person: errors with their causes and hint, notices, progress. All on stderr.

use super::args::When;
use crate::Error;
use crate::card::terminal::Terminal;
use indicatif::{ProgressBar, ProgressStyle};
use std::io::{IsTerminal, Write};

/// Prints an error: the whole chain on one line, the hint after it.
pub fn error(error: &Error) {
    message(&error.whole());
    if let Some(hint) = error.hint() {
        message_plain(&format!("hint: {hint}"));
    }
}

/// Prints one line for a person, after the program's name.
pub fn message(line: &str) {
    message_plain(&format!("vitta: {line}"));
}

/// Prints one line for a person. A closed stderr is nobody's loss.
pub fn message_plain(line: &str) {
    let _ = writeln!(std::io::stderr(), "{line}");
}

/// Prints a result to stdout. A closed pipe is a quiet end.
pub fn result(text: &str) {
    let _ = std::io::stdout().write_all(text.as_bytes());
}

/// A library's panic at a damaged file is told as that file's error, and not by the usual hook as well.
pub fn leave_damaged_files_unheard() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if std::thread::current().name() != Some(crate::photo::UNHEARD) {
            usual(info);
        }
    }));
}

/// A progress bar over `steps` on a terminal, nothing elsewhere.
pub fn progress(steps: u64, what: &str) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("{msg} {wide_bar} {pos} of {len}, {eta} left");
    ProgressBar::new(steps)
        .with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
        .with_message(what.to_owned())
}

/// How cards are written to this terminal: its width, and colour by `when` and `NO_COLOR`.
pub fn terminal(when: When) -> Terminal {
    let width = terminal_size::terminal_size().map_or(80, |(width, _)| usize::from(width.0));
    let colour = match when {
        When::Always => true,
        When::Never => false,
        When::Auto => {
            std::io::stdout().is_terminal()
                && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
        }
    };
    Terminal { width, colour, reasons: true }
}
