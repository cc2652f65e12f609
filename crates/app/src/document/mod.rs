//! What is saved for others to read: a comparison as `footing-comparison/1` and a table, recordings one by one as
//! `footing-measures/1` and tables.
//!
//! Counterparts of the inner types, so that those can move while the formats stay.

mod ordered;
mod recording_rows;
mod recordings;
mod rows;
mod table;

use std::io::{self, Write};

use serde::Serialize;

use crate::comparison::{
    Align, Band, Comparison, CurveRow, CurveTest, Design, Direction, MeasureComparison, Method,
    MoreSwings, Path, Row, SetSummary, Side, Stands,
};
use crate::findings::verdict_words;
use crate::share::Words;

pub use ordered::Ordered;
pub use recording_rows::{measure_rows, sample_rows};
pub use recordings::{Measured, measures};
pub use rows::rows;

/// A comparison and what is said with it.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// What was compared.
    pub comparison: &'a Comparison,
    /// Title and cue.
    pub words: &'a Words,
    /// The three sentences, as they are read.
    pub sentences: &'a [String; 3],
    /// The link to it, where there is one.
    pub link: Option<&'a str>,
}

/// Writes the document; with `series` the mean curves, their spread, t and the ways of the centres
/// of pressure too.
///
/// # Errors
/// When `out` cannot be written.
pub fn json(out: &mut impl Write, told: Told<'_>, series: bool) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut *out, &Document::new(told, series))?;
    writeln!(out)
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    title: Option<&'a str>,
    cue: Option<&'a str>,
    about: &'static str,
    low_pass_hz: Option<f64>,
    /// Lowest and highest; a link does not hold them.
    load_threshold_n: Option<(f64, f64)>,
    handed: &'static str,
    design: &'static str,
    align: &'static str,
    top_pct: Option<usize>,
    sets: Pair<SetOut<'a>>,
    measures: Ordered<&'static str, MeasureOut<'a>>,
    absent: Ordered<&'static str, &'a str>,
    curves: Ordered<&'static str, CurveOut<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    paths: Option<Ordered<&'static str, Pair<PathOut<'a>>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    link: Option<&'a str>,
    sentences: &'a [String; 3],
    notes: Vec<NoteOut<'a>>,
}

/// One entry a set.
#[derive(Serialize)]
struct Pair<T> {
    a: T,
    b: T,
}

#[derive(Serialize)]
struct SetOut<'a> {
    label: &'a str,
    swings: usize,
    set_aside: usize,
    overruled: usize,
    files: &'a [String],
    events: Ordered<&'static str, EventOut>,
    top_estimated: bool,
}

/// Mean time from the top.
#[derive(Serialize)]
struct EventOut {
    from_top_s: f64,
    estimated: bool,
}

#[derive(Serialize)]
struct MeasureOut<'a> {
    label: &'static str,
    unit: &'static str,
    a: MomentsOut<'a>,
    b: MomentsOut<'a>,
    change: Option<f64>,
    ci95: Option<(f64, f64)>,
    t: Option<f64>,
    df: Option<f64>,
    p_t: Option<f64>,
    p_permutation: Option<f64>,
    permutation: Option<PermutationOut>,
    p_holm: Option<f64>,
    stands: Option<bool>,
    stands_p: Option<f64>,
    stands_by: Option<&'static str>,
    hedges_g: Option<f64>,
    hedges_g_ci95: Option<(f64, f64)>,
    spread: Option<f64>,
    sd_of_differences: Option<f64>,
    mdc95: Option<f64>,
    lag1_r: Option<f64>,
    verdict: &'static str,
    /// A number; `"more than 200"` where the search for it stopped.
    more_swings: Option<serde_json::Value>,
    estimated: bool,
    no_spread: bool,
    odd: Vec<OddOut<'a>>,
}

#[derive(Serialize)]
struct MomentsOut<'a> {
    n: usize,
    mean: Option<f64>,
    sd: Option<f64>,
    /// Single swings; a link holds none.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    values: &'a [Option<f64>],
}

