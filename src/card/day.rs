//! One day as a page to read: what is celebrated and why, what may be chosen, and which texts the altar
//! book must give, with their pages where a book is at hand.

use super::terminal::{Paint, Terminal, Writer};
use super::words;
use crate::book::PageState;
use crate::calendar::{Celebration, Day};
use crate::language::Language;
use crate::order::{Need, Sequence, Service, longer_form, title_of};
use crate::place::Place;
use crate::ribbon::{Plan, Stop};
use chrono::NaiveDate;

/// What the page is written from.
#[derive(Debug, Clone, Copy)]
pub struct DayPage<'a> {
    /// The day.
    pub day: &'a Day,
    /// The Mass chosen on it.
    pub service: &'a Service,
    /// The service looked up in a book, to give its pages.
    pub in_book: Option<&'a Plan>,
    /// Where other books have texts that this book has not.
    pub elsewhere: &'a [Elsewhere],
    /// The needs are those to read through beforehand, not the whole service.
    pub beforehand: bool,
    /// With everything: all reasons, what else is permitted, all notes.
    pub in_full: bool,
    /// The evening on which the Mass is celebrated, where the day begins on it.
    pub evening: Option<NaiveDate>,
    /// Language of the page.
    pub language: Language,
}

/// A text of another book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Elsewhere {
    /// The text.
    pub place: Place,
    /// Name of the book that has it.
    pub book: String,
    /// Its page there.
    pub page: String,
}

/// The page, ending with a newline.
pub fn day_page(page: &DayPage, terminal: Terminal) -> String {
    let DayPage { day, service, language, .. } = *page;
    let say = |english, spanish| language.either(english, spanish);
    let mut out = Writer::new(terminal);
    out.blank();
    let date = page.evening.map(|evening| super::week::when_in_full(evening, language));
    out.paragraph(&date.unwrap_or_else(|| language.date(day.date)), 2, "", Paint::Faint);
    let (kept, others) = match day.celebrations.split_first() {
        Some((kept, others)) => (Some(kept), others),
        None => (None, &[][..]),
    };
    if let Some(kept) = kept {
        out.paragraph(&kept.title.get(language).to_uppercase(), 2, "", Paint::Bold);
        out.paragraph(&words::particulars(day, kept, language), 2, "", Paint::Plain);
    }
    glance(&mut out, page);
    let instead = say("May be celebrated instead", "Se puede celebrar en su lugar");
    choices(&mut out, instead, others.iter().map(|c| (c, None)), language);
    let evening = day.evening.as_ref();
    if let Some(evening) = evening {
        let masses = evening.masses.iter().map(|m| (&m.celebration, m.vigil.as_ref()));
        choices(&mut out, say("In the evening", "Por la tarde"), masses, language);
    }
    let reasons: Vec<String> = day.reasons.iter().filter(|r| shown(r, page)).cloned().collect();
    out.list(say("Why", "Por qué"), &reasons, "");
    let heading = match page.beforehand {
        true => say("To read beforehand", "Para leer antes"),
        false => say("From the altar book", "Del libro del altar"),
    };
    // Another Mass than the day's own is named, so that nobody reads the wrong list.
    let other = kept.is_none_or(|kept| kept.title != service.celebration);
    out.heading(heading, if other { service.celebration.get(language) } else { "" });
    texts(&mut out, page);
    if !page.beforehand {
        let notes: Vec<String> = notes(page);
        out.list(say("Notes", "Notas"), &notes, "");
    }
    out.blank();
    out.paragraph(&words::caution(language), 2, "", Paint::Faint);
    out.finish()
}

/// What the sacristy asks first: the Mass if it is another than the day's, its colour, Gloria, Creed, sequence,
/// and what is special about it.
fn glance(out: &mut Writer, page: &DayPage) {
    let (said, language) = (&page.service.said, page.language);
    let say = |english: &str, spanish: &str| language.either(english, spanish).to_owned();
    let yes = |holds: bool| if holds { say("yes", "sí") } else { say("no", "no") };
    let mut lines = vec![
        format!("{}: {}", say("Colour", "Color"), words::either(&said.colours, language)),
        format!("Gloria: {}", yes(said.gloria)),
        format!("{}: {}", say("Creed", "Credo"), yes(said.creed)),
    ];
    if let Some(sequence) = said.sequence {
        let how = match sequence {
            Sequence::Obligatory => say("said", "se dice"),
            Sequence::Optional => say("may be said", "puede decirse"),
        };
        lines.push(format!("{}: {how}", say("Sequence", "Secuencia")));
    }
    if let Some(longer) = longer_form(&page.service.mass).ok().flatten()
        && let Ok(Some(title)) = title_of(&longer)
    {
        lines.push(format!(
            "{}: {}",
            say("Also in a longer form", "También en forma prolongada"),
            title.get(language)
        ));
    }
    let special = said.special.iter().map(|s| s.get(language).trim_end_matches('.').to_owned());
    out.list(
        &say("At a glance", "De un vistazo"),
        &lines.into_iter().chain(special).collect::<Vec<_>>(),
        "",
    );
}

