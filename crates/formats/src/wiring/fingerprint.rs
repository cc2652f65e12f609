//! Recognising a layout of columns that was wired before.

use crate::Problem;
use crate::rig::Rig;
use crate::table::Survey;

/// A short text that two exports of one layout share: the same names, units and number of columns.
///
/// The order of columns counts only where names repeat or are missing, since a rig then wires
/// columns by number. Values, rates and the lines above the table do not count.
///
/// # Errors
/// As [`crate::table::sniff`].
pub fn fingerprint(name: &str, bytes: &[u8]) -> Result<String, Problem> {
    Ok(of(&Survey::of_names(name, bytes)?))
}

/// Whether every column a rig names is in a table, once: a saved rig can then read it, whatever the
/// order of its columns.
pub fn fits(name: &str, bytes: &[u8], rig: &Rig) -> bool {
    Survey::of_names(name, bytes).is_ok_and(|survey| survey.fits(name, rig))
}

pub(super) fn of(survey: &Survey) -> String {
    let mut cells: Vec<String> = survey
        .headers()
        .iter()
        .enumerate()
        .map(|(column, header)| {
            let unit = survey.all_units().get(column).copied().flatten();
            let unit = unit.map_or("", |unit| unit.name());
            format!("{}\u{1f}{unit}", header.trim())
        })
        .collect();
    let mut sorted = cells.clone();
    sorted.sort();
    let blank = cells.iter().any(|cell| cell.starts_with('\u{1f}'));
    let repeats = sorted.windows(2).any(|pair| pair.first() == pair.last());
    let by_name = !cells.is_empty() && !blank && !repeats;
    if by_name {
        cells = sorted;
    }
    let order = match (cells.is_empty(), by_name) {
        (true, _) => "bare",
        (_, true) => "named",
        _ => "ordered",
    };
    format!(
        "{order}-{}-{:016x}",
        survey.width(),
        fnv1a(cells.join("\u{1e}").as_bytes())
    )
}

/// **Source:** Fowler G, Noll LC, Vo K-P: the FNV hash, 64 bit, variant 1a (constants from memory,
/// checked against the published value for the empty text and for "a" in the test).
fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_hash_is_the_published_one() {
        assert_eq!(super::fnv1a(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(super::fnv1a(b"a"), 0xaf63_dc4c_8601_ec8c);
    }
}
