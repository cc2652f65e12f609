//! The Bench of one recording: four charts over its own clock, and the feet from above.

use footing_core::recording::EventKind;

use super::chart::{BenchView, EventView, Foot, Outline, Path, Placeable, PlanView, Rule};
use super::stacked::{self, Curves, charts, finish};
use super::{number, sentence, tray};
use crate::analysis::{Analysis, FootSeries, Handed};

/// Standard gravity, m/s². **Source:** 3rd CGPM (1901).
const STANDARD_GRAVITY_MPS2: f64 = 9.80665;

/// Events worth placing by hand when they are not there.
const PLACEABLE: [EventKind; 4] = [
    EventKind::Takeaway,
    EventKind::ArmLevel,
    EventKind::Top,
    EventKind::Impact,
];

/// Everything the Bench shows of one recording.
pub fn of_recording(analysis: &Analysis) -> BenchView {
    let series = &analysis.series;
    let events: Vec<EventView> = analysis.events.iter().map(event).collect();
    let mut charts = charts(&Curves::of(analysis), None);
    if let Some((mass_kg, _)) = analysis.mass_kg {
        charts[2].rules.push(Rule {
            y: mass_kg * STANDARD_GRAVITY_MPS2,
            label: "body weight".into(),
        });
    }
    stacked::say_why(&mut charts, sentence::no_torque(analysis));
    let swing = swing_window(analysis);
    let about = tray::about(analysis.about);
    for chart in &mut charts {
        finish(chart, &series.t_s, swing, &events);
    }
    if charts[0].absent.is_none() {
        charts[0].sentence = format!("{} ({about})", charts[0].sentence);
    }
    BenchView {
        x_s: series.t_s.clone(),
        x_title: "seconds on the recording's clock",
        swing_s: with_air(swing, &series.t_s),
        about,
        charts,
        plan: plan(analysis),
        placeable: PLACEABLE
            .into_iter()
            .filter(|kind| !analysis.events.iter().any(|e| e.kind == *kind))
            .map(|kind| Placeable {
                id: kind.id(),
                label: kind.label(),
                reason: analysis
                    .missing_events
                    .iter()
                    .find(|(missing, _)| *missing == kind)
                    .map(|(_, reason)| reason.clone())
                    .unwrap_or_default(),
            })
            .collect(),
        events,
    }
}

/// Takeaway to impact; where one is not known, the end of the recording stands in.
pub(super) fn swing_window(analysis: &Analysis) -> (f64, f64) {
    let t_s = &analysis.series.t_s;
    let start = t_s.first().copied().unwrap_or(0.0);
    let end = t_s.last().copied().unwrap_or(1.0);
    let at = |kind| {
        analysis
            .events
            .iter()
            .find(|e| e.kind == kind)
            .map(|e| e.t_s)
    };
    let from = at(EventKind::Takeaway).unwrap_or(start);
    let to = at(EventKind::Impact).unwrap_or(end);
    if from < to { (from, to) } else { (start, end) }
}

pub(super) fn with_air(swing_s: (f64, f64), x_s: &[f64]) -> (f64, f64) {
    let start = x_s.first().copied().unwrap_or(0.0);
    let end = x_s.last().copied().unwrap_or(1.0);
    ((swing_s.0 - 0.3).max(start), (swing_s.1 + 0.35).min(end))
}

fn event(event: &crate::analysis::Event) -> EventView {
    let label = event.kind.label();
    let time = number::fixed(event.t_s, 3);
    let text = match event.source {
        "given" => format!("{label}, by hand, {time} s"),
        source => format!(
            "{label}, {}, {time} s ± {}",
            match source {
                "estimated" => source,
                "film" => "from film",
                _ => "from the file",
            },
            number::span(event.uncertainty_s)
        ),
    };
    EventView {
        id: event.kind.id(),
        label,
        t_s: event.t_s,
        source: event.source,
        uncertainty_s: event.uncertainty_s,
        how: event.how.clone(),
        text,
    }
}

fn plan(analysis: &Analysis) -> PlanView {
    let series = &analysis.series;
    let path = |label: &str, foot: Option<Foot>, from: &FootSeries| Path {
        label: label.into(),
        foot,
        set: None,
        t_m: from.cop_t_m.clone(),
        a_m: from.cop_a_m.clone(),
    };
    let paths = match (&series.lead, &series.trail) {
        (Some(lead), Some(trail)) => vec![
            path("lead", Some(Foot::Lead), lead),
            path("trail", Some(Foot::Trail), trail),
        ],
        _ => vec![path("both feet", None, &series.total)],
    };
    let sentence = format!(
        "The feet from above, toes up; the target is on the {}; {}",
        match analysis.handed {
            Handed::Right => "left of this right-handed player",
            Handed::Left => "right of this left-handed player",
        },
        paths
            .iter()
            .map(|p| travel(p, &series.t_s, swing_window(analysis)))
            .collect::<Vec<_>>()
            .join("; ")
    );
    PlanView {
        target_on_left: analysis.handed == Handed::Right,
        plates: analysis
            .plates
            .iter()
            .filter_map(|plate| {
                plate.outline_m.map(|corners_m| Outline {
                    label: plate.label.clone(),
                    corners_m,
                })
            })
            .collect(),
        paths,
        sentence,
    }
}

