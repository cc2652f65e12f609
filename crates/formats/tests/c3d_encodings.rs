//! One recording, every way to write it: the numbers must not change.

mod c3d_support;

use c3d_support::*;
use footing_core::recording::{PlateKind, Recording};
use footing_formats::{Level, Loaded, c3d};

/// A person swaying: forces N and moments N·mm of one type 2 plate, whole numbers so that
/// integer files hold them exactly.
fn swaying(samples: usize) -> Vec<[f64; 6]> {
    (0..samples)
        .map(|i| {
            let phase = i as f64 * 0.05;
            let fz = (-700.0 - 80.0 * phase.sin()).round();
            let fx = (30.0 * phase.cos()).round();
            [
                fx,
                12.0,
                fz,
                (40.0 * fz).round(),
                (-25.0 * fz).round(),
                900.0,
            ]
        })
        .collect()
}

fn plate(kind: i32) -> PlateSpec {
    PlateSpec {
        kind,
        origin: [2.0, -1.0, -40.0],
        corners: corners_at(300.0, 200.0),
    }
}

fn read(file: &File) -> Loaded {
    c3d::read("swaying.c3d", &file.bytes(), None).unwrap_or_else(|problem| panic!("{problem}"))
}

fn assert_same(a: &Recording, b: &Recording, tolerance: f64, what: &str) {
    assert_eq!(a.t_s, b.t_s, "{what}");
    assert_eq!(a.plates.len(), b.plates.len(), "{what}");
    for (p, q) in a.plates.iter().zip(&b.plates) {
        assert_eq!(p.lab_from_plate, q.lab_from_plate, "{what}");
        assert_eq!(p.corners_in_lab_m, q.corners_in_lab_m, "{what}");
        let (ps, qs) = (p.shear.as_ref().unwrap(), q.shear.as_ref().unwrap());
        for (x, y) in [
            (&p.fz_n, &q.fz_n),
            (&p.mx_nm, &q.mx_nm),
            (&p.my_nm, &q.my_nm),
            (&ps.fx_n, &qs.fx_n),
            (&ps.fy_n, &qs.fy_n),
            (&ps.mz_nm, &qs.mz_nm),
        ] {
            assert_eq!(x.len(), y.len());
            for (v, w) in x.iter().zip(y) {
                near(*v, *w, tolerance, what);
            }
        }
    }
}

/// Channels of each type that describe the same loads.
fn stored_as(kind: i32, loads: &[[f64; 6]]) -> Vec<Vec<f64>> {
    loads
        .iter()
        .map(|&[fx, fy, fz, mx, my, mz]| match kind {
            1 => {
                // Type 1 speaks of the surface centre: shift by ORIGIN first.
                let (ox, oy, oz) = (2.0, -1.0, -40.0);
                let (mx, my, mz) = (
                    mx + fy * oz - fz * oy,
                    my + fz * ox - fx * oz,
                    mz + fx * oy - fy * ox,
                );
                let (px, py) = (-my / fz, mx / fz);
                vec![fx, fy, fz, px, py, mz - px * fy + py * fx]
            }
            _ => vec![fx, fy, fz, mx, my, mz],
        })
        .collect()
}

#[test]
fn all_processors_integer_and_float() {
    let loads = swaying(400);
    let mut reference = File::new(stored_as(2, &loads), 100.0);
    with_plates(&mut reference, &[plate(2)]);
    let reference = read(&reference).recording;
    assert_eq!(reference.t_s.len(), 400);
    near(reference.plates[0].fz_n[0], -700.0, 1e-9, "first load");
    for processor in PROCESSORS {
        for float in [false, true] {
            // Moments reach 31 200 N·mm: within a signed word at a scale of 1.
            let mut file = File::new(stored_as(2, &loads), 100.0);
            with_plates(&mut file, &[plate(2)]);
            file.processor = processor;
            file.float = float;
            if !float {
                file.set("POINT", "SCALE", Value::Floats(vec![], vec![1.0]));
            }
            let loaded = read(&file);
            let what = format!("{processor:?} float {float}");
            assert_same(&loaded.recording, &reference, 1e-9, &what);
            let words = if float { "float" } else { "integer" };
            assert!(loaded.format.ends_with(words), "{}", loaded.format);
            assert!(loaded.notes.is_empty(), "{what}: {:?}", loaded.notes);
        }
    }
}

