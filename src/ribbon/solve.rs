//! The exact optimum of one service and one book: where `k` ribbons go. Integers only.
//!
//! # The problem
//!
//! The texts of a service are *clients*. Client `i` is read at opening `o_i`; its weight `w_i` says how
//! bad a search is at that moment; `a_i` is what it costs to reach it without any ribbon (leafing on
//! from the text before, or by a tab). With ribbons at the openings `R` the service costs
//!
//! ```text
//! f(R) = Σ_i w_i · min( a_i, pull + min_{r ∈ R} walk(|r − o_i|) )
//! ```
//!
//! where `walk` is nondecreasing and concave: a leaf further never costs less, and the tenth leaf of a
//! bundle costs no more than the first. `a_i` does not depend on `R`, because a text is read at the same
//! opening whichever way the hand came to it. Wanted: the least `f(R)` with at most `k` ribbons.
//!
//! # Ribbons lie at texts
//!
//! *Some optimum has every ribbon at the opening of a client.* Move one ribbon from `p` to `q`,
//! neighbouring client openings, the others at rest. No client lies strictly between, so `|r − o_i|` is
//! affine in `r` there and `walk` of it concave; a minimum of concave functions and constants is
//! concave, and so is a sum with weights ≥ 0. A concave function on an interval is least at an end.
//! Beyond the outermost clients `f` only grows. So each ribbon in turn may be moved to a client.
//!
//! # The dynamic programme
//!
//! `walk` is nondecreasing, so a client is served by the ribbon nearest to it: between two neighbouring
//! ribbons `r < s`, those up to the middle go to `r` and the others to `s`. Let the openings be sorted,
//! `m` of them, and let `F(k, j)` be the least cost of all clients up to the `j`-th opening when `k`
//! ribbons are laid and the last of them lies there:
//!
//! ```text
//! F(1, j) = cost of the clients up to j, served by j
//! F(k, j) = min_{i < j} F(k − 1, i) + cost of the clients in (i, j], each served by the nearer of i, j
//! ```
//!
//! With running sums `Σ_{t < s} cost(t by r)` for each `r`, and the middle found by a pointer that only
//! moves forward, every such cost is two subtractions: O(m²) for the sums, O(k m²) in all. A client with
//! `a_i ≤ pull` or without weight is never served by a ribbon: it is a constant and leaves the problem
//! beforehand.
//!
//! # What is known of the answer
//!
//! [`dual`] proves that the linear relaxation is integral, hence that the cost falls convexly with `k`
//! (each further ribbon saves no more than the one before), and computes the certificate.
//! [`choose`] adds texts that may be read at one of several places, and several books; [`horizon`] looks
//! over several services in a row.

pub mod choose;
pub mod dual;
pub mod horizon;
pub mod programme;

/// A text that must be reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Client {
    /// Its opening.
    pub opening: i32,
    /// How much each unit of cost counts here.
    pub weight: u16,
    /// What it costs to get there without a ribbon.
    pub alternative: u32,
}

impl Client {
    /// Cost without any ribbon, weight included.
    pub fn unaided(&self) -> u64 {
        u64::from(self.weight) * u64::from(self.alternative)
    }
}

/// What the hand's movements cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Movement {
    walk: Vec<u32>,
    pull: u32,
}

impl Movement {
    /// `walk[d]` is the cost of turning `d` leaves, its last element that of any more; `pull` is the
    /// cost of opening the book at a ribbon. `None` unless `walk` begins with 0, never falls, and each
    /// step is at most the one before.
    ///
    /// ```
    /// use vitta::ribbon::solve::Movement;
    /// assert!(Movement::new(vec![0, 10, 18, 20], 15).is_some());
    /// assert!(Movement::new(vec![0, 10, 30], 15).is_none(), "the second leaf costs more than the first");
    /// ```
    pub fn new(walk: Vec<u32>, pull: u32) -> Option<Self> {
        let steps: Option<Vec<u32>> = walk.windows(2).map(|w| w[1].checked_sub(w[0])).collect();
        let concave = steps?.windows(2).all(|s| s[1] <= s[0]);
        (walk.first() == Some(&0) && concave).then_some(Movement { walk, pull })
    }

