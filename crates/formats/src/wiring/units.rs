//! Which units the columns are in.

use super::group::Shape;
use super::header::is_understood;
use super::judge;
use super::proposing::Draft;
use crate::rig::{ForceUnit, LengthUnit, MomentUnit, TimeUnit, Units};
use crate::table::{NamedUnit, Survey, Unknown};
use footing_core::recording::PlateKind;
use std::ops::Range;

/// Channels of a kind of plate by what they are measured in: forces, moments, lengths.
pub(super) fn classes(kind: PlateKind) -> [Range<usize>; 3] {
    match kind {
        PlateKind::SixComponent => [0..3, 3..6, 0..0],
        PlateKind::ForceCop => [0..3, 5..6, 3..5],
        PlateKind::EightChannel => [0..8, 0..0, 0..0],
        PlateKind::VerticalCop => [0..1, 0..0, 1..3],
    }
}

/// The vertical force of a plate, sample by sample, in the table's unit.
pub(super) fn vertical(survey: &Survey, shape: &Shape) -> Vec<f64> {
    let range = match shape.kind {
        PlateKind::EightChannel => 4..8,
        PlateKind::VerticalCop => 0..1,
        _ => 2..3,
    };
    let columns = shape.columns.get(range).unwrap_or_default();
    let samples = survey.rows_kept.len();
    (0..samples)
        .map(|i| {
            let at = |column: &usize| survey.series.get(*column).and_then(|v| v.get(i));
            columns.iter().filter_map(at).sum()
        })
        .collect()
}

/// What the table says of a class of columns.
enum Declared<T> {
    Nothing,
    One(T),
    /// More than one, or one that cannot be computed with, as the table has them.
    Several(Vec<String>),
}

/// The columns of a class: of forces, of moments, of lengths.
fn columns(shapes: &[Shape], class: usize) -> impl Iterator<Item = usize> + '_ {
    shapes.iter().flat_map(move |shape| {
        let range = classes(shape.kind).into_iter().nth(class).unwrap_or(0..0);
        let columns = shape.columns.get(range).unwrap_or_default();
        columns.iter().copied()
    })
}

fn declared<T: Copy + PartialEq>(
    survey: &Survey,
    shapes: &[Shape],
    class: usize,
    of: fn(NamedUnit) -> Option<T>,
) -> Declared<T> {
    let mut found: Vec<NamedUnit> = Vec::new();
    let mut names: Vec<String> = Vec::new();
    for column in columns(shapes, class) {
        if let Some(unit) = survey.units.get(column).copied().flatten() {
            if !found.contains(&unit) {
                found.push(unit);
                names.push(unit.name().to_owned());
            }
        } else if let Some(unit) = unknown(survey, shapes, class, column)
            && !names.iter().any(|known| known == unit)
        {
            names.push(unit.to_owned());
        }
    }
    match (found.as_slice(), names.as_slice()) {
        (_, []) => Declared::Nothing,
        ([only], [_]) => of(*only).map_or_else(|| Declared::Several(names), Declared::One),
        _ => Declared::Several(names),
    }
}

/// What the table has for a column's unit when it is none that is known here. In brackets the same
/// text behind forces and moments, or one of the words that headers are made of, is no unit.
fn unknown<'s>(
    survey: &'s Survey,
    shapes: &[Shape],
    class: usize,
    column: usize,
) -> Option<&'s str> {
    match survey.unknown.get(column)?.as_ref()? {
        Unknown::InRow(unit) => Some(unit),
        Unknown::Behind(unit) => {
            let elsewhere = (0..3).filter(|other| *other != class).any(|other| {
                columns(shapes, other).any(|column| {
                    matches!(survey.unknown.get(column), Some(Some(Unknown::Behind(also))) if also == unit)
                })
            });
            let name = unit.chars().any(char::is_alphanumeric) && elsewhere;
            (!name && !is_understood(unit)).then_some(unit)
        }
    }
}

/// Units that are not one that can be computed with, in words.
fn said_to_be(units: &[String]) -> String {
    match units {
        [only] => format!("{}, which is not read", crate::text::shorten(only)),
        several => {
            let names: Vec<String> = several.iter().map(|u| crate::text::shorten(u)).collect();
            names.join(" and ")
        }
    }
}

/// Decides the units of force, moment and length, saying why and asking where it must.
pub(super) fn decide(
    survey: &Survey,
    shapes: &[Shape],
    time: TimeUnit,
    draft: &mut Draft,
) -> Units {
    let force = force(survey, shapes, draft);
    let newtons: Vec<Vec<f64>> = shapes
        .iter()
        .map(|shape| {
            vertical(survey, shape)
                .iter()
                .map(|f| force.to_si(*f))
                .collect()
        })
        .collect();
    let length = length(survey, shapes, &newtons, draft);
    Units {
        force,
        moment: moment(survey, shapes, &newtons, force, length, draft),
        length,
        time,
    }
}

