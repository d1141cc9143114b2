//! Tank geometry: level, areas and centre of gravity against liquid volume (theory 5.1).
//!
//! An upright vessel is a body of revolution with r(z)^2 known in closed form, so volume
//! and wetted wall follow by quadrature of r^2 and sqrt(r^2 + (r r')^2). A lying cylinder
//! uses the circular segment; its dished ends are a sphere stretched along the axis to their volume.
//! Everything is tabulated once against volume as monotone cubics.

use crate::network::{TankEnds, TankShape};
use shared::{MonotoneCubic, Scalar};
use std::f64::consts::PI;

/// Levels at which a shape is tabulated, bunched towards bottom and top.
const LEVELS: usize = 161;

/// Panels per level step of the quadrature; the integrands are smooth within a step.
const PANELS: usize = 8;

/// A tank's inside, tabulated.
#[derive(Clone, Debug)]
pub struct TankGeometry {
    volume_m3: f64,
    height_m: f64,
    wall_m2: f64,
    level: MonotoneCubic,
    level_integral: MonotoneCubic,
    wetted: MonotoneCubic,
    surface: MonotoneCubic,
}

/// One row of the tabulation.
#[derive(Clone, Copy, Debug)]
struct Slice {
    level_m: f64,
    volume_m3: f64,
    wetted_m2: f64,
    /// Wall by level; not a number where it is not known in closed form.
    wetted_by_level_m: f64,
    surface_m2: f64,
}

impl TankGeometry {
    /// Tabulates a shape; `None` when its dimensions do not make a body.
    #[must_use]
    pub fn new(shape: &TankShape) -> Option<Self> {
        let slices = match shape {
            TankShape::Cylinder {
                volume_m3,
                diameter_m,
                ends,
                lying,
            } => cylinder(*volume_m3, *diameter_m, *ends, *lying)?,
            TankShape::Sphere { volume_m3 } => {
                let diameter = (6.0 * volume_m3 / PI).cbrt();
                upright(&Profile::new(diameter, 0.0, TankEnds::Hemispherical))
            }
            TankShape::LevelTable { points } => level_table(points)?,
        };
        Self::tabulate(&slices)
    }

    fn tabulate(slices: &[Slice]) -> Option<Self> {
        let last = *slices.last()?;
        let points = |of: fn(&Slice) -> f64| -> Vec<_> {
            slices.iter().map(|s| (s.volume_m3, of(s))).collect()
        };
        // What a volume adds to level and wall is known: the liquid's wall is a state's slope.
        let sloped = |of: fn(&Slice) -> f64, by_level: fn(&Slice) -> f64| {
            let slopes: Vec<_> = slices.iter().map(|s| by_level(s) / s.surface_m2).collect();
            MonotoneCubic::with_slopes(&points(of), &slopes).ok()
        };
        let level = sloped(|s| s.level_m, |_| 1.0)?;
        let level_integral = MonotoneCubic::new(&integral(slices)).ok()?;
        Some(Self {
            volume_m3: last.volume_m3,
            height_m: last.level_m,
            wall_m2: last.wetted_m2,
            level,
            level_integral,
            wetted: sloped(|s| s.wetted_m2, |s| s.wetted_by_level_m)?,
            surface: MonotoneCubic::new(&points(|s| s.surface_m2)).ok()?,
        })
    }

    /// Inner volume, m3.
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        self.volume_m3
    }

    /// Inner height, m.
    #[must_use]
    pub fn height_m(&self) -> f64 {
        self.height_m
    }

    /// Whole inner wall, m2.
    #[must_use]
    pub fn wall_m2(&self) -> f64 {
        self.wall_m2
    }

    /// Level above the lowest point in m at a liquid volume.
    #[must_use]
    pub fn level<S: Scalar>(&self, liquid_m3: S) -> S {
        self.level.at(liquid_m3)
    }

    /// Integral of the level over the liquid volume, m4: potential energy over rho g.
    #[must_use]
    pub fn level_integral(&self, liquid_m3: f64) -> f64 {
        self.level_integral.value_slope(liquid_m3).0
    }

    /// Wall below the level, m2.
    pub fn wetted<S: Scalar>(&self, liquid_m3: S) -> S {
        self.wetted.at(liquid_m3)
    }

    /// Wall that the liquid covers as it grows, 1/m.
    pub fn wetted_slope<S: Scalar>(&self, liquid_m3: S) -> S {
        self.wetted.slope_at(liquid_m3)
    }

    /// Area of the liquid's surface, m2.
    #[must_use]
    pub fn surface<S: Scalar>(&self, liquid_m3: S) -> S {
        self.surface.at(liquid_m3).max(S::zero())
    }
}

