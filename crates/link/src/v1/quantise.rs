//! From plain data to the whole numbers of the layout: checked, rounded, no finer than it must be.

use super::cosine_step::CosineStep;
use super::fit::{Fit, fit, given};
use super::ids::{IDS, place};
use super::layout::SWINGS_LIMIT;
use super::numbers::{LARGEST, Step};
use super::plain::measure_of;
use super::wire::{Curve, Part, PathRow, Row, Runs, Terms, Test, Wire, WireSet};
use crate::refusal::Unsendable;
use crate::restore::comparison;
use crate::shared::{
    About, Band, CurvePair, CurveTest, EventTime, Hand, LowPass, Method, Moments, NODES, PathPair,
    Shared, SharedMeasure, SharedSet, Stretch,
};
use crate::text::{CUE_CHARS, LABEL_CHARS, TITLE_CHARS, clean};

/// A measure's step is at most this share of the spread of either set and of their pooled one, so that a
/// number is off by at most a hundredth of its set's spread.
const STEPS_IN_SPREAD: f64 = 50.0;
/// The step beside a set without a spread: its number is off by at most 0.1 unit.
const STEP_WITHOUT_SPREAD: f64 = 0.2;
/// An SD below this share of its mean is what is left of equal numbers by arithmetic, and no spread.
const NO_SPREAD: f64 = 1e-9;
/// How often a step is refined to keep a verdict from tipping over by rounding.
const REFINEMENTS: usize = 8;
/// Largest error of a curve: this, or a hundredth of its spread if that is more.
const CURVE_TOLERANCE: f64 = 0.1;
/// Largest error of a path's coordinate, mm: together they stay within 1 mm.
const PATH_TOLERANCE_MM: f64 = 0.7;
/// Measures are below this many steps, so that the difference of two fits.
const COUNT_LIMIT: i32 = LARGEST / 2;

fn wrong(place: impl Into<String>, expected: &'static str, got: impl ToString) -> Unsendable {
    Unsendable::Number {
        place: place.into(),
        expected,
        got: got.to_string(),
    }
}

/// `value` in whole `unit`s from `low` to `high`.
fn whole(
    place: &str,
    expected: &'static str,
    value: f64,
    per_unit: f64,
    (low, high): (i32, i32),
) -> Result<i32, Unsendable> {
    let count = (value * per_unit).round();
    // NaN is in no range.
    if (f64::from(low)..=f64::from(high)).contains(&count) {
        Ok(count as i32)
    } else {
        Err(wrong(place, expected, value))
    }
}

/// Plain data to whole numbers.
pub fn wire(shared: &Shared) -> Result<Wire, Unsendable> {
    let low_pass = match shared.low_pass {
        LowPass::Off => 0,
        LowPass::Auto => 1,
        LowPass::Hz(hz) => {
            let expected = "a cut-off from 0.1 to 100 000 Hz";
            1 + whole("low_pass", expected, hz, 10.0, (1, 1_000_000))? as u32
        }
    };
    let mass = shared.mass_kg.map(|kg| {
        let expected = "a mass up to 1 000 kg";
        whole("mass_kg", expected, kg, 10.0, (0, 10_000)).map(|mass| mass as u32)
    });
    let top_node = shared.top_node.map(|node| {
        if usize::from(node) < NODES {
            Ok(u32::from(node))
        } else {
            Err(wrong("top_node", "a node from 0 to 100", node))
        }
    });
    Ok(Wire {
        title: text(&shared.title, TITLE_CHARS),
        cue: text(&shared.cue, CUE_CHARS),
        left_handed: shared.handed == Hand::Left,
        about: match shared.about {
            About::StanceCentre => 0,
            About::Com => 1,
            About::CombinedCop => 2,
        },
        low_pass,
        mass: mass.transpose()?,
        sets: [set("set A", &shared.a)?, set("set B", &shared.b)?],
        rows: rows(&shared.measures)?,
        top_node: top_node.transpose()?,
        curves: [
            curve("torque_nm", shared.torque_nm.as_ref())?,
            curve("cop_angle_deg", shared.cop_angle_deg.as_ref())?,
        ],
        paths: [
            path("lead_cop", shared.lead_cop.as_ref())?,
            path("trail_cop", shared.trail_cop.as_ref())?,
        ],
        newer_parts: false,
    })
}

