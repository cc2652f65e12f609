//! Events of a swing: given by a person, named by the file, or estimated from force.
//!
//! No published method finds takeaway, top or impact from force plates alone with a known error;
//! the estimates here are ours, each carries an uncertainty and says how it was made. Their
//! errors on simulated swings are listed in `EVENT_ERRORS.md` beside this crate.

use crate::printed::fixed;
use crate::quiet::Quiet;
use crate::recording::{EventKind, Mark};
use crate::sampled::{Line, mean_sd, running_area, upward_crossings};
use crate::stance::Stance;

mod takeaway;

use takeaway::takeaway;

/// Where an event comes from, in order of trust.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// A person's hand.
    Given,
    /// A person, from a film of the swing.
    Film,
    /// The file: its event group, a marker or trigger column.
    File,
    /// Computed from force.
    Estimated,
}

impl Source {
    /// The word used in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Film => "film",
            Self::File => "file",
            Self::Estimated => "estimated",
        }
    }
}

/// One event.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Which.
    pub kind: EventKind,
    /// When, on the recording's clock, seconds.
    pub t_s: f64,
    /// Who says so.
    pub source: Source,
    /// Half-width of the uncertainty, seconds. An estimate's holds about 95 of 100 simulated swings
    /// (`EVENT_ERRORS.md`) unless its own words say that it is assumed.
    pub uncertainty_s: f64,
    /// How it was found, one sentence.
    pub how: String,
}

/// The events that could be had, in the order of a swing, and why others could not.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Events {
    /// Present events.
    pub found: Vec<Event>,
    /// Missing events and the reason.
    pub missing: Vec<(EventKind, String)>,
}

impl Events {
    /// One event.
    pub fn get(&self, kind: EventKind) -> Option<&Event> {
        self.found.iter().find(|e| e.kind == kind)
    }

    /// Its time.
    pub fn time(&self, kind: EventKind) -> Option<f64> {
        self.get(kind).map(|e| e.t_s)
    }
}

/// An event that a person read off a film of the swing.
///
/// A film shows an instant no better than its frames: the instant lies within half a frame of the
/// one that shows it, and the film lies on the recording's clock only as well as it was lined up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filmed {
    /// Which event.
    pub kind: EventKind,
    /// When, on the recording's clock, seconds.
    pub t_s: f64,
    /// Half-width of the uncertainty, seconds: half a frame and that of the shared instant.
    pub uncertainty_s: f64,
    /// Frames a second at which it was filmed.
    pub frames_per_s: f64,
}

/// What is said about the events of a recording, in the order in which it is believed.
#[derive(Debug, Clone, Copy, Default)]
pub struct Told<'a> {
    /// Set by hand: which, and when on the recording's clock, seconds.
    pub given: &'a [(EventKind, f64)],
    /// Read off a film.
    pub filmed: &'a [Filmed],
    /// The file's own marks; the first of a kind is believed.
    pub marks: &'a [Mark],
}

/// What a person or the file says about an event. Instants outside the recording are not believed.
pub fn stated(kind: EventKind, told: Told<'_>, t_s: &[f64]) -> Option<Event> {
    let inside =
        |t: f64| matches!((t_s.first(), t_s.last()), (Some(a), Some(b)) if *a <= t && t <= *b);
    let by_hand = told.given.iter().find(|(k, t)| *k == kind && inside(*t));
    if let Some((_, t)) = by_hand {
        return Some(Event {
            kind,
            t_s: *t,
            source: Source::Given,
            uncertainty_s: 0.0,
            how: "set by hand".into(),
        });
    }
    let on_film = told.filmed.iter().find(|f| f.kind == kind && inside(f.t_s));
    if let Some(film) = on_film {
        return Some(Event {
            kind,
            t_s: film.t_s,
            source: Source::Film,
            uncertainty_s: film.uncertainty_s,
            how: format!(
                "set from film, {} frames a second",
                (film.frames_per_s * 100.0).round() / 100.0
            ),
        });
    }
    told.marks
        .iter()
        .find(|m| m.event == Some(kind) && inside(m.t_s))
        .map(|mark| Event {
            kind,
            t_s: mark.t_s,
            source: Source::File,
            uncertainty_s: mark.uncertainty_s,
            how: format!("the file's own \"{}\"", mark.label),
        })
}

/// A momentum reversal, unless impact has come by then.
fn before(reversal: Event, impact: Option<&Event>) -> Result<Event, String> {
    match impact {
        Some(impact) if impact.t_s <= reversal.t_s => {
            Err("the turn away from the target is not stopped before impact".into())
        }
        _ => Ok(reversal),
    }
}

