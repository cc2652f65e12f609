//! Links changed at random, in the text and, with a right checksum, in the body.

use crc::{CRC_32_ISO_HDLC, Crc};
use footing_link::{Refusal, decode, encode};

use super::{Draw, Plan, invent};

pub struct Mutator {
    draw: Draw,
    texts: Vec<String>,
    bodies: Vec<Vec<u8>>,
    /// Opened, cut short, damaged, newer, no link.
    pub counts: [u64; 5],
}

impl Mutator {
    pub fn new(seed: u64) -> Self {
        let (mut texts, mut bodies) = (Vec::new(), Vec::new());
        for seed in 0..24 {
            let plan = Plan {
                seed,
                swings: [(seed % 9) as usize, (seed % 7) as usize],
                paired: false,
                everything: seed % 3 == 0,
                texts: seed % 2 == 0,
            };
            let link = encode(&invent(plan).shared).expect("can be sent");
            texts.push(link.url("https://example.org/footing/"));
            texts.push(link.qr_url("https://example.org/footing/"));
            let bytes = link.bytes();
            bodies.push(bytes[3..bytes.len() - 4].to_vec());
        }
        Self {
            draw: Draw(seed),
            texts,
            bodies,
            counts: [0; 5],
        }
    }

    /// The next text.
    pub fn text(&mut self) -> String {
        if self.draw.below(2) == 0 {
            return self.forged();
        }
        let which = self.draw.below(self.texts.len() as u64) as usize;
        let mut chars: Vec<char> = self.texts[which].chars().collect();
        for _ in 0..self.draw.below(4) {
            self.change(&mut chars);
        }
        chars.into_iter().collect()
    }

    /// A body with changed bytes in an envelope that is right: what only a forger would send, and the
    /// only way past the checksum.
    fn forged(&mut self) -> String {
        let which = self.draw.below(self.bodies.len() as u64) as usize;
        let mut body = self.bodies[which].clone();
        if self.draw.below(8) == 0 {
            let length = self.draw.below(1200) as usize;
            body = (0..length).map(|_| self.draw.bits() as u8).collect();
        }
        for _ in 0..self.draw.below(5) {
            let at = self.draw.below(body.len() as u64 + 1) as usize;
            match self.draw.below(4) {
                0 => body.truncate(at),
                1 => body.insert(at, self.draw.bits() as u8),
                _ => {
                    if let Some(byte) = body.get_mut(at) {
                        *byte ^= 1 << self.draw.below(8);
                    }
                }
            }
        }
        let mut bytes = vec![1, body.len() as u8 & 0x7f | 0x80, (body.len() >> 7) as u8];
        if body.len() < 128 {
            bytes.truncate(2);
            bytes[1] &= 0x7f;
        }
        bytes.extend(body);
        bytes.extend(
            Crc::<u32>::new(&CRC_32_ISO_HDLC)
                .checksum(&bytes)
                .to_le_bytes(),
        );
        use base64::Engine as _;
        "#f1=".to_owned() + &base64::engine::general_purpose::URL_SAFE_NO_PAD.encode(bytes)
    }

    fn change(&mut self, chars: &mut Vec<char>) {
        let length = chars.len() as u64;
        let at = self.draw.below(length + 1) as usize;
        // Half of the changes hit the beginning, where tag and length are.
        let at = if self.draw.below(2) == 0 {
            at
        } else {
            at.min(28 + self.draw.below(12) as usize)
        };
        match self.draw.below(6) {
            0 => chars.truncate(at),
            1 => chars.insert(
                at,
                ['%', '#', ' ', '\n', '=', 'é', '\u{0}', 'Z'][self.draw.below(8) as usize],
            ),
            2 => drop(chars.drain(at..(at + 3).min(chars.len()))),
            3 => {
                let again = chars[at..].to_vec();
                chars.extend(again);
            }
            _ => {
                if let Some(c) = chars.get_mut(at) {
                    *c = char::from(33 + self.draw.below(94) as u8);
                }
            }
        }
    }

    /// Reads it; what opens must be finite, must pack again, and must then be the same link for ever.
    pub fn read(&mut self, text: &str) {
        let outcome = match decode(text) {
            Ok(shared) => {
                for measure in &shared.measures {
                    for side in [&measure.a, &measure.b] {
                        assert!(side.mean.unwrap_or(0.0).is_finite());
                        assert!(side.sd.unwrap_or(0.0).is_finite());
                    }
                }
                for pair in shared.torque_nm.iter().chain(&shared.cop_angle_deg) {
                    for value in pair.a.mean.iter().chain(&pair.b.sd).flatten() {
                        assert!(value.is_finite());
                    }
                }
                0
            }
            Err(Refusal::CutShort { .. }) => 1,
            Err(Refusal::Damaged) => 2,
            Err(Refusal::Newer { .. }) => 3,
            Err(Refusal::NotALink) => 4,
        };
        self.counts[outcome] += 1;
    }
}
