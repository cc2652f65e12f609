//! Promises of the wiring that the corpus does not show: layouts recognised again, evidence in
//! words, storage files read without a rig, what absolute centres settle.

mod wiring_support;

use footing_core::frame::Handed;
use footing_formats::wiring::{Proposal, channels, fingerprint, fits, propose, propose_for};
use footing_formats::{Level, read, rig, storage};
use wiring_support::{Sheet, all};

fn sheet(name: &str) -> Sheet {
    let found = all().into_iter().find(|sheet| sheet.name == name);
    found.unwrap_or_else(|| panic!("no table named {name}"))
}

fn proposal(sheet: &Sheet) -> Proposal {
    propose_for(&sheet.name, &sheet.bytes(), sheet.handed)
        .unwrap_or_else(|problem| panic!("{problem}"))
}

#[test]
fn two_exports_of_one_bay_in_another_order_share_rig_and_fingerprint() {
    let (one, other) = (sheet("names Fx1"), sheet("order shuffled"));
    let print = |sheet: &Sheet| fingerprint(&sheet.name, &sheet.bytes()).expect("a table");
    assert_eq!(print(&one), print(&other));
    let rig = proposal(&one).rig;
    assert!(fits("b", &other.bytes(), &rig));
    let a = read("a", &one.bytes(), Some(&rig)).expect("the first");
    let b = read("b", &other.bytes(), Some(&rig)).expect("the second");
    assert_eq!(a.recording, b.recording);
    // Another delimiter and decimal mark are no other layout; another unit or name is.
    assert_eq!(
        print(&one),
        print(&sheet("form semicolons, decimal commas"))
    );
    for different in [
        "names 1Fx",
        "units in a row, N mm",
        "extra trigger",
        "names none",
    ] {
        assert_ne!(print(&one), print(&sheet(different)), "{different}");
    }
    assert!(!fits("c", &sheet("names 1Fx").bytes(), &rig));
    // Where names repeat, columns are wired by number and their order counts.
    let repeated = sheet("names repeated plate by plate");
    let mut turned = repeated.clone();
    turned.columns.swap(1, 2);
    assert_ne!(print(&repeated), print(&turned));
}

#[test]
fn a_proposed_rig_survives_its_file() {
    for sheet in all() {
        let Ok(proposal) = propose_for(&sheet.name, &sheet.bytes(), sheet.handed) else {
            continue;
        };
        let text = proposal.rig.to_json();
        let again = rig::parse("x.rig.json", text.as_bytes())
            .unwrap_or_else(|problem| panic!("{}: {problem}", sheet.name));
        assert_eq!(again, proposal.rig, "{}", sheet.name);
    }
}

#[test]
fn every_choice_has_a_reason_and_a_confidence() {
    for sheet in all() {
        let Ok(proposal) = propose_for(&sheet.name, &sheet.bytes(), sheet.handed) else {
            continue;
        };
        assert!(proposal.choices.len() >= 4, "{}", sheet.name);
        for choice in &proposal.choices {
            assert!((0.0..=1.0).contains(&choice.confidence), "{choice:?}");
            assert!(
                !choice.evidence.is_empty() && !choice.value.is_empty(),
                "{choice:?}"
            );
        }
        for reach in &proposal.reach {
            let asked = |id: &&str| proposal.questions.iter().any(|q| q.id == *id);
            assert!(reach.waits_for.iter().all(asked), "{reach:?}");
        }
        if proposal.certain {
            assert!(
                proposal
                    .reach
                    .iter()
                    .all(|reach| reach.waits_for.is_empty())
            );
        }
    }
}

#[test]
fn what_does_not_rest_on_the_bay_does_not_wait_for_it() {
    let proposal = propose("x", &sheet("names Lead Fx").bytes()).expect("a proposal");
    let waits = |what: &str| {
        let found = proposal
            .reach
            .iter()
            .find(|reach| reach.what.contains(what));
        found.unwrap_or_else(|| panic!("{what}")).waits_for.clone()
    };
    assert!(waits("total vertical force").is_empty());
    assert!(waits("each foot's vertical force").is_empty());
    assert_eq!(waits("free moment"), ["moment-point"]);
    assert_eq!(
        waits("vertical torque"),
        ["place", "moment-point", "target"]
    );
}

