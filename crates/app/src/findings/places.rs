//! When in the swing the turning force differs, and how such a place is put in words.

use footing_core::compare::permutation::{PermutationPlan, Scheme};

use super::sentences::listed;
use crate::comparison::{
    Comparison, CurveRow, CurveTest, Design, Direction, Method, Stretch, too_few,
};
use crate::view::number::fixed;

/// Where in the swing a stretch lies, in words and in per cent; in per cent alone where no top is given. A stretch says
/// that the curves differ somewhere in it, not that they begin and cease to at its ends; one that is a single place in
/// print is that place.
pub fn place(stretch: &Stretch, top_node: Option<usize>) -> String {
    match parts(stretch, top_node) {
        (place, Some(more)) => format!("{place}, {more}"),
        (place, None) => place,
    }
}

/// A place, and what it is in per cent unless that is in it already.
fn parts(stretch: &Stretch, top_node: Option<usize>) -> (String, Option<String>) {
    let [low, high] = [stretch.from_pct, stretch.to_pct].map(|pct| fixed(pct, 0));
    let phases = |pcts: [f64; 2]| top_node.map(|top| pcts.map(|pct| phase(pct, top as f64)));
    match (&*low, &*high) {
        ("0", "0") => ("at takeaway".into(), None),
        ("100", "100") => ("at impact".into(), None),
        ("0", "100") => match top_node {
            Some(_) => (
                "somewhere from takeaway to impact".into(),
                Some("the whole swing".into()),
            ),
            None => ("somewhere in the whole swing".into(), None),
        },
        _ if low == high => {
            let percent = format!("at {low} % of the swing");
            match phases([(stretch.from_pct + stretch.to_pct) / 2.0; 2]) {
                Some([(before, here), _]) => (format!("{before}{here}"), Some(percent)),
                None => (percent, None),
            }
        }
        _ => {
            let percent = format!("{low}–{high} % of the swing");
            match phases([stretch.from_pct, stretch.to_pct]) {
                Some([from, to]) if from == to => {
                    (format!("somewhere {}{}", from.0, from.1), Some(percent))
                }
                Some([from, to]) => (
                    format!("somewhere from {} to {}", from.1, to.1),
                    Some(percent),
                ),
                None => (format!("somewhere in {percent}"), None),
            }
        }
    }
}

/// Where in the swing a share of it lies, in words, and the preposition they need by themselves.
fn phase(pct: f64, top: f64) -> (&'static str, &'static str) {
    let back = pct / top;
    let down = (pct - top) / (100.0 - top);
    if (pct - top).abs() <= 3.0 {
        ("at ", "the top")
    } else if pct <= 0.5 {
        ("at ", "takeaway")
    } else if pct >= 99.5 {
        ("at ", "impact")
    } else if pct < top {
        match back {
            b if b < 1.0 / 3.0 => ("", "early in the backswing"),
            b if b < 2.0 / 3.0 => ("in ", "the middle of the backswing"),
            _ => ("", "late in the backswing"),
        }
    } else {
        match down {
            d if d < 1.0 / 3.0 => ("", "early in the downswing"),
            d if d < 2.0 / 3.0 => ("in ", "the middle of the downswing"),
            _ => ("", "late in the downswing"),
        }
    }
}

pub(super) fn when(comparison: &Comparison) -> String {
    let torque = comparison.curves.iter().find(|c| c.name == "torque_nm");
    // A link holds a curve only where both sets have it.
    let Some(torque) = torque.filter(|curve| curve.a.n > 0 && curve.b.n > 0) else {
        return "The turning force from takeaway to impact is not known in both sets, so nothing is said of when it differs".into();
    };
    if too_few(torque.a.n, torque.b.n) {
        return format!(
            "With {} it cannot be said when in the swing the turning force differs: three a side are the least",
            counted(torque)
        );
    }
    let test = match torque.tests.as_deref() {
        Ok([leading, ..]) => leading,
        Ok([]) => return "When in the swing the turning force differs was not tested".into(),
        Err(why) => {
            return format!("When in the swing the turning force differs cannot be said: {why}");
        }
    };
    if cannot_tell(torque, test, comparison.design) {
        return format!(
            "With {} the exact test cannot say where in the swing the turning force differs",
            counted(torque)
        );
    }
    if test.stretches.is_empty() {
        return "Nowhere in the swing is the turning force shown to differ by more than chance allows".into();
    }
    format!(
        "In “{}” the turning force is shifted {}{}",
        comparison.sets[1].label,
        widest(&test.stretches, comparison.top_node),
        estimated(comparison)
    )
}

/// The two widest stretches in their order, and how many more there are: those are for the chart.
fn widest(stretches: &[Stretch], top_node: Option<usize>) -> String {
    const TOLD: usize = 2;
    let width = |i: usize| stretches[i].to_pct - stretches[i].from_pct;
    // Of two alike in width the earlier is told.
    let wider = |i: usize| {
        let before = |j: &usize| width(*j) > width(i) || (width(*j) == width(i) && *j < i);
        (0..stretches.len()).filter(before).count()
    };
    let parts: Vec<String> = (0..stretches.len())
        .filter(|i| wider(*i) < TOLD)
        .map(|i| {
            let way = match stretches[i].direction {
                Direction::Higher => "toward the target",
                Direction::Lower => "away from the target",
            };
            match parts(&stretches[i], top_node) {
                (place, Some(more)) => format!("{way} {place} ({more})"),
                (place, None) => format!("{way} {place}"),
            }
        })
        .collect();
    let more = match stretches.len() - parts.len() {
        0 => String::new(),
        1 => "; it differs in one more stretch".to_owned(),
        n => format!("; it differs in {n} more stretches"),
    };
    parts.join(" and ") + &more
}

/// Which of the events that the swings are laid over each other at are estimates.
fn estimated(comparison: &Comparison) -> String {
    let any = |of: fn(&crate::comparison::SetSummary) -> bool| comparison.sets.iter().any(of);
    let top = comparison.top_node.is_some() && any(|set| set.top_estimated);
    let named: Vec<&str> = [
        ("takeaway", any(|set| set.takeaway.is_some_and(|e| e.1))),
        ("top", top),
        ("impact", any(|set| set.impact.is_some_and(|e| e.1))),
    ]
    .into_iter()
    .filter_map(|(name, estimated)| estimated.then_some(name))
    .collect();
    if named.is_empty() {
        return String::new();
    }
    let named: Vec<String> = named.into_iter().map(str::to_owned).collect();
    format!("; these places rest on the estimated {}", listed(&named))
}

/// Curves on either side, in words.
pub(crate) fn counted(curve: &CurveRow) -> String {
    format!("{} and {} swings", curve.a.n, curve.b.n)
}

/// Whether so few swings leave the permutation test no p small enough to tell anything.
pub(crate) fn cannot_tell(curve: &CurveRow, test: &CurveTest, design: Design) -> bool {
    let scheme = match design {
        Design::Separate => Scheme::Splits {
            first: curve.a.n,
            all: curve.a.n + curve.b.n,
        },
        Design::Paired => Scheme::Signs(curve.a.n),
    };
    test.method == Method::Permutation
        && scheme.smallest_possible(&PermutationPlan::default()) > 0.05
}
