//! A table without a rig: what its columns most likely are, how sure that is, and what to ask.
//!
//! [`propose`] reads headers, units, the lines above the table and the numbers themselves, and
//! gives a complete rig with the evidence for every choice. What no file can say (where the plates
//! lie, where the target is) is asked, never assumed in silence: the rig then holds a placeholder
//! and [`Proposal::questions`] names it.

mod channels;
mod clock;
mod fingerprint;
mod group;
mod header;
mod judge;
mod numbered;
mod place;
mod plates;
mod proposing;
mod units;
mod words;

pub use channels::{Channels, Column, channels};
pub use fingerprint::{fingerprint, fits};
pub use proposing::{propose, propose_for};

use crate::rig::Rig;

/// What a table most likely is.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// A complete rig: whatever is not certain holds the likeliest value or a placeholder.
    pub rig: Rig,
    /// Every choice made, in the order a person would check them.
    pub choices: Vec<Choice>,
    /// What is open; empty when everything is known.
    pub questions: Vec<Question>,
    /// Whether the file can be measured at once: no question that changes a number is open.
    pub certain: bool,
    /// Families of measures with the questions each waits for.
    pub reach: Vec<Reach>,
    /// See [`fingerprint`].
    pub fingerprint: String,
    /// How the table is written, in words.
    pub written: String,
    /// Columns (from 0) that the rig does not use.
    pub unused: Vec<usize>,
}

/// One choice, with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// What was chosen, a stable id: `time`, `columns-1` (of the first plate), `force-unit`,
    /// `moment-unit`, `length-unit`, `sense`, `up`, `plates`, `place`, `feet`, `marker`.
    pub about: String,
    /// The same in words.
    pub what: String,
    /// What it came to, in words.
    pub value: String,
    /// From 0 (a placeholder) to 1 (the file says so).
    pub confidence: f64,
    /// Why, a sentence each.
    pub evidence: Vec<String>,
}

/// Something only a person can answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Stable id, kebab-case.
    pub id: &'static str,
    /// The question and what is assumed meanwhile.
    pub text: String,
    /// What sort of answer it wants.
    pub topic: Topic,
    /// Whether any measure rests on the answer.
    pub matters: bool,
}

/// What sort of answer a question wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// About the bay or the player: the same for every file recorded there.
    Bay,
    /// About how this file is to be read.
    Reading,
}

/// A family of measures and what it waits for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reach {
    /// The family, in words.
    pub what: &'static str,
    /// Ids of open questions its numbers rest on; empty when it can be measured now.
    pub waits_for: Vec<&'static str>,
    /// Whether the columns hold what it needs at all.
    pub possible: bool,
}