#[test]
fn columns_are_shown_for_a_live_view() {
    let sheet = sheet("units in round brackets");
    let seen = channels(&sheet.name, &sheet.bytes()).expect("a table");
    assert_eq!(seen.columns.len(), 13);
    assert_eq!(seen.rows, sheet.truth.t_s.len());
    assert_eq!(seen.columns[3].header, "Fz1 (N)");
    assert_eq!(seen.columns[3].unit, Some("N"));
    assert!(seen.columns[3].preview.len() <= 256 && seen.columns[3].missing == 0);
    let (least, most) = seen.columns[3].span.expect("numbers");
    assert!(least > -10.0 && most > 400.0, "{least} {most}");
    assert_eq!(seen.preview_rows.len(), seen.columns[0].preview.len());
}

#[test]
fn a_missing_number_is_a_gap_in_the_view_and_a_refusal_when_read() {
    let text = String::from_utf8(sheet("names Fx1").bytes()).expect("text");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut cells: Vec<&str> = lines[101].split(',').collect();
    cells[3] = "NaN";
    lines[101] = cells.join(",");
    let bytes = lines.join("\n").into_bytes();
    let seen = channels("x.csv", &bytes).expect("a table");
    assert_eq!(seen.columns[3].missing, 1);
    let proposal = propose("x.csv", &bytes).expect("a proposal");
    let problem = read("x.csv", &bytes, Some(&proposal.rig)).expect_err("a gap");
    assert_eq!((problem.line, problem.column), (Some(102), Some(4)));
}

/// A storage file goes the way of every table: read at once where its words leave nothing open,
/// refused with what is open otherwise. What is read is held against the truth in `wiring_corpus`.
#[test]
fn storage_files_are_read_alone_where_their_words_leave_nothing_open() {
    let storages: Vec<Sheet> = all()
        .into_iter()
        .filter(|sheet| sheet.name.starts_with("storage"))
        .collect();
    assert!(storages.len() >= 12);
    let mut read_alone = 0;
    for sheet in storages {
        let bytes = sheet.bytes();
        assert!(storage::looks_like(&bytes), "{}", sheet.name);
        let found = read("swing.mot", &bytes, None);
        let named = sheet.name.contains("lead and trail");
        assert_eq!(found.is_ok(), named, "{}: {found:?}", sheet.name);
        match found {
            Ok(loaded) => {
                read_alone += 1;
                let notes: Vec<&str> = loaded.notes.iter().map(|note| note.code).collect();
                assert_eq!(loaded.format, "OpenSim storage, tab, decimal point");
                assert!(notes.contains(&"rows-differ"), "{}: {notes:?}", sheet.name);
            }
            Err(problem) => {
                assert!(problem.wants_wiring, "{problem}");
                assert!(
                    problem.what.contains("says nothing about this:"),
                    "{problem}"
                );
                let asked = [
                    "Which plate carries the lead foot?",
                    "Does the player swing",
                    "Are the points",
                ];
                assert!(asked.iter().any(|q| problem.what.contains(q)), "{problem}");
                assert!(problem.hint.contains("--rig"), "{problem}");
            }
        }
        // With a rig it is the same file, and what its header says of itself is told too.
        let rig = proposal(&sheet).rig;
        let loaded = read("swing.mot", &bytes, Some(&rig)).unwrap_or_else(|p| panic!("{p}"));
        assert!(loaded.notes.iter().any(|note| note.code == "rows-differ"));
        let warned = loaded
            .notes
            .iter()
            .any(|note| note.code == "free-moment-absent" && note.level == Level::Warn);
        assert_eq!(warned, sheet.name.contains("no torques"), "{}", sheet.name);
    }
    assert!(read_alone >= 2);
}

