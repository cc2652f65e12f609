//! A sampled line: values between samples, areas, extremes and crossings over a window.
//!
//! The line through the samples is taken at its word: straight between samples, so window ends
//! and zero crossings that fall between samples are inserted and every area is exact for that line.

/// A quantity over time; `None` where it does not exist.
#[derive(Debug, Clone, Copy)]
pub struct Line<'a, V> {
    /// Times, strictly increasing, seconds.
    pub t_s: &'a [f64],
    /// Values at those times.
    pub values: &'a [V],
}

/// A value that may be absent.
pub trait Value: Copy {
    /// The number, when there is one.
    fn number(self) -> Option<f64>;
}

impl Value for f64 {
    fn number(self) -> Option<f64> {
        Some(self)
    }
}

impl Value for Option<f64> {
    fn number(self) -> Option<f64> {
        self
    }
}

impl<'a, V: Value> Line<'a, V> {
    /// Pairs times with values.
    pub fn new(t_s: &'a [f64], values: &'a [V]) -> Self {
        Self { t_s, values }
    }

    /// The value at an instant, linear between samples; `None` outside the samples or next to an
    /// absent one.
    pub fn at(&self, t: f64) -> Option<f64> {
        let after = self.t_s.partition_point(|s| *s < t);
        let y1 = self.values.get(after)?.number();
        let t1 = *self.t_s.get(after)?;
        if t1 == t {
            return y1;
        }
        let before = after.checked_sub(1)?;
        let (t0, y0) = (self.t_s[before], self.values[before].number()?);
        Some(y0 + (y1? - y0) * (t - t0) / (t1 - t0))
    }

    /// The corners of the line from `from` to `to`, both ends inserted; `None` when the window
    /// is empty, leaves the samples, or touches an absent value.
    pub fn window(&self, from: f64, to: f64) -> Option<Vec<(f64, f64)>> {
        if from >= to {
            return None;
        }
        let start = self.t_s.partition_point(|s| *s <= from);
        let end = self.t_s.partition_point(|s| *s < to);
        let mut corners = Vec::with_capacity(end.saturating_sub(start) + 2);
        corners.push((from, self.at(from)?));
        for i in start..end {
            corners.push((self.t_s[i], self.values[i].number()?));
        }
        corners.push((to, self.at(to)?));
        Some(corners)
    }

    /// The corners of the line from `from` to `to`, both ends inserted, and the samples up to `reach`
    /// before and after; NaN where there is no value.
    pub fn around(&self, (from, to): (f64, f64), reach: f64) -> Vec<(f64, f64)> {
        let value = |v: Option<f64>| v.unwrap_or(f64::NAN);
        let mut corners: Vec<(f64, f64)> = self
            .t_s
            .iter()
            .zip(self.values)
            .filter(|(t, _)| **t >= from - reach && **t <= to + reach)
            .map(|(t, v)| (*t, value(v.number())))
            .collect();
        for end in [from, to] {
            let i = corners.partition_point(|c| c.0 < end);
            if corners.get(i).is_none_or(|c| c.0 != end) {
                corners.insert(i, (end, value(self.at(end))));
            }
        }
        corners
    }
}

/// Areas below and above zero: `(∫min(y,0)dt, ∫max(y,0)dt)`, trapezoids with the zero crossings
/// inserted.
///
/// Clipping the samples before integrating would over-count both.
pub fn signed_areas(corners: &[(f64, f64)]) -> (f64, f64) {
    let mut negative = 0.0;
    let mut positive = 0.0;
    for pair in corners.windows(2) {
        let ((t0, y0), (t1, y1)) = (pair[0], pair[1]);
        let dt = t1 - t0;
        if y0 * y1 < 0.0 {
            let before = dt * y0 / (y0 - y1);
            for (y, width) in [(y0, before), (y1, dt - before)] {
                let area = 0.5 * y * width;
                if y < 0.0 {
                    negative += area;
                } else {
                    positive += area;
                }
            }
        } else {
            let area = 0.5 * (y0 + y1) * dt;
            if area < 0.0 {
                negative += area;
            } else {
                positive += area;
            }
        }
    }
    (negative, positive)
}

/// Area under the line, trapezoids.
pub fn area(corners: &[(f64, f64)]) -> f64 {
    corners
        .windows(2)
        .map(|p| 0.5 * (p[0].1 + p[1].1) * (p[1].0 - p[0].0))
        .sum()
}

/// The corner with the smallest value, the first of equals.
pub fn lowest(corners: &[(f64, f64)]) -> Option<(f64, f64)> {
    corners
        .iter()
        .copied()
        .reduce(|best, c| if c.1 < best.1 { c } else { best })
}

/// The corner with the largest value, the first of equals.
pub fn highest(corners: &[(f64, f64)]) -> Option<(f64, f64)> {
    corners
        .iter()
        .copied()
        .reduce(|best, c| if c.1 > best.1 { c } else { best })
}

/// Instants at which the line rises through zero: from below zero to zero or above.
///
/// ```text
/// t = t0 − y0·(t1 − t0) / (y1 − y0)
/// ```
pub fn upward_crossings(corners: &[(f64, f64)]) -> Vec<f64> {
    corners
        .windows(2)
        .filter(|p| p[0].1 < 0.0 && p[1].1 >= 0.0)
        .map(|p| p[0].0 - p[0].1 * (p[1].0 - p[0].0) / (p[1].1 - p[0].1))
        .collect()
}

/// Running area under sampled values from `t_s[0]`: one number a sample, the first zero.
pub fn running_area(t_s: &[f64], values: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let mut out = Vec::with_capacity(values.len());
    let mut previous: Option<(f64, f64)> = None;
    for (t, y) in t_s.iter().copied().zip(values.iter().copied()) {
        if let Some((t0, y0)) = previous {
            sum += 0.5 * (y0 + y) * (t - t0);
        }
        out.push(sum);
        previous = Some((t, y));
    }
    out
}

/// Mean and standard deviation (n − 1) of some numbers; `None` for none of them.
pub fn mean_sd(values: impl Iterator<Item = f64> + Clone) -> Option<(f64, f64)> {
    let n = values.clone().count();
    if n == 0 {
        return None;
    }
    let mean = values.clone().sum::<f64>() / n as f64;
    let sum: f64 = values.map(|v| (v - mean) * (v - mean)).sum();
    let sd = if n > 1 {
        (sum / (n - 1) as f64).sqrt()
    } else {
        0.0
    };
    Some((mean, sd))
}
