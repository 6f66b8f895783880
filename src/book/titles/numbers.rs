//! What is counted in titles: Sundays, weeks, weekdays, prefaces.

use super::lexicon::lexicon;
use crate::book::words::folded;
use crate::language::{ENGLISH_ORDINALS, Language, PrintedLanguage};

const ORDINALS_ES: [&str; 7] =
    ["primero", "segundo", "tercero", "cuarto", "quinto", "sexto", "séptimo"];
const ORDINALS_LA: [&str; 7] =
    ["prima", "secunda", "tertia", "quarta", "quinta", "sexta", "septima"];

/// The value of "Twenty-First"; ordinals of Sundays, up to 39.
fn ordinal(word: &str) -> Option<usize> {
    let unit = |word: &str| ENGLISH_ORDINALS.iter().position(|o| *o == word).map(|at| at + 1);
    match word.split_once('-') {
        Some(("Twenty", rest)) => unit(rest).map(|n| n + 20),
        Some(("Thirty", rest)) => unit(rest).map(|n| n + 30),
        Some(_) => None,
        None if word == "Twentieth" => Some(20),
        None if word == "Thirtieth" => Some(30),
        None => unit(word),
    }
}

/// "Twenty-First Sunday in Ordinary Time" → "21st Sunday in Ordinary Time"; "Monday of the First Week
/// of Lent" → "Monday of the 1st Week of Lent"; Spanish and Latin likewise in their words.
pub(super) fn ordinal_in_figures(form: &str, language: PrintedLanguage) -> Vec<String> {
    match language.spoken() {
        Some(Language::En) => english_ordinal(form),
        Some(Language::Es) => spanish_ordinal(form),
        Some(Language::La) => latin_ordinal(form),
        None => Vec::new(),
    }
}

