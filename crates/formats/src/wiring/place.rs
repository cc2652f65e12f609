//! Where the plates lie, as far as the numbers tell.

use super::header::Axis;
use super::judge::{FEET_APART_M, depth_and_centre, median, quiet, share_on_plate};
use super::plates::Wired;
use super::proposing::Draft;
use super::units::vertical;
use crate::rig::{Placement, Units};
use crate::table::Survey;
use footing_core::geometry::Vec3;
use footing_core::recording::PlateKind;

/// Where plates are put while nobody has said: feet half a metre apart, common practice.
const PLACEHOLDER_M: f64 = 0.25;

/// What is known of the bay.
pub(super) struct Place {
    pub(super) placements: Vec<Placement>,
    /// Middle centre of pressure of each plate standing still, in the lab, metres; when known.
    pub(super) stands_m: Option<[(f64, f64); 2]>,
}

/// How a format fixes its axes.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Frame {
    /// Nothing is known.
    Unknown,
    /// The format says: right-handed, with this axis up, reaction, one frame for all.
    Lab,
}

/// Finds places, depths and directions of the plates' axes.
pub(super) fn find(
    survey: &Survey,
    wired: &[Wired],
    units: Units,
    up: Axis,
    frame: Frame,
    draft: &mut Draft,
) -> Place {
    let plates: Vec<Series> = wired.iter().map(|p| Series::of(survey, p, units)).collect();
    let total: Vec<f64> = (0..survey.rows_kept.len())
        .map(|i| plates.iter().filter_map(|p| p.fz.get(i)).sum())
        .collect();
    let still = quiet(&total);
    sense(&total, still.clone(), draft);
    let on = share_on_plate(wired.iter().zip(&plates).flat_map(|(wired, plate)| {
        // A centre of pressure may be counted from anywhere: its wandering must fit on a plate.
        let at = |values: &[f64]| median(values.get(still.clone())?.iter().copied());
        let from = match wired.shape.kind {
            PlateKind::SixComponent => None,
            _ => at(&plate.cop_x).zip(at(&plate.cop_y)),
        };
        let (x0, y0) = from.unwrap_or_default();
        plate.loaded_cops().map(move |(x, y)| (x - x0, y - y0))
    }));
    if on < 0.9 && frame == Frame::Unknown && !plates.is_empty() {
        draft.ask_reading(
            "off-plate",
            format!(
                "Are columns and units right? As they stand, the load lies off any plate in {:.0} % \
                 of the loaded samples.",
                100.0 * (1.0 - on)
            ),
        );
    }
    let known: Vec<Option<Vec3>> = plates
        .iter()
        .map(|plate| plate.spare.as_ref().and_then(|_| plate.depth_and_centre()))
        .collect();
    let derived = !known.is_empty() && known.iter().all(Option::is_some);
    let stands: Vec<(f64, f64)> = plates
        .iter()
        .zip(&known)
        .filter_map(|(plate, known)| {
            let at = |values: &[f64]| median(values.get(still.clone())?.iter().copied());
            let (x, y) = (at(&plate.cop_x)?, at(&plate.cop_y)?);
            let centre = known.unwrap_or_default();
            Some((x + centre.x, y + centre.y))
        })
        .collect();
    let apart = match stands.as_slice() {
        [(x1, y1), (x2, y2)] => Some((x1 - x2).hypot(y1 - y2)),
        _ => None,
    };
    let holds_cop = wired.iter().all(|plate| {
        matches!(
            plate.shape.kind,
            PlateKind::ForceCop | PlateKind::VerticalCop
        )
    });
    let one_frame =
        (holds_cop || derived) && apart.is_some_and(|apart| FEET_APART_M.contains(&apart));
    if one_frame || frame == Frame::Lab {
        let apart = apart.unwrap_or(0.0);
        draft.choose(
            "place".to_owned(),
            "Where the plates are",
            format!("one frame for both; the feet stand {apart:.2} m apart"),
            if frame == Frame::Lab { 0.97 } else { 0.85 },
            vec![
                match frame {
                    Frame::Lab => {
                        "the format counts centres of pressure from the laboratory's origin"
                    }
                    Frame::Unknown => {
                        "the centres of pressure of the two plates lie a stance apart, so they are \
                     counted from one origin"
                    }
                }
                .to_owned(),
            ],
        );
        if frame == Frame::Unknown {
            draft.ask_bay(
                "axes",
                "Do the axes stand right-handed with z up, and are the forces those on the player? \
                 The numbers do not settle it; both were taken meanwhile."
                    .to_owned(),
            );
        }
        let turn = turn(up, frame);
        let placements = known
            .iter()
            .map(|known| {
                let found = known.unwrap_or_default();
                let centre = Vec3::new(found.x, found.y, 0.0);
                placement(turn, centre, Vec3::new(0.0, 0.0, -found.z))
            })
            .collect();
        let lab = placement(turn, Vec3::default(), Vec3::default()).pose();
        let stands: Vec<(f64, f64)> = stands
            .iter()
            .map(|(x, y)| lab.point(Vec3::new(*x, *y, 0.0)))
            .map(|point| (point.x, point.y))
            .collect();
        return Place {
            placements,
            stands_m: <[(f64, f64); 2]>::try_from(stands).ok(),
        };
    }
    ask_for_place(wired, &known, draft);
    let two = wired.len() > 1;
    let placements = known
        .iter()
        .enumerate()
        .map(|(index, known)| {
            let x = match (two, index) {
                (false, _) => 0.0,
                (true, 0) => PLACEHOLDER_M,
                (true, _) => -PLACEHOLDER_M,
            };
            let depth = known.map_or(0.0, |found| found.z);
            placement(0.0, Vec3::new(x, 0.0, 0.0), Vec3::new(0.0, 0.0, -depth))
        })
        .collect();
    Place {
        placements,
        stands_m: None,
    }
}

