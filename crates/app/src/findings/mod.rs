//! Findings: what a comparison says, in words that never say more than the numbers do.

mod picture;
mod places;
mod sentences;

use crate::comparison::{
    Comparison, Design, MeasureComparison, MoreSwings, Row, SetSummary, Side, Verdict,
    fewer_than_all, one_set_lacks,
};
use crate::view::definitions::{self, Definition};
use crate::view::number::{decimals, fixed, signed};

pub use picture::Picture;
pub use places::place;
pub(crate) use places::{cannot_tell, counted};
pub use sentences::sentences;

/// The verdict in words.
pub fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::ClearChange => "clear change",
        Verdict::ChangeOnAverage => "change on average",
        Verdict::NotSettled => "not settled",
        Verdict::WithinOrdinarySpread => "within ordinary spread",
        Verdict::TooFewSwings => "too few swings to say",
    }
}

/// One row of the findings, ready to show.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Measure id.
    pub id: &'static str,
    /// Short name.
    pub label: &'static str,
    /// Unit as printed.
    pub unit: &'static str,
    /// Mean of A, or "–".
    pub a: String,
    /// Mean of B, or "–".
    pub b: String,
    /// B − A with its sign, or "–".
    pub change: String,
    /// 95 % interval of the change, "lo … hi", or "–".
    pub interval: String,
    /// ± minimal detectable change of single swings, or "–".
    pub spread: String,
    /// The verdict in words, or why there is none; in brackets what must be known to read it: how many swings have
    /// the measure where not all do, that the swings of each set do not differ at all.
    pub verdict: String,
    /// Stable id of the verdict for styling; "absent" when there is none.
    pub verdict_id: &'static str,
    /// More about it: p, adjusted p, effect, lag-1, how many more swings.
    pub details: Vec<(&'static str, String)>,
    /// Whether any value rests on an estimated event.
    pub estimated: bool,
    /// The picture: swings, means, interval, band; `None` when there is no comparison.
    pub picture: Option<Picture>,
    /// Definition, formula and source.
    pub definition: Option<&'static Definition>,
}

/// Every row that is not a rescaled twin, sorted by what changed most beyond spread: first those
/// with a change, each group by |change| / MDC95; absent rows last, in catalogue order.
pub fn findings(comparison: &Comparison) -> Vec<Finding> {
    let mut rows: Vec<&Row> = comparison.rows.iter().filter(|r| !r.rescaled()).collect();
    rows.sort_by(|x, y| rank(x).total_cmp(&rank(y)));
    rows.into_iter()
        .map(|row| finding(row, comparison))
        .collect()
}

/// Smaller comes first.
fn rank(row: &Row) -> f64 {
    let Ok(found) = &row.found else {
        return f64::INFINITY;
    };
    let group = match found.verdict {
        Verdict::ClearChange => 0.0,
        Verdict::ChangeOnAverage => 1.0,
        Verdict::NotSettled => 2.0,
        Verdict::WithinOrdinarySpread => 3.0,
        Verdict::TooFewSwings => 4.0,
    };
    // a ratio mapped into (0, 1], large ratios first
    group + 1.0 / (1.0 + row.beyond_spread().unwrap_or(0.0))
}

fn verdict_id(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::ClearChange => "clear",
        Verdict::ChangeOnAverage => "average",
        Verdict::NotSettled => "unsettled",
        Verdict::WithinOrdinarySpread => "ordinary",
        Verdict::TooFewSwings => "few",
    }
}

fn finding(row: &Row, comparison: &Comparison) -> Finding {
    let places = decimals(row.unit);
    let dash = || "–".to_owned();
    let number = |v: Option<f64>| v.map_or_else(dash, |v| fixed(v, places));
    let found = row.found.as_ref().ok();
    Finding {
        id: row.id,
        label: row.label,
        unit: row.unit,
        a: number(found.and_then(|f| f.a.mean)),
        b: number(found.and_then(|f| f.b.mean)),
        change: found
            .and_then(|f| f.change)
            .map_or_else(dash, |v| signed(v, places)),
        interval: found.and_then(|f| f.ci95).map_or_else(dash, |(lo, hi)| {
            format!("{} … {}", signed(lo, places), signed(hi, places))
        }),
        spread: found
            .and_then(|f| f.mdc95)
            .map_or_else(dash, |v| format!("± {}", fixed(v, places))),
        verdict: match &row.found {
            Ok(found) => verdict_words(found.verdict).to_owned(),
            Err(why) => why.clone(),
        } + &in_brackets(row, &comparison.sets),
        verdict_id: found.map_or("absent", |f| verdict_id(f.verdict)),
        details: found.map_or_else(Vec::new, |f| details(f, row, comparison)),
        estimated: row.estimated,
        picture: found.and_then(|f| Picture::of(row, f)),
        definition: definitions::of(row.id),
    }
}

