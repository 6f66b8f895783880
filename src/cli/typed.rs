//! What the parser of the command line refuses, said as every other refusal is.

use super::report;
use crate::Error;
use crate::error::UsageFault;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use std::process::ExitCode;

/// Help and version are printed as asked for; anything else is refused with one sentence and a hint.
pub fn not_understood(refused: &clap::Error) -> ExitCode {
    if matches!(refused.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        report::result(&refused.render().to_string());
        return ExitCode::SUCCESS;
    }
    report::error(&Error::from(UsageFault::Typed { said: sentence(refused), hint: hint(refused) }));
    ExitCode::from(2)
}

/// The parser's first paragraph on one line; it puts the usage and tips after a blank line.
fn sentence(refused: &clap::Error) -> String {
    let none = [ErrorKind::MissingSubcommand, ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand];
    if none.contains(&refused.kind()) {
        return "no command was given".into();
    }
    let text = refused.render().to_string();
    let first = text.split("\n\n").next().unwrap_or_default();
    let words: Vec<&str> = first.split_whitespace().collect();
    words.join(" ").trim_start_matches("error: ").to_owned()
}

/// What was probably meant, or where the command's own help is.
fn hint(refused: &clap::Error) -> String {
    let meant =
        [ContextKind::SuggestedArg, ContextKind::SuggestedSubcommand, ContextKind::SuggestedValue]
            .into_iter()
            .find_map(|kind| match refused.get(kind)? {
                ContextValue::String(one) => Some(one.clone()),
                ContextValue::Strings(some) => some.first().cloned(),
                _ => None,
            });
    if let Some(meant) = meant {
        return format!("perhaps {meant} was meant");
    }
    // "Usage: vitta lay [OPTIONS] --book <NAME>": the command is what comes before its arguments.
    let usage = refused.get(ContextKind::Usage).map(ToString::to_string).unwrap_or_default();
    let words = usage.split_whitespace().skip_while(|w| *w != "vitta");
    let command: Vec<&str> =
        words.take_while(|w| w.chars().all(|c| c.is_ascii_lowercase())).collect();
    match command.is_empty() {
        true => "vitta --help lists the commands".into(),
        false => format!("{} --help says what can be given", command.join(" ")),
    }
}
