//! The steps of a proposal, in order.

use super::group::{Channel, Named, by_name};
use super::header::{Axis, Side};
use super::place::{Frame, Place};
use super::plates::Wired;
use super::{Choice, Proposal, Question, Reach, Topic, clock, fingerprint, place, plates, units};
use crate::rig::{ColumnRef, Edge, Marker, Rig, RigPlate, Units, Wiring};
use crate::table::Survey;
use crate::{Problem, storage};
use footing_core::frame::Handed;
use footing_core::recording::{EventKind, FootRole, ForceSense, PlateKind};

/// Torques across the vertical that rounding does not make, N·m.
const LEANING_NM: f64 = 0.5;
/// Half-spacings of an eight-channel plate's sensors while nobody has said, metres: those of a
/// common size of plate.
const PLACEHOLDER_OFFSET_M: [f64; 2] = [0.12, 0.2];

/// Proposes a rig for a table, the player's hand unknown.
///
/// # Errors
/// A file that is no table, or one whose columns make up no plate.
pub fn propose(name: &str, bytes: &[u8]) -> Result<Proposal, Problem> {
    propose_for(name, bytes, None)
}

/// Proposes a rig for a table of a player whose hand may be known, which tells the lead foot where
/// columns are named left and right.
///
/// # Errors
/// As [`propose`].
pub fn propose_for(name: &str, bytes: &[u8], handed: Option<Handed>) -> Result<Proposal, Problem> {
    let survey = Survey::of(name, bytes)?;
    let frame = if storage::looks_like(bytes) {
        Frame::Lab
    } else {
        Frame::Unknown
    };
    let mut draft = Draft::default();
    let named = by_name(&survey, frame == Frame::Lab);
    let clock = clock::find(&survey, &named, &mut draft);
    let (wired, up) = plates::find(name, &survey, &named, clock.column, &mut draft)?;
    if frame == Frame::Lab && wired.iter().any(|p| p.shape.kind != PlateKind::ForceCop) {
        return Err(no_plates(name, &survey));
    }
    let shapes: Vec<_> = wired.iter().map(|plate| plate.shape.clone()).collect();
    let units = units::decide(&survey, &shapes, clock.unit, &mut draft);
    if frame == Frame::Lab {
        upright(&survey, &named, up, units, &mut draft);
    }
    let place = place::find(&survey, &wired, units, up, frame, &mut draft);
    let (feet, azimuth) = feet(&wired, &place, handed, &mut draft);
    let plates = wired
        .iter()
        .zip(feet)
        .zip(place.placements)
        .map(|((plate, foot), placement)| {
            Some(RigPlate {
                foot,
                wiring: wiring(&survey, plate)?,
                placement: Some(placement),
            })
        })
        .collect::<Option<Vec<RigPlate>>>()
        .ok_or_else(|| no_plates(name, &survey))?;
    let rig = Rig {
        name: None,
        target_azimuth_deg: Some(azimuth),
        force_sense: if frame == Frame::Lab {
            ForceSense::OnPlayer
        } else {
            ForceSense::Auto
        },
        units,
        time: Some(clock.source),
        markers: markers(&survey, &named, &mut draft),
        plates,
        assumed: Vec::new(),
    };
    let unused = unused(&survey, &wired, clock.column, &rig);
    Ok(Proposal {
        reach: reach(&wired, &draft.questions),
        certain: draft.questions.iter().all(|question| !question.matters),
        rig,
        choices: draft.choices,
        questions: draft.questions,
        fingerprint: fingerprint::of(&survey),
        written: survey.written(),
        unused,
    })
}

/// About the centre of pressure of a level plate there is no torque but the vertical one: another one
/// says that the points are something else.
fn upright(survey: &Survey, named: &Named, up: Axis, units: Units, draft: &mut Draft) {
    let leaning = Axis::ALL.into_iter().filter(|axis| *axis != up);
    let columns = leaning.flat_map(|axis| {
        let plates = named.plates.iter();
        plates.filter_map(move |plate| plate.column(Channel::Free(axis)))
    });
    let most = columns
        .filter_map(|column| survey.series.get(column))
        .flatten()
        .filter(|value| value.is_finite())
        .fold(0.0_f64, |most, value| most.max(value.abs()));
    let most = units.moment.to_si(most);
    if most > LEANING_NM {
        draft.ask_reading(
            "upright",
            format!(
                "Are the points where the forces act centres of pressure? The torques about them \
                 lean by up to {most:.1} N·m, and those about a centre of pressure stand upright; \
                 the vertical part was taken meanwhile."
            ),
        );
    }
}

/// Choices and questions as they come up.
#[derive(Default)]
pub(super) struct Draft {
    choices: Vec<Choice>,
    questions: Vec<Question>,
}

impl Draft {
    pub(super) fn choose(
        &mut self,
        about: String,
        what: &str,
        value: String,
        confidence: f64,
        evidence: Vec<String>,
    ) {
        self.choices.push(Choice {
            about,
            what: what.to_owned(),
            value,
            confidence,
            evidence,
        });
    }

