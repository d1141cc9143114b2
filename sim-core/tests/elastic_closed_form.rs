//! Elastic columns against closed forms: waves at a joint, line packing, and no wave where nothing moves.

use sim_core::elastic_column::{ElasticColumn, Passage, Pipe};

const SHUT: Passage = Passage {
    loss: f64::INFINITY,
    throat_loss: f64::INFINITY,
};

/// A pipe of 10 m, 1000 m/s, with some impedance B = a/A; level, without friction.
fn pipe(impedance: f64) -> Pipe {
    Pipe {
        length_m: 10.0,
        area_m2: 1000.0 / impedance,
        wave_speed_m_s: 1000.0,
        loss: 0.0,
        rise_pa: 0.0,
        inlet_pa: 20e5,
        outlet_pa: 20e5,
        outlet_loss: 0.0,
    }
}

fn column(pipes: Vec<Pipe>) -> ElasticColumn {
    ElasticColumn {
        behind_pa: pipes[pipes.len() - 1].outlet_pa,
        pipes,
        flow_kg_s: 1.0,
        tank_pa: 20e5,
        inlet_loss: 0.0,
        throat_pa: -1e9,
        vapour_pa: -1e9,
    }
}

#[test]
fn a_wave_that_meets_a_wider_pipe_comes_back_turned() {
    let (wide, narrow) = (1e5, 4e5);
    let column = column(vec![pipe(wide), pipe(narrow)]);
    let stopped = column.stopped(column.echo_s(), |_| SHUT).expect("pipes");
    // The rise B m runs up the narrow pipe; at the joint (B1 - B2)/(B1 + B2) of it comes back and is
    // doubled at the shut valve; 2 B1/(B1 + B2) of it goes on.
    let reflected = (wide - narrow) / (wide + narrow);
    for &(time_s, pa) in &stopped.at_valve[1..] {
        let waves = if time_s < 0.0199 {
            0.0
        } else {
            2.0 * reflected
        };
        let expected = 20e5 + narrow * (1.0 + waves);
        // Edges within a step of the reckoning are left out; sums of a few waves: rounding.
        if (time_s - 0.02).abs() > 3e-4 && time_s < 0.0395 {
            assert!(
                (pa / expected - 1.0).abs() < 1e-12,
                "{time_s} {pa} {expected}"
            );
        }
    }
    let passed = 20e5 + narrow * 2.0 * wide / (wide + narrow);
    assert!((stopped.highest_pa[0].1 / passed - 1.0).abs() < 1e-12);
    assert!((stopped.highest_pa[1].1 / (20e5 + narrow) - 1.0).abs() < 1e-12);
}

#[test]
fn friction_packs_the_line_up_to_the_tanks_level() {
    let lost = 2e5;
    let rough = Pipe {
        loss: lost,
        outlet_pa: 20e5 - lost,
        ..pipe(4e5)
    };
    let column = column(vec![rough]);
    let stopped = column.stopped(column.echo_s(), |_| SHUT).expect("pipe");
    let at_once = stopped.at_valve[1].1;
    // The first step knows the friction of one of at least 32 reaches.
    assert!(
        at_once > 22e5 && at_once <= 22e5 + lost / 32.0 * 1.001,
        "{at_once}"
    );
    let peak = stopped.peak_pa();
    assert!(peak > 22e5 + 0.5 * lost && peak < 24e5, "{peak}");
    // Pressures fall and rise evenly in a frictionless column; with friction the peak is late.
    let late = stopped
        .at_valve
        .iter()
        .find(|row| row.1 == peak)
        .expect("a peak");
    assert!(late.0 > 0.9 * column.echo_s(), "{late:?}");
}

#[test]
fn what_flows_evenly_goes_on_evenly() {
    // Uphill by 1 bar, with friction, a joint that takes 3 bar, and a valve that takes what is left.
    let up = Pipe {
        loss: 1e5,
        rise_pa: 1e5,
        inlet_pa: 19e5,
        outlet_pa: 17e5,
        outlet_loss: 3e5,
        ..pipe(4e5)
    };
    let down = Pipe {
        loss: 2e5,
        rise_pa: -0.5e5,
        inlet_pa: 14e5,
        outlet_pa: 12.5e5,
        ..pipe(2e5)
    };
    let mut column = column(vec![up, down]);
    column.inlet_loss = 1e5;
    column.behind_pa = 1e5;
    let open = Passage {
        loss: 11.5e5,
        throat_loss: 20e5,
    };
    let stopped = column
        .stopped(8.0 * column.echo_s(), |_| open)
        .expect("pipes");
    assert!(stopped.at_valve.len() > 500);
    for (time_s, pa) in stopped.at_valve {
        assert!((pa / 12.5e5 - 1.0).abs() < 1e-12, "{time_s} {pa}");
    }
    // A throat that boils takes over where it passes less.
    column.throat_pa = 0.2e5;
    let choked = Passage {
        throat_loss: 12.3e5 * 4.0,
        ..open
    };
    let stopped = column
        .stopped(20.0 * column.echo_s(), |_| choked)
        .expect("pipes");
    let settled = stopped.at_valve[stopped.at_valve.len() - 1].1;
    // 20 bar less the rise, at a flow m: 19.5e5 = (1 + 1 + 3 + 2) e5 m2 + 49.2e5 m2 + 0.2e5.
    let flow_squared = 19.3 / (7.0 + 49.2);
    let expected = 20e5 - 0.5e5 - 7e5 * flow_squared;
    // Waves of a stop that is not sudden die out with friction: what is left after 20 echoes.
    assert!(
        (settled / expected - 1.0).abs() < 1e-3,
        "{settled} {expected}"
    );
}

#[test]
fn a_column_that_falls_to_its_vapour_pressure_parts() {
    let mut low = column(vec![pipe(30e5)]);
    low.vapour_pa = 2e3;
    let stopped = low.stopped(3.0 * low.echo_s(), |_| SHUT).expect("pipe");
    // The wave comes back from the tank as a fall of 60 bar.
    let parts_s = stopped.parts_s.expect("it parts");
    assert!((parts_s / low.echo_s() - 1.0).abs() < 0.03, "{parts_s}");
    assert!((stopped.peak_pa() / 50e5 - 1.0).abs() < 1e-12);
}

#[test]
fn no_pipe_has_no_waves() {
    let point = Pipe {
        length_m: 0.0,
        ..pipe(1e5)
    };
    assert!(column(vec![point]).stopped(1.0, |_| SHUT).is_none());
}