fn travel(path: &Path, x_s: &[f64], window_s: (f64, f64)) -> String {
    let extent = |values: &[Option<f64>]| {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (x, value) in x_s.iter().zip(values) {
            if let (Some(value), true) = (value, (window_s.0..=window_s.1).contains(x)) {
                low = low.min(*value);
                high = high.max(*value);
            }
        }
        (high >= low).then_some(1000.0 * (high - low))
    };
    match (extent(&path.t_m), extent(&path.a_m)) {
        (Some(t), Some(a)) => format!(
            "the centre of pressure of {} moves over {} mm along the target line and {} mm toe to heel",
            path.label,
            number::fixed(t, 0),
            number::fixed(a, 0)
        ),
        _ => format!("{} has no centre of pressure in the swing", path.label),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;

    #[test]
    fn one_recording_gives_four_charts_over_one_clock() {
        let analysis = fixture::swing();
        let bench = of_recording(&analysis);
        assert_eq!(bench.charts.len(), 4);
        for chart in &bench.charts {
            for line in &chart.lines {
                assert_eq!(line.y.len(), bench.x_s.len(), "{}", chart.id);
            }
        }
        assert!(bench.charts[0].shaded);
        assert_eq!(bench.charts[1].lines[1].foot, Some(Foot::Trail));
        assert_eq!(bench.charts[2].rules[0].label, "body weight");
        assert!((bench.charts[2].rules[0].y - 725.69).abs() < 0.01);
    }

    #[test]
    fn the_sentence_gives_the_extremes_of_the_swing() {
        // The fixture's torque is 40·sin(2π(t − 1)) N·m: −40 at 1.75 s, and 40 at 1.25 s.
        let bench = of_recording(&fixture::swing());
        assert_eq!(
            bench.charts[0].sentence,
            "torque: lowest \u{2212}40.0 N·m at 1.75 s, highest 40.0 N·m at 1.25 s (about the stance centre)"
        );
    }

    #[test]
    fn the_table_has_the_events_and_every_50_ms() {
        let bench = of_recording(&fixture::swing());
        let rows = &bench.charts[0].readings.rows;
        // 1.0 to 2.25 s: 26 instants, and the four events.
        assert_eq!(rows.len(), 26 + bench.events.len());
        assert!(rows.iter().any(|r| r[1] == "top"));
        assert_eq!(bench.charts[0].readings.head[2], "torque, N·m");
    }

    #[test]
    fn an_event_from_the_file_is_written_with_its_uncertainty() {
        let mut analysis = fixture::swing();
        let takeaway = analysis
            .events
            .iter_mut()
            .find(|e| e.source == "file")
            .unwrap();
        takeaway.uncertainty_s = 0.01;
        let texts: Vec<String> = of_recording(&analysis)
            .events
            .into_iter()
            .map(|e| e.text)
            .collect();
        for text in [
            "takeaway, from the file, 1.000 s ± 10 ms",
            "top, estimated, 2.000 s ± 30 ms",
            "impact, by hand, 2.250 s",
        ] {
            assert!(texts.iter().any(|t| t == text), "{text}: {texts:?}");
        }
    }

    #[test]
    fn what_is_absent_says_why() {
        let mut analysis = fixture::swing();
        analysis.series.torque_nm.fill(None);
        analysis.series.lead = None;
        analysis.series.trail = None;
        let bench = of_recording(&analysis);
        assert!(
            bench.charts[0]
                .absent
                .as_ref()
                .unwrap()
                .contains("horizontal forces")
        );
        // Plates that do measure them are not said not to.
        analysis.series.total.ft_n = vec![0.0; analysis.series.t_s.len()];
        fixture::measure(&mut analysis, "torque_min_nm").value = Err("nobody stands still".into());
        let why = "no torque: nobody stands still";
        let shear = of_recording(&analysis);
        assert_eq!(shear.charts[0].absent.as_deref(), Some(why));
        assert_eq!(shear.charts[0].sentence, why);
        assert!(bench.charts[1].absent.is_some());
        assert_eq!(bench.charts[2].lines[0].label, "both");
        assert_eq!(bench.plan.paths.len(), 1);
    }

    #[test]
    fn estimated_events_say_so_and_absent_ones_can_be_placed() {
        let bench = of_recording(&fixture::swing());
        let top = bench.events.iter().find(|e| e.id == "top").unwrap();
        assert_eq!(top.text, "top, estimated, 2.000 s ± 30 ms");
        assert_eq!(
            bench.placeable.iter().map(|p| p.id).collect::<Vec<_>>(),
            ["arm_level"]
        );
    }
}
