//! Vertical torque of the ground on the player about a chosen axis, and the curves that go with it.

use crate::note::{Level, Note};
use crate::quiet::{AddressPlaces, Quiet};
use crate::stance::{Feet, FootLoad, Stance};

/// Which vertical axis torque is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// Fixed: midpoint of the two mean centres of pressure at address. Impulse about it is exactly
    /// a change of angular momentum about that axis.
    StanceCentre,
    /// Moving with the estimated centre of mass. Impulse about it is exactly a change of spin.
    Com,
    /// Moving with the combined centre of pressure: customary and descriptive only; its integral is
    /// not a change of momentum.
    CombinedCop,
}

impl Reference {
    /// The name used in options and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::StanceCentre => "stance-centre",
            Self::Com => "com",
            Self::CombinedCop => "combined-cop",
        }
    }
}

/// Place and speed of the centre of mass over the ground, one entry a sample.
#[derive(Debug, Clone, PartialEq)]
pub struct ComPath {
    /// Along the target line, metres from the lab origin.
    pub t_m: Vec<f64>,
    /// Toeward, metres from the lab origin.
    pub a_m: Vec<f64>,
    /// Speed toward the target, m/s.
    pub t_mps: Vec<f64>,
    /// Speed toeward, m/s.
    pub a_mps: Vec<f64>,
}

/// The centre of mass by double integration of the horizontal force from quiet stance, starting at
/// rest over the combined centre of pressure.
///
/// ```text
/// v' = F/m    r' = v    r(start) = mean combined CoP at address    v(start) = 0
/// r[i+1] = r[i] + v[i]·dt + (2·F[i] + F[i+1])/m · dt²/6      force straight between samples
/// ```
/// Start is the end of quiet stance; before it the centre of mass rests. A force that is off by
/// 2 N moves an 80 kg player by 1.8 cm in 1.2 s: see [`com_drift`].
///
/// `None` without shear. **Source:** Newton's second law; anchoring at rest over the centre of
/// pressure is common practice in posturography (King DL, Zatsiorsky VM (1997) Gait Posture
/// 6(1):27–38 for the general idea, whose own anchor does not hold in a swing).
pub fn com_path(
    stance: &Stance,
    quiet: &Quiet,
    places: &AddressPlaces,
    mass_kg: f64,
) -> Option<ComPath> {
    let shear = stance.total_shear()?;
    let n = stance.t_s.len();
    let start = quiet.end.saturating_sub(1);
    let along = |force: &[f64], place: f64| {
        let mut r = vec![place; n];
        let mut v = vec![0.0; n];
        for i in start..n.saturating_sub(1) {
            let dt = stance.t_s[i + 1] - stance.t_s[i];
            let (a0, a1) = (force[i] / mass_kg, force[i + 1] / mass_kg);
            r[i + 1] = r[i] + v[i] * dt + (2.0 * a0 + a1) * dt * dt / 6.0;
            v[i + 1] = v[i] + 0.5 * (a0 + a1) * dt;
        }
        (r, v)
    };
    let (t_m, t_mps) = along(&shear.ft_n, places.combined_m.0);
    let (a_m, a_mps) = along(&shear.fa_n, places.combined_m.1);
    Some(ComPath {
        t_m,
        a_m,
        t_mps,
        a_mps,
    })
}

/// Says how far the centre of mass may have drifted by impact, or by the end of the recording where
/// impact is not known, from the mean horizontal force that quiet stance should not have.
///
/// ```text
/// doubt = |F̄|/m · Δt²/2
/// ```
pub fn com_drift(
    quiet: &Quiet,
    residue: crate::quiet::Residue,
    mass_kg: f64,
    impact_s: Option<f64>,
    end_s: f64,
) -> Note {
    let dt = (impact_s.unwrap_or(end_s) - quiet.to_s).max(0.0);
    let until = match impact_s {
        Some(_) => "impact",
        None => "the end of the recording, for impact is not known",
    };
    let force = libm::hypot(residue.ft_n, residue.fa_n);
    let drift_mm = 1000.0 * force / mass_kg * dt * dt / 2.0;
    Note::new(
        "com-drift",
        if drift_mm > 20.0 {
            Level::Warn
        } else {
            Level::Note
        },
        format!(
            "The centre of mass is integrated from force; the {force:.1} N left in quiet stance would move it by {drift_mm:.0} mm until {until}. Zero the empty plates, take the mean of quiet stance off, or read torque about the stance centre."
        ),
    )
}

/// Curves of one foot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FootCurves {
    /// Centre of pressure along the target line, metres from the lab origin.
    pub cop_t_m: Vec<Option<f64>>,
    /// Centre of pressure toeward, metres from the lab origin.
    pub cop_a_m: Vec<Option<f64>>,
    /// Free moment, N·m; empty without shear.
    pub free_moment_nm: Vec<Option<f64>>,
    /// What the foot's shear adds to the torque about the reference, N·m: its whole moment about
    /// the reference less its free moment. Below the load threshold the foot has no free moment
    /// and all of it counts here. `None` where the reference itself is absent; empty without shear.
    pub shear_torque_nm: Vec<Option<f64>>,
}

