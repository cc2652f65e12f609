//! What a link holds, said before it is shared: read from the link itself, not from what made it.

use footing_link::{self as link, PathPair, SharedSet};

/// Name and words of everything a link holds, and of what it does not.
///
/// # Errors
/// A sentence, as [`super::read_link`].
pub fn holds(text: &str) -> Result<Vec<(&'static str, String)>, String> {
    let shared = link::decode(text).map_err(|refusal| refusal.to_string())?;
    let typed = |text: &Option<String>| text.as_ref().map_or("none".into(), |t| format!("“{t}”"));
    let events = [&shared.a, &shared.b]
        .into_iter()
        .flat_map(|set| [set.takeaway, set.arm_level, set.impact])
        .flatten()
        .count();
    let curves: Vec<&str> = [
        ("vertical torque", shared.torque_nm.is_some()),
        ("foot-to-foot CoP angle", shared.cop_angle_deg.is_some()),
    ]
    .into_iter()
    .filter_map(|(name, there)| there.then_some(name))
    .collect();
    let paths: Vec<&str> = [("lead", &shared.lead_cop), ("trail", &shared.trail_cop)]
        .into_iter()
        .filter_map(|(name, path): (_, &Option<PathPair>)| path.as_ref().map(|_| name))
        .collect();
    let none = |text: String| if text.is_empty() { "none".into() } else { text };
    Ok(vec![
        ("title", typed(&shared.title)),
        ("cue", typed(&shared.cue)),
        ("set A", set_words(&shared.a, super::OWN_LABELS[0])),
        ("set B", set_words(&shared.b, super::OWN_LABELS[1])),
        (
            "player",
            match (shared.handed, shared.mass_kg) {
                (link::Hand::Right, None) => "right-handed; nothing else".to_owned(),
                (link::Hand::Left, None) => "left-handed; nothing else".to_owned(),
                (link::Hand::Right, Some(kg)) => format!("right-handed, {kg} kg"),
                (link::Hand::Left, Some(kg)) => format!("left-handed, {kg} kg"),
            },
        ),
        (
            "measures",
            format!(
                "{}: of each the number of swings, mean and spread of both sets, and the count of its test",
                shared.measures.len()
            ),
        ),
        (
            "curves",
            none(match curves.len() {
                0 => String::new(),
                _ => format!(
                    "{}: mean and spread of both sets at {} places of the swing, and where they differ",
                    curves.join(", "),
                    link::NODES
                ),
            }),
        ),
        (
            "feet",
            none(match paths.len() {
                0 => String::new(),
                _ => format!("mean way of the {} pressure point", paths.join(" and the ")),
            }),
        ),
        (
            "events",
            match events {
                0 => "none".into(),
                n => format!("{n} mean times from the top, in thousandths of a second"),
            },
        ),
        (
            "not in it",
            "file names, recordings, single swings, dates, reasons for setting aside".into(),
        ),
    ])
}

fn set_words(set: &SharedSet, own_label: &str) -> String {
    let label = match &set.label {
        Some(label) => format!("label “{label}”"),
        None => format!("no label of its own (shown as “{own_label}”)"),
    };
    let aside = match set.set_aside {
        0 => String::new(),
        n => format!(", {n} set aside"),
    };
    let s = if set.swings == 1 { "" } else { "s" };
    let overruled = match set.overruled {
        0 => String::new(),
        n => format!(", {n} of them against a note that says stop"),
    };
    format!("{} swing{s}{overruled}{aside}; {label}", set.swings)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_what_was_typed_and_that_nothing_else_was() {
        let shared = link::Shared {
            cue: Some("Step <b>early</b>".into()),
            a: SharedSet {
                swings: 1,
                set_aside: 2,
                overruled: 1,
                ..SharedSet::default()
            },
            b: SharedSet {
                label: Some("drill".into()),
                swings: 6,
                ..SharedSet::default()
            },
            ..link::Shared::default()
        };
        let said = holds(&link::encode(&shared).unwrap().fragment()).unwrap();
        let of = |name: &str| &said.iter().find(|(n, _)| *n == name).unwrap().1;
        assert_eq!(of("title"), "none");
        assert_eq!(of("cue"), "“Step <b>early</b>”");
        assert_eq!(
            of("set A"),
            "1 swing, 1 of them against a note that says stop, 2 set aside; no label of its own (shown as “before”)"
        );
        assert_eq!(of("set B"), "6 swings; label “drill”");
        assert!(of("measures").starts_with("0:"));
        assert_eq!(
            (of("curves").as_str(), of("feet").as_str()),
            ("none", "none")
        );
        assert!(holds("nothing").is_err());
    }
}
