//! Scores a reading against what is printed: an entry is right if its page is exact and its title lies within a
//! tenth of edit distance, both folded (case, spaces, accents kept, long s, dashes, a leading entry number).

use rapidfuzz::distance::levenshtein;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use vitta::text::Row;

/// A printed entry.
#[derive(Debug, Clone, serde::Deserialize)]
pub struct Printed {
    pub title: String,
    pub page: Option<String>,
    /// Where it stands, where the generator says so.
    #[serde(default)]
    pub boxes: Option<Boxes>,
}

/// Four corners in pixels of the photograph, from the upper left one on in the sense of the clock, as the print stands.
pub type Quad = [[f32; 2]; 4];

/// Where an entry stands: a box for each line or part.
#[derive(Debug, Clone, serde::Deserialize)]
pub struct Boxes {
    #[serde(default)]
    pub title: Vec<Quad>,
    #[serde(default)]
    pub label: Vec<Quad>,
}

/// What is printed on one photograph.
#[derive(Debug, Clone, serde::Deserialize)]
pub struct Truth {
    #[serde(default)]
    pub rows: Vec<Printed>,
    #[serde(default)]
    pub reject: bool,
    #[serde(default)]
    pub grade: Option<String>,
    /// Kind of list: "contents", "months".
    #[serde(default)]
    pub kind: Option<String>,
    /// Language of the titles: "es".
    #[serde(default)]
    pub language: Option<String>,
}

/// Counts over rows with a page.
#[derive(Debug, Clone, Copy, Default)]
pub struct Score {
    /// Printed entries with a page.
    pub printed: usize,
    /// Rows with a page.
    pub read: usize,
    /// Of them right.
    pub right: usize,
    /// Printed entries found: right, or in doubt under their title.
    pub found: usize,
    /// Rows not in doubt.
    pub accepted: usize,
    /// Of them with the page of another entry or none.
    pub silent: usize,
    /// Of them with a title that is printed nowhere.
    pub stray: usize,
    /// Printed entries whose title and page were both read, be it in different rows.
    pub both: usize,
    /// Of them read in one row.
    pub paired: usize,
}

impl Score {
    pub fn add(&mut self, other: Score) {
        self.printed += other.printed;
        self.read += other.read;
        self.right += other.right;
        self.found += other.found;
        self.accepted += other.accepted;
        self.silent += other.silent;
        self.stray += other.stray;
        self.both += other.both;
        self.paired += other.paired;
    }

    pub fn precision(&self) -> f64 {
        share(self.right, self.read)
    }

    pub fn recall(&self) -> f64 {
        share(self.right, self.printed)
    }

    pub fn f1(&self) -> f64 {
        let (p, r) = (self.precision(), self.recall());
        if p + r > 0.0 { 2.0 * p * r / (p + r) } else { 0.0 }
    }

    pub fn silent_rate(&self) -> f64 {
        share(self.silent, self.accepted)
    }

    pub fn doubt_rate(&self) -> f64 {
        share(self.read - self.accepted, self.read)
    }
}

pub fn share(part: usize, whole: usize) -> f64 {
    if whole == 0 { 0.0 } else { part as f64 / whole as f64 }
}

/// Folds a title for comparison.
pub fn fold_title(title: &str) -> String {
    let lower: String =
        title.to_lowercase().replace('ſ', "s").replace(['’', '‘'], "'").replace(['—', '–'], "-");
    let body = lower.trim_start_matches(|c: char| !c.is_alphanumeric());
    let body = without_ordinal(body);
    body.trim_matches(|c: char| !c.is_alphanumeric() && !"()&".contains(c))
        .split_whitespace()
        .collect()
}

/// "12. Title" and "12 Title" lose their number.
fn without_ordinal(text: &str) -> &str {
    let figures = text.trim_start_matches(|c: char| c.is_ascii_digit());
    if figures.len() == text.len() {
        return text;
    }
    let rest = figures.trim_start();
    let rest = rest.strip_prefix("bis").map_or(rest, str::trim_start);
    let closed = rest.trim_start_matches(['.', ',', ')', ']']);
    if closed.len() < rest.len() || rest.len() < figures.len() { closed.trim_start() } else { text }
}

