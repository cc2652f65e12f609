//! Recordings one by one: `footing-measures/1`.

use std::io::{self, Write};

use serde::{Serialize, Serializer};

use crate::analysis::{
    Analysis, Event, FootSeries, LowPass, Note, PlateSummary, Reference, Series,
};

/// One analysed recording: the path it was given by, and what came of it.
#[derive(Debug, Clone, Copy)]
pub struct Measured<'a> {
    /// The path as given; on the page the file's name.
    pub path: &'a str,
    /// The one of several swings in that file, from and to on its clock, seconds; `None`: the whole of it.
    pub swing_s: Option<(f64, f64)>,
    /// What came of it.
    pub analysis: &'a Analysis,
}

/// Writes `footing-measures/1`; with `series` every sample too.
///
/// The document's `low_pass_hz` is the cut-off asked for; with `auto` the one that all recordings share, if they do.
///
/// # Errors
/// When `out` cannot be written.
pub fn measures(
    out: &mut impl Write,
    about: Reference,
    low_pass: LowPass,
    measured: &[Measured<'_>],
    series: bool,
) -> io::Result<()> {
    let low_pass_hz = match low_pass {
        LowPass::Off => None,
        LowPass::Hz(hz) => Some(hz),
        LowPass::Auto => shared(measured.iter().map(|m| m.analysis.low_pass_hz)),
    };
    let document = Node::Object(vec![
        ("format", "footing-measures/1".into()),
        ("about", about.name().into()),
        ("low_pass_hz", low_pass_hz.into()),
        ("recordings", each(measured, |one| recording(one, series))),
    ]);
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

fn shared(mut values: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    let first = values.next()??;
    values.all(|v| v == Some(first)).then_some(first)
}

fn recording<'a>(one: &Measured<'a>, series: bool) -> Node<'a> {
    let &Measured {
        path,
        swing_s,
        analysis,
    } = one;
    let mass = analysis.mass_kg;
    let mut out = vec![
        ("file", analysis.file.as_str().into()),
        ("path", path.into()),
        ("kind", analysis.format.as_str().into()),
        ("rate_hz", analysis.rate_hz.into()),
        ("duration_s", analysis.duration_s.into()),
        ("handed", analysis.handed.name().into()),
        ("low_pass_hz", analysis.low_pass_hz.into()),
        ("load_threshold_n", analysis.load_threshold_n.into()),
        ("mass_kg", mass.map(|(mass, _)| mass).into()),
        ("mass_sd_kg", mass.and_then(|(_, sd)| sd).into()),
        ("quiet_s", analysis.quiet_s.map_or(Node::Null, pair)),
        ("plates", each(&analysis.plates, plate)),
        (
            "events",
            named(&analysis.events, |e| Some((e.kind.id(), event(e)))),
        ),
        (
            "missing_events",
            named(&analysis.missing_events, |(kind, reason)| {
                Some((kind.id(), reason.as_str().into()))
            }),
        ),
        (
            "measures",
            named(&analysis.measures, |m| {
                Some((m.id, m.value.as_ref().ok().copied().into()))
            }),
        ),
        (
            "absent",
            named(&analysis.measures, |m| {
                Some((m.id, m.value.as_ref().err()?.as_str().into()))
            }),
        ),
        (
            "estimated",
            named(&analysis.measures, |m| {
                let tells = m.value.is_ok() && !m.estimated.is_empty();
                tells.then(|| (m.id, each(&m.estimated, |event| (*event).into())))
            }),
        ),
        (
            "impact_shift_20ms",
            named(&analysis.measures, |m| {
                let (earlier, later) = m.impact_shift?;
                Some((m.id, Node::List(vec![earlier.into(), later.into()])))
            }),
        ),
        (
            "cop_angle_from_address_deg",
            named(&analysis.measures, |m| {
                Some((m.id, analysis.from_address_deg(m)?.into()))
            }),
        ),
        ("notes", each(&analysis.notes, note)),
    ];
    if let Some(swing_s) = swing_s {
        out.push(("swing_s", pair(swing_s)));
    }
    if series {
        out.push(("series", samples(&analysis.series)));
    }
    Node::Object(out)
}

fn pair((first, second): (f64, f64)) -> Node<'static> {
    Node::List(vec![first.into(), second.into()])
}

