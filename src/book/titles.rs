//! The forms a title takes in print: contents abbreviate it, indexes turn it round, older books
//! count and name it otherwise.
//!
//! Only what follows a rule is made here; other names stand in the outline as aliases. A form has no
//! date, no page and no leader; case, accents and punctuation are left to the comparison. So is the order of the
//! words and, in the languages that only books are printed in, how a number is written ([`normalised`]): no form
//! is made for them.

mod guess;
mod lexicon;
mod names;
mod numbers;
mod plain;
mod printed;

pub(super) use plain::normalised;
pub use printed::PrintedTitles;

use super::OutlinePlace;
use crate::language::PrintedLanguage;

/// Makes further forms of one form.
type Rule = fn(&str, PrintedLanguage) -> Vec<String>;

/// In this order, each applied to all forms found before it.
const RULES: [Rule; 12] = [
    without_number,
    without_brackets,
    last_of_path,
    names::without_office,
    preface_by_subject,
    numbers::ordinal_in_figures,
    numbers::without_season,
    numbers::numeral_in_figures,
    names::turned_round,
    names::under_the_person,
    names::without_article,
    names::abbreviated,
];

impl OutlinePlace {
    /// All forms of the title in `language`, the title itself first, each once. Where the outline has
    /// no Spanish or Latin title, those of the English one; none where no book in another language prints it.
    ///
    /// ```
    /// # use vitta::{book::Outline, language::Language};
    /// let missal = Outline::shipped("roman-missal-3")?;
    /// let sunday = missal.places.iter().find(|p| p.place.as_str() == "time/lent/week-1/sunday");
    /// let forms = sunday.map(|s| s.forms(Language::En)).unwrap_or_default();
    /// assert!(forms.contains(&"1st Sunday of Lent".to_owned()));
    /// # Ok::<(), vitta::Error>(())
    /// ```
    pub fn forms(&self, language: impl Into<PrintedLanguage>) -> Vec<String> {
        let language = language.into();
        let mut forms = Vec::new();
        for title in self.titles_in(language) {
            add(&mut forms, title);
        }
        for rule in RULES {
            for form in forms.clone() {
                for other in rule(&form, language) {
                    add(&mut forms, other);
                }
            }
        }
        if language.spoken().is_none() && self.is_preface_of_a_day() {
            // Its subject is the title of the day's Mass, which a list means by it.
            let (word, _) = preface(language);
            forms.retain(|form| form.contains(word));
        }
        forms
    }

    /// Whether it is the preface of one day, printed beside its Mass.
    fn is_preface_of_a_day(&self) -> bool {
        let path = self.place.as_str();
        path.contains("/preface") && !path.starts_with("order/")
    }
}

fn add(forms: &mut Vec<String>, form: String) {
    if !form.is_empty() && !forms.contains(&form) {
        forms.push(form);
    }
}

/// "17. For the Unity of Christians" → "For the Unity of Christians".
fn without_number(form: &str, language: PrintedLanguage) -> Vec<String> {
    let is_date = |rest: &str| numbers::is_month(rest, language);
    let counted = form.split_once(". ").filter(|(n, rest)| is_number(n) && !is_date(rest));
    counted.map(|(_, rest)| rest.to_owned()).into_iter().collect()
}

fn is_number(word: &str) -> bool {
    let roman = word.chars().all(|c| "IVX".contains(c));
    let figures = word.chars().all(|c| c.is_ascii_digit() || c == '/');
    let letter = matches!(word, "A" | "B" | "C" | "D" | "E" | "F");
    !word.is_empty() && (roman || figures || letter)
}

/// "Palm Sunday (Passion Sunday)" → "Palm Sunday".
fn without_brackets(form: &str, _: PrintedLanguage) -> Vec<String> {
    let Some((before, rest)) = form.split_once(" (") else { return Vec::new() };
    let Some((_, after)) = rest.split_once(')') else { return Vec::new() };
    vec![format!("{before}{after}")]
}

/// What divides a heading from what stands under it in a title.
fn path_mark(language: PrintedLanguage) -> &'static str {
    match language {
        PrintedLanguage::Es | PrintedLanguage::La => ". ",
        _ => ": ",
    }
}

/// "Common of Martyrs: IV. For a Virgin Martyr" → "For a Virgin Martyr": the list prints the
/// heading once and then only what differs.
fn last_of_path(form: &str, language: PrintedLanguage) -> Vec<String> {
    let cut = form.rsplit_once(path_mark(language)).or_else(|| form.rsplit_once(": "));
    let Some((_, last)) = cut else { return Vec::new() };
    let mut forms = vec![last.to_owned()];
    forms.extend(without_number(last, language));
    forms
}

