//! Where the feet press: against each other and against the plates' outlines.

use super::{Evidence, PlateZero, note};
use crate::geometry::Vec3;
use crate::note::{Level, Note};
use crate::printed::fixed;
use crate::recording::{EventKind, Plate, Recording};
use crate::sampled::mean_sd;
use crate::stance::Feet;

/// Feet on the wrong side, across the target line, too near, too far apart, or one plate that carries nothing.
///
/// Distance: 0.2 to 0.9 m, from the width of a stance (common practice: about the shoulders').
/// A plate that carries under 5 % of the weight at address carries no foot; below 20 % of the weight
/// a foot hardly stands (Robinson 1994, as cited by Ball K: 42–51 % on the back foot at address).
pub(super) fn feet(evidence: &Evidence<'_>) -> Vec<Note> {
    let mut notes = Vec::new();
    let places = evidence.places;
    if let (Some(lead), Some(trail)) = (places.lead_m, places.trail_m) {
        if lead.0 >= trail.0 {
            notes.extend(across_target(
                evidence,
                (lead.0 - trail.0, lead.1 - trail.1),
            ));
        } else {
            notes.push(note(
                "feet-swapped",
                Level::Stop,
                "The foot called lead stands further from the target than the trail foot.",
                "Check the target direction, or exchange the plates' feet in the rig.",
            ));
        }
        let distance = libm::hypot(lead.0 - trail.0, lead.1 - trail.1);
        if !(0.2..=0.9).contains(&distance) {
            notes.push(note(
                "stance-width",
                Level::Warn,
                format_args!("The feet press {distance:.2} m apart; 0.2 to 0.9 m is expected."),
                "Check the plates' places and the unit of moments in the rig.",
            ));
        }
    }
    if let Feet::Two { lead, trail } = &evidence.stance.feet {
        let at_address = evidence.quiet.first..evidence.quiet.end;
        for (name, other, load) in [("lead", "trail", lead), ("trail", "lead", trail)] {
            let Some((mean, _)) = mean_sd(load.fz_n[at_address.clone()].iter().copied()) else {
                continue;
            };
            let share = mean / evidence.weight_n();
            if share < 0.2 {
                notes.push(note(
                    "plate-idle",
                    if share < 0.05 {
                        Level::Stop
                    } else {
                        Level::Warn
                    },
                    format_args!(
                        "At address the {name} foot's plate carries {:.0} % of the weight: both feet seem to press on the {other} foot's plate.",
                        (100.0 * share).round() + 0.0
                    ),
                    "One foot on each plate, or wire the plate as carrying both feet.",
                ));
            }
        }
    }
    notes
}

/// Feet whose line at address lies more than 20° off the target line: a warning, from 45° on a stop.
///
/// The plates do not know where the target is: with a direction that is wrong by some angle the feet
/// stand askew by the same. `line`: from the trail to the lead foot's centre of pressure, `(t, a)`.
/// **Source:** ours. Stances are opened or closed by some degrees, common practice; 20° is 18 cm between
/// the toes of a stance half a metre wide.
fn across_target(evidence: &Evidence<'_>, line: (f64, f64)) -> Option<Note> {
    const WARN_DEG: f64 = 20.0;
    const STOP_DEG: f64 = 45.0;
    let off_deg = libm::atan2(line.1, line.0).to_degrees();
    if off_deg.abs() <= WARN_DEG {
        return None;
    }
    let frame = evidence.stance.frame;
    // −180 is said as 180
    let said = |azimuth_rad: f64| {
        let deg = azimuth_rad.to_degrees().round();
        deg - 360.0 * ((deg - 0.5) / 360.0).round()
    };
    let (set, along) = (
        said(frame.target_azimuth_rad()),
        said(frame.azimuth_rad(line)),
    );
    Some(note(
        "target-direction",
        if off_deg.abs() > STOP_DEG {
            Level::Stop
        } else {
            Level::Warn
        },
        format_args!(
            "At address the line from foot to foot lies {:.0}° off the target line.",
            off_deg.abs()
        ),
        &format!(
            "If the player did not stand so open or closed, the target direction is wrong: it is {}°, and along the feet it would be {}°. If it is right, check the plates' places.",
            fixed(set, 0),
            fixed(along, 0)
        ),
    ))
}

/// A plate's rectangle in its own axes: from and to along x, from and to along y, metres.
fn outline(plate: &Plate) -> Option<[(f64, f64); 2]> {
    let corners = plate.corners_in_lab_m?;
    let rotation = plate.lab_from_plate.rotation;
    let centre = plate.lab_from_plate.centre_m;
    let along = |axis: Vec3| {
        corners
            .map(|corner| (corner + -centre).dot(axis))
            .into_iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                (lo.min(v), hi.max(v))
            })
    };
    Some([along(rotation.x), along(rotation.y)])
}

