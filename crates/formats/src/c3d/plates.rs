//! The FORCE_PLATFORM group: which plates there are and what each measured.

use std::collections::BTreeSet;

use footing_core::geometry::Vec3;
use footing_core::note::{Level, Note};
use footing_core::recording::{FootRole, Plate, Shear};

use super::analog::{Analog, Channel, OffsetDoubt};
use super::doubts::{tell_geometry, tell_moments, tell_zero};
use super::parameters::Parameters;
use super::surface::{Surface, Up, metres_per_unit};
use super::wrench::{MomentCase, PlateType, Spec, settle_moments};
use crate::Problem;

/// A value no plate can have given, N or N·m: what holds it is not a measurement.
const ABSURD: f64 = 1e9;
/// A plate steeper than this against the lab's floor is a wall or a rail.
const STEEPEST_COS: f64 = 0.707;

/// The plates with their numbers, in SI units and a z-up lab, and what was noticed. `placed`: the
/// plates whose place someone else will give.
pub(super) fn read(
    name: &str,
    parameters: &Parameters,
    analog: &mut Analog,
    file_bytes: usize,
    placed: &[usize],
    notes: &mut Vec<Note>,
) -> Result<Vec<(usize, Plate)>, Problem> {
    let (mut specs, metres) = specs(name, parameters, analog, notes)?;
    mend_offsets(parameters, &mut specs, analog, notes);
    let (case, reason) = settle_moments(&specs, analog, metres);
    tell_moments(reason, parameters, notes);
    tell_zero(parameters, &specs, analog, case, notes);
    let up = up(&specs, analog, case);
    if up != Up::Z {
        notes.push(Note::new(
            "lab-turned",
            Level::Note,
            format!(
                "the file's lab has its {} axis up; it was turned so that z is up",
                up.name()
            ),
        ));
    }
    specs.retain(|spec| floor(spec, up, notes));
    tell_geometry(&specs, placed, notes);
    check_size(name, &specs, analog, file_bytes)?;
    if specs.is_empty() {
        return Err(no_plates(name, "no force plate that lies on the floor"));
    }
    specs
        .iter()
        .map(|spec| Ok((spec.number, plate(name, spec, analog, case, up)?)))
        .collect()
}

fn no_plates(name: &str, what: &str) -> Problem {
    Problem::new(
        name,
        format!("no force plates: {what}"),
        "a FORCE_PLATFORM group that describes at least one plate",
        "exporting the recording again with its force plates",
    )
}

