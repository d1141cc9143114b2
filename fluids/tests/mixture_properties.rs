//! Properties that hold for every mixture and state: partials are derivatives, the flux is
//! monotone and joins smoothly where it chokes.

use fluids::{GasMixture, MAX_SPECIES, PropertyMode, SpeciesSpec};
use proptest::prelude::*;

fn perfect_pair() -> GasMixture {
    let species = [("light", 5.0 / 3.0, 0.004), ("heavy", 1.3, 0.044)];
    let species = species.map(|(name, k, m)| SpeciesSpec::Perfect {
        name: name.to_owned(),
        heat_capacity_ratio: k,
        molar_mass_kg_mol: m,
    });
    GasMixture::new(&species, PropertyMode::Polished).expect("two perfect gases")
}

/// Central difference of f at x with the relative step that balances rounding and truncation.
fn slope(x: f64, f: impl Fn(f64) -> f64) -> f64 {
    let h = 1e-5 * x;
    (f(x + h) - f(x - h)) / (2.0 * h)
}

/// Central differences are good to about 1e-9 of the value over its argument.
fn same(partial: f64, difference: f64, scale: f64) -> Result<(), TestCaseError> {
    within(1e-7, partial, difference, scale)
}

/// The partials of a mixture are those of a state up to 2e-5 of T away, over which heat capacities
/// change by up to twice as much.
fn nearly_same(partial: f64, difference: f64, scale: f64) -> Result<(), TestCaseError> {
    within(5e-5, partial, difference, scale)
}

fn within(tolerance: f64, partial: f64, difference: f64, scale: f64) -> Result<(), TestCaseError> {
    let error = (partial - difference).abs() / scale.abs();
    prop_assert!(error < tolerance, "{partial} against {difference}");
    Ok(())
}

/// The gases of an ullage and of a bottle; the last has a pair without constants.
fn real_mixture(which: usize) -> GasMixture {
    let lists: [&[&str]; 3] = [
        &["nitrogen", "water"],
        &["nitrogen", "helium", "water"],
        &["helium", "air", "ethanol"],
    ];
    let named = |name: &&str| SpeciesSpec::Named((*name).to_owned());
    let species: Vec<SpeciesSpec> = lists[which].iter().map(named).collect();
    GasMixture::new(&species, PropertyMode::Polished).expect("known gases")
}

/// Densities of the three species from total moles (mol/m3) and mole fractions.
fn densities(gas: &GasMixture, moles: f64, x: [f64; 3]) -> [f64; MAX_SPECIES] {
    let mut row = [0.0; MAX_SPECIES];
    let sum: f64 = x[..gas.len()].iter().sum();
    for k in 0..gas.len() {
        row[k] = moles * x[k] / sum * gas.molar_mass_kg_mol(k);
    }
    row
}