/// The notes of the Mass: all, or those on what is against a rule. What the Mass itself says stands above.
fn notes(page: &DayPage) -> Vec<String> {
    let told = page.service.notes.iter().filter(|n| !page.service.said.special.contains(n));
    let urgent = |note: &&str| {
        let against = ["Against the rule", "Contra la norma"];
        page.in_full || against.iter().any(|a| note.starts_with(a))
    };
    told.map(|n| n.get(page.language)).filter(urgent).map(str::to_owned).collect()
}

/// Whether a reason is told without being asked for: the first, and what wants checking.
fn shown(reason: &str, page: &DayPage) -> bool {
    let urgent = ["From memory", "De memoria", "Sources differ", "Las fuentes difieren"];
    page.in_full
        || page.day.reasons.first().is_some_and(|first| first == reason)
        || urgent.iter().any(|u| reason.starts_with(u))
        || reason.contains("your conference may have decided")
        || reason.contains("su conferencia puede haber decidido")
}

/// Celebrations, or their Masses of the evening, with the title by which each is chosen.
fn choices<'a>(
    out: &mut Writer,
    heading: &str,
    celebrations: impl Iterator<Item = (&'a Celebration, Option<&'a Place>)>,
    language: Language,
) {
    let mut any = false;
    for (celebration, vigil) in celebrations {
        if !any {
            out.heading(heading, "");
            any = true;
        }
        let kind = words::kind(celebration, language);
        let mut title = celebration.title.get(language).to_owned();
        // A Mass without a title in the missal goes by its celebration alone.
        if let Some(own) = vigil.and_then(|v| title_of(v).ok().flatten()) {
            title = format!("{title}: {}", own.get(language));
        }
        out.paragraph(&format!("{title} ({kind})"), 2, "", Paint::Plain);
        let longer = vigil.and_then(|v| longer_form(v).ok().flatten());
        if let Some(longer) = longer.and_then(|l| title_of(&l).ok().flatten()) {
            let or = language.either("or in its longer form", "o en su forma prolongada");
            out.paragraph(&format!("{or}: {}", longer.get(language)), 6, "", Paint::Faint);
        }
    }
}

/// A text of the list.
struct Text {
    stand: &'static str,
    moment: String,
    title: String,
    or: Vec<String>,
    page: String,
}

/// The texts; what is known by heart is left out, as no page is wanted for it.
fn texts(out: &mut Writer, page: &DayPage) {
    let lines: Vec<Text> = match page.in_book {
        None => page
            .service
            .needs
            .iter()
            .filter(|n| !n.by_heart && n.from.is_none())
            .filter_map(|n| need(n, page))
            .collect(),
        Some(plan) => plan.stops.iter().filter(|s| s.weight > 0).map(|s| stop(s, page)).collect(),
    };
    let wide = lines.iter().map(|l| l.page.chars().count()).max().unwrap_or(0);
    let mut stand = "";
    for line in &lines {
        if line.stand != stand {
            stand = line.stand;
            out.rubric(stand);
        }
        let lead = match wide {
            0 => "    ".to_owned(),
            _ => format!("  {:>wide$}  ", line.page),
        };
        let text = match line.title.is_empty() {
            true => line.moment.clone(),
            false => format!("{}: {}", line.moment, line.title),
        };
        let indent = lead.chars().count();
        out.hang(&lead, indent, &text);
        if !line.or.is_empty() {
            let or = page.language.either("or ", "o ");
            out.hang(&" ".repeat(indent), indent, &format!("{or}{}", line.or.join("; ")));
        }
    }
}

fn need(need: &Need, page: &DayPage) -> Option<Text> {
    let (first, others) = need.places.split_first()?;
    let language = page.language;
    let (moment, title) = super::steps::named(need.title.get(language), first.title.get(language));
    Some(Text {
        stand: stand(need.stand, page),
        moment,
        title,
        or: others.iter().map(|c| c.title.get(language).to_owned()).collect(),
        page: String::new(),
    })
}

fn stop(stop: &Stop, page: &DayPage) -> Text {
    let language = page.language;
    let (moment, title) = super::steps::named(stop.title.get(language), stop.text.get(language));
    let mut or: Vec<String> =
        stop.others.iter().map(|o| format!("{}, p. {}", o.text.get(language), o.page)).collect();
    if stop.page.is_none() {
        let there = page.elsewhere.iter().filter(|e| e.place == stop.place);
        or.extend(there.map(|e| format!("{}, p. {}", e.book, e.page)));
    }
    let mark = if stop.doubt && stop.state != PageState::Reckoned { "?" } else { " " };
    let number = match &stop.page {
        Some(number) => format!("{number}{mark}"),
        None => language.either("not here", "no está").to_owned(),
    };
    Text { stand: stand(stop.stand, page), moment, title, or, page: number }
}

fn stand(stand: crate::order::Stand, page: &DayPage) -> &'static str {
    words::stand(stand, page.language)
}
