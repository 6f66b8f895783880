//! The same as an integer programme, for what the other methods do not know: ribbons bound to a section, and
//! several services in a row with several books for their texts. Its answer is reckoned again in integers.
//!
//! # The programme
//!
//! For each service, book and opening: does a free ribbon lie there, does this bound one? For each place where a
//! text may be read: is it read there? Of each book the places read follow each other as a path through the
//! service, since what a text costs without a ribbon hangs on the text before it in its book: an arc leads from
//! one place to the next one read. Each text is reached over its arc, or from a ribbon:
//!
//! ```text
//! Σ arcs into a place = read there        Σ arcs out of it ≤ read there, one arc begins each book
//! reached over arcs + from ribbons = read there,   over an arc ≤ the arc,   from an opening ≤ ribbons there
//! Σ free ribbons ≤ their number           each bound ribbon lies at one of its openings
//! comes to an opening ≥ lies there now − lay there before
//! ```
//!
//! Once the places read are chosen the arcs are, too: each book has one beginning, so its second place read can
//! only follow the first, and so on. Ribbons lie at openings where some text may be read, by the argument of
//! [`super`], and bound ones where they may.

use super::choose::{self, Choice, Text};
use super::{Client, Movement};
use good_lp::variable::UnsolvedProblem;
use good_lp::{
    Expression, ProblemVariables, Solution, SolutionStatus, SolverModel, Variable, WithTimeLimit,
    constraint, microlp, variable, variables,
};

/// The ribbons of one book.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Bundle {
    /// Ribbons that may lie anywhere.
    pub free: usize,
    /// For each bound ribbon the openings where it may lie; none of them is empty.
    pub bound: Vec<Vec<i32>>,
}

/// Services in a row with the books for them.
#[derive(Debug, Clone, Copy)]
pub struct Problem<'a> {
    /// The texts of each service.
    pub services: &'a [Vec<Text>],
    /// What the hand's movements cost.
    pub movement: &'a Movement,
    /// The ribbons of each book.
    pub books: &'a [Bundle],
    /// Cost of moving a ribbon between two services.
    pub relay: u64,
    /// How the ribbons of each book lie before the first service; none where laying them the first time is free.
    pub before: Option<&'a [Lie]>,
    /// Two ribbons lie further from each other than so many leaves; none where they may lie anywhere.
    pub apart: Option<u32>,
}

/// How the ribbons of a book lie.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lie {
    /// The free ones, ascending; fewer than there are where one more would save nothing.
    pub free: Vec<i32>,
    /// Each bound one.
    pub bound: Vec<i32>,
}

impl Lie {
    /// All openings at which a ribbon lies.
    pub fn all(&self) -> Vec<i32> {
        let mut all = [&self.free[..], &self.bound[..]].concat();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// How many ribbons lie elsewhere than `before`.
    pub fn moved(&self, before: &Lie) -> u64 {
        let free = self.free.iter().filter(|o| !before.free.contains(o)).count();
        let bound = self.bound.iter().zip(&before.bound).filter(|(a, b)| a != b).count();
        (free + bound) as u64
    }
}

/// What is done at one service.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Serving {
    /// Index of the choice of each text.
    pub choices: Vec<usize>,
    /// How the ribbons of each book lie.
    pub books: Vec<Lie>,
}

/// The best that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Each service.
    pub services: Vec<Serving>,
    /// Cost of all services and of the ribbons moved between them.
    pub cost: u64,
    /// Nothing costs less.
    pub proven: bool,
}

/// Seconds after which the search is broken off.
const PATIENCE: f64 = 20.0;

/// What a choice further down the list and each ribbon laid are thought to cost, so that of equals the preferred
/// text and the fewest ribbons are taken: too little to tip anything, costs being whole.
const A_TRIFLE: f64 = 1e-4;