#[test]
fn types_1_2_and_4_of_one_load_agree() {
    let loads = swaying(300);
    let write = |kind| {
        let mut file = File::new(stored_as(kind, &loads), 100.0);
        with_plates(&mut file, &[plate(kind)]);
        let mut identity = vec![0.0; 36];
        (0..6).for_each(|i| identity[7 * i] = 1.0);
        let matrix = Value::Floats(vec![6, 6, 1], identity);
        file.set("FORCE_PLATFORM", "CAL_MATRIX", matrix);
        read(&file)
    };
    let two = write(2).recording;
    assert_same(&write(4).recording, &two, 1e-9, "type 4");
    let one = write(1).recording;
    assert_eq!(one.plates[0].kind, PlateKind::ForceCop);
    assert_same(
        &one,
        &two,
        2e-4,
        "type 1, whose floats carry rounded positions",
    );
}

#[test]
fn an_origin_that_points_up_is_turned_over() {
    let loads = swaying(50);
    let mut identity = vec![0.0; 36];
    (0..6).for_each(|i| identity[7 * i] = 1.0);
    let write = |kind, origin| {
        let mut file = File::new(stored_as(kind, &loads), 100.0);
        let spec = PlateSpec {
            origin,
            ..plate(kind)
        };
        with_plates(&mut file, &[spec]);
        if kind == 4 {
            let matrix = Value::Floats(vec![6, 6, 1], identity.clone());
            file.set("FORCE_PLATFORM", "CAL_MATRIX", matrix);
        }
        read(&file).recording
    };
    for kind in [2, 4] {
        let right = write(kind, [2.0, -1.0, -40.0]);
        let what = format!("type {kind}: all three");
        assert_same(&write(kind, [-2.0, 1.0, 40.0]), &right, 1e-9, &what);
    }
    let eight = |origin| {
        let stored = vec![vec![12.0, -30.0, 55.0, 41.0, 310.0, 205.0, 120.0, 165.0]];
        let mut file = File::new(stored, 100.0);
        with_plates(&mut file, &[PlateSpec { origin, ..plate(3) }]);
        read(&file).recording
    };
    // Worked example of an eight-channel plate by the formulae sheet (FORMULAE 1/3, 03.02.99).
    for origin in [
        [120.0, 200.0, -48.0],
        [120.0, 200.0, 48.0],
        [-120.0, -200.0, 48.0],
    ] {
        let plate = &eight(origin).plates[0];
        near(plate.fz_n[0], 800.0, 1e-4, "fz");
        near(plate.mx_nm[0], 41.392, 1e-4, "mx");
        near(plate.my_nm[0], -18.864, 1e-4, "my");
        near(plate.shear.as_ref().unwrap().mz_nm[0], -6.72, 1e-4, "mz");
    }
}

