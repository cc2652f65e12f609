//! A way that is walked over and over, in no more ink than shows it.

use crate::Sheet;
use crate::ink::{Place, dashes_of};

/// Edge of the squares that the sheet is looked at in, CSS pixels.
const SQUARE_PX: f64 = 0.35;

/// A step nearer than this is none; a longer one leaves its square.
const STEP_PX: f64 = 0.5;

/// The squares of a sheet that a way has been over.
pub struct Trodden {
    squares: Vec<bool>,
    across: usize,
}

impl Trodden {
    pub fn new(sheet: Sheet) -> Self {
        let squares = |px: f64| (px / SQUARE_PX) as usize + 1;
        let across = squares(sheet.width_px);
        Self {
            squares: vec![false; across * squares(sheet.height_px)],
            across,
        }
    }

    /// Whether some of this stretch was not trodden before; now all of it is.
    fn tread(&mut self, a: Place, b: Place) -> bool {
        let steps = (length(a, b) / SQUARE_PX).ceil().max(1.0) as usize;
        let mut fresh = false;
        for k in 0..=steps {
            let part = k as f64 / steps as f64;
            let square = |a: f64, b: f64| ((a + (b - a) * part) / SQUARE_PX) as usize;
            let across = square(a.0, b.0).min(self.across - 1);
            let square = self
                .squares
                .get_mut(square(a.1, b.1) * self.across + across);
            fresh |= square.is_some_and(|square| !std::mem::replace(square, true));
        }
        fresh
    }
}

fn length(a: Place, b: Place) -> f64 {
    (b.0 - a.0).hypot(b.1 - a.1)
}

/// The lines that show a way: points that cannot be told apart are one, and what lies on what the
/// way has been over before is left out.
pub fn lines(way: &[Place], dashes: Option<(f64, f64)>, trodden: &mut Trodden) -> Vec<Vec<Place>> {
    let mut steps: Vec<Place> = Vec::new();
    for at in way {
        if steps
            .last()
            .is_none_or(|last| length(*last, *at) >= STEP_PX)
        {
            steps.push(*at);
        }
    }
    if let Some((on_px, off_px)) = dashes {
        let mut dashes = dashes_of(&steps, on_px, off_px);
        dashes.retain(|dash| {
            let fresh = |any, pair: &[Place]| trodden.tread(pair[0], pair[1]) || any;
            dash.windows(2).fold(false, fresh)
        });
        return dashes;
    }
    let mut lines: Vec<Vec<Place>> = Vec::new();
    let mut on = false;
    for pair in steps.windows(2) {
        let fresh = trodden.tread(pair[0], pair[1]);
        match lines.last_mut() {
            Some(line) if fresh && on => line.push(pair[1]),
            _ if fresh => lines.push(pair.to_vec()),
            _ => {}
        }
        on = fresh;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: Sheet = Sheet {
        width_px: 300.0,
        height_px: 200.0,
        units_per_px: 8.0,
    };

    /// Two minutes at 1000 Hz: a wander of some pixels about one place, one jerk, and a swing.
    fn long() -> Vec<Place> {
        let mut state = 7u32;
        let mut noise = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1u32 << 24) - 0.5
        };
        let mut way: Vec<Place> = (0..118_000)
            .map(|_| (100.0 + 12.0 * noise(), 80.0 + 20.0 * noise()))
            .collect();
        way[60_000] = (100.0, 20.0);
        way.extend((0..2000).map(|i| (100.0 + 0.08 * f64::from(i), 80.0 + 0.03 * f64::from(i))));
        way
    }

    fn off(at: Place, lines: &[Vec<Place>]) -> f64 {
        let pairs = lines.iter().flat_map(|line| line.windows(2));
        pairs
            .map(|pair| {
                let (a, b) = (pair[0], pair[1]);
                let along = (at.0 - a.0) * (b.0 - a.0) + (at.1 - a.1) * (b.1 - a.1);
                let part = (along / length(a, b).powi(2)).clamp(0.0, 1.0);
                length(at, (a.0 + part * (b.0 - a.0), a.1 + part * (b.1 - a.1)))
            })
            .fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn a_long_recording_takes_no_more_ink_than_its_ground() {
        let way = long();
        for dashes in [None, Some((6.0, 4.0))] {
            let lines = lines(&way, dashes, &mut Trodden::new(SHEET));
            let points: usize = lines.iter().map(Vec::len).sum();
            assert!(points < 12_000, "{points} points");
            // The jerk and the swing are there; dashes leave 4 px out.
            let most = if dashes.is_some() { 4.0 } else { STEP_PX };
            for at in [way[60_000], way[118_500], way[119_990]] {
                assert!(off(at, &lines) <= most, "{at:?}: {}", off(at, &lines));
            }
            if dashes.is_none() {
                for at in way.iter().step_by(997) {
                    assert!(off(*at, &lines) <= 0.75, "{at:?}: {}", off(*at, &lines));
                }
            }
        }
    }

    #[test]
    fn a_way_walked_once_is_one_line_however_slowly() {
        let slow: Vec<Place> = (0..5000)
            .map(|i| f64::from(i) / 800.0)
            .map(|angle| (150.0 + 60.0 * angle.sin(), 100.0 - 60.0 * angle.cos()))
            .collect();
        let lines = lines(&slow, None, &mut Trodden::new(SHEET));
        assert_eq!(lines.len(), 1);
        for at in &slow {
            assert!(off(*at, &lines) <= STEP_PX);
        }
    }
}