/// The best answer; none where the ribbons cannot be laid as is asked, or none was found in time.
///
/// ```
/// use vitta::ribbon::solve::Movement;
/// use vitta::ribbon::solve::choose::{Choice, Text};
/// use vitta::ribbon::solve::programme::{Bundle, Problem, solve};
/// let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
/// let at = |opening| Choice { book: 0, rank: 0, opening, ends: opening, extra: 0, by_mark: u32::MAX };
/// let text = |opening| Text { weight: 1, stand: 0, choices: vec![at(opening)], together: None };
/// // One ribbon free, one that stays at 90: the text at 30 gets the one, that at 60 none.
/// let books = [Bundle { free: 1, bound: vec![vec![90]] }];
/// let services = [vec![text(1), text(30), text(60), text(30)]];
/// let problem =
///     Problem { services: &services, movement: &movement, books: &books, relay: 0, before: None, apart: None };
/// let answer = solve(&problem).unwrap();
/// assert_eq!((answer.cost, answer.services[0].books[0].all()), (5 + 15 + 5, vec![30, 90]));
/// ```
pub fn solve(problem: &Problem) -> Option<Answer> {
    let mut model = Model::default();
    let services: Vec<Modelled> =
        problem.services.iter().map(|s| model.service(problem, s)).collect();
    model.relays(problem, &services);
    let Model { vars, cost, rows, .. } = model;
    let posed = vars.minimise(cost).using(microlp).with_time_limit(PATIENCE);
    let solved = rows.into_iter().fold(posed, |model, row| model.with(row)).solve().ok()?;
    let proven = matches!(solved.status(), SolutionStatus::Optimal);
    let services: Vec<Serving> = services.iter().map(|s| s.answer(&solved)).collect();
    Some(Answer { cost: problem.cost(&services), services, proven })
}

impl Problem<'_> {
    /// What an answer costs, reckoned in integers.
    pub fn cost(&self, servings: &[Serving]) -> u64 {
        let mut sum = 0;
        let mut before = self.before;
        for (texts, serving) in self.services.iter().zip(servings) {
            for (text, &choice) in texts.iter().zip(&serving.choices) {
                sum += text.choices.get(choice).map_or(0, |c| c.extra);
            }
            for (book, lie) in serving.books.iter().enumerate() {
                let clients = choose::clients(texts, self.movement, &serving.choices, book).0;
                sum += self.movement.cost(&clients, &lie.all());
                let lay = before.and_then(|b| b.get(book));
                sum += self.relay * lay.map_or(0, |lay| lie.moved(lay));
            }
            before = Some(&serving.books);
        }
        sum
    }

    /// The openings of a book where ribbons may have to lie, ascending.
    fn openings(&self, book: usize) -> Vec<i32> {
        let texts = self.services.iter().flatten().filter(|t| t.weight > 0);
        let read = texts.flat_map(|t| &t.choices).filter(|c| c.book == book).map(|c| c.opening);
        let bundle = self.books.get(book);
        let bound = bundle.iter().flat_map(|b| &b.bound).flatten().copied();
        let lay = self.before.and_then(|b| b.get(book)).map(Lie::all).unwrap_or_default();
        let mut all: Vec<i32> = read.chain(bound).chain(lay).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

#[derive(Default)]
struct Model {
    vars: Vars,
    cost: Expression,
    rows: Vec<good_lp::Constraint>,
}

/// The variables, begun empty.
struct Vars(ProblemVariables);

impl Default for Vars {
    fn default() -> Self {
        Vars(variables!())
    }
}

impl Vars {
    fn part(&mut self) -> Variable {
        self.0.add(variable().min(0).max(1))
    }

    fn whole(&mut self) -> Variable {
        self.0.add(variable().binary())
    }

    fn minimise(self, cost: Expression) -> UnsolvedProblem {
        self.0.minimise(cost)
    }
}

/// The variables of one service.
struct Modelled {
    /// Of each text: is it read at each choice? None where there is only one.
    read: Vec<Vec<Option<Variable>>>,
    books: Vec<BookModelled>,
}

struct BookModelled {
    openings: Vec<i32>,
    /// Does a free ribbon lie at each opening?
    free: Vec<Variable>,
    /// For each bound ribbon its openings, each with whether it lies there.
    bound: Vec<Vec<(i32, Variable)>>,
}

/// A place where a text may be read.
#[derive(Clone, Copy)]
struct Node<'a> {
    text: &'a Text,
    choice: &'a Choice,
    index: usize,
    read: Option<Variable>,
}

fn is_read(read: Option<Variable>) -> Expression {
    read.map_or_else(|| Expression::from(1), Expression::from)
}

impl Modelled {
    fn answer(&self, solved: &impl Solution) -> Serving {
        let yes = |v: Variable| solved.value(v) > 0.5;
        let choice =
            |read: &Vec<Option<Variable>>| read.iter().position(|v| v.is_none_or(yes)).unwrap_or(0);
        let lie = |book: &BookModelled| Lie {
            free: book
                .openings
                .iter()
                .zip(&book.free)
                .filter(|(_, v)| yes(**v))
                .map(|(o, _)| *o)
                .collect(),
            bound: book
                .bound
                .iter()
                .filter_map(|all| all.iter().find(|(_, v)| yes(*v)).map(|(o, _)| *o))
                .collect(),
        };
        Serving {
            choices: self.read.iter().map(choice).collect(),
            books: self.books.iter().map(lie).collect(),
        }
    }
}

