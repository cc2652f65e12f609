//! Cuts a long recording into swings, and says what the other movements are.
//!
//! The recording is first parted by stillness: whoever plays a ball stands still before and holds the
//! finish after. Each movement between two stillnesses is then judged by what a swing must do: turn
//! the body away, stop it, and turn it through faster than it went away.

mod turn;

use crate::condition::standing_load_n;
use crate::printed::fixed;
use crate::quiet::Unrest;
use crate::stance::{Feet, Stance};
use turn::{Turn, load_change, turn};

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
/// Turning back by a smaller share of the turn away is hardly turning back.
const HARDLY: f64 = 0.3;
/// The least change of a foot's load in a swing on plates without shear, in body weights.
const LOAD_BW: f64 = 0.30;

/// Cuts a recording into pieces, in order of time.
///
/// Up to three movements that are none by themselves, with no more than 0.6 s of stillness between them, are one swing
/// when they are one together: noise hides how slowly a swing begins and turns round.
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
    survey(stance).pieces
}

/// What a recording holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Survey {
    /// Its pieces, see [`cut`].
    pub pieces: Vec<Piece>,
    /// Whether a movement that was not taken for a swing may be one all the same: it has no stillness
    /// before it to be judged from, and turns like a swing; or there is neither shear nor a plate for
    /// each foot to judge it by.
    pub undecided: bool,
}

impl Survey {
    /// The swings, from and to, seconds.
    pub fn swings_s(&self) -> impl Iterator<Item = (f64, f64)> {
        let swings = self.pieces.iter().filter(|p| p.kind == Kind::Swing);
        swings.map(|p| (p.from_s, p.to_s))
    }

    /// Each other movement and why it is not taken for a swing, in words.
    pub fn others(&self) -> impl Iterator<Item = String> {
        self.pieces.iter().filter_map(|piece| match &piece.kind {
            Kind::Swing => None,
            Kind::Other(why) => Some(format!(
                "{} to {} s is no swing: {why}",
                fixed(piece.from_s, 1),
                fixed(piece.to_s, 1)
            )),
        })
    }
}

/// Cuts a recording, as [`cut`], and says how sure it is that what is no swing is none.
pub fn survey(stance: &Stance) -> Survey {
    let (Some(&start_s), Some(&end_s)) = (stance.t_s.first(), stance.t_s.last()) else {
        return Survey::default();
    };
    let whole = |kind| Survey {
        pieces: vec![Piece {
            from_s: start_s,
            to_s: end_s,
            kind,
        }],
        undecided: false,
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
    Survey {
        pieces,
        undecided: movements.iter().any(|m| m.undecided),
    }
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
    /// No swing as far as can be judged, which is not far.
    undecided: bool,
    before: Before,
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
    let judged = |before: Before, (first, end): (usize, usize)| {
        let kind = judge(stance, total, standing_n, before, (first, end));
        let undecided = kind != Kind::Swing && may_be_one(stance, standing_n, before, (first, end));
        Movement {
            first,
            end,
            kind,
            undecided,
            before,
        }
    };
    let mut k = 0;
    while k < states.len() {
        let state = states[k].1;
        let run = states[k..].iter().take_while(|s| s.1 == state).count();
        let first = states[k].0;
        let end = states.get(k + run).map_or(n, |s| s.0);
        let long = state == State::Still && (run >= parts || end == n || k == 0);
        if long {
            if let Some(from) = open.take() {
                found.push(judged(before, (from, first)));
            }
            before = Before::Quiet(first, end);
        } else if state == State::Moves && open.is_none() {
            open = Some(first);
        } else if state == State::Empty {
            // the movement that left the plates ends here, the one that comes begins at its end
            if let Some(from) = open.take() {
                found.push(judged(before, (from, first)));
            }
            before = Before::Empty;
        }
        k += run;
    }
    if let Some(from) = open {
        found.push(judged(before, (from, n)));
    }
    let mut found = rejoined(found, &stance.t_s, judged);
    // a hop or two of unrest is no movement
    let least = (0.08 / hop_s).ceil() as usize;
    let hop = states.get(1).map_or(1, |s| s.0);
    found.retain(|m| m.end - m.first >= least * hop);
    found
}

/// A stillness inside a movement: noise hides how slowly a player begins or turns round, seconds.
const INSIDE_S: f64 = 0.6;
/// How many movements noise may make of one.
const PARTS: usize = 3;

/// Movements that are no swing each, but one together, with next to no stillness between them.
fn rejoined(
    found: Vec<Movement>,
    t_s: &[f64],
    judged: impl Fn(Before, (usize, usize)) -> Movement,
) -> Vec<Movement> {
    let mut out = Vec::with_capacity(found.len());
    let mut i = 0;
    while i < found.len() {
        let near = |k: &usize| {
            let (earlier, later) = (&found[*k - 1], &found[*k]);
            later.kind != Kind::Swing
                && matches!(later.before, Before::Quiet(..))
                && t_s[later.first] - t_s[earlier.end - 1] <= INSIDE_S
        };
        let parts = match found[i].kind {
            Kind::Swing => 0,
            Kind::Other(_) => (i + 1..found.len())
                .take(PARTS - 1)
                .take_while(near)
                .count(),
        };
        let whole = (i + 1..=i + parts)
            .map(|last| {
                (
                    last,
                    judged(found[i].before, (found[i].first, found[last].end)),
                )
            })
            .find(|(_, whole)| whole.kind == Kind::Swing || whole.undecided);
        match whole {
            Some((last, whole)) => {
                out.push(whole);
                i = last + 1;
            }
            None => {
                let Movement {
                    first,
                    end,
                    ref kind,
                    undecided,
                    before,
                } = found[i];
                out.push(Movement {
                    first,
                    end,
                    kind: kind.clone(),
                    undecided,
                    before,
                });
                i += 1;
            }
        }
    }
    out
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
    let turned = turn(stance, standing_n, quiet, (first, end));
    if leaves && !turned.is_some_and(Turn::is_swing) {
        return other("the player steps off".into());
    }
    match turned {
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

/// Stepping on takes less; a movement that goes on for longer holds something else too, seconds.
const STEPPING_ON_S: f64 = 1.5;

/// Whether a movement that was not judged a swing may be one.
///
/// Where there is no stillness before it, the turn is taken about the movement's own mean centre of
/// pressure. On one plate for both feet the load alone decides nothing: it may stay near the weight.
fn may_be_one(
    stance: &Stance,
    standing_n: f64,
    before: Before,
    (first, end): (usize, usize),
) -> bool {
    match before {
        Before::Quiet(from, to) => match turn(stance, standing_n, (from, to), (first, end)) {
            // What turns so far one way alone is a swing of which noise hides the other half.
            Some(turn) => {
                turn.away_nms >= THROUGH_NMS_PER_KG * turn.mass_kg
                    && turn.through_nms < HARDLY * turn.away_nms
            }
            None => matches!(stance.feet, Feet::Both(_)),
        },
        Before::Empty if stance.t_s[end - 1] - stance.t_s[first] < STEPPING_ON_S => false,
        Before::Empty | Before::Nothing => {
            match turn(stance, standing_n, (first, end), (first, end)) {
                Some(turn) => turn.is_swing(),
                None => {
                    matches!(stance.feet, Feet::Both(_))
                        || load_change(stance, (first, end)) >= LOAD_BW * standing_n
                }
            }
        }
    }
}
