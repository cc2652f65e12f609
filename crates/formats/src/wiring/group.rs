//! Columns gathered into plates by what their headers say.

use super::header::{Axis, Meaning, Quantity, Side};
use crate::table::Survey;
use footing_core::recording::PlateKind;

/// One channel a header names, in the file's own axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Channel {
    Force(Axis),
    Moment(Axis),
    Free(Axis),
    Cop(Axis),
    /// One of an eight-channel plate's, numbered as rig files list them.
    Sensor(usize),
}

/// A plate as far as headers tell.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    /// What its headers have in common that other plates' have not.
    pub(super) label: String,
    pub(super) side: Option<Side>,
    /// Channel and column.
    pub(super) channels: Vec<(Channel, usize)>,
    /// Whether one channel occurs more than once.
    pub(super) doubled: bool,
}

impl Candidate {
    pub(super) fn column(&self, channel: Channel) -> Option<usize> {
        self.channels
            .iter()
            .find(|(known, _)| *known == channel)
            .map(|(_, column)| *column)
    }
}

/// Everything headers say.
#[derive(Debug, Default)]
pub(super) struct Named {
    pub(super) plates: Vec<Candidate>,
    /// Columns of time, of frame numbers, of triggers, of marks at impact.
    pub(super) time: Vec<usize>,
    pub(super) frames: Vec<usize>,
    pub(super) triggers: Vec<usize>,
    pub(super) impacts: Vec<usize>,
    /// Whether horizontal axes were named by the body's directions.
    pub(super) anatomical: bool,
    /// Headers of both plates together, left out.
    pub(super) totals: usize,
}

/// Letters and short words that name feet when both of a pair occur.
const PAIRS: [(&str, &str); 7] = [
    ("l", "r"),
    ("lf", "rf"),
    ("lt", "rt"),
    ("g", "d"),
    ("i", "d"),
    ("izq", "der"),
    ("li", "re"),
];

/// Gathers a table's columns. In a storage file every moment stands about its point of application
/// and vectors may be numbered instead of lettered.
pub(super) fn by_name(survey: &Survey, storage: bool) -> Named {
    let mut meanings: Vec<Meaning> = survey
        .names
        .iter()
        .zip(&survey.groups)
        .map(|(name, group)| {
            let numbered = storage.then(|| Meaning::of_vector(name)).flatten();
            numbered.unwrap_or_else(|| Meaning::of(group, name))
        })
        .collect();
    for meaning in &mut meanings {
        if storage && meaning.quantity == Some(Quantity::Moment) {
            meaning.quantity = Some(Quantity::FreeMoment);
        }
        meaning.rest.retain(|token| !token.is_empty());
        if meaning.quantity == Some(Quantity::Time) && meaning.axis.is_some() {
            meaning.quantity = Some(Quantity::FreeMoment);
        }
        // A free moment has one direction, whether it is named or not.
        if meaning.quantity == Some(Quantity::FreeMoment) && meaning.axis.is_none() {
            meaning.axis = Some(Axis::Z);
        }
    }
    name_feet(&mut meanings);
    let mut named = Named::default();
    for (column, meaning) in meanings.iter().enumerate() {
        let list = match meaning.quantity {
            _ if meaning.foreign => continue,
            Some(Quantity::Time) => &mut named.time,
            Some(Quantity::Frame) => &mut named.frames,
            Some(Quantity::Trigger) => &mut named.triggers,
            Some(Quantity::Impact) => &mut named.impacts,
            _ => continue,
        };
        list.push(column);
    }
    let is_channel = |meaning: &Meaning| channel(meaning).is_some();
    named.totals = meanings.iter().filter(|m| m.total && is_channel(m)).count();
    let is_plates = |meaning: &&Meaning| is_channel(meaning) && !meaning.total;
    named.anatomical = meanings.iter().filter(is_plates).any(|m| m.anatomical);
    let eight = has_eight(&meanings);
    let mut loose = false;
    loop {
        named.plates = gather(&meanings, eight, loose);
        let scattered = named.plates.iter().any(|plate| {
            !plate
                .channels
                .iter()
                .any(|(channel, _)| matches!(channel, Channel::Force(_) | Channel::Sensor(_)))
        });
        if loose || !scattered {
            break;
        }
        loose = true;
    }
    named
}

