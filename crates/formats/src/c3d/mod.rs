//! C3D, the open standard for synchronised marker and analog data.
//!
//! A file is a header block, a list of parameters and the data. Real files contradict themselves
//! about all three: what was chosen, and why, comes back as notes.
//!
//! **Source:** the C3D user guide at c3d.org; each rule names its page where it is used.

mod analog;
mod bytes;
mod doubts;
mod events;
mod header;
mod layout;
mod parameters;
mod plates;
mod surface;
mod wired;
mod wrench;

use footing_core::note::{Level, Note};
use footing_core::recording::{ForceSense, Recording};

use crate::{Loaded, Problem, rig::Rig};
use analog::Analog;
use bytes::Processor;
use header::Header;
use layout::Layout;
use parameters::Parameters;

/// One block of the file.
const BLOCK: usize = 512;
/// The second byte of every C3D file, and of its parameter section.
const KEY: u8 = 0x50;

/// Whether the bytes begin like a C3D file: the key value 0x50 in byte 2, and neither text nor a picture that happens to
/// have a capital P there. Where byte 1 may be a letter too, the parameters must be there: the key once more, and a processor.
pub fn looks_like(bytes: &[u8]) -> bool {
    let [pointer, KEY, ..] = *bytes else {
        return false;
    };
    if pointer < b'\t' {
        return true;
    }
    let parameters = |start: usize| matches!(bytes.get(start..start + 4), Some([_, KEY, _, code]) if Processor::from_code(*code).is_some());
    let head = bytes.get(..BLOCK).unwrap_or_default();
    head.contains(&0)
        && [(usize::from(pointer) - 1) * BLOCK, BLOCK]
            .into_iter()
            .any(parameters)
}

/// Reads a C3D file.
///
/// Plates of type 1, 2, 3 and 4 become wrenches about their surface centres; integer and float
/// data of all three processors are scaled alike. The recording's clock counts from frame 1, as
/// the EVENT group's times do, so a recording cut out of a longer one does not start at zero.
/// A rig that names plates by `c3d_plate` chooses and places them; other rigs are not for C3D.
///
/// # Errors
/// One [`Problem`]: not a C3D file, no data, no force plates, no sampling rate, or a plate
/// channel with a value that is not a number. A recording cut short is read as far as it goes,
/// with a note.
pub fn read(name: &str, bytes: &[u8], rig: Option<&Rig>) -> Result<Loaded, Problem> {
    let mut notes = Vec::new();
    let (header, parameters) = open(name, bytes, &mut notes)?;
    let layout = lay_out(name, bytes, &header, &parameters, &mut notes)?;
    let clock = Clock::read(name, &header, &parameters, layout, &mut notes)?;
    let mut analog = Analog::new(bytes, &parameters, layout);
    let placed = wired::placed(rig);
    let size = bytes.len();
    let plates = plates::read(name, &parameters, &mut analog, size, &placed, &mut notes)?;
    let mut recording = Recording {
        rate_hz: clock.rate_hz,
        t_s: clock.times(analog.samples()),
        plates: Vec::new(),
        marks: events::read(&parameters, &header.events, clock.half_frame_s),
        target_azimuth_rad: None,
        force_sense: ForceSense::Auto,
    };
    wired::place(name, plates, rig, &mut recording, &mut notes)?;
    Ok(Loaded {
        format: format!(
            "C3D, {}, {}",
            parameters.processor.name(),
            if layout.float { "float" } else { "integer" }
        ),
        recording,
        notes,
    })
}

