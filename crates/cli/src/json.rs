//! The JSON documents: counterparts of the analysis types, so that those can move while this
//! format stays.

use footing_app::analysis::{Analysis, FootSeries, LowPass, Measure, Reference, Series};
use footing_app::document::Ordered;

/// One analysed file: the path it was given by, and what came of it.
pub struct Measured {
    /// The path as given.
    pub path: String,
    /// What came of it.
    pub analysis: Analysis,
}

/// `footing-measures/1`.
#[derive(serde::Serialize)]
pub struct MeasuresDocument<'a> {
    format: &'static str,
    about: &'static str,
    low_pass_hz: Option<f64>,
    recordings: Vec<RecordingOut<'a>>,
}

impl<'a> MeasuresDocument<'a> {
    /// Everything `measure --json` prints. `low_pass_hz` is the cut-off asked for; with `auto` the
    /// one that all recordings share, if they do.
    pub fn new(
        about: Reference,
        low_pass: LowPass,
        measured: &'a [Measured],
        series: bool,
    ) -> Self {
        let low_pass_hz = match low_pass {
            LowPass::Off => None,
            LowPass::Hz(hz) => Some(hz),
            LowPass::Auto => shared(measured.iter().map(|m| m.analysis.low_pass_hz)),
        };
        Self {
            format: "footing-measures/1",
            about: about.name(),
            low_pass_hz,
            recordings: measured
                .iter()
                .map(|m| RecordingOut::new(m, series))
                .collect(),
        }
    }
}

fn shared(mut values: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    let first = values.next()??;
    values.all(|v| v == Some(first)).then_some(first)
}

#[derive(serde::Serialize)]
struct RecordingOut<'a> {
    file: &'a str,
    path: &'a str,
    kind: &'a str,
    rate_hz: f64,
    duration_s: f64,
    handed: &'static str,
    low_pass_hz: Option<f64>,
    mass_kg: Option<f64>,
    mass_sd_kg: Option<f64>,
    quiet_s: Option<(f64, f64)>,
    plates: Vec<PlateOut<'a>>,
    events: Ordered<&'static str, EventOut<'a>>,
    missing_events: Ordered<&'static str, &'a str>,
    measures: Ordered<&'static str, Option<f64>>,
    absent: Ordered<&'static str, &'a str>,
    estimated: Ordered<&'static str, &'a [&'static str]>,
    impact_shift_20ms: Ordered<&'static str, [Option<f64>; 2]>,
    notes: Vec<NoteOut<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    series: Option<SeriesOut<'a>>,
}

#[derive(serde::Serialize)]
struct PlateOut<'a> {
    label: &'a str,
    kind: &'static str,
    foot: &'static str,
    peak_fz_n: f64,
    outline_m: Option<[(f64, f64); 4]>,
}

#[derive(serde::Serialize)]
struct EventOut<'a> {
    t_s: f64,
    source: &'static str,
    uncertainty_s: f64,
    how: &'a str,
}

/// A note as printed.
#[derive(serde::Serialize)]
pub struct NoteOut<'a> {
    /// Stable code.
    pub code: &'a str,
    /// "note", "warn" or "stop".
    pub level: &'a str,
    /// Plain words.
    pub text: &'a str,
}

#[derive(serde::Serialize)]
struct SeriesOut<'a> {
    t_s: &'a [f64],
    torque_nm: &'a [Option<f64>],
    cop_angle_deg: &'a [Option<f64>],
    lead: Option<FootOut<'a>>,
    trail: Option<FootOut<'a>>,
    total: FootOut<'a>,
}

#[derive(serde::Serialize)]
struct FootOut<'a> {
    ft_n: &'a [f64],
    fa_n: &'a [f64],
    fz_n: &'a [f64],
    cop_t_m: &'a [Option<f64>],
    cop_a_m: &'a [Option<f64>],
    free_moment_nm: &'a [Option<f64>],
}

impl<'a> RecordingOut<'a> {
    fn new(measured: &'a Measured, series: bool) -> Self {
        let analysis = &measured.analysis;
        let present = |m: &'a Measure| (m.id, m.value.as_ref().ok().copied());
        Self {
            file: &analysis.file,
            path: &measured.path,
            kind: &analysis.format,
            rate_hz: analysis.rate_hz,
            duration_s: analysis.duration_s,
            handed: analysis.handed.name(),
            low_pass_hz: analysis.low_pass_hz,
            mass_kg: analysis.mass_kg.map(|(mass, _)| mass),
            mass_sd_kg: analysis.mass_kg.and_then(|(_, sd)| sd),
            quiet_s: analysis.quiet_s,
            plates: analysis
                .plates
                .iter()
                .map(|p| PlateOut {
                    label: &p.label,
                    kind: p.kind,
                    foot: p.foot,
                    peak_fz_n: p.peak_fz_n,
                    outline_m: p.outline_m,
                })
                .collect(),
            events: Ordered(
                analysis
                    .events
                    .iter()
                    .map(|e| {
                        let out = EventOut {
                            t_s: e.t_s,
                            source: e.source,
                            uncertainty_s: e.uncertainty_s,
                            how: &e.how,
                        };
                        (e.kind.id(), out)
                    })
                    .collect(),
            ),
            missing_events: Ordered(
                analysis
                    .missing_events
                    .iter()
                    .map(|(kind, reason)| (kind.id(), reason.as_str()))
                    .collect(),
            ),
            measures: Ordered(analysis.measures.iter().map(present).collect()),
            absent: Ordered(
                analysis
                    .measures
                    .iter()
                    .filter_map(|m| Some((m.id, m.value.as_ref().err()?.as_str())))
                    .collect(),
            ),
            estimated: Ordered(
                analysis
                    .measures
                    .iter()
                    .filter(|m| m.value.is_ok() && !m.estimated.is_empty())
                    .map(|m| (m.id, m.estimated.as_slice()))
                    .collect(),
            ),
            impact_shift_20ms: Ordered(
                analysis
                    .measures
                    .iter()
                    .filter_map(|m| {
                        let (earlier, later) = m.impact_shift?;
                        Some((m.id, [earlier, later]))
                    })
                    .collect(),
            ),
            notes: analysis
                .notes
                .iter()
                .map(|n| NoteOut {
                    code: n.code,
                    level: n.level,
                    text: &n.text,
                })
                .collect(),
            series: series.then(|| SeriesOut::new(&analysis.series)),
        }
    }
}

