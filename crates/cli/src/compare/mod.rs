//! `footing compare` and `footing read-link`: two sets of swings, computed here or out of a link.

mod pictures;
mod report;
mod words;

use std::fmt::Display;
use std::fs;
use std::io::{self, Write};

use footing_app::analysis::Analysis;
use footing_app::comparison::{Comparison, Design};
use footing_app::document;
use footing_app::findings::sentences;
use footing_app::formats::Problem;
use footing_app::share::{self, Words};
use footing_app::{Choice, compare};

use crate::args::{CompareArgs, ReadLinkArgs};
use crate::files;
use crate::given::Given;
use crate::measure::{Measured, measure_all};

/// Whom the sentences speak of: a title need not be a name.
const WHO: &str = "the player";

/// What must be read wherever results are.
const CAUTION: &str = "Coaching information about the forces between feet and ground, not medical advice. \
    Pain, numbness or weakness means stop and see a licensed clinician. No measure here diagnoses or \
    predicts an injury. Loads rise with effort; local rules and supervised practice come first.";

/// A comparison and everything that is said with it.
struct Told {
    /// What was compared.
    comparison: Comparison,
    /// Title and cue.
    words: Words,
    /// The three sentences.
    sentences: [String; 3],
    /// The link, where one was asked for.
    link: Option<String>,
    /// Its QR code as SVG; none where the link is too long for any.
    qr: Option<String>,
}

impl Told {
    fn new(comparison: Comparison, words: Words) -> Self {
        Self {
            sentences: sentences(&comparison, WHO).map(|said| format!("{said}.")),
            comparison,
            words,
            link: None,
            qr: None,
        }
    }

    fn as_document(&self) -> document::Told<'_> {
        document::Told {
            comparison: &self.comparison,
            words: &self.words,
            sentences: &self.sentences,
            link: self.link.as_deref(),
        }
    }

    /// As the receiver of its link reads it.
    fn sent(comparison: &Comparison, words: Words, base: &str) -> Result<Self, String> {
        let sent = share::send(comparison, &words)?;
        Ok(Self {
            link: Some(sent.link.url(base)),
            qr: sent
                .link
                .qr(base)
                .map(|code| code.svg("QR code of the link to this comparison")),
            ..Self::new(sent.comparison, words)
        })
    }
}

/// Compares two sets; files that are refused are handed to `refuse`, the rest is compared.
///
/// # Errors
/// When `out` cannot be written.
pub fn run(
    args: &CompareArgs,
    out: &mut impl Write,
    refuse: &mut impl FnMut(&dyn Display),
) -> io::Result<()> {
    let exact = match compared(args, refuse) {
        Ok(comparison) => comparison,
        Err(why) => {
            refuse(&why);
            return Ok(());
        }
    };
    let words = Words {
        title: args.title.clone(),
        cue: args.cue.clone(),
    };
    let told = match &args.link {
        Some(base) => Told::sent(&exact, words.clone(), base).unwrap_or_else(|why| {
            refuse(&why);
            Told::new(exact.clone(), words)
        }),
        None => Told::new(exact.clone(), words),
    };
    if let Some(path) = &args.report {
        match report::page(&told) {
            Ok(page) => {
                if let Err(error) = fs::write(path, page) {
                    refuse(&Problem::new(
                        &files::path_text(path),
                        format!("cannot be written ({error})"),
                        "a place for the report",
                        "another --report",
                    ));
                }
            }
            Err(why) => refuse(&why),
        }
    }
    if args.output.csv {
        document::rows(out, &exact).map_err(io::Error::from)
    } else if args.output.json {
        let told = Told {
            comparison: exact,
            ..told
        };
        document::json(out, told.as_document(), args.series)
    } else {
        write!(out, "{}", words::table(&told))
    }
}

/// Reads a link and prints what it holds.
///
/// # Errors
/// When `out` cannot be written.
pub fn read_link(
    args: &ReadLinkArgs,
    out: &mut impl Write,
    refuse: &mut impl FnMut(&dyn Display),
) -> io::Result<()> {
    match share::read_link(&args.link) {
        Ok((comparison, words)) => {
            let told = Told::new(comparison, words);
            if args.output.csv {
                document::rows(out, &told.comparison).map_err(io::Error::from)
            } else if args.output.json {
                document::json(out, told.as_document(), args.series)
            } else {
                write!(out, "{}", words::table(&told))
            }
        }
        Err(why) => {
            refuse(&why);
            Ok(())
        }
    }
}

/// Everything up to the comparison. The error is one line.
fn compared(
    args: &CompareArgs,
    refuse: &mut impl FnMut(&dyn Display),
) -> Result<Comparison, String> {
    let choice = Choice {
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
    if args.paired && a.recordings.len() != b.recordings.len() {
        return Err(format!(
            "--paired: {} recordings in {} and {} in {}; expected as many in both; try leaving --paired out",
            a.recordings.len(),
            choice.labels[0],
            b.recordings.len(),
            choice.labels[1]
        ));
    }
    given.name_strangers(a.recordings.iter().chain(&b.recordings), refuse);
    let settings = args.reading.settings();
    let mut in_a = measure_all(&a, &settings, &given, refuse);
    let mut in_b = measure_all(&b, &settings, &given, refuse);
    let parted = if args.paired {
        part_pairs(&mut in_a, &mut in_b)
    } else {
        Vec::new()
    };
    let a: Vec<&Analysis> = in_a.iter().flatten().map(|m| &m.analysis).collect();
    let b: Vec<&Analysis> = in_b.iter().flatten().map(|m| &m.analysis).collect();
    let mut comparison = compare(&a, &b, &choice)?;
    comparison
        .notes
        .extend(parted.into_iter().map(|text| ("pair-left-out", text)));
    Ok(comparison)
}

/// Takes the partner of each refused recording out, so that no swing is paired with a stranger.
fn part_pairs(a: &mut [Option<Measured>], b: &mut [Option<Measured>]) -> Vec<String> {
    let mut notes = Vec::new();
    for (i, (a, b)) in a.iter_mut().zip(b).enumerate() {
        if let (None, Some(alone)) | (Some(alone), None) = (&*a, &*b) {
            notes.push(format!(
                "Pair {} is left out: one of its recordings was refused, and {} has no partner.",
                i + 1,
                alone.analysis.file
            ));
            (*a, *b) = (None, None);
        }
    }
    notes
}
