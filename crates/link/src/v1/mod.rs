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
