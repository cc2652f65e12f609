//! The Bench of one recording: four charts over its own clock, and the feet from above.

use footing_core::recording::EventKind;

use super::chart::{
    BenchView, ChartView, EventView, Foot, Line, Outline, Path, Placeable, PlanView, Readings, Rule,
};
use super::{number, tray};
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

/// The curves behind the four charts, of one recording or as a mean.
pub(super) struct Curves {
    pub torque_nm: Vec<Option<f64>>,
    pub lead_fa_n: Vec<Option<f64>>,
    pub trail_fa_n: Vec<Option<f64>>,
    pub lead_fz_n: Vec<Option<f64>>,
    pub trail_fz_n: Vec<Option<f64>>,
    pub total_fz_n: Vec<Option<f64>>,
    pub angle_deg: Vec<Option<f64>>,
}

impl Curves {
    pub(super) fn of(analysis: &Analysis) -> Self {
        let series = &analysis.series;
        let some = |values: &[f64]| values.iter().copied().map(Some).collect::<Vec<_>>();
        let foot = |foot: &Option<FootSeries>, pick: fn(&FootSeries) -> &Vec<f64>| {
            foot.as_ref().map(|f| some(pick(f))).unwrap_or_default()
        };
        Self {
            torque_nm: series.torque_nm.clone(),
            lead_fa_n: foot(&series.lead, |f| &f.fa_n),
            trail_fa_n: foot(&series.trail, |f| &f.fa_n),
            lead_fz_n: foot(&series.lead, |f| &f.fz_n),
            trail_fz_n: foot(&series.trail, |f| &f.fz_n),
            total_fz_n: some(&series.total.fz_n),
            angle_deg: series.cop_angle_deg.clone(),
        }
    }
}

fn line(label: &str, foot: Option<Foot>, y: &[Option<f64>]) -> Option<Line> {
    y.iter().any(Option::is_some).then(|| Line {
        label: label.into(),
        foot,
        set: None,
        y: y.to_vec(),
        spread: None,
    })
}

/// The four charts without sentences or tables. `label` follows each foot's name, and takes the place
/// of the name of a chart's only line.
pub(super) fn charts(curves: &Curves, label: Option<&str>) -> Vec<ChartView> {
    let named = |name: &str| match label {
        Some(label) => format!("{name} {label}"),
        None => name.to_owned(),
    };
    let alone = |name: &str| label.unwrap_or(name).to_owned();
    let two = |lead: &[Option<f64>], trail: &[Option<f64>]| {
        [
            line(&named("lead"), Some(Foot::Lead), lead),
            line(&named("trail"), Some(Foot::Trail), trail),
        ]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
    };
    let one = |name: &str, y: &[Option<f64>]| line(&alone(name), None, y).into_iter().collect();
    let mut fz = two(&curves.lead_fz_n, &curves.trail_fz_n);
    if fz.is_empty() {
        fz = one("both", &curves.total_fz_n);
    }
    let torque: Vec<Line> = one("torque", &curves.torque_nm);
    let shaded = label.is_none();
    let chart = |id: &str,
                 title: &str,
                 unit: &str,
                 up: &str,
                 down: &str,
                 lines: Vec<Line>,
                 absent: &str| ChartView {
        id: id.into(),
        title: title.into(),
        unit: unit.into(),
        decimals: number::decimals(unit),
        up: up.into(),
        down: down.into(),
        sentence: String::new(),
        shaded: false,
        absent: lines.is_empty().then(|| absent.to_owned()),
        lines,
        rules: Vec::new(),
        readings: Readings::default(),
    };
    vec![
        ChartView {
            shaded,
            ..chart(
                "torque",
                "Vertical torque",
                "N·m",
                "toward target",
                "away",
                torque,
                "no torque: it needs horizontal forces, which these plates do not measure, and a reference point",
            )
        },
        chart(
            "shear",
            "Toe–heel shear",
            "N",
            "toward toes",
            "toward heels",
            two(&curves.lead_fa_n, &curves.trail_fa_n),
            "no shear of each foot: it needs horizontal forces and one plate for each foot",
        ),
        chart(
            "vertical",
            "Vertical force",
            "N",
            "",
            "",
            fz,
            "no vertical force in this recording",
        ),
        chart(
            "angle",
            "Foot-to-foot CoP angle",
            "°",
            "lead toeward",
            "trail toeward",
            one("angle", &curves.angle_deg),
            "no angle: it needs both feet loaded, each on a plate of its own",
        ),
    ]
}