pub(super) fn text(text: &Option<String>, limit: usize) -> Option<String> {
    text.as_deref()
        .map(|text| clean(text, limit))
        .filter(|text| !text.is_empty())
}

fn count(place: &str, n: u32) -> Result<u32, Unsendable> {
    if n <= SWINGS_LIMIT {
        Ok(n)
    } else {
        Err(wrong(place, "at most 9999 swings", n))
    }
}

fn set(place: &str, set: &SharedSet) -> Result<WireSet, Unsendable> {
    let mut events = [None; 3];
    for (slot, event) in events
        .iter_mut()
        .zip([set.takeaway, set.arm_level, set.impact])
    {
        if let Some(EventTime {
            from_top_s,
            estimated,
        }) = event
        {
            let expected = "an event within an hour of the top";
            let ms = whole(place, expected, from_top_s, 1e3, (-3_600_000, 3_600_000))?;
            *slot = Some((ms, estimated));
        }
    }
    Ok(WireSet {
        label: text(&set.label, LABEL_CHARS),
        swings: count(place, set.swings)?,
        set_aside: count(place, set.set_aside)?,
        overruled: count(place, set.overruled)?,
        top_estimated: set.top_estimated,
        events,
    })
}

fn rows(measures: &[SharedMeasure]) -> Result<Vec<Row>, Unsendable> {
    let mut rows = measures
        .iter()
        .map(row)
        .collect::<Result<Vec<_>, Unsendable>>()?;
    rows.sort_by_key(|row| row.place);
    for pair in rows.windows(2) {
        if pair[0].place == pair[1].place {
            return Err(Unsendable::MeasureTwice {
                id: IDS[pair[0].place as usize].id.into(),
            });
        }
    }
    Ok(rows)
}

fn row(measure: &SharedMeasure) -> Result<Row, Unsendable> {
    let id = measure.id;
    let place = place(id).ok_or_else(|| Unsendable::UnknownMeasure { id: id.into() })?;
    checked(measure)?;
    if let Some(step) = measure.step {
        return stepped(measure, place, step)
            .ok_or_else(|| wrong(id, "fewer steps than eight million", "more"));
    }
    let said = comparison(measure);
    let mut step = step_for(measure, said.spread).unwrap_or(IDS[place].usual_step());
    let mut row = loop {
        if let Some(row) = stepped(measure, place, step) {
            break row;
        }
        step = step
            .coarser()
            .ok_or_else(|| wrong(id, "numbers below 4·10¹⁰", "more"))?;
    };
    for _ in 0..REFINEMENTS {
        if measure_of(&row).is_some_and(|m| comparison(&m).verdict == said.verdict) {
            break;
        }
        let finer = step
            .finer()
            .and_then(|step| Some((step, stepped(measure, place, step)?)));
        match finer {
            Some(finer) => (step, row) = finer,
            None => break,
        }
    }
    Ok(row)
}

/// The step that the spreads ask for; `None` when there is no spread at all.
fn step_for(measure: &SharedMeasure, pooled: Option<f64>) -> Option<Step> {
    let mut limit = pooled.filter(|sd| *sd > 0.0)? / STEPS_IN_SPREAD;
    for Moments { mean, sd, .. } in [measure.a, measure.b] {
        let Some(mean) = mean else { continue };
        let varies = sd.filter(|sd| *sd > NO_SPREAD * mean.abs());
        limit = limit.min(varies.map_or(STEP_WITHOUT_SPREAD, |sd| sd / STEPS_IN_SPREAD));
    }
    Some(Step::at_most(limit))
}