/// Everything that is read off over time, about one reference.
#[derive(Debug, Clone, PartialEq)]
pub struct Curves {
    /// Which reference.
    pub about: Reference,
    /// Place of the reference `(t, a)`, metres from the lab origin; `None` where it is absent.
    pub reference_m: Vec<Option<(f64, f64)>>,
    /// Torque about it, N·m; `None` where the reference is absent; empty without shear.
    pub torque_nm: Vec<Option<f64>>,
    /// Foot-to-foot centre-of-pressure angle, degrees; empty on a single plate.
    pub cop_angle_deg: Vec<Option<f64>>,
    /// Lead foot; `None` on a single plate.
    pub lead: Option<FootCurves>,
    /// Trail foot; `None` on a single plate.
    pub trail: Option<FootCurves>,
    /// Combined centre of pressure `(t, a)`, metres from the lab origin.
    pub combined_cop_m: Vec<Option<(f64, f64)>>,
    /// Vertical moment about the combined centre of pressure, N·m; empty without shear.
    pub combined_free_moment_nm: Vec<Option<f64>>,
}

/// Torque about `P` from torque about the lab origin.
///
/// ```text
/// T_P = T_O − (a_P·F_t − t_P·F_a)
/// ```
/// The same as Σ_feet [(a_i − a_P)·F_t,i − (t_i − t_P)·F_a,i + τ_i], without dividing by a small
/// vertical force.
fn about(torque_about_origin: f64, ft: f64, fa: f64, place: (f64, f64)) -> f64 {
    torque_about_origin - (place.1 * ft - place.0 * fa)
}

/// Computes every curve about one reference.
///
/// `places` is needed for [`Reference::StanceCentre`], `com` for [`Reference::Com`] only; without it that reference is
/// absent throughout.
/// `threshold_n`: load below which a foot (and the combined centre of pressure) is absent.
pub fn curves(
    stance: &Stance,
    reference: Reference,
    places: Option<&AddressPlaces>,
    com: Option<&ComPath>,
    threshold_n: f64,
) -> Curves {
    let n = stance.t_s.len();
    let combined_cop_m: Vec<_> = (0..n)
        .map(|i| stance.combined_cop_m(i, threshold_n))
        .collect();
    let reference_m: Vec<Option<(f64, f64)>> = match reference {
        Reference::StanceCentre => vec![places.map(|p| p.stance_centre_m); n],
        Reference::Com => match com {
            Some(path) => path
                .t_m
                .iter()
                .zip(&path.a_m)
                .map(|(t, a)| Some((*t, *a)))
                .collect(),
            None => vec![None; n],
        },
        Reference::CombinedCop => combined_cop_m.clone(),
    };
    let (torque_nm, combined_free_moment_nm) = match stance.total_shear() {
        Some(shear) => {
            let moment_about = |points: &[Option<(f64, f64)>]| {
                points
                    .iter()
                    .enumerate()
                    .map(|(i, place)| {
                        place.map(|p| {
                            about(
                                shear.torque_about_origin_nm[i],
                                shear.ft_n[i],
                                shear.fa_n[i],
                                p,
                            )
                        })
                    })
                    .collect()
            };
            (moment_about(&reference_m), moment_about(&combined_cop_m))
        }
        None => (Vec::new(), Vec::new()),
    };
    let foot = |load: &FootLoad| foot_curves(load, &reference_m, threshold_n);
    let (lead, trail) = match &stance.feet {
        Feet::Two { lead, trail } => (Some(foot(lead)), Some(foot(trail))),
        Feet::Both(_) => (None, None),
    };
    let cop_angle_deg = match (&lead, &trail) {
        (Some(lead), Some(trail)) => (0..n).map(|i| angle_deg(lead, trail, i)).collect(),
        _ => Vec::new(),
    };
    Curves {
        about: reference,
        reference_m,
        torque_nm,
        cop_angle_deg,
        lead,
        trail,
        combined_cop_m,
        combined_free_moment_nm,
    }
}

fn foot_curves(
    load: &FootLoad,
    reference_m: &[Option<(f64, f64)>],
    threshold_n: f64,
) -> FootCurves {
    let n = load.fz_n.len();
    let cop: Vec<Option<(f64, f64)>> = (0..n).map(|i| load.cop_m(i, threshold_n)).collect();
    let (free_moment_nm, shear_torque_nm) = match &load.shear {
        Some(shear) => {
            let moment = |i: usize, place: (f64, f64)| {
                about(
                    shear.torque_about_origin_nm[i],
                    shear.ft_n[i],
                    shear.fa_n[i],
                    place,
                )
            };
            let free: Vec<Option<f64>> = (0..n).map(|i| cop[i].map(|c| moment(i, c))).collect();
            let sheared = (0..n)
                .map(|i| reference_m[i].map(|p| moment(i, p) - free[i].unwrap_or(0.0)))
                .collect();
            (free, sheared)
        }
        None => (Vec::new(), Vec::new()),
    };
    FootCurves {
        cop_t_m: cop.iter().map(|c| c.map(|c| c.0)).collect(),
        cop_a_m: cop.iter().map(|c| c.map(|c| c.1)).collect(),
        free_moment_nm,
        shear_torque_nm,
    }
}

/// Foot-to-foot centre-of-pressure angle.
///
/// ```text
/// θ = atan2(a_lead − a_trail, t_lead − t_trail)
/// ```
/// Degrees; positive when the lead foot's centre of pressure is further toward the toes. `None`
/// when either foot is below its load threshold.
fn angle_deg(lead: &FootCurves, trail: &FootCurves, i: usize) -> Option<f64> {
    let dt = lead.cop_t_m[i]? - trail.cop_t_m[i]?;
    let da = lead.cop_a_m[i]? - trail.cop_a_m[i]?;
    Some(libm::atan2(da, dt).to_degrees())
}
