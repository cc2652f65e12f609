//! Links: as text, and as a body inside an envelope that is right, since no mutation gets past a checksum.

use footing_link::{Shared, decode};

/// Reads an input as a pasted text and as the body of a forged link.
///
/// # Panics
/// When the reader does, or a number it read is none.
pub fn read(bytes: &[u8]) {
    for text in [String::from_utf8_lossy(bytes).into_owned(), forged(bytes)] {
        match decode(&text) {
            Ok(shared) => check(&shared),
            Err(refusal) => {
                let sentence = refusal.to_string();
                assert!(sentence.len() < 200 && !sentence.contains('\n'));
            }
        }
    }
}

fn check(shared: &Shared) {
    let moments = shared.measures.iter().flat_map(|m| [m.a, m.b]);
    for value in moments.flat_map(|m| [m.mean, m.sd]).flatten() {
        assert!(value.is_finite());
    }
    for pair in shared.torque_nm.iter().chain(&shared.cop_angle_deg) {
        for band in [&pair.a, &pair.b] {
            assert!(band.mean.len() == footing_link::NODES);
            assert!(
                band.mean
                    .iter()
                    .chain(&band.sd)
                    .flatten()
                    .all(|v| v.is_finite())
            );
        }
    }
}

/// The bytes as the body of a version-1 link in the 41-character spelling.
fn forged(body: &[u8]) -> String {
    let body = &body[..body.len().min(8_191)];
    let mut bytes = vec![1];
    if body.len() > 127 {
        bytes.push(body.len() as u8 | 0x80);
        bytes.push((body.len() >> 7) as u8);
    } else {
        bytes.push(body.len() as u8);
    }
    bytes.extend(body);
    bytes.extend(crc32(&bytes).to_le_bytes());
    const LETTERS: &[u8; 41] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-./:+";
    let mut text = String::from("#F1:");
    for chunk in bytes.chunks(2) {
        let mut value = chunk
            .iter()
            .fold(0, |value, byte| value << 8 | usize::from(*byte));
        for _ in 0..=chunk.len() {
            text.push(char::from(LETTERS[value % 41]));
            value /= 41;
        }
    }
    text
}

/// CRC-32 (ISO-HDLC), written out here so that the reader's is checked by another.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc: u32, _| {
            crc >> 1 ^ (0xedb8_8320 & (crc & 1).wrapping_neg())
        })
    })
}