/// Finite, and as many as the counts say.
fn checked(measure: &SharedMeasure) -> Result<(), Unsendable> {
    let id = measure.id;
    for (side, moments) in [("A", &measure.a), ("B", &measure.b)] {
        let place = || format!("{id}, set {side}");
        count(&place(), moments.n)?;
        let Moments { n, mean, sd } = *moments;
        if mean.is_some() != (n > 0) || mean.is_some_and(|mean| !mean.is_finite()) {
            let expected = "a finite mean from one swing on";
            return Err(wrong(place(), expected, format!("{mean:?} of {n}")));
        }
        if sd.is_some() != (n > 1) || sd.is_some_and(|sd| !(sd.is_finite() && sd >= 0.0)) {
            let expected = "an SD of nil or more from two swings on";
            return Err(wrong(place(), expected, format!("{sd:?} of {n}")));
        }
    }
    if let Some(sd) = measure.sd_of_differences {
        if !(sd.is_finite() && sd >= 0.0) {
            return Err(wrong(id, "an SD of differences of nil or more", sd));
        }
        if measure.a.n != measure.b.n || measure.a.n < 2 {
            let got = format!("{} and {}", measure.a.n, measure.b.n);
            return Err(wrong(id, "two pairs or more", got));
        }
    }
    if let Some(p) = measure.permutation
        && !(1..=p.arrangements).contains(&p.at_least)
    {
        return Err(wrong(id, "a count from 1 to the arrangements", p.at_least));
    }
    if let Some(p) = measure.permutation
        && p.arrangements > LARGEST as u32
    {
        return Err(wrong(id, "fewer than 2²⁴ arrangements", p.arrangements));
    }
    Ok(())
}

/// The row at this step; `None` when a number has too many steps.
fn stepped(measure: &SharedMeasure, place: usize, step: Step) -> Option<Row> {
    let count = |value: f64| step.count(value).filter(|count| count.abs() <= COUNT_LIMIT);
    let sides = [&measure.a, &measure.b];
    let mut row = Row {
        place: place as u32,
        step: step.index(),
        n: sides.map(|side| side.n),
        permutation: measure
            .permutation
            .map(|p| (p.at_least, p.arrangements, p.exact)),
        lag1: measure
            .lag1_r
            .map(|r| (r.clamp(-1.0, 1.0) * 20.0).round() as i32),
        ..Row::default()
    };
    for (i, side) in sides.into_iter().enumerate() {
        row.mean[i] = count(side.mean.unwrap_or(0.0))?;
        row.sd[i] = count(side.sd.unwrap_or(0.0))? as u32;
    }
    row.sd_of_differences = match measure.sd_of_differences {
        Some(sd) => Some(count(sd)? as u32),
        None => None,
    };
    Some(row)
}

/// Unbroken runs of nodes with a value, and the values of each.
type Present = (Runs, Vec<Vec<f64>>);

fn present(place: &str, nodes: &[Option<f64>]) -> Result<Present, Unsendable> {
    if nodes.len() != NODES {
        return Err(wrong(place, "101 nodes", nodes.len()));
    }
    let (mut runs, mut values): Present = Default::default();
    let mut open = false;
    for (q, node) in nodes.iter().enumerate() {
        if let Some(value) = node {
            if !value.is_finite() || value.abs() > 1e6 {
                return Err(wrong(place, "values below a million", value));
            }
            if !open {
                runs.push((q as u32, 0));
                values.push(Vec::new());
            }
            if let (Some(run), Some(values)) = (runs.last_mut(), values.last_mut()) {
                run.1 += 1;
                values.push(*value);
            }
        }
        open = node.is_some();
    }
    Ok((runs, values))
}

fn fitted(
    place: &str,
    curves: &[&[Vec<f64>]],
    step: Option<CosineStep>,
    tolerance: f64,
) -> Result<Fit, Unsendable> {
    match step {
        Some(step) => given(curves, step),
        None => fit(curves, tolerance),
    }
    .ok_or_else(|| wrong(place, "a curve that its steps can carry", "a larger one"))
}

fn curve(place: &str, pair: Option<&CurvePair>) -> Result<Option<Curve>, Unsendable> {
    let Some(pair) = pair else {
        return Ok(None);
    };
    let bands = [&pair.a, &pair.b];
    let mut curve = Curve::default();
    let (mut means, mut sds) = (Vec::new(), Vec::new());
    for (side, band) in bands.into_iter().enumerate() {
        curve.n[side] = count(place, band.n)?;
        let (runs, values) = present(place, &band.mean)?;
        if band.sd.is_empty() {
            sds.push(None);
        } else {
            let (sd_runs, sd_values) = present(place, &band.sd)?;
            if sd_runs != runs {
                return Err(wrong(place, "an SD wherever there is a mean", "another"));
            }
            sds.push(Some(sd_values));
        }
        curve.runs[side] = runs;
        means.push(values);
    }
    let tolerance = CURVE_TOLERANCE.max(spread(&pair.a, &pair.b) / 100.0);
    let curves: Vec<&[Vec<f64>]> = means.iter().map(Vec::as_slice).collect();
    let Fit { step, terms } = fitted(place, &curves, pair.steps.map(|s| s.0), tolerance)?;
    curve.mean_step = step.index();
    curve.means = two(terms);
    let there: Vec<&[Vec<f64>]> = sds.iter().flatten().map(Vec::as_slice).collect();
    if !there.is_empty() {
        let Fit { step, terms } = fitted(place, &there, pair.steps.map(|s| s.1), tolerance)?;
        curve.sd_step = step.index();
        let mut terms = terms.into_iter();
        for (slot, sds) in curve.sds.iter_mut().zip(&sds) {
            *slot = sds.as_ref().and_then(|_| terms.next());
        }
    }
    curve.tests = pair
        .tests
        .iter()
        .map(|t| test(place, t))
        .collect::<Result<_, _>>()?;
    Ok(Some(curve))
}

