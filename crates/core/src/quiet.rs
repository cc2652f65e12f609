//! Quiet stance: where the player stands still, what the player weighs, where the feet press.

use crate::condition::standing_load_n;
use crate::sampled::{Value, mean_sd};
use crate::stance::Stance;

/// Standard acceleration of free fall, m/s². **Source:** 3rd CGPM (1901), resolution 2.
pub const STANDARD_GRAVITY: f64 = 9.80665;

/// A stretch of quiet stance: samples `first..end`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quiet {
    /// First sample.
    pub first: usize,
    /// One past the last sample.
    pub end: usize,
    /// Time of the first sample, seconds.
    pub from_s: f64,
    /// Time of the last sample, seconds.
    pub to_s: f64,
    /// Mean total vertical force, N.
    pub fz_n: f64,
    /// Its standard deviation, N.
    pub fz_sd_n: f64,
}

impl Quiet {
    /// Body mass from quiet stance and its standard deviation, kg.
    ///
    /// ```text
    /// m = mean Fz / 9.80665
    /// ```
    /// A club that is not grounded is weighed too.
    pub fn body_mass_kg(&self) -> (f64, f64) {
        (
            self.fz_n / STANDARD_GRAVITY,
            self.fz_sd_n / STANDARD_GRAVITY,
        )
    }

    /// Standard deviation of the noise on a quantity in it, see [`noise_sd`]; zero where the quantity is
    /// not known.
    pub(crate) fn noise_sd<V: Value>(&self, values: &[V], rate_hz: f64) -> f64 {
        let still = values.get(self.first..self.end).unwrap_or_default();
        let known: Vec<f64> = still.iter().filter_map(|v| v.number()).collect();
        noise_sd(&known, rate_hz)
    }
}

/// Length of a window judged for quiet, seconds.
const WINDOW_S: f64 = 0.5;
/// Length of the shortest window that is taken where there is no room for more, seconds.
pub const SHORTEST_S: f64 = 0.2;
/// Step between windows, seconds.
const HOP_S: f64 = 0.02;
/// Unrest below which a stretch may always be called quiet.
const ALWAYS_QUIET: f64 = 0.015;
/// Unrest above which nothing is called quiet.
const NEVER_QUIET: f64 = 0.10;

/// Apart by this much, readings differ by noise and hardly by movement, seconds: noise that passed a
/// low-pass of 50 Hz has forgotten itself by then, a body has hardly moved, and mains hum of neither
/// 50 nor 60 Hz has come round to where it was.
const NOISE_LAG_S: f64 = 0.015;

/// Standard deviation of the noise on a signal: half the mean square of the differences between
/// samples 15 ms apart is its variance.
///
/// **Source:** von Neumann J (1941) Ann Math Stat 12(4):367–395, whose successive differences these
/// are, taken far enough apart that a low-pass does not tie them together.
pub(crate) fn noise_sd(signal: &[f64], rate_hz: f64) -> f64 {
    let lag = noise_lag(rate_hz);
    let squares = signal.windows(lag + 1).map(|w| (w[lag] - w[0]).powi(2));
    let count = signal.len().saturating_sub(lag).max(1) as f64;
    (0.5 * squares.sum::<f64>() / count).sqrt()
}

fn noise_lag(rate_hz: f64) -> usize {
    ((NOISE_LAG_S * rate_hz).round() as usize).max(1)
}

/// Running sums of one signal from the first sample on.
struct Sums {
    values: Vec<f64>,
    squares: Vec<f64>,
    // of the differences between samples the noise lag apart; the entry of the later one
    differences: Vec<f64>,
}

/// Running sums that give the unrest of any window in constant time.
pub(crate) struct Unrest {
    count: usize,
    lag: usize,
    total: Vec<f64>,
    sums: Vec<Sums>,
}