#[derive(Serialize)]
struct PermutationOut {
    arrangements: u64,
    exact: bool,
    standard_error: Option<f64>,
    smallest_possible: f64,
}

#[derive(Serialize)]
struct OddOut<'a> {
    set: &'static str,
    /// Its place in the set, from 1.
    swing: usize,
    file: Option<&'a str>,
    value: f64,
    robust_sds: f64,
}

#[derive(Serialize)]
struct CurveOut<'a> {
    label: &'static str,
    unit: &'static str,
    a: BandOut<'a>,
    b: BandOut<'a>,
    leading: Option<&'static str>,
    permutation: Option<TestOut>,
    random_field: Option<TestOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    absent: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    t: Option<&'a [Option<f64>]>,
}

#[derive(Serialize)]
struct BandOut<'a> {
    n: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    mean: Option<&'a [Option<f64>]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sd: Option<&'a [Option<f64>]>,
}

#[derive(Serialize)]
struct TestOut {
    threshold: f64,
    clusters: Vec<ClusterOut>,
}

#[derive(Serialize)]
struct ClusterOut {
    from_pct: f64,
    to_pct: f64,
    p: f64,
    b_is: &'static str,
}

#[derive(Serialize)]
struct PathOut<'a> {
    t_m: &'a [Option<f64>],
    a_m: &'a [Option<f64>],
}

#[derive(Serialize)]
struct NoteOut<'a> {
    code: &'static str,
    text: &'a str,
}

impl<'a> Document<'a> {
    fn new(told: Told<'a>, series: bool) -> Self {
        let comparison = told.comparison;
        let [a, b] = &comparison.sets;
        Self {
            format: "footing-comparison/1",
            title: told.words.title.as_deref(),
            cue: told.words.cue.as_deref(),
            about: comparison.about.name(),
            low_pass_hz: comparison.low_pass_hz,
            load_threshold_n: comparison.load_threshold_n,
            handed: comparison.handed.name(),
            design: match comparison.design {
                Design::Separate => "separate",
                Design::Paired => "paired",
            },
            align: match comparison.align {
                Align::Linear => "linear",
                Align::Piecewise => "piecewise",
            },
            top_pct: comparison.top_node,
            sets: Pair {
                a: SetOut::new(a),
                b: SetOut::new(b),
            },
            measures: Ordered(
                comparison
                    .rows
                    .iter()
                    .filter_map(|row| {
                        Some((
                            row.id,
                            MeasureOut::new(row, row.found.as_ref().ok()?, &comparison.sets),
                        ))
                    })
                    .collect(),
            ),
            absent: Ordered(
                comparison
                    .rows
                    .iter()
                    .filter_map(|row| Some((row.id, row.found.as_ref().err()?.as_str())))
                    .collect(),
            ),
            curves: Ordered(
                comparison
                    .curves
                    .iter()
                    .map(|curve| (curve.name, CurveOut::new(curve, series)))
                    .collect(),
            ),
            paths: series.then(|| paths(comparison)),
            link: told.link,
            sentences: told.sentences,
            notes: comparison
                .notes
                .iter()
                .map(|(code, text)| NoteOut { code, text })
                .collect(),
        }
    }
}

fn paths(comparison: &Comparison) -> Ordered<&'static str, Pair<PathOut<'_>>> {
    fn pair(paths: &[Path; 2]) -> Pair<PathOut<'_>> {
        let [a, b] = paths.each_ref().map(|path| PathOut {
            t_m: &path.t_m,
            a_m: &path.a_m,
        });
        Pair { a, b }
    }
    Ordered(vec![
        ("lead_cop", pair(&comparison.lead_path)),
        ("trail_cop", pair(&comparison.trail_path)),
    ])
}

impl<'a> SetOut<'a> {
    fn new(set: &'a SetSummary) -> Self {
        let events = [
            ("takeaway", set.takeaway),
            ("arm_level", set.arm_level),
            ("impact", set.impact),
        ];
        Self {
            label: &set.label,
            swings: set.swings,
            set_aside: set.set_aside,
            overruled: set.overruled,
            files: &set.files,
            events: Ordered(
                events
                    .into_iter()
                    .filter_map(|(name, event)| {
                        let (from_top_s, estimated) = event?;
                        Some((
                            name,
                            EventOut {
                                from_top_s,
                                estimated,
                            },
                        ))
                    })
                    .collect(),
            ),
            top_estimated: set.top_estimated,
        }
    }
}

