//! What a person should know about how the plates were read.

use footing_core::geometry::Vec3;
use footing_core::note::{Level, Note};

use super::analog::Analog;
use super::parameters::Parameters;
use super::surface::Surface;
use super::wrench::{MomentCase, MomentReason, PlateType, Spec};

pub(super) fn tell_moments(reason: MomentReason, parameters: &Parameters, notes: &mut Vec<Note>) {
    let unit = parameters
        .get("POINT", "UNITS")
        .and_then(super::parameters::Parameter::string)
        .unwrap_or_default();
    let (code, text) = match reason {
        MomentReason::Rule => return,
        MomentReason::OtherUnit(read_as) => (
            "moment-unit-guessed",
            format!(
                "moments were read in {read_as}: in newtons times the file's length unit ({unit}) the \
                 centre of pressure would make no sense: check that it lies under the feet"
            ),
        ),
        MomentReason::Transposed => (
            "calibration-transposed",
            "the calibration matrix was read by rows: read by columns, as the format says, the \
             centre of pressure would lie off the plates: check that it lies under the feet"
                .to_owned(),
        ),
        MomentReason::OffPlate => (
            "cop-off-plate",
            "most of the time the centre of pressure lies off the plates: check corners, origin \
             and moment units in the export"
                .to_owned(),
        ),
    };
    notes.push(Note::new(code, Level::Warn, text));
}

/// FORCE_PLATFORM:ZERO names frames for a baseline, but real files name frames with a person
/// already on the plate. It is never subtracted here: zeroing belongs to conditioning, which looks
/// at the load. The note says what those frames hold.
pub(super) fn tell_zero(
    parameters: &Parameters,
    specs: &[Spec],
    analog: &Analog,
    case: MomentCase,
    notes: &mut Vec<Note>,
) {
    let zero = parameters.numbers("FORCE_PLATFORM", "ZERO");
    let (Some(&from), Some(&to)) = (zero.first(), zero.get(1)) else {
        return;
    };
    if !(from >= 1.0 && to > from && to < 1e6) {
        return;
    }
    let per_frame = analog.samples_per_frame();
    let first = ((from as u64) - 1).saturating_mul(per_frame);
    let last = (to as u64).saturating_mul(per_frame).min(analog.samples());
    let mean_load = |spec: &Spec| {
        let looks = (first..last).take(2_000);
        let loads = looks.filter_map(|s| Some(spec.wrench(spec.raw(analog, s)?, case).force_n.z));
        let (sum, n) = loads.fold((0.0, 0_u32), |(sum, n), fz| (sum + fz, n + 1));
        if n == 0 { 0.0 } else { sum / f64::from(n) }
    };
    let worst = specs.iter().map(|s| mean_load(s).abs()).fold(0.0, f64::max);
    let (code, text) = if worst > 20.0 {
        (
            "zero-frames-loaded",
            format!(
                "frames {from} to {to}, named for zeroing (FORCE_PLATFORM:ZERO), carry {worst:.0} N: \
                 they were not used"
            ),
        )
    } else {
        (
            "zero-frames",
            format!(
                "frames {from} to {to}, named for zeroing (FORCE_PLATFORM:ZERO), carry {worst:.1} N; \
                 nothing was subtracted while reading"
            ),
        )
    };
    notes.push(Note::new(code, Level::Note, text));
}

pub(super) fn tell_geometry(specs: &[Spec], placed: &[usize], notes: &mut Vec<Note>) {
    for spec in specs {
        let number = spec.number;
        match &spec.surface {
            None if placed.contains(&number) => {}
            None => notes.push(Note::new(
                "plate-place-unknown",
                Level::Stop,
                format!(
                    "plate {number} has no usable CORNERS, so where it lies and how it is turned is \
                     unknown; it was put at the lab's origin: give its place in a rig file"
                ),
            )),
            Some(surface) if surface.reordered => notes.push(Note::new(
                "corners-order",
                Level::Warn,
                format!(
                    "the corners of plate {number} are not listed around its edge; its x axis was \
                     taken across the edge between corners 1 and 4: check which way its forces \
                     point, or give its place in a rig file"
                ),
            )),
            Some(_) => {}
        }
        let o = spec.origin_m;
        if spec.kind == PlateType::Three && (o.x == 0.0 || o.y == 0.0) {
            notes.push(Note::new(
                "origin-missing",
                Level::Warn,
                format!(
                    "plate {number} does not say where its sensors are (ORIGIN {}, {}), so its centre \
                     of pressure and free moment are not known: export again with the sensor offsets",
                    o.x, o.y
                ),
            ));
        }
        if spec.kind == PlateType::Four && spec.calibration.is_none() {
            notes.push(Note::new(
                "calibration-missing",
                Level::Warn,
                format!(
                    "plate {number} is of type 4 but has no CAL_MATRIX; its channels were taken as \
                     they are: export again with the matrix, or check that it weighs right"
                ),
            ));
        }
    }
    if enumerated(specs) && !specs.iter().all(|s| placed.contains(&s.number)) {
        notes.push(Note::new(
            "axes-undecided",
            Level::Warn,
            "the plates' corners were merely counted off from (0, 0), not measured, so which way the \
             plates' x and y point is not known: vertical force, shear size, and free moment hold, \
             but one horizontal axis may be mirrored; compare with a known movement",
        ));
    }
}

/// Type 3 plates, level, looking up, with a corner at the very origin: the exporter knew the
/// plates' size, not their place. The instrument's own axes look down.
fn enumerated(specs: &[Spec]) -> bool {
    let flat = |s: &Surface| {
        let corners = &s.corners_m;
        corners.iter().all(|c| c.z == 0.0) && s.pose.rotation.z.z > 0.0
    };
    let all_flat = specs
        .iter()
        .all(|s| s.kind == PlateType::Three && s.surface.as_ref().is_some_and(flat));
    let corners = specs
        .iter()
        .filter_map(|s| s.surface)
        .flat_map(|s| s.corners_m);
    all_flat && corners.into_iter().any(|c| c == Vec3::default())
}
