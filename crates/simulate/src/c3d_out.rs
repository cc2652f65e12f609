//! C3D files: three processors, integer or float, plate types 1 to 4.
//!
//! **Source:** the C3D file format user guide (c3d.org): header, parameter records, FORCE_PLATFORM
//! and EVENT groups; plate z pointing down is the norm there, and the `ORIGIN` of types 2 and 4
//! runs from the moment point to the surface centre, so its z is then negative.

use footing_core::recording::PlateKind;

use crate::bay::{Bay, Channels};
use crate::c3d_bytes::{Group, Processor, Writer, parameter_section};

/// How a C3D file is written.
#[derive(Debug, Clone, PartialEq)]
pub struct C3dStyle {
    /// Byte order and float format.
    pub processor: Processor,
    /// 32-bit floats instead of 16-bit integers.
    pub float: bool,
    /// Frames a second of the (empty) point data.
    pub point_rate_hz: f64,
    /// Analog samples a point frame; times the point rate it must be the bay's rate.
    pub ratio: usize,
    /// Six-component plates as type 4: volts and a calibration matrix, instead of type 2.
    pub calibrated: bool,
    /// Events with their labels and times, s.
    pub events: Vec<(String, f64)>,
    /// Store `ORIGIN` with all signs reversed, a fault common in real files.
    pub origin_reversed: bool,
    /// First and last unloaded frame, counted from 1, for the `ZERO` parameter; (0, 0) for none.
    pub zero_frames: (i16, i16),
}

impl Default for C3dStyle {
    fn default() -> Self {
        Self {
            processor: Processor::Intel,
            float: false,
            point_rate_hz: 100.0,
            ratio: 5,
            calibrated: false,
            events: Vec::new(),
            origin_reversed: false,
            zero_frames: (0, 0),
        }
    }
}

/// Main diagonal of the calibration matrix of a type 4 plate: N and N·mm a volt.
const PER_VOLT: [f64; 6] = [500.0, 500.0, 1000.0, 8e5, 4e5, 4e5];
/// Crosstalk of the same plate: (row, column, part of the row's own sensitivity).
const CROSSTALK: [(usize, usize, f64); 2] = [(0, 1, 0.01), (3, 4, -0.02)];

/// The calibration matrix `D·(1 + X)`, element `(row, column)` at `row + 6·column`.
fn calibration() -> [f64; 36] {
    let mut matrix = [0.0; 36];
    for (i, scale) in PER_VOLT.iter().enumerate() {
        matrix[i + 6 * i] = *scale;
    }
    for (row, column, part) in CROSSTALK {
        matrix[row + 6 * column] = PER_VOLT[row] * part;
    }
    matrix
}

/// Analog channels of one plate as C3D orders them, N, N·mm, mm or V.
fn analog(bay: &Bay, plate: usize, stored: &[Vec<f64>], calibrated: bool) -> Vec<Vec<f64>> {
    let scaled = |index: usize, by: f64| stored[index].iter().map(|v| v * by).collect::<Vec<_>>();
    match bay.plates[plate].kind {
        PlateKind::SixComponent => {
            let si: Vec<Vec<f64>> = (0..6)
                .map(|c| scaled(c, if c < 3 { 1.0 } else { 1000.0 }))
                .collect();
            if !calibrated {
                return si;
            }
            // Volts that the matrix turns into these values: (1 − X)·D⁻¹·w, exact since X·X = 0.
            let plain: Vec<Vec<f64>> = si
                .into_iter()
                .zip(PER_VOLT)
                .map(|(channel, d)| channel.into_iter().map(|w| w / d).collect())
                .collect();
            let mut volts = plain.clone();
            for (row, column, part) in CROSSTALK {
                for (volt, other) in volts[row].iter_mut().zip(&plain[column]) {
                    *volt -= part * other;
                }
            }
            volts
        }
        PlateKind::ForceCop => (0..6)
            .map(|c| scaled(c, if c < 3 { 1.0 } else { 1000.0 }))
            .collect(),
        PlateKind::EightChannel => stored.to_vec(),
        // The format has no type for it: the missing channels are written as zeros of type 1.
        PlateKind::VerticalCop => {
            let zero = vec![0.0; stored[0].len()];
            vec![
                zero.clone(),
                zero.clone(),
                stored[0].clone(),
                scaled(1, 1000.0),
                scaled(2, 1000.0),
                zero,
            ]
        }
    }
}