/// Folds a page label for comparison.
pub fn fold_page(page: &str) -> String {
    let page = page.to_lowercase().replace(['—', '–'], "-").replace(' ', "");
    page.split(|c: char| !c.is_alphanumeric() && c != '-')
        .filter(|p| !p.is_empty())
        .collect::<Vec<_>>()
        .join(",")
}

fn apart(a: &str, b: &str) -> f64 {
    let longest = a.chars().count().max(b.chars().count()).max(1);
    levenshtein::distance(a.chars(), b.chars()) as f64 / longest as f64
}

/// The nearest title for silent errors may be garbled this far.
const SAME_ENTRY: f64 = 0.35;

/// A row that names a page, beside the printed entry it is meant for.
#[derive(Debug, Clone, Copy)]
pub struct Judged {
    /// What the reading itself thinks of it.
    pub probability: f64,
    pub doubt: bool,
    /// Distance of its title from the entry's, 0–1, and whether the page is another; none where no printed
    /// title is near.
    pub partner: Option<(f64, bool)>,
}

impl Judged {
    fn titled(&self) -> bool {
        self.partner.is_some_and(|(far, _)| far <= 0.1)
    }

    pub fn wrong_page(&self) -> bool {
        matches!(self.partner, Some((_, true)))
    }

    fn right(&self) -> bool {
        self.titled() && !self.wrong_page()
    }
}

/// Finds for each row that names a page the printed entry it is meant for.
pub fn judge(rows: &[Row], truth: &[Printed]) -> Vec<Judged> {
    let printed: Vec<(String, String)> = truth
        .iter()
        .filter_map(|t| Some((fold_title(&t.title), fold_page(t.page.as_deref()?))))
        .collect();
    let read: Vec<(String, String, &Row)> = rows
        .iter()
        .filter_map(|r| Some((fold_title(&r.title), fold_page(r.page.as_deref()?), r)))
        .collect();
    let mut pairs: Vec<(f64, bool, usize, usize)> = Vec::new();
    for (i, row) in read.iter().enumerate() {
        for (j, entry) in printed.iter().enumerate() {
            pairs.push((apart(&row.0, &entry.0), row.1 != entry.1, i, j));
        }
    }
    // The same page counts for more than a slightly nearer title.
    pairs.sort_by(|a, b| {
        (a.0 + 0.15 * f64::from(u8::from(a.1))).total_cmp(&(b.0 + 0.15 * f64::from(u8::from(b.1))))
    });
    let mut partner = vec![None; read.len()];
    let mut taken = vec![false; printed.len()];
    for (far, wrong, i, j) in pairs {
        if far <= SAME_ENTRY && partner[i].is_none() && !taken[j] {
            partner[i] = Some((far, wrong));
            taken[j] = true;
        }
    }
    let judged = |((_, _, row), partner): (&(_, _, &Row), _)| Judged {
        probability: row.probability,
        doubt: row.doubt,
        partner,
    };
    read.iter().zip(partner).map(judged).collect()
}

/// Of the printed entries with a page those whose title and page were both read, and of these those in one row. A
/// page that was read counts for one entry only.
fn pairing(rows: &[Row], truth: &[Printed]) -> (usize, usize) {
    let page = |r: &Row| r.page.as_deref().map(fold_page);
    let read: Vec<(String, Option<String>)> =
        rows.iter().map(|r| (fold_title(&r.title), page(r))).collect();
    let mut left: Vec<String> = read.iter().filter_map(|r| r.1.clone()).collect();
    let mut take = |page: &String| {
        left.iter().position(|p| p == page).map(|at| left.swap_remove(at)).is_some()
    };
    let printed: Vec<(String, String)> = truth
        .iter()
        .filter_map(|t| Some((fold_title(&t.title), fold_page(t.page.as_deref()?))))
        .collect();
    let mut pairs: Vec<(bool, f64, usize, usize)> = Vec::new();
    for (j, entry) in printed.iter().enumerate() {
        let near = |(i, r): (usize, &(String, Option<String>))| {
            let far = apart(&r.0, &entry.0);
            (far <= 0.1).then_some((r.1.as_ref() != Some(&entry.1), far, i, j))
        };
        pairs.extend(read.iter().enumerate().filter_map(near));
    }
    pairs.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let (mut both, mut paired) = (0, 0);
    let (mut row_taken, mut entry_taken) = (vec![false; read.len()], vec![false; printed.len()]);
    for (apart, _, i, j) in pairs {
        if row_taken[i] || entry_taken[j] {
            continue;
        }
        (row_taken[i], entry_taken[j]) = (true, true);
        if take(&printed[j].1) {
            both += 1;
            paired += usize::from(!apart);
        }
    }
    (both, paired)
}

