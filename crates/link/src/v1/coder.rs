//! Binary arithmetic coding with adaptive probabilities.
//!
//! One description of the layout serves both ways: every coding function takes the value to write and
//! returns the value that is there. When writing the two are the same; when reading the value given is
//! ignored. So writer and reader cannot disagree.
//!
//! ```text
//! state        low ≤ high, 64 bits each; a bit of probability p (of 1, 16 bits) splits them:
//!              middle = low + ((high − low) >> 16)·p      1 → high = middle, 0 → low = middle + 1
//! bytes        leave as soon as the top bytes of low and high agree
//! end          the shortest bytes that, followed by endless zeros, lie in [low, high]
//! ```
//! Only integers are used, so every machine writes and reads the same bits. **Source**: the carry-free
//! binary coder described by Mahoney M (2005) *Adaptive weighing of context models for lossless data
//! compression*, Florida Tech TR CS-2005-16, widened to 64 bits.

use super::Damaged;

/// Probability that the next bit is 1, learnt as it goes.
#[derive(Debug, Clone, Copy)]
pub struct Chance {
    /// Of 65 536.
    one: u16,
    /// Bits seen, up to the limit.
    seen: u8,
}

/// Bits after which a chance learns at a steady rate.
const SEEN_LIMIT: u8 = 40;

impl Chance {
    /// Nothing known.
    pub const NEW: Self = Self::of(32_768);

    /// Believed to be so from the start, as firmly as after two bits.
    pub const fn of(one: u16) -> Self {
        Self { one, seen: 0 }
    }

    /// Of 65 536, kept off both ends so that no bit is impossible.
    pub fn one(self) -> u32 {
        u32::from(self.one).clamp(64, 65_536 - 64)
    }

    /// How many bits it rests on.
    pub fn seen(self) -> u32 {
        u32::from(self.seen)
    }

    /// Moves toward the bit by 1/(seen + 2).
    pub fn learn(&mut self, bit: bool) {
        let target = if bit { 65_535 } else { 0 };
        let now = i32::from(self.one);
        let moved = now + (target - now) / (i32::from(self.seen) + 2);
        self.one = moved.clamp(0, 65_535) as u16;
        self.seen = (self.seen + 1).min(SEEN_LIMIT);
    }
}

/// A writer or a reader of bits.
pub trait Coder {
    /// Codes one bit whose chance of being 1 is `one` of 65 536; returns the bit that is there.
    fn code(&mut self, one: u32, bit: bool) -> Result<bool, Damaged>;

    /// Codes one bit with a chance that learns from it.
    fn bit(&mut self, chance: &mut Chance, bit: bool) -> Result<bool, Damaged> {
        let bit = self.code(chance.one(), bit)?;
        chance.learn(bit);
        Ok(bit)
    }

    /// Codes `count` bits that nothing is known of, the highest first.
    fn raw(&mut self, value: u32, count: u32) -> Result<u32, Damaged> {
        let mut found = 0;
        for place in (0..count).rev() {
            let bit = self.code(32_768, value >> place & 1 == 1)?;
            found = found << 1 | u32::from(bit);
        }
        Ok(found)
    }
}

fn split(low: u64, high: u64, one: u32) -> u64 {
    low + ((high - low) >> 16) * u64::from(one)
}

/// Writes bits into bytes.
pub struct Writer {
    low: u64,
    high: u64,
    bytes: Vec<u8>,
}

impl Writer {
    /// Nothing written.
    pub fn new() -> Self {
        Self {
            low: 0,
            high: u64::MAX,
            bytes: Vec::new(),
        }
    }

    /// The bytes, as few as will do.
    pub fn finish(mut self) -> Vec<u8> {
        for count in 0..=8 {
            // Rounded up to `count` bytes: the lowest such number not below `low`.
            let below = u64::MAX.checked_shr(8 * count).unwrap_or(0);
            let Some(raised) = self.low.checked_add(below) else {
                continue;
            };
            let candidate = raised & !below;
            if candidate <= self.high {
                self.bytes
                    .extend(&candidate.to_be_bytes()[..count as usize]);
                break;
            }
        }
        // A reader sees endless zeros after the end.
        while self.bytes.last() == Some(&0) {
            self.bytes.pop();
        }
        self.bytes
    }
}

