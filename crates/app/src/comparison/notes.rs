//! What a person should know of a comparison before anything is made of it.

use super::{CurveRow, Row, SetSummary, fewer_than_all, one_set_lacks};
use crate::analysis::{Analysis, Note};

/// Notes that need the recordings, after those that do not.
pub(super) fn notes(
    all: &[&Analysis],
    rows: &[Row],
    curves: &[CurveRow],
    sets: &[SetSummary; 2],
    cutoffs_differ: bool,
) -> Vec<(&'static str, String)> {
    let mut notes = standing_notes(rows, curves, sets);
    if cutoffs_differ {
        notes.push((
            "cutoffs-differ",
            "The recordings were filtered with different cut-offs, which alone can change peaks: set one cut-off for all.".into(),
        ));
    }
    let names = all.iter().enumerate().map(|(i, one)| {
        let set = &sets[usize::from(i >= sets[0].swings)];
        format!("{} in “{}”", one.file, set.label)
    });
    notes.extend(super::counted_twice(all, &names.collect::<Vec<_>>()));
    for (index, note) in between_recordings(all) {
        notes.push((note.code, format!("{}: {}", all[index].file, note.text)));
    }
    notes.extend(unlike_lingering(all, sets));
    for analysis in all {
        if analysis.notes.iter().any(|n| n.level == "stop") {
            notes.push((
                "doubtful-recording",
                format!(
                    "{} carries a note that says not to use it without looking.",
                    analysis.file
                ),
            ));
        }
    }
    notes
}

/// Where torque lingers about zero after takeaway in one set and not in the other, the time below zero
/// counts more that cannot be told in the one.
fn unlike_lingering(all: &[&Analysis], sets: &[SetSummary; 2]) -> Option<(&'static str, String)> {
    let lingers = |a: &&&Analysis| a.notes.iter().any(|n| n.code == "torque-lingers");
    let (in_a, in_b) = all.split_at_checked(sets[0].swings)?;
    let counts = [in_a, in_b].map(|set| (set.iter().filter(lingers).count(), set.len()));
    let [(some_a, n_a), (some_b, n_b)] = counts;
    (some_a * n_b != some_b * n_a).then(|| {
        (
            "lingering-differs",
            format!(
                "Torque lingers about zero after takeaway, beneath the noise, in {some_a} of {n_a} swings in “{}” and {some_b} of {n_b} in “{}”: the time away from the target may have changed by that.",
                sets[0].label, sets[1].label
            ),
        )
    })
}

/// What recordings of one player say about each other, by their index: a mass that differs by more
/// than 3 %; more than 10 % is a stop. See [`footing_core::quality::between_recordings`].
pub fn between_recordings(all: &[&Analysis]) -> Vec<(usize, Note)> {
    let masses: Vec<Option<f64>> = all.iter().map(|a| a.mass_kg.map(|m| m.0)).collect();
    footing_core::quality::between_recordings(&masses)
        .into_iter()
        .map(|(index, note)| {
            let note = Note {
                code: note.code,
                level: note.level.name(),
                text: note.text,
            };
            (index, note)
        })
        .collect()
}

