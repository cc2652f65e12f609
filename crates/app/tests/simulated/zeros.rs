//! Quality checks of places and zeros: what plates read with nobody on them, and what quiet stance leaves.

use crate::common::{given, loaded};
use crate::quality::{analysed, bay, good, heard, level_of, plate_times};
use footing_app::analyse;
use footing_app::analysis::{Analysis, Settings};
use footing_core::geometry::Vec3;
use footing_simulate::{Bay, Events, Swing, record};

/// Moments of nothing, plates in the wrong place, plates that drift between two empty stretches.
#[test]
fn places_and_zeros_are_heard() {
    let swing = Swing::default();
    let settings = Settings::default();
    let mut small = good(&swing);
    for plate in &mut small.plates {
        plate.mx_nm.iter_mut().for_each(|m| *m *= 0.001);
        plate.my_nm.iter_mut().for_each(|m| *m *= 0.001);
    }
    assert_eq!(level_of(small, &settings, "cop-frozen"), Some("stop"));

    let mut far = good(&swing);
    far.plates[0].lab_from_plate.centre_m = Vec3::new(0.9, 0.0, 0.0);
    assert_eq!(level_of(far, &settings, "stance-width"), Some("warn"));

    let empty_first = Bay {
        unloaded_s: Some(0.6),
        ..bay()
    };
    let mut offset = record(&swing, &empty_first, 3);
    offset.plates[1].fz_n.iter_mut().for_each(|f| *f += 25.0);
    assert_eq!(level_of(offset.clone(), &settings, "offset"), Some("note"));
    // what is left of it in quiet stance is nothing to speak of
    assert_eq!(level_of(offset.clone(), &settings, "quiet-residue"), None);
    // more than a tenth of the load is no offset: nothing is taken off, and that is what is said
    for too_much in [100.0, 130.0] {
        let mut heavy = record(&swing, &empty_first, 3);
        heavy.plates[0].fz_n.iter_mut().for_each(|f| *f += too_much);
        let analysis = analysed(heavy, &settings);
        let (level, text) = heard(&analysis, "offset").unwrap();
        assert!(
            level == "stop" && text.contains("it stays in everything"),
            "{text}"
        );
        assert_eq!(heard(&analysis, "zeroed"), None);
    }
    // a preload that was taken off puts no pressure beside the plate
    let mut preloaded = record(&swing, &empty_first, 3);
    preloaded.plates[0]
        .mx_nm
        .iter_mut()
        .for_each(|m| *m += 80.0);
    preloaded.plates[0]
        .my_nm
        .iter_mut()
        .for_each(|m| *m += 40.0);
    let analysis = analysed(preloaded.clone(), &settings);
    assert!(heard(&analysis, "zeroed").is_some());
    assert_eq!(heard(&analysis, "cop-off-plate"), None);
    let (level, text) = heard(&analysis, "offset").unwrap();
    assert!(
        level == "warn" && text.contains("up to 80.0 N·m of moment; that was taken off"),
        "{text}"
    );
    // nor in a piece that does not hold the stretch the zero is from
    let whole = loaded(preloaded);
    let end_s = *whole.recording.t_s.last().unwrap();
    let piece = footing_app::pieces::Piece {
        from_s: 1.5,
        to_s: end_s,
        kind: footing_app::pieces::Kind::Swing,
    };
    let part = footing_app::pieces::analyse_piece("case", &whole, &settings, &piece).unwrap();
    assert_eq!(heard(&part, "cop-off-plate"), None);
    assert!(heard(&part, "offset").is_some());
    // a foot that rests on a plate before the swing sways: it is no offset
    let longer = Bay {
        unloaded_s: Some(1.2),
        ..bay()
    };
    let mut resting = record(&swing, &longer, 3);
    let steps = resting.t_s.iter().map(|t| (t * 5.0).sin());
    for (f, sway) in resting.plates[0].fz_n.iter_mut().zip(steps).take(600) {
        *f += 200.0 + 4.0 * sway;
    }
    let analysis = analysed(resting, &settings);
    assert_ne!(
        heard(&analysis, "offset").map(|(level, _)| level),
        Some("stop")
    );
    // somebody steps off after the swing, and the plate does not come back to where it was
    let end = offset.t_s.len();
    let rate = offset.rate_hz;
    for k in 0..(0.6 * rate) as usize {
        offset.t_s.push((end + k) as f64 / rate);
        for (index, plate) in offset.plates.iter_mut().enumerate() {
            let drift = if index == 1 { 45.0 } else { 0.0 };
            let noise = plate.fz_n[k] - if index == 1 { 25.0 } else { 0.0 };
            plate.fz_n.push(noise + drift);
            for series in [&mut plate.mx_nm, &mut plate.my_nm] {
                series.push(series[k]);
            }
            let shear = plate.shear.as_mut().unwrap();
            for series in [&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm] {
                series.push(series[k]);
            }
        }
    }
    let analysis = analysed(offset, &settings);
    let (level, text) = heard(&analysis, "drift").unwrap();
    assert!(
        level == "warn" && text.contains("plate 2 drifts: unloaded it reads 20 N"),
        "{text}"
    );
}

