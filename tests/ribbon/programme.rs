//! The same problem as an integer programme: a facility at each opening and service, texts assigned to
//! them, ribbons that come. It shares nothing with the solver but the costs.

use good_lp::{
    Expression, Solution, SolverModel, Variable, constraint, microlp, variable, variables,
};
use vitta::ribbon::solve::horizon::Row;

/// The least cost of all courses, by branch and bound.
pub fn least(row: &Row) -> u64 {
    let mut openings: Vec<i32> = row.services.iter().flatten().map(|c| c.opening).collect();
    openings.extend(row.before.unwrap_or_default());
    openings.sort_unstable();
    openings.dedup();
    let mut vars = variables!();
    let each = |vars: &mut good_lp::ProblemVariables, whole: bool| -> Vec<Vec<Variable>> {
        let one = |_: &i32| if whole { variable().binary() } else { variable().min(0).max(1) };
        let day = |_| openings.iter().map(|o| vars.add(one(o))).collect();
        row.services.iter().map(day).collect()
    };
    let lies = each(&mut vars, true);
    let comes = each(&mut vars, false);
    let (mut cost, mut rows) = (Expression::from(0), vec![]);
    for (day, texts) in row.services.iter().enumerate() {
        for text in texts {
            // What the text costs without a ribbon, less what its ribbon saves.
            let mut served = Expression::from(0);
            cost += text.unaided() as f64;
            for (j, &opening) in openings.iter().enumerate() {
                let saved = text.unaided() - row.movement.reach(text, opening);
                if saved > 0 {
                    let by = vars.add(variable().min(0).max(1));
                    cost -= saved as f64 * by;
                    served += by;
                    rows.push(constraint!(by <= lies[day][j]));
                }
            }
            rows.push(constraint!(served <= 1));
        }
        let all: Expression = lies[day].iter().copied().sum();
        rows.push(constraint!(all <= row.ribbons as f64));
        for j in 0..openings.len() {
            let before: Expression = match day {
                0 => match row.before {
                    None => continue,
                    Some(before) => f64::from(u8::from(before.contains(&openings[j]))).into(),
                },
                _ => lies[day - 1][j].into(),
            };
            rows.push(constraint!(comes[day][j] >= lies[day][j] - before));
            cost += row.relay as f64 * comes[day][j];
        }
    }
    let model = rows.into_iter().fold(vars.minimise(cost.clone()).using(microlp), |m, r| m.with(r));
    model.solve().unwrap().eval(cost).round() as u64
}
