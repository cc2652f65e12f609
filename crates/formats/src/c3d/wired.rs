//! What a rig file may say about the plates of a C3D: which ones count, whose foot is on them,
//! and where they lie.

use std::collections::BTreeSet;

use footing_core::geometry::Vec3;
use footing_core::note::{Level, Note};
use footing_core::plate::Wrench;
use footing_core::recording::{Plate, Recording};

use crate::Problem;
use crate::rig::{Placement, Rig, RigPlate, Wiring};

/// The numbers of the plates whose place the rig gives, so that the file need not.
pub(super) fn placed(rig: Option<&Rig>) -> Vec<usize> {
    let number = |p: &RigPlate| match (&p.wiring, &p.placement) {
        (Wiring::C3dPlate(number), Some(_)) => Some(*number),
        _ => None,
    };
    rig.map_or_else(Vec::new, |rig| {
        rig.plates.iter().filter_map(number).collect()
    })
}

/// Puts the numbered plates into the recording: all of them, or those a rig names by `c3d_plate`.
pub(super) fn place(
    name: &str,
    plates: Vec<(usize, Plate)>,
    rig: Option<&Rig>,
    recording: &mut Recording,
    notes: &mut Vec<Note>,
) -> Result<(), Problem> {
    let named = |rig: &Rig| {
        let is_c3d = |p: &RigPlate| matches!(p.wiring, Wiring::C3dPlate(_));
        rig.plates.iter().any(is_c3d)
    };
    let Some(rig) = rig.filter(|rig| named(rig)) else {
        if rig.is_some() {
            notes.push(Note::new(
                "rig-not-used",
                Level::Note,
                "the rig names no plate of a C3D file (\"c3d_plate\"), so it was not used for this one",
            ));
        }
        recording.plates = plates.into_iter().map(|(_, plate)| plate).collect();
        return Ok(());
    };
    recording.force_sense = rig.force_sense;
    recording.target_azimuth_rad = rig.target_azimuth_deg.map(f64::to_radians);
    let numbers: Vec<String> = plates.iter().map(|(n, _)| n.to_string()).collect();
    let mut plates = plates;
    for wanted in &rig.plates {
        let Wiring::C3dPlate(number) = wanted.wiring else {
            continue;
        };
        let Some(at) = plates.iter().position(|(n, _)| *n == number) else {
            return Err(Problem::new(
                name,
                format!("the rig asks for plate {number}, which is not there to take"),
                format!(
                    "each of the file's plates ({}) at most once",
                    numbers.join(", ")
                ),
                "correcting \"c3d_plate\" in the rig",
            ));
        };
        let (_, mut plate) = plates.swap_remove(at);
        plate.foot = wanted.foot;
        if let Some(placement) = &wanted.placement {
            move_plate(&mut plate, placement);
        }
        recording.plates.push(plate);
    }
    let left: BTreeSet<usize> = plates.iter().map(|(n, _)| *n).collect();
    if !left.is_empty() {
        let list: Vec<String> = left.iter().map(usize::to_string).collect();
        notes.push(Note::new(
            "plates-not-in-rig",
            Level::Note,
            format!(
                "plates the rig does not name were left out: {}",
                list.join(", ")
            ),
        ));
    }
    Ok(())
}

/// Lays a plate where the rig says. The file has already moved its moments to the surface centre;
/// a moment point in the rig is a correction from there.
fn move_plate(plate: &mut Plate, placement: &Placement) {
    plate.lab_from_plate = placement.pose();
    plate.corners_in_lab_m = placement.corners_in_lab_m();
    let to_centre = -placement.moment_point_m;
    if to_centre == Vec3::default() {
        return;
    }
    let Some(shear) = &mut plate.shear else {
        return;
    };
    let forces = shear.fx_n.iter().zip(&shear.fy_n).zip(&plate.fz_n);
    let moments = plate
        .mx_nm
        .iter_mut()
        .zip(&mut plate.my_nm)
        .zip(&mut shear.mz_nm);
    for (((&fx, &fy), &fz), ((mx, my), mz)) in forces.zip(moments) {
        let moved = Wrench {
            force_n: Vec3::new(fx, fy, fz),
            moment_nm: Vec3::new(*mx, *my, *mz),
        }
        .about(to_centre);
        (*mx, *my, *mz) = (moved.moment_nm.x, moved.moment_nm.y, moved.moment_nm.z);
    }
}
