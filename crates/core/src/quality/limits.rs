//! Limits of a full swing.

use super::{Evidence, note};
use crate::note::{Level, Note};
use crate::printed::fixed;
use crate::recording::EventKind;
use crate::sampled::{Line, signed_areas};
use crate::stance::{Feet, FootLoad};
use crate::torque::FootCurves;

/// Torque beyond this per kilogram is not a golfer's, N·m/kg: a slip of units or of columns.
///
/// The couple of both feet's toe–heel shear at 0.25 m each, with the ranges of Worsfold et al. (2007)
/// taken as if they were peaks, and 25 N·m of free moments, make 1.8 N·m/kg.
pub const TORQUE_LIMIT_NM_PER_KG: f64 = 4.0;

/// One value against its limits: outside `soft` a warning, outside `hard` a stop.
struct Bound {
    code: &'static str,
    what: String,
    unit: &'static str,
    decimals: usize,
    value: f64,
    soft: (f64, f64),
    hard: (f64, f64),
}

/// A hard limit upward only.
fn at_most(hard: f64) -> (f64, f64) {
    (f64::NEG_INFINITY, hard)
}

const LOW: &str =
    "A short or slow swing does this; if it was a full one, check units, wiring and events.";
const TIMES: &str =
    "Check takeaway, top and impact on the charts and set them by hand; check the sampling rate.";
const LIGHT: &str = "A jump does this; otherwise check that both feet were on the plates, their zero, and their cables.";
const HIGH: &str = "Check units, wiring and calibration of the plates.";

impl Bound {
    fn note(&self) -> Option<Note> {
        let Self {
            soft: (lo, hi),
            decimals: d,
            value,
            unit,
            ..
        } = *self;
        if (lo..=hi).contains(&value) {
            return None;
        }
        let gap = if unit.is_empty() { "" } else { " " };
        let expected = if lo == 0.0 {
            format!("at most {hi:.d$}")
        } else {
            format!("{lo:.d$} to {hi:.d$}")
        };
        Some(note(
            self.code,
            if value < self.hard.0 || value > self.hard.1 {
                Level::Stop
            } else {
                Level::Warn
            },
            format_args!(
                "{} {}{gap}{unit}; in a full swing {expected}{gap}{unit} is expected.",
                self.what,
                fixed(value, d)
            ),
            match (self.code, value < lo) {
                ("swing-times", _) => TIMES,
                ("total-fz-range", true) => LIGHT,
                (_, true) => LOW,
                (_, false) => HIGH,
            },
        ))
    }
}

fn extremes(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |range, v| {
        Some(range.map_or((v, v), |(lo, hi): (f64, f64)| (lo.min(v), hi.max(v))))
    })
}

/// Every limit that the recording has something to hold against; those of a foot by itself only when
/// each foot is by itself.
pub(super) fn check(evidence: &Evidence<'_>, one_foot: bool) -> Vec<Note> {
    let mut notes = Vec::new();
    let off = off_plates(evidence);
    let mut bounds = Vec::new();
    vertical(evidence, one_foot, off.is_some(), &mut bounds);
    notes.extend(off);
    if let (Feet::Two { lead, trail }, true) = (&evidence.stance.feet, one_foot) {
        shear(evidence, "lead", lead, &mut bounds);
        shear(evidence, "trail", trail, &mut bounds);
        for (name, load, curves) in [
            ("lead", lead, &evidence.curves.lead),
            ("trail", trail, &evidence.curves.trail),
        ] {
            if let Some(curves) = curves {
                free_moment(evidence, name, load, curves, &mut bounds);
            }
        }
    }
    torque(evidence, &mut bounds);
    times(evidence, &mut bounds);
    notes.extend(torque_per_kg(evidence));
    notes.extend(bounds.iter().filter_map(Bound::note));
    notes
}

/// A player who leaves the plates in the swing, or within 0.4 s of its impact: the total is below a
/// twentieth of the weight for 30 ms.
fn off_plates(evidence: &Evidence<'_>) -> Option<Note> {
    const FOLLOW_S: f64 = 0.4;
    let (from, mut to) = evidence.whole_s()?;
    if let Some((_, impact)) = evidence.until_impact_s() {
        to = to.max(impact + FOLLOW_S);
    }
    let window = evidence.samples((from, to));
    let total = evidence.stance.total_fz_n();
    let needed = ((0.03 * evidence.stance.rate_hz).ceil() as usize).max(2);
    let mut run = 0;
    let off = window.into_iter().find(|i| {
        let light = total[*i] < 0.05 * evidence.weight_n();
        run = if light { run + 1 } else { 0 };
        run >= needed
    })?;
    Some(note(
        "off-plates",
        Level::Stop,
        format_args!(
            "At {} s, before the swing is over, nobody is on the plates any more.",
            fixed(evidence.stance.t_s[off], 2)
        ),
        "If the player stepped off, record again; otherwise set takeaway and impact by hand.",
    ))
}

