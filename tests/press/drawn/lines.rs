//! A list laid out: each entry as pieces of print in the order in which they are set, with the row that they make.

use super::look::{DateForm, DatePlace, List, Look, Number, Second, Type};
use super::stock::{Item, Stock, texts};
use crate::edition::roman;
use crate::lists::Reference;
use crate::random::Random;
use crate::sight::Boxes;
use crate::truth::{Row, Says};
use crate::words::Role;
use unicode_normalization::UnicodeNormalization;

/// Letters in one type.
#[derive(Debug, Clone, Default)]
pub struct Piece {
    /// What they are; none for what is neither title nor label.
    pub role: Option<Role>,
    /// The letters.
    pub text: String,
    /// Their type.
    pub face: Type,
    /// Size as a share of the text's.
    pub size: f32,
}

/// An entry, heading or sentence.
#[derive(Debug, Clone, Default)]
pub struct Line {
    /// What it says; none for what is no part of a list.
    pub says: Option<Says>,
    /// Date in a column of its own.
    pub date: Vec<Piece>,
    /// Title with what stands in its line.
    pub title: Vec<Piece>,
    /// Page labels and what separates them.
    pub label: Vec<Piece>,
    /// What stands under the title.
    pub under: Vec<Piece>,
    /// Number in the margin that is no page.
    pub margin: Option<String>,
    /// Depth.
    pub level: u8,
    /// Whether it is a heading.
    pub heading: bool,
    /// Whether it runs on in the paragraph of the line before.
    pub joined: bool,
    /// Whether its page stands in the line, after the title.
    pub inline: bool,
}

/// A piece of the usual size.
pub fn piece(role: Option<Role>, text: &str, face: Type) -> Piece {
    Piece { role, text: text.to_owned(), face, size: 1.0 }
}

/// A space at which no line ends.
pub const TIE: &str = "\u{a0}";

/// A date as the language and the layout write it.
pub fn date(stock: &Stock, form: DateForm, (month, day): (usize, u32)) -> String {
    let of = |name: &str| texts(&stock.words[name]).get(month).cloned();
    let months = of("of_months").or_else(|| of("months")).unwrap_or_default();
    let pattern = match form {
        DateForm::Day => return day.to_string(),
        DateForm::RomanMonth => {
            return format!("{day}{TIE}{}", roman(month as u32 + 1).to_uppercase());
        }
        DateForm::Long => "long",
        DateForm::Short => "brief",
        DateForm::Numeric => "numeric",
    };
    let pattern = stock.words[pattern].as_str().unwrap_or("{d} {m}");
    pattern
        .replace(' ', TIE)
        .replace("{d}", &day.to_string())
        .replace("{m}", &months)
        .replace("{s}", &of("short").unwrap_or_default())
        .replace("{n}", &(month + 1).to_string())
}

/// "Saint Joseph, Spouse …" → "Joseph, Saint, Spouse …" or, not inverted, itself; and what it is sorted by.
fn by_name(stock: &Stock, title: &str, inverted: bool) -> (String, String) {
    let prefixes = texts(&stock.words["saint"]);
    let cut = prefixes.iter().find_map(|p| Some((p.trim(), title.strip_prefix(p.as_str())?)));
    let (name, own) = match cut {
        Some((saint, rest)) => {
            let (name, tail) = rest.split_once(", ").unwrap_or((rest, ""));
            let tail = if tail.is_empty() { String::new() } else { format!(", {tail}") };
            (rest, format!("{name}, {saint}{tail}"))
        }
        None => (title, title.to_owned()),
    };
    let name = name.replace('Ł', "L").replace('ł', "l");
    let key = name.nfkd().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    (if inverted { own } else { title.to_owned() }, key)
}

/// Several pages for one entry, as indexes print them.
fn several(random: &mut Random, first: u32) -> Vec<String> {
    let other = first + 3 + random.index(200) as u32;
    match random.index(6) {
        0 => vec![format!("{first}f.")],
        1 => vec![format!("{first}{TIE}f.")],
        2 => vec![format!("{first}ff.")],
        3 => vec![format!("{first}-{}", first + 1 + random.index(4) as u32)],
        4 => vec![first.to_string(), other.to_string()],
        _ => vec![first.to_string(), format!("{other}-{}", other + 1 + random.index(3) as u32)],
    }
}