/// The bytes of a C3D file. Lengths are mm, moments N·mm, corners and plates as in the bay.
///
/// The plates should have z down: the format's readers take an upward `ORIGIN` for a sign fault.
pub fn c3d(bay: &Bay, channels: &Channels, style: &C3dStyle) -> Vec<u8> {
    let samples = channels.t_s.len();
    let frames = samples / style.ratio;
    let mut columns: Vec<Vec<f64>> = Vec::new();
    let mut labels = Vec::new();
    let mut units = Vec::new();
    let width = bay.plates.iter().map(|p| type_of(p.kind, style).1).max();
    let width = width.unwrap_or(0);
    let mut types = Vec::new();
    let mut numbers = Vec::new();
    let mut corners = Vec::new();
    let mut origins = Vec::new();
    let mut matrices = Vec::new();
    for (index, plate) in bay.plates.iter().enumerate() {
        let (kind, own_width, names) = type_of(plate.kind, style);
        types.push(kind);
        let first = columns.len() as i16 + 1;
        let own = own_width as i16;
        numbers.extend((0..width as i16).map(|c| if c < own { first + c } else { 0 }));
        columns.extend(analog(
            bay,
            index,
            &channels.plates[index],
            style.calibrated,
        ));
        for name in names {
            labels.push(format!("{name}_{}", index + 1));
            units.push(match (kind, *name) {
                (4, _) => "V",
                (_, "Mx" | "My" | "Mz") => "Nmm",
                (_, "Px" | "Py") => "mm",
                _ => "N",
            });
        }
        corners.extend(
            plate
                .corners_m()
                .iter()
                .flat_map(|c| [c.x * 1000.0, c.y * 1000.0, c.z * 1000.0]),
        );
        let point = plate.moment_point_m;
        let (a, b) = plate.sensor_offset_m;
        let origin = match kind {
            1 => [0.0; 3],
            3 => [a * 1000.0, b * 1000.0, -point.z * 1000.0],
            _ => [-point.x * 1000.0, -point.y * 1000.0, -point.z * 1000.0],
        };
        let sign = if style.origin_reversed { -1.0 } else { 1.0 };
        origins.extend(origin.iter().enumerate().map(|(axis, value)| {
            // Type 3 keeps its two sensor offsets positive even in files with the fault.
            if kind == 3 && axis < 2 {
                *value
            } else {
                sign * value
            }
        }));
        matrices.extend(if kind == 4 { calibration() } else { [0.0; 36] });
    }
    // 16-bit files: each channel fills nine tenths of the range.
    let scales: Vec<f64> = columns
        .iter()
        .map(|column| {
            let peak = column.iter().fold(0.0_f64, |peak, v| peak.max(v.abs()));
            match (style.float, peak > 0.0) {
                (true, _) | (_, false) => 1.0,
                // A float holds the scale: round it to one here, so that both sides use the same.
                _ => f64::from((peak / 29_490.0) as f32),
            }
        })
        .collect();

    let plates = Plates {
        types,
        numbers,
        width,
        corners,
        origins,
        matrices,
        labels,
        units,
        scales,
    };
    // The section's length does not depend on the data start it holds: lay it out twice.
    let laid_out = |data_block: i16| {
        let groups = groups(bay, style, frames, data_block, &plates);
        parameter_section(&groups, style.processor)
    };
    let data_block = 2 + (laid_out(0).len() / 512) as i16;
    let section = laid_out(data_block);

    let mut file = Writer::new(style.processor);
    file.bytes(&[2, 0x50]);
    file.int(0);
    file.int((columns.len() * style.ratio) as i16);
    file.int(1);
    file.int(frames as i16);
    file.int(0);
    file.float(point_scale(style.float));
    file.int(data_block);
    file.int(style.ratio as i16);
    file.float(style.point_rate_hz as f32);
    file.pad_to(512);
    file.bytes(&section);
    for i in 0..frames * style.ratio {
        for (column, scale) in columns.iter().zip(&plates.scales) {
            let stored = column[i] / scale;
            if style.float {
                file.float(stored as f32);
            } else {
                file.int(stored.round() as i16);
            }
        }
    }
    let whole = file.len().div_ceil(512) * 512;
    file.pad_to(whole);
    file.into_bytes()
}