impl BookModelled {
    /// Whether each ribbon lies at each of its openings: the free ones, then the bound ones.
    fn lying(&self) -> Vec<Expression> {
        let bound = self.bound.iter().flatten().map(|(_, v)| *v);
        self.free.iter().copied().chain(bound).map(Expression::from).collect()
    }

    /// The same of ribbons that lay there before.
    fn as_lay(&self, lay: &Lie) -> Vec<Expression> {
        let yes = |holds: bool| Expression::from(if holds { 1.0 } else { 0.0 });
        let free = self.openings.iter().map(|o| yes(lay.free.contains(o)));
        let bound =
            self.bound.iter().enumerate().flat_map(|(j, all)| {
                all.iter().map(move |(o, _)| yes(lay.bound.get(j) == Some(o)))
            });
        free.chain(bound).collect()
    }

    /// How many ribbons lie at an opening.
    fn lies(&self, opening: i32) -> Expression {
        let free =
            self.openings.iter().zip(&self.free).filter(|(o, _)| **o == opening).map(|(_, v)| *v);
        let bound = self.bound.iter().flatten().filter(|(o, _)| *o == opening).map(|(_, v)| *v);
        free.chain(bound).sum()
    }
}

impl Model {
    fn service(&mut self, problem: &Problem, texts: &[Text]) -> Modelled {
        let read: Vec<Vec<Option<Variable>>> = texts.iter().map(|t| self.choices(t)).collect();
        self.together(texts, &read);
        let books = (0..problem.books.len()).map(|b| self.book(problem, b)).collect();
        let modelled = Modelled { read, books };
        for book in 0..problem.books.len() {
            let mut nodes: Vec<Node> = vec![];
            for (index, (text, read)) in texts.iter().zip(&modelled.read).enumerate() {
                let here = text.choices.iter().zip(read).filter(|(c, _)| c.book == book);
                nodes.extend(here.map(|(choice, &read)| Node { text, choice, index, read }));
            }
            self.path(problem.movement, &nodes, &modelled.books[book]);
        }
        modelled
    }

    fn choices(&mut self, text: &Text) -> Vec<Option<Variable>> {
        if text.choices.len() < 2 {
            self.cost += text.choices.iter().map(|c| c.extra as f64).sum::<f64>();
            return vec![None; text.choices.len()];
        }
        let read: Vec<Variable> = text.choices.iter().map(|_| self.vars.whole()).collect();
        for (i, (choice, &read)) in text.choices.iter().zip(&read).enumerate() {
            self.cost += (choice.extra as f64 + A_TRIFLE * i as f64) * read;
        }
        self.rows.push(constraint!(read.iter().copied().sum::<Expression>() == 1));
        read.into_iter().map(Some).collect()
    }

    /// Texts with the same number take choices of the same rank.
    fn together(&mut self, texts: &[Text], read: &[Vec<Option<Variable>>]) {
        let of_rank = |i: usize, rank: u32| -> Expression {
            let those = texts[i].choices.iter().zip(&read[i]).filter(|(c, _)| c.rank == rank);
            those.map(|(_, v)| is_read(*v)).sum()
        };
        for i in (0..texts.len()).filter(|&i| texts[i].together.is_some()) {
            let Some(first) = (0..i).find(|&j| texts[j].together == texts[i].together) else {
                continue;
            };
            let both = texts[first].choices.iter().chain(&texts[i].choices);
            let mut ranks: Vec<u32> = both.map(|c| c.rank).collect();
            ranks.sort_unstable();
            ranks.dedup();
            for rank in ranks {
                self.rows.push(constraint!(of_rank(i, rank) == of_rank(first, rank)));
            }
        }
    }