proptest! {
    #[test]
    fn partials_of_the_state(a in 0.1..50.0, b in 0.1..50.0, t in 150.0..500.0) {
        let gas = perfect_pair();
        let energy = (a * 3118.0 + b * 630.0) * t;
        let of = |a: f64, b: f64, e: f64| gas.state(&[a, b], e).expect("in range");
        let state = of(a, b, energy);
        let (p, t) = (state.pressure_pa, state.temperature_k);
        same(p.by_energy, slope(energy, |e| of(a, b, e).pressure_pa.value), p.value / energy)?;
        same(t.by_energy, slope(energy, |e| of(a, b, e).temperature_k.value), t.value / energy)?;
        same(p.by_density[0], slope(a, |a| of(a, b, energy).pressure_pa.value), p.value / a)?;
        same(t.by_density[1], slope(b, |b| of(a, b, energy).temperature_k.value), t.value / b)?;
    }

    #[test]
    fn partials_of_the_film(a in 0.1..50.0, b in 0.1..50.0, t in 150.0..500.0) {
        let gas = perfect_pair();
        let film = gas.film(&[a, b], t).expect("in range");
        let of = |a: f64, b: f64, t: f64| gas.film(&[a, b], t).expect("in range");
        let (k, r, pr) = (film.conductivity, film.rayleigh_group, film.prandtl);
        same(k.by_density[0], slope(a, |a| of(a, b, t).conductivity.value), k.value / a)?;
        same(pr.by_density[1], slope(b, |b| of(a, b, t).prandtl.value), pr.value / b)?;
        same(r.by_density[0], slope(a, |a| of(a, b, t).rayleigh_group.value), r.value / a)?;
        same(r.by_temperature, slope(t, |t| of(a, b, t).rayleigh_group.value), r.value / t)?;
    }

    #[test]
    fn partials_of_the_flux(w in 0.0..1.0, p0 in 1e5..3e7, t0 in 150.0..500.0, r in 0.05..0.999_f64) {
        let gas = perfect_pair();
        let of = |w: f64, p0: f64, t0: f64, back: f64| {
            gas.nozzle_flux(&[w, 1.0 - w], p0, t0, back).expect("in range")
        };
        let back = r * p0;
        let flux = of(w, p0, t0, back);
        // A step across the choking point averages both sides, and half the digits of p0 are
        // lost in the drop, so that the bound widens as the drop closes.
        let scale = flux.value / (1.0 - r).powi(2);
        same(flux.by_p0, slope(p0, |p0| of(w, p0, t0, back).value), scale / p0)?;
        same(flux.by_t0, slope(t0, |t0| of(w, p0, t0, back).value), scale / t0)?;
        same(flux.by_p_back, slope(back, |back| of(w, p0, t0, back).value), scale / back)?;
        let [by_light, by_heavy, ..]: [f64; MAX_SPECIES] = flux.by_mass_fraction;
        let w = w.clamp(1e-3, 0.999);
        let flux_by_w = slope(w, |w| of(w, p0, t0, back).value);
        let here = of(w, p0, t0, back).by_mass_fraction;
        prop_assert!(by_light <= 0.0 && by_heavy <= 0.0);
        same(here[0] - here[1], flux_by_w, scale / w)?;
    }

    #[test]
    fn flux_falls_as_back_pressure_rises(w in 0.0..1.0, p0 in 1e5..3e7, t0 in 150.0..500.0) {
        let gas = perfect_pair();
        let mut last = f64::INFINITY;
        for i in 0..=200 {
            let back = p0 * (f64::from(i) / 200.0);
            let flux = gas.nozzle_flux(&[w, 1.0 - w], p0, t0, back).expect("in range");
            prop_assert!(flux.value <= last);
            prop_assert!(flux.by_p_back <= 0.0);
            last = flux.value;
        }
        prop_assert_eq!(last, 0.0);
    }

    #[test]
    fn choking_leaves_no_kink(p0 in 1e5..3e7, t0 in 150.0..500.0) {
        let gas = perfect_pair();
        let of = |back: f64| gas.nozzle_flux(&[1.0, 0.0], p0, t0, back).expect("in range");
        let critical = of(0.0).critical_ratio * p0;
        let (below, above) = (of(critical * (1.0 - 1e-9)), of(critical * (1.0 + 1e-9)));
        prop_assert!(below.choked && !above.choked);
        // phi is quadratic at the top: a step of 1e-9 lowers it by 1e-18 and tilts it by 1e-9.
        prop_assert!((above.value / below.value - 1.0).abs() < 1e-14);
        prop_assert!(above.by_p_back.abs() * p0 / above.value < 1e-7);
    }

    #[test]
    fn partials_of_a_real_state(
        which in 0usize..3, moles in 10.0..9000.0, t in 240.0..500.0,
        x in 0.3..1.0, y in 0.05..1.0, z in 0.001..0.05,
    ) {
        let gas = real_mixture(which);
        let shares = if gas.len() == 2 { [x, z, 0.0] } else { [x, y, z] };
        let rho = densities(&gas, moles, shares);
        let at = gas.at(1e5, t, &shares).expect("in range");
        let energy = at.energy_j_m3 / at.density_kg_m3.iter().sum::<f64>() * rho.iter().sum::<f64>();
        let of = |rho: &[f64], e: f64| gas.state(rho, e).expect("in range");
        let state = of(&rho, energy);
        let (p, t) = (state.pressure_pa, state.temperature_k);
        // Energies may pass through zero: the step goes with the thermal energy instead.
        let h = 1e-6 * p.value;
        let by_energy = |f: fn(&fluids::GasState) -> f64| {
            (f(&of(&rho, energy + h)) - f(&of(&rho, energy - h))) / (2.0 * h)
        };
        nearly_same(p.by_energy, by_energy(|s| s.pressure_pa.value), 1.0)?;
        nearly_same(t.by_energy, by_energy(|s| s.temperature_k.value), t.value / p.value)?;
        for k in 0..gas.len() {
            let with = |r: f64| {
                let mut other = rho;
                other[k] = r;
                of(&other, energy)
            };
            let scale = p.value / rho[k];
            nearly_same(p.by_density[k], slope(rho[k], |r| with(r).pressure_pa.value), scale)?;
            let scale = t.value / rho[k];
            nearly_same(t.by_density[k], slope(rho[k], |r| with(r).temperature_k.value), scale)?;
        }
    }

    #[test]
    fn partials_of_a_real_flux(
        which in 0usize..3, p0 in 1e3..3e7, t0 in 240.0..500.0, r in 0.05..0.99_f64, w in 0.0..0.02,
    ) {
        let gas = real_mixture(which);
        let fractions = [1.0 - w, 0.0, w];
        let of = |p0: f64, t0: f64, back: f64| {
            gas.nozzle_flux(&fractions[..gas.len()], p0, t0, back).expect("in range")
        };
        let back = r * p0;
        let flux = of(p0, t0, back);
        let scale = flux.value / (1.0 - r).powi(2);
        same(flux.by_p0, slope(p0, |p0| of(p0, t0, back).value), scale / p0)?;
        same(flux.by_t0, slope(t0, |t0| of(p0, t0, back).value), scale / t0)?;
        same(flux.by_p_back, slope(back, |back| of(p0, t0, back).value), scale / back)?;
        prop_assert!(flux.by_p_back <= 0.0 && flux.by_p0 > 0.0);
    }

    #[test]
    fn real_flux_falls_as_back_pressure_rises(p0 in 1e3..4e7, t0 in 200.0..600.0) {
        for name in ["nitrogen", "helium", "oxygen"] {
            let species = [SpeciesSpec::Named(name.to_owned())];
            let gas = GasMixture::new(&species, PropertyMode::Polished).expect("known");
            let of = |share: f64| gas.nozzle_flux(&[1.0], p0, t0, p0 * share);
            if of(0.0).is_err() {
                continue; // dense and cold: beyond the table's edge
            }
            let mut last = f64::INFINITY;
            for i in 0..=100 {
                let flux = of(f64::from(i) / 100.0).expect("in range").value;
                prop_assert!(flux <= last, "{name} at {i} %");
                last = flux;
            }
            prop_assert_eq!(last, 0.0);
        }
    }

    #[test]
    fn partials_of_a_real_film(
        which in 0usize..3, moles in 10.0..9000.0, t in 240.0..500.0,
        x in 0.3..1.0, y in 0.05..1.0, z in 0.001..0.05,
    ) {
        let gas = real_mixture(which);
        let rho = densities(&gas, moles, [x, y, z]);
        let of = |rho: &[f64], t: f64| gas.film(rho, t).expect("in range");
        let parts = |film: fluids::FilmProperties| [film.conductivity, film.rayleigh_group, film.prandtl];
        let here = parts(of(&rho, t));
        for (j, part) in here.iter().enumerate() {
            same(part.by_temperature, slope(t, |t| parts(of(&rho, t))[j].value), part.value / t)?;
            for k in 0..gas.len() {
                let with = |r: f64| {
                    let mut other = rho;
                    other[k] = r;
                    parts(of(&other, t))[j].value
                };
                same(part.by_density[k], slope(rho[k], with), part.value / rho[k])?;
            }
        }
    }

    #[test]
    fn a_trace_joins_its_absence(moles in 10.0..9000.0, t in 240.0..500.0) {
        let gas = real_mixture(0);
        let rho = densities(&gas, moles, [1.0, 0.0, 0.0]);
        let point = gas.at(1e5, t, &[1.0, 0.0]).expect("in range");
        let energy = point.energy_j_m3 / point.density_kg_m3[0] * rho[0];
        let alone = gas.state(&rho, energy).expect("in range");
        for trace in [1e-12, -1e-12] {
            let mut with = rho;
            with[1] = trace * rho[0];
            let state = gas.state(&with, energy).expect("a rounding error is no state");
            // The table with its correction is good to 1e-8 of p and T.
            let error = (state.pressure_pa.value / alone.pressure_pa.value - 1.0).abs();
            prop_assert!(error < 1e-8, "{error:e}");
        }
    }

    #[test]
    fn two_roundings_of_opposite_sign_do_no_harm(moles in 10.0..9000.0, a in -1e-9..1e-9, b in -1e-9..1e-9) {
        let gas = real_mixture(1);
        let point = gas.at(1e5, 300.0, &[1.0, 0.0, 0.0]).expect("in range");
        let mut rho = densities(&gas, moles, [1.0, 0.0, 0.0]);
        let energy = point.energy_j_m3 / point.density_kg_m3[0] * rho[0];
        let alone = gas.state(&rho, energy).expect("in range");
        (rho[1], rho[2]) = (a * rho[0], b * rho[0]);
        let state = gas.state(&rho, energy).expect("rounding errors are no states");
        let error = (state.pressure_pa.value / alone.pressure_pa.value - 1.0).abs();
        prop_assert!(error < 1e-7, "{error:e}");
    }

    /// Any bytes at all: an answer or an error, never a panic, and never an answer of no number.
    #[test]
    fn no_input_panics(which in 0usize..3, v in proptest::array::uniform8(any::<f64>())) {
        let gas = real_mixture(which);
        let [a, b, c, d, e, f, g, h] = v;
        if let Ok(state) = gas.state(&[a, b, c], d) {
            prop_assert!(state.pressure_pa.value.is_finite() && state.temperature_k.value > 0.0);
        }
        if let Ok(flux) = gas.nozzle_flux(&[e, f, g], a, b, c) {
            prop_assert!(!flux.value.is_nan());
        }
        let _ = (gas.at(a, b, &[c, d, e]), gas.film(&[f, g, h], a));
        let _ = (gas.heat_capacity_ratio(&[a, b, c], d), gas.vapour_enthalpy(which, e));
        let _ = gas.state(&v, h);
    }
}

