//! A curve fitted to the stretch of a line around a place of interest.
//!
//! A single sample carries all of its noise; of many samples the highest carries more than its share.
//! A smooth curve through the stretch around it carries a part only. Without noise there is no need of
//! a curve, and none is fitted.

/// A corner of a line: instant and value; NaN where there is none.
pub(super) type Corner = (f64, f64);

/// How far from the place of interest the stretch may reach, seconds: 0.15 and a little, which is no whole
/// number of samples at the usual rates, so that rounding does not decide which are within. Ours.
pub(super) const REACH_S: f64 = 0.1503;
/// The widest stretch tried holds what is within so many standard deviations of the noise …
const WIDEST_SD: f64 = 32.0;
/// … and the narrowest. Ours.
const NARROWEST_SD: f64 = 4.0;
/// The degree of the curve.
const DEGREE: usize = 4;
/// A curve that misses its samples by more than so many standard deviations of the noise (root mean
/// square) does not have their shape. Ours: by noise alone that hardly happens.
const MISFIT_SD: f64 = 1.5;

/// The curve around the corner `at` of a line, as the stretch of the line moved onto it; `None` where the
/// samples themselves are the better witness: without noise, or where they are few.
///
/// The stretch is what lies around the corner without a break within 0.15 s and within 32 standard
/// deviations of the noise from the value of interest; `apart` says how far a value is from that. Where
/// a curve of the 4th degree does not follow such a stretch it is halved, down to 4 standard deviations.
///
/// **Source:** ours; tuned on simulated swings, see `docs/measure-errors.md`.
pub(super) fn curve_around(
    line: &[Corner],
    at: usize,
    noise_sd: f64,
    apart: &dyn Fn(f64) -> f64,
) -> Option<Vec<Corner>> {
    let t = line.get(at)?.0;
    let mut width = WIDEST_SD * noise_sd;
    while noise_sd > 0.0 && width >= NARROWEST_SD * noise_sd {
        let near = |c: &&Corner| apart(c.1) <= width && (c.0 - t).abs() <= REACH_S;
        let before = line[..at].iter().rev().take_while(near).count();
        let after = line[at..].iter().take_while(near).count();
        let stretch = &line[at - before..at + after];
        if stretch.len() < DEGREE + 2 {
            return None;
        }
        let curve = fitted(stretch);
        let misses = stretch.iter().zip(&curve).map(|(s, c)| (s.1 - c.1).powi(2));
        if (misses.sum::<f64>() / stretch.len() as f64).sqrt() <= MISFIT_SD * noise_sd {
            return Some(curve);
        }
        width *= 0.5;
    }
    None
}

/// The points moved onto the polynomial of [`DEGREE`] that fits them best.
///
/// **Source:** Forsythe GE (1957) Generation and use of orthogonal polynomials for data-fitting
/// with a digital computer. J SIAM 5(2):74–88.
fn fitted(points: &[Corner]) -> Vec<Corner> {
    let (first, last) = (points[0].0, points[points.len() - 1].0);
    let x: Vec<f64> = points
        .iter()
        .map(|p| (2.0 * p.0 - first - last) / (last - first))
        .collect();
    let mut out: Vec<Corner> = points.iter().map(|p| (p.0, 0.0)).collect();
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
