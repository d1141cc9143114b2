//! Where the pressure goes between lock-up and tank.

use super::screen::Screen;
use super::table::aligned;
use crate::naming::in_words;
use scenarios::studies::loss_budget::{Budget, NoBudget};
use shared::quantity::Dimension::{Pressure, PressureDifference};
use shared::quantity::Display;
use sim_core::interrupt::is_asked;

/// How the losses are found.
pub(crate) const HOW: &str = "Each loss is what the pressure gains when its cause is taken out of the stand, as the \
                   mean over all orders of taking them out, so that they sum to the whole. The rest \
                   is what stays without all of them: inertia, overshoot, what is not yet full.";

/// Why there are no budgets.
pub(crate) fn why_none(reason: &NoBudget) -> String {
    if is_asked() {
        "interrupted before all runs without a cause were done".to_owned()
    } else {
        reason.to_string()
    }
}

/// The budgets, or why there are none.
#[must_use]
pub fn report(
    budgets: &Result<Vec<Budget>, NoBudget>,
    display: &Display,
    screen: Screen,
) -> String {
    let heading = screen.heading("Where the pressure goes");
    let budgets = match budgets {
        Ok(budgets) => budgets,
        Err(reason) => {
            let why = aligned(vec![vec![why_none(reason)]], &[]);
            return format!("{heading}\n{why}");
        }
    };
    let tables = budgets.iter().map(|b| {
        let rows = rows(b, display).into_iter().map(Vec::from);
        aligned(rows.collect(), &[1])
    });
    let how = aligned(vec![vec![HOW.to_owned()]], &[]);
    format!("{heading}\n{}{how}", tables.collect::<Vec<_>>().join("\n"))
}

/// What goes off the set pressure, line by line, each with its value, down to what is left.
pub(crate) fn rows(budget: &Budget, display: &Display) -> Vec<[String; 2]> {
    let row = |words: &str, value: String| [words.to_owned(), value];
    let fall = |pa: f64| display.text(PressureDifference, pa);
    let mut rows = vec![row(
        "set pressure of the regulator",
        display.text(Pressure, budget.lock_up_pa),
    )];
    let losses = budget.losses.iter();
    rows.extend(losses.map(|l| row(&format!("  {}", l.cause.words()), fall(-l.pa))));
    rows.push(row("  rest", fall(-budget.rest_pa)));
    let pressure = display.text(Pressure, budget.pressure_pa);
    rows.push(row(&in_words(&budget.figure), pressure));
    rows
}
