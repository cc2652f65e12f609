//! Bytes of an export file to a recording in SI units, plate frame, plus what a person should know.
//!
//! Reading is a pure function of bytes; the file name is only a hint for messages. Every refusal
//! is one [`Problem`]: file, line or column, what was found, what was expected, what to do.

#[cfg(feature = "packed")]
pub mod archive;
pub mod c3d;
#[cfg(feature = "packed")]
pub mod packed;
mod problem;
pub mod rig;
#[cfg(feature = "packed")]
pub mod sheets;
#[cfg(feature = "wiring")]
pub mod storage;
pub mod table;
mod text;
#[cfg(feature = "wiring")]
pub mod wiring;

pub use footing_core::note::{Level, Note};
pub use problem::Problem;

use footing_core::recording::Recording;

/// A file that could be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// What the file turned out to be, in words ("C3D, Intel, float").
    pub format: String,
    /// The recording, SI units, plate frames posed in a z-up lab.
    pub recording: Recording,
    /// What a person should know about how it was read.
    pub notes: Vec<Note>,
}

/// Reads a recording of any known format. Files with recordings inside are for `packed` to open first.
///
/// # Errors
/// One [`Problem`] that says where and what to do; nothing panics and memory stays in proportion
/// to the bytes given.
pub fn read(name: &str, bytes: &[u8], rig: Option<&rig::Rig>) -> Result<Loaded, Problem> {
    if c3d::looks_like(bytes) {
        return c3d::read(name, bytes, rig);
    }
    #[cfg(feature = "wiring")]
    if storage::looks_like(bytes) {
        return match rig {
            Some(rig) => storage::wired(name, bytes, rig),
            None => storage::read(name, bytes),
        };
    }
    table::read(name, bytes, rig)
}