/// Header and parameters, in the byte order the file says or, failing that, shows.
fn open<'a>(
    name: &str,
    bytes: &'a [u8],
    notes: &mut Vec<Note>,
) -> Result<(Header, Parameters<'a>), Problem> {
    if !looks_like(bytes) {
        return Err(Problem::new(
            name,
            "not a C3D file",
            "the value 80 in its second byte",
            "a file that was exported as C3D",
        ));
    }
    let short = || {
        Problem::new(
            name,
            format!("a C3D file that ends after {} bytes", bytes.len()),
            "a header of 512 bytes, parameters and data",
            "copying or exporting the file again",
        )
    };
    let block = usize::from(*bytes.first().ok_or_else(short)?).max(1);
    let mut start = (block - 1) * BLOCK;
    if bytes.get(start + 1) != Some(&KEY) || start == 0 {
        // Some writers leave the pointer empty; the parameters then follow the header.
        start = BLOCK;
    }
    let code = *bytes.get(start + 3).ok_or_else(short)?;
    let processor = match Processor::from_code(code) {
        Some(processor) => processor,
        None => {
            let guess = guess_processor(bytes, start);
            notes.push(Note::new(
                "processor-guessed",
                Level::Warn,
                format!(
                    "byte {} should name the processor (84, 85 or 86) but is {code}; read as {}: check \
                     forces and times, or export again",
                    start + 4,
                    guess.name()
                ),
            ));
            guess
        }
    };
    let header = Header::read(bytes, processor).ok_or_else(short)?;
    let parameters = Parameters::walk(bytes, start, processor);
    if let Some(at) = parameters.damaged_at {
        notes.push(Note::new(
            "parameters-damaged",
            Level::Warn,
            format!(
                "the list of parameters stops making sense at byte {at}; what came before was \
                 used: check plates and units, or copy or export the file again"
            ),
        ));
    }
    Ok((header, parameters))
}

/// The byte order in which header and parameters make most sense.
fn guess_processor(bytes: &[u8], start: usize) -> Processor {
    let sense = |processor: Processor| {
        let Some(header) = Header::read(bytes, processor) else {
            return 0;
        };
        let rate = header.point_rate_hz;
        let parameters = Parameters::walk(bytes, start, processor);
        i32::from(header.first_frame <= header.last_frame)
            + i32::from((1.0..=1e5).contains(&rate) && (rate * 100.0).fract() == 0.0)
            + i32::from(header.data_block < 1_000)
            + i32::from(parameters.damaged_at.is_none()) * 2
    };
    let mut best = (Processor::Intel, i32::MIN);
    for processor in Processor::ALL {
        let score = sense(processor);
        if score > best.1 {
            best = (processor, score);
        }
    }
    best.0
}

/// Where the data are and in what layout.
fn lay_out(
    name: &str,
    bytes: &[u8],
    header: &Header,
    parameters: &Parameters,
    notes: &mut Vec<Note>,
) -> Result<Layout, Problem> {
    let starts = [
        Some(header.data_block),
        parameters.count("POINT", "DATA_START"),
    ];
    let data_at = starts
        .into_iter()
        .flatten()
        .filter(|&block| block >= 2)
        .filter_map(|block| usize::try_from(block - 1).ok()?.checked_mul(BLOCK))
        .find(|&at| at < bytes.len());
    let Some(data_at) = data_at else {
        return Err(Problem::new(
            name,
            format!(
                "the data should begin at block {}, but the file has {} bytes",
                header.data_block,
                bytes.len()
            ),
            "data after the parameters",
            "copying or exporting the file again",
        ));
    };
    let wildness = |layout: &Layout| Analog::new(bytes, parameters, *layout).wildness();
    let settled = Layout::settle(header, parameters, data_at, bytes.len(), wildness);
    let Some(layout) = settled else {
        return Err(Problem::new(
            name,
            "no frames of data are declared",
            "a header that declares points or analog channels, and frames",
            "exporting the recording again",
        ));
    };
    if layout.frames == 0 || layout.channels == 0 {
        let what = if layout.channels == 0 {
            "no analog channels, so no force plates".to_owned()
        } else {
            format!(
                "{} frames are declared ({} bytes) but not one is there: the data have {} bytes",
                layout.declared_frames,
                layout.declared_frames.saturating_mul(layout.frame_bytes()),
                bytes.len() - data_at
            )
        };
        return Err(Problem::new(
            name,
            what,
            "frames with the plates' analog channels",
            "copying or exporting the file again",
        ));
    }
    tell_layout(&layout, bytes.len(), notes);
    Ok(layout)
}

