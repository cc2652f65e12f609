//! Events in an order that no swing has.

use footing_core::events::Events;
use footing_core::note::{Level, Note};
use footing_core::printed::fixed;
use footing_core::recording::EventKind;

/// One note for each pair of neighbours that stands the wrong way round.
pub(super) fn notes(events: &Events) -> Vec<Note> {
    let in_order = [EventKind::Takeaway, EventKind::Top, EventKind::Impact];
    let times: Vec<(EventKind, f64)> = in_order
        .into_iter()
        .filter_map(|k| events.time(k).map(|t| (k, t)))
        .collect();
    let mut notes = Vec::new();
    for pair in times.windows(2) {
        if pair[0].1 >= pair[1].1 {
            notes.push(Note::new(
                "events-out-of-order",
                Level::Stop,
                format!(
                    "{} ({} s) does not come before {} ({} s): set one of them by hand.",
                    pair[0].0.label(),
                    fixed(pair[0].1, 3),
                    pair[1].0.label(),
                    fixed(pair[1].1, 3)
                ),
            ));
        }
    }
    notes
}