#[test]
fn scales_and_offsets_of_every_kind() {
    let loads = swaying(60);
    let mut plain = File::new(stored_as(2, &loads), 100.0);
    with_plates(&mut plain, &[plate(2)]);
    let plain = read(&plain).recording;
    // Stored = value / (SCALE · GEN_SCALE) + OFFSET, float-typed offset, negative scale.
    for float in [false, true] {
        let stored = stored_as(2, &loads)
            .iter()
            .map(|row| row.iter().map(|v| 100.0 - v / 2.0).collect())
            .collect();
        let mut file = File::new(stored, 100.0);
        with_plates(&mut file, &[plate(2)]);
        file.float = float;
        file.set(
            "POINT",
            "SCALE",
            Value::Floats(vec![], vec![if float { -1.0 } else { 1.0 }]),
        );
        file.set("ANALOG", "GEN_SCALE", Value::Floats(vec![], vec![0.5]));
        file.set("ANALOG", "SCALE", Value::Floats(vec![6], vec![-4.0; 6]));
        file.set("ANALOG", "OFFSET", Value::Floats(vec![6], vec![100.0; 6]));
        // Halves of odd numbers are lost to the integers.
        let tolerance = if float { 1e-3 } else { 2.0 };
        assert_same(&read(&file).recording, &plain, tolerance, "scaled");
    }
    // Unsigned 16 bit, told by FORMAT or by the offset alone; −32768 is 32768 read as signed.
    for (offset, format) in [(32_767, None), (-32_768, None), (32_768, Some("UNSIGNED"))] {
        let centre = if offset < 0 { 32_768 } else { offset };
        let stored = stored_as(2, &loads)
            .iter()
            .map(|row| row.iter().map(|v| v + f64::from(centre)).collect())
            .collect();
        let mut file = File::new(stored, 100.0);
        with_plates(&mut file, &[plate(2)]);
        file.float = false;
        file.set("POINT", "SCALE", Value::Floats(vec![], vec![1.0]));
        file.set("ANALOG", "OFFSET", Value::Words(vec![6], vec![offset; 6]));
        if let Some(format) = format {
            file.set("ANALOG", "FORMAT", Value::Texts(vec![format.into()]));
        }
        assert_same(&read(&file).recording, &plain, 1e-9, "unsigned");
    }
}

#[test]
fn an_offset_the_data_do_not_have_is_mended_with_a_note() {
    // Moments small enough to leave room for the shift in a signed word.
    let smaller = |[fx, fy, fz, mx, my, mz]: [f64; 6]| [fx, fy, fz, mx / 8.0, my / 8.0, mz / 4.0];
    let rounded = |row: [f64; 6]| smaller(row).map(f64::round);
    let loads: Vec<[f64; 6]> = swaying(60).into_iter().map(rounded).collect();
    let mut plain = File::new(stored_as(2, &loads), 100.0);
    with_plates(&mut plain, &[plate(2)]);
    let plain = read(&plain).recording;
    for shift in [0.0, -2047.0] {
        // Moments of a standing person fill the words, so four idle-looking channels must be seen:
        // a second, empty plate provides them.
        let stored = loads
            .iter()
            .map(|row| row.iter().chain(&[0.0; 18]).map(|v| v + shift).collect())
            .collect();
        let mut file = File::new(stored, 100.0);
        with_plates(&mut file, &[plate(2), plate(2), plate(2), plate(2)]);
        file.float = false;
        file.set("POINT", "SCALE", Value::Floats(vec![], vec![1.0]));
        file.set("ANALOG", "OFFSET", Value::Words(vec![24], vec![2047; 24]));
        let mut loaded = read(&file);
        assert!(loaded.notes.iter().any(|n| n.code == "offset-mended"));
        assert!(loaded.recording.plates[1].fz_n.iter().all(|&f| f == 0.0));
        loaded.recording.plates.truncate(1);
        assert_same(&loaded.recording, &plain, 1e-9, "mended");
    }
}

