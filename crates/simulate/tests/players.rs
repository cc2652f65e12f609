//! The sample players show what their story says.

use footing_simulate::players::{Side, driver_right, harbour_range};
use footing_simulate::{About, Truth, truth};

/// Mean and standard deviation of a measure over swings.
fn mean_sd(truths: &[Truth], id: &str) -> (f64, f64) {
    let values: Vec<f64> = truths.iter().map(|t| t.get(id).unwrap()).collect();
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    (mean, (squares / (n - 1.0)).sqrt())
}

#[test]
fn harbour_range_turns_back_ninety_milliseconds_earlier() {
    let about = |side| -> Vec<Truth> {
        let swings = harbour_range(side, 1);
        assert_eq!(swings.len(), 6);
        swings
            .iter()
            .map(|s| truth(s, About::StanceCentre))
            .collect()
    };
    let (a, b) = (about(Side::Before), about(Side::After));
    for id in a[0].measures.keys() {
        let (x, y) = (mean_sd(&a, id), mean_sd(&b, id));
        println!(
            "{id:40} {:9.3} ± {:7.3}   {:9.3} ± {:7.3}   {:9.3}",
            x.0,
            x.1,
            y.0,
            y.1,
            y.0 - x.0
        );
    }
    let change = |id| mean_sd(&b, id).0 - mean_sd(&a, id).0;
    let near = |value: f64, expected: f64, within: f64| {
        assert!(
            (value - expected).abs() <= within,
            "{value}, expected {expected}"
        );
    };
    near(change("torque_zero_cross_s"), -0.090, 0.003);
    near(mean_sd(&a, "torque_min_nm").0, -38.0, 2.0);
    near(mean_sd(&b, "torque_min_nm").0, -24.0, 2.0);
    // The size of a large change in the foot-to-foot angle (common practice).
    near(mean_sd(&a, "cop_angle_at_top_deg").0, -7.0, 1.0);
    near(mean_sd(&b, "cop_angle_at_top_deg").0, 8.0, 1.0);
    assert!(change("lead_share_at_impact") > 0.15);
    // Ordinary spread: neither clones nor chaos.
    for side in [&a, &b] {
        let (_, sd) = mean_sd(side, "torque_zero_cross_s");
        assert!((0.003..0.03).contains(&sd), "{sd}");
        let (_, sd) = mean_sd(side, "torque_min_nm");
        assert!((0.5..4.0).contains(&sd), "{sd}");
    }
}

#[test]
fn the_sample_players_differ_by_seed_and_stand_as_told() {
    assert_ne!(
        harbour_range(Side::Before, 1),
        harbour_range(Side::Before, 2)
    );
    assert_ne!(driver_right(1)[0], driver_right(1)[1]);
    for swing in driver_right(1) {
        assert_eq!(swing.handed, footing_core::frame::Handed::Right);
        assert!((swing.end_s() - 3.2).abs() < 1e-12);
    }
    for swing in harbour_range(Side::After, 1) {
        assert_eq!(swing.handed, footing_core::frame::Handed::Left);
    }
}
