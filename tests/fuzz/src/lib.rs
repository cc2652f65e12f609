//! Throws damaged files at the readers and watches panics, time and memory.
//!
//! Kept inputs lie in `corpus/<target>/`, inputs that once failed in `../hostile/<target>/`; both
//! are replayed before anything is mutated.

pub mod link;
pub mod mutate;
pub mod packs;
pub mod run;
pub mod target;
