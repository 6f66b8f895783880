//! The certificate: prices from which a reader sees, with additions only, that no laying costs less.
//!
//! # The certificate
//!
//! A price `λ` for each ribbon and a share `v_i` for each client prove `f(R) ≥ Σ_i v_i − k λ` for every
//! `R` of at most `k` ribbons, if
//!
//! ```text
//! v_i ≤ w_i a_i                                   for each client
//! Σ_i max(0, v_i − cost(i by r)) ≤ λ              for each place r of a ribbon
//! ```
//!
//! Each client pays at least `v_i` less what its own ribbon refunds it, and no ribbon refunds more than
//! `λ`. The second line need only be checked at the clients' openings: between neighbouring ones each
//! `cost(i by r)` is concave in `r` ([`super`]), so `v_i − cost` and its positive part are convex, and a
//! convex sum is greatest at an end. [`bound`] does that check; it trusts nothing of [`certify`].
//!
//! # Why the bound always reaches the optimum
//!
//! List the costs at which client `i` may be served, ascending: `b_i = c_0 < c_1 < … < w_i a_i`. The
//! places serving it for at most `c_t` form an interval `I_it` around its opening, since `walk` never
//! falls; missing all of them costs a further `δ_it = c_{t+1} − c_t`. So with `y_r = 1` where a ribbon lies
//!
//! ```text
//! min Σ_i b_i + Σ_it δ_it u_it    u_it + Σ_{r ∈ I_it} y_r ≥ 1,   Σ_r y_r ≤ k,   u, y ≥ 0
//! ```
//!
//! Each row has its ones for `y` in consecutive columns, hence an interval matrix, and the columns of `u`
//! are unit columns: the matrix is totally unimodular (Hoffman and Kruskal 1956; Schrijver, *Theory of
//! Linear and Integer Programming*, §19.4), so the relaxation has an integral optimum, and its value is
//! a convex function of the right-hand side `k`. Hence
//!
//! - the optimum falls convexly with `k`, and `λ` may be what one more ribbon would save;
//! - the dual, maximise `Σ b_i + Σ π_it − k λ` with `0 ≤ π_it ≤ δ_it` and at most `λ` of `π` over any
//!   place, reaches the optimum. For a given `λ` it asks for as much as possible of a family of
//!   intervals with at most `λ` of it over any point; sweeping from left to right and dropping what
//!   reaches furthest right whenever there is too much is optimal (Carlisle and Lloyd, "On the
//!   k-coloring of intervals", 1995; Faigle and Nawijn 1995).
//!
//! `v_i = b_i + Σ_t π_it` then satisfies both lines above: what `r` refunds client `i` is at most the `π`
//! of those of its intervals that contain `r`.

use super::{Client, Movement};
use std::collections::BinaryHeap;

/// Prices that bound the cost of every laying from below.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Certificate {
    /// `λ`: what a ribbon may refund in all.
    pub ribbon_price: u64,
    /// `v_i`: each client's share, in the clients' order.
    pub shares: Vec<u64>,
}

/// A certificate for the given price of a ribbon; the best one where the price is what one more ribbon
/// would save.
pub fn certify(clients: &[Client], movement: &Movement, ribbon_price: u64) -> Certificate {
    let mut places: Vec<i32> = clients.iter().map(|c| c.opening).collect();
    places.sort_unstable();
    places.dedup();
    let mut intervals = intervals(clients, movement, &places);
    intervals.sort_unstable_by_key(|v| v.from);
    let mut shares: Vec<u64> = clients.iter().map(|c| movement.reach(c, c.opening)).collect();
    pack(&mut intervals, places.len(), ribbon_price);
    for interval in &intervals {
        shares[interval.client] += interval.amount;
    }
    Certificate { ribbon_price, shares }
}

/// The cost that no laying of at most `ribbons` ribbons undercuts, or `None` if the certificate does not
/// hold for these clients.
pub fn bound(
    clients: &[Client],
    movement: &Movement,
    ribbons: usize,
    certificate: &Certificate,
) -> Option<u64> {
    let shares = &certificate.shares;
    let pays_no_more = |(c, &v): (&Client, &u64)| v <= c.unaided();
    let refund = |place: i32| -> u64 {
        let one = |(c, &v): (&Client, &u64)| v.saturating_sub(movement.reach(c, place));
        clients.iter().zip(shares).map(one).sum()
    };
    let holds = shares.len() == clients.len()
        && clients.iter().zip(shares).all(pays_no_more)
        && clients.iter().all(|c| refund(c.opening) <= certificate.ribbon_price);
    let prices = certificate.ribbon_price.checked_mul(u64::try_from(ribbons).ok()?)?;
    holds.then(|| shares.iter().sum::<u64>().saturating_sub(prices))
}

/// `I_it` with its `π_it`, which begins as `δ_it`; `from` and `to` are indices of places, both inside.
struct Interval {
    client: usize,
    from: usize,
    to: usize,
    amount: u64,
}

/// The intervals of all clients among `places`, ascending, which hold every client's opening.
fn intervals(clients: &[Client], movement: &Movement, places: &[i32]) -> Vec<Interval> {
    let mut intervals = vec![];
    for (i, client) in clients.iter().enumerate() {
        push_intervals(i, client, movement, places, &mut intervals);
    }
    intervals
}

/// Grows an interval of places around the client's own, from each cost to the next.
fn push_intervals(
    index: usize,
    client: &Client,
    movement: &Movement,
    places: &[i32],
    intervals: &mut Vec<Interval>,
) {
    let own = places.partition_point(|&p| p < client.opening);
    let (mut from, mut to) = (own, own);
    let mut cost = movement.reach(client, client.opening);
    while cost < client.unaided() {
        let beyond = |at: Option<usize>| {
            at.and_then(|a| places.get(a)).map_or(client.unaided(), |&p| movement.reach(client, p))
        };
        let (left, right) = (beyond(from.checked_sub(1)), beyond(Some(to + 1)));
        let next = left.min(right);
        if next > cost {
            intervals.push(Interval { client: index, from, to, amount: next - cost });
            cost = next;
        }
        if left == next && from > 0 {
            from -= 1;
        }
        if right == next && to + 1 < places.len() {
            to += 1;
        }
    }
}

/// Lessens the amounts so that no place lies under more than `capacity`, keeping as much as possible.
/// `intervals` are sorted by `from`.
fn pack(intervals: &mut [Interval], places: usize, capacity: u64) {
    let mut furthest: BinaryHeap<(usize, usize)> = BinaryHeap::new();
    let mut ending = vec![0; places];
    let (mut above, mut next) = (0, 0);
    for place in 0..places {
        while let Some(interval) = intervals.get(next).filter(|v| v.from == place) {
            furthest.push((interval.to, next));
            ending[interval.to] += interval.amount;
            above += interval.amount;
            next += 1;
        }
        while above > capacity
            && let Some(&(to, longest)) = furthest.peek()
        {
            let cut = intervals[longest].amount.min(above - capacity);
            intervals[longest].amount -= cut;
            ending[to] -= cut;
            above -= cut;
            if intervals[longest].amount == 0 {
                furthest.pop();
            }
        }
        above -= ending[place];
    }
}
