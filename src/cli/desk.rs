//! `vitta desk`: the page in the browser, until the program is ended.

use super::args::{Common, Desk as Typed};
use super::{Outcome, report};
use crate::Result;
use crate::desk::{Desk, Door, Listening, serve};

/// Runs the command.
pub fn run(command: &Typed, common: &Common) -> Result<Outcome> {
    let door = match command.lan {
        true => Door::network(|code| {
            report::message(&format!("code for one device: {}", spaced(code)))
        })?,
        false => Door::loopback(),
    };
    let desk = Desk::new(common.shelf()?, common.language.into(), door);
    serve(desk, command.port, |listening| report::result(&told(listening)))?;
    Ok(Outcome::Done)
}

fn told(listening: &Listening) -> String {
    let mut text = format!("The desk is open at {}\n", listening.here);
    if let Some(network) = &listening.network {
        text.push_str(&format!("On the phone, in the same network: {network}\n"));
    }
    text
}

/// A code in two halves, easier to type.
fn spaced(code: &str) -> String {
    let (first, second) = code.split_at(code.len() / 2);
    format!("{first} {second}")
}