/// What must be known to read a verdict.
fn in_brackets(row: &Row, sets: &[SetSummary; 2]) -> String {
    const NAMES: [&str; 2] = ["A", "B"];
    let (held, alike) = match &row.found {
        Ok(found) => (fewer_than_all(found, sets, NAMES), found.no_spread),
        Err(_) => (one_set_lacks(row, NAMES), false),
    };
    let alike = alike.then(|| "swings of a set all alike".to_owned());
    let parts: Vec<String> = held.into_iter().chain(alike).collect();
    if parts.is_empty() {
        String::new()
    } else {
        format!(" ({})", parts.join("; "))
    }
}

/// A swing by its place in its set, and its file where that is known.
fn swing(sets: &[SetSummary; 2], side: Side, index: usize) -> String {
    let set = &sets[usize::from(side == Side::B)];
    let file = set.files.get(index).map(|name| format!(" ({name})"));
    format!(
        "swing {} of {side:?}{}",
        index + 1,
        file.unwrap_or_default()
    )
}

/// The swings that lie far from the others of their set, in one sentence; `None` where there is none, or where
/// single swings are not known.
pub fn worth_a_second_look(findings: &[Finding]) -> Option<String> {
    let odd: Vec<String> = findings
        .iter()
        .flat_map(|row| {
            let odd = row.details.iter().filter(|(name, _)| *name == ODD);
            odd.map(|(_, text)| format!("{}: {text}", row.label))
        })
        .collect();
    (!odd.is_empty()).then(|| {
        format!(
            "Worth a second look before anything is made of it: {}.",
            odd.join("; ")
        )
    })
}

/// The detail of a row that tells of a swing far from its set; the page finds it by this name.
const ODD: &str = "worth a second look";

/// A p-value as a person reads it.
pub fn p_words(p: f64) -> String {
    if p < 0.001 {
        "below 0.001".into()
    } else {
        fixed(p, 3)
    }
}

fn details(
    found: &MeasureComparison,
    row: &Row,
    comparison: &Comparison,
) -> Vec<(&'static str, String)> {
    let places = decimals(row.unit);
    let mut out = Vec::new();
    let set = |s: &footing_core::compare::summary::Summary| match (s.mean, s.sd) {
        (Some(mean), Some(sd)) => format!(
            "{} ± {} ({} swings)",
            fixed(mean, places),
            fixed(sd, places),
            s.n
        ),
        (Some(mean), None) => format!("{} (1 swing)", fixed(mean, places)),
        _ => "–".into(),
    };
    out.push(("A, mean ± SD", set(&found.a)));
    out.push(("B, mean ± SD", set(&found.b)));
    if let Some(counts) = fewer_than_all(found, &comparison.sets, ["A", "B"]) {
        let why =
            (row.lacking.as_ref()).map_or_else(String::new, |why| format!("; the others: {why}"));
        out.push(("swings that have it", counts + &why));
    }
    if let Some(p) = &found.p_permutation {
        let how = match (p.exact, p.standard_error) {
            (true, _) => format!("exact, {} arrangements", p.arrangements),
            (false, Some(error)) => format!(
                "{} arrangements drawn, ± {}",
                p.arrangements,
                fixed(error, 4)
            ),
            (false, None) => format!("{} arrangements drawn", p.arrangements),
        };
        out.push(("permutation p", format!("{} ({how})", p_words(p.p))));
    }
    if let Some(p) = found.p_t {
        let name = match comparison.design {
            Design::Separate => "Welch p",
            Design::Paired => "paired t p",
        };
        out.push((name, p_words(p)));
    }
    if let Some(stands) = row.stands {
        let whose = match (stands.by_t, &found.p_permutation) {
            (true, Some(p)) => format!(
                "of the t test: {} arrangements give no permutation p small enough for so many measures",
                p.arrangements
            ),
            (true, None) => "of the t test".into(),
            (false, _) => "of the permutation test".into(),
        };
        out.push((
            "stands when all measures are allowed for",
            format!(
                "{}: p {} by Holm, {whose}",
                if stands.holds() { "yes" } else { "no" },
                p_words(stands.p)
            ),
        ));
    }
    if let Some(effect) = &found.effect {
        let (lo, hi) = effect.ci95;
        let interval = format!(" ({} … {})", signed(lo, 2), signed(hi, 2));
        out.push(("Hedges g", format!("{}{interval}", signed(effect.g, 2))));
    }
    if let Some(lag) = &found.lag1 {
        out.push(("lag-1 correlation", signed(lag.r, 2)));
    }
    if let Some(more) = found.more_swings {
        out.push((
            "to settle it at this spread",
            match more {
                MoreSwings::Each(1) => "1 more swing a side".into(),
                MoreSwings::Each(n) => format!("{n} more swings a side"),
                MoreSwings::BeyondCap => "more than 200 more swings a side".into(),
            },
        ));
    }
    for (side, odd) in &found.odd {
        out.push((
            ODD,
            format!(
                "{}: {} lies far from the others",
                swing(&comparison.sets, *side, odd.index),
                fixed(odd.value, places)
            ),
        ));
    }
    if found.no_spread {
        out.push((
            "no spread",
            "all swings of a set are alike to the last digit".into(),
        ));
    }
    out
}
