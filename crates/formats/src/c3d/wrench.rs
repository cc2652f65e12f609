//! From a plate's stored channels to the wrench about its surface centre.

use footing_core::geometry::Vec3;
use footing_core::plate::Wrench;
use footing_core::recording::PlateKind;

use super::analog::{Analog, Channel};
use super::surface::Surface;

/// The plate types read here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PlateType {
    /// Fx Fy Fz Px Py Mz: centre of pressure and free moment.
    One,
    /// Fx Fy Fz Mx My Mz about the sensor origin.
    Two,
    /// Fx12 Fx34 Fy14 Fy23 Fz1 Fz2 Fz3 Fz4.
    Three,
    /// As two, through a calibration matrix.
    Four,
}

impl PlateType {
    pub(super) fn from_number(number: f64) -> Option<Self> {
        [Self::One, Self::Two, Self::Three, Self::Four]
            .into_iter()
            .find(|t| f64::from(t.number()) == number)
    }

    pub(super) fn number(self) -> u8 {
        match self {
            Self::One => 1,
            Self::Two => 2,
            Self::Three => 3,
            Self::Four => 4,
        }
    }

    pub(super) fn channels(self) -> usize {
        if self == Self::Three { 8 } else { 6 }
    }

    pub(super) fn kind(self) -> PlateKind {
        match self {
            Self::One => PlateKind::ForceCop,
            Self::Two | Self::Four => PlateKind::SixComponent,
            Self::Three => PlateKind::EightChannel,
        }
    }
}

/// A plate as the file describes it.
pub(super) struct Spec {
    /// From 1, as the file counts.
    pub(super) number: usize,
    pub(super) kind: PlateType,
    pub(super) channels: Vec<Channel>,
    pub(super) surface: Option<Surface>,
    /// ORIGIN as stored, metres.
    pub(super) origin_m: Vec3,
    /// Column-major; only for type 4.
    pub(super) calibration: Option<Vec<f64>>,
}

/// How moments (and a stored centre of pressure) are to be taken; the same for a whole file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MomentCase {
    /// Metres in the length unit of stored moments.
    pub(super) metres: f64,
    /// The calibration matrix was stored row by row.
    pub(super) transposed: bool,
}

impl Spec {
    /// All stored channels of one sample, scaled.
    pub(super) fn raw(&self, analog: &Analog, sample: u64) -> Option<[f64; 8]> {
        let mut raw = [0.0; 8];
        for (slot, &channel) in raw.iter_mut().zip(&self.channels) {
            *slot = analog.value(channel, sample)?;
        }
        Some(raw)
    }

    /// From the sensor origin to the surface centre, plate axes, metres.
    ///
    /// In about half of all files ORIGIN points the other way: z > 0 gives that away, because the
    /// surface lies on the −z side of the sensors. Types 2 and 4 are then turned over whole; in
    /// type 3 the first two numbers are sensor spacings and stay positive.
    ///
    /// **Source:** c3d.org user guide, FORCE_PLATFORM:ORIGIN (z is normally negative); the
    /// reversal as in the open-source readers ezc3d and BTK, type 3 as in BTK.
    pub(super) fn sensor_to_surface_m(&self) -> Vec3 {
        let o = self.origin_m;
        match self.kind {
            PlateType::One => Vec3::default(),
            PlateType::Three => Vec3::new(0.0, 0.0, -o.z.abs()),
            PlateType::Two | PlateType::Four if o.z > 0.0 => -o,
            PlateType::Two | PlateType::Four => o,
        }
    }

    /// The wrench about the sensor origin (types 2 to 4) or the surface centre (type 1).
    fn at_sensor(&self, raw: [f64; 8], case: MomentCase) -> Wrench {
        let [r0, r1, r2, r3, r4, r5, ..] = self.calibrated(raw, case.transposed);
        let force_n = Vec3::new(r0, r1, r2);
        let k = case.metres;
        match self.kind {
            PlateType::One => Wrench::from_cop(force_n, (r3 * k, r4 * k), r5 * k),
            PlateType::Two | PlateType::Four => Wrench {
                force_n,
                moment_nm: Vec3::new(r3, r4, r5) * k,
            },
            PlateType::Three => {
                let (a, b) = (self.origin_m.x.abs(), self.origin_m.y.abs());
                Wrench::from_eight_channels(raw, a, b)
            }
        }
    }

    /// The wrench about the surface centre, plate frame, in the stored sense.
    pub(super) fn wrench(&self, raw: [f64; 8], case: MomentCase) -> Wrench {
        self.at_sensor(raw, case).about(self.sensor_to_surface_m())
    }

    /// ```text
    /// corrected_i = Σ_j C[i + 6j] · measured_j
    /// ```
    /// **Source:** c3d.org user guide, FORCE_PLATFORM:CAL_MATRIX (first index fastest).
    fn calibrated(&self, raw: [f64; 8], transposed: bool) -> [f64; 8] {
        let Some(matrix) = &self.calibration else {
            return raw;
        };
        let mut corrected = [0.0; 8];
        for (i, slot) in corrected.iter_mut().enumerate().take(6) {
            for (j, measured) in raw.iter().enumerate().take(6) {
                let at = if transposed { 6 * i + j } else { i + 6 * j };
                *slot += matrix.get(at).copied().unwrap_or(0.0) * measured;
            }
        }
        corrected
    }