/// Room between a place and the nearest edge, metres, negative outside; and that edge's outward
/// direction in the plate's axes.
fn room(place: (f64, f64), [x, y]: [(f64, f64); 2]) -> (f64, (f64, f64)) {
    [
        (place.0 - x.0, (-1.0, 0.0)),
        (x.1 - place.0, (1.0, 0.0)),
        (place.1 - y.0, (0.0, -1.0)),
        (y.1 - place.1, (0.0, 1.0)),
    ]
    .into_iter()
    .fold((f64::INFINITY, (0.0, 0.0)), |best, edge| {
        if edge.0 < best.0 { edge } else { best }
    })
}

/// Places of the centre of pressure in a plate's own axes, while it carries at least a fifth of the
/// weight, with their sample. What the plate reads with nobody on it is taken off, as it is before
/// anything is measured.
fn pressed(
    plate: &Plate,
    window: std::ops::Range<usize>,
    weight_n: f64,
    zero: PlateZero,
) -> Vec<(usize, (f64, f64))> {
    window
        .map(|i| (i, plate.fz_n[i] - zero.fz_n))
        .filter(|(_, fz)| fz.abs() >= 0.2 * weight_n)
        .map(|(i, fz)| {
            let (mx, my) = (plate.mx_nm[i] - zero.mx_nm, plate.my_nm[i] - zero.my_nm);
            (i, (-my / fz, mx / fz))
        })
        .collect()
}

/// The zero of one plate; nothing where nothing was taken off.
fn zero_of(zeros: Option<&[PlateZero]>, plate: usize) -> PlateZero {
    zeros
        .and_then(|zeros| zeros.get(plate).copied())
        .unwrap_or_default()
}

/// The least room to an edge that is had for 20 ms, that edge's outward direction, and when.
fn least_room(
    recording: &Recording,
    places: &[(usize, (f64, f64))],
    outline: [(f64, f64); 2],
) -> Option<(f64, (f64, f64), f64)> {
    const LASTS_S: f64 = 0.020;
    let lasts = ((LASTS_S * recording.rate_hz).ceil() as usize).max(2);
    let mut rooms: Vec<(f64, (f64, f64), usize)> = places
        .iter()
        .map(|(i, place)| {
            let (room, edge) = room(*place, outline);
            (room, edge, *i)
        })
        .collect();
    if rooms.len() < lasts {
        return None;
    }
    let (_, (least, edge, i), _) =
        rooms.select_nth_unstable_by(lasts - 1, |a, b| a.0.total_cmp(&b.0));
    Some((*least, *edge, recording.t_s[*i]))
}

/// Plates that carry somebody and of which nobody knows how large they are.
pub(super) fn sizes(recording: &Recording, weight_n: f64) -> Option<Note> {
    let unknown: Vec<&str> = recording
        .plates
        .iter()
        .filter(|plate| plate.corners_in_lab_m.is_none())
        .filter(|plate| plate.fz_n.iter().any(|fz| fz.abs() >= 0.2 * weight_n))
        .map(|plate| plate.label.as_str())
        .collect();
    (!unknown.is_empty()).then(|| {
        note(
            "plate-sizes",
            Level::Note,
            format_args!(
                "The size of {} is not known, so whether the pressure stays on the plate and away from its edge is not checked.",
                unknown.join(" and of ")
            ),
            "Give size_m of each plate in the rig file.",
        )
    })
}

/// Centres of pressure outside the plates' outlines, anywhere in the recording.
///
/// That is impossible for a plate that is calibrated and whose place, size and moment point are
/// right: where nothing touches, nothing presses. `weight_n`: what the player weighs, about.
pub(super) fn off_plates(
    recording: &Recording,
    weight_n: f64,
    zeros: Option<&[PlateZero]>,
) -> Vec<Note> {
    recording
        .plates
        .iter()
        .enumerate()
        .filter_map(|(index, plate)| {
            let outline = outline(plate)?;
            let zero = zero_of(zeros, index);
            let places = pressed(plate, 0..recording.t_s.len(), weight_n, zero);
            let (least, _, t_s) = least_room(recording, &places, outline)?;
            (least < 0.0).then(|| off_plate(plate, -least, t_s, &places, outline))
        })
        .collect()
}

