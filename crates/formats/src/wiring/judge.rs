//! What numbers say for themselves: weight, units, places.
//!
//! **Source:** body weights of 300 to 1800 N and the distances below are plausibility limits, common
//! practice; the formulae of centre of pressure are those of [`footing_core::plate`].

use crate::rig::{ForceUnit, LengthUnit, MomentUnit};
use std::ops::Range;

/// A centre of pressure further from its plate's centre than this is on no plate, metres.
const FURTHEST_M: f64 = 0.6;
/// The distance between the feet's centres of pressure, metres.
pub(super) const FEET_APART_M: Range<f64> = 0.2..0.9;

/// How far from its plate's centre a player's load reaches in a swing, metres: less is nobody who
/// moves, more is off the plate.
pub(super) const LEVER_M: Range<f64> = 0.012..0.45;
/// The greatest free moment of a swing, N·m.
pub(super) const FREE_MOMENT_NM: Range<f64> = 1.0..150.0;

/// The middle of some values, NaN left out.
pub(super) fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.filter(|value| value.is_finite()).collect();
    let middle = values.len() / 2;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// The spread from the 5th to the 95th hundredth of some values.
pub(super) fn range(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.filter(|value| value.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    let at = |part: usize| {
        values
            .get(values.len().saturating_sub(1) * part / 100)
            .copied()
    };
    Some(at(95)? - at(5)?)
}

/// The stretch in which a loaded total varies least: someone standing still.
pub(super) fn quiet(total: &[f64]) -> Range<usize> {
    let n = total.len();
    let window = (n / 12).max(4).min(n);
    let high = total.iter().copied().filter(|v| v.is_finite());
    let high = high.fold(0.0_f64, |most, v| most.max(v.abs()));
    let step = (window / 4).max(1);
    let mut best = (f64::INFINITY, 0..window);
    for from in (0..=n.saturating_sub(window)).step_by(step) {
        let values = total.get(from..from + window).unwrap_or_default();
        let mean = values.iter().sum::<f64>() / window as f64;
        let spread = values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>();
        // Nobody on the plates is stiller than anybody on them.
        if mean.abs() > 0.3 * high && spread < best.0 {
            best = (spread, from..from + window);
        }
    }
    best.1
}

/// The unit a weight in quiet stance can be in, and whether any other could be meant.
pub(super) fn force_unit(weight: f64) -> (Option<ForceUnit>, f64) {
    match weight {
        w if (405.0..=1800.0).contains(&w) => (Some(ForceUnit::Newton), 0.93),
        w if (300.0..405.0).contains(&w) => (Some(ForceUnit::Newton), 0.6),
        // One: a player of 102 kg, or anybody in body weights.
        w if (0.9..=1.1).contains(&w) => (Some(ForceUnit::Kilonewton), 0.4),
        w if (0.3..=1.8).contains(&w) => (Some(ForceUnit::Kilonewton), 0.93),
        w if (184.0..300.0).contains(&w) => (Some(ForceUnit::PoundForce), 0.6),
        w if (30.0..67.0).contains(&w) => (Some(ForceUnit::KilogramForce), 0.6),
        w if (67.0..184.0).contains(&w) => (Some(ForceUnit::KilogramForce), 0.4),
        _ => (None, 0.0),
    }
}

/// The unit of moments, from how far from the plate's centre they put the load: `arm` is |M|/|F_z|
/// in the table's own unit of moment over newtons. N·cm and kN·m are possible wherever the others are
/// not certain.
pub(super) fn moment_unit(arm: f64) -> (MomentUnit, f64) {
    // A lever of 5 cm reads 0.05 in N·m, 50 in N·mm, 5 in N·cm and 0.00005 in kN·m.
    match arm {
        a if LEVER_M.contains(&a) => (MomentUnit::NewtonMetre, 0.93),
        // In N·cm it would be off the plate.
        a if (45.0..600.0).contains(&a) => (MomentUnit::NewtonMillimetre, 0.93),
        a if (25.0..45.0).contains(&a) => (MomentUnit::NewtonMillimetre, 0.4),
        a if (1.5..25.0).contains(&a) => (MomentUnit::NewtonCentimetre, 0.4),
        a if a >= 600.0 => (MomentUnit::NewtonMillimetre, 0.3),
        a if a < 0.000_6 => (MomentUnit::KilonewtonMetre, 0.3),
        _ => (MomentUnit::NewtonMetre, 0.3),
    }
}

/// The unit of a free moment from its greatest value, and the unit of length beside it: it has no
/// lever, 5 to 40 N·m in a swing.
pub(super) fn free_moment_unit(peak: f64, beside: LengthUnit) -> (MomentUnit, f64) {
    match peak {
        p if (1.0..100.0).contains(&p) => (MomentUnit::NewtonMetre, 0.91),
        // In N·cm more than 100 N·m.
        p if p >= 10_000.0 => (MomentUnit::NewtonMillimetre, 0.91),
        // In N·cm beside millimetres, and more than 40 N·m.
        p if p >= 4_000.0 && beside == LengthUnit::Millimetre => {
            (MomentUnit::NewtonMillimetre, 0.91)
        }
        p if p >= 4_000.0 => (MomentUnit::NewtonMillimetre, 0.4),
        p if p >= 100.0 => (MomentUnit::NewtonCentimetre, 0.3),
        _ => (MomentUnit::NewtonMetre, 0.2),
    }
}

/// The unit of centres of pressure, from how far they wander under a foot in a swing: 3 to 30 cm.
pub(super) fn length_unit(wander: f64) -> (LengthUnit, f64) {
    match wander {
        w if (0.02..0.4).contains(&w) => (LengthUnit::Metre, 0.9),
        w if w >= 40.0 => (LengthUnit::Millimetre, 0.85),
        w if w >= 20.0 => (LengthUnit::Millimetre, 0.4),
        w if w >= 2.0 => (LengthUnit::Centimetre, 0.4),
        _ => (LengthUnit::Metre, 0.3),
    }
}

/// The share of loaded samples whose centre of pressure could lie on a plate.
pub(super) fn share_on_plate(cop_m: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut on, mut all) = (0_u32, 0_u32);
    for (x, y) in cop_m {
        all += 1;
        on += u32::from(x.abs() < FURTHEST_M && y.abs() < FURTHEST_M);
    }
    if all == 0 {
        return 1.0;
    }
    f64::from(on) / f64::from(all)
}

