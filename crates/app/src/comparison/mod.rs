//! Two sets of swings of one player, compared: plain data that any face can show, whether it was
//! computed here or came out of a link.

mod curves;
mod held;
mod notes;
mod rows;
mod twice;

use crate::analysis::{Analysis, Handed, Reference};
use footing_core::compare::permutation::PermutationPlan;
use footing_core::recording::EventKind;
use footing_core::sampled::mean_sd;

pub(crate) use curves::words as curve_words;
pub(crate) use held::{fewer_than_all, one_set_lacks, too_few, untested};
pub(crate) use notes::standing_notes;
pub(crate) use rows::{adjust, compared as compared_measures};

pub use notes::between_recordings;
pub use twice::{COUNTED_TWICE, counted_twice};

pub use footing_core::compare::verdict::{MoreSwings, Verdict};
pub use footing_core::compare::{Design, MeasureComparison, Side};
pub use footing_core::curves::stretches::Direction;

/// How swings of different length are laid over each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Takeaway to impact as one straight stretch.
    Linear,
    /// Takeaway to top and top to impact, the top at the same node in all swings.
    Piecewise,
}

/// What a person may choose about a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Names of the two sets.
    pub labels: [String; 2],
    /// Separate sets, or swing i of A with swing i of B.
    pub design: Design,
    /// How curves are laid over each other.
    pub align: Align,
    /// Swings that a person set aside, per set: they are not among those handed over.
    pub set_aside: [usize; 2],
    /// Swings per set, among those handed over, that carry a note saying "stop" and that a person
    /// counts all the same.
    pub overruled: [usize; 2],
}

impl Default for Choice {
    fn default() -> Self {
        Self {
            labels: ["before".into(), "after".into()],
            design: Design::Separate,
            align: Align::Piecewise,
            set_aside: [0, 0],
            overruled: [0, 0],
        }
    }
}

/// Two sets compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Hand of the player.
    pub handed: Handed,
    /// Reference of torque and impulse.
    pub about: Reference,
    /// Cut-off, Hz; `None`: not filtered, or not the same in all recordings.
    pub low_pass_hz: Option<f64>,
    /// Lowest and highest load below which a foot was taken to have no centre of pressure, N; `None`
    /// when it came out of a link.
    pub load_threshold_n: Option<(f64, f64)>,
    /// How the sets belong together.
    pub design: Design,
    /// How curves were laid over each other: as one stretch too where no swing has a top.
    pub align: Align,
    /// Node of the top when piecewise, 1–99.
    pub top_node: Option<usize>,
    /// The two sets.
    pub sets: [SetSummary; 2],
    /// One row a measure, in the order of the catalogue.
    pub rows: Vec<Row>,
    /// The curves, in the order people read them.
    pub curves: Vec<CurveRow>,
    /// Mean path of the lead foot's centre of pressure in A and in B.
    pub lead_path: [Path; 2],
    /// The same for the trail foot.
    pub trail_path: [Path; 2],
    /// What a person should know: stable code and sentence.
    pub notes: Vec<(&'static str, String)>,
}

/// One set.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetSummary {
    /// Its name.
    pub label: String,
    /// Files in it, in the order the swings were made; empty when it came out of a link.
    pub files: Vec<String>,
    /// Swings counted.
    pub swings: usize,
    /// Swings a person set aside.
    pub set_aside: usize,
    /// Swings counted that carry a note saying "stop", by a person's hand.
    pub overruled: usize,
    /// Mean time of takeaway, lead arm level and impact from the top, seconds, and whether any is
    /// an estimate.
    pub takeaway: Option<(f64, bool)>,
    /// See `takeaway`.
    pub arm_level: Option<(f64, bool)>,
    /// See `takeaway`.
    pub impact: Option<(f64, bool)>,
    /// Whether the top is an estimate in any swing.
    pub top_estimated: bool,
}

