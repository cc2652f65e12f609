//! Instants read where torque is flat: the place of an extreme, and the time below zero.
//!
//! Near a flat extreme, and where torque lingers about zero, neighbouring samples differ by less
//! than the noise on them, so no single sample shows the instant. What is read here rests on a
//! stretch of samples as wide as the noise makes necessary. Without noise it is what the line
//! through the samples shows. What is left under 2 N of noise is listed in `docs/measure-errors.md`.

use crate::sampled::highest;

/// An extreme's place is read from the stretch around it that lies within so many standard
/// deviations of the noise …
const FLAT_SD: f64 = 32.0;
/// … but within no more than this part of the extreme itself.
const FLAT_PART: f64 = 0.25;
/// The degree of the curve fitted to that stretch.
const DEGREE: usize = 4;
/// A torque within so many standard deviations of zero has no sign that can be told.
const SIGN_SD: f64 = 4.0;

/// Instant at which a line is highest.
///
/// A curve of the 4th degree is fitted to the stretch around the highest sample that lies within 32
/// standard deviations of the noise (at most a quarter of the height), and the highest point of
/// that curve is taken, between its samples by a parabola through three of them. Where the
/// stretch is too short for such a curve the samples themselves are taken.
///
/// **Source:** ours; tuned on simulated swings, see `docs/measure-errors.md`.
pub(super) fn place_of_highest(corners: &[(f64, f64)], noise_sd: f64) -> Option<f64> {
    let (t, top) = highest(corners)?;
    let width = (FLAT_SD * noise_sd).min(FLAT_PART * top.abs());
    let peak = corners.iter().position(|c| c.0 == t)?;
    let near = |c: &&(f64, f64)| c.1 >= top - width;
    let before = corners[..peak].iter().rev().take_while(near).count();
    let after = corners[peak..].iter().take_while(near).count();
    let stretch = &corners[peak - before..peak + after];
    if stretch.len() < DEGREE + 2 {
        return vertex(corners);
    }
    vertex(&fitted(stretch))
}

/// Instant at which a line is lowest: see [`place_of_highest`].
pub(super) fn place_of_lowest(corners: &[(f64, f64)], noise_sd: f64) -> Option<f64> {
    let turned: Vec<(f64, f64)> = corners.iter().map(|c| (c.0, -c.1)).collect();
    place_of_highest(&turned, noise_sd)
}

/// The highest of some points, between them by the parabola through it and its neighbours.
fn vertex(points: &[(f64, f64)]) -> Option<f64> {
    let (t, _) = highest(points)?;
    let i = points.iter().position(|p| p.0 == t)?;
    let (Some(before), Some(after)) = (i.checked_sub(1), points.get(i + 1)) else {
        return Some(t);
    };
    let ((t0, y0), (_, y1), &(t2, y2)) = (points[before], points[i], after);
    let (rise, fall) = ((y1 - y0) / (t - t0), (y1 - y2) / (t2 - t));
    if rise + fall <= 0.0 {
        return Some(t);
    }
    // The slope goes straight from +rise between the first two to −fall between the last two.
    let between = rise / (rise + fall);
    Some(0.5 * (t0 + t) + between * 0.5 * (t2 - t0))
}

/// The points moved onto the polynomial of [`DEGREE`] that fits them best.
///
/// **Source:** Forsythe GE (1957) Generation and use of orthogonal polynomials for data-fitting
/// with a digital computer. J SIAM 5(2):74–88.
fn fitted(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (first, last) = (points[0].0, points[points.len() - 1].0);
    let x: Vec<f64> = points
        .iter()
        .map(|p| (2.0 * p.0 - first - last) / (last - first))
        .collect();
    let mut out: Vec<(f64, f64)> = points.iter().map(|p| (p.0, 0.0)).collect();
    let mut older = vec![0.0; x.len()];
    let mut polynomial = vec![1.0; x.len()];
    let mut older_size = 1.0;
    for _ in 0..=DEGREE {
        let (mut size, mut moment, mut along) = (0.0, 0.0, 0.0);
        for ((p, x), point) in polynomial.iter().zip(&x).zip(points) {
            size += p * p;
            moment += x * p * p;
            along += point.1 * p;
        }
        for (out, p) in out.iter_mut().zip(&polynomial) {
            out.1 += along / size * p;
        }
        let next = x
            .iter()
            .zip(polynomial.iter().zip(&older))
            .map(|(x, (p, q))| (x - moment / size) * p - size / older_size * q)
            .collect();
        older_size = size;
        older = std::mem::replace(&mut polynomial, next);
    }
    out
}

