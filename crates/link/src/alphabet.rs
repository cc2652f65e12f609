//! Bytes as characters that survive their way: 64 letters for the copied link, 41 for the QR code.
//!
//! Both end with a capital letter worked out from the bytes, because programs that find links in
//! running text drop punctuation at the end, and `-` and `_` are punctuation to some.

use base64::Engine as _;
use base64::engine::general_purpose::{NO_PAD, URL_SAFE_NO_PAD};
use base64::engine::{GeneralPurpose, GeneralPurposeConfig};

/// How bytes are spelt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spelling {
    /// base64url without padding (RFC 4648 § 5): the shortest in characters.
    Link,
    /// Three of 41 characters for two bytes: the smallest QR code, since every one of them is in the
    /// QR alphanumeric set *and* may stand in a URL's fragment (RFC 3986 § 3.5). Base45 (RFC 9285)
    /// is as dense, but uses the space and `%`.
    Qr,
}

/// `0-9 A-Z - . / : +`.
const FORTY_ONE: &[u8; 41] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-./:+";

/// Accepts a last character whose unused bits are not nil: the checksum is what counts.
const FORGIVING: GeneralPurpose = GeneralPurpose::new(
    &base64::alphabet::URL_SAFE,
    GeneralPurposeConfig::with_decode_allow_trailing_bits(NO_PAD, true),
);

impl Spelling {
    /// The bytes spelt out, with the letter at the end.
    pub fn spell(self, bytes: &[u8]) -> String {
        let mut text = match self {
            Self::Link => URL_SAFE_NO_PAD.encode(bytes),
            Self::Qr => bytes.chunks(2).flat_map(three).collect(),
        };
        text.push(last_letter(bytes));
        text
    }

    /// Characters of so many bytes, without the letter at the end.
    pub fn length(self, bytes: usize) -> usize {
        match self {
            Self::Link => (4 * bytes).div_ceil(3),
            Self::Qr => 3 * (bytes / 2) + 2 * (bytes % 2),
        }
    }

    /// How many of so many letters of an unfinished spelling make whole bytes by themselves.
    pub fn whole(self, letters: usize) -> usize {
        match self {
            Self::Link => letters,
            Self::Qr => letters - letters % 3,
        }
    }

    /// The character as it counts, or `None` when it is not one of the alphabet.
    pub fn letter(self, c: char) -> Option<u8> {
        let byte = u8::try_from(c).ok()?;
        match self {
            Self::Link => {
                (byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_').then_some(byte)
            }
            Self::Qr => {
                let byte = byte.to_ascii_uppercase();
                FORTY_ONE.contains(&byte).then_some(byte)
            }
        }
    }

    /// The bytes of letters of the alphabet; `None` when they cannot be a spelling. Letters that
    /// would make less than a byte are left out.
    pub fn bytes(self, letters: &[u8]) -> Option<Vec<u8>> {
        match self {
            Self::Link => {
                let spare = usize::from(letters.len() % 4 == 1);
                FORGIVING.decode(&letters[..letters.len() - spare]).ok()
            }
            Self::Qr => {
                let mut bytes = Vec::new();
                for three in letters.chunks(3) {
                    let mut value = 0;
                    for letter in three.iter().rev() {
                        let place = FORTY_ONE.iter().position(|l| l == letter)?;
                        value = 41 * value + place as u32;
                    }
                    match three.len() {
                        3 => bytes.extend(u16::try_from(value).ok()?.to_be_bytes()),
                        2 => bytes.push(u8::try_from(value).ok()?),
                        _ => {}
                    }
                }
                Some(bytes)
            }
        }
    }
}

/// Two bytes as three characters, the lowest place first; one byte as two.
fn three(bytes: &[u8]) -> Vec<char> {
    let mut value = bytes
        .iter()
        .fold(0_usize, |value, byte| value << 8 | usize::from(*byte));
    (0..=bytes.len())
        .map(|_| {
            let place = value % 41;
            value /= 41;
            char::from(FORTY_ONE[place])
        })
        .collect()
}

/// `A` … `Z` by the sum of the bytes.
fn last_letter(bytes: &[u8]) -> char {
    let sum: u32 = bytes.iter().map(|byte| u32::from(*byte)).sum();
    char::from(b'A' + (sum % 26) as u8)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn bytes_come_back(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            for spelling in [Spelling::Link, Spelling::Qr] {
                let text = spelling.spell(&bytes);
                prop_assert!(text.ends_with(|c: char| c.is_ascii_uppercase()));
                let letters: Vec<u8> = text.chars().map(|c| spelling.letter(c).unwrap()).collect();
                prop_assert_eq!(letters.len(), spelling.length(bytes.len()) + 1);
                let back = spelling.bytes(&letters[..letters.len() - 1]);
                prop_assert_eq!(back.unwrap(), bytes.clone());
            }
        }
    }

    /// RFC 4648 § 10 (the vectors that hold no `+` or `/`), and 41 worked by hand: 0xFFFF =
    /// 17 + 41·(40 + 41·38), 0x00 = 0.
    #[test]
    fn spellings_by_hand() {
        assert_eq!(&Spelling::Link.spell(b"foobar")[..8], "Zm9vYmFy");
        assert_eq!(&Spelling::Link.spell(b"fo")[..3], "Zm8");
        assert_eq!(&Spelling::Qr.spell(&[0xff, 0xff])[..3], "H+/");
        assert_eq!(&Spelling::Qr.spell(&[0])[..2], "00");
    }
}
