//! The sentence that matters: the largest thing on the page.

use super::number;
use crate::analysis::{Analysis, Reference};

/// What this recording shows, in one plain true sentence, with "estimated" where it rests on an
/// estimate.
pub fn of_recording(analysis: &Analysis) -> String {
    let measure = |id: &str| analysis.measures.iter().find(|m| m.id == id);
    let Some(crossing) = measure("torque_zero_cross_s") else {
        return format!("{} is read; it holds no swing to speak of", analysis.file);
    };
    let rests = &crossing.estimated;
    let top = if rests.contains(&"top") {
        "the estimated top"
    } else {
        "the top"
    };
    let words = qualified(rests, analysis.about);
    match &crossing.value {
        Ok(seconds) if seconds.abs() < if rests.is_empty() { 0.0005 } else { 0.005 } => {
            format!("The ground starts turning the player back toward the target at {top}{words}")
        }
        Ok(seconds) => {
            let side = if *seconds < 0.0 { "before" } else { "after" };
            // resting on an estimate it is known to hundredths of a second at best
            let apart = if rests.is_empty() {
                number::span(seconds.abs())
            } else {
                format!(
                    "about {}",
                    number::span((seconds.abs() * 100.0).round() / 100.0)
                )
            };
            format!(
                "The ground starts turning the player back toward the target {apart} {side} {top}{words}"
            )
        }
        Err(_) if analysis.series.torque_nm.iter().all(Option::is_none) => without_torque(analysis),
        Err(reason) => format!("When the ground turns the player back is not known: {reason}"),
    }
}

/// What else that rests on, and whether it only describes.
fn qualified(estimated: &[&str], about: Reference) -> String {
    let others: Vec<&str> = estimated.iter().copied().filter(|e| *e != "top").collect();
    let rests = match others.join(" and ") {
        events if events.is_empty() => String::new(),
        events if others.len() == estimated.len() => format!(" (rests on estimated {events})"),
        events => format!(" (rests on estimated {events} too)"),
    };
    let describes = match about {
        Reference::CombinedCop => "; about the combined CoP that is descriptive only",
        _ => "",
    };
    format!("{rests}{describes}")
}

/// What forces show without torque, what more a person can have, and why there is no torque.
fn without_torque(analysis: &Analysis) -> String {
    let share = [
        ("top", "lead_share_at_top"),
        ("takeaway", "lead_share_at_takeaway"),
    ]
    .into_iter()
    .find_map(|(event, id)| {
        let measure = analysis.measures.iter().find(|m| m.id == id)?;
        let share = number::fixed(100.0 * measure.value.as_ref().ok()?, 0);
        let estimated = analysis
            .events
            .iter()
            .any(|e| e.kind.id() == event && e.source == "estimated");
        let word = if estimated { "estimated " } else { "" };
        Some(format!(
            "At the {word}{event} the lead foot carries {share} % of the load"
        ))
    });
    let why = no_torque(analysis);
    let read = match (share, why) {
        (Some(share), _) => share,
        (None, None) => "Vertical force is read".into(),
        (None, Some(_)) => "Force is read".into(),
    };
    let more = wait_for_events(analysis);
    let torque = match why {
        None => "these plates do not measure torque".into(),
        Some(why) => format!("torque is not known: {why}"),
    };
    format!("{read}{more}; {torque}")
}

/// Why plates that measure horizontal forces give no torque; `None` of plates that do not.
pub(super) fn no_torque(analysis: &Analysis) -> Option<&str> {
    let series = &analysis.series;
    if series.total.ft_n.is_empty() || series.torque_nm.iter().any(Option::is_some) {
        return None;
    }
    let lowest = analysis.measures.iter().find(|m| m.id == "torque_min_nm")?;
    lowest.value.as_ref().err().map(String::as_str)
}

