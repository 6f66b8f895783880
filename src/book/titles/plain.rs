//! A printed title in one spelling, whatever its language: numbers as figures, weekdays and months by the names
//! the comparison knows, short forms written out, articles left out. "Troisième", "3e" and "III" become "3",
//! "19 mars" becomes "19 march".
//!
//! Titles of places and of rows go through it alike; what it does not know it leaves as it stands.

use super::lexicon::{Lexicon, MONTHS, WEEKDAYS, lexicon};
use super::numbers::roman;
use crate::book::words::{folded, is_in_word};
use crate::language::PrintedLanguage;

/// A word of a title.
struct Token<'a> {
    raw: &'a str,
    folded: String,
    /// What stands between it and the next word.
    after: &'a str,
}

/// A title taken apart.
struct Printed<'a> {
    tokens: Vec<Token<'a>>,
    lexicon: &'static Lexicon,
    language: PrintedLanguage,
    /// Set in capitals throughout.
    capitals: bool,
}

/// What words of a title were read as, and how many they are.
type Read = (String, usize);

/// The title in one spelling.
pub(in crate::book) fn normalised(title: &str, language: PrintedLanguage) -> String {
    let Some(lexicon) = lexicon(language) else { return title.to_owned() };
    let capitals = !title.chars().any(char::is_lowercase);
    let printed = Printed { tokens: tokens(title), lexicon, language, capitals };
    let mut words: Vec<String> = Vec::new();
    let mut at = 0;
    while at < printed.tokens.len() {
        let (word, used) = printed.read(at);
        if !word.is_empty() {
            words.push(word);
        }
        at += used;
    }
    words.join(" ")
}

fn tokens(title: &str) -> Vec<Token<'_>> {
    let mut tokens = Vec::new();
    let mut rest = title.trim_start_matches(|c: char| !is_in_word(c));
    while !rest.is_empty() {
        let end = rest.find(|c: char| !is_in_word(c)).unwrap_or(rest.len());
        let (raw, tail) = rest.split_at_checked(end).unwrap_or((rest, ""));
        rest = tail.trim_start_matches(|c: char| !is_in_word(c));
        let after = tail.get(..tail.len() - rest.len()).unwrap_or("");
        tokens.push(Token { raw, folded: folded(raw), after });
    }
    tokens
}

/// Where `word` stands in a list whose forms are divided by `|`.
fn place_in(list: &str, word: &str) -> Option<usize> {
    list.split_whitespace().position(|forms| forms.split('|').any(|form| form == word))
}

