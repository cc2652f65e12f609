//! Cuts a long recording into swings, and says what the other movements are.
//!
//! The recording is first parted by stillness: whoever plays a ball stands still before and holds the
//! finish after. Each movement between two stillnesses is then judged by what a swing must do: turn
//! the body away, stop it, and turn it through faster than it went away.

use crate::condition::standing_load_n;
use crate::quiet::{STANDARD_GRAVITY, Unrest};
use crate::sampled::{mean_sd, running_area};
use crate::stance::{Feet, Stance};

/// A stretch of a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Where it begins, on the recording's clock, seconds.
    pub from_s: f64,
    /// Where it ends, seconds.
    pub to_s: f64,
    /// What it is.
    pub kind: Kind,
}

/// What a piece is.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// A swing, from quiet stance to finish.
    Swing,
    /// Something else, and why it is not taken for a swing, in words.
    Other(String),
}

/// Length of a window judged for stillness, seconds.
const WINDOW_S: f64 = 0.2;
/// Step between windows, seconds.
const HOP_S: f64 = 0.02;
/// Unrest up to which a window may always be called still, and above which it never is.
const STILL: (f64, f64) = (0.005, 0.03);
/// Stillness shorter than this does not part two movements, seconds.
const PARTS_S: f64 = 0.25;
/// How much of the stillness before a swing belongs to it, seconds.
const BEFORE_S: f64 = 1.5;
/// How much of the stillness after it does, seconds.
const AFTER_S: f64 = 0.6;
/// The least turn away, N·m·s per kg of body mass.
const AWAY_NMS_PER_KG: f64 = 0.025;
/// The least turn through, from the furthest turn away to the furthest through, N·m·s per kg.
const THROUGH_NMS_PER_KG: f64 = 0.09;
/// The least change of a foot's load in a swing on plates without shear, in body weights.
const LOAD_BW: f64 = 0.30;

/// Cuts a recording into pieces, in order of time.
///
/// A window of 0.2 s is still when the spread of the forces and of the centre of pressure (see
/// [`quiet`](crate::quiet)) is at most 0.5 % of the weight, or twice that of the stillest twentieth of
/// the recording but never above 3 %; a quarter of a second of stillness parts two movements. A movement is a swing when the angular impulse about the mean centre of pressure
/// before it first reaches 0.025 N·m·s per kg one way and then changes by 0.09 N·m·s per kg or more
/// the other way (either way round, so that a wrongly set hand is found out later); without shear,
/// when a foot's load changes by 30 % of the weight. A swing takes up to 1.5 s of the stillness
/// before it and 0.6 s of that after it; between two swings the first takes at most half.
///
/// A recording with one movement that is a swing is one piece, the whole of it. One in which nobody
/// moves, or stands, is one piece that says so.
///
/// **Source:** ours. Published swings of skilled and less skilled players turn by several times these
/// limits: a quarter second at 50 N·m makes 0.16 N·m·s per kg for 80 kg.
pub fn cut(stance: &Stance) -> Vec<Piece> {
    let (Some(&start_s), Some(&end_s)) = (stance.t_s.first(), stance.t_s.last()) else {
        return Vec::new();
    };
    let whole = |kind| {
        vec![Piece {
            from_s: start_s,
            to_s: end_s,
            kind,
        }]
    };
    let total = stance.total_fz_n();
    let Some(standing_n) = standing_load_n(&total) else {
        return whole(Kind::Other("nobody stands on the plates".into()));
    };
    let states = states(stance, standing_n);
    let movements = movements(&states, stance, &total, standing_n);
    match movements.as_slice() {
        [] => return whole(Kind::Other("the player stands still throughout".into())),
        [only] if only.kind == Kind::Swing => return whole(Kind::Swing),
        _ => {}
    }
    let at = |i: usize| stance.t_s[i.min(stance.t_s.len() - 1)];
    let mut pieces: Vec<Piece> = Vec::with_capacity(movements.len());
    for (k, movement) in movements.iter().enumerate() {
        let (from, to) = (at(movement.first), at(movement.end.saturating_sub(1)));
        // of the stillness between two swings the first takes its share, the second the rest
        let share = |earlier: &Movement, later: &Movement| {
            let (begins, ends) = (at(earlier.end), at(later.first));
            begins + AFTER_S.min(0.5 * (ends - begins))
        };
        let before = match k.checked_sub(1).map(|j| &movements[j]) {
            Some(earlier) if earlier.kind == Kind::Swing => share(earlier, movement),
            Some(earlier) => at(earlier.end),
            None => start_s,
        };
        let after = match movements.get(k + 1) {
            Some(later) if later.kind == Kind::Swing => share(movement, later),
            Some(later) => at(later.first),
            None => end_s,
        };
        let (from_s, to_s) = match movement.kind {
            Kind::Swing => ((from - BEFORE_S).max(before), (to + AFTER_S).min(after)),
            Kind::Other(_) => (from, to),
        };
        pieces.push(Piece {
            from_s,
            to_s,
            kind: movement.kind.clone(),
        });
    }
    pieces
}

