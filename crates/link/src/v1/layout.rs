//! The layout of version 1, field after field, written once for both directions.

use super::Damaged;
use super::arrangements::{expected_at_least, usual};
use super::coder::{Chance, Coder};
use super::cosine_step::CosineStep;
use super::ids::{IDS, UNNAMED_STEP};
use super::numbers::{LARGEST, Numbers, Step};
use super::terms::{TermModels, curve_terms};
use super::wire::{Curve, Part, PathRow, Row, Runs, Test, Wire, WireSet};
use super::words::Words;
use crate::shared::NODES;
use crate::text::{CUE_CHARS, LABEL_CHARS, TITLE_CHARS};

/// Most measures a link can hold; room to grow.
const MEASURES_LIMIT: u32 = 1024;
/// Most stretches of one test: more do not fit between 101 nodes.
const STRETCHES_LIMIT: u32 = 51;
/// Most tests of one curve.
const TESTS_LIMIT: u32 = 4;
/// Most swings of a set.
pub const SWINGS_LIMIT: u32 = 9_999;

/// All that is learnt on the way.
struct Models {
    /// Many links hold no text, and the primer takes as long as all the rest.
    words: Option<Words>,
    flags: [Chance; 24],
    counts: Numbers,
    small: Numbers,
    event: [Numbers; 3],
    event_estimated: [Chance; 3],
    present: Chance,
    step: Numbers,
    n: [Numbers; 2],
    mean: [Numbers; 2],
    sd: [Numbers; 3],
    permutation: [Chance; 2],
    odd: [Chance; 2],
    at_least: [Numbers; 4],
    lag1: Numbers,
    lag1_present: Chance,
    runs: Numbers,
    tests: Numbers,
    terms: TermModels,
}

impl Models {
    fn new() -> Self {
        Self {
            words: None,
            flags: [Chance::NEW; 24],
            counts: Numbers::about(3),
            small: Numbers::about(0),
            event: [Numbers::about(10), Numbers::about(9), Numbers::about(9)],
            event_estimated: [Chance::NEW; 3],
            present: Chance::of(60_000),
            step: Numbers::about(1),
            n: [Numbers::about(0), Numbers::about(0)],
            mean: [Numbers::about(10), Numbers::about(7)],
            sd: [Numbers::about(7), Numbers::about(7), Numbers::about(7)],
            permutation: [Chance::of(60_000); 2],
            odd: [Chance::of(3_000), Chance::NEW],
            at_least: [
                Numbers::about(1),
                Numbers::about(3),
                Numbers::about(5),
                Numbers::about(6),
            ],
            lag1: Numbers::about(3),
            lag1_present: Chance::of(60_000),
            runs: Numbers::about(5),
            tests: Numbers::about(7),
            terms: TermModels::new(),
        }
    }
}

/// Codes the whole link.
pub fn code(io: &mut impl Coder, w: &mut Wire) -> Result<(), Damaged> {
    let m = &mut Models::new();
    texts(io, m, w)?;
    settings(io, m, w)?;
    for set in 0..2 {
        set_of_swings(io, m, &mut w.sets, set)?;
    }
    rows(io, m, w)?;
    let swings = [w.sets[0].swings, w.sets[1].swings];
    let top = io.bit(&mut m.flags[0], w.top_node.is_some())?;
    w.top_node = optional(top, w.top_node, |node| {
        at_most(m.counts.unsigned(io, node)?, NODES as u32 - 1)
    })?;
    for slot in &mut w.curves {
        if io.bit(&mut m.flags[1], slot.is_some())? {
            curve(io, m, slot.get_or_insert_default(), swings)?;
        }
    }
    for slot in &mut w.paths {
        if io.bit(&mut m.flags[2], slot.is_some())? {
            path(io, m, slot.get_or_insert_default())?;
        }
    }
    w.newer_parts = io.bit(&mut m.flags[3], w.newer_parts)?;
    Ok(())
}

fn optional<T: Default>(
    there: bool,
    value: Option<T>,
    mut code: impl FnMut(T) -> Result<T, Damaged>,
) -> Result<Option<T>, Damaged> {
    if !there {
        return Ok(None);
    }
    code(value.unwrap_or_default()).map(Some)
}