impl Printed<'_> {
    /// Reads the words from `at` on, one at least.
    fn read(&self, at: usize) -> Read {
        let ways = [
            Self::weekday,
            Self::month,
            Self::initials,
            Self::ordinal,
            Self::figures,
            Self::small_word,
        ];
        let read = ways.iter().find_map(|way| way(self, at));
        read.unwrap_or_else(|| (self.spelled(at), 1))
    }

    fn folded(&self, at: usize) -> &str {
        self.tokens.get(at).map_or("", |t| t.folded.as_str())
    }

    /// "Montag", "2ª-feira", "Feria secunda".
    fn weekday(&self, at: usize) -> Option<Read> {
        let named = place_in(self.lexicon.weekdays, self.folded(at)).map(|day| (day, 1));
        let (day, used) = named.or_else(|| match self.language {
            PrintedLanguage::Pt => self.feira(at),
            PrintedLanguage::La => self.feria(at),
            _ => None,
        })?;
        Some((WEEKDAYS.get(day)?.to_string(), used))
    }

    /// "Segunda-feira", "2.ª feira": the second day is Monday.
    fn feira(&self, at: usize) -> Option<(usize, usize)> {
        let feira = (at + 1..at + 3).find(|i| self.folded(*i) != "a")?;
        let count = self.count(at).or_else(|| self.figure(at))?;
        let is_feira = self.folded(feira).starts_with("feira");
        (is_feira && count > 1).then(|| (usize::from(count) - 2, feira + 1 - at))
    }

    /// "Feria secunda", "Feria II": the second day is Monday.
    fn feria(&self, at: usize) -> Option<(usize, usize)> {
        let counted = "secunda|ii|2 tertia|iii|3 quarta|iv|4 quinta|v|5 sexta|vi|6";
        let day = place_in(counted, self.folded(at + 1))?;
        (self.folded(at) == "feria").then_some((day, 2))
    }

    /// "mars", "19 mar.", "19.3.", in Polish lists "19 III".
    fn month(&self, at: usize) -> Option<Read> {
        let word = self.folded(at);
        let named = place_in(self.lexicon.months, word);
        let short = || place_in(self.lexicon.short_months, word).filter(|_| self.is_after_day(at));
        let month = named.or_else(short).or_else(|| self.month_in_figures(at))?;
        Some((MONTHS.get(month)?.to_string(), 1))
    }

    /// Whether the day's number stands before, maybe with a "de" between.
    fn is_after_day(&self, at: usize) -> bool {
        let before = at.checked_sub(1).filter(|i| self.folded(*i) != "de");
        let day = before.or_else(|| at.checked_sub(2)).and_then(|i| self.figure(i));
        day.is_some_and(|day| (1..=31).contains(&day))
    }

    fn month_in_figures(&self, at: usize) -> Option<usize> {
        let (day, month) = (self.tokens.first()?, self.tokens.get(at)?);
        if at != 1 || !self.is_after_day(at) || self.lexicon.weekdays.is_empty() {
            return None;
        }
        let figures =
            matches!(day.after.trim_end(), "." | "/") && month.after.starts_with(['.', '/']);
        let dotted = month.raw.parse::<usize>().ok().filter(|_| figures);
        let before_week = ["sunday", "tygodnia"].contains(&self.read_word(at + 1).as_str());
        let polish = self.language == PrintedLanguage::Pl && day.after == " " && !before_week;
        let numeral = || roman(month.raw).map(usize::from).filter(|_| polish);
        dotted.or_else(numeral)?.checked_sub(1)
    }

    /// The word at `at` by itself.
    fn read_word(&self, at: usize) -> String {
        let day = place_in(self.lexicon.weekdays, self.folded(at)).and_then(|d| WEEKDAYS.get(d));
        day.map_or_else(|| self.spelled(at), |d| (*d).to_owned())
    }

    /// "Troisième", "vingt et unième", "Décimo segundo".
    fn ordinal(&self, at: usize) -> Option<Read> {
        let ten = self.lexicon.tens.iter().find(|(word, _)| *word == self.folded(at)).map(|t| t.1);
        let Some(ten) = ten else { return Some((self.count(at)?.to_string(), 1)) };
        let next = at + 1 + usize::from(self.folded(at + 1) == "et");
        match self.count(next).filter(|unit| *unit < 10) {
            Some(unit) => Some(((ten + unit).to_string(), next + 1 - at)),
            // A bare "dix" or "trente" counts things, a bare "trentième" Sundays.
            None if is_cardinal(self.folded(at)) => None,
            None => Some((ten.to_string(), 1)),
        }
    }

    /// "B. V." before a name, written out.
    fn initials(&self, at: usize) -> Option<Read> {
        let is_initial = |t: &&Token| t.raw.chars().count() == 1 && t.after.starts_with('.');
        let initials: String =
            self.tokens.iter().skip(at).take_while(is_initial).map(|t| t.folded.as_str()).collect();
        let known = |(short, _): &&(&str, &str)| initials.len() > 1 && *short == initials;
        let (_, long) = self.lexicon.spelled.iter().find(known)?;
        Some(((*long).to_owned(), initials.len()))
    }

    /// The value of an ordinal of one word.
    fn count(&self, at: usize) -> Option<u16> {
        let word = self.folded(at);
        let counted = ["domenica", "settimana", "semana", "lettura", "leitura"];
        if matches!(word, "ottava" | "oitava") && !counted.contains(&self.folded(at + 1)) {
            return None; // The octave of a feast.
        }
        let ends = |rest: &str| {
            let rest = if rest.is_empty() { "." } else { rest };
            self.lexicon.endings.split(' ').any(|ending| ending == rest)
        };
        let is = |stem: &str| word.strip_prefix(stem).is_some_and(ends);
        let counted = self.lexicon.ordinals.split_whitespace();
        let found = counted.map(|stems| stems.split('|').any(is)).position(|is| is);
        found.and_then(|at| u16::try_from(at + 1).ok())
    }

    /// "3e", "IIIe", "2º".
    fn figures(&self, at: usize) -> Option<Read> {
        Some((self.figure(at)?.to_string(), 1))
    }

    fn figure(&self, at: usize) -> Option<u16> {
        let token = self.tokens.get(at)?;
        let digits = token.raw.trim_start_matches(|c: char| c.is_ascii_digit());
        let letters = token.raw.trim_start_matches(['I', 'V', 'X']);
        let suffixed = |rest: &str| {
            let rest = folded(rest);
            rest.is_empty() || self.lexicon.after_figures.split(' ').any(|suffix| suffix == rest)
        };
        let head = |rest: &str| token.raw.get(..token.raw.len() - rest.len());
        if suffixed(digits) && digits.len() < token.raw.len() {
            return head(digits)?.parse().ok();
        }
        let numeral = suffixed(letters) && !letters.is_empty();
        head(letters).filter(|_| numeral).and_then(roman).map(u16::from)
    }

    /// Articles and the like, which are left out; a letter that counts, "A. Pour un martyr", is none.
    fn small_word(&self, at: usize) -> Option<Read> {
        let token = self.tokens.get(at)?;
        let small = self.lexicon.fillers.split(' ').any(|filler| filler == token.folded);
        let letter = matches!(token.raw, "A" | "B" | "C" | "D" | "E" | "F" | "G" | "H");
        let counts = letter && (token.after.starts_with(['.', ':', ')']) || self.is_last(at));
        let numeral = roman(token.raw).is_some() && !self.joins(at);
        (small && !counts && !numeral).then(|| (String::new(), 1))
    }

    fn is_last(&self, at: usize) -> bool {
        at + 1 == self.tokens.len()
    }

    /// Whether an "I" is the Polish "and" of a title in capitals.
    fn joins(&self, at: usize) -> bool {
        let next = self.read_word(at + 1);
        let counts = ["sunday", "tygodnia", "prefacja", "modlitwa"].contains(&next.as_str());
        self.capitals && at > 0 && !self.is_last(at) && !counts
    }

    /// Written out, or as it stands.
    fn spelled(&self, at: usize) -> String {
        let Some(token) = self.tokens.get(at) else { return String::new() };
        let forms = self.lexicon.spelled.iter();
        let long = forms.filter(|(short, _)| short.split('|').any(|s| s == token.folded));
        long.map(|(_, long)| (*long).to_owned()).next().unwrap_or_else(|| token.raw.to_owned())
    }
}

