//! Time normalisation: swings of different length laid on the same nodes, so that like meets like.
//!
//! ```text
//! linear     takeaway ───────────────────────────────▶ impact      nodes 0 … Q−1
//! piecewise  takeaway ──────▶ top ───────────────────▶ impact      top at a stated node
//! ```
//! Normalising changes the question: curves are compared at the same *share* of the swing, not at the same
//! second. Piecewise, they are compared at the same share of the backswing or downswing.

use std::fmt;

use crate::sampled::{Line, Value};

/// Nodes of a normalised curve: every per cent, both ends included.
pub const NODES: usize = 101;

/// Instants of one swing, seconds on the recording's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchors {
    /// Takeaway: node 0.
    pub takeaway_s: f64,
    /// The top and the node it is put on; `None` for one straight stretch.
    pub top: Option<TopAnchor>,
    /// Impact: the last node.
    pub impact_s: f64,
}

/// The top of the swing and where it goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopAnchor {
    /// Time of the top, seconds.
    pub time_s: f64,
    /// Node it is put on, 1 to `NODES` − 2. The same for all curves of a comparison.
    pub node: usize,
}

/// Why a curve could not be normalised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NormaliseError {
    /// takeaway < top < impact does not hold, or an instant is not finite.
    Disorder {
        /// What was given.
        anchors: Anchors,
    },
    /// The top's node leaves no node on one of its sides.
    TopNode {
        /// What was given.
        node: usize,
    },
}

impl fmt::Display for NormaliseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Disorder { anchors } => {
                write!(f, "expected takeaway < ")?;
                if anchors.top.is_some() {
                    write!(f, "top < ")?;
                }
                write!(f, "impact, got {} s", anchors.takeaway_s)?;
                if let Some(top) = anchors.top {
                    write!(f, ", {} s", top.time_s)?;
                }
                write!(f, " and {} s; move the events", anchors.impact_s)
            }
            Self::TopNode { node } => write!(
                f,
                "expected the top on a node from 1 to {}, got {node}",
                NODES - 2
            ),
        }
    }
}

impl std::error::Error for NormaliseError {}

/// The instant of each node, seconds.
///
/// ```text
/// linear:     t(q) = t₀ + (t₁ − t₀)·q/(Q − 1)
/// piecewise:  the same from takeaway to top over nodes 0…k, and from top to impact over k…Q−1
/// ```
///
/// # Errors
/// Events out of order; a top node at or beyond an end.
pub fn node_times_s(anchors: &Anchors) -> Result<Vec<f64>, NormaliseError> {
    let Anchors {
        takeaway_s,
        top,
        impact_s,
    } = *anchors;
    let last = NODES - 1;
    let mut corners = vec![(0, takeaway_s), (last, impact_s)];
    if let Some(TopAnchor { time_s, node }) = top {
        if !(1..last).contains(&node) {
            return Err(NormaliseError::TopNode { node });
        }
        corners.insert(1, (node, time_s));
    }
    let ordered = corners.windows(2).all(|w| w[0].1 < w[1].1);
    if !ordered || corners.iter().any(|c| !c.1.is_finite()) {
        return Err(NormaliseError::Disorder { anchors: *anchors });
    }
    let mut times = vec![takeaway_s];
    for w in corners.windows(2) {
        let ((q0, t0), (q1, t1)) = (w[0], w[1]);
        times.extend((q0 + 1..=q1).map(|q| {
            let share = (q - q0) as f64 / (q1 - q0) as f64;
            // Written so that the corner itself is met exactly.
            t0 * (1.0 - share) + t1 * share
        }));
    }
    Ok(times)
}

/// A curve on [`NODES`] nodes, linear between samples; `None` where the samples do not reach or
/// are absent.
///
/// # Errors
/// Those of [`node_times_s`].
pub fn normalise<V: Value>(
    line: &Line<'_, V>,
    anchors: &Anchors,
) -> Result<Vec<Option<f64>>, NormaliseError> {
    Ok(node_times_s(anchors)?
        .into_iter()
        .map(|t| line.at(t))
        .collect())
}
