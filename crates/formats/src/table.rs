//! Tables of numbers, wired by a rig file.

use crate::{Loaded, Problem, rig::Rig};

/// Reads a table.
///
/// # Errors
/// See [`crate::read`].
pub fn read(name: &str, _bytes: &[u8], _rig: Option<&Rig>) -> Result<Loaded, Problem> {
    Err(Problem::new(name, "not yet read", "", ""))
}
