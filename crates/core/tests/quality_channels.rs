//! Channel checks on made-up signals: ceilings against quantised peaks, units against noise.

use footing_core::geometry::{Pose, Rotation, Vec3};
use footing_core::note::Note;
use footing_core::quality;
use footing_core::recording::{FootRole, ForceSense, Plate, PlateKind, Recording, Shear};
use proptest::prelude::*;

/// One plate whose vertical force is `fz`, everything else a little alive.
fn plate(rate_hz: f64, fz: Vec<f64>) -> Recording {
    let n = fz.len();
    let wave = |k: f64| (0..n).map(|i| (k * i as f64).sin()).collect::<Vec<f64>>();
    Recording {
        rate_hz,
        t_s: (0..n).map(|i| i as f64 / rate_hz).collect(),
        plates: vec![Plate {
            label: "plate 1".into(),
            kind: PlateKind::SixComponent,
            foot: FootRole::Both,
            lab_from_plate: Pose {
                rotation: Rotation::IDENTITY,
                centre_m: Vec3::default(),
            },
            corners_in_lab_m: None,
            fz_n: fz,
            mx_nm: wave(0.11),
            my_nm: wave(0.12),
            shear: Some(Shear {
                fx_n: wave(0.13),
                fy_n: wave(0.14),
                mz_nm: wave(0.15),
            }),
        }],
        marks: Vec::new(),
        target_azimuth_rad: None,
        force_sense: ForceSense::OnPlayer,
    }
}

fn codes(notes: &[Note]) -> Vec<&'static str> {
    notes.iter().map(|n| n.code).collect()
}

/// A bump of 0.1 s half-width on a standing load.
fn bump(rate_hz: f64, peak_n: f64) -> Vec<f64> {
    (0..(2.0 * rate_hz) as usize)
        .map(|i| {
            let x = (i as f64 / rate_hz - 1.0) / 0.1;
            700.0 + peak_n * (-x * x).exp()
        })
        .collect()
}

/// What is left of a signal that is stored in steps.
fn stored(signal: Vec<f64>, step: f64) -> Vec<f64> {
    signal
        .into_iter()
        .map(|v| (v / step).round() * step)
        .collect()
}

/// The one that was met: 0.67 % of the range a step, half a run further out 2.3 % lower.
#[test]
fn a_peak_in_150_steps_is_no_ceiling() {
    let (rate_hz, peak_n, steps) = (1_710.379_299_069_186_6, 627.369_924_618_114_7, 150.038);
    let smooth = stored(bump(rate_hz, peak_n), peak_n / steps);
    assert_eq!(codes(&quality::flat_tops(&plate(rate_hz, smooth))), [""; 0]);
}

proptest! {
    /// A smooth peak stored in steps, however coarse, repeats its top value and is no ceiling.
    #[test]
    fn quantised_peaks_are_no_ceilings(
        rate_hz in 200.0..3000.0_f64, peak_n in 200.0..1500.0_f64, steps in 20.0..5000.0_f64,
    ) {
        let smooth = stored(bump(rate_hz, peak_n), peak_n / steps);
        prop_assert_eq!(codes(&quality::flat_tops(&plate(rate_hz, smooth))), Vec::<&str>::new());
    }

    /// The same peak cut off at nine tenths or less is one.
    #[test]
    fn cut_peaks_are_ceilings(
        rate_hz in 200.0..3000.0_f64, peak_n in 200.0..1500.0_f64, steps in 150.0..5000.0_f64,
        cut in 0.5..0.9_f64,
    ) {
        let cut = bump(rate_hz, peak_n).into_iter().map(|v| v.min(700.0 + cut * peak_n)).collect();
        let clipped = stored(cut, peak_n / steps);
        prop_assert_eq!(codes(&quality::flat_tops(&plate(rate_hz, clipped))), vec!["saturated"]);
    }

    /// A load of a player is right, and 10, 1000 and 9.81 times less is told with that factor.
    #[test]
    fn slips_of_units_are_named(mass_kg in 45.0..120.0_f64) {
        let total: Vec<f64> = bump(500.0, 300.0).into_iter().map(|f| f / 700.0 * mass_kg * 9.80665).collect();
        prop_assert_eq!(quality::units(&total, None), None);
        prop_assert_eq!(quality::units(&total, Some(mass_kg)), None);
        for (factor, words) in [(10.0, "by 10 ("), (1000.0, "by 1000 ("), (9.80665, "by 9.81 (")] {
            let slipped: Vec<f64> = total.iter().map(|f| f / factor).collect();
            for typed in [None, Some(mass_kg)] {
                let note = quality::units(&slipped, typed).expect("a slip");
                prop_assert!(note.text.contains(words), "{}", note.text);
            }
        }
    }
}

/// Noise of a plate nobody stands on weighs nothing.
#[test]
fn noise_is_no_load() {
    let noise: Vec<f64> = (0..1000)
        .map(|i: i32| f64::from((i.wrapping_mul(1_103_515_245).wrapping_add(12345) >> 8) % 7 - 3))
        .collect();
    assert_eq!(quality::units(&noise, None), None);
}

/// A channel that never changes while the plate carries weight is not there.
#[test]
fn a_silent_axis_is_named() {
    let mut recording = plate(500.0, bump(500.0, 300.0));
    assert_eq!(codes(&quality::missing_axes(&recording)), [""; 0]);
    if let Some(shear) = &mut recording.plates[0].shear {
        shear.fx_n.fill(0.2);
        shear.mz_nm.fill(0.0);
    }
    let notes = quality::missing_axes(&recording);
    assert_eq!(codes(&notes), ["axis-missing"]);
    assert!(
        notes[0]
            .text
            .starts_with("Fx and Mz of plate 1 never change"),
        "{}",
        notes[0].text
    );
}

/// Even samples are silent; a gap and uneven steps are told.
#[test]
fn the_clock_is_checked() {
    let even: Vec<f64> = (0..500).map(|i| f64::from(i) * 0.002).collect();
    assert_eq!(codes(&quality::sampling(&even)), [""; 0]);
    let gap: Vec<f64> = even
        .iter()
        .map(|t| if *t > 0.5 { t + 0.1 } else { *t })
        .collect();
    assert_eq!(codes(&quality::sampling(&gap)), ["gap"]);
    let uneven: Vec<f64> = (0..500)
        .map(|i| f64::from(i) * 0.002 + f64::from(i % 2) * 0.0003)
        .collect();
    assert_eq!(codes(&quality::sampling(&uneven)), ["jitter"]);
    assert_eq!(codes(&quality::sampling(&[])), [""; 0]);
}
