//! Whole numbers, and the steps that make them into measures.

use super::Damaged;
use super::coder::{Chance, Coder};

/// Bits of the largest magnitude, so that every number is below 2²⁴ and nothing read can overflow.
pub const LARGEST_BITS: usize = 24;

/// The largest magnitude.
pub const LARGEST: i32 = (1 << LARGEST_BITS) - 1;

/// Whole numbers by their bit length (unary, each bit with its own chance), then the bits below the
/// highest: the first of them with a chance, the others plain.
#[derive(Debug, Clone)]
pub struct Numbers {
    length: [Chance; LARGEST_BITS],
    second: [Chance; LARGEST_BITS + 1],
    sign: Chance,
}

impl Numbers {
    /// Nothing known.
    pub const NEW: Self = Self {
        length: [Chance::NEW; LARGEST_BITS],
        second: [Chance::NEW; LARGEST_BITS + 1],
        sign: Chance::NEW,
    };

    /// Numbers expected to have about this many bits.
    pub const fn about(bits: usize) -> Self {
        let mut new = Self::NEW;
        let mut i = 0;
        while i < LARGEST_BITS {
            new.length[i] = Chance::of(if i + 1 < bits {
                62_000
            } else if i < bits + 1 {
                36_000
            } else {
                16_000
            });
            i += 1;
        }
        new
    }

    /// A number from 0 to [`LARGEST`].
    pub fn unsigned(&mut self, io: &mut impl Coder, value: u32) -> Result<u32, Damaged> {
        let bits = (u32::BITS - value.leading_zeros()) as usize;
        if bits > LARGEST_BITS {
            return Err(Damaged);
        }
        let mut length = 0;
        while length < LARGEST_BITS && io.bit(&mut self.length[length], bits > length)? {
            length += 1;
        }
        if length < 2 {
            return Ok(length as u32);
        }
        let below = length as u32 - 2;
        let second = io.bit(&mut self.second[length], value >> below & 1 == 1)?;
        let high = 2 | u32::from(second);
        Ok(high << below | io.raw(value & ((1 << below) - 1), below)?)
    }

    /// A number from −[`LARGEST`] to [`LARGEST`].
    pub fn signed(&mut self, io: &mut impl Coder, value: i32) -> Result<i32, Damaged> {
        let magnitude = self.unsigned(io, value.unsigned_abs())? as i32;
        if magnitude == 0 {
            return Ok(0);
        }
        let negative = io.bit(&mut self.sign, value < 0)?;
        Ok(if negative { -magnitude } else { magnitude })
    }
}

/// The distance between neighbouring values a number can take: 1, 2 or 5 times a power of ten.
///
/// The step is chosen by the sender from the spread, and carried, so that a link read and packed
/// again is the same link.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Step(u8);

/// Step 0 is 10⁻⁶.
const FIRST_POWER: i32 = -6;

impl Step {
    /// The finest, 10⁻⁶.
    pub const FINEST: Self = Self(0);
    /// The coarsest, 5·10³.
    pub const COARSEST: Self = Self(29);

    /// From its place in the list of steps; `None` beyond the coarsest.
    pub const fn from_index(index: u8) -> Option<Self> {
        if index <= Self::COARSEST.0 {
            Some(Self(index))
        } else {
            None
        }
    }

    /// Its place in the list, 0 for the finest.
    pub const fn index(self) -> u8 {
        self.0
    }

    /// The coarsest step not above `limit`; the finest when there is none.
    pub fn at_most(limit: f64) -> Self {
        (0..=Self::COARSEST.0)
            .rev()
            .map(Self)
            .find(|s| s.value(1) <= limit * (1.0 + 1e-9))
            .unwrap_or(Self::FINEST)
    }

    /// The next finer step.
    pub fn finer(self) -> Option<Self> {
        self.0.checked_sub(1).map(Self)
    }

    /// The next coarser step.
    pub fn coarser(self) -> Option<Self> {
        Self::from_index(self.0 + 1)
    }

    /// So many steps, correctly rounded: 12·0.1 is 1.2.
    pub fn value(self, count: i32) -> f64 {
        let leading = [1.0, 2.0, 5.0][usize::from(self.0 % 3)];
        let power = FIRST_POWER + i32::from(self.0 / 3);
        // Powers of ten up to 10²² are exact, and one division or product of exact numbers rounds once.
        let scale = (0..power.unsigned_abs()).fold(1.0, |s, _| s * 10.0);
        let count = f64::from(count) * leading;
        if power < 0 {
            count / scale
        } else {
            count * scale
        }
    }

    /// How many steps come nearest; `None` when that is not a number below [`LARGEST`].
    pub fn count(self, value: f64) -> Option<i32> {
        let count = (value / self.value(1)).round();
        (count.abs() <= f64::from(LARGEST)).then_some(count as i32)
    }
}

#[cfg(test)]
mod tests {
    use super::super::coder::{Reader, Writer};
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn numbers_come_back(values in prop::collection::vec(-LARGEST..=LARGEST, 0..60)) {
            let (mut writer, mut model) = (Writer::new(), Numbers::NEW);
            for v in &values {
                model.signed(&mut writer, *v).unwrap();
            }
            let bytes = writer.finish();
            let (mut reader, mut model) = (Reader::new(&bytes), Numbers::NEW);
            for v in &values {
                prop_assert_eq!(model.signed(&mut reader, 0).unwrap(), *v);
            }
        }

        #[test]
        fn steps_find_their_own_values(index in 0_u8..30, count in -LARGEST..=LARGEST) {
            let step = Step::from_index(index).unwrap();
            prop_assert_eq!(step.count(step.value(count)), Some(count));
        }
    }

    #[test]
    fn steps_are_decimal() {
        assert_eq!(Step::at_most(0.07).value(1), 0.05);
        assert_eq!(Step::at_most(0.1).value(-246), -24.6);
        assert_eq!(Step::COARSEST.value(1), 5000.0);
        assert_eq!(Step::at_most(0.0), Step::FINEST);
        assert_eq!(Step::FINEST.count(f64::NAN), None);
    }
}