fn alphabet(stock: &Stock, look: &Look, random: &mut Random) -> Vec<Item> {
    let mut all: Vec<(String, Item)> = Vec::new();
    // What stands under a Sunday has no name of its own.
    let own = |i: &Item| !i.runs_in && !i.heading && i.level <= 2;
    let feasts = stock.items(List::Time).into_iter().filter(own);
    for mut item in stock.items(List::Months).into_iter().chain(feasts) {
        let (title, key) = by_name(stock, &item.title, look.inverted);
        // Sundays known by a number stand under no letter.
        let first = item.title.split(' ').next().unwrap_or_default();
        if !first.chars().all(|c| c.is_ascii_digit() || "IVX.e".contains(c)) {
            (item.title, item.level, item.subtitle) = (title, 2, None);
            all.push((key, item));
        }
    }
    all.sort_by(|a, b| a.0.cmp(&b.0));
    let mut out = Vec::new();
    let mut letter = None;
    for (key, mut item) in all {
        if let (true, Ok(first)) = (random.chance(look.several), item.pages.concat().parse()) {
            item.pages = several(random, first);
        }
        let first = key.chars().next();
        if look.heads && first != letter {
            let title = first.map_or(String::new(), |c| c.to_uppercase().to_string());
            out.push(Item { title, level: 1, heading: true, ..Item::default() });
        }
        letter = first;
        out.push(item);
    }
    out
}

fn months(stock: &Stock, look: &Look) -> Vec<Item> {
    let names = texts(&stock.words["months"]);
    let mut out = Vec::new();
    let mut month = None;
    for item in stock.items(List::Months) {
        let own = item.day.map(|d| d.0);
        if let (true, Some(own)) = (look.heads && own != month, own) {
            let title = names.get(own).cloned().unwrap_or_default();
            out.push(Item { title, level: 1, heading: true, ..Item::default() });
        }
        month = own;
        out.push(item);
    }
    out
}

/// The entries of the list in print order, from a point somewhere in it.
fn items(stock: &Stock, look: &Look, random: &mut Random) -> Vec<Item> {
    let mut all = match look.list {
        List::Alphabet => alphabet(stock, look, random),
        List::Months => months(stock, look),
        list => stock.items(list),
    };
    let bare = random.chance(0.5);
    for item in all.iter_mut().filter(|i| i.heading) {
        if (look.centred || bare) && look.list != List::Contents {
            item.pages.clear();
        }
    }
    let skip = if random.chance(0.4) { 0 } else { random.index(all.len() / 2) };
    let skip = if matches!(look.list, List::Contents | List::Prefaces) { 0 } else { skip };
    all.drain(..skip);
    // A list does not begin in the middle of a paragraph.
    let start = all.iter().position(|i| !i.runs_in).unwrap_or(0);
    all.drain(..start);
    all.truncate(260);
    all
}

/// Punctuation between title and date, the same for a whole list.
struct Habit {
    before: &'static str,
    rank: &'static str,
    subtitle: &'static str,
}

struct Maker<'a> {
    stock: &'a Stock,
    look: &'a Look,
    habit: Habit,
    margin: u32,
}

