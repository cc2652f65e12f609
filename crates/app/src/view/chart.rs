//! Charts as data: who draws them needs no knowledge of swings.

/// Which foot a curve belongs to; decides colour, line and marker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Foot {
    /// Nearer the target: violet, solid, filled circle.
    Lead,
    /// Further from the target: amber, dashed, open diamond.
    Trail,
}

impl Foot {
    /// The word a person reads.
    pub fn name(self) -> &'static str {
        match self {
            Self::Lead => "lead",
            Self::Trail => "trail",
        }
    }
}

/// Which set a curve is the mean of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Set {
    /// Mid grey.
    A,
    /// Ink.
    B,
}

impl Set {
    /// The letter a person reads.
    pub fn name(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }
}

/// One curve over the time axis it shares with the rest of its bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Written at the line's end.
    pub label: String,
    /// The foot, where the curve is one foot's.
    pub foot: Option<Foot>,
    /// The set, where the curve is a set's mean.
    pub set: Option<Set>,
    /// One value for each instant of the axis; `None` where the quantity does not exist.
    pub y: Vec<Option<f64>>,
    /// Standard deviation at each instant, for means of two swings or more.
    pub spread: Option<Vec<Option<f64>>>,
}

/// A value worth a rule of its own across a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Where.
    pub y: f64,
    /// What it is.
    pub label: String,
}

/// The table behind a chart: what a screen reader reads instead of the picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Readings {
    /// Column heads, units included.
    pub head: Vec<String>,
    /// Rows at the events and every 50 ms.
    pub rows: Vec<Vec<String>>,
}

/// One chart.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartView {
    /// Stable name.
    pub id: String,
    /// What is drawn.
    pub title: String,
    /// Unit of the vertical axis.
    pub unit: String,
    /// Decimals worth reading.
    pub decimals: usize,
    /// What upward means; empty where it needs no words.
    pub up: String,
    /// What downward means; empty where it needs no words.
    pub down: String,
    /// The picture in one or two sentences.
    pub sentence: String,
    /// Shade between zero and the only line: solid above, hatched below.
    pub shaded: bool,
    /// The curves, drawn in this order.
    pub lines: Vec<Line>,
    /// Rules across the chart.
    pub rules: Vec<Rule>,
    /// Why there is nothing to draw, when there is not.
    pub absent: Option<String>,
    /// The same as a table.
    pub readings: Readings,
}

/// Outline of a plate on the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The plate's name.
    pub label: String,
    /// Corners `(t, a)` in order, metres from the stance centre.
    pub corners_m: [(f64, f64); 4],
}

/// The way a centre of pressure goes over the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Written beside the path.
    pub label: String,
    /// Whose; `None` for both feet on one plate.
    pub foot: Option<Foot>,
    /// The set, for a mean path.
    pub set: Option<Set>,
    /// Along the target line, metres from the stance centre, one for each instant.
    pub t_m: Vec<Option<f64>>,
    /// Toeward, metres from the stance centre, one for each instant.
    pub a_m: Vec<Option<f64>>,
}

/// The feet from above.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanView {
    /// Seen from above with the toes up, the target is on the left of a right-handed player.
    pub target_on_left: bool,
    /// The plates, where their size is known.
    pub plates: Vec<Outline>,
    /// The paths of the centres of pressure.
    pub paths: Vec<Path>,
    /// The picture in words.
    pub sentence: String,
}

/// An event as it is drawn, written and moved.
#[derive(Debug, Clone, PartialEq)]
pub struct EventView {
    /// Stable name.
    pub id: &'static str,
    /// The words a person reads.
    pub label: &'static str,
    /// When, on the bench's axis, seconds.
    pub t_s: f64,
    /// "given", "film", "file" or "estimated"; "mean" for a set.
    pub source: &'static str,
    /// Half-width of the uncertainty (of the spread, for a set), seconds.
    pub uncertainty_s: f64,
    /// How it was found, one sentence.
    pub how: String,
    /// Everything above in one phrase.
    pub text: String,
}

/// An event that is not there but could be placed by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placeable {
    /// Stable name.
    pub id: &'static str,
    /// The words a person reads.
    pub label: &'static str,
    /// Why it is not there.
    pub reason: String,
}

/// The evidence: charts over one time axis, the feet from above, the events.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchView {
    /// The instants every curve has a value (or a gap) for, seconds.
    pub x_s: Vec<f64>,
    /// What the axis counts.
    pub x_title: &'static str,
    /// The part of the axis that holds the swing, with some air.
    pub swing_s: (f64, f64),
    /// The reference point, in words, beside torque and impulse.
    pub about: &'static str,
    /// Stacked charts, top to bottom.
    pub charts: Vec<ChartView>,
    /// The feet from above.
    pub plan: PlanView,
    /// Events in the order of a swing.
    pub events: Vec<EventView>,
    /// Events that can still be placed.
    pub placeable: Vec<Placeable>,
}
