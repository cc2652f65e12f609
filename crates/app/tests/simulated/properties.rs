//! What must not matter, and what must scale: generated cases.

use crate::common::{given, loaded};
use footing_app::analyse_loaded;
use footing_app::analysis::{Analysis, Handed, Reference, Settings};
use footing_core::geometry::{Pose, Rotation, Vec3};
use footing_core::recording::{PlateKind, Recording};
use footing_simulate::{Bay, Events, Swing, record};
use proptest::prelude::*;

fn settings(swing: &Swing, bay: &Bay, about: Reference) -> Settings {
    Settings {
        handed: swing.handed,
        about,
        target_azimuth_deg: Some(bay.target_azimuth_deg),
        given: given(&Events::of(swing).later(bay.swing_start_s())),
        ..Settings::default()
    }
}

fn analyse(recording: Recording, settings: &Settings) -> Analysis {
    analyse_loaded("case", &loaded(recording), settings).expect("a simulated swing can be read")
}

fn same(a: &Analysis, b: &Analysis, relative: f64) -> Result<(), TestCaseError> {
    for (x, y) in a.measures.iter().zip(&b.measures) {
        match (&x.value, &y.value) {
            (Ok(v), Ok(w)) => prop_assert!(
                (v - w).abs() <= relative * v.abs().max(1.0),
                "{}: {v} and {w}",
                x.id
            ),
            (v, w) => prop_assert_eq!(v, w, "{}", x.id),
        }
    }
    Ok(())
}

fn value(analysis: &Analysis, id: &str) -> f64 {
    analysis
        .measures
        .iter()
        .find(|m| m.id == id)
        .unwrap_or_else(|| panic!("no measure {id}"))
        .value
        .clone()
        .unwrap_or_else(|why| panic!("{id}: {why}"))
}

/// The lab turned by an angle and moved: plates and all.
fn turned(recording: &Recording, by_rad: f64, shift: (f64, f64)) -> Recording {
    let turn = Rotation::level(by_rad, true);
    let mut out = recording.clone();
    for plate in &mut out.plates {
        let Pose { rotation, centre_m } = plate.lab_from_plate;
        plate.lab_from_plate = Pose {
            rotation: Rotation {
                x: turn.apply(rotation.x),
                y: turn.apply(rotation.y),
                z: turn.apply(rotation.z),
            },
            centre_m: turn.apply(centre_m) + Vec3::new(shift.0, shift.1, 0.0),
        };
    }
    out
}

