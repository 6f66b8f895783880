//! The commands: parse, string the stages together, print, exit code.

mod args;
mod bind;
mod book;
mod date;
mod day;
mod demo;
mod desk;
mod ics;
mod lay;
mod manual;
mod named;
mod parish;
mod photographs;
mod read;
mod report;
mod steps;
mod stop;
mod table;
mod typed;
mod week;
mod year;

use crate::calendar::Calendar;
use crate::card::{Card, Kind, Paper};
use crate::error::FileFault;
use crate::language::{Language, PrintedLanguage};
use crate::order::Penitential;
use crate::place::Place;
use crate::shelf::{self, Mass, Shelf};
use crate::{Error, Result};
use args::{Command, Common, Print, Tongue, Typed};
use chrono::NaiveDate;
use clap::Parser;
use serde::Serialize;
use std::path::Path;
use std::process::ExitCode;

/// How a command ended that did what it was asked.
enum Outcome {
    /// Done.
    Done,
    /// Done, but a person must look.
    Look,
}

/// Parses the command line, runs it, and gives the exit code: 0 done, 1 done but a person must look,
/// 2 not done.
pub fn run() -> ExitCode {
    let typed = match Typed::try_parse() {
        Ok(typed) => typed,
        Err(refused) => return typed::not_understood(&refused),
    };
    report::leave_damaged_files_unheard();
    let outcome = match &typed.command {
        Command::Read(command) => {
            one_thread_each().and_then(|()| read::run(command, &typed.common))
        }
        Command::Demo(command) => {
            one_thread_each().and_then(|()| demo::run(command, &typed.common))
        }
        Command::Desk(command) => {
            one_thread_each().and_then(|()| desk::run(command, &typed.common))
        }
        Command::Book(command) => book::run(command, &typed.common),
        Command::Day(command) => day::run(command, &typed.common),
        Command::Year(command) => year::run(command, &typed.common),
        Command::Lay(command) => lay::run(command, &typed.common),
        Command::Week(command) => week::run(command, &typed.common),
        Command::Parish(command) => parish::run(command, &typed.common),
        Command::Complete(command) => manual::complete(command),
        Command::Man(command) => manual::man(command),
    };
    match outcome {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::Look) => ExitCode::from(1),
        Err(error) => {
            report::error(&error);
            ExitCode::from(2)
        }
    }
}

/// Sees to it that Tesseract runs one thread for each page: pages are spread over the cores, and its
/// own threads then only get in each other's way (5 to 10 times slower on two cores). The threading
/// library reads the setting as the process starts, so this process begins again with it.
fn one_thread_each() -> Result<()> {
    const LIMIT: &str = "OMP_THREAD_LIMIT";
    if std::env::var_os(LIMIT).is_some() {
        return Ok(());
    }
    // Where the program cannot find itself it reads slowly, which is better than not at all.
    let Ok(program) = std::env::current_exe() else { return Ok(()) };
    let mut again = std::process::Command::new(program);
    again.args(std::env::args_os().skip(1)).env(LIMIT, "1");
    begin_again(again);
    Ok(())
}

#[cfg(unix)]
fn begin_again(mut again: std::process::Command) {
    use std::os::unix::process::CommandExt;
    // Returns only where it failed.
    let _ = again.exec();
}

#[cfg(not(unix))]
#[allow(clippy::exit)] // The process that took over has done the work; its code is this one's.
fn begin_again(mut again: std::process::Command) {
    if let Ok(status) = again.status() {
        std::process::exit(status.code().unwrap_or(2));
    }
}

impl From<Tongue> for Language {
    fn from(tongue: Tongue) -> Self {
        match tongue {
            Tongue::En => Language::En,
            Tongue::Es => Language::Es,
            Tongue::La => Language::La,
        }
    }
}