fn plate(plate: &PlateSummary) -> Node<'_> {
    let outline = plate.outline_m.as_ref();
    Node::Object(vec![
        ("label", plate.label.as_str().into()),
        ("kind", plate.kind.into()),
        ("foot", plate.foot.into()),
        ("peak_fz_n", plate.peak_fz_n.into()),
        (
            "outline_m",
            outline.map_or(Node::Null, |corners| each(corners, |corner| pair(*corner))),
        ),
    ])
}

fn event(event: &Event) -> Node<'_> {
    Node::Object(vec![
        ("t_s", event.t_s.into()),
        ("source", event.source.into()),
        ("uncertainty_s", event.uncertainty_s.into()),
        ("how", event.how.as_str().into()),
    ])
}

fn note(note: &Note) -> Node<'_> {
    Node::Object(vec![
        ("code", note.code.into()),
        ("level", note.level.into()),
        ("text", note.text.as_str().into()),
    ])
}

fn samples(series: &Series) -> Node<'_> {
    Node::Object(vec![
        ("t_s", Node::Samples(&series.t_s)),
        ("torque_nm", Node::Gappy(&series.torque_nm)),
        ("cop_angle_deg", Node::Gappy(&series.cop_angle_deg)),
        ("lead", series.lead.as_ref().map_or(Node::Null, foot)),
        ("trail", series.trail.as_ref().map_or(Node::Null, foot)),
        ("total", foot(&series.total)),
    ])
}

fn foot(foot: &FootSeries) -> Node<'_> {
    Node::Object(vec![
        ("ft_n", Node::Samples(&foot.ft_n)),
        ("fa_n", Node::Samples(&foot.fa_n)),
        ("fz_n", Node::Samples(&foot.fz_n)),
        ("cop_t_m", Node::Gappy(&foot.cop_t_m)),
        ("cop_a_m", Node::Gappy(&foot.cop_a_m)),
        ("free_moment_nm", Node::Gappy(&foot.free_moment_nm)),
    ])
}

/// A part of the document. One type for all of them: a serialiser for each struct would be half as
/// much again of code for the page to carry.
enum Node<'a> {
    Null,
    Number(f64),
    Text(&'a str),
    Samples(&'a [f64]),
    /// Samples that may be missing.
    Gappy(&'a [Option<f64>]),
    List(Vec<Node<'a>>),
    Object(Vec<(&'static str, Node<'a>)>),
}

fn each<'a, T>(items: &'a [T], node: impl Fn(&'a T) -> Node<'a>) -> Node<'a> {
    Node::List(items.iter().map(node).collect())
}

fn named<'a, T>(
    items: &'a [T],
    entry: impl Fn(&'a T) -> Option<(&'static str, Node<'a>)>,
) -> Node<'a> {
    Node::Object(items.iter().filter_map(entry).collect())
}

impl From<f64> for Node<'_> {
    fn from(value: f64) -> Self {
        Self::Number(value)
    }
}

impl From<Option<f64>> for Node<'_> {
    fn from(value: Option<f64>) -> Self {
        value.map_or(Self::Null, Self::Number)
    }
}

impl<'a> From<&'a str> for Node<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(text)
    }
}

