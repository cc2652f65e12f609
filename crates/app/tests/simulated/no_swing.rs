//! A recording without a swing is kept out, and says why; no good swing ever is.

use crate::common::loaded;
use crate::quality::{analysed, bay, heard};
use footing_app::analysis::Settings;
use footing_app::pieces::several;
use footing_core::frame::Handed;
use footing_core::recording::{EventKind, PlateKind, Recording};
use footing_simulate::bay::recording_of;
use footing_simulate::scenario::with_noise;
use footing_simulate::session::{Movement, Session, half_move, waggle};
use footing_simulate::{Bay, Swing, record};

/// A part of a recording, on its own clock.
fn part(mut recording: Recording, from_s: f64, to_s: f64) -> Recording {
    let first = recording.t_s.partition_point(|t| *t < from_s);
    let end = recording.t_s.partition_point(|t| *t <= to_s);
    let keep = |series: &mut Vec<f64>| *series = series[first..end].to_vec();
    keep(&mut recording.t_s);
    for plate in &mut recording.plates {
        for series in [&mut plate.fz_n, &mut plate.mx_nm, &mut plate.my_nm] {
            keep(series);
        }
        if let Some(shear) = &mut plate.shear {
            for series in [&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm] {
                keep(series);
            }
        }
    }
    recording.marks.retain(|m| (from_s..=to_s).contains(&m.t_s));
    recording
}

fn session(player: &Swing, movements: &[Movement], seed: u64) -> Recording {
    let session = Session {
        movements: movements
            .iter()
            .map(|movement| {
                let swing = match movement {
                    Movement::Swing => player.clone(),
                    Movement::Waggle => waggle(player),
                    Movement::HalfMove => half_move(player),
                };
                (*movement, swing)
            })
            .collect(),
        settle_s: 0.9,
    };
    recording_of(&bay(), &session.sample(&bay(), seed))
}

/// Waggles, half moves, standing, alone and one after the other, of fifty players of both hands.
#[test]
fn what_is_no_swing_is_a_stop_that_says_what_it_is() {
    use Movement::{HalfMove, Waggle};
    let kinds: [(&[Movement], &[&str]); 5] = [
        (&[Waggle], &["waggle"]),
        (&[HalfMove], &["a half move"]),
        (&[HalfMove, Waggle, HalfMove], &["a half move", "waggle"]),
        (&[Waggle, Waggle], &["waggle"]),
        (
            &[HalfMove, HalfMove, Waggle, HalfMove, HalfMove],
            &["a half move", " more."],
        ),
    ];
    for seed in 0..50 {
        let player = Swing::varied(seed);
        let settings = Settings {
            handed: player.handed,
            ..Settings::default()
        };
        for (movements, words) in kinds {
            let recording = session(&player, movements, seed);
            let analysis = analysed(recording, &settings);
            let (level, text) = heard(&analysis, "no-swing")
                .unwrap_or_else(|| panic!("{seed} {movements:?}: {:?}", analysis.notes));
            assert_eq!(level, "stop");
            for word in words {
                assert!(text.contains(word), "{seed} {movements:?}: {text}");
            }
        }
        let still = part(
            record(&player, &bay(), seed),
            0.0,
            player.takeaway_s() - 0.1,
        );
        let analysis = analysed(still, &settings);
        let (level, text) = heard(&analysis, "no-swing").unwrap();
        assert!(
            level == "stop" && text.contains("still throughout"),
            "{text}"
        );
    }
}

