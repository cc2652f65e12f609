//! Events a file carries: the EVENT group and the header's short list.

use footing_core::recording::{EventKind, Mark};

use super::header::HeaderEvent;
use super::parameters::Parameters;

/// A file with more events than this is not a swing.
const MAX_EVENTS: usize = 4_096;

/// The marks of a file in time order, each as sure as half a frame.
///
/// EVENT:TIMES holds minutes and seconds per event, counted from frame 1 like the samples' clock.
/// EVENT:CONTEXTS holds each event's context as a text of its own. The group EVENT_CONTEXT is the list
/// those texts were chosen from, with icons and colours to draw them by: it places no event and no
/// event refers to it by number, so nothing in it is needed here, and a file that lacks it or lists
/// contexts no event uses reads the same.
///
/// **Source:** c3d.org user guide, EVENT:CONTEXTS and "The EVENT_CONTEXT group".
pub(super) fn read(
    parameters: &Parameters,
    header: &[HeaderEvent],
    uncertainty_s: f64,
) -> Vec<Mark> {
    let labels = parameters.strings("EVENT", "LABELS");
    let contexts = parameters.strings("EVENT", "CONTEXTS");
    let times = parameters.numbers("EVENT", "TIMES");
    let used = parameters
        .count("EVENT", "USED")
        .map_or(labels.len(), |n| usize::try_from(n).unwrap_or(usize::MAX));
    let mut marks: Vec<Mark> = times
        .chunks_exact(2)
        .take(used.min(MAX_EVENTS))
        .enumerate()
        .filter_map(|(i, time)| {
            let [minutes, seconds] = *time else {
                return None;
            };
            let label = labels.get(i).map_or("", String::as_str);
            let context = contexts.get(i).map_or("", String::as_str);
            Some(mark(
                label,
                context,
                minutes * 60.0 + seconds,
                uncertainty_s,
            ))
        })
        .collect();
    let listed_twice = |event: &HeaderEvent, marks: &[Mark]| {
        marks
            .iter()
            .any(|m| (m.t_s - event.t_s).abs() <= uncertainty_s)
    };
    for event in header {
        if !listed_twice(event, &marks) {
            marks.push(mark(&event.label, "", event.t_s, uncertainty_s));
        }
    }
    marks.retain(|m| m.t_s.is_finite());
    marks.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    marks
}

fn mark(label: &str, context: &str, t_s: f64, uncertainty_s: f64) -> Mark {
    let plain = context.is_empty() || context.eq_ignore_ascii_case("general");
    Mark {
        label: if plain {
            label.to_owned()
        } else {
            format!("{context} {label}")
        },
        event: kind(label),
        t_s,
        uncertainty_s,
    }
}

/// The swing event a label names, whatever its case and separators; four-character header
/// labels by their beginnings.
fn kind(label: &str) -> Option<EventKind> {
    let words: String = label
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect();
    Some(match words.as_str() {
        "address" | "addr" => EventKind::Address,
        "takeaway" | "take" => EventKind::Takeaway,
        "armlevel" | "armparallel" | "leadarmlevel" | "leadarmparallel" => EventKind::ArmLevel,
        "top" | "topofbackswing" | "topofswing" | "topofthebackswing" => EventKind::Top,
        "transition" | "tran" => EventKind::Transition,
        "impact" | "contact" | "ballcontact" | "ballimpact" | "impa" => EventKind::Impact,
        "finish" | "fini" => EventKind::Finish,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_in_any_dress() {
        for (label, expected) in [
            ("Address", Some(EventKind::Address)),
            ("TAKE AWAY", Some(EventKind::Takeaway)),
            ("take-away", Some(EventKind::Takeaway)),
            ("Lead Arm Parallel", Some(EventKind::ArmLevel)),
            ("Top of Backswing", Some(EventKind::Top)),
            ("transition", Some(EventKind::Transition)),
            ("Ball_Contact", Some(EventKind::Impact)),
            ("Finish", Some(EventKind::Finish)),
            ("Foot Strike", None),
            ("", None),
        ] {
            assert_eq!(kind(label), expected, "{label}");
        }
    }
}
