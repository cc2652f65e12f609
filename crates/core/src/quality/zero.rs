//! Zero and drift: what the plates read when they should read nothing, and when they should read
//! the same again.

use super::{Evidence, note};
use crate::condition::standing_load_n;
use crate::note::{Level, Note};
use crate::printed::{fixed, signed};
use crate::quiet::noise_sd;
use crate::recording::{EventKind, Recording};
use crate::sampled::mean_sd;
use crate::stance::{FootLoad, Stance};

/// What a plate's channels read with nobody on it, in the plate's axes and the stored sense; moments
/// about the surface centre.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlateZero {
    /// Force along x, N; nothing on a plate without horizontal forces.
    pub fx_n: f64,
    /// Force along y, N.
    pub fy_n: f64,
    /// Force along z, N.
    pub fz_n: f64,
    /// Moment about x, N·m.
    pub mx_nm: f64,
    /// Moment about y, N·m.
    pub my_nm: f64,
    /// Moment about z, N·m.
    pub mz_nm: f64,
}

impl PlateZero {
    /// The largest of the three forces, N.
    fn force_n(&self) -> f64 {
        self.fx_n.abs().max(self.fy_n.abs()).max(self.fz_n.abs())
    }

    /// The largest of the three moments, N·m.
    fn moment_nm(&self) -> f64 {
        self.mx_nm.abs().max(self.my_nm.abs()).max(self.mz_nm.abs())
    }
}

/// The zero of every plate over a stretch, from and to in seconds: means of every channel. Meant for
/// the stretch that [`zero_on_unloaded`](crate::condition::zero_on_unloaded) used.
pub fn plate_zeros(recording: &Recording, (from_s, to_s): (f64, f64)) -> Vec<PlateZero> {
    let first = recording.t_s.partition_point(|t| *t < from_s);
    let end = recording.t_s.partition_point(|t| *t <= to_s);
    let mean = |series: &[f64]| {
        series[first..end].iter().sum::<f64>() / end.saturating_sub(first).max(1) as f64
    };
    let zeros = recording.plates.iter().map(|plate| {
        let shear = |of: fn(&crate::recording::Shear) -> &[f64]| {
            plate.shear.as_ref().map_or(0.0, |shear| mean(of(shear)))
        };
        PlateZero {
            fx_n: shear(|s| &s.fx_n),
            fy_n: shear(|s| &s.fy_n),
            fz_n: mean(&plate.fz_n),
            mx_nm: mean(&plate.mx_nm),
            my_nm: mean(&plate.my_nm),
            mz_nm: shear(|s| &s.mz_nm),
        }
    });
    zeros.collect()
}