fn at_most(value: u32, limit: u32) -> Result<u32, Damaged> {
    if value <= limit {
        Ok(value)
    } else {
        Err(Damaged)
    }
}

fn text(
    io: &mut impl Coder,
    m: &mut Models,
    flag: usize,
    text: &mut Option<String>,
    chars: usize,
) -> Result<(), Damaged> {
    let there = io.bit(&mut m.flags[flag], text.is_some())?;
    // Four bytes a character are the most UTF-8 has.
    *text = optional(there, text.take(), |t| {
        let words = m.words.get_or_insert_with(Words::new);
        words.text(io, &t, 4 * chars)
    })?;
    Ok(())
}

fn texts(io: &mut impl Coder, m: &mut Models, w: &mut Wire) -> Result<(), Damaged> {
    text(io, m, 4, &mut w.title, TITLE_CHARS)?;
    text(io, m, 5, &mut w.cue, CUE_CHARS)?;
    for set in &mut w.sets {
        text(io, m, 6, &mut set.label, LABEL_CHARS)?;
    }
    Ok(())
}

fn settings(io: &mut impl Coder, m: &mut Models, w: &mut Wire) -> Result<(), Damaged> {
    w.left_handed = io.bit(&mut m.flags[7], w.left_handed)?;
    w.about = at_most(m.small.unsigned(io, w.about)?, 2)?;
    // 50 Hz, the default, is one bit.
    let usual = io.bit(&mut m.flags[8], w.low_pass == 501)?;
    w.low_pass = if usual {
        501
    } else {
        Numbers::about(9).unsigned(io, w.low_pass)?
    };
    let mass = io.bit(&mut m.flags[9], w.mass.is_some())?;
    w.mass = optional(mass, w.mass, |mass| {
        at_most(Numbers::about(10).unsigned(io, mass)?, 10_000)
    })?;
    Ok(())
}

fn set_of_swings(
    io: &mut impl Coder,
    m: &mut Models,
    sets: &mut [WireSet; 2],
    which: usize,
) -> Result<(), Damaged> {
    let first = sets[0].events;
    let set = &mut sets[which];
    set.swings = at_most(m.counts.unsigned(io, set.swings)?, SWINGS_LIMIT)?;
    set.set_aside = at_most(m.small.unsigned(io, set.set_aside)?, SWINGS_LIMIT)?;
    set.overruled = at_most(m.small.unsigned(io, set.overruled)?, SWINGS_LIMIT)?;
    set.top_estimated = io.bit(&mut m.flags[10], set.top_estimated)?;
    for (i, event) in set.events.iter_mut().enumerate() {
        let there = io.bit(&mut m.flags[11 + i], event.is_some())?;
        // B's events lie near A's.
        let near = if which == 1 {
            first[i].map_or(0, |(ms, _)| ms)
        } else {
            0
        };
        *event = optional(there, *event, |(ms, estimated)| {
            Ok((
                sum(near, m.event[i].signed(io, ms - near)?)?,
                io.bit(&mut m.event_estimated[i], estimated)?,
            ))
        })?;
    }
    Ok(())
}

/// The sum, if it is still a number the writer could have had.
fn sum(near: i32, more: i32) -> Result<i32, Damaged> {
    let sum = near + more;
    if sum.abs() <= LARGEST / 2 {
        Ok(sum)
    } else {
        Err(Damaged)
    }
}

fn rows(io: &mut impl Coder, m: &mut Models, w: &mut Wire) -> Result<(), Damaged> {
    let end = w.rows.last().map_or(0, |row| row.place + 1);
    let end = at_most(Numbers::about(6).unsigned(io, end)?, MEASURES_LIMIT)?;
    let swings = [w.sets[0].swings, w.sets[1].swings];
    let mut given = std::mem::take(&mut w.rows).into_iter().peekable();
    for place in 0..end {
        let mut row = given.next_if(|row| row.place == place);
        if io.bit(&mut m.present, row.is_some())? {
            let row = row.get_or_insert_default();
            row.place = place;
            measure(io, m, row, swings)?;
        }
        w.rows.extend(row);
    }
    Ok(())
}

