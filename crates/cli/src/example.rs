//! A small analysis for the tests of what people read.

use footing_app::analysis::{
    Analysis, Event, Handed, Measure, Note, PlateSummary, Reference, Series,
};
use footing_app::core::recording::EventKind;

pub fn analysis(file: &str) -> Analysis {
    Analysis {
        file: file.to_owned(),
        format: "table, 13 columns, comma".to_owned(),
        rate_hz: 1000.0,
        duration_s: 0.002,
        handed: Handed::Left,
        about: Reference::StanceCentre,
        low_pass_hz: Some(50.0),
        load_threshold_n: Some(36.28),
        mass_kg: Some((74.0, Some(0.2))),
        stance_centre_known: true,
        quiet_s: Some((0.0, 0.0005)),
        plates: vec![PlateSummary {
            label: "plate 1".to_owned(),
            kind: "six-component",
            foot: "lead",
            peak_fz_n: 720.0,
            outline_m: None,
        }],
        events: vec![
            Event {
                kind: EventKind::Top,
                t_s: 0.001,
                source: "given",
                uncertainty_s: 0.0,
                how: "Set by hand.".to_owned(),
            },
            Event {
                kind: EventKind::Impact,
                t_s: 0.002,
                source: "estimated",
                uncertainty_s: 0.04,
                how: "A guess.".to_owned(),
            },
        ],
        missing_events: vec![(EventKind::ArmLevel, "force does not show it".to_owned())],
        measures: vec![
            Measure {
                id: "torque_min_nm",
                label: "lowest torque",
                unit: "N·m",
                value: Ok(-24.6),
                estimated: vec!["impact"],
                impact_shift: Some((Some(-24.6), None)),
            },
            Measure {
                id: "torque_zero_cross_s",
                label: "torque returns above zero",
                unit: "s",
                value: Err("torque does not return above zero before impact".to_owned()),
                estimated: vec!["impact"],
                impact_shift: None,
            },
            Measure {
                id: "impulse_ratio",
                label: "impulse ratio",
                unit: "",
                value: Ok(0.5),
                estimated: vec![],
                impact_shift: None,
            },
        ],
        notes: vec![Note {
            code: "mass-differs",
            level: "warn",
            text: "Weighed 2 kg more.".to_owned(),
        }],
        series: Series::default(),
    }
}
