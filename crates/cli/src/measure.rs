//! `footing measure`.

use std::fmt::Display;
use std::io::{self, Write};

use footing_app::analysis::Note;
use footing_app::formats::rig::Rig;
use footing_app::formats::{self, Loaded, Problem};
use footing_app::pieces::{self, Kind, Piece};
use footing_app::{Analysis, Settings, analyse_loaded, document};

use crate::args::MeasureArgs;
use crate::files::{self, Input, Inputs};
use crate::given::Given;
use crate::text;

/// One analysed recording: the path it was given by, and what came of it.
pub struct Measured {
    /// The path as given.
    pub path: String,
    /// The one of several swings in it, seconds.
    swing_s: Option<(f64, f64)>,
    /// What came of it.
    pub analysis: Analysis,
}

/// Measures every file; refused ones are handed to `refuse`, the others are printed.
///
/// # Errors
/// When `out` cannot be written.
pub fn run(
    args: &MeasureArgs,
    out: &mut impl Write,
    refuse: &mut impl FnMut(&dyn Display),
) -> io::Result<()> {
    let measured = match prepare(args) {
        Ok((inputs, given)) => {
            given.name_strangers(inputs.recordings.iter(), refuse);
            let (rig, settings) = (inputs.rig.as_ref(), args.reading.settings());
            let mut all = Vec::new();
            for input in &inputs.recordings {
                match swings(input, rig, &settings, &given) {
                    Ok(some) => all.extend(some),
                    Err(problem) => refuse(&in_file(problem, &input.name, &input.typed)),
                }
            }
            all
        }
        Err(problem) => {
            refuse(&problem);
            Vec::new()
        }
    };
    print(args, &measured, out)
}

/// What all files share. Without the rig or events that were asked for, nothing is measured: the
/// numbers would quietly be others.
fn prepare(args: &MeasureArgs) -> Result<(Inputs, Given), Problem> {
    let inputs = files::inputs(&args.files, args.reading.rig.as_deref())?;
    let given = Given::of_file(args.reading.events.as_deref())?;
    Ok((inputs, given))
}

/// Every recording in order, each measured as a whole; `None` in the place of one that was refused.
pub fn measure_all(
    inputs: &Inputs,
    settings: &Settings,
    given: &Given,
    refuse: &mut impl FnMut(&dyn Display),
) -> Vec<Option<Measured>> {
    inputs
        .recordings
        .iter()
        .map(|input| {
            measure(input, inputs.rig.as_ref(), settings, given)
                .map_err(|problem| refuse(&problem))
                .ok()
        })
        .collect()
}

fn measure(
    input: &Input,
    rig: Option<&Rig>,
    settings: &Settings,
    given: &Given,
) -> Result<Measured, Problem> {
    let (typed, name) = (&input.typed, &input.name);
    let analysis = read(input, rig, settings, given)
        .and_then(|(loaded, settings)| analyse_loaded(name, &loaded, &settings));
    Ok(Measured {
        path: typed.clone(),
        swing_s: None,
        analysis: analysis.map_err(|problem| in_file(problem, name, typed))?,
    })
}

/// Every swing of a recording that holds several; else the recording as a whole. Other movements are named in notes.
fn swings(
    input: &Input,
    rig: Option<&Rig>,
    settings: &Settings,
    given: &Given,
) -> Result<Vec<Measured>, Problem> {
    let name = &input.name;
    let (loaded, settings) = read(input, rig, settings, given)?;
    let found = pieces::several(name, &loaded, &settings)?;
    let of = found.swings_s.len();
    let measured = |swing_s, mut analysis: Analysis| {
        let others = found.others.iter();
        let none = analysis.notes.iter().any(|n| n.code == "no-swing");
        analysis
            .notes
            .extend(others.filter(|_| !none).map(|text| Note {
                code: "other-movement",
                level: "note",
                text: format!("Also in the file: {text}."),
            }));
        Measured {
            path: input.typed.clone(),
            swing_s,
            analysis,
        }
    };
    if of == 0 {
        return Ok(vec![measured(
            None,
            analyse_loaded(name, &loaded, &settings)?,
        )]);
    }
    let each = found.swings_s.iter().enumerate();
    each.map(|(i, &(from_s, to_s))| {
        let piece = Piece {
            from_s,
            to_s,
            kind: Kind::Swing,
        };
        let own = format!("{name}, swing {} of {of}", i + 1);
        let mut analysis = pieces::analyse_piece(&own, &loaded, &settings, &piece)?;
        analysis.notes.push(Note {
            code: "one-of-several",
            level: "note",
            text: format!("This swing is the file's {from_s:.2} to {to_s:.2} s."),
        });
        Ok(measured(Some((from_s, to_s)), analysis))
    })
    .collect()
}

/// A file as read, and the settings with the events that are told of it.
fn read(
    input: &Input,
    rig: Option<&Rig>,
    settings: &Settings,
    given: &Given,
) -> Result<(Loaded, Settings), Problem> {
    let (typed, name) = (&input.typed, &input.name);
    let loaded = formats::read(name, &input.bytes()?, rig)?;
    let told = given.of(typed, name);
    let t_s = &loaded.recording.t_s;
    if let (Some(first_s), Some(last_s)) = (t_s.first(), t_s.last()) {
        given.within(typed, &told, (*first_s, *last_s))?;
    }
    let settings = Settings {
        given: told.given,
        filmed: told.filmed,
        ..settings.clone()
    };
    Ok((loaded, settings))
}

/// The same problem under the path that was typed, so that an editor finds the place.
pub fn in_file(mut problem: Problem, name: &str, typed: &str) -> Problem {
    if problem.file == name {
        problem.file = typed.to_owned();
    }
    problem
}

fn print(args: &MeasureArgs, measured: &[Measured], out: &mut impl Write) -> io::Result<()> {
    let given: Vec<document::Measured<'_>> = measured
        .iter()
        .map(|one| document::Measured {
            path: &one.path,
            swing_s: one.swing_s,
            analysis: &one.analysis,
        })
        .collect();
    if args.output.json {
        let Settings {
            about, low_pass, ..
        } = args.reading.settings();
        document::measures(out, about, low_pass, &given, args.series)
    } else if args.output.csv {
        let written = if args.series {
            document::sample_rows(out, &given)
        } else {
            document::measure_rows(out, &given)
        };
        written.map_err(io::Error::from)
    } else {
        let blocks: Vec<String> = measured
            .iter()
            .map(|m| text::analysis(&m.analysis, &args.reading.settings()))
            .collect();
        write!(out, "{}", blocks.join("\n"))
    }
}