impl Maker<'_> {
    fn label(&self, pages: &[String]) -> Vec<Piece> {
        let face = self.look.label;
        let mut out = Vec::new();
        for (i, page) in pages.iter().enumerate() {
            if i > 0 {
                out.push(piece(None, ", ", face));
            }
            let page = page.replace('-', "–");
            out.push(piece(Some(Role::Label), &page, face));
        }
        out
    }

    /// Titles with a red first letter are two pieces.
    fn name(&self, text: &str, face: Type) -> Vec<Piece> {
        let role = Some(Role::Title);
        let first = text.chars().next().filter(|c| c.is_alphabetic() && self.look.initials);
        let Some(first) = first else { return vec![piece(role, text, face)] };
        let (head, tail) = text.split_at(first.len_utf8());
        vec![piece(role, head, Type { red: true, ..face }), piece(role, tail, face)]
    }

    fn dated(&self, line: &mut Line, day: (usize, u32)) {
        let look = self.look;
        let role = Some(Role::Title);
        let text = date(self.stock, look.form, day);
        let face = Type { red: look.red_date, ..Type::default() };
        match look.date {
            DatePlace::None => {}
            DatePlace::Column => line.date = vec![piece(role, &text, face)],
            DatePlace::Before => {
                line.title.insert(0, piece(role, &format!("{text}{}", self.habit.before), face));
            }
            DatePlace::After => line.title.push(piece(role, &format!(", {text}"), face)),
            DatePlace::Brackets => line.title.push(piece(role, &format!(" ({text})"), face)),
        }
    }

    fn second(&self, line: &mut Line, place: Second, text: &str, mark: &str) {
        let role = Some(Role::Title);
        let face = Type { italic: true, ..Type::default() };
        match place {
            Second::None => {}
            Second::Beside => line.title.push(piece(role, &format!("{mark}{text}"), face)),
            Second::Under => line.under = vec![Piece { size: 0.88, ..piece(role, text, face) }],
        }
    }

    fn runs_in(&self, item: &Item) -> bool {
        let short = item.runs_in || self.look.list == List::Commons && !item.heading;
        short && self.look.run_in.is_some()
    }

    fn line(&mut self, item: &Item, random: &mut Random) -> Line {
        let look = self.look;
        let face = if item.heading { look.head } else { look.entry };
        let pages: Vec<String> = match look.roman_upper {
            true => item.pages.iter().map(|p| upper_roman(p)).collect(),
            false => item.pages.clone(),
        };
        let mut line = Line {
            title: if item.heading {
                vec![piece(Some(Role::Title), &item.title, face)]
            } else {
                self.name(&item.title, face)
            },
            label: self.label(&pages),
            level: item.level,
            heading: item.heading,
            inline: matches!(look.number, Number::Comma | Number::Dash | Number::Space),
            ..Line::default()
        };
        if let Some(day) = item.day {
            self.dated(&mut line, day);
        }
        if let Some(subtitle) = &item.subtitle {
            self.second(&mut line, look.subtitle, subtitle, self.habit.subtitle);
        }
        let ranks = texts(&self.stock.words["ranks"]);
        if item.day.is_some() && random.chance(0.7) && !ranks.is_empty() {
            self.second(&mut line, look.rank, random.pick::<String>(&ranks), self.habit.rank);
        }
        if look.stop && !line.label.is_empty() && !self.runs_in(item) {
            line.title.push(piece(Some(Role::Title), ".", Type::default()));
        }
        if look.marginal && !item.heading && random.chance(0.6) {
            self.margin += 1 + random.index(4) as u32;
            line.margin = Some(self.margin.to_string());
        }
        line.says = Some(Says::Row(row(&line, item, &pages)));
        line
    }
}

fn upper_roman(page: &str) -> String {
    if page.chars().all(|c| "ivxlcdm".contains(c)) { page.to_uppercase() } else { page.to_owned() }
}

fn row(line: &Line, item: &Item, pages: &[String]) -> Row {
    let text = |pieces: &[Piece]| pieces.iter().map(|p| p.text.as_str()).collect::<String>();
    let parts = [text(&line.date), text(&line.title), text(&line.under)];
    let words: Vec<&str> = parts.iter().flat_map(|p| p.split_whitespace()).collect();
    let pages: Vec<String> = pages.iter().map(|p| p.replace(TIE, " ")).collect();
    Row {
        title: words.join(" "),
        page: (!pages.is_empty()).then(|| pages.join(", ")),
        pages: if pages.len() > 1 { pages } else { vec![] },
        level: item.level,
        column: 1,
        lead: (!line.date.is_empty()).then(|| text(&line.date).replace(TIE, " ")),
        place: item.place.clone(),
        boxes: Boxes::default(),
        cut: false,
    }
}