fn name_feet(meanings: &mut [Meaning]) {
    for (left, right) in PAIRS {
        let has = |token: &str| {
            meanings.iter().any(|meaning| {
                channel(meaning).is_some() && meaning.rest.iter().any(|known| known == token)
            })
        };
        if !has(left) || !has(right) {
            continue;
        }
        for meaning in meanings.iter_mut() {
            for (token, side) in [(left, Side::Left), (right, Side::Right)] {
                if let Some(at) = meaning.rest.iter().position(|known| known == token) {
                    meaning.rest.remove(at);
                    meaning.side.get_or_insert(side);
                }
            }
        }
    }
}

fn channel(meaning: &Meaning) -> Option<Channel> {
    let axis = meaning.axis?;
    if meaning.foreign {
        return None;
    }
    Some(match meaning.quantity? {
        Quantity::Force => Channel::Force(axis),
        Quantity::Moment => Channel::Moment(axis),
        Quantity::FreeMoment => Channel::Free(axis),
        Quantity::Cop => Channel::Cop(axis),
        _ => return None,
    })
}

/// Whether forces are split over the sensors of eight-channel plates: 12, 34, 14, 23 behind x and y.
fn has_eight(meanings: &[Meaning]) -> bool {
    let has = |axis: Axis, pair: &str| {
        meanings.iter().any(|meaning| {
            channel(meaning) == Some(Channel::Force(axis))
                && meaning.numbers.iter().any(|number| number == pair)
        })
    };
    has(Axis::X, "12") && has(Axis::X, "34") && has(Axis::Y, "14") && has(Axis::Y, "23")
}

/// The sensor channel of a header on an eight-channel plate, and the numbers that are left.
fn sensor(meaning: &Meaning) -> Option<(usize, Vec<String>)> {
    let Channel::Force(axis) = channel(meaning)? else {
        return None;
    };
    let wanted: &[(&str, usize)] = match axis {
        Axis::X => &[("12", 0), ("34", 1)],
        Axis::Y => &[("14", 2), ("23", 3)],
        Axis::Z => &[("1", 4), ("2", 5), ("3", 6), ("4", 7)],
    };
    let candidates = meaning
        .after_axis
        .into_iter()
        .chain(0..meaning.numbers.len());
    for at in candidates {
        let number = meaning.numbers.get(at)?;
        if let Some((_, sensor)) = wanted.iter().find(|(text, _)| text == number) {
            let mut left = meaning.numbers.clone();
            left.remove(at);
            return Some((*sensor, left));
        }
    }
    None
}

fn gather(meanings: &[Meaning], eight: bool, loose: bool) -> Vec<Candidate> {
    let mut keyed: Vec<(Vec<String>, Candidate)> = Vec::new();
    for (column, meaning) in meanings.iter().enumerate() {
        let Some(mut channel) = channel(meaning).filter(|_| !meaning.total) else {
            continue;
        };
        let mut meaning = meaning.clone();
        if eight && let Some((sensor, numbers)) = sensor(&meaning) {
            channel = Channel::Sensor(sensor);
            meaning.numbers = numbers;
        }
        if loose {
            meaning.rest.clear();
        }
        let key = meaning.key();
        let at = keyed.iter().position(|(known, _)| *known == key);
        let at = at.unwrap_or_else(|| {
            keyed.push((
                key,
                Candidate {
                    label: String::new(),
                    side: meaning.side,
                    channels: Vec::new(),
                    doubled: false,
                },
            ));
            keyed.len() - 1
        });
        if let Some((_, candidate)) = keyed.get_mut(at) {
            candidate.channels.push((channel, column));
        }
    }
    let mut plates: Vec<Candidate> = Vec::new();
    for (key, mut candidate) in keyed {
        candidate.label = key.join(" ");
        plates.extend(split_repeats(candidate));
    }
    plates
}

