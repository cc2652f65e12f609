//! Stretches of a t curve beyond a threshold.

use std::ops::Range;

/// Which way B differs from A.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// t > 0: B lies above A.
    Higher,
    /// t < 0: B lies below A.
    Lower,
}

/// A stretch of the swing in which the t curve lies beyond the threshold. It means "somewhere in
/// here the curves differ"; its ends are where t crosses, not where an effect begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it begins, per cent of the swing, interpolated to the threshold.
    pub from_pct: f64,
    /// Where it ends, per cent.
    pub to_pct: f64,
    /// Which way.
    pub direction: Direction,
    /// Where |t| is largest, per cent (a node).
    pub peak_pct: f64,
    /// t there.
    pub peak_t: f64,
    /// p of the stretch; which p is said where the stretches are given.
    pub p: f64,
}

/// A stretch in nodes, before it has a p.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Run {
    pub from: f64,
    pub to: f64,
    pub direction: Direction,
    pub peak: usize,
    pub peak_t: f64,
}

impl Run {
    /// Length in nodes.
    pub fn extent(&self) -> f64 {
        self.to - self.from
    }

    pub fn with_p(self, nodes: usize, p: f64) -> Stretch {
        let pct = |node: f64| 100.0 * node / (nodes - 1) as f64;
        Stretch {
            from_pct: pct(self.from),
            to_pct: pct(self.to),
            direction: self.direction,
            peak_pct: pct(self.peak as f64),
            peak_t: self.peak_t,
            p,
        }
    }
}

/// Ranges of nodes that have a value.
pub(super) fn segments(present: impl Iterator<Item = bool>) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (q, there) in present.enumerate() {
        if !there {
            continue;
        }
        match found.last_mut() {
            Some(segment) if segment.end == q => segment.end += 1,
            _ => found.push(q..q + 1),
        }
    }
    found
}

/// The same segments when the nodes between them are left out.
pub(super) fn packed(segments: &[Range<usize>]) -> Vec<Range<usize>> {
    let mut start = 0;
    segments
        .iter()
        .map(|segment| {
            let from = start;
            start += segment.len();
            from..start
        })
        .collect()
}

/// Runs strictly above `threshold`, and with `both_ways` those below its negative, in the order of
/// their beginning. Ends are interpolated to the threshold; at the end of a segment, where there is
/// nothing to interpolate with, the run ends on the node.
pub(super) fn beyond(t: &[Option<f64>], threshold: f64, both_ways: bool) -> Vec<Run> {
    let mut runs = one_way(t, threshold, Direction::Higher);
    if both_ways {
        runs.extend(one_way(t, threshold, Direction::Lower));
        runs.sort_by(|x, y| x.from.total_cmp(&y.from));
    }
    runs
}

fn one_way(t: &[Option<f64>], threshold: f64, direction: Direction) -> Vec<Run> {
    let sign = match direction {
        Direction::Higher => 1.0,
        Direction::Lower => -1.0,
    };
    let height = |q: usize| t.get(q).copied().flatten().map(|t| sign * t);
    let above = |q: usize| height(q).is_some_and(|h| h > threshold);
    // Share of the way from node `low`, at or below the threshold, to its neighbour `high` above it.
    let share = |low: f64, high: f64| (threshold - low) / (high - low);
    segments((0..t.len()).map(above))
        .into_iter()
        .map(|nodes| {
            let (first, last) = (nodes.start, nodes.end - 1);
            let entry = first.checked_sub(1).and_then(height).zip(height(first));
            let exit = height(last + 1).zip(height(last));
            let (mut peak, mut peak_height) = (first, f64::NEG_INFINITY);
            for q in nodes {
                let here = height(q).unwrap_or(f64::NEG_INFINITY);
                if here > peak_height {
                    (peak, peak_height) = (q, here);
                }
            }
            Run {
                from: entry.map_or(first as f64, |(low, high)| {
                    first as f64 - 1.0 + share(low, high)
                }),
                to: exit.map_or(last as f64, |(low, high)| {
                    last as f64 + 1.0 - share(low, high)
                }),
                direction,
                peak,
                peak_t: sign * peak_height,
            }
        })
        .collect()
}
