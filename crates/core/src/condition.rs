//! Conditioning: zero, low-pass, the load below which a foot has no centre of pressure.

use crate::filter::{LowPassFilter, residual_analysis};
use crate::note::{Level, Note};
use crate::quiet::Quiet;
use crate::sampled::mean_sd;
use crate::stance::Stance;

/// The low-pass filter a person asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LowPass {
    /// No filter.
    Off,
    /// Zero-lag Butterworth with this cut-off, Hz.
    Hz(f64),
    /// Cut-off chosen by residual analysis.
    Auto,
}

/// The samples from which the plates' offsets are taken: a stretch where nobody stands on them.
///
/// Such a stretch lasts at least 0.2 s, its total vertical force stays below a tenth of the
/// standing load and spreads by less than 1 % of it; its middle three fifths count, of the longest
/// one. `None` when there is none.
///
/// **Source:** ours, after common practice (zero before the subject steps on).
fn unloaded_span(total_fz_n: &[f64], rate_hz: f64) -> Option<(usize, usize)> {
    let standing = standing_load_n(total_fz_n)?;
    let block = ((0.05 * rate_hz).round() as usize).max(2);
    let empty: Vec<bool> = total_fz_n
        .chunks(block)
        .map(|chunk| {
            mean_sd(chunk.iter().copied())
                .is_some_and(|(mean, sd)| mean.abs() < 0.1 * standing && sd < 0.01 * standing)
        })
        .collect();
    let (start, end) = longest_run(&empty)?;
    let first = start * block;
    let last = (end * block).min(total_fz_n.len());
    let fifth = (last - first) / 5;
    let (from, to) = (first + fifth, last - fifth);
    ((to - from) >= (0.12 * rate_hz) as usize && to > from).then_some((from, to))
}

/// Removes the plates' offsets, found in a stretch where nobody stands on them, from every channel.
/// Returns the stretch used, s, `None` when there is none.
pub fn zero_on_unloaded(stance: &mut Stance) -> Option<(f64, f64)> {
    let (from, to) = unloaded_span(&stance.total_fz_n(), stance.rate_hz)?;
    for load in stance.loads_mut() {
        for series in load.series_mut() {
            let offset = series[from..to].iter().sum::<f64>() / (to - from) as f64;
            for value in series.iter_mut() {
                *value -= offset;
            }
        }
    }
    Some((stance.t_s[from], stance.t_s[to - 1]))
}

/// What the plates carry while somebody stands on them: the median of the samples above a third
/// of the 95th percentile; `None` when that is under 50 N.
pub fn standing_load_n(total_fz_n: &[f64]) -> Option<f64> {
    let mut sorted = total_fz_n.to_vec();
    sorted.sort_by(f64::total_cmp);
    let high = *sorted.get(sorted.len() * 95 / 100)?;
    let from = sorted.partition_point(|f| *f < high / 3.0);
    let loaded = sorted.get(from..)?;
    let median = *loaded.get(loaded.len() / 2)?;
    (median >= 50.0).then_some(median)
}

fn longest_run(flags: &[bool]) -> Option<(usize, usize)> {
    let mut best: Option<(usize, usize)> = None;
    let mut start = None;
    for (i, flag) in flags.iter().copied().chain([false]).enumerate() {
        match (flag, start) {
            (true, None) => start = Some(i),
            (false, Some(s)) => {
                if best.is_none_or(|(a, b)| i - s > b - a) {
                    best = Some((s, i));
                }
                start = None;
            }
            _ => {}
        }
    }
    best
}

