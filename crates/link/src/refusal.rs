//! Why a link cannot be opened, or a comparison not sent: one sentence each.

use std::fmt;

/// Why a text is not a link that can be opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// There is no link in it.
    NotALink,
    /// The link stops early.
    CutShort {
        /// Characters missing at the end; `None` when even the length is missing.
        missing: Option<usize>,
    },
    /// Characters were changed, lost or added within.
    Damaged,
    /// Made by a version this page does not know.
    Newer {
        /// That version.
        version: u32,
    },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotALink => write!(
                f,
                "This is not a Footing link: expected #f1= and what follows it; copy the whole link and try again."
            ),
            Self::CutShort {
                missing: Some(missing),
            } => {
                let (s, are) = if *missing == 1 {
                    ("", "is")
                } else {
                    ("s", "are")
                };
                write!(
                    f,
                    "This link was cut short: {missing} character{s} {are} missing at its end; copy all of it, or ask for it again."
                )
            }
            Self::CutShort { missing: None } => write!(
                f,
                "This link was cut short: nearly all of it is missing; copy all of it, or ask for it again."
            ),
            Self::Damaged => write!(
                f,
                "This link is damaged: its checksum does not fit; copy it again, or ask for it again."
            ),
            Self::Newer { .. } => write!(
                f,
                "This link was made by a newer Footing; reload the page to update it."
            ),
        }
    }
}

impl std::error::Error for Refusal {}

/// Why a comparison cannot be put into a link.
#[derive(Debug, Clone, PartialEq)]
pub enum Unsendable {
    /// A measure the format has no name for.
    UnknownMeasure {
        /// Its id.
        id: String,
    },
    /// A measure given twice.
    MeasureTwice {
        /// Its id.
        id: String,
    },
    /// A number that is missing, not finite, too large, or at odds with another.
    Number {
        /// Where it stands.
        place: String,
        /// What was expected there.
        expected: &'static str,
        /// What was found.
        got: String,
    },
    /// More than the format can hold.
    TooLarge,
}

impl fmt::Display for Unsendable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownMeasure { id } => {
                write!(f, "{id}: the link format has no such measure; leave it out")
            }
            Self::MeasureTwice { id } => write!(f, "{id}: given twice; leave one out"),
            Self::Number {
                place,
                expected,
                got,
            } => write!(f, "{place}: expected {expected}, got {got}"),
            Self::TooLarge => write!(
                f,
                "the comparison holds more than a link can carry; send fewer measures"
            ),
        }
    }
}

impl std::error::Error for Unsendable {}