impl Serialize for Node<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Null => serializer.serialize_none(),
            Self::Number(value) => serializer.serialize_f64(*value),
            Self::Text(text) => serializer.serialize_str(text),
            Self::Samples(values) => serializer.collect_seq(*values),
            Self::Gappy(values) => serializer.collect_seq(*values),
            Self::List(nodes) => serializer.collect_seq(nodes),
            Self::Object(entries) => serializer.collect_map(entries.iter().map(|(k, v)| (k, v))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::fixture;
    use serde_json::{Value, json};

    fn text(about: Reference, low_pass: LowPass, recordings: &[Analysis], series: bool) -> String {
        let measured: Vec<Measured<'_>> = recordings
            .iter()
            .map(|analysis| Measured {
                path: "data/made.csv",
                swing_s: None,
                analysis,
            })
            .collect();
        let mut out = Vec::new();
        measures(&mut out, about, low_pass, &measured, series).unwrap();
        String::from_utf8(out).unwrap()
    }

    fn document(low_pass: LowPass, recordings: &[Analysis], series: bool) -> Value {
        serde_json::from_str(&text(Reference::StanceCentre, low_pass, recordings, series)).unwrap()
    }

    #[test]
    fn the_promised_shape() {
        let document = document(LowPass::Hz(50.0), &[fixture::swing()], false);
        assert_eq!(document["format"], "footing-measures/1");
        assert_eq!(document["about"], "stance-centre");
        assert_eq!(document["low_pass_hz"], 50.0);
        let recording = &document["recordings"][0];
        assert_eq!(recording["file"], "made.csv");
        assert_eq!(recording["path"], "data/made.csv");
        assert_eq!(recording["rate_hz"], 100.0);
        assert_eq!(recording["duration_s"], 3.0);
        assert_eq!(recording["handed"], "left");
        assert_eq!(recording["events"]["impact"]["t_s"], 2.25);
        assert_eq!(recording["events"]["impact"]["source"], "given");
        assert_eq!(recording["events"]["impact"]["uncertainty_s"], 0.0);
        assert_eq!(recording["measures"]["torque_min_nm"], -40.0);
        let absent = "cop_angle_at_arm_level_deg";
        assert_eq!(recording["measures"][absent], Value::Null);
        assert_eq!(
            recording["absent"],
            json!({absent: "lead arm level is not given"})
        );
        assert_eq!(
            recording["notes"][1],
            json!({"code": "odd", "level": "stop", "text": "Not a person."})
        );
        assert_eq!(recording["mass_kg"], 74.0);
        assert_eq!(recording["mass_sd_kg"], 0.1);
        assert_eq!(recording["quiet_s"], json!([0.6, 0.8]));
        assert_eq!(
            recording["missing_events"],
            json!({"arm_level": "force does not show when the lead arm is level"})
        );
        assert_eq!(
            recording["estimated"],
            json!({"torque_zero_cross_s": ["top"], "impulse_net_nms": ["impact"]})
        );
        assert_eq!(
            recording["impact_shift_20ms"],
            json!({"impulse_net_nms": [1.1, null]})
        );
        assert!(recording.get("series").is_none());
    }

    #[test]
    fn angles_relative_to_address() {
        let mut swing = fixture::swing();
        for (id, angle, value) in [
            ("lead_share_at_top", "cop_angle_at_address_deg", -1.0),
            ("impulse_net_nms", "cop_angle_at_top_deg", 5.0),
        ] {
            let measure = fixture::measure(&mut swing, id);
            (measure.id, measure.value) = (angle, Ok(value));
        }
        let document = document(LowPass::Off, &[swing], false);
        assert_eq!(
            document["recordings"][0]["cop_angle_from_address_deg"],
            json!({"cop_angle_at_top_deg": 6.0})
        );
    }

    #[test]
    fn series_when_asked_with_null_for_what_is_not_there() {
        let mut swing = fixture::swing();
        swing.series.torque_nm[1] = None;
        swing.series.trail = None;
        let document = document(LowPass::Off, &[fixture::swing(), swing], true);
        assert_eq!(document["low_pass_hz"], Value::Null);
        let series = &document["recordings"][1]["series"];
        assert_eq!(series["t_s"][1], 0.01);
        assert_eq!(series["torque_nm"][1], Value::Null);
        assert_eq!(series["lead"]["cop_t_m"][0], 0.2);
        assert_eq!(series["trail"], Value::Null);
        assert_eq!(series["total"]["fz_n"].as_array().unwrap().len(), 301);
    }

    #[test]
    fn measures_keep_the_order_of_the_definitions() {
        let text = text(Reference::Com, LowPass::Auto, &[fixture::swing()], false);
        let place = |id: &str| text.find(&format!("\"{id}\":")).unwrap();
        assert!(place("torque_min_nm") < place("torque_zero_cross_s"));
        assert!(place("torque_zero_cross_s") < place("impulse_net_nms"));
    }

    #[test]
    fn an_automatic_cut_off_is_common_only_when_shared() {
        let mut recordings = [fixture::swing(), fixture::swing()];
        assert_eq!(
            document(LowPass::Auto, &recordings, false)["low_pass_hz"],
            50.0
        );
        recordings[1].low_pass_hz = Some(14.0);
        let value = document(LowPass::Auto, &recordings, false);
        assert_eq!(value["low_pass_hz"], Value::Null);
        assert_eq!(value["recordings"][1]["low_pass_hz"], 14.0);
    }
}