fn reference() -> impl Strategy<Value = Reference> {
    prop_oneof![
        Just(Reference::StanceCentre),
        Just(Reference::Com),
        Just(Reference::CombinedCop)
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn turning_and_moving_the_lab_changes_nothing(
        seed in 0_u64..10_000, turn_deg in -180.0..180.0_f64,
        x in -3.0..3.0_f64, y in -3.0..3.0_f64, about in reference(),
    ) {
        let swing = Swing::varied(seed);
        let bay = Bay::default();
        let recording = record(&swing, &bay, seed);
        let choice = settings(&swing, &bay, about);
        let moved = turned(&recording, turn_deg.to_radians(), (x, y));
        let turned_choice = Settings {
            target_azimuth_deg: Some(bay.target_azimuth_deg + turn_deg),
            ..choice.clone()
        };
        same(&analyse(recording, &choice), &analyse(moved, &turned_choice), 1e-9)?;
    }

    #[test]
    fn a_mirrored_player_has_the_same_measures(seed in 0_u64..10_000, about in reference()) {
        let right = Swing { handed: Handed::Right, ..Swing::varied(seed) };
        let left = Swing { handed: Handed::Left, ..right.clone() };
        let bay = Bay::default();
        let analysed = |swing: &Swing| {
            analyse(record(swing, &bay, seed), &settings(swing, &bay, about))
        };
        same(&analysed(&right), &analysed(&left), 1e-9)?;
    }

    #[test]
    fn the_order_of_plates_changes_nothing(seed in 0_u64..10_000, about in reference()) {
        let swing = Swing::varied(seed);
        let bay = Bay::default();
        let recording = record(&swing, &bay, seed);
        let choice = settings(&swing, &bay, about);
        let mut reversed = recording.clone();
        reversed.plates.reverse();
        same(&analyse(recording, &choice), &analyse(reversed, &choice), 1e-12)?;
    }

    #[test]
    fn turning_the_stored_force_over_changes_nothing(seed in 0_u64..10_000) {
        let swing = Swing::varied(seed);
        let bay = Bay::default();
        let recording = record(&swing, &bay, seed);
        let mut action = recording.clone();
        for plate in &mut action.plates {
            let minus = |v: &mut Vec<f64>| v.iter_mut().for_each(|x| *x = -*x);
            minus(&mut plate.fz_n);
            minus(&mut plate.mx_nm);
            minus(&mut plate.my_nm);
            if let Some(shear) = &mut plate.shear {
                minus(&mut shear.fx_n);
                minus(&mut shear.fy_n);
                minus(&mut shear.mz_nm);
            }
        }
        let choice = settings(&swing, &bay, Reference::StanceCentre);
        same(&analyse(recording, &choice), &analyse(action, &choice), 1e-12)?;
    }

    #[test]
    fn scaling_force_scales_torque_and_impulse(seed in 0_u64..10_000, k in 0.5..2.0_f64) {
        let swing = Swing::varied(seed);
        let bay = Bay::default();
        let recording = record(&swing, &bay, seed);
        let mut scaled = recording.clone();
        for plate in &mut scaled.plates {
            let times = |v: &mut Vec<f64>| v.iter_mut().for_each(|x| *x *= k);
            times(&mut plate.fz_n);
            times(&mut plate.mx_nm);
            times(&mut plate.my_nm);
            if let Some(shear) = &mut plate.shear {
                times(&mut shear.fx_n);
                times(&mut shear.fy_n);
                times(&mut shear.mz_nm);
            }
        }
        let choice = settings(&swing, &bay, Reference::StanceCentre);
        let (a, b) = (analyse(recording, &choice), analyse(scaled, &choice));
        for id in ["torque_min_nm", "torque_max_nm", "impulse_negative_nms", "impulse_net_nms",
                   "lead_fa_max_n", "shear_spread_max_n", "body_mass_kg"] {
            let (v, w) = (value(&a, id), value(&b, id));
            prop_assert!((k * v - w).abs() <= 1e-9 * w.abs().max(1.0), "{id}: {v} × {k} and {w}");
        }
        for id in ["torque_min_nm_per_kg", "cop_angle_at_top_deg", "lead_share_at_impact",
                   "torque_zero_cross_s", "tempo_ratio"] {
            let (v, w) = (value(&a, id), value(&b, id));
            prop_assert!((v - w).abs() <= 1e-9 * w.abs().max(1.0), "{id}: {v} and {w}");
        }
    }

    #[test]
    fn shifting_the_clock_shifts_only_the_clock(seed in 0_u64..10_000, by in -500.0..500.0_f64) {
        let swing = Swing::varied(seed);
        let bay = Bay::default();
        let recording = record(&swing, &bay, seed);
        let choice = settings(&swing, &bay, Reference::StanceCentre);
        let mut later = recording.clone();
        later.t_s.iter_mut().for_each(|t| *t += by);
        let later_choice = Settings {
            given: choice.given.iter().map(|(k, t)| (*k, t + by)).collect(),
            ..choice.clone()
        };
        same(&analyse(recording, &choice), &analyse(later, &later_choice), 1e-7)?;
    }

    #[test]
    fn the_split_sums_to_the_net_and_signed_impulses_to_it(
        seed in 0_u64..10_000, about in reference(), kind in prop_oneof![
            Just(PlateKind::SixComponent), Just(PlateKind::EightChannel)],
        noise in 0.0..4.0_f64,
    ) {
        let swing = Swing::varied(seed);
        let mut bay = Bay::two_plates(kind, 20.0, 0.0, false);
        bay.force_noise_n = noise;
        let analysis = analyse(record(&swing, &bay, seed), &settings(&swing, &bay, about));
        let net = value(&analysis, "impulse_net_nms");
        let split: f64 = ["lead_shear", "trail_shear", "lead_free_moment", "trail_free_moment"]
            .iter()
            .map(|part| value(&analysis, &format!("impulse_net_{part}_nms")))
            .sum();
        prop_assert!((split - net).abs() < 1e-9, "split {split}, net {net}");
        let signed = value(&analysis, "impulse_negative_nms") + value(&analysis, "impulse_positive_nms");
        prop_assert!((signed - net).abs() < 1e-9);
        let mass = value(&analysis, "body_mass_kg");
        prop_assert!((value(&analysis, "impulse_net_nms_per_kg") * mass - net).abs() < 1e-9);
    }
}

/// A filter narrower than the whole is still the same filter: filtering the wrench and computing
/// the centre of pressure afterwards never filters across an unloaded stretch.
#[test]
fn an_unloaded_foot_has_no_centre_of_pressure_and_no_angle() {
    let swing = Swing {
        share_finish: 0.985,
        ..Swing::default()
    };
    let bay = Bay::default();
    let analysis = analyse(
        record(&swing, &bay, 0),
        &settings(&swing, &bay, Reference::StanceCentre),
    );
    let trail = analysis.series.trail.as_ref().unwrap();
    let weight = swing.mass_kg * 9.80665;
    let threshold = (0.05 * weight).max(30.0);
    let mut unloaded = 0;
    for (i, fz) in trail.fz_n.iter().enumerate() {
        // a hair around the threshold belongs to either side
        if *fz < threshold - 0.5 {
            unloaded += 1;
            assert_eq!(trail.cop_t_m[i], None);
            assert_eq!(trail.free_moment_nm[i], None);
            assert_eq!(analysis.series.cop_angle_deg[i], None);
            assert!(analysis.series.torque_nm[i].is_some());
        } else if *fz > threshold + 0.5 {
            assert!(trail.cop_t_m[i].is_some());
        }
    }
    assert!(unloaded > 100, "only {unloaded} unloaded samples");
}
