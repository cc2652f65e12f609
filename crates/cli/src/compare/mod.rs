//! `footing compare` and `footing read-link`: two sets of swings, computed here or out of a link.

mod pictures;
mod report;
mod sets;
mod stops;
mod words;

use std::fmt::Display;
use std::fs;
use std::io::{self, Write};

use footing_app::comparison::Comparison;
use footing_app::document;
use footing_app::findings::sentences;
use footing_app::formats::Problem;
use footing_app::share::{self, Words};

use crate::args::{CompareArgs, ReadLinkArgs};
use crate::files;

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

    /// As the receiver of its link reads it: as measured a last digit may print otherwise, and who sends the link
    /// would have other sentences before them than who opens it ([`share::send`]). Without a link there is no receiver,
    /// and everything is as measured.
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
    let exact = match sets::compared(args, refuse) {
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