/// What a window shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Still,
    Moves,
    Empty,
}

/// One state a hop; a hop is still when some still window covers it.
fn states(stance: &Stance, standing_n: f64) -> Vec<(usize, State)> {
    let unrest = Unrest::new(stance);
    let window = ((WINDOW_S * stance.rate_hz).round() as usize).max(4);
    let hop = ((HOP_S * stance.rate_hz).round() as usize).max(1);
    let n = stance.t_s.len();
    let mut states: Vec<(usize, State)> = (0..n).step_by(hop).map(|i| (i, State::Moves)).collect();
    let covers = window.div_ceil(hop);
    let measured: Vec<Option<f64>> = states
        .iter()
        .take_while(|(first, _)| first + window <= n)
        .map(|(first, _)| unrest.of(*first, first + window, standing_n))
        .collect();
    let mut loaded: Vec<f64> = measured.iter().copied().flatten().collect();
    loaded.sort_by(f64::total_cmp);
    let calm = loaded.get(loaded.len() / 20).copied().unwrap_or(0.0);
    let still = (2.0 * calm).clamp(STILL.0, STILL.1);
    for (k, found) in measured.into_iter().enumerate() {
        let first = states[k].0;
        let state = match found {
            None => State::Empty,
            Some(unrest) if unrest <= still => State::Still,
            Some(_) => continue,
        };
        for (at, covered) in states.iter_mut().skip(k).take(covers) {
            // a still window counts for all of it, an empty one for what it does not share
            if *at < first + window && (state == State::Still || *covered == State::Moves) {
                *covered = state;
            }
        }
    }
    states
}

/// A movement: samples `first..end`.
struct Movement {
    first: usize,
    end: usize,
    kind: Kind,
}

/// Everything between stillnesses that moves, judged.
fn movements(
    states: &[(usize, State)],
    stance: &Stance,
    total: &[f64],
    standing_n: f64,
) -> Vec<Movement> {
    let n = stance.t_s.len();
    let hop_s = states
        .get(1)
        .map_or(HOP_S, |s| stance.t_s[s.0] - stance.t_s[0]);
    let parts = (PARTS_S / hop_s).round().max(1.0) as usize;
    // runs of stillness long enough to part, and runs of emptiness
    let mut found: Vec<Movement> = Vec::new();
    let mut before = Before::Nothing;
    let mut open: Option<usize> = None;
    let mut k = 0;
    while k < states.len() {
        let state = states[k].1;
        let run = states[k..].iter().take_while(|s| s.1 == state).count();
        let first = states[k].0;
        let end = states.get(k + run).map_or(n, |s| s.0);
        let long = state == State::Still && (run >= parts || end == n || k == 0);
        if long {
            if let Some(from) = open.take() {
                let kind = judge(stance, total, standing_n, before, (from, first));
                found.push(Movement {
                    first: from,
                    end: first,
                    kind,
                });
            }
            before = Before::Quiet(first, end);
        } else if state == State::Moves && open.is_none() {
            open = Some(first);
        } else if state == State::Empty {
            // the movement that left the plates ends here, the one that comes begins at its end
            if let Some(from) = open.take() {
                let kind = judge(stance, total, standing_n, before, (from, first));
                found.push(Movement {
                    first: from,
                    end: first,
                    kind,
                });
            }
            before = Before::Empty;
        }
        k += run;
    }
    if let Some(from) = open {
        let kind = judge(stance, total, standing_n, before, (from, n));
        found.push(Movement {
            first: from,
            end: n,
            kind,
        });
    }
    // a hop or two of unrest is no movement
    let least = (0.08 / hop_s).ceil() as usize;
    let hop = states.get(1).map_or(1, |s| s.0);
    found.retain(|m| m.end - m.first >= least * hop);
    found
}

/// What comes before a movement.
#[derive(Debug, Clone, Copy)]
enum Before {
    /// The recording begins with it.
    Nothing,
    /// Nobody was on the plates.
    Empty,
    /// Stillness from one sample to another.
    Quiet(usize, usize),
}