/// Filters every channel of the stance and says which cut-off was used, `None` for no filter.
///
/// Force and moment are filtered first; centre of pressure is computed from the result, never
/// filtered across gaps.
pub fn low_pass(stance: &mut Stance, choice: LowPass, notes: &mut Vec<Note>) -> Option<f64> {
    let cutoff_hz = match choice {
        LowPass::Off => return None,
        LowPass::Hz(hz) => hz,
        LowPass::Auto => match automatic_cutoff_hz(stance) {
            Some(hz) => hz,
            None => {
                notes.push(Note::new(
                    "cutoff-not-found",
                    Level::Warn,
                    "Residual analysis found no cut-off for this recording (too short, too slow or too clean); it was not filtered. Type a cut-off: 50 Hz is customary.",
                ));
                return None;
            }
        },
    };
    let Some(filter) = LowPassFilter::zero_lag(cutoff_hz, stance.rate_hz) else {
        notes.push(Note::new(
            "cutoff-too-high",
            Level::Warn,
            format!(
                "A cut-off of {cutoff_hz} Hz needs more than {} Hz sampling; this recording has {} Hz and was not filtered. Choose a cut-off below {} Hz, or record faster.",
                2.0 * cutoff_hz,
                stance.rate_hz,
                0.4 * stance.rate_hz
            ),
        ));
        return None;
    };
    for load in stance.loads_mut() {
        for series in load.series_mut() {
            // A level plate's normal force is its vertical force, so both come out the same.
            let Some(smooth) = filter.run_both_ways(series) else {
                notes.push(Note::new(
                    "too-short-to-filter",
                    Level::Warn,
                    "The recording has too few samples to filter, so its noise is left in every number. Record from a second before the swing to a second after it.",
                ));
                return None;
            };
            *series = smooth;
        }
    }
    Some(cutoff_hz)
}

/// Vertical force below which a foot has no centre of pressure, N, and a note when it is not the one that
/// a person typed.
///
/// ```text
/// 30 N, or 5 % of mean total Fz in quiet stance, whichever is more
/// ```
/// unless a person typed one. What is more than a foot carries in quiet stance cannot serve: there
/// would be no stance centre. **Source:** ours, after common practice (10 to 30 N).
pub fn load_threshold_n(
    stance: &Stance,
    quiet: &Quiet,
    typed_n: Option<f64>,
) -> (f64, Option<Note>) {
    let default = default_load_threshold_n(quiet.fz_n);
    let Some(typed) = typed_n else {
        return (default, None);
    };
    let carried = stance.loads().into_iter().map(|load| {
        let loads = &load.normal_n[quiet.first..quiet.end];
        loads.iter().sum::<f64>() / loads.len().max(1) as f64
    });
    let least = carried.fold(f64::INFINITY, f64::min);
    if typed <= least.max(default) {
        return (typed, None);
    }
    let note = Note::new(
        "load-threshold-too-high",
        Level::Note,
        format!(
            "A load threshold of {typed} N is more than a foot carries in quiet stance ({least:.0} N), so {default:.1} N was used. Choose a lower one, or leave it empty."
        ),
    );
    (default, Some(note))
}

/// The load threshold where nobody typed one, N: 30 N, or 5 % of the weight, whichever is more; a weight
/// that is not known is zero. **Source:** ours, after common practice (10 to 30 N).
pub fn default_load_threshold_n(weight_n: f64) -> f64 {
    (0.05 * weight_n).max(30.0)
}

/// Residual analysis of the vertical torque about the middle of the feet, or of the total vertical
/// force where there is no shear; the tail is 50–200 Hz, or up to 0.4 of the sampling rate.
fn automatic_cutoff_hz(stance: &Stance) -> Option<f64> {
    let signal = match stance.total_shear() {
        Some(shear) => {
            let centre = middle(stance)?;
            shear
                .torque_about_origin_nm
                .iter()
                .zip(shear.ft_n.iter().zip(&shear.fa_n))
                .map(|(m, (ft, fa))| m - (centre.1 * ft - centre.0 * fa))
                .collect()
        }
        None => stance.total_fz_n(),
    };
    let top = (0.4 * stance.rate_hz).min(200.0);
    let tail = (top / 4.0, top);
    residual_analysis(&signal, stance.rate_hz, tail).map(|found| found.cutoff_hz)
}

/// Load-weighted mean centre of pressure over the whole recording.
fn middle(stance: &Stance) -> Option<(f64, f64)> {
    let sum = |series: Vec<f64>| series.iter().sum::<f64>();
    let load = sum(stance.sum(|l| &l.normal_n));
    (load > 0.0).then(|| {
        (
            sum(stance.sum(|l| &l.cop_t_moment_nm)) / load,
            sum(stance.sum(|l| &l.cop_a_moment_nm)) / load,
        )
    })
}
