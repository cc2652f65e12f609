//! A small analysis for the tests of the writers.

use footing_app::analysis::{
    Analysis, Event, FootSeries, Handed, Measure, Note, PlateSummary, Reference, Series,
};
use footing_app::core::recording::EventKind;

use crate::json::Measured;

pub fn measured(file: &str) -> Measured {
    Measured {
        path: format!("data/{file}"),
        analysis: analysis(file),
    }
}

fn analysis(file: &str) -> Analysis {
    let foot = |fz: f64| FootSeries {
        ft_n: vec![1.0, 2.0, 3.0],
        fa_n: vec![-1.0, -2.0, -3.0],
        fz_n: vec![fz, fz + 10.0, fz + 20.0],
        cop_t_m: vec![Some(0.25), Some(0.26), None],
        cop_a_m: vec![Some(0.01), Some(0.02), None],
        free_moment_nm: vec![Some(4.0), Some(5.0), None],
    };
    Analysis {
        file: file.to_owned(),
        format: "table, 13 columns, comma".to_owned(),
        rate_hz: 1000.0,
        duration_s: 0.002,
        handed: Handed::Left,
        about: Reference::StanceCentre,
        low_pass_hz: Some(50.0),
        mass_kg: Some((74.0, Some(0.2))),
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
        series: Series {
            t_s: vec![0.0, 0.001, 0.002],
            torque_nm: vec![Some(1.5), None, Some(-2.0)],
            cop_angle_deg: vec![None, None, None],
            lead: Some(foot(300.0)),
            trail: None,
            total: foot(700.0),
        },
    }
}
