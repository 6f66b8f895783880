//! The calendars of the nations, row by row: `fixtures/years/nations.csv`, each row with its source, and
//! `fixtures/years/published-new.csv`, days as nations have published them.

use super::day;
use serde::Deserialize;
use std::collections::HashMap;
use vitta::calendar::{Calendar, Celebration, Certainty, Day, Rank};
use vitta::language::Language;

/// Calendars made once each.
#[derive(Default)]
pub struct Calendars(HashMap<String, Calendar>);

impl Calendars {
    pub fn get(&mut self, name: &str) -> &Calendar {
        self.0
            .entry(name.to_owned())
            .or_insert_with(|| Calendar::shipped(name).unwrap_or_else(|e| panic!("{name}: {e}")))
    }
}

/// A row of `nations.csv`: the printed fact, then where it is here and what is to be checked.
#[derive(Debug, Deserialize)]
pub struct Row {
    pub nation: String,
    pub date_or_rule: String,
    pub celebration: String,
    pub rank: String,
    pub colour: String,
    pub class: String,
    pub since_year: Option<i32>,
    pub until_year: Option<i32>,
    pub certainty: String,
    pub source: String,
    pub calendar: String,
    pub id: String,
    /// `DATE=id`: kept; `DATE~id`: may be chosen; `DATE!id`: neither; `DATE-id`: told among what gives way.
    pub checks: String,
    pub explained: String,
}

pub fn rows<T: for<'d> Deserialize<'d>>(name: &str) -> Vec<T> {
    let text = super::fixture(name);
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(|r| r.unwrap()).collect()
}

/// The first day from 2024 on, in the years of the row, on which its celebration may be kept on its date.
pub fn a_day(row: &Row, calendar: &Calendar) -> Option<(Day, Celebration)> {
    let years = match row.until_year {
        Some(until) => row.since_year.unwrap_or(until - 10)..=until,
        None => row.since_year.unwrap_or(2024).max(2024)..=2034,
    };
    let mut days: Vec<(Day, Celebration)> = Vec::new();
    for year in years {
        let settled = calendar.year(year).unwrap();
        days.extend(settled.days().filter_map(|d| {
            let celebration = d.celebrations().find(|c| c.id.as_str() == row.id)?;
            let on_its_date = d.date().format("%m-%d").to_string() == row.date_or_rule;
            let dated = row.date_or_rule.len() == 5;
            (on_its_date || !dated).then(|| (d.write(Language::En), celebration))
        }));
        // In Lent only remembered, or made optional by what it meets: another year may have it whole.
        if let Some(at) = days.iter().position(|(_, c)| rank_agrees(&row.rank, c.rank)) {
            return Some(days.swap_remove(at));
        }
    }
    days.into_iter().next()
}

/// In Lent and before Christmas a memorial is only remembered.
fn is_lowered(celebration: &Celebration) -> bool {
    celebration.rank == Rank::Commemoration && celebration.line > 4
}

fn rank_agrees(printed: &str, found: Rank) -> bool {
    match printed {
        "" => true,
        "Mass for the day" | "Mass for needs" | "day of prayer (no memorial)" | "votive Mass" => {
            found == Rank::DayOfPrayer
        }
        "feast" => matches!(found, Rank::Feast | Rank::FeastOfTheLord),
        printed => printed == found.name(),
    }
}

fn certainty_agrees(row: &Row, celebration: &Celebration) -> bool {
    let told = celebration.from_memory;
    match row.certainty.as_str() {
        "memory" => told.is_some(),
        _ if row.source.contains("from memory") => told.is_some(),
        _ => told != Some(Certainty::Memory),
    }
}

fn faults_of_entry(row: &Row, calendar: &Calendar) -> Vec<String> {
    if row.id.is_empty() {
        return vec![];
    }
    let Some((_, found)) = a_day(row, calendar) else {
        return vec![format!("{} is never kept on {}", row.id, row.date_or_rule)];
    };
    // What always falls in Lent or the last days of Advent is only remembered.
    if is_lowered(&found) {
        return vec![];
    }
    let mut faults = Vec::new();
    if !rank_agrees(&row.rank, found.rank) {
        faults.push(format!("rank {} found {}", row.rank, found.rank));
    }
    let colours: Vec<&str> = row.colour.split(" or ").filter(|c| !c.is_empty()).collect();
    let has = |c: &&str| [found.colour].iter().chain(&found.other_colours).any(|f| f.name() == *c);
    if !colours.iter().all(has) {
        faults.push(format!("colour {} found {}", row.colour, found.colour));
    }
    if row.explained.is_empty() && !certainty_agrees(row, &found) {
        faults.push(format!("certainty {} found {:?}", row.certainty, found.from_memory));
    }
    faults
}

fn fault_of_check(check: &str, calendar: &Calendar) -> Option<String> {
    let (date, rest) = check.split_at(10);
    let (how, id) = rest.split_at(1);
    let day = day(calendar, date);
    let at = day.celebrations.iter().position(|c| c.id.as_str() == id);
    let gives_way = day.displaced.iter().any(|d| d.celebration.id.as_str() == id);
    let agrees = match how {
        "=" => at == Some(0),
        "~" => at.is_some(),
        "!" => at.is_none(),
        "-" => at.is_none() && gives_way,
        _ => false,
    };
    (!agrees).then(|| format!("{check}: found {}", day.celebrations[0].id))
}

