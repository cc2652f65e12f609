//! A hand-made recording for the tests of this module: a sine of torque, feet that stand still.

use footing_core::recording::EventKind;

use crate::analysis::{
    Analysis, Event, FootSeries, Handed, Measure, Note, PlateSummary, Reference, Series,
};

/// 3 s at 100 Hz; torque 40·sin(2π(t − 1)) N·m; takeaway 1 s, top 2 s, impact 2.25 s.
pub fn swing() -> Analysis {
    let t_s: Vec<f64> = (0..=300).map(|i| f64::from(i) / 100.0).collect();
    let n = t_s.len();
    let event = |kind, t_s, source: &'static str, uncertainty_s| Event {
        kind,
        t_s,
        source,
        uncertainty_s,
        how: "made by hand".into(),
    };
    let foot = |t: f64, sign: f64| FootSeries {
        ft_n: vec![0.0; n],
        fa_n: t_s.iter().map(|x| sign * 50.0 * x).collect(),
        fz_n: vec![362.8; n],
        cop_t_m: vec![Some(t); n],
        cop_a_m: vec![Some(0.01); n],
        free_moment_nm: vec![Some(0.0); n],
    };
    Analysis {
        file: "made.csv".into(),
        format: "table, 13 columns, comma".into(),
        rate_hz: 100.0,
        duration_s: 3.0,
        handed: Handed::Left,
        about: Reference::StanceCentre,
        low_pass_hz: Some(50.0),
        load_threshold_n: Some(36.28),
        mass_kg: Some((74.0, Some(0.1))),
        plates: vec![PlateSummary {
            label: "plate 1".into(),
            kind: "six-component",
            foot: "lead",
            peak_fz_n: 800.0,
            outline_m: Some([(0.0, 0.3), (0.4, 0.3), (0.4, -0.3), (0.0, -0.3)]),
        }],
        events: vec![
            event(EventKind::Address, 0.8, "estimated", 0.2),
            event(EventKind::Takeaway, 1.0, "file", 0.0),
            event(EventKind::Top, 2.0, "estimated", 0.03),
            event(EventKind::Impact, 2.25, "given", 0.0),
        ],
        missing_events: vec![(
            EventKind::ArmLevel,
            "force does not show when the lead arm is level".into(),
        )],
        stance_centre_known: true,
        quiet_s: Some((0.6, 0.8)),
        measures: vec![
            present("torque_min_nm", "N·m", -40.0),
            Measure {
                estimated: vec!["top"],
                ..present("torque_zero_cross_s", "s", -0.25)
            },
            Measure {
                estimated: vec!["impact"],
                impact_shift: Some((Some(1.1), None)),
                ..present("impulse_net_nms", "N·m·s", 1.3)
            },
            present("lead_share_at_top", "", 0.38),
            Measure {
                value: Err("lead arm level is not given".into()),
                ..present("cop_angle_at_arm_level_deg", "°", 0.0)
            },
        ],
        notes: vec![
            Note {
                code: "made",
                level: "note",
                text: "Made by hand.".into(),
            },
            Note {
                code: "odd",
                level: "stop",
                text: "Not a person.".into(),
            },
        ],
        series: Series {
            torque_nm: t_s
                .iter()
                .map(|t| Some(40.0 * (std::f64::consts::TAU * (t - 1.0)).sin()))
                .collect(),
            cop_angle_deg: vec![Some(5.0); n],
            lead: Some(foot(0.2, 1.0)),
            trail: Some(foot(-0.2, -1.0)),
            total: FootSeries {
                fz_n: vec![725.6; n],
                cop_t_m: vec![Some(0.0); n],
                cop_a_m: vec![Some(0.01); n],
                ..FootSeries::default()
            },
            t_s,
        },
    }
}

fn present(id: &'static str, unit: &'static str, value: f64) -> Measure {
    Measure {
        id,
        label: id,
        unit,
        value: Ok(value),
        estimated: Vec::new(),
        impact_shift: None,
    }
}

/// One measure of the fixture, to be changed.
pub fn measure<'a>(analysis: &'a mut Analysis, id: &str) -> &'a mut Measure {
    analysis
        .measures
        .iter_mut()
        .find(|m| m.id == id)
        .expect("the fixture has this measure")
}
