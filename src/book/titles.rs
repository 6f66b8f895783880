//! The forms a title takes in print: contents abbreviate it, indexes turn it round, older books
//! count and name it otherwise.
//!
//! Only what follows a rule is made here; other names stand in the outline as aliases. A form has no
//! date, no page and no leader; case, accents and punctuation are left to the comparison.

use super::OutlinePlace;
use crate::language::Language;

/// Makes further forms of one form.
type Rule = fn(&str, Language) -> Vec<String>;

/// In this order, each applied to all forms found before it.
const RULES: [Rule; 10] = [
    without_number,
    without_brackets,
    last_of_path,
    without_office,
    preface_by_subject,
    ordinal_in_figures,
    numeral_in_figures,
    turned_round,
    without_article,
    abbreviated,
];

impl OutlinePlace {
    /// All forms of the title in `language`, the title itself first, each once. Where the outline has
    /// no title in that language, those of the English one.
    ///
    /// ```
    /// # use vitta::{book::Outline, language::Language, place::Place};
    /// let missal = Outline::shipped("roman-missal-3").unwrap();
    /// let sunday = missal.get(&Place::new("time/lent/week-1/sunday").unwrap()).unwrap();
    /// assert!(sunday.forms(Language::En).contains(&"1st Sunday of Lent".to_owned()));
    /// ```
    pub fn forms(&self, language: Language) -> Vec<String> {
        let mut forms = vec![self.title.get(language).to_owned()];
        for alias in &self.aliases {
            add(&mut forms, alias.clone());
        }
        for rule in RULES {
            for form in forms.clone() {
                for other in rule(&form, language) {
                    add(&mut forms, other);
                }
            }
        }
        forms
    }
}

fn add(forms: &mut Vec<String>, form: String) {
    if !form.is_empty() && !forms.contains(&form) {
        forms.push(form);
    }
}

/// "17. For the Unity of Christians" → "For the Unity of Christians".
fn without_number(form: &str, _: Language) -> Vec<String> {
    let counted = form.split_once(". ").filter(|(number, _)| is_number(number));
    counted.map(|(_, rest)| rest.to_owned()).into_iter().collect()
}

fn is_number(word: &str) -> bool {
    let roman = word.chars().all(|c| "IVX".contains(c));
    let figures = word.chars().all(|c| c.is_ascii_digit() || c == '/');
    !word.is_empty() && (roman || figures || (word.len() == 1 && word <= "H"))
}

/// "Good Friday (Friday of the Passion)" → "Good Friday".
fn without_brackets(form: &str, _: Language) -> Vec<String> {
    let Some((before, rest)) = form.split_once(" (") else { return Vec::new() };
    let Some((_, after)) = rest.split_once(')') else { return Vec::new() };
    vec![format!("{before}{after}")]
}

/// "Common of Martyrs: IV. For a Virgin Martyr" → "For a Virgin Martyr": the list prints the
/// heading once and then only what differs.
fn last_of_path(form: &str, language: Language) -> Vec<String> {
    let mark = if language == Language::En { ": " } else { ". " };
    let Some((_, last)) = form.rsplit_once(mark).or_else(|| form.rsplit_once(": ")) else {
        return Vec::new();
    };
    let mut forms = vec![last.to_owned()];
    forms.extend(without_number(last, language));
    forms
}

/// First words of what a saint was, in titles: "…, Bishop and Martyr".
fn offices(language: Language) -> &'static [&'static str] {
    match language {
        Language::En => &[
            "Abbot",
            "Apostle",
            "Apostles",
            "Archangels",
            "Bishop",
            "Bishops",
            "Deacon",
            "Doctor",
            "Evangelist",
            "Hermit",
            "Martyr",
            "Martyrs",
            "Parents",
            "Pope",
            "Priest",
            "Priests",
            "Religious",
            "Spouse",
            "Virgin",
        ],
        Language::Es => &[
            "abad",
            "apóstol",
            "apóstoles",
            "arcángeles",
            "diácono",
            "doctor",
            "doctora",
            "eremita",
            "esposo",
            "evangelista",
            "mártir",
            "mártires",
            "obispo",
            "obispos",
            "padres",
            "papa",
            "presbítero",
            "presbíteros",
            "religiosa",
            "religioso",
            "virgen",
        ],
        Language::La => &[
            "abbatis",
            "apostoli",
            "apostolorum",
            "archangelorum",
            "diaconi",
            "doctoris",
            "episcopi",
            "episcoporum",
            "eremitae",
            "evangelistae",
            "martyris",
            "martyrum",
            "papae",
            "parentum",
            "presbyteri",
            "presbyterorum",
            "religiosae",
            "religiosi",
            "sponsi",
            "virginis",
        ],
    }
}