fn force(survey: &Survey, shapes: &[Shape], draft: &mut Draft) -> ForceUnit {
    let verticals: Vec<Vec<f64>> = shapes.iter().map(|s| vertical(survey, s)).collect();
    let total: Vec<f64> = (0..survey.rows_kept.len())
        .map(|i| verticals.iter().filter_map(|v| v.get(i)).sum())
        .collect();
    let still = judge::quiet(&total);
    let still = total.get(still).unwrap_or_default().iter().copied();
    let weight = judge::median(still).unwrap_or(0.0).abs();
    let (by_weight, sure) = judge::force_unit(weight);
    let said = declared(survey, shapes, 0, |unit| match unit {
        NamedUnit::Force(unit) => Some(unit),
        _ => None,
    });
    let mut evidence = vec![format!(
        "the player's weight standing still reads {weight:.4}"
    )];
    let (unit, confidence) = match said {
        Declared::One(unit) => {
            evidence.push(format!("the table says {}", unit.name()));
            let newton = unit.to_si(weight);
            if (250.0..=2000.0).contains(&newton) {
                (unit, 0.98)
            } else {
                evidence.push(format!(
                    "that would be a player of {:.0} kg",
                    newton / 9.806_65
                ));
                draft.ask_reading(
                    "force-unit",
                    format!(
                        "The table says {} and the player would weigh {:.0} kg: in which unit are \
                         the forces? {} was taken meanwhile.",
                        unit.name(),
                        newton / 9.806_65,
                        by_weight.unwrap_or(unit).name()
                    ),
                );
                (by_weight.unwrap_or(unit), 0.3)
            }
        }
        Declared::Several(units) => {
            let unit = by_weight.unwrap_or(ForceUnit::Newton);
            draft.ask_reading(
                "force-unit",
                format!(
                    "The table gives its forces in {}: which unit is right for all? {} was taken \
                     meanwhile.",
                    said_to_be(&units),
                    unit.name()
                ),
            );
            (unit, 0.3)
        }
        Declared::Nothing => {
            let unit = by_weight.unwrap_or(ForceUnit::Newton);
            if sure > 0.9 {
                evidence.push(format!("only in {} is that a player", unit.name()));
            } else {
                draft.ask_reading(
                    "force-unit",
                    format!(
                        "In which unit are the forces? The player's weight reads {weight:.1}; {} \
                         was taken meanwhile.",
                        unit.name()
                    ),
                );
            }
            (unit, sure)
        }
    };
    draft.choose(
        "force-unit".to_owned(),
        "Unit of force",
        unit.name().to_owned(),
        confidence,
        evidence,
    );
    unit
}

fn moment(
    survey: &Survey,
    shapes: &[Shape],
    newtons: &[Vec<f64>],
    force: ForceUnit,
    length: LengthUnit,
    draft: &mut Draft,
) -> MomentUnit {
    let said = declared(survey, shapes, 1, |unit| match unit {
        NamedUnit::Moment(unit) => Some(unit),
        _ => None,
    });
    let has = |shape: &&Shape| {
        classes(shape.kind).get(1).is_some_and(|r| {
            shape
                .columns
                .get(r.clone())
                .is_some_and(|columns| !columns.is_empty())
        })
    };
    if !shapes.iter().any(|shape| has(&shape)) {
        return MomentUnit::NewtonMetre;
    }
    let arm = lever(survey, shapes, newtons);
    let free = free_peak(survey, shapes);
    let mut evidence = Vec::new();
    let by_arm = arm.map(|arm| {
        evidence.push(format!("moments over forces in newtons reach {arm:.3}"));
        judge::moment_unit(arm)
    });
    if let (None, Some(peak)) = (arm, free) {
        evidence.push(format!("free moments reach {peak:.3}"));
    }
    let guess = by_arm.or_else(|| free.map(|peak| judge::free_moment_unit(peak, length)));
    let (unit, confidence) = match (said, guess) {
        (Declared::One(unit), guess) => {
            evidence.push(format!("the table says {}", unit.name()));
            let fits = match (arm, free) {
                (Some(arm), _) => judge::LEVER_M.contains(&unit.to_si(arm)),
                (None, Some(peak)) => judge::FREE_MOMENT_NM.contains(&unit.to_si(peak)),
                (None, None) => true,
            };
            if fits {
                (unit, 0.97)
            } else {
                let likely = guess.map_or(unit, |(likely, _)| likely);
                draft.ask_reading(
                    "moment-unit",
                    format!(
                        "The table says {}, and with these forces that is no player on a plate: in \
                         which unit are the moments? {} was taken meanwhile.",
                        unit.name(),
                        likely.name()
                    ),
                );
                (likely, 0.5)
            }
        }
        (Declared::Several(units), guess) => {
            let unit = guess.map_or(MomentUnit::NewtonMetre, |(unit, _)| unit);
            evidence.push(format!("the table says {}", said_to_be(&units)));
            draft.ask_reading(
                "moment-unit",
                format!(
                    "The table gives its moments in {}: which unit is right? {} was taken meanwhile.",
                    said_to_be(&units),
                    unit.name()
                ),
            );
            (unit, 0.3)
        }
        (Declared::Nothing, guess) => {
            let (unit, sure) = guess.unwrap_or((MomentUnit::NewtonMetre, 0.2));
            let metric = matches!(force, ForceUnit::Newton | ForceUnit::Kilonewton);
            if sure < 0.9 || !metric {
                draft.ask_reading(
                    "moment-unit",
                    format!(
                        "In which unit are the moments? {} was taken meanwhile.",
                        unit.name()
                    ),
                );
                (unit, sure.min(0.5))
            } else {
                evidence.push(format!("only in {} is that a player's", unit.name()));
                (unit, sure)
            }
        }
    };
    draft.choose(
        "moment-unit".to_owned(),
        "Unit of moment",
        unit.name().to_owned(),
        confidence,
        evidence,
    );
    unit
}

