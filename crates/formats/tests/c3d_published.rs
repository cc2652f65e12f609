//! Numbers that others published for real plates, read back from files written here.
//!
//! **Source:** raw channels, corners, origins and expected results are those asserted in the
//! test suite of ezc3d (pyomeca/ezc3d, MIT); the sample recordings themselves are not copied.
//! Where ezc3d deviates (type 3: it applies a polynomial), the plain formulae sheet value
//! (FORMULAE 1/3, 03.02.99) computed from the same channels is expected.

mod c3d_support;

use c3d_support::*;
use footing_core::geometry::Vec3;
use footing_core::plate::Wrench;
use footing_core::recording::{Plate, PlateKind};
use footing_core::stance::by_plate;
use footing_formats::c3d;

/// One sample of one plate, seen from the lab: force N, moment about the surface centre N·mm,
/// centre of pressure mm, free moment vector N·mm.
struct Lab {
    force: Vec3,
    moment: Vec3,
    cop: Vec3,
    free: Vec3,
}

fn lab(plate: &Plate, i: usize) -> Lab {
    let shear = plate.shear.as_ref().unwrap();
    let wrench = Wrench {
        force_n: Vec3::new(shear.fx_n[i], shear.fy_n[i], plate.fz_n[i]),
        moment_nm: Vec3::new(plate.mx_nm[i], plate.my_nm[i], shear.mz_nm[i]),
    };
    let (x, y) = wrench.cop_m().unwrap();
    let turn = plate.lab_from_plate.rotation;
    let free = Vec3::new(0.0, 0.0, wrench.free_moment_nm().unwrap());
    Lab {
        force: turn.apply(wrench.force_n),
        moment: turn.apply(wrench.moment_nm) * 1000.0,
        cop: plate.lab_from_plate.point(Vec3::new(x, y, 0.0)) * 1000.0,
        free: turn.apply(free) * 1000.0,
    }
}

fn close(got: Vec3, expected: [f64; 3], tolerance: f64, what: &str) {
    near(got.x, expected[0], tolerance, what);
    near(got.y, expected[1], tolerance, what);
    near(got.z, expected[2], tolerance, what);
}

fn one_plate(kind: i32, stored: Vec<Vec<f64>>, origin: [f32; 3], corners: [[f32; 3]; 4]) -> File {
    let mut file = File::new(stored, 1000.0);
    with_plates(
        &mut file,
        &[PlateSpec {
            kind,
            origin,
            corners,
        }],
    );
    file
}

#[test]
fn type_2_with_origin_pointing_the_wrong_way() {
    let loaded = vec![
        -66.407_387,
        106.480_309,
        -763.647_278,
        -19_897.613_281,
        58_192.695_312,
        12_340.797_852,
    ];
    let file = one_plate(
        2,
        vec![loaded],
        [-1.524, 0.762, 34.036],
        [
            [508.0, 464.0, 0.0],
            [508.0, 0.0, 0.0],
            [0.0, 0.0, 0.0],
            [0.0, 464.0, 0.0],
        ],
    );
    let read = c3d::read("type2.c3d", &file.bytes(), None).unwrap();
    let plate = &read.recording.plates[0];
    assert_eq!(plate.kind, PlateKind::SixComponent);
    let lab = lab(plate, 0);
    close(lab.force, [106.480, -66.407, 763.647], 1e-3, "force");
    close(
        lab.moment,
        [54_768.655, -24_103.676, -12_229.124],
        5e-3,
        "moment",
    );
    close(lab.cop, [285.564, 303.720, 0.0], 1e-3, "cop");
    near(lab.free.z, -2_496.299, 5e-3, "free moment");
}

#[test]
fn type_3_by_the_plain_formulae() {
    let channels = vec![
        2.044_393,
        -3.514_268,
        6.242_591,
        -3.127_775,
        -232.835_492,
        -220.473_927,
        -215.013_763,
        -218.072_231,
    ];
    let file = one_plate(
        3,
        vec![channels],
        [210.0, 350.0, -53.0],
        [
            [881.199, 581.160, -4.928_02],
            [880.102, -2.3661, -5.842_59],
            [-0.813_263, -6.946_27, -6.117_79],
            [-4.827_39, 578.421, -6.1716],
        ],
    );
    let read = c3d::read("type3.c3d", &file.bytes(), None).unwrap();
    let plate = &read.recording.plates[0];
    assert_eq!(plate.kind, PlateKind::EightChannel);
    let lab = lab(plate, 0);
    close(
        lab.force,
        [1.872_237, -2.862_661, 886.395_503],
        1e-4,
        "force",
    );
    close(lab.moment, [3146.7092, -7249.176, -29.1869], 5e-2, "moment");
    close(lab.cop, [447.0934, 291.1171, -5.748], 1e-3, "cop");
    near(lab.free.z, 0.871, 5e-2, "free moment");
    assert!(
        !read.notes.iter().any(|n| n.code == "axes-undecided"),
        "these corners were measured"
    );
}