/// One measure in both sets.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The measure's id.
    pub id: &'static str,
    /// Short name.
    pub label: &'static str,
    /// Unit as printed.
    pub unit: &'static str,
    /// Values of A, swing by swing, `None` where absent; empty when it came out of a link.
    pub a: Vec<Option<f64>>,
    /// Values of B.
    pub b: Vec<Option<f64>>,
    /// Whether any value rests on an estimated event.
    pub estimated: bool,
    /// Why swings that lack the measure do, in the words of the first, where other swings have it; `None` when
    /// it came out of a link.
    pub lacking: Option<String>,
    /// SD of the paired differences in the paired design.
    pub sd_of_differences: Option<f64>,
    /// The comparison, or why there is none.
    pub found: Result<MeasureComparison, String>,
    /// Whether the change stands when allowing for reading all rows at once. `None` where there is
    /// no p, and where there are too few swings to say anything.
    pub stands: Option<Stands>,
}

/// Whether a change stands when allowing for reading all rows at once, by Holm's adjustment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stands {
    /// The adjusted p that decides: of the permutation p; or, where so few swings cannot give a
    /// permutation p small enough for so many rows, of the p of the t test.
    pub p: f64,
    /// Whether it is the t test's.
    pub by_t: bool,
}

impl Stands {
    /// Level at which a change stands.
    pub const ALPHA: f64 = 0.05;

    /// Whether it does, at 5 %.
    pub fn holds(self) -> bool {
        self.p <= Self::ALPHA
    }
}

impl Row {
    /// How many times the minimal detectable change of a single swing the change is.
    pub fn beyond_spread(&self) -> Option<f64> {
        let found = self.found.as_ref().ok()?;
        let (change, mdc95) = (found.change?, found.mdc95?);
        (mdc95 > 0.0).then(|| (change / mdc95).abs())
    }

    /// Whether the change stands when allowing for reading all rows at once.
    pub fn stands(&self) -> bool {
        self.stands.is_some_and(Stands::holds)
    }

    /// Whether there are too few swings with this measure to say anything of it.
    pub fn too_few(&self) -> bool {
        (self.found.as_ref()).is_ok_and(|found| found.verdict == Verdict::TooFewSwings)
    }

    /// Whether this row is the same quantity as another over the player's mass: not counted among
    /// the rows that are read together.
    pub fn rescaled(&self) -> bool {
        self.id.ends_with("_per_kg")
    }
}

/// One curve in both sets.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveRow {
    /// Stable name, unit as suffix.
    pub name: &'static str,
    /// The words a person reads.
    pub label: &'static str,
    /// Unit as printed.
    pub unit: &'static str,
    /// Mean and spread of A.
    pub a: Band,
    /// Mean and spread of B.
    pub b: Band,
    /// The tests of the whole curve, the one that leads first; or why there is none.
    pub tests: Result<Vec<CurveTest>, String>,
}

/// Mean and SD of one set's curves on 101 nodes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Band {
    /// Curves in it.
    pub n: usize,
    /// Mean at each node.
    pub mean: Vec<Option<f64>>,
    /// SD (n − 1) at each node; `None` below two curves.
    pub sd: Vec<Option<f64>>,
}

/// A test of a whole curve.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveTest {
    /// How it was made.
    pub method: Method,
    /// |t| beyond which the curves differ.
    pub threshold: f64,
    /// Where they differ.
    pub stretches: Vec<Stretch>,
    /// The t curve; empty when it came out of a link.
    pub t: Vec<Option<f64>>,
}

/// A stretch of the swing in which the curves differ. It means "somewhere in here"; its ends are
/// where t crosses the threshold, not where an effect begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it begins, per cent of the swing.
    pub from_pct: f64,
    /// Where it ends.
    pub to_pct: f64,
    /// Whether B lies above or below A.
    pub direction: Direction,
    /// p of the stretch.
    pub p: f64,
}

/// How a curve was tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Largest |t| over all arrangements of the labels.
    Permutation,
    /// Random field theory.
    RandomField,
}

