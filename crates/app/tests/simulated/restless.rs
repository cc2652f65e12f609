//! What recordings without quiet stance give all the same, and what is said of why they have none; events in an order
//! that no swing has.

use crate::quality::{analysed, bay, good, heard};
use footing_app::analyse;
use footing_app::analysis::{Analysis, FootSeries, Handed, Reference, Settings};
use footing_app::formats::rig;
use footing_app::view::{bench, sentence};
use footing_core::recording::EventKind;
use footing_simulate::{Events, Swing};

const SAMPLES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../samples/");

fn settings(about: Reference, given: &[(EventKind, f64)]) -> Settings {
    Settings {
        handed: Handed::Left,
        about,
        given: given.to_vec(),
        ..Settings::default()
    }
}

/// A sample table from `from_s` on.
fn sample(name: &str, rig_name: &str, from_s: f64, settings: &Settings) -> Analysis {
    let text = std::fs::read_to_string(format!("{SAMPLES}{name}")).unwrap();
    let mut lines = text.lines();
    let head = lines.next().unwrap();
    let late = |line: &&str| {
        let time = line.split(',').next().unwrap();
        time.parse::<f64>().unwrap() >= from_s
    };
    let rows: Vec<&str> = std::iter::once(head).chain(lines.filter(late)).collect();
    let rig = std::fs::read(format!("{SAMPLES}{rig_name}")).unwrap();
    let rig = rig::parse(rig_name, &rig).unwrap();
    analyse(name, rows.join("\n").as_bytes(), Some(&rig), settings).unwrap()
}

fn swing(from_s: f64, settings: &Settings) -> Analysis {
    let name = "harbour-range-before-1.csv";
    sample(name, "harbour-range.rig.json", from_s, settings)
}

fn why(analysis: &Analysis, id: &str) -> String {
    let measure = analysis.measures.iter().find(|m| m.id == id).unwrap();
    measure.value.clone().expect_err(id)
}

fn value(analysis: &Analysis, id: &str) -> f64 {
    let measure = analysis.measures.iter().find(|m| m.id == id).unwrap();
    measure.value.clone().expect(id)
}

const NO_CENTRE: &str = "there is no quiet stance to find the stance centre in";

#[test]
fn a_recording_that_begins_in_the_swing_says_so_and_keeps_what_it_has() {
    let cut = swing(1.0, &settings(Reference::StanceCentre, &[]));
    let whole = swing(0.0, &settings(Reference::StanceCentre, &[]));
    for id in [
        "torque_min_nm",
        "torque_at_top_nm",
        "torque_max_nm_per_kg",
        "impulse_net_nms",
        "impulse_net_lead_shear_nms",
        "impulse_net_trail_free_moment_nms",
    ] {
        assert_eq!(why(&cut, id), NO_CENTRE, "{id}");
    }
    let headline = sentence::of_recording(&cut);
    assert_eq!(
        headline.split("; ").last().unwrap(),
        format!("torque is not known: {NO_CENTRE}")
    );
    // Impact is in the file.
    assert!(
        headline.contains("place takeaway and top at the cursor"),
        "{headline}"
    );
    let view = bench::of_recording(&cut);
    assert_eq!(
        view.charts[0].absent.as_deref(),
        Some(&*format!("no torque: {NO_CENTRE}"))
    );
    for chart in &view.charts[1..] {
        assert_eq!(chart.absent, None, "{}", chart.id);
    }
    assert!(
        !view.plan.sentence.contains("no centre of pressure"),
        "{}",
        view.plan.sentence
    );
    let (_, note) = heard(&cut, "no-quiet-stance").unwrap();
    assert!(note.contains("never stands still"), "{note}");
    assert!(
        note.contains("Body weight is not known: a foot counts as loaded from 30 N on"),
        "{note}"
    );
    // Angle and shape of the way are those of the whole recording, but for the ends of the filter.
    let skipped = whole.series.t_s.len() - cut.series.t_s.len();
    let lead = |a: &Analysis, i: usize| a.series.lead.as_ref().unwrap().cop_t_m[i];
    let mut seen = 0;
    for i in (50..cut.series.t_s.len() - 50).step_by(25) {
        let (Some(now), Some(then)) = (
            cut.series.cop_angle_deg[i],
            whole.series.cop_angle_deg[i + skipped],
        ) else {
            continue;
        };
        assert!((now - then).abs() < 1e-3, "{now} {then}");
        let moved =
            |a: &Analysis, i: usize, from: usize| lead(a, i).unwrap() - lead(a, from).unwrap();
        let apart = moved(&cut, i, 50) - moved(&whole, i + skipped, 50 + skipped);
        assert!(apart.abs() < 1e-5, "{apart}");
        seen += 1;
    }
    assert!(seen > 10, "{seen}");
}

