//! Settles a book: every place gets its page, its state, its probability and its interval from all
//! that was read and said.
//!
//! What is called read is chosen for the whole book: the surest entries, as many as keep the expected
//! share of wrong ones at one in a thousand (Newton et al., "Detecting differential gene expression",
//! Biostatistics 5, 2004, section 3). `cargo bench --bench book` measures what comes of it.

use super::channel::Emission;
use super::fit::{OUTLINED, Run, Stop, UNKNOWN};
use super::kinds::Kinds;
use super::label::{Label, Numbering};
use super::posterior::Posterior;
use super::{Book, Entry, Evidence, Outline, Said, State};
use crate::ascent;

/// Expected share of wrong pages among the entries called read.
const WRONG: f64 = 0.001;
/// No entry less sure than this is called read, however sure the rest is. It leaves one in forty of the
/// rows of simulated editions to look at.
const LEAST_SURE: f64 = 0.99;
/// Least probability of an entry called mended: the page differs from what the eye would find.
const SURE_AGAINST_THE_READING: f64 = 0.995;
/// A reading less surely of this place does not make its page read: garbled rows next to each other
/// go wrong together, which the probability does not know.
const MOST_MISPLACED: f64 = 0.1;
/// Mass an interval holds at least.
const INTERVAL: f64 = 0.95;

/// Where a run of entries with one numbering lies in the list of entries.
struct Section {
    numbering: Numbering,
    members: Vec<usize>,
}