    /// Cost of turning `leaves` leaves.
    pub fn walk(&self, leaves: u32) -> u32 {
        let at = usize::try_from(leaves).unwrap_or(usize::MAX);
        self.walk.get(at).or(self.walk.last()).copied().unwrap_or(0)
    }

    /// Cost of opening the book at a ribbon.
    pub fn pull(&self) -> u32 {
        self.pull
    }

    /// Cost of reaching `client` when the nearest ribbon lies at `ribbon`, weight included.
    pub fn reach(&self, client: &Client, ribbon: i32) -> u64 {
        let by_ribbon = self.pull.saturating_add(self.walk(ribbon.abs_diff(client.opening)));
        u64::from(client.weight) * u64::from(client.alternative.min(by_ribbon))
    }

    /// Cost of the whole service with ribbons at `ribbons`.
    pub fn cost(&self, clients: &[Client], ribbons: &[i32]) -> u64 {
        let one =
            |c: &Client| ribbons.iter().map(|&r| self.reach(c, r)).min().unwrap_or(c.unaided());
        clients.iter().map(one).sum()
    }
}

/// The optima for 0, 1, 2 … ribbons.
#[derive(Debug, Clone)]
pub struct Optima {
    /// Openings worth a ribbon, ascending.
    openings: Vec<i32>,
    /// Least cost with at most `k` ribbons, by `k`.
    costs: Vec<u64>,
    /// The last ribbon's index in `openings`, by `k − 1`.
    last: Vec<usize>,
    /// The ribbon before, by `k − 1` and ribbon.
    before: Vec<usize>,
}

impl Optima {
    /// Least cost with at most `ribbons` ribbons.
    pub fn cost(&self, ribbons: usize) -> u64 {
        self.costs.get(ribbons).or(self.costs.last()).copied().unwrap_or(0)
    }

    /// Where the ribbons lie in an optimum with at most `ribbons`, ascending: as few as reach its cost.
    pub fn openings(&self, ribbons: usize) -> Vec<i32> {
        let enough = self.costs.iter().position(|&c| c == self.cost(ribbons)).unwrap_or(0);
        let mut at = match enough.checked_sub(1).and_then(|k| self.last.get(k)) {
            Some(&last) => last,
            None => return vec![],
        };
        let mut laid = vec![self.openings[at]];
        for k in (1..enough).rev() {
            at = self.before[k * self.openings.len() + at];
            laid.push(self.openings[at]);
        }
        laid.reverse();
        laid
    }
}

/// The optima for 0 to `most` ribbons (fewer where so many would save nothing).
///
/// ```
/// use vitta::ribbon::solve::{Client, Movement, solve};
/// let movement = Movement::new(vec![0, 10, 18, 20], 5).unwrap();
/// let text = |opening, weight| Client { opening, weight, alternative: 20 };
/// let optima = solve(&[text(3, 1), text(40, 4), text(41, 2)], &movement, 2);
/// assert_eq!((optima.cost(0), optima.cost(1), optima.cost(2)), (140, 70, 50));
/// assert_eq!((optima.openings(1), optima.openings(2)), (vec![40], vec![40, 41]));
/// ```
pub fn solve(clients: &[Client], movement: &Movement, most: usize) -> Optima {
    solve_apart(clients, movement, most, 0)
}

/// The optima of the layings at the texts in which no two ribbons lie within `leaves` leaves of each other.
pub fn solve_apart(clients: &[Client], movement: &Movement, most: usize, leaves: u32) -> Optima {
    let constant = |c: &&Client| c.alternative <= movement.pull || c.weight == 0;
    let settled: u64 = clients.iter().filter(constant).map(Client::unaided).sum();
    let mut rest: Vec<Client> = clients.iter().filter(|c| !constant(c)).copied().collect();
    rest.sort_unstable_by_key(|c| c.opening);
    let table = Table::new(&rest, movement, leaves);
    let most = most.min(table.openings.len());
    let mut optima = table.run(most);
    for cost in &mut optima.costs {
        *cost = cost.saturating_add(settled);
    }
    optima
}

