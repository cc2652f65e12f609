//! Which columns are whose plate's, and which way is up.

use super::group::{Candidate, Channel, Named, Shape, shape};
use super::header::{Axis, Side};
use super::judge::{median, quiet};
use super::numbered;
use super::proposing::Draft;
use super::units::vertical;
use crate::Problem;
use crate::rig::channel_names;
use crate::table::Survey;
use footing_core::recording::PlateKind;

/// A plate to be wired.
pub(super) struct Wired {
    pub(super) shape: Shape,
    pub(super) side: Option<Side>,
}

/// The plates of a table and its vertical axis.
///
/// # Errors
/// No plate can be made of the columns.
pub(super) fn find(
    name: &str,
    survey: &Survey,
    named: &Named,
    clock: Option<usize>,
    draft: &mut Draft,
) -> Result<(Vec<Wired>, Axis), Problem> {
    let up = up(survey, named, draft);
    let mut wired = Vec::new();
    let mut partial: Vec<&Candidate> = Vec::new();
    let mut doubled = false;
    for candidate in &named.plates {
        match shape(candidate, up) {
            Some(shape) => {
                doubled |= candidate.doubled;
                wired.push(Wired {
                    shape,
                    side: candidate.side,
                });
            }
            None => partial.push(candidate),
        }
    }
    if doubled {
        draft.ask_reading(
            "columns",
            "Which column is which? Some names occur more than once for one plate; the first of \
             each was taken meanwhile."
                .to_owned(),
        );
    }
    if wired.is_empty() {
        return by_number(name, survey, named, clock, draft).map(|wired| (wired, Axis::Z));
    }
    if let Some(candidate) = partial.iter().find(|plate| {
        plate
            .channels
            .iter()
            .any(|(c, _)| matches!(c, Channel::Force(_)))
    }) {
        draft.ask_reading(
            "columns",
            format!(
                "Which columns belong to the plate \"{}\"? Its names do not make up a plate, and it \
                 was left out meanwhile.",
                crate::text::shorten(&candidate.label)
            ),
        );
    }
    let wired = loaded(survey, wired, draft);
    for (index, plate) in wired.iter().enumerate() {
        tell(survey, index, plate, doubled, draft);
    }
    if named.anatomical {
        draft.ask_bay(
            "anatomical-axes",
            "Which way are the horizontal forces counted? The table names them by the player's \
             directions; medial-lateral was taken as x and anterior-posterior as y."
                .to_owned(),
        );
    }
    Ok((wired, up))
}

/// The axis that carries the weight: z nearly always, y in files made for musculoskeletal models.
fn up(survey: &Survey, named: &Named, draft: &mut Draft) -> Axis {
    let mean = |axis: Axis| -> f64 {
        let columns = named
            .plates
            .iter()
            .filter_map(|p| p.column(Channel::Force(axis)));
        columns
            .filter_map(|column| {
                let values = survey.series.get(column)?;
                median(values.get(quiet(values))?.iter().copied())
            })
            .map(f64::abs)
            .sum()
    };
    let [x, y, z] = Axis::ALL.map(mean);
    let most = x.max(y).max(z);
    let axis = if z >= 0.5 * most {
        Axis::Z
    } else if y >= x {
        Axis::Y
    } else {
        Axis::X
    };
    if axis != Axis::Z {
        let letter = if axis == Axis::Y { "y" } else { "x" };
        draft.choose(
            "up".to_owned(),
            "Which way is up",
            format!("the file's {letter} axis"),
            0.9,
            vec![format!(
                "in quiet stance {most:.0} act along {letter} and {z:.0} along z; the axes were \
                 turned in their own order, so that the plates' z is up"
            )],
        );
    }
    axis
}

fn by_number(
    name: &str,
    survey: &Survey,
    named: &Named,
    clock: Option<usize>,
    draft: &mut Draft,
) -> Result<Vec<Wired>, Problem> {
    let shapes = if named.plates.is_empty() {
        numbered::plates(survey, clock)
    } else {
        Vec::new()
    };
    if shapes.is_empty() {
        let vertical = named.plates.iter().any(|plate| {
            plate
                .channels
                .iter()
                .any(|(channel, _)| matches!(channel, Channel::Force(_)))
        });
        return Err(if vertical {
            Problem::new(
                name,
                "the columns hold forces and neither moments nor centres of pressure",
                "for each plate Fx Fy Fz Mx My Mz, or Fz with the centre of pressure",
                "exporting moments or the centre of pressure too",
            )
        } else {
            super::proposing::no_plates(name, survey)
        });
    }
    draft.ask_reading(
        "columns",
        "Which column is which? The names do not say; the order was guessed from the numbers."
            .to_owned(),
    );
    let wired: Vec<Wired> = shapes
        .into_iter()
        .map(|shape| Wired { shape, side: None })
        .collect();
    for (index, plate) in wired.iter().enumerate() {
        draft.choose(
            format!("columns-{}", index + 1),
            "Columns of a plate",
            listed(survey, plate),
            0.5,
            vec!["the third of them carries the player's weight".to_owned()],
        );
    }
    Ok(wired)
}