impl Book {
    /// The outline, where it is a shipped one.
    pub(super) fn outlined(&self) -> Option<&'static Outline> {
        self.outline.as_deref().and_then(|name| Outline::shipped(name).ok())
    }

    /// Settles every entry anew.
    pub fn infer(&mut self) {
        self.settle();
    }

    /// Settles every entry and returns what is known of each page, by the order of the entries.
    pub(super) fn settle(&mut self) -> Vec<Option<Posterior>> {
        self.arrange();
        let mut posteriors = vec![None; self.entries.len()];
        let present = self.set_absent();
        for section in self.sections(present) {
            let solution = self.run(&section).settle();
            let mut least = 0;
            for (&index, posterior) in section.members.iter().zip(solution) {
                if let Some(entry) = self.entries.get_mut(index) {
                    least = entry.conclude(&posterior, section.numbering, least);
                }
                if let Some(slot) = posteriors.get_mut(index) {
                    *slot = Some(posterior);
                }
            }
        }
        self.grade();
        self.count_roman_pages();
        self.note();
        posteriors
    }

    /// Tells the read from the mended and the doubtful.
    fn grade(&mut self) {
        let mut sure: Vec<f64> =
            self.entries.iter().filter(|e| e.is_as_read()).map(|e| e.probability).collect();
        sure.sort_by(|a, b| b.total_cmp(a));
        let (mut wrong, mut least) = (0.0, f64::INFINITY);
        for (count, probability) in sure.into_iter().enumerate() {
            wrong += 1.0 - probability;
            if probability < LEAST_SURE || wrong > WRONG * (count + 1) as f64 {
                break;
            }
            least = probability;
        }
        for entry in self.entries.iter_mut().filter(|e| !e.evidence.is_empty()) {
            if entry.said.is_none() {
                entry.state = entry.judge(least);
            }
        }
    }

    /// Marks what is not in this book; returns the indices of the rest.
    fn set_absent(&mut self) -> Vec<usize> {
        let printed = |nation: &String| {
            self.entries.iter().any(|e| e.is_observed() && e.nations.contains(nation))
        };
        // A place of the book's own that no reading names any more was a misread title.
        let outline = self.outlined();
        let own =
            |e: &Entry| e.after.is_some() && outline.is_some_and(|o| o.get(&e.place).is_none());
        let absent: Vec<bool> = self
            .entries
            .iter()
            .map(|e| match e.said {
                Some(Said::Absent) => true,
                Some(Said::Page(_)) => false,
                None if !e.evidence.is_empty() => false,
                None if e.nations.is_empty() => own(e),
                None => !e.nations.iter().any(printed),
            })
            .collect();
        for (entry, _) in self.entries.iter_mut().zip(&absent).filter(|(_, absent)| **absent) {
            entry.state = State::Absent;
            entry.page = None;
            entry.interval = None;
            entry.probability = if entry.said.is_some() { 1.0 } else { 0.9 };
        }
        (0..absent.len()).filter(|i| absent.get(*i) == Some(&false)).collect()
    }

    /// Divides the entries into front matter with roman numbers and the rest.
    fn sections(&self, present: Vec<usize>) -> Vec<Section> {
        let split = self.end_of_roman(&present);
        let (front, body) = present.split_at(split.min(present.len()));
        vec![
            Section { numbering: Numbering::Roman, members: front.to_vec() },
            Section { numbering: Numbering::Arabic, members: body.to_vec() },
        ]
    }

    /// How many of the present entries are numbered in roman: the cut with the fewest readings on the
    /// wrong side; of equal cuts the one at the weightiest heading.
    fn end_of_roman(&self, present: &[usize]) -> usize {
        let entries: Vec<&Entry> = present.iter().filter_map(|i| self.entries.get(*i)).collect();
        let numbering = |e: &Entry| e.likeliest_label().map(|l| l.numbering);
        if !entries.iter().any(|e| numbering(e) == Some(Numbering::Roman)) {
            return self.unread_front(&entries);
        }
        let arabic = entries.iter().filter(|e| numbering(e) == Some(Numbering::Arabic)).count();
        let mut wrong = entries.len() - arabic;
        let mut best = (wrong, u8::MAX, 0);
        for (i, entry) in entries.iter().enumerate() {
            match numbering(entry) {
                Some(Numbering::Roman) => wrong = wrong.saturating_sub(1),
                Some(Numbering::Arabic) => wrong += 1,
                None => {}
            }
            let next = entries.get(i + 1).map_or(0, |e| e.level);
            if (wrong, next) <= (best.0, best.1) {
                best = (wrong, next, i + 1);
            }
        }
        best.2
    }

    /// Nobody read the front matter: it has its own numbers if the body starts too early for it.
    fn unread_front(&self, entries: &[&Entry]) -> usize {
        let front = entries.iter().take_while(|e| e.place.is_under("front")).count();
        let read = entries
            .iter()
            .enumerate()
            .skip(front)
            .find_map(|(i, e)| e.likeliest_label().map(|l| (i, f64::from(l.number))));
        let Some((index, page)) = read else { return front };
        let expected: f64 = entries.iter().take(index).map(|e| e.length).sum();
        if page < expected * 0.5 { front } else { 0 }
    }

    /// The entries of a section as a run of the path model.
    fn run(&self, section: &Section) -> Run {
        let members = || section.members.iter().filter_map(|i| self.entries.get(*i));
        let last = last_page(members(), section.numbering);
        let span = f64::from(last);
        let (unit, looseness) = match &self.outline {
            Some(_) => (1.0, OUTLINED),
            None => (average_length(members(), section.numbering), UNKNOWN),
        };
        let mut kinds = Kinds::default();
        let labels: Vec<Option<Label>> = members().map(Entry::likeliest_label).collect();
        let stops = members()
            .zip(out_of_order(&labels))
            .map(|(entry, wild)| Stop {
                length: entry.length * unit,
                kind: kinds.of(kind_names(entry)),
                section: self.outline.is_some() && entry.level == 1,
                readings: entry.emissions(section.numbering, span),
                wild,
            })
            .collect();
        Run { stops, kinds, lead: 2.0 * unit, looseness, last }
    }

    /// The front matter is at least as long as its last known page.
    fn count_roman_pages(&mut self) {
        let labels = self.entries.iter().filter_map(|e| Label::parse(e.page.as_deref()?));
        let roman = labels.filter(|l| l.numbering == Numbering::Roman).map(|l| l.number);
        self.roman_pages = roman.max().unwrap_or(0);
    }
}

/// Kinds of text that share a scale, from wide to narrow: the section, headings of one level in it,
/// those of one part.
fn kind_names(entry: &Entry) -> [String; 3] {
    let mut steps = entry.place.as_str().split('/');
    let section = steps.next().unwrap_or_default();
    let part = steps.next().unwrap_or_default();
    // The months of the saints are alike; a kind for each day would learn nothing.
    let part = if part.starts_with(|c: char| c.is_ascii_digit()) { "day" } else { part };
    [section.into(), format!("level {}", entry.level), part.into()]
}

/// Which labels lie outside the longest sequence that never goes back.
fn out_of_order(labels: &[Option<Label>]) -> Vec<bool> {
    let (places, read): (Vec<usize>, Vec<&Label>) =
        labels.iter().enumerate().filter_map(|(i, label)| Some((i, label.as_ref()?))).unzip();
    let mut wild: Vec<bool> = labels.iter().map(Option::is_some).collect();
    ascent::longest(&read).into_iter().for_each(|i| wild[places[i]] = false);
    wild
}