/// Running sums of the clients' costs for each place of a ribbon.
struct Table {
    openings: Vec<i32>,
    /// `sums[r * (m + 1) + s]`: cost of the clients at openings before the `s`-th, served by the `r`-th.
    sums: Vec<u64>,
    none: u64,
    /// Neighbouring ribbons lie further from each other than this.
    apart: u32,
}

impl Table {
    /// `clients` are sorted by opening.
    fn new(clients: &[Client], movement: &Movement, apart: u32) -> Self {
        let mut openings: Vec<i32> = clients.iter().map(|c| c.opening).collect();
        openings.dedup();
        let none = clients.iter().map(Client::unaided).sum();
        let mut sums = Vec::with_capacity(openings.len() * (openings.len() + 1));
        for &ribbon in &openings {
            let mut sum = 0;
            sums.push(0);
            for here in clients.chunk_by(|a, b| a.opening == b.opening) {
                sum += here.iter().map(|c| movement.reach(c, ribbon)).sum::<u64>();
                sums.push(sum);
            }
        }
        Table { openings, sums, none, apart }
    }

    /// Cost of the clients at openings `from..to`, served by `ribbon`.
    fn served(&self, ribbon: usize, from: usize, to: usize) -> u64 {
        let row = ribbon * (self.openings.len() + 1);
        self.sums[row + to] - self.sums[row + from]
    }

    /// `[i * m + j]`: cost of the clients in `(i, j]` when neighbouring ribbons lie at `i` and `j`.
    fn gaps(&self) -> Vec<u64> {
        let m = self.openings.len();
        let mut gaps = vec![0; m * m];
        for i in 0..m {
            let mut middle = i + 1;
            for j in i + 1..m {
                let nearer_to_i = |t: usize| {
                    self.openings[t].abs_diff(self.openings[i])
                        <= self.openings[t].abs_diff(self.openings[j])
                };
                while nearer_to_i(middle) {
                    middle += 1;
                }
                gaps[i * m + j] = match self.openings[i].abs_diff(self.openings[j]) > self.apart {
                    true => self.served(i, i + 1, middle) + self.served(j, middle, j + 1),
                    false => u64::MAX,
                };
            }
        }
        gaps
    }

    fn run(self, most: usize) -> Optima {
        let m = self.openings.len();
        let gaps = if most > 1 { self.gaps() } else { vec![] };
        let (mut costs, mut last, mut before) = (vec![self.none], vec![], vec![0; m]);
        let mut layer: Vec<u64> = (0..m).map(|j| self.served(j, 0, j + 1)).collect();
        for k in 1..=most {
            if k > 1 {
                layer = next_layer(&layer, &gaps, &mut before);
            }
            let whole = |j: usize| layer[j].saturating_add(self.served(j, j + 1, m));
            if let Some(best) = (0..m).min_by_key(|&j| whole(j)) {
                // Kept apart, so many ribbons may cost more than fewer, or have no room.
                costs.push(costs.last().map_or(whole(best), |&fewer| whole(best).min(fewer)));
                last.push(best);
            }
        }
        Optima { openings: self.openings, costs, last, before }
    }
}

/// `F(k, ·)` from `F(k − 1, ·)`; the predecessors are appended to `before`.
fn next_layer(layer: &[u64], gaps: &[u64], before: &mut Vec<usize>) -> Vec<u64> {
    let m = layer.len();
    let through = |i: usize, j: usize| layer[i].saturating_add(gaps[i * m + j]);
    let mut next = vec![u64::MAX; m];
    for (j, cost) in next.iter_mut().enumerate() {
        let best = (0..j).min_by_key(|&i| through(i, j)).unwrap_or(0);
        before.push(best);
        if j > 0 {
            *cost = through(best, j);
        }
    }
    next
}
