//! `vitta year`: every day of a year, as a table, JSON, CSV or a calendar file.

use super::args::{Common, Year as Typed};
use super::{Outcome, print_json, report};
use crate::Result;
use crate::calendar::{Almanac, AlmanacCelebration, AlmanacDay, Calendar};
use crate::language::Language;
use icalendar::Event;
use std::fmt::Write;

/// Runs the command.
pub fn run(command: &Typed, common: &Common) -> Result<Outcome> {
    let calendar = common.calendar(command.calendar.as_deref())?;
    let language = common.language.into();
    let almanac = calendar.year(command.year)?.almanac(language);
    if common.json {
        print_json(&almanac)?;
    } else if command.csv {
        report::result(&csv(&almanac));
    } else if command.ics {
        report::result(&ics(&almanac, &calendar, language));
    } else {
        report::result(&table(&almanac));
    }
    Ok(Outcome::Done)
}

/// A line for each day, a heading for each month, what may be chosen instead beneath it.
fn table(almanac: &Almanac) -> String {
    let mut text = String::new();
    let mut month = String::new();
    for day in &almanac.days {
        let this_month = day.date.format("%B %Y").to_string();
        if this_month != month {
            let gap = if month.is_empty() { "" } else { "\n" };
            let _ = writeln!(text, "{gap}{this_month}");
            month = this_month;
        }
        for (n, celebration) in day.celebrations.iter().enumerate() {
            text.push_str(&table_line(day, n, celebration));
        }
    }
    text.push_str("\nCheck against your diocese's directory; the priest decides.\n");
    text
}

fn table_line(day: &AlmanacDay, n: usize, celebration: &AlmanacCelebration) -> String {
    let date = if n == 0 { day.date.format("%a %e").to_string() } else { String::new() };
    let mark = if n == 0 { "" } else { "or " };
    let title = format!("{mark}{}", celebration.title);
    let rank = celebration.rank.name();
    format!("{date:<7} {:<7} {title} ({rank})\n", celebration.colour.name())
}

/// One row for each celebration; `choice` 1 is what is kept by default.
fn csv(almanac: &Almanac) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let head = [
        "date",
        "season",
        "week",
        "sunday_cycle",
        "weekday_cycle",
        "choice",
        "id",
        "title",
        "rank",
        "line",
        "colour",
    ];
    // Writing into memory has no way to fail.
    let _ = writer.write_record(head);
    for day in &almanac.days {
        for (n, celebration) in day.celebrations.iter().enumerate() {
            let _ = writer.write_record(csv_row(day, n, celebration));
        }
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn csv_row(day: &AlmanacDay, n: usize, celebration: &AlmanacCelebration) -> [String; 11] {
    [
        day.date.to_string(),
        day.season.to_string(),
        day.week.map_or(String::new(), |w| w.to_string()),
        day.sunday_cycle.to_string(),
        day.weekday_cycle.to_string(),
        (n + 1).to_string(),
        celebration.id.to_string(),
        celebration.title.clone(),
        celebration.rank.to_string(),
        celebration.line.to_string(),
        celebration.colour.to_string(),
    ]
}

/// An event for each day; its description lists what may be chosen instead.
fn ics(almanac: &Almanac, calendar: &Calendar, language: Language) -> String {
    let mut file = icalendar::Calendar::new();
    file.name(calendar.title().get(language));
    for day in &almanac.days {
        if let Some((kept, others)) = day.celebrations.split_first() {
            file.push(event(day, kept, others, calendar.name()));
        }
    }
    super::ics::written(&file)
}

fn event(
    day: &AlmanacDay,
    kept: &AlmanacCelebration,
    others: &[AlmanacCelebration],
    calendar: &str,
) -> Event {
    let mut description = format!("{}, {}", kept.rank.name(), kept.colour.name());
    for other in others {
        let _ = write!(
            description,
            "\nor {} ({}, {})",
            other.title,
            other.rank.name(),
            other.colour.name()
        );
    }
    super::ics::event(day.date, calendar, &kept.title, &description)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn almanac(language: Language) -> (Almanac, Calendar) {
        let calendar = Calendar::shipped("general").unwrap();
        (calendar.year(2026).unwrap().almanac(language), calendar)
    }

    #[test]
    fn the_table_has_a_line_for_each_choice() {
        let text = table(&almanac(Language::En).0);
        assert!(
            text.starts_with(
                "January 2026\nThu  1  white   Mary, the Holy Mother of God (solemnity)\n"
            ),
            "{text}"
        );
        assert!(text.contains("Tue  3  green   Tuesday of the Fourth Week in Ordinary Time (weekday)\n        red     or Saint Blaise"));
    }

    /// Read back by the library that reads any CSV.
    #[test]
    fn the_csv_is_read_back_row_by_row() {
        let (almanac, _) = almanac(Language::Es);
        let text = csv(&almanac);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.unwrap()).collect();
        let expected: usize = almanac.days.iter().map(|d| d.celebrations.len()).sum();
        assert_eq!(rows.len(), expected);
        assert!(rows.iter().any(|r| &r[0] == "2026-12-08"
            && &r[7] == "La Inmaculada Concepción de la Bienaventurada Virgen María"));
    }

    /// Read back by the library that wrote it, RFC 5545.
    #[test]
    fn the_calendar_file_has_an_event_for_each_day() {
        let (almanac, calendar) = almanac(Language::La);
        let text = ics(&almanac, &calendar, Language::La);
        assert_eq!(text.matches("BEGIN:VEVENT").count(), 365);
        assert!(text.contains("SUMMARY:In Conceptione Immaculata beatae Mariae Virginis"));
        assert_eq!(text, ics(&almanac, &calendar, Language::La));
    }
}
