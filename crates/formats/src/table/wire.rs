//! Columns in the maker's units to plates in SI about their surface centres.

use super::body::Body;
use super::columns::Columns;
use crate::rig::{Edge, Marker, Placement, Rig, RigPlate, TimeSource, Units, Wiring};
use crate::{Level, Note, Problem};
use footing_core::geometry::Vec3;
use footing_core::plate::Wrench;
use footing_core::recording::{Mark, Plate, PlateKind, Recording, Shear};

/// Turns a table's numbers into a recording.
///
/// # Errors
/// Fewer than two samples; a rig without times or with a plate that has no place.
pub(super) fn recording(
    name: &str,
    rig: &Rig,
    columns: &Columns,
    mut body: Body,
) -> Result<(Recording, Vec<Note>), Problem> {
    let samples = enough(name, &body)?;
    let mut notes = body.notes;
    let (t_s, rate_hz) = times(name, rig, columns, &body.series, samples, &mut notes)?;
    let marks = rig
        .markers
        .iter()
        .zip(&columns.markers)
        .filter_map(|(marker, slot)| mark(marker, body.series.get(*slot)?, &t_s, &mut notes))
        .collect();
    let mut plates = Vec::with_capacity(rig.plates.len());
    notes.extend(lacks_free_moment(rig));
    for (index, (plate, slots)) in rig.plates.iter().zip(&columns.plates).enumerate() {
        // No two channels share a column, so each series can be taken instead of copied.
        let channels = slots
            .iter()
            .map(|slot| body.series.get_mut(*slot).map(std::mem::take))
            .map(Option::unwrap_or_default)
            .collect();
        let placed = plate
            .placement
            .as_ref()
            .and_then(|placement| wire(index, plate, placement, rig.units, channels));
        plates.push(placed.ok_or_else(|| {
            Problem::new(
                name,
                format!("the rig's plate {} has no place in the lab", index + 1),
                "\"centre_m\" and the plate's axes",
                "completing the rig file",
            )
        })?);
    }
    let recording = Recording {
        rate_hz,
        t_s,
        plates,
        marks,
        target_azimuth_rad: rig.target_azimuth_deg.map(f64::to_radians),
        force_sense: rig.force_sense,
    };
    Ok((recording, notes))
}

/// How many samples there are: at least two.
///
/// # Errors
/// Fewer.
pub(super) fn enough(name: &str, body: &Body) -> Result<usize, Problem> {
    let samples = body.series.first().map_or(0, Vec::len);
    if samples < 2 {
        let lines = if samples == 1 { "1 line" } else { "no lines" };
        return Err(Problem::new(
            name,
            format!("the table holds {lines} of data"),
            "at least 2 samples",
            "exporting the whole recording",
        ));
    }
    Ok(samples)
}

/// A warning when some plate has no column of free moment.
fn lacks_free_moment(rig: &Rig) -> Option<Note> {
    let lacking: Vec<String> = rig
        .plates
        .iter()
        .enumerate()
        .filter(|(_, plate)| matches!(plate.wiring, Wiring::ForceCopOnly(_)))
        .map(|(index, _)| format!("plate {}", index + 1))
        .collect();
    (!lacking.is_empty()).then(|| {
        Note::new(
            "free-moment-absent",
            Level::Warn,
            format!(
                "{} has no column of free moment: it was taken as nil, so the vertical torque lacks \
                 the feet's free moments, customarily 5 to 20 N·m each; where the export can hold \
                 it, wire its column as tz",
                lacking.join(" and ")
            ),
        )
    })
}

/// The samples' times in seconds and the nominal rate.
fn times(
    name: &str,
    rig: &Rig,
    columns: &Columns,
    series: &[Vec<f64>],
    samples: usize,
    notes: &mut Vec<Note>,
) -> Result<(Vec<f64>, f64), Problem> {
    match (&rig.time, columns.time.and_then(|slot| series.get(slot))) {
        (Some(TimeSource::RateHz(rate_hz)), _) => {
            let t_s = (0..samples).map(|i| i as f64 / rate_hz).collect();
            Ok((t_s, *rate_hz))
        }
        (_, Some(column)) => {
            let t_s: Vec<f64> = column.iter().map(|t| rig.units.time.to_si(*t)).collect();
            let rate_hz = rate_hz(name, &t_s, notes)?;
            Ok((t_s, rate_hz))
        }
        _ => Err(Problem::new(
            name,
            "the rig does not say when samples were taken",
            "\"time\" with \"column\" or \"rate_hz\"",
            "completing the rig file",
        )
        .for_wiring()),
    }
}