impl Unrest {
    pub(crate) fn new(stance: &Stance) -> Self {
        let mut signals = vec![stance.total_fz_n()];
        signals.push(stance.loads()[0].fz_n.clone());
        if let Some(shear) = stance.total_shear() {
            signals.push(shear.ft_n);
            signals.push(shear.fa_n);
        }
        let total = signals[0].clone();
        // Where the feet press, in metres: on a single plate the weight may shift while its sum
        // stays. Moments are taken about the mean place, so that a distant lab origin adds nothing.
        let normal = stance.sum(|load| &load.normal_n);
        let sum = |series: &[f64]| series.iter().sum::<f64>();
        for moment in [
            stance.sum(|load| &load.cop_t_moment_nm),
            stance.sum(|load| &load.cop_a_moment_nm),
        ] {
            let place = sum(&moment) / sum(&normal).max(1.0);
            signals.push(
                moment
                    .iter()
                    .zip(&normal)
                    .map(|(m, n)| m - place * n)
                    .collect(),
            );
        }
        let lag = noise_lag(stance.rate_hz);
        let sums = signals
            .iter()
            .map(|signal| {
                // about the mean, so that squares do not swamp the spread
                let mean = signal.iter().sum::<f64>() / signal.len().max(1) as f64;
                let running = |of: &dyn Fn(usize) -> f64| {
                    let mut sum = 0.0;
                    let mut sums = Vec::with_capacity(signal.len() + 1);
                    sums.push(sum);
                    for i in 0..signal.len() {
                        sum += of(i);
                        sums.push(sum);
                    }
                    sums
                };
                let square = |v: f64| v * v;
                Sums {
                    values: running(&|i| signal[i] - mean),
                    squares: running(&|i| square(signal[i] - mean)),
                    differences: running(&|i| {
                        i.checked_sub(lag)
                            .map_or(0.0, |before| square(signal[i] - signal[before]))
                    }),
                }
            })
            .collect();
        Self {
            count: total.len(),
            lag,
            total,
            sums,
        }
    }

    /// Sum of the standard deviations of total and one-foot vertical force, of both horizontal
    /// forces and of the moments that shift the centre of pressure (taken per metre), over the mean
    /// total vertical force; `None` when the window carries less than half
    /// of `standing_n`.
    pub(crate) fn of(&self, first: usize, end: usize, standing_n: f64) -> Option<f64> {
        self.unrest(first, end, standing_n, |_| 0.0)
    }

    /// The same without the plates' noise, as [`noise_sd`] finds it in the window: variances subtract.
    fn of_movement(&self, first: usize, end: usize, standing_n: f64) -> Option<f64> {
        let pairs = (end - first).saturating_sub(self.lag).max(1) as f64;
        let from = (first + self.lag).min(end);
        self.unrest(first, end, standing_n, |sums| {
            0.5 * (sums.differences[end] - sums.differences[from]) / pairs
        })
    }

    fn unrest(
        &self,
        first: usize,
        end: usize,
        standing_n: f64,
        noise: impl Fn(&Sums) -> f64,
    ) -> Option<f64> {
        let n = (end - first) as f64;
        let mean = self.total[first..end].iter().sum::<f64>() / n;
        if mean < 0.5 * standing_n {
            return None;
        }
        let spread: f64 = self
            .sums
            .iter()
            .map(|sums| {
                let m = (sums.values[end] - sums.values[first]) / n;
                let variance = (sums.squares[end] - sums.squares[first]) / n - m * m;
                (variance - noise(sums)).max(0.0).sqrt()
            })
            .sum();
        Some(spread / mean)
    }
}

fn quiet_of(stance: &Stance, total: &[f64], first: usize, end: usize) -> Option<Quiet> {
    let (fz_n, fz_sd_n) = mean_sd(total.get(first..end)?.iter().copied())?;
    Some(Quiet {
        first,
        end,
        from_s: *stance.t_s.get(first)?,
        to_s: *stance.t_s.get(end.checked_sub(1)?)?,
        fz_n,
        fz_sd_n,
    })
}

