//! How long the torque after takeaway is beneath the noise.

use super::{Evidence, note};
use crate::measures::SIGN_SD;
use crate::note::{Level, Note};

/// A share of the time below zero that counts. Ours: it exceeds what swings of one player differ by.
const COUNTS: f64 = 0.15;

/// After takeaway torque may leave zero so slowly that for a while its sign cannot be told. The time
/// below zero counts that while by the sign of what follows (see [`crate::measures`]); where it is more
/// than 15 % of that time, a person should know how much.
///
/// **Source:** ours.
pub(super) fn torque_lingers(evidence: &Evidence<'_>) -> Option<Note> {
    let (takeaway, impact) = evidence.until_impact_s()?;
    let torque = &evidence.curves.torque_nm;
    let rate_hz = evidence.stance.rate_hz;
    let told = SIGN_SD * evidence.quiet.noise_sd(torque, rate_hz);
    let swing = evidence.samples((takeaway, impact));
    let t_s = &evidence.stance.t_s[swing.clone()];
    let swing = t_s.iter().copied().zip(torque.get(swing)?);
    let mut firm = swing.filter_map(|(t, torque)| Some((t, (*torque)?)));
    let (first, sign) = firm.by_ref().find(|(_, torque)| torque.abs() > told)?;
    let lingers = first - takeaway;
    // counted as the measure counts it: only before a turn away from the target
    if sign > 0.0 {
        return None;
    }
    let back = firm.find(|(_, torque)| *torque > told);
    let below = back.map_or(impact, |(t, _)| t) - takeaway;
    (lingers > COUNTS * below).then(|| {
        note(
            "torque-lingers",
            Level::Note,
            format_args!(
                "For {lingers:.2} s after takeaway the torque stays within ± {told:.1} N·m of zero, where its sign is lost in the noise: the time with torque away from the target counts all of it and may be that much too long."
            ),
            "Compare it only between swings that linger alike, or go by the impulse, which such a while hardly changes.",
        )
    })
}
