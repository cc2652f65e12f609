//! Rig files: every kind of plate, both ways. Refusals are in `hostile_table_files`.

use footing_core::geometry::Vec3;
use footing_core::recording::{EventKind, FootRole, ForceSense};
use footing_formats::rig::{
    self, ColumnRef, Edge, ForceUnit, LengthUnit, Marker, MomentUnit, Placement, Rig, RigPlate,
    TimeSource, TimeUnit, Units, Wiring,
};

/// The example that documents the format.
const EXAMPLE: &str = r#"{
  "format": "footing-rig/1",
  "name": "Two plates, bay 1",
  "target_azimuth_deg": 0,
  "force_sense": "auto",
  "units": { "force": "N", "moment": "N.m", "length": "m", "time": "s" },
  "time": { "column": "Time" },
  "markers": [ { "column": "Trigger", "event": "impact", "edge": "rising", "level": 2.5 } ],
  "plates": [
    { "foot": "lead", "kind": "six-component",
      "columns": { "fx": "Fx1", "fy": "Fy1", "fz": "Fz1", "mx": "Mx1", "my": "My1", "mz": "Mz1" },
      "x_azimuth_deg": 0, "z_axis": "up",
      "centre_m": [0.3, 0.0, 0.0], "moment_point_m": [0, 0, -0.04],
      "size_m": [0.4, 0.6] }
  ]
}"#;

fn named<const N: usize>(names: [&str; N]) -> [ColumnRef; N] {
    names.map(|name| ColumnRef::Header(name.to_owned()))
}

fn example() -> Rig {
    Rig {
        name: Some("Two plates, bay 1".to_owned()),
        target_azimuth_deg: Some(0.0),
        force_sense: ForceSense::Auto,
        units: Units::SI,
        time: Some(TimeSource::Column(ColumnRef::Header("Time".to_owned()))),
        markers: vec![Marker {
            column: ColumnRef::Header("Trigger".to_owned()),
            event: EventKind::Impact,
            edge: Edge::Rising,
            level: 2.5,
        }],
        plates: vec![RigPlate {
            foot: FootRole::Lead,
            wiring: Wiring::SixComponent(named(["Fx1", "Fy1", "Fz1", "Mx1", "My1", "Mz1"])),
            placement: Some(Placement {
                x_azimuth_deg: 0.0,
                z_up: true,
                centre_m: Vec3::new(0.3, 0.0, 0.0),
                moment_point_m: Vec3::new(0.0, 0.0, -0.04),
                size_m: Some([0.4, 0.6]),
            }),
        }],
        assumed: Vec::new(),
    }
}

#[test]
fn the_documented_example_means_what_it_says() {
    assert_eq!(rig::parse("r", EXAMPLE.as_bytes()), Ok(example()));
}

#[test]
fn every_encoding_of_the_text_is_read() {
    let marked = format!("\u{feff}{EXAMPLE}");
    assert_eq!(rig::parse("r", marked.as_bytes()), Ok(example()));
    let wide: Vec<u8> = marked.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(rig::parse("r", &wide), Ok(example()));
}

/// A rig with every kind of plate, every key and no default.
fn full() -> Rig {
    let place = |x_azimuth_deg, z_up| {
        Some(Placement {
            x_azimuth_deg,
            z_up,
            centre_m: Vec3::new(-0.1, 0.2, 0.3),
            moment_point_m: Vec3::new(0.001, -0.002, 0.054),
            size_m: None,
        })
    };
    let plate = |foot, wiring, placement| RigPlate {
        foot,
        wiring,
        placement,
    };
    Rig {
        name: None,
        target_azimuth_deg: Some(-123.456),
        force_sense: ForceSense::OnPlate,
        units: Units {
            force: ForceUnit::PoundForce,
            moment: MomentUnit::PoundForceFoot,
            length: LengthUnit::Inch,
            time: TimeUnit::Millisecond,
        },
        time: Some(TimeSource::RateHz(1200.5)),
        markers: vec![Marker {
            column: ColumnRef::Number(31),
            event: EventKind::ArmLevel,
            edge: Edge::Falling,
            level: -1.25,
        }],
        plates: vec![
            plate(
                FootRole::Trail,
                Wiring::ForceCop(named(["a", "b", "c", "d \"e\"", "ü", "#x"])),
                place(90.0, false),
            ),
            plate(
                FootRole::Both,
                Wiring::EightChannel {
                    columns: [1, 2, 3, 4, 5, 6, 7, 8].map(ColumnRef::Number),
                    sensor_offset_m: [0.12, 0.2],
                },
                place(-180.0, true),
            ),
            plate(
                FootRole::Unassigned,
                Wiring::VerticalCop(named(["Fz", "X", "Y"])),
                place(0.1, true),
            ),
            plate(FootRole::Lead, Wiring::C3dPlate(2), None),
            plate(FootRole::Lead, Wiring::C3dPlate(3), place(0.0, false)),
        ],
        assumed: Vec::new(),
    }
}

