//! The Bench of two sets: means with their spread, every swing laid on its top.

use footing_core::recording::EventKind;

use super::bench;
use super::chart::{BenchView, ChartView, EventView, Foot, Path, PlanView, Set};
use super::stacked::{self, Curves};
use super::{number, sentence, tray};
use crate::analysis::{Analysis, FootSeries, Handed};

/// Spacing of the common axis, seconds.
const STEP_S: f64 = 0.002;

/// Means ± one standard deviation of both sets, and one recording, over seconds from the top.
///
/// ```text
/// mean(t) = Σ yᵢ(t)/n    SD(t) = √(Σ (yᵢ(t) − mean(t))²/(n − 1))
/// ```
/// `yᵢ` is swing i, straight between its samples. Where one swing of a set has no value, the mean
/// has none either. Swings whose top is not known are left out.
/// `None` when no swing has a top.
pub fn bench(a: &[&Analysis], b: &[&Analysis], selected: Option<&Analysis>) -> Option<BenchView> {
    let a: Vec<Swing> = a.iter().filter_map(|s| Swing::of(s)).collect();
    let b: Vec<Swing> = b.iter().filter_map(|s| Swing::of(s)).collect();
    let everyone: Vec<&Swing> = a.iter().chain(&b).collect();
    let from = everyone.iter().map(|s| s.swing_s.0).reduce(f64::min)? - 0.3;
    let to = everyone.iter().map(|s| s.swing_s.1).reduce(f64::max)? + 0.35;
    let steps = ((to - from) / STEP_S).floor().clamp(1.0, 10_000.0) as usize;
    let x_s: Vec<f64> = (0..=steps).map(|i| from + i as f64 * STEP_S).collect();

    let mut events = set_events(&a, Set::A);
    events.extend(set_events(&b, Set::B));
    events.push(top(&everyone));
    let mut charts: Option<Vec<ChartView>> = None;
    let mut lay = |curves: Vec<(Curves, Option<Curves>)>, label: &str, set: Option<Set>| {
        for (mean, spread) in curves {
            let fresh = labelled(&mean, spread.as_ref(), label, set);
            match &mut charts {
                None => charts = Some(fresh),
                Some(charts) => {
                    for (chart, more) in charts.iter_mut().zip(fresh) {
                        chart.lines.extend(more.lines);
                        if !chart.lines.is_empty() {
                            chart.absent = None;
                        }
                    }
                }
            }
        }
    };
    lay(
        mean_curves(&a, &x_s).into_iter().collect(),
        "A",
        Some(Set::A),
    );
    lay(
        mean_curves(&b, &x_s).into_iter().collect(),
        "B",
        Some(Set::B),
    );
    if let Some(one) = selected.and_then(Swing::of) {
        lay(vec![(one.resampled(&x_s), None)], "this recording", None);
    }
    let mut charts = charts?;
    let why = everyone
        .iter()
        .find_map(|s| sentence::no_torque(s.analysis));
    stacked::say_why(&mut charts, why);
    let swing = (from + 0.3, to - 0.35);
    for chart in &mut charts {
        stacked::finish(chart, &x_s, swing, &events);
    }
    let handed = everyone.first()?.analysis.handed;
    let mut paths = mean_paths(&a, &x_s, Set::A);
    paths.extend(mean_paths(&b, &x_s, Set::B));
    Some(BenchView {
        swing_s: (from, to),
        x_title: "seconds from the top",
        about: tray::about(everyone.first()?.analysis.about),
        charts,
        plan: PlanView {
            target_on_left: handed == Handed::Right,
            plates: Vec::new(),
            sentence: format!(
                "Mean ways of the centres of pressure, {}, the feet from above, toes up; the target is on the {}",
                tray::hand(handed),
                if handed == Handed::Right {
                    "left"
                } else {
                    "right"
                }
            ),
            paths,
        },
        events,
        placeable: Vec::new(),
        x_s,
    })
}

struct Swing<'a> {
    analysis: &'a Analysis,
    top_s: f64,
    swing_s: (f64, f64),
}

impl<'a> Swing<'a> {
    fn of(analysis: &'a Analysis) -> Option<Self> {
        let top_s = analysis
            .events
            .iter()
            .find(|e| e.kind == EventKind::Top)?
            .t_s;
        let window = bench::swing_window(analysis);
        Some(Self {
            analysis,
            top_s,
            swing_s: (window.0 - top_s, window.1 - top_s),
        })
    }

    fn estimated(&self, kind: EventKind) -> bool {
        let mut events = self.analysis.events.iter();
        events.any(|e| e.kind == kind && e.source == "estimated")
    }

    fn sampled(&self, y: &[Option<f64>], x_s: &[f64]) -> Vec<Option<f64>> {
        let t_s = &self.analysis.series.t_s;
        x_s.iter().map(|x| at(t_s, y, x + self.top_s)).collect()
    }

