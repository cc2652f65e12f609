//! `footing measure`.

use std::fmt::Display;
use std::io::{self, Write};

use footing_app::formats::rig::Rig;
use footing_app::formats::{self, Problem};
use footing_app::{Analysis, Settings, analyse_loaded, document};

use crate::args::MeasureArgs;
use crate::files::{self, Input, Inputs};
use crate::given::Given;
use crate::text;

/// One analysed file: the path it was given by, and what came of it.
pub struct Measured {
    /// The path as given.
    pub path: String,
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
            measure_all(&inputs, &args.reading.settings(), &given, refuse)
                .into_iter()
                .flatten()
                .collect()
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

/// Every recording in order; `None` in the place of one that was refused.
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
    let analysis = read(input, rig, settings, given);
    Ok(Measured {
        path: typed.clone(),
        analysis: analysis.map_err(|problem| in_file(problem, name, typed))?,
    })
}

fn read(
    input: &Input,
    rig: Option<&Rig>,
    settings: &Settings,
    given: &Given,
) -> Result<Analysis, Problem> {
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
    analyse_loaded(name, &loaded, &settings)
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