/// The depth of the moment point and the place of the plate's centre along one axis, from columns
/// that give both moments and centre of pressure.
///
/// ```text
/// cop·F_z = turn + depth·F_shear + centre·F_z
/// ```
/// least squares over the loaded samples; `turn` is −M_y (or M_x), `shear` F_x (or F_y). `None`
/// when what is left over exceeds 5 mm, or the shear hardly varies.
pub(super) fn depth_and_centre(samples: &[[f64; 4]]) -> Option<(f64, f64)> {
    let (mut ss, mut sz, mut zz, mut sr, mut zr) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for [cop, turn, shear, fz] in samples {
        let rest = cop * fz - turn;
        ss += shear * shear;
        sz += shear * fz;
        zz += fz * fz;
        sr += shear * rest;
        zr += fz * rest;
    }
    let det = ss * zz - sz * sz;
    if !(det > 1e-4 * ss * zz && ss > 1e-4 * zz) {
        return None;
    }
    let depth = (sr * zz - zr * sz) / det;
    let centre = (zr * ss - sr * sz) / det;
    let worst = median(
        samples
            .iter()
            .map(|[cop, turn, shear, fz]| (cop - (turn + depth * shear) / fz - centre).abs()),
    )?;
    (worst < 0.005 && depth.abs() < 0.3).then_some((depth, centre))
}
