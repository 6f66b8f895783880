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

/// Octets of a line at most (section 3.1).
const LONGEST: usize = 75;

/// The file with its lines folded anew: the library leaves 76 octets in a last part, blank included.
pub fn written(file: &icalendar::Calendar) -> String {
    let unfolded = file.to_string().replace("\r\n ", "");
    unfolded.split_terminator("\r\n").map(|line| folded(line) + "\r\n").collect()
}

fn folded(line: &str) -> String {
    let (mut text, mut octets) = (String::new(), 0);
    for letter in line.chars() {
        if octets + letter.len_utf8() > LONGEST {
            text.push_str("\r\n ");
            octets = 1;
        }
        text.push(letter);
        octets += letter.len_utf8();
    }
    text
}
