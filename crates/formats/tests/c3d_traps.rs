//! Where real files contradict the format, themselves or common sense. Each case is one seen in a
//! public sample file (c3d.org samples, toolbox test data), rebuilt here from scratch.

mod c3d_support;

use c3d_support::*;
use footing_core::geometry::Vec3;
use footing_core::recording::{FootRole, ForceSense};
use footing_formats::{Level, Loaded, Problem, c3d, rig};

/// One plate's six channels under a still load of 700 N, `(px, py)` mm from the plate's centre.
fn standing(samples: usize, px: f64, py: f64) -> Vec<Vec<f64>> {
    let fz = -700.0;
    vec![vec![5.0, -3.0, fz, py * fz, -px * fz, 0.0]; samples]
}

fn plate(corners: [[f32; 3]; 4]) -> PlateSpec {
    PlateSpec {
        kind: 2,
        origin: [0.0, 0.0, -20.0],
        corners,
    }
}

fn file(corners: [[f32; 3]; 4]) -> File {
    let mut file = File::new(standing(200, 60.0, 100.0), 100.0);
    with_plates(&mut file, &[plate(corners)]);
    file
}

fn try_read(file: &File) -> Result<Loaded, Problem> {
    c3d::read("trap.c3d", &file.bytes(), None)
}

fn read(file: &File) -> Loaded {
    let loaded = try_read(file).unwrap_or_else(|problem| panic!("{problem}"));
    for note in &loaded.notes {
        // What a person should worry about comes with what to do about it.
        let remedies = ["check", "export", "give its place", "compare", "copy"];
        let says = remedies.iter().any(|remedy| note.text.contains(remedy));
        assert!(says || note.level == Level::Note, "{}", note.text);
    }
    loaded
}

fn cop_mm(loaded: &Loaded, plate: usize) -> Vec3 {
    let plate = &loaded.recording.plates[plate];
    let fz = plate.fz_n[0];
    let local = Vec3::new(-plate.my_nm[0] / fz, plate.mx_nm[0] / fz, 0.0);
    plate.lab_from_plate.point(local) * 1000.0
}

fn codes(loaded: &Loaded) -> Vec<&str> {
    loaded.notes.iter().map(|n| n.code).collect()
}

#[track_caller]
fn at(got: Vec3, x: f64, y: f64, z: f64) {
    let off = (got - Vec3::new(x, y, z)).length();
    assert!(off < 0.3, "{got:?} is {off} mm from ({x}, {y}, {z})");
}

#[test]
fn counts_that_disagree_are_settled_by_size() {
    let base = read(&file(corners_at(300.0, 200.0))).recording;
    // The header's word 3 holds the channels, not channels times samples a frame.
    let mut word_3 = file(corners_at(300.0, 200.0));
    word_3.per_frame = 10;
    word_3.header_rate_hz = 10.0;
    word_3.set("POINT", "RATE", Value::Floats(vec![], vec![10.0]));
    word_3.header_analog_per_frame = Some(6);
    // ANALOG:USED ten times too large.
    let mut used = file(corners_at(300.0, 200.0));
    used.set("ANALOG", "USED", Value::Words(vec![], vec![60]));
    // POINT:USED and FRAMES of another recording.
    let mut other = file(corners_at(300.0, 200.0));
    other.set("POINT", "USED", Value::Words(vec![], vec![3]));
    other.set("POINT", "FRAMES", Value::Words(vec![], vec![145]));
    // The header's scale says integer, POINT:SCALE and the size say float.
    let mut scale = file(corners_at(300.0, 200.0));
    scale.set("POINT", "SCALE", Value::Floats(vec![], vec![1.0]));
    for (what, file) in [
        ("word 3", word_3),
        ("used", used),
        ("other", other),
        ("scale", scale),
    ] {
        let recording = read(&file).recording;
        assert_eq!(recording.plates, base.plates, "{what}");
        assert_eq!(recording.t_s, base.t_s, "{what}");
    }
}

#[test]
fn corners_in_any_order_round_the_plate_or_across_it() {
    let straight = corners_at(300.0, 200.0);
    let [c1, c2, c3, c4] = straight;
    let expected = read(&file(straight)).recording.plates[0].clone();
    let bow_tie = read(&file([c1, c2, c4, c3]));
    assert_eq!(
        bow_tie.recording.plates[0].lab_from_plate,
        expected.lab_from_plate
    );
    assert_eq!(
        bow_tie.recording.plates[0].corners_in_lab_m,
        expected.corners_in_lab_m
    );
    let crossed = read(&file([c1, c3, c2, c4]));
    let pose = crossed.recording.plates[0].lab_from_plate;
    assert!((pose.rotation.x - expected.lab_from_plate.rotation.x).length() < 1e-6);
    assert!((pose.rotation.z - expected.lab_from_plate.rotation.z).length() < 1e-6);
    assert!(codes(&crossed).contains(&"corners-order"));
}