/// Names that repeat plate after plate: the n-th of each name is plate n's.
fn split_repeats(candidate: Candidate) -> Vec<Candidate> {
    let count = |channel: Channel| {
        candidate
            .channels
            .iter()
            .filter(|(known, _)| *known == channel)
            .count()
    };
    let most = candidate.channels.iter().map(|(c, _)| count(*c)).max();
    let most = most.unwrap_or(0);
    let even = candidate.channels.iter().all(|(c, _)| count(*c) == most);
    if most < 2 || !even {
        return vec![Candidate {
            doubled: most > 1,
            ..candidate
        }];
    }
    (0..most)
        .map(|nth| {
            let mut seen: Vec<Channel> = Vec::new();
            let channels = candidate
                .channels
                .iter()
                .filter(|(channel, _)| {
                    seen.push(*channel);
                    seen.iter().filter(|known| *known == channel).count() == nth + 1
                })
                .copied()
                .collect();
            Candidate {
                label: format!("{} {}", candidate.label, nth + 1).trim().to_owned(),
                channels,
                ..candidate.clone()
            }
        })
        .collect()
}

/// The columns of a plate in the order of [`crate::rig::channel_names`], the vertical axis being
/// `up`; `None` when headers do not name enough. With it whether the free moment is only called a
/// moment, and the columns of centre of pressure that are not needed.
pub(super) fn shape(plate: &Candidate, up: Axis) -> Option<Shape> {
    let axes = match up {
        Axis::Z => [Axis::X, Axis::Y, Axis::Z],
        Axis::Y => [Axis::Z, Axis::X, Axis::Y],
        Axis::X => [Axis::Y, Axis::Z, Axis::X],
    };
    let all = |of: fn(Axis) -> Channel, axes: &[Axis]| -> Option<Vec<usize>> {
        axes.iter().map(|axis| plate.column(of(*axis))).collect()
    };
    let flat = axes.get(..2).unwrap_or_default();
    let sensors: Option<Vec<usize>> = (0..8).map(|i| plate.column(Channel::Sensor(i))).collect();
    let force = all(Channel::Force, &axes);
    let cop = all(Channel::Cop, flat);
    // Without a centre of pressure a "torque" is an ordinary moment.
    let moment = all(Channel::Moment, &axes)
        .or_else(|| cop.is_none().then(|| all(Channel::Free, &axes)).flatten());
    let tz = plate.column(Channel::Free(up));
    let mz = plate.column(Channel::Moment(up));
    let with = |kind, columns: Vec<usize>| Shape {
        kind,
        columns,
        ambiguous_moment: false,
        spare_cop: None,
    };
    match (sensors, force, moment, cop) {
        (_, Some(force), Some(moment), cop) => Some(Shape {
            spare_cop: cop.and_then(|cop| cop.try_into().ok()),
            ..with(PlateKind::SixComponent, [force, moment].concat())
        }),
        (_, Some(force), None, Some(cop)) => {
            let columns = [force, cop, tz.or(mz).into_iter().collect()].concat();
            Some(Shape {
                ambiguous_moment: tz.is_none() && mz.is_some(),
                ..with(PlateKind::ForceCop, columns)
            })
        }
        // What the instrument's software made of the sensors comes before them: it knows where they are.
        (Some(sensors), ..) => Some(with(PlateKind::EightChannel, sensors)),
        (_, None, _, Some(cop)) => {
            let fz = plate.column(Channel::Force(up))?;
            Some(with(PlateKind::VerticalCop, [vec![fz], cop].concat()))
        }
        _ => None,
    }
}

/// A plate whose channels are complete.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pub(super) kind: PlateKind,
    pub(super) columns: Vec<usize>,
    pub(super) ambiguous_moment: bool,
    pub(super) spare_cop: Option<[usize; 2]>,
}
