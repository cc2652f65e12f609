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
    /// Mean ± SD of set A with the number of swings, else empty.
    pub a: String,
    /// Mean ± SD of set B with the number of swings, else empty.
    pub b: String,
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
            a: of_set(measure, a),
            b: of_set(measure, b),
        })
        .collect()
}

fn estimated(measure: &Measure) -> String {
    if measure.estimated.is_empty() {
        String::new()
    } else {
        format!(
            "estimated: rests on {}",
            measure.estimated.join(" and ").replace('_', " ")
        )
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

fn of_set(measure: &Measure, set: &[&Analysis]) -> String {
    let values: Vec<f64> = set
        .iter()
        .filter_map(|a| a.measures.iter().find(|m| m.id == measure.id))
        .filter_map(|m| m.value.as_ref().ok().copied())
        .collect();
    let decimals = number::decimals(measure.unit);
    let left_out = set.len() - values.len();
    let n = if left_out == 0 {
        format!("n {}", values.len())
    } else {
        format!("n {} of {}", values.len(), set.len())
    };
    match sets::mean_sd(&values) {
        Some((mean, Some(sd))) => format!(
            "{} ± {} ({n})",
            number::fixed(mean, decimals),
            number::fixed(sd, decimals)
        ),
        Some((mean, None)) => format!("{} ({n})", number::fixed(mean, decimals)),
        None => String::new(),
    }
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
        assert_eq!(row("torque_min_nm").a, "");
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
        assert_eq!(row.a, "\u{2212}41.0 ± 1.4 (n 2 of 3)");
        assert_eq!(row.b, "\u{2212}40.0 (n 1)");
    }
}