#[test]
fn a_lab_with_y_up_is_turned_without_mirroring() {
    let z_up = read(&file(corners_at(300.0, 200.0)));
    at(cop_mm(&z_up, 0), 400.0, 260.0, 0.0);
    // The same floor in a lab whose y is up: (x, y, z) there is (x, z, −y) here turned back.
    let y_up = read(&file(corners_at(300.0, 200.0).map(|[x, y, z]| [x, z, -y])));
    assert!(codes(&y_up).contains(&"lab-turned"));
    at(cop_mm(&y_up, 0), 400.0, 260.0, 0.0);
    let x_up = read(&file(corners_at(300.0, 200.0).map(|[x, y, z]| [z, x, y])));
    at(cop_mm(&x_up, 0), 400.0, 260.0, 0.0);
}

#[test]
fn a_wall_is_left_out() {
    let mut stored = standing(200, 60.0, 100.0);
    for row in &mut stored {
        row.extend(standing(1, 0.0, 0.0).remove(0));
        row.extend(standing(1, -60.0, 50.0).remove(0));
    }
    let wall = corners_at(0.0, 0.0).map(|[x, y, _]| [x, 0.0, y]);
    let mut three = File::new(stored, 100.0);
    let floor = |x| plate(corners_at(x, 200.0));
    with_plates(&mut three, &[floor(300.0), plate(wall), floor(-900.0)]);
    let loaded = read(&three);
    let labels: Vec<_> = loaded.recording.plates.iter().map(|p| &p.label).collect();
    assert_eq!(labels, ["plate 1", "plate 3"]);
    assert!(codes(&loaded).contains(&"wall-left-out"));
    at(cop_mm(&loaded, 1), -850.0, 140.0, 0.0);
}

#[test]
fn moments_whatever_their_label_says() {
    // In a file in mm, moments are N·mm even when labelled N·m.
    let mut labelled = file(corners_at(300.0, 200.0));
    labelled.set("ANALOG", "UNITS", Value::Texts(vec!["Nm".into(); 6]));
    at(cop_mm(&read(&labelled), 0), 400.0, 260.0, 0.0);
    // Only when the centre of pressure would never leave the sensor's centre are they N·m.
    let mut newton_metres = file(corners_at(300.0, 200.0));
    for row in &mut newton_metres.stored {
        row[3..].iter_mut().for_each(|m| *m /= 1000.0);
    }
    let loaded = read(&newton_metres);
    at(cop_mm(&loaded, 0), 400.0, 260.0, 0.0);
    assert!(codes(&loaded).contains(&"moment-unit-guessed"));
    // A file in metres whose moments are N·mm.
    let mut metres = file(corners_at(300.0, 200.0).map(|c| c.map(|v| v / 1000.0)));
    metres.set("POINT", "UNITS", Value::Texts(vec!["m".into()]));
    metres.set(
        "FORCE_PLATFORM",
        "ORIGIN",
        Value::Floats(vec![3, 1], vec![0.0, 0.0, -0.02]),
    );
    let loaded = read(&metres);
    at(cop_mm(&loaded, 0), 400.0, 260.0, 0.0);
    assert!(codes(&loaded).contains(&"moment-unit-guessed"));
}

#[test]
fn lengths_without_a_unit() {
    for unit in [None, Some("mete"), Some("\u{fffd}")] {
        let metres = unit == Some("mete");
        let factor = if metres { 0.001 } else { 1.0 };
        let mut file = file(corners_at(300.0, 200.0).map(|c| c.map(|v| v * factor)));
        let origin = vec![0.0, 0.0, -20.0 * factor];
        file.set(
            "FORCE_PLATFORM",
            "ORIGIN",
            Value::Floats(vec![3, 1], origin),
        );
        for row in &mut file.stored {
            row[3..].iter_mut().for_each(|m| *m *= f64::from(factor));
        }
        match unit {
            None => file.drop("POINT", "UNITS"),
            Some("mete") => file.set("POINT", "UNITS", Value::Texts(vec!["mete".into()])),
            Some(_) => file.set("POINT", "UNITS", Value::Bytes(vec![0xb5, 0xff])),
        };
        at(cop_mm(&read(&file), 0), 400.0, 260.0, 0.0);
    }
}