/// Trapezoid integral of level over volume, refined by the exact slope dV = A dh within a step.
fn integral(slices: &[Slice]) -> Vec<(f64, f64)> {
    let mut total = 0.0;
    let mut points = vec![(slices[0].volume_m3, 0.0)];
    for pair in slices.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let step = b.level_m - a.level_m;
        let trapezoid = 0.5 * (a.level_m + b.level_m) * (b.volume_m3 - a.volume_m3);
        // Corrected for the curvature of V(h), whose slope is the surface area.
        total += trapezoid - (b.surface_m2 - a.surface_m2) * step * step / 12.0;
        points.push((b.volume_m3, total));
    }
    points
}

/// Radius squared and its half slope along the axis of an upright body of revolution.
struct Profile {
    radius: f64,
    straight: f64,
    end_depth: f64,
    ends: TankEnds,
}

impl Profile {
    fn new(diameter: f64, straight: f64, ends: TankEnds) -> Self {
        Self {
            radius: diameter / 2.0,
            straight,
            end_depth: end_depth(diameter, ends),
            ends,
        }
    }

    fn height(&self) -> f64 {
        self.straight + 2.0 * self.end_depth
    }

    /// `(r^2, r r')` at a height above the lowest point.
    fn at(&self, z: f64) -> (f64, f64) {
        let from_bottom = self.end_depth - z;
        let from_top = z - self.end_depth - self.straight;
        if from_bottom > 0.0 {
            let (r2, slope) = self.end(from_bottom);
            (r2, -slope)
        } else if from_top > 0.0 {
            self.end(from_top)
        } else {
            (self.radius * self.radius, 0.0)
        }
    }

    /// The same within an end, at a distance from the tangent line outwards.
    fn end(&self, s: f64) -> (f64, f64) {
        let r = self.radius;
        match self.ends {
            TankEnds::Flat => (r * r, 0.0),
            TankEnds::Elliptical | TankEnds::Hemispherical => {
                let q = s / self.end_depth;
                (
                    (r * r * (1.0 - q * q)).max(0.0),
                    -r * r * q / self.end_depth,
                )
            }
            TankEnds::Torispherical => torispherical(r, s, self.end_depth),
        }
    }
}

/// Depth of one end.
fn end_depth(diameter: f64, ends: TankEnds) -> f64 {
    let r = diameter / 2.0;
    match ends {
        TankEnds::Flat => 0.0,
        TankEnds::Elliptical => r / 2.0,
        TankEnds::Hemispherical => r,
        TankEnds::Torispherical => {
            let (crown, knuckle) = (diameter, diameter / 10.0);
            crown - ((crown - knuckle).powi(2) - (r - knuckle).powi(2)).sqrt()
        }
    }
}

/// Knuckle of a tenth of the diameter up to where it meets the crown of one diameter.
fn torispherical(r: f64, s: f64, depth: f64) -> (f64, f64) {
    let (crown, knuckle) = (2.0 * r, r / 5.0);
    let crown_centre = depth - crown;
    // Both arcs share a tangent on the line through their centres.
    let meet = knuckle * (0.0 - crown_centre) / (crown - knuckle);
    if s <= meet {
        let arc = (knuckle * knuckle - s * s).max(0.0).sqrt();
        let radius = r - knuckle + arc;
        let slope = if arc > 0.0 { -s / arc } else { 0.0 };
        (radius * radius, radius * slope)
    } else {
        let along = s - crown_centre;
        ((crown * crown - along * along).max(0.0), -along)
    }
}

fn cylinder(volume: f64, diameter: f64, ends: TankEnds, lying: bool) -> Option<Vec<Slice>> {
    let r = diameter / 2.0;
    let heads = *upright(&Profile::new(diameter, 0.0, ends)).last()?;
    let straight = (volume - heads.volume_m3) / (PI * r * r);
    if !(straight.is_finite() && straight >= 0.0 && diameter > 0.0) {
        return None;
    }
    Some(if lying {
        lying_cylinder(diameter, straight, heads)
    } else {
        upright(&Profile::new(diameter, straight, ends))
    })
}