/// Vertical force in body weights, takeaway to impact.
///
/// Lead 0.45–2.0 (at most 3), trail 0.4–1.4 (2.5), total 0.3–2.2 (0 to 3.5; nothing pulls a player down, and 2 %
/// are left to zero and noise). A total that says somebody `left` is told by that. **Source:** Worsfold et al.
/// (2007): 0.84–1.1 and 0.49–0.82; widened. The lead foot's lower limit leaves room for players who go
/// back to the trail foot before impact (the "reverse" style of Ball K, Best R (2007) J Sports Sci
/// 25(7):757–770, no error of technique): about half the weight is all their lead foot carries.
fn vertical(evidence: &Evidence<'_>, one_foot: bool, left: bool, bounds: &mut Vec<Bound>) {
    let Some(window) = evidence.until_impact_s().map(|w| evidence.samples(w)) else {
        return;
    };
    let weight = evidence.weight_n();
    let within = |series: &[f64]| extremes(series[window.clone()].iter().map(|f| f / weight));
    let mut bound = |code, what: &str, value, soft, hard| {
        bounds.push(Bound {
            code,
            what: what.into(),
            unit: "body weights",
            decimals: 2,
            value,
            soft,
            hard,
        });
    };
    if let (Feet::Two { lead, trail }, true) = (&evidence.stance.feet, one_foot) {
        if let Some((_, most)) = within(&lead.fz_n) {
            bound(
                "lead-fz-peak",
                "The lead foot's vertical force peaks at",
                most,
                (0.45, 2.0),
                at_most(3.0),
            );
        }
        if let Some((_, most)) = within(&trail.fz_n) {
            bound(
                "trail-fz-peak",
                "The trail foot's vertical force peaks at",
                most,
                (0.4, 1.4),
                at_most(2.5),
            );
        }
    }
    if let Some((least, most)) = within(&evidence.stance.total_fz_n()) {
        let what = "The total vertical force peaks at";
        bound("total-fz-range", what, most, (0.3, 2.2), at_most(3.5));
        if !left {
            let what = "The total vertical force falls to";
            bound("total-fz-range", what, least, (0.3, 2.2), (-0.02, 3.5));
        }
    }
}

/// One foot's force along the ground: its range in body weights along and across the target line,
/// 0.08–0.6 (at most 1), takeaway to finish; and its ratio to the vertical force while that is above
/// a fifth of the weight, at most 0.8 (1.2).
///
/// **Source:** Worsfold et al. (2007), table 1: ranges of 0.16–0.33 and 0.19–0.25; widened. The ratio
/// cannot pass the friction of shoe and ground: below about 1 on turf with spikes (from memory).
fn shear(evidence: &Evidence<'_>, foot: &str, load: &FootLoad, bounds: &mut Vec<Bound>) {
    let (Some(shear), Some(whole)) = (&load.shear, evidence.whole_s()) else {
        return;
    };
    let weight = evidence.weight_n();
    let window = evidence.samples(whole);
    for (way, series) in [("toe–heel", &shear.fa_n), ("target-line", &shear.ft_n)] {
        if let Some((lo, hi)) = extremes(series[window.clone()].iter().copied()) {
            bounds.push(Bound {
                code: "shear-range",
                what: format!("The {foot} foot's {way} shear ranges over"),
                unit: "body weights",
                decimals: 2,
                value: (hi - lo) / weight,
                soft: (0.08, 0.6),
                hard: at_most(1.0),
            });
        }
    }
    let ratios = window
        .filter(|i| load.fz_n[*i] > 0.2 * weight)
        .map(|i| libm::hypot(shear.ft_n[i], shear.fa_n[i]) / load.fz_n[i]);
    if let Some((_, most)) = extremes(ratios) {
        bounds.push(Bound {
            code: "shear-ratio",
            what: format!(
                "The {foot} foot's force along the ground reaches a share of its vertical force of"
            ),
            unit: "",
            decimals: 2,
            value: most,
            soft: (0.0, 0.8),
            hard: at_most(1.2),
        });
    }
}

