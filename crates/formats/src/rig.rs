//! Rig files: how a table's columns become ground reaction on a player.
//!
//! The inner types here are plain data; what the JSON looks like is the business of [`wire`], so
//! that the file format can stand still while these move.

mod units;
mod wire;

pub use units::{ForceUnit, LengthUnit, MomentUnit, TimeUnit, Units};

use crate::{Problem, text};
use footing_core::geometry::{Pose, Rotation, Vec3};
use footing_core::recording::{EventKind, FootRole, ForceSense, PlateKind};

/// A rig file, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    /// What the coach calls this arrangement.
    pub name: Option<String>,
    /// Direction to the target, degrees counter-clockwise from lab +x seen from above.
    pub target_azimuth_deg: Option<f64>,
    /// Whether the columns hold the force on the player or on the plate.
    pub force_sense: ForceSense,
    /// The units the columns are in.
    pub units: Units,
    /// Where sample times come from; a table cannot be read without, a C3D needs none.
    pub time: Option<TimeSource>,
    /// Columns that carry a trigger.
    pub markers: Vec<Marker>,
    /// The plates, in the file's order; at least one.
    pub plates: Vec<RigPlate>,
    /// What the file left out and was filled in, one sentence each; readers pass these on as
    /// notes. Empty for a rig that says everything.
    pub assumed: Vec<String>,
}

/// Where sample times come from.
#[derive(Debug, Clone, PartialEq)]
pub enum TimeSource {
    /// A column of times, in [`Units::time`].
    Column(ColumnRef),
    /// Samples at this rate, Hz, the first at time zero.
    RateHz(f64),
}

/// How a rig names a column.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum ColumnRef {
    /// By the text of its header.
    Header(String),
    /// By its number, from 1 (written `"#7"`).
    Number(usize),
}

impl ColumnRef {
    /// Reads the written form; `None` for blank text and for `#0`.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let digits = text.strip_prefix('#').unwrap_or_default();
        if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) {
            return digits
                .parse()
                .ok()
                .filter(|number| *number > 0)
                .map(Self::Number);
        }
        (!text.is_empty()).then(|| Self::Header(text.to_owned()))
    }
}

impl std::fmt::Display for ColumnRef {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Header(text) => f.write_str(text),
            Self::Number(number) => write!(f, "#{number}"),
        }
    }
}

/// A column whose level crossing is an event of the swing.
#[derive(Debug, Clone, PartialEq)]
pub struct Marker {
    /// The column, in whatever unit it has.
    pub column: ColumnRef,
    /// The event it marks.
    pub event: EventKind,
    /// Which crossing counts.
    pub edge: Edge,
    /// The level crossed, in the column's own unit.
    pub level: f64,
}

/// Which crossing of a level counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// From below the level to the level or above.
    Rising,
    /// From above the level to the level or below.
    Falling,
}

/// One plate of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct RigPlate {
    /// Whose foot stands on it; [`FootRole::Unassigned`] when the file does not say.
    pub foot: FootRole,
    /// Which channels make it up.
    pub wiring: Wiring,
    /// Where it lies. Always present with columns; with a C3D plate only when the rig overrides
    /// the file.
    pub placement: Option<Placement>,
}

/// The channels of a plate. Arrays are in the order of [`channel_names`].
#[derive(Debug, Clone, PartialEq)]
pub enum Wiring {
    /// Three forces and three moments about [`Placement::moment_point_m`].
    SixComponent([ColumnRef; 6]),
    /// Three forces, centre of pressure in the plate frame from its centre, free moment about it.
    ForceCop([ColumnRef; 6]),
    /// The same without a column of free moment, which is then taken as nil, with a warning.
    ForceCopOnly([ColumnRef; 5]),
    /// Eight piezo channels.
    EightChannel {
        /// fx12 fx34 fy14 fy23 fz1 fz2 fz3 fz4.
        columns: [ColumnRef; 8],
        /// Sensor half-spacing in x and y, metres, positive.
        sensor_offset_m: [f64; 2],
    },
    /// Vertical force and centre of pressure only.
    VerticalCop([ColumnRef; 3]),
    /// A plate of a C3D file, numbered from 1.
    C3dPlate(usize),
}