/// The greatest free moment of plates that give one.
fn free_peak(survey: &Survey, shapes: &[Shape]) -> Option<f64> {
    let columns = shapes
        .iter()
        .filter(|shape| shape.kind == PlateKind::ForceCop)
        .filter_map(|shape| shape.columns.get(5));
    let peak = columns
        .filter_map(|column| survey.series.get(*column))
        .flatten()
        .filter(|value| value.is_finite())
        .fold(0.0_f64, |most, value| most.max(value.abs()));
    (peak > 0.0).then_some(peak)
}

/// How far moments put the load, at its 90th hundredth, in moment units over newtons.
fn lever(survey: &Survey, shapes: &[Shape], newtons: &[Vec<f64>]) -> Option<f64> {
    let mut arms = Vec::new();
    for (shape, load) in shapes.iter().zip(newtons) {
        if shape.kind != PlateKind::SixComponent {
            continue;
        }
        let column = |at: usize| shape.columns.get(at).and_then(|c| survey.series.get(*c));
        let (Some(mx), Some(my)) = (column(3), column(4)) else {
            continue;
        };
        for ((mx, my), load) in mx.iter().zip(my).zip(load) {
            if load.abs() > 100.0 && mx.is_finite() && my.is_finite() {
                arms.push(mx.abs().max(my.abs()) / load.abs());
            }
        }
    }
    arms.sort_by(f64::total_cmp);
    arms.get(arms.len() * 9 / 10).copied()
}

fn length(
    survey: &Survey,
    shapes: &[Shape],
    newtons: &[Vec<f64>],
    draft: &mut Draft,
) -> LengthUnit {
    let said = declared(survey, shapes, 2, |unit| match unit {
        NamedUnit::Length(unit) => Some(unit),
        _ => None,
    });
    let mut wander: Option<f64> = None;
    for (shape, load) in shapes.iter().zip(newtons) {
        let range = classes(shape.kind).get(2).cloned().unwrap_or(0..0);
        for column in shape.columns.get(range).unwrap_or_default() {
            let Some(values) = survey.series.get(*column) else {
                continue;
            };
            let loaded = values.iter().zip(load).filter(|(_, f)| f.abs() > 100.0);
            let range = judge::range(loaded.map(|(value, _)| *value));
            wander = range.into_iter().chain(wander).reduce(f64::max);
        }
    }
    let Some(wander) = wander else {
        return LengthUnit::Metre;
    };
    let (likely, sure) = judge::length_unit(wander);
    let mut evidence = vec![format!("under a loaded foot it moves by up to {wander:.3}")];
    let fits = |unit: LengthUnit| (0.005..0.6).contains(&unit.to_si(wander));
    let (unit, confidence) = match said {
        Declared::One(unit) if fits(unit) => {
            evidence.push(format!("the table says {}", unit.name()));
            (unit, 0.97)
        }
        Declared::Nothing if sure > 0.8 => {
            evidence.push(format!("only in {} is that a foot's length", likely.name()));
            (likely, sure)
        }
        said => {
            let table = match said {
                Declared::Nothing => String::new(),
                Declared::One(unit) => format!("The table says {}. ", unit.name()),
                Declared::Several(units) => format!("The table says {}. ", said_to_be(&units)),
            };
            draft.ask_reading(
                "length-unit",
                format!(
                    "{table}In which unit are the centres of pressure? Under a foot they move by \
                     {wander:.3}; {} was taken meanwhile.",
                    likely.name()
                ),
            );
            (likely, 0.4)
        }
    };
    draft.choose(
        "length-unit".to_owned(),
        "Unit of centre of pressure",
        unit.name().to_owned(),
        confidence,
        evidence,
    );
    unit
}