#[test]
fn what_is_written_is_read_back() {
    for rig in [example(), full()] {
        let text = rig.to_json();
        assert!(text.ends_with("}\n"));
        assert!(rig::looks_like("x", text.as_bytes()));
        assert_eq!(rig::parse("r", text.as_bytes()), Ok(rig), "{text}");
    }
}

#[test]
fn what_is_left_out_is_assumed_aloud_once() {
    let text = r#"{ "format": "footing-rig/1", "units": {"force": "kgf"},
        "plates": [ { "kind": "force-cop", "centre_m": [0, 0, 0], "z_axis": "down",
        "columns": {"fx": "a", "fy": "b", "fz": "c", "cop_x": "d", "cop_y": "e", "tz": "f"} } ] }"#;
    let rig = rig::parse("r", text.as_bytes()).unwrap();
    assert_eq!(
        rig.assumed,
        [
            "units: moment N.m",
            "units: length m",
            "units: time s",
            "plate 1: x_azimuth_deg 0"
        ]
    );
    assert_eq!(rig.force_sense, ForceSense::Auto);
    assert_eq!(rig.plates[0].foot, FootRole::Unassigned);
    let again = rig::parse("r", rig.to_json().as_bytes()).unwrap();
    assert_eq!(
        again,
        Rig {
            assumed: Vec::new(),
            ..rig
        }
    );
}

#[test]
fn a_c3d_needs_no_more_than_the_plates_number() {
    let text = r#"{ "format": "footing-rig/1", "plates": [ { "c3d_plate": 2, "foot": "lead" } ] }"#;
    let rig = rig::parse("r", text.as_bytes()).unwrap();
    assert_eq!(rig.plates[0].wiring, Wiring::C3dPlate(2));
    assert_eq!(rig.plates[0].placement, None);
    assert_eq!(rig.assumed, [""; 0]);
}

#[test]
fn column_numbers_and_names_are_told_apart() {
    let number = |n| Some(ColumnRef::Number(n));
    let name = |n: &str| Some(ColumnRef::Header(n.to_owned()));
    assert_eq!(ColumnRef::parse("#7"), number(7));
    assert_eq!(ColumnRef::parse(" #12 "), number(12));
    assert_eq!(ColumnRef::parse("#Sample"), name("#Sample"));
    assert_eq!(ColumnRef::parse("# 7"), name("# 7"));
    assert_eq!(ColumnRef::parse("7"), name("7"));
    assert_eq!(ColumnRef::parse("#"), name("#"));
    assert_eq!(ColumnRef::parse("#0"), None);
    assert_eq!(ColumnRef::parse("#99999999999999999999"), None);
    assert_eq!(ColumnRef::parse("  "), None);
}

#[test]
fn a_rig_is_known_by_name_or_text() {
    assert!(rig::looks_like("Bay 1.RIG.JSON", b""));
    assert!(rig::looks_like("x.json", EXAMPLE.as_bytes()));
    let marked = format!("\u{feff}\n {EXAMPLE}");
    assert!(rig::looks_like("x", marked.as_bytes()));
    let wide: Vec<u8> = marked.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert!(rig::looks_like("x", &wide));
    assert!(!rig::looks_like("x.json", b"{\"a.csv\": {\"top_s\": 1.0}}"));
    assert!(!rig::looks_like("x.csv", b"Time,Fx\n0,1\n"));
}

/// NIST SP 811 (2008), appendix B.8, and the definitions of the prefixes.
#[test]
fn units_convert_by_their_definitions() {
    assert_eq!(ForceUnit::PoundForce.to_si(1.0), 4.448_221_615_260_5);
    assert_eq!(ForceUnit::KilogramForce.to_si(1.0), 9.806_65);
    assert_eq!(ForceUnit::Kilonewton.to_si(0.25), 250.0);
    assert_eq!(LengthUnit::Inch.to_si(1.0), 0.0254);
    assert_eq!(LengthUnit::Millimetre.to_si(1.0), 0.001);
    assert_eq!(LengthUnit::Centimetre.to_si(3.0), 0.03);
    assert_eq!(MomentUnit::NewtonMillimetre.to_si(7.0), 0.007);
    assert_eq!(TimeUnit::Millisecond.to_si(1.0), 0.001);
    // A foot is twelve inches.
    let foot = ForceUnit::PoundForce.to_si(1.0) * 12.0 * LengthUnit::Inch.to_si(1.0);
    assert!((MomentUnit::PoundForceFoot.to_si(1.0) - foot).abs() < 1e-15);
}