    fn resampled(&self, x_s: &[f64]) -> Curves {
        let own = Curves::of(self.analysis);
        own.map(|y| self.sampled(y, x_s))
    }
}

impl Curves {
    fn map(&self, f: impl Fn(&[Option<f64>]) -> Vec<Option<f64>>) -> Self {
        Self {
            torque_nm: f(&self.torque_nm),
            lead_fa_n: f(&self.lead_fa_n),
            trail_fa_n: f(&self.trail_fa_n),
            lead_fz_n: f(&self.lead_fz_n),
            trail_fz_n: f(&self.trail_fz_n),
            total_fz_n: f(&self.total_fz_n),
            angle_deg: f(&self.angle_deg),
        }
    }

    fn gather(all: &[Self], f: impl Fn(&[&[Option<f64>]]) -> Vec<Option<f64>>) -> Self {
        let pick = |choose: fn(&Self) -> &Vec<Option<f64>>| {
            f(&all.iter().map(|c| choose(c).as_slice()).collect::<Vec<_>>())
        };
        Self {
            torque_nm: pick(|c| &c.torque_nm),
            lead_fa_n: pick(|c| &c.lead_fa_n),
            trail_fa_n: pick(|c| &c.trail_fa_n),
            lead_fz_n: pick(|c| &c.lead_fz_n),
            trail_fz_n: pick(|c| &c.trail_fz_n),
            total_fz_n: pick(|c| &c.total_fz_n),
            angle_deg: pick(|c| &c.angle_deg),
        }
    }
}

/// Straight between samples; nothing outside them or beside a gap.
fn at(t_s: &[f64], y: &[Option<f64>], t: f64) -> Option<f64> {
    let after = t_s.partition_point(|x| *x < t);
    let (t1, y1) = (*t_s.get(after)?, (*y.get(after)?)?);
    if t1 == t {
        return Some(y1);
    }
    let before = after.checked_sub(1)?;
    let (t0, y0) = (t_s[before], y[before]?);
    Some(y0 + (y1 - y0) * (t - t0) / (t1 - t0))
}

/// Mean and standard deviation of values that are all there; the deviation needs two.
pub(super) fn mean_sd(values: &[f64]) -> Option<(f64, Option<f64>)> {
    let n = values.len();
    if n == 0 {
        return None;
    }
    let mean = values.iter().sum::<f64>() / n as f64;
    let sd = (n > 1).then(|| {
        let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
        (squares / (n - 1) as f64).sqrt()
    });
    Some((mean, sd))
}

fn across(
    curves: &[&[Option<f64>]],
    pick: fn((f64, Option<f64>)) -> Option<f64>,
) -> Vec<Option<f64>> {
    let n = curves.iter().map(|c| c.len()).min().unwrap_or(0);
    (0..n)
        .map(|i| {
            let values: Option<Vec<f64>> = curves.iter().map(|c| c[i]).collect();
            pick(mean_sd(&values?)?)
        })
        .collect()
}

fn mean_curves(swings: &[Swing], x_s: &[f64]) -> Option<(Curves, Option<Curves>)> {
    if swings.is_empty() {
        return None;
    }
    let all: Vec<Curves> = swings.iter().map(|s| s.resampled(x_s)).collect();
    let mean = Curves::gather(&all, |c| across(c, |m| Some(m.0)));
    let spread = (swings.len() > 1).then(|| Curves::gather(&all, |c| across(c, |m| m.1)));
    Some((mean, spread))
}

fn labelled(
    mean: &Curves,
    spread: Option<&Curves>,
    label: &str,
    set: Option<Set>,
) -> Vec<ChartView> {
    let mut charts = stacked::charts(mean, Some(label));
    let widths = spread.map(|s| stacked::charts(s, Some(label)));
    for (i, chart) in charts.iter_mut().enumerate() {
        for line in &mut chart.lines {
            line.set = set;
            line.spread = widths.as_ref().and_then(|w| {
                w[i].lines
                    .iter()
                    .find(|l| l.label == line.label)
                    .map(|l| l.y.clone())
            });
        }
    }
    charts
}

fn mean_paths(swings: &[Swing], x_s: &[f64], set: Set) -> Vec<Path> {
    let of = |foot: Foot| -> Option<Path> {
        let feet: Option<Vec<(&Swing, &FootSeries)>> = swings
            .iter()
            .map(|s| {
                let series = &s.analysis.series;
                let foot = match foot {
                    Foot::Lead => series.lead.as_ref(),
                    Foot::Trail => series.trail.as_ref(),
                };
                foot.filter(|_| s.analysis.stance_centre_known)
                    .map(|f| (s, f))
            })
            .collect();
        let feet = feet.filter(|f| !f.is_empty())?;
        let mean = |pick: fn(&FootSeries) -> &Vec<Option<f64>>| {
            let all: Vec<Vec<Option<f64>>> =
                feet.iter().map(|(s, f)| s.sampled(pick(f), x_s)).collect();
            across(&all.iter().map(Vec::as_slice).collect::<Vec<_>>(), |m| {
                Some(m.0)
            })
        };
        Some(Path {
            label: format!("{} {}", foot.name(), set.name()),
            foot: Some(foot),
            set: Some(set),
            t_m: mean(|f| &f.cop_t_m),
            a_m: mean(|f| &f.cop_a_m),
        })
    };
    [Foot::Lead, Foot::Trail]
        .into_iter()
        .filter_map(of)
        .collect()
}