/// Which events a person can place, and how many measures wait for nothing else.
fn wait_for_events(analysis: &Analysis) -> String {
    let why = analysis
        .measures
        .iter()
        .filter_map(|m| m.value.as_ref().err());
    let mut waiting = 0;
    let mut events: Vec<&str> = Vec::new();
    for (event, reason) in [
        ("takeaway", "takeaway is not known"),
        ("top", "the top is not known"),
        ("impact", "impact is not known"),
    ] {
        let count = why.clone().filter(|why| *why == reason).count();
        if count > 0 {
            events.push(event);
            waiting += count;
        }
    }
    let Some((last, others)) = events.split_last() else {
        return String::new();
    };
    let events = match others {
        [] => (*last).to_owned(),
        others => format!("{} and {last}", others.join(", ")),
    };
    let s = if waiting == 1 { "" } else { "s" };
    format!("; place {events} at the cursor to get {waiting} more measure{s}")
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;

    #[test]
    fn says_when_the_torque_turns_and_what_of_that_is_estimated() {
        let mut analysis = fixture::swing();
        assert_eq!(
            of_recording(&analysis),
            "The ground starts turning the player back toward the target about 250 ms before the estimated top"
        );
        let crossing = fixture::measure(&mut analysis, "torque_zero_cross_s");
        crossing.value = Ok(-0.2513);
        crossing.estimated = vec!["takeaway", "top", "impact"];
        assert!(of_recording(&analysis).ends_with(
            "about 250 ms before the estimated top (rests on estimated takeaway and impact too)"
        ));
        fixture::measure(&mut analysis, "torque_zero_cross_s").estimated = vec!["impact"];
        assert!(
            of_recording(&analysis)
                .ends_with("about 250 ms before the top (rests on estimated impact)")
        );
        let crossing = fixture::measure(&mut analysis, "torque_zero_cross_s");
        crossing.estimated.clear();
        crossing.value = Ok(0.0304);
        assert!(of_recording(&analysis).ends_with("target 30 ms after the top"));
        analysis.about = Reference::CombinedCop;
        assert!(
            of_recording(&analysis)
                .ends_with("30 ms after the top; about the combined CoP that is descriptive only")
        );
    }

    #[test]
    fn without_torque_it_begins_with_what_there_is_and_says_how_to_have_more() {
        let mut analysis = fixture::swing();
        analysis.series.torque_nm.fill(None);
        let absent = "the recording has no horizontal forces";
        fixture::measure(&mut analysis, "torque_zero_cross_s").value = Err(absent.into());
        for (id, event) in [
            ("lead_share_at_top", "the top"),
            ("cop_angle_at_arm_level_deg", "impact"),
        ] {
            fixture::measure(&mut analysis, id).value = Err(format!("{event} is not known"));
        }
        assert_eq!(
            of_recording(&analysis),
            "Vertical force is read; place top and impact at the cursor to get 2 more measures; these plates do not measure torque"
        );
    }

    #[test]
    fn plates_that_measure_torque_are_not_said_not_to() {
        let mut analysis = fixture::swing();
        analysis.series.torque_nm.fill(None);
        analysis.series.total.ft_n = vec![0.0; analysis.series.t_s.len()];
        let no_centre = "there is no quiet stance to find the stance centre in";
        for id in ["torque_min_nm", "torque_zero_cross_s", "impulse_net_nms"] {
            fixture::measure(&mut analysis, id).value = Err(no_centre.into());
        }
        assert_eq!(
            of_recording(&analysis),
            format!(
                "At the estimated top the lead foot carries 38 % of the load; torque is not known: {no_centre}"
            )
        );
        // Only what is not known is to be placed.
        let absent = |analysis: &mut Analysis, id, why: &str| {
            fixture::measure(analysis, id).value = Err(why.into());
        };
        absent(&mut analysis, "lead_share_at_top", "the top is not known");
        assert_eq!(
            of_recording(&analysis),
            format!(
                "Force is read; place top at the cursor to get 1 more measure; torque is not known: {no_centre}"
            )
        );
        absent(
            &mut analysis,
            "cop_angle_at_arm_level_deg",
            "takeaway is not known",
        );
        absent(&mut analysis, "impulse_net_nms", "impact is not known");
        assert!(
            of_recording(&analysis)
                .contains("; place takeaway, top and impact at the cursor to get 3 more measures;")
        );
    }

    #[test]
    fn says_why_when_it_is_not_known() {
        let mut analysis = fixture::swing();
        fixture::measure(&mut analysis, "torque_zero_cross_s").value =
            Err("torque does not return above zero before impact".into());
        assert!(
            of_recording(&analysis).ends_with("torque does not return above zero before impact")
        );
        analysis.series.torque_nm.fill(None);
        assert_eq!(
            of_recording(&analysis),
            "At the estimated top the lead foot carries 38 % of the load; these plates do not measure torque"
        );
    }
}
