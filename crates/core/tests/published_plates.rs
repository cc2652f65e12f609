//! Worked examples of plate mechanics.
//!
//! **Source:** the piezo force-plate formulae sheet (FORMULAE 1/3, 03.02.99) for the formulas; the
//! numbers of P1, P3 and W2 were computed from them apart from this project (numpy 2.4).

use footing_core::frame::{Handed, PlayerFrame};
use footing_core::geometry::{Pose, Rotation, Vec3};
use footing_core::plate::Wrench;
use footing_core::quiet::AddressPlaces;
use footing_core::recording::{FootRole, ForceSense, Plate, PlateKind, Recording, Shear};
use footing_core::stance::{Feet, stance};
use footing_core::torque::{Reference, curves};

fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "expected {expected}, got {got}"
    );
}

/// P1: a six-component plate whose sensor origin is neither centred nor at the surface.
#[test]
fn p1_sensor_origin_is_moved_to_the_surface_centre() {
    let force_n = Vec3::new(35.0, -120.0, 760.0);
    let origin_to_centre_m = Vec3::new(0.0015, -0.0008, -0.0340);
    let raw = Wrench {
        force_n,
        moment_nm: Vec3::new(-54.088, -34.250, -14.417),
    };
    let at_centre = raw.about(origin_to_centre_m);
    near(at_centre.moment_nm.x, -49.400, 5e-4);
    near(at_centre.moment_nm.y, -31.920, 5e-4);
    near(at_centre.moment_nm.z, -14.265, 5e-4);
    let (x, y) = at_centre.cop_m().unwrap();
    near(x, 0.042, 1e-9);
    near(y, -0.065, 1e-9);
    near(at_centre.free_moment_nm().unwrap(), -11.5, 1e-9);
    // Without the shift the centre of pressure is 6 mm off.
    let (x, y) = raw.cop_m().unwrap();
    near(x, 0.045066, 5e-7);
    near(y, -0.071168, 5e-7);
    // And forward: the same wrench built from its centre of pressure.
    let built = Wrench::from_cop(force_n, (0.042, -0.065), -11.5);
    near(built.moment_nm.x, at_centre.moment_nm.x, 1e-9);
    near(built.moment_nm.y, at_centre.moment_nm.y, 1e-9);
    near(built.moment_nm.z, at_centre.moment_nm.z, 1e-9);
}

/// P3: eight channels.
#[test]
fn p3_eight_channels_give_the_printed_wrench() {
    let sensor_plane = Wrench::from_eight_channels(
        [12.0, -30.0, 55.0, 41.0, 310.0, 205.0, 120.0, 165.0],
        0.120,
        0.200,
    );
    assert_eq!(sensor_plane.force_n, Vec3::new(-18.0, 96.0, 800.0));
    near(sensor_plane.moment_nm.x, 46.0, 1e-12);
    near(sensor_plane.moment_nm.y, -18.0, 1e-12);
    near(sensor_plane.moment_nm.z, -6.72, 1e-12);
    let surface = sensor_plane.about(Vec3::new(0.0, 0.0, -0.048));
    near(surface.moment_nm.x, 41.392, 1e-12);
    near(surface.moment_nm.y, -18.864, 1e-12);
    let (x, y) = surface.cop_m().unwrap();
    near(x, 0.02358, 1e-12);
    near(y, 0.05174, 1e-12);
    near(surface.free_moment_nm().unwrap(), -9.915, 5e-4);
}

/// Action and reaction: turning the whole wrench over keeps the centre of pressure and flips the
/// free moment.
#[test]
fn turning_a_wrench_over_keeps_the_centre_of_pressure() {
    let wrench = Wrench::from_cop(Vec3::new(35.0, -120.0, 760.0), (0.042, -0.065), -11.5);
    let turned = Wrench {
        force_n: -wrench.force_n,
        moment_nm: -wrench.moment_nm,
    };
    let (x, y) = turned.cop_m().unwrap();
    near(x, 0.042, 1e-12);
    near(y, -0.065, 1e-12);
    near(turned.free_moment_nm().unwrap(), 11.5, 1e-12);
}

