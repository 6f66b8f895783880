//! One day as a page to read: what is celebrated and why, what may be chosen, and which texts the altar
//! book must give.

use super::words;
use crate::calendar::{Celebration, Day};
use crate::language::Language;
use crate::order::{Need, Service};
use std::fmt::Write;

/// The page, ending with a newline.
pub fn day_page(day: &Day, service: &Service, language: Language) -> String {
    let mut text = format!("{}\n\n", words::date(day.date, language));
    let say = |english, spanish| words::either(language, english, spanish);
    if let Some((kept, others)) = day.celebrations.split_first() {
        let _ = writeln!(
            text,
            "{}\n{}",
            kept.title.get(language),
            words::particulars(day, kept, language)
        );
        list(
            &mut text,
            say("May be celebrated instead", "Se puede celebrar en su lugar"),
            others,
            day,
            language,
        );
    }
    text.push('\n');
    day.reasons.iter().for_each(|reason| text.push_str(&format!("{reason}\n")));
    if let Some(evening) = &day.evening {
        let masses: Vec<Celebration> =
            evening.masses.iter().map(|m| m.celebration.clone()).collect();
        list(&mut text, say("In the evening", "Por la tarde"), &masses, day, language);
        let _ = writeln!(text, "{}", evening.reason);
    }
    let heading = say("From the altar book", "Del libro del altar");
    let _ = writeln!(text, "\n{heading} · {}\n", service.celebration.get(language));
    needs(&mut text, &service.needs, language);
    service.notes.iter().for_each(|note| text.push_str(&format!("\n{note}\n")));
    let _ = writeln!(text, "\n{}", words::caution(language));
    text
}

fn list(
    text: &mut String,
    heading: &str,
    celebrations: &[Celebration],
    day: &Day,
    language: Language,
) {
    if celebrations.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{heading}:");
    for c in celebrations {
        let particulars = words::particulars(day, c, language);
        let _ = writeln!(text, "  {} ({particulars})\n    {}", c.title.get(language), c.id);
    }
}

/// The texts in columns; what is known by heart is left out, as no page is wanted for it.
fn needs(text: &mut String, needs: &[Need], language: Language) {
    let wanted: Vec<&Need> = needs.iter().filter(|n| !n.by_heart).collect();
    let widest = |texts: Vec<&str>| texts.iter().map(|t| t.chars().count()).max().unwrap_or(0);
    let width = widest(wanted.iter().map(|n| n.title.get(language)).collect());
    let margin = widest(wanted.iter().map(|n| words::stand(n.stand, language)).collect());
    let mut stand = None;
    for need in wanted {
        let at = if stand == Some(need.stand) { "" } else { words::stand(need.stand, language) };
        stand = Some(need.stand);
        let Some((first, others)) = need.places.split_first() else { continue };
        let mut what = first.title.get(language).to_owned();
        if !others.is_empty() {
            let more = words::either(language, "or", "o");
            let _ = write!(
                what,
                " ({more} {})",
                others.iter().map(|c| c.title.get(language)).collect::<Vec<_>>().join(", ")
            );
        }
        let _ = writeln!(text, "  {at:<margin$}  {:<width$}  {what}", need.title.get(language));
    }
}
