//! What can be typed after `footing`.

use std::path::PathBuf;

use clap::builder::PossibleValuesParser;
use clap::error::ErrorKind;
use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};
use footing_app::analysis::{Handed, LowPass, Reference, Settings};
use footing_app::comparison::Align;

use crate::files::{is_rig, path_text};

/// Analyse golf swings on force plates.
///
/// The same core as the page, for batches and scripts. Exit codes: 0 done; 1 some input was refused
/// (the rest is done and printed); 2 usage.
#[derive(Debug, Parser)]
#[command(name = "footing", version)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The things `footing` does.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Compute every measure of each recording.
    Measure(MeasureArgs),
    /// Compare two sets of swings of one player.
    Compare(CompareArgs),
    /// Say what a link to a comparison holds.
    ReadLink(ReadLinkArgs),
    /// Say what a file holds and what was recognised, over the whole recording.
    Inspect(InspectArgs),
    /// Write invented sample recordings with their truth.
    Simulate(SimulateArgs),
}

/// Recordings and how to read them.
#[derive(Debug, Args)]
pub struct MeasureArgs {
    /// Recordings, and zip archives and workbooks (.xlsx) that hold some; a `*.rig.json` among them
    /// or inside an archive is taken as the rig.
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// How the recordings are read and analysed.
    #[command(flatten)]
    pub reading: Reading,
    /// How the result is printed.
    #[command(flatten)]
    pub output: Output,
    /// Print the curves too; needs --json or --csv. With --csv the curves take the measures' place.
    #[arg(long, requires = "machine")]
    pub series: bool,
}

/// Two sets of recordings and how to compare them.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// Recordings of the first set, in the order the swings were made, and archives and workbooks of
    /// them, whose recordings go by name; a long recording gives each of its swings. A `*.rig.json`
    /// among them is this set's rig.
    #[arg(long, required = true, num_args = 1.., value_name = "FILE")]
    pub a: Vec<PathBuf>,
    /// Recordings of the second set; a `*.rig.json` among them is this set's rig.
    #[arg(long, required = true, num_args = 1.., value_name = "FILE")]
    pub b: Vec<PathBuf>,
    /// How the recordings are read and analysed.
    #[command(flatten)]
    pub reading: Reading,
    /// Count recordings that carry a note saying stop; without it they are left out of their sets, as
    /// on the page, and the exit code is 1.
    #[arg(long)]
    pub use_stopped: bool,
    /// Swing i of A belongs with swing i of B, as when the two ways are swung in turn.
    #[arg(long)]
    pub paired: bool,
    /// How curves of swings of different length are laid over each other: `piecewise` puts all
    /// tops at one place, `linear` does not.
    #[arg(long, value_enum, default_value_t = AlignArg::Piecewise)]
    pub align: AlignArg,
    /// Name of the first set.
    #[arg(long, value_name = "X", default_value = "before")]
    pub label_a: String,
    /// Name of the second set.
    #[arg(long, value_name = "Y", default_value = "after")]
    pub label_b: String,
    /// What the comparison is called, such as the player's name; goes into the link.
    #[arg(long, value_name = "T")]
    pub title: Option<String>,
    /// One line the player shall keep in mind; goes into the link.
    #[arg(long, value_name = "C")]
    pub cue: Option<String>,
    /// How the result is printed.
    #[command(flatten)]
    pub output: Output,
    /// Print the mean curves, their spread and t too; needs --json.
    #[arg(long, requires = "json")]
    pub series: bool,
    /// Make a link to the comparison on the page at this address. The table and the report then
    /// show the numbers as the link's receiver reads them; JSON has them unrounded.
    #[arg(long, value_name = "BASE_URL")]
    pub link: Option<String>,
    /// Write a page to print, complete in one file.
    #[arg(long, value_name = "OUT.html")]
    pub report: Option<PathBuf>,
}

/// A link to look into.
#[derive(Debug, Args)]
pub struct ReadLinkArgs {
    /// The link: an address, what follows its `#`, or a message with the address in it.
    #[arg(value_name = "URL")]
    pub link: String,
    /// How the result is printed.
    #[command(flatten)]
    pub output: Output,
    /// Print the curves too; needs --json.
    #[arg(long, requires = "json")]
    pub series: bool,
}