    pub(super) fn ask_bay(&mut self, id: &'static str, text: String) {
        self.ask(id, text, Topic::Bay, true);
    }

    pub(super) fn ask_reading(&mut self, id: &'static str, text: String) {
        self.ask(id, text, Topic::Reading, true);
    }

    fn ask(&mut self, id: &'static str, text: String, topic: Topic, matters: bool) {
        if self.questions.iter().any(|question| question.id == id) {
            return;
        }
        self.questions.push(Question {
            id,
            text,
            topic,
            matters,
        });
    }

    /// A column's name for a sentence.
    pub(super) fn name(&self, survey: &Survey, column: usize) -> String {
        match survey.headers().get(column) {
            Some(header) if !header.trim().is_empty() => {
                format!("\"{}\"", crate::text::shorten(header))
            }
            _ => format!("column #{}", column + 1),
        }
    }
}

fn wiring(survey: &Survey, plate: &Wired) -> Option<Wiring> {
    let columns: Vec<ColumnRef> = plate
        .shape
        .columns
        .iter()
        .map(|column| survey.reference(*column))
        .collect();
    Some(match plate.shape.kind {
        PlateKind::SixComponent => Wiring::SixComponent(columns.try_into().ok()?),
        PlateKind::ForceCop if columns.len() == 5 => Wiring::ForceCopOnly(columns.try_into().ok()?),
        PlateKind::ForceCop => Wiring::ForceCop(columns.try_into().ok()?),
        PlateKind::VerticalCop => Wiring::VerticalCop(columns.try_into().ok()?),
        PlateKind::EightChannel => Wiring::EightChannel {
            columns: columns.try_into().ok()?,
            sensor_offset_m: PLACEHOLDER_OFFSET_M,
        },
    })
}

/// Whose foot is where, and the direction to the target that follows, degrees.
fn feet(
    wired: &[Wired],
    place: &Place,
    handed: Option<Handed>,
    draft: &mut Draft,
) -> (Vec<FootRole>, f64) {
    let [first, second] = wired else {
        draft.ask_bay(
            "one-plate",
            "Do both feet stand on this one plate? That was taken meanwhile; foot-to-foot measures \
             are then absent."
                .to_owned(),
        );
        if place.stands_m.is_none() {
            ask_for_target(draft);
        }
        return (vec![FootRole::Both; wired.len()], 0.0);
    };
    let (lead_first, value, confidence, why) = match (first.side, second.side) {
        (Some(Side::Lead), _) | (_, Some(Side::Trail)) => {
            (true, "as named", 0.97, "the names say lead and trail")
        }
        (Some(Side::Trail), _) | (_, Some(Side::Lead)) => {
            (false, "as named", 0.97, "the names say lead and trail")
        }
        (Some(a), Some(b)) if a != b => {
            let left_first = a == Side::Left;
            let lead_is_left = handed != Some(Handed::Left);
            if handed.is_none() {
                draft.ask_bay(
                    "handed",
                    "Does the player swing right-handed or left-handed? Columns are named left and \
                     right; right-handed was taken meanwhile, so that the left foot leads."
                        .to_owned(),
                );
            }
            let confidence = if handed.is_some() { 0.97 } else { 0.5 };
            let why = "the names say left and right";
            (
                left_first == lead_is_left,
                "from left and right",
                confidence,
                why,
            )
        }
        _ => {
            let target = match place.stands_m {
                Some(_) => ", with the target on its side",
                None => "",
            };
            draft.ask_bay(
                "feet",
                format!(
                    "Which plate carries the lead foot? The names do not say; the first plate was \
                     taken meanwhile{target}."
                ),
            );
            (true, "the first plate leads", 0.0, "a placeholder")
        }
    };
    let (roles, lead, trail) = if lead_first {
        (vec![FootRole::Lead, FootRole::Trail], 0, 1)
    } else {
        (vec![FootRole::Trail, FootRole::Lead], 1, 0)
    };
    draft.choose(
        "feet".to_owned(),
        "Lead and trail foot",
        value.to_owned(),
        confidence,
        vec![why.to_owned()],
    );
    let azimuth = match place.stands_m {
        Some(stands) => {
            let at = |index: usize| stands.get(index).copied().unwrap_or_default();
            let ((lx, ly), (tx, ty)) = (at(lead), at(trail));
            square((ly - ty).atan2(lx - tx).to_degrees())
        }
        // The placeholders put the first plate at +x.
        None if lead_first => 0.0,
        None => 180.0,
    };
    match place.stands_m {
        Some(_) => draft.choose(
            "target".to_owned(),
            "Direction to the target",
            format!("{azimuth:.0} degrees from the frame's x"),
            0.8,
            vec!["from the trail foot to the lead foot, standing still".to_owned()],
        ),
        None => ask_for_target(draft),
    }
    (roles, azimuth)
}

fn ask_for_target(draft: &mut Draft) {
    draft.ask_bay(
        "target",
        "Where is the target, seen from above? The table does not say; it follows the placeholder \
         of the plates meanwhile."
            .to_owned(),
    );
}

