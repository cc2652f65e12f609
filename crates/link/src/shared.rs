//! What a link holds, as plain data.
//!
//! These types belong to the wire and to nobody else: the science may move, links stay. They hold
//! what a comparison is computed *from* (counts, means, spreads), not its conclusions, which
//! [`crate::restore`] works out again.

pub use crate::v1::cosine_step::CosineStep;
pub use crate::v1::numbers::Step;

/// Nodes of every curve: one per cent of the swing apart, both ends included.
pub const NODES: usize = 101;

/// Two sets of one player's swings, compared.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shared {
    /// What the coach called the comparison; absent unless typed.
    pub title: Option<String>,
    /// The coach's one-line cue for the player.
    pub cue: Option<String>,
    /// Which hand leads.
    pub handed: Hand,
    /// The point torque and impulse are about.
    pub about: About,
    /// Low-pass of the signals.
    pub low_pass: LowPass,
    /// The player's mass, kg, to 0.1 kg; absent unless the sender chose to tell.
    pub mass_kg: Option<f64>,
    /// The first set.
    pub a: SharedSet,
    /// The second set.
    pub b: SharedSet,
    /// The measures, in the order of the format's own list.
    pub measures: Vec<SharedMeasure>,
    /// Measures that this version of the page does not know and left out.
    pub newer_measures: u32,
    /// Node on which every swing's top was put; `None` when the swing was stretched as a whole.
    pub top_node: Option<u8>,
    /// Vertical torque, N·m, positive toward the target.
    pub torque_nm: Option<CurvePair>,
    /// Foot-to-foot CoP angle, degrees.
    pub cop_angle_deg: Option<CurvePair>,
    /// The lead foot's mean CoP path.
    pub lead_cop: Option<PathPair>,
    /// The trail foot's mean CoP path.
    pub trail_cop: Option<PathPair>,
    /// Whether the link goes on with parts that this version of the page does not know.
    pub newer_parts: bool,
}

/// Which hand leads the club.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hand {
    /// Right-handed.
    #[default]
    Right,
    /// Left-handed.
    Left,
}

/// The point torque and impulse are about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum About {
    /// Midpoint of the two mean CoPs at address, fixed.
    #[default]
    StanceCentre,
    /// The estimated centre of mass, moving.
    Com,
    /// The combined CoP, moving.
    CombinedCop,
}

/// Low-pass of the signals.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum LowPass {
    /// None.
    #[default]
    Off,
    /// Chosen for each recording by residual analysis.
    Auto,
    /// Cut-off, Hz, to 0.1 Hz.
    Hz(f64),
}

/// One set of swings.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SharedSet {
    /// The name the coach gave it; absent for the page's own ("before", "after").
    pub label: Option<String>,
    /// Swings counted.
    pub swings: u32,
    /// Recordings the coach left out.
    pub set_aside: u32,
    /// Recordings kept although a check advised against them.
    pub overruled: u32,
    /// Whether the top is an estimate in any swing.
    pub top_estimated: bool,
    /// Mean takeaway.
    pub takeaway: Option<EventTime>,
    /// Mean lead arm level in the backswing.
    pub arm_level: Option<EventTime>,
    /// Mean impact.
    pub impact: Option<EventTime>,
}

/// Mean time of an event over a set.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EventTime {
    /// Seconds from the top, negative before it, to 1 ms.
    pub from_top_s: f64,
    /// Whether it is an estimate in any swing.
    pub estimated: bool,
}

/// One measure in both sets.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedMeasure {
    /// Its id, as in the catalogue of measures.
    pub id: &'static str,
    /// The first set.
    pub a: Moments,
    /// The second set.
    pub b: Moments,
    /// SD (n − 1) of the paired differences; `Some` makes this a paired comparison, of as many
    /// pairs as there are swings.
    pub sd_of_differences: Option<f64>,
    /// The permutation test's count.
    pub permutation: Option<Permutation>,
    /// Lag-1 correlation within sets, to 0.05.
    pub lag1_r: Option<f64>,
    /// Means and SDs are multiples of this. `None` lets [`crate::encode`] choose it; a link that
    /// was read says what was chosen.
    pub step: Option<Step>,
}

/// Number, mean and spread of one set.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    /// Swings with a value.
    pub n: u32,
    /// Mean; there from one swing on.
    pub mean: Option<f64>,
    /// SD with n − 1; there from two swings on.
    pub sd: Option<f64>,
}

/// A permutation p as the count it is: p = `at_least` / `arrangements`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Permutation {
    /// Arrangements at least as extreme as the observed one, itself included.
    pub at_least: u32,
    /// Arrangements counted.
    pub arrangements: u32,
    /// Whether these are all there are.
    pub exact: bool,
}

/// A curve's mean and spread in both sets, and where the sets differ.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CurvePair {
    /// The first set.
    pub a: Band,
    /// The second set.
    pub b: Band,
    /// The tests made on the curve, the one that leads first.
    pub tests: Vec<CurveTest>,
    /// Steps of the cosine terms of the means and of the SDs, as [`SharedMeasure::step`].
    pub steps: Option<(CosineStep, CosineStep)>,
}

/// Mean and SD of one set's curves on [`NODES`] nodes. A node has both or neither; with fewer than
/// two curves the SD is empty.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Band {
    /// Curves in the mean.
    pub n: u32,
    /// Mean at each node.
    pub mean: Vec<Option<f64>>,
    /// SD (n − 1) at each node where there is a mean; empty when there is none.
    pub sd: Vec<Option<f64>>,
}

/// A test of the whole curve.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveTest {
    /// How.
    pub method: Method,
    /// |t| beyond which the curves differ, to 0.001.
    pub threshold: f64,
    /// Where they differ.
    pub stretches: Vec<Stretch>,
}

/// How a curve was tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Method {
    /// Largest |t| over all arrangements of the labels.
    #[default]
    Permutation,
    /// Random field theory.
    RandomField,
}

/// A stretch of the swing in which the curves differ.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stretch {
    /// Where it begins, per cent of the swing, to 0.1.
    pub from_pct: f64,
    /// Where it ends.
    pub to_pct: f64,
    /// Whether B lies above A.
    pub b_higher: bool,
    /// p of the stretch, to three figures.
    pub p: f64,
}

/// A foot's mean CoP path in both sets.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PathPair {
    /// The first set.
    pub a: Path,
    /// The second set.
    pub b: Path,
    /// Step of the cosine terms, as [`SharedMeasure::step`].
    pub step: Option<CosineStep>,
}

/// A path in the player frame, mm, on [`NODES`] nodes: exact to 1 mm. A node has both
/// coordinates or neither.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Path {
    /// Toward the target.
    pub t_mm: Vec<Option<f64>>,
    /// Toeward.
    pub a_mm: Vec<Option<f64>>,
}
