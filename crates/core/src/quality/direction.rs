//! Which way the swing goes: exchanged plates, a mirrored hand.

use super::{Evidence, note};
use crate::note::{Level, Note};
use crate::recording::EventKind;
use crate::sampled::running_area;
use crate::stance::Feet;

/// How long after takeaway the turn is followed, seconds.
const FOLLOWED_S: f64 = 2.0;
/// Angular impulse that counts as a turn, N·m·s per kg of body mass: a quarter of what an ordinary
/// backswing reaches.
const TURN_NMS_PER_KG: f64 = 0.025;
/// Change of the lead share that counts as a shift of load.
const SHIFT: f64 = 0.10;

/// Common practice: in the backswing the player turns away from the target, and load goes to the
/// trail foot. Both the other way round: the two plates' cables are exchanged, or both hand and
/// target direction are reversed. The turn alone: the other hand. The load alone: unusual, but some
/// players do it.
///
/// The turn is the sign of the first angular impulse about the stance centre that reaches
/// 0.025 N·m·s per kg (the torque that quiet stance leaves is taken off); the load is followed until
/// that impulse is at its largest. **Source:** ours; Ball K, Best R (2007) J Sports Sci
/// 25(7):757–770 for the load (centre of pressure back in the backswing in all of 62 golfers).
pub(super) fn check(evidence: &Evidence<'_>) -> Option<Note> {
    let takeaway = evidence.events.time(EventKind::Takeaway)?;
    let window = evidence.samples((takeaway, takeaway + FOLLOWED_S));
    let turn = turn(evidence, &window);
    // Without torque: the first six tenths of a second are backswing in any swing.
    let back = match turn {
        Some((_, end)) => window.start..end,
        None => evidence.samples((takeaway, takeaway + 0.6)),
    };
    let load = load_shift(evidence, &back);
    match (turn.map(|t| t.0), load) {
        (Some(true), Some(true)) => Some(note(
            "plates-swapped",
            Level::Stop,
            "The swing begins with torque toward the target and load moving to the lead foot, the reverse of a backswing: the two plates' cables look exchanged.",
            "Check which plate is which; if the wiring is right, both hand and target direction are the wrong way round.",
        )),
        (Some(true), _) => Some(note(
            "hand-mirrored",
            Level::Stop,
            "The swing begins with torque toward the target, the reverse of a backswing: the player looks like one of the other hand.",
            "Check whether the player is right- or left-handed, then the sign of the plates' Mz, Fx and Fy.",
        )),
        (_, Some(true)) => Some(note(
            "load-shift",
            Level::Warn,
            "Load moves to the lead foot in the backswing, which is unusual.",
            "Check the target direction and which plate is which; if all is right, the player does it so.",
        )),
        _ => None,
    }
}

/// Whether the first turn goes toward the target, and the sample at which its impulse is largest.
fn turn(evidence: &Evidence<'_>, window: &std::ops::Range<usize>) -> Option<(bool, usize)> {
    let shear = evidence.stance.total_shear()?;
    let centre = evidence.places.stance_centre_m;
    let residue = crate::quiet::residue(evidence.stance, evidence.quiet, centre)?.torque_nm;
    let torque: Vec<f64> = window
        .clone()
        .map(|i| {
            shear.torque_about_origin_nm[i]
                - (centre.1 * shear.ft_n[i] - centre.0 * shear.fa_n[i])
                - residue
        })
        .collect();
    let turned = running_area(&evidence.stance.t_s[window.clone()], &torque);
    let enough = TURN_NMS_PER_KG * evidence.mass_kg();
    let first = turned.iter().position(|l| l.abs() >= enough)?;
    let toward = turned[first] > 0.0;
    let largest = turned
        .iter()
        .enumerate()
        .skip(first)
        .take_while(|(_, l)| (**l > 0.0) == toward)
        .fold((first, 0.0_f64), |best, (i, l)| {
            if l.abs() > best.1 { (i, l.abs()) } else { best }
        });
    Some((toward, window.start + largest.0 + 1))
}

/// Whether load goes to the lead foot (true) or to the trail foot (false); `None` when neither is
/// plain.
fn load_shift(evidence: &Evidence<'_>, window: &std::ops::Range<usize>) -> Option<bool> {
    let Feet::Two { lead, .. } = &evidence.stance.feet else {
        return None;
    };
    let total = evidence.stance.total_fz_n();
    let loaded = |i: &usize| total[*i] > 0.2 * evidence.weight_n();
    let share = |i: usize| lead.fz_n[i] / total[i];
    let at_address = evidence.quiet.first..evidence.quiet.end;
    let n = at_address.len().max(1) as f64;
    let before = at_address.filter(loaded).map(share).sum::<f64>() / n;
    let (least, most) = window
        .clone()
        .filter(loaded)
        .map(share)
        .fold((before, before), |(lo, hi), s| (lo.min(s), hi.max(s)));
    let (to_lead, to_trail) = (most - before, before - least);
    if to_lead > SHIFT && to_lead > 2.0 * to_trail {
        Some(true)
    } else if to_trail > SHIFT && to_trail > 2.0 * to_lead {
        Some(false)
    } else {
        None
    }
}
