//! Zero and drift: what the plates read when they should read nothing, and when they should read
//! the same again.

use super::{Evidence, note};
use crate::condition::{standing_load_n, unloaded_span};
use crate::note::{Level, Note};
use crate::recording::{EventKind, Recording};
use crate::sampled::mean_sd;
use crate::stance::{FootLoad, Stance};

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

/// Plates that read something with nobody on them, or something else before and after.
///
/// An offset counts from 10 N or 1 % of the standing load; where [`unloaded_span`] finds it, it has been
/// taken off and is a note, from 5 % on a warning. What stands still at a tenth to a half of the standing load is
/// too much to be taken for an offset: it stays in and is a stop, for then the mass and every share of load are wrong.
/// A drift counts from 10 N or 1 % between the first and the last unloaded stretch, for taking off one constant does
/// not mend it. **Source:** ours; 1 % of a weight makes 1 N·m of torque at a lever of 15 cm.
pub(super) fn unloaded(recording: &Recording, each: &[FootLoad], together: &Stance) -> Vec<Note> {
    let total = together.total_fz_n();
    let Some(standing) = standing_load_n(&total) else {
        return Vec::new();
    };
    let taken_off = unloaded_span(&total, together.rate_hz);
    let longest = taken_off.or_else(|| {
        let stretches = still_stretches(together, 0.5);
        stretches.into_iter().max_by_key(|(from, to)| to - from)
    });
    let Some(longest) = longest else {
        return Vec::new();
    };
    let stretches = still_stretches(together, 0.15);
    let counts = (0.01 * standing).max(10.0);
    let mut notes = Vec::new();
    for (plate, load) in recording.plates.iter().zip(each) {
        let offset = means(load, longest);
        let most = offset.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
        if most > counts {
            let reads = format!(
                "reads {:.0} N vertically and {:.0} N along the ground",
                offset[0],
                libm::hypot(offset[1], offset[2])
            );
            notes.push(match taken_off {
                Some(_) => note(
                    "offset",
                    if most > 0.05 * standing {
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
                None => note(
                    "offset",
                    Level::Stop,
                    format_args!(
                        "At {:.2} s, where nothing moves, {} {reads}: too much to be taken for an offset, so it stays in everything.",
                        together.t_s[longest.0], plate.label
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
                    "{} drifts: unloaded it reads {drift:.0} N otherwise at {:.1} s than at {:.1} s.",
                    plate.label, together.t_s[last.0], together.t_s[first.0]
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
/// that the player does not have.
pub(super) fn quiet_residue(evidence: &Evidence<'_>) -> Option<Note> {
    let residue = evidence.residue?;
    let force = libm::hypot(residue.ft_n, residue.fa_n);
    let torque = residue.torque_nm;
    let over = |share: f64, torque_nm: f64| {
        force > share * evidence.weight_n() || torque.abs() > torque_nm
    };
    let level = match (evidence.residue_removed, over(0.05, 10.0), over(0.02, 2.0)) {
        (false, true, _) => Level::Stop,
        (false, _, true) => Level::Warn,
        _ => Level::Note,
    };
    let text =
        format!("In quiet stance {force:.1} N of horizontal force and {torque:.2} N·m of torque");
    Some(if evidence.residue_removed {
        Note::new(
            "quiet-residue",
            level,
            format!("{text} were left and have been taken off."),
        )
    } else if level == Level::Note {
        Note::new(
            "quiet-residue",
            level,
            format!(
                "{text} are left where there should be none; removing the mean of quiet stance takes them off."
            ),
        )
    } else {
        note(
            "quiet-residue",
            level,
            format_args!(
                "{text} are left where there should be none: the plates were not zeroed, or the player leans on something."
            ),
            "Zero the empty plates and record again, or remove the mean of quiet stance.",
        )
    })
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
                "Standing still after the swing, at {still:.1} s, the plates read {vertical:+.0} N vertically and {along:.0} N along the ground otherwise than before it."
            ),
            "Either the plates drift (let them warm up, zero them before each recording) or something besides the player was on them.",
        )
    })
}