    fn book(&mut self, problem: &Problem, book: usize) -> BookModelled {
        let openings = problem.openings(book);
        let bundle = &problem.books[book];
        let free: Vec<Variable> = openings.iter().map(|_| self.vars.whole()).collect();
        self.cost += A_TRIFLE * free.iter().copied().sum::<Expression>();
        self.rows.push(constraint!(free.iter().copied().sum::<Expression>() <= bundle.free as f64));
        let mut bound = vec![];
        for places in &bundle.bound {
            let lies: Vec<(i32, Variable)> =
                places.iter().map(|&o| (o, self.vars.whole())).collect();
            self.rows.push(constraint!(lies.iter().map(|l| l.1).sum::<Expression>() == 1));
            bound.push(lies);
        }
        let book = BookModelled { openings, free, bound };
        self.apart(problem.apart, &book);
        book
    }

    fn apart(&mut self, leaves: Option<u32>, book: &BookModelled) {
        let Some(leaves) = leaves else { return };
        for (i, &a) in book.openings.iter().enumerate() {
            self.rows.push(constraint!(book.lies(a) <= 1));
            for &b in book.openings[i + 1..].iter().take_while(|b| b.abs_diff(a) <= leaves) {
                self.rows.push(constraint!(book.lies(a) + book.lies(b) <= 1));
            }
        }
    }

    /// How the texts read from one book are reached. `nodes` are in the order of the service.
    fn path(&mut self, movement: &Movement, nodes: &[Node], book: &BookModelled) {
        let mut out: Vec<Expression> = vec![Expression::from(0); nodes.len() + 1];
        for (to, node) in nodes.iter().enumerate() {
            let (mut into, mut reached) = (Expression::from(0), Expression::from(0));
            // Where every text before is read here for certain, only the last of them can come before this one.
            let before =
                (0..to).rev().find(|&u| nodes[u].read.is_none() && nodes[u].index < node.index);
            let first = before.map_or(0, |u| u + 1);
            for (from, out) in out.iter_mut().enumerate().take(to + 1).skip(first) {
                let previous = from.checked_sub(1).map(|u| nodes[u]);
                if previous.is_some_and(|p| p.index == node.index) {
                    continue;
                }
                let arc = self.vars.part();
                *out += arc;
                into += arc;
                reached += self.over(arc, movement, previous, node);
            }
            reached += self.by_ribbons(movement, node, book);
            self.rows.push(constraint!(into == is_read(node.read)));
            self.rows.push(constraint!(reached == is_read(node.read)));
        }
        for (from, out) in out.into_iter().enumerate() {
            let read =
                from.checked_sub(1).map_or_else(|| Expression::from(1), |u| is_read(nodes[u].read));
            self.rows.push(constraint!(out <= read));
        }
    }

    /// The part of a text that is reached over an arc.
    fn over(
        &mut self,
        arc: Variable,
        movement: &Movement,
        before: Option<Node>,
        node: &Node,
    ) -> Variable {
        let part = self.vars.part();
        let alternative = match before {
            None => 0,
            Some(before) => {
                let same = before.text.stand == node.text.stand;
                let leaves = before.choice.ends.abs_diff(node.choice.opening);
                movement.walk(if same { leaves } else { u32::MAX }).min(node.choice.by_mark)
            }
        };
        self.cost += (u64::from(node.text.weight) * u64::from(alternative)) as f64 * part;
        self.rows.push(constraint!(part <= arc));
        part
    }

    /// The parts of a text that are reached from ribbons.
    fn by_ribbons(&mut self, movement: &Movement, node: &Node, book: &BookModelled) -> Expression {
        let (opening, weight) = (node.choice.opening, node.text.weight);
        let alternative = movement.walk(u32::MAX).min(node.choice.by_mark);
        let client = Client { opening, weight, alternative };
        let mut reached = Expression::from(0);
        for &at in &book.openings {
            if movement.reach(&client, at) < client.unaided() {
                let part = self.vars.part();
                self.cost += movement.reach(&client, at) as f64 * part;
                self.rows.push(constraint!(part <= book.lies(at)));
                reached += part;
            }
        }
        reached
    }

    /// Ribbons that come to an opening between two services.
    fn relays(&mut self, problem: &Problem, services: &[Modelled]) {
        for (d, now) in services.iter().enumerate() {
            for (b, book) in now.books.iter().enumerate() {
                let lay = match (d.checked_sub(1), problem.before.and_then(|l| l.get(b))) {
                    (Some(earlier), _) => services[earlier].books[b].lying(),
                    (None, Some(lay)) => book.as_lay(lay),
                    (None, None) => continue,
                };
                for (lies, lay) in book.lying().into_iter().zip(lay) {
                    let comes = self.vars.part();
                    self.cost += problem.relay as f64 * comes;
                    self.rows.push(constraint!(comes >= lies - lay));
                }
            }
        }
    }
}
