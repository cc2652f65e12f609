//! From values to pixels, and which values deserve a tick.

/// A straight map from a span of values to a span of pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    pub from: f64,
    pub to: f64,
    pub from_px: f64,
    pub to_px: f64,
}

impl Scale {
    pub fn px(self, value: f64) -> f64 {
        self.from_px + (value - self.from) / (self.to - self.from) * (self.to_px - self.from_px)
    }
}

/// Round values inside a span, about `wanted` of them, and how many decimals they need.
///
/// Steps are 1, 2 or 5 times a power of ten.
pub fn ticks(from: f64, to: f64, wanted: usize) -> (Vec<f64>, usize) {
    let raw = (to - from) / wanted.max(1) as f64;
    if !raw.is_finite() || raw <= 0.0 {
        return (Vec::new(), 0);
    }
    let power = raw.log10().floor() as i32;
    let base = 10f64.powi(power);
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * base)
        .find(|s| *s >= raw)
        .unwrap_or(10.0 * base);
    let decimals = (-step.log10().floor()).max(0.0) as usize;
    let first = (from / step).ceil() as i64;
    let last = (to / step).floor() as i64;
    let values = (first..=last.min(first + 100))
        .map(|i| i as f64 * step)
        .collect();
    (values, decimals)
}

/// As [`ticks`], but never fewer than two: one label alone is no scale.
pub fn two_ticks(from: f64, to: f64, wanted: usize) -> (Vec<f64>, usize) {
    // A step of at most a third of the span falls into it at least twice.
    (wanted.max(1)..=wanted.max(1) + 6)
        .map(|more| ticks(from, to, more))
        .find(|(values, _)| values.len() > 1)
        .unwrap_or_else(|| ticks(from, to, wanted))
}

/// The part of a curve inside `from..=to` in as many points as can be told apart: where several
/// samples fall on one pixel, the first, the lowest, the highest and the last of them, so that no
/// peak is lost. Runs end at gaps; the ends are cut exactly.
pub fn runs(
    x: &[f64],
    y: &[Option<f64>],
    from: f64,
    to: f64,
    px: impl Fn(f64) -> f64,
) -> Vec<Vec<(f64, f64)>> {
    let mut runs: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut run: Vec<(f64, f64)> = Vec::new();
    let mut column: Vec<(f64, f64)> = Vec::new();
    let mut before: Option<(f64, f64)> = None;
    let flush = |column: &mut Vec<(f64, f64)>, run: &mut Vec<(f64, f64)>| {
        if column.len() > 4 {
            let low = (0..column.len()).min_by(|a, b| column[*a].1.total_cmp(&column[*b].1));
            let high = (0..column.len()).max_by(|a, b| column[*a].1.total_cmp(&column[*b].1));
            let mut keep = [Some(0), low, high, Some(column.len() - 1)]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>();
            keep.sort_unstable();
            keep.dedup();
            run.extend(keep.into_iter().map(|i| column[i]));
        } else {
            run.append(column);
        }
        column.clear();
    };
    let between =
        |a: (f64, f64), b: (f64, f64), x: f64| (x, a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0));
    for (x, y) in x.iter().zip(y) {
        let Some(y) = y else {
            flush(&mut column, &mut run);
            if !run.is_empty() {
                runs.push(std::mem::take(&mut run));
            }
            before = None;
            continue;
        };
        let here = (*x, *y);
        if let Some(last) = before {
            if last.0 < from && here.0 > from {
                run.push(between(last, here, from));
            }
            if last.0 < to && here.0 > to {
                flush(&mut column, &mut run);
                run.push(between(last, here, to));
            }
        }
        if (from..=to).contains(x) {
            if column
                .last()
                .is_some_and(|c| px(c.0).floor() != px(*x).floor())
            {
                flush(&mut column, &mut run);
            }
            column.push(here);
        }
        before = Some(here);
    }
    flush(&mut column, &mut run);
    if !run.is_empty() {
        runs.push(run);
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round() {
        assert_eq!(ticks(-24.0, 58.0, 4), (vec![0.0, 50.0], 0));
        assert_eq!(ticks(-24.0, 58.0, 5), (vec![-20.0, 0.0, 20.0, 40.0], 0));
        let (values, decimals) = ticks(0.0, 0.5, 5);
        assert_eq!((values.len(), decimals), (6, 1));
        assert!(ticks(1.0, 1.0, 5).0.is_empty());
    }

    #[test]
    fn an_axis_has_two_labels_at_least_however_low_the_chart() {
        // A plain division of −104 … 96 in two gives a step of 100 with −100 and 0 alone; of −40 … 150
        // in one, 0 alone.
        assert_eq!(ticks(-40.0, 150.0, 1).0, [0.0]);
        for from in -60..=0 {
            for to in 1..=60 {
                for wanted in 0..=4 {
                    for unit in [0.037, 1.0, 410.0] {
                        let (low, high) = (unit * f64::from(from), unit * f64::from(to));
                        let (values, _) = two_ticks(low, high, wanted);
                        assert!(values.len() >= 2, "{low} to {high}, {wanted}: {values:?}");
                        assert!(values.len() <= wanted.max(1) + 4, "{values:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_single_peak_survives_thinning() {
        let x: Vec<f64> = (0..10_000).map(f64::from).collect();
        let mut y = vec![Some(0.0); 10_000];
        y[4321] = Some(9.0);
        let thin = runs(&x, &y, 0.0, 9999.0, |x| x / 100.0);
        assert_eq!(thin.len(), 1);
        assert!(thin[0].len() < 500);
        assert!(thin[0].contains(&(4321.0, 9.0)));
    }

    #[test]
    fn gaps_part_and_ends_are_cut() {
        let x = [0.0, 1.0, 2.0, 3.0, 4.0];
        let y = [Some(0.0), Some(10.0), None, Some(30.0), Some(40.0)];
        let parts = runs(&x, &y, 0.5, 3.5, |x| x * 100.0);
        assert_eq!(
            parts,
            [
                vec![(0.5, 5.0), (1.0, 10.0)],
                vec![(3.0, 30.0), (3.5, 35.0)]
            ]
        );
    }
}