impl Method {
    /// The name used in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Permutation => "permutation",
            Self::RandomField => "random_field",
        }
    }
}

/// A mean path of a centre of pressure on 101 nodes, metres from the stance centre.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Path {
    /// Toward the target.
    pub t_m: Vec<Option<f64>>,
    /// Toeward.
    pub a_m: Vec<Option<f64>>,
}

/// Compares two sets, swings in the order they were made.
///
/// # Errors
/// A sentence when a set is empty or the recordings were not analysed alike.
pub fn compare(a: &[&Analysis], b: &[&Analysis], choice: &Choice) -> Result<Comparison, String> {
    let all: Vec<&Analysis> = a.iter().chain(b).copied().collect();
    let (Some(first), false, false) = (all.first(), a.is_empty(), b.is_empty()) else {
        return Err("a comparison needs at least one recording in each set".into());
    };
    if all
        .iter()
        .any(|x| x.about != first.about || x.handed != first.handed)
    {
        return Err(
            "all recordings of a comparison must be read with the same hand and reference point"
                .into(),
        );
    }
    if choice.design == Design::Paired && a.len() != b.len() {
        return Err(format!(
            "pairs need as many swings in both sets: {} in {}, {} in {}; compare them as separate sets",
            a.len(),
            choice.labels[0],
            b.len(),
            choice.labels[1]
        ));
    }
    let plan = PermutationPlan::default();
    let rows = rows::rows(a, b, choice.design, &plan);
    let laid = curves::lay(&all, choice.align);
    let curves = curves::compare(a, b, &laid, choice.design, &plan);
    let sets = [summary(a, choice, 0), summary(b, choice, 1)];
    let cutoffs_differ = all.iter().any(|x| x.low_pass_hz != first.low_pass_hz);
    let notes = notes::notes(&all, &rows, &curves, &sets, cutoffs_differ);
    Ok(Comparison {
        handed: first.handed,
        about: first.about,
        low_pass_hz: first.low_pass_hz.filter(|_| !cutoffs_differ),
        load_threshold_n: (all.iter().filter_map(|x| x.load_threshold_n))
            .map(|n| (n, n))
            .reduce(|(least, most), (n, _)| (least.min(n), most.max(n))),
        design: choice.design,
        align: laid.align,
        top_node: laid.top_node,
        lead_path: [curves::lead_path(a, &laid), curves::lead_path(b, &laid)],
        trail_path: [curves::trail_path(a, &laid), curves::trail_path(b, &laid)],
        sets,
        rows,
        curves,
        notes,
    })
}

fn summary(set: &[&Analysis], choice: &Choice, which: usize) -> SetSummary {
    let event = |analysis: &Analysis, kind: EventKind| {
        analysis
            .events
            .iter()
            .find(|e| e.kind == kind)
            .map(|e| (e.t_s, e.source == "estimated"))
    };
    let from_top = |kind: EventKind| -> Option<(f64, bool)> {
        let times: Vec<(f64, bool)> = set
            .iter()
            .filter_map(|x| {
                let (top, _) = event(x, EventKind::Top)?;
                let (t, estimated) = event(x, kind)?;
                Some((t - top, estimated))
            })
            .collect();
        let (mean, _) = mean_sd(times.iter().map(|t| t.0))?;
        Some((mean, times.iter().any(|t| t.1)))
    };
    SetSummary {
        label: choice.labels[which].clone(),
        files: set.iter().map(|x| x.file.clone()).collect(),
        swings: set.len(),
        set_aside: choice.set_aside[which],
        overruled: choice.overruled[which],
        takeaway: from_top(EventKind::Takeaway),
        arm_level: from_top(EventKind::ArmLevel),
        impact: from_top(EventKind::Impact),
        top_estimated: set
            .iter()
            .any(|x| event(x, EventKind::Top).is_some_and(|e| e.1)),
    }
}
