//! The four kinds of plate, forward-simulated, and published worked numbers.

mod table_support;

use footing_core::geometry::Vec3;
use footing_core::plate::Wrench;
use footing_core::recording::{ForceSense, PlateKind, Recording};
use table_support::{assert_invariants, load, parse_rig};

/// Units of a table: name and size in SI.
///
/// **Source:** NIST SP 811 (2008), appendix B.8: lbf 4.448 221 615 260 5 N, kgf 9.806 65 N, inch
/// 0.0254 m, all exact; lbf·ft is lbf × 12 in = 1.355 817 948 331 400 4 N·m, exact.
struct Units {
    force: (&'static str, f64),
    moment: (&'static str, f64),
    length: (&'static str, f64),
}

const UNIT_SYSTEMS: [Units; 4] = [
    Units {
        force: ("N", 1.0),
        moment: ("N.m", 1.0),
        length: ("m", 1.0),
    },
    Units {
        force: ("lbf", 4.448_221_615_260_5),
        moment: ("lbf.ft", 1.355_817_948_331_400_4),
        length: ("in", 0.0254),
    },
    Units {
        force: ("kgf", 9.806_65),
        moment: ("N.mm", 0.001),
        length: ("cm", 0.01),
    },
    Units {
        force: ("kN", 1000.0),
        moment: ("N.m", 1.0),
        length: ("mm", 0.001),
    },
];

/// A load on the plate: force, centre of pressure and free moment in the plate frame.
#[derive(Clone, Copy)]
struct Load {
    force_n: [f64; 3],
    cop_m: [f64; 2],
    tz_nm: f64,
}

impl Load {
    /// Moment about a point in the plate frame, by the definition r × F and no code under test.
    fn moment_about(&self, point_m: [f64; 3]) -> [f64; 3] {
        let [fx, fy, fz] = self.force_n;
        let (rx, ry) = (self.cop_m[0] - point_m[0], self.cop_m[1] - point_m[1]);
        let rz = -point_m[2];
        [
            ry * fz - rz * fy,
            rz * fx - rx * fz,
            rx * fy - ry * fx + self.tz_nm,
        ]
    }
}

const MOMENT_POINT_M: [f64; 3] = [0.0015, -0.0008, 0.034];
const SENSOR_M: [f64; 2] = [0.12, 0.2];
const SENSOR_PLANE_M: [f64; 3] = [0.0, 0.0, 0.048];

fn loads(sign: f64) -> Vec<Load> {
    (0..9)
        .map(|i| {
            let x = f64::from(i);
            Load {
                force_n: [35.0 - 4.0 * x, -120.0 + 11.0 * x, sign * (760.0 + 25.0 * x)],
                cop_m: [0.042 - 0.006 * x, -0.065 + 0.01 * x],
                tz_nm: -11.5 + 2.0 * x,
            }
        })
        .collect()
}

/// What each kind of plate stores of a load.
fn channels(kind: PlateKind, load: &Load, units: &Units) -> Vec<f64> {
    let [fx, fy, fz] = load.force_n;
    let force = |v: f64| v / units.force.1;
    let moment = |v: f64| v / units.moment.1;
    let length = |v: f64| v / units.length.1;
    match kind {
        PlateKind::SixComponent => {
            let [mx, my, mz] = load.moment_about(MOMENT_POINT_M);
            vec![
                force(fx),
                force(fy),
                force(fz),
                moment(mx),
                moment(my),
                moment(mz),
            ]
        }
        PlateKind::ForceCop => vec![
            force(fx),
            force(fy),
            force(fz),
            length(load.cop_m[0]),
            length(load.cop_m[1]),
            moment(load.tz_nm),
        ],
        PlateKind::EightChannel => {
            // The sums of the formulae sheet solved for channels; the two freedoms that are left
            // (how Fy and the fourth vertical combination are shared) are taken as zero.
            let [mx, my, mz] = load.moment_about(SENSOR_PLANE_M);
            let [a, b] = SENSOR_M;
            let (p, q) = (mx / b, my / a);
            let twist = mz / b;
            [
                (fx - twist) / 2.0,
                (fx + twist) / 2.0,
                fy / 2.0,
                fy / 2.0,
                (fz + p - q) / 4.0,
                (fz + p + q) / 4.0,
                (fz - p + q) / 4.0,
                (fz - p - q) / 4.0,
            ]
            .map(force)
            .to_vec()
        }
        PlateKind::VerticalCop => {
            vec![force(fz), length(load.cop_m[0]), length(load.cop_m[1])]
        }
    }
}

fn rig(kind: PlateKind, z_axis: &str, units: &Units) -> String {
    let names = footing_formats::rig::channel_names(kind);
    let columns: Vec<String> = names.iter().map(|n| format!("\"{n}\": \"{n}\"")).collect();
    let (point, offset) = match kind {
        PlateKind::EightChannel => (SENSOR_PLANE_M, "\"sensor_offset_m\": [0.12, 0.2],"),
        _ => (MOMENT_POINT_M, ""),
    };
    format!(
        r#"{{ "format": "footing-rig/1", "force_sense": "on-plate",
        "units": {{ "force": "{}", "moment": "{}", "length": "{}", "time": "ms" }},
        "time": {{ "rate_hz": 250 }},
        "plates": [ {{ "foot": "trail", "kind": "{}", "columns": {{ {} }}, {offset}
          "x_azimuth_deg": 90, "z_axis": "{z_axis}", "centre_m": [0.5, -0.25, 0.0],
          "moment_point_m": {point:?}, "size_m": [0.4, 0.6] }} ] }}"#,
        units.force.0,
        units.moment.0,
        units.length.0,
        kind.name(),
        columns.join(", "),
    )
}

fn simulate(kind: PlateKind, z_axis: &str, units: &Units, loads: &[Load]) -> Recording {
    let names = footing_formats::rig::channel_names(kind);
    let mut text = names.join("\t") + "\n";
    for load in loads {
        let cells: Vec<String> = channels(kind, load, units)
            .iter()
            .map(f64::to_string)
            .collect();
        text += &(cells.join("\t") + "\n");
    }
    load(text, &parse_rig(&rig(kind, z_axis, units))).recording
}

/// Rounding of a few operations on numbers of this size; the tables carry every digit.
fn assert_near(got: f64, expected: f64, scale: f64, what: &str) {
    assert!(
        (got - expected).abs() <= 1e-12 * scale,
        "{what}: {got} is not {expected}"
    );
}

#[test]
fn every_kind_in_every_unit_gives_the_same_physical_load() {
    let kinds = [
        PlateKind::SixComponent,
        PlateKind::ForceCop,
        PlateKind::EightChannel,
        PlateKind::VerticalCop,
    ];
    for (z_axis, sign) in [("up", -1.0), ("down", 1.0)] {
        let loads = loads(sign);
        for units in &UNIT_SYSTEMS {
            for kind in kinds {
                let what = format!("{} {z_axis} {}", kind.name(), units.force.0);
                let recording = simulate(kind, z_axis, units, &loads);
                assert_invariants(&recording);
                assert_eq!(recording.force_sense, ForceSense::OnPlate);
                assert_eq!(recording.t_s[3], 3.0 / 250.0);
                let plate = &recording.plates[0];
                assert_eq!(plate.kind, kind);
                assert_eq!(plate.label, "plate 1");
                for (i, load) in loads.iter().enumerate() {
                    let [fx, fy, fz] = load.force_n;
                    let [mx, my, mz] = load.moment_about([0.0; 3]);
                    assert_near(plate.fz_n[i], fz, 1000.0, &what);
                    match &plate.shear {
                        Some(shear) => {
                            assert_near(shear.fx_n[i], fx, 1000.0, &what);
                            assert_near(shear.fy_n[i], fy, 1000.0, &what);
                            assert_near(shear.mz_nm[i], mz, 1000.0, &what);
                            assert_near(plate.mx_nm[i], mx, 1000.0, &what);
                            assert_near(plate.my_nm[i], my, 1000.0, &what);
                        }
                        None => {
                            assert_eq!(kind, PlateKind::VerticalCop);
                            // The surface holds no moment arm for shear: the same moments.
                            assert_near(plate.mx_nm[i], mx, 1000.0, &what);
                            assert_near(plate.my_nm[i], my, 1000.0, &what);
                        }
                    }
                    let wrench = Wrench {
                        force_n: Vec3::new(fx, fy, plate.fz_n[i]),
                        moment_nm: Vec3::new(plate.mx_nm[i], plate.my_nm[i], mz),
                    };
                    let (cx, cy) = wrench.cop_m().unwrap();
                    assert_near(cx, load.cop_m[0], 1.0, &what);
                    assert_near(cy, load.cop_m[1], 1.0, &what);
                }
            }
        }
    }
}

#[test]
fn the_pose_and_corners_follow_the_axes() {
    // x points along lab +y; z up leaves y along lab −x, z down turns it to lab +x.
    for (z_axis, y_x) in [("up", -1.0), ("down", 1.0)] {
        let units = &UNIT_SYSTEMS[0];
        let recording = simulate(PlateKind::ForceCop, z_axis, units, &loads(1.0));
        let plate = &recording.plates[0];
        let pose = plate.lab_from_plate;
        let close = |got: Vec3, x: f64, y: f64, z: f64| {
            assert!(
                (got - Vec3::new(x, y, z)).length() < 1e-12,
                "{got:?} {x} {y} {z}"
            );
        };
        close(pose.rotation.x, 0.0, 1.0, 0.0);
        close(pose.rotation.y, y_x, 0.0, 0.0);
        close(pose.rotation.z, 0.0, 0.0, -y_x);
        // Size 0.4 along the plate's x, which is the lab's y, and 0.6 along its y.
        let corners = plate.corners_in_lab_m.unwrap();
        for (corner, (sx, sy)) in corners
            .into_iter()
            .zip([(1, 1), (-1, 1), (-1, -1), (1, -1)])
        {
            let (sx, sy) = (f64::from(sx), f64::from(sy));
            close(corner, 0.5 + sy * y_x * 0.3, -0.25 + sx * 0.2, 0.0);
        }
    }
}

/// Worked example: F = (35, −120, 760) N, CoP = (0.042, −0.065) m, Tz = −11.5 N·m, the surface
/// centre (0.0015, −0.0008, −0.0340) m from the sensor's origin, where the raw moments are
/// (−54.088, −34.250, −14.417) N·m.
///
/// **Source:** computed by hand from the force-plate formulae sheet (FORMULAE 1/3, 03.02.99) and
/// Winter DA (2009) *Biomechanics and Motor Control of Human Movement*, 4th ed., ch. 5.
#[test]
fn the_six_component_worked_example() {
    let rig = parse_rig(
        r##"{ "format": "footing-rig/1", "force_sense": "on-plate",
        "units": { "force": "N", "moment": "N.m", "length": "m", "time": "s" },
        "time": { "rate_hz": 1000 },
        "plates": [ { "foot": "lead", "kind": "six-component",
          "columns": {"fx": "#1", "fy": "#2", "fz": "#3", "mx": "#4", "my": "#5", "mz": "#6"},
          "x_azimuth_deg": 0, "z_axis": "down", "centre_m": [0, 0, 0],
          "moment_point_m": [-0.0015, 0.0008, 0.0340] } ] }"##,
    );
    let row = "35,-120,760,-54.088,-34.250,-14.417\n";
    let recording = load(format!("{row}{row}"), &rig).recording;
    let plate = &recording.plates[0];
    let shear = plate.shear.as_ref().unwrap();
    // The printed raw moments end at the third decimal.
    let printed = |got: f64, expected: f64| assert!((got - expected).abs() < 6e-4, "{got}");
    printed(plate.mx_nm[0], -49.400);
    printed(plate.my_nm[0], -31.920);
    printed(shear.mz_nm[0], -14.265);
    let wrench = Wrench {
        force_n: Vec3::new(shear.fx_n[0], shear.fy_n[0], plate.fz_n[0]),
        moment_nm: Vec3::new(plate.mx_nm[0], plate.my_nm[0], shear.mz_nm[0]),
    };
    let (cx, cy) = wrench.cop_m().unwrap();
    assert!((cx - 0.042).abs() < 1e-6 && (cy + 0.065).abs() < 1e-6);
    printed(wrench.free_moment_nm().unwrap(), -11.5);
}

