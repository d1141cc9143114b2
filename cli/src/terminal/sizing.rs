//! A size that was found, in words.

use super::screen::Screen;
use super::sensitivity::of_change;
use super::table::aligned;
use scenarios::studies::size::handbook::{ByHand, no_figure};
use scenarios::studies::size::{
    Answer, Found, Lever, Nearest, Raised, Sizer, Sizing, Wanted, has_run,
};
use scenarios::summary::Bound;
use shared::quantity::{Dimension, Display};
use sim_core::network::Relation;
use sim_core::outcome::Warning;

/// What is told.
pub struct Told<'a> {
    /// What was asked.
    pub sizer: &'a Sizer<'a>,
    /// What was found.
    pub found: &'a Sizing,
    /// The handbook's figure.
    pub hand: Option<&'a ByHand>,
    /// Pressures that are offered above what the stand states.
    pub raised: &'a [Raised],
    /// Warnings of the nominal run at the answer.
    pub warnings: &'a [Warning],
}

/// The whole report.
#[must_use]
pub fn report(told: &Told, display: &Display, screen: Screen) -> String {
    let heading = screen.heading(&told.sizer.stand.title);
    let mut said = told.outcome(display);
    if let Some(ceiling) = &told.sizer.knob.ceiling {
        said.push(format!("Nothing was tried above {ceiling}."));
    }
    let caution = caution(told.raised, display);
    let paragraph = |texts: Vec<String>| aligned(texts.into_iter().map(|s| vec![s]).collect(), &[]);
    let rows = told.found.scan.iter();
    let rows = rows.map(|(text, margin)| vec![text.clone(), room(*margin)]);
    format!(
        "{heading}\n{}{}{}\n{}{}\n{}",
        paragraph(said),
        screen.alert(&paragraph(caution)),
        paragraph(vec![told.by_hand(display)]),
        told.warned(screen),
        screen.heading("Tried, with the margin to the tightest requirement or limit"),
        aligned(rows.collect(), &[1])
    )
}