    /// Whether the calibration matrix reads the same by rows and by columns.
    fn calibration_is_symmetric(&self) -> bool {
        self.calibration.as_ref().is_none_or(|m| {
            let at = |i: usize, j: usize| m.get(i + 6 * j).copied().unwrap_or(0.0);
            (0..6).all(|i| (0..i).all(|j| at(i, j) == at(j, i)))
        })
    }
}

/// What settled how moments are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MomentReason {
    /// The rule: newtons times POINT:UNITS.
    Rule,
    /// The rule would leave the centre of pressure motionless at the sensor's centre, or far off.
    OtherUnit(&'static str),
    /// The calibration matrix makes sense by rows only.
    Transposed,
    /// The rule was kept though the centre of pressure leaves the plates.
    OffPlate,
}

/// Sampled places of the centre of pressure of loaded plates under one case.
struct Places {
    loaded: usize,
    on_plate: usize,
    /// Half of the loaded samples have a longer moment arm about the sensor's centre, relative
    /// to the plate's half size.
    median_reach: f64,
    /// The longest such arm, metres.
    longest_arm_m: f64,
}

/// Plates with less than this at their peak, N, tell nothing about moments.
const LOADED_N: f64 = 100.0;
const LOOKS: u64 = 512;

/// Settles how moments are taken. The rule that fits every file seen is force times POINT:UNITS,
/// whatever the channel's unit label says; it is left only for what the centre of pressure proves
/// wrong. The checks use the recording's own loaded samples.
pub(super) fn settle_moments(
    specs: &[Spec],
    analog: &Analog,
    metres_per_unit: f64,
) -> (MomentCase, MomentReason) {
    let rule = MomentCase {
        metres: metres_per_unit,
        transposed: false,
    };
    let places = Places::sampled(specs, analog, rule);
    if places.loaded == 0 {
        return (rule, MomentReason::Rule);
    }
    let motionless = places.longest_arm_m < 0.001;
    if places.is_on_plate() && !motionless {
        return (rule, MomentReason::Rule);
    }
    let (metres, unit, proven) = if metres_per_unit == 1.0 {
        (0.001, "N·mm", places.median_reach > 20.0)
    } else {
        (1.0, "N·m", motionless)
    };
    let case = MomentCase { metres, ..rule };
    if proven && Places::sampled(specs, analog, case).is_on_plate() {
        return (case, MomentReason::OtherUnit(unit));
    }
    let by_rows = specs.iter().any(|s| !s.calibration_is_symmetric());
    let transposed = MomentCase {
        transposed: true,
        ..rule
    };
    if by_rows && !motionless && Places::sampled(specs, analog, transposed).is_well_on_plate() {
        return (transposed, MomentReason::Transposed);
    }
    let reason = if places.is_on_plate() {
        MomentReason::Rule
    } else {
        MomentReason::OffPlate
    };
    (rule, reason)
}

impl Places {
    fn sampled(specs: &[Spec], analog: &Analog, case: MomentCase) -> Self {
        let samples = analog.samples();
        let step = (samples / LOOKS).max(1);
        let (mut loaded, mut on_plate, mut longest_arm_m) = (0, 0, 0.0_f64);
        let mut reaches = Vec::new();
        for spec in specs.iter().filter(|s| s.kind != PlateType::Three) {
            let Some(surface) = &spec.surface else {
                continue;
            };
            let (half_x, half_y) = surface.half_size_m();
            let looks: Vec<(Wrench, Wrench)> = (0..samples)
                .step_by(usize::try_from(step).unwrap_or(usize::MAX))
                .filter_map(|sample| {
                    let raw = spec.raw(analog, sample)?;
                    Some((spec.at_sensor(raw, case), spec.wrench(raw, case)))
                })
                .collect();
            let peak = looks
                .iter()
                .map(|(_, w)| w.force_n.z.abs())
                .fold(0.0, f64::max);
            if peak < LOADED_N || !peak.is_finite() {
                continue;
            }
            for (sensor, centre) in &looks {
                if centre.force_n.z.abs() < 0.3 * peak {
                    continue;
                }
                let (Some((x, y)), Some((sx, sy))) = (centre.cop_m(), sensor.cop_m()) else {
                    continue;
                };
                loaded += 1;
                let inside = |at: f64, half: f64| at.abs() <= half * 1.1 + 0.02;
                on_plate += usize::from(inside(x, half_x) && inside(y, half_y));
                let arm = length_of(sx, sy);
                longest_arm_m = longest_arm_m.max(arm);
                reaches.push(arm / length_of(half_x, half_y).max(1e-6));
            }
        }
        reaches.sort_by(f64::total_cmp);
        Self {
            loaded,
            on_plate,
            median_reach: reaches.get(reaches.len() / 2).copied().unwrap_or(0.0),
            longest_arm_m,
        }
    }

    fn is_on_plate(&self) -> bool {
        self.on_plate * 2 >= self.loaded
    }

    fn is_well_on_plate(&self) -> bool {
        self.loaded > 0 && self.on_plate * 10 >= self.loaded * 9
    }
}

fn length_of(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}
