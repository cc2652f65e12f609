//! What a recording holds, whether or not there is a swing in it.

use footing_core::geometry::Vec3;
use footing_core::note::Note;
use footing_core::quiet;
use footing_core::sampled::running_area;
use footing_core::stance::{self, FootLoad, FootShear};
use footing_formats::rig::Rig;
use footing_formats::{Loaded, Problem};

/// Plates that carry less are left out of what is summed, N.
pub const LEFT_OUT_BELOW_N: f64 = 20.0;

/// A recording in the lab frame: right-handed, z up, ground on player, not filtered.
#[derive(Debug, Clone, PartialEq)]
pub struct Inspection {
    /// The file's name as given.
    pub file: String,
    /// What the file turned out to be.
    pub format: String,
    /// Sampling rate, Hz.
    pub rate_hz: f64,
    /// Samples.
    pub samples: usize,
    /// From first to last sample, seconds.
    pub duration_s: f64,
    /// Mean total vertical force in the quietest half second somebody stands, N.
    pub quiet_fz_n: Option<f64>,
    /// The plates in file order.
    pub plates: Vec<PlateInspection>,
    /// All plates together.
    pub combined: Combined,
    /// Events the file carries: words, time, our id when it is one of ours.
    pub events: Vec<(String, f64, Option<&'static str>)>,
    /// What a person should know.
    pub notes: Vec<Note>,
}

/// One plate.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateInspection {
    /// Label from the file or rig.
    pub label: String,
    /// How its channels were stored.
    pub kind: &'static str,
    /// Largest vertical force, N.
    pub peak_fz_n: f64,
    /// Centre of pressure at that sample, mm.
    pub cop_at_peak_fz_mm: Option<[f64; 2]>,
    /// Smallest and largest free moment while the plate carries at least 20 N, N·m.
    pub free_moment_nm: Option<[f64; 2]>,
    /// Corners of the surface, mm.
    pub corners_mm: Option<[[f64; 3]; 4]>,
}

/// All plates together.
#[derive(Debug, Clone, PartialEq)]
pub struct Combined {
    /// Largest total vertical force, N.
    pub peak_fz_n: f64,
    /// Smallest and largest vertical torque about the combined centre of pressure, plates under
    /// 20 N left out, N·m.
    pub torque_about_combined_cop_nm: Option<[f64; 2]>,
    /// Time integral of the total force over the whole recording, N·s; horizontal parts absent
    /// without shear.
    pub impulse_ns: [Option<f64>; 3],
}

/// Reads a file and says what it holds.
///
/// # Errors
/// One [`Problem`] when the file cannot be read.
pub fn inspect(name: &str, bytes: &[u8], rig: Option<&Rig>) -> Result<Inspection, Problem> {
    let loaded = footing_formats::read(name, bytes, rig)?;
    Ok(inspect_loaded(name, &loaded))
}

fn inspect_loaded(name: &str, loaded: &Loaded) -> Inspection {
    let recording = &loaded.recording;
    let (loads, stance, sense_notes) = stance::by_plate(recording);
    let t_s = &recording.t_s;
    let mut notes = loaded.notes.clone();
    notes.extend(sense_notes);
    notes.extend(footing_core::quality::sampling(t_s));
    let total = stance.total_fz_n();
    let impulse = |force: &[f64]| running_area(t_s, force).last().copied();
    let shear = stance.total_shear();
    Inspection {
        file: name.to_owned(),
        format: loaded.format.clone(),
        rate_hz: recording.rate_hz,
        samples: t_s.len(),
        duration_s: t_s.last().unwrap_or(&0.0) - t_s.first().unwrap_or(&0.0),
        quiet_fz_n: quiet::quietest(&stance).map(|q| q.fz_n),
        plates: recording
            .plates
            .iter()
            .zip(&loads)
            .map(|(plate, load)| PlateInspection {
                label: plate.label.clone(),
                kind: plate.kind.name(),
                peak_fz_n: peak(&load.fz_n).map_or(0.0, |(_, f)| f),
                cop_at_peak_fz_mm: peak(&load.fz_n)
                    .and_then(|(i, _)| load.cop_m(i, 0.0))
                    .map(|(t, a)| [1000.0 * t, -1000.0 * a]),
                free_moment_nm: load.shear.as_ref().and_then(|s| free_moment(load, s)),
                corners_mm: plate.corners_in_lab_m.map(|corners| corners.map(mm)),
            })
            .collect(),
        combined: Combined {
            peak_fz_n: peak(&total).map_or(0.0, |(_, f)| f),
            torque_about_combined_cop_nm: combined_torque(&loads, t_s.len()),
            impulse_ns: [
                shear.as_ref().and_then(|s| impulse(&s.ft_n)),
                shear
                    .as_ref()
                    .and_then(|s| impulse(&s.fa_n))
                    .map(|minus_y| -minus_y),
                impulse(&total),
            ],
        },
        events: recording
            .marks
            .iter()
            .map(|m| (m.label.clone(), m.t_s, m.event.map(|e| e.id())))
            .collect(),
        notes,
    }
}

fn mm(point: Vec3) -> [f64; 3] {
    [1000.0 * point.x, 1000.0 * point.y, 1000.0 * point.z]
}

fn peak(values: &[f64]) -> Option<(usize, f64)> {
    values
        .iter()
        .copied()
        .enumerate()
        .reduce(|best, v| if v.1 > best.1 { v } else { best })
}

fn range(values: impl Iterator<Item = f64>) -> Option<[f64; 2]> {
    values.fold(None, |range, v| match range {
        None => Some([v, v]),
        Some([lo, hi]) => Some([f64::min(lo, v), f64::max(hi, v)]),
    })
}

fn free_moment(load: &FootLoad, shear: &FootShear) -> Option<[f64; 2]> {
    range((0..load.fz_n.len()).filter_map(|i| {
        let (t, a) = load.cop_m(i, LEFT_OUT_BELOW_N)?;
        Some(shear.torque_about_origin_nm[i] - (a * shear.ft_n[i] - t * shear.fa_n[i]))
    }))
}

/// Torque about the combined centre of pressure of those plates that read at least 20 N either way.
fn combined_torque(loads: &[FootLoad], samples: usize) -> Option<[f64; 2]> {
    if loads.iter().any(|load| load.shear.is_none()) {
        return None;
    }
    range((0..samples).filter_map(|i| {
        let (mut normal, mut n_t, mut n_a) = (0.0, 0.0, 0.0);
        let (mut ft, mut fa, mut torque) = (0.0, 0.0, 0.0);
        for load in loads {
            // an idle plate that reads −30 N is off by as much as one that reads 30 N: both count
            let (Some(shear), true) = (&load.shear, load.normal_n[i].abs() >= LEFT_OUT_BELOW_N)
            else {
                continue;
            };
            normal += load.normal_n[i];
            n_t += load.cop_t_moment_nm[i];
            n_a += load.cop_a_moment_nm[i];
            ft += shear.ft_n[i];
            fa += shear.fa_n[i];
            torque += shear.torque_about_origin_nm[i];
        }
        (normal >= LEFT_OUT_BELOW_N).then(|| torque - (n_a / normal * ft - n_t / normal * fa))
    }))
}