/// What a reader of any comparison should know, here or at the other end of a link.
pub(crate) fn standing_notes(
    rows: &[Row],
    curves: &[CurveRow],
    sets: &[SetSummary; 2],
) -> Vec<(&'static str, String)> {
    let mut notes = Vec::new();
    let read: Vec<&Row> = rows
        .iter()
        .filter(|r| !r.rescaled() && r.found.is_ok())
        .collect();
    let told = read.iter().filter(|r| !r.too_few()).count();
    if told > 0 {
        let stand = read.iter().filter(|r| r.stands()).count();
        notes.push((
            "many-rows",
            format!(
                "{told} measures are read at once, and about one in twenty would look changed by chance: {stand} stand{} when that is allowed for (Holm).",
                if stand == 1 { "s" } else { "" }
            ),
        ));
    }
    notes.push((
        "one-player-one-day",
        "The verdicts hold if all swings are one player's on one occasion: they say nothing of other days or of learning, and how much a player varies from day to day is not in the ordinary spread.".into(),
    ));
    for set in sets {
        let label = format!("“{}”", set.label);
        if set.swings < 3 {
            notes.push((
                "few-swings",
                format!(
                    "{label} holds {} swing{}; at least three a side are needed for a verdict.",
                    set.swings,
                    if set.swings == 1 { "" } else { "s" }
                ),
            ));
        }
        if set.set_aside > 0 {
            notes.push((
                "set-aside",
                format!("{} of {label} set aside by hand.", set.set_aside),
            ));
        }
        if set.overruled > 0 {
            notes.push((
                "overruled",
                format!(
                    "{} of {label} counted by hand against a note that says stop.",
                    set.overruled
                ),
            ));
        }
    }
    let [a, b] = sets;
    if a.swings != b.swings && a.swings.min(b.swings) >= 3 {
        notes.push((
            "unequal-sets",
            format!(
                "{} swings in “{}”, {} in “{}”: the intervals of the measures allow for it; where along a curve they differ is told too often when the smaller set also varies more.",
                a.swings, a.label, b.swings, b.label
            ),
        ));
    }
    for curve in curves {
        let lost = |n: usize, set: &SetSummary| {
            (n < set.swings).then(|| format!("{n} of {} in “{}”", set.swings, set.label))
        };
        let parts: Vec<String> = [lost(curve.a.n, a), lost(curve.b.n, b)]
            .into_iter()
            .flatten()
            .collect();
        if !parts.is_empty() && curve.a.n + curve.b.n > 0 {
            notes.push((
                "curves-left-out",
                format!(
                    "{}: {} could be laid from takeaway to impact; the others have no such curve.",
                    curve.label,
                    parts.join(", ")
                ),
            ));
        }
    }
    notes.extend(not_in_every_swing(rows, sets));
    if (curves.iter().filter_map(|curve| curve.tests.as_ref().ok()))
        .flatten()
        .any(|test| !test.stretches.is_empty())
    {
        notes.push((
            "stretches",
            "A stretch of the swing means that the curves differ somewhere in it: its ends are where the test is passed, not where the change begins or ends.".into(),
        ));
    }
    let estimated = read.iter().filter(|r| r.estimated).count();
    if estimated > 0 {
        notes.push((
            "estimated-events",
            format!(
                "{estimated} measures rest on estimated events: their intervals hold how the swings differ, not an error that the estimate makes in all of them alike. Where in the swing curves differ rests on them too."
            ),
        ));
    }
    notes.extend(neighbours_alike(&read));
    notes
}

/// Neighbouring swings that resemble each other more than chance lets them. The lag-1 correlation of n
/// independent swings is about −1/n with an SD of about 1/√n; it is told when three rows in twenty lie
/// above the upper 5 % of that.
fn neighbours_alike(read: &[&Row]) -> Option<(&'static str, String)> {
    const TOLD_SHARE: f64 = 0.15;
    let alike: Vec<bool> = read
        .iter()
        .filter(|row| !row.too_few())
        .filter_map(|row| {
            let found = row.found.as_ref().ok()?;
            let n = found.a.n.min(found.b.n) as f64;
            Some(found.lag1?.r > 1.645 / n.sqrt() - 1.0 / n)
        })
        .collect();
    let runs = alike.iter().filter(|alike| **alike).count();
    (runs > 0 && runs as f64 >= TOLD_SHARE * alike.len() as f64).then(|| {
        (
            "neighbours-alike",
            format!(
                "In {runs} of {} measures neighbouring swings resemble each other more than chance lets them (lag-1 correlation): their intervals may be too narrow.",
                alike.len()
            ),
        )
    })
}

/// Measures that only some swings have, with how many of each set do.
fn not_in_every_swing(rows: &[Row], sets: &[SetSummary; 2]) -> Option<(&'static str, String)> {
    let labels = sets.each_ref().map(|set| format!("“{}”", set.label));
    let names = labels.each_ref().map(String::as_str);
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for row in rows.iter().filter(|row| !row.rescaled()) {
        let counts = match &row.found {
            Ok(found) => fewer_than_all(found, sets, names),
            Err(_) => one_set_lacks(row, names),
        };
        let Some(counts) = counts else { continue };
        match groups.iter_mut().find(|(known, _)| *known == counts) {
            Some((_, labels)) => labels.push(row.label),
            None => groups.push((counts, vec![row.label])),
        }
    }
    let parts: Vec<String> = groups
        .into_iter()
        .map(|(counts, labels)| format!("{counts}: {}", labels.join("; ")))
        .collect();
    (!parts.is_empty()).then(|| {
        (
            "not-in-every-swing",
            format!(
                "Not every swing has every measure, and that some lack one says something too: a change is told of those that have it. {}.",
                parts.join(". ")
            ),
        )
    })
}