fn two(terms: Vec<Terms>) -> [Terms; 2] {
    let mut terms = terms.into_iter();
    [(); 2].map(|()| terms.next().unwrap_or_default())
}

/// Root-mean-square of the SDs of both sets over the nodes.
fn spread(a: &Band, b: &Band) -> f64 {
    let (mut sum, mut nodes) = (0.0, 0.0);
    for sd in a.sd.iter().chain(&b.sd).flatten() {
        sum += sd * sd;
        nodes += 1.0;
    }
    if nodes > 0.0 {
        f64::sqrt(sum / nodes)
    } else {
        0.0
    }
}

fn test(place: &str, test: &CurveTest) -> Result<Test, Unsendable> {
    let expected = "a threshold of |t| up to 16 000";
    let part = |s: &Stretch| {
        let expected = "a stretch within 0 to 100 %";
        let from = whole(place, expected, s.from_pct, 10.0, (0, 1000))?;
        let to = whole(place, expected, s.to_pct, 10.0, (from, 1000))?;
        let (figures, power) = figures(s.p).ok_or_else(|| wrong(place, "a p from 0 to 1", s.p))?;
        Ok(Part {
            from: from as u32,
            length: (to - from) as u32,
            b_higher: s.b_higher,
            figures,
            power,
        })
    };
    Ok(Test {
        random_field: test.method == Method::RandomField,
        threshold: whole(place, expected, test.threshold, 1e3, (0, 16_000_000))? as u32,
        stretches: test.stretches.iter().map(part).collect::<Result<_, _>>()?,
    })
}

/// p = figures / 10^(2 + power), three figures where p allows them. The least is 10⁻¹⁷, which also
/// stands for what is smaller, down to a p too small for any number.
fn figures(p: f64) -> Option<(u32, u32)> {
    if !(0.0..=1.0).contains(&p) {
        return None;
    }
    let at = |power: u32| p * tenfold(2 + power);
    // Just under a power of ten one more place is taken, so that three figures are kept there too.
    let power = (0..15).find(|power| at(*power) >= 99.95).unwrap_or(15);
    Some(((at(power).round() as u32).max(1), power))
}

/// 10^power, exact.
pub(super) fn tenfold(power: u32) -> f64 {
    (0..power).fold(1.0, |ten, _| ten * 10.0)
}

fn path(place: &str, pair: Option<&PathPair>) -> Result<Option<PathRow>, Unsendable> {
    let Some(pair) = pair else {
        return Ok(None);
    };
    let mut row = PathRow::default();
    let mut axes = Vec::new();
    for (side, path) in [&pair.a, &pair.b].into_iter().enumerate() {
        let (runs, t) = present(place, &path.t_mm)?;
        let (a_runs, a) = present(place, &path.a_mm)?;
        if runs != a_runs {
            return Err(wrong(place, "both coordinates or neither", "one"));
        }
        row.runs[side] = runs;
        axes.extend([t, a]);
    }
    let curves: Vec<&[Vec<f64>]> = axes.iter().map(Vec::as_slice).collect();
    let Fit { step, terms } = fitted(place, &curves, pair.step, PATH_TOLERANCE_MM)?;
    row.step = step.index();
    let mut terms = terms.into_iter();
    for side in &mut row.terms {
        for axis in side {
            *axis = terms.next().unwrap_or_default();
        }
    }
    Ok(Some(row))
}
