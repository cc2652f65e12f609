//! Smooth closed-form curves with exact derivatives: sums of polynomial steps.

/// A smooth rise by `by` between two instants, flat before and after.
///
/// ```text
/// S(x) = x⁴(35 − 84x + 70x² − 20x³)    S'(x) = 140 x³(1−x)³    S''(x) = 420 x²(1−x)²(1−2x)
/// ```
/// Three times continuously differentiable at both ends, so that a position made of steps has a
/// smooth acceleration and an onset that is exact: nothing at all moves before `from_s`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Where the rise begins, seconds.
    pub from_s: f64,
    /// Where it ends, seconds; later than `from_s`.
    pub to_s: f64,
    /// How much the curve has risen at the end.
    pub by: f64,
}

/// Largest slope of the unit step, at its middle: 140/64.
pub const STEEPEST: f64 = 2.1875;

/// The unit step: value, first and second derivative at `x`.
pub fn unit_step(x: f64) -> [f64; 3] {
    if x <= 0.0 {
        return [0.0; 3];
    }
    if x >= 1.0 {
        return [1.0, 0.0, 0.0];
    }
    let y = 1.0 - x;
    let (x2, y2) = (x * x, y * y);
    [
        x2 * x2 * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x))),
        140.0 * x2 * x * y2 * y,
        420.0 * x2 * y2 * (1.0 - 2.0 * x),
    ]
}

/// Where the unit step reaches `level` (0–1), by bisection to the last bit.
pub fn unit_step_inverse(level: f64) -> f64 {
    root(0.0, 1.0, |x| unit_step(x)[0] - level)
}

/// The root of a function that changes sign from `lo` to `hi`, by bisection.
pub fn root(mut lo: f64, mut hi: f64, f: impl Fn(f64) -> f64) -> f64 {
    let rising = f(hi) >= f(lo);
    for _ in 0..80 {
        let mid = 0.5 * (lo + hi);
        if (f(mid) < 0.0) == rising {
            lo = mid;
        } else {
            hi = mid;
        }
    }
    0.5 * (lo + hi)
}

/// A constant plus steps.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curve {
    /// Value before the first step.
    pub base: f64,
    /// The steps; they may overlap.
    pub steps: Vec<Step>,
}

impl Curve {
    /// A curve that starts at `base`.
    pub fn new(base: f64) -> Self {
        Self {
            base,
            steps: Vec::new(),
        }
    }

    /// The same curve with one more rise.
    pub fn step(mut self, from_s: f64, to_s: f64, by: f64) -> Self {
        self.steps.push(Step { from_s, to_s, by });
        self
    }

    /// Value, first and second time derivative at `t_s`.
    pub fn at(&self, t_s: f64) -> [f64; 3] {
        let mut sum = [self.base, 0.0, 0.0];
        for step in &self.steps {
            let span = step.to_s - step.from_s;
            let [s, d, dd] = unit_step((t_s - step.from_s) / span);
            sum[0] += step.by * s;
            sum[1] += step.by * d / span;
            sum[2] += step.by * dd / (span * span);
        }
        sum
    }

    /// Value at `t_s`.
    pub fn value(&self, t_s: f64) -> f64 {
        self.at(t_s)[0]
    }
}