/// Swings with a value, as how many of the set have none.
fn counts(
    io: &mut impl Coder,
    m: &mut Models,
    n: &mut [u32; 2],
    swings: [u32; 2],
) -> Result<(), Damaged> {
    for ((n, swings), model) in n.iter_mut().zip(swings).zip(&mut m.n) {
        let missing = model.signed(io, swings as i32 - *n as i32)?;
        let there = u32::try_from(swings as i32 - missing).map_err(|_| Damaged)?;
        *n = at_most(there, SWINGS_LIMIT)?;
    }
    Ok(())
}

fn measure(
    io: &mut impl Coder,
    m: &mut Models,
    row: &mut Row,
    swings: [u32; 2],
) -> Result<(), Damaged> {
    counts(io, m, &mut row.n, swings)?;
    let usual_step = IDS.get(row.place as usize).map_or(
        Step::from_index(UNNAMED_STEP).unwrap_or(Step::FINEST),
        |named| named.usual_step(),
    );
    let away = m
        .step
        .signed(io, i32::from(row.step) - i32::from(usual_step.index()))?;
    row.step = u8::try_from(i32::from(usual_step.index()) + away)
        .ok()
        .filter(|index| Step::from_index(*index).is_some())
        .ok_or(Damaged)?;
    if row.n[0] > 0 {
        row.mean[0] = sum(0, m.mean[0].signed(io, row.mean[0])?)?;
    }
    if row.n[1] > 0 {
        let (near, model) = if row.n[0] > 0 {
            (row.mean[0], 1)
        } else {
            (0, 0)
        };
        row.mean[1] = sum(near, m.mean[model].signed(io, row.mean[1] - near)?)?;
    }
    for side in 0..2 {
        if row.n[side] > 1 {
            row.sd[side] = m.sd[side].unsigned(io, row.sd[side])?;
        }
    }
    let paired = io.bit(&mut m.flags[14], row.sd_of_differences.is_some())?;
    row.sd_of_differences = optional(paired, row.sd_of_differences, |sd| m.sd[2].unsigned(io, sd))?;
    permutation(io, m, row)?;
    let lag1 = io.bit(&mut m.lag1_present, row.lag1.is_some())?;
    row.lag1 = optional(lag1, row.lag1, |r| {
        let r = m.lag1.signed(io, r)?;
        if r.abs() <= 20 { Ok(r) } else { Err(Damaged) }
    })?;
    Ok(())
}

fn permutation(io: &mut impl Coder, m: &mut Models, row: &mut Row) -> Result<(), Damaged> {
    if !io.bit(&mut m.permutation[0], row.permutation.is_some())? {
        row.permutation = None;
        return Ok(());
    }
    let (at_least, mut arrangements, mut exact) = row.permutation.unwrap_or_default();
    let usual = usual(row.n, row.sd_of_differences.is_some());
    if io.bit(&mut m.permutation[1], (arrangements, exact) == usual)? {
        (arrangements, exact) = usual;
    } else {
        arrangements = Numbers::about(13).unsigned(io, arrangements)?;
        exact = io.bit(&mut m.flags[15], exact)?;
    }
    // An arrangement and its mirror tie, so with equal sets the count is even.
    let mirrored = exact && (row.n[0] == row.n[1] || row.sd_of_differences.is_some());
    let odd = io.bit(&mut m.odd[usize::from(!mirrored)], at_least % 2 == 1)?;
    let expected = expected_at_least(row, arrangements) / 2;
    let model = match expected {
        0..=3 => 0,
        4..=31 => 1,
        32..=127 => 2,
        _ => 3,
    };
    let away = m.at_least[model].signed(io, (at_least / 2) as i32 - expected as i32)?;
    let half = u32::try_from(expected as i32 + away).map_err(|_| Damaged)?;
    let at_least = 2 * half + u32::from(odd);
    if at_least == 0 || at_least > arrangements {
        return Err(Damaged);
    }
    row.permutation = Some((at_least, arrangements, exact));
    Ok(())
}

