//! One's own costs from a clock: a few pages turned, and what a leaf, a bundle, a ribbon, a search take.
//!
//! Each thing is timed several times. Medians are taken, and the line through the bundles is Theil and
//! Sen's (H. Theil 1950; P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau",
//! 1968), so that one fumble in three does no harm. What starting and stopping the clock takes is timed
//! too and taken off.

use super::costs::Costs;
use crate::Result;
use crate::error::RibbonFault;

/// What the hand does while the clock runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Task {
    /// Nothing: the clock is started and stopped.
    Nothing,
    /// Turn so many leaves one by one.
    Leaves(u32),
    /// Come to a page so many leaves on by taking them at once.
    Bundle(u32),
    /// Open the closed book at a ribbon.
    Ribbon,
    /// Find a page by its number in the closed book.
    Search,
}

/// How long it took, in thousandths of a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Trial {
    /// What was done.
    pub task: Task,
    /// From start to stop.
    pub millis: u32,
}

/// What is timed, in order.
pub const TASKS: &[Task] = &[
    Task::Nothing,
    Task::Nothing,
    Task::Nothing,
    Task::Leaves(5),
    Task::Leaves(5),
    Task::Leaves(10),
    Task::Bundle(10),
    Task::Bundle(20),
    Task::Bundle(40),
    Task::Bundle(10),
    Task::Bundle(40),
    Task::Ribbon,
    Task::Ribbon,
    Task::Ribbon,
    Task::Search,
    Task::Search,
    Task::Search,
];

/// The costs that the trials show, in hundredths of one leaf; what is not timed is kept from `usual`, the
/// tab in its ratio to the ribbon. Refused where a task was not timed, a leaf took no time, or a search was
/// no slower than a ribbon.
///
/// ```
/// use vitta::ribbon::calibrate::{Task, Trial, fit};
/// use vitta::ribbon::costs::Costs;
/// // 300 ms for the clock itself; 1.2 s a leaf, 4 s and 0.2 s a leaf in a bundle, 2 s a ribbon, 15 s a search.
/// let trial = |(task, millis): &(Task, u32)| Trial { task: *task, millis: 300 + millis };
/// let trials: Vec<Trial> = [
///     (Task::Nothing, 0), (Task::Leaves(5), 6_000), (Task::Bundle(10), 6_000),
///     (Task::Bundle(40), 12_000), (Task::Ribbon, 2_000), (Task::Search, 15_000),
/// ].iter().map(trial).collect();
/// let costs = fit(&trials, &Costs::default())?;
/// assert_eq!((costs.leaf, costs.bundle, costs.leaf_in_bundle), (100, 333, 17));
/// assert_eq!((costs.pull, costs.search), (167, 1250));
/// # Ok::<(), vitta::Error>(())
/// ```
pub fn fit(trials: &[Trial], usual: &Costs) -> Result<Costs> {
    let clock = median(times(trials, |t| (t == Task::Nothing).then_some(1.0))).unwrap_or(0.0);
    let each = |of: fn(Task) -> Option<f64>, what| {
        let own = trials.iter().filter_map(|t| Some((f64::from(t.millis) - clock) / of(t.task)?));
        median(own.collect()).filter(|&m| m > 0.0).ok_or(RibbonFault::NotTimed { what })
    };
    let leaf = each(
        |t| match t {
            Task::Leaves(n) => Some(f64::from(n)),
            _ => None,
        },
        "turning leaves",
    )?;
    let pull = each(|t| (t == Task::Ribbon).then_some(1.0), "opening at a ribbon")?;
    let search = each(|t| (t == Task::Search).then_some(1.0), "finding a page")?;
    let (bundle, leaf_in_bundle) =
        line(trials, clock).ok_or(RibbonFault::NotTimed { what: "taking a bundle" })?;
    if search <= pull {
        return Err(RibbonFault::SearchIsFaster.into());
    }
    let cost = |millis: f64| (100.0 * millis / leaf).round().clamp(0.0, 100_000.0) as u32;
    let pull_cost = cost(pull);
    Ok(Costs {
        leaf: 100,
        bundle: cost(bundle),
        leaf_in_bundle: cost(leaf_in_bundle),
        search: cost(search),
        pull: pull_cost,
        tab: u32::try_from(
            u64::from(usual.tab) * u64::from(pull_cost) / u64::from(usual.pull.max(1)),
        )
        .unwrap_or(usual.tab),
        ..usual.clone()
    })
}