fn is_cardinal(word: &str) -> bool {
    matches!(word, "dix" | "vingt" | "trente")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(language: PrintedLanguage, cases: &[(&str, &str)]) {
        let read = |title: &str| normalised(title, language);
        let wrong: Vec<_> = cases
            .iter()
            .filter(|(title, plain)| read(title) != *plain)
            .map(|(title, plain)| format!("{title}: {} instead of {plain}", read(title)))
            .collect();
        assert!(wrong.is_empty(), "{wrong:#?}");
    }

    #[test]
    fn french_ordinals_and_dates() {
        check(
            PrintedLanguage::Fr,
            &[
                ("Premier", "1"),
                ("1er", "1"),
                ("1re", "1"),
                ("Première", "1"),
                ("Deuxième", "2"),
                ("2e", "2"),
                ("IIe", "2"),
                ("Troisième", "3"),
                ("3ème", "3"),
                ("dix-septième", "17"),
                ("Vingtième", "20"),
                ("Vingt et unième", "21"),
                ("vingt-deuxième", "22"),
                ("Trentième", "30"),
                ("TRENTE-QUATRIÈME", "34"),
                ("19 mars", "19 march"),
                ("1er janvier", "1 january"),
                ("8 déc.", "8 december"),
                ("15 août", "15 august"),
                ("2e dimanche de l'Avent", "2 sunday Avent"),
                ("Ste Agnès, vierge", "saint Agnès vierge"),
                ("Martin Ier", "Martin 1"),
            ],
        );
    }

    #[test]
    fn german_ordinals_and_dates() {
        check(
            PrintedLanguage::De,
            &[
                ("Erster", "1"),
                ("ersten", "1"),
                ("1.", "1"),
                ("Dritter", "3"),
                ("III", "III"),
                ("Siebter", "7"),
                ("siebente", "7"),
                ("Achter", "8"),
                ("acht", "acht"),
                ("Zwölfter", "12"),
                ("Einundzwanzigster", "21"),
                ("Dreißigster", "30"),
                ("Vierunddreißigste", "34"),
                ("19. März", "19 march"),
                ("19.3.", "19 march"),
                ("6. Jänner", "6 january"),
                ("8. Dez.", "8 december"),
                ("3. Fastensonntag", "3 sunday fastenzeit"),
                ("Donnerstag der 1. Fastenwoche", "thursday 1 woche fastenzeit"),
                ("Hll. Petrus und Paulus", "saint Petrus Paulus"),
            ],
        );
    }

    #[test]
    fn italian_ordinals_and_dates() {
        check(
            PrintedLanguage::It,
            &[
                ("Prima", "1"),
                ("Terza", "3"),
                ("3ª", "3"),
                ("III", "III"),
                ("Ottava domenica", "8 sunday"),
                ("Ottava di Pasqua", "Ottava Pasqua"),
                ("Ventunesima", "21"),
                ("Ventitreesima", "23"),
                ("Trentaquattresima", "34"),
                ("19 marzo", "19 march"),
                ("1° gennaio", "1 january"),
                ("8 dic.", "8 december"),
                ("III Domenica di Quaresima", "III sunday Quaresima"),
                ("Sant'Agnese", "saint Agnese"),
                ("Il cieco nato", "cieco nato"),
                ("A. Per più martiri", "A Per più martiri"),
                ("SANTI PIETRO E PAOLO", "saint PIETRO PAOLO"),
            ],
        );
    }

    #[test]
    fn portuguese_ordinals_and_dates() {
        check(
            PrintedLanguage::Pt,
            &[
                ("Primeiro", "1"),
                ("Terceiro", "3"),
                ("3º", "3"),
                ("2.ª", "2"),
                ("Décimo", "10"),
                ("Décimo segundo", "12"),
                ("Vigésimo primeiro", "21"),
                ("Trigésimo", "30"),
                ("Trigésimo quarto", "34"),
                ("19 de março", "19 march"),
                ("1º de janeiro", "1 january"),
                ("8 de dez.", "8 december"),
                ("Segunda-feira da semana II", "monday semana II"),
                ("2ª feira da 2ª semana", "monday 2 semana"),
                ("6.ª-feira", "friday"),
                ("Terça-feira", "tuesday"),
                ("A Sagrada Família", "Sagrada Família"),
                ("Oitava da Páscoa", "Oitava Páscoa"),
                ("S. José", "saint José"),
            ],
        );
    }

    #[test]
    fn polish_ordinals_and_dates() {
        check(
            PrintedLanguage::Pl,
            &[
                ("Pierwsza", "1"),
                ("Trzecia", "3"),
                ("trzeciego", "3"),
                ("Drugiej", "2"),
                ("Piąta", "5"),
                ("piątek", "friday"),
                ("Czwartek", "thursday"),
                ("Dwudziesta", "20"),
                ("Dwudziesta pierwsza", "21"),
                ("Trzydziesta czwarta", "34"),
                ("19 marca", "19 march"),
                ("19 III Świętego Józefa", "19 march saint Józefa"),
                ("19.03. Św. Józefa", "19 march saint Józefa"),
                ("8 gru.", "8 december"),
                ("2 II Niedziela", "2 II sunday"),
                ("III Niedziela Adwentu", "III sunday Adwentu"),
                ("ŚWIĘTYCH PIOTRA I PAWŁA", "saint PIOTRA PAWŁA"),
                ("Wniebowzięcie NMP", "Wniebowzięcie najswietszej maryi panny"),
            ],
        );
    }

    #[test]
    fn spanish_and_latin_days() {
        check(PrintedLanguage::Es, &[("19 de marzo", "19 de march"), ("8 dic.", "8 december")]);
        check(
            PrintedLanguage::La,
            &[
                ("Die 19 martii", "Die 19 march"),
                ("Feria secunda hebdomadae III Paschae", "monday hebdomadae III Paschae"),
                ("Feria VI", "friday"),
            ],
        );
    }

    #[test]
    fn english_stays_as_it_is() {
        assert_eq!(normalised("21st Sunday, 3", PrintedLanguage::En), "21st Sunday, 3");
    }
}
