//! What noise makes uncertain, read from a stretch of samples: the height and the place of an extreme,
//! the instant of a crossing, the time below zero.
//!
//! Of many samples the highest is high by noise too, by a whole standard deviation or more; near a flat
//! extreme, and where torque lingers about zero, neighbouring samples differ by less than the noise on
//! them. What is read here rests on as many samples as the noise makes necessary (see [`super::local`]).
//! Without noise it is what the line through the samples shows. What is left under 2 N of noise is listed
//! in `docs/measure-errors.md`.

use super::local::{Corner, curve_around};

/// A torque within so many standard deviations of zero has no sign that can be told.
pub(crate) const SIGN_SD: f64 = 4.0;

/// Where and how high a line is highest between two instants, on the line or on the curve fitted around
/// its highest corner; the line may go on beyond them, which steadies the curve. The place is refined
/// between corners by a parabola through three of them.
///
/// `noise_sd`: of the noise on the line at an instant.
///
/// **Source:** ours; see `docs/measure-errors.md`.
pub(super) fn highest_between(
    line: &[Corner],
    (from, to): (f64, f64),
    noise_sd: &dyn Fn(f64) -> f64,
) -> Option<Corner> {
    let inside = |c: &Corner| c.0 >= from && c.0 <= to && c.1.is_finite();
    let (at, (t, top)) = highest(line, inside)?;
    let curve = curve_around(line, at, noise_sd(t), &|y| top - y);
    let (corners, at, height) = match &curve {
        Some(curve) => {
            let (at, (_, height)) = highest(curve, inside)?;
            (curve.as_slice(), at, height)
        }
        None => (line, at, top),
    };
    Some((vertex(corners, at, inside), height))
}

/// Where and how low a line is lowest: see [`highest_between`].
pub(super) fn lowest_between(
    line: &[Corner],
    between: (f64, f64),
    noise_sd: &dyn Fn(f64) -> f64,
) -> Option<Corner> {
    let turned: Vec<Corner> = line.iter().map(|c| (c.0, -c.1)).collect();
    let (t, height) = highest_between(&turned, between, noise_sd)?;
    Some((t, -height))
}

/// The highest of the corners asked for, and its index; the first of equals.
fn highest(line: &[Corner], asked: impl Fn(&Corner) -> bool) -> Option<(usize, Corner)> {
    let corners = line.iter().copied().enumerate();
    corners
        .filter(|(_, c)| asked(c))
        .reduce(|best, c| if c.1.1 > best.1.1 { c } else { best })
}

/// The place of the highest corner, between corners by the parabola through it and its neighbours.
fn vertex(points: &[Corner], i: usize, asked: impl Fn(&Corner) -> bool) -> f64 {
    let (t, y1) = points[i];
    let neighbour = |j: Option<usize>| j.and_then(|j| points.get(j)).filter(|c| asked(c));
    let (Some(&(t0, y0)), Some(&(t2, y2))) = (neighbour(i.checked_sub(1)), neighbour(Some(i + 1)))
    else {
        return t;
    };
    let (rise, fall) = ((y1 - y0) / (t - t0), (y1 - y2) / (t2 - t));
    if rise + fall <= 0.0 {
        return t;
    }
    // The slope goes straight from +rise between the first two to −fall between the last two.
    let between = rise / (rise + fall);
    0.5 * (t0 + t) + between * 0.5 * (t2 - t0)
}

/// A crossing of zero by a line near an instant, on the curve fitted around it: upward or downward,
/// the nearest one between two instants; `None` where there is no such curve or crossing.
pub(super) fn crossing_near(
    line: &[Corner],
    t: f64,
    upward: bool,
    (from, to): (f64, f64),
    noise_sd: f64,
) -> Option<f64> {
    let at = line.partition_point(|c| c.0 < t);
    let curve = curve_around(line, at, noise_sd, &f64::abs)?;
    let sign = if upward { 1.0 } else { -1.0 };
    curve
        .windows(2)
        .map(|pair| ((pair[0].0, sign * pair[0].1), (pair[1].0, sign * pair[1].1)))
        .filter(|((_, y0), (_, y1))| *y0 < 0.0 && *y1 >= 0.0)
        .map(|((t0, y0), (t1, y1))| t0 - y0 * (t1 - t0) / (y1 - y0))
        .filter(|at| *at >= from && *at <= to)
        .min_by(|a, b| (a - t).abs().total_cmp(&(b - t).abs()))
}