fn tell_layout(layout: &Layout, file_bytes: usize, notes: &mut Vec<Note>) {
    if layout.frames < layout.declared_frames {
        let missing = layout.declared_frames - layout.frames;
        notes.push(Note::new(
            "truncated",
            Level::Warn,
            format!(
                "the file ends after {} of {} declared frames (byte {file_bytes}): the last {missing} \
                 frames are missing; copy or export it again if the swing's end is lost",
                layout.frames, layout.declared_frames
            ),
        ));
    }
    if layout.frames_from_size {
        notes.push(Note::new(
            "frames-from-size",
            Level::Note,
            format!(
                "the recording has {} frames, more than the header's 16 bits can count; the file's \
                 size tells",
                layout.frames
            ),
        ));
    }
    if layout.departures > 0 && !layout.frames_from_size {
        notes.push(Note::new(
            "layout-settled",
            Level::Note,
            format!(
                "header and parameters disagree about the data; {} frames of {} points and {} analog \
                 channels, {} samples a frame, fit best",
                layout.frames, layout.points, layout.channels, layout.per_frame
            ),
        ));
    }
    if layout.spare_bytes > 0 {
        notes.push(Note::new(
            "spare-bytes",
            Level::Note,
            format!(
                "{} bytes after the last declared frame were not read",
                layout.spare_bytes
            ),
        ));
    }
}

/// When samples were taken.
struct Clock {
    rate_hz: f64,
    start_s: f64,
    half_frame_s: f64,
}

/// Rates between these, Hz, are those of an instrument.
const RATES_HZ: std::ops::RangeInclusive<f64> = 1.0..=1e6;
/// A recording that starts later than this on its own clock, s, has a damaged first frame.
const LATEST_START_S: f64 = 1e7;

impl Clock {
    /// The analog rate is the point rate times the samples in a frame. Files without points may
    /// give only ANALOG:RATE, files with one sample a frame only POINT:RATE.
    fn read(
        name: &str,
        header: &Header,
        parameters: &Parameters,
        layout: Layout,
        notes: &mut Vec<Note>,
    ) -> Result<Self, Problem> {
        let per_frame = layout.per_frame as f64;
        let given = |group| {
            let rate = parameters.number(group, "RATE")?;
            RATES_HZ.contains(&rate).then_some(rate)
        };
        let header_rate = Some(header.point_rate_hz).filter(|rate| RATES_HZ.contains(rate));
        let point = given("POINT").or(header_rate).map(|rate| rate * per_frame);
        let analog = given("ANALOG");
        let rate_hz = match (point, analog) {
            (Some(point), Some(analog)) if (point / analog - 1.0).abs() > 0.001 => {
                notes.push(Note::new(
                    "rates-disagree",
                    Level::Warn,
                    format!(
                        "ANALOG:RATE is {analog} Hz, but {} samples a frame at the point rate make \
                         {point} Hz, which was used: check the times",
                        layout.per_frame
                    ),
                ));
                point
            }
            (_, Some(analog)) => analog,
            (Some(point), None) => point,
            (None, None) => {
                return Err(Problem::new(
                    name,
                    "no sampling rate: neither POINT:RATE nor ANALOG:RATE is between 1 and 1000000 Hz",
                    "a rate in the C3D parameters",
                    "exporting the recording again with its rate",
                ));
            }
        };
        if !RATES_HZ.contains(&rate_hz) {
            return Err(Problem::new(
                name,
                format!("a sampling rate of {rate_hz} Hz"),
                "a rate between 1 and 1000000 Hz",
                "exporting the recording again",
            ));
        }
        let frame_s = per_frame / rate_hz;
        let start_s = layout.first_frame.saturating_sub(1) as f64 * frame_s;
        Ok(Self {
            rate_hz,
            start_s: if start_s < LATEST_START_S {
                start_s
            } else {
                0.0
            },
            half_frame_s: frame_s / 2.0,
        })
    }

    fn times(&self, samples: u64) -> Vec<f64> {
        (0..samples)
            .map(|i| self.start_s + i as f64 / self.rate_hz)
            .collect()
    }
}
