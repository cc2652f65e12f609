//! The steps of [`analyse`](crate::analyse) between a stance and what is shown.

mod order;
mod restless;

use crate::analysis::{Analysis, Event, FootSeries, Measure, Note, PlateSummary, Series, Settings};
use footing_core::condition;
use footing_core::cut::{Kind, Piece, Survey};
use footing_core::events::{self, Events, Evidence, Source};
use footing_core::frame::PlayerFrame;
use footing_core::geometry::Vec3;
use footing_core::measures::{self, Context, Instants, Spec, Value};
use footing_core::note::{Level, Note as CoreNote};
use footing_core::printed::fixed;
use footing_core::quality;
use footing_core::quiet::{self, AddressPlaces, Quiet};
use footing_core::recording::{EventKind, FootRole, Recording};
use footing_core::stance::{Feet, FootLoad, NoStance, Stance, Standing};
use footing_core::torque::{self, Curves, FootCurves, Reference};
use footing_formats::{Loaded, Problem};

/// What is known about the swing in a stance.
pub(crate) struct Swing {
    pub quiet: Option<Quiet>,
    pub places: Option<AddressPlaces>,
    pub curves: Curves,
    pub load_threshold_n: f64,
    pub events: Events,
    pub mass_kg: Option<(f64, Option<f64>)>,
}

/// How often the end of quiet stance and the takeaway are made to agree.
const MOST_REFINEMENTS: usize = 4;

/// How far impact is moved to show what an estimated impact is worth, seconds.
const IMPACT_SHIFT_S: f64 = 0.02;

pub(crate) fn target_azimuth_rad(recording: &Recording, settings: &Settings) -> f64 {
    settings
        .target_azimuth_deg
        .map(f64::to_radians)
        .or(recording.target_azimuth_rad)
        .unwrap_or(0.0)
}

pub(crate) fn no_stance(name: &str, why: NoStance) -> Problem {
    Problem::new(name, why.what, why.expected, why.remedy)
}

/// What each plate read over the stretch that was zeroed on.
pub(crate) fn zeros(
    recording: &Recording,
    zeroed: Option<(f64, f64)>,
) -> Option<Vec<quality::PlateZero>> {
    zeroed.map(|stretch| quality::plate_zeros(recording, stretch))
}

pub(crate) fn reader_notes(
    loaded: &Loaded,
    settings: &Settings,
    zeros: Option<&[quality::PlateZero]>,
) -> Vec<CoreNote> {
    let mut notes = loaded.notes.clone();
    notes.extend(quality::recording(
        &loaded.recording,
        settings.mass_kg,
        zeros,
    ));
    notes
}

pub(crate) fn zero_note((from, to): (f64, f64)) -> CoreNote {
    CoreNote::new(
        "zeroed",
        Level::Note,
        format!(
            "The plates' offsets were taken from {} to {} s, where nobody stands on them.",
            fixed(from, 2),
            fixed(to, 2)
        ),
    )
}

/// Says when a recording holds no swing, or several, of which only one is measured.
pub(crate) fn held(survey: &Survey) -> Option<CoreNote> {
    const NAMED: usize = 2;
    let swings = survey.swings_s().count();
    if swings > 1 {
        return Some(CoreNote::new(
            "several-swings",
            Level::Warn,
            format!(
                "The recording holds {swings} swings, and only one of them is measured here. Cut it so that each swing is a recording of its own."
            ),
        ));
    }
    if swings == 1 || survey.undecided {
        return None;
    }
    let named = |piece: &Piece| match &piece.kind {
        Kind::Swing => None,
        Kind::Other(why) => Some(format!(
            "from {} to {} s, {why}",
            fixed(piece.from_s, 1),
            fixed(piece.to_s, 1)
        )),
    };
    let mut found: Vec<String> = survey.pieces.iter().filter_map(named).collect();
    let more = found.len().saturating_sub(NAMED);
    found.truncate(NAMED);
    if more > 0 {
        found.push(format!("and {more} more"));
    }
    Some(CoreNote::new(
        "no-swing",
        Level::Stop,
        format!(
            "No swing was found: {}. Record a whole swing, from quiet stance to finish; if this is one, count it by hand.",
            found.join("; ")
        ),
    ))
}

