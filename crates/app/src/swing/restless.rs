//! What a recording without quiet stance gives all the same, and why it has none.

use footing_core::condition;
use footing_core::events::{Event, Events, Source, Told, stated};
use footing_core::note::{Level, Note};
use footing_core::printed::fixed;
use footing_core::quiet::{self, AddressPlaces, Quiet, SHORTEST_S, STANDARD_GRAVITY};
use footing_core::recording::EventKind;
use footing_core::stance::Stance;
use footing_core::torque;

use super::{Swing, address_ends, moving_reference, order};
use crate::analysis::Settings;

/// Events that are told, and curves about a reference that needs no quiet stance; the stance centre too where a person
/// says by when the address has ended and stands on the plates before that.
pub(super) fn read(
    stance: &Stance,
    told: Told<'_>,
    settings: &Settings,
    notes: &mut Vec<Note>,
) -> Swing {
    let mut events = Events::default();
    for kind in EventKind::ALL {
        match stated(kind, told, &stance.t_s) {
            Some(event) => events.found.push(event),
            None => {
                let unknown = "there is no quiet stance before the swing";
                events.missing.push((kind, unknown.into()));
            }
        }
    }
    let weight_n = settings.mass_kg.unwrap_or(0.0) * STANDARD_GRAVITY;
    let threshold = settings
        .load_threshold_n
        .unwrap_or_else(|| condition::default_load_threshold_n(weight_n));
    let end = address_ends(stance, told);
    let by_hand = end
        .as_ref()
        .filter(|e| matches!(e.source, Source::Given | Source::Film))
        .and_then(|e| {
            let stretch = quiet::last_before(stance, e.t_s)?;
            Some((stretch, quiet::address_places(stance, &stretch, threshold)?))
        });
    notes.push(note(stance, settings, end, by_hand.as_ref()));
    notes.extend(order::notes(&events));
    notes.extend(moving_reference(settings));
    let places = by_hand.map(|(_, places)| places);
    Swing {
        quiet: None,
        curves: torque::curves(stance, settings.about, places.as_ref(), None, threshold),
        places,
        load_threshold_n: threshold,
        events,
        mass_kg: settings.mass_kg.map(|m| (m, None)),
    }
}

fn note(
    stance: &Stance,
    settings: &Settings,
    end: Option<Event>,
    by_hand: Option<&(Quiet, AddressPlaces)>,
) -> Note {
    let mass = match settings.mass_kg {
        Some(_) => "",
        None => "mass, ",
    };
    let absent = match by_hand {
        None => format!("{mass}stance centre and everything that rests on them are absent"),
        Some((stretch, _)) => format!(
            "the stance centre is where the feet press on average from {} to {} s, though they move there; {mass}centre of mass and everything that rests on them are absent",
            fixed(stretch.from_s, 2),
            fixed(stretch.to_s, 2)
        ),
    };
    let unweighed = match (settings.mass_kg, settings.load_threshold_n) {
        (None, None) => " Body weight is not known: a foot counts as loaded from 30 N on.",
        _ => "",
    };
    let text = if condition::standing_load_n(&stance.total_fz_n()).is_none() {
        format!(
            "Nobody stands on the plates: {absent}. Check which columns are the vertical forces, and in which unit."
        )
    } else {
        let again = "Record again, and let the player stand still for a second before takeaway; a cut-off that lets less noise through may find the stillness too.";
        let before = |end: &Event| end.t_s - stance.t_s.first().copied().unwrap_or(end.t_s);
        match end {
            Some(end) if before(&end) < SHORTEST_S => format!(
                "Only {} s of the recording lie before {} ({} s), too short a time to stand still in: {absent}.{unweighed} Set it where it belongs; or record again, from a second before takeaway.",
                fixed(before(&end), 2),
                end.kind.label(),
                fixed(end.t_s, 3)
            ),
            Some(end) => format!(
                "The player never stands still before {} ({} s): {absent}.{unweighed} {again}",
                end.kind.label(),
                fixed(end.t_s, 3)
            ),
            None => format!(
                "The player never stands still for half a second before the swing: {absent}.{unweighed} {again}"
            ),
        }
    };
    Note::new("no-quiet-stance", Level::Warn, text)
}
