//! The science of Footing: how a golfer uses the ground to start, stop and reverse the turn.
//!
//! Everything here is a pure function of numbers. **Architecture invariant:** this crate knows no
//! files, clocks, threads, logging or JavaScript, and no randomness but a seed handed to it.
//!
//! # Frames and signs
//!
//! - *plate frame*: as the maker's file gives it.
//! - *lab frame*: right-handed, z up, metres.
//! - *player frame* `(t, a, z)`: `t` along the ground toward the target, `a` the way the player
//!   faces (toeward), `z` up. For a right-handed player the triad is left-handed, for a
//!   left-handed player right-handed: mirroring is built in and one formula serves both.
//!
//! Forces are those of the ground on the player. Torque toward the target is positive.
//! Units live in names (`_nm`, `_deg`, `_s`), spaces too (`lab_from_plate`). What can be absent is
//! an `Option` or a reason, never a NaN with a meaning.

pub mod compare;
pub mod condition;
pub mod curves;
pub mod cut;
pub mod events;
pub mod filter;
pub mod frame;
pub mod geometry;
pub mod measures;
pub mod note;
pub mod plate;
pub mod printed;
pub mod quality;
pub mod quiet;
pub mod recording;
pub mod reliability;
pub mod sampled;
pub mod stance;
pub mod torque;