/// Time for which a line is below zero between two instants; the line may go on beyond them: what comes
/// after tells the sign of what comes last.
///
/// A sign is told where the line is further from zero than four standard deviations of the noise;
/// what lies between two such stretches of the same sign has that sign, between two of opposite
/// sign it is parted where the curve fitted there crosses zero, or else the straight line between them.
/// What comes before the first such stretch has its sign. Without noise that is the time for which the
/// line through the samples is below zero.
///
/// **Source:** ours; see `docs/measure-errors.md`.
pub fn time_below_zero(line: &[(f64, f64)], (from, until): (f64, f64), noise_sd: f64) -> f64 {
    let told = SIGN_SD * noise_sd;
    let mut start = from;
    let mut below = 0.0;
    let mut last: Option<(usize, bool)> = None;
    let firm = line.iter().enumerate();
    for (i, corner) in firm.filter(|(_, c)| c.0 >= from && c.1.abs() > told) {
        let negative = corner.1 < 0.0;
        if let Some((before, was_negative)) = last
            && was_negative != negative
        {
            let parted = &line[before..=i];
            let straight = crossing(parted);
            let ends = (parted[0].0, corner.0);
            let at = crossing_near(line, straight, was_negative, ends, noise_sd)
                .unwrap_or(straight)
                .min(until);
            if was_negative {
                below += at - start;
            }
            start = at;
        }
        last = Some((i, negative));
    }
    if last.is_some_and(|(_, negative)| negative) {
        below += until - start;
    }
    below
}