/// Reads the group into plate descriptions, lengths in metres; also metres per POINT:UNITS.
fn specs(
    name: &str,
    parameters: &Parameters,
    analog: &Analog,
    notes: &mut Vec<Note>,
) -> Result<(Vec<Spec>, f64), Problem> {
    if !parameters.has_group("FORCE_PLATFORM") {
        let damage = parameters.damaged_at.map_or_else(String::new, |at| {
            format!(" before its parameters stop making sense at byte {at}")
        });
        let what = format!("the file has no FORCE_PLATFORM group{damage}");
        return Err(no_plates(name, &what));
    }
    let group = |item| parameters.numbers("FORCE_PLATFORM", item);
    let types = group("TYPE");
    let used = parameters
        .count("FORCE_PLATFORM", "USED")
        .map_or(types.len(), |n| usize::try_from(n).unwrap_or(usize::MAX));
    if used == 0 {
        return Err(no_plates(name, "FORCE_PLATFORM:USED is 0"));
    }
    let channels = group("CHANNEL");
    let rows = parameters
        .get("FORCE_PLATFORM", "CHANNEL")
        .map_or(0, super::parameters::Parameter::rows);
    if types.is_empty() || channels.is_empty() || rows == 0 {
        return Err(no_plates(
            name,
            "FORCE_PLATFORM names no plate TYPE or CHANNEL",
        ));
    }
    let corners = group("CORNERS");
    let origins = group("ORIGIN");
    let matrices = group("CAL_MATRIX");
    let label = parameters
        .get("POINT", "UNITS")
        .and_then(super::parameters::Parameter::string)
        .unwrap_or_default();
    let (metres, label_set_aside) = metres_per_unit(&label, longest_edge(&corners));
    if label_set_aside {
        notes.push(Note::new(
            "length-unit-guessed",
            Level::Warn,
            format!(
                "lengths are labelled \"{label}\", which would make the plates absurdly small or large; \
                 read with {metres} m per unit: check where the plates lie"
            ),
        ));
    }
    let mut specs: Vec<Spec> = Vec::new();
    let mut left_out = Vec::new();
    for (i, &number) in types.iter().enumerate().take(used) {
        let column = channels.chunks(rows).nth(i).unwrap_or_default();
        let numbers: Vec<f64> = column.iter().copied().filter(|&c| c != 0.0).collect();
        let Some(declared) = PlateType::from_number(number) else {
            left_out.push(format!("plate {} is of type {number}", i + 1));
            continue;
        };
        let (kind, numbers) = complete(declared, numbers, &channels);
        if kind != declared {
            notes.push(Note::new(
                "plate-type-changed",
                Level::Warn,
                format!(
                    "plate {} is declared as type 3 but has only six channels; read as type 2: \
                     check its forces",
                    i + 1
                ),
            ));
        }
        let wired: Option<Vec<Channel>> = numbers
            .iter()
            .take(kind.channels())
            .map(|&n| analog.channel(n))
            .collect();
        let Some(wired) = wired.filter(|w| w.len() == kind.channels()) else {
            left_out.push(format!(
                "plate {} names analog channels that the file does not have",
                i + 1
            ));
            continue;
        };
        specs.push(Spec {
            number: i + 1,
            kind,
            channels: wired,
            surface: corners
                .get(i * 12..i * 12 + 12)
                .and_then(|c| surface(c, metres)),
            origin_m: origins
                .get(i * 3..i * 3 + 3)
                .and_then(vector)
                .map_or_else(Vec3::default, |o| o * metres),
            calibration: calibration(kind, matrices.get(i * 36..i * 36 + 36)),
        });
    }
    if types.len() < used {
        left_out.push(format!(
            "{used} plates are declared but only {} have a type",
            types.len()
        ));
    }
    if specs.is_empty() {
        return Err(Problem::new(
            name,
            format!("no force plate could be read: {}", left_out.join("; ")),
            "plates of type 1, 2, 3 or 4 whose CHANNEL list names channels of the file",
            "exporting the recording again",
        ));
    }
    if !left_out.is_empty() {
        notes.push(Note::new(
            "plate-left-out",
            Level::Warn,
            format!(
                "left out: {}; if a foot stood there, export again with the plate's type and channels",
                left_out.join("; ")
            ),
        ));
    }
    Ok((specs, metres))
}

/// A type 3 plate needs eight channels. Where CHANNEL has room for six only, the two that follow
/// are the missing ones unless another plate claims them; else the six are a type 2's.
fn complete(declared: PlateType, mut numbers: Vec<f64>, claimed: &[f64]) -> (PlateType, Vec<f64>) {
    if declared != PlateType::Three || numbers.len() != 6 {
        return (declared, numbers);
    }
    let last = numbers.last().copied().unwrap_or(0.0);
    let following = [last + 1.0, last + 2.0];
    let in_a_row = numbers
        .windows(2)
        .all(|w| w.first().map(|a| a + 1.0) == w.last().copied());
    if in_a_row && !following.iter().any(|f| claimed.contains(f)) {
        numbers.extend(following);
        (PlateType::Three, numbers)
    } else {
        (PlateType::Two, numbers)
    }
}

fn vector(three: &[f64]) -> Option<Vec3> {
    match *three {
        [x, y, z] => Some(Vec3::new(x, y, z)).filter(|v| v.is_finite() && v.length() < 1e6),
        _ => None,
    }
}

