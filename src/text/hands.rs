//! Lines of one photograph read by several threads: as many as the pool has that the photograph is read in.
//!
//! The pool's own threads cannot take part: while one waits for a network, which runs in a pool of its own, it would begin
//! the next line on top of the one it is at.

use crate::Result;

/// The work done on each item, in their order; the first error if one fails.
pub fn each<T: Sync, R: Send>(
    items: &[T],
    work: impl Fn(&T) -> Result<R> + Sync,
) -> Result<Vec<R>> {
    let hands = rayon::current_num_threads().min(items.len());
    if hands < 2 {
        return items.iter().map(work).collect();
    }
    // Long lines stand together, so every hand takes each so many-th.
    let share = |hand: usize| items.iter().skip(hand).step_by(hands).map(&work).collect::<Vec<_>>();
    let mut shares: Vec<_> = std::thread::scope(|scope| {
        let started: Vec<_> = (0..hands).map(|hand| scope.spawn(move || share(hand))).collect();
        started
            .into_iter()
            .map(|hand| {
                hand.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault)).into_iter()
            })
            .collect()
    });
    (0..items.len()).map_while(|i| shares.get_mut(i % hands)?.next()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::{Error, NetFault};

    #[test]
    fn results_keep_their_order_and_an_error_is_told() {
        let items: Vec<usize> = (0..23).collect();
        let fault = || Error::from(NetFault::Unreadable("test"));
        let pool = rayon::ThreadPoolBuilder::new().num_threads(4).build().expect("a pool");
        pool.install(|| {
            let double = each(&items, |i| Ok(2 * i)).expect("no error");
            assert_eq!(double, items.iter().map(|i| 2 * i).collect::<Vec<_>>());
            assert!(each(&items, |i| if *i == 17 { Err(fault()) } else { Ok(*i) }).is_err());
        });
    }
}