/// Writes the sentence and the table of a chart.
pub(super) fn finish(
    chart: &mut ChartView,
    x_s: &[f64],
    window_s: (f64, f64),
    events: &[EventView],
) {
    chart.sentence = match &chart.absent {
        Some(reason) => reason.clone(),
        None => chart
            .lines
            .iter()
            .map(|line| extremes(chart, line, x_s, window_s))
            .collect::<Vec<_>>()
            .join("; "),
    };
    chart.readings = readings(chart, x_s, window_s, events);
}

fn extremes(chart: &ChartView, line: &Line, x_s: &[f64], window_s: (f64, f64)) -> String {
    let inside = x_s
        .iter()
        .zip(&line.y)
        .filter(|(x, _)| (window_s.0..=window_s.1).contains(*x))
        .filter_map(|(x, y)| y.map(|y| (*x, y)));
    let mut low: Option<(f64, f64)> = None;
    let mut high: Option<(f64, f64)> = None;
    for (x, y) in inside {
        if low.is_none_or(|l| y < l.1) {
            low = Some((x, y));
        }
        if high.is_none_or(|h| y > h.1) {
            high = Some((x, y));
        }
    }
    match (low, high) {
        (Some(low), Some(high)) => format!(
            "{}: lowest {} at {} s, highest {} at {} s",
            line.label,
            number::with_unit(low.1, &chart.unit),
            number::fixed(low.0, 2),
            number::with_unit(high.1, &chart.unit),
            number::fixed(high.0, 2)
        ),
        _ => format!("{}: nothing in the swing", line.label),
    }
}

/// Rows at the events and every 50 ms of the swing.
fn readings(
    chart: &ChartView,
    x_s: &[f64],
    window_s: (f64, f64),
    events: &[EventView],
) -> Readings {
    const EVERY_S: f64 = 0.05;
    if chart.lines.is_empty() {
        return Readings::default();
    }
    let mut head = vec!["time, s".to_owned(), "event".to_owned()];
    head.extend(
        chart
            .lines
            .iter()
            .map(|line| format!("{}, {}", line.label, chart.unit)),
    );
    let steps = ((window_s.1 - window_s.0) / EVERY_S)
        .floor()
        .clamp(0.0, 400.0) as usize;
    let mut instants: Vec<(f64, &str)> = (0..=steps)
        .map(|i| (window_s.0 + i as f64 * EVERY_S, ""))
        .collect();
    instants.extend(events.iter().map(|e| (e.t_s, e.label)));
    instants.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rows = instants
        .into_iter()
        .filter_map(|(t, name)| {
            let i = nearest(x_s, t)?;
            let mut row = vec![number::fixed(t, 3), name.to_owned()];
            row.extend(chart.lines.iter().map(|line| match line.y[i] {
                Some(y) => number::fixed(y, chart.decimals),
                None => "none".into(),
            }));
            Some(row)
        })
        .collect();
    Readings { head, rows }
}

/// The sample nearest to an instant.
fn nearest(x_s: &[f64], t: f64) -> Option<usize> {
    let after = x_s.partition_point(|x| *x < t);
    let before = after.saturating_sub(1);
    let gap = |i: usize| x_s.get(i).map(|x| (x - t).abs());
    match (gap(before), gap(after)) {
        (Some(b), Some(a)) => Some(if b <= a { before } else { after }),
        (Some(_), None) => Some(before),
        (None, _) => None,
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
