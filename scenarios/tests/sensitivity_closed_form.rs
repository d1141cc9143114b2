//! Tornado and elementary effects on models whose answer is plain.

use scenarios::Distribution;
use scenarios::studies::Factor;
use scenarios::studies::morris::morris;
use scenarios::studies::parallel::{in_order, silent};
use scenarios::studies::sweep::{Axis, Points, shard};
use scenarios::studies::tornado::tornado;

fn unit(name: &str) -> Factor {
    Factor {
        name: name.to_owned(),
        nominal: 0.5,
        distribution: Distribution::Uniform {
            low: 0.0,
            high: 1.0,
        },
    }
}

/// y = 3 a - 2 b: half of a distribution of width one is a move of 0.5, wherever it starts.
#[test]
fn effects_of_a_linear_model_are_its_coefficients() {
    let factors = [unit("a"), unit("b"), unit("c")];
    let effects = morris(&factors, 6, 1, &silent, |x| {
        Ok(vec![3.0 * x[0] - 2.0 * x[1]])
    });
    let of = |k: usize| effects[k][0];
    // Rounding of differences of numbers near one.
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
    close(of(0).mean, 1.5);
    close(of(1).mean, -1.0);
    close(of(1).mean_absolute, 1.0);
    close(of(2).mean_absolute, 0.0);
    close(of(0).deviation, 0.0);
}

/// y = a b: the effect of one depends on the other, which shows in the deviation.
#[test]
fn an_interaction_shows_in_the_deviation() {
    let factors = [unit("a"), unit("b")];
    let effects = morris(&factors, 20, 1, &silent, |x| Ok(vec![x[0] * x[1]]));
    assert!(effects[0][0].deviation > 0.05, "{effects:?}");
}

/// The 95 % interval of a uniform input over 0 .. 1 ends at 0.025 and 0.975.
#[test]
fn swings_are_those_of_the_interval() {
    let swings = tornado(&[unit("a"), unit("b")], &silent, |x| {
        Ok(vec![3.0 * x[0] - 2.0 * x[1]])
    });
    let swings = swings.expect("the model answers");
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
    close(swings.swings[0].low[0], -3.0 * 0.475);
    close(swings.swings[1].high[0], -2.0 * 0.475);
    close(swings.swings[0].reach(0), 3.0 * 0.475);
}

#[test]
fn shards_cover_every_point_once() {
    for of in 1..20 {
        let pieces = (1..=of).flat_map(|piece| shard(137, piece, of));
        assert!(pieces.eq(0..137), "{of}");
    }
}

#[test]
fn results_come_in_order_and_stop_at_the_first_error() {
    let mut seen = Vec::new();
    let ended = in_order(
        3..500,
        &silent,
        |i| i * i,
        |i, square| {
            seen.push((i, square));
            if i == 200 { Err("enough") } else { Ok(()) }
        },
    );
    assert_eq!(ended, Err("enough"));
    assert!(seen.iter().copied().eq((3..=200).map(|i| (i, i * i))));
}

#[test]
fn axes_are_read_and_their_last_one_varies_fastest() {
    let axes = [
        Axis::read("a.b.c", "5 L..50 L:10").expect("even steps"),
        Axis::read("d.e.f", "nitrogen, helium").expect("a list"),
    ];
    let points = Points {
        axes: axes.to_vec(),
        spread: 1,
        drawn: false,
        seed: 1,
    };
    assert_eq!(points.count(), 20);
    let texts = |i: u64| {
        points
            .overrides(i)
            .into_iter()
            .map(|o| o.1)
            .collect::<Vec<_>>()
    };
    assert_eq!(texts(0), ["5 L", "nitrogen"]);
    assert_eq!(texts(1), ["5 L", "helium"]);
    assert_eq!(texts(3), ["10 L", "helium"]);
    assert_eq!(texts(19), ["50 L", "helium"]);
    for wrong in ["5 L..50 bar:3", "..", "5 L..x:4", "1..2:1", "a,,b"] {
        assert!(Axis::read("a.b.c", wrong).is_err(), "{wrong}");
    }
}
