//! Three sentences in plain words, generated from the numbers.

use super::places::when;
use crate::comparison::{Comparison, MeasureComparison, Row, Verdict, fewer_than_all};
use crate::view::number::{decimals, fixed, span, with_digits};

/// Measures a person asks about first, in that order; others are only named when none of these
/// changed.
const HEADLINES: [&str; 10] = [
    "torque_zero_cross_s",
    "torque_min_nm",
    "impulse_positive_nms",
    "impulse_negative_nms",
    "torque_max_nm",
    "torque_negative_duration_s",
    "cop_angle_at_top_deg",
    "lead_share_at_top",
    "lead_share_at_impact",
    "cop_angle_at_impact_deg",
];

/// What changed, when in the swing, and how far to trust it. `who` names the player ("the
/// player" when nobody typed a name).
pub fn sentences(comparison: &Comparison, who: &str) -> [String; 3] {
    [what(comparison, who), when(comparison), trust(comparison)]
}

fn verdict(row: &Row) -> Option<Verdict> {
    row.found.as_ref().ok().map(|f| f.verdict)
}

/// The row to speak of: the first headline with this verdict, else the row that changed most
/// beyond spread.
fn worth_telling(rows: &[&Row], wanted: Verdict) -> Option<usize> {
    let has = |i: &usize| verdict(rows[*i]) == Some(wanted);
    HEADLINES
        .iter()
        .find_map(|id| (0..rows.len()).find(|i| rows[*i].id == *id && has(i)))
        .or_else(|| {
            let score = |i: &usize| rows[*i].beyond_spread().unwrap_or(0.0);
            (0..rows.len())
                .filter(has)
                .max_by(|x, y| score(x).total_cmp(&score(y)))
        })
}

fn what(comparison: &Comparison, who: &str) -> String {
    let rows: Vec<&Row> = comparison
        .rows
        .iter()
        .filter(|r| !r.rescaled() && r.found.is_ok())
        .collect();
    if rows.is_empty() {
        return "These recordings have no measure in common to compare".into();
    }
    if rows.iter().all(|row| row.too_few()) {
        return too_few(comparison);
    }
    for (wanted, ending) in [
        (Verdict::ClearChange, "a clear change"),
        (
            Verdict::ChangeOnAverage,
            "a change on average, within what single swings differ by anyway",
        ),
    ] {
        if let Some(i) = worth_telling(&rows, wanted) {
            let row = rows[i];
            let estimated = if row.estimated {
                ", read at estimated events"
            } else {
                ""
            };
            let alike = match &row.found {
                Ok(found) if found.no_spread => {
                    ", although the swings of each set are alike to the last digit"
                }
                _ => "",
            };
            let held = held(comparison, row)
                .map(|counts| format!(", in the swings that have it ({counts})"))
                .unwrap_or_default();
            let chance = if row.stands() {
                ""
            } else {
                "; with so many measures read at once it could still be chance"
            };
            return format!(
                "{}: {ending}{estimated}{alike}{held}{chance}",
                change(comparison, row, who)
            );
        }
    }
    nothing_shown(&rows, who)
}

/// That no change is shown, and of how many measures that is because too little is known.
fn nothing_shown(rows: &[&Row], who: &str) -> String {
    let all = rows.len();
    let count = |wanted| rows.iter().filter(|r| verdict(r) == Some(wanted)).count();
    let few = match count(Verdict::TooFewSwings) {
        0 => String::new(),
        n => format!("; for {n} of {all} measures there are too few swings to say"),
    };
    match count(Verdict::NotSettled) {
        0 => format!(
            "Nothing measured is shown to have changed beyond {who}'s ordinary swing-to-swing spread{few}"
        ),
        n => format!(
            "No change is shown, and for {n} of {all} measures it is not settled: more swings are needed to tell{few}"
        ),
    }
}

fn too_few(comparison: &Comparison) -> String {
    let [a, b] = &comparison.sets;
    if crate::comparison::too_few(a.swings, b.swings) {
        format!(
            "There are too few swings to say whether anything changed: {} in {}, {} in {}, and three a side are the least",
            a.swings,
            quoted(&a.label),
            b.swings,
            quoted(&b.label)
        )
    } else {
        "Too few swings have any one measure to say whether it changed: three a side are the least"
            .into()
    }
}

/// How many swings have the measure, where not all do.
fn held(comparison: &Comparison, row: &Row) -> Option<String> {
    let found: &MeasureComparison = row.found.as_ref().ok()?;
    let labels = comparison.sets.each_ref().map(|set| quoted(&set.label));
    fewer_than_all(
        found,
        &comparison.sets,
        labels.each_ref().map(String::as_str),
    )
}

fn quoted(label: &str) -> String {
    format!("“{label}”")
}

