//! Where the pressure goes between lock-up and tank, as tables.

use super::Told;
use crate::naming::in_words;
use crate::terminal::losses::{HOW, rows, why_none};
use maud::{Markup, html};
use scenarios::studies::loss_budget::{Budget, NoBudget};

impl Told<'_> {
    /// The budgets; why there are none; or the command that draws them up.
    pub(super) fn losses(&self, budgets: Option<&Result<Vec<Budget>, NoBudget>>) -> Markup {
        let budgets = match budgets {
            None => {
                return html! { p {
                    "Not drawn up in this run: " code { "pressfed predict STAND --why" }
                    " takes each cause of loss out in turn and puts the table here."
                } };
            }
            Some(Err(reason)) => return html! { p { "None: " (why_none(reason)) } },
            Some(Ok(budgets)) => budgets,
        };
        html! {
            @for budget in budgets { (self.budget(budget)) }
            p.quiet { (HOW) }
        }
    }

    fn budget(&self, budget: &Budget) -> Markup {
        let rows = rows(budget, self.display());
        html! { table.narrow {
            caption { "From the set pressure down to " (in_words(&budget.figure)) }
            thead { tr { th scope="col" { "cause" } th.n scope="col" { "pressure" } } }
            tbody { @for [words, value] in rows { tr {
                th scope="row" { (words.trim_start()) } td.n { (value) }
            } } }
        } }
    }
}