/// Pages from one entry to the next on the whole, where no outline says.
fn average_length<'a>(entries: impl Iterator<Item = &'a Entry>, numbering: Numbering) -> f64 {
    let labels = entries.filter_map(Entry::likeliest_label);
    let mut pages: Vec<u32> =
        labels.filter(|l| l.numbering == numbering).map(|l| l.number).collect();
    pages.sort_unstable();
    // The outermost tenths may be misread.
    let (low, high) = (pages.len() / 10, (pages.len() * 9) / 10);
    match (pages.get(low), pages.get(high.min(pages.len().saturating_sub(1)))) {
        (Some(first), Some(last)) if high > low => f64::from(last - first) / (high - low) as f64,
        _ => 1.0,
    }
    .max(0.2)
}

/// A page safely after the last place: beyond nearly all labels read and what the outline expects
/// after them.
fn last_page<'a>(entries: impl Iterator<Item = &'a Entry>, numbering: Numbering) -> i32 {
    let mut labels = Vec::new();
    let mut expected = 0.0;
    for entry in entries {
        expected += entry.length;
        let label = entry.likeliest_label().filter(|l| l.numbering == numbering);
        if let Some(label) = label {
            labels.push((label.number, expected));
        }
    }
    labels.sort_by_key(|l| l.0);
    // A few wild misreadings must not blow the book up.
    let high = labels.get((labels.len() * 19) / 20).copied().unwrap_or((0, 0.0));
    let rest = (expected - high.1).max(0.0);
    (1.4 * f64::from(high.0) + 2.5 * rest + 80.0).min(9_999.0) as i32
}

impl Entry {
    /// The label a person said or the first reading gives.
    pub(super) fn likeliest_label(&self) -> Option<Label> {
        if let Some(Said::Page(page)) = &self.said {
            return Label::parse(page);
        }
        self.evidence.iter().find_map(|e| Label::parse(e.label()?))
    }

    fn emissions(&self, numbering: Numbering, span: f64) -> Vec<Emission> {
        match &self.said {
            Some(Said::Page(page)) => {
                let label = Label::parse(page).filter(|l| l.numbering == numbering);
                label.map(|l| Emission::certain(l.number as i32)).into_iter().collect()
            }
            _ => self.evidence.iter().map(|e| e.emission(numbering, span)).collect(),
        }
    }

    /// Writes down what the posterior says; returns the page, which no later entry may precede.
    fn conclude(&mut self, posterior: &Posterior, numbering: Numbering, least: i32) -> i32 {
        if let Some(Said::Page(page)) = &self.said {
            self.page = Some(page.clone());
            self.state = State::Confirmed;
            self.probability = 1.0;
            self.interval = None;
            return Label::parse(page).map_or(least, |l| least.max(l.number as i32));
        }
        let middle = posterior.quantile(0.5);
        let (mode, mass) = posterior.mode();
        // Medians of monotone paths are monotone themselves; a likeliest page is taken instead where
        // it keeps that.
        let page = if mass > 0.5 || (self.is_observed() && mode >= least && mode <= middle) {
            mode
        } else {
            middle.max(least)
        };
        self.probability = posterior.at(page);
        self.page = Label::page(numbering, page).map(|l| self.with_insert(&l).to_string());
        let ends = posterior.narrowest(INTERVAL);
        let ends = (ends.0.min(page), ends.1.max(page));
        self.interval = (ends.0 < ends.1).then(|| {
            let text = |n| Label::page(numbering, n).map_or(String::new(), |l| l.to_string());
            (text(ends.0), text(ends.1))
        });
        self.state = State::Estimated;
        page
    }

    /// Whether a reading whose title is surely this place's gives the page the map gives.
    fn is_as_read(&self) -> bool {
        let given = self.page.as_deref();
        let agrees = |e: &Evidence| e.label() == given && e.misplaced <= MOST_MISPLACED;
        self.said.is_none() && self.evidence.iter().any(agrees)
    }

    /// The state of an entry with readings; `least` is the least probability of what is called read.
    fn judge(&self, least: f64) -> State {
        let given = self.page.as_deref();
        let unlike = self.evidence.iter().all(|e| e.label() != given);
        let placed = self.evidence.iter().any(|e| e.misplaced <= MOST_MISPLACED);
        match self.probability {
            p if self.is_as_read() && p >= least => State::Read,
            p if unlike && placed && p >= SURE_AGAINST_THE_READING => State::Mended,
            _ => State::Doubtful,
        }
    }

    /// The label with the letter of a laid-in sheet, where a reading of that page has one.
    fn with_insert(&self, label: &Label) -> Label {
        let read = self.evidence.iter().filter_map(|e| Label::parse(e.label()?));
        let same = |l: &Label| (l.numbering, l.number) == (label.numbering, label.number);
        read.into_iter().find(same).unwrap_or_else(|| label.clone())
    }
}

impl Evidence {
    pub(super) fn emission(&self, numbering: Numbering, span: f64) -> Emission {
        Emission::of(&self.alternatives, numbering, self.misread, self.misplaced, span)
    }
}
