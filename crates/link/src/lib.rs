//! A comparison packed into a URL fragment and back.
//!
//! ```text
//! Shared ──encode──▶ Link ──▶ #f1=…   to copy        Link ──▶ QR code holding #F1:…
//! what was pasted or opened ──decode──▶ Shared ──restore──▶ intervals, effect sizes, verdicts
//! ```
//! The data is in the fragment, so no server ever sees it. A link made by any released version opens for ever:
//! `FORMAT.md` has the layout, [`versions`](crate::LATEST) the rule for changing it, and golden links of each
//! version are kept.
//!
//! **Architecture invariant:** the types here belong to the wire. They hold what conclusions rest on and no
//! conclusions; nothing in them can be NaN or infinite once read; reading never panics and takes bounded time
//! and memory whatever it is given.
//!
//! # Examples
//! ```
//! use footing_link::{Moments, Shared, SharedMeasure, decode, encode, restore};
//!
//! let mut shared = Shared { cue: Some("Lead heel down first".into()), ..Shared::default() };
//! shared.measures.push(SharedMeasure {
//!     id: "torque_zero_cross_s",
//!     a: Moments { n: 6, mean: Some(0.021), sd: Some(0.014) },
//!     b: Moments { n: 6, mean: Some(-0.068), sd: Some(0.012) },
//!     sd_of_differences: None,
//!     permutation: None,
//!     lag1_r: None,
//!     step: None,
//! });
//! let link = encode(&shared)?;
//! let url = link.url("https://example.org/footing/");
//! let back = decode(&format!("Have a look: <{url}>.")).unwrap();
//! assert_eq!(back.cue.as_deref(), Some("Lead heel down first"));
//! let said = restore::comparison(&back.measures[0]);
//! assert!((said.change.unwrap() + 0.089).abs() < 1e-4);
//! # Ok::<(), footing_link::Unsendable>(())
//! ```

mod alphabet;
mod envelope;
mod qr;
mod refusal;
pub mod restore;
mod shared;
mod text;
mod v1;
mod versions;

pub use qr::{QUIET_ZONE, Qr};
pub use refusal::{Refusal, Unsendable};
pub use shared::{
    About, Band, CosineStep, CurvePair, CurveTest, EventTime, Hand, LowPass, Method, Moments,
    NODES, Path, PathPair, Permutation, Shared, SharedMeasure, SharedSet, Step, Stretch,
};
pub use text::{CUE_CHARS, LABEL_CHARS, TITLE_CHARS, clean};
pub use versions::LATEST;

use alphabet::Spelling;

/// A packed comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    bytes: Vec<u8>,
}

/// Packs a comparison.
///
/// The same comparison always gives the same link, and a link that was read and is packed again is
/// the same link. Texts are [`clean`]ed and cut to their limits; numbers are rounded as said
/// at the fields of [`Shared`]: measures to a hundredth of their spread at most, and finer where
/// rounding would tip a verdict over; curves to 0.1 unit or a hundredth of their spread; paths
/// to 1 mm. What the receiver will see is [`decode`] of it.
///
/// # Errors
/// A measure the format does not know or that is given twice; a number that is not finite, too large, or at
/// odds with another.
pub fn encode(shared: &Shared) -> Result<Link, Unsendable> {
    let body = v1::write(shared)?;
    let bytes = envelope::wrap(&body).ok_or(Unsendable::TooLarge)?;
    Ok(Link { bytes })
}

/// Finds a link in a text and reads it: a fragment, an address, or a whole message with an address in it.
///
/// Line breaks and blanks within, punctuation and brackets around it, percent-encoding and words after
/// it are forgiven.
///
/// # Errors
/// No link there, cut short, damaged, or made by a newer version.
pub fn decode(text: &str) -> Result<Shared, Refusal> {
    envelope::open(text)
}

impl Link {
    /// The packed bytes: version, length, body, checksum.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// `#f1=…`, to be put after the page's address.
    pub fn fragment(&self) -> String {
        envelope::fragment(&self.bytes, Spelling::Link)
    }

    /// The page's address with the fragment; a fragment that `base` has is replaced.
    pub fn url(&self, base: &str) -> String {
        without_fragment(base).to_owned() + &self.fragment()
    }

    /// The address in the spelling for QR codes, `#F1:…`: longer, but all capitals.
    pub fn qr_url(&self, base: &str) -> String {
        without_fragment(base).to_owned() + &envelope::fragment(&self.bytes, Spelling::Qr)
    }

    /// The QR code of [`Link::qr_url`]; `None` when it is too long for any.
    pub fn qr(&self, base: &str) -> Option<Qr> {
        let fragment = envelope::fragment(&self.bytes, Spelling::Qr);
        qr::draw(without_fragment(base), &fragment)
    }
}

fn without_fragment(base: &str) -> &str {
    base.split('#').next().unwrap_or(base)
}