/// Reads quiet stance, reference, events and curves; takes the quiet residue off when asked.
pub(crate) fn read(
    stance: &mut Stance,
    recording: &Recording,
    zeros: Option<&[quality::PlateZero]>,
    settings: &Settings,
    notes: &mut Vec<CoreNote>,
) -> Swing {
    let limit = address_ends(stance, told(settings, recording)).map(|e| e.t_s);
    let first = address(stance, settings, limit);
    let Some((quiet, places, threshold)) = first else {
        return restless::read(stance, told(settings, recording), settings, notes);
    };
    let (mut quiet, mut places, mut threshold) = (quiet, places, threshold);
    let mut events = find_events(stance, &quiet, &places, threshold, settings, recording);
    // An estimated takeaway may fall inside the quiet stretch: then the stretch ends before it, and
    // the takeaway is looked for again from the cleaner baseline, until the two agree.
    for _ in 0..MOST_REFINEMENTS {
        let Some(takeaway) = events.time(EventKind::Takeaway).filter(|t| *t < quiet.to_s) else {
            break;
        };
        let Some(better) = address(stance, settings, Some(takeaway)) else {
            break;
        };
        (quiet, places, threshold) = better;
        events = find_events(stance, &quiet, &places, threshold, settings, recording);
    }
    let residue = quiet::residue(stance, &quiet, places.stance_centre_m);
    if let (true, Some(residue)) = (settings.zero_quiet, residue) {
        quiet::remove_residue(stance, residue, &places);
        events = find_events(stance, &quiet, &places, threshold, settings, recording);
    }
    notes.extend(order::notes(&events));
    notes.extend(condition::load_threshold_n(stance, &quiet, settings.load_threshold_n).1);
    let (mass, sd) = mass(&quiet, settings);
    let com = torque::com_path(stance, &quiet, &places, mass);
    let curves = torque::curves(
        stance,
        settings.about,
        Some(&places),
        com.as_ref(),
        threshold,
    );
    notes.extend(quality::swing(&quality::Evidence {
        recording,
        zeros,
        stance,
        quiet: &quiet,
        places: &places,
        curves: &curves,
        events: &events,
        typed_mass_kg: settings.mass_kg,
        residue,
        residue_removed: settings.zero_quiet,
    }));
    if let (Reference::Com, Some(residue), false) = (settings.about, residue, settings.zero_quiet) {
        let end_s = stance.t_s.last().copied().unwrap_or(quiet.to_s);
        let impact_s = events.time(EventKind::Impact);
        notes.push(torque::com_drift(&quiet, residue, mass, impact_s, end_s));
    }
    notes.extend(moving_reference(settings));
    Swing {
        quiet: Some(quiet),
        places: Some(places),
        curves,
        load_threshold_n: threshold,
        events,
        mass_kg: Some((mass, sd)),
    }
}

fn moving_reference(settings: &Settings) -> Option<CoreNote> {
    (settings.about == Reference::CombinedCop).then(|| {
        CoreNote::new(
            "descriptive-reference",
            Level::Note,
            "About the combined CoP the reference moves: torque is descriptive and its impulse is not a change of angular momentum.",
        )
    })
}

/// By when the address has ended, in the words of a person or the file.
fn address_ends(stance: &Stance, told: events::Told<'_>) -> Option<events::Event> {
    [EventKind::Takeaway, EventKind::Address]
        .into_iter()
        .find_map(|kind| events::stated(kind, told, &stance.t_s))
}

fn mass(quiet: &Quiet, settings: &Settings) -> (f64, Option<f64>) {
    let (weighed, sd) = quiet.body_mass_kg();
    settings.mass_kg.map_or((weighed, Some(sd)), |m| (m, None))
}

