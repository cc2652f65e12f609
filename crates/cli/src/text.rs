//! The table for people.

use std::fmt::Write;

use footing_app::Settings;
use footing_app::analysis::{Analysis, Measure};
use footing_app::core::quality;
use footing_app::view::number::{decimals_of, fixed};

use crate::notes::in_print;

/// One line: control characters (line breaks, terminal escapes from a hostile file) as spaces.
pub fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// Lines of left-aligned cells, each column as wide as its widest cell.
pub fn columns(rows: &[Vec<String>]) -> String {
    columns_right(rows, &[])
}

/// The same with the columns named, counted from 0, aligned to the right.
pub fn columns_right(rows: &[Vec<String>], right: &[usize]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .map(|cell| cell.chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(width).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::from("  ");
        for (column, (cell, width)) in row.iter().zip(&widths).enumerate() {
            let gap = width - cell.chars().count();
            let (before, after) = if right.contains(&column) {
                (gap, 2)
            } else {
                (0, gap + 2)
            };
            line.extend(std::iter::repeat_n(' ', before));
            line.push_str(cell);
            line.extend(std::iter::repeat_n(' ', after));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// A number as people read it, with a true minus sign: three decimals under ten, two under a hundred, one above.
pub fn number(value: f64) -> String {
    let size = value.abs();
    let decimals = if size < 10.0 {
        3
    } else if size < 100.0 {
        2
    } else {
        1
    };
    fixed(value, decimals)
}

/// Everything about one recording; what says stop before everything else.
pub fn analysis(a: &Analysis, settings: &Settings) -> String {
    let mut out = String::new();
    let filter = a.low_pass_hz.map_or_else(
        || "no low-pass".to_owned(),
        |hz| format!("low-pass {hz:.1} Hz"),
    );
    let threshold = a
        .load_threshold_n
        .map_or_else(String::new, |n| format!(", load threshold {n:.1} N"));
    let mass = a.mass_kg.map_or_else(
        || "mass unknown".to_owned(),
        |(kg, sd)| match sd {
            Some(sd) if sd < 0.005 => format!("{kg:.2} kg ± under 0.01"),
            Some(sd) if sd < 0.05 => format!("{kg:.2} ± {sd:.2} kg"),
            Some(sd) => format!("{kg:.1} ± {sd:.1} kg"),
            None => format!("{kg:.1} kg"),
        },
    );
    let _ = writeln!(
        out,
        "{} — {}\n  {} Hz, {:.3} s, {mass}, {}-handed, about {}, {filter}{threshold}",
        one_line(&a.file),
        one_line(&a.format),
        a.rate_hz,
        a.duration_s,
        a.handed.name(),
        a.about.name(),
    );
    let (stops, notes): (Vec<_>, Vec<_>) = a.notes.iter().partition(|n| n.level == "stop");
    let stops: Vec<Vec<String>> = stops
        .into_iter()
        .map(|n| vec![in_print(n.code, &n.text, settings)])
        .collect();
    section(
        &mut out,
        "Stop: look before using this recording; a comparison leaves it out",
        &stops,
    );
    let plates: Vec<Vec<String>> = a
        .plates
        .iter()
        .map(|p| {
            vec![
                one_line(&p.label),
                p.foot.to_owned(),
                p.kind.to_owned(),
                format!("peak {:.0} N", p.peak_fz_n),
            ]
        })
        .collect();
    section(&mut out, "Plates", &plates);
    let present = a.events.iter().map(|e| {
        let decimals = if e.uncertainty_s < 0.005 { 3 } else { 2 };
        vec![
            e.kind.label().to_owned(),
            format!("{} s", fixed(e.t_s, decimals)),
            format!("± {:.decimals$} s", e.uncertainty_s),
            e.source.to_owned(),
            one_line(&e.how),
        ]
    });
    let missing = a.missing_events.iter().map(|(kind, reason)| {
        let absent = ["absent", "", ""].map(str::to_owned);
        let mut row = vec![kind.label().to_owned()];
        row.extend(absent);
        row.push(one_line(reason));
        row
    });
    let events: Vec<Vec<String>> = present.chain(missing).collect();
    section(&mut out, "Events", &events);
    let measures: Vec<Vec<String>> = a
        .measures
        .iter()
        .map(|m| {
            let (value, unit, remark) = match &m.value {
                Ok(value) => (of_measure(m, *value), m.unit, remark(m, a)),
                Err(reason) => ("absent".to_owned(), "", one_line(reason)),
            };
            vec![m.label.to_owned(), value, unit.to_owned(), remark]
        })
        .collect();
    section(&mut out, "Measures", &measures);
    let notes: Vec<Vec<String>> = notes
        .into_iter()
        .map(|n| vec![n.level.to_owned(), in_print(n.code, &n.text, settings)])
        .collect();
    section(&mut out, "Notes", &notes);
    out
}

/// How far an angle is from that at address, what a value rests on (see [`estimated`]), and the codes of what warns of it in particular.
fn remark(measure: &Measure, a: &Analysis) -> String {
    let warns = a.notes.iter().filter(|n| n.level != "note");
    let mut codes: Vec<&str> = warns
        .filter(|n| {
            let begins = quality::concerns(n.code).unwrap_or_default();
            begins.iter().any(|b| measure.id.starts_with(b))
        })
        .map(|n| n.code)
        .collect();
    codes.dedup();
    let careful = match codes.join(", ") {
        codes if codes.is_empty() => codes,
        codes => format!("careful ({codes})"),
    };
    let from_address = a.from_address_deg(measure).map(|deg| {
        let sign = if deg > 0.0 { "+" } else { "" };
        format!("{sign}{}° from address", number(deg))
    });
    let parts = [estimated(measure), careful];
    let parts = from_address.into_iter().chain(parts);
    let said: Vec<String> = parts.filter(|p| !p.is_empty()).collect();
    said.join("; ")
}

/// A measure's value, no finer than it is known.
fn of_measure(measure: &Measure, value: f64) -> String {
    if measure.unit == "s" {
        fixed(value, decimals_of(measure))
    } else {
        number(value)
    }
}

/// Which estimates a measure rests on, and what it would be if an estimated impact moved by 20 ms.
fn estimated(measure: &Measure) -> String {
    if measure.estimated.is_empty() {
        return String::new();
    }
    let events = format!("estimated ({})", measure.estimated.join(", "));
    let Some((earlier, later)) = measure.impact_shift else {
        return events;
    };
    let word = |value: Option<f64>| {
        value.map_or_else(|| "absent".to_owned(), |value| of_measure(measure, value))
    };
    format!(
        "{events}; impact 20 ms earlier {}, later {}",
        word(earlier),
        word(later)
    )
}

/// A heading and its rows; nothing for no rows.
pub fn section(out: &mut String, heading: &str, rows: &[Vec<String>]) {
    if !rows.is_empty() {
        out.push_str(heading);
        out.push('\n');
        out.push_str(&columns(rows));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example;

    #[test]
    fn every_number_has_its_unit_and_every_absence_its_reason() {
        let text = analysis(&example::analysis("a.csv"), &Settings::default());
        assert!(
            text.starts_with("a.csv — table, 13 columns, comma\n"),
            "{text}"
        );
        for line in [
            "  1000 Hz, 0.002 s, 74.0 ± 0.2 kg, left-handed, about stance-centre, low-pass 50.0 Hz, load threshold 36.3 N",
            "  plate 1  lead  six-component  peak 720 N",
            "  top             0.001 s  ± 0.000 s  given      Set by hand.",
            "  lead arm level  absent                         force does not show it",
            "  lowest torque              −24.60  N·m  estimated (impact); impact 20 ms earlier −24.60, later absent",
            "  impact          0.00 s   ± 0.04 s   estimated  A guess.",
            "  torque returns above zero  absent       torque does not return above zero before impact",
            "  impulse ratio              0.500",
            "  warn  Weighed 2 kg more.",
        ] {
            assert!(text.lines().any(|l| l == line), "{line:?} not in\n{text}");
        }
    }

    #[test]
    fn nothing_is_printed_finer_than_it_is_known() {
        let mut analysed = example::analysis("a.csv");
        let crossing = &mut analysed.measures[1];
        crossing.value = Ok(-0.0624);
        analysed.mass_kg = Some((74.0, Some(0.02)));
        let text = analysis(&analysed, &Settings::default());
        assert!(text.contains("torque returns above zero  −0.06 "), "{text}");
        assert!(text.contains("74.00 ± 0.02 kg"), "{text}");
        analysed.measures[1].estimated.clear();
        analysed.mass_kg = Some((74.0, Some(0.002)));
        let text = analysis(&analysed, &Settings::default());
        assert!(
            text.contains("torque returns above zero  −0.062 "),
            "{text}"
        );
        assert!(text.contains("74.00 kg ± under 0.01"), "{text}");
    }

    /// As in `compare` and on the page; `--json` and `--csv` have the hyphen that machines read.
    #[test]
    fn below_zero_stands_a_true_minus() {
        let mut analysed = example::analysis("a.csv");
        analysed.events[0].t_s = -0.25;
        analysed.measures[1].value = Ok(-0.0004);
        let text = analysis(&analysed, &Settings::default());
        assert!(text.contains("  top             −0.250 s  ± "), "{text}");
        assert!(text.contains("  −24.60  N·m  "), "{text}");
        // nothing is nothing, not minus nothing
        assert!(text.contains("above zero  0.00 "), "{text}");
        assert!(!text.contains(" -"), "{text}");
        assert_eq!([number(-3.0), number(-612.04)], ["−3.000", "−612.0"]);
    }

    #[test]
    fn hostile_text_stays_on_one_line() {
        assert_eq!(one_line("a\n\u{1b}[2Jb\r"), "a  [2Jb ");
    }
}