/// Centres of pressure near the plates' edges, from address to impact, and such that never move.
///
/// Within 20 mm of the edge part of the foot may stand beside it; of the edge toward the other plate,
/// on both.
pub(super) fn on_plates(evidence: &Evidence<'_>) -> Vec<Note> {
    const NEAR_M: f64 = 0.020;
    let end = evidence
        .events
        .time(EventKind::Impact)
        .unwrap_or(evidence.quiet.to_s);
    let window = evidence.samples((evidence.quiet.from_s, end));
    let mut notes = Vec::new();
    for (index, plate) in evidence.recording.plates.iter().enumerate() {
        let zero = zero_of(evidence.zeros, index);
        let places = pressed(plate, window.clone(), evidence.weight_n(), zero);
        notes.extend(frozen(evidence, plate, &places));
        let Some((least, edge, t_s)) =
            outline(plate).and_then(|outline| least_room(evidence.recording, &places, outline))
        else {
            continue;
        };
        if (0.0..NEAR_M).contains(&least) {
            let neighbour = toward_neighbour(evidence, plate, edge);
            notes.push(match neighbour {
                Some(other) => note(
                    "feet-across-plates",
                    Level::Warn,
                    format_args!(
                        "At {} s the pressure on {} lies {:.0} mm from its edge toward {other}: a foot may stand on both.",
                        fixed(t_s, 2),
                        plate.label,
                        1000.0 * least
                    ),
                    "Keep each foot wholly on its own plate, a hand's breadth from the gap.",
                ),
                None => note(
                    "cop-near-edge",
                    Level::Warn,
                    format_args!(
                        "At {} s the pressure on {} lies {:.0} mm from its edge: part of the foot may stand beside it.",
                        fixed(t_s, 2),
                        plate.label,
                        1000.0 * least
                    ),
                    "Keep the foot wholly on the plate.",
                ),
            });
        }
    }
    notes
}

fn off_plate(
    plate: &Plate,
    outside_m: f64,
    t_s: f64,
    places: &[(usize, (f64, f64))],
    outline: [(f64, f64); 2],
) -> Note {
    const SLIPS: [(f64, &str); 3] = [
        (0.001, "1000 (newton millimetres taken for newton metres)"),
        (0.1, "10 (an amplifier's gain)"),
        (
            1.0 / crate::quiet::STANDARD_GRAVITY,
            "9.81 (moments and forces in different units)",
        ),
    ];
    let back = |factor: f64| {
        places
            .iter()
            .all(|(_, p)| room((p.0 * factor, p.1 * factor), outline).0 > 0.0)
    };
    let remedy = match SLIPS.iter().find(|(factor, _)| back(*factor)) {
        Some((_, words)) if outside_m > 0.3 => format!(
            "Dividing the moments by {words} would bring it back: check the units in the rig."
        ),
        _ => "Check the plate's size, axes, moment point and the unit of moments in the rig, and the plate's zero.".to_owned(),
    };
    note(
        "cop-off-plate",
        Level::Stop,
        format_args!(
            "At {} s the centre of pressure lies {} outside the surface of {}, where nothing can press.",
            fixed(t_s, 2),
            if outside_m < 1.0 {
                format!("{:.0} mm", 1000.0 * outside_m)
            } else {
                format!("{outside_m:.0} m")
            },
            plate.label
        ),
        &remedy,
    )
}

/// The plate that lies beyond this edge, not further off than a hand's breadth.
fn toward_neighbour<'a>(
    evidence: &Evidence<'a>,
    plate: &Plate,
    edge: (f64, f64),
) -> Option<&'a str> {
    let pose = plate.lab_from_plate;
    let outward = pose.rotation.apply(Vec3::new(edge.0, edge.1, 0.0));
    let reach = |plate: &Plate, direction: Vec3| {
        plate
            .corners_in_lab_m
            .map(|corners| corners.map(|c| c.dot(direction)))
    };
    let own = reach(plate, outward)?
        .into_iter()
        .fold(f64::NEG_INFINITY, f64::max);
    evidence
        .recording
        .plates
        .iter()
        .find(|other| {
            let apart = other.lab_from_plate.centre_m + -pose.centre_m;
            apart.dot(outward) > 0.7 * apart.length()
                && reach(other, outward)
                    .is_some_and(|far| far.into_iter().fold(f64::INFINITY, f64::min) - own < 0.15)
        })
        .map(|other| other.label.as_str())
}

/// A centre of pressure that does not move by 2 mm either way while its load changes by a fifth of
/// the weight: moments a thousand times too small, or none.
fn frozen(evidence: &Evidence<'_>, plate: &Plate, places: &[(usize, (f64, f64))]) -> Option<Note> {
    let span = |values: &mut dyn Iterator<Item = f64>| {
        let (lo, hi) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
            (lo.min(v), hi.max(v))
        });
        hi - lo
    };
    let load = span(&mut places.iter().map(|(i, _)| plate.fz_n[*i]));
    let x = span(&mut places.iter().map(|(_, p)| p.0));
    let y = span(&mut places.iter().map(|(_, p)| p.1));
    (load > 0.2 * evidence.weight_n() && x < 0.002 && y < 0.002).then(|| {
        note(
            "cop-frozen",
            Level::Stop,
            format_args!(
                "The centre of pressure on {} stays within {:.1} mm while its load changes by {load:.0} N.",
                plate.label,
                1000.0 * x.max(y)
            ),
            "Check that the moment columns are wired and in which unit: newton metres read as newton millimetres do this.",
        )
    })
}