#[test]
fn analog_faster_than_the_frames() {
    let mut file = File::new(stored_as(2, &swaying(400)), 1000.0);
    with_plates(&mut file, &[plate(2)]);
    file.per_frame = 10;
    file.first_frame = 152;
    file.header_rate_hz = 100.0;
    file.set("POINT", "RATE", Value::Floats(vec![], vec![100.0]));
    file.set("EVENT", "USED", Value::Words(vec![], vec![3]));
    let labels = ["Impact", "Top of backswing", "Foot Off"].map(String::from);
    file.set("EVENT", "LABELS", Value::Texts(labels.to_vec()));
    let contexts = ["General", "", "Left"].map(String::from);
    file.set("EVENT", "CONTEXTS", Value::Texts(contexts.to_vec()));
    let times = vec![0.0, 1.75, 0.0, 1.6, 1.0, 2.5];
    file.set("EVENT", "TIMES", Value::Floats(vec![2, 3], times));
    let recording = read(&file).recording;
    assert_eq!(recording.rate_hz, 1000.0);
    // Frame 152 is 151 frame intervals after frame 1.
    near(recording.t_s[0], 1.51, 1e-12, "start");
    near(recording.t_s[399], 1.909, 1e-12, "end");
    let marks: Vec<(&str, f64)> = recording
        .marks
        .iter()
        .map(|m| (m.event.map_or(m.label.as_str(), |e| e.id()), m.t_s))
        .collect();
    assert_eq!(
        marks,
        [
            ("top", f64::from(1.6_f32)),
            ("impact", 1.75),
            ("Left Foot Off", 62.5)
        ]
    );
    assert!(recording.marks.iter().all(|m| m.uncertainty_s == 0.005));
    // The list of contexts to choose from (c3d.org user guide, "The EVENT_CONTEXT group") says how
    // to draw each: listing one more, in another order, changes no event and adds none.
    file.set("EVENT_CONTEXT", "USED", Value::Words(vec![], vec![4]));
    let labels = ["Right", "Left", "General", "Bay 3"].map(String::from);
    file.set("EVENT_CONTEXT", "LABELS", Value::Texts(labels.to_vec()));
    let icons = Value::Words(vec![4], vec![0, 1, 2, 3]);
    file.set("EVENT_CONTEXT", "ICON_IDS", icons);
    let colours = Value::Floats(vec![3, 4], vec![0.5; 12]);
    file.set("EVENT_CONTEXT", "COLOURS", colours);
    let listed = read(&file);
    assert_eq!(listed.recording, recording);
    assert!(listed.notes.is_empty(), "{:?}", listed.notes);
}

#[test]
fn events_of_the_header() {
    let mut file = File::new(stored_as(2, &swaying(40)), 100.0);
    with_plates(&mut file, &[plate(2)]);
    file.header_events = vec![("TOP", 0.25), ("RFS", 0.125)];
    let marks = read(&file).recording.marks;
    assert_eq!(marks.len(), 2);
    assert_eq!((marks[0].label.as_str(), marks[0].t_s), ("RFS", 0.125));
    assert_eq!(marks[1].event.map(|e| e.id()), Some("top"));
}

#[test]
fn rates_that_are_only_in_one_place() {
    let only = |point: f32, analog: f32, header: f32, per_frame: usize| {
        let mut file = File::new(stored_as(2, &swaying(400)), 100.0);
        with_plates(&mut file, &[plate(2)]);
        file.points = 0;
        file.per_frame = per_frame;
        file.header_rate_hz = header;
        file.set("POINT", "RATE", Value::Floats(vec![], vec![point]));
        file.set("POINT", "USED", Value::Words(vec![], vec![0]));
        file.drop("POINT", "UNITS");
        file.set("ANALOG", "RATE", Value::Floats(vec![], vec![analog]));
        c3d::read("rates.c3d", &file.bytes(), None).map(|l| l.recording.rate_hz)
    };
    assert_eq!(only(0.0, 1000.0, 0.0, 1), Ok(1000.0));
    assert_eq!(only(0.0, 1000.0, 0.0, 10), Ok(1000.0));
    assert_eq!(only(100.0, 0.0, 100.0, 1), Ok(100.0));
    assert_eq!(only(0.0, 0.0, 100.0, 10), Ok(1000.0));
    let problem = only(0.0, 0.0, 0.0, 1).unwrap_err().to_string();
    assert!(problem.contains("no sampling rate"), "{problem}");
}