#[test]
fn zero_frames_are_never_subtracted_from_a_person() {
    let mut file = file(corners_at(300.0, 200.0));
    file.set("FORCE_PLATFORM", "ZERO", Value::Words(vec![2], vec![1, 10]));
    let loaded = read(&file);
    assert_eq!(loaded.recording.plates[0].fz_n[0], -700.0);
    assert!(codes(&loaded).contains(&"zero-frames-loaded"));
}

#[test]
fn type_3_that_counts_its_corners_off_from_nothing() {
    let eight = vec![vec![12.0, -30.0, 55.0, 41.0, 310.0, 205.0, 120.0, 165.0]; 20];
    let corners = [
        [0.0, 0.0, 0.0],
        [600.0, 0.0, 0.0],
        [600.0, 900.0, 0.0],
        [0.0, 900.0, 0.0],
    ];
    let write = |origin| {
        let mut file = File::new(eight.clone(), 1000.0);
        let kind = 3;
        with_plates(
            &mut file,
            &[PlateSpec {
                kind,
                origin,
                corners,
            }],
        );
        read(&file)
    };
    let loaded = write([210.0, 350.0, 58.0]);
    assert_eq!(codes(&loaded), ["axes-undecided"]);
    assert_eq!(loaded.notes[0].level, Level::Warn);
    assert!(codes(&write([0.0; 3])).contains(&"origin-missing"));
}

#[test]
fn channel_lists_longer_or_shorter_than_the_type() {
    // Eight rows with trailing zeros for a type 2 plate.
    let mut long = file(corners_at(300.0, 200.0));
    let channels = vec![1, 2, 3, 4, 5, 6, 0, 0];
    long.set(
        "FORCE_PLATFORM",
        "CHANNEL",
        Value::Words(vec![8, 1], channels),
    );
    at(cop_mm(&read(&long), 0), 400.0, 260.0, 0.0);
    // Six rows for a type 3 plate with eight channels in a row.
    let eight = vec![vec![12.0, -30.0, 55.0, 41.0, 310.0, 205.0, 120.0, 165.0]; 20];
    let mut short = File::new(eight, 1000.0);
    let three = PlateSpec {
        kind: 3,
        origin: [120.0, 200.0, -48.0],
        corners: corners_at(0.0, 0.0),
    };
    with_plates(&mut short, &[three]);
    let channels = (1..=6).collect();
    short.set(
        "FORCE_PLATFORM",
        "CHANNEL",
        Value::Words(vec![6, 1], channels),
    );
    near(
        read(&short).recording.plates[0].fz_n[0],
        800.0,
        1e-3,
        "all four corners",
    );
}

#[test]
fn matrices_belong_to_type_4_only() {
    let mut file = file(corners_at(300.0, 200.0));
    let zeros = Value::Floats(vec![6, 6, 1], vec![0.0; 36]);
    file.set("FORCE_PLATFORM", "CAL_MATRIX", zeros.clone());
    at(cop_mm(&read(&file), 0), 400.0, 260.0, 0.0);
    file.set("FORCE_PLATFORM", "TYPE", Value::Words(vec![1], vec![4]));
    let loaded = read(&file);
    at(cop_mm(&loaded, 0), 400.0, 260.0, 0.0);
    assert!(codes(&loaded).contains(&"calibration-missing"));
}

#[test]
fn files_without_plates_say_so() {
    let mut unused = file(corners_at(0.0, 0.0));
    unused.set("FORCE_PLATFORM", "USED", Value::Words(vec![], vec![0]));
    let mut without = file(corners_at(0.0, 0.0));
    without
        .parameters
        .retain(|(g, _, _)| *g != "FORCE_PLATFORM");
    for file in [unused, without] {
        let problem = try_read(&file).unwrap_err();
        assert!(problem.what.starts_with("no force plates"), "{problem}");
    }
    let mut strange = file(corners_at(0.0, 0.0));
    strange.set("FORCE_PLATFORM", "TYPE", Value::Words(vec![1], vec![7]));
    let problem = try_read(&strange).unwrap_err();
    assert!(problem.what.contains("type 7"), "{problem}");
}