/// One foot's free moment, at most 35 N·m (70), while it carries a fifth of the weight.
///
/// **Source:** Worsfold et al. (2008): 17–19 N·m at most on the front foot, 6–7 on the back foot. A
/// foot cannot twist by more than friction × load × the radius it presses over: 1 × 1000 N × 0.07 m.
fn free_moment(
    evidence: &Evidence<'_>,
    foot: &str,
    load: &FootLoad,
    curves: &FootCurves,
    bounds: &mut Vec<Bound>,
) {
    let Some(window) = evidence.whole_s().map(|w| evidence.samples(w)) else {
        return;
    };
    let sizes = window
        .filter(|i| load.fz_n[*i] > 0.2 * evidence.weight_n())
        .filter_map(|i| curves.free_moment_nm.get(i).copied().flatten())
        .map(f64::abs);
    if let Some((_, most)) = extremes(sizes) {
        bounds.push(Bound {
            code: "free-moment",
            what: format!("The {foot} foot's free moment reaches"),
            unit: "N·m",
            decimals: 0,
            value: most,
            soft: (0.0, 35.0),
            hard: at_most(70.0),
        });
    }
}

/// Largest torque of the swing, 15–160 N·m (at most 250), and its impulse toward the target up to
/// impact, 3–40 N·m·s (80).
///
/// **Source:** derived: the couple in [`TORQUE_LIMIT_NM_PER_KG`] makes about 140 N·m for 80 kg, and
/// 50 N·m for a quarter of a second about 12 N·m·s.
fn torque(evidence: &Evidence<'_>, bounds: &mut Vec<Bound>) {
    let Some((from, to)) = evidence.until_impact_s() else {
        return;
    };
    let Some(corners) =
        Line::new(&evidence.stance.t_s, &evidence.curves.torque_nm).window(from, to)
    else {
        return;
    };
    let most = corners.iter().fold(0.0_f64, |m, c| m.max(c.1.abs()));
    bounds.push(Bound {
        code: "torque-peak",
        what: "The torque reaches".into(),
        unit: "N·m",
        decimals: 0,
        value: most,
        soft: (15.0, 160.0),
        hard: at_most(250.0),
    });
    bounds.push(Bound {
        code: "impulse-positive",
        what: "The torque toward the target adds up to".into(),
        unit: "N·m·s",
        decimals: 1,
        value: signed_areas(&corners).1,
        soft: (3.0, 40.0),
        hard: at_most(80.0),
    });
}

/// Torque per kilogram beyond [`TORQUE_LIMIT_NM_PER_KG`], takeaway to impact, or anywhere when these
/// are not known.
fn torque_per_kg(evidence: &Evidence<'_>) -> Option<Note> {
    let window = match evidence.until_impact_s() {
        Some(window) => evidence.samples(window),
        None => 0..evidence.stance.t_s.len(),
    };
    let extreme = window
        .filter_map(|i| evidence.curves.torque_nm.get(i).copied().flatten())
        .fold(0.0_f64, |most, t| most.max(t.abs()));
    let per_kg = extreme / evidence.mass_kg();
    (per_kg > TORQUE_LIMIT_NM_PER_KG).then(|| {
        note(
            "torque-implausible",
            Level::Stop,
            format_args!(
                "Torque reaches {extreme:.0} N·m, {per_kg:.1} N·m per kg of body mass; nobody exceeds {TORQUE_LIMIT_NM_PER_KG}."
            ),
            "Check the units of moment and of length, the plates' places, and which column is which.",
        )
    })
}

/// Backswing 0.45–1.6 s, downswing 0.15–0.6 s.
///
/// **Source:** Grober and Cholewicki (preprint): 0.70–1.00 s and 0.23–0.33 s on tour, amateurs
/// slower; widened.
fn times(evidence: &Evidence<'_>, bounds: &mut Vec<Bound>) {
    let between = |from, to| Some(evidence.events.time(to)? - evidence.events.time(from)?);
    for (what, span, soft) in [
        (
            "The backswing lasts",
            between(EventKind::Takeaway, EventKind::Top),
            (0.45, 1.6),
        ),
        (
            "The downswing lasts",
            between(EventKind::Top, EventKind::Impact),
            (0.15, 0.6),
        ),
    ] {
        // the wrong order has a note of its own
        if let Some(value) = span.filter(|s| *s > 0.0) {
            bounds.push(Bound {
                code: "swing-times",
                what: what.into(),
                unit: "s",
                decimals: 2,
                value,
                soft,
                hard: at_most(f64::INFINITY),
            });
        }
    }
}