fn address(
    stance: &Stance,
    settings: &Settings,
    before_s: Option<f64>,
) -> Option<(Quiet, AddressPlaces, f64)> {
    let quiet = quiet::before_swing(stance, before_s)?;
    let (threshold, _) = condition::load_threshold_n(stance, &quiet, settings.load_threshold_n);
    let places = quiet::address_places(stance, &quiet, threshold)?;
    Some((quiet, places, threshold))
}

fn find_events(
    stance: &Stance,
    quiet: &Quiet,
    places: &AddressPlaces,
    threshold: f64,
    settings: &Settings,
    recording: &Recording,
) -> Events {
    let (mass, _) = mass(quiet, settings);
    let com = torque::com_path(stance, quiet, places, mass);
    let about_com = com.map(|com| {
        torque::curves(stance, Reference::Com, Some(places), Some(&com), threshold)
            .torque_nm
            .into_iter()
            .map(|t| t.unwrap_or(0.0))
            .collect::<Vec<f64>>()
    });
    events::find(
        Evidence {
            stance,
            quiet,
            torque_about_com_nm: about_com.as_deref(),
        },
        told(settings, recording),
    )
}

/// What the person and the file say about the events.
fn told<'a>(settings: &'a Settings, recording: &'a Recording) -> events::Told<'a> {
    events::Told {
        given: &settings.given,
        filmed: &settings.filmed,
        marks: &recording.marks,
    }
}

/// Every measure, with what it rests on and what an estimated impact is worth.
pub(crate) fn measures(stance: &Stance, swing: &Swing) -> Vec<Measure> {
    let instants = Instants::of(&swing.events);
    let compute = |instants: Instants| -> Vec<(&'static Spec, Value)> {
        measures::measure(&Context {
            stance,
            curves: &swing.curves,
            quiet: swing.quiet.as_ref(),
            places: swing.places.as_ref(),
            mass_kg: swing.mass_kg.map(|m| m.0),
            instants,
        })
    };
    let estimated = |kind: EventKind| {
        swing
            .events
            .get(kind)
            .is_some_and(|e| e.source == Source::Estimated)
    };
    let shifted = |by: f64| {
        compute(Instants {
            impact: instants.impact.map(|t| t + by),
            ..instants
        })
    };
    let shifts =
        estimated(EventKind::Impact).then(|| (shifted(-IMPACT_SHIFT_S), shifted(IMPACT_SHIFT_S)));
    compute(instants)
        .into_iter()
        .enumerate()
        .map(|(i, (spec, value))| {
            let impact_shift = shifts
                .as_ref()
                .filter(|_| spec.needs.contains(&EventKind::Impact) && value.is_ok())
                .map(|(early, late)| (early[i].1.clone().ok(), late[i].1.clone().ok()));
            Measure {
                id: spec.id,
                label: spec.label,
                unit: spec.unit,
                value,
                estimated: spec
                    .needs
                    .iter()
                    .filter(|k| estimated(**k))
                    .map(|k| k.id())
                    .collect(),
                impact_shift,
            }
        })
        .collect()
}

/// Puts everything into the shape that faces show.
#[allow(clippy::too_many_arguments)] // the last line of a chain: each argument is one step's result
pub(crate) fn analysis(
    name: &str,
    loaded: &Loaded,
    settings: &Settings,
    standing: &Standing,
    low_pass_hz: Option<f64>,
    swing: Swing,
    measures: Vec<Measure>,
    notes: Vec<CoreNote>,
) -> Analysis {
    let t_s = &loaded.recording.t_s;
    let centre = swing
        .places
        .as_ref()
        .map_or((0.0, 0.0), |p| p.stance_centre_m);
    Analysis {
        file: name.to_owned(),
        format: loaded.format.clone(),
        rate_hz: loaded.recording.rate_hz,
        duration_s: t_s.last().unwrap_or(&0.0) - t_s.first().unwrap_or(&0.0),
        handed: settings.handed,
        about: settings.about,
        low_pass_hz,
        load_threshold_n: Some(swing.load_threshold_n),
        mass_kg: swing.mass_kg,
        stance_centre_known: swing.places.is_some(),
        quiet_s: swing.quiet.as_ref().map(|q| (q.from_s, q.to_s)),
        plates: plates(loaded, standing, centre),
        series: series(&standing.stance, &swing.curves, centre),
        events: swing
            .events
            .found
            .into_iter()
            .map(|e| Event {
                kind: e.kind,
                t_s: e.t_s,
                source: e.source.name(),
                uncertainty_s: e.uncertainty_s,
                how: e.how,
            })
            .collect(),
        missing_events: swing.events.missing,
        measures,
        notes: notes
            .into_iter()
            .map(|n| Note {
                code: n.code,
                level: n.level.name(),
                text: n.text,
            })
            .collect(),
    }
}

