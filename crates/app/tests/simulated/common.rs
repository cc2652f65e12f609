//! What the tests that span rooms share: analysing a simulated swing and judging it by its truth.

use footing_app::analyse_loaded;
use footing_app::analysis::{Analysis, Reference, Settings};
use footing_app::formats::Loaded;
use footing_core::recording::{EventKind, Recording};
use footing_simulate::{About, Bay, Events, Motion, Swing, Truth, record, truth};

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

/// Two measures are only as sharp as the curve they are read from lets them be, however good the
/// code: where torque lies within `noise_nm` of zero its sign is anybody's guess (time below
/// zero), and where it lies within `noise_nm` of its extreme so is the place of the extreme. This
/// is how long those stretches of the true curve last, in seconds.
fn undecidable_s(id: &str, swing: &Swing, about: About, noise_nm: f64) -> f64 {
    const STEP_S: f64 = 0.0005;
    let motion = Motion::new(swing);
    let (from, to) = (swing.takeaway_s(), swing.impact_s());
    let curve: Vec<f64> = (0..=((to - from) / STEP_S) as usize)
        .map(|i| motion.torque_nm(about, from + i as f64 * STEP_S))
        .collect();
    let near = |level: f64| {
        curve
            .iter()
            .filter(|t| (**t - level).abs() <= noise_nm)
            .count() as f64
            * STEP_S
    };
    match id {
        "torque_negative_duration_s" => near(0.0),
        "torque_min_time_s" => near(curve.iter().copied().fold(f64::INFINITY, f64::min)),
        "torque_max_time_s" => near(curve.iter().copied().fold(f64::NEG_INFINITY, f64::max)),
        _ => 0.0,
    }
}

/// How far noise can pull the extremes of the foot-to-foot angle while a foot is light, degrees: a
/// centre of pressure is a moment over a load, so three standard deviations of the filtered moment
/// over the lightest load of either foot in the swing, across the stance. Nothing without noise.
fn light_foot_deg(id: &str, swing: &Swing, noise_nm: f64) -> f64 {
    if !matches!(id, "cop_angle_min_deg" | "cop_angle_max_deg") {
        return 0.0;
    }
    let motion = Motion::new(swing);
    let (from, to) = (swing.takeaway_s(), swing.impact_s());
    let lightest = (0..=200)
        .map(|i| motion.ground(from + (to - from) * f64::from(i) / 200.0))
        .map(|ground| ground.lead.fz_n.min(ground.trail.fz_n))
        .fold(f64::INFINITY, f64::min);
    let threshold = (0.05 * 9.80665 * swing.mass_kg).max(30.0);
    (noise_nm / lightest.max(threshold) / swing.stance_width_m).to_degrees()
}

/// Compares every measure with the truth; `times` widens the tolerance, `noise_nm` is what the
/// filtered torque may be off by (see [`undecidable_s`]). Returns what is wrong.
pub fn differences(
    analysis: &Analysis,
    swing: &Swing,
    truth: &Truth,
    times: f64,
    noise_nm: f64,
) -> Vec<String> {
    let mut wrong = Vec::new();
    for measure in &analysis.measures {
        // At address nothing has moved yet, so its angle is that at takeaway.
        let known = match measure.id {
            "cop_angle_at_address_deg" => "cop_angle_at_takeaway_deg",
            id => id,
        };
        match (&measure.value, truth.get(known)) {
            (Ok(got), Some(expected)) => {
                let allowed = times * tolerance(measure.id, expected)
                    + undecidable_s(measure.id, swing, truth.about, noise_nm)
                    + light_foot_deg(measure.id, swing, noise_nm);
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
