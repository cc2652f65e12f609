//! From files to a comparison: which recordings count in which set.

use std::fmt::Display;
use std::io::{self, Write};

use footing_app::comparison::{COUNTED_TWICE, Comparison, Design, counted_twice};
use footing_app::formats::Problem;
use footing_app::{Analysis, Choice, compare};

use super::stops::{self, Sets, Stopped};
use crate::args::CompareArgs;
use crate::files;
use crate::given::Given;
use crate::measure::{Measured, OTHER_MOVEMENT, measure_all};

/// Everything up to the comparison. The error is one line.
pub fn compared(
    args: &CompareArgs,
    refuse: &mut impl FnMut(&dyn Display),
) -> Result<Comparison, String> {
    let mut choice = Choice {
        labels: [args.label_a.clone(), args.label_b.clone()],
        design: if args.paired {
            Design::Paired
        } else {
            Design::Separate
        },
        align: args.align.into(),
        ..Choice::default()
    };
    let rig = args.reading.rig.as_deref();
    let one_line = |problem: Problem| problem.to_string();
    let mut a = files::inputs(&args.a, rig).map_err(one_line)?;
    let mut b = files::inputs(&args.b, rig).map_err(one_line)?;
    // A rig among the files of one set is the other's too, unless that has its own.
    a.rig = a.rig.or_else(|| b.rig.clone());
    b.rig = b.rig.or_else(|| a.rig.clone());
    let given = Given::of_file(args.reading.events.as_deref()).map_err(one_line)?;
    given.name_strangers(a.recordings.iter().chain(&b.recordings), refuse);
    let settings = args.reading.settings();
    let mut in_a = measure_all(&a, &settings, &given, refuse);
    let mut in_b = measure_all(&b, &settings, &given, refuse);
    let mut sets = [&mut *in_a, &mut *in_b];
    let mut notes = Vec::new();
    for (set, label) in sets.iter().zip(&choice.labels) {
        notes.extend(cut_notes(set, label));
    }
    if args.paired {
        pairable(&sets, &choice.labels)?;
        part_pairs(&mut sets, "was refused", &mut notes);
    }
    let stopped = stops::part(&mut sets, args.use_stopped, &settings);
    if !args.use_stopped {
        for (note, paths) in &stopped.notes {
            refuse(&Problem::new(
                &paths.join(", "),
                format!("left out of the comparison: {note}"),
                "recordings without a note that says stop",
                "mending what it names, or --use-stopped to count them all the same",
            ));
        }
        nobody_left(&sets, &stopped, &choice.labels)?;
    }
    if args.paired {
        part_pairs(&mut sets, "carries a note that says stop", &mut notes);
    }
    notes.extend(stop_notes(&stopped, args.use_stopped, &choice.labels));
    choice.overruled = [0, 1].map(|which| {
        let places = stopped.places[which].iter();
        places
            .filter(|place| sets[which][**place].is_some())
            .count()
    });
    let (counted, named): (Vec<&Analysis>, Vec<String>) = sets
        .iter()
        .zip(&choice.labels)
        .flat_map(|(set, label)| {
            let counted = set.iter().flatten();
            counted.map(move |one| (&one.analysis, format!("{} in “{label}”", one.path)))
        })
        .unzip();
    if let Some((code, text)) = counted_twice(&counted, &named) {
        // A table for spreadsheets holds no notes. Nowhere left to say it when this fails too.
        let _ = writeln!(io::stderr(), "{}", crate::text::one_line(&text));
        notes.push((code, text));
    }
    let [a, b] = sets.map(|set| {
        set.iter()
            .flatten()
            .map(|m| &m.analysis)
            .collect::<Vec<_>>()
    });
    let mut comparison = compare(&a, &b, &choice)?;
    // Which notes say stop is told below, once for all recordings that carry them; and what is counted twice by paths.
    let told = |code: &str| ["doubtful-recording", COUNTED_TWICE].contains(&code);
    comparison.notes.retain(|(code, _)| !told(code));
    comparison.notes.extend(notes);
    Ok(comparison)
}

