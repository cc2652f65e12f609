//! What is proposed for tables without a rig, against the truth of simulated swings.
//!
//! Every table of `wiring_support` is judged and the outcomes kept in the repository's
//! `tests/wiring/TABLE.md`, which this test checks (`FOOTING_REWRITE=1` writes it anew).

mod wiring_support;

use footing_core::frame::Handed;
use footing_core::recording::PlateKind;
use footing_core::stance::{Feet, Stance, stance};
use footing_formats::read;
use footing_formats::rig::{TimeSource, Wiring};
use footing_formats::wiring::{Proposal, Topic, channels, propose_for};
use std::fmt::Write;
use std::path::PathBuf;
use wiring_support::{Sheet, all};

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
        rig.units.force != sheet.units.force,
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
    let faults = faults(sheet, &proposal);
    if let Some((what, _)) = faults
        .iter()
        .find(|(_, owned)| !owned.iter().any(|id| open.contains(id)))
    {
        return (Outcome::WrongSilently, format!("{what}; asks {asks}"));
    }
    if let Some(problem) = misread(sheet, &proposal, &open, faults.is_empty()) {
        return (Outcome::WrongSilently, format!("{problem}; asks {asks}"));
    }
    let reading = proposal
        .questions
        .iter()
        .any(|question| question.matters && question.topic == Topic::Reading);
    assert_eq!(proposal.certain, open.is_empty(), "{}", sheet.name);
    let outcome = match (reading, open.is_empty()) {
        (true, _) => Outcome::AsksHowToRead,
        (false, true) => Outcome::AtOnce,
        (false, false) => Outcome::AsksOfTheBay,
    };
    (outcome, asks)
}

/// Reads the table through the proposed rig: the player's weight must be right, and with no
/// question about the bay open every series of the stance.
fn misread(sheet: &Sheet, proposal: &Proposal, open: &[&str], sound: bool) -> Option<String> {
    let handed = sheet.swing.handed;
    let truth = stance(&sheet.truth, 0.0, handed)
        .expect("the truth stands")
        .stance;
    let loaded = match read(&sheet.name, &sheet.bytes(), Some(&proposal.rig)) {
        Ok(loaded) => loaded,
        Err(problem) => return Some(format!("the rig does not read it: {problem}")),
    };
    let azimuth = loaded.recording.target_azimuth_rad.unwrap_or(0.0);
    let read = match stance(&loaded.recording, azimuth, handed) {
        Ok(standing) => standing.stance,
        Err(why) => return Some(why),
    };
    let near = |a: &[f64], b: &[f64], off: f64| {
        a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() <= off)
    };
    if sound && sheet.idle.is_empty() && !near(&read.total_fz_n(), &truth.total_fz_n(), 0.5) {
        return Some("the total vertical force differs".to_owned());
    }
    if !open.is_empty() {
        return None;
    }
    let (Some((lead, trail)), Some((true_lead, true_trail))) = (feet(&read), feet(&truth)) else {
        return Some("not two feet".to_owned());
    };
    for (foot, truth) in [(lead, true_lead), (trail, true_trail)] {
        if !near(&foot.fz_n, &truth.fz_n, 0.5) {
            return Some("a foot's vertical force differs".to_owned());
        }
        if let (Some(foot), Some(truth)) = (&foot.shear, &truth.shear)
            && !(near(&foot.ft_n, &truth.ft_n, 0.5) && near(&foot.fa_n, &truth.fa_n, 0.5))
        {
            return Some("a foot's shear differs".to_owned());
        }
    }
    let place = |stance: &Stance, i: usize| {
        let (lead, trail) = feet(stance)?;
        let (a, b) = (lead.cop_m(i, 60.0)?, trail.cop_m(i, 60.0)?);
        Some((a.0 - b.0, a.1 - b.1))
    };
    let apart = (0..truth.t_s.len()).filter_map(|i| {
        let (a, b) = (place(&read, i)?, place(&truth, i)?);
        Some((a.0 - b.0).hypot(a.1 - b.1))
    });
    let worst = apart.fold(0.0, f64::max);
    (worst > 0.002).then(|| format!("centres of pressure differ by {worst:.4} m"))
}

fn feet(
    stance: &Stance,
) -> Option<(
    &footing_core::stance::FootLoad,
    &footing_core::stance::FootLoad,
)> {
    match &stance.feet {
        Feet::Two { lead, trail } => Some((lead, trail)),
        Feet::Both(_) => None,
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
         clock and sense, and nothing about reading the file is left open. What no table of plate \
         channels says (where the plates lie, where the target is, which foot leads) is asked, and \
         counted by itself. *Wrong silently*: anything wrong that no open question owns up to.\n\n\
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
