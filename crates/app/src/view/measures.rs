//! The table of measures.

use super::{number, sets};
use crate::analysis::{Analysis, Measure};

/// One row: a measure of one recording, and of the sets where there are some.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Stable name.
    pub id: &'static str,
    /// What a person reads.
    pub label: &'static str,
    /// Unit as printed; empty for fractions.
    pub unit: &'static str,
    /// The recording's value, formatted; `None` when it is absent.
    pub value: Option<String>,
    /// Why it is absent, else empty.
    pub absent: String,
    /// Which estimates it rests on, in words, else empty.
    pub estimated: String,
    /// What ±20 ms of impact would do, in words, else empty.
    pub impact_shift: String,
    /// An angle relative to its value at address, else empty.
    pub from_address: String,
    /// What set A has of it.
    pub a: OfSet,
    /// What set B has of it.
    pub b: OfSet,
}

/// What the swings of a set have of a measure; all empty where none has it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OfSet {
    /// Mean ± SD with the number of swings.
    pub mean: String,
    /// An angle's mean ± SD relative to its value at address; how many of the swings rest on estimates.
    pub below: String,
    /// Which estimates swings rest on, and what ±20 ms of impact would do to the mean, else empty.
    pub estimated: String,
}

/// The rows of a recording beside those of the sets.
pub fn table(selected: &Analysis, a: &[&Analysis], b: &[&Analysis]) -> Vec<Row> {
    selected
        .measures
        .iter()
        .map(|measure| Row {
            id: measure.id,
            label: measure.label,
            unit: measure.unit,
            value: measure
                .value
                .as_ref()
                .ok()
                .map(|v| number::fixed(*v, number::decimals_of(measure))),
            absent: measure.value.as_ref().err().cloned().unwrap_or_default(),
            estimated: estimated(measure),
            impact_shift: impact_shift(measure),
            from_address: (selected.from_address_deg(measure))
                .map_or_else(String::new, |deg| from_address(&[deg])),
            a: of_set(measure, a),
            b: of_set(measure, b),
        })
        .collect()
}

fn estimated(measure: &Measure) -> String {
    rests_on(&measure.estimated)
}

fn rests_on(events: &[&str]) -> String {
    if events.is_empty() {
        String::new()
    } else {
        format!(
            "estimated: rests on {}",
            events.join(" and ").replace('_', " ")
        )
    }
}

fn from_address(deg: &[f64]) -> String {
    let decimals = number::decimals("°");
    match sets::mean_sd(deg) {
        Some((mean, sd)) => format!(
            "{}{}° from address",
            number::signed(mean, decimals),
            sd.map_or_else(String::new, |sd| format!(
                "\u{a0}±\u{a0}{}",
                number::fixed(sd, decimals)
            ))
        ),
        None => String::new(),
    }
}

fn impact_shift(measure: &Measure) -> String {
    let Some((earlier, later)) = measure.impact_shift else {
        return String::new();
    };
    let word = |value: Option<f64>| match value {
        Some(value) => number::fixed(value, number::decimals_of(measure)),
        None => "absent".into(),
    };
    format!(
        "impact 20 ms earlier {}, later {}",
        word(earlier),
        word(later)
    )
}

fn of_set(measure: &Measure, set: &[&Analysis]) -> OfSet {
    let found: Vec<(&Analysis, &Measure, f64)> = set
        .iter()
        .filter_map(|a| {
            let own = a.measures.iter().find(|m| m.id == measure.id)?;
            Some((*a, own, *own.value.as_ref().ok()?))
        })
        .collect();
    let values: Vec<f64> = found.iter().map(|(_, _, value)| *value).collect();
    let decimals = number::decimals(measure.unit);
    let Some((mean, sd)) = sets::mean_sd(&values) else {
        return OfSet::default();
    };
    let mut n = format!("n {}", values.len());
    if values.len() < set.len() {
        n += &format!(" of {}", set.len());
    }
    let sd = sd.map_or_else(String::new, |sd| {
        format!(" ± {}", number::fixed(sd, decimals))
    });
    let angles: Vec<f64> = (found.iter())
        .filter_map(|(a, own, _)| a.from_address_deg(own))
        .collect();
    let vague = found.iter().filter(|(_, own, _)| !own.estimated.is_empty());
    let vague = match vague.count() {
        0 => String::new(),
        count if count == values.len() => "estimated".into(),
        count => format!("{count} of {} estimated", values.len()),
    };
    let mut below = vec![from_address(&angles), vague];
    below.retain(|text| !text.is_empty());
    OfSet {
        mean: format!("{}{sd} ({n})", number::fixed(mean, decimals)),
        below: below.join("; "),
        estimated: estimated_of(&found, decimals),
    }
}