impl<'a> SeriesOut<'a> {
    fn new(series: &'a Series) -> Self {
        Self {
            t_s: &series.t_s,
            torque_nm: &series.torque_nm,
            cop_angle_deg: &series.cop_angle_deg,
            lead: series.lead.as_ref().map(FootOut::new),
            trail: series.trail.as_ref().map(FootOut::new),
            total: FootOut::new(&series.total),
        }
    }
}

impl<'a> FootOut<'a> {
    fn new(foot: &'a FootSeries) -> Self {
        Self {
            ft_n: &foot.ft_n,
            fa_n: &foot.fa_n,
            fz_n: &foot.fz_n,
            cop_t_m: &foot.cop_t_m,
            cop_a_m: &foot.cop_a_m,
            free_moment_nm: &foot.free_moment_nm,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example;
    use serde_json::{Value, json};

    fn document(low_pass: LowPass, series: bool) -> Value {
        let measured = [example::measured("a.csv"), example::measured("b.csv")];
        let document = MeasuresDocument::new(Reference::StanceCentre, low_pass, &measured, series);
        serde_json::to_value(document).unwrap()
    }

    #[test]
    fn the_promised_shape() {
        let document = document(LowPass::Hz(50.0), false);
        assert_eq!(document["format"], "footing-measures/1");
        assert_eq!(document["about"], "stance-centre");
        assert_eq!(document["low_pass_hz"], 50.0);
        let recording = &document["recordings"][0];
        assert_eq!(recording["file"], "a.csv");
        assert_eq!(recording["rate_hz"], 1000.0);
        assert_eq!(recording["duration_s"], 0.002);
        assert_eq!(recording["handed"], "left");
        assert_eq!(recording["events"]["top"]["t_s"], 0.001);
        assert_eq!(recording["events"]["top"]["source"], "given");
        assert_eq!(recording["events"]["top"]["uncertainty_s"], 0.0);
        assert_eq!(recording["measures"]["torque_min_nm"], -24.6);
        assert_eq!(recording["measures"]["torque_zero_cross_s"], Value::Null);
        assert_eq!(
            recording["absent"],
            json!({"torque_zero_cross_s": "torque does not return above zero before impact"})
        );
        assert_eq!(
            recording["notes"],
            json!([{"code": "mass-differs", "level": "warn", "text": "Weighed 2 kg more."}])
        );
        assert_eq!(recording["mass_kg"], 74.0);
        assert_eq!(recording["mass_sd_kg"], 0.2);
        assert_eq!(recording["quiet_s"], json!([0.0, 0.0005]));
        assert_eq!(
            recording["missing_events"],
            json!({"arm_level": "force does not show it"})
        );
        assert_eq!(recording["estimated"], json!({"torque_min_nm": ["impact"]}));
        assert_eq!(
            recording["impact_shift_20ms"],
            json!({"torque_min_nm": [-24.6, null]})
        );
        assert!(recording.get("series").is_none());
    }

    #[test]
    fn series_when_asked_with_null_for_what_is_not_there() {
        let document = document(LowPass::Off, true);
        assert_eq!(document["low_pass_hz"], Value::Null);
        let series = &document["recordings"][1]["series"];
        assert_eq!(series["t_s"], json!([0.0, 0.001, 0.002]));
        assert_eq!(series["torque_nm"], json!([1.5, null, -2.0]));
        assert_eq!(series["lead"]["cop_t_m"], json!([0.25, 0.26, null]));
        assert_eq!(series["trail"], Value::Null);
        assert_eq!(series["total"]["fz_n"], json!([700.0, 710.0, 720.0]));
    }

    #[test]
    fn measures_keep_the_order_of_the_definitions() {
        let measured = [example::measured("a.csv")];
        let document = MeasuresDocument::new(Reference::Com, LowPass::Auto, &measured, false);
        let text = serde_json::to_string(&document).unwrap();
        let place = |id: &str| text.find(&format!("\"{id}\":")).unwrap();
        assert!(place("torque_min_nm") < place("torque_zero_cross_s"));
        assert!(place("torque_zero_cross_s") < place("impulse_ratio"));
    }

    #[test]
    fn an_automatic_cut_off_is_common_only_when_shared() {
        assert_eq!(document(LowPass::Auto, false)["low_pass_hz"], 50.0);
        let mut measured = [example::measured("a.csv"), example::measured("b.csv")];
        measured[1].analysis.low_pass_hz = Some(14.0);
        let document = MeasuresDocument::new(Reference::Com, LowPass::Auto, &measured, false);
        let value = serde_json::to_value(document).unwrap();
        assert_eq!(value["low_pass_hz"], Value::Null);
        assert_eq!(value["recordings"][1]["low_pass_hz"], 14.0);
    }
}
