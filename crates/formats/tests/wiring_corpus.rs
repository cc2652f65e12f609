//! What is proposed for tables without a rig, against the truth of simulated swings.
//!
//! Every table of `wiring_support` is judged and the outcomes kept in the repository's
//! `tests/wiring/TABLE.md`, which this test checks (`FOOTING_REWRITE=1` writes it anew).

mod wiring_support;

use footing_core::frame::Handed;
use footing_core::recording::{EventKind, PlateKind};
use footing_core::stance::{Stance, stance};
use footing_formats::rig::{Edge, Rig, RigPlate, TimeSource, Wiring};
use footing_formats::wiring::{Proposal, Topic, channels, propose_for};
use footing_formats::{Loaded, read, storage};
use std::fmt::Write;
use std::path::PathBuf;
use wiring_support::{RATE, Sheet, all};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Outcome {
    AtOnce,
    AsksOfTheBay,
    AsksHowToRead,
    Refused,
    WrongSilently,
}

impl Outcome {
    fn words(self) -> &'static str {
        match self {
            Self::AtOnce => "right, measured at once",
            Self::AsksOfTheBay => "right, asks about the bay",
            Self::AsksHowToRead => "asks how to read it",
            Self::Refused => "refused with its reason",
            Self::WrongSilently => "WRONG SILENTLY",
        }
    }
}

