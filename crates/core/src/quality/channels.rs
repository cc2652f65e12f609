//! Single channels: flat tops and axes that are not there.

use super::note;
use crate::note::{Level, Note};
use crate::printed::fixed;
use crate::recording::{Plate, Recording};

/// The channels of a plate that reach us as they were stored. (Horizontal moments have been moved to
/// the surface; an eight-channel plate's are sums, in which one clipped channel does not show.)
fn channels(plate: &Plate) -> Vec<(&'static str, &[f64])> {
    let mut all: Vec<(&'static str, &[f64])> = vec![("Fz", &plate.fz_n)];
    if let Some(shear) = &plate.shear {
        all.push(("Fx", &shear.fx_n));
        all.push(("Fy", &shear.fy_n));
        all.push(("Mz", &shear.mz_nm));
    }
    all
}

fn range(values: &[f64]) -> Option<(f64, f64)> {
    let first = *values.first()?;
    Some(
        values
            .iter()
            .fold((first, first), |(lo, hi), v| (lo.min(*v), hi.max(*v))),
    )
}

/// Channels that stop at a ceiling: the largest or the smallest value repeated without the least
/// change, entered and left on a slope.
///
/// ```text
/// run ≥ 4 samples and ≥ 8 ms; half a run, but at most 12 ms, before it and after it the channel is
/// further from the ceiling than 2 % of its range and than 6 of the steps it is stored in
/// (a run at an end of the recording has one side)
/// ```
/// A smooth peak stored in steps of `q` also repeats its top value. The top lies at most `q` above the
/// edges of that run; half a run further out a parabola has fallen by four times that, and by up to
/// 5.4 times where the run is a few samples long. What comes to rest at its largest value arrives there
/// without a slope.
/// **Source:** ours, from the parabola of a peak.
pub fn flat_tops(recording: &Recording) -> Vec<Note> {
    let mut notes = Vec::new();
    for plate in &recording.plates {
        for (name, values) in channels(plate) {
            let Some((lo, hi)) = range(values) else {
                continue;
            };
            let Some((ceiling, first, end)) = [hi, lo]
                .into_iter()
                // a channel that rests at nothing is no ceiling
                .filter(|ceiling| ceiling.abs() > 0.2 * (hi - lo))
                .filter_map(|ceiling| {
                    let reach = (0.012 * recording.rate_hz).ceil() as usize;
                    flat(values, ceiling, hi - lo, reach).map(|(a, b)| (ceiling, a, b))
                })
                .find(|(_, first, end)| {
                    recording.t_s[end - 1] - recording.t_s[*first] >= 0.008 - 1e-9
                })
            else {
                continue;
            };
            notes.push(note(
                "saturated",
                Level::Stop,
                format_args!(
                    "{name} of {} stops at {ceiling:.1} {} from {} to {} s: the channel has reached its limit and the peak is cut off.",
                    plate.label,
                    if name == "Mz" { "N·m" } else { "N" },
                    fixed(recording.t_s[first], 3),
                    fixed(recording.t_s[end - 1], 3)
                ),
                "Choose a larger measuring range and record again.",
            ));
        }
    }
    notes
}

/// The step in which a channel is stored: the least difference between any two of its values.
fn step(values: &[f64], range: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        // what arithmetic makes of equal values is no step
        .filter(|gap| *gap > 1e-9 * range)
        .fold(range, f64::min)
}

/// The longest run of a channel at its ceiling, if it is entered and left on a slope, looked for at
/// most `reach` samples away.
fn flat(values: &[f64], ceiling: f64, range: f64, reach: usize) -> Option<(usize, usize)> {
    let mut best: Option<(usize, usize)> = None;
    let mut start = None;
    for i in 0..=values.len() {
        let at = values.get(i).is_some_and(|v| *v == ceiling);
        match (at, start) {
            (true, None) => start = Some(i),
            (false, Some(first)) => {
                if best.is_none_or(|(a, b)| i - first > b - a) {
                    best = Some((first, i));
                }
                start = None;
            }
            _ => {}
        }
    }
    let (first, end) = best.filter(|(first, end)| end - first >= 4)?;
    let half = ((end - first) / 2).min(reach.max(1));
    let fallen = (0.02 * range).max(6.0 * step(values, range));
    let far = |i: usize| (values[i] - ceiling).abs() > fallen;
    let before = (first > 0).then(|| far(first.saturating_sub(half)));
    let after = (end < values.len()).then(|| far((end - 1 + half).min(values.len() - 1)));
    match (before, after) {
        (None, None) => None,
        (before, after) => (before != Some(false) && after != Some(false)).then_some((first, end)),
    }
}

/// Axes that are not there: plates without horizontal forces, and channels that never change on a
/// plate that carries weight.
pub fn missing_axes(recording: &Recording) -> Vec<Note> {
    const CARRIES_N: f64 = 50.0;
    let mut notes = Vec::new();
    let without: Vec<&str> = recording
        .plates
        .iter()
        .filter(|plate| plate.shear.is_none())
        .map(|plate| plate.label.as_str())
        .collect();
    if !without.is_empty() {
        notes.push(note(
            "no-shear",
            Level::Note,
            format_args!(
                "No horizontal forces from {}: torque, impulse and shear are absent.",
                without.join(", ")
            ),
            "Vertical force, load share and centres of pressure are as good as ever; export the horizontal channels if the plates have them.",
        ));
    }
    for plate in &recording.plates {
        let carries = plate.fz_n.iter().any(|f| f.abs() > CARRIES_N);
        let silent: Vec<&str> = channels(plate)
            .into_iter()
            .skip(1)
            .filter(|(_, values)| range(values).is_some_and(|(lo, hi)| lo == hi))
            .map(|(name, _)| name)
            .collect();
        if carries && !silent.is_empty() {
            notes.push(note(
                "axis-missing",
                Level::Stop,
                format_args!(
                    "{} of {} never {} while the plate carries weight: not connected, or not exported.",
                    silent.join(" and "),
                    plate.label,
                    if silent.len() == 1 { "changes" } else { "change" }
                ),
                "Check the cable and the export; until then torque, impulse and shear are not to be used.",
            ));
        }
    }
    notes
}
