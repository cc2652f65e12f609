//! Areas between a curve and zero: solid above, hatched below.

use plotters_backend::DrawingBackend;

use crate::ink::{Drawn, Pen, Place};
use crate::palette::{Palette, solid};

/// Solid above zero, hatched below.
pub fn shade<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    run: &[Place],
    zero: f64,
    palette: &Palette,
) -> Drawn<DB> {
    let run = with_crossings(run, zero);
    let mut start = 0;
    while start + 1 < run.len() {
        let above = run[start].1.min(run[start + 1].1) < zero;
        let mut end = start + 1;
        while end + 1 < run.len() && (run[end].1.min(run[end + 1].1) < zero) == above {
            end += 1;
        }
        let part = &run[start..=end];
        if above {
            let mut area = part.to_vec();
            area.push((part[part.len() - 1].0, zero));
            area.push((part[0].0, zero));
            pen.polygon(&area, solid(palette.toward))?;
        } else {
            hatch(pen, part, zero, palette)?;
        }
        start = end;
    }
    Ok(())
}

/// Slanted lines between zero and a curve below it: on each, the stretches where the curve is
/// further down than the line.
fn hatch<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    part: &[Place],
    zero: f64,
    palette: &Palette,
) -> Drawn<DB> {
    const APART_PX: f64 = 6.0;
    let (from, to) = (part[0].0, part[part.len() - 1].0);
    let deepest = part.iter().map(|p| p.1).fold(zero, f64::max);
    let depth = |x: f64| {
        let after = part.partition_point(|p| p.0 < x).clamp(1, part.len() - 1);
        let (a, b) = (part[after - 1], part[after]);
        if b.0 > a.0 {
            a.1 + (b.1 - a.1) * ((x - a.0) / (b.0 - a.0)).clamp(0.0, 1.0)
        } else {
            a.1
        }
    };
    // Line k runs through (k·APART, zero) and falls to the left.
    let first = (from / APART_PX).floor() as i64;
    let last = ((to + deepest - zero) / APART_PX).ceil() as i64;
    for k in first..=last {
        let foot = k as f64 * APART_PX;
        let mut begin: Option<Place> = None;
        let steps = ((deepest - zero) / 0.5).ceil() as usize;
        for i in 0..=steps {
            let down = i as f64 * 0.5;
            let (x, y) = (foot - down, zero + down);
            let inside = (from..=to).contains(&x) && y <= depth(x);
            match (inside, begin) {
                (true, None) => begin = Some((x, y)),
                (false, Some(b)) => {
                    pen.path(&[b, (x, y)], solid(palette.away), 1.25)?;
                    begin = None;
                }
                _ => {}
            }
        }
        if let Some(b) = begin {
            let down = steps as f64 * 0.5;
            pen.path(&[b, (foot - down, zero + down)], solid(palette.away), 1.25)?;
        }
    }
    Ok(())
}

/// The same line with a point wherever it meets a level.
fn with_crossings(run: &[Place], level: f64) -> Vec<Place> {
    let mut out = Vec::with_capacity(run.len() + 8);
    for pair in run.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        out.push(a);
        if (a.1 - level) * (b.1 - level) < 0.0 {
            out.push((a.0 + (b.0 - a.0) * (level - a.1) / (b.1 - a.1), level));
        }
    }
    out.extend(run.last());
    out
}