/// Does `work` on each of `tasks`, on as many threads at once. They are threads of their own and not of a pool: the
/// networks have their own pools, and a pool's thread that waits for another pool begins the next task of its own.
pub fn on_threads<T: Sync, R: Send>(
    tasks: &[T],
    threads: usize,
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let results: Vec<Mutex<Option<R>>> = tasks.iter().map(|_| Mutex::new(None)).collect();
    let next = AtomicUsize::new(0);
    let one_after_another = || {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(task) = tasks.get(at) else { break };
            *results[at].lock().unwrap() = Some(work(task));
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(one_after_another);
        }
    });
    results.into_iter().map(|r| r.into_inner().unwrap().unwrap()).collect()
}

/// Compares the rows that name a page.
pub fn score(rows: &[Row], truth: &[Printed]) -> Score {
    let judged = judge(rows, truth);
    let (both, paired) = pairing(rows, truth);
    let count = |f: &dyn Fn(&Judged) -> bool| judged.iter().filter(|j| f(j)).count();
    Score {
        printed: truth.iter().filter(|t| t.page.is_some()).count(),
        read: judged.len(),
        right: count(&Judged::right),
        found: count(&|j| j.right() || j.doubt && j.titled()),
        accepted: count(&|j| !j.doubt),
        silent: count(&|j| !j.doubt && j.wrong_page()),
        stray: count(&|j| !j.doubt && j.partner.is_none()),
        both,
        paired,
    }
}

/// A photograph with its truth.
pub struct Case {
    pub name: String,
    pub photo: PathBuf,
    pub truth: Truth,
}

/// Photographs of real books with their truth, where `VITTA_REAL` names their folder.
pub fn real() -> Option<Vec<Case>> {
    let folder = PathBuf::from(std::env::var_os("VITTA_REAL")?);
    folder.is_dir().then(|| cases(&folder, ".gt.json"))
}

/// Photographs made by the generator in `folder`.
pub fn made(folder: &Path) -> Vec<Case> {
    cases(folder, ".rows.json")
}

/// Photographs kept with the project.
pub fn fixtures() -> Vec<Case> {
    let photos = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/photos");
    let folders =
        std::fs::read_dir(&photos).map(|d| d.flatten().map(|e| e.path()).collect::<Vec<_>>());
    let mut all = cases(&photos, ".rows.json");
    for folder in folders.unwrap_or_default() {
        all.extend(cases(&folder, ".rows.json"));
        if let Some(case) = case(&folder.join("photo.jpg"), &folder.join("rows.json")) {
            let name = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
            all.push(Case { name, ..case });
        }
    }
    all.sort_by(|a, b| a.name.cmp(&b.name));
    all
}

fn cases(folder: &Path, ending: &str) -> Vec<Case> {
    let files =
        std::fs::read_dir(folder).map(|d| d.flatten().map(|e| e.path()).collect::<Vec<_>>());
    let truth_of = |photo: &PathBuf| {
        let stem = photo.file_stem()?.to_string_lossy().into_owned();
        case(photo, &photo.with_file_name(format!("{stem}{ending}")))
    };
    let picture = |p: &PathBuf| p.extension().is_some_and(|e| e == "jpg" || e == "png");
    let mut all: Vec<Case> =
        files.unwrap_or_default().iter().filter(|p| picture(p)).filter_map(truth_of).collect();
    all.sort_by(|a, b| a.name.cmp(&b.name));
    all
}

fn case(photo: &Path, truth: &Path) -> Option<Case> {
    let truth = serde_json::from_str(&std::fs::read_to_string(truth).ok()?).ok()?;
    let name = photo.file_stem()?.to_string_lossy().into_owned();
    photo.is_file().then(|| Case { name, photo: photo.to_owned(), truth })
}