/// The change of one row in words.
fn change(comparison: &Comparison, row: &Row, who: &str) -> String {
    let Ok(found) = &row.found else {
        return row.label.to_owned();
    };
    let (Some(a), Some(b), Some(by)) = (found.a.mean, found.b.mean, found.change) else {
        return row.label.to_owned();
    };
    let plain = comparison.sets[0].label == "before" && comparison.sets[1].label == "after";
    let now = if plain {
        "now".to_owned()
    } else {
        format!("in {}", quoted(&comparison.sets[1].label))
    };
    let than = if plain {
        String::new()
    } else {
        format!(" than in {}", quoted(&comparison.sets[0].label))
    };
    // Two numbers that print alike would deny the change they tell of.
    let apart = |digits: usize, scale: f64| {
        let alike = |digits: usize| fixed(scale * a, digits) == fixed(scale * b, digits);
        (digits..digits + 3).find(|d| !alike(*d)).unwrap_or(digits)
    };
    let share_digits = apart(0, 100.0);
    let percent = |share: f64| fixed(100.0 * share, share_digits);
    let digits = apart(decimals(row.unit), 1.0);
    let from_to = format!(
        "from {} to {}",
        fixed(a, digits),
        with_digits(b, row.unit, digits)
    );
    let weaker = if b.abs() < a.abs() {
        "weaker"
    } else {
        "stronger"
    };
    let more = if by > 0.0 { "more" } else { "less" };
    match row.id {
        "torque_zero_cross_s" => format!(
            "The ground {now} turns {who} back toward the target {} {}{than}, counted from the top",
            span(by.abs()),
            if by < 0.0 { "earlier" } else { "later" }
        ),
        "torque_min_nm" => {
            format!("The strongest turn away from the target is {now} {weaker}{than}, {from_to}")
        }
        "torque_max_nm" => {
            format!("The strongest turn toward the target is {now} {weaker}{than}, {from_to}")
        }
        "impulse_negative_nms" => {
            format!("The whole turning away from the target is {now} {weaker}{than}, {from_to}")
        }
        "impulse_positive_nms" => {
            format!("The whole turning toward the target is {now} {weaker}{than}, {from_to}")
        }
        "torque_negative_duration_s" => format!(
            "The ground {now} turns {who} away from the target for {} {}{than}",
            span(by.abs()),
            if by < 0.0 { "less" } else { "longer" }
        ),
        "lead_share_at_top" | "lead_share_at_impact" | "lead_share_at_takeaway" => format!(
            "The lead foot {now} carries {more} of the load {}{than}, from {} % to {} %",
            row.id.replace("lead_share_", "").replace('_', " "),
            percent(a),
            percent(b)
        ),
        "cop_angle_at_top_deg" | "cop_angle_at_impact_deg" => format!(
            "The line between the pressure points of the two feet {now} lies differently {}, {from_to}",
            row.id
                .trim_start_matches("cop_angle_")
                .trim_end_matches("_deg")
                .replace('_', " ")
        ),
        _ => format!("{} {now} goes {from_to}", row.label),
    }
}

fn trust(comparison: &Comparison) -> String {
    let rows: Vec<&Row> = comparison.rows.iter().filter(|r| !r.rescaled()).collect();
    let verdicts: Vec<Verdict> = rows.iter().filter_map(|row| verdict(row)).collect();
    let parts: Vec<String> = [
        (Verdict::ClearChange, "a clear change in"),
        (Verdict::ChangeOnAverage, "a change on average in"),
        (Verdict::WithinOrdinarySpread, "ordinary spread in"),
        (Verdict::NotSettled, "nothing settled in"),
        (Verdict::TooFewSwings, "too few swings to say in"),
    ]
    .into_iter()
    .filter_map(|(wanted, words)| {
        let count = verdicts.iter().filter(|v| **v == wanted).count();
        (count > 0).then(|| format!("{words} {count}"))
    })
    .collect();
    let changed = |v: &Verdict| matches!(v, Verdict::ClearChange | Verdict::ChangeOnAverage);
    let stand = rows.iter().filter(|row| row.stands()).count();
    let stand = if verdicts.iter().any(changed) {
        format!(
            "; {stand} stand{} when allowing for reading so many at once",
            if stand == 1 { "s" } else { "" }
        )
    } else {
        String::new()
    };
    let some = rows
        .iter()
        .filter(|row| held(comparison, row).is_some())
        .count();
    let some = match some {
        0 => String::new(),
        1 => "; 1 is not in every swing".to_owned(),
        n => format!("; {n} are not in every swing"),
    };
    let [a, b] = &comparison.sets;
    let told = match parts.is_empty() {
        true => "have no measure in common".to_owned(),
        false => format!(
            "show, of {} measures, {}{stand}{some}",
            verdicts.len(),
            listed(&parts)
        ),
    };
    format!(
        "{} and {} swings, taken as one player’s on one occasion, {told}",
        a.swings, b.swings
    )
}

/// One, two and three.
pub(super) fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