/// Where the straight line fitted to some corners crosses zero, kept between the first and the last.
fn crossing(corners: &[Corner]) -> f64 {
    let count = corners.len() as f64;
    let mean_t = corners.iter().map(|c| c.0).sum::<f64>() / count;
    let mean_y = corners.iter().map(|c| c.1).sum::<f64>() / count;
    let spread: f64 = corners.iter().map(|c| (c.0 - mean_t).powi(2)).sum();
    let along: f64 = corners
        .iter()
        .map(|c| (c.0 - mean_t) * (c.1 - mean_y))
        .sum();
    let at = mean_t - mean_y * spread / along;
    let (first, last) = (corners[0].0, corners[corners.len() - 1].0);
    // a level fit has no crossing: then the middle is as good as any
    if at.is_finite() {
        at.clamp(first, last)
    } else {
        mean_t
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(n: u32, step_s: f64, y: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
        (0..=n)
            .map(|i| f64::from(i) * step_s)
            .map(|t| (t, y(t)))
            .collect()
    }

    /// Noise that goes up and down by turns, the worst for whoever believes one sample.
    fn shaken(corners: Vec<(f64, f64)>, by: f64) -> Vec<(f64, f64)> {
        let rough = |i: usize| ((i * i * i + 11 * i) % 101) as f64 / 50.0 - 1.0;
        let each = corners.into_iter().enumerate();
        each.map(|(i, c)| (c.0, c.1 + by * rough(i))).collect()
    }

    const ALL: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

    #[test]
    fn a_peak_between_samples_is_found_there() {
        let peak = line(40, 0.01, |t| 30.0 - 200.0 * (t - 0.1834).powi(2));
        let (t, top) = highest_between(&peak, ALL, &|_| 0.0).unwrap();
        assert!((t - 0.1834).abs() < 1e-9, "{t}");
        // without noise its height is that of the sampled line
        assert_eq!(top, peak[18].1);
        let low: Vec<Corner> = peak.iter().map(|c| (c.0, -c.1)).collect();
        assert_eq!(lowest_between(&low, ALL, &|_| 0.0), Some((t, -top)));
    }

    #[test]
    fn a_flat_peak_is_neither_where_nor_as_high_as_noise_makes_it() {
        let flat = |t: f64| 40.0 - 150.0 * (t - 0.3).powi(2) + 100.0 * (t - 0.3).powi(3);
        let noisy = shaken(line(600, 0.001, flat), 1.0);
        let (_, sample) = highest(&noisy, |_| true).unwrap();
        assert!((sample.0 - 0.3).abs() > 0.01, "{sample:?}");
        assert!(sample.1 > 40.5, "{sample:?}");
        let got = highest_between(&noisy, ALL, &|_| 0.6).unwrap();
        assert!((got.0 - 0.3).abs() < 0.005, "{got:?}");
        assert!((got.1 - 40.0).abs() < 0.1, "{got:?}");
    }

    #[test]
    fn a_peak_that_the_noise_does_not_explain_is_left_as_it_is() {
        // waves as large as many times the noise are no noise, whatever lies beneath them
        let wavy = |t: f64| 40.0 - 150.0 * (t - 0.3).powi(2) + 3.0 * libm::cos(400.0 * (t - 0.3));
        let got = highest_between(&line(600, 0.001, wavy), ALL, &|_| 0.2).unwrap();
        assert!((got.1 - 43.0).abs() < 0.1, "{got:?}");
    }

    #[test]
    fn an_extreme_at_the_end_of_the_swing_stays_there() {
        let rising = line(100, 0.001, |t| 100.0 * t);
        for noise in [0.0, 0.01] {
            let got = highest_between(&rising, ALL, &|_| noise).unwrap();
            assert_eq!(got.0, 0.1);
            assert!((got.1 - 10.0).abs() < 1e-9, "{got:?}");
        }
        // what lies beyond the swing steadies the curve and is not the extreme
        let noisy = shaken(line(300, 0.001, |t| 100.0 * t), 0.3);
        let (t, top) = highest_between(&noisy, (0.05, 0.2), &|_| 0.2).unwrap();
        assert_eq!(t, 0.2);
        assert!((top - 20.0).abs() < 0.05, "{top}");
    }

    #[test]
    fn a_gap_ends_the_stretch() {
        let mut gap = line(600, 0.001, |t| 40.0 - 150.0 * (t - 0.3).powi(2));
        let whole = highest_between(&gap, ALL, &|_| 0.1);
        gap[250].1 = f64::NAN;
        let (t, top) = highest_between(&gap, ALL, &|_| 0.1).unwrap();
        assert!((t - 0.3).abs() < 1e-6 && (top - 40.0).abs() < 1e-6);
        assert!(whole.is_some());
        gap.iter_mut().for_each(|c| c.1 = f64::NAN);
        assert_eq!(highest_between(&gap, ALL, &|_| 0.1), None);
    }

    #[test]
    fn a_crossing_is_not_where_one_sample_happens_to_cross() {
        let slow = |t: f64| 60.0 * (t - 0.3) + 400.0 * (t - 0.3).powi(2);
        let noisy = shaken(line(600, 0.001, slow), 0.5);
        let first = noisy.iter().find(|c| c.0 > 0.26 && c.1 > 0.0).unwrap().0;
        assert!((first - 0.3).abs() > 0.004, "{first}");
        let got = crossing_near(&noisy, first, true, ALL, 0.3).unwrap();
        assert!((got - 0.3).abs() < 0.002, "{got}");
        assert_eq!(crossing_near(&noisy, first, true, ALL, 0.0), None);
        assert_eq!(crossing_near(&noisy, first, true, (0.4, 0.5), 0.3), None);
    }

    #[test]
    fn time_below_zero_is_exact_without_noise() {
        let wave = [(0.0, 0.0), (1.0, -2.0), (2.0, 2.0), (3.0, -2.0)];
        let below = |line: &[Corner], until| time_below_zero(line, (0.0, until), 0.0);
        assert!((below(&wave, 3.0) - 2.0).abs() < 1e-12);
        // The line goes on after the end: what comes last is cut there.
        assert!((below(&wave, 2.75) - 1.75).abs() < 1e-12);
        assert_eq!(below(&[(0.0, 0.0), (1.0, 0.0)], 1.0), 0.0);
        assert_eq!(below(&[(0.0, -1.0), (1.0, -1.0)], 1.0), 1.0);
        // … and before the beginning
        let longer = [(-1.0, -2.0), (0.0, -1.0), (1.0, -1.0)];
        assert_eq!(below(&longer, 1.0), 1.0);
    }

    #[test]
    fn what_lingers_about_zero_has_the_sign_of_what_follows() {
        let slow = |t: f64| if t < 0.1 { 0.0 } else { -80.0 * (t - 0.1) };
        let noisy = shaken(line(300, 0.001, slow), 0.5);
        let below = |noise| time_below_zero(&noisy, (0.0, 0.3), noise);
        assert!((below(0.3) - 0.3).abs() < 1e-12);
        // sample by sample half of the lingering would be missing
        assert!(below(0.0) < 0.27);
    }
}
