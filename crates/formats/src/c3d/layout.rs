//! How the data section is laid out: real files contradict themselves, so the header, the
//! parameters and the file's own size are heard together.

use super::header::Header;
use super::parameters::Parameters;

/// The layout that was settled on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Layout {
    /// Floats of four bytes; otherwise integers of two.
    pub(super) float: bool,
    /// 3D points in a frame, each of four words.
    pub(super) points: u64,
    /// Analog channels.
    pub(super) channels: u64,
    /// Analog samples of each channel in a frame.
    pub(super) per_frame: u64,
    /// Frames the file declares.
    pub(super) declared_frames: u64,
    /// Whole frames that are really there, never more than declared.
    pub(super) frames: u64,
    /// Number of the first frame, from 1.
    pub(super) first_frame: u64,
    /// First byte of the data.
    pub(super) data_at: usize,
    /// Bytes after the last declared frame beyond ordinary padding.
    pub(super) spare_bytes: u64,
    /// The file declares fewer frames than its size shows, as counts of 16 bits must.
    pub(super) frames_from_size: bool,
    /// How far the choice departs from the header; 0 when all agree.
    pub(super) departures: u32,
}

/// Data sections are padded to whole blocks of this many bytes.
const BLOCK: u64 = 512;
/// Counts of frames are held in 16 bits.
const FRAME_WRAP: u64 = 65_536;

impl Layout {
    pub(super) fn word_bytes(&self) -> u64 {
        if self.float { 4 } else { 2 }
    }

    pub(super) fn frame_bytes(&self) -> u64 {
        let words = self.points * 4 + self.channels * self.per_frame;
        words * self.word_bytes()
    }

    /// Settles the layout. `wildness` rates how unlike a measurement the analog values look
    /// under a layout; it is asked only when several fit the file's size.
    ///
    /// `None` when nothing declared leaves a single frame size above zero.
    pub(super) fn settle(
        header: &Header,
        parameters: &Parameters,
        data_at: usize,
        file_bytes: usize,
        wildness: impl Fn(&Self) -> f64,
    ) -> Option<Self> {
        let available = file_bytes.saturating_sub(data_at) as u64;
        let mut layouts = candidates(header, parameters, data_at);
        layouts.retain(|l| l.frame_bytes() > 0 && l.declared_frames > 0);
        for layout in &mut layouts {
            layout.fit(available);
        }
        layouts.sort_by_key(|l| (l.rank(available), l.departures));
        let first = *layouts.first()?;
        let mut rivals = layouts.iter().filter(|l| l.rank(available) == 0).take(8);
        let settled = match (rivals.next(), rivals.next()) {
            (Some(_), Some(_)) => {
                let best = layouts
                    .iter()
                    .take(8)
                    .filter(|l| l.rank(available) == 0)
                    .map(|l| (wildness(l), *l))
                    .min_by(|a, b| a.0.total_cmp(&b.0))?;
                // The header keeps its say unless another layout is plainly calmer.
                if best.0 < wildness(&first) / 4.0 {
                    best.1
                } else {
                    first
                }
            }
            _ => first,
        };
        Some(settled)
    }

    /// 0: fills the file up to padding; 1: does not.
    fn rank(&self, available: u64) -> u8 {
        let needed = self.declared_frames.saturating_mul(self.frame_bytes());
        let exact = available >= needed && available - needed < BLOCK;
        u8::from(!exact)
    }

    /// Compares with the bytes there are, and undoes 16-bit wrapping of the frame count.
    fn fit(&mut self, available: u64) {
        let frame_bytes = self.frame_bytes();
        let there = available / frame_bytes;
        let padding_frames = BLOCK / frame_bytes;
        let saturated = self.declared_frames == FRAME_WRAP - 1;
        if there >= FRAME_WRAP && self.declared_frames < FRAME_WRAP {
            let wrapped = (there.saturating_sub(padding_frames)..=there)
                .find(|n| n % FRAME_WRAP == self.declared_frames % FRAME_WRAP);
            if let Some(frames) = wrapped.or(saturated.then_some(there)) {
                self.declared_frames = frames;
                self.frames_from_size = true;
            }
        }
        self.frames = self.declared_frames.min(there);
        let needed = self.declared_frames.saturating_mul(frame_bytes);
        let rest = available.saturating_sub(needed);
        self.spare_bytes = if rest < 2 * BLOCK { 0 } else { rest };
    }
}

