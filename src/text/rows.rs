//! Divided lines become entries: wrapped titles joined, numbers on a line of their own given to their title,
//! headings kept without page, indents turned into levels.

use super::split::{PrintedLabel, SplitLine};
use super::style::Style;
use super::words::PageWord;
use crate::geom::Rect;

/// An entry before its numbers are read again.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Words of the title, all lines.
    pub title: Vec<PageWord>,
    /// Its labels.
    pub labels: Vec<PrintedLabel>,
    /// Depth by indent, 1 the outermost.
    pub level: u8,
    /// Column, 1 the leftmost.
    pub column: u8,
    /// Box around all its lines.
    pub area: Rect,
    /// Dot leaders ran along it, so a number is due.
    pub leader: bool,
    /// A dash stands in place of a number.
    pub dash: bool,
    /// Something about its shape is unsure: an orphan number, an unfinished list.
    pub odd: bool,
    left: i32,
    centred: bool,
    last: Rect,
    open: bool,
    range: bool,
    /// Its last line runs without a wide gap.
    solid: bool,
}

/// The measures of a column.
#[derive(Debug, Clone)]
pub struct Measure {
    /// Leftmost ink.
    pub left: i32,
    /// Rightmost ink.
    pub right: i32,
    /// Where titles end at the latest.
    pub title_right: i32,
    /// Height of a letter.
    pub letter: f32,
    /// For each line with a title its left edge, and whether a number ends it.
    begins: Vec<(i32, bool)>,
}

/// The fewest lines of one indent that tell whether its entries have numbers.
const INDENT: usize = 5;
/// Share of an indent's lines with numbers from which one without is not whole.
const NUMBERED: f32 = 0.75;

impl Measure {
    /// Measures the lines of a column.
    pub fn of(lines: &[SplitLine], letter: f32) -> Measure {
        let words = |l: &&SplitLine| letters(&l.title) > 2 || !l.labels.is_empty();
        let mut lefts: Vec<i32> = lines.iter().filter(words).map(|l| l.area.left).collect();
        lefts.sort_unstable();
        // A few lines may have dust before them.
        let left = lefts.get(lefts.len() / 10).copied().unwrap_or(0);
        let right = lines.iter().map(|l| l.area.right).max().unwrap_or(0);
        let title_right = title_right(lines).unwrap_or(right);
        let titled = lines.iter().filter(|l| !l.title.is_empty());
        let begins = titled.map(|l| (l.area.left, !l.labels.is_empty())).collect();
        Measure { left, right, title_right, letter, begins }
    }

    /// Whether nearly every line that begins at this indent ends with a number.
    fn numbered(&self, left: i32) -> bool {
        let near = |l: &&(i32, bool)| (l.0 - left).abs() as f32 <= self.letter * 0.6;
        let with: Vec<bool> = self.begins.iter().filter(near).map(|l| l.1).collect();
        let numbered = with.iter().filter(|n| **n).count();
        with.len() >= INDENT && numbered as f32 >= NUMBERED * with.len() as f32
    }

    fn centred(&self, line: &SplitLine) -> bool {
        let (before, after) = (line.area.left - self.left, self.right - line.area.right);
        let wide = (self.letter * 2.5) as i32;
        line.labels.is_empty()
            && before > wide
            && after > wide
            && (before - after).abs() < (before + after) / 4
    }
}

/// Where titles end at the latest: before the numbers, if these stand at the right edge.
fn title_right(lines: &[SplitLine]) -> Option<i32> {
    let mut numbers: Vec<i32> = lines
        .iter()
        .filter_map(|l| l.labels.first()?.blobs.iter().map(|b| b.area.left).min())
        .collect();
    numbers.sort_unstable();
    let edge = numbers.get(numbers.len() / 2).copied();
    let mut ends: Vec<i32> =
        lines.iter().filter_map(|l| l.title.last().map(|w| w.area.right)).collect();
    ends.retain(|end| edge.is_none_or(|edge| edge < lines_middle(lines) || *end < edge));
    ends.sort_unstable();
    // Without numbers to end before, a few lines may run on too far.
    let last = if edge.is_some() { ends.len().saturating_sub(1) } else { ends.len() * 19 / 20 };
    ends.get(last).copied()
}

