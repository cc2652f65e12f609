//! The data of a link in whole numbers: what the layout codes.

/// [`crate::shared::Shared`] in whole numbers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wire {
    pub title: Option<String>,
    pub cue: Option<String>,
    pub left_handed: bool,
    /// Stance centre, centre of mass, combined CoP.
    pub about: u32,
    /// Off, auto, 0.1 Hz and up.
    pub low_pass: u32,
    /// 0.1 kg.
    pub mass: Option<u32>,
    pub sets: [WireSet; 2],
    pub rows: Vec<Row>,
    pub top_node: Option<u32>,
    pub curves: [Option<Curve>; 2],
    pub paths: [Option<PathRow>; 2],
    pub newer_parts: bool,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct WireSet {
    pub label: Option<String>,
    pub swings: u32,
    pub set_aside: u32,
    pub overruled: u32,
    pub top_estimated: bool,
    /// Takeaway, arm level, impact: ms from the top and whether estimated.
    pub events: [Option<(i32, bool)>; 3],
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    /// Place in the list of ids.
    pub place: u32,
    pub step: u8,
    pub n: [u32; 2],
    pub mean: [i32; 2],
    pub sd: [u32; 2],
    pub sd_of_differences: Option<u32>,
    /// At least as extreme, arrangements, whether all.
    pub permutation: Option<(u32, u32, bool)>,
    /// Twentieths.
    pub lag1: Option<i32>,
}

/// Unbroken runs of nodes that have a value: first node and length.
pub type Runs = Vec<(u32, u32)>;
/// Terms of each run.
pub type Terms = Vec<Vec<i32>>;

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curve {
    pub n: [u32; 2],
    pub runs: [Runs; 2],
    pub mean_step: u8,
    pub sd_step: u8,
    pub means: [Terms; 2],
    pub sds: [Option<Terms>; 2],
    pub tests: Vec<Test>,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct PathRow {
    pub runs: [Runs; 2],
    pub step: u8,
    /// Toward the target, toeward; of A, of B.
    pub terms: [[Terms; 2]; 2],
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Test {
    pub random_field: bool,
    /// Thousandths.
    pub threshold: u32,
    pub stretches: Vec<Part>,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Part {
    /// 0.1 %.
    pub from: u32,
    /// 0.1 %.
    pub length: u32,
    pub b_higher: bool,
    /// p = figures / 10^(2 + power).
    pub figures: u32,
    pub power: u32,
}
