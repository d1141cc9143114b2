//! Tank geometry against solids whose level, area and volume are known in closed form.

use sim_core::components::tank_shape::TankGeometry;
use sim_core::network::{TankEnds, TankShape};
use std::f64::consts::PI;

/// The tables are monotone cubics through exact points, 161 of them: third-order between
/// points, first-order only where a shape closes.
const TABLE: f64 = 2e-4;

fn geometry(shape: &TankShape) -> TankGeometry {
    TankGeometry::new(shape).expect("the shape makes a body")
}

fn assert_close(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (got - expected).abs() <= tolerance * expected.abs(),
        "{what}: got {got}, expected {expected}"
    );
}

#[test]
fn sphere_cap() {
    let radius = 0.2_f64;
    let sphere = geometry(&TankShape::Sphere {
        volume_m3: 4.0 / 3.0 * PI * radius.powi(3),
    });
    assert_close(sphere.wall_m2(), 4.0 * PI * radius * radius, 1e-6, "wall");
    for level in [0.05, 0.13, 0.2, 0.31] {
        let volume = PI * level * level * (3.0 * radius - level) / 3.0;
        assert_close(sphere.level(volume), level, TABLE, "level");
        assert_close(
            sphere.wetted(volume),
            2.0 * PI * radius * level,
            TABLE,
            "wetted wall",
        );
        let surface = PI * level * (2.0 * radius - level);
        assert_close(sphere.surface(volume), surface, TABLE, "surface");
    }
}

/// A flat-ended cylinder is linear, and monotone cubics keep straight lines.
#[test]
fn upright_cylinder_is_exact() {
    let (diameter, height) = (0.3, 0.7);
    let section = PI / 4.0 * diameter * diameter;
    let tank = geometry(&TankShape::Cylinder {
        volume_m3: section * height,
        diameter_m: diameter,
        ends: TankEnds::Flat,
        lying: false,
    });
    let level = 0.4321;
    assert_close(tank.level(section * level), level, 1e-12, "level");
    assert_close(tank.height_m(), height, 1e-12, "height");
    // A parabola, which a monotone cubic follows to third order only.
    let integral = section * level * level / 2.0;
    assert_close(
        tank.level_integral(section * level),
        integral,
        1e-6,
        "level integral",
    );
    let wetted = section + PI * diameter * level;
    assert_close(tank.wetted(section * level), wetted, 1e-12, "wetted wall");
}

/// 2:1 ends: a pair of them holds pi D^3 / 12 and is an oblate spheroid of known area.
#[test]
fn elliptical_ends() {
    let diameter = 0.23_f64;
    let pair = PI * diameter.powi(3) / 12.0;
    let tank = geometry(&TankShape::Cylinder {
        volume_m3: 0.019,
        diameter_m: diameter,
        ends: TankEnds::Elliptical,
        lying: false,
    });
    let straight = (0.019 - pair) / (PI / 4.0 * diameter * diameter);
    assert_close(tank.height_m(), straight + diameter / 2.0, 1e-6, "height");
    let (a, eccentricity) = (diameter / 2.0, 0.75_f64.sqrt());
    let spheroid = 2.0
        * PI
        * a
        * a
        * (1.0 + (1.0 - eccentricity * eccentricity) / eccentricity * eccentricity.atanh());
    let wall = spheroid + PI * diameter * straight;
    assert_close(tank.wall_m2(), wall, 1e-5, "wall");
    assert_close(
        tank.level(0.0095),
        tank.height_m() / 2.0,
        1e-4,
        "half full is half high",
    );
}

/// Lying: half full stands at the axis with the full width open.
#[test]
fn lying_cylinder() {
    let (diameter, length) = (0.3, 0.7);
    let tank = geometry(&TankShape::Cylinder {
        volume_m3: PI / 4.0 * diameter * diameter * length,
        diameter_m: diameter,
        ends: TankEnds::Flat,
        lying: true,
    });
    let half = tank.volume_m3() / 2.0;
    assert_close(tank.level(half), diameter / 2.0, 1e-9, "level");
    assert_close(tank.surface(half), diameter * length, 1e-6, "surface");
}

/// Whatever its ends are, a tank that lies holds what it was given, and has the wall that it has upright: both
/// are the same body.
#[test]
fn a_tank_that_lies_has_the_volume_and_the_wall_that_it_has_upright() {
    for ends in [
        TankEnds::Flat,
        TankEnds::Elliptical,
        TankEnds::Hemispherical,
        TankEnds::Torispherical,
    ] {
        let [lying, upright] = [true, false].map(|lying| {
            geometry(&TankShape::Cylinder {
                volume_m3: 0.04,
                diameter_m: 0.4,
                ends,
                lying,
            })
        });
        // Rounding only: the straight part is what the ends leave of the volume.
        assert_close(lying.volume_m3(), 0.04, 1e-13, &format!("{ends:?}: volume"));
        // The quadrature steps over the line where the upright one's ends begin.
        let wall = upright.wall_m2();
        assert_close(lying.wall_m2(), wall, 1e-5, &format!("{ends:?}: wall"));
        // Half full stands at the axis, of every body that is as high above it as below.
        assert_close(lying.level(0.02), 0.2, 1e-9, &format!("{ends:?}: level"));
    }
}

/// DIN 28011 gives 0.1 D^3 for a dished end of crown D and knuckle 0.1 D (from memory).
#[test]
fn torispherical_ends() {
    let diameter = 1.0;
    let tank = geometry(&TankShape::Cylinder {
        volume_m3: 1.0,
        diameter_m: diameter,
        ends: TankEnds::Torispherical,
        lying: false,
    });
    // Depth 0.1935 D for the pair of arcs (closed form of the two tangent circles).
    let depth = 1.0 - (0.81_f64 - 0.16).sqrt();
    let straight = tank.height_m() - 2.0 * depth;
    let each = (1.0 - straight * PI / 4.0) / 2.0;
    // The standard rounds its factor to one figure.
    assert_close(each, 0.1, 0.02, "volume of one end");
}

#[test]
fn a_table_of_levels_is_followed() {
    let points = vec![(0.0, 0.0), (0.1, 0.002), (0.2, 0.006), (0.4, 0.012)];
    let tank = geometry(&TankShape::LevelTable { points });
    assert_close(tank.volume_m3(), 0.012, 1e-12, "volume");
    assert_close(
        tank.level(0.006),
        0.2,
        2e-3,
        "level at a point of the table",
    );
}

#[test]
fn impossible_dimensions_make_no_body() {
    let impossible = TankShape::Cylinder {
        volume_m3: 0.001,
        diameter_m: 1.0,
        ends: TankEnds::Hemispherical,
        lying: false,
    };
    assert!(TankGeometry::new(&impossible).is_none());
}