#[test]
fn a_value_that_is_no_number_is_named() {
    let mut broken = file(corners_at(0.0, 0.0));
    broken.first_frame = 11;
    broken.stored[5][3] = f64::NAN;
    let problem = try_read(&broken).unwrap_err();
    assert_eq!(
        problem.what,
        "analog channel 4 (plate 1) holds NaN in frame 16"
    );
    // Channels of no plate may hold what they like.
    let mut other = file(corners_at(0.0, 0.0));
    for row in &mut other.stored {
        row.push(f64::INFINITY);
    }
    other.set("ANALOG", "USED", Value::Words(vec![], vec![7]));
    assert!(try_read(&other).is_ok());
}

#[test]
fn names_in_any_case_twice_and_after_damage() {
    let mut odd = file(corners_at(300.0, 200.0));
    for (group, name, _) in &mut odd.parameters {
        if *group == "FORCE_PLATFORM" {
            *group = "Force_Platform";
        }
        if *name == "CORNERS" {
            *name = "Corners";
        }
    }
    // Stored a second time, with other content: the first counts.
    let second = Value::Floats(vec![], vec![250.0]);
    odd.parameters.push(("POINT", "RATE", second));
    let loaded = read(&odd);
    at(cop_mm(&loaded, 0), 400.0, 260.0, 0.0);
    assert_eq!(loaded.recording.rate_hz, 100.0);
    // A damaged record at the end of the list.
    odd.parameters
        .push(("POINT", "LAST", Value::Words(vec![], vec![1])));
    let mut bytes = odd.bytes();
    let last = bytes.windows(4).position(|w| w == b"LAST").unwrap();
    bytes[last + 4] = 0xff;
    bytes[last + 5] = 0x7f;
    bytes[last + 7] = 200;
    let loaded = c3d::read("damaged.c3d", &bytes, None).unwrap();
    assert!(codes(&loaded).contains(&"parameters-damaged"));
    at(cop_mm(&loaded, 0), 400.0, 260.0, 0.0);
}

#[test]
fn a_recording_cut_short_says_how_much_is_missing() {
    let whole = file(corners_at(0.0, 0.0));
    let mut bytes = whole.bytes();
    let (frame, data) = (
        (8 + 6) * 4,
        bytes.len() - (200_usize * 56).div_ceil(512) * 512,
    );
    bytes.truncate(data + 150 * frame + 7);
    let loaded = c3d::read("cut.c3d", &bytes, None).unwrap();
    assert_eq!(loaded.recording.t_s.len(), 150);
    let note = loaded.notes.iter().find(|n| n.code == "truncated").unwrap();
    assert_eq!(note.level, Level::Warn);
    assert!(note.text.contains("150 of 200"), "{}", note.text);
}

#[test]
fn a_rig_chooses_and_places_plates() {
    let mut stored = standing(200, 60.0, 100.0);
    for row in &mut stored {
        row.extend(standing(1, 0.0, 0.0).remove(0));
    }
    let mut two = File::new(stored, 100.0);
    let specs = [
        plate(corners_at(300.0, 200.0)),
        plate(corners_at(900.0, 200.0)),
    ];
    with_plates(&mut two, &specs);
    let bytes = two.bytes();
    let parse = |text: &str| rig::parse("bay.rig.json", text.as_bytes()).unwrap();
    let rig = parse(
        r#"{"format": "footing-rig/1", "target_azimuth_deg": 90, "force_sense": "on-player",
            "plates": [{"c3d_plate": 2, "foot": "lead"}, {"c3d_plate": 1, "foot": "trail"}]}"#,
    );
    let loaded = c3d::read("two.c3d", &bytes, Some(&rig)).unwrap();
    let recording = &loaded.recording;
    assert_eq!(recording.plates[0].label, "plate 2");
    assert_eq!(recording.plates[0].foot, FootRole::Lead);
    assert_eq!(recording.plates[1].foot, FootRole::Trail);
    assert_eq!(recording.force_sense, ForceSense::OnPlayer);
    near(
        recording.target_azimuth_rad.unwrap(),
        std::f64::consts::FRAC_PI_2,
        1e-9,
        "target",
    );
    let one = parse(r#"{"format": "footing-rig/1", "plates": [{"c3d_plate": 1, "foot": "both"}]}"#);
    let loaded = c3d::read("two.c3d", &bytes, Some(&one)).unwrap();
    assert_eq!(loaded.recording.plates.len(), 1);
    assert!(codes(&loaded).contains(&"plates-not-in-rig"));
    let third =
        parse(r#"{"format": "footing-rig/1", "plates": [{"c3d_plate": 3, "foot": "lead"}]}"#);
    let problem = c3d::read("two.c3d", &bytes, Some(&third)).unwrap_err();
    assert!(problem.what.contains("plate 3"), "{problem}");
}