/// One over the median sample interval.
pub(super) fn rate_hz(name: &str, t_s: &[f64], notes: &mut Vec<Note>) -> Result<f64, Problem> {
    let mut intervals: Vec<f64> = t_s
        .windows(2)
        .filter_map(|pair| Some(pair.last()? - pair.first()?))
        .collect();
    let middle = intervals.len() / 2;
    let median = *intervals.select_nth_unstable_by(middle, f64::total_cmp).1;
    let longest = intervals.iter().copied().fold(0.0, f64::max);
    let total = t_s.last().zip(t_s.first()).map_or(0.0, |(b, a)| b - a);
    let mean = total / intervals.len() as f64;
    let shortest = intervals.iter().copied().fold(f64::INFINITY, f64::min);
    let rounded = are_rounded(t_s, mean, longest - shortest);
    let rate_hz = 1.0 / if rounded { mean } else { median };
    if !(rate_hz.is_finite() && rate_hz > 0.0) || longest <= 0.0 {
        return Err(Problem::new(
            name,
            "the times lie too close together to give a rate",
            "times in the rig's unit",
            "\"time\": {\"rate_hz\": …} in the rig",
        )
        .for_wiring());
    }
    if !rounded && (mean / median - 1.0).abs() > 0.01 {
        notes.push(Note::new(
            "uneven-times",
            Level::Warn,
            format!(
                "sample times are uneven: the middle interval is {median:.6} s, the mean \
                 {mean:.6} s and the longest {longest:.6} s; if the times were only rounded, give \
                 the rig \"rate_hz\" instead"
            ),
        ));
    }
    // Differences of decimal times carry rounding of their own: 999.9999999 Hz was 1000.
    let whole = rate_hz.round();
    Ok(if (rate_hz - whole).abs() < 1e-7 * rate_hz {
        whole
    } else {
        rate_hz
    })
}

/// Whether even times were only written with too few decimals: intervals alternate between two
/// neighbouring values, and no time is further than that step from the even one. At 600 Hz and four
/// decimals the middle interval is 0.0017 s, which would be 588 Hz.
fn are_rounded(t_s: &[f64], mean: f64, step: f64) -> bool {
    let Some(first) = t_s.first() else {
        return false;
    };
    step > 1e-6 * mean
        && step < 0.5 * mean
        && t_s
            .iter()
            .enumerate()
            .all(|(i, t)| (t - first - i as f64 * mean).abs() <= 1.001 * step)
}

/// The first crossing of a marker's level, placed between samples by a straight line.
fn mark(marker: &Marker, values: &[f64], t_s: &[f64], notes: &mut Vec<Note>) -> Option<Mark> {
    let crosses = |pair: &[f64]| match (pair, marker.edge) {
        ([a, b], Edge::Rising) => *a < marker.level && *b >= marker.level,
        ([a, b], Edge::Falling) => *a > marker.level && *b <= marker.level,
        _ => false,
    };
    let mut crossings = values
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| crosses(pair));
    let edge = match marker.edge {
        Edge::Rising => "rises through",
        Edge::Falling => "falls through",
    };
    let Some((before, &[a, b])) = crossings
        .next()
        .and_then(|(i, pair)| Some((i, pair.first_chunk()?)))
    else {
        notes.push(Note::new(
            "marker-absent",
            Level::Warn,
            format!(
                "the {} marker in column {} never {edge} {}; correct the marker's level and edge \
                 in the rig, or set the event by hand",
                marker.event.label(),
                marker.column,
                marker.level
            ),
        ));
        return None;
    };
    let more = crossings.count();
    if more > 0 {
        notes.push(Note::new(
            "marker-repeats",
            Level::Note,
            format!(
                "the {} marker in column {} {edge} {} {} times; the first was taken",
                marker.event.label(),
                marker.column,
                marker.level,
                more + 1
            ),
        ));
    }
    let (from, to) = (*t_s.get(before)?, *t_s.get(before + 1)?);
    Some(Mark {
        label: marker.column.to_string(),
        event: Some(marker.event),
        t_s: from + (to - from) * ((marker.level - a) / (b - a)),
        uncertainty_s: (to - from) / 2.0,
    })
}