fn plates(loaded: &Loaded, standing: &Standing, centre: (f64, f64)) -> Vec<PlateSummary> {
    let frame = standing.stance.frame;
    loaded
        .recording
        .plates
        .iter()
        .zip(&standing.roles)
        .map(|(plate, role)| PlateSummary {
            label: plate.label.clone(),
            kind: plate.kind.name(),
            foot: match role {
                FootRole::Lead => "lead",
                FootRole::Trail => "trail",
                FootRole::Both => "both",
                FootRole::Unassigned => "unused",
            },
            peak_fz_n: plate.fz_n.iter().fold(0.0, |best, f| f.abs().max(best)),
            outline_m: plate
                .corners_in_lab_m
                .map(|corners| corners.map(|c| in_player(frame, c, centre))),
        })
        .collect()
}

fn in_player(frame: PlayerFrame, point: Vec3, centre: (f64, f64)) -> (f64, f64) {
    (frame.t(point) - centre.0, frame.a(point) - centre.1)
}

fn series(stance: &Stance, curves: &Curves, centre: (f64, f64)) -> Series {
    let n = stance.t_s.len();
    let foot = |load: &FootLoad, curves: Option<&FootCurves>| {
        let shift = |cop: Option<&Vec<Option<f64>>>, by: f64| match cop {
            Some(cop) => cop.iter().map(|c| c.map(|c| c - by)).collect(),
            None => vec![None; n],
        };
        FootSeries {
            ft_n: load
                .shear
                .as_ref()
                .map_or_else(Vec::new, |s| s.ft_n.clone()),
            fa_n: load
                .shear
                .as_ref()
                .map_or_else(Vec::new, |s| s.fa_n.clone()),
            fz_n: load.fz_n.clone(),
            cop_t_m: shift(curves.map(|c| &c.cop_t_m), centre.0),
            cop_a_m: shift(curves.map(|c| &c.cop_a_m), centre.1),
            free_moment_nm: all_or_none(curves.map_or(&[], |c| &c.free_moment_nm), n),
        }
    };
    let (lead, trail) = match &stance.feet {
        Feet::Two { lead, trail } => (
            Some(foot(lead, curves.lead.as_ref())),
            Some(foot(trail, curves.trail.as_ref())),
        ),
        Feet::Both(_) => (None, None),
    };
    let shear = stance.total_shear();
    let combined = |pick: fn(&(f64, f64)) -> f64, by: f64| {
        let places = curves.combined_cop_m.iter();
        places.map(|p| p.as_ref().map(|p| pick(p) - by)).collect()
    };
    Series {
        t_s: stance.t_s.clone(),
        torque_nm: all_or_none(&curves.torque_nm, n),
        cop_angle_deg: all_or_none(&curves.cop_angle_deg, n),
        lead,
        trail,
        total: FootSeries {
            ft_n: shear.as_ref().map_or_else(Vec::new, |s| s.ft_n.clone()),
            fa_n: shear.map_or_else(Vec::new, |s| s.fa_n),
            fz_n: stance.total_fz_n(),
            cop_t_m: combined(|p| p.0, centre.0),
            cop_a_m: combined(|p| p.1, centre.1),
            free_moment_nm: all_or_none(&curves.combined_free_moment_nm, n),
        },
    }
}

/// A curve as it is, or absent throughout when there is none.
fn all_or_none(curve: &[Option<f64>], n: usize) -> Vec<Option<f64>> {
    if curve.is_empty() {
        vec![None; n]
    } else {
        curve.to_vec()
    }
}