#[test]
fn torque_about_the_combined_cop_needs_no_quiet_stance() {
    let given = [(EventKind::Takeaway, 1.1), (EventKind::Top, 1.6)];
    let read = |from_s| swing(from_s, &settings(Reference::CombinedCop, &given));
    let (cut, whole) = (read(1.0), read(0.0));
    assert!(heard(&cut, "no-quiet-stance").is_some());
    assert!(heard(&cut, "descriptive-reference").is_some());
    assert_eq!(heard(&whole, "no-quiet-stance"), None);
    for id in [
        "torque_min_nm",
        "torque_at_top_nm",
        "impulse_net_nms",
        "cop_angle_at_top_deg",
        "lead_share_at_top",
    ] {
        let (now, then) = (value(&cut, id), value(&whole, id));
        assert!(
            (now - then).abs() < 0.02 * then.abs().max(1.0),
            "{id}: {now} {then}"
        );
    }
    assert!(sentence::of_recording(&cut).starts_with("The ground starts turning"));
    // Typed, body weight sets the threshold and is not told as missing.
    let typed = Settings {
        mass_kg: Some(74.0),
        ..settings(Reference::CombinedCop, &given)
    };
    let typed = swing(1.0, &typed);
    let (_, note) = heard(&typed, "no-quiet-stance").unwrap();
    assert!(
        !note.contains("mass") && !note.contains("Body weight"),
        "{note}"
    );
    assert!(
        (value(&typed, "torque_min_nm_per_kg") * 74.0 - value(&cut, "torque_min_nm")).abs() < 1e-6
    );
    let com = swing(1.0, &settings(Reference::Com, &given));
    assert_eq!(
        why(&com, "torque_min_nm"),
        "there is no quiet stance to find the centre of mass in"
    );
}

#[test]
fn events_set_before_anybody_can_have_stood_still_are_named() {
    for (kind, t_s, words) in [
        (
            EventKind::Takeaway,
            0.112,
            "Only 0.11 s of the recording lie before takeaway (0.112 s)",
        ),
        (
            EventKind::Address,
            0.0,
            "Only 0.00 s of the recording lie before address (0.000 s)",
        ),
    ] {
        let early = swing(0.0, &settings(Reference::StanceCentre, &[(kind, t_s)]));
        let (_, note) = heard(&early, "no-quiet-stance").unwrap();
        assert!(note.starts_with(words), "{note}");
        assert_eq!(why(&early, "torque_min_nm"), NO_CENTRE);
        assert!(bench::of_recording(&early).charts[3].absent.is_none());
    }
}

