//! Recordings that are counted more than once.

use crate::analysis::Analysis;

/// Code of the note.
pub const COUNTED_TWICE: &str = "counted-twice";

/// Says which recordings are counted more than once: sample for sample the same forces on the same clock, whatever file
/// they came in. `named`: each with the words it is known by.
pub fn counted_twice(all: &[&Analysis], named: &[String]) -> Option<(&'static str, String)> {
    const TOLD: usize = 3;
    let same = |a: &Analysis, b: &Analysis| {
        let (a, b) = (&a.series, &b.series);
        a.total.fz_n == b.total.fz_n && a.total.ft_n == b.total.ft_n && a.t_s == b.t_s
    };
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (i, one) in all.iter().enumerate() {
        match groups.iter_mut().find(|group| same(all[group[0]], one)) {
            Some(group) => group.push(i),
            None => groups.push(vec![i]),
        }
    }
    let mut told: Vec<(usize, String)> = groups
        .into_iter()
        .filter(|group| group.len() > 1)
        .map(|group| {
            let names: Vec<&str> = group.iter().map(|i| named[*i].as_str()).collect();
            (group.len(), names.join(", "))
        })
        .collect();
    // swings of one long recording may go by its name
    told.dedup();
    let what = match told.as_slice() {
        [] => return None,
        [(times, names)] => {
            format!("One recording is counted {times} times, sample for sample the same: {names}")
        }
        many => {
            let mut names: Vec<String> = many.iter().take(TOLD).map(|g| g.1.clone()).collect();
            if many.len() > TOLD {
                names.push(format!("and {} more", many.len() - TOLD));
            }
            format!(
                "{} recordings are counted more than once, sample for sample the same: {}",
                many.len(),
                names.join("; ")
            )
        }
    };
    Some((
        COUNTED_TWICE,
        format!(
            "{what}. The intervals take each for a swing of its own, so they are too narrow: count each once."
        ),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::fixture;

    #[test]
    fn the_same_samples_are_one_recording_whatever_the_file() {
        let one = fixture::swing();
        let mut renamed = fixture::swing();
        renamed.file = "copy.c3d".into();
        renamed.events.clear();
        let mut other = fixture::swing();
        other.series.total.fz_n[40] += 0.001;
        let named = ["one in “A”", "other in “A”", "copy in “B”", "other in “B”"].map(String::from);
        assert_eq!(counted_twice(&[&one, &other], &named), None);
        let (code, text) = counted_twice(&[&one, &other, &renamed], &named).unwrap();
        assert_eq!(code, "counted-twice");
        assert!(
            text.starts_with("One recording is counted 2 times, sample for sample the same: one in “A”, copy in “B”. "),
            "{text}"
        );
        let (_, text) = counted_twice(&[&one, &other, &renamed, &other], &named).unwrap();
        assert!(
            text.contains("2 recordings are counted more than once")
                && text.contains("one in “A”, copy in “B”; other in “A”, other in “B”."),
            "{text}"
        );
        // Swings of a long recording that go by its name are told once.
        let long = ["long in “A”", "long in “A”", "long in “B”", "long in “B”"].map(String::from);
        let (_, text) = counted_twice(&[&one, &other, &renamed, &other], &long).unwrap();
        assert!(
            text.contains("counted 2 times, sample for sample the same: long in “A”, long in “B”."),
            "{text}"
        );
    }
}