/// Every reading of the declared counts, the header's first.
fn candidates(header: &Header, parameters: &Parameters, data_at: usize) -> Vec<Layout> {
    let per_frame = samples_per_frame(header, parameters);
    let first_frame = first_frame(header, parameters);
    let mut all = Vec::new();
    for (float_rank, &float) in floats(header, parameters).iter().enumerate() {
        for (point_rank, &points) in points(header, parameters).iter().enumerate() {
            for (channel_rank, &channels) in
                channels(header, parameters, per_frame).iter().enumerate()
            {
                for (frame_rank, &declared_frames) in
                    frame_counts(header, parameters).iter().enumerate()
                {
                    all.push(Layout {
                        float,
                        points,
                        channels,
                        per_frame,
                        declared_frames,
                        frames: 0,
                        first_frame,
                        data_at,
                        spare_bytes: 0,
                        frames_from_size: false,
                        departures: (float_rank + point_rank + channel_rank + frame_rank) as u32,
                    });
                }
            }
        }
    }
    all
}

fn distinct(values: impl IntoIterator<Item = u64>) -> Vec<u64> {
    let mut list = Vec::new();
    for value in values {
        if !list.contains(&value) {
            list.push(value);
        }
    }
    list
}

fn samples_per_frame(header: &Header, parameters: &Parameters) -> u64 {
    if header.samples_per_frame > 0 {
        return header.samples_per_frame;
    }
    let rate = |group| parameters.number(group, "RATE").unwrap_or(0.0);
    let ratio = (rate("ANALOG") / rate("POINT")).round();
    if (1.0..65_536.0).contains(&ratio) {
        ratio as u64
    } else {
        1
    }
}

fn floats(header: &Header, parameters: &Parameters) -> Vec<bool> {
    let header_float = header.scale < 0.0;
    match parameters.number("POINT", "SCALE") {
        Some(scale) if (scale < 0.0) != header_float => vec![header_float, !header_float],
        _ => vec![header_float],
    }
}

fn points(header: &Header, parameters: &Parameters) -> Vec<u64> {
    let used = parameters.count("POINT", "USED").filter(|&n| n < 65_536);
    distinct([header.points].into_iter().chain(used))
}

fn channels(header: &Header, parameters: &Parameters, per_frame: u64) -> Vec<u64> {
    let total = header.analog_per_frame;
    let from_header = total.is_multiple_of(per_frame).then_some(total / per_frame);
    let used = parameters.count("ANALOG", "USED");
    let labels = Some(parameters.strings("ANALOG", "LABELS").len() as u64).filter(|&n| n > 0);
    let declared = [from_header, used, labels].into_iter().flatten();
    distinct(declared.filter(|&n| n < 65_536))
}

/// The span of frames of the whole recording that some writers keep in 32 bits.
fn actual_span(parameters: &Parameters) -> Option<(u64, u64)> {
    let field = |name| parameters.get("TRIAL", name)?.long_count();
    let (first, last) = (field("ACTUAL_START_FIELD")?, field("ACTUAL_END_FIELD")?);
    (first <= last).then_some((first, last))
}

fn frame_counts(header: &Header, parameters: &Parameters) -> Vec<u64> {
    let from_header = (header.last_frame >= header.first_frame)
        .then(|| header.last_frame - header.first_frame + 1);
    let from_trial = actual_span(parameters).map(|(first, last)| last - first + 1);
    let long = parameters.count("POINT", "LONG_FRAMES");
    let frames = parameters.count("POINT", "FRAMES");
    // A wrapped header (last before first) still tells the count modulo 2^16.
    let wrapped = (header.last_frame + FRAME_WRAP - header.first_frame + 1) % FRAME_WRAP;
    let declared = [from_header, from_trial, long, frames, Some(wrapped)];
    distinct(declared.into_iter().flatten().filter(|&n| n > 0))
}

/// The header's first frame, or the 32-bit one where it agrees modulo 2^16.
fn first_frame(header: &Header, parameters: &Parameters) -> u64 {
    match actual_span(parameters) {
        Some((first, _)) if first % FRAME_WRAP == header.first_frame => first,
        _ => header.first_frame,
    }
}
