//! What is fuzzed.

use std::time::Duration;

use footing_formats::rig::{self, Rig};
use footing_formats::{Loaded, Problem, c3d, storage, table, wiring};

use crate::packs;

/// One reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// C3D files.
    C3d,
    /// Tables, read without a rig and with one.
    Table,
    /// Rig files.
    Rig,
    /// Tables without a rig: what is proposed must be a rig, and read or be refused like one.
    Wiring,
    /// OpenSim storage files.
    Storage,
    /// Zip archives.
    Archive,
    /// Workbooks.
    Sheets,
    /// Links.
    Link,
}

/// The arrangement tables are read with.
const RIG: &[u8] = include_bytes!("../corpus/rig/two-plates.rig.json");

impl Target {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::C3d,
        Self::Table,
        Self::Rig,
        Self::Wiring,
        Self::Storage,
        Self::Archive,
        Self::Sheets,
        Self::Link,
    ];

    /// The name on the command line and of the folders.
    pub fn name(self) -> &'static str {
        match self {
            Self::C3d => "c3d",
            Self::Table => "table",
            Self::Rig => "rig",
            Self::Wiring => "wiring",
            Self::Storage => "storage",
            Self::Archive => "archive",
            Self::Sheets => "sheets",
            Self::Link => "link",
        }
    }

    /// The target of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|t| t.name() == name)
    }

    /// Reads an input as the application would, and holds what was read to the readers' promises.
    ///
    /// # Panics
    /// When the reader does, or breaks a promise: that is what is looked for.
    pub fn read(self, bytes: &[u8]) {
        match self {
            Self::C3d => check(c3d::read("input.c3d", bytes, None)),
            Self::Table => {
                check(table::read("input.csv", bytes, None));
                check(table::read("input.csv", bytes, Some(&two_plates())));
            }
            Self::Rig => {
                if let Err(problem) = rig::parse("input.rig.json", bytes) {
                    check_sentence(&problem);
                }
            }
            Self::Wiring => propose(bytes),
            Self::Storage => check(storage::read("input.mot", bytes)),
            Self::Archive => packs::archive(bytes),
            Self::Sheets => packs::workbook(bytes),
            Self::Link => crate::link::read(bytes),
        }
    }

    /// No input may take longer.
    pub fn longest(self) -> Duration {
        match self {
            Self::Link => Duration::from_millis(50),
            _ => Duration::from_secs(2),
        }
    }

    /// No input may need more memory than this, bytes.
    pub fn most_memory(self, bytes: &[u8]) -> usize {
        match self {
            Self::Link => 8 << 20,
            _ => self.size(bytes) * 4 + (16 << 20),
        }
    }

    /// [`Target::most_memory`] in words.
    pub fn memory_rule(self) -> &'static str {
        match self {
            Self::Link => "8 MB",
            _ => "4 × its size + 16 MB",
        }
    }

    /// What an input counts for when memory is held against its size: with what it unpacks to, where
    /// it is packed.
    pub fn size(self, bytes: &[u8]) -> usize {
        match self {
            Self::Archive | Self::Sheets => bytes.len() + packs::unpacked(bytes),
            _ => bytes.len(),
        }
    }
}

fn propose(bytes: &[u8]) {
    if let Err(problem) = wiring::channels("input.csv", bytes) {
        check_sentence(&problem);
    }
    match wiring::propose("input.csv", bytes) {
        Ok(proposal) => {
            let text = proposal.rig.to_json();
            let again = rig::parse("input.rig.json", text.as_bytes());
            assert_eq!(again.as_ref(), Ok(&proposal.rig), "a rig that is none");
            check(table::read("input.csv", bytes, Some(&proposal.rig)));
        }
        Err(problem) => check_sentence(&problem),
    }
}

fn two_plates() -> Rig {
    rig::parse("two-plates.rig.json", RIG).expect("the kept rig is good")
}

/// `Recording` promises: equal lengths, finite numbers, time that moves on, at least one plate.
fn check(read: Result<Loaded, Problem>) {
    let loaded = match read {
        Ok(loaded) => loaded,
        Err(problem) => return check_sentence(&problem),
    };
    let recording = &loaded.recording;
    let n = recording.t_s.len();
    assert!(n > 0, "no samples");
    assert!(!recording.plates.is_empty(), "no plates");
    assert!(recording.rate_hz.is_finite() && recording.rate_hz > 0.0);
    assert!(
        recording.t_s.windows(2).all(|w| w[0] < w[1]),
        "time stands still"
    );
    for plate in &recording.plates {
        let shear = plate.shear.as_ref();
        let series = [Some(&plate.fz_n), Some(&plate.mx_nm), Some(&plate.my_nm)]
            .into_iter()
            .chain([
                shear.map(|s| &s.fx_n),
                shear.map(|s| &s.fy_n),
                shear.map(|s| &s.mz_nm),
            ]);
        for values in series.flatten() {
            assert_eq!(values.len(), n, "series of another length");
            assert!(values.iter().all(|v| v.is_finite()), "a value is no number");
        }
        assert!(plate.lab_from_plate.centre_m.is_finite());
        assert!(plate.lab_from_plate.rotation.z.is_finite());
    }
    for mark in &recording.marks {
        assert!(mark.t_s.is_finite());
    }
}

/// A refusal is one line of bearable length.
pub(crate) fn check_sentence(problem: &Problem) {
    let text = problem.to_string();
    assert!(!text.contains('\n'), "a refusal of several lines: {text:?}");
    assert!(text.len() < 2_000, "a refusal of {} bytes", text.len());
}