/// What a movement is, from what it does and from what comes before it.
fn judge(
    stance: &Stance,
    total: &[f64],
    standing_n: f64,
    before: Before,
    (first, end): (usize, usize),
) -> Kind {
    let other = |why: String| Kind::Other(why);
    let quiet = match before {
        Before::Quiet(from, to) => (from, to),
        Before::Empty => return other("the player steps on".into()),
        Before::Nothing => {
            return other("the recording begins in it, without a quiet stance".into());
        }
    };
    let leaves = total[end - 1] < 0.6 * standing_n
        && total.get(end).is_none_or(|next| *next < 0.6 * standing_n);
    if leaves && !turn(stance, standing_n, quiet, (first, end)).is_some_and(Turn::is_swing) {
        return other("the player steps off".into());
    }
    match turn(stance, standing_n, quiet, (first, end)) {
        Some(turn) if turn.is_swing() => Kind::Swing,
        Some(turn) => other(turn.why_not()),
        None => {
            let change = load_change(stance, (first, end)) / standing_n;
            if change >= LOAD_BW {
                Kind::Swing
            } else {
                other(format!(
                    "a foot's load changes by {:.0} % of the weight only, where a swing takes {:.0} %",
                    100.0 * change,
                    100.0 * LOAD_BW
                ))
            }
        }
    }
}

/// How far a movement turns, N·m·s, and the player's mass, kg.
#[derive(Clone, Copy)]
struct Turn {
    away_nms: f64,
    through_nms: f64,
    mass_kg: f64,
}

impl Turn {
    fn is_swing(self) -> bool {
        self.away_nms >= AWAY_NMS_PER_KG * self.mass_kg
            && self.through_nms >= THROUGH_NMS_PER_KG * self.mass_kg
    }

    fn why_not(self) -> String {
        let Self {
            away_nms,
            through_nms,
            mass_kg,
        } = self;
        let needed = AWAY_NMS_PER_KG * mass_kg;
        if away_nms < needed {
            format!(
                "a small movement, such as a waggle or a step: it turns by {away_nms:.1} N·m·s, and a swing turns away by {needed:.1} at least"
            )
        } else if through_nms < 0.3 * away_nms {
            format!(
                "a change of stance or half a move: it turns by {away_nms:.1} N·m·s and hardly back"
            )
        } else {
            format!(
                "a half move: it turns away by {away_nms:.1} N·m·s and back by {through_nms:.1}, and a swing turns back by {:.1} at least",
                THROUGH_NMS_PER_KG * mass_kg
            )
        }
    }
}

/// The turn of a movement about the mean centre of pressure of the stillness before it; `None`
/// without shear.
fn turn(
    stance: &Stance,
    standing_n: f64,
    quiet: (usize, usize),
    (first, end): (usize, usize),
) -> Option<Turn> {
    let shear = stance.total_shear()?;
    let rest = quiet.0..quiet.1;
    let mean = |series: &[f64]| mean_sd(series[rest.clone()].iter().copied()).map(|m| m.0);
    let normal = mean(&stance.sum(|load| &load.normal_n))?;
    let t_m = mean(&stance.sum(|load| &load.cop_t_moment_nm))? / normal;
    let a_m = mean(&stance.sum(|load| &load.cop_a_moment_nm))? / normal;
    let about =
        |i: usize| shear.torque_about_origin_nm[i] - (a_m * shear.ft_n[i] - t_m * shear.fa_n[i]);
    let residue = rest.clone().map(about).sum::<f64>() / rest.len().max(1) as f64;
    let torque: Vec<f64> = (first..end).map(|i| about(i) - residue).collect();
    let turned = running_area(&stance.t_s[first..end], &torque);
    let mass_kg = standing_n / STANDARD_GRAVITY;
    let away = AWAY_NMS_PER_KG * mass_kg;
    // the first turn that counts decides which way is away
    let sign = match turned.iter().position(|l| l.abs() >= away) {
        Some(i) => turned[i].signum(),
        None => 1.0,
    };
    let mut furthest: f64 = 0.0;
    let mut through: f64 = 0.0;
    for l in turned.iter().map(|l| l * sign) {
        furthest = furthest.max(l);
        through = through.max(furthest - l);
    }
    let most = turned.iter().fold(0.0_f64, |m, l| m.max(l.abs()));
    Some(Turn {
        away_nms: if most < away { most } else { furthest },
        through_nms: through,
        mass_kg,
    })
}

/// Largest change of one foot's vertical force, N; of the total on a single plate.
fn load_change(stance: &Stance, (first, end): (usize, usize)) -> f64 {
    let range = |series: &[f64]| {
        let (lo, hi) = series[first..end]
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                (lo.min(*v), hi.max(*v))
            });
        hi - lo
    };
    match &stance.feet {
        Feet::Two { lead, trail } => range(&lead.fz_n).max(range(&trail.fz_n)),
        Feet::Both(both) => range(&both.fz_n),
    }
}