fn lines_middle(lines: &[SplitLine]) -> i32 {
    let left = lines.iter().map(|l| l.area.left).min().unwrap_or(0);
    let right = lines.iter().map(|l| l.area.right).max().unwrap_or(0);
    (left + right) / 2
}

/// Joins the lines of one column into entries; numbers that belong to no title come back as the second part.
pub fn entries(
    lines: &[SplitLine],
    column: u8,
    measure: &Measure,
    style: Style,
) -> (Vec<Entry>, Vec<PrintedLabel>) {
    let mut done: Vec<Entry> = Vec::new();
    let mut orphans = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        let next = lines.get(i + 1);
        if line.title.is_empty() && line.labels.is_empty() {
            continue;
        }
        match (line.title.is_empty(), done.last_mut()) {
            (true, Some(last)) if takes_numbers(last, line) => add_numbers(last, line),
            // The first and the last line hold the number of the page itself.
            (true, _) if i > 0 && next.is_some() => orphans.extend(line.labels.iter().cloned()),
            (true, _) => {}
            (false, Some(last)) if goes_on(last, line, next, measure, style) => {
                add_line(last, line)
            }
            (false, _) => done.push(begin(line, column, measure)),
        }
    }
    done.retain(|e| !e.labels.is_empty() || letters(&e.title) > 1);
    levels(&mut done, measure);
    (done, orphans)
}

/// Letters and figures of a title.
pub fn letters(words: &[PageWord]) -> usize {
    words.iter().flat_map(|w| w.text.chars()).filter(|c| c.is_alphanumeric()).count()
}

fn begin(line: &SplitLine, column: u8, measure: &Measure) -> Entry {
    Entry {
        title: line.title.clone(),
        labels: line.labels.clone(),
        level: 1,
        column,
        area: line.area,
        leader: line.leader,
        dash: line.dash,
        odd: false,
        left: line.area.left,
        centred: measure.centred(line),
        last: line.area,
        open: line.open,
        range: line.range,
        solid: solid(line),
    }
}

fn solid(line: &SplitLine) -> bool {
    line.title.iter().all(|w| w.part == 0)
}

fn takes_numbers(last: &Entry, line: &SplitLine) -> bool {
    let roman = line.labels.iter().any(|l| l.text.starts_with(|c: char| c.is_alphabetic()));
    !last.dash && !roman && (last.open || (last.labels.is_empty() && !last.centred))
}

fn add_numbers(last: &mut Entry, line: &SplitLine) {
    let mut labels = line.labels.iter().cloned();
    if last.range
        && let Some(from) = last.labels.last_mut()
        && let Some(to) = labels.next()
    {
        from.text = format!("{}-{}", from.text, to.text);
        // On two lines they cannot be looked at together.
        from.confidence = from.confidence.min(to.confidence);
        from.blobs.clear();
    }
    last.labels.extend(labels);
    (last.open, last.range) = (line.open, line.range);
    last.area = last.area.union(&line.area);
    last.last = line.area;
    last.leader |= line.leader;
}

fn add_line(last: &mut Entry, line: &SplitLine) {
    last.title.extend(line.title.iter().cloned());
    last.dash |= line.dash;
    last.solid = solid(line);
    add_numbers(last, line);
}

/// Whether a line with words continues the entry above.
fn goes_on(
    last: &Entry,
    line: &SplitLine,
    next: Option<&SplitLine>,
    m: &Measure,
    style: Style,
) -> bool {
    if style == Style::Left {
        let under_title = last
            .title
            .first()
            .is_some_and(|w| (line.area.left - w.area.left).abs() as f32 <= m.letter * 2.5);
        return line.labels.is_empty()
            && (under_title || !m.centred(line))
            && line.area.left > m.left + m.letter as i32;
    }
    // At a right edge a comma after a number is dust, unless the numbers go on alone.
    let open = last.open && (style != Style::Right || line.labels.is_empty());
    if last.dash || (!last.labels.is_empty() && !open) {
        return late_continuation(last, line, m);
    }
    if unfinished(&last.title) {
        return true;
    }
    let small = starts_small(line);
    // A first line between two indents may look centred; what goes on in small letters is no heading's next.
    let cased = last.title.iter().flat_map(|w| w.text.chars()).any(char::is_lowercase);
    if last.centred != m.centred(line) && !(small && cased) {
        return false;
    }
    if capitals(&last.title) != capitals(&line.title) || enumerated(line) {
        return false;
    }
    let indented = line.area.left as f32 >= last.left as f32 + m.letter * 0.6;
    // Its like have numbers, no leader waits for one, and something hangs under it: the number stands there.
    if style == Style::Right && indented && !last.leader && m.numbered(last.left) {
        return true;
    }
    let full = !next_word_fits(last, line, m);
    let siblings = next.is_some_and(|n| {
        small
            && starts_small(n)
            && !n.labels.is_empty()
            && (n.area.left - line.area.left).abs() < m.letter as i32
    });
    (full && (indented || small || last.solid && justified(last, m)))
        || (small && indented && !siblings)
}