/// How recordings are read and analysed.
#[derive(Debug, Args)]
pub struct Reading {
    /// How the columns of tables become ground reaction.
    #[arg(long, value_name = "R")]
    pub rig: Option<PathBuf>,
    /// Events set by hand: {"FILE": {"takeaway_s": 0.9, "top_s": 1.74, "impact_s": 2.03}}, or one
    /// such object without file names for every file. An event read off a film is
    /// {"t_s": 1.74, "uncertainty_s": 0.006, "frames_per_s": 240} in the place of its time.
    #[arg(long, value_name = "E.json")]
    pub events: Option<PathBuf>,
    /// Right- or left-handed player.
    #[arg(long, value_enum, default_value_t = HandedArg::Right)]
    pub handed: HandedArg,
    /// The vertical axis that torque and impulse are about.
    #[arg(long, value_enum, default_value_t = AboutArg::StanceCentre)]
    pub about: AboutArg,
    /// Direction to the target, degrees (-360 to 360) counter-clockwise from lab +x; overrides the file's.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = azimuth_deg)]
    pub target_azimuth: Option<f64>,
    /// Zero-lag low-pass: a cut-off in Hz (1 to 2000), `off`, or `auto` (residual analysis, which
    /// looks at the whole recording and tends to choose low cut-offs).
    #[arg(
        long,
        value_name = "HZ|off|auto",
        default_value = "50",
        allow_negative_numbers = true,
        value_parser = low_pass
    )]
    pub low_pass: LowPass,
    /// Body mass in kg (10 to 300); otherwise from quiet stance.
    #[arg(long, value_name = "KG", allow_negative_numbers = true, value_parser = mass_kg)]
    pub mass: Option<f64>,
    /// Vertical force in N (1 to 1000) below which a foot has no centre of pressure; otherwise 30 N
    /// or 5 % of body weight, whichever is more.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = threshold_n)]
    pub load_threshold: Option<f64>,
    /// Remove the mean horizontal force and torque of quiet stance.
    #[arg(long)]
    pub zero_quiet: bool,
}

impl Cli {
    /// What is wrong with a line whose words are all known: nothing to read but rigs.
    pub fn misuse(&self) -> Option<clap::Error> {
        let (name, lists): (_, Vec<&[PathBuf]>) = match &self.command {
            Command::Measure(args) => ("measure", vec![&args.files]),
            Command::Compare(args) => ("compare", vec![&args.a, &args.b]),
            Command::Inspect(args) => ("inspect", vec![&args.files]),
            Command::ReadLink(_) | Command::Simulate(_) => return None,
        };
        let rigs = |files: &&&[PathBuf]| files.iter().all(|path| is_rig(path));
        let only = lists.iter().find(rigs)?;
        let text = format!(
            "no recording given: {} only says how columns are read; name the recordings beside it",
            path_text(only.first()?)
        );
        let mut whole = Self::command();
        whole.build();
        let command = whole.find_subcommand_mut(name)?;
        Some(command.error(ErrorKind::MissingRequiredArgument, text))
    }
}

impl Reading {
    /// The settings these options ask for, without events.
    pub fn settings(&self) -> Settings {
        Settings {
            handed: self.handed.into(),
            about: self.about.into(),
            target_azimuth_deg: self.target_azimuth,
            low_pass: self.low_pass,
            mass_kg: self.mass,
            load_threshold_n: self.load_threshold,
            zero_quiet: self.zero_quiet,
            given: Vec::new(),
            filmed: Vec::new(),
        }
    }
}

/// How the result is printed; neither: a table for people.
#[derive(Debug, Args)]
#[group(id = "machine", multiple = false)]
pub struct Output {
    /// Print one JSON document.
    #[arg(long)]
    pub json: bool,
    /// Print a table: one row a recording, or one a measure compared (RFC 4180).
    #[arg(long)]
    pub csv: bool,
}

/// What to look into.
#[derive(Debug, Args)]
pub struct InspectArgs {
    /// Recordings, and zip archives and workbooks (.xlsx) that hold some; a `*.rig.json` among them
    /// or inside an archive is taken as the rig.
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// How the columns of tables become ground reaction.
    #[arg(long, value_name = "R")]
    pub rig: Option<PathBuf>,
    /// Print JSON: one object for one file, an array of them for several.
    #[arg(long)]
    pub json: bool,
}

/// What to invent.
#[derive(Debug, Args)]
pub struct SimulateArgs {
    /// The scenario's name.
    #[arg(value_parser = PossibleValuesParser::new(footing_simulate::scenario_names()))]
    pub scenario: String,
    /// The folder to write into; made when absent.
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// Chooses the noise and the spread between swings.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = seed)]
    pub seed: u64,
}

/// A player's hand as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum HandedArg {
    /// The target is on the player's left.
    Right,
    /// The target is on the player's right.
    Left,
}

impl From<HandedArg> for Handed {
    fn from(arg: HandedArg) -> Self {
        match arg {
            HandedArg::Right => Self::Right,
            HandedArg::Left => Self::Left,
        }
    }
}

/// A reference point as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum AboutArg {
    /// Fixed, midway between the feet's mean centres of pressure at address.
    StanceCentre,
    /// Moving with the estimated centre of mass.
    Com,
    /// Moving with the combined centre of pressure; descriptive only.
    CombinedCop,
}

impl From<AboutArg> for Reference {
    fn from(arg: AboutArg) -> Self {
        match arg {
            AboutArg::StanceCentre => Self::StanceCentre,
            AboutArg::Com => Self::Com,
            AboutArg::CombinedCop => Self::CombinedCop,
        }
    }
}

/// A way to lay curves over each other as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum AlignArg {
    /// Takeaway to impact as one stretch.
    Linear,
    /// Takeaway to top, top to impact.
    Piecewise,
}

impl From<AlignArg> for Align {
    fn from(arg: AlignArg) -> Self {
        match arg {
            AlignArg::Linear => Self::Linear,
            AlignArg::Piecewise => Self::Piecewise,
        }
    }
}