/// What is said of recordings that hold several swings: how many, and what else was found in them and is not counted.
fn cut_notes(set: &[Option<Measured>], label: &str) -> Vec<(&'static str, String)> {
    let all: Vec<&Measured> = set.iter().flatten().collect();
    let each = all.chunk_by(|one, next| one.input == next.input);
    let told = |swings: &[&Measured]| {
        let [first, .., _] = swings else { return None };
        let others = first.analysis.notes.iter();
        let others = others.filter(|note| note.code == OTHER_MOVEMENT);
        let others: String = others.map(|note| format!(" {}", note.text)).collect();
        let text = format!(
            "{} holds {} swings, each taken by itself for “{label}”.{others}",
            first.path,
            swings.len()
        );
        Some(("cut-into-swings", text))
    };
    each.filter_map(told).collect()
}

/// Refuses pairs where swing i of A and swing i of B cannot be known.
fn pairable(sets: &Sets<'_>, labels: &[String; 2]) -> Result<(), String> {
    let [a, b] = sets.each_ref().map(|set| set.len());
    let all = || sets.iter().flat_map(|set| set.iter());
    let several = all().flatten().any(|one| one.swing_s.is_some());
    if several && all().any(Option::is_none) {
        return Err(
            "--paired: how many swings a refused recording holds is not known, so which belong together is not either; expected recordings that can be read; try mending it, or leaving --paired out".into(),
        );
    }
    if a != b {
        let [first, second] = labels;
        return Err(format!(
            "--paired: {a} swings in {first} and {b} in {second}; expected as many in both; try leaving --paired out"
        ));
    }
    Ok(())
}

/// Refuses the comparison where stops leave nothing of a set.
fn nobody_left(sets: &Sets<'_>, stopped: &Stopped, labels: &[String; 2]) -> Result<(), String> {
    let empty = [0, 1]
        .map(|which| !stopped.places[which].is_empty() && sets[which].iter().all(Option::is_none));
    let of = match empty {
        [true, true] => format!("{} and of {}", labels[0], labels[1]),
        [true, false] => labels[0].clone(),
        [false, true] => labels[1].clone(),
        [false, false] => return Ok(()),
    };
    Err(format!(
        "nothing is left of {of}; expected at least one recording in each set; try mending what the notes name, or --use-stopped"
    ))
}

/// What is said of recordings with a stop: those that count with what they carry, those left out by
/// name, since what they carry has been told.
fn stop_notes(
    stopped: &Stopped,
    count_them: bool,
    labels: &[String; 2],
) -> Vec<(&'static str, String)> {
    if count_them {
        let told = |(note, paths): &(String, Vec<String>)| {
            (
                "doubtful-recording",
                format!(
                    "Counted although a note says stop, {}: {note}",
                    paths.join(", ")
                ),
            )
        };
        return stopped.notes.iter().map(told).collect();
    }
    let [a, b] = stopped.places.each_ref().map(Vec::len);
    if a + b == 0 {
        return Vec::new();
    }
    let mut paths: Vec<&str> = Vec::new();
    for path in stopped.notes.iter().flat_map(|(_, paths)| paths) {
        if !paths.contains(&&**path) {
            paths.push(path);
        }
    }
    let text = format!(
        "Left out for a note that says stop, {a} of “{}” and {b} of “{}”: {}.",
        labels[0],
        labels[1],
        paths.join(", ")
    );
    vec![("left-out", text)]
}

/// Takes the partner of each recording that is no longer there away too, so that no swing is paired
/// with a stranger. `why`: what became of that recording.
fn part_pairs(sets: &mut Sets<'_>, why: &str, notes: &mut Vec<(&'static str, String)>) {
    let [a, b] = sets;
    for (i, (a, b)) in a.iter_mut().zip(b.iter_mut()).enumerate() {
        if let (None, Some(alone)) | (Some(alone), None) = (&*a, &*b) {
            let text = format!(
                "Pair {} is left out: one of its recordings {why}, and {} has no partner.",
                i + 1,
                alone.analysis.file
            );
            notes.push(("pair-left-out", text));
            (*a, *b) = (None, None);
        }
    }
}
