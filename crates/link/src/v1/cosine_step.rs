//! The step of a curve's cosine terms.

use super::numbers::LARGEST;

/// A quarter of a power of two: 2^(i/4 − 14), i = 0 … 95.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct CosineStep(u8);

const INDEX_LIMIT: u8 = 95;
const FIRST_POWER: i32 = -14;

/// 2^(0/4) … 2^(3/4).
const QUARTERS: [f64; 4] = [
    1.0,
    1.189_207_115_002_721,
    std::f64::consts::SQRT_2,
    1.681_792_830_507_429,
];

impl CosineStep {
    /// The finest, 2⁻¹⁴.
    pub const FINEST: Self = Self(0);

    /// From its place in the list of steps.
    pub const fn from_index(index: u8) -> Option<Self> {
        if index <= INDEX_LIMIT {
            Some(Self(index))
        } else {
            None
        }
    }

    /// Its place in the list, 0 for the finest.
    pub const fn index(self) -> u8 {
        self.0
    }

    /// Every step, the coarsest first.
    pub fn coarsest_first() -> impl Iterator<Item = Self> {
        (0..=INDEX_LIMIT).rev().map(Self)
    }

    /// Size of one step.
    pub fn size(self) -> f64 {
        let power = FIRST_POWER + i32::from(self.0 / 4);
        let two = if power < 0 { 0.5 } else { 2.0 };
        (0..power.unsigned_abs()).fold(QUARTERS[usize::from(self.0 % 4)], |size, _| size * two)
    }

    /// How many steps come nearest; `None` when too many. Half of [`LARGEST`], so that a difference
    /// of two still fits.
    pub fn count(self, value: f64) -> Option<i32> {
        let count = (value / self.size()).round();
        (count.abs() <= f64::from(LARGEST / 2)).then_some(count as i32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_steps_double() {
        for i in 0..=INDEX_LIMIT - 4 {
            let ratio = CosineStep(i + 4).size() / CosineStep(i).size();
            assert!((ratio - 2.0).abs() < 1e-15);
        }
        assert_eq!(CosineStep(56).size(), 1.0);
        assert_eq!(CosineStep(56).count(f64::INFINITY), None);
    }
}
