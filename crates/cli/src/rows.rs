//! CSV by RFC 4180: comma, CRLF, quotes where needed, an empty cell for what is absent.

use std::io::Write;

use footing_app::analysis::{FootSeries, Series};

use crate::json::Measured;

fn writer<W: Write>(out: W) -> csv::Writer<W> {
    csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(out)
}

fn cell(value: Option<f64>) -> String {
    value.map(|v| v.to_string()).unwrap_or_default()
}

/// One row a recording: `file`, then the measures by id.
pub fn measures<W: Write>(out: W, measured: &[Measured]) -> csv::Result<()> {
    let mut rows = writer(out);
    // Every analysis carries every measure, so the first names the columns.
    if let Some(first) = measured.first() {
        let ids = first.analysis.measures.iter().map(|m| m.id);
        rows.write_record(["file"].into_iter().chain(ids))?;
    }
    for one in measured {
        let values = one.analysis.measures.iter().map(|m| {
            let value = m.value.as_ref().ok().copied();
            cell(value)
        });
        rows.write_record([one.analysis.file.clone()].into_iter().chain(values))?;
    }
    rows.flush()?;
    Ok(())
}

const FOOT_COLUMNS: [&str; 6] = [
    "ft_n",
    "fa_n",
    "fz_n",
    "cop_t_m",
    "cop_a_m",
    "free_moment_nm",
];

/// One row a sample: `file`, `t_s`, torque, angle, then lead, trail and total.
pub fn series<W: Write>(out: W, measured: &[Measured]) -> csv::Result<()> {
    let mut rows = writer(out);
    let mut header: Vec<String> = ["file", "t_s", "torque_nm", "cop_angle_deg"]
        .map(str::to_owned)
        .into();
    for foot in ["lead", "trail", "total"] {
        header.extend(FOOT_COLUMNS.iter().map(|column| format!("{foot}_{column}")));
    }
    rows.write_record(&header)?;
    for one in measured {
        for i in 0..one.analysis.series.t_s.len() {
            rows.write_record(row(&one.analysis.file, &one.analysis.series, i))?;
        }
    }
    rows.flush()?;
    Ok(())
}

fn row(file: &str, series: &Series, i: usize) -> Vec<String> {
    let number = |values: &[f64]| cell(values.get(i).copied());
    let maybe = |values: &[Option<f64>]| cell(values.get(i).copied().flatten());
    let mut cells = vec![
        file.to_owned(),
        number(&series.t_s),
        maybe(&series.torque_nm),
        maybe(&series.cop_angle_deg),
    ];
    let absent = FootSeries::default();
    for foot in [
        series.lead.as_ref().unwrap_or(&absent),
        series.trail.as_ref().unwrap_or(&absent),
        &series.total,
    ] {
        cells.extend([
            number(&foot.ft_n),
            number(&foot.fa_n),
            number(&foot.fz_n),
            maybe(&foot.cop_t_m),
            maybe(&foot.cop_a_m),
            maybe(&foot.free_moment_nm),
        ]);
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example;

    #[test]
    fn measures_one_row_a_file() {
        let mut out = Vec::new();
        let measured = [
            example::measured("a.csv"),
            example::measured("b, \"late\".csv"),
        ];
        measures(&mut out, &measured).unwrap();
        assert_eq!(
            String::from_utf8(out).unwrap(),
            "file,torque_min_nm,torque_zero_cross_s,impulse_ratio\r\n\
             a.csv,-24.6,,0.5\r\n\
             \"b, \"\"late\"\".csv\",-24.6,,0.5\r\n"
        );
    }

    #[test]
    fn series_one_row_a_sample() {
        let mut out = Vec::new();
        series(&mut out, &[example::measured("a.csv")]).unwrap();
        let text = String::from_utf8(out).unwrap();
        let lines: Vec<&str> = text.split("\r\n").collect();
        assert!(lines[0].starts_with("file,t_s,torque_nm,cop_angle_deg,lead_ft_n,lead_fa_n"));
        assert_eq!(
            lines[1],
            "a.csv,0,1.5,,1,-1,300,0.25,0.01,4,,,,,,,1,-1,700,0.25,0.01,4"
        );
        assert_eq!(lines[3], "a.csv,0.002,-2,,3,-3,320,,,,,,,,,,3,-3,720,,,");
        assert_eq!(lines.len(), 5);
    }
}