/// "Saint Hilary, Bishop and Doctor of the Church" → "Saint Hilary".
fn without_office(form: &str, language: Language) -> Vec<String> {
    let opens_office = |rest: &str| {
        let first = rest.split([' ', ',']).next().unwrap_or_default();
        offices(language).contains(&first)
    };
    let name = form
        .match_indices(", ")
        .find(|(at, mark)| form.get(at + mark.len()..).is_some_and(opens_office));
    name.and_then(|(at, _)| form.get(..at)).map(str::to_owned).into_iter().collect()
}

/// "Preface II of Advent" → "Advent II", "Advent, Preface II"; "Preface: The Transfiguration" →
/// "Transfiguration, Preface".
fn preface_by_subject(form: &str, language: Language) -> Vec<String> {
    let (word, of) = match language {
        Language::En => ("Preface", &["of the ", "of ", "for the ", "for "][..]),
        Language::Es => ("Prefacio", &["de las ", "de los ", "de la ", "del ", "de "][..]),
        Language::La => ("Praefatio", &["de "][..]),
    };
    let Some(rest) = form.strip_prefix(word) else { return Vec::new() };
    if let Some(subject) = rest.strip_prefix(": ") {
        return vec![subject.to_owned(), format!("{subject}, {word}")];
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

const ORDINALS_EN: [&str; 34] = [
    "First",
    "Second",
    "Third",
    "Fourth",
    "Fifth",
    "Sixth",
    "Seventh",
    "Eighth",
    "Ninth",
    "Tenth",
    "Eleventh",
    "Twelfth",
    "Thirteenth",
    "Fourteenth",
    "Fifteenth",
    "Sixteenth",
    "Seventeenth",
    "Eighteenth",
    "Nineteenth",
    "Twentieth",
    "Twenty-First",
    "Twenty-Second",
    "Twenty-Third",
    "Twenty-Fourth",
    "Twenty-Fifth",
    "Twenty-Sixth",
    "Twenty-Seventh",
    "Twenty-Eighth",
    "Twenty-Ninth",
    "Thirtieth",
    "Thirty-First",
    "Thirty-Second",
    "Thirty-Third",
    "Thirty-Fourth",
];

/// "Twenty-First Sunday in Ordinary Time" → "21st Sunday in Ordinary Time".
fn ordinal_in_figures(form: &str, language: Language) -> Vec<String> {
    if language != Language::En {
        return counted_sunday(form, language);
    }
    let words: Vec<&str> = form.split(' ').collect();
    let find = |word: &&str| ORDINALS_EN.iter().position(|o| o == word);
    let Some((at, number)) = words.iter().enumerate().find_map(|(at, w)| Some((at, find(w)? + 1)))
    else {
        return Vec::new();
    };
    let ending = match (number % 100, number % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    let put = |figure: String| {
        let replaced = words.iter().enumerate();
        let words = replaced.map(|(i, w)| if i == at { figure.as_str() } else { w });
        words.collect::<Vec<_>>().join(" ")
    };
    vec![put(format!("{number}{ending}")), put(number.to_string())]
}

const ORDINALS_ES: [&str; 8] =
    ["primero", "segundo", "tercero", "cuarto", "quinto", "sexto", "séptimo", "octavo"];
const ORDINALS_LA: [&str; 8] =
    ["prima", "secunda", "tertia", "quarta", "quinta", "sexta", "septima", "octava"];

/// "Domingo I de Cuaresma" → "I Domingo de Cuaresma", "Primer domingo de Cuaresma"; "Dominica I
/// Adventus" → "Dominica prima Adventus".
fn counted_sunday(form: &str, language: Language) -> Vec<String> {
    let mut words = form.splitn(3, ' ');
    let (Some(sunday), Some(number), Some(rest)) = (words.next(), words.next(), words.next())
    else {
        return Vec::new();
    };
    let Some(value) = roman(number) else { return Vec::new() };
    match (sunday, language) {
        ("Domingo", Language::Es) => {
            let mut forms = vec![format!("{number} Domingo {rest}")];
            if let Some(word) = ORDINALS_ES.get(usize::from(value) - 1) {
                forms.push(format!("Domingo {word} {rest}"));
                let short = match *word {
                    "primero" => "primer",
                    "tercero" => "tercer",
                    other => other,
                };
                forms.push(format!("{short} domingo {rest}"));
            }
            forms
        }
        ("Dominica", Language::La) => {
            let word = ORDINALS_LA.get(usize::from(value) - 1);
            word.map(|word| format!("Dominica {word} {rest}")).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// The value of a small Roman numeral, from 1 to 39; none for anything else.
fn roman(word: &str) -> Option<u8> {
    let value = |c| match c {
        'I' => Some(1),
        'V' => Some(5),
        'X' => Some(10),
        _ => None,
    };
    let digits: Vec<u8> = word.chars().map(value).collect::<Option<_>>()?;
    let mut total = 0i16;
    for (at, digit) in digits.iter().enumerate() {
        let before_greater = digits.get(at + 1).is_some_and(|next| next > digit);
        total += if before_greater { -i16::from(*digit) } else { i16::from(*digit) };
    }
    u8::try_from(total).ok().filter(|total| (1..40).contains(total))
}

/// "Eucharistic Prayer II" → "Eucharistic Prayer 2".
fn numeral_in_figures(form: &str, _: Language) -> Vec<String> {
    let figure = |word: &str| match roman(word) {
        Some(value) => value.to_string(),
        None => word.to_owned(),
    };
    let words: Vec<String> = form.split(' ').map(figure).collect();
    let figures = words.join(" ");
    if figures == form { Vec::new() } else { vec![figures] }
}

/// What an index puts behind the name.
fn forenames(language: Language) -> &'static [&'static str] {
    match language {
        Language::En => &["Saint", "Saints", "Blessed", "The", "Our Lady of", "Our Lady of the"],
        Language::Es => &[
            "San",
            "Santa",
            "Santo",
            "Santos",
            "Santas",
            "El",
            "La",
            "Los",
            "Las",
            "Nuestra Señora de",
            "Nuestra Señora del",
            "Nuestra Señora de la",
        ],
        Language::La => &["Sancti", "Sanctae", "Sanctorum", "Beatae", "Beati"],
    }
}

/// "Saint Joseph, Spouse of the Blessed Virgin Mary" → "Joseph, Spouse of the Blessed Virgin Mary,
/// Saint" and "Joseph, Saint, Spouse of …".
fn turned_round(form: &str, language: Language) -> Vec<String> {
    let lead = forenames(language)
        .iter()
        .filter(|w| form.strip_prefix(*w).is_some_and(|rest| rest.starts_with(' ')));
    let Some(lead) = lead.max_by_key(|w| w.len()) else { return Vec::new() };
    let Some(name) = form.get(lead.len() + 1..) else { return Vec::new() };
    let mut forms = vec![format!("{name}, {lead}")];
    if let Some((name, rest)) = name.split_once(", ") {
        forms.push(format!("{name}, {lead}, {rest}"));
    }
    forms
}

/// "The Annunciation of the Lord" → "Annunciation of the Lord".
fn without_article(form: &str, language: Language) -> Vec<String> {
    let articles: &[&str] = match language {
        Language::En => &["The "],
        Language::Es => &["El ", "La ", "Los ", "Las "],
        Language::La => &[],
    };
    articles.iter().filter_map(|a| form.strip_prefix(a)).map(str::to_owned).collect()
}

/// Abbreviations of contents and indexes.
fn abbreviations(language: Language) -> &'static [(&'static str, &'static str)] {
    match language {
        Language::En => &[
            ("Saint", "St."),
            ("Saints", "Sts."),
            ("Saints", "SS."),
            ("Blessed", "Bl."),
            ("Blessed Virgin Mary", "BVM"),
            ("Eucharistic Prayer", "EP"),
        ],
        Language::Es => &[
            ("San", "S."),
            ("san", "s."),
            ("Santa", "Sta."),
            ("santa", "sta."),
            ("Santo", "Sto."),
            ("Santos", "Ss."),
            ("Santas", "Sts."),
            ("Beato", "Bto."),
            ("Beata", "Bta."),
            ("Nuestra Señora", "Ntra. Sra."),
        ],
        Language::La => &[
            ("Sancti", "S."),
            ("Sanctae", "S."),
            ("Sanctorum", "Ss."),
            ("beatae Mariae Virginis", "B.M.V."),
            ("Beatae Mariae Virginis", "B.M.V."),
        ],
    }
}

/// "Saint Joseph" → "St. Joseph".
fn abbreviated(form: &str, language: Language) -> Vec<String> {
    let whole_word = |long: &str, at: usize| {
        let inside = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
        let before = form.get(..at).and_then(|s| s.chars().next_back());
        let after = form.get(at + long.len()..).and_then(|s| s.chars().next());
        !inside(before) && !inside(after)
    };
    let replaced = |long: &str, short: &str| {
        let mut out = String::new();
        let mut done = 0;
        for (at, _) in form.match_indices(long).filter(|(at, _)| whole_word(long, *at)) {
            out.push_str(form.get(done..at).unwrap_or_default());
            out.push_str(short);
            done = at + long.len();
        }
        (done > 0).then(|| out + form.get(done..).unwrap_or_default())
    };
    abbreviations(language).iter().filter_map(|(long, short)| replaced(long, short)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::Titles;
    use crate::place::Place;

    fn forms(en: &str, es: Option<&str>, la: Option<&str>, language: Language) -> Vec<String> {
        let place = OutlinePlace {
            place: Place::new("x").unwrap(),
            title: Titles {
                en: en.to_owned(),
                es: es.map(str::to_owned),
                la: la.map(str::to_owned),
            },
            aliases: Vec::new(),
            level: 1,
            pages: 0.0,
            order_numbers: None,
            month_day: None,
            nations: Vec::new(),
            source: None,
        };
        place.forms(language)
    }

    #[test]
    fn titles_as_contents_and_indexes_print_them() {
        let cases = [
            ("First Sunday of Lent", "1st Sunday of Lent"),
            ("Twenty-Second Sunday in Ordinary Time", "22nd Sunday in Ordinary Time"),
            ("Twelfth Sunday in Ordinary Time", "12th Sunday in Ordinary Time"),
            ("Saint Joseph, Spouse of the Blessed Virgin Mary", "St. Joseph"),
            (
                "Saint Joseph, Spouse of the Blessed Virgin Mary",
                "Joseph, Spouse of the Blessed Virgin Mary, St.",
            ),
            ("Saint Joseph, Spouse of the Blessed Virgin Mary", "Joseph, St."),
            (
                "Saints Michael, Gabriel and Raphael, Archangels",
                "Sts. Michael, Gabriel and Raphael",
            ),
            ("Saint Hilary, Bishop and Doctor of the Church", "Hilary, Saint"),
            ("The Annunciation of the Lord", "Annunciation of the Lord"),
            ("Our Lady of the Rosary", "Rosary, Our Lady of the"),
            ("Preface II of Advent", "Advent II"),
            ("Preface II of Advent", "Preface 2 of Advent"),
            ("Preface I for the Dead", "Dead, Preface I"),
            ("Eucharistic Prayer III", "EP 3"),
            ("17. For the Unity of Christians", "For the Unity of Christians"),
            ("Common of Martyrs: IV. For a Virgin Martyr", "For a Virgin Martyr"),
            ("Palm Sunday (Passion Sunday)", "Palm Sunday"),
        ];
        let missing: Vec<_> = cases
            .iter()
            .filter(|(title, form)| {
                !forms(title, None, None, Language::En).contains(&(*form).to_owned())
            })
            .collect();
        assert!(missing.is_empty(), "{missing:#?}");
    }

    #[test]
    fn spanish_and_latin_forms() {
        let cases = [
            (Language::Es, "Domingo I de Cuaresma", "primer domingo de Cuaresma"),
            (
                Language::Es,
                "Domingo XXII del Tiempo Ordinario",
                "XXII Domingo del Tiempo Ordinario",
            ),
            (Language::Es, "San José, esposo de la Virgen María", "José, San"),
            (Language::Es, "San José, esposo de la Virgen María", "S. José"),
            (Language::Es, "Nuestra Señora del Carmen", "Carmen, Nuestra Señora del"),
            (Language::Es, "Prefacio II de Cuaresma", "Cuaresma II"),
            (Language::La, "Dominica I Adventus", "Dominica prima Adventus"),
            (Language::La, "Sancti Hilarii, episcopi et Ecclesiae doctoris", "S. Hilarii"),
        ];
        let missing: Vec<_> = cases
            .iter()
            .filter(|(language, title, form)| {
                !forms("-", Some(title), Some(title), *language).contains(&(*form).to_owned())
            })
            .collect();
        assert!(missing.is_empty(), "{missing:#?}");
    }

    #[test]
    fn each_form_once_and_the_title_first() {
        let forms = forms("The Most Holy Trinity", None, None, Language::En);
        assert_eq!(forms[0], "The Most Holy Trinity");
        let mut sorted = forms.clone();
        sorted.sort();
        sorted.dedup();
        assert_eq!(sorted.len(), forms.len());
    }

    #[test]
    fn what_is_no_numeral_has_no_value() {
        let cases = [("IX", Some(9)), ("XXXIV", Some(34)), ("", None), ("MIX", None)];
        let wrong: Vec<_> = cases.iter().filter(|(word, value)| roman(word) != *value).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
    }
}
