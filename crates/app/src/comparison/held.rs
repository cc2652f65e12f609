//! How many swings of each set have a measure or a curve: that some lack it says something too.

use super::{Design, MeasureComparison, Row, SetSummary};
use footing_core::compare::verdict::FEWEST_SWINGS;

/// How many swings have a measure, where that is fewer than the sets hold: "3 of 6 in “after”" of each set
/// concerned, by the names given; pairs where the comparison is one of pairs. `None` where every swing has it.
pub(crate) fn fewer_than_all(
    found: &MeasureComparison,
    sets: &[SetSummary; 2],
    names: [&str; 2],
) -> Option<String> {
    let all = [&found.a, &found.b].map(|moments| moments.n);
    let of =
        |i: usize| (all[i] < sets[i].swings).then(|| format!("{} of {}", all[i], sets[i].swings));
    if found.design == Design::Paired {
        return Some(format!("{} pairs", of(0)?));
    }
    said([0, 1].map(|i| Some(format!("{} in {}", of(i)?, names[i]))))
}

/// The same of a measure that cannot be compared because a set lacks it altogether. Only who has the single
/// swings knows.
pub(crate) fn one_set_lacks(row: &Row, names: [&str; 2]) -> Option<String> {
    let present = |set: &[Option<f64>]| set.iter().flatten().count();
    let (a, b) = (present(&row.a), present(&row.b));
    if row.found.is_ok() || (a == 0) == (b == 0) {
        return None;
    }
    let of =
        |n: usize, set: &[Option<f64>], name: &str| Some(format!("{n} of {} in {name}", set.len()));
    said([of(a, &row.a, names[0]), of(b, &row.b, names[1])])
}

fn said(parts: [Option<String>; 2]) -> Option<String> {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Whether so many curves a side are too few to say where they differ, as of a measure.
pub(crate) fn too_few(a: usize, b: usize) -> bool {
    a.min(b) < FEWEST_SWINGS
}

/// Why curves of which so many were laid over each other are not tested. With enough of them only one
/// reason is left: a link need not tell it.
pub(crate) fn untested(a: usize, b: usize) -> String {
    if too_few(a, b) {
        format!("{a} and {b} swings have this curve, and three a side are the least")
    } else {
        "there is no instant at which every swing has this curve and the swings differ".into()
    }
}