impl<'a> MeasureOut<'a> {
    fn new(row: &'a Row, found: &MeasureComparison, sets: &'a [SetSummary; 2]) -> Self {
        Self {
            label: row.label,
            unit: row.unit,
            a: MomentsOut {
                n: found.a.n,
                mean: found.a.mean,
                sd: found.a.sd,
                values: &row.a,
            },
            b: MomentsOut {
                n: found.b.n,
                mean: found.b.mean,
                sd: found.b.sd,
                values: &row.b,
            },
            change: found.change,
            ci95: found.ci95,
            t: found.t,
            df: found.df,
            p_t: found.p_t,
            p_permutation: found.p_permutation.map(|p| p.p),
            permutation: found.p_permutation.map(|p| PermutationOut {
                arrangements: p.arrangements,
                exact: p.exact,
                standard_error: p.standard_error,
                smallest_possible: p.smallest_possible,
            }),
            p_holm: found.p_holm,
            stands: row.stands.map(Stands::holds),
            stands_p: row.stands.map(|stands| stands.p),
            stands_by: row
                .stands
                .map(|stands| if stands.by_t { "t" } else { "permutation" }),
            hedges_g: found.effect.map(|effect| effect.g),
            hedges_g_ci95: found.effect.map(|effect| effect.ci95),
            spread: found.spread,
            sd_of_differences: row.sd_of_differences,
            mdc95: found.mdc95,
            lag1_r: found.lag1.map(|lag| lag.r),
            verdict: verdict_words(found.verdict),
            more_swings: found.more_swings.map(|more| match more {
                MoreSwings::Each(n) => n.into(),
                MoreSwings::BeyondCap => "more than 200".into(),
            }),
            estimated: row.estimated,
            no_spread: found.no_spread,
            odd: found
                .odd
                .iter()
                .map(|(side, odd)| OddOut {
                    set: match side {
                        Side::A => "a",
                        Side::B => "b",
                    },
                    swing: odd.index + 1,
                    file: sets[usize::from(*side == Side::B)]
                        .files
                        .get(odd.index)
                        .map(String::as_str),
                    value: odd.value,
                    robust_sds: odd.robust_sds,
                })
                .collect(),
        }
    }
}

impl<'a> CurveOut<'a> {
    fn new(curve: &'a CurveRow, series: bool) -> Self {
        let tests = curve.tests.as_deref().unwrap_or_default();
        let test = |method: Method| {
            tests
                .iter()
                .find(|test| test.method == method)
                .map(TestOut::new)
        };
        Self {
            label: curve.label,
            unit: curve.unit,
            a: BandOut::new(&curve.a, series),
            b: BandOut::new(&curve.b, series),
            leading: tests.first().map(|test| test.method.name()),
            permutation: test(Method::Permutation),
            random_field: test(Method::RandomField),
            absent: curve.tests.as_ref().err().map(String::as_str),
            t: tests
                .first()
                .filter(|test| series && !test.t.is_empty())
                .map(|test| test.t.as_slice()),
        }
    }
}

impl<'a> BandOut<'a> {
    fn new(band: &'a Band, series: bool) -> Self {
        Self {
            n: band.n,
            mean: series.then_some(&band.mean),
            sd: series.then_some(&band.sd),
        }
    }
}

impl TestOut {
    fn new(test: &CurveTest) -> Self {
        Self {
            threshold: test.threshold,
            clusters: test
                .stretches
                .iter()
                .map(|stretch| ClusterOut {
                    from_pct: stretch.from_pct,
                    to_pct: stretch.to_pct,
                    p: stretch.p,
                    b_is: match stretch.direction {
                        Direction::Higher => "higher",
                        Direction::Lower => "lower",
                    },
                })
                .collect(),
        }
    }
}