fn english_ordinal(form: &str) -> Vec<String> {
    let Some((word, number)) = form.split(' ').find_map(|w| Some((w, ordinal(w)?))) else {
        return Vec::new();
    };
    let ending = match (number, number % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    let figure = number.to_string();
    vec![form.replacen(word, &format!("{figure}{ending}"), 1), form.replacen(word, &figure, 1)]
}

/// "Domingo I de Cuaresma" → "I Domingo de Cuaresma", "primer domingo de Cuaresma"; "Lunes de la I
/// semana de Cuaresma" → "Lunes de la primera semana de Cuaresma".
fn spanish_ordinal(form: &str) -> Vec<String> {
    let Some((before, number, after)) = numeral(form) else { return Vec::new() };
    let word = roman(number).and_then(|value| ORDINALS_ES.get(usize::from(value) - 1));
    let mut forms = Vec::new();
    if before == "Domingo" {
        forms.push(format!("{number} Domingo {after}"));
        forms.extend(word.map(|word| format!("Domingo {word} {after}")));
        let short = |word: &str| match word {
            "primero" => "primer".to_owned(),
            "tercero" => "tercer".to_owned(),
            other => other.to_owned(),
        };
        forms.extend(word.map(|word| format!("{} domingo {after}", short(word))));
    }
    if let Some(word) = word.filter(|_| after.starts_with("semana")) {
        let stem = word.trim_end_matches('o');
        forms.push(format!("{before} {stem}a {after}").trim_start().to_owned());
    }
    forms
}

/// "Dominica I Adventus" → "Dominica prima Adventus"; "Feria secunda hebdomadae I Adventus" → "Feria
/// II hebdomadae I Adventus".
fn latin_ordinal(form: &str) -> Vec<String> {
    if let Some(day) = form.strip_prefix("Feria ") {
        let count = ["secunda", "tertia", "quarta", "quinta", "sexta"];
        let numbers = ["II", "III", "IV", "V", "VI"];
        let found = count
            .iter()
            .zip(numbers)
            .find_map(|(word, number)| Some(format!("Feria {number}{}", day.strip_prefix(*word)?)));
        return found.into_iter().collect();
    }
    let Some(("Dominica", number, after)) = numeral(form) else { return Vec::new() };
    let word = roman(number).and_then(|value| ORDINALS_LA.get(usize::from(value) - 1));
    word.map(|word| format!("Dominica {word} {after}")).into_iter().collect()
}

/// The first Roman numeral of a title, what stands before it and after it.
fn numeral(form: &str) -> Option<(&str, &str, &str)> {
    let mut at = 0;
    for word in form.split(' ') {
        if roman(word).is_some() {
            let before = form.get(..at)?.trim_end();
            let after = form.get(at + word.len()..)?.trim_start();
            return Some((before, word, after));
        }
        at += word.len() + 1;
    }
    None
}

/// The value of a small Roman numeral, from 1 to 39; none for anything else.
pub(super) fn roman(word: &str) -> Option<u8> {
    let value = |c| match c {
        'I' => Some(1),
        'V' => Some(5),
        'X' => Some(10),
        _ => None,
    };
    let digits: Vec<i16> = word.chars().map(value).collect::<Option<_>>()?;
    let after = digits.iter().skip(1).copied().chain([0]);
    let signed = digits.iter().zip(after).map(|(d, next)| if next > *d { -d } else { *d });
    u8::try_from(signed.sum::<i16>()).ok().filter(|total| (1..40).contains(total))
}

/// "Eucharistic Prayer II" → "Eucharistic Prayer 2".
pub(super) fn numeral_in_figures(form: &str, _: PrintedLanguage) -> Vec<String> {
    let figure = |word: &str| match roman(word) {
        Some(value) => value.to_string(),
        None => word.to_owned(),
    };
    let figures = form.split(' ').map(figure).collect::<Vec<_>>().join(" ");
    if figures == form { Vec::new() } else { vec![figures] }
}

/// "Monday of the First Week of Lent" → "Monday"; "First Sunday of Lent" → "First Sunday": under the
/// heading of the season or the week a list says no more.
pub(super) fn without_season(form: &str, language: PrintedLanguage) -> Vec<String> {
    let Some(spoken) = language.spoken() else { return day_alone(form, language) };
    let marks: &[&str] = match spoken {
        Language::En => &[" of the ", " after ", " within ", " of ", " in "],
        Language::Es => &[" de la ", " después ", " de ", " del "],
        Language::La => {
            &[" hebdomadae ", " post ", " infra ", " Adventus", " in ", " per ", " Paschae"]
        }
    };
    let days: &[&str] = match spoken {
        Language::En => &["Sunday", "day"],
        Language::Es => &["Domingo", "Lunes", "Martes", "Miércoles", "Jueves", "Viernes", "Sábado"],
        Language::La => &["Dominica", "Feria", "Sabbato"],
    };
    let cut = marks.iter().filter_map(|mark| form.find(mark)).min();
    let Some(day) = cut.and_then(|at| form.get(..at)) else { return Vec::new() };
    let is_day = match spoken {
        Language::En => days.iter().any(|d| day.ends_with(d)) && day.split(' ').count() <= 2,
        Language::Es | Language::La => days.iter().any(|d| day.split(' ').next() == Some(d)),
    };
    if is_day { vec![day.to_owned()] } else { Vec::new() }
}

/// "Lundi de la première semaine de Carême" → "Lundi", "III Niedziela Adwentu" → "III Niedziela", "Domingo III da
/// Quaresma" → "Domingo III": a Sunday without its number is none.
fn day_alone(form: &str, language: PrintedLanguage) -> Vec<String> {
    let Some(lexicon) = lexicon(language) else { return Vec::new() };
    let words: Vec<&str> = form.split(' ').collect();
    let day = |word: &str| {
        let word = folded(word.split('-').next().unwrap_or_default());
        let same = |forms: &str| forms.split('|').next() == Some(word.as_str());
        lexicon.weekdays.split_whitespace().position(same)
    };
    let found = match words.first() {
        // Portuguese counts its weekdays: "Segunda-feira".
        Some(first) if first.ends_with("-feira") => Some((0, 0)),
        _ => words.iter().take(4).enumerate().find_map(|(at, word)| Some((at, day(word)?))),
    };
    let kept = match found {
        Some((0, 6)) if words.get(1).is_some_and(|number| roman(number).is_some()) => 2,
        Some((0, 6)) | None => return Vec::new(),
        Some((at, _)) => at + 1,
    };
    let alone = words.get(..kept).unwrap_or_default().join(" ");
    let alone = alone.trim_end_matches([':', ',']).to_owned();
    if alone == form { Vec::new() } else { vec![alone] }
}

/// Whether `words` begin with a month.
pub(super) fn is_month(words: &str, language: PrintedLanguage) -> bool {
    let first = folded(words.split(' ').next().unwrap_or_default());
    let months = lexicon(language).map_or("", |l| l.months);
    months.split_whitespace().any(|forms| forms.split('|').any(|form| form == first))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numerals_up_to_the_weeks_of_the_year() {
        let cases = [("IX", Some(9)), ("XXXIV", Some(34)), ("", None), ("MIX", None), ("L", None)];
        let wrong: Vec<_> = cases.iter().filter(|(word, value)| roman(word) != *value).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
    }

    #[test]
    fn ordinals_up_to_the_weeks_of_the_year() {
        let cases = [("Second", Some(2)), ("Thirtieth", Some(30)), ("Thirty-Fourth", Some(34))];
        let wrong: Vec<_> = cases.iter().filter(|(word, value)| ordinal(word) != *value).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
        assert_eq!(ordinal("Holy"), None);
    }
}