proptest! {
    /// Below 1e-8 of the mass a species is followed to first order as an ideal gas, above it the
    /// whole mixture is solved. Where the way changes, pressure and temperature may change by as much
    /// as the lookup of a pure gas is good to, 1e-8, and by the interaction of the trace, which is
    /// at most of the order of its share of the moles, 5e-8 for helium among oxygen.
    #[test]
    fn a_trace_comes_without_a_step(t in 120.0..350.0_f64, rho in 1.0..60.0_f64, swap in any::<bool>()) {
        let names = if swap { ["oxygen", "helium"] } else { ["helium", "oxygen"] };
        let species = names.map(|n| SpeciesSpec::Named(n.to_owned()));
        let gas = GasMixture::new(&species, PropertyMode::Polished).expect("known gases");
        let rho = if swap { rho } else { rho / 8.0 };
        let energy = rho * (gas.vapour_enthalpy(0, t).0 - 8.314 * t / gas.molar_mass_kg_mol(0));
        let state = |share: f64| gas.state(&[rho, rho * share], energy).map_err(|e| {
            TestCaseError::fail(e.to_string())
        });
        let (below, above) = (state(0.99e-8)?, state(1.01e-8)?);
        let step = |a: f64, b: f64| (a / b - 1.0).abs();
        prop_assert!(step(below.pressure_pa.value, above.pressure_pa.value) < 6e-8);
        prop_assert!(step(below.temperature_k.value, above.temperature_k.value) < 6e-8);
    }
}