/// The quietest half second of the whole recording in which somebody stands on the plates: the one
/// whose total vertical force has the smallest standard deviation; `None` when nobody stands there,
/// or not for half a second.
pub fn quietest(stance: &Stance) -> Option<Quiet> {
    let total = stance.total_fz_n();
    let standing = standing_load_n(&total)?;
    let (window, _) = lengths(stance);
    let middle = total.iter().sum::<f64>() / total.len().max(1) as f64;
    let n = window as f64;
    // sums over the window, about the middle so that squares do not swamp the spread
    let (mut first, mut second) = (0.0, 0.0);
    let mut best: Option<(usize, f64)> = None;
    for (i, value) in total.iter().enumerate() {
        let new = value - middle;
        first += new;
        second += new * new;
        if i >= window {
            let old = total[i - window] - middle;
            first -= old;
            second -= old * old;
        }
        if i + 1 >= window && first / n + middle >= 0.5 * standing {
            let variance = second / n - (first / n) * (first / n);
            if best.is_none_or(|b| variance < b.1) {
                best = Some((i + 1 - window, variance));
            }
        }
    }
    let start = best?.0;
    quiet_of(stance, &total, start, start + window)
}

fn lengths(stance: &Stance) -> (usize, usize) {
    (
        ((WINDOW_S * stance.rate_hz).round() as usize).max(4),
        ((HOP_S * stance.rate_hz).round() as usize).max(1),
    )
}

/// Quiet stance before the swing: the address.
///
/// Half-second windows are judged by their unrest (spread of the vertical and horizontal forces
/// and of the centre of pressure, over the weight; the plates' noise is taken off, or three times the
/// least would be far into the swing where noise is strong). The swing is where unrest is greatest; the address is the last window before
/// it whose unrest is at most 1.5 %, or three times the least before the swing but never above
/// 10 %. It is then grown backward, up to one second, while it stays that quiet.
///
/// `before_s`: the address must end by then (a takeaway set by hand or found meanwhile); a shorter
/// window, down to 0.2 s, is taken when there is no room for half a second.
///
/// **Source:** ours.
pub fn before_swing(stance: &Stance, before_s: Option<f64>) -> Option<Quiet> {
    let unrest = Unrest::new(stance);
    let standing = standing_load_n(&unrest.total)?;
    let (mut window, hop) = lengths(stance);
    let limit = match before_s {
        Some(t) => stance.t_s.partition_point(|s| *s <= t),
        None => unrest.count,
    };
    if before_s.is_some() && limit < window {
        window = limit;
        if (window as f64) < SHORTEST_S * stance.rate_hz {
            return None;
        }
    }
    let windows: Vec<(usize, f64)> = (0..)
        .map(|k| k * hop)
        .take_while(|first| first + window <= limit)
        .filter_map(|first| Some((first, unrest.of_movement(first, first + window, standing)?)))
        .collect();
    // With a limit the swing lies behind it; without, it is where unrest is greatest.
    let action = if before_s.is_some() {
        limit
    } else {
        let busiest = |from: usize| {
            windows
                .iter()
                .copied()
                .filter(|w| w.0 >= from)
                .reduce(|best, w| if w.1 > best.1 { w } else { best })
        };
        // Stepping onto the plates may be busier than a swing, but nobody stands still before it.
        let least = windows.iter().map(|w| w.1).fold(f64::INFINITY, f64::min);
        let calm = (3.0 * least).clamp(ALWAYS_QUIET, NEVER_QUIET);
        let overall = busiest(0)?;
        let after_calm = windows
            .iter()
            .find(|w| w.1 <= calm)
            .and_then(|w| busiest(w.0))
            .filter(|w| w.1 >= 0.4 * overall.1);
        after_calm.unwrap_or(overall).0 + window / 2
    };
    let earlier: Vec<(usize, f64)> = windows
        .into_iter()
        .filter(|(first, _)| first + window <= action)
        .collect();
    let least = earlier.iter().map(|w| w.1).fold(f64::INFINITY, f64::min);
    let bound = (3.0 * least).clamp(ALWAYS_QUIET, NEVER_QUIET);
    let (mut first, _) = earlier.into_iter().rev().find(|w| w.1 <= bound)?;
    let end = first + window;
    let longest = stance.rate_hz.round() as usize;
    while let Some(earlier) = first.checked_sub(hop) {
        let quiet_still = unrest
            .of_movement(earlier, earlier + window.min(end - earlier), standing)
            .is_some_and(|u| u <= bound);
        if !quiet_still || end - earlier > longest {
            break;
        }
        first = earlier;
    }
    quiet_of(stance, &unrest.total, first, end)
}