/// The list as lines.
pub fn lines(stock: &Stock, look: &Look, random: &mut Random) -> Vec<Line> {
    let habit = Habit {
        before: random.pick::<&str>(&[" ", "  ", ": ", " – ", ". "]),
        rank: random.pick::<&str>(&[". ", ", ", " – "]),
        subtitle: random.pick::<&str>(&[". ", ": ", " – "]),
    };
    let numeric = matches!(look.form, DateForm::Numeric | DateForm::Day | DateForm::Short);
    let habit = if numeric { Habit { before: "  ", ..habit } } else { habit };
    let mut maker = Maker { stock, look, habit, margin: random.index(120) as u32 };
    let mut out: Vec<Line> = Vec::new();
    for item in items(stock, look, random) {
        let mut line = maker.line(&item, random);
        if let (Some(mark), true) = (look.run_in, maker.runs_in(&item)) {
            (line.inline, line.margin) = (true, None);
            line.title.append(&mut line.under);
            // Weekdays begin a paragraph of their own under their Sunday.
            let equal = |l: &Line| look.list == List::Commons || l.level >= line.level;
            let before = out.last_mut().filter(|l| l.inline && !l.heading && equal(l));
            if let Some(before) = before {
                before.label.push(piece(None, &format!("{mark} "), Type::default()));
                line.joined = true;
            }
        }
        out.push(line);
    }
    out
}

/// Days with the references that they make, sentences of no meaning between them.
pub fn days(stock: &Stock, look: &Look, random: &mut Random) -> Vec<Line> {
    let mut group = String::new();
    let mut commons: Vec<(String, Vec<String>)> = Vec::new();
    for item in stock.items(List::Commons) {
        if item.heading && item.level == 1 {
            group = item.title;
        } else if !item.heading && item.pages.len() == 1 && !group.is_empty() {
            commons.push((format!("{group}: {}", item.title), item.pages));
        }
    }
    let refer = texts(&stock.words["refer"]);
    let saints = stock.items(List::Months);
    let sentences = texts(&stock.words["sentences"]);
    let plain = Type::default();
    let text =
        |t: &str, face| Line { title: vec![piece(None, t, face)], level: 1, ..Line::default() };
    let mut out = Vec::new();
    let first = random.index(saints.len() / 2);
    for saint in saints.iter().skip(first).take(40) {
        let day = date(stock, DateForm::Long, saint.day.unwrap_or((0, 1)));
        out.push(Line { heading: true, ..text(&day, look.head) });
        out.push(Line {
            heading: true,
            level: 2,
            ..text(&saint.title, Type { bold: true, ..plain })
        });
        let count = 1 + random.index(2);
        for i in 0..count {
            let (label, pages) = random.pick(&commons).clone();
            let first: u32 = pages[0].parse().unwrap_or(1);
            let long = random.chance(0.3);
            let page = if long { format!("{first}-{}", first + 1) } else { pages[0].clone() };
            let start = if i == 0 { format!("{} ", refer[0]) } else { format!(", {} ", refer[1]) };
            let stop = if i + 1 == count { "." } else { "" };
            let mark = format!(", {} ", refer[if long { 3 } else { 2 }]);
            out.push(Line {
                title: vec![piece(None, &start, plain), piece(Some(Role::Title), &label, plain)],
                label: vec![
                    piece(None, &mark, plain),
                    piece(Some(Role::Label), &page.replace('-', "–"), look.label),
                    piece(None, stop, plain),
                ],
                says: Some(Says::Reference(Reference { label, pages: vec![page] })),
                level: 1,
                inline: true,
                joined: i > 0,
                ..Line::default()
            });
        }
        for _ in 0..random.index(3) {
            out.push(text(
                random.pick::<String>(&sentences),
                Type { italic: random.chance(0.3), ..plain },
            ));
        }
    }
    out
}

/// Pages of sentences without any number.
pub fn prose(stock: &Stock, random: &mut Random) -> Vec<Line> {
    let sentences = texts(&stock.words["sentences"]);
    let mut out = Vec::new();
    for _ in 0..40 {
        let count = 2 + random.index(4);
        let text: Vec<String> = (0..count).map(|_| random.pick(&sentences).clone()).collect();
        out.push(Line {
            title: vec![piece(None, &text.join(" "), Type::default())],
            level: 1,
            ..Line::default()
        });
    }
    out
}
