//! The three byte orders a C3D file may be written in.

/// The kind of computer whose number formats the file uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Processor {
    /// Little-endian integers, IEEE floats.
    Intel,
    /// Little-endian integers, VAX F floats.
    Dec,
    /// Big-endian integers, IEEE floats.
    Mips,
}

impl Processor {
    pub(super) const ALL: [Self; 3] = [Self::Intel, Self::Dec, Self::Mips];

    /// From the fourth byte of the parameter section (83 + 1, 2 or 3).
    pub(super) fn from_code(code: u8) -> Option<Self> {
        match code {
            84 => Some(Self::Intel),
            85 => Some(Self::Dec),
            86 => Some(Self::Mips),
            _ => None,
        }
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Intel => "Intel",
            Self::Dec => "DEC",
            Self::Mips => "MIPS",
        }
    }

    pub(super) fn u16(self, bytes: &[u8], at: usize) -> Option<u16> {
        let pair: [u8; 2] = bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(match self {
            Self::Intel | Self::Dec => u16::from_le_bytes(pair),
            Self::Mips => u16::from_be_bytes(pair),
        })
    }

    pub(super) fn i16(self, bytes: &[u8], at: usize) -> Option<i16> {
        self.u16(bytes, at).map(u16::cast_signed)
    }

    /// A four-byte float; a VAX reserved operand becomes NaN.
    pub(super) fn f32(self, bytes: &[u8], at: usize) -> Option<f64> {
        let four: [u8; 4] = bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(match self {
            Self::Intel => f32::from_le_bytes(four).into(),
            Self::Mips => f32::from_be_bytes(four).into(),
            Self::Dec => vax_f(four),
        })
    }
}

/// VAX F_floating: sign, 8-bit exponent in excess 128, hidden-bit fraction 0.1…, stored as two
/// little-endian words with the more significant one first.
///
/// ```text
/// value = (−1)^s · 0.1f₂ · 2^(e−128)        e = 0: zero (s = 0) or reserved (s = 1)
/// ```
/// **Source:** VAX Architecture Reference Manual, F_floating (layout from memory); checked in the
/// tests against 1.0 = 80 40 00 00.
fn vax_f([b0, b1, b2, b3]: [u8; 4]) -> f64 {
    let bits = u32::from_be_bytes([b1, b0, b3, b2]);
    let exponent = u64::from(bits >> 23 & 0xff);
    let negative = bits >> 31 == 1;
    if exponent == 0 {
        // Converters from IEEE write a negative zero like this, which a VAX would trap on.
        let reserved = negative && bits & 0x007f_ffff != 0;
        return if reserved { f64::NAN } else { 0.0 };
    }
    let sign = u64::from(negative) << 63;
    let fraction = u64::from(bits & 0x007f_ffff) << 29;
    f64::from_bits(sign | (exponent + 1023 - 129) << 52 | fraction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn vax_floats() {
        let read = |four: [u8; 4]| Processor::Dec.f32(&four, 0).unwrap();
        assert_eq!(read([0x80, 0x40, 0, 0]), 1.0);
        assert_eq!(read([0x20, 0xc1, 0, 0]), -2.5);
        assert_eq!(
            read([0x80, 0x40, 0x01, 0x00]),
            1.0 + f64::from(f32::EPSILON)
        );
        assert_eq!(read([0, 0, 0, 0]), 0.0);
        assert_eq!(read([0, 0x80, 0, 0]), 0.0);
        assert!(read([0, 0x80, 1, 0]).is_nan());
    }

    #[test]
    fn out_of_range_is_absent() {
        assert_eq!(Processor::Intel.u16(&[1], 0), None);
        assert_eq!(Processor::Intel.f32(&[1, 2, 3, 4], usize::MAX), None);
    }
}
