//! What the model of the page sees of each segment: where it stands, how large it is, what it looks like. Never the
//! words themselves: a list in a language nobody trained on has the same shape.
//!
//! Lengths are in units: the median height of a line's band on the page. The origin is the middle of the print.

use crate::geom::median;
use crate::text::kind::{self, Hint, Kind};
use crate::text::segment::Segment;

/// Numbers for one segment, in the order of [`NAMES`].
pub type Features = [f32; NAMES.len()];

/// What each number is. The first eight place the segment, the last three say where its leader ends; the network makes
/// pairs of these.
pub const NAMES: [&str; 49] = [
    "left x",
    "left y",
    "right x",
    "right y",
    "slope",
    "line",
    "value",
    "has a value", // places
    "across the print",
    "end across the print",
    "down the print",
    "width",
    "height",
    "characters",
    "figures",
    "capitals",
    "small letters",
    "marks",
    "arabic",
    "roman small",
    "roman capital",
    "leader",
    "day of a month",
    "range",
    "length of value",
    "month",
    "weekday",
    "page mark",
    "see",
    "rank",
    "ends in comma",
    "ends in semicolon",
    "ends in stop",
    "ends in colon",
    "ends in dash",
    "opens a bracket",
    "closes a bracket",
    "begins with a capital",
    "begins with a small letter",
    "one character",
    "begins its line",
    "ends its line",
    "sure",
    "red",
    "to the left frame",
    "to the right frame",
    "leads",
    "led x",
    "led y", // where the leader behind it ends
];

/// The picture's edges in the level frame, in pixels: left and right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Leftmost place.
    pub left: f32,
    /// Rightmost place.
    pub right: f32,
}

/// The unit of a page, in pixels: the median height of its segments' bands.
pub fn unit(segments: &[Segment]) -> f32 {
    let long = segments.iter().filter(|s| s.text.chars().count() > 2).map(|s| s.height);
    let all = || segments.iter().map(|s| s.height);
    median(long).or_else(|| median(all())).unwrap_or(1.0).max(1.0)
}

/// The features of all segments of a page.
pub fn features(segments: &[Segment], frame: Frame) -> Vec<Features> {
    let unit = unit(segments);
    let extent = Extent::of(segments);
    let ends = |i: usize, next: bool| {
        let other =
            if next { segments.get(i + 1) } else { i.checked_sub(1).and_then(|i| segments.get(i)) };
        other.is_none_or(|o| segments.get(i).is_none_or(|s| o.line != s.line))
    };
    let one = |(i, segment)| one(segment, unit, &extent, frame, (ends(i, false), ends(i, true)));
    segments.iter().enumerate().map(one).collect()
}

/// Where the print lies, in pixels of the level frame.
struct Extent {
    left: f32,
    right: f32,
    top: f32,
    bottom: f32,
}

impl Extent {
    fn of(segments: &[Segment]) -> Extent {
        let range = |values: Vec<f32>| {
            let (low, high) =
                values.iter().fold((f32::MAX, f32::MIN), |r, v| (r.0.min(*v), r.1.max(*v)));
            if low <= high { (low, high.max(low + 1.0)) } else { (0.0, 1.0) }
        };
        let (left, right) = range(segments.iter().flat_map(|s| [s.left.x, s.right.x]).collect());
        let (top, bottom) = range(segments.iter().flat_map(|s| [s.left.y, s.right.y]).collect());
        Extent { left, right, top, bottom }
    }
}

fn one(s: &Segment, unit: f32, extent: &Extent, frame: Frame, ends: (bool, bool)) -> Features {
    let flag = |yes: bool| if yes { 1.0 } else { 0.0 };
    let core = s.text.trim_matches(|c: char| !c.is_alphanumeric());
    let (middle_x, middle_y) =
        ((extent.left + extent.right) / 2.0, (extent.top + extent.bottom) / 2.0);
    let number = Number::of(s.kind, core);
    let count = s.text.chars().count().max(1) as f32;
    let share = |test: fn(char) -> bool| s.text.chars().filter(|c| test(*c)).count() as f32 / count;
    let hints = kind::hints(&s.text);
    let hint = |wanted: Hint| flag(hints.contains(&wanted));
    let slope = (s.right.y - s.left.y) / (s.right.x - s.left.x).max(0.5 * unit);
    let over = |x: f32| (x - extent.left) / (extent.right - extent.left);
    let roman = s.kind == Kind::Roman;
    let near = |gap: f32| (gap / unit).clamp(-1.0, 4.0) / 4.0;
    let led = s.leads.unwrap_or(s.right);
    [
        (s.left.x - middle_x) / unit,
        (s.left.y - middle_y) / unit,
        (s.right.x - middle_x) / unit,
        (s.right.y - middle_y) / unit,
        slope.clamp(-1.0, 1.0),
        s.line as f32,
        number.value.unwrap_or(0) as f32,
        flag(number.value.is_some()),
        over(s.left.x),
        over(s.right.x),
        (s.left.y - extent.top) / (extent.bottom - extent.top),
        ((s.right.x - s.left.x).max(0.0) / unit).ln_1p(),
        (s.height / unit).max(0.1).ln(),
        count.ln_1p(),
        share(|c| c.is_ascii_digit()),
        share(char::is_uppercase),
        share(char::is_lowercase),
        share(|c| !c.is_alphanumeric()),
        flag(s.kind == Kind::Arabic),
        flag(roman && core.starts_with(char::is_lowercase)),
        flag(roman && core.starts_with(char::is_uppercase)),
        flag(s.kind == Kind::Leader),
        flag(number.value.is_some_and(|v| (1..=31).contains(&v)) && !number.range),
        flag(number.range),
        (number.value.unwrap_or(0) as f32).ln_1p() / 8.0,
        hint(Hint::Month),
        hint(Hint::Weekday),
        hint(Hint::PageMark),
        hint(Hint::See),
        hint(Hint::Rank),
        flag(s.text.ends_with(',')),
        flag(s.text.ends_with(';')),
        flag(s.text.ends_with('.')),
        flag(s.text.ends_with(':')),
        flag(s.text.ends_with(kind::DASHES)),
        flag(s.text.starts_with(['(', '['])),
        flag(s.text.contains([')', ']'])),
        flag(s.text.starts_with(char::is_uppercase)),
        flag(s.text.starts_with(char::is_lowercase)),
        flag(count < 1.5),
        flag(ends.0),
        flag(ends.1),
        s.sure,
        s.red,
        near(s.left.x - frame.left),
        near(frame.right - s.right.x),
        flag(s.leads.is_some()),
        (led.x - middle_x) / unit,
        (led.y - middle_y) / unit,
    ]
}

/// The first number of a segment.
struct Number {
    value: Option<u32>,
    range: bool,
}

impl Number {
    fn of(kind: Kind, core: &str) -> Number {
        match kind {
            Kind::Roman => {
                Number { value: kind::roman_in(core).and_then(|r| kind::roman(&r)), range: false }
            }
            Kind::Arabic => {
                let plain: String = kind::without_follows(core)
                    .chars()
                    .map(|c| kind::TAKEN_FOR.iter().find(|t| t.0 == c).map_or(c, |t| t.1))
                    .collect();
                let figures: String =
                    plain.chars().take_while(char::is_ascii_digit).take(6).collect();
                Number { value: figures.parse().ok(), range: plain.contains(kind::DASHES) }
            }
            _ => Number { value: None, range: false },
        }
    }
}