/// Worked example: a = 0.120, b = 0.200, az0 = −0.048 m; fx12 = 12, fx34 = −30, fy14 = 55,
/// fy23 = 41, fz = (310, 205, 120, 165) N → F = (−18, 96, 800) N, M' = (41.392, −18.864) N·m,
/// CoP = (0.02358, 0.05174) m, Tz = −9.915 N·m.
///
/// **Source:** computed by hand from the force-plate formulae sheet (FORMULAE 1/3, 03.02.99).
/// az0 is the way from the sensor plane to the surface, so the moment point lies at −az0.
#[test]
fn the_eight_channel_worked_example() {
    let rig = parse_rig(
        r#"{ "format": "footing-rig/1", "force_sense": "on-plate",
        "units": { "force": "N", "moment": "N.m", "length": "m", "time": "s" },
        "time": { "rate_hz": 1000 },
        "plates": [ { "foot": "lead", "kind": "eight-channel", "sensor_offset_m": [0.12, 0.2],
          "columns": {"fx12": "a", "fx34": "b", "fy14": "c", "fy23": "d",
                      "fz1": "e", "fz2": "f", "fz3": "g", "fz4": "h"},
          "x_azimuth_deg": 0, "z_axis": "down", "centre_m": [0, 0, 0],
          "moment_point_m": [0, 0, 0.048] } ] }"#,
    );
    let row = "12 -30 55 41 310 205 120 165\n";
    let recording = load(format!("a b c d e f g h\n{row}{row}"), &rig).recording;
    let plate = &recording.plates[0];
    let shear = plate.shear.as_ref().unwrap();
    assert_eq!(
        (shear.fx_n[1], shear.fy_n[1], plate.fz_n[1]),
        (-18.0, 96.0, 800.0)
    );
    assert!((plate.mx_nm[1] - 41.392).abs() < 1e-9);
    assert!((plate.my_nm[1] + 18.864).abs() < 1e-9);
    let wrench = Wrench {
        force_n: Vec3::new(-18.0, 96.0, 800.0),
        moment_nm: Vec3::new(plate.mx_nm[1], plate.my_nm[1], shear.mz_nm[1]),
    };
    let (cx, cy) = wrench.cop_m().unwrap();
    assert!((cx - 0.02358).abs() < 1e-9 && (cy - 0.05174).abs() < 1e-9);
    assert!((wrench.free_moment_nm().unwrap() + 9.915).abs() < 5e-4);
}

