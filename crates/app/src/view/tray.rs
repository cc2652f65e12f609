//! What was recognised in a recording: the lines of the Tray.

use super::number;
use crate::analysis::{Analysis, Handed, Reference};

/// One recording in a few lines.
#[derive(Debug, Clone, PartialEq)]
pub struct TrayView {
    /// The file's name.
    pub file: String,
    /// Name and what was recognised.
    pub facts: Vec<(&'static str, String)>,
    /// Code, level and text of each note, the gravest first.
    pub notes: Vec<(&'static str, &'static str, String)>,
}

/// Describes a recording.
pub fn of_recording(analysis: &Analysis) -> TrayView {
    let mut facts = vec![
        ("format", analysis.format.clone()),
        (
            "rate",
            format!(
                "{} Hz, {} s",
                number::fixed(
                    analysis.rate_hz,
                    if analysis.rate_hz.fract() == 0.0 {
                        0
                    } else {
                        1
                    }
                ),
                number::fixed(analysis.duration_s, 2)
            ),
        ),
        ("plates", plates(analysis)),
    ];
    facts.push((
        "mass",
        match analysis.mass_kg {
            Some((mass, Some(sd))) => format!(
                "{} kg from quiet stance, SD {} kg",
                number::fixed(mass, 1),
                number::fixed(sd, 2)
            ),
            Some((mass, None)) => format!("{} kg as typed", number::fixed(mass, 1)),
            None => "not known: no quiet stance".into(),
        },
    ));
    facts.push((
        "filter",
        match analysis.low_pass_hz {
            Some(hz) => format!("low-pass {} Hz", number::fixed(hz, 0)),
            None => "not filtered".into(),
        },
    ));
    facts.push((
        "load",
        match analysis.load_threshold_n {
            Some(n) => format!("threshold {} N", number::fixed(n, 1)),
            None => "threshold not known".into(),
        },
    ));
    facts.push(("events", events(analysis)));
    let mut notes: Vec<_> = analysis
        .notes
        .iter()
        .map(|n| (n.code, n.level, n.text.clone()))
        .collect();
    notes.sort_by_key(|(_, level, _)| match *level {
        "stop" => 0,
        "warn" => 1,
        _ => 2,
    });
    TrayView {
        file: analysis.file.clone(),
        facts,
        notes,
    }
}

fn plates(analysis: &Analysis) -> String {
    let words: Vec<String> = analysis
        .plates
        .iter()
        .map(|plate| {
            let whose = match plate.foot {
                "lead" | "trail" => format!("{} foot", plate.foot),
                "both" => "both feet".to_owned(),
                other => other.to_owned(),
            };
            format!("{} {} ({whose})", plate.label, plate.kind)
        })
        .collect();
    if words.is_empty() {
        "none".into()
    } else {
        words.join("; ")
    }
}

fn events(analysis: &Analysis) -> String {
    let words: Vec<String> = analysis
        .events
        .iter()
        .map(|e| {
            let source = match e.source {
                "given" => " by hand",
                "film" => " from film",
                "file" => " from the file",
                _ => " estimated",
            };
            format!("{}{source}", e.kind.label())
        })
        .collect();
    if words.is_empty() {
        "none".into()
    } else {
        words.join(", ")
    }
}

/// The reference point in words.
pub fn about(reference: Reference) -> &'static str {
    match reference {
        Reference::StanceCentre => "about the stance centre",
        Reference::Com => "about the centre of mass",
        Reference::CombinedCop => "about the combined centre of pressure, descriptive only",
    }
}

/// Which hand, in words.
pub fn hand(handed: Handed) -> &'static str {
    match handed {
        Handed::Right => "right-handed",
        Handed::Left => "left-handed",
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;

    #[test]
    fn says_what_was_recognised_gravest_note_first() {
        let view = of_recording(&fixture::swing());
        let fact = |name| &view.facts.iter().find(|f| f.0 == name).unwrap().1;
        assert_eq!(fact("rate"), "100 Hz, 3.00 s");
        assert_eq!(fact("mass"), "74.0 kg from quiet stance, SD 0.10 kg");
        assert_eq!(fact("load"), "threshold 36.3 N");
        assert!(fact("plates").contains("plate 1 six-component (lead foot)"));
        assert!(fact("events").contains("top estimated, impact by hand"));
        assert_eq!(view.notes[0].1, "stop");
    }
}