/// Times of the tasks that `of` picks, each divided by what it gives.
fn times(trials: &[Trial], of: impl Fn(Task) -> Option<f64>) -> Vec<f64> {
    trials.iter().filter_map(|t| Some(f64::from(t.millis) / of(t.task)?)).collect()
}

/// Where the bundles' line begins and how it rises for each leaf; never negative.
fn line(trials: &[Trial], clock: f64) -> Option<(f64, f64)> {
    let bundle = |t: &Trial| match t.task {
        Task::Bundle(n) => Some((f64::from(n), f64::from(t.millis) - clock)),
        _ => None,
    };
    let points: Vec<(f64, f64)> = trials.iter().filter_map(bundle).collect();
    let mut slopes = vec![];
    for (i, a) in points.iter().enumerate() {
        let others = points[i + 1..].iter().filter(|b| b.0 != a.0);
        slopes.extend(others.map(|b| (b.1 - a.1) / (b.0 - a.0)));
    }
    let slope = median(slopes)?.max(0.0);
    let start = median(points.iter().map(|(n, time)| time - slope * n).collect())?;
    Some((start.max(0.0), slope))
}

/// The middle value, or the mean of the two; none of nothing.
fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    match values.len() % 2 {
        1 => values.get(middle).copied(),
        _ => Some((values.get(middle.checked_sub(1)?)? + values.get(middle)?) / 2.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A hand with these times, in milliseconds, the clock's own included.
    fn timed(leaf: u32, bundle: u32, in_bundle: u32, ribbon: u32, search: u32) -> Vec<Trial> {
        let millis = |task: &Task| match *task {
            Task::Nothing => 0,
            Task::Leaves(n) => n * leaf,
            Task::Bundle(n) => bundle + n * in_bundle,
            Task::Ribbon => ribbon,
            Task::Search => search,
        };
        TASKS.iter().map(|t| Trial { task: *t, millis: 400 + millis(t) }).collect()
    }

    #[test]
    fn the_times_given_come_back() {
        for (times, expected) in [
            ((1000, 3000, 200, 1500, 10_000), (300, 20, 150, 1000)),
            ((500, 3000, 200, 1500, 10_000), (600, 40, 300, 2000)),
            ((2000, 1000, 0, 1000, 30_000), (50, 0, 50, 1500)),
        ] {
            let (leaf, bundle, in_bundle, ribbon, search) = times;
            let costs = fit(&timed(leaf, bundle, in_bundle, ribbon, search), &Costs::default());
            let c = costs.unwrap();
            assert_eq!((c.bundle, c.leaf_in_bundle, c.pull, c.search), expected, "{times:?}");
            assert_eq!((c.leaf, c.relay, c.other_text), (100, 100, 50));
        }
    }

    #[test]
    fn one_fumble_of_each_kind_changes_nothing() {
        let mut trials = timed(1000, 3000, 200, 1500, 10_000);
        let good = fit(&trials, &Costs::default()).unwrap();
        for fumbled in [0, 3, 12, 15] {
            trials[fumbled].millis += 60_000;
        }
        assert_eq!(fit(&trials, &Costs::default()).unwrap(), good);
        // Among five bundles one fumble moves the line a little.
        trials[8].millis += 2_000;
        let costs = fit(&trials, &Costs::default()).unwrap();
        assert!(costs.bundle.abs_diff(good.bundle) <= 70, "{costs:?}");
        assert!(costs.leaf_in_bundle.abs_diff(good.leaf_in_bundle) <= 5, "{costs:?}");
    }

    #[test]
    fn times_that_cannot_be_are_refused() {
        let no_time: Vec<Trial> = TASKS.iter().map(|t| Trial { task: *t, millis: 3 }).collect();
        let missing: Vec<Trial> = timed(1000, 3000, 200, 1500, 10_000)
            .into_iter()
            .filter(|t| t.task != Task::Ribbon)
            .collect();
        for (trials, sentence) in [
            (vec![], "turning leaves"),
            (no_time, "turning leaves"),
            (missing, "opening at a ribbon"),
            (timed(1000, 3000, 200, 9000, 8000), "a search"),
        ] {
            let said = fit(&trials, &Costs::default()).unwrap_err().to_string();
            assert!(said.contains(sentence), "{said}");
        }
    }
}