proptest! {
    /// A search from a temperature up to a twentieth off ends at the same state: both leave the square of
    /// 2e-5, as far as heat capacities bend.
    #[test]
    fn a_state_is_the_same_from_nearby(
        which in 0..3_usize, t in 300.0..400.0_f64, moles in 1.0..1500.0_f64,
        x in prop::array::uniform3(0.01..1.0_f64), off in 0.95..1.05_f64,
    ) {
        let gas = real_mixture(which);
        // Little of what would condense.
        let mut x = x;
        x[gas.len() - 1] *= 1e-2;
        let rho = &densities(&gas, moles, x)[..gas.len()];
        let enthalpy = |k: usize| gas.vapour_enthalpy(k, t).0 - 8.314 * t / gas.molar_mass_kg_mol(k);
        let energy = rho.iter().enumerate().map(|(k, rho)| rho * enthalpy(k)).sum::<f64>();
        let alone = gas.state(rho, energy);
        prop_assume!(alone.is_ok());
        let near = gas.state_near(rho, energy, off * t).map_err(|e| TestCaseError::fail(e.to_string()))?;
        let alone = alone.map_err(|e| TestCaseError::fail(e.to_string()))?;
        within(2e-9, near.pressure_pa.value, alone.pressure_pa.value, alone.pressure_pa.value)?;
        within(2e-9, near.temperature_k.value, alone.temperature_k.value, t)?;
    }
}

