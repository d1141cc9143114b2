//! A size that was found, in words.

use super::screen::Screen;
use super::sensitivity::of_change;
use super::table::aligned;
use crate::naming::percent;
use scenarios::studies::size::handbook::{ByHand, no_figure};
use scenarios::studies::size::{
    Answer, Confidence, Found, Nearest, Raised, Sizer, Sizing, Standing, Wanted, has_run,
};
use shared::quantity::{Dimension, Display};
use sim_core::network::Relation;
use sim_core::outcome::Warning;

/// Room to a limit, as a part of it, below which it is what holds a value.
const NEAR: f64 = 0.01;
/// Digits of the ends between which an answer lies.
const EDGE_DIGITS: i32 = 3;

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
    /// Codes of those that the run as the file stands does not have.
    pub new_warnings: &'a [&'static str],
}

/// The whole report.
#[must_use]
pub fn report(told: &Told, display: &Display, screen: Screen) -> String {
    let heading = screen.heading(&told.sizer.stand.title);
    let mut said = told.outcome(display);
    if let Some(ceiling) = &told.sizer.knob.ceiling {
        said.push(format!("Nothing was tried above {ceiling}."));
    }
    let mut caution = caution(told.raised, display);
    caution.extend(new_warnings(told.new_warnings));
    let paragraph = |texts: Vec<String>| aligned(texts.into_iter().map(|s| vec![s]).collect(), &[]);
    let rows = told.found.scan.iter();
    let rows = rows.map(|(text, margin)| vec![text.clone(), room(*margin)]);
    format!(
        "{heading}\n{}{}{}\n{}{}\n{}",
        paragraph(said),
        screen.alert(&paragraph(caution)),
        paragraph(vec![told.by_hand(display)]),
        told.warned(screen),
        screen.heading(&told.heading_of_tried()),
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

    fn heading_of_tried(&self) -> String {
        let Confidence { part, draws, .. } = self.sizer.confidence;
        let whose = match draws {
            0 => " of the nominal run".to_owned(),
            _ => format!(" that {} of the draws have", percent(part)),
        };
        format!("Tried, with the margin{whose} to the tightest requirement or limit")
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
                    "{path} = {}: the {wanted} that meets every requirement and limit{}.",
                    answer.text,
                    self.known_to(answer)
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

    /// Between what so many draws know an answer to lie.
    fn known_to(&self, answer: &Answer) -> String {
        let Some((low, high)) = answer.edge_95 else {
            return String::new();
        };
        let text = |value: f64, toward: f64| {
            let knob = &self.sizer.knob;
            knob.text(knob.rounded(value, EDGE_DIGITS, toward))
        };
        format!(
            " ({} draws know it to lie within {} .. {}, 95 % confidence; more --draws know it better)",
            answer.success.of,
            text(low, -1.0),
            text(high, 1.0)
        )
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
            _ => {
                let (low, high) = answer.success.interval_95();
                let draws = answer.success.of;
                format!(
                    "{} of {draws} draws succeed, {} were asked for (the true part lies within {} .. {}, 95 % \
                     confidence)",
                    percent(answer.success.part()),
                    percent(confidence.part),
                    percent(low),
                    percent(high)
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
        let (best, path) = (&nearest.best, &self.sizer.knob.path);
        if let Some(why) = &nearest.no_run {
            return vec![
                format!("No {path} in the range gives runs that can be judged."),
                format!("At {}: {why}.", best.text),
                self.other_changes(nearest),
            ];
        }
        vec![
            format!("No {path} in the range meets every requirement and limit."),
            match nearest.keeps_limits {
                true => self.relaxed(nearest, display),
                false => self.broken(nearest, display),
            },
            self.other_changes(nearest),
        ]
    }

    /// What could be asked for where every limit is kept.
    fn relaxed(&self, nearest: &Nearest, display: &Display) -> String {
        let limit = nearest.limit.as_ref();
        let kept = limit.map_or("", |_| ", with every limit kept");
        let missed = nearest.missed.iter();
        let missed: Vec<String> = missed
            .map(|s| format!("{} (asked: {})", asked(s, display), s.bound.text))
            .collect();
        let there = match missed.is_empty() {
            true => "each alone is met, all together are not".to_owned(),
            false => format!("{} could be asked for", missed.join(", ")),
        };
        let held = limit.filter(|s| s.room < NEAR).map_or(String::new(), |s| {
            format!(
                " What holds it there is the limit {} {}.",
                s.bound.path, s.bound.text
            )
        });
        format!(
            "{} comes nearest{kept}: there {there}{}.{held}",
            nearest.best.text,
            self.for_whom()
        )
    }

    /// Which limit is not kept. A limit is what the stand can bear: it is not for a run to say that it
    /// could be wider.
    fn broken(&self, nearest: &Nearest, display: &Display) -> String {
        let whom = self.for_whom();
        let limit = nearest.limit.as_ref().map_or(String::new(), |s| {
            format!(
                ": there {} is kept{whom}, not the limit {}",
                asked(s, display),
                s.bound.text
            )
        });
        format!(
            "None keeps every limit. {} comes nearest to that{limit}.",
            nearest.best.text
        )
    }

    fn for_whom(&self) -> String {
        let Confidence { part, draws, .. } = self.sizer.confidence;
        match draws {
            0 => String::new(),
            _ => format!(" with {} of the draws", percent(part)),
        }
    }

    fn other_changes(&self, nearest: &Nearest) -> String {
        let certain = match self.sizer.confidence.draws {
            0 => "",
            _ => "; the draws ask for more than the nominal run does",
        };
        let measure = match nearest.nominal_does && self.sizer.confidence.draws > 0 {
            true => {
                "The nominal run there does; what is uncertain makes draws fail: pressfed sensitivity says \
                 what to measure better. "
            }
            false => "",
        };
        if nearest.levers.is_empty() {
            return format!(
                "{measure}No other single value, halved or doubled, would do either{certain}."
            );
        }
        let levers = nearest.levers.iter();
        let changes: Vec<String> = levers
            .map(|l| format!("{} = {}", l.change.0, l.change.1))
            .collect();
        format!(
            "{measure}Beside it, each of these alone would do{}: {}.",
            self.for_whom(),
            changes.join("; ")
        )
    }

    fn by_hand(&self, display: &Display) -> String {
        let Some(hand) = self.hand else {
            return format!("By hand nothing: {}.", no_figure(&self.sizer.knob.path));
        };
        let value = self.hand_text(hand, display);
        format!(
            "By hand {value}, from {}. They differ because {}.",
            hand.formula, hand.why
        )
    }

    /// In bottles where these are counted, in per cent where the value is.
    fn hand_text(&self, hand: &ByHand, display: &Display) -> String {
        let Sizer { stand, knob, .. } = self.sizer;
        let value = match knob.unit.as_str() {
            "%" => format!("{:.1} %", 100.0 * hand.value),
            _ => display.text(hand.dimension, hand.value),
        };
        let one = stand.inputs.find(&knob.path).filter(|_| knob.whole_steps());
        one.map_or(value.clone(), |id| {
            let bottles = hand.value / stand.inputs.nominal().si(id);
            format!("{bottles:.1} bottles ({value})")
        })
    }
}

/// Of what the run at the answer warns of, and the run as the file stands does not.
fn new_warnings(codes: &[&str]) -> Option<String> {
    let mut codes = codes.to_vec();
    codes.dedup();
    (!codes.is_empty()).then(|| {
        format!(
            "Caution, the run there warns of what the run as the file stands does not: {}, below. No limit of \
             the stand speaks against it; see whether one is missing.",
            codes.join(", ")
        )
    })
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

fn asked(standing: &Standing, display: &Display) -> String {
    let bound = &standing.bound;
    // Rounded to the side on which it holds.
    let sign = match bound.relation {
        Relation::Above => ">=",
        Relation::Below => "<=",
    };
    if !standing.is_judged() {
        return format!("nothing of {}", bound.path);
    }
    format!(
        "{} {sign} {}",
        bound.path,
        bound
            .display(display)
            .text(bound.dimension, standing.reachable)
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
