//! C3D, the open standard for synchronised marker and analog data.

use crate::{Loaded, Problem, rig::Rig};

/// Whether the bytes begin like a C3D file (the key value 0x50 in byte 2).
pub fn looks_like(bytes: &[u8]) -> bool {
    bytes.get(1) == Some(&0x50)
}

/// Reads a C3D file.
///
/// # Errors
/// See [`crate::read`].
pub fn read(name: &str, _bytes: &[u8], _rig: Option<&Rig>) -> Result<Loaded, Problem> {
    Err(Problem::new(name, "not yet read", "", ""))
}
