//! What a table comes to with the rig that is being wired: first numbers and the feet from above.

use super::number;
use crate::analysis::{Analysis, FootSeries, Handed, PlateSummary};

/// Most points drawn of each foot.
const MOST_DOTS: usize = 60;

/// A table as a rig reads it.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// Name and value, or why there is none.
    pub numbers: Vec<(&'static str, String)>,
    /// The plates and who stands on them.
    pub plates: Vec<PlateSummary>,
    /// Centres of pressure in quiet stance, player frame, metres from the stance centre.
    pub dots: Vec<Dots>,
    /// Whether the target lies on the left of a picture in which toeward is up.
    pub target_on_left: bool,
    /// The picture in words.
    pub sentence: String,
    /// Level and text of each note.
    pub notes: Vec<(&'static str, String)>,
}

/// One foot in quiet stance.
#[derive(Debug, Clone, PartialEq)]
pub struct Dots {
    /// "lead", "trail" or "both".
    pub foot: &'static str,
    /// Centres of pressure `(t, a)`, metres.
    pub at_m: Vec<(f64, f64)>,
}

/// Describes an analysis made with a rig that is being wired.
pub fn tried(analysis: &Analysis) -> Tried {
    let feet = feet(analysis);
    let quiet = quiet(analysis);
    let dots: Vec<Dots> = feet
        .iter()
        .map(|(foot, series)| Dots {
            foot,
            at_m: dots(series, quiet.clone()),
        })
        .collect();
    let mut numbers = vec![
        (
            "recording",
            format!(
                "{} Hz, {} s",
                number::fixed(analysis.rate_hz, 0),
                number::fixed(analysis.duration_s, 2)
            ),
        ),
        (
            "body mass",
            analysis.mass_kg.map_or_else(
                || "not known: nobody stands still".to_owned(),
                |(kg, _)| format!("{} kg", number::fixed(kg, 1)),
            ),
        ),
    ];
    for (foot, series) in &feet {
        let name = match *foot {
            "lead" => "lead foot in quiet stance",
            "trail" => "trail foot in quiet stance",
            _ => "both feet in quiet stance",
        };
        let load = mean(series.fz_n.get(quiet.clone()).unwrap_or_default());
        numbers.push((
            name,
            load.map_or_else(
                || "not known: nobody stands still".to_owned(),
                |n| format!("{} N", number::fixed(n, 0)),
            ),
        ));
    }
    numbers.push(("vertical torque in the swing", torque(analysis)));
    Tried {
        sentence: sentence(&dots),
        numbers,
        plates: analysis.plates.clone(),
        dots,
        target_on_left: analysis.handed == Handed::Right,
        notes: analysis
            .notes
            .iter()
            .map(|n| (n.level, n.text.clone()))
            .collect(),
    }
}

fn feet(analysis: &Analysis) -> Vec<(&'static str, &FootSeries)> {
    let series = &analysis.series;
    match (&series.lead, &series.trail) {
        (Some(lead), Some(trail)) => vec![("lead", lead), ("trail", trail)],
        _ => vec![("both", &series.total)],
    }
}

/// Samples of quiet stance; empty without one.
fn quiet(analysis: &Analysis) -> std::ops::Range<usize> {
    let t_s = &analysis.series.t_s;
    analysis.quiet_s.map_or(0..0, |(from, to)| {
        t_s.partition_point(|t| *t < from)..t_s.partition_point(|t| *t <= to)
    })
}

fn dots(series: &FootSeries, quiet: std::ops::Range<usize>) -> Vec<(f64, f64)> {
    let step = quiet.len().div_ceil(MOST_DOTS).max(1);
    quiet
        .step_by(step)
        .filter_map(|i| {
            let t = series.cop_t_m.get(i).copied().flatten()?;
            Some((t, series.cop_a_m.get(i).copied().flatten()?))
        })
        .collect()
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

fn torque(analysis: &Analysis) -> String {
    let of = |id: &str| analysis.measures.iter().find(|m| m.id == id);
    match (of("torque_min_nm"), of("torque_max_nm")) {
        (Some(low), Some(high)) => match (&low.value, &high.value) {
            (Ok(low), Ok(high)) => format!(
                "{} to {} N·m, toward the target positive",
                number::fixed(*low, 1),
                number::fixed(*high, 1)
            ),
            (Err(why), _) | (_, Err(why)) => format!("absent: {why}"),
        },
        _ => "absent".to_owned(),
    }
}

fn sentence(dots: &[Dots]) -> String {
    let middle = |foot: &str| {
        let at_m = &dots.iter().find(|d| d.foot == foot)?.at_m;
        let n = at_m.len() as f64;
        let (t, a) = at_m
            .iter()
            .fold((0.0, 0.0), |sum, d| (sum.0 + d.0, sum.1 + d.1));
        (n > 0.0).then(|| (t / n, a / n))
    };
    match (middle("lead"), middle("trail")) {
        (Some(lead), Some(trail)) => {
            let along = 100.0 * (lead.0 - trail.0);
            let across = 100.0 * (lead.1 - trail.1);
            let far = |cm: f64, plus: &str, minus: &str| {
                format!(
                    "{} cm {}",
                    number::fixed(cm.abs(), 0),
                    if cm < 0.0 { minus } else { plus }
                )
            };
            format!(
                "In quiet stance the lead foot presses {} and {} of the trail foot.",
                far(along, "nearer the target", "further from the target"),
                far(across, "toeward", "heelward")
            )
        }
        _ if dots.iter().any(|d| !d.at_m.is_empty()) => {
            "The feet are not told apart: the dots are where both together press.".to_owned()
        }
        _ => "There is no quiet stance to show.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture;
    use super::*;

    #[test]
    fn first_numbers_and_the_picture_come_from_quiet_stance() {
        let mut analysis = fixture::swing();
        analysis.quiet_s = Some((0.0, 0.05));
        let lead = analysis.series.lead.as_mut().unwrap();
        lead.fz_n.iter_mut().for_each(|f| *f = 400.0);
        lead.cop_t_m.iter_mut().for_each(|c| *c = Some(0.25));
        lead.cop_a_m.iter_mut().for_each(|c| *c = Some(0.03));
        let trail = analysis.series.trail.as_mut().unwrap();
        trail.cop_t_m.iter_mut().for_each(|c| *c = Some(-0.25));
        trail.cop_a_m.iter_mut().for_each(|c| *c = Some(0.05));
        let view = tried(&analysis);
        let of = |name| &view.numbers.iter().find(|n| n.0 == name).unwrap().1;
        assert_eq!(of("body mass"), "74.0 kg");
        assert_eq!(of("lead foot in quiet stance"), "400 N");
        assert_eq!(view.dots[0].at_m[0], (0.25, 0.03));
        assert_eq!(
            view.sentence,
            "In quiet stance the lead foot presses 50 cm nearer the target and 2 cm heelward of the trail foot."
        );
        analysis.quiet_s = None;
        let view = tried(&analysis);
        assert_eq!(view.sentence, "There is no quiet stance to show.");
    }
}