/// Stretches of at least 0.2 s in which the plates read less than so much of the standing load and nothing moves, as
/// sample ranges, a quarter off each end.
fn still_stretches(together: &Stance, share: f64) -> Vec<(usize, usize)> {
    let total = together.total_fz_n();
    let Some(standing) = standing_load_n(&total) else {
        return Vec::new();
    };
    let block = ((0.05 * together.rate_hz).round() as usize).max(2);
    let empty: Vec<bool> = total
        .chunks(block)
        .map(|chunk| {
            mean_sd(chunk.iter().copied())
                .is_some_and(|(mean, sd)| mean.abs() < share * standing && sd < 0.01 * standing)
        })
        .collect();
    let mut found = Vec::new();
    let mut start = None;
    for (i, flag) in empty.iter().copied().chain([false]).enumerate() {
        match (flag, start) {
            (true, None) => start = Some(i),
            (false, Some(first)) => {
                let (from, to) = (first * block, (i * block).min(total.len()));
                if (to - from) as f64 >= 0.2 * together.rate_hz {
                    let quarter = (to - from) / 4;
                    found.push((from + quarter, to - quarter));
                }
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// Mean vertical force, mean horizontal force along and across, N.
fn means(load: &FootLoad, (from, to): (usize, usize)) -> [f64; 3] {
    let mean = |series: &[f64]| series[from..to].iter().sum::<f64>() / (to - from).max(1) as f64;
    match &load.shear {
        Some(shear) => [mean(&load.fz_n), mean(&shear.ft_n), mean(&shear.fa_n)],
        None => [mean(&load.fz_n), 0.0, 0.0],
    }
}

/// The longest stretch at a tenth to a half of the standing load in which nothing but noise moves: too much
/// to be taken for an offset, too still for a foot, which sways by more than 0.1 % of the weight.
fn too_much(together: &Stance, standing: f64) -> Option<(f64, f64)> {
    const SWAY: f64 = 0.001;
    // how much more a stretch of pure noise may vary than its neighbouring samples say
    const BY_CHANCE: f64 = 1.3;
    let total = together.total_fz_n();
    still_stretches(together, 0.5)
        .into_iter()
        .filter(|(from, to)| {
            let stretch = &total[*from..*to];
            let noise = noise_sd(stretch, together.rate_hz);
            let sway = SWAY * standing;
            mean_sd(stretch.iter().copied()).is_some_and(|(mean, sd)| {
                mean.abs() >= 0.1 * standing && sd * sd < BY_CHANCE * noise * noise + sway * sway
            })
        })
        .max_by_key(|(from, to)| to - from)
        .map(|(from, to)| (together.t_s[from], together.t_s[to - 1]))
}

/// Plates that read something with nobody on them, or something else before and after.
///
/// An offset counts from 10 N, 1 % of the standing load or 2 N·m. One that was taken off (`zeros`) is a
/// note, from 5 % or 10 N·m on a warning. What stands still at a tenth to a half of the standing load is
/// too much to be taken for an offset: it stays in and is a stop, for then the mass and every share of load are wrong.
/// A drift counts from 10 N or 1 % between the first and the last unloaded stretch, for taking off one constant does
/// not mend it. **Source:** ours; 1 % of a weight makes 1 N·m of torque at a lever of 15 cm.
pub(super) fn unloaded(
    recording: &Recording,
    zeros: Option<&[PlateZero]>,
    each: &[FootLoad],
    together: &Stance,
) -> Vec<Note> {
    let Some(standing) = standing_load_n(&together.total_fz_n()) else {
        return Vec::new();
    };
    let stays = match zeros {
        Some(_) => None,
        None => too_much(together, standing),
    };
    let read = match (zeros, stays) {
        (Some(zeros), _) => zeros.to_vec(),
        (None, Some(stretch)) => plate_zeros(recording, stretch),
        (None, None) => vec![PlateZero::default(); recording.plates.len()],
    };
    let stretches = still_stretches(together, 0.15);
    let counts = (0.01 * standing).max(10.0);
    let mut notes = Vec::new();
    for ((plate, load), zero) in recording.plates.iter().zip(each).zip(read) {
        if zero.force_n() > counts || zero.moment_nm() > 2.0 {
            let reads = format!(
                "reads {:.0} N vertically, {:.0} N along the ground and up to {:.1} N·m of moment",
                zero.fz_n.abs(),
                libm::hypot(zero.fx_n, zero.fy_n),
                zero.moment_nm()
            );
            notes.push(match stays {
                None => note(
                    "offset",
                    if zero.force_n() > 0.05 * standing || zero.moment_nm() > 10.0 {
                        Level::Warn
                    } else {
                        Level::Note
                    },
                    format_args!(
                        "With nobody on it {} {reads}; that was taken off everything.",
                        plate.label
                    ),
                    "Zero the plates before the next recording.",
                ),
                Some((from_s, _)) => note(
                    "offset",
                    Level::Stop,
                    format_args!(
                        "At {} s, where nothing moves, {} {reads}: too much to be taken for an offset, so it stays in everything.",
                        fixed(from_s, 2),
                        plate.label
                    ),
                    "If nobody stood on the plates then, zero them and record again; if somebody did, cut that part off.",
                ),
            });
        }
        let (Some(first), Some(last)) = (stretches.first(), stretches.last()) else {
            continue;
        };
        let (before, after) = (means(load, *first), means(load, *last));
        let drift = (0..3).fold(0.0_f64, |m, k| m.max((after[k] - before[k]).abs()));
        if drift > counts && first != last {
            notes.push(note(
                "drift",
                Level::Warn,
                format_args!(
                    "{} drifts: unloaded it reads {drift:.0} N otherwise at {} s than at {} s.",
                    plate.label,
                    fixed(together.t_s[last.0], 1),
                    fixed(together.t_s[first.0], 1)
                ),
                "Let the plates warm up, zero them shortly before each recording, and keep recordings short.",
            ));
        }
    }
    notes
}

/// Force along the ground and torque that quiet stance leaves.
///
/// While nobody moves both must be nil (Newton, Euler). Above 2 % of the weight or 2 N·m a warning,
/// above 5 % or 10 N·m a stop: 5 % of the weight for a second is a speed of half a metre a second
/// that the player does not have. A note from 0.25 % of the weight or 0.5 N·m on, and always where it
/// was taken off: 0.5 N·m adds up to a twentieth of an ordinary impulse (50 N·m for a quarter of a
/// second) in the 1.1 s from takeaway to impact, and 0.25 % of a weight makes as much at the 0.25 m
/// from a foot to the middle of the stance. Less than that is in every recording.
pub(super) fn quiet_residue(evidence: &Evidence<'_>) -> Option<Note> {
    let residue = evidence.residue?;
    let force = libm::hypot(residue.ft_n, residue.fa_n);
    let torque = residue.torque_nm;
    let over = |share: f64, torque_nm: f64| {
        force > share * evidence.weight_n() || torque.abs() > torque_nm
    };
    let text = format!(
        "In quiet stance {force:.1} N of horizontal force and {} N·m of torque",
        fixed(torque, 2)
    );
    if evidence.residue_removed {
        return Some(Note::new(
            "quiet-residue",
            Level::Note,
            format!("{text} were left and have been taken off."),
        ));
    }
    if !over(0.0025, 0.5) {
        return None;
    }
    if !over(0.02, 2.0) {
        return Some(Note::new(
            "quiet-residue",
            Level::Note,
            format!(
                "{text} are left where there should be none; removing the mean of quiet stance takes them off."
            ),
        ));
    }
    Some(note(
        "quiet-residue",
        if over(0.05, 10.0) {
            Level::Stop
        } else {
            Level::Warn
        },
        format_args!(
            "{text} are left where there should be none: the plates were not zeroed, or the player leans on something."
        ),
        "Zero the empty plates and record again, or remove the mean of quiet stance.",
    ))
}

/// Stillness before against stillness after the swing: weight and force along the ground must be the
/// same. More than 2 % of the weight apart is a warning. (Torque is left out: the last of the turn is
/// too slow for force to tell from stillness.)
///
/// **Source:** Newton: whoever stands still pushes with their weight and with nothing else. The limit
/// is ours.
pub(super) fn between_stillness(evidence: &Evidence<'_>) -> Option<Note> {
    let stance = evidence.stance;
    let impact = evidence.events.time(EventKind::Impact)?;
    let still = crate::quiet::first_still_s(stance, impact, evidence.quiet)?;
    let after = evidence.samples((still, still + 0.3));
    let before = evidence.quiet.first..evidence.quiet.end;
    let mean = |series: &[f64], at: &std::ops::Range<usize>| {
        series[at.clone()].iter().sum::<f64>() / at.len().max(1) as f64
    };
    let change = |series: &[f64]| mean(series, &after) - mean(series, &before);
    let vertical = change(&stance.total_fz_n());
    let along = stance.total_shear().map_or(0.0, |shear| {
        libm::hypot(change(&shear.ft_n), change(&shear.fa_n))
    });
    let limit = 0.02 * evidence.weight_n();
    (vertical.abs() > limit || along > limit).then(|| {
        note(
            "drift",
            Level::Warn,
            format_args!(
                "Standing still after the swing, at {} s, the plates read {} N vertically and {along:.0} N along the ground otherwise than before it.",
                fixed(still, 1),
                signed(vertical, 0)
            ),
            "Either the plates drift (let them warm up, zero them before each recording) or something besides the player was on them.",
        )
    })
}
