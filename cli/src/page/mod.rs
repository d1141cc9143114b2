//! Pages to read and to print: each one self-contained file of HTML, without clock or network.

pub mod card;
mod figures;
mod losses;
mod ranking;
mod redlines;
pub mod report;
mod steps;
mod usual;
mod verdicts;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use scenarios::CheckedStand;
use scenarios::predict::Prediction;
use scenarios::studies::Bands;
use shared::quantity::Display;

const STYLE: &str = include_str!("style.css");
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";

/// What a page tells of.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The stand.
    pub stand: &'a CheckedStand,
    /// Its run.
    pub prediction: &'a Prediction,
    /// Its bands, if they were drawn.
    pub bands: Option<&'a Bands>,
}

impl Told<'_> {
    fn display(&self) -> &Display {
        &self.stand.display
    }
}

/// A whole document. `head` stands behind the common one, `style` too.
fn document(title: &str, head: Markup, style: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                // The browser itself sees to it that nothing is fetched.
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                // Asks for no icon.
                link rel="icon" href="data:,";
                title { (title) }
                (head)
                style { (PreEscaped(STYLE)) (PreEscaped(style)) }
            }
            body { main { (body) } }
        }
    };
    page.into_string()
}

/// Which program and which input a page comes from.
fn provenance(prediction: &Prediction) -> Markup {
    html! {
        p.quiet { "pressfed " (prediction.version) ", input " span.hash { (prediction.input_hash) } }
    }
}
