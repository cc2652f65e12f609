//! Events in an order that no swing has.

use footing_core::events::{Event, Events, Source};
use footing_core::note::{Level, Note};
use footing_core::printed::fixed;
use footing_core::recording::EventKind::{
    self, Address, ArmLevel, Finish, Impact, Takeaway, Top, Transition,
};

/// Events that follow one another. Body and club need not stop together: which of top and transition
/// comes first is open.
const ORDERS: [&[EventKind]; 2] = [
    &[Address, Takeaway, ArmLevel, Top, Impact, Finish],
    &[Takeaway, Transition, Impact],
];

/// One note for each pair of neighbours that stands the wrong way round: a stop where measures are read
/// at both.
pub(super) fn notes(events: &Events) -> Vec<Note> {
    let mut notes = Vec::new();
    for order in ORDERS {
        let found: Vec<&Event> = order.iter().filter_map(|k| events.get(*k)).collect();
        for pair in found.windows(2) {
            let (first, next) = (pair[0], pair[1]);
            // The address may last until takeaway.
            let fits = first.t_s < next.t_s || (first.kind == Address && first.t_s == next.t_s);
            // Takeaway and impact have been told as neighbours in the other order.
            let told = order.len() == 3 && ![first.kind, next.kind].contains(&Transition);
            // Quiet stance is looked for again until it ends by an estimated takeaway, or nearly so.
            let estimates = [first, next].iter().all(|e| e.source == Source::Estimated);
            if fits || told || (first.kind == Address && estimates) {
                continue;
            }
            let unread = |kind| matches!(kind, Address | Transition | Finish);
            let level = if unread(first.kind) || unread(next.kind) {
                Level::Warn
            } else {
                Level::Stop
            };
            notes.push(Note::new(
                "events-out-of-order",
                level,
                format!(
                    "{} ({} s) does not come before {} ({} s): set one of them by hand.",
                    first.kind.label(),
                    fixed(first.t_s, 3),
                    next.kind.label(),
                    fixed(next.t_s, 3)
                ),
            ));
        }
    }
    notes
}
