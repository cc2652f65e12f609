//! What a face of Footing shows of one recording, or of two sets of recordings: plain data.
//!
//! **Architecture invariant:** nothing here computes physics. Every function turns an
//! [`Analysis`](crate::analysis::Analysis) into words, rows and curves that a page, a report or a
//! command can show without deciding anything itself.

pub mod bench;
pub mod chart;
pub mod compared;
pub mod definitions;
pub mod measures;
pub mod number;
pub mod sentence;
pub mod sets;
mod stacked;
pub mod tray;
pub mod wiring;

#[cfg(test)]
pub(crate) mod fixture;