/// 336 rows: printed directories, decrees, and what is from memory, with the source in each row.
#[test]
fn the_tables_of_the_nations_agree() {
    let rows: Vec<Row> = rows("nations.csv");
    assert_eq!(rows.len(), 336);
    let mut calendars = Calendars::default();
    let mut wrong = Vec::new();
    for row in &rows {
        let calendar = calendars.get(&row.calendar);
        let checks = row.checks.split("; ").filter(|c| !c.is_empty());
        let mut faults = faults_of_entry(row, calendar);
        faults.extend(checks.filter_map(|c| fault_of_check(c, calendar)));
        if row.id.is_empty() && row.checks.is_empty() && row.explained.is_empty() {
            faults.push("neither entered nor explained".into());
        }
        for fault in faults {
            let Row { nation, date_or_rule, celebration, source, .. } = row;
            wrong.push(format!("{nation} {date_or_rule} {celebration}: {fault}\n    {source}"));
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// A day as published, with its source.
#[derive(Debug, Deserialize)]
struct PublishedDay {
    date: String,
    calendar: String,
    published: String,
    /// `WEEKDAY` for the day of the season.
    kept: String,
    rank: String,
    colour: String,
    week: Option<u8>,
    options: String,
    difference: String,
    source: String,
}

fn differences(published: &PublishedDay, day: &Day) -> Vec<String> {
    let kept = &day.celebrations[0];
    let mut wrong = Vec::new();
    let same = match published.kept.as_str() {
        "WEEKDAY" => kept.rank == Rank::Weekday,
        id => kept.id.as_str() == id,
    };
    if !same {
        wrong.push(format!("kept {}", kept.id));
    }
    if !published.rank.is_empty() && !rank_agrees(&published.rank, kept.rank) {
        wrong.push(format!("rank {}", kept.rank));
    }
    if !published.colour.is_empty() && published.colour != kept.colour.name() {
        wrong.push(format!("colour {}", kept.colour));
    }
    if published.week.is_some() && published.week != day.week {
        wrong.push(format!("week {:?}", day.week));
    }
    for id in published.options.split("; ").filter(|o| !o.is_empty()) {
        if !day.celebrations.iter().any(|c| c.id.as_str() == id) {
            wrong.push(format!("{id} is not offered"));
        }
    }
    wrong
}

/// 180 days that nations, dioceses and parishes have published, 2011 to 2026, each with its source.
#[test]
fn days_of_the_nations_are_kept_as_published() {
    let rows: Vec<PublishedDay> = rows("published-new.csv");
    assert_eq!(rows.len(), 180);
    let mut calendars = Calendars::default();
    let mut wrong = Vec::new();
    for row in rows.iter().filter(|r| r.difference.is_empty()) {
        let found = differences(row, &day(calendars.get(&row.calendar), &row.date));
        if !found.is_empty() {
            let PublishedDay { date, calendar, published, source, .. } = row;
            wrong
                .push(format!("{date} {calendar} {published}: {}\n    {source}", found.join("; ")));
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// Whatever a day shows from memory it says, on the day and in both languages.
#[test]
fn no_day_shows_an_entry_from_memory_without_saying_so() {
    let mut calendars = Calendars::default();
    let mut told = 0;
    let mut silent = Vec::new();
    for name in vitta::calendar::names() {
        for day in calendars.get(name).year(2026).unwrap().days() {
            for (language, words) in [(Language::En, "From memory"), (Language::Es, "De memoria")] {
                let day = day.write(language);
                let displaced = day.displaced.iter().map(|d| &d.celebration);
                for c in day.celebrations.iter().chain(displaced) {
                    let of_it =
                        |r: &String| r.starts_with(words) && r.contains(c.title.get(language));
                    let says = day.reasons.iter().any(of_it);
                    told += usize::from(says);
                    if c.from_memory.is_some() != says {
                        silent.push(format!("{name} {} {}", day.date, c.id));
                    }
                }
            }
        }
    }
    assert!(told > 500, "{told}");
    assert!(silent.is_empty(), "{}", silent.join("\n"));
}

/// Where a solemnity of the nation meets a Sunday of Advent, Lent or Easter and no decision is stored, the
/// day says that the conference may have decided: Saint David in Wales in 2026, the Queen of Poland in
/// 2037. With a decision it does not: Poland 2026, Guadalupe by standing permission.
#[test]
fn an_undecided_meeting_with_a_privileged_sunday_says_so() {
    let mut calendars = Calendars::default();
    for (calendar, date, undecided) in [
        ("wales", "2026-03-01", true),
        ("poland", "2037-05-03", true),
        ("poland", "2026-05-03", false),
        ("mexico", "2027-12-12", false),
        ("united-states", "2030-12-08", true),
        ("general", "2030-12-08", false),
    ] {
        let day = day(calendars.get(calendar), date);
        let said = day.reasons.iter().any(|r| r.contains("your conference may have decided"));
        assert_eq!(said, undecided, "{calendar} {date}: {:#?}", day.reasons);
    }
}