/// The word for a preface, and what stands between it and its subject.
fn preface(language: PrintedLanguage) -> (&'static str, &'static [&'static str]) {
    match language {
        PrintedLanguage::En => ("Preface", &["of the ", "of ", "for the ", "for "]),
        PrintedLanguage::Es => ("Prefacio", &["de las ", "de los ", "de la ", "del ", "de "]),
        PrintedLanguage::La => ("Praefatio", &["de "]),
        PrintedLanguage::Fr => ("Préface", &["de la ", "de l'", "des ", "du ", "de "]),
        PrintedLanguage::De => ("Präfation", &["von der ", "von den ", "von ", "vom ", "für die "]),
        PrintedLanguage::It => {
            ("Prefazio", &["dell'", "della ", "delle ", "degli ", "dei ", "di "])
        }
        PrintedLanguage::Pt => ("Prefácio", &["das ", "dos ", "da ", "do ", "de "]),
        PrintedLanguage::Pl => ("Prefacja", &["o ", "na "]),
    }
}

/// "Preface II of Advent" → "Advent II", "Advent, Preface II"; "Preface: The Transfiguration" →
/// "The Transfiguration, Preface".
fn preface_by_subject(form: &str, language: PrintedLanguage) -> Vec<String> {
    let (word, of) = preface(language);
    let Some(rest) = form.strip_prefix(word) else { return Vec::new() };
    if let Some(subject) = rest.strip_prefix(": ") {
        return vec![format!("{subject}, {word}")];
    }
    let rest = rest.trim_start();
    let (number, rest) = match rest.split_once(' ') {
        Some((number, rest)) if is_number(number) => (format!(" {number}"), rest),
        _ => (String::new(), rest),
    };
    let Some(subject) = of.iter().find_map(|of| rest.strip_prefix(of)) else { return Vec::new() };
    vec![
        format!("{subject}{number}"),
        format!("{subject}, {word}{number}"),
        format!("{word} {rest}{number}"),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::{Language, Titles};
    use crate::place::Place;

    fn forms(title: &str, language: Language) -> Vec<String> {
        let place = OutlinePlace {
            place: Place::new("x").unwrap(),
            title: Titles { en: title.into(), es: Some(title.into()), la: Some(title.into()) },
            aliases: Vec::new(),
            printed: Default::default(),
            level: 1,
            pages: 0.0,
            order_numbers: None,
            month_day: None,
            nations: Vec::new(),
            source: None,
        };
        place.forms(language)
    }

    fn check(language: Language, cases: &[(&str, &str)]) {
        let has =
            |(title, form): &&(&str, &str)| forms(title, language).iter().any(|made| made == form);
        let missing: Vec<_> = cases.iter().filter(|case| !has(case)).collect();
        assert!(missing.is_empty(), "{missing:#?}");
    }

    const JOSEPH: &str = "Saint Joseph, Spouse of the Blessed Virgin Mary";

    #[test]
    fn english_titles_as_contents_and_indexes_print_them() {
        let cases = [
            ("First Sunday of Lent", "1st Sunday of Lent"),
            ("First Sunday of Lent", "First Sunday"),
            ("Monday of the First Week of Lent", "Monday of the 1st Week of Lent"),
            ("Monday of the First Week of Lent", "Monday"),
            ("Twenty-Second Sunday in Ordinary Time", "22nd Sunday in Ordinary Time"),
            ("Twelfth Sunday in Ordinary Time", "12th Sunday in Ordinary Time"),
            (JOSEPH, "St. Joseph"),
            (JOSEPH, "Joseph, Spouse of the Blessed Virgin Mary, St."),
            (JOSEPH, "Joseph, St."),
            (
                "Saints Michael, Gabriel and Raphael, Archangels",
                "Sts. Michael, Gabriel and Raphael",
            ),
            ("Saints Cornelius, Pope, and Cyprian, Bishop, Martyrs", "SS. Cornelius and Cyprian"),
            (
                "Saint Christopher Magallanes, Priest, and Companions, Martyrs",
                "Christopher Magallanes and Companions, Saint",
            ),
            ("Saint Hilary, Bishop and Doctor of the Church", "Hilary, Saint"),
            ("Saints Peter and Paul, Apostles: At the Vigil Mass", "At the Vigil Mass"),
            ("The Annunciation of the Lord", "Annunciation of the Lord"),
            ("The Chair of Saint Peter the Apostle", "Peter the Apostle, The Chair of St."),
            ("Our Lady of the Rosary", "Rosary, Our Lady of the"),
            ("Preface II of Advent", "Advent II"),
            ("Preface II of Advent", "Preface 2 of Advent"),
            ("Preface I for the Dead", "Dead, Preface I"),
            ("Eucharistic Prayer III", "EP 3"),
            ("17. For the Unity of Christians", "For the Unity of Christians"),
            ("Common of Martyrs: IV. For a Virgin Martyr", "For a Virgin Martyr"),
            ("Palm Sunday (Passion Sunday)", "Palm Sunday"),
        ];
        check(Language::En, &cases);
    }

    #[test]
    fn spanish_titles_as_contents_and_indexes_print_them() {
        let cases = [
            ("Domingo I de Cuaresma", "primer domingo de Cuaresma"),
            ("Domingo XXII del Tiempo Ordinario", "XXII Domingo del Tiempo Ordinario"),
            ("Lunes de la III semana de Pascua", "Lunes de la tercera semana de Pascua"),
            ("Lunes de la III semana de Pascua", "Lunes"),
            ("San José, esposo de la Virgen María", "José, San"),
            ("San José, esposo de la Virgen María", "S. José"),
            ("Nuestra Señora del Carmen", "Carmen, Nuestra Señora del"),
            ("Prefacio II de Cuaresma", "Cuaresma II"),
            ("Común de pastores. II. Un obispo", "Un obispo"),
        ];
        check(Language::Es, &cases);
    }

    #[test]
    fn latin_titles_as_contents_and_indexes_print_them() {
        let cases = [
            ("Dominica I Adventus", "Dominica prima Adventus"),
            ("Feria secunda hebdomadae I Adventus", "Feria II hebdomadae I Adventus"),
            ("Feria secunda hebdomadae I Adventus", "Feria secunda"),
            ("Sancti Hilarii, episcopi et Ecclesiae doctoris", "S. Hilarii"),
            ("Praefatio II de Adventu", "Adventu II"),
        ];
        check(Language::La, &cases);
    }

    #[test]
    fn each_form_once_and_the_title_first() {
        let forms = forms("The Most Holy Trinity", Language::En);
        assert_eq!(forms.first().map(String::as_str), Some("The Most Holy Trinity"));
        let mut sorted = forms.clone();
        sorted.sort();
        sorted.dedup();
        assert_eq!(sorted.len(), forms.len());
    }
}