/// Labs lie square to the target line: a direction within 15 degrees of an axis is that axis. Another has no
/// more digits than a rig file brings back to the last one.
fn square(azimuth_deg: f64) -> f64 {
    let nearest = (azimuth_deg / 90.0).round() * 90.0;
    if (azimuth_deg - nearest).abs() <= 15.0 {
        nearest + 0.0
    } else {
        format!("{azimuth_deg:.8e}").parse().unwrap_or(azimuth_deg)
    }
}

/// A column named for impact that knows two levels; a trigger without a name is only asked about.
fn markers(survey: &Survey, named: &Named, draft: &mut Draft) -> Vec<Marker> {
    let level = |column: usize| -> Option<f64> {
        let values = survey.series.get(column)?;
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let middle = 0.5 * (least + most);
        let extreme = |v: &f64| (v - least).min(most - v) < 0.1 * (most - least);
        (most > least && values.first()? < &middle && values.iter().all(extreme)).then_some(middle)
    };
    let impact = named.impacts.iter().find_map(|c| Some((*c, level(*c)?)));
    if let Some((column, level)) = impact {
        let name = draft.name(survey, column);
        draft.choose(
            "marker".to_owned(),
            "Impact",
            format!("where {name} rises through {level}"),
            0.85,
            vec!["it is named for impact and knows two levels".to_owned()],
        );
        return vec![Marker {
            column: survey.reference(column),
            event: EventKind::Impact,
            edge: Edge::Rising,
            level,
        }];
    }
    if let Some(column) = named.triggers.first() {
        let name = draft.name(survey, *column);
        draft.ask(
            "trigger",
            format!("Does {name} mark an event, such as impact? It was left out."),
            Topic::Bay,
            false,
        );
    }
    Vec::new()
}

fn unused(survey: &Survey, wired: &[Wired], time: Option<usize>, rig: &Rig) -> Vec<usize> {
    (0..survey.series.len())
        .filter(|column| {
            let reference = survey.reference(*column);
            Some(*column) != time
                && !wired
                    .iter()
                    .any(|plate| plate.shape.columns.contains(column))
                && !rig.markers.iter().any(|marker| marker.column == reference)
        })
        .collect()
}

/// Which measures wait for which questions.
fn reach(wired: &[Wired], questions: &[Question]) -> Vec<Reach> {
    let two = wired.len() == 2;
    let shear = wired
        .iter()
        .all(|plate| plate.shape.kind != PlateKind::VerticalCop);
    let free = shear
        && wired
            .iter()
            .all(|p| p.shape.kind != PlateKind::ForceCop || p.shape.columns.len() == 6);
    const READING: [&str; 5] = ["columns", "force-unit", "rate", "time-unit", "which-plates"];
    const FEET: [&str; 3] = ["feet", "handed", "one-plate"];
    const LENGTHS: [&str; 5] = [
        "moment-unit",
        "length-unit",
        "off-plate",
        "moment-point",
        "upright",
    ];
    const PLACE: [&str; 5] = [
        "place",
        "axes",
        "target",
        "sensor-offset",
        "anatomical-axes",
    ];
    let family = |what, possible, rests: &[&[&str]]| Reach {
        what,
        possible,
        waits_for: questions
            .iter()
            .map(|question| question.id)
            .filter(|id| rests.iter().any(|ids| ids.contains(id)))
            .collect(),
    };
    vec![
        family("total vertical force and its timing", true, &[&READING]),
        family(
            "each foot's vertical force and share",
            two,
            &[&READING, &FEET],
        ),
        family(
            "size of each foot's free moment",
            free,
            &[
                &READING,
                &FEET,
                &LENGTHS,
                &["free-moment", "sensor-offset", "axes"],
            ],
        ),
        family(
            "each foot's shear along and across the target line",
            two && shear,
            &[&READING, &FEET, &PLACE],
        ),
        family(
            "foot-to-foot angle of the centres of pressure",
            two,
            &[&READING, &FEET, &LENGTHS, &PLACE],
        ),
        family(
            "vertical torque, its impulse and causes",
            shear,
            &[
                &READING,
                &["handed", "feet"],
                &LENGTHS,
                &PLACE,
                &["free-moment"],
            ],
        ),
    ]
}

/// Columns that make up no plate.
pub(super) fn no_plates(name: &str, survey: &Survey) -> Problem {
    let names: Vec<String> = survey
        .headers()
        .iter()
        .filter(|header| !header.trim().is_empty())
        .take(12)
        .map(|header| format!("\"{}\"", crate::text::shorten(header)))
        .collect();
    let holds = if names.is_empty() {
        format!("{} columns without names", survey.width())
    } else {
        names.join(", ")
    };
    Problem::new(
        name,
        format!("the columns make up no force plate: {holds}"),
        "for each plate Fx Fy Fz Mx My Mz, or forces with the centre of pressure",
        "wiring the columns by hand, or exporting the plates' channels",
    )
}