/// Where a person says by when the address has ended, the feet's mean place before it is the stance centre, though the
/// player moves there; nobody is weighed.
#[test]
fn the_hand_says_where_the_address_is() {
    let made = Swing::default();
    let events = Events::of(&made).later(bay().swing_start_s());
    let mut restless = good(&made);
    let t_s = restless.t_s.clone();
    for plate in &mut restless.plates {
        for (fz, t) in plate.fz_n.iter_mut().zip(&t_s) {
            *fz += 150.0 * (12.0 * t).sin();
        }
    }
    let read = |given: &[(EventKind, f64)]| {
        let told = Settings {
            given: given.to_vec(),
            ..Settings::default()
        };
        analysed(restless.clone(), &told)
    };
    let end = events.takeaway_s;
    let placed = read(&[
        (EventKind::Takeaway, end),
        (EventKind::Top, events.top_s),
        (EventKind::Impact, events.impact_s),
    ]);
    let (_, note) = heard(&placed, "no-quiet-stance").unwrap();
    let words = "the stance centre is where the feet press on average from";
    assert!(
        note.contains(words) && note.contains("mass, centre of mass"),
        "{note}"
    );
    assert!(why(&placed, "body_mass_kg").contains("no quiet stance"));
    assert!(value(&placed, "torque_min_nm").is_finite());
    assert!(placed.stance_centre_known);
    // Places are from the midpoint of both feet's means over the half second before.
    let stretch = |foot: &Option<FootSeries>| {
        let cop = placed
            .series
            .t_s
            .iter()
            .zip(&foot.as_ref().unwrap().cop_t_m);
        let within: Vec<f64> = cop
            .filter(|(t, _)| (end - 0.499..=end).contains(*t))
            .filter_map(|(_, cop)| *cop)
            .collect();
        within.iter().sum::<f64>() / within.len() as f64
    };
    let middle = stretch(&placed.series.lead) + stretch(&placed.series.trail);
    assert!(middle.abs() < 1e-3, "{middle}");
    // Without anybody's word there is none.
    let untold = read(&[]);
    assert_eq!(why(&untold, "torque_min_nm"), NO_CENTRE);
    assert!(!untold.stance_centre_known);
}

#[test]
fn what_plates_lack_is_said_before_what_could_be_placed() {
    let name = "vertical-only.csv";
    let vertical = sample(name, "vertical-only.rig.json", 0.0, &Settings::default());
    for id in ["torque_at_top_nm", "torque_at_top_nm_per_kg"] {
        assert!(why(&vertical, id).contains("no horizontal forces"), "{id}");
    }
    let rested = sample(name, "vertical-only.rig.json", 1.2, &Settings::default());
    assert!(heard(&rested, "no-quiet-stance").is_some());
    assert!(sentence::of_recording(&rested).ends_with("these plates do not measure torque"));
    let view = bench::of_recording(&rested);
    assert!(
        view.charts[0]
            .absent
            .as_ref()
            .unwrap()
            .contains("horizontal forces")
    );
}

#[test]
fn events_in_an_order_that_no_swing_has_are_told() {
    use EventKind::{Address, ArmLevel, Finish, Impact, Takeaway, Top, Transition};
    let made = Swing::default();
    let events = Events::of(&made).later(bay().swing_start_s());
    let order = |given: &[(EventKind, f64)]| -> Vec<(&'static str, String)> {
        let told = Settings {
            given: given.to_vec(),
            ..Settings::default()
        };
        let notes = analysed(good(&made), &told).notes;
        let notes = notes
            .into_iter()
            .filter(|n| n.code == "events-out-of-order");
        notes.map(|n| (n.level, n.text)).collect()
    };
    let right = [
        (Address, events.takeaway_s),
        (Takeaway, events.takeaway_s),
        (ArmLevel, events.arm_level_s),
        (Top, events.top_s),
        (Transition, events.top_s),
        (Impact, events.impact_s),
        (Finish, events.impact_s + 0.5),
    ];
    assert_eq!(order(&[]), []);
    assert_eq!(order(&right), []);
    for (kind, t_s, level, words) in [
        (Address, events.takeaway_s + 0.1, "warn", "address"),
        (ArmLevel, events.takeaway_s - 0.1, "stop", "takeaway"),
        (ArmLevel, events.top_s, "stop", "lead arm level"),
        (Top, events.impact_s + 0.1, "stop", "top"),
        (Transition, events.takeaway_s - 0.1, "warn", "takeaway"),
        (Transition, events.impact_s + 0.1, "warn", "transition"),
        (Finish, events.impact_s - 0.1, "warn", "impact"),
    ] {
        let wrong = right.map(|(k, t)| (k, if k == kind { t_s } else { t }));
        let told = order(&wrong);
        assert_eq!(told.len(), 1, "{kind:?}: {told:?}");
        assert_eq!(told[0].0, level, "{told:?}");
        assert!(told[0].1.starts_with(&format!("{words} (")), "{told:?}");
        assert!(told[0].1.contains("set one of them by hand"), "{told:?}");
    }
    // One that is not known leaves its neighbours in order.
    let told = order(&[(Address, events.top_s), (Finish, 0.0)]);
    assert!(
        told.iter()
            .any(|(_, text)| text.contains("before finish (0.000 s)")),
        "{told:?}"
    );
}
