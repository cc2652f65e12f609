//! Analog values, scaled, read in place: a recording is never copied whole before it is used.

use super::bytes::Processor;
use super::layout::Layout;
use super::parameters::Parameters;

/// The analog part of a file.
pub(super) struct Analog<'a> {
    bytes: &'a [u8],
    processor: Processor,
    layout: Layout,
    unsigned: bool,
    general_scale: f64,
    scales: Vec<f64>,
    offsets: Vec<f64>,
}

/// One channel and how to turn its stored values into units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Channel {
    /// From 0.
    index: u64,
    offset: f64,
    scale: f64,
}

impl Channel {
    /// The number a person counts with, from 1.
    pub(super) fn number(self) -> u64 {
        self.index + 1
    }

    /// Whether scale and offset are numbers at all.
    pub(super) fn is_finite(self) -> bool {
        self.scale.is_finite() && self.offset.is_finite()
    }
}

impl<'a> Analog<'a> {
    pub(super) fn new(bytes: &'a [u8], parameters: &Parameters, layout: Layout) -> Self {
        let mut offsets = parameters.numbers("ANALOG", "OFFSET");
        let unsigned = !layout.float && is_unsigned(parameters, &offsets);
        if is_unsigned(parameters, &offsets) {
            for offset in &mut offsets {
                if *offset < 0.0 {
                    *offset += 65_536.0;
                }
            }
        }
        Self {
            bytes,
            processor: parameters.processor,
            layout,
            unsigned,
            general_scale: parameters.number("ANALOG", "GEN_SCALE").unwrap_or(1.0),
            scales: parameters.numbers("ANALOG", "SCALE"),
            offsets,
        }
    }

    pub(super) fn samples(&self) -> u64 {
        self.layout.frames * self.layout.per_frame
    }

    pub(super) fn samples_per_frame(&self) -> u64 {
        self.layout.per_frame
    }

    /// The frame, counted as the file counts, that holds a sample.
    pub(super) fn frame_of(&self, sample: u64) -> u64 {
        self.layout.first_frame + sample / self.layout.per_frame.max(1)
    }

    /// The channel with this number from 1; `None` when the file has no such channel. A missing
    /// scale is 1, a missing offset 0.
    pub(super) fn channel(&self, number: f64) -> Option<Channel> {
        if !(number >= 1.0 && number <= self.layout.channels as f64 && number.fract() == 0.0) {
            return None;
        }
        let index = number as usize - 1;
        Some(Channel {
            index: index as u64,
            offset: self.offsets.get(index).copied().unwrap_or(0.0),
            scale: self.scales.get(index).copied().unwrap_or(1.0) * self.general_scale,
        })
    }

    /// ```text
    /// value = (stored − OFFSET) · SCALE · GEN_SCALE
    /// ```
    /// for integers and floats alike. **Source:** c3d.org user guide, "Floating point 3D data":
    /// readers apply the analog scaling calculations to float files too.
    pub(super) fn value(&self, channel: Channel, sample: u64) -> Option<f64> {
        Some((self.stored(channel.index, sample)? - channel.offset) * channel.scale)
    }

    fn stored(&self, channel: u64, sample: u64) -> Option<f64> {
        let layout = &self.layout;
        let frame = sample / layout.per_frame;
        let within = sample % layout.per_frame;
        let word = layout.points * 4 + within * layout.channels + channel;
        let at = frame
            .checked_mul(layout.frame_bytes())?
            .checked_add(word * layout.word_bytes())?;
        let at = layout.data_at.checked_add(usize::try_from(at).ok()?)?;
        if layout.float {
            self.processor.f32(self.bytes, at)
        } else if self.unsigned {
            self.processor.u16(self.bytes, at).map(f64::from)
        } else {
            self.processor.i16(self.bytes, at).map(f64::from)
        }
    }

    /// How far the mean of the channels lies from their offsets, as stored: calm in a true
    /// layout, wild in one that takes marker coordinates for forces.
    pub(super) fn wildness(&self) -> f64 {
        let channels = self.layout.channels.min(64);
        let samples = self.samples();
        if channels == 0 || samples == 0 {
            return f64::INFINITY;
        }
        let steps = samples.min(64);
        let mut total = 0.0;
        for channel in 0..channels {
            let offset = self.offsets.get(channel as usize).copied().unwrap_or(0.0);
            let sum: f64 = (0..steps)
                .map(|i| i * (samples / steps))
                .filter_map(|sample| self.stored(channel, sample))
                .sum();
            total += (sum / steps as f64 - offset).abs();
        }
        let mean = total / channels as f64;
        if mean.is_finite() {
            mean
        } else {
            f64::INFINITY
        }
    }

    /// What the stored values say about the sign of OFFSET over these channels: some writers
    /// give an offset that the data already lack, or have the other way round.
    pub(super) fn offset_doubt(&self, channels: &[Channel]) -> Option<OffsetDoubt> {
        let samples = self.samples();
        let steps = samples.min(101);
        if self.layout.float || self.unsigned || steps == 0 {
            return None;
        }
        let (mut with, mut removed, mut turned) = (0, 0, 0);
        for channel in channels.iter().filter(|c| c.offset.abs() >= 512.0) {
            let mut values: Vec<f64> = (0..steps)
                .filter_map(|i| self.stored(channel.index, i * (samples / steps)))
                .collect();
            values.sort_by(f64::total_cmp);
            let median = values.get(values.len() / 2).copied().unwrap_or(0.0);
            let near = channel.offset.abs() * 0.05;
            with += 1;
            removed += usize::from(median.abs() < near);
            turned += usize::from((median + channel.offset).abs() < near);
        }
        // Loaded channels stray from their zero; most channels of a plate do not.
        let most = |n: usize| with > 0 && n * 4 >= with * 3;
        if most(turned) {
            Some(OffsetDoubt::Turned)
        } else if most(removed) {
            Some(OffsetDoubt::Removed)
        } else {
            None
        }
    }

    /// Drops or turns the offsets, after [`Self::offset_doubt`].
    pub(super) fn mend_offsets(&mut self, doubt: OffsetDoubt) {
        for offset in &mut self.offsets {
            *offset = match doubt {
                OffsetDoubt::Removed => 0.0,
                OffsetDoubt::Turned => -*offset,
            };
        }
    }
}

/// An OFFSET that cannot be what the data were stored with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OffsetDoubt {
    /// The stored values are already about zero.
    Removed,
    /// The stored values are about minus the offset.
    Turned,
}

/// Declared by ANALOG:FORMAT, or shown by an offset at the middle of an unsigned 16-bit range
/// (32767, 32768; the latter reads −32768 as a signed word).
fn is_unsigned(parameters: &Parameters, offsets: &[f64]) -> bool {
    let declared = parameters
        .get("ANALOG", "FORMAT")
        .and_then(super::parameters::Parameter::string)
        .is_some_and(|format| format.eq_ignore_ascii_case("unsigned"));
    declared || offsets.iter().any(|&o| o >= 32_767.0 || o == -32_768.0)
}