#[test]
fn more_frames_than_sixteen_bits_count() {
    let frames = 70_000;
    let loads = swaying(frames);
    type Change = fn(&mut File);
    let ways: [(&str, Change); 4] = [
        ("TRIAL", |f| {
            f.set(
                "TRIAL",
                "ACTUAL_START_FIELD",
                Value::Words(vec![2], vec![1, 0]),
            );
            // 70 000 = 1 · 65 536 + 4 464
            f.set(
                "TRIAL",
                "ACTUAL_END_FIELD",
                Value::Words(vec![2], vec![4_464, 1]),
            );
        }),
        ("LONG_FRAMES", |f| {
            f.set(
                "POINT",
                "LONG_FRAMES",
                Value::Floats(vec![], vec![70_000.0]),
            );
        }),
        ("size alone, saturated header", |_| {}),
        ("size alone, wrapped header", |f| {
            f.header_last_frame = Some(4_464)
        }),
    ];
    for (what, change) in ways {
        let mut file = File::new(stored_as(2, &loads), 1000.0);
        with_plates(&mut file, &[plate(2)]);
        file.points = 30; // a frame larger than the padding
        file.set("POINT", "USED", Value::Words(vec![], vec![30]));
        change(&mut file);
        let loaded = read(&file);
        assert_eq!(loaded.recording.t_s.len(), frames, "{what}");
        assert_eq!(
            loaded.recording.plates[0].fz_n[frames - 1],
            loads[frames - 1][2]
        );
        assert!(
            !loaded.notes.iter().any(|n| n.code == "truncated"),
            "{what}"
        );
    }
}

/// A calibration matrix stored row by row, of a plate whose cables are not in the order of the
/// standard: the matrix puts the channels in order. By columns, as the guide says, the shear would
/// pass as the vertical force and the centre of pressure would lie off the plate.
#[test]
fn a_matrix_that_makes_sense_by_rows_only_is_read_by_rows() {
    let loads: Vec<[f64; 6]> = swaying(300)
        .into_iter()
        .map(|[fx, fy, fz, _, my, mz]| [fx + 150.0, fy, fz, 60.0 * fz, my, mz])
        .collect();
    let mut plain = File::new(stored_as(2, &loads), 100.0);
    with_plates(&mut plain, &[plate(2)]);
    let plain = read(&plain).recording;
    // Which measured channel each of Fx Fy Fz Mx My Mz comes from.
    let from = [1, 2, 0, 5, 3, 4];
    let mut measured = vec![vec![0.0; 6]; loads.len()];
    for (row, load) in measured.iter_mut().zip(&loads) {
        for (value, channel) in load.iter().zip(from) {
            row[channel] = *value;
        }
    }
    let write = |by_rows: bool| {
        let mut matrix = vec![0.0; 36];
        for (i, j) in from.into_iter().enumerate() {
            matrix[if by_rows { 6 * i + j } else { i + 6 * j }] = 1.0;
        }
        let mut file = File::new(measured.clone(), 100.0);
        with_plates(&mut file, &[plate(4)]);
        let matrix = Value::Floats(vec![6, 6, 1], matrix);
        file.set("FORCE_PLATFORM", "CAL_MATRIX", matrix);
        read(&file)
    };
    let by_columns = write(false);
    assert_same(&by_columns.recording, &plain, 1e-9, "by columns");
    assert!(by_columns.notes.is_empty(), "{:?}", by_columns.notes);
    let by_rows = write(true);
    assert_same(&by_rows.recording, &plain, 1e-9, "by rows");
    let codes: Vec<&str> = by_rows.notes.iter().map(|note| note.code).collect();
    assert_eq!(codes, ["calibration-transposed"]);
    let note = &by_rows.notes[0];
    assert_eq!(note.level, Level::Warn);
    assert!(
        note.text.contains("check that it lies under the feet"),
        "{}",
        note.text
    );
}
