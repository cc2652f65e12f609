//! The four stacked charts, of one recording or of a mean: their lines, sentences and tables.

use super::chart::{ChartView, EventView, Foot, Line, Readings};
use super::number;
use crate::analysis::{Analysis, FootSeries};

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
                "no torque: it needs horizontal forces, which these plates do not measure",
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

/// Says why there is no torque where plates do measure horizontal forces.
pub(super) fn say_why(charts: &mut [ChartView], no_torque: Option<&str>) {
    if let (Some(absent), Some(why)) = (&mut charts[0].absent, no_torque) {
        *absent = format!("no torque: {why}");
    }
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
