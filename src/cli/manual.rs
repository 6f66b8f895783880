//! `vitta complete` and `vitta man`: what a shell and a manual reader want to know, made from the commands
//! themselves.

use super::args::{Complete, Man, Typed};
use super::{Outcome, report};
use crate::error::FileFault;
use crate::{Error, Result};
use clap::CommandFactory;

/// Prints a shell's completion script.
pub fn complete(command: &Complete) -> Result<Outcome> {
    let mut script = Vec::new();
    clap_complete::generate(command.shell, &mut Typed::command(), "vitta", &mut script);
    report::result(&String::from_utf8_lossy(&script));
    Ok(Outcome::Done)
}

/// Writes a page for each command.
pub fn man(command: &Man) -> Result<Outcome> {
    let unwritable = |e| Error::from(FileFault::Unwritable(command.folder.clone())).because(e);
    std::fs::create_dir_all(&command.folder).map_err(unwritable)?;
    clap_mangen::generate_to(Typed::command(), &command.folder).map_err(unwritable)?;
    report::message(&format!("written to {}", command.folder.display()));
    Ok(Outcome::Done)
}