/// Whether words are set in capitals only, as headings are.
fn capitals(words: &[PageWord]) -> bool {
    let letters = words.iter().flat_map(|w| w.text.chars()).filter(|c| c.is_alphabetic());
    let (mut large, mut small) = (0, 0);
    letters.for_each(|c| if c.is_lowercase() { small += 1 } else { large += 1 });
    large > 3 && small * 4 <= large
}

/// Whether a line starts with a number of its own: "II.", "B.", "3)".
fn enumerated(line: &SplitLine) -> bool {
    let first = line.title.first().map_or("", |w| w.text.as_str());
    let number = first.trim_end_matches(['.', ')']);
    let short = number.len() == 1 && number.starts_with(|c: char| c.is_ascii_uppercase());
    number.len() < first.len()
        && !number.is_empty()
        && (short
            || number.chars().all(|c| "IVXL".contains(c))
            || number.len() <= 2 && number.chars().all(|c| c.is_ascii_digit()))
}

/// A title that goes on under its number: small letters, indented, no number of its own.
fn late_continuation(last: &Entry, line: &SplitLine, m: &Measure) -> bool {
    let indented = line.area.left as f32 >= last.left as f32 + m.letter * 0.6;
    line.labels.is_empty() && indented && starts_small(line) && !m.centred(line)
}

/// Whether words cannot be the end of a title: a bracket is open, a word is broken, or the last one asks for
/// another.
fn unfinished(title: &[PageWord]) -> bool {
    let brackets = title.iter().flat_map(|w| w.text.chars()).fold(0i32, |open, c| match c {
        '(' => open + 1,
        ')' => 0,
        _ => open,
    });
    let last = title.last().map_or("", |w| w.text.as_str());
    let broken = last.chars().count() > 1 && last.ends_with(['-', '‐', '¬', '=']);
    let listed = last.ends_with(',') && last.chars().filter(|c| c.is_alphabetic()).count() > 1;
    brackets > 0 || broken || listed || NEVER_LAST.contains(&last)
}

/// Articles, prepositions and conjunctions of English, Spanish and Latin, which end no title.
const NEVER_LAST: [&str; 40] = [
    "a", "an", "his", "in", "of", "the", "and", "for", "from", "with", "or", "by", "to", "at",
    "our", "de", "del", "la", "el", "los", "las", "un", "una", "y", "para", "por", "con", "al",
    "su", "et", "ad", "pro", "cum", "seu", "vel", "sub", "atque", "ac", "who", "que",
];

fn starts_small(line: &SplitLine) -> bool {
    let first = line.title.iter().flat_map(|w| w.text.chars()).find(|c| c.is_alphabetic());
    first.is_some_and(char::is_lowercase)
}

/// Whether the first word of `line` would still have fitted behind the entry's last line, so that the
/// compositor broke the line on purpose.
fn next_word_fits(last: &Entry, line: &SplitLine, m: &Measure) -> bool {
    let room = m.title_right - last.last.right;
    let need = line.title.first().map_or(0, |w| w.area.width());
    room as f32 > need as f32 + m.letter * 1.5
}

fn justified(last: &Entry, m: &Measure) -> bool {
    (m.right - last.last.right) as f32 <= m.letter * 1.5
}