impl Told<'_> {
    /// What the run at the answer warns of.
    fn warned(&self, screen: Screen) -> String {
        if self.warnings.is_empty() {
            return String::new();
        }
        let rows = self.warnings.iter();
        let rows = rows.map(|w| vec![w.code.to_owned(), w.message.clone()]);
        let heading = screen.heading("Warnings of the nominal run there");
        format!(
            "{heading}\n{}\n",
            screen.alert(&aligned(rows.collect(), &[]))
        )
    }

    fn outcome(&self, display: &Display) -> Vec<String> {
        let wanted = match self.sizer.wanted {
            Wanted::Smallest => "smallest",
            Wanted::Largest => "largest",
        };
        let path = &self.sizer.knob.path;
        match &self.found.found {
            Found::Value(answer) => vec![
                format!(
                    "{path} = {}: the {wanted} that meets every requirement and limit.",
                    answer.text
                ),
                self.success(answer, display),
                self.put_back(answer),
            ],
            Found::WholeRange(answer) => vec![
                format!(
                    "{path} = {}: the {wanted} that was tried meets every requirement and limit{}.",
                    answer.text,
                    self.further(answer)
                ),
                self.success(answer, display),
                self.put_back(answer),
            ],
            Found::Nothing(nearest) => self.nothing(nearest, display),
        }
    }

    /// Where else to look; nothing where the range ends because there is nothing more.
    fn further(&self, answer: &Answer) -> &'static str {
        let knob = &self.sizer.knob;
        let is_one_bottle = knob.whole_steps() && answer.value == 1.0;
        let is_at_limit = knob
            .ceiling
            .as_ref()
            .is_some_and(|c| c.value == answer.value);
        if is_one_bottle || is_at_limit {
            ""
        } else {
            "; look further with --between"
        }
    }

    fn success(&self, answer: &Answer, display: &Display) -> String {
        let confidence = self.sizer.confidence;
        let drawn = match confidence.draws {
            0 => "In the nominal run everything that is asked for is met".to_owned(),
            draws => {
                let (low, high) = answer.success.interval_95();
                format!(
                    "{:.0} % of {draws} draws succeed, {:.0} % were asked for (the true part lies within \
                     {:.0} .. {:.0} %, 95 % confidence)",
                    100.0 * answer.success.part(),
                    100.0 * confidence.part,
                    100.0 * low,
                    100.0 * high
                )
            }
        };
        let tightest = answer.tightest.as_ref().map(|(bound, margin)| {
            let asked = bound.display(display);
            let left = asked.text(of_change(bound.dimension), *margin);
            format!(
                "; tightest is {} {}, nominally with a margin of {left}",
                bound.path, bound.text
            )
        });
        format!("{drawn}{}.", tightest.unwrap_or_default())
    }

    fn put_back(&self, answer: &Answer) -> String {
        let overrides = self.sizer.knob.overrides(answer.value);
        let set = overrides
            .iter()
            .map(|(path, value)| format!(" --set '{path}={value}'"));
        let as_one = match self.sizer.knob.whole_steps() && answer.value > 1.0 {
            true => {
                "Bottles side by side are run as one with their volume and wall, and with the diameter that gives \
                 it their surface. "
            }
            false => "",
        };
        format!(
            "{as_one}Try it: pressfed predict STAND --draws 200{}",
            set.collect::<String>()
        )
    }

    fn nothing(&self, nearest: &Nearest, display: &Display) -> Vec<String> {
        let Nearest {
            best,
            no_run,
            reachable,
            levers,
        } = nearest;
        let path = &self.sizer.knob.path;
        if let Some(why) = no_run {
            return vec![
                format!("No {path} in the range gives runs that can be judged."),
                format!("At {}: {why}.", best.text),
                other_changes(levers),
            ];
        }
        let mut sentences = vec![format!(
            "No {path} in the range meets every requirement and limit. {} comes nearest, with a margin of {}.",
            best.text,
            room(best.margin)
        )];
        if let (Some((bound, _)), Some(value)) = (&best.tightest, reachable) {
            let asked = asked(bound, *value, display);
            // A limit is what the stand can bear: it is not for a run to say that it could be wider.
            sentences.push(match self.sizer.stand.limits.contains(bound) {
                true => format!("There {asked} is kept, not the limit {}.", bound.text),
                false => format!("There {asked} could be asked for."),
            });
        }
        sentences.push(other_changes(levers));
        sentences
    }

    fn by_hand(&self, display: &Display) -> String {
        let Some(hand) = self.hand else {
            return format!("By hand nothing: {}.", no_figure(&self.sizer.knob.path));
        };
        let value = display.text(hand.dimension, hand.value);
        format!(
            "By hand {value}, from {}. They differ because {}.",
            hand.formula, hand.why
        )
    }
}

/// Of the pressures that are offered above what the stand file states; nothing if there are none.
fn caution(raised: &[Raised], display: &Display) -> Vec<String> {
    if raised.is_empty() {
        return Vec::new();
    }
    let text = |pa: f64| display.text(Dimension::Pressure, pa);
    let rise = |r: &Raised| {
        let (stated, offered) = (text(r.stated_pa), text(r.offered_pa));
        format!("{} = {offered} ({stated} there)", r.path)
    };
    let rises: Vec<String> = raised.iter().map(rise).collect();
    vec![format!(
        "Caution, above what the stand file has: {}. It states no ratings: raise a pressure only as far as what \
         is marked on the part, and on everything that the pressure can reach, allows.",
        rises.join("; ")
    )]
}

fn other_changes(levers: &[Lever]) -> String {
    if levers.is_empty() {
        return "No other single value, halved or doubled, would do either in the nominal run."
            .to_owned();
    }
    let changes = levers
        .iter()
        .map(|l| format!("{} = {}", l.change.0, l.change.1));
    let changes: Vec<String> = changes.collect();
    let changes = changes.join("; ");
    format!("Beside it, each of these alone would do in the nominal run: {changes}.")
}

fn asked(bound: &Bound, value: f64, display: &Display) -> String {
    let sign = match bound.relation {
        Relation::Above => ">=",
        Relation::Below => "<=",
    };
    format!(
        "{} {sign} {}",
        bound.path,
        bound.display(display).text(bound.dimension, value)
    )
}

fn room(margin: f64) -> String {
    match 100.0 * margin {
        _ if !has_run(margin) => "no whole run".to_owned(),
        // Not the nought that it would round to.
        missed if missed < 0.0 && missed > -0.05 => format!("{missed:.3} %"),
        percent => format!("{percent:.1} %"),
    }
}