impl Wiring {
    /// The kind of plate; `None` for a C3D's, whose kind the file says.
    pub fn kind(&self) -> Option<PlateKind> {
        match self {
            Self::SixComponent(_) => Some(PlateKind::SixComponent),
            Self::ForceCop(_) | Self::ForceCopOnly(_) => Some(PlateKind::ForceCop),
            Self::EightChannel { .. } => Some(PlateKind::EightChannel),
            Self::VerticalCop(_) => Some(PlateKind::VerticalCop),
            Self::C3dPlate(_) => None,
        }
    }

    /// The columns in the order of [`channel_names`], whose last may be absent; empty for a C3D's
    /// plate.
    pub fn columns(&self) -> &[ColumnRef] {
        match self {
            Self::SixComponent(columns) | Self::ForceCop(columns) => columns,
            Self::ForceCopOnly(columns) => columns,
            Self::EightChannel { columns, .. } => columns,
            Self::VerticalCop(columns) => columns,
            Self::C3dPlate(_) => &[],
        }
    }
}

/// The keys of a plate's `columns`, in the order in which [`Wiring`] holds them.
pub fn channel_names(kind: PlateKind) -> &'static [&'static str] {
    match kind {
        PlateKind::SixComponent => &["fx", "fy", "fz", "mx", "my", "mz"],
        PlateKind::ForceCop => &["fx", "fy", "fz", "cop_x", "cop_y", "tz"],
        PlateKind::EightChannel => &["fx12", "fx34", "fy14", "fy23", "fz1", "fz2", "fz3", "fz4"],
        PlateKind::VerticalCop => &["fz", "cop_x", "cop_y"],
    }
}

/// Where a plate lies and about which point its moments are.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// Direction of the plate's +x, degrees counter-clockwise from lab +x seen from above.
    pub x_azimuth_deg: f64,
    /// Whether the plate's +z points up; its axes are right-handed, y = z × x.
    pub z_up: bool,
    /// Centre of the top surface in the lab, metres.
    pub centre_m: Vec3,
    /// The point the moments are about, in the plate frame, from the surface centre, metres.
    pub moment_point_m: Vec3,
    /// Extent along the plate's x and y, metres.
    pub size_m: Option<[f64; 2]>,
}

impl Placement {
    /// Plate axes and surface centre seen from the lab.
    pub fn pose(&self) -> Pose {
        Pose {
            rotation: Rotation::level(self.x_azimuth_deg.to_radians(), self.z_up),
            centre_m: self.centre_m,
        }
    }

    /// The surface's corners in the lab in the order of quadrants (+x+y), (−x+y), (−x−y), (+x−y).
    pub fn corners_in_lab_m(&self) -> Option<[Vec3; 4]> {
        let [along_x, along_y] = self.size_m?;
        let pose = self.pose();
        Some(
            [(0.5, 0.5), (-0.5, 0.5), (-0.5, -0.5), (0.5, -0.5)]
                .map(|(sx, sy)| pose.point(Vec3::new(sx * along_x, sy * along_y, 0.0))),
        )
    }
}

impl Rig {
    /// The rig as the text of a rig file, indented, ending in a line feed. [`parse`] reads it
    /// back to the same rig, with nothing left to assume.
    pub fn to_json(&self) -> String {
        wire::write(self)
    }
}

/// Whether this looks like a rig file: by its name, or by its text.
pub fn looks_like(name: &str, bytes: &[u8]) -> bool {
    if name.to_ascii_lowercase().ends_with(".rig.json") {
        return true;
    }
    let head = bytes.get(..4096).unwrap_or(bytes);
    // Cutting may split a character: whatever cannot be decoded is not one of the letters sought.
    let head: String = String::from_utf8_lossy(head).replace('\0', "");
    head.trim_start_matches(['\u{feff}', '\u{fffd}'])
        .trim_start()
        .starts_with('{')
        && head.contains("footing-rig/")
}

/// Reads a rig file.
///
/// # Errors
/// One [`Problem`] with line and column: text that is not JSON, a key that is not one of the
/// format's, a value out of its range, a channel left out.
pub fn parse(name: &str, bytes: &[u8]) -> Result<Rig, Problem> {
    wire::read(name, &text::decode(name, bytes)?)
}
