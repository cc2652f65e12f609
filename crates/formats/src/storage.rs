//! OpenSim storage files (`.mot`, `.sto`) with ground reactions.
//!
//! A header of free lines ends in `endheader`; one line of labels and the samples follow. Labels are
//! `<group>_v?` for force, `<group>_p?` for the point of application and `<group>_?` or `<torque
//! group>_?` for the torque, with x, y, z in any order of columns; the C3D adapter writes
//! `f1_1 … p1_1 … m1_1`. Forces act on the player. The frame is X forward, Y up, Z right in metres;
//! files the adapter makes may stay z-up in millimetres, which the numbers show.
//!
//! **Source:** OpenSim documentation, "Motion (.mot) Files" and "Storage (.sto) Files"; OpenSim
//! sources, `C3DFileAdapter`, for its labels.

use crate::table::{Survey, timed_columns};
use crate::wiring::{VectorPlate, vector_plates};
use crate::{Level, Loaded, Note, Problem};
use footing_core::geometry::{Pose, Rotation, Vec3};
use footing_core::recording::{FootRole, ForceSense, Plate, PlateKind, Recording, Shear};

/// How far into a file its header may reach.
const HEAD_BYTES: usize = 16 * 1024;
/// Points of application further out than this are in millimetres.
const FURTHEST_M: f64 = 20.0;
/// Below this a plate's centre of pressure says nothing, N.
const LOADED_N: f64 = 30.0;

/// Whether a file has a storage file's header.
pub fn looks_like(bytes: &[u8]) -> bool {
    bytes
        .get(..HEAD_BYTES)
        .unwrap_or(bytes)
        .split(|byte| matches!(byte, b'\n' | b'\r'))
        .take(200)
        .any(|line| line.trim_ascii().eq_ignore_ascii_case(b"endheader"))
}

/// Reads a storage file's ground reactions; every group becomes a plate in the z-up lab frame
/// (x forward, y left).
///
/// # Errors
/// No ground reactions in it; anything [`crate::table::read`] refuses.
pub fn read(name: &str, bytes: &[u8]) -> Result<Loaded, Problem> {
    let survey = Survey::of(name, bytes)?;
    let Some((time, up, groups)) = vector_plates(&survey) else {
        return Err(Problem::new(
            name,
            "no group of columns holds a ground reaction",
            "a time column, and for each foot forces and points such as ground_force_vx and \
             ground_force_px",
            "exporting external loads, or a rig file that wires the columns",
        ));
    };
    let mut wanted = vec![time];
    for group in &groups {
        wanted.extend(group.columns());
    }
    let timed = timed_columns(name, bytes, &wanted)?;
    let mut notes = timed.notes;
    notes.extend(rows_differ(&survey.preamble, timed.t_s.len()));
    let mut series = timed.series.into_iter().skip(1);
    let mut plates = Vec::with_capacity(groups.len());
    let mut lacking = Vec::new();
    let mut millimetres = false;
    for (index, group) in groups.iter().enumerate() {
        let channels: Vec<Vec<f64>> = series.by_ref().take(group.columns().len()).collect();
        let label = match group.label.as_str() {
            "" => format!("plate {}", index + 1),
            label => format!("plate {label}"),
        };
        if group.torque.is_none() {
            lacking.push(label.clone());
        }
        let (plate, large) = plate(label, group, &channels, up);
        millimetres |= large;
        plates.push(plate);
    }
    if !lacking.is_empty() {
        notes.push(Note::new(
            "free-moment-absent",
            Level::Warn,
            format!(
                "{} has no torque columns: the free moment was taken as nil, so the vertical torque \
                 lacks the feet's free moments, customarily 5 to 20 N·m each",
                lacking.join(" and ")
            ),
        ));
    }
    if millimetres {
        notes.push(Note::new(
            "storage-millimetres",
            Level::Note,
            "points of application lie further than 20 m out in metres: read as millimetres",
        ));
    }
    notes.push(Note::new(
        "target-unknown",
        Level::Note,
        "a storage file does not say where the target is: give the target's direction, counted from \
         the file's forward axis",
    ));
    Ok(Loaded {
        format: format!(
            "OpenSim storage, {} up",
            ["x", "y", "z"].get(up).unwrap_or(&"y")
        ),
        recording: Recording {
            rate_hz: timed.rate_hz,
            t_s: timed.t_s,
            plates,
            marks: Vec::new(),
            target_azimuth_rad: None,
            force_sense: ForceSense::OnPlayer,
        },
        notes,
    })
}

