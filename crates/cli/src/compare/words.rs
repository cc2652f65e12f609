//! The table for people.

use std::borrow::Cow;
use std::fmt::Write;

use footing_app::comparison::{Align, Comparison, Design};
use footing_app::findings::{Finding, findings, worth_a_second_look};
use footing_app::view::compared;
use footing_app::view::number::fixed;
use footing_app::view::tray;

use super::{CAUTION, Told};
use crate::text::{columns_right, one_line};

/// Heads of the findings, in the order of [`cells`].
pub const HEADS: [&str; 8] = [
    "measure",
    "unit",
    "A",
    "B",
    "change",
    "95 % interval",
    "spread",
    "verdict",
];

/// One finding as a row.
pub fn cells(finding: &Finding) -> [String; 8] {
    let estimated = if finding.estimated { " ≈" } else { "" };
    [
        finding.label.to_owned(),
        finding.unit.to_owned(),
        finding.a.clone(),
        finding.b.clone(),
        finding.change.clone(),
        finding.interval.clone(),
        finding.spread.clone(),
        format!("{}{estimated}", finding.verdict),
    ]
}

/// What was compared, in one line.
pub fn provenance(comparison: &Comparison) -> String {
    let set = |i: usize, letter: &str| {
        let set = &comparison.sets[i];
        format!(
            "{letter} “{}” {} swing{}",
            set.label,
            set.swings,
            if set.swings == 1 { "" } else { "s" }
        )
    };
    let low_pass = comparison
        .low_pass_hz
        .map_or_else(String::new, |hz| format!(", low-pass {} Hz", fixed(hz, 1)));
    let threshold = comparison.load_threshold_n.map(|(least, most)| {
        let (least, most) = (fixed(least, 1), fixed(most, 1));
        let up_to = if least == most {
            ""
        } else {
            &format!(" to {most}")
        };
        format!(", load threshold {least}{up_to} N")
    });
    let pairs = match comparison.design {
        Design::Separate => "",
        Design::Paired => ", in pairs",
    };
    let laid = match comparison.align {
        Align::Piecewise => "at takeaway, top and impact",
        Align::Linear => "from takeaway to impact as one stretch",
    };
    format!(
        "{}, {}{pairs}; {}, {}{low_pass}{}; curves laid over each other {laid}",
        set(0, "A"),
        set(1, "B"),
        tray::hand(comparison.handed),
        tray::about(comparison.about),
        threshold.unwrap_or_default()
    )
}

/// What the columns and signs of these rows mean.
pub fn legend(rows: &[Finding]) -> String {
    let estimated = if rows.iter().any(|row| !is_absent(row) && row.estimated) {
        "; ≈ estimated: read at an estimated event"
    } else {
        ""
    };
    format!(
        "change: B − A of the means; spread: two swings of an unchanged player seldom differ by more (MDC95){estimated}"
    )
}

/// What is absent, by reason: the reason and the measures, in the order of `rows`.
pub fn absences(rows: &[Finding]) -> Vec<(&str, Vec<&'static str>)> {
    let mut out: Vec<(&str, Vec<&'static str>)> = Vec::new();
    for row in rows.iter().filter(|row| is_absent(row)) {
        match out.iter_mut().find(|(reason, _)| *reason == row.verdict) {
            Some((_, labels)) => labels.push(row.label),
            None => out.push((&row.verdict, vec![row.label])),
        }
    }
    out
}

/// Where in the swing each curve differs by the test that leads and by the one beside it, a line each with the curve's
/// name before it; then how they were tested, where all were alike.
pub fn curves(comparison: &Comparison) -> Vec<(&'static str, String)> {
    let view = compared::view(comparison);
    let mut lines: Vec<(&'static str, String)> = view
        .differences
        .into_iter()
        .map(|curve| {
            let beside = curve.beside.map(|said| format!(". {said}"));
            (curve.label, curve.sentence + &beside.unwrap_or_default())
        })
        .collect();
    lines.extend(view.tested.map(|how| ("tests", how)));
    lines
}

/// What is said of the whole comparison beside its sentences.
pub fn notes<'a>(comparison: &'a Comparison, rows: &[Finding]) -> Vec<Cow<'a, str>> {
    let notes = comparison.notes.iter();
    notes
        .map(|(_, text)| Cow::Borrowed(text.as_str()))
        .chain(worth_a_second_look(rows).map(Cow::Owned))
        .collect()
}

/// Whether a measure could not be compared.
pub fn is_absent(row: &Finding) -> bool {
    row.verdict_id == "absent"
}

/// Everything about a comparison.
pub fn table(told: &Told) -> String {
    let mut out = String::new();
    for sentence in &told.sentences {
        let _ = writeln!(out, "{}", one_line(sentence));
    }
    out.push('\n');
    for (head, words) in [("title", &told.words.title), ("cue", &told.words.cue)] {
        if let Some(words) = words {
            let _ = writeln!(out, "{head}: {}", one_line(words));
        }
    }
    let _ = writeln!(out, "{}", one_line(&provenance(&told.comparison)));
    out.push_str("Findings\n");
    let mut rows = vec![HEADS.map(str::to_owned).to_vec()];
    let all = findings(&told.comparison);
    rows.extend(
        all.iter()
            .filter(|finding| !is_absent(finding))
            .map(|finding| cells(finding).map(|cell| one_line(&cell)).to_vec()),
    );
    out.push_str(&columns_right(&rows, &[2, 3, 4, 5, 6]));
    let _ = writeln!(out, "  {}", legend(&all));
    let absent = absences(&all);
    if !absent.is_empty() {
        out.push_str("Absent\n");
    }
    for (reason, labels) in absent {
        let _ = writeln!(out, "  {}: {}", one_line(reason), labels.join(", "));
    }
    out.push_str("Curves\n");
    for (name, said) in curves(&told.comparison) {
        let _ = writeln!(out, "  {name}: {}.", one_line(&said));
    }
    out.push_str("Notes\n");
    for text in notes(&told.comparison, &all) {
        let _ = writeln!(out, "  {}", one_line(&text));
    }
    if let Some(link) = &told.link {
        let _ = writeln!(out, "Link\n  {}", one_line(link));
    }
    let _ = writeln!(out, "{CAUTION}");
    out
}
