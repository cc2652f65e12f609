//! Conditioning, end to end: what zero and an automatic cut-off leave of the truth.

use crate::common::{differences, measured};
use crate::noise::allowed;
use footing_app::analysis::{LowPass, Reference, Settings};
use footing_core::recording::PlateKind;
use footing_simulate::{Bay, Swing};

/// Plates that were never zeroed: every channel is off by as much as plates drift in a day. The
/// stretch before the player steps on shows it, and every measure comes out as on perfect plates.
#[test]
fn plates_that_are_off_zero_give_the_truth() {
    for (seed, kind) in [
        (3, PlateKind::SixComponent),
        (4, PlateKind::EightChannel),
        (5, PlateKind::SixComponent),
    ] {
        let swing = Swing::varied(seed);
        let mut bay = Bay::two_plates(kind, 37.0, 90.0, seed % 2 == 0);
        bay.unloaded_s = Some(1.0);
        for (plate, sign) in bay.plates.iter_mut().zip([1.0, -1.0]) {
            plate.offsets = match kind {
                PlateKind::EightChannel => [6.0, -4.0, 5.0, 7.0, -9.0, 8.0, 4.0, -6.0],
                _ => [12.0, -9.0, 15.0, 2.0, -3.0, 4.0, 0.0, 0.0],
            }
            .map(|offset| sign * offset);
        }
        for about in [
            Reference::StanceCentre,
            Reference::Com,
            Reference::CombinedCop,
        ] {
            let settings = Settings {
                about,
                ..Settings::default()
            };
            let (analysis, truth) = measured(&swing, &bay, 0, &settings);
            assert!(analysis.notes.iter().any(|n| n.code == "zeroed"));
            let wrong = differences(&analysis, &truth);
            assert!(wrong.is_empty(), "{kind:?} about {about:?}: {wrong:?}");
            // without that stretch the same offsets would be heard in torque and impulse
            let unzeroed = Bay {
                unloaded_s: None,
                ..bay.clone()
            };
            let (spoiled, truth) = measured(&swing, &unzeroed, 0, &settings);
            let wrong = differences(&spoiled, &truth);
            for id in ["torque_min_nm:", "impulse_net_nms:"] {
                assert!(wrong.iter().any(|w| w.starts_with(id)), "{id} {wrong:?}");
            }
        }
    }
}

/// Residual analysis chooses low cut-offs for simulated swings, which are smoother than players: what
/// it leaves of torque and impulse is within what is promised under noise all the same.
#[test]
fn an_automatic_cut_off_is_said_and_keeps_torque_and_impulse() {
    for (seed, rate_hz) in [(0, 250.0), (1, 500.0), (2, 1000.0), (3, 250.0)] {
        let swing = Swing::varied(seed);
        let bay = Bay {
            rate_hz,
            force_noise_n: 0.6,
            moment_noise_nm: 0.05,
            ..Bay::default()
        };
        let settings = Settings {
            low_pass: LowPass::Auto,
            ..Settings::default()
        };
        let (analysis, truth) = measured(&swing, &bay, seed, &settings);
        let chosen = analysis.low_pass_hz.expect("a cut-off");
        assert!((4.0..20.0).contains(&chosen), "{rate_hz} Hz: {chosen} Hz");
        let mut compared = 0;
        for measure in &analysis.measures {
            if !measure.id.starts_with("torque_") && !measure.id.starts_with("impulse_") {
                continue;
            }
            let got = measure.value.clone().unwrap();
            let expected = truth.get(measure.id).unwrap();
            let allowed = allowed(measure.id, expected, false);
            assert!(
                (got - expected).abs() <= allowed,
                "{} at {rate_hz} Hz: expected {expected} ± {allowed}, got {got}",
                measure.id
            );
            compared += 1;
        }
        assert_eq!(compared, 21);
    }
}
