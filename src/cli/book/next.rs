//! `vitta book next`: what to photograph first, then the pages whose look-up helps the coming Masses most, the
//! coming Sunday's before the others.

use super::super::args::Common;
use super::super::{Outcome, date, print_json, report};
use super::args::Next;
use crate::Result;
use crate::book::{Look, Shot};
use crate::shelf::wanted;
use chrono::{Datelike, Days, NaiveDate, Weekday};
use serde::Serialize;

/// Minutes to find a heading in the book and type its page; a judgement, not measured.
const LOOK_MINUTES: f64 = 0.5;

#[derive(Serialize)]
struct Todo {
    /// Lists to photograph, the most useful first.
    photographs: Vec<Shot>,
    /// Pages to look up, in this order.
    looks: Vec<Look>,
    /// Minutes for all of it, about.
    minutes: f64,
}

/// Runs the command.
pub fn run(command: &Next, common: &Common) -> Result<Outcome> {
    let shelf = common.shelf()?;
    let book = shelf.open(&command.name)?;
    let (calendar, parish) = (shelf.calendar()?, shelf.parish()?);
    let today = date::parse("today")?;
    let all = wanted(&calendar, &parish, today, command.days)?;
    let photographs = book.photograph_next(&all);
    let mut looks = Vec::new();
    if let Some(sunday) =
        coming_sunday(today).filter(|s| (*s - today).num_days() < i64::from(command.days))
    {
        looks = book.look_next(&wanted(&calendar, &parish, sunday, 1)?, command.most);
    }
    let later = book.look_next(&all, command.most);
    let new: Vec<Look> =
        later.into_iter().filter(|l| looks.iter().all(|k| k.place != l.place)).collect();
    looks.extend(new);
    looks.truncate(command.most);
    let minutes =
        photographs.iter().map(|p| p.minutes).sum::<f64>() + LOOK_MINUTES * looks.len() as f64;
    let todo = Todo { photographs, looks, minutes };
    if common.json {
        print_json(&todo)?;
        return Ok(Outcome::Done);
    }
    tell(&todo);
    Ok(Outcome::Done)
}

fn coming_sunday(today: NaiveDate) -> Option<NaiveDate> {
    let ahead = (7 - today.weekday().days_since(Weekday::Sun)) % 7;
    today.checked_add_days(Days::new(u64::from(ahead)))
}

fn tell(todo: &Todo) {
    for shot in &todo.photographs {
        let pictures = match shot.photographs {
            1 => "one photograph".to_owned(),
            n => format!("{n} photographs"),
        };
        report::result(&format!(
            "photograph the list of {}: {pictures}, about {:.0} min, settles {} pages\n",
            shot.title, shot.minutes, shot.settles
        ));
    }
    for look in &todo.looks {
        report::result(&format!("look up  {:>6}  {}  {}\n", look.page, look.title, look.place));
    }
    if todo.photographs.is_empty() && todo.looks.is_empty() {
        report::message("no page the coming Masses need is in doubt");
    } else {
        report::message(&format!("about {:.0} minutes in all", todo.minutes.ceil()));
    }
}