/// The hand tells whose foot leads, and the feet where the target is, also against the file's axes.
#[test]
fn a_left_handers_storage_file_has_its_target_behind() {
    for (hand, azimuth) in [(Handed::Left, 180.0), (Handed::Right, 0.0)] {
        let sheet = sheet("storage, left-handed, target behind, hand unknown");
        let found = propose_for("swing.mot", &sheet.bytes(), Some(hand)).expect("a proposal");
        assert!(found.certain, "{:?}", found.questions);
        assert_eq!(found.rig.target_azimuth_deg.map(f64::abs), Some(azimuth));
    }
}

#[test]
fn units_that_are_not_read_are_named_in_the_question() {
    for (name, id, unit) in [
        ("units in round brackets, body weights", "force-unit", "BW"),
        ("units in a row, body weights", "force-unit", "BW"),
        (
            "units in brackets, newtons a kilogram",
            "force-unit",
            "N/kg",
        ),
        (
            "units in brackets, of nobody's knowledge",
            "moment-unit",
            "dag cm",
        ),
        (
            "units in a row, one of nobody's knowledge",
            "moment-unit",
            "zz",
        ),
        (
            "units in brackets, centres in picture elements",
            "length-unit",
            "pixels",
        ),
        ("time in minutes, said", "time-unit", "min"),
    ] {
        let proposal = proposal(&sheet(name));
        let found = proposal.questions.iter().find(|question| question.id == id);
        let text = &found
            .unwrap_or_else(|| panic!("{name}: {:?}", proposal.questions))
            .text;
        assert!(
            text.contains(&format!("{unit}, which is not read")),
            "{name}: {text}"
        );
    }
    for (name, moment) in [
        ("units in brackets, Ncm in one word", "N.cm"),
        ("units in round brackets, kN and kNm", "kN.m"),
        ("units behind a stroke, pounds and pound-inches", "lbf.in"),
    ] {
        assert_eq!(
            proposal(&sheet(name)).rig.units.moment.name(),
            moment,
            "{name}"
        );
    }
}

#[test]
fn storage_files_hold_no_missing_numbers_and_need_reactions() {
    let text = String::from_utf8(sheet("storage, groups 0 and 1").bytes()).expect("text");
    let (head, first) = text.split_once("\n0.0000\t").expect("a first row");
    let (_, rest) = first.split_once('\t').expect("a force");
    let broken = format!("{head}\n0.0000\tNaN\t{rest}");
    let rig = proposal(&sheet("storage, groups 0 and 1")).rig;
    let problem = read("a.mot", broken.as_bytes(), Some(&rig)).expect_err("a missing number");
    assert!(
        problem.line.is_some() && problem.what.contains("missing"),
        "{problem}"
    );
    let angles = "angles\nversion=1\nnRows=3\nnColumns=2\ninDegrees=yes\nendheader\n\
                  time\tknee_angle_r\n0.0\t1.0\n0.1\t2.0\n0.2\t3.0\n";
    let problem = read("a.mot", angles.as_bytes(), None).expect_err("no reactions");
    assert!(problem.what.contains("make up no force plate"), "{problem}");
}

#[test]
fn even_times_written_with_few_decimals_have_their_true_rate() {
    let rows: String = (0..1200)
        .map(|i| {
            let t = f64::from(i) / 600.0;
            format!("{t:.4}\t1\t400\t2\t0.3\t0\t0.1\t0\t3\t0\n")
        })
        .collect();
    let text = format!(
        "grf\nversion=1\nnRows=1200\nnColumns=10\nendheader\n\
         time\tground_force_vx\tground_force_vy\tground_force_vz\tground_force_px\t\
         ground_force_py\tground_force_pz\tground_torque_x\tground_torque_y\tground_torque_z\n{rows}"
    );
    let rig = propose("grf.mot", text.as_bytes()).expect("a proposal").rig;
    let loaded = read("grf.mot", text.as_bytes(), Some(&rig)).unwrap_or_else(|p| panic!("{p}"));
    assert!(
        (loaded.recording.rate_hz - 600.0).abs() < 0.5,
        "{}",
        loaded.recording.rate_hz
    );
    assert!(
        loaded.notes.iter().all(|note| note.code != "uneven-times"),
        "{:?}",
        loaded.notes
    );
}

