//! Photographs spread over the cores, so many at once as the memory bears.

use rayon::ThreadPoolBuilder;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What one core in work takes, in bytes: the networks at work and Tesseract with its English data (measured: 160 MB
/// with a photograph of 8 megapixels).
const EACH_CORE: u64 = 160_000_000;
/// What a photograph in work takes for each of its pixels, in bytes: twice three while it is turned upright, and room.
const EACH_PIXEL: u64 = 8;
/// A picture whose size shows only when it is drawn: a PDF's page, a HEIC picture. 12 megapixels.
pub const USUAL_PIXELS: u64 = 12_000_000;

/// Does `work` on each of `tasks`, on several at once, as long as `go_on` says so; of those not begun by then
/// the result is missing. `pixels` is the size of the largest photograph.
///
/// Each task has threads of its own for what it divides further: with all tasks in one pool, a thread that
/// waits for a part of its photograph would begin another photograph, and so on, until memory ends.
pub fn spread<T: Sync, R: Send>(
    tasks: &[T],
    pixels: u64,
    go_on: impl Fn() -> bool + Sync,
    work: impl Fn(&T) -> R + Sync,
) -> Vec<Option<R>> {
    let cores = rayon::current_num_threads();
    let at_once = at_once(cores.min(tasks.len()), pixels, free_memory());
    let results: Vec<Mutex<Option<R>>> = tasks.iter().map(|_| Mutex::new(None)).collect();
    let next = AtomicUsize::new(0);
    let one_after_another = || {
        while go_on() {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let (Some(task), Some(result)) = (tasks.get(at), results.get(at)) else { break };
            let done = work(task);
            *result.lock().unwrap_or_else(|broken| broken.into_inner()) = Some(done);
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..at_once {
            scope.spawn(|| {
                // Where the system gives no more threads, the work is done on this one and the common pool's.
                match ThreadPoolBuilder::new().num_threads((cores / at_once).max(1)).build() {
                    Ok(own) => own.install(one_after_another),
                    Err(_) => one_after_another(),
                }
            });
        }
    });
    results.into_iter().map(|r| r.into_inner().unwrap_or_else(|b| b.into_inner())).collect()
}

/// How many photographs of so many pixels to have in work, by the cores and half of the `free` memory: the other
/// half is for whoever else works here.
fn at_once(cores: usize, pixels: u64, free: Option<u64>) -> usize {
    let each = EACH_CORE + EACH_PIXEL * pixels;
    let fit =
        free.map_or(usize::MAX, |free| usize::try_from(free / 2 / each).unwrap_or(usize::MAX));
    fit.min(cores).max(1)
}

/// The memory that is free for this process, in bytes; none where the system does not say, as other systems than
/// Linux. A container's limit counts where it is less (cgroup v2, memory.max).
fn free_memory() -> Option<u64> {
    let read = |file: &str| std::fs::read_to_string(file).ok();
    let about = read("/proc/meminfo")?;
    let line = about.lines().find_map(|l| l.strip_prefix("MemAvailable:"))?;
    let free = line.trim().strip_suffix(" kB")?.trim().parse::<u64>().ok()? * 1024;
    let group = read("/proc/self/cgroup");
    let group = group.as_deref().and_then(|g| g.lines().find_map(|l| l.strip_prefix("0::")));
    let limit = read(&format!("/sys/fs/cgroup{}/memory.max", group.unwrap_or("")))
        .and_then(|limit| limit.trim().parse().ok());
    Some(limit.map_or(free, |limit: u64| limit.min(free)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn photographs_in_work_are_bounded_by_cores_and_by_memory() {
        let cases = [
            ("plenty of both", 8, 12_000_000, Some(64_000_000_000), 8),
            ("a small computer", 4, 12_000_000, Some(1_000_000_000), 1),
            ("a large telephone's pictures", 8, 50_000_000, Some(4_000_000_000), 3),
            ("no memory to speak of", 4, 12_000_000, Some(1), 1),
            ("a system that does not say", 4, 12_000_000, None, 4),
            ("nothing to do", 0, 12_000_000, None, 1),
        ];
        for (case, cores, pixels, free, expected) in cases {
            assert_eq!(at_once(cores, pixels, free), expected, "{case}");
        }
    }

    #[test]
    fn never_more_at_once_than_cores_though_each_divides_its_work() {
        use rayon::prelude::*;
        let (now, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let tasks: Vec<usize> = (0..40).collect();
        let done = spread(
            &tasks,
            1,
            || true,
            |task| {
                most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                // Parts that make the threads wait for each other.
                (0..4).into_par_iter().for_each(|_| std::thread::sleep(Duration::from_millis(1)));
                now.fetch_sub(1, Ordering::SeqCst);
                *task
            },
        );
        assert_eq!(done.into_iter().flatten().collect::<Vec<_>>(), tasks);
        assert!(most.into_inner() <= rayon::current_num_threads());
    }

    #[test]
    fn what_is_not_begun_when_the_work_is_stopped_is_missing() {
        let begun = AtomicUsize::new(0);
        let tasks = [(); 100];
        let done = spread(
            &tasks,
            1,
            || begun.load(Ordering::SeqCst) < 3,
            |()| {
                begun.fetch_add(1, Ordering::SeqCst);
            },
        );
        let finished = done.iter().flatten().count();
        assert!(finished >= 3 && finished < 3 + rayon::current_num_threads(), "{finished}");
    }
}
