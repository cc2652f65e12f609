//! `footing measure`.

use std::fmt::Display;
use std::io::{self, Write};

use footing_app::analysis::Note;
use footing_app::formats::rig::Rig;
use footing_app::formats::{self, Loaded, Problem};
use footing_app::pieces::{self, Kind, Piece};
use footing_app::view::number::fixed;
use footing_app::{Analysis, Settings, analyse_loaded, document};

use crate::args::MeasureArgs;
use crate::files::{self, Input, Inputs};
use crate::given::Given;
use crate::text;

/// The note that names a movement in a recording that is no swing.
pub const OTHER_MOVEMENT: &str = "other-movement";

/// One analysed recording, or one of several swings in it: the path it was given by, and what came of it.
pub struct Measured {
    /// The path as given.
    pub path: String,
    /// The same, and which of its swings this is where it holds several.
    pub called: String,
    /// Its place among the inputs, counted from 0.
    pub input: usize,
    /// The one of several swings in it, seconds.
    pub swing_s: Option<(f64, f64)>,
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
            let all = measure_all(&inputs, &args.reading.settings(), &given, refuse);
            all.into_iter().flatten().collect()
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

/// Every recording in order, each swing of one that holds several by itself; `None` in the place of one that was
/// refused.
pub fn measure_all(
    inputs: &Inputs,
    settings: &Settings,
    given: &Given,
    refuse: &mut impl FnMut(&dyn Display),
) -> Vec<Option<Measured>> {
    let mut all = Vec::new();
    for (place, input) in inputs.recordings.iter().enumerate() {
        match swings(place, input, inputs.rig.as_ref(), settings, given) {
            Ok(some) => all.extend(some.into_iter().map(Some)),
            Err(problem) => {
                refuse(&in_file(problem, &input.name, &input.typed));
                all.push(None);
            }
        }
    }
    all
}

/// Every swing of a recording that holds several; else the recording as a whole. Other movements are named in notes.
fn swings(
    place: usize,
    input: &Input,
    rig: Option<&Rig>,
    settings: &Settings,
    given: &Given,
) -> Result<Vec<Measured>, Problem> {
    let name = &input.name;
    let (loaded, settings) = read(input, rig, settings, given)?;
    let found = pieces::several(name, &loaded, &settings)?;
    let of = found.swings_s.len();
    let measured = |which: &str, swing_s, mut analysis: Analysis| {
        let others = found.others.iter();
        let none = analysis.notes.iter().any(|n| n.code == "no-swing");
        analysis
            .notes
            .extend(others.filter(|_| !none).map(|text| Note {
                code: OTHER_MOVEMENT,
                level: "note",
                text: format!("Also in the file: {text}."),
            }));
        Measured {
            path: input.typed.clone(),
            called: format!("{}{which}", input.typed),
            input: place,
            swing_s,
            analysis,
        }
    };
    if of == 0 {
        let whole = analyse_loaded(name, &loaded, &settings)?;
        return Ok(vec![measured("", None, whole)]);
    }
    let each = found.swings_s.iter().enumerate();
    each.map(|(i, &(from_s, to_s))| {
        let piece = Piece {
            from_s,
            to_s,
            kind: Kind::Swing,
        };
        let which = format!(", swing {} of {of}", i + 1);
        let own = format!("{name}{which}");
        let mut analysis = pieces::analyse_piece(&own, &loaded, &settings, &piece)?;
        analysis.notes.push(Note {
            code: "one-of-several",
            level: "note",
            text: format!(
                "This swing is the file's {} to {} s.",
                fixed(from_s, 2),
                fixed(to_s, 2)
            ),
        });
        Ok(measured(&which, Some((from_s, to_s)), analysis))
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
