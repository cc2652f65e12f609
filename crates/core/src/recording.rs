//! A recording: what the plates measured, in SI units, before anyone asks about a swing.

use crate::geometry::{Pose, Vec3};

/// Everything a file holds that matters here. Readers guarantee: all series have the length of
/// `t_s`, every number is finite, `t_s` strictly increases, there is at least one plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// Nominal sampling rate, Hz: declared by the file, or one over the median sample interval.
    pub rate_hz: f64,
    /// Time of each sample on the recording's own clock, seconds.
    pub t_s: Vec<f64>,
    /// The plates in file order.
    pub plates: Vec<Plate>,
    /// Events the file itself carries.
    pub marks: Vec<Mark>,
    /// Direction to the target, radians counter-clockwise from lab +x seen from above; `None`
    /// when the file does not say.
    pub target_azimuth_rad: Option<f64>,
    /// Whether the stored forces act on the player or on the plate.
    pub force_sense: ForceSense,
}

/// One plate: where it lies and what it measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// A name a person can find again, such as "plate 1".
    pub label: String,
    /// How the file stored its channels.
    pub kind: PlateKind,
    /// Whose foot stands on it, when the file or rig says so.
    pub foot: FootRole,
    /// Plate axes and surface centre in the lab frame.
    pub lab_from_plate: Pose,
    /// The surface's corners in the lab frame, metres, in the order of quadrants (+x+y), (−x+y),
    /// (−x−y), (+x−y) of the plate frame; `None` when the size is unknown.
    pub corners_in_lab_m: Option<[Vec3; 4]>,
    /// Force along the plate's z axis, N, in the stored sense.
    pub fz_n: Vec<f64>,
    /// Moment about the plate's x axis through the surface centre, N·m, in the stored sense.
    pub mx_nm: Vec<f64>,
    /// Moment about the plate's y axis through the surface centre, N·m, in the stored sense.
    pub my_nm: Vec<f64>,
    /// The horizontal half of the wrench; `None` for plates that only measure vertically.
    pub shear: Option<Shear>,
}

/// The part of a plate's wrench that a vertical-only plate does not have.
#[derive(Debug, Clone, PartialEq)]
pub struct Shear {
    /// Force along the plate's x axis, N.
    pub fx_n: Vec<f64>,
    /// Force along the plate's y axis, N.
    pub fy_n: Vec<f64>,
    /// Moment about the plate's z axis through the surface centre, N·m.
    pub mz_nm: Vec<f64>,
}

/// How the channels of a plate were stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlateKind {
    /// Three forces and three moments.
    SixComponent,
    /// Three forces, centre of pressure and free moment.
    ForceCop,
    /// Eight piezo-electric channels.
    EightChannel,
    /// Vertical force and centre of pressure only.
    VerticalCop,
}

impl PlateKind {
    /// The name used in rig files and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::SixComponent => "six-component",
            Self::ForceCop => "force-cop",
            Self::EightChannel => "eight-channel",
            Self::VerticalCop => "vertical-cop",
        }
    }
}

/// Whose foot a plate carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FootRole {
    /// The foot nearer the target.
    Lead,
    /// The foot further from the target.
    Trail,
    /// Both feet stand on this plate: no foot-to-foot measures.
    Both,
    /// The file does not say; decided from load and place.
    Unassigned,
}

/// Whether stored forces are those of the ground on the player or the reverse.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ForceSense {
    /// Reaction: the ground on the player.
    OnPlayer,
    /// Action: the player on the plate; the whole wrench is turned over.
    OnPlate,
    /// Decided by one test: a loaded plate must push up.
    Auto,
}

/// The moments of a swing that have a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EventKind {
    /// Quiet stance before the swing.
    Address,
    /// The swing begins.
    Takeaway,
    /// Lead arm level in the backswing.
    ArmLevel,
    /// Top of the backswing.
    Top,
    /// The whole body has stopped turning away: momentum reversal.
    Transition,
    /// Club meets ball.
    Impact,
    /// The player is still again.
    Finish,
}

impl EventKind {
    /// All kinds in the order of a swing.
    pub const ALL: [Self; 7] = [
        Self::Address,
        Self::Takeaway,
        Self::ArmLevel,
        Self::Top,
        Self::Transition,
        Self::Impact,
        Self::Finish,
    ];

    /// The id used in JSON and events files (`{id}_s`).
    pub fn id(self) -> &'static str {
        match self {
            Self::Address => "address",
            Self::Takeaway => "takeaway",
            Self::ArmLevel => "arm_level",
            Self::Top => "top",
            Self::Transition => "transition",
            Self::Impact => "impact",
            Self::Finish => "finish",
        }
    }

    /// The words a person reads.
    pub fn label(self) -> &'static str {
        match self {
            Self::ArmLevel => "lead arm level",
            other => other.id(),
        }
    }

    /// The kind with this id.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.id() == id)
    }
}

/// An instant the file itself names.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// The file's own words.
    pub label: String,
    /// Which event of a swing this is; `None` when the words are not ours.
    pub event: Option<EventKind>,
    /// Time on the recording's clock, seconds.
    pub t_s: f64,
    /// Half-width of what the source can resolve, seconds (half a frame, half a sample).
    pub uncertainty_s: f64,
}