/// Property: beyond the hot end of its transport data (methane 620 K, nitrous oxide 520 K) a gas keeps the
/// conductivity of that end, alone and among others, and the slopes are those of what is told: a step of a
/// thousandth of a kelvin leaves 1e-6 of them.
#[test]
fn a_gas_hotter_than_its_data_has_the_film_of_their_end() {
    let cases = [
        (&["methane"][..], 620.0),
        (&["nitrous oxide"], 520.0),
        (&["methane", "nitrous oxide"], 620.0),
    ];
    for (names, end_k) in cases {
        let species = names.iter().map(|n| SpeciesSpec::Named((*n).to_owned()));
        let species: Vec<_> = species.collect();
        let gas = GasMixture::new(&species, PropertyMode::Polished).expect("known gases");
        let film = |t: f64| gas.film(&[5.0, 5.0][..names.len()], t).expect("a film");
        let (end, beyond) = (film(end_k), film(end_k + 150.0));
        assert_eq!(beyond.conductivity.value, end.conductivity.value);
        assert_eq!(beyond.conductivity.by_temperature, 0.0);
        let rayleigh = |t: f64| film(t).rayleigh_group.value;
        let slope = (rayleigh(end_k + 150.001) - rayleigh(end_k + 149.999)) / 0.002;
        let told = beyond.rayleigh_group.by_temperature;
        assert!((told / slope - 1.0).abs() < 1e-6, "{told} {slope}");
    }
}

/// Property: the dilute vapour of a liquid among other gases is led on beyond its data (ethanol 650 K) without a
/// step: about linear in temperature, it changes by some 1.5e-6 over a millikelvin.
#[test]
fn a_hot_vapour_among_others_is_led_on() {
    let species = ["nitrogen", "ethanol"].map(|n| SpeciesSpec::Named(n.to_owned()));
    let gas = GasMixture::new(&species, PropertyMode::Polished).expect("known gases");
    let film = |t: f64| gas.film(&[5.0, 0.1], t).expect("a film").conductivity.value;
    assert!((film(650.0005) / film(649.9995) - 1.0).abs() < 3e-6);
    assert!(film(720.0) > film(660.0));
}

/// Oxygen freezes at 54.361 K (triple point, Schmidt and Wagner 1985). Alone it has no film there; what is
/// left of it in colder helium, one in a million, changes the film of helium by as little, and by no step
/// where it freezes.
#[test]
fn a_frozen_trace_leaves_the_film_of_helium() {
    let named = |name: &str| SpeciesSpec::Named(name.to_owned());
    let film = |names: &[&str], density: &[f64], t: f64| {
        let species: Vec<_> = names.iter().map(|name| named(name)).collect();
        let gas = GasMixture::new(&species, PropertyMode::Polished).expect("known gases");
        gas.film(density, t)
    };
    film(&["oxygen"], &[0.1], 40.0).expect_err("it is frozen");
    for t in [30.0, 54.36, 54.37] {
        let pure = film(&["helium"], &[1.0], t).expect("a gas");
        let mixed = film(&["helium", "oxygen"], &[1.0, 1e-6], t).expect("a gas");
        for (a, b) in [
            (pure.conductivity.value, mixed.conductivity.value),
            (pure.prandtl.value, mixed.prandtl.value),
            (pure.rayleigh_group.value, mixed.rayleigh_group.value),
        ] {
            assert!((a / b - 1.0).abs() < 1e-5, "{t} K: {a} {b}");
        }
    }
}
