//! The 512-byte header.

use super::bytes::Processor;
use super::parameters::text;

/// What the header declares; zero where a writer left a word empty.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Header {
    pub(super) points: u64,
    /// Analog values in one 3D frame: channels times samples per frame, in most files.
    pub(super) analog_per_frame: u64,
    pub(super) first_frame: u64,
    pub(super) last_frame: u64,
    /// Negative: the data are floats.
    pub(super) scale: f64,
    pub(super) data_block: u64,
    pub(super) samples_per_frame: u64,
    pub(super) point_rate_hz: f64,
    pub(super) events: Vec<HeaderEvent>,
}

/// An event of the header's own short list.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeaderEvent {
    pub(super) label: String,
    pub(super) t_s: f64,
}

/// The value of word 150 that says the event labels have four characters.
const LABELS_OF_FOUR: u16 = 12_345;
const MAX_HEADER_EVENTS: usize = 18;

impl Header {
    /// Words are counted from 1, as the format's description does. `None` when the file ends
    /// before the header does.
    pub(super) fn read(bytes: &[u8], processor: Processor) -> Option<Self> {
        let header = bytes.get(..512)?;
        let word = |n: usize| processor.u16(header, (n - 1) * 2).map(u64::from);
        let float = |n: usize| processor.f32(header, (n - 1) * 2);
        Some(Self {
            points: word(2)?,
            analog_per_frame: word(3)?,
            first_frame: word(4)?,
            last_frame: word(5)?,
            scale: float(7)?,
            data_block: word(9)?,
            samples_per_frame: word(10)?,
            point_rate_hz: float(11)?,
            events: events(header, processor),
        })
    }
}

fn events(header: &[u8], processor: Processor) -> Vec<HeaderEvent> {
    if processor.u16(header, 149 * 2) != Some(LABELS_OF_FOUR) {
        return Vec::new();
    }
    let count = processor.u16(header, 150 * 2).map_or(0, usize::from);
    (0..count.min(MAX_HEADER_EVENTS))
        .filter_map(|i| {
            let label = header.get(198 * 2 + i * 4..198 * 2 + i * 4 + 4)?;
            Some(HeaderEvent {
                label: text(label),
                t_s: processor.f32(header, 152 * 2 + i * 4)?,
            })
        })
        .collect()
}