/// The last half second before an instant, or as much of it as there is down to [`SHORTEST_S`], whether or not the player
/// stands still in it: for where a person says that the address is. `None` where nobody stands on the plates then.
pub fn last_before(stance: &Stance, before_s: f64) -> Option<Quiet> {
    let total = stance.total_fz_n();
    let standing = standing_load_n(&total)?;
    let end = stance.t_s.partition_point(|s| *s <= before_s);
    let first = end.saturating_sub(lengths(stance).0);
    let long_enough = (end - first) as f64 >= SHORTEST_S * stance.rate_hz;
    quiet_of(stance, &total, first, end).filter(|q| long_enough && q.fz_n >= 0.5 * standing)
}

/// Start of the first 0.3 s after `from_s` that is nearly as quiet as the address: unrest at most
/// 0.4 %, or twice that of the address if that is more, with at least half its weight on the
/// plates; `None` when there is none.
pub fn first_still_s(stance: &Stance, from_s: f64, address: &Quiet) -> Option<f64> {
    const STILL_S: f64 = 0.3;
    const STILL: f64 = 0.004;
    let unrest = Unrest::new(stance);
    let bound = (2.0 * unrest.of_movement(address.first, address.end, address.fz_n)?).max(STILL);
    let window = ((STILL_S * stance.rate_hz).round() as usize).max(4);
    let (_, hop) = lengths(stance);
    let from = stance.t_s.partition_point(|t| *t < from_s);
    (from..)
        .step_by(hop.div_ceil(2))
        .take_while(|first| first + window <= unrest.count)
        .find(|first| {
            unrest
                .of_movement(*first, first + window, address.fz_n)
                .is_some_and(|u| u <= bound)
        })
        .and_then(|first| stance.t_s.get(first).copied())
}

/// Residue of quiet stance: what should be nil while nobody moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residue {
    /// Mean force toward the target, N.
    pub ft_n: f64,
    /// Mean force toward the toes, N.
    pub fa_n: f64,
    /// Mean vertical torque about the stance centre, N·m.
    pub torque_nm: f64,
}

/// Where the feet press in quiet stance, metres from the lab origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AddressPlaces {
    /// Mean centre of pressure of the lead foot `(t, a)`.
    pub lead_m: Option<(f64, f64)>,
    /// Mean centre of pressure of the trail foot `(t, a)`.
    pub trail_m: Option<(f64, f64)>,
    /// Mean combined centre of pressure `(t, a)`.
    pub combined_m: (f64, f64),
    /// The stance centre: midpoint of the two feet's, or the combined one on a single plate.
    pub stance_centre_m: (f64, f64),
}

