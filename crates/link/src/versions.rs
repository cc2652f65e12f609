//! Which versions can be read, and by what.
//!
//! # How to add version 2
//! 1. Copy `v1/` to `v2/` and change the copy; `v1/` stays as it is, for ever.
//! 2. Set [`LATEST`] to 2. This does not compile until [`READERS`] has its second line.
//! 3. Give `v2/` its own section and hash in `FORMAT.md`, and its own golden links in `tests/links/v2/`.
//! 4. If [`Shared`] gains a field, `v1::read` fills it with "absent".
//!
//! A change that old pages could not read is a new version, however small. Measures appended to the
//! end of `v1::ids::IDS` and parts appended after the last field of `v1::layout` are not: old pages leave
//! them out and say so.

use crate::shared::Shared;
use crate::v1;

/// The version that is written.
pub const LATEST: u32 = 1;

type Read = fn(&[u8]) -> Result<Shared, v1::Damaged>;

/// Reader of version 1, version 2 …: one line for each version there ever was.
const READERS: [Read; LATEST as usize] = [v1::read];

/// The reader of a version; `None` for one that is yet to come or never was.
pub fn reader(version: u32) -> Option<Read> {
    let place = version.checked_sub(1)?;
    READERS.get(place as usize).copied()
}