/// A y-up lab's plates are read as z, x, y; seen from above, z points a quarter clockwise of x.
fn turn(up: Axis, frame: Frame) -> f64 {
    match (frame, up) {
        (Frame::Lab, Axis::Y) => -90.0,
        _ => 0.0,
    }
}

fn placement(x_azimuth_deg: f64, centre_m: Vec3, moment_point_m: Vec3) -> Placement {
    Placement {
        x_azimuth_deg,
        z_up: true,
        centre_m,
        moment_point_m,
        size_m: None,
    }
}

fn ask_for_place(wired: &[Wired], known: &[Option<Vec3>], draft: &mut Draft) {
    let text = if wired.len() > 1 {
        "Where are the plates, and which way do their axes point? The table does not say; half a \
         metre from centre to centre along the target line, x toward the target and z up were \
         taken meanwhile."
    } else {
        "Which way do the plate's axes point? The table does not say; x toward the target and z up \
         were taken meanwhile."
    };
    draft.ask_bay("place", text.to_owned());
    let about = |kind| wired.iter().any(|plate| plate.shape.kind == kind);
    let eight = about(PlateKind::EightChannel);
    if eight || about(PlateKind::SixComponent) && known.iter().any(Option::is_none) {
        draft.ask_bay(
            "moment-point",
            "How far below the surface is the point the moments are about? The plate's data sheet \
             says; nought was taken meanwhile."
                .to_owned(),
        );
    }
    if eight {
        draft.ask_bay(
            "sensor-offset",
            "How far from the plate's middle are its sensors, along x and y? The data sheet says; \
             0.12 m and 0.2 m were taken meanwhile."
                .to_owned(),
        );
    }
    draft.choose(
        "place".to_owned(),
        "Where the plates are",
        "a placeholder".to_owned(),
        0.0,
        vec!["a table of plate channels does not say".to_owned()],
    );
}

/// Says whether the columns hold reaction or action as far as the vertical force tells; the reader
/// turns the wrench over by the same test.
fn sense(total: &[f64], still: std::ops::Range<usize>, draft: &mut Draft) {
    let values = total.get(still).unwrap_or_default().iter().copied();
    let weight = median(values).unwrap_or(0.0);
    let way = if weight < 0.0 { "negative" } else { "positive" };
    draft.choose(
        "sense".to_owned(),
        "On player or on plate",
        "by the load: a loaded plate pushes the player up".to_owned(),
        0.9,
        vec![format!(
            "standing still the vertical forces add up to {weight:.0} N, {way} along z"
        )],
    );
}