/// Time for which a line is below zero until `until_s`; the line may go on after that, which
/// tells the sign of what comes last.
///
/// A sign is told where the line is further from zero than four standard deviations of the noise;
/// what lies between two such stretches of the same sign has that sign, between two of opposite
/// sign it is parted where the straight line fitted to it crosses zero. What comes before the
/// first such stretch has its sign. Without noise that is the time for which the line through the
/// samples is below zero.
///
/// **Source:** ours; see `docs/measure-errors.md`.
pub fn time_below_zero(corners: &[(f64, f64)], until_s: f64, noise_sd: f64) -> f64 {
    let told = SIGN_SD * noise_sd;
    let mut start = corners.first().map_or(until_s, |c| c.0);
    let mut below = 0.0;
    let mut last: Option<(usize, bool)> = None;
    let firm = corners.iter().enumerate().filter(|(_, c)| c.1.abs() > told);
    for (i, corner) in firm {
        let negative = corner.1 < 0.0;
        if let Some((before, was_negative)) = last
            && was_negative != negative
        {
            let at = crossing(&corners[before..=i]).min(until_s);
            if was_negative {
                below += at - start;
            }
            start = at;
        }
        last = Some((i, negative));
    }
    if last.is_some_and(|(_, negative)| negative) {
        below += until_s - start;
    }
    below
}

/// Where the straight line fitted to some corners crosses zero, kept between the first and the last.
fn crossing(corners: &[(f64, f64)]) -> f64 {
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

    #[test]
    fn a_peak_between_samples_is_found_there() {
        let peak = line(40, 0.01, |t| 30.0 - 200.0 * (t - 0.1834).powi(2));
        let got = place_of_highest(&peak, 0.0).unwrap();
        assert!((got - 0.1834).abs() < 1e-9, "{got}");
        let low: Vec<(f64, f64)> = peak.iter().map(|c| (c.0, -c.1)).collect();
        assert_eq!(place_of_lowest(&low, 0.0), Some(got));
    }

    #[test]
    fn a_flat_peak_is_not_where_noise_happens_to_be_highest() {
        let flat = |t: f64| 40.0 - 150.0 * (t - 0.3).powi(2) + 100.0 * (t - 0.3).powi(3);
        let noisy = shaken(line(600, 0.001, flat), 1.0);
        let sample = highest(&noisy).unwrap().0;
        assert!((sample - 0.3).abs() > 0.01, "{sample}");
        let got = place_of_highest(&noisy, 0.3).unwrap();
        assert!((got - 0.3).abs() < 0.003, "{got}");
    }

    #[test]
    fn an_extreme_at_the_end_of_the_swing_stays_there() {
        let rising = line(100, 0.001, |t| 100.0 * t);
        assert_eq!(place_of_highest(&rising, 0.0), Some(0.1));
        assert_eq!(place_of_highest(&rising, 0.01), Some(0.1));
    }

    #[test]
    fn time_below_zero_is_exact_without_noise() {
        let wave = [(0.0, 0.0), (1.0, -2.0), (2.0, 2.0), (3.0, -2.0)];
        assert!((time_below_zero(&wave, 3.0, 0.0) - 2.0).abs() < 1e-12);
        // The line goes on after the end: what comes last is cut there.
        assert!((time_below_zero(&wave, 2.75, 0.0) - 1.75).abs() < 1e-12);
        assert_eq!(time_below_zero(&[(0.0, 0.0), (1.0, 0.0)], 1.0, 0.0), 0.0);
        assert_eq!(time_below_zero(&[(0.0, -1.0), (1.0, -1.0)], 1.0, 0.0), 1.0);
    }

    #[test]
    fn what_lingers_about_zero_has_the_sign_of_what_follows() {
        let slow = |t: f64| if t < 0.1 { 0.0 } else { -80.0 * (t - 0.1) };
        let noisy = shaken(line(300, 0.001, slow), 0.5);
        assert!((time_below_zero(&noisy, 0.3, 0.3) - 0.3).abs() < 1e-12);
        // sample by sample half of the lingering would be missing
        assert!(time_below_zero(&noisy, 0.3, 0.0) < 0.27);
    }
}