/// A vector of the file's frame in the z-up lab: the axes keep their order, so that the frame stays
/// right-handed; in a y-up file forward stays x.
fn to_lab(up: usize, [x, y, z]: [f64; 3]) -> Vec3 {
    match up {
        0 => Vec3::new(y, z, x),
        1 => Vec3::new(x, -z, y),
        _ => Vec3::new(x, y, z),
    }
}

/// One group as a plate about the middle of its centre of pressure, and whether it is in
/// millimetres. The wrench about that point c is F and (p − c)×F + T.
fn plate(label: String, group: &VectorPlate, channels: &[Vec<f64>], up: usize) -> (Plate, bool) {
    let samples = channels.first().map_or(0, Vec::len);
    let at = |first: usize, i: usize| -> Vec3 {
        let of = |axis: usize| {
            let values = channels.get(first + axis).and_then(|values| values.get(i));
            values.copied().unwrap_or(0.0)
        };
        to_lab(up, [of(0), of(1), of(2)])
    };
    let loaded: Vec<Vec3> = (0..samples)
        .filter(|i| at(0, *i).z > LOADED_N)
        .map(|i| at(3, i))
        .collect();
    let middle = |of: fn(&Vec3) -> f64| -> f64 {
        let mut values: Vec<f64> = loaded.iter().map(of).collect();
        let half = values.len() / 2;
        match values.is_empty() {
            true => 0.0,
            false => *values.select_nth_unstable_by(half, f64::total_cmp).1,
        }
    };
    let centre = Vec3::new(middle(|p| p.x), middle(|p| p.y), middle(|p| p.z));
    let large = [centre.x, centre.y].iter().any(|v| v.abs() > FURTHEST_M);
    let scale = if large { 0.001 } else { 1.0 };
    let centre_m = centre * scale;
    let mut plate = Plate {
        label,
        kind: PlateKind::ForceCop,
        foot: FootRole::Unassigned,
        lab_from_plate: Pose {
            rotation: Rotation::level(0.0, true),
            centre_m,
        },
        corners_in_lab_m: None,
        fz_n: Vec::with_capacity(samples),
        mx_nm: Vec::with_capacity(samples),
        my_nm: Vec::with_capacity(samples),
        shear: None,
    };
    let mut shear = Shear {
        fx_n: Vec::with_capacity(samples),
        fy_n: Vec::with_capacity(samples),
        mz_nm: Vec::with_capacity(samples),
    };
    for i in 0..samples {
        let force = at(0, i);
        let torque = match group.torque {
            Some(_) => at(6, i) * scale,
            None => Vec3::default(),
        };
        let moment = (at(3, i) * scale - centre_m).cross(force) + torque;
        plate.fz_n.push(force.z);
        plate.mx_nm.push(moment.x);
        plate.my_nm.push(moment.y);
        shear.fx_n.push(force.x);
        shear.fy_n.push(force.y);
        shear.mz_nm.push(moment.z);
    }
    plate.shear = Some(shear);
    (plate, large)
}

/// A note when the header counts other rows than the file holds.
fn rows_differ(preamble: &[String], rows: usize) -> Option<Note> {
    let declared = preamble.iter().find_map(|line| {
        let line = line.trim().to_ascii_lowercase();
        let rest = line
            .strip_prefix("nrows")
            .or_else(|| line.strip_prefix("datarows"))?;
        let number = rest.trim_start_matches(['=', ' ', '\t']).trim();
        number.parse::<usize>().ok()
    })?;
    (declared != rows).then(|| {
        Note::new(
            "rows-differ",
            Level::Note,
            format!("the header declares {declared} rows and the file holds {rows}"),
        )
    })
}