fn estimated_of(found: &[(&Analysis, &Measure, f64)], decimals: usize) -> String {
    let mut events: Vec<&str> = Vec::new();
    for event in found.iter().flat_map(|(_, own, _)| &own.estimated) {
        if !events.contains(event) {
            events.push(event);
        }
    }
    let mut said = rests_on(&events);
    if found.iter().any(|(_, own, _)| own.impact_shift.is_some()) {
        // Where impact is not an estimate there is nothing to move.
        let still = |value: f64| (Some(value), Some(value));
        let shifts: Vec<_> = (found.iter())
            .map(|(_, own, value)| own.impact_shift.unwrap_or(still(*value)))
            .collect();
        let mean = |all: Option<Vec<f64>>| {
            all.and_then(|all| sets::mean_sd(&all)).map_or_else(
                || "absent".into(),
                |(mean, _)| number::fixed(mean, decimals),
            )
        };
        said += &format!(
            "; mean with impact 20 ms earlier {}, later {}",
            mean(shifts.iter().map(|shift| shift.0).collect()),
            mean(shifts.iter().map(|shift| shift.1).collect())
        );
    }
    said
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;

    #[test]
    fn a_row_says_what_it_rests_on_and_why_it_is_absent() {
        let analysis = fixture::swing();
        let rows = table(&analysis, &[], &[]);
        let row = |id| rows.iter().find(|r| r.id == id).unwrap();
        assert_eq!(row("torque_min_nm").value.as_deref(), Some("\u{2212}40.0"));
        assert_eq!(
            row("impulse_net_nms").estimated,
            "estimated: rests on impact"
        );
        assert_eq!(
            row("impulse_net_nms").impact_shift,
            "impact 20 ms earlier 1.10, later absent"
        );
        assert_eq!(
            row("cop_angle_at_arm_level_deg").absent,
            "lead arm level is not given"
        );
        assert_eq!(row("torque_min_nm").a, OfSet::default());
    }

    #[test]
    fn sets_give_mean_spread_and_number() {
        let one = fixture::swing();
        let mut two = fixture::swing();
        fixture::measure(&mut two, "torque_min_nm").value = Ok(-42.0);
        let mut three = fixture::swing();
        fixture::measure(&mut three, "torque_min_nm").value = Err("gap".into());
        let rows = table(&one, &[&one, &two, &three], &[&one]);
        let row = rows.iter().find(|r| r.id == "torque_min_nm").unwrap();
        // Mean of 40 and 42 is 41, standard deviation √2.
        assert_eq!(row.a.mean, "\u{2212}41.0 ± 1.4 (n 2 of 3)");
        assert_eq!(row.b.mean, "\u{2212}40.0 (n 1)");
        assert_eq!(row.a.estimated, "");
    }

    #[test]
    fn sets_say_how_many_swings_are_estimated_and_what_20_ms_would_do() {
        let one = fixture::swing();
        let mut two = fixture::swing();
        let net = fixture::measure(&mut two, "impulse_net_nms");
        net.value = Ok(1.5);
        net.estimated = vec!["takeaway", "impact"];
        net.impact_shift = Some((Some(1.2), Some(1.9)));
        let mut given = fixture::swing();
        let net = fixture::measure(&mut given, "impulse_net_nms");
        net.value = Ok(1.0);
        net.estimated.clear();
        net.impact_shift = None;
        let rows = table(&one, &[&one, &two], &[&two, &given]);
        let row = rows.iter().find(|r| r.id == "impulse_net_nms").unwrap();
        assert_eq!(row.a.mean, "1.40 ± 0.14 (n 2)");
        assert_eq!(row.a.below, "estimated");
        assert_eq!(
            row.a.estimated,
            "estimated: rests on impact and takeaway; mean with impact 20 ms earlier 1.15, later absent"
        );
        assert_eq!(row.b.mean, "1.25 ± 0.35 (n 2)");
        assert_eq!(row.b.below, "1 of 2 estimated");
        assert_eq!(
            row.b.estimated,
            "estimated: rests on takeaway and impact; mean with impact 20 ms earlier 1.10, later 1.45"
        );
    }

    #[test]
    fn angles_are_told_from_address_too() {
        let angle = |top: f64| {
            let mut swing = fixture::swing();
            for (id, value) in [("torque_min_nm", -1.0), ("lead_share_at_top", top)] {
                fixture::measure(&mut swing, id).value = Ok(value);
            }
            fixture::measure(&mut swing, "torque_min_nm").id = "cop_angle_at_address_deg";
            fixture::measure(&mut swing, "lead_share_at_top").id = "cop_angle_at_top_deg";
            swing
        };
        let (one, two) = (angle(5.0), angle(-3.0));
        let rows = table(&one, &[&one, &two], &[&two]);
        let row = |id| rows.iter().find(|r| r.id == id).unwrap();
        let top = row("cop_angle_at_top_deg");
        assert_eq!(top.from_address, "+6.0° from address");
        assert_eq!(top.a.below, "+2.0\u{a0}±\u{a0}5.7° from address");
        assert_eq!(top.b.below, "\u{2212}2.0° from address");
        for id in [
            "cop_angle_at_address_deg",
            "cop_angle_at_arm_level_deg",
            "impulse_net_nms",
        ] {
            assert_eq!(row(id).from_address, "", "{id}");
            assert_eq!(row(id).a.below.replace("estimated", ""), "", "{id}");
        }
    }
}
