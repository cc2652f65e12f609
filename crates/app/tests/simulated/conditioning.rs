//! Conditioning, end to end: what zero and an automatic cut-off leave of the truth.

use crate::common::{differences, measured};
use crate::noise::allowed;
use footing_app::analysis::{Analysis, LowPass, Reference, Settings};
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

/// A foot has a centre of pressure from the load threshold on: 30 N or 5 % of body weight, whichever is more, or what a
/// person typed; what is more than a foot carries in quiet stance cannot serve, and is not used.
#[test]
fn the_load_threshold_is_the_default_or_the_one_typed_and_is_said() {
    let swing = Swing::varied(3);
    let bay = Bay::two_plates(PlateKind::SixComponent, 37.0, 90.0, true);
    let with = |load_threshold_n| {
        let settings = Settings {
            load_threshold_n,
            ..Settings::default()
        };
        measured(&swing, &bay, 0, &settings).0
    };
    let least_with_cop = |analysis: &Analysis| {
        let foot = analysis.series.trail.as_ref().unwrap();
        let loads = foot.fz_n.iter().zip(&foot.cop_a_m);
        let (with, without): (Vec<_>, Vec<_>) = loads.partition(|(_, cop)| cop.is_some());
        let least = with.iter().map(|(n, _)| **n).fold(f64::INFINITY, f64::min);
        let most = without.iter().map(|(n, _)| **n).fold(0.0, f64::max);
        (least, most)
    };
    let default = with(None);
    let five_per_cent = 0.05 * default.mass_kg.unwrap().0 * 9.806_65;
    assert!(five_per_cent > 30.0);
    let used = |analysis: &Analysis| analysis.load_threshold_n.unwrap();
    assert!((used(&default) - five_per_cent).abs() < 1e-9);
    for typed in [5.0, 250.0] {
        let analysis = with(Some(typed));
        assert_eq!(analysis.load_threshold_n, Some(typed));
        let (least, most) = least_with_cop(&analysis);
        assert!(least >= typed && most < typed, "{least} {most} at {typed}");
    }
    assert!(least_with_cop(&with(Some(250.0))).1 > 200.0);
    let too_high = with(Some(500.0));
    assert_eq!(used(&too_high), used(&default));
    assert_eq!(too_high.measures, default.measures);
    let note = too_high
        .notes
        .iter()
        .find(|n| n.code == "load-threshold-too-high");
    assert!(
        note.unwrap()
            .text
            .starts_with("A load threshold of 500 N is more than a foot carries")
    );
}