/// What the estimates need besides the stance.
#[derive(Debug, Clone, Copy)]
pub struct Evidence<'a> {
    /// The stance, conditioned.
    pub stance: &'a Stance,
    /// Quiet stance.
    pub quiet: &'a Quiet,
    /// Torque about the centre of mass, N·m; `None` without shear or mass.
    pub torque_about_com_nm: Option<&'a [f64]>,
}

/// Finds every event: stated ones first, the rest estimated.
pub fn find(evidence: Evidence<'_>, told: Told<'_>) -> Events {
    let t_s = &evidence.stance.t_s;
    let mut events = Events::default();
    let mut settle = |kind: EventKind, estimate: Result<Event, String>| {
        let event = stated(kind, told, t_s).map_or(estimate, Ok);
        match event {
            Ok(event) => {
                let time = event.t_s;
                events.found.push(event);
                Some(time)
            }
            Err(reason) => {
                events.missing.push((kind, reason));
                None
            }
        }
    };
    let departure = stated(EventKind::Takeaway, told, t_s).map_or_else(|| takeaway(evidence), Ok);
    settle(
        EventKind::Address,
        Ok(address(evidence.quiet, departure.as_ref().ok())),
    );
    let takeaway = settle(EventKind::Takeaway, departure);
    settle(
        EventKind::ArmLevel,
        Err("force does not show when the lead arm is level: set it by hand or from film".into()),
    );
    let reversal = takeaway
        .ok_or_else(|| "takeaway is not known".to_owned())
        .and_then(|t| momentum_reversal(evidence, t))
        .and_then(|event| before(event, stated(EventKind::Impact, told, t_s).as_ref()));
    let top = settle(
        EventKind::Top,
        reversal.clone().map(|event| Event {
            kind: EventKind::Top,
            uncertainty_s: event.uncertainty_s + CLUB_AND_BODY_S,
            how: format!(
                "{}; stands in for the top of the club's path, ± 20 ms of that assumed",
                event.how
            ),
            ..event
        }),
    );
    let impact_estimate = match (takeaway, top) {
        (Some(takeaway), Some(top)) => Ok(impact_candidate(evidence, takeaway, top)),
        _ => Err("force alone does not show impact, and without the top not even a candidate: set it by hand, from film or a trigger column".into()),
    };
    let impact = stated(EventKind::Impact, told, t_s).or(impact_estimate.clone().ok());
    settle(
        EventKind::Transition,
        reversal.and_then(|event| before(event, impact.as_ref())),
    );
    let impact = settle(EventKind::Impact, impact_estimate);
    settle(
        EventKind::Finish,
        impact
            .ok_or_else(|| "impact is not known".to_owned())
            .and_then(|t| finish(evidence, t)),
    );
    events
}

/// Address: the end of quiet stance.
///
/// The player may have stood still until the takeaway: the uncertainty is the time between the two
/// and that of the takeaway, but no less than the 20 ms by which windows of quiet stance are moved.
/// A movement of more than 0.1 s would have ended the window, so no more of the time between counts.
fn address(quiet: &Quiet, takeaway: Option<&Event>) -> Event {
    const STEP_S: f64 = 0.02;
    const MOST_BETWEEN_S: f64 = 0.1;
    let uncertainty_s = takeaway.map_or(MOST_BETWEEN_S, |event| {
        let between = (event.t_s - quiet.to_s).clamp(0.0, MOST_BETWEEN_S);
        (between + event.uncertainty_s).max(STEP_S)
    });
    Event {
        kind: EventKind::Address,
        t_s: quiet.to_s,
        source: Source::Estimated,
        uncertainty_s,
        how: format!(
            "end of quiet stance ({}–{} s)",
            fixed(quiet.from_s, 2),
            fixed(quiet.to_s, 2)
        ),
    }
}

/// Club and body do not stop together: what the top of the club's path may differ from momentum
/// reversal by, seconds. Assumed.
const CLUB_AND_BODY_S: f64 = 0.02;