fn plate(label: &str, cop: (f64, f64), force: Vec3, free: f64) -> Plate {
    // The plate's centre is put somewhere else than the lab origin, so that both matter.
    let centre_m = Vec3::new(0.1, -0.2, 0.0);
    let wrench = Wrench::from_cop(force, (cop.0 - centre_m.x, cop.1 - centre_m.y), free);
    let twice = |v: f64| vec![v, v];
    Plate {
        label: label.into(),
        kind: PlateKind::SixComponent,
        foot: match label {
            "lead" => FootRole::Lead,
            _ => FootRole::Trail,
        },
        lab_from_plate: Pose {
            rotation: Rotation::IDENTITY,
            centre_m,
        },
        corners_in_lab_m: None,
        fz_n: twice(wrench.force_n.z),
        mx_nm: twice(wrench.moment_nm.x),
        my_nm: twice(wrench.moment_nm.y),
        shear: Some(Shear {
            fx_n: twice(wrench.force_n.x),
            fy_n: twice(wrench.force_n.y),
            mz_nm: twice(wrench.moment_nm.z),
        }),
    }
}

/// W2: two plates together. Its lab has X toward the target and Y toward the heels of a
/// right-handed player, so `a = −Y` and the angle changes its sign.
#[test]
fn w2_two_plates_about_every_axis() {
    let recording = Recording {
        rate_hz: 1000.0,
        t_s: vec![0.0, 0.001],
        plates: vec![
            plate(
                "lead",
                (0.260, -0.030),
                Vec3::new(-95.0, 140.0, 905.0),
                14.0,
            ),
            plate("trail", (-0.240, 0.045), Vec3::new(60.0, -85.0, 310.0), 5.0),
        ],
        marks: Vec::new(),
        target_azimuth_rad: None,
        force_sense: ForceSense::OnPlayer,
    };
    let standing = stance(&recording, 0.0, Handed::Right).unwrap();
    let (t, a) = standing.stance.combined_cop_m(0, 30.0).unwrap();
    near(t, 0.132427984, 5e-10);
    near(-a, -0.010864198, 5e-10);
    let about = |x: f64, y: f64| {
        let places = AddressPlaces {
            lead_m: None,
            trail_m: None,
            combined_m: (x, -y),
            stance_centre_m: (x, -y),
        };
        curves(
            &standing.stance,
            Reference::StanceCentre,
            Some(&places),
            None,
            30.0,
        )
    };
    near(about(0.0, 0.0).torque_nm[0].unwrap(), 70.25, 1e-10);
    let centre = about(0.010, 0.0075);
    near(centre.torque_nm[0].unwrap(), 69.4375, 1e-10);
    near(about(0.030, -0.020).torque_nm[0].unwrap(), 69.3, 1e-10);
    near(
        centre.combined_free_moment_nm[0].unwrap(),
        63.346707819,
        5e-10,
    );
    near(-centre.cop_angle_deg[0].unwrap(), -8.530766, 5e-7);
    let (lead, trail) = (centre.lead.unwrap(), centre.trail.unwrap());
    near(lead.free_moment_nm[0].unwrap(), 14.0, 1e-10);
    near(trail.free_moment_nm[0].unwrap(), 5.0, 1e-10);
    let sum = lead.shear_torque_nm[0].unwrap() + trail.shear_torque_nm[0].unwrap() + 19.0;
    near(sum, 69.4375, 1e-10);
    // The couple's halves about the combined centre of pressure.
    let places = AddressPlaces {
        lead_m: None,
        trail_m: None,
        combined_m: (t, a),
        stance_centre_m: (t, a),
    };
    let at_cop = curves(
        &standing.stance,
        Reference::CombinedCop,
        Some(&places),
        None,
        30.0,
    );
    near(
        at_cop.lead.unwrap().shear_torque_nm[0].unwrap(),
        16.042181,
        5e-7,
    );
    near(
        at_cop.trail.unwrap().shear_torque_nm[0].unwrap(),
        28.304527,
        5e-7,
    );
    assert!(matches!(standing.stance.feet, Feet::Two { .. }));
}

/// A right-hander who faces north has the target in the west; turning the chest from north to west
/// is counter-clockwise seen from above. A left-hander is the mirror image.
#[test]
fn torque_toward_the_target_has_the_sign_of_the_definition() {
    let west = Vec3::new(-1.0, 0.0, 0.0);
    let north = Vec3::new(0.0, 1.0, 0.0);
    let right = PlayerFrame::new(std::f64::consts::PI, Handed::Right);
    near(right.t(west), 1.0, 1e-15);
    near(right.a(north), 1.0, 1e-15);
    near(right.toward_target(3.0), 3.0, 0.0);
    let left = PlayerFrame::new(std::f64::consts::PI, Handed::Left);
    near(left.a(north), -1.0, 1e-15);
    near(left.toward_target(3.0), -3.0, 0.0);
}