/// The published force, centre of pressure and free moment through the published matrix. The
/// corners are not published: a level plate at the published height stands in.
#[test]
fn type_4_through_its_matrix() {
    let (fx, fy, fz) = (-32.238_375, 158.773_702, 584.266_779);
    let (cx, cy, height) = (341.331_452, 124.038_361, 2.128_679);
    let free = -15.489_373;
    let gains = [500.0, 500.0, 1000.0, 8e5, 4e5, 4e5];
    // In a z-down plate frame x → lab y, y → lab x, z → down; centre (300, 200).
    let (px, py) = (cy - 200.0, cx - 300.0);
    let force = [fy, fx, -fz];
    let moment = [
        py * force[2],
        -px * force[2],
        px * force[1] - py * force[0] - free,
    ];
    let volts: Vec<f64> = force
        .iter()
        .chain(&moment)
        .zip(gains)
        .map(|(v, g)| v / g)
        .collect();
    let mut corners = corners_at(300.0, 200.0);
    for corner in &mut corners {
        corner[2] = height as f32;
    }
    let mut file = one_plate(4, vec![volts], [0.0; 3], corners);
    let mut matrix = vec![0.0; 36];
    for (i, gain) in gains.into_iter().enumerate() {
        matrix[7 * i] = gain as f32;
    }
    file.set(
        "FORCE_PLATFORM",
        "CAL_MATRIX",
        Value::Floats(vec![6, 6, 1], matrix),
    );
    let read = c3d::read("type4.c3d", &file.bytes(), None).unwrap();
    let lab = lab(&read.recording.plates[0], 0);
    close(lab.force, [fx, fy, fz], 1e-3, "force");
    close(lab.cop, [cx, cy, height], 1e-3, "cop");
    near(lab.free.z, free, 2e-2, "free moment");
}

/// First index fastest (c3d.org user guide, FORCE_PLATFORM:CAL_MATRIX): the element that carries
/// channel 2 into force 1 is the seventh stored.
#[test]
fn the_matrix_is_stored_by_columns() {
    let mut matrix = vec![0.0; 36];
    for i in 0..6 {
        matrix[7 * i] = 1.0;
    }
    matrix[6] = 0.5;
    let stored = vec![vec![10.0, 40.0, -700.0, 7_000.0, 14_000.0, 0.0]];
    let mut file = one_plate(4, stored, [0.0; 3], corners_at(0.0, 0.0));
    file.set(
        "FORCE_PLATFORM",
        "CAL_MATRIX",
        Value::Floats(vec![6, 6, 1], matrix),
    );
    let read = c3d::read("columns.c3d", &file.bytes(), None).unwrap();
    let shear = read.recording.plates[0].shear.as_ref().unwrap();
    near(shear.fx_n[0], 30.0, 1e-9, "force 1");
    near(shear.fy_n[0], 40.0, 1e-9, "force 2");
}

/// An unloaded plate whose centre of pressure and free moment look sensible (ezc3d, type 2, plate 0,
/// sample 0, the same corners and reversed origin as above): the reader passes them on as they are,
/// and the load threshold blanks them.
///
/// Not the raw moments are published but force, centre of pressure and free moment; the moments at
/// the sensor are these three's, by M = M' − F × o with M' = (y·Fz, −x·Fz, Tz + x·Fy − y·Fx).
#[test]
fn an_unloaded_plate_is_passed_on_for_the_threshold_to_judge() {
    let (lab_f, lab_cop) = ([0.139_921, 0.046_148, -0.183_525], [228.8127, 118.2956]);
    let lab_free = -44.1405;
    // The plate's x is lab y and its y lab x, its z down; the centre lies at (254, 232).
    let [fx, fy, fz] = [lab_f[1], lab_f[0], -lab_f[2]];
    let (x, y, free) = (lab_cop[1] - 232.0, lab_cop[0] - 254.0, -lab_free);
    let at_surface = [y * fz, -x * fz, free + x * fy - y * fx];
    let o = [1.524, -0.762, -34.036];
    let shift = [
        fy * o[2] - fz * o[1],
        fz * o[0] - fx * o[2],
        fx * o[1] - fy * o[0],
    ];
    let [mx, my, mz] = std::array::from_fn(|i| at_surface[i] - shift[i]);
    let file = one_plate(
        2,
        vec![vec![fx, fy, fz, mx, my, mz]; 2],
        [-1.524, 0.762, 34.036],
        [
            [508.0, 464.0, 0.0],
            [508.0, 0.0, 0.0],
            [0.0, 0.0, 0.0],
            [0.0, 464.0, 0.0],
        ],
    );
    let read = c3d::read("idle.c3d", &file.bytes(), None).unwrap();
    let seen = lab(&read.recording.plates[0], 0);
    close(seen.force, lab_f, 1e-6, "force");
    close(seen.cop, [lab_cop[0], lab_cop[1], 0.0], 1e-3, "cop");
    near(seen.free.z, lab_free, 1e-3, "free moment");
    // Judged as a foot on the plate: less than nothing is under every threshold. The same plate
    // loaded a ten-thousandfold, with the same centre of pressure, is over it.
    let idle = &read.recording;
    let (feet, _, _) = by_plate(idle);
    assert_eq!(feet[0].cop_m(0, 30.0), None);
    let mut loaded = idle.clone();
    for plate in &mut loaded.plates {
        let of_moments = [&mut plate.fz_n, &mut plate.mx_nm, &mut plate.my_nm];
        of_moments.into_iter().flatten().for_each(|v| *v *= 1e4);
    }
    let (feet, _, _) = by_plate(&loaded);
    assert!(feet[0].cop_m(0, 30.0).is_some());
}
