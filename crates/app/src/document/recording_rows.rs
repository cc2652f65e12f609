//! Recordings as rows.

use std::io::Write;

use super::Measured;
use super::table::Table;
use crate::analysis::FootSeries;

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

/// One row a recording: `file`, then the measures by id.
///
/// # Errors
/// When `out` cannot be written.
pub fn measure_rows(out: &mut dyn Write, measured: &[Measured<'_>]) -> csv::Result<()> {
    let mut rows = Table::new(out);
    // Every analysis carries every measure, so the first names the columns.
    if let Some(first) = measured.first() {
        let mut head = vec!["file".to_owned()];
        for measure in &first.analysis.measures {
            head.push(measure.id.to_owned());
        }
        rows.row(&head)?;
    }
    for one in measured {
        let mut cells = vec![one.analysis.file.clone()];
        for measure in &one.analysis.measures {
            cells.push(cell(measure.value.as_ref().ok().copied()));
        }
        rows.row(&cells)?;
    }
    rows.done()
}

/// One row a sample: `file`, `t_s`, torque, angle, then lead, trail and total.
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
            rows.row(&cells)?;
        }
    }
    rows.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Analysis;
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
            ..fixture::swing()
        };
        let text = written(
            |out, all| measure_rows(out, all),
            &[fixture::swing(), quoted],
        );
        assert_eq!(
            text,
            "file,torque_min_nm,torque_zero_cross_s,impulse_net_nms,lead_share_at_top,cop_angle_at_arm_level_deg\r\n\
             made.csv,-40,-0.25,1.3,0.38,\r\n\
             \"b, \"\"late\"\".csv\",-40,-0.25,1.3,0.38,\r\n"
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
            "made.csv,0.01,,5,0,0.5,362.8,0.2,0.01,0,,,,,,,,,725.6,0,0.01,"
        );
        assert_eq!(lines.len(), 1 + 301 + 1);
    }
}