#[test]
fn two_plates_may_share_a_foot_and_times_may_be_in_milliseconds() {
    let plate = |centre: &str, suffix: &str| {
        format!(
            r#"{{ "foot": "lead", "kind": "vertical-cop", "x_azimuth_deg": 0, "z_axis": "up",
            "columns": {{"fz": "fz{suffix}", "cop_x": "x{suffix}", "cop_y": "y{suffix}"}},
            "centre_m": [{centre}] }}"#
        )
    };
    let rig = parse_rig(&format!(
        r#"{{ "format": "footing-rig/1", "time": {{"column": "t"}},
        "units": {{ "force": "N", "moment": "N.m", "length": "m", "time": "ms" }},
        "plates": [{}, {}] }}"#,
        plate("0, 0, 0", "1"),
        plate("1, 0, 0", "2"),
    ));
    let text = "t,fz1,x1,y1,fz2,x2,y2\n0,1,2,3,4,5,6\n2,1,2,3,4,5,6\n4,1,2,3,4,5,6\n";
    let recording = load(text, &rig).recording;
    assert_eq!(recording.t_s, [0.0, 0.002, 0.004]);
    assert_eq!(recording.rate_hz, 500.0);
    assert_eq!(recording.plates[1].label, "plate 2");
    assert_eq!(recording.plates[1].fz_n, [4.0; 3]);
    assert_eq!(recording.plates[0].foot, recording.plates[1].foot);
}
