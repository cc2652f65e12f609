//! Quality checks: silent on good swings, heard on bad ones.

use crate::common::loaded;
use footing_app::analyse_loaded;
use footing_app::analysis::{Analysis, Settings};
use footing_core::recording::Recording;
use footing_simulate::scenario::with_noise;
use footing_simulate::{Bay, Swing, record};
use std::collections::BTreeMap;

const SWINGS: u64 = 500;

fn analysed(recording: Recording, settings: &Settings) -> Analysis {
    analyse_loaded("case", &loaded(recording), settings).expect("there is a player on the plates")
}

fn bay() -> Bay {
    with_noise(Bay::default(), 500.0)
}

/// Half a thousand different good swings of both hands: no check may warn on more than one in a
/// hundred of them, and no more than one in fifty may have any warning at all.
#[test]
fn good_swings_raise_no_alarm() {
    let mut alarms: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut with_any = 0;
    let mut left = 0;
    for seed in 0..SWINGS {
        let swing = Swing::varied(seed);
        let settings = Settings {
            handed: swing.handed,
            mass_kg: (seed % 2 == 0).then_some(swing.mass_kg),
            ..Settings::default()
        };
        left += u64::from(swing.handed == footing_core::frame::Handed::Left);
        let analysis = analysed(record(&swing, &bay(), seed), &settings);
        let mut any = false;
        for note in analysis.notes.iter().filter(|n| n.level != "note") {
            any = true;
            let heard = alarms.entry(note.code).or_default();
            heard.push(format!("{seed}: {} {}", note.level, note.text));
        }
        with_any += u64::from(any);
    }
    println!("{with_any} of {SWINGS} swings ({left} left-handed) with any warning");
    for (code, heard) in &alarms {
        println!("{code}: {}", heard.len());
        for line in heard.iter().take(4) {
            println!("    {line}");
        }
    }
    assert!(left > 100 && left < 400);
    for (code, heard) in &alarms {
        let few = heard.len() as u64 * 100 <= SWINGS;
        assert!(few, "{code} on {} of {SWINGS}", heard.len());
    }
    assert!(with_any * 50 <= SWINGS, "{with_any} of {SWINGS}");
}