/// Heights bunched towards both ends of a span, where shapes round off.
fn levels(height: f64) -> impl Iterator<Item = f64> {
    (0..LEVELS).map(move |i| {
        let angle = PI * i as f64 / (LEVELS - 1) as f64;
        height * 0.5 * (1.0 - angle.cos())
    })
}

fn upright(profile: &Profile) -> Vec<Slice> {
    let plate = match profile.ends {
        TankEnds::Flat => PI * profile.radius * profile.radius,
        _ => 0.0,
    };
    let mut slices: Vec<Slice> = Vec::with_capacity(LEVELS);
    let (mut volume, mut wetted) = (0.0, plate);
    for level in levels(profile.height()) {
        if let Some(last) = slices.last() {
            let (dv, ds) = panel_sums(profile, last.level_m, level);
            volume += dv;
            wetted += ds;
        }
        let (r2, rr) = profile.at(level);
        slices.push(Slice {
            level_m: level,
            volume_m3: volume,
            wetted_m2: wetted,
            wetted_by_level_m: girth_m(r2, rr),
            surface_m2: PI * r2,
        });
    }
    if let Some(last) = slices.last_mut() {
        last.wetted_m2 += plate;
    }
    slices
}

/// Volume and wall between two heights, by the midpoint-pair (two-point Gauss) rule in panels.
fn panel_sums(profile: &Profile, from: f64, to: f64) -> (f64, f64) {
    const GAUSS: f64 = 0.288_675_134_594_812_9;
    let step = (to - from) / PANELS as f64;
    let (mut volume, mut wall) = (0.0, 0.0);
    for panel in 0..PANELS {
        let middle = from + (panel as f64 + 0.5) * step;
        for z in [middle - GAUSS * step, middle + GAUSS * step] {
            let (r2, rr) = profile.at(z);
            volume += 0.5 * step * PI * r2;
            wall += 0.5 * step * girth_m(r2, rr);
        }
    }
    (volume, wall)
}

/// Wall of a body of revolution by height, given r^2 and r r'.
fn girth_m(r2: f64, rr: f64) -> f64 {
    2.0 * PI * (r2 + rr * rr).sqrt()
}

/// `heads` is what both ends hold and their wall, without a straight part.
fn lying_cylinder(diameter: f64, straight: f64, heads: Slice) -> Vec<Slice> {
    let r = diameter / 2.0;
    // Stretched to the ends' volume, not to their depth: of a dish both differ.
    let stretch = heads.volume_m3 / (4.0 / 3.0 * PI * r * r * r);
    let heads_wall = heads.wetted_m2;
    levels(diameter)
        .map(|h| {
            let half_angle = (1.0 - h / r).clamp(-1.0, 1.0).acos();
            let half_width = (h * (diameter - h)).max(0.0).sqrt();
            let segment = r * r * half_angle - (r - h) * half_width;
            let sphere_cap = PI * h * h * (3.0 * r - h) / 3.0;
            let (heads_wetted, heads_by_level) = if stretch > 0.0 {
                (h / diameter, 1.0 / diameter)
            } else {
                let section = PI * r * r;
                (segment / section, 2.0 * half_width / section)
            };
            Slice {
                level_m: h,
                volume_m3: segment * straight + sphere_cap * stretch,
                wetted_m2: 2.0 * half_angle * r * straight + heads_wall * heads_wetted,
                wetted_by_level_m: 2.0 * r * straight / half_width + heads_wall * heads_by_level,
                surface_m2: 2.0 * half_width * straight + PI * half_width * half_width * stretch,
            }
        })
        .collect()
}

/// A measured level table: the wall is that of a round tank with the same section.
fn level_table(points: &[(f64, f64)]) -> Option<Vec<Slice>> {
    let volume_of_level = MonotoneCubic::new(points).ok()?;
    let (top, _) = *points.last()?;
    let mut slices: Vec<Slice> = Vec::new();
    let mut wetted = 0.0;
    for level in levels(top) {
        let (volume, section) = volume_of_level.value_slope(level);
        let radius = (section.max(0.0) / PI).sqrt();
        if let Some(last) = slices.last() {
            let last_radius = (last.surface_m2 / PI).sqrt();
            let slant = (level - last.level_m).hypot(radius - last_radius);
            wetted += PI * (radius + last_radius) * slant;
        } else {
            wetted += PI * radius * radius;
        }
        slices.push(Slice {
            level_m: level,
            volume_m3: volume,
            wetted_m2: wetted,
            wetted_by_level_m: f64::NAN,
            surface_m2: section.max(0.0),
        });
    }
    Some(slices)
}