/// Turns left edges into levels: edges nearer than a letter are one indent. Centred headings stand above all.
fn levels(entries: &mut [Entry], m: &Measure) {
    let mut lefts: Vec<i32> = entries.iter().filter(|e| !e.centred).map(|e| e.left).collect();
    lefts.sort_unstable();
    let mut indents: Vec<i32> = Vec::new();
    for left in lefts {
        if indents.last().is_none_or(|last| (left - last) as f32 > m.letter * 0.8) {
            indents.push(left);
        }
    }
    let headed = u8::from(entries.iter().any(|e| e.centred));
    for entry in entries {
        let deep = indents.iter().filter(|i| (entry.left - **i) as f32 > m.letter * 0.4).count();
        let deep = if entry.centred { 0 } else { deep.min(6) as u8 + headed };
        entry.level = deep + 1;
    }
}

/// The title as one string: words joined, a word broken at the end of a line made whole, without the comma before
/// its number.
pub fn title(words: &[PageWord]) -> String {
    let mut text = String::new();
    let mut before: Option<&PageWord> = None;
    for word in words {
        let new_line = before.is_some_and(|b| word.area.left < b.area.left);
        let broken = new_line && text.chars().count() > 1 && text.ends_with(['-', '‐', '¬']);
        match () {
            () if broken && word.text.starts_with(char::is_lowercase) => {
                text.pop();
            }
            () if broken || text.is_empty() => {}
            () => text.push(' '),
        }
        text.push_str(&word.text);
        before = Some(word);
    }
    text.truncate(text.trim_end_matches([',', ';', '(', ' ']).len());
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line at `left` with its title and its numbers.
    fn line(left: i32, title: &str, labels: &[&str], range: bool) -> SplitLine {
        let mut right = left;
        let word = |text: &str| {
            let area =
                Rect { left: right, top: 0, right: right + 16 * text.len() as i32, bottom: 30 };
            right = area.right + 10;
            PageWord { text: text.to_owned(), area, confidence: 0.9, blobs: Vec::new(), part: 0 }
        };
        let title: Vec<PageWord> = title.split_whitespace().map(word).collect();
        let area = title.iter().map(|w| w.area).reduce(|a, b| a.union(&b)).unwrap_or(Rect {
            left,
            top: 0,
            right: left + 60,
            bottom: 30,
        });
        let label = |text: &&str| PrintedLabel {
            text: (*text).to_owned(),
            blobs: Vec::new(),
            confidence: 0.9,
        };
        SplitLine {
            title,
            labels: labels.iter().map(label).collect(),
            open: range,
            range,
            dash: false,
            area,
            leader: false,
        }
    }

    fn read(lines: &[SplitLine], style: Style) -> Vec<(String, Vec<String>)> {
        let measure = Measure::of(lines, 20.0);
        let (entries, _) = entries(lines, 1, &measure, style);
        let pages = |e: &Entry| e.labels.iter().map(|l| l.text.clone()).collect();
        entries.iter().map(|e| (title(&e.title), pages(e))).collect()
    }

    #[test]
    fn a_title_without_its_number_goes_on_where_its_like_have_theirs() {
        let mut lines: Vec<SplitLine> =
            (0..6).map(|i| line(0, "For the Pope", &[["12", "13", "14"][i % 3]], false)).collect();
        lines.push(line(0, "On the Anniversary", &[], false));
        lines.push(line(40, "Ordination", &["15"], false));
        let found = read(&lines, Style::Right);
        assert_eq!(found[6], ("On the Anniversary Ordination".to_owned(), vec!["15".to_owned()]));
        // Headings stand at an indent of their own.
        let headed = [
            line(0, "Common of Martyrs", &[], false),
            line(40, "Outside Easter Time", &["15"], false),
            line(40, "During Easter Time, for Several Missionary Martyrs", &["16"], false),
        ];
        assert_eq!(read(&headed, Style::Right).len(), 3);
    }

    #[test]
    fn a_range_goes_on_over_two_lines() {
        let lines = [
            line(0, "Holy Men and Women", &["1286"], true),
            line(40, "", &["1289", "1291"], false),
            line(0, "Holy Saturday", &["226"], false),
        ];
        let found = read(&lines, Style::Trailing { comma: true });
        assert_eq!(found[0].1, ["1286-1289", "1291"]);
    }
}
