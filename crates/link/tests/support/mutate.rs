//! Links changed at random, in the text and, with a right checksum, in the body.

use std::time::{Duration, Instant};

use crc::{CRC_32_ISO_HDLC, Crc};
use footing_counting::peak_of;
use footing_link::{Link, Refusal, Shared, decode, encode};

use super::{Draw, Plan, invent};

/// No reading may take longer.
pub const LONGEST: Duration = Duration::from_millis(50);
/// No reading may need more memory, where the allocator counts.
pub const MOST_BYTES: usize = 8 << 20;

/// A text that may hold a link.
pub struct Changed {
    pub text: String,
    /// Whether its body was changed and its checksum made right again.
    forged: bool,
}

/// What a reading took: at best, when it seemed too long.
#[derive(Clone, Copy)]
pub struct Taken {
    pub time: Duration,
    pub bytes: usize,
}

pub struct Mutator {
    draw: Draw,
    texts: Vec<String>,
    links: Vec<Link>,
    bodies: Vec<Vec<u8>>,
    /// Opened, cut short, damaged, newer, no link.
    pub counts: [u64; 5],
    /// One in so many of those that open is packed again, the first among them.
    pub packed_one_in: u64,
    /// So many were.
    pub packed: u64,
    /// Forged ones that opened and hold numbers beyond those that are sent.
    pub not_sent_on: u64,
}

impl Mutator {
    pub fn new(seed: u64) -> Self {
        let (mut texts, mut bodies) = (Vec::new(), Vec::new());
        let mut links = Vec::new();
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
            links.push(link);
        }
        Self {
            draw: Draw(seed),
            texts,
            links,
            bodies,
            counts: [0; 5],
            packed_one_in: 8,
            packed: 0,
            not_sent_on: 0,
        }
    }

    /// The next text.
    pub fn text(&mut self) -> Changed {
        if self.draw.below(2) == 0 {
            let text = self.forged();
            return Changed { text, forged: true };
        }
        let which = self.draw.below(self.texts.len() as u64) as usize;
        let mut chars: Vec<char> = self.texts[which].chars().collect();
        for _ in 0..self.draw.below(4) {
            self.change(&mut chars);
        }
        Changed {
            text: chars.into_iter().collect(),
            forged: false,
        }
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

    /// Reads it. What opens is finite, and packed again (of one in so many this is tried) is the same link
    /// for ever; no reading takes longer than [`LONGEST`] or more than [`MOST_BYTES`].
    pub fn read(&mut self, changed: &Changed) -> Taken {
        let Changed { text, forged } = changed;
        let start = Instant::now();
        let (outcome, bytes) = peak_of(|| decode(text));
        let mut time = start.elapsed();
        for _ in 0..5 {
            if time <= LONGEST {
                break;
            }
            // On a busy machine it may have waited for its turn: what dawdles does so every time.
            let start = Instant::now();
            drop(decode(text));
            time = time.min(start.elapsed());
        }
        assert!(time <= LONGEST, "{time:?} at best: {text:?}");
        assert!(bytes <= MOST_BYTES, "{bytes} bytes: {text:?}");
        let place = match outcome {
            Ok(shared) => {
                self.check(&shared, *forged);
                0
            }
            Err(Refusal::CutShort { .. }) => 1,
            Err(Refusal::Damaged) => 2,
            Err(Refusal::Newer { .. }) => 3,
            Err(Refusal::NotALink) => 4,
        };
        self.counts[place] += 1;
        Taken { time, bytes }
    }

    fn check(&mut self, shared: &Shared, forged: bool) {
        assert!(numbers(shared).iter().all(|v| v.is_finite()), "{shared:?}");
        if !self.counts[0].is_multiple_of(self.packed_one_in) {
            return;
        }
        self.packed += 1;
        let link = match encode(shared) {
            Ok(link) => link,
            // A forger can write numbers that no page would send; they are shown, not sent on.
            Err(refusal) => {
                assert!(forged, "{refusal}");
                self.not_sent_on += 1;
                return;
            }
        };
        if forged {
            let back = decode(&link.fragment()).expect("what was packed opens");
            assert_eq!(encode(&back).as_ref(), Ok(&link), "packed once more");
        } else {
            // What was typed around it or lost from it has not made another link of it.
            assert!(self.links.contains(&link), "{shared:?}");
        }
    }
}

/// Every number that is read.
fn numbers(shared: &Shared) -> Vec<f64> {
    let mut all: Vec<f64> = shared.mass_kg.into_iter().collect();
    for set in [&shared.a, &shared.b] {
        let events = [set.takeaway, set.arm_level, set.impact];
        all.extend(events.iter().flatten().map(|event| event.from_top_s));
    }
    for m in &shared.measures {
        let there = [m.a.mean, m.a.sd, m.b.mean, m.b.sd];
        all.extend(there.into_iter().flatten());
        all.extend(m.sd_of_differences.iter().chain(&m.lag1_r));
    }
    for pair in shared.torque_nm.iter().chain(&shared.cop_angle_deg) {
        for band in [&pair.a, &pair.b] {
            all.extend(band.mean.iter().chain(&band.sd).flatten());
        }
        for test in &pair.tests {
            all.push(test.threshold);
            let parts = test.stretches.iter();
            all.extend(parts.flat_map(|s| [s.from_pct, s.to_pct, s.p]));
        }
    }
    for pair in shared.lead_cop.iter().chain(&shared.trail_cop) {
        for path in [&pair.a, &pair.b] {
            all.extend(path.t_mm.iter().chain(&path.a_mm).flatten());
        }
    }
    all
}
