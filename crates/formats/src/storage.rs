//! OpenSim storage files (`.mot`, `.sto`) with ground reactions.
//!
//! A header of free lines ends in `endheader`; one line of labels and the samples follow. Labels are
//! `<group>_v?` for force, `<group>_p?` for the point of application and `<group>_?` or `<torque
//! group>_?` for the torque, with x, y, z in any order of columns; the C3D adapter writes
//! `f1_1 … p1_1 … m1_1`. Forces act on the player. The frame is X forward, Y up, Z right in metres;
//! files the adapter makes may stay z-up in millimetres, which the numbers show.
//!
//! Such a file is a table whose words say more than most: [`crate::wiring`] proposes its rig, and
//! where that leaves nothing open the file is read without one.
//!
//! **Source:** OpenSim documentation, "Motion (.mot) Files" and "Storage (.sto) Files"; OpenSim
//! sources, `C3DFileAdapter`, for its labels.

use crate::rig::Rig;
use crate::table::{self, Survey};
use crate::wiring::propose;
use crate::{Level, Loaded, Note, Problem};

/// How far into a file its header may reach.
const HEAD_BYTES: usize = 16 * 1024;

/// Whether a file has a storage file's header.
pub fn looks_like(bytes: &[u8]) -> bool {
    bytes
        .get(..HEAD_BYTES)
        .unwrap_or(bytes)
        .split(|byte| matches!(byte, b'\n' | b'\r'))
        .take(200)
        .any(|line| line.trim_ascii().eq_ignore_ascii_case(b"endheader"))
}

/// Reads a storage file by its own words, when they leave nothing open: whose foot each group is
/// under, and with that where the target is.
///
/// # Errors
/// Words that leave something open; no ground reactions; anything [`table::read`] refuses.
pub fn read(name: &str, bytes: &[u8]) -> Result<Loaded, Problem> {
    let proposal = propose(name, bytes)?;
    let open: Vec<&str> = proposal
        .questions
        .iter()
        .filter(|question| question.matters)
        .map(|question| question.text.split_inclusive('?').next().unwrap_or(""))
        .collect();
    if !open.is_empty() {
        return Err(Problem::new(
            name,
            format!("a storage file says nothing about this: {}", open.join(" ")),
            "a rig file that does",
            "--rig, or the wiring on the page",
        )
        .for_wiring());
    }
    wired(name, bytes, &proposal.rig)
}

/// Reads a storage file through a rig.
///
/// # Errors
/// As [`table::read`].
pub fn wired(name: &str, bytes: &[u8], rig: &Rig) -> Result<Loaded, Problem> {
    let mut loaded = table::read(name, bytes, Some(rig))?;
    if let Some(rest) = loaded.format.strip_prefix("Table") {
        loaded.format = format!("OpenSim storage{rest}");
    }
    let survey = Survey::of_names(name, bytes)?;
    let rows = loaded.recording.t_s.len();
    loaded.notes.extend(rows_differ(&survey.preamble, rows));
    Ok(loaded)
}

/// A warning when the header counts other rows than the file holds.
fn rows_differ(preamble: &[String], rows: usize) -> Option<Note> {
    let declared = preamble.iter().find_map(|line| {
        let line = line.trim().to_ascii_lowercase();
        let rest = line
            .strip_prefix("nrows")
            .or_else(|| line.strip_prefix("datarows"))?;
        let number = rest.trim_start_matches(['=', ' ', '\t']).trim();
        number.parse::<usize>().ok()
    })?;
    (declared != rows).then(|| {
        Note::new(
            "rows-differ",
            Level::Warn,
            format!(
                "the header declares {declared} rows and the file holds {rows}: part of it may be \
                 missing; export it again"
            ),
        )
    })
}