/// With the true minus sign too, which is what notes print.
fn number(text: &str, fits: impl Fn(f64) -> bool, expected: &str) -> Result<f64, String> {
    let plain = text.replace('\u{2212}', "-");
    let value = plain.parse().ok().filter(|v| fits(*v));
    value.ok_or_else(|| format!("expected {expected}"))
}

/// The ranges are those of the page's settings.
fn azimuth_deg(text: &str) -> Result<f64, String> {
    let fits = |v| (-360.0..=360.0).contains(&v);
    number(text, fits, "degrees from -360 to 360")
}

fn mass_kg(text: &str) -> Result<f64, String> {
    let fits = |v| (10.0..=300.0).contains(&v);
    number(text, fits, "kilograms from 10 to 300")
}

fn threshold_n(text: &str) -> Result<f64, String> {
    let fits = |v| (1.0..=1000.0).contains(&v);
    number(text, fits, "newtons from 1 to 1000")
}

fn low_pass(text: &str) -> Result<LowPass, String> {
    let fits = |v| (1.0..=2000.0).contains(&v);
    match text {
        "off" => Ok(LowPass::Off),
        "auto" => Ok(LowPass::Auto),
        hz => number(hz, fits, "a cut-off from 1 to 2000 Hz, `off` or `auto`").map(LowPass::Hz),
    }
}

fn seed(text: &str) -> Result<u64, String> {
    let whole = text.parse();
    whole.map_err(|_| format!("expected a whole number from 0 to {}", u64::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measure(words: &[&str]) -> Result<MeasureArgs, clap::Error> {
        let line = ["footing", "measure", "a.csv"].iter().chain(words);
        match Cli::try_parse_from(line)?.command {
            Command::Measure(args) => Ok(args),
            other => panic!("parsed as {other:?}"),
        }
    }

    #[test]
    fn the_definition_holds_together() {
        Cli::command().debug_assert();
    }

    #[test]
    fn untouched_options_are_the_default_settings() {
        assert_eq!(
            measure(&[]).unwrap().reading.settings(),
            Settings::default()
        );
    }

    #[test]
    fn every_option_reaches_the_settings() {
        let args = measure(&[
            "--handed",
            "left",
            "--about",
            "com",
            "--target-azimuth",
            "-12.5",
            "--low-pass",
            "auto",
            "--mass",
            "74",
            "--load-threshold",
            "20",
            "--zero-quiet",
        ])
        .unwrap();
        assert_eq!(
            args.reading.settings(),
            Settings {
                handed: Handed::Left,
                about: Reference::Com,
                target_azimuth_deg: Some(-12.5),
                low_pass: LowPass::Auto,
                mass_kg: Some(74.0),
                load_threshold_n: Some(20.0),
                zero_quiet: true,
                given: Vec::new(),
                filmed: Vec::new(),
            }
        );
        let copied = measure(&["--target-azimuth", "\u{2212}12.5"]).unwrap();
        assert_eq!(copied.reading.target_azimuth, Some(-12.5));
        let off = measure(&["--low-pass", "off"]).unwrap();
        assert_eq!(off.reading.low_pass, LowPass::Off);
    }

    /// The ranges are those of the page's settings.
    #[test]
    fn nonsense_is_a_usage_error_and_says_what_is_expected() {
        for (words, expected) in [
            (&["--low-pass", "fast"][..], "from 1 to 2000 Hz"),
            (&["--low-pass", "-3"], "from 1 to 2000 Hz"),
            (&["--low-pass", "0.9"], "from 1 to 2000 Hz"),
            (&["--low-pass", "nan"], "from 1 to 2000 Hz"),
            (&["--mass", "0"], "kilograms from 10 to 300"),
            (&["--mass", "-4"], "kilograms from 10 to 300"),
            (&["--mass", "7400"], "kilograms from 10 to 300"),
            (&["--mass", "inf"], "kilograms from 10 to 300"),
            (&["--load-threshold", "-1"], "newtons"),
            (&["--load-threshold", "1001"], "from 1 to 1000"),
            (&["--target-azimuth", "-361"], "degrees from -360 to 360"),
            (&["--about", "navel"], "stance-centre"),
            (&["--json", "--csv"], "cannot be used with"),
            (&["--series"], "--json"),
        ] {
            let error = measure(words).unwrap_err();
            assert_eq!(error.exit_code(), 2, "{words:?}");
            let text = error.to_string();
            assert!(text.contains(expected), "{words:?}: {text}");
        }
        let seed = [
            "footing",
            "simulate",
            "harbour-range",
            "--out",
            "x",
            "--seed",
            "-1",
        ];
        let text = Cli::try_parse_from(seed).unwrap_err().to_string();
        assert!(text.contains("whole number from 0"), "{text}");
    }

    #[test]
    fn the_ends_of_the_ranges_belong_to_them() {
        for words in [
            ["--low-pass", "1"],
            ["--low-pass", "2000"],
            ["--mass", "10"],
            ["--mass", "300"],
            ["--target-azimuth", "-360"],
        ] {
            assert!(measure(&words).is_ok(), "{words:?}");
        }
    }
}
