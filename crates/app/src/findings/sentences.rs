//! Three sentences in plain words, generated from the numbers.

use footing_core::compare::permutation::{PermutationPlan, Scheme};

use crate::comparison::{Comparison, CurveRow, Design, Direction, Method, Row, Stretch, Verdict};
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
    if rows
        .iter()
        .all(|r| verdict(r) == Some(Verdict::TooFewSwings))
    {
        return format!(
            "There are too few swings to say whether anything changed: {} in {}, {} in {}, and three a side are the least",
            comparison.sets[0].swings,
            quoted(&comparison.sets[0].label),
            comparison.sets[1].swings,
            quoted(&comparison.sets[1].label)
        );
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
            let chance = if row.stands() {
                ""
            } else {
                "; with so many measures read at once it could still be chance"
            };
            return format!(
                "{}: {ending}{estimated}{chance}",
                change(comparison, row, who)
            );
        }
    }
    if rows.iter().any(|r| verdict(r) == Some(Verdict::NotSettled)) {
        "No change is shown, and for some measures it is not settled: more swings are needed to tell".into()
    } else {
        format!("Nothing changed beyond {who}'s ordinary swing-to-swing spread")
    }
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

/// Where in the swing a stretch lies, in words.
pub fn place(stretch: &Stretch, top_node: Option<usize>) -> String {
    let [from, to] = [stretch.from_pct, stretch.to_pct].map(|pct| phase(pct, top_node));
    if from == to {
        from
    } else {
        format!("from {from} to {to}")
    }
}

/// Where in the swing a share of it lies, in words.
fn phase(pct: f64, top_node: Option<usize>) -> String {
    let Some(top) = top_node.map(|n| n as f64) else {
        return format!("{} % of the swing", fixed(pct, 0));
    };
    let back = pct / top;
    let down = (pct - top) / (100.0 - top);
    let words = if (pct - top).abs() <= 3.0 {
        "the top"
    } else if pct <= 0.5 {
        "takeaway"
    } else if pct >= 99.5 {
        "impact"
    } else if pct < top {
        match back {
            b if b < 1.0 / 3.0 => "early in the backswing",
            b if b < 2.0 / 3.0 => "the middle of the backswing",
            _ => "late in the backswing",
        }
    } else {
        match down {
            d if d < 1.0 / 3.0 => "early in the downswing",
            d if d < 2.0 / 3.0 => "the middle of the downswing",
            _ => "late in the downswing",
        }
    };
    words.to_owned()
}

fn when(comparison: &Comparison) -> String {
    let Some(torque) = comparison.curves.iter().find(|c| c.name == "torque_nm") else {
        return "The turning force over the whole swing was not compared".into();
    };
    if torque.a.n == 0 && torque.b.n == 0 {
        return "The plates did not measure what turns the player, so nothing is said of the turning force".into();
    }
    let test = match &torque.tests {
        Ok(tests) => tests.first(),
        Err(why) => {
            return format!("The turning force over the whole swing cannot be compared: {why}");
        }
    };
    let Some(test) = test else {
        return "The turning force over the whole swing was not compared".into();
    };
    if test.method == Method::Permutation && smallest_possible_p(torque, comparison.design) > 0.05 {
        return format!(
            "With {} and {} swings the exact test cannot say where in the swing the turning force differs",
            torque.a.n, torque.b.n
        );
    }
    if test.stretches.is_empty() {
        return "Nowhere in the swing is the turning force shown to differ by more than chance allows".into();
    }
    // More than two are for the chart: the widest two are told, in their order.
    const TOLD: usize = 2;
    let width = |i: usize| test.stretches[i].to_pct - test.stretches[i].from_pct;
    let wider = |i: usize| {
        (0..test.stretches.len())
            .filter(|j| width(*j) > width(i))
            .count()
    };
    let parts: Vec<String> = test
        .stretches
        .iter()
        .enumerate()
        .filter(|(i, _)| wider(*i) < TOLD)
        .map(|(_, s)| {
            let place = place(s, comparison.top_node);
            format!(
                "{} {place} ({}–{} % of the swing)",
                match s.direction {
                    Direction::Higher => "toward the target",
                    Direction::Lower => "away from the target",
                },
                fixed(s.from_pct, 0),
                fixed(s.to_pct, 0)
            )
        })
        .collect();
    let more = match test.stretches.len() - parts.len() {
        0 => String::new(),
        1 => "; it differs in one more stretch".to_owned(),
        n => format!("; it differs in {n} more stretches"),
    };
    format!(
        "In {} the turning force is shifted {}{more}",
        quoted(&comparison.sets[1].label),
        parts.join(" and ")
    )
}

/// The smallest p that the permutation test of a curve could give with so many swings.
pub(crate) fn smallest_possible_p(curve: &CurveRow, design: Design) -> f64 {
    let scheme = match design {
        Design::Separate => Scheme::Splits {
            first: curve.a.n,
            all: curve.a.n + curve.b.n,
        },
        Design::Paired => Scheme::Signs(curve.a.n),
    };
    scheme.smallest_possible(&PermutationPlan::default())
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
        format!("; {stand} stand when allowing for reading so many at once")
    } else {
        String::new()
    };
    let [a, b] = &comparison.sets;
    let told = match parts.is_empty() {
        true => "have no measure in common".to_owned(),
        false => format!(
            "show, of {} measures, {}{stand}",
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
fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
