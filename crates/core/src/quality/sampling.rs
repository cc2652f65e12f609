//! The recording's clock.

use super::note;
use crate::note::{Level, Note};
use crate::printed::fixed;

/// Uneven sampling: intervals that differ from the median by more than 5 %, where these are more than
/// one in fifty, and gaps of three intervals or more, where there is but one.
///
/// A filter made for even samples shifts what lies 5 % off by a twentieth of a sample each, which no
/// measure shows. A few such intervals in a second touch a few samples each and are not told, nor is a
/// single lost sample, over which the line between its neighbours stays within the noise; a clock that
/// is off more often shifts everything. In a gap the curve itself is unknown. **Source:** ours.
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
        notes.push(note(
            "gap",
            Level::Warn,
            format_args!(
                "Samples are missing: {:.0} ms pass after {} s where {:.1} ms are usual.",
                1000.0 * longest.1,
                fixed(t_s[longest.0], 3),
                1000.0 * median
            ),
            "Measures whose stretch of time spans the gap are doubtful; if it lies in the swing, record again.",
        ));
    }
    let uneven = steps
        .iter()
        .filter(|s| (**s - median).abs() > 0.05 * median)
        .count();
    if uneven * 50 > steps.len() {
        notes.push(note(
            "jitter",
            Level::Warn,
            format_args!(
                "{uneven} of {} sample intervals differ by more than 5 % from the usual {:.2} ms, and the filter takes them as even.",
                steps.len(),
                1000.0 * median
            ),
            "Export at the plates' own rate, or with more decimals of time.",
        ));
    }
    notes
}
