//! Events of a calendar file (RFC 5545).

use chrono::{Days, NaiveDate, NaiveTime};
use icalendar::{Component, Event, EventLike};

/// An event of a whole day, which ends as the next day begins: DTEND is not within the event (section 3.6.1). The
/// stamp is the day itself, so that the same days are the same file wherever and whenever it is made. `id` tells
/// the events of a day apart and is the same in every file, so that a file read again changes what is there.
pub fn event(date: NaiveDate, id: &str, summary: &str, description: &str) -> Event {
    Event::new()
        .uid(&format!("{date}-{}@vitta", id.replace('/', "-")))
        .timestamp(date.and_time(NaiveTime::MIN).and_utc())
        .summary(summary)
        .description(description)
        .starts(date)
        .ends(date + Days::new(1))
        .done()
}
