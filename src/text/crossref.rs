//! References on a day's page: "From the Common of Martyrs, p. 1020, or …", "Preface …, pp. 512-515".

use super::split::{self, PrintedLabel};
use super::style::arabic;
use super::words::{PageWord, ReadLine};

/// A reference before its numbers are read again.
pub struct Reference {
    /// What is referred to, as printed.
    pub label: String,
    /// Its page labels.
    pub labels: Vec<PrintedLabel>,
}

/// What stands before a page number, in English, Spanish and Latin.
const MARKS: [&str; 10] =
    ["p", "pp", "page", "pages", "pág", "págs", "pag", "página", "páginas", "pagina"];

/// Words that lead to the name and are no part of it.
const LEADING: [&str; 14] =
    ["from", "the", "or", "del", "de", "la", "los", "las", "o", "vel", "e", "ex", "see", "and"];

/// Finds the references of a column; `lines` from top to bottom.
pub fn references(lines: &[ReadLine]) -> Vec<Reference> {
    let words: Vec<&PageWord> = lines.iter().flat_map(|l| &l.words).collect();
    let mut found = Vec::new();
    let mut start = 0;
    for (i, word) in words.iter().enumerate() {
        if i < start {
            continue;
        }
        let Some((first, marked)) = marked(&words, i) else {
            if ends_sentence(word, words.get(i + 1).copied()) {
                start = i + 1;
            }
            continue;
        };
        let end = run_end(&words, first);
        let run: Vec<PageWord> =
            words.get(first..end).unwrap_or_default().iter().map(|w| strip_mark(w)).collect();
        let label = label(words.get(start..marked).unwrap_or_default());
        let labels = split::printed(&run);
        if !label.is_empty() && !labels.is_empty() {
            found.push(Reference { label, labels });
        }
        start = end;
    }
    found
}

/// At a mark ("p.", "pp.512"): where its numbers start, and where the mark itself stands.
fn marked(words: &[&PageWord], i: usize) -> Option<(usize, usize)> {
    let text = words.get(i)?.text.as_str();
    let mark = |t: &str| MARKS.contains(&t.to_lowercase().as_str());
    let bare = text.trim_matches(|c: char| !c.is_alphanumeric());
    let next = words.get(i + 1).filter(|w| arabic(&w.text));
    if mark(bare) && text.ends_with('.') && next.is_some() {
        return Some((i + 1, i));
    }
    let (front, number) = text.split_once('.')?;
    (mark(front.trim_start_matches('(')) && arabic(number)).then_some((i, i))
}

fn strip_mark(word: &PageWord) -> PageWord {
    match word.text.split_once('.') {
        Some((front, number))
            if !number.is_empty() && MARKS.contains(&front.to_lowercase().as_str()) =>
        {
            // The ink of the mark cannot be told from that of the number: it is not read again.
            PageWord { text: number.to_owned(), blobs: Vec::new(), ..word.clone() }
        }
        _ => word.clone(),
    }
}

/// Numbers go on after a comma or a dash: "503, 505-507".
fn run_end(words: &[&PageWord], first: usize) -> usize {
    let mut end = first + 1;
    while let (Some(before), Some(word)) = (words.get(end - 1), words.get(end)) {
        let dash = word.text.chars().all(|c| "-–—".contains(c));
        let goes_on =
            before.text.ends_with([',', '-', '–', '—']) || word.text.starts_with(['-', '–', '—']);
        if !(goes_on && (dash || arabic(&word.text))) {
            break;
        }
        end += 1;
    }
    end
}

/// A full stop ends a sentence before a capital on the next line or after a wide word; "St." does not.
fn ends_sentence(word: &PageWord, next: Option<&PageWord>) -> bool {
    let new_line = next.is_some_and(|n| n.area.left < word.area.left);
    let capital = next.is_none_or(|n| n.text.starts_with(char::is_uppercase));
    let stop = word.text.ends_with(['.', ';']) && word.text.chars().count() > 3;
    capital
        && (stop || (new_line && !word.text.ends_with([',', '-', ':']) && short_line(word, next)))
}

/// A heading line ends well before the next line's start lies under it; judged by the next word fitting behind.
fn short_line(word: &PageWord, next: Option<&PageWord>) -> bool {
    next.is_some_and(|n| {
        n.area.top > word.area.top + 2 * word.area.height() || n.text.eq_ignore_ascii_case("from")
    })
}

fn label(words: &[&PageWord]) -> String {
    let plain = |w: &PageWord| w.text.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let skip = words
        .iter()
        .take_while(|w| LEADING.contains(&plain(w).as_str()) || plain(w).is_empty())
        .count();
    let words: Vec<PageWord> = words.iter().skip(skip).map(|w| (*w).clone()).collect();
    super::rows::title(&words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;

    fn line(text: &str, top: i32) -> ReadLine {
        let word = |(i, t): (usize, &str)| PageWord {
            text: t.to_owned(),
            area: Rect { left: 50 * i as i32, top, right: 50 * i as i32 + 40, bottom: top + 20 },
            confidence: 0.9,
            blobs: Vec::new(),
            part: 0,
        };
        let area = Rect { left: 0, top, right: 400, bottom: top + 20 };
        let words = text.split(' ').enumerate().map(word).collect();
        ReadLine { words, area, leader: false, step: None }
    }

    #[test]
    fn commons_and_prefaces_are_found() {
        let lines = [
            line("Saint Someone, Martyr.", 0),
            line("From the Common of Martyrs: For One Martyr, p. 1020, or", 100),
            line("Common of Pastors, p. 1101.", 130),
            line("Preface of Holy Men, pp. 512-515.", 160),
        ];
        let found: Vec<(String, String)> = references(&lines)
            .into_iter()
            .map(|r| {
                (r.label, r.labels.iter().map(|l| l.text.clone()).collect::<Vec<_>>().join(","))
            })
            .collect();
        let expected = [
            ("Common of Martyrs: For One Martyr", "1020"),
            ("Common of Pastors", "1101"),
            ("Preface of Holy Men", "512-515"),
        ];
        assert_eq!(found, expected.map(|(a, b)| (a.to_owned(), b.to_owned())));
    }
}