/// A plate that was not zeroed along one axis: taking off what quiet stance leaves mends that plate's foot and leaves the
/// other foot's share of the impulse alone.
#[test]
fn what_quiet_stance_leaves_is_taken_from_where_it_is() {
    let swing = Swing::default();
    let settings = Settings {
        zero_quiet: true,
        given: given(&Events::of(&swing)),
        ..Settings::default()
    };
    let clean = analysed(good(&swing), &settings);
    for plate in 0..2 {
        let mut pushed = good(&swing);
        let shear = pushed.plates[plate].shear.as_mut().unwrap();
        shear.fy_n.iter_mut().for_each(|f| *f += 10.0);
        let analysis = analysed(pushed, &settings);
        for id in [
            "impulse_net_nms",
            "impulse_net_lead_shear_nms",
            "impulse_net_trail_shear_nms",
            "impulse_net_lead_free_moment_nms",
            "impulse_net_trail_free_moment_nms",
        ] {
            let value = |of: &Analysis| {
                let measure = of.measures.iter().find(|m| m.id == id);
                measure
                    .unwrap_or_else(|| panic!("{id}"))
                    .value
                    .clone()
                    .unwrap()
            };
            let off = value(&analysis) - value(&clean);
            // The offset acts at the plate's own origin, a few centimetres beside the foot's pressure.
            assert!(off.abs() < 0.3, "plate {plate}, {id}: off by {off}");
        }
    }
}

/// What quiet stance leaves is told from a quarter of a per cent of the weight or half a newton metre on, and
/// whenever it was taken off; nothing is never minus nothing.
#[test]
fn a_residue_is_told_where_it_matters() {
    let swing = Swing::default();
    let settings = Settings::default();
    let twisted = |by_nm: f64| {
        let mut recording = good(&swing);
        let shear = recording.plates[0].shear.as_mut().unwrap();
        shear.mz_nm.iter_mut().for_each(|m| *m += by_nm);
        recording
    };
    let level = |by_nm| level_of(twisted(by_nm), &settings, "quiet-residue");
    assert_eq!(level(0.0), None);
    assert_eq!(level(0.3), None);
    assert_eq!(level(0.8), Some("note"));
    assert_eq!(level(-3.0), Some("warn"));
    assert_eq!(level(12.0), Some("stop"));
    let taking_off = Settings {
        zero_quiet: true,
        ..Settings::default()
    };
    for k in -8..8 {
        let analysis = analysed(twisted(0.01 * f64::from(k)), &taking_off);
        let (level, text) = heard(&analysis, "quiet-residue").unwrap();
        assert!(level == "note" && !text.contains("-0.00 "), "{text}");
    }
    for name in [
        "harbour-range-before-1.c3d",
        "driver-right-1.c3d",
        "harbour-range-after-6.c3d",
    ] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
        let bytes = std::fs::read(folder.join(name)).unwrap();
        let handed = if name.starts_with("harbour") {
            footing_core::frame::Handed::Left
        } else {
            footing_core::frame::Handed::Right
        };
        let settings = Settings {
            handed,
            ..Settings::default()
        };
        let analysis = analyse(name, &bytes, None, &settings).unwrap();
        assert_eq!(heard(&analysis, "quiet-residue"), None, "{name}");
    }
}

/// Plates on which nobody stands say that, not that somebody moves.
#[test]
fn nobody_on_the_plates_is_told() {
    let mut empty = good(&Swing::default());
    let all = 0..empty.t_s.len();
    for plate in &mut empty.plates {
        plate_times(plate, 0.0, all.clone());
    }
    let analysis = analysed(empty, &Settings::default());
    let (_, text) = heard(&analysis, "no-quiet-stance").unwrap();
    assert!(text.starts_with("Nobody stands on the plates"), "{text}");
    assert!(!analysis.notes.iter().any(|n| n.text.contains("still")));
}