fn surface(twelve: &[f64], metres: f64) -> Option<Surface> {
    let mut corners = twelve.chunks(3).map(|c| vector(c).map(|v| v * metres));
    Surface::new([
        corners.next()??,
        corners.next()??,
        corners.next()??,
        corners.next()??,
    ])
}

/// Longest distance between corners 1 and 2 or 1 and 4 of any plate, as stored.
fn longest_edge(corners: &[f64]) -> f64 {
    corners
        .chunks_exact(12)
        .filter_map(|c| {
            let corner = |i: usize| c.get(i * 3..i * 3 + 3).and_then(vector);
            let (c1, c2, c4) = (corner(0)?, corner(1)?, corner(3)?);
            Some((c1 - c2).length().max((c1 - c4).length()))
        })
        .fold(0.0, f64::max)
}

/// The matrix of a type 4 plate; none when missing, empty of content or not finite. Other types
/// may carry one too (often all zeros): it is not applied.
fn calibration(kind: PlateType, stored: Option<&[f64]>) -> Option<Vec<f64>> {
    let matrix = stored.filter(|m| m.iter().all(|v| v.is_finite()) && m.iter().any(|&v| v != 0.0));
    (kind == PlateType::Four)
        .then(|| matrix.map(<[f64]>::to_vec))
        .flatten()
}

fn mend_offsets(
    parameters: &Parameters,
    specs: &mut [Spec],
    analog: &mut Analog,
    notes: &mut Vec<Note>,
) {
    let all: Vec<Channel> = specs.iter().flat_map(|s| s.channels.clone()).collect();
    let Some(doubt) = analog.offset_doubt(&all) else {
        return;
    };
    analog.mend_offsets(doubt);
    for spec in specs.iter_mut() {
        for channel in &mut spec.channels {
            if let Some(mended) = analog.channel(channel.number() as f64) {
                *channel = mended;
            }
        }
    }
    let offset = parameters.number("ANALOG", "OFFSET").unwrap_or(0.0);
    let text = match doubt {
        OffsetDoubt::Removed => format!(
            "ANALOG:OFFSET is {offset} but the stored values are already about zero; the offset \
             was not subtracted again: check that an empty plate reads about nil"
        ),
        OffsetDoubt::Turned => format!(
            "ANALOG:OFFSET is {offset} but the stored values are about {}; the offset was taken \
             with the other sign: check that an empty plate reads about nil",
            -offset
        ),
    };
    notes.push(Note::new("offset-mended", Level::Warn, text));
}

fn up(specs: &[Spec], analog: &Analog, case: MomentCase) -> Up {
    let samples = analog.samples();
    let step = usize::try_from((samples / 200).max(1)).unwrap_or(usize::MAX);
    let normals: Vec<(Vec3, f64)> = specs
        .iter()
        .filter_map(|spec| {
            let load = (0..samples)
                .step_by(step)
                .filter_map(|s| spec.raw(analog, s))
                .map(|raw| spec.wrench(raw, case).force_n.z.abs())
                .filter(|fz| fz.is_finite())
                .sum();
            Some((spec.surface?.pose.rotation.z, load))
        })
        .collect();
    Up::from_normals(&normals)
}

/// Whether a plate lies on the floor; walls and rails are left out with a note.
fn floor(spec: &Spec, up: Up, notes: &mut Vec<Note>) -> bool {
    let Some(surface) = &spec.surface else {
        return true;
    };
    let cos = up.turn(surface.pose.rotation.z).z.abs();
    let tilt_deg = cos.clamp(0.0, 1.0).acos().to_degrees();
    if cos < STEEPEST_COS {
        notes.push(Note::new(
            "wall-left-out",
            Level::Note,
            format!(
                "plate {} stands {tilt_deg:.0}° steep and was left out",
                spec.number
            ),
        ));
        return false;
    }
    if tilt_deg > 5.0 {
        notes.push(Note::new(
            "plate-tilted",
            Level::Warn,
            format!(
                "plate {} is tilted by {tilt_deg:.0}° against the floor; if it lies level, correct \
                 its CORNERS in the export or give its place in a rig file",
                spec.number
            ),
        ));
    }
    true
}

