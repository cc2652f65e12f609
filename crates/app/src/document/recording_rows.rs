//! Recordings as rows.

use std::io::Write;

use super::Measured;
use super::table::Table;
use crate::analysis::{Analysis, FootSeries, Measure};

const FOOT_COLUMNS: [&str; 6] = [
    "ft_n",
    "fa_n",
    "fz_n",
    "cop_t_m",
    "cop_a_m",
    "free_moment_nm",
];

fn cell(value: Option<f64>) -> String {
    value.map(|v| v.to_string()).unwrap_or_default()
}

fn number(values: &[f64], i: usize) -> String {
    cell(values.get(i).copied())
}

fn maybe(values: &[Option<f64>], i: usize) -> String {
    cell(values.get(i).copied().flatten())
}

/// One row a recording: `file`, the measures by id, then what they are about, the hand, the cut-off
/// used, in words why measures are absent, which rest on estimated events, and what they would
/// be if an estimated impact came 20 ms earlier and 20 ms later, then the load threshold used and the foot-to-foot angles from that at address.
///
/// # Errors
/// When `out` cannot be written.
pub fn measure_rows(out: &mut dyn Write, measured: &[Measured<'_>]) -> csv::Result<()> {
    let mut rows = Table::new(out);
    // Every analysis carries every measure, so the first names the columns.
    if let Some(first) = measured.first() {
        let measures = first.analysis.measures.iter().map(|m| m.id);
        let head: Vec<String> = ["file"]
            .into_iter()
            .chain(measures)
            .chain(ABOUT_COLUMNS)
            .map(str::to_owned)
            .chain(angles(first.analysis).map(|m| m.id.replace("_deg", "_from_address_deg")))
            .collect();
        rows.row(&head)?;
    }
    for one in measured {
        let analysis = one.analysis;
        let mut cells = vec![analysis.file.clone()];
        for measure in &analysis.measures {
            cells.push(cell(measure.value.as_ref().ok().copied()));
        }
        cells.push(analysis.about.name().to_owned());
        cells.push(analysis.handed.name().to_owned());
        let off = || "off".to_owned();
        cells.push(analysis.low_pass_hz.map_or_else(off, |hz| hz.to_string()));
        cells.push(listed(analysis, |m| m.value.as_ref().err().cloned()));
        cells.push(listed(analysis, |m| {
            let tells = m.value.is_ok() && !m.estimated.is_empty();
            tells.then(|| m.estimated.join(" "))
        }));
        cells.push(listed(analysis, |m| {
            let (earlier, later) = m.impact_shift?;
            let word = |value: Option<f64>| value.map_or("absent".to_owned(), |v| v.to_string());
            Some(format!("{} {}", word(earlier), word(later)))
        }));
        cells.push(cell(analysis.load_threshold_n));
        cells.extend(angles(analysis).map(|m| cell(analysis.from_address_deg(m))));
        rows.row(&cells)?;
    }
    rows.done()
}

/// What follows the measures in a row.
const ABOUT_COLUMNS: [&str; 7] = [
    "about",
    "handed",
    "low_pass_hz",
    "absent",
    "estimated",
    "impact_shift_20ms",
    "load_threshold_n",
];

/// The foot-to-foot angles that are given relative to that at address too.
fn angles(analysis: &Analysis) -> impl Iterator<Item = &Measure> {
    analysis.measures.iter().filter(|m| m.has_address())
}

/// What there is to say about each measure, as `id: words`, in one cell.
fn listed(analysis: &Analysis, words: impl Fn(&Measure) -> Option<String>) -> String {
    let said = analysis
        .measures
        .iter()
        .filter_map(|m| Some(format!("{}: {}", m.id, words(m)?)));
    said.collect::<Vec<_>>().join("; ")
}

/// One row a sample: `file`, `t_s`, torque, angle, then lead, trail and total, and what torque is about.
///
/// # Errors
/// When `out` cannot be written.
pub fn sample_rows(out: &mut dyn Write, measured: &[Measured<'_>]) -> csv::Result<()> {
    let mut rows = Table::new(out);
    let mut header = ["file", "t_s", "torque_nm", "cop_angle_deg"]
        .map(str::to_owned)
        .to_vec();
    for foot in ["lead", "trail", "total"] {
        for column in FOOT_COLUMNS {
            header.push(format!("{foot}_{column}"));
        }
    }
    header.push("about".to_owned());
    rows.row(&header)?;
    let absent = FootSeries::default();
    for one in measured {
        let series = &one.analysis.series;
        for i in 0..series.t_s.len() {
            let mut cells = vec![
                one.analysis.file.clone(),
                number(&series.t_s, i),
                maybe(&series.torque_nm, i),
                maybe(&series.cop_angle_deg, i),
            ];
            for foot in [
                series.lead.as_ref().unwrap_or(&absent),
                series.trail.as_ref().unwrap_or(&absent),
                &series.total,
            ] {
                for values in [&foot.ft_n, &foot.fa_n, &foot.fz_n] {
                    cells.push(number(values, i));
                }
                for values in [&foot.cop_t_m, &foot.cop_a_m, &foot.free_moment_nm] {
                    cells.push(maybe(values, i));
                }
            }
            cells.push(one.analysis.about.name().to_owned());
            rows.row(&cells)?;
        }
    }
    rows.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::fixture;

    fn written(
        write: impl Fn(&mut Vec<u8>, &[Measured<'_>]) -> csv::Result<()>,
        recordings: &[Analysis],
    ) -> String {
        let measured: Vec<Measured<'_>> = recordings
            .iter()
            .map(|analysis| Measured {
                path: "",
                swing_s: None,
                analysis,
            })
            .collect();
        let mut out = Vec::new();
        write(&mut out, &measured).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn measures_one_row_a_file() {
        let quoted = Analysis {
            file: "b, \"late\".csv".into(),
            low_pass_hz: None,
            ..fixture::swing()
        };
        let text = written(
            |out, all| measure_rows(out, all),
            &[fixture::swing(), quoted],
        );
        assert_eq!(
            text,
            "file,torque_min_nm,torque_zero_cross_s,impulse_net_nms,lead_share_at_top,cop_angle_at_arm_level_deg,about,handed,low_pass_hz,absent,estimated,impact_shift_20ms,load_threshold_n,cop_angle_at_arm_level_from_address_deg\r\n\
             made.csv,-40,-0.25,1.3,0.38,,stance-centre,left,50,cop_angle_at_arm_level_deg: lead arm level is not given,torque_zero_cross_s: top; impulse_net_nms: impact,impulse_net_nms: 1.1 absent,36.28,\r\n\
             \"b, \"\"late\"\".csv\",-40,-0.25,1.3,0.38,,stance-centre,left,off,cop_angle_at_arm_level_deg: lead arm level is not given,torque_zero_cross_s: top; impulse_net_nms: impact,impulse_net_nms: 1.1 absent,36.28,\r\n"
        );
    }

    #[test]
    fn series_one_row_a_sample() {
        let mut swing = fixture::swing();
        swing.series.torque_nm[1] = None;
        swing.series.trail = None;
        let text = written(|out, all| sample_rows(out, all), &[swing]);
        let lines: Vec<&str> = text.split("\r\n").collect();
        assert!(lines[0].starts_with("file,t_s,torque_nm,cop_angle_deg,lead_ft_n,lead_fa_n"));
        assert_eq!(
            lines[2],
            "made.csv,0.01,,5,0,0.5,362.8,0.2,0.01,0,,,,,,,,,725.6,0,0.01,,stance-centre"
        );
        assert_eq!(lines.len(), 1 + 301 + 1);
    }
}
