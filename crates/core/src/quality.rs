//! Checks that flag a recording, never change it.

use crate::note::{Level, Note};
use crate::quiet::{AddressPlaces, Residue};
use crate::torque::Curves;

/// Torque beyond this per kilogram is not a golfer's, N·m/kg: a slip of units or of columns.
pub const TORQUE_LIMIT_NM_PER_KG: f64 = 4.0;

/// Uneven sampling: intervals that differ from the median by more than 5 %, and gaps of three
/// intervals or more.
pub fn sampling(t_s: &[f64]) -> Vec<Note> {
    let mut steps: Vec<f64> = t_s.windows(2).map(|w| w[1] - w[0]).collect();
    let longest = steps
        .iter()
        .copied()
        .enumerate()
        .fold((0, 0.0), |best, s| if s.1 > best.1 { s } else { best });
    steps.sort_by(f64::total_cmp);
    let Some(median) = steps.get(steps.len() / 2).copied() else {
        return Vec::new();
    };
    let mut notes = Vec::new();
    if longest.1 >= 3.0 * median {
        notes.push(Note::new(
            "gap",
            Level::Warn,
            format!(
                "Samples are missing: {:.0} ms pass after {:.3} s where {:.1} ms are usual; measures that span the gap are doubtful.",
                1000.0 * longest.1, t_s[longest.0], 1000.0 * median
            ),
        ));
    }
    let uneven = steps
        .iter()
        .filter(|s| (**s - median).abs() > 0.05 * median)
        .count();
    if uneven * 50 > steps.len() {
        notes.push(Note::new(
            "jitter",
            Level::Warn,
            format!(
                "{uneven} of {} sample intervals differ by more than 5 % from the usual {:.2} ms; the filter takes them as even.",
                steps.len(),
                1000.0 * median
            ),
        ));
    }
    notes
}

/// Checks on stance and torque.
pub fn plausible(
    curves: &Curves,
    places: &AddressPlaces,
    residue: Option<Residue>,
    residue_removed: bool,
    mass_kg: Option<f64>,
) -> Vec<Note> {
    let mut notes = Vec::new();
    if let (Some(lead), Some(trail)) = (places.lead_m, places.trail_m) {
        if lead.0 < trail.0 {
            notes.push(Note::new(
                "feet-swapped",
                Level::Stop,
                "The foot called lead stands further from the target than the trail foot: check the target direction or exchange the plates.",
            ));
        }
        let distance = libm::hypot(lead.0 - trail.0, lead.1 - trail.1);
        if !(0.2..=0.9).contains(&distance) {
            notes.push(Note::new(
                "stance-width",
                Level::Warn,
                format!(
                    "The feet press {:.2} m apart; 0.2 to 0.9 m is expected: check the plates' places in the rig.",
                    distance
                ),
            ));
        }
    }
    let extreme = curves
        .torque_nm
        .iter()
        .flatten()
        .fold(0.0_f64, |best, t| best.max(t.abs()));
    if let Some(mass) = mass_kg
        && extreme > TORQUE_LIMIT_NM_PER_KG * mass
    {
        notes.push(Note::new(
            "torque-implausible",
            Level::Stop,
            format!(
                "Torque reaches {extreme:.0} N·m, {:.1} N·m per kg of body mass; nobody exceeds {TORQUE_LIMIT_NM_PER_KG}: check units and wiring.",
                extreme / mass
            ),
        ));
    }
    if let Some(residue) = residue {
        let weight = mass_kg.map_or(f64::INFINITY, |m| m * crate::quiet::STANDARD_GRAVITY);
        let force = libm::hypot(residue.ft_n, residue.fa_n);
        let large = force > 0.02 * weight || residue.torque_nm.abs() > 2.0;
        notes.push(Note::new(
            "quiet-residue",
            if large && !residue_removed {
                Level::Warn
            } else {
                Level::Note
            },
            format!(
                "In quiet stance {force:.1} N of horizontal force and {:.2} N·m of torque {}.",
                residue.torque_nm,
                if residue_removed {
                    "were left and have been taken off"
                } else {
                    "are left where there should be none; they can be taken off in the settings"
                }
            ),
        ));
    }
    notes
}