/// One plate; `None` when the wiring is not a table's.
fn wire(
    index: usize,
    plate: &RigPlate,
    placement: &Placement,
    units: Units,
    mut channels: Vec<Vec<f64>>,
) -> Option<Plate> {
    let kind = plate.wiring.kind()?;
    for (channel, values) in channels.iter_mut().enumerate() {
        for value in values {
            *value = channel_to_si(units, kind, channel, *value);
        }
    }
    if matches!(plate.wiring, Wiring::ForceCopOnly(_)) {
        let samples = channels.first().map_or(0, Vec::len);
        channels.push(vec![0.0; samples]);
    }
    // The moment point lies at `moment_point_m` from the centre, so the centre lies at minus that
    // from the moment point.
    let to_centre_m = -placement.moment_point_m;
    let (fz_n, mx_nm, my_nm, shear) = match &plate.wiring {
        Wiring::SixComponent(_) => {
            with_shear(channels.try_into().ok()?, |[fx, fy, fz, mx, my, mz]| {
                Wrench {
                    force_n: Vec3::new(fx, fy, fz),
                    moment_nm: Vec3::new(mx, my, mz),
                }
                .about(to_centre_m)
            })
        }
        Wiring::ForceCop(_) | Wiring::ForceCopOnly(_) => {
            with_shear(channels.try_into().ok()?, |[fx, fy, fz, cx, cy, tz]| {
                Wrench::from_cop(Vec3::new(fx, fy, fz), (cx, cy), tz)
            })
        }
        Wiring::EightChannel {
            sensor_offset_m: [a_m, b_m],
            ..
        } => eight(channels, *a_m, *b_m, to_centre_m)?,
        Wiring::VerticalCop(_) => {
            let [fz_n, cop_x_m, cop_y_m]: [Vec<f64>; 3] = channels.try_into().ok()?;
            let times_fz = |mut cop: Vec<f64>, sign: f64| {
                for (value, fz) in cop.iter_mut().zip(&fz_n) {
                    *value *= sign * fz;
                }
                cop
            };
            let my_nm = times_fz(cop_x_m, -1.0);
            let mx_nm = times_fz(cop_y_m, 1.0);
            (fz_n, mx_nm, my_nm, None)
        }
        Wiring::C3dPlate(_) => return None,
    };
    Some(Plate {
        label: format!("plate {}", index + 1),
        kind,
        foot: plate.foot,
        lab_from_plate: placement.pose(),
        corners_in_lab_m: placement.corners_in_lab_m(),
        fz_n,
        mx_nm,
        my_nm,
        shear,
    })
}

/// What a plate's series become: fz, mx, my and, where there is one, the horizontal half.
type Series = (Vec<f64>, Vec<f64>, Vec<f64>, Option<Shear>);

/// A channel's value in SI; channels are numbered as [`crate::rig::channel_names`] lists them.
fn channel_to_si(units: Units, kind: PlateKind, channel: usize, value: f64) -> f64 {
    match (kind, channel) {
        (PlateKind::SixComponent, 3..) | (PlateKind::ForceCop, 5..) => units.moment.to_si(value),
        (PlateKind::ForceCop, 3..) | (PlateKind::VerticalCop, 1..) => units.length.to_si(value),
        _ => units.force.to_si(value),
    }
}

/// Six series to the six of a wrench about the surface centre, in place.
fn with_shear(channels: [Vec<f64>; 6], mut wrench: impl FnMut([f64; 6]) -> Wrench) -> Series {
    let [mut c0, mut c1, mut c2, mut c3, mut c4, mut c5] = channels;
    let samples = c0
        .iter_mut()
        .zip(&mut c1)
        .zip(&mut c2)
        .zip(&mut c3)
        .zip(&mut c4)
        .zip(&mut c5);
    for (((((v0, v1), v2), v3), v4), v5) in samples {
        let Wrench { force_n, moment_nm } = wrench([*v0, *v1, *v2, *v3, *v4, *v5]);
        (*v0, *v1, *v2) = (force_n.x, force_n.y, force_n.z);
        (*v3, *v4, *v5) = (moment_nm.x, moment_nm.y, moment_nm.z);
    }
    let shear = Shear {
        fx_n: c0,
        fy_n: c1,
        mz_nm: c5,
    };
    (c2, c3, c4, Some(shear))
}

/// Eight series to six, the first six of them reused.
fn eight(channels: Vec<Vec<f64>>, a_m: f64, b_m: f64, to_centre_m: Vec3) -> Option<Series> {
    let [c0, c1, c2, c3, c4, c5, fz3, fz4]: [Vec<f64>; 8] = channels.try_into().ok()?;
    let mut last = fz3.into_iter().zip(fz4);
    Some(with_shear(
        [c0, c1, c2, c3, c4, c5],
        |[fx12, fx34, fy14, fy23, fz1, fz2]| {
            let (fz3, fz4) = last.next().unwrap_or_default();
            let eight = [fx12, fx34, fy14, fy23, fz1, fz2, fz3, fz4];
            Wrench::from_eight_channels(eight, a_m, b_m).about(to_centre_m)
        },
    ))
}