/// The top, on which every swing is laid.
fn top(swings: &[&Swing]) -> EventView {
    let estimated = swings.iter().any(|s| s.estimated(EventKind::Top));
    let (source, word) = if estimated {
        ("estimated", ", estimated")
    } else {
        ("mean", "")
    };
    EventView {
        id: "top",
        label: "top",
        t_s: 0.0,
        source,
        uncertainty_s: 0.0,
        how: String::new(),
        text: format!("top{word}: every swing is laid on its own"),
    }
}

/// Takeaway and impact of a set, each the mean over its swings, ± one standard deviation.
fn set_events(swings: &[Swing], set: Set) -> Vec<EventView> {
    let kinds = [
        (EventKind::Takeaway, ["takeaway A", "takeaway B"]),
        (EventKind::Impact, ["impact A", "impact B"]),
    ];
    kinds
        .into_iter()
        .filter_map(|(kind, labels)| {
            let times: Option<Vec<f64>> = swings
                .iter()
                .map(|s| {
                    let event = s.analysis.events.iter().find(|e| e.kind == kind)?;
                    Some(event.t_s - s.top_s)
                })
                .collect();
            let (mean, sd) = mean_sd(&times?)?;
            let label = labels[usize::from(set == Set::B)];
            let estimated = swings.iter().any(|s| s.estimated(kind));
            Some(EventView {
                id: label,
                label,
                t_s: mean,
                source: if estimated { "estimated" } else { "mean" },
                uncertainty_s: sd.unwrap_or(0.0),
                how: String::new(),
                text: format!(
                    "{label}, {}mean of {} {}, {} s ± {}",
                    if estimated { "estimated, " } else { "" },
                    swings.len(),
                    if swings.len() == 1 { "swing" } else { "swings" },
                    number::fixed(mean, 3),
                    number::span(sd.unwrap_or(0.0))
                ),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;

    fn louder(by: f64) -> Analysis {
        let mut analysis = fixture::swing();
        for torque in analysis.series.torque_nm.iter_mut().flatten() {
            *torque += by;
        }
        analysis
    }

    #[test]
    fn means_and_spread_are_those_of_the_swings() {
        // Three copies shifted by −1, 0 and +1 N·m: mean unchanged, standard deviation 1.
        let swings = [louder(-1.0), louder(0.0), louder(1.0)];
        let a: Vec<&Analysis> = swings.iter().collect();
        let bench = bench(&a, &[], None).unwrap();
        let line = &bench.charts[0].lines[0];
        assert_eq!(line.set, Some(Set::A));
        // The top lies at 2 s of the clock, where 40·sin(2π(t − 1)) is zero.
        let i = bench.x_s.partition_point(|x| *x < -1e-9);
        assert!(line.y[i].unwrap().abs() < 1e-6);
        assert!((line.spread.as_ref().unwrap()[i].unwrap() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn swings_are_laid_on_their_tops() {
        let early = fixture::swing();
        let mut late = fixture::swing();
        for t in &mut late.series.t_s {
            *t += 5.0;
        }
        for event in &mut late.events {
            event.t_s += 5.0;
        }
        let bench = bench(&[&early, &late], &[], None).unwrap();
        let spread = bench.charts[0].lines[0].spread.as_ref().unwrap();
        assert!(spread.iter().flatten().all(|sd| *sd < 1e-9));
    }

    #[test]
    fn both_sets_and_one_recording_share_each_chart() {
        let (one, two) = (fixture::swing(), louder(3.0));
        let bench = bench(&[&one], &[&two], Some(&one)).unwrap();
        let labels: Vec<_> = bench.charts[0]
            .lines
            .iter()
            .map(|l| l.label.as_str())
            .collect();
        assert_eq!(labels, ["A", "B", "this recording"]);
        assert!(
            bench.charts[0].lines[0].spread.is_none(),
            "one swing has no spread"
        );
        assert_eq!(bench.plan.paths.len(), 4);
        let tops: Vec<_> = bench
            .events
            .iter()
            .filter(|e| e.label.starts_with("top"))
            .collect();
        assert_eq!(tops.len(), 1, "one top, on which all are laid");
        assert_eq!(
            tops[0].text,
            "top, estimated: every swing is laid on its own"
        );
    }

    #[test]
    fn without_a_top_there_is_nothing_to_lay() {
        let mut analysis = fixture::swing();
        analysis.events.clear();
        assert!(bench(&[&analysis], &[], None).is_none());
    }
}