/// Leaves out plates nobody stands on, and asks when more than two are left.
fn loaded(survey: &Survey, mut wired: Vec<Wired>, draft: &mut Draft) -> Vec<Wired> {
    if let Some(together) = together(survey, &wired) {
        let out = wired.remove(together);
        draft.choose(
            "plates".to_owned(),
            "Plates left out",
            listed(survey, &out),
            0.9,
            vec!["it carries what the others carry together, sample by sample".to_owned()],
        );
    }
    let loads: Vec<f64> = wired
        .iter()
        .map(|plate| {
            let values = vertical(survey, &plate.shape);
            values
                .iter()
                .filter(|v| v.is_finite())
                .map(|v| v.abs())
                .sum()
        })
        .collect();
    let total: f64 = loads.iter().sum();
    let mut order: Vec<usize> = (0..wired.len()).collect();
    let load = |index: &usize| loads.get(*index).copied().unwrap_or(0.0);
    order.sort_by(|a, b| load(b).total_cmp(&load(a)));
    let standing = order.iter().filter(|i| load(i) > 0.05 * total).count();
    if standing > 2 {
        draft.ask_bay(
            "which-plates",
            format!(
                "Which two of the {standing} plates carry the feet? The two most loaded were taken."
            ),
        );
    }
    let kept = standing.clamp(1, 2);
    if kept < wired.len() {
        draft.choose(
            "plates".to_owned(),
            "Plates in use",
            format!("{kept} of {}", wired.len()),
            0.9,
            vec!["the others carry less than a twentieth of the load".to_owned()],
        );
    }
    let kept: Vec<usize> = order.into_iter().take(kept).collect();
    let mut index = 0..;
    wired
        .into_iter()
        .filter(|_| index.next().is_some_and(|i| kept.contains(&i)))
        .collect()
}

/// The last plate whose load is the sum of the others': both feet once more, and no plate.
fn together(survey: &Survey, wired: &[Wired]) -> Option<usize> {
    let loads: Vec<Vec<f64>> = wired
        .iter()
        .map(|plate| vertical(survey, &plate.shape))
        .collect();
    (0..loads.len()).rev().find(|index| {
        let Some(load) = loads.get(*index) else {
            return false;
        };
        let most = load.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
        let same = |(i, value): (usize, &f64)| {
            let all: f64 = loads.iter().filter_map(|load| load.get(i)).sum();
            !value.is_finite() || (all - 2.0 * value).abs() <= 0.02 * most
        };
        loads.len() > 1 && most > 0.0 && load.iter().enumerate().all(same)
    })
}

fn listed(survey: &Survey, plate: &Wired) -> String {
    let shape = &plate.shape;
    let pairs: Vec<String> = channel_names(shape.kind)
        .iter()
        .zip(&shape.columns)
        .map(|(channel, column)| format!("{channel} {}", survey.reference(*column)))
        .collect();
    pairs.join(", ")
}

fn tell(survey: &Survey, index: usize, plate: &Wired, doubled: bool, draft: &mut Draft) {
    let shape = &plate.shape;
    let mut evidence = vec![format!("the names make up a plate, {}", shape.kind.name())];
    if shape.kind == PlateKind::ForceCop && shape.columns.len() < 6 {
        evidence.push("there is no column of free moment: it counts as nil".to_owned());
    }
    if shape.ambiguous_moment {
        draft.ask_reading(
            "free-moment",
            "Is the vertical moment beside the centres of pressure the free moment? It was taken \
             as such."
                .to_owned(),
        );
    }
    let named = matches!(shape.kind, PlateKind::EightChannel) || !shape.ambiguous_moment;
    draft.choose(
        format!("columns-{}", index + 1),
        "Columns of a plate",
        listed(survey, plate),
        if doubled {
            0.5
        } else if named {
            0.95
        } else {
            0.6
        },
        evidence,
    );
}