fn runs(io: &mut impl Coder, m: &mut Models, pair: &mut [Runs; 2]) -> Result<(), Damaged> {
    let whole = vec![(0, NODES as u32)];
    for side in 0..2 {
        let (before, from) = pair.split_at_mut(side);
        let runs = &mut from[0];
        // "As before" is: as the other set, or the whole swing for the first.
        let like = before.first().unwrap_or(&whole);
        if io.bit(&mut m.flags[16 + side], runs == like)? {
            runs.clone_from(like);
            continue;
        }
        let count = at_most(m.runs.unsigned(io, runs.len() as u32)?, NODES as u32)?;
        runs.resize(count as usize, (0, 1));
        let mut free = 0;
        for (first, length) in runs.iter_mut() {
            let gap = m.runs.unsigned(io, first.saturating_sub(free))?;
            let more = m.runs.unsigned(io, length.saturating_sub(1))?;
            *first = free + gap;
            *length = more + 1;
            at_most(*first + *length, NODES as u32)?;
            // Runs that touch would be one run.
            free = *first + *length + 1;
        }
    }
    Ok(())
}

fn cosine_step(io: &mut impl Coder, m: &mut Models, step: u8) -> Result<u8, Damaged> {
    let index = m.tests.unsigned(io, u32::from(step))?;
    u8::try_from(index)
        .ok()
        .filter(|index| CosineStep::from_index(*index).is_some())
        .ok_or(Damaged)
}

fn curve(
    io: &mut impl Coder,
    m: &mut Models,
    c: &mut Curve,
    swings: [u32; 2],
) -> Result<(), Damaged> {
    counts(io, m, &mut c.n, swings)?;
    runs(io, m, &mut c.runs)?;
    c.mean_step = cosine_step(io, m, c.mean_step)?;
    curve_terms(io, &mut m.terms.means, &mut c.means, &c.runs)?;
    let mut there = [false; 2];
    for (there, sds) in there.iter_mut().zip(&mut c.sds) {
        *there = io.bit(&mut m.flags[18], sds.is_some())?;
    }
    if there != [false; 2] {
        c.sd_step = cosine_step(io, m, c.sd_step)?;
        // A set without spread is carried as if its terms were nil, and taken off again.
        let mut sds = std::mem::take(&mut c.sds).map(Option::unwrap_or_default);
        let runs = [0, 1].map(|side| {
            if there[side] {
                c.runs[side].clone()
            } else {
                Runs::new()
            }
        });
        curve_terms(io, &mut m.terms.sds, &mut sds, &runs)?;
        let [a, b] = sds;
        c.sds = [there[0].then_some(a), there[1].then_some(b)];
    }
    let count = at_most(m.small.unsigned(io, c.tests.len() as u32)?, TESTS_LIMIT)?;
    c.tests.resize(count as usize, Test::default());
    for test in &mut c.tests {
        curve_test(io, m, test)?;
    }
    Ok(())
}

fn curve_test(io: &mut impl Coder, m: &mut Models, test: &mut Test) -> Result<(), Damaged> {
    test.random_field = io.bit(&mut m.flags[19], test.random_field)?;
    test.threshold = Numbers::about(12).unsigned(io, test.threshold)?;
    let count = m.small.unsigned(io, test.stretches.len() as u32)?;
    let count = at_most(count, STRETCHES_LIMIT)?;
    test.stretches.resize(count as usize, Part::default());
    for part in &mut test.stretches {
        part.from = m.tests.unsigned(io, part.from)?;
        part.length = m.tests.unsigned(io, part.length)?;
        at_most(part.from + part.length, 1000)?;
        part.b_higher = io.bit(&mut m.flags[20], part.b_higher)?;
        part.figures = at_most(m.tests.unsigned(io, part.figures)?, 999)?;
        part.power = at_most(m.small.unsigned(io, part.power)?, 15)?;
        // A p is above nil and at most one.
        if part.figures == 0 || (part.power == 0 && part.figures > 100) {
            return Err(Damaged);
        }
    }
    Ok(())
}

fn path(io: &mut impl Coder, m: &mut Models, p: &mut PathRow) -> Result<(), Damaged> {
    runs(io, m, &mut p.runs)?;
    p.step = cosine_step(io, m, p.step)?;
    for axis in 0..2 {
        let [a, b] = &mut p.terms;
        let mut pair = [std::mem::take(&mut a[axis]), std::mem::take(&mut b[axis])];
        curve_terms(io, &mut m.terms.paths, &mut pair, &p.runs)?;
        [a[axis], b[axis]] = pair;
    }
    Ok(())
}
