//! Columns without names: what their order and their numbers suggest.

use super::group::Shape;
use super::judge::{median, quiet};
use crate::table::Survey;
use footing_core::recording::PlateKind;

/// The likeliest plates of a table without names, given which column is the clock.
///
/// Columns stand plate after plate, most often as three forces and three moments or three forces,
/// centre of pressure and free moment, with the vertical force third. It is told from the others by
/// carrying the player's weight while they stand still.
pub(super) fn plates(survey: &Survey, clock: Option<usize>) -> Vec<Shape> {
    let columns: Vec<usize> = (0..survey.series.len())
        .filter(|column| Some(*column) != clock)
        .filter(|column| {
            survey
                .names
                .get(*column)
                .is_none_or(|name| !name.contains("rigger"))
        })
        .collect();
    // A trailing column or two may be a trigger.
    for spare in 0..=2 {
        let Some(used) = columns
            .len()
            .checked_sub(spare)
            .and_then(|n| columns.get(..n))
        else {
            continue;
        };
        for (size, vertical) in [(6, 2), (8, 4), (3, 0)] {
            let plates = used.len() / size;
            if used.is_empty() || used.len() % size != 0 || plates > 2 {
                continue;
            }
            let blocks: Vec<&[usize]> = used.chunks(size).collect();
            if blocks.iter().all(|block| carries(survey, block, vertical)) {
                return blocks
                    .into_iter()
                    .map(|block| shape(survey, block))
                    .collect();
            }
        }
    }
    Vec::new()
}

fn quiet_mean(survey: &Survey, block: &[usize], at: usize, vertical: usize) -> Option<f64> {
    let load = survey.series.get(*block.get(vertical)?)?;
    let values = survey.series.get(*block.get(at)?)?;
    median(values.get(quiet(load))?.iter().copied())
}

/// Whether the block's vertical force carries the weight: more than every other force.
fn carries(survey: &Survey, block: &[usize], vertical: usize) -> bool {
    let mean = |at| quiet_mean(survey, block, at, vertical).unwrap_or(0.0).abs();
    let load = mean(vertical);
    let forces = if block.len() == 8 { 4 } else { vertical };
    let sensors = block.len() != 8 || (4..8).all(|at| mean(at) > 0.02 * load);
    load > 0.0 && sensors && (0..forces).all(|at| mean(at) < 0.6 * load)
}

fn shape(survey: &Survey, block: &[usize]) -> Shape {
    let kind = match block.len() {
        8 => PlateKind::EightChannel,
        3 => PlateKind::VerticalCop,
        _ if are_moments(survey, block) => PlateKind::SixComponent,
        _ => PlateKind::ForceCop,
    };
    Shape {
        kind,
        columns: block.to_vec(),
        ambiguous_moment: false,
        spare_cop: None,
    }
}

/// Whether the fourth and fifth columns are moments: in metres a centre of pressure stays below one,
/// the moments of a player's weight do not. In millimetres the two look alike, and moments are the
/// commoner.
fn are_moments(survey: &Survey, block: &[usize]) -> bool {
    let column = |at: usize| block.get(at).and_then(|c| survey.series.get(*c));
    let (Some(load), Some(c4), Some(c5)) = (column(2), column(3), column(4)) else {
        return true;
    };
    let high = load.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
    load.iter()
        .zip(c4.iter().zip(c5))
        .filter(|(f, _)| f.abs() > 0.1 * high)
        .any(|(_, (a, b))| a.abs().max(b.abs()) >= 1.0)
}