/// Momentum reversal: the running integral of the torque about the centre of mass, from takeaway,
/// has been negative and returns to zero: body and club together have stopped turning away.
///
/// ```text
/// L(t) = ∫ (T_com − T̄_quiet) dt from takeaway      L(t_reversal) = 0 after L < −0.5 N·m·s
/// ```
/// The mean torque left in quiet stance is taken off for this estimate only. The uncertainty is
/// what an offset of 0.3 N·m plus half of what was taken off would do.
///
/// **Source:** ours, from ΔL = ∫T dt; the stand-in for the top that force alone allows.
fn momentum_reversal(evidence: Evidence<'_>, takeaway: f64) -> Result<Event, String> {
    const TURNED_AWAY_NMS: f64 = -0.5;
    const LONGEST_S: f64 = 3.0;
    let torque = evidence
        .torque_about_com_nm
        .ok_or("momentum reversal needs horizontal forces and body mass")?;
    let quiet = evidence.quiet;
    let t_s = &evidence.stance.t_s;
    let (residue, _) =
        mean_sd(torque[quiet.first..quiet.end].iter().copied()).ok_or("quiet stance is empty")?;
    let level: Vec<f64> = torque.iter().map(|t| t - residue).collect();
    let last = t_s.last().copied().unwrap_or(takeaway);
    let corners = Line::new(t_s, &level)
        .window(takeaway, last.min(takeaway + LONGEST_S))
        .ok_or("there is nothing after takeaway")?;
    let times: Vec<f64> = corners.iter().map(|c| c.0).collect();
    let values: Vec<f64> = corners.iter().map(|c| c.1).collect();
    let momentum = running_area(&times, &values);
    let turned = momentum
        .iter()
        .position(|l| *l < TURNED_AWAY_NMS)
        .ok_or("the player never turns away by as much as 0.5 N·m·s")?;
    let path: Vec<(f64, f64)> = times
        .iter()
        .copied()
        .zip(momentum.iter().copied())
        .skip(turned)
        .collect();
    let t = upward_crossings(&path)
        .first()
        .copied()
        .ok_or("the turn away from the target is not stopped within 3 s")?;
    let slope = Line::new(&times, &values)
        .at(t)
        .map_or(f64::INFINITY, |v| v.abs().max(1.0));
    let doubt_nm = 0.3 + 0.5 * residue.abs();
    Ok(Event {
        kind: EventKind::Transition,
        t_s: t,
        source: Source::Estimated,
        uncertainty_s: (doubt_nm * (t - takeaway) / slope).max(0.005),
        how: "momentum reversal: the angular impulse about the centre of mass since takeaway returns to zero".into(),
    })
}

/// Impact candidate: where the torque about the centre of mass, after its peak that follows the
/// top, falls back to zero (the body turns fastest), kept between 0.18 and 0.45 s after the top;
/// a third of the backswing after the top where that is not found.
///
/// Force alone does not show impact: the uncertainty of 50 ms is assumed, not measured.
///
/// **Source:** ours; backswing to downswing about 3 : 1 after Grober RD, Cholewicki J, "Towards a
/// biomechanical understanding of tempo in the golf swing" (preprint).
fn impact_candidate(evidence: Evidence<'_>, takeaway: f64, top: f64) -> Event {
    const EARLIEST_S: f64 = 0.18;
    const LATEST_S: f64 = 0.45;
    let t_s = &evidence.stance.t_s;
    let last = t_s.last().copied().unwrap_or(top);
    let falls = evidence.torque_about_com_nm.and_then(|torque| {
        let corners = Line::new(t_s, torque).window(top, last.min(top + 0.7))?;
        let peak = crate::sampled::highest(&corners)?;
        let after: Vec<(f64, f64)> = corners
            .iter()
            .filter(|c| c.0 >= peak.0)
            .map(|c| (c.0, -c.1))
            .collect();
        upward_crossings(&after).first().copied()
    });
    let (t, how) = match falls {
        Some(t) => (
            t.clamp(top + EARLIEST_S, top + LATEST_S),
            "candidate only: where the torque falls back to zero after its peak",
        ),
        None => (
            top + ((top - takeaway) / 3.0).clamp(EARLIEST_S, LATEST_S),
            "candidate only: a third of the backswing after the top",
        ),
    };
    Event {
        kind: EventKind::Impact,
        t_s: t.min(last),
        source: Source::Estimated,
        uncertainty_s: 0.05,
        how: format!("{how}; force alone does not show impact, and ± 50 ms are assumed"),
    }
}

/// Finish: start of the first 0.3 s after impact that is nearly as quiet as the address
/// (see [`quiet`](crate::quiet)). The last of the movement is too small to see: the uncertainty of
/// 0.4 s is assumed.
///
/// **Source:** ours.
fn finish(evidence: Evidence<'_>, impact: f64) -> Result<Event, String> {
    let start = crate::quiet::first_still_s(evidence.stance, impact, evidence.quiet)
        .ok_or("the player is not still again before the recording ends")?;
    Ok(Event {
        kind: EventKind::Finish,
        t_s: start,
        source: Source::Estimated,
        uncertainty_s: 0.4,
        how: "start of the first 0.3 s of stillness after impact; ± 0.4 s are assumed".into(),
    })
}