/// What is wrong, each with the questions that own up to it.
fn faults(sheet: &Sheet, proposal: &Proposal) -> Vec<(&'static str, &'static [&'static str])> {
    let bytes = sheet.bytes();
    let seen = channels(&sheet.name, &bytes).expect("a table");
    let column = |reference: &footing_formats::rig::ColumnRef| {
        let text = reference.to_string();
        seen.columns
            .iter()
            .position(|column| column.reference == text)
    };
    let mut faults: Vec<(&'static str, &'static [&'static str])> = Vec::new();
    let mut fault = |bad: bool, what, owned| {
        if bad {
            faults.push((what, owned));
        }
    };
    let rig = &proposal.rig;
    let used: Vec<usize> = (0..sheet.bay.plates.len())
        .filter(|plate| !sheet.idle.contains(plate))
        .collect();
    let mut truth: Vec<(PlateKind, Vec<usize>)> = used
        .iter()
        .map(|plate| (sheet.bay.plates[*plate].kind, sheet.columns_of(*plate)))
        .collect();
    let mut found: Vec<(PlateKind, Vec<usize>)> = rig
        .plates
        .iter()
        .map(|plate| {
            let columns = plate.wiring.columns().iter().filter_map(column).collect();
            (plate.wiring.kind().expect("a table's plate"), columns)
        })
        .collect();
    truth.sort_by_key(|(_, columns)| columns.first().copied());
    found.sort_by_key(|(_, columns)| columns.first().copied());
    fault(truth != found, "columns", &["columns"]);
    match (&rig.time, sheet.rate) {
        (Some(TimeSource::RateHz(rate)), Some(truth)) => {
            fault(rate != &truth, "rate", &["rate"]);
        }
        (Some(TimeSource::Column(reference)), None) => {
            let is_time = column(reference).is_some_and(|c| sheet.columns[c].is_time);
            fault(!is_time, "time", &["columns"]);
            let unit = rig.units.time != sheet.units.time;
            fault(unit, "unit of time", &["time-unit"]);
        }
        _ => fault(true, "time", &["rate", "time-unit"]),
    }
    let has = |kinds: &[PlateKind]| truth.iter().any(|(kind, _)| kinds.contains(kind));
    fault(
        rig.units.force != sheet.units.force || sheet.unit_beyond_rigs,
        "unit of force",
        &["force-unit"],
    );
    if has(&[PlateKind::SixComponent, PlateKind::ForceCop]) {
        let lacks = rig
            .plates
            .iter()
            .all(|p| matches!(p.wiring, Wiring::ForceCopOnly(_)));
        let wrong = rig.units.moment != sheet.units.moment && !lacks;
        fault(wrong, "unit of moment", &["moment-unit"]);
    }
    if has(&[PlateKind::ForceCop, PlateKind::VerticalCop]) {
        fault(
            rig.units.length != sheet.units.length,
            "unit of length",
            &["length-unit"],
        );
    }
    faults
}

fn judge(sheet: &Sheet) -> (Outcome, String) {
    let bytes = sheet.bytes();
    if let Some(problem) = alone(sheet) {
        return (Outcome::WrongSilently, problem);
    }
    let proposal = match propose_for(&sheet.name, &bytes, sheet.handed) {
        Ok(proposal) => proposal,
        Err(problem) => return (Outcome::Refused, problem.what),
    };
    let open: Vec<&str> = proposal
        .questions
        .iter()
        .filter(|question| question.matters)
        .map(|question| question.id)
        .collect();
    let asks = open.join(", ");
    let reading = proposal
        .questions
        .iter()
        .any(|question| question.matters && question.topic == Topic::Reading);
    let faults = faults(sheet, &proposal);
    if let Some((what, _)) = faults
        .iter()
        .find(|(_, owned)| !owned.iter().any(|id| open.contains(id)))
    {
        return (Outcome::WrongSilently, format!("{what}; asks {asks}"));
    }
    if let Some(problem) = misread(sheet, &proposal, reading, faults.is_empty()) {
        return (Outcome::WrongSilently, format!("{problem}; asks {asks}"));
    }
    assert_eq!(proposal.certain, open.is_empty(), "{}", sheet.name);
    let outcome = match (reading, open.is_empty()) {
        (true, _) => Outcome::AsksHowToRead,
        (false, true) => Outcome::AtOnce,
        (false, false) => Outcome::AsksOfTheBay,
    };
    (outcome, asks)
}

/// Reads the table through the proposed rig: the player's weight must be right, and with the
/// questions about the bay answered as the bay is, every series of the stance.
fn misread(sheet: &Sheet, proposal: &Proposal, reading: bool, sound: bool) -> Option<String> {
    let handed = sheet.swing.handed;
    let mut truth = sheet.truth.clone();
    let mut index = 0..;
    truth
        .plates
        .retain(|_| index.next().is_some_and(|i| !sheet.idle.contains(&i)));
    let truth = stance(&truth, sheet.bay.target_azimuth_deg.to_radians(), handed)
        .expect("the truth stands")
        .stance;
    let through = |rig: &Rig| -> Result<(Loaded, Stance), String> {
        let loaded = read(&sheet.name, &sheet.bytes(), Some(rig))
            .map_err(|problem| format!("the rig does not read it: {problem}"))?;
        let azimuth = loaded.recording.target_azimuth_rad.unwrap_or(0.0);
        let standing = stance(&loaded.recording, azimuth, handed).map_err(|why| why.to_string())?;
        Ok((loaded, standing.stance))
    };
    let (loaded, found) = match through(&proposal.rig) {
        Ok(found) => found,
        Err(problem) => return Some(problem),
    };
    if sound && !near(&found.total_fz_n(), &truth.total_fz_n(), 0.5) {
        return Some("the total vertical force differs".to_owned());
    }
    if let Some(problem) = unmarked(sheet, proposal, &loaded) {
        return Some(problem);
    }
    if reading || sheet.beyond_rigs {
        return None;
    }
    let rig = answered(sheet, proposal);
    match through(&rig) {
        Ok((_, found)) => differs(&found, &truth, &rig),
        Err(problem) => Some(problem),
    }
}

fn near(a: &[f64], b: &[f64], off: f64) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() <= off)
}

/// What a person who knows the bay and the player makes of a proposal: every open question about
/// them answered, and nothing else touched.
fn answered(sheet: &Sheet, proposal: &Proposal) -> Rig {
    let open = |id: &str| proposal.questions.iter().any(|question| question.id == id);
    let bytes = sheet.bytes();
    let mut rig = proposal.rig.clone();
    if open("handed") {
        let known = propose_for(&sheet.name, &bytes, Some(sheet.swing.handed));
        rig = known.expect("a proposal").rig;
    }
    let seen = channels(&sheet.name, &bytes).expect("a table");
    for plate in &mut rig.plates {
        let first = plate.wiring.columns()[0].to_string();
        let column = seen.columns.iter().position(|c| c.reference == first);
        let spec = (0..sheet.bay.plates.len())
            .find(|truth| sheet.columns_of(*truth).first().copied() == column)
            .map(|truth| &sheet.bay.plates[truth])
            .expect("a plate of the bay");
        if open("feet") || open("one-plate") {
            plate.foot = spec.foot;
        }
        let placement = plate.placement.as_mut().expect("a place");
        if open("place") {
            placement.x_azimuth_deg = spec.x_azimuth_deg;
            placement.z_up = spec.z_up;
            placement.centre_m = spec.centre_m;
        }
        if open("moment-point") {
            placement.moment_point_m = spec.moment_point_m;
        }
        if open("sensor-offset")
            && let Wiring::EightChannel {
                sensor_offset_m, ..
            } = &mut plate.wiring
        {
            *sensor_offset_m = [spec.sensor_offset_m.0, spec.sensor_offset_m.1];
        }
    }
    if open("target") || open("feet") {
        rig.target_azimuth_deg = Some(sheet.bay.target_azimuth_deg);
    }
    rig
}

/// What differs between two stances, foot by foot: forces, moments, places.
fn differs(found: &Stance, truth: &Stance, rig: &Rig) -> Option<String> {
    let (feet, true_feet) = (found.loads(), truth.loads());
    if feet.len() != true_feet.len() {
        return Some(format!("{} feet", feet.len()));
    }
    let lacks = |plate: &RigPlate| matches!(plate.wiring, Wiring::ForceCopOnly(_));
    for (foot, truth) in feet.into_iter().zip(true_feet) {
        if !near(&foot.fz_n, &truth.fz_n, 0.5) {
            return Some("a foot's vertical force differs".to_owned());
        }
        match (&foot.shear, &truth.shear) {
            (Some(a), Some(b)) => {
                if !(near(&a.ft_n, &b.ft_n, 0.5) && near(&a.fa_n, &b.fa_n, 0.5)) {
                    return Some("a foot's shear differs".to_owned());
                }
                // Without a free moment a file is read with a warning.
                let (a, b) = (&a.torque_about_origin_nm, &b.torque_about_origin_nm);
                if !rig.plates.iter().any(lacks) && !near(a, b, 0.15) {
                    return Some("a foot's vertical moment differs".to_owned());
                }
            }
            (None, None) => {}
            _ => return Some("the shear is not there, or not to be".to_owned()),
        }
        let apart = (0..truth.fz_n.len()).filter_map(|i| {
            let (a, b) = (foot.cop_m(i, 60.0)?, truth.cop_m(i, 60.0)?);
            Some((a.0 - b.0).hypot(a.1 - b.1))
        });
        let worst = apart.fold(0.0, f64::max);
        if worst > 0.002 {
            return Some(format!("centres of pressure differ by {worst:.4} m"));
        }
    }
    None
}

/// Whether impact is wired where the table marks it, and nowhere else.
fn unmarked(sheet: &Sheet, proposal: &Proposal, loaded: &Loaded) -> Option<String> {
    let marks = &loaded.recording.marks;
    match (sheet.impact, proposal.rig.markers.as_slice()) {
        (None, []) => None,
        (Some((header, sample)), [marker])
            if marker.column.to_string() == header && marker.edge == Edge::Rising =>
        {
            let at = sheet.truth.t_s[sample];
            let right = marks.len() == 1
                && marks[0].event == Some(EventKind::Impact)
                && (marks[0].t_s - at).abs() <= 1.0 / RATE;
            (!right).then(|| format!("impact is at {at} s and read as {marks:?}"))
        }
        (truth, found) => Some(format!("impact is {truth:?} and wired as {found:?}")),
    }
}

/// What the program does with the file alone: a table is refused and wants wiring; a storage file is
/// read by the very rig that is proposed when that leaves nothing open for a player of either hand,
/// and is refused like a table otherwise.
fn alone(sheet: &Sheet) -> Option<String> {
    let bytes = sheet.bytes();
    let found = read(&sheet.name, &bytes, None);
    let proposal = propose_for(&sheet.name, &bytes, None);
    let certain = proposal.as_ref().is_ok_and(|proposal| proposal.certain);
    match (found, proposal) {
        (Ok(loaded), Ok(proposal)) if certain && storage::looks_like(&bytes) => {
            let judged = read(&sheet.name, &bytes, Some(&proposal.rig)).map(|l| l.recording);
            (judged != Ok(loaded.recording)).then(|| "alone it is read otherwise".to_owned())
        }
        (Err(problem), _) if problem.wants_wiring && !certain => None,
        (found, _) => Some(format!("alone it comes to {found:?}")),
    }
}

#[test]
fn what_is_proposed_for_each_table_of_the_corpus() {
    let sheets = all();
    let mut rows = String::new();
    let mut counts = [0_usize; 5];
    for sheet in &sheets {
        let (outcome, asks) = judge(sheet);
        counts[outcome as usize] += 1;
        let asks = asks.replace('|', "/");
        writeln!(rows, "| {} | {} | {asks} |", sheet.name, outcome.words()).expect("a text");
    }
    let total = sheets.len();
    let [at_once, bay, reading, refused, wrong] = counts;
    let right = at_once + bay;
    let table = format!(
        "# What is proposed for tables without a rig\n\n\
         Simulated swings written the way many exports write them; see `wiring_corpus.rs` in \
         `crates/formats/tests`. *Right*: every column is wired to its plate and channel, with unit, \
         clock and sense, nothing about reading the file is left open, and with the questions about \
         the bay answered as the bay is every series of the stance is the simulator's. What no table \
         of plate channels says (where the plates lie, where the target is, which foot leads) is \
         asked, and counted by itself. *Wrong silently*: anything wrong that no open question owns up to.\n\n\
         | outcome | tables |\n| --- | --- |\n\
         | {} | {at_once} |\n| {} | {bay} |\n| {} | {reading} |\n| {} | {refused} |\n| wrong silently | {wrong} |\n\
         | all | {total} |\n\n\
         Right, up to what no file says: {right} of {total}, {} %.\n\n\
         | table | outcome | open questions, or why it is refused |\n| --- | --- | --- |\n{rows}",
        Outcome::AtOnce.words(),
        Outcome::AsksOfTheBay.words(),
        Outcome::AsksHowToRead.words(),
        Outcome::Refused.words(),
        100 * right / total,
    );
    println!("{table}");
    assert_eq!(wrong, 0, "wrong silently:\n{table}");
    assert!(
        total >= 60 && right * 100 >= total * 80,
        "{right} of {total}:\n{table}"
    );
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/wiring/TABLE.md");
    if std::env::var_os("FOOTING_REWRITE").is_some() {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("the folder");
        std::fs::write(&path, &table).expect("the table");
    }
    let kept = std::fs::read_to_string(&path).expect("tests/wiring/TABLE.md");
    assert_eq!(
        kept, table,
        "tests/wiring/TABLE.md is out of date: FOOTING_REWRITE=1 writes it"
    );
}

#[test]
fn a_left_hander_is_led_by_the_right_foot() {
    let sheet = all()
        .into_iter()
        .find(|sheet| sheet.name == "bay: left-handed, hand known")
        .expect("the table");
    assert_eq!(sheet.handed, Some(Handed::Left));
    let proposal = propose_for(&sheet.name, &sheet.bytes(), sheet.handed).expect("a proposal");
    assert_eq!(proposal.rig.plates[0].foot, sheet.role(0));
    assert_eq!(proposal.rig.plates[1].foot, sheet.role(1));
}