/// A negative point scale is how the format says "floats".
fn point_scale(float: bool) -> f32 {
    if float { -0.1 } else { 0.1 }
}

/// C3D plate type, channels it has, their names.
fn type_of(kind: PlateKind, style: &C3dStyle) -> (i16, usize, &'static [&'static str]) {
    const WRENCH: &[&str] = &["Fx", "Fy", "Fz", "Mx", "My", "Mz"];
    const PLACE: &[&str] = &["Fx", "Fy", "Fz", "Px", "Py", "Mz"];
    const EIGHT: &[&str] = &["Fx12", "Fx34", "Fy14", "Fy23", "Fz1", "Fz2", "Fz3", "Fz4"];
    match kind {
        PlateKind::SixComponent if style.calibrated => (4, 6, WRENCH),
        PlateKind::SixComponent => (2, 6, WRENCH),
        PlateKind::ForceCop | PlateKind::VerticalCop => (1, 6, PLACE),
        PlateKind::EightChannel => (3, 8, EIGHT),
    }
}

/// What the parameter groups need to know about plates and channels.
struct Plates {
    types: Vec<i16>,
    numbers: Vec<i16>,
    width: usize,
    corners: Vec<f64>,
    origins: Vec<f64>,
    matrices: Vec<f64>,
    labels: Vec<String>,
    units: Vec<&'static str>,
    scales: Vec<f64>,
}

fn groups(
    bay: &Bay,
    style: &C3dStyle,
    frames: usize,
    data_block: i16,
    plates: &Plates,
) -> Vec<Group> {
    let used = bay.plates.len();
    let analog = plates.labels.len();
    let mut platform = Group::new("FORCE_PLATFORM");
    platform.ints("USED", &[], &[used as i16]);
    platform.ints("TYPE", &[used], &plates.types);
    platform.ints("ZERO", &[2], &[style.zero_frames.0, style.zero_frames.1]);
    platform.floats("CORNERS", &[3, 4, used], &plates.corners);
    platform.floats("ORIGIN", &[3, used], &plates.origins);
    platform.ints("CHANNEL", &[plates.width, used], &plates.numbers);
    if plates.types.contains(&4) {
        platform.floats("CAL_MATRIX", &[6, 6, used], &plates.matrices);
    }
    let mut point = Group::new("POINT");
    point.ints("USED", &[], &[0]);
    point.floats("SCALE", &[], &[f64::from(point_scale(style.float))]);
    point.floats("RATE", &[], &[style.point_rate_hz]);
    point.ints("DATA_START", &[], &[data_block]);
    point.ints("FRAMES", &[], &[frames as i16]);
    point.texts("UNITS", &["mm"], false);
    let mut channels = Group::new("ANALOG");
    channels.ints("USED", &[], &[analog as i16]);
    channels.texts("LABELS", &plates.labels, true);
    channels.texts("UNITS", &plates.units, true);
    channels.floats("GEN_SCALE", &[], &[1.0]);
    channels.floats("SCALE", &[analog], &plates.scales);
    channels.ints("OFFSET", &[analog], &vec![0; analog]);
    channels.floats("RATE", &[], &[style.point_rate_hz * style.ratio as f64]);
    let mut all = vec![point, channels, platform];
    if !style.events.is_empty() {
        let n = style.events.len();
        let mut event = Group::new("EVENT");
        event.ints("USED", &[], &[n as i16]);
        let general = vec!["General"; n];
        event.texts("CONTEXTS", &general, true);
        let names: Vec<String> = style.events.iter().map(|(name, _)| name.clone()).collect();
        event.texts("LABELS", &names, true);
        // Minutes and seconds.
        let times: Vec<f64> = style.events.iter().flat_map(|(_, t)| [0.0, *t]).collect();
        event.floats("TIMES", &[2, n], &times);
        all.push(event);
    }
    let mut manufacturer = Group::new("MANUFACTURER");
    manufacturer.texts("COMPANY", &["Footing samples, invented data"], false);
    all.push(manufacturer);
    all
}
