//! Measures of simulated swings against the simulator's truth.
//!
//! The truth comes from closed forms (Newton–Euler, see the simulator), not from the code under
//! test: outside check by construction.

use crate::common::{BAYS, differences, measured};
use footing_app::analysis::{Handed, LowPass, Reference, Settings};
use footing_core::recording::{ForceSense, PlateKind};
use footing_simulate::{Bay, Swing};

fn must_agree(what: &str, wrong: Vec<String>) {
    assert!(wrong.is_empty(), "{what}:\n  {}", wrong.join("\n  "));
}

/// Hand × bay rotation × plate orientation × sensor depth × sense × kind, noise-free.
#[test]
fn every_bay_gives_the_truth() {
    let mut cases = 0;
    for handed in [Handed::Right, Handed::Left] {
        let swing = Swing {
            handed,
            ..Swing::default()
        };
        for (azimuth, turn) in BAYS {
            for z_up in [true, false] {
                for depth_m in [0.0, 0.035, 0.12] {
                    for on_player in [true, false] {
                        for kind in [
                            PlateKind::SixComponent,
                            PlateKind::ForceCop,
                            PlateKind::EightChannel,
                        ] {
                            let mut bay =
                                Bay::two_plates(kind, azimuth, turn, z_up).moved((1.7, -0.6));
                            bay.on_player = on_player;
                            for plate in &mut bay.plates {
                                plate.moment_point_m.z = if z_up { -depth_m } else { depth_m };
                            }
                            let (analysis, truth) = measured(&swing, &bay, 0, &Settings::default());
                            must_agree(
                                &format!(
                                    "{handed:?} {azimuth}° turn {turn}° z_up {z_up} depth {depth_m} on_player {on_player} {kind:?}"
                                ),
                                differences(&analysis, &truth),
                            );
                            cases += 1;
                        }
                    }
                }
            }
        }
    }
    assert_eq!(cases, 360);
}

/// 200 varied swings, all three reference points, several rates, with and without the filter.
#[test]
fn varied_swings_give_the_truth_about_every_reference() {
    for seed in 0..200 {
        let swing = Swing::varied(seed);
        let bay = Bay {
            rate_hz: [500.0, 1000.0, 2000.0][seed as usize % 3],
            declared_sense: [ForceSense::Auto, ForceSense::OnPlayer][seed as usize % 2],
            ..Bay::default()
        };
        for about in [
            Reference::StanceCentre,
            Reference::Com,
            Reference::CombinedCop,
        ] {
            let settings = Settings {
                about,
                low_pass: if seed % 4 == 0 {
                    LowPass::Off
                } else {
                    LowPass::Hz(50.0)
                },
                ..Settings::default()
            };
            let (analysis, truth) = measured(&swing, &bay, 0, &settings);
            must_agree(
                &format!("seed {seed} about {about:?}"),
                differences(&analysis, &truth),
            );
        }
    }
}

/// Torque about the centre of mass integrates to the simulator's angular momentum.
#[test]
fn impulse_about_the_centre_of_mass_is_the_change_of_spin() {
    for seed in 0..100 {
        let swing = Swing::varied(seed);
        let settings = Settings {
            about: Reference::Com,
            ..Settings::default()
        };
        let (analysis, truth) = measured(&swing, &Bay::default(), 0, &settings);
        let net = analysis
            .measures
            .iter()
            .find(|m| m.id == "impulse_net_nms")
            .and_then(|m| m.value.clone().ok())
            .unwrap();
        let motion = footing_simulate::Motion::new(&swing);
        let spin =
            motion.body(swing.impact_s()).spin_nms - motion.body(swing.takeaway_s()).spin_nms;
        assert!(
            (net - spin).abs() <= 0.02 * spin.abs(),
            "seed {seed}: expected {spin}, got {net}"
        );
        assert!((truth.get("impulse_net_nms").unwrap() - spin).abs() < 1e-6);
    }
}
