//! Bands in the summary: a figure that was drawn becomes low, nominal and high.

use scenarios::studies::chance::Chance;
use scenarios::studies::factor::Factor;
use scenarios::studies::percentile::{HIGH, LOW};
use scenarios::studies::{Bands, EventBand, FigureBand};
use scenarios::summary::{Bound, Figure};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

/// Figures as a map from name to number, or to a band, in their own order.
pub(super) struct Figures<'a> {
    pub nominal: &'a [Figure],
    pub bands: Option<&'a Bands>,
}

impl Serialize for Figures<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Some(bands) = self.bands else {
            return serializer.collect_map(self.nominal.iter().map(|f| (&f.name, f.value)));
        };
        let mut map = serializer.serialize_map(Some(bands.figures.len()))?;
        for band in &bands.figures {
            map.serialize_entry(&band.figure.name, &Band::of(band))?;
        }
        map.end()
    }
}

#[derive(Serialize)]
struct Band {
    low: f64,
    /// Null if only other draws have the figure.
    nominal: f64,
    high: f64,
    /// Part of the draws that have the figure, if not all do.
    #[serde(skip_serializing_if = "Option::is_none")]
    share: Option<f64>,
}

impl Band {
    fn of(band: &FigureBand) -> Self {
        Self {
            low: band.low,
            nominal: band.figure.value,
            high: band.high,
            share: (band.seen.count < band.seen.of).then(|| band.seen.part()),
        }
    }
}

/// How the bands came about and how well they are known.
#[derive(Serialize)]
pub(super) struct Banded<'a> {
    draws: usize,
    seed: u32,
    percentiles: [f64; 2],
    uncertain_inputs: Vec<&'a str>,
    failed_draws: Vec<Failed<'a>>,
    events: Vec<OfEvent<'a>>,
    requirements_met: Vec<Counted<'a>>,
    limits_broken: Vec<Counted<'a>>,
    ranking: Option<Ranked<'a>>,
    /// With 95 % confidence the ends of a band lie between these.
    convergence: Convergence<'a>,
}

#[derive(Serialize)]
struct Failed<'a> {
    draw: usize,
    reason: &'a str,
}

/// When an event comes.
#[derive(Serialize)]
struct OfEvent<'a> {
    component: &'a str,
    event: String,
    time_s: Ends,
    /// Part of the draws that have it.
    share: f64,
}

#[derive(Serialize)]
struct Ends {
    low: f64,
    nominal: f64,
    high: f64,
}

impl<'a> OfEvent<'a> {
    fn of(band: &'a EventBand) -> Self {
        let [low, _, high] = band.time_s;
        Self {
            component: &band.component,
            event: band.kind.to_string(),
            time_s: Ends {
                low,
                nominal: band.nominal_s,
                high,
            },
            share: band.seen.part(),
        }
    }
}

#[derive(Serialize)]
struct Counted<'a> {
    bound: &'a str,
    asked: &'a str,
    probability: f64,
    confidence_95: (f64, f64),
}

#[derive(Serialize)]
struct Ranked<'a> {
    figure: &'a str,
    r_squared: f64,
    shares: Vec<Share<'a>>,
}

#[derive(Serialize)]
struct Share<'a> {
    input: &'a str,
    share_of_variance: f64,
}

struct Convergence<'a>(&'a [FigureBand]);

impl Serialize for Convergence<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        #[derive(Serialize)]
        struct Within {
            low: (f64, f64),
            high: (f64, f64),
        }
        serializer.collect_map(self.0.iter().map(|f| {
            let ends = Within {
                low: f.low_within,
                high: f.high_within,
            };
            (&f.figure.name, ends)
        }))
    }
}

impl<'a> Banded<'a> {
    pub(super) fn of(bands: &'a Bands) -> Self {
        let failed = bands.failures.iter();
        Self {
            draws: bands.draws,
            seed: bands.seed,
            percentiles: [LOW, HIGH].map(|part| 100.0 * part),
            uncertain_inputs: bands.factors.iter().map(|f| f.name.as_str()).collect(),
            failed_draws: failed
                .map(|(draw, reason)| Failed {
                    draw: *draw,
                    reason,
                })
                .collect(),
            events: bands.events.iter().map(OfEvent::of).collect(),
            requirements_met: counted(&bands.requirements),
            limits_broken: counted(&bands.limits),
            ranking: bands.main_figure().and_then(|f| ranked(f, &bands.factors)),
            convergence: Convergence(&bands.figures),
        }
    }
}

fn counted(chances: &[(Bound, Chance)]) -> Vec<Counted<'_>> {
    let counted = chances.iter().map(|(bound, chance)| Counted {
        bound: &bound.path,
        asked: &bound.text,
        probability: chance.part(),
        confidence_95: chance.interval_95(),
    });
    counted.collect()
}

fn ranked<'a>(band: &'a FigureBand, factors: &'a [Factor]) -> Option<Ranked<'a>> {
    let ranking = band.ranking.as_ref()?;
    let shares = ranking.influences.iter().map(|i| Share {
        input: &factors[i.factor].name,
        share_of_variance: i.share,
    });
    Some(Ranked {
        figure: &band.figure.name,
        r_squared: ranking.r_squared,
        shares: shares.collect(),
    })
}