/// One plate's thinned-out channels in SI.
struct Series {
    fx: Vec<f64>,
    fy: Vec<f64>,
    fz: Vec<f64>,
    cop_x: Vec<f64>,
    cop_y: Vec<f64>,
    /// Centres of pressure the table gives beside moments.
    spare: Option<[Vec<f64>; 2]>,
}

impl Series {
    fn of(survey: &Survey, plate: &Wired, units: Units) -> Self {
        let shape = &plate.shape;
        let n = survey.rows_kept.len();
        let column = |at: usize, to_si: &dyn Fn(f64) -> f64| -> Vec<f64> {
            let values = shape.columns.get(at).and_then(|c| survey.series.get(*c));
            values.map_or(vec![f64::NAN; n], |v| v.iter().map(|v| to_si(*v)).collect())
        };
        let force = |v: f64| units.force.to_si(v);
        let length = |v: f64| units.length.to_si(v);
        let moment = |v: f64| units.moment.to_si(v);
        let fz: Vec<f64> = vertical(survey, shape).iter().map(|v| force(*v)).collect();
        let over = |values: Vec<f64>, sign: f64| -> Vec<f64> {
            values.iter().zip(&fz).map(|(m, f)| sign * m / f).collect()
        };
        let nothing = || vec![f64::NAN; n];
        let (fx, fy, cop_x, cop_y) = match shape.kind {
            PlateKind::SixComponent => (
                column(0, &force),
                column(1, &force),
                over(column(4, &moment), -1.0),
                over(column(3, &moment), 1.0),
            ),
            PlateKind::ForceCop => (
                column(0, &force),
                column(1, &force),
                column(3, &length),
                column(4, &length),
            ),
            PlateKind::VerticalCop => {
                (nothing(), nothing(), column(1, &length), column(2, &length))
            }
            PlateKind::EightChannel => (nothing(), nothing(), nothing(), nothing()),
        };
        let spare = shape.spare_cop.map(|columns| {
            columns.map(|column| {
                let values = survey.series.get(column).cloned().unwrap_or_default();
                values.iter().map(|v| spare_to_si(*v, &values)).collect()
            })
        });
        Self {
            fx,
            fy,
            fz,
            cop_x,
            cop_y,
            spare,
        }
    }

    fn loaded(&self) -> impl Iterator<Item = usize> + '_ {
        let load = |i: &usize| self.fz.get(*i).is_some_and(|f| f.abs() > 100.0);
        (0..self.fz.len()).filter(load)
    }

    /// Places of the load, of plates that give them.
    fn loaded_cops(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.loaded()
            .filter_map(|i| Some((*self.cop_x.get(i)?, *self.cop_y.get(i)?)))
            .filter(|(x, y)| x.is_finite() && y.is_finite())
    }

    /// The plate's centre (x, y) and the depth of its moment point (z).
    fn depth_and_centre(&self) -> Option<Vec3> {
        let [sx, sy] = self.spare.as_ref()?;
        let along = |cop: &[f64], turn: &[f64], shear: &[f64]| {
            let samples: Vec<[f64; 4]> = self
                .loaded()
                .filter_map(|i| {
                    let fz = *self.fz.get(i)?;
                    Some([*cop.get(i)?, *turn.get(i)? * fz, *shear.get(i)?, fz])
                })
                .collect();
            depth_and_centre(&samples)
        };
        let (depth_x, x) = along(sx, &self.cop_x, &self.fx)?;
        let (depth_y, y) = along(sy, &self.cop_y, &self.fy)?;
        ((depth_x - depth_y).abs() < 0.01).then(|| Vec3::new(x, y, 0.5 * (depth_x + depth_y)))
    }
}

/// Spare centres of pressure come without a unit of their own in the rig: millimetres read large.
fn spare_to_si(value: f64, all: &[f64]) -> f64 {
    let large = median(all.iter().map(|v| v.abs())).unwrap_or(0.0) > 2.0;
    if large { value / 1000.0 } else { value }
}
