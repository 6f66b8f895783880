//! Settles a book: every place gets its page, its state, its probability and its interval from all
//! that was read and said.
//!
//! What is called read is chosen for the whole book: the surest entries, as many as keep the expected
//! share of wrong ones at one in a thousand (Newton et al., "Detecting differential gene expression",
//! Biostatistics 5, 2004, section 3). `cargo bench --bench book` measures what comes of it.

use super::channel::Emission;
use super::claim::Claim;
use super::fit::{OUTLINED, Run, Stop, UNKNOWN};
use super::kinds::Kinds;
use super::label::{Label, Numbering};
use super::lists::Lists;
use super::posterior::Posterior;
use super::{Book, Entry, Evidence, Outline, Said, State};
use crate::ascent;

/// Expected share of wrong pages among the entries called read.
const WRONG: f64 = 0.001;
/// No entry less sure than this is called read, however sure the rest is. It leaves one in forty of the
/// rows of simulated editions to look at.
const LEAST_SURE: f64 = 0.99;
/// A reading less surely of this place does not make its page read: garbled rows next to each other
/// go wrong together, which the probability does not know.
const MOST_MISPLACED: f64 = 0.4;
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

    /// Settles every entry.
    pub(super) fn settle(&mut self) {
        self.in_outline_order();
        let lists = Lists::of(&self.entries, &self.readings);
        let claims = self.arrange(&lists);
        let present = self.set_absent();
        for section in self.sections(present, &claims) {
            let solution = self.run(&section, &claims, &lists).settle();
            self.conclude(&section, solution, &claims);
        }
        self.grade(&claims, &lists);
        self.count_roman_pages();
        self.note(&lists);
    }

    /// Writes down what the posteriors of a section say. Pages do not go back: what is clearly printed stands,
    /// what is reckoned lies between.
    fn conclude(&mut self, section: &Section, solution: Vec<Posterior>, claims: &[Option<Claim>]) {
        let numbering = section.numbering;
        let fixed: Vec<Option<i32>> = section
            .members
            .iter()
            .map(|i| {
                let claim = claims.get(*i)?.as_ref()?;
                let fixed = claim.stands && claim.label.numbering == numbering;
                fixed.then_some(claim.label.number as i32)
            })
            .collect();
        let mut most = i32::MAX;
        let mut bounds: Vec<i32> = fixed
            .iter()
            .rev()
            .map(|page| {
                most = page.map_or(most, |p| most.min(p));
                most
            })
            .collect();
        bounds.reverse();
        let mut least = 0;
        let members = section.members.iter().zip(solution).zip(fixed.into_iter().zip(bounds));
        for ((&index, posterior), (fixed, most)) in members {
            if let Some(entry) = self.entries.get_mut(index) {
                least = entry.conclude(&posterior, numbering, fixed, (least, most.max(least)));
            }
        }
    }

    /// Tells the known from what a person must look at: of the entries whose page is as read, and whose
    /// lists are believed and do not quarrel, the surest.
    fn grade(&mut self, claims: &[Option<Claim>], lists: &Lists) {
        let sound: Vec<bool> = self
            .entries
            .iter()
            .zip(claims)
            .map(|(e, c)| c.as_ref().is_some_and(|c| !c.disputed) && e.is_as_read(lists))
            .collect();
        let each = || self.entries.iter().zip(&sound);
        let mut sure: Vec<f64> = each().filter(|e| *e.1).map(|e| e.0.probability).collect();
        sure.sort_by(|a, b| b.total_cmp(a));
        let (mut wrong, mut least) = (0.0, f64::INFINITY);
        for (count, probability) in sure.into_iter().enumerate() {
            wrong += 1.0 - probability;
            if probability < LEAST_SURE || wrong > WRONG * (count + 1) as f64 {
                break;
            }
            least = probability;
        }
        for (entry, sound) in self.entries.iter_mut().zip(sound) {
            if entry.said.is_none() && !entry.evidence.is_empty() {
                let known = sound && entry.probability >= least;
                entry.state = if known { State::Read } else { State::Doubtful };
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
    fn sections(&self, present: Vec<usize>, claims: &[Option<Claim>]) -> Vec<Section> {
        let split = self.end_of_roman(&present, claims);
        let (front, body) = present.split_at(split.min(present.len()));
        vec![
            Section { numbering: Numbering::Roman, members: front.to_vec() },
            Section { numbering: Numbering::Arabic, members: body.to_vec() },
        ]
    }

    /// How many of the present entries are numbered in roman: the cut with the fewest readings on the
    /// wrong side; of equal cuts the one at the weightiest heading.
    fn end_of_roman(&self, present: &[usize], claims: &[Option<Claim>]) -> usize {
        let read = |i: &usize| claims.get(*i)?.as_ref().map(|c| &c.label);
        let numbering = |i: &usize| read(i).map(|l| l.numbering);
        if !present.iter().any(|i| numbering(i) == Some(Numbering::Roman)) {
            return self.unread_front(present, claims);
        }
        let arabic = present.iter().filter(|i| numbering(i) == Some(Numbering::Arabic)).count();
        let mut wrong = present.len() - arabic;
        let mut best = (wrong, u8::MAX, 0);
        for (i, index) in present.iter().enumerate() {
            match numbering(index) {
                Some(Numbering::Roman) => wrong = wrong.saturating_sub(1),
                Some(Numbering::Arabic) => wrong += 1,
                None => {}
            }
            let next = present.get(i + 1).and_then(|i| self.entries.get(*i)).map_or(0, |e| e.level);
            if (wrong, next) <= (best.0, best.1) {
                best = (wrong, next, i + 1);
            }
        }
        best.2
    }

    /// Nobody read the front matter: it has its own numbers if the body starts too early for it.
    fn unread_front(&self, present: &[usize], claims: &[Option<Claim>]) -> usize {
        let entries: Vec<&Entry> = present.iter().filter_map(|i| self.entries.get(*i)).collect();
        let front = entries.iter().take_while(|e| e.place.is_under("front")).count();
        let page = |i: &usize| claims.get(*i)?.as_ref().map(|c| f64::from(c.label.number));
        let read = present.iter().enumerate().skip(front).find_map(|(at, i)| Some((at, page(i)?)));
        let Some((index, page)) = read else { return front };
        let expected: f64 = entries.iter().take(index).map(|e| e.length).sum();
        if page < expected * 0.5 { front } else { 0 }
    }

    /// The entries of a section as a run of the path model.
    fn run(&self, section: &Section, claims: &[Option<Claim>], lists: &Lists) -> Run {
        let members = || section.members.iter().filter_map(|i| self.entries.get(*i));
        let claim = |i: &usize| claims.get(*i)?.as_ref();
        let of_run = |l: &&Label| l.numbering == section.numbering;
        let labels: Vec<Option<&Label>> =
            section.members.iter().map(|i| claim(i).map(|c| &c.label).filter(of_run)).collect();
        let last = last_page(members(), &labels);
        let span = f64::from(last);
        let (unit, looseness) = match &self.outline {
            Some(_) => (1.0, OUTLINED),
            None => (average_length(&labels), UNKNOWN),
        };
        let mut kinds = Kinds::default();
        let stops = members()
            .zip(out_of_order(&labels))
            .zip(section.members.iter().map(|i| claim(i).filter(|c| c.stands)))
            .map(|((entry, wild), stands)| Stop {
                length: entry.length * unit,
                kind: kinds.of(kind_names(entry)),
                section: self.outline.is_some() && entry.level == 1,
                readings: entry.emission(lists, section.numbering, span).into_iter().collect(),
                wild,
                stands: stands
                    .filter(|c| c.label.numbering == section.numbering)
                    .map(|c| Emission::certain(c.label.number as i32))
                    .into_iter()
                    .collect(),
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
fn out_of_order(labels: &[Option<&Label>]) -> Vec<bool> {
    let (places, read): (Vec<usize>, Vec<&Label>) =
        labels.iter().enumerate().filter_map(|(i, label)| Some((i, (*label)?))).unzip();
    let mut wild: Vec<bool> = labels.iter().map(Option::is_some).collect();
    ascent::longest(&read).into_iter().for_each(|i| wild[places[i]] = false);
    wild
}

/// Pages from one entry to the next on the whole, where no outline says.
fn average_length(labels: &[Option<&Label>]) -> f64 {
    let mut pages: Vec<u32> = labels.iter().flatten().map(|l| l.number).collect();
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
fn last_page<'a>(entries: impl Iterator<Item = &'a Entry>, read: &[Option<&Label>]) -> i32 {
    let mut labels = Vec::new();
    let mut expected = 0.0;
    for (entry, label) in entries.zip(read) {
        expected += entry.length;
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
    /// Writes down what the posterior says; returns the page, which no later entry may precede. A page that is
    /// `fixed` is clearly printed; one that is not lies in `bounds`.
    fn conclude(
        &mut self,
        posterior: &Posterior,
        numbering: Numbering,
        fixed: Option<i32>,
        bounds: (i32, i32),
    ) -> i32 {
        self.reckoned = None;
        if let Some(Said::Page(page)) = &self.said {
            self.page = Some(page.clone());
            self.state = State::Confirmed;
            self.probability = 1.0;
            self.interval = None;
            return Label::parse(page).map_or(bounds.0, |l| bounds.0.max(l.number as i32));
        }
        let middle = posterior.quantile(0.5);
        let (mode, mass) = posterior.mode();
        // Medians of monotone paths are monotone themselves; a likeliest page is taken instead where
        // it keeps that.
        let likeliest = mass > 0.5 || (self.is_observed() && mode >= bounds.0 && mode <= middle);
        let model = if likeliest { mode } else { middle };
        let page = fixed.unwrap_or(model.clamp(bounds.0, bounds.1));
        let text = |n: i32| Label::page(numbering, n).map_or(String::new(), |l| l.to_string());
        self.probability = posterior.at(page);
        self.page = Label::page(numbering, page).map(|l| self.with_insert(&l).to_string());
        if model != page && posterior.at(model) > self.probability {
            self.reckoned = Some(text(model));
        }
        let ends = posterior.narrowest(INTERVAL);
        let ends = (ends.0.min(page), ends.1.max(page));
        self.interval = (ends.0 < ends.1).then(|| (text(ends.0), text(ends.1)));
        self.state = State::Estimated;
        bounds.0.max(page)
    }

    /// Whether a reading whose title is surely this place's, in a list that is believed, gives the page the
    /// map gives.
    fn is_as_read(&self, lists: &Lists) -> bool {
        let given = self.page.as_deref();
        let agrees = |e: &&Evidence| e.label() == given && e.misplaced <= MOST_MISPLACED;
        let agreeing = || self.evidence.iter().filter(agrees);
        self.said.is_none() && agreeing().next().is_some() && lists.are_safe(agreeing())
    }

    /// The label with the letter of a laid-in sheet, where a reading of that page has one.
    fn with_insert(&self, label: &Label) -> Label {
        let read = self.evidence.iter().filter_map(|e| Label::parse(e.label()?));
        let same = |l: &Label| (l.numbering, l.number) == (label.numbering, label.number);
        read.into_iter().find(same).unwrap_or_else(|| label.clone())
    }
}