impl From<args::Form> for Penitential {
    fn from(form: args::Form) -> Self {
        match form {
            args::Form::First => Self::First,
            args::Form::Second => Self::Second,
            args::Form::Third => Self::Third,
            args::Form::ThirdFromAppendix => Self::ThirdFromAppendix,
        }
    }
}

impl From<Print> for PrintedLanguage {
    fn from(print: Print) -> Self {
        match print {
            Print::En => Self::En,
            Print::Es => Self::Es,
            Print::La => Self::La,
            Print::Fr => Self::Fr,
            Print::De => Self::De,
            Print::It => Self::It,
            Print::Pt => Self::Pt,
            Print::Pl => Self::Pl,
        }
    }
}

impl Common {
    /// The shelf typed, or the user's own.
    fn shelf(&self) -> Result<Shelf> {
        match &self.shelf {
            Some(address) => Shelf::at_address(address),
            None => Shelf::of_user().ok_or_else(|| FileFault::NoHome.into()),
        }
    }

    /// The calendar typed, or the parish's.
    fn calendar(&self, typed: Option<&str>) -> Result<Calendar> {
        match typed {
            Some(typed) => {
                if crate::calendar::layer(typed).is_ok_and(|layer| layer.partial) {
                    report::message(&format!(
                        "the calendar \"{typed}\" is partial: check your directory"
                    ));
                }
                shelf::calendar(typed)
            }
            None => self.shelf()?.calendar(),
        }
    }
}

/// Which Mass of a date was asked for, as typed.
struct Asked<'a> {
    /// Another celebration than the one kept by default.
    choose: Option<&'a str>,
    /// The texts chosen in it.
    texts: &'a args::Texts,
    /// The Mass of the evening.
    evening: bool,
    /// Another calendar than the parish's.
    calendar: Option<&'a str>,
    /// What the laying is bound to.
    bound: Option<&'a args::Bindings>,
}

impl args::Day {
    fn asked(&self) -> Asked<'_> {
        let (choose, calendar) = (self.choose.as_deref(), self.calendar.as_deref());
        Asked { choose, texts: &self.texts_chosen, evening: self.evening, calendar, bound: None }
    }
}

impl args::Lay {
    fn asked(&self) -> Asked<'_> {
        let (choose, calendar) = (self.choose.as_deref(), self.calendar.as_deref());
        let bound = Some(&self.bound);
        Asked { choose, texts: &self.texts_chosen, evening: self.evening, calendar, bound }
    }
}

/// The Mass of `date` that was asked for, by the shelf's parish.
fn mass_on(date: NaiveDate, asked: &Asked, common: &Common) -> Result<Mass> {
    let calendar = common.calendar(asked.calendar)?;
    let mut parish = common.shelf()?.parish()?;
    let language = common.language.into();
    // The Mass of an evening may be of the day after; what is typed is meant for it.
    let of = match asked.evening {
        true => Mass::of_evening(&calendar, &parish, date, language)?.day.date,
        false => date,
    };
    asked.bound.map_or(Ok(()), |bound| bound.settle(&mut parish.settings))?;
    asked.texts.choose(parish.settings.days.entry(of).or_default())?;
    if asked.evening {
        return Mass::of_evening(&calendar, &parish, date, language);
    }
    let choose =
        asked.choose.map(|typed| named::mass(typed, &calendar.day(date, language)?)).transpose()?;
    Mass::by(&calendar, &parish, date, choose.as_ref().map(Place::as_str), language)
}

/// Writes a card as its file's ending asks.
fn write_card(card: &Card, file: &Path, paper: Paper) -> Result<()> {
    crate::format::write_bytes(&Kind::of(file)?.bytes(card, paper)?, file)
}

/// Prints a result as JSON.
fn print_json(value: &impl Serialize) -> Result<()> {
    let text = serde_json::to_string_pretty(value).map_err(|e| {
        let said = e.to_string();
        Error::from(FileFault::Malformed { file: "the result".into(), at: ".".into(), said })
    })?;
    report::result(&(text + "\n"));
    Ok(())
}
