//! What the tests that span rooms share: analysing a simulated swing and judging it by its truth.

use footing_app::analyse_loaded;
use footing_app::analysis::{Analysis, Reference, Settings};
use footing_app::formats::Loaded;
use footing_core::recording::{EventKind, Recording};
use footing_simulate::{About, Bay, Events, Swing, Truth, record, truth};

/// Where the target lies and how the plates are turned, degrees.
pub const BAYS: [(f64, f64); 5] = [
    (0.0, 0.0),
    (37.0, 90.0),
    (90.0, 180.0),
    (200.0, -90.0),
    (-71.0, 24.0),
];

/// A reader's result around a recording that was never a file.
pub fn loaded(recording: Recording) -> Loaded {
    Loaded {
        format: "simulated".into(),
        recording,
        notes: Vec::new(),
    }
}

/// The simulator's name for a reference point.
pub fn about(reference: Reference) -> About {
    match reference {
        Reference::StanceCentre => About::StanceCentre,
        Reference::Com => About::Com,
        Reference::CombinedCop => About::CombinedCop,
    }
}

/// The true events as a person would give them.
pub fn given(events: &Events) -> Vec<(EventKind, f64)> {
    vec![
        (EventKind::Takeaway, events.takeaway_s),
        (EventKind::ArmLevel, events.arm_level_s),
        (EventKind::Top, events.top_s),
        (EventKind::Impact, events.impact_s),
    ]
}

/// Analyses a swing recorded in a bay, events given, and returns it with its truth.
pub fn measured(swing: &Swing, bay: &Bay, seed: u64, settings: &Settings) -> (Analysis, Truth) {
    let events = Events::of(swing).later(bay.swing_start_s());
    let settings = Settings {
        handed: swing.handed,
        target_azimuth_deg: Some(bay.target_azimuth_deg),
        given: given(&events),
        ..settings.clone()
    };
    let analysis = analyse_loaded("simulated", &loaded(record(swing, bay, seed)), &settings)
        .expect("a simulated swing can be read");
    (analysis, truth(swing, about(settings.about)))
}

/// How far a measure may be from its truth: half a per cent, or a floor by unit, whichever is
/// larger. The floors for torque, impulse, angle and time are the project's promise; those for
/// force, length and shares are ours.
pub fn tolerance(id: &str, truth: f64) -> f64 {
    let floor: f64 = if id.ends_with("_nm_per_kg") {
        0.3 / 70.0
    } else if id.ends_with("_nms_per_kg") {
        0.05 / 70.0
    } else if id.ends_with("_nm") {
        0.3
    } else if id.ends_with("_nms") {
        0.05
    } else if id.ends_with("_deg") {
        0.1
    } else if id.ends_with("_s") {
        0.002
    } else if id.ends_with("_n") {
        1.0
    } else if id.ends_with("_mm") {
        0.3
    } else {
        0.002
    };
    floor.max(0.005 * truth.abs())
}

/// A low-pass of 50 Hz shows a movement up to 3 ms before it begins, with the opposite sign: so much
/// of the time below zero is the filter's, which no tolerance of 2 ms can hide. Nothing without it.
fn low_pass_s(analysis: &Analysis, id: &str) -> f64 {
    let filtered = analysis.low_pass_hz.is_some();
    if filtered && id == "torque_negative_duration_s" {
        0.003
    } else {
        0.0
    }
}

/// Compares every measure of a noise-free swing with the truth. Returns what is wrong.
pub fn differences(analysis: &Analysis, truth: &Truth) -> Vec<String> {
    let mut wrong = Vec::new();
    for measure in &analysis.measures {
        // At address nothing has moved yet, so its angle is that at takeaway.
        let known = match measure.id {
            "cop_angle_at_address_deg" => "cop_angle_at_takeaway_deg",
            id => id,
        };
        match (&measure.value, truth.get(known)) {
            (Ok(got), Some(expected)) => {
                let allowed = tolerance(measure.id, expected).max(low_pass_s(analysis, measure.id));
                if (got - expected).abs() > allowed {
                    wrong.push(format!(
                        "{}: expected {expected:.4} ± {allowed:.4}, got {got:.4}",
                        measure.id
                    ));
                }
            }
            (Err(_), None) => {}
            (Ok(got), None) => wrong.push(format!("{}: expected none, got {got}", measure.id)),
            (Err(why), Some(expected)) => {
                wrong.push(format!(
                    "{}: expected {expected}, absent: {why}",
                    measure.id
                ));
            }
        }
    }
    for id in truth.measures.keys() {
        if !analysis.measures.iter().any(|m| m.id == id) {
            wrong.push(format!("{id}: in the truth, not measured"));
        }
    }
    wrong
}