/// Where both plates' centres of pressure are counted from one origin the places are known, but not
/// which way the axes point: turned over as a whole, or only in its shear, such a table looks alike.
#[test]
fn absolute_centres_settle_the_places_and_leave_the_axes_open() {
    for name in [
        "absolute centres, lead and trail",
        "absolute centres, force on the plate",
        "absolute centres, shear on the plate, vertical turned",
        "moments and absolute centres, lead and trail",
    ] {
        let proposal = proposal(&sheet(name));
        let ids: Vec<&str> = proposal
            .questions
            .iter()
            .map(|question| question.id)
            .collect();
        assert_eq!(ids, ["axes"], "{name}");
        assert_eq!(proposal.rig.target_azimuth_deg, Some(0.0), "{name}");
    }
    // Moments beside centres of pressure give the depth of the sensors and the plates' centres too.
    let found = proposal(&sheet("moments and absolute centres, lead and trail"));
    for (plate, truth) in found.rig.plates.iter().zip([0.27, -0.27]) {
        let placement = plate.placement.as_ref().expect("a place");
        assert!(
            (placement.centre_m.x - truth).abs() < 0.002,
            "{placement:?}"
        );
        assert!(
            (placement.moment_point_m.z + 0.04).abs() < 0.004,
            "{placement:?}"
        );
    }
}

#[test]
fn a_table_without_free_moments_is_read_with_a_warning() {
    let sheet = sheet("centre without free moment");
    let rig = proposal(&sheet).rig;
    assert!(!rig.to_json().contains("\"tz\""));
    let loaded = read(&sheet.name, &sheet.bytes(), Some(&rig)).unwrap_or_else(|p| panic!("{p}"));
    let warned = |note: &footing_formats::Note| {
        note.code == "free-moment-absent" && note.level == Level::Warn
    };
    assert!(loaded.notes.iter().any(warned), "{:?}", loaded.notes);
    for (plate, truth) in loaded.recording.plates.iter().zip(&sheet.truth.plates) {
        let near = plate
            .fz_n
            .iter()
            .zip(&truth.fz_n)
            .all(|(a, b)| (a - b).abs() < 0.01);
        assert!(near, "{}", plate.label);
    }
}

#[test]
fn only_what_other_wiring_may_cure_asks_for_it() {
    let (one, other) = (sheet("names Fx1"), sheet("names 1Fx"));
    let rig = proposal(&one).rig;
    let wants = |name: &str, bytes: &[u8], rig: Option<&rig::Rig>| {
        let refused = read(name, bytes, rig).expect_err("a refusal");
        refused.wants_wiring
    };
    assert!(wants("a.csv", &one.bytes(), None));
    assert!(wants("a.csv", &other.bytes(), Some(&rig)));
    let text = String::from_utf8(one.bytes()).expect("text");
    let cut = text.trim_end().rfind(',').expect("a cell");
    let bad = format!("{},no number\n", text.get(..cut).expect("text"));
    assert!(!wants("rig.csv", bad.as_bytes(), Some(&rig)));
    assert!(!wants("rig.csv", b"", None));
}

#[test]
fn tables_that_make_up_no_plate_are_refused_in_one_sentence() {
    for (text, what) in [
        (
            "Time,Angle,Speed\n0,1,2\n1,2,3\n2,3,4\n",
            "make up no force plate",
        ),
        (
            "Time,Fz1,Fz2\n0,400,390\n0.01,401,391\n0.02,402,392\n",
            "neither moments nor",
        ),
    ] {
        let problem = propose("x.csv", text.as_bytes()).expect_err("no plate");
        assert!(problem.what.contains(what), "{problem}");
        assert!(!problem.to_string().contains('\n'));
    }
}