impl Coder for Writer {
    fn code(&mut self, one: u32, bit: bool) -> Result<bool, Damaged> {
        let middle = split(self.low, self.high, one);
        if bit {
            self.high = middle;
        } else {
            self.low = middle + 1;
        }
        while (self.low ^ self.high) >> 56 == 0 {
            self.bytes.push((self.high >> 56) as u8);
            self.low <<= 8;
            self.high = self.high << 8 | 0xff;
        }
        Ok(bit)
    }
}

/// Reads bits out of bytes.
pub struct Reader<'a> {
    low: u64,
    high: u64,
    value: u64,
    bytes: std::slice::Iter<'a, u8>,
    /// Zeros read beyond the end.
    beyond: u32,
    /// Bits that may still be read.
    left: u32,
}

/// The reader looks eight bytes ahead; a writer never needs more zeros beyond the end than this.
const BEYOND_LIMIT: u32 = 16;

/// Most bits a link can hold, however likely each: it bounds the work. All that version 1 has names for comes to
/// less than two thirds of it even with every number at its longest.
pub const BITS_LIMIT: u32 = 1 << 19;

impl<'a> Reader<'a> {
    /// Reads from the first of these bytes.
    pub fn new(bytes: &'a [u8]) -> Self {
        let mut reader = Self {
            low: 0,
            high: u64::MAX,
            value: 0,
            bytes: bytes.iter(),
            beyond: 0,
            left: BITS_LIMIT,
        };
        for _ in 0..8 {
            reader.shift();
        }
        reader
    }

    /// Whether every byte has been looked at.
    pub fn at_end(&self) -> bool {
        self.bytes.len() == 0
    }

    /// Bits read so far.
    #[cfg(test)]
    pub fn read(&self) -> u32 {
        BITS_LIMIT - self.left
    }

    fn shift(&mut self) {
        let next = self.bytes.next().copied();
        self.beyond += u32::from(next.is_none());
        self.value = self.value << 8 | u64::from(next.unwrap_or(0));
    }
}

impl Coder for Reader<'_> {
    fn code(&mut self, one: u32, _: bool) -> Result<bool, Damaged> {
        self.left = self.left.checked_sub(1).ok_or(Damaged)?;
        let middle = split(self.low, self.high, one);
        let bit = self.value <= middle;
        if bit {
            self.high = middle;
        } else {
            self.low = middle + 1;
        }
        while (self.low ^ self.high) >> 56 == 0 {
            self.low <<= 8;
            self.high = self.high << 8 | 0xff;
            self.shift();
        }
        if self.beyond > BEYOND_LIMIT {
            return Err(Damaged);
        }
        Ok(bit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_written_is_read(bits in prop::collection::vec((any::<bool>(), 64_u32..65_472), 0..900)) {
            let mut writer = Writer::new();
            for (bit, one) in &bits {
                writer.code(*one, *bit).unwrap();
            }
            let bytes = writer.finish();
            let mut reader = Reader::new(&bytes);
            for (bit, one) in &bits {
                prop_assert_eq!(reader.code(*one, false).unwrap(), *bit);
            }
            prop_assert!(reader.at_end());
        }
    }

    #[test]
    fn likely_bits_cost_little() {
        let mut writer = Writer::new();
        let mut chance = Chance::NEW;
        for _ in 0..1000 {
            writer.bit(&mut chance, true).unwrap();
        }
        // An adaptive chance of a constant bit costs about log2(n) bits until it settles.
        assert!(writer.finish().len() < 12);
    }

    #[test]
    fn bits_beyond_the_limit_are_refused() {
        let (mut writer, mut chance) = (Writer::new(), Chance::NEW);
        for _ in 0..=BITS_LIMIT {
            writer.bit(&mut chance, false).unwrap();
        }
        let bytes = writer.finish();
        assert!(bytes.len() < 200);
        let (mut reader, mut chance) = (Reader::new(&bytes), Chance::NEW);
        for _ in 0..BITS_LIMIT {
            assert_eq!(reader.bit(&mut chance, true), Ok(false));
        }
        assert_eq!(reader.bit(&mut chance, true), Err(Damaged));
    }

    #[test]
    fn reading_far_beyond_the_end_is_refused() {
        let mut reader = Reader::new(&[]);
        let refused = (0..1000).find(|_| reader.raw(0, 8).is_err());
        assert!(refused.is_some());
    }
}