/// Every way a good swing may be recorded, and no way to lose it.
#[test]
fn no_good_swing_is_taken_for_none() {
    let mut said = Vec::new();
    let mut judged = 0;
    let mut check = |what: String, recording: Recording, settings: &Settings| {
        judged += 1;
        // Too short or too noisy for anything else is another note's business.
        if let Ok(analysis) = footing_app::analyse_loaded("case", &loaded(recording), settings)
            && let Some((_, text)) = heard(&analysis, "no-swing")
        {
            said.push(format!("{what}: {text}"));
        }
    };
    for seed in 0..500 {
        let swing = Swing::varied(seed);
        let of = |handed| Settings {
            handed,
            ..Settings::default()
        };
        let other = match swing.handed {
            Handed::Right => Handed::Left,
            Handed::Left => Handed::Right,
        };
        let own = of(swing.handed);
        let rate_hz = [100.0, 200.0, 500.0, 1000.0][seed as usize % 4];
        let noise_n = [0.0, 0.6, 2.0, 4.0, 8.0][seed as usize % 5];
        let bay = Bay {
            rate_hz,
            force_noise_n: noise_n,
            moment_noise_nm: noise_n / 20.0,
            ..Bay::default()
        };
        let whole = record(&swing, &bay, seed);
        let what = |how: &str| format!("{seed}, {rate_hz} Hz, {noise_n} N, {how}");
        let (takeaway, impact) = (swing.takeaway_s(), swing.impact_s());
        check(what("whole"), whole.clone(), &own);
        if seed % 4 == 0 {
            check(what("other hand"), whole.clone(), &of(other));
        }
        let before_s = [0.6, 0.3, 0.15, 0.05, 0.0][seed as usize % 5];
        let after_s = [0.8, 0.4, 0.2, 0.1, 0.05][seed as usize / 5 % 5];
        check(
            what(&format!("{before_s} s before and {after_s} s after")),
            part(whole.clone(), takeaway - before_s, impact + after_s),
            &own,
        );
        if seed % 4 != 1 {
            continue;
        }
        let vertical = with_noise(
            Bay::two_plates(PlateKind::VerticalCop, 0.0, 0.0, true),
            rate_hz,
        );
        let mut loads = record(&swing, &vertical, seed);
        check(what("vertical only"), loads.clone(), &own);
        // both feet on one plate without shear
        let second = loads.plates.remove(1);
        let first = &mut loads.plates[0];
        for (sum, more) in [
            (&mut first.fz_n, &second.fz_n),
            (&mut first.mx_nm, &second.mx_nm),
            (&mut first.my_nm, &second.my_nm),
        ] {
            sum.iter_mut()
                .zip(more)
                .for_each(|(sum, more)| *sum += more);
        }
        first.foot = footing_core::recording::FootRole::Both;
        check(what("one vertical plate"), loads, &own);
    }
    println!(
        "{} of {judged} good recordings said to hold no swing",
        said.len()
    );
    for line in said.iter().take(30) {
        println!("    {line}");
    }
    assert_eq!(said.len(), 0);
}

/// A session on empty plates before and after: stepping on and off is no swing, and hides none.
#[test]
fn stepping_on_hides_no_swing() {
    for seed in 0..40 {
        let swing = Swing::varied(seed);
        let bay = Bay {
            unloaded_s: Some(0.8),
            ..bay()
        };
        let settings = Settings {
            handed: swing.handed,
            ..Settings::default()
        };
        let analysis = analysed(record(&swing, &bay, seed), &settings);
        assert_eq!(heard(&analysis, "no-swing"), None, "{seed}");
        let start = bay.swing_start_s();
        let only_on = part(record(&swing, &bay, seed), 0.0, start + 0.6);
        let analysis = analysed(only_on, &settings);
        let (level, text) =
            heard(&analysis, "no-swing").unwrap_or_else(|| panic!("{seed}: {:?}", analysis.notes));
        assert!(level == "stop" && text.contains("steps on"), "{text}");
    }
}

/// Where there are two swings, or one and something else, what is read of the whole says so.
#[test]
fn several_swings_in_one_recording_are_told() {
    use Movement::{HalfMove, Swing as Full};
    for seed in 0..20 {
        let player = Swing::varied(seed);
        let settings = Settings {
            handed: player.handed,
            ..Settings::default()
        };
        let two = session(&player, &[Full, Full], seed);
        let analysis = analysed(two, &settings);
        let (level, text) = heard(&analysis, "several-swings").unwrap();
        assert!(level == "warn" && text.contains("2 swings"), "{text}");
        // and it is one of them, not something between the two
        let top = analysis.events.iter().find(|e| e.kind == EventKind::Top);
        let tops = [player.top_s(), player.end_s() + 0.9 + player.top_s()];
        let near = |top: f64| tops.iter().any(|t| (t - top).abs() < 0.1);
        assert!(
            top.is_some_and(|top| near(top.t_s)),
            "{seed}: {top:?} and {tops:?}"
        );
        let moves = [HalfMove, Full];
        let one = session(&player, &moves, seed);
        let analysis = analysed(one.clone(), &settings);
        let top = analysis.events.iter().find(|e| e.kind == EventKind::Top);
        let true_top_s = half_move(&player).end_s() + 0.9 + player.top_s();
        let off_s = top.map(|t| (t.t_s - true_top_s).abs());
        assert!(off_s.is_some_and(|off| off < 0.1), "{seed}: {off_s:?}");
        assert_eq!(heard(&analysis, "no-swing"), None);
        assert_eq!(heard(&analysis, "several-swings"), None);
        let found = several("case", &loaded(one), &settings).unwrap();
        assert!(found.swings_s.is_empty() && found.others[0].contains("a half move"));
    }
}
