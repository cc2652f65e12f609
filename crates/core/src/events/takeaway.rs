//! The onset of the first movement after quiet stance.

use super::{Event, Evidence, Source};
use crate::filter::LowPassFilter;
use crate::quiet::noise_sd;
use crate::recording::EventKind;
use crate::sampled::mean_sd;
use crate::stance::{Feet, Stance};

/// Signals that may show the first movement, with the smallest departure that counts, as a
/// fraction of the weight in quiet stance (metres times it for torque).
fn departing_signals(stance: &Stance, torque: Option<&[f64]>) -> Vec<(Vec<f64>, f64)> {
    const VERTICAL: f64 = 0.010;
    const SHEAR: f64 = 0.005;
    const TORQUE_M: f64 = 0.0015;
    let mut signals: Vec<(Vec<f64>, f64)> = match &stance.feet {
        Feet::Two { lead, trail } => vec![
            (lead.fz_n.clone(), VERTICAL),
            (trail.fz_n.clone(), VERTICAL),
        ],
        Feet::Both(both) => vec![(both.fz_n.clone(), VERTICAL)],
    };
    for load in stance.loads() {
        if let Some(shear) = &load.shear {
            signals.push((shear.ft_n.clone(), SHEAR));
            signals.push((shear.fa_n.clone(), SHEAR));
        }
    }
    if let Some(torque) = torque {
        signals.push((torque.to_vec(), TORQUE_M));
    }
    signals
}

/// Standard deviations from the mean of quiet stance at which a signal has departed.
const DEPARTS_SD: f64 = 5.0;
/// The power of time with which a signal is taken to leave quiet stance: between a square and a cube.
const GROWTH: f64 = 2.5;
/// 1/(4^(1/2.5) − 1): how far before its first level a curve that grows with the power 2.5 of time
/// began, in units of the time from that level to four times that level.
const TRACE_BACK: f64 = 1.35;
/// Furthest an onset is traced back, seconds.
const FURTHEST_BACK_S: f64 = 0.12;
/// Signals that depart this soon after the first belong to the same movement, seconds.
const TOGETHER_S: f64 = 0.06;

/// A signal whose noise would raise the level of departure, low-passed at 10 Hz; any other as it is.
fn quietened(signal: Vec<f64>, level: f64, evidence: Evidence<'_>) -> Vec<f64> {
    const LOW_PASS_HZ: f64 = 10.0;
    let rate_hz = evidence.stance.rate_hz;
    let quiet = &signal[evidence.quiet.first..evidence.quiet.end];
    if DEPARTS_SD * noise_sd(quiet, rate_hz) <= level {
        return signal;
    }
    LowPassFilter::zero_lag(LOW_PASS_HZ, rate_hz)
        .and_then(|filter| filter.run_both_ways(&signal))
        .unwrap_or(signal)
}

/// When one signal leaves quiet stance.
struct Departure {
    /// When it reaches its level, seconds.
    reached_s: f64,
    /// That traced back to the onset, seconds.
    onset_s: f64,
    /// How many times later than without noise the level is reached.
    slowed: f64,
}

/// See [`takeaway`].
fn departure(signal: &[f64], least: f64, evidence: Evidence<'_>) -> Option<Departure> {
    let Evidence { stance, quiet, .. } = evidence;
    let t_s = &stance.t_s;
    let sustained = ((0.05 * stance.rate_hz).round() as usize).max(2);
    let (mean, sd) = mean_sd(signal[quiet.first..quiet.end].iter().copied())?;
    let level = (DEPARTS_SD * sd).max(least);
    let away = |i: usize| (signal[i] - mean).abs();
    let start = quiet.first + (quiet.end - quiet.first) / 2;
    let mut run = 0;
    let last = (start..signal.len()).find(|i| {
        run = if away(*i) >= level { run + 1 } else { 0 };
        run == sustained
    })?;
    let first = last + 1 - sustained;
    let reached = |i: usize, level: f64| {
        let (y0, y1) = (away(i.saturating_sub(1)), away(i));
        if i == 0 || y1 <= y0 {
            t_s[i]
        } else {
            t_s[i - 1] + (t_s[i] - t_s[i - 1]) * ((level - y0) / (y1 - y0)).clamp(0.0, 1.0)
        }
    };
    let reached_s = reached(first, level);
    let steeper = (first..signal.len()).find(|i| away(*i) >= 4.0 * level);
    let rise_s = steeper.map_or(0.0, |i| reached(i, 4.0 * level) - reached_s);
    Some(Departure {
        reached_s,
        onset_s: (reached_s - (TRACE_BACK * rise_s).min(FURTHEST_BACK_S)).max(quiet.from_s),
        slowed: libm::pow(level / least, 1.0 / GROWTH),
    })
}

/// Takeaway: the first sustained departure from quiet stance, traced back to its onset.
///
/// A signal departs when it leaves its mean in quiet stance by five standard deviations, or a
/// small fraction of the weight if that is more, for 50 ms. Where noise makes the five the larger,
/// the signal is first low-passed at 10 Hz, which no takeaway outruns. The onset is traced back from
/// when it reaches that level and four times that level, as if it grew between a square and a cube of
/// time (power 2.5: t0 = t1 − 1.35·(t4 − t1)), at most 0.12 s. The median onset of the signals that
/// depart within 60 ms of the first is taken.
///
/// ```text
/// ± = max(20 ms, (first departure − onset)/2) · s²      s = (level / fraction of the weight)^(1/2.5)
/// ```
/// `s` (the signals' median) is how many times longer a signal takes to a level that its spread in
/// quiet stance has raised; what is traced back and the part of it that is guessed both grow with it.
/// This ± holds about 95 of 100 simulated swings up to 10 N of noise: see `EVENT_ERRORS.md`.
///
/// **Source:** ours; departure by a multiple of the baseline's spread is common practice.
pub(super) fn takeaway(evidence: Evidence<'_>) -> Result<Event, String> {
    let departures: Vec<Departure> =
        departing_signals(evidence.stance, evidence.torque_about_com_nm)
            .into_iter()
            .filter_map(|(signal, fraction)| {
                let least = fraction * evidence.quiet.fz_n;
                departure(&quietened(signal, least, evidence), least, evidence)
            })
            .collect();
    let first = departures
        .iter()
        .map(|d| d.reached_s)
        .reduce(f64::min)
        .ok_or("nothing departs from quiet stance for 50 ms")?;
    let median = |of: fn(&Departure) -> f64| {
        let together = departures
            .iter()
            .filter(|d| d.reached_s <= first + TOGETHER_S);
        let mut values: Vec<f64> = together.map(of).collect();
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    };
    let onset = median(|d| d.onset_s);
    let slowed = median(|d| d.slowed);
    Ok(Event {
        kind: EventKind::Takeaway,
        t_s: onset,
        source: Source::Estimated,
        uncertainty_s: (0.5 * (first - onset)).max(0.02) * slowed * slowed,
        how: "onset of the first sustained departure of force from quiet stance (± as 95 of 100 simulated swings); the club may start a little earlier or later".into(),
    })
}