/// Plates that share channels could multiply a small file into a large recording.
fn check_size(
    name: &str,
    specs: &[Spec],
    analog: &Analog,
    file_bytes: usize,
) -> Result<(), Problem> {
    let wired = || specs.iter().flat_map(|s| &s.channels);
    let distinct: BTreeSet<u64> = wired().map(|c| c.number()).collect();
    if distinct.len() == wired().count() {
        return Ok(());
    }
    let needed = (specs.len() as u64 * 6 + 1) * 8 * analog.samples();
    if needed > file_bytes as u64 * 4 + (8 << 20) {
        return Err(Problem::new(
            name,
            format!(
                "{} plates share {} analog channels",
                specs.len(),
                distinct.len()
            ),
            "channels of its own for each plate (FORCE_PLATFORM:CHANNEL)",
            "exporting the recording again",
        ));
    }
    Ok(())
}

/// Reads every sample of a plate.
fn plate(
    name: &str,
    spec: &Spec,
    analog: &Analog,
    case: MomentCase,
    up: Up,
) -> Result<Plate, Problem> {
    let broken = |channel: u64, what: String, place: String| {
        Problem::new(
            name,
            format!(
                "analog channel {channel} (plate {}) {what}{place}",
                spec.number
            ),
            "a finite number in every sample of a plate's channels",
            "exporting the recording again, or cutting it before the gap",
        )
    };
    for channel in &spec.channels {
        if !channel.is_finite() {
            let what = "has a scale or offset that is not a number".to_owned();
            return Err(broken(channel.number(), what, String::new()));
        }
    }
    let samples = usize::try_from(analog.samples()).unwrap_or(0);
    let series = || Vec::with_capacity(samples);
    let [mut fx_n, mut fy_n, mut fz_n] = [series(), series(), series()];
    let [mut mx_nm, mut my_nm, mut mz_nm] = [series(), series(), series()];
    for sample in 0..analog.samples() {
        let place = || format!(" in frame {}", analog.frame_of(sample));
        let Some(raw) = spec.raw(analog, sample) else {
            let channel = spec.channels.first().map_or(0, |c| c.number());
            return Err(broken(channel, "ends".to_owned(), place()));
        };
        if let Some((channel, value)) = spec.channels.iter().zip(raw).find(|(_, v)| !v.is_finite())
        {
            return Err(broken(channel.number(), format!("holds {value}"), place()));
        }
        let wrench = spec.wrench(raw, case);
        let (f, m) = (wrench.force_n, wrench.moment_nm);
        let largest = [f.x, f.y, f.z, m.x, m.y, m.z]
            .into_iter()
            .fold(0.0_f64, |a, v| {
                if v.is_nan() {
                    f64::INFINITY
                } else {
                    a.max(v.abs())
                }
            });
        if largest > ABSURD {
            return Err(Problem::new(
                name,
                format!(
                    "plate {} gives {largest:.0e} N or N·m{}",
                    spec.number,
                    place()
                ),
                "forces and moments that a plate can carry",
                "checking the analog scales (ANALOG:SCALE, GEN_SCALE), then exporting again",
            ));
        }
        fx_n.push(f.x);
        fy_n.push(f.y);
        fz_n.push(f.z);
        mx_nm.push(m.x);
        my_nm.push(m.y);
        mz_nm.push(m.z);
    }
    let pose = spec
        .surface
        .map_or_else(super::surface::unknown_pose, |s| s.pose);
    Ok(Plate {
        label: format!("plate {}", spec.number),
        kind: spec.kind.kind(),
        foot: FootRole::Unassigned,
        lab_from_plate: up.turn_pose(pose),
        corners_in_lab_m: spec
            .surface
            .and_then(|s| s.corners_by_quadrant_m())
            .map(|corners| corners.map(|c| up.turn(c))),
        fz_n,
        mx_nm,
        my_nm,
        shear: Some(Shear { fx_n, fy_n, mz_nm }),
    })
}