/// Mean centres of pressure over quiet stance, from the samples that carry the threshold.
pub fn address_places(stance: &Stance, quiet: &Quiet, threshold_n: f64) -> Option<AddressPlaces> {
    let mean = |of: &dyn Fn(usize) -> Option<(f64, f64)>| -> Option<(f64, f64)> {
        let points: Vec<(f64, f64)> = (quiet.first..quiet.end).filter_map(of).collect();
        let n = points.len() as f64;
        (!points.is_empty()).then(|| {
            (
                points.iter().map(|p| p.0).sum::<f64>() / n,
                points.iter().map(|p| p.1).sum::<f64>() / n,
            )
        })
    };
    let combined_m = mean(&|i| stance.combined_cop_m(i, threshold_n))?;
    let (lead_m, trail_m) = match stance.loads().as_slice() {
        [lead, trail] => (
            mean(&|i| lead.cop_m(i, threshold_n)),
            mean(&|i| trail.cop_m(i, threshold_n)),
        ),
        _ => (None, None),
    };
    let stance_centre_m = match (lead_m, trail_m) {
        (Some(l), Some(t)) => (0.5 * (l.0 + t.0), 0.5 * (l.1 + t.1)),
        _ => combined_m,
    };
    Some(AddressPlaces {
        lead_m,
        trail_m,
        combined_m,
        stance_centre_m,
    })
}

/// The residue of quiet stance about the stance centre; `None` without shear.
pub fn residue(stance: &Stance, quiet: &Quiet, centre_m: (f64, f64)) -> Option<Residue> {
    let shear = stance.total_shear()?;
    let mean = |v: &[f64]| {
        v[quiet.first..quiet.end].iter().sum::<f64>() / (quiet.end - quiet.first).max(1) as f64
    };
    let (ft_n, fa_n) = (mean(&shear.ft_n), mean(&shear.fa_n));
    Some(Residue {
        ft_n,
        fa_n,
        torque_nm: mean(&shear.torque_about_origin_nm) - (centre_m.1 * ft_n - centre_m.0 * fa_n),
    })
}

/// Takes the residue away, so that quiet stance has no mean horizontal force and no mean torque about
/// the stance centre.
///
/// Each foot's share acts at its own mean centre of pressure, where it leaves the free moments alone: half of the force
/// along the target line each, and across it what gives force and torque together,
/// ```text
/// F_a,lead + F_a,trail = F_a        Σ (a_i − a_c)·F_t,i − (t_i − t_c)·F_a,i = T
/// ```
/// Feet that stand less than 0.1 m apart along the target line, and one plate under both, have no such shares: there
/// half of force and torque is taken from each, as if it acted at the stance centre.
pub fn remove_residue(stance: &mut Stance, residue: Residue, places: &AddressPlaces) {
    const APART_M: f64 = 0.1;
    let centre = places.stance_centre_m;
    let Residue {
        ft_n,
        fa_n,
        torque_nm,
    } = residue;
    let at = |(t, a): (f64, f64), along: f64, across: f64| [along, across, a * along - t * across];
    let shares: Vec<[f64; 3]> = match (places.lead_m, places.trail_m) {
        (Some(lead), Some(trail)) if (lead.0 - trail.0).abs() >= APART_M => {
            let along = 0.5 * ft_n;
            let from_along = (lead.1 + trail.1 - 2.0 * centre.1) * along;
            let across =
                (from_along - torque_nm - (trail.0 - centre.0) * fa_n) / (lead.0 - trail.0);
            vec![at(lead, along, across), at(trail, along, fa_n - across)]
        }
        _ => {
            let count = stance.loads().len();
            let [along, across, moment] = at(centre, ft_n, fa_n);
            let whole = [along, across, moment + torque_nm];
            vec![whole.map(|v| v / count as f64); count]
        }
    };
    for (load, share) in stance.loads_mut().into_iter().zip(shares) {
        if let Some(shear) = &mut load.shear {
            let series = [
                &mut shear.ft_n,
                &mut shear.fa_n,
                &mut shear.torque_about_origin_nm,
            ];
            for (series, offset) in series.into_iter().zip(share) {
                for value in series.iter_mut() {
                    *value -= offset;
                }
            }
        }
    }
}
