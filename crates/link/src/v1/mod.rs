//! Version 1 of the link. Frozen once shipped: see `FORMAT.md` for the layout in words.

mod arrangements;
mod coder;
pub mod cosine_step;
mod cosines;
mod fit;
pub mod ids;
mod layout;
pub mod numbers;
mod plain;
mod quantise;
mod terms;
mod wire;
mod words;

use crate::refusal::Unsendable;
use crate::shared::Shared;

/// The body says something no writer would have written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Damaged;

/// Writes the body.
///
/// # Errors
/// Numbers that are not finite, too large, or contradict one another.
pub fn write(shared: &Shared) -> Result<Vec<u8>, Unsendable> {
    let mut wire = quantise::wire(shared)?;
    let mut writer = coder::Writer::new();
    layout::code(&mut writer, &mut wire).map_err(|Damaged| Unsendable::TooLarge)?;
    Ok(writer.finish())
}

/// Reads the body.
///
/// # Errors
/// What no writer would have written.
pub fn read(body: &[u8]) -> Result<Shared, Damaged> {
    let mut reader = coder::Reader::new(body);
    let mut wire = wire::Wire::default();
    layout::code(&mut reader, &mut wire)?;
    if !reader.at_end() && !wire.newer_parts {
        return Err(Damaged);
    }
    Ok(plain::shared(wire))
}

#[cfg(test)]
mod tests {
    use super::coder::{BITS_LIMIT, Reader, Writer};
    use super::wire::{Row, Wire};
    use crate::alphabet::Spelling;
    use crate::envelope::{BODY_LIMIT, fragment, wrap};

    /// As much as a body can be made to hold: every place of the list of measures taken, small numbers, which
    /// are many bits to a byte, and means as long as there is room for. No page sends it.
    fn heaviest() -> Wire {
        let row = |place: u32| Row {
            place,
            step: 10,
            n: [9, 9],
            mean: [
                1 << 22,
                if place.is_multiple_of(2) {
                    1 << 22
                } else {
                    (1 << 22) + 7
                },
            ],
            sd: [7, 7],
            sd_of_differences: Some(7),
            permutation: Some((7, 15, false)),
            lag1: Some(-7),
        };
        Wire {
            rows: (0..1024).map(row).collect(),
            ..Wire::default()
        }
    }

    fn corpus(name: &str) -> std::path::PathBuf {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        root.join("../../tests/fuzz/corpus/link").join(name)
    }

    /// The work a reader can be made to do stays far within its limit; the fuzzer times it.
    #[test]
    fn the_heaviest_body_stays_within_the_limit_of_bits() {
        let mut writer = Writer::new();
        super::layout::code(&mut writer, &mut heaviest()).unwrap();
        let body = writer.finish();
        assert!(body.len() <= BODY_LIMIT, "{} bytes", body.len());
        let (mut reader, mut wire) = (Reader::new(&body), Wire::default());
        super::layout::code(&mut reader, &mut wire).unwrap();
        assert_eq!(wire, heaviest());
        assert!(
            (100_000..BITS_LIMIT / 2).contains(&reader.read()),
            "{}",
            reader.read()
        );

        // As many as are looked for in one text, each refused only at its very end.
        let mut spoilt = body.clone();
        spoilt.extend([1; 20]);
        let link = fragment(&wrap(&spoilt).unwrap(), Spelling::Link);
        let text = [link.as_str(); 4].join(" ").into_bytes();
        for (name, bytes) in [("heaviest.body", body), ("heaviest-four.txt", text)] {
            if std::env::var_os("FOOTING_REWRITE").is_some() {
                std::fs::write(corpus(name), &bytes).unwrap();
            }
            assert!(std::fs::read(corpus(name)).unwrap() == bytes, "{name}");
        }
    }
}
