//! The sentence that matters: the largest thing on the page.

use super::number;
use crate::analysis::Analysis;

/// What this recording shows, in one plain true sentence, with "estimated" where it rests on an
/// estimate.
pub fn of_recording(analysis: &Analysis) -> String {
    let measure = |id: &str| analysis.measures.iter().find(|m| m.id == id);
    let Some(crossing) = measure("torque_zero_cross_s") else {
        return format!("{} is read; it holds no swing to speak of", analysis.file);
    };
    let top = if crossing.estimated.contains(&"top") {
        "the estimated top"
    } else {
        "the top"
    };
    match &crossing.value {
        Ok(seconds) if seconds.abs() < 0.0005 => {
            format!("The ground starts turning the player back toward the target at {top}")
        }
        Ok(seconds) => {
            let side = if *seconds < 0.0 { "before" } else { "after" };
            format!(
                "The ground starts turning the player back toward the target {} {side} {top}",
                number::span(seconds.abs())
            )
        }
        Err(_) if analysis.series.torque_nm.iter().all(Option::is_none) => {
            let share = measure("lead_share_at_top").or_else(|| measure("lead_share_top"));
            match share.and_then(|m| m.value.as_ref().ok()) {
                Some(share) => format!(
                    "At {} the lead foot carries {} % of the load; the torque is not measured by these plates",
                    if share_is_estimated(analysis) {
                        "the estimated top"
                    } else {
                        "the top"
                    },
                    number::fixed(share * 100.0, 0)
                ),
                None => {
                    "These plates do not measure what turns the player: there is no torque to read"
                        .into()
                }
            }
        }
        Err(reason) => format!("When the ground turns the player back is not known: {reason}"),
    }
}

fn share_is_estimated(analysis: &Analysis) -> bool {
    analysis
        .events
        .iter()
        .any(|e| e.kind.id() == "top" && e.source == "estimated")
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;

    #[test]
    fn says_when_the_torque_turns_and_whether_the_top_is_estimated() {
        let mut analysis = fixture::swing();
        assert_eq!(
            of_recording(&analysis),
            "The ground starts turning the player back toward the target 250 ms before the estimated top"
        );
        fixture::measure(&mut analysis, "torque_zero_cross_s").estimated = vec!["impact"];
        assert!(of_recording(&analysis).ends_with("250 ms before the top"));
        fixture::measure(&mut analysis, "torque_zero_cross_s").value = Ok(0.03);
        assert!(of_recording(&analysis).ends_with("30 ms after the top"));
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
        assert!(of_recording(&analysis).contains("38 % of the load"));
    }
}
