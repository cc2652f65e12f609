//! Where sample times come from.

use super::group::Named;
use super::header::{fold, is_understood};
use super::proposing::Draft;
use super::words::RATE_WORDS;
use crate::rig::{TimeSource, TimeUnit};
use crate::table::{NamedUnit, Survey, Unknown};

/// Rates a plate may be sampled at, Hz.
const RATES_HZ: std::ops::RangeInclusive<f64> = 20.0..=20_000.0;

/// What was found out about time.
pub(super) struct Clock {
    pub(super) source: TimeSource,
    pub(super) unit: TimeUnit,
    /// The column of times or of frame numbers.
    pub(super) column: Option<usize>,
}

/// Finds the clock.
pub(super) fn find(survey: &Survey, named: &Named, draft: &mut Draft) -> Clock {
    let declared = declared_rate(&survey.preamble);
    let by_name = named
        .time
        .iter()
        .copied()
        .find(|c| slope(survey, *c).is_some());
    let unnamed = || {
        let known = survey.names.iter().any(|name| !name.is_empty());
        (!known).then(|| slope(survey, 0).map(|_| 0)).flatten()
    };
    let Some(column) = by_name.or_else(unnamed) else {
        return without_column(survey, named, declared, draft);
    };
    let step = slope(survey, column).unwrap_or(1.0);
    let name = draft.name(survey, column);
    let mut evidence = vec![format!("{name} rises evenly by {step:.6} a row")];
    if by_name.is_some() {
        evidence.push(format!("{name} is named for time"));
    }
    let mut stated: Option<&str> = None;
    let in_unit = match survey.units.get(column).copied().flatten() {
        Some(NamedUnit::Time(unit)) => {
            evidence.push(format!("the table says {}", unit.name()));
            Some((unit, 0.97))
        }
        said => {
            stated = match (said, survey.unknown.get(column)) {
                (Some(unit), _) => Some(unit.name()),
                (None, Some(Some(Unknown::InRow(unit)))) => Some(unit.as_str()),
                (None, Some(Some(Unknown::Behind(unit)))) if !is_understood(unit) => Some(unit),
                _ => None,
            };
            match stated {
                Some(_) => None,
                None => from_step(step, declared, &mut evidence),
            }
        }
    };
    let (unit, confidence) = in_unit.unwrap_or((TimeUnit::Second, 0.2));
    let step_s = unit.to_si(step);
    if by_name.is_none() && (step - 1.0).abs() < 1e-9 && in_unit.is_none() && stated.is_none() {
        // A count of samples, not a clock.
        let mut clock = without_column(survey, named, declared, draft);
        clock.column = Some(column);
        return clock;
    }
    if in_unit.is_none() {
        let table = stated.map_or_else(String::new, |unit| {
            format!(
                "The table says {}, which is not read. ",
                crate::text::shorten(unit)
            )
        });
        draft.ask_reading(
            "time-unit",
            format!(
                "{table}In which unit is {name}? It rises by {step} a row; taken as seconds \
                 meanwhile."
            ),
        );
    }
    if let Some(rate) = declared
        && in_unit.is_some()
        && (step_s * rate - 1.0).abs() > 0.02
    {
        draft.ask_reading(
            "rate",
            format!(
                "The lines above the table say {rate} Hz and {name} says {:.1} Hz: which is right? \
                 The times were taken meanwhile.",
                1.0 / step_s
            ),
        );
    }
    // Times with too few decimals repeat, and a reader must refuse those.
    let repeats = survey.repeats.get(column).copied().unwrap_or(false);
    let source = if repeats {
        let rate = nice(1.0 / step_s);
        evidence.push("times repeat because they were rounded, so the rate was taken".to_owned());
        TimeSource::RateHz(rate)
    } else {
        TimeSource::Column(survey.reference(column))
    };
    let rate = nice(1.0 / step_s);
    let confidence = if by_name.is_some() {
        confidence
    } else {
        confidence.min(0.7)
    };
    draft.choose(
        "time".to_owned(),
        "Time",
        format!("{name}, in {}, {rate} samples a second", unit.name()),
        confidence,
        evidence,
    );
    Clock {
        source,
        unit,
        column: Some(column),
    }
}

/// No column of times: the rate above the table, or a question.
fn without_column(
    survey: &Survey,
    named: &Named,
    declared: Option<f64>,
    draft: &mut Draft,
) -> Clock {
    let (rate, confidence, evidence) = match declared {
        Some(rate) => (nice(rate), 0.9, "the lines above the table give the rate"),
        None => {
            draft.ask_reading(
                "rate",
                "How many samples a second? The table has no times; 1000 was taken meanwhile."
                    .to_owned(),
            );
            (1000.0, 0.1, "nothing in the table tells the rate")
        }
    };
    draft.choose(
        "time".to_owned(),
        "Time",
        format!("{rate} samples a second"),
        confidence,
        vec![evidence.to_owned()],
    );
    let column = named
        .frames
        .iter()
        .copied()
        .find(|c| slope(survey, *c).is_some());
    Clock {
        source: TimeSource::RateHz(rate),
        unit: TimeUnit::Second,
        column,
    }
}

/// The unit from how much a time grows a row.
fn from_step(
    step: f64,
    declared: Option<f64>,
    evidence: &mut Vec<String>,
) -> Option<(TimeUnit, f64)> {
    if let Some(rate) = declared {
        for unit in [TimeUnit::Second, TimeUnit::Millisecond] {
            if (unit.to_si(step) * rate - 1.0).abs() < 0.02 {
                evidence.push(format!(
                    "in {} it agrees with the {rate} Hz above the table",
                    unit.name()
                ));
                return Some((unit, 0.97));
            }
        }
    }
    if (0.000_05..=0.05).contains(&step) {
        evidence.push("no plate is as fast as that would be in milliseconds".to_owned());
        Some((TimeUnit::Second, 0.93))
    } else if (0.1..=20.0).contains(&step) && (step - 1.0).abs() > 1e-6 {
        evidence.push("no plate is as slow as that would be in seconds".to_owned());
        Some((TimeUnit::Millisecond, 0.9))
    } else {
        None
    }
}

/// How much a column grows a row, when it rises all the way and nearly evenly.
fn slope(survey: &Survey, column: usize) -> Option<f64> {
    let values = survey.series.get(column)?;
    let rows = &survey.rows_kept;
    let (first, last) = (values.first()?, values.last()?);
    let (from, to) = (*rows.first()? as f64, *rows.last()? as f64);
    let step = (last - first) / (to - from);
    let even = values.iter().zip(rows).all(|(value, row)| {
        let off = value - first - step * (*row as f64 - from);
        off.abs() <= 1.5 * step + 0.01 * (last - first)
    });
    let rises = values.windows(2).all(|pair| pair.first() <= pair.last());
    (values.len() > 2 && step > 0.0 && step.is_finite() && even && rises).then_some(step)
}

/// A rate as it was most likely set: whole, when it nearly is; else no more digits than a clock has
/// and a rig file brings back to the last one.
fn nice(rate: f64) -> f64 {
    let whole = rate.round();
    if (rate - whole).abs() < 2e-3 * rate {
        whole
    } else {
        format!("{rate:.8e}").parse().unwrap_or(rate)
    }
}

/// A sampling rate in the lines above the table: behind a word for it, or a number that stands
/// alone in its line.
fn declared_rate(preamble: &[String]) -> Option<f64> {
    let number = |text: &str| -> Option<f64> {
        let text = text.trim().trim_end_matches("Hz").trim();
        text.parse()
            .ok()
            .or_else(|| text.replace(',', ".").parse().ok())
    };
    let fits = |rate: &f64| RATES_HZ.contains(rate);
    let worded = |says: &dyn Fn(&str) -> bool| {
        preamble.iter().take(200).find_map(|line| {
            says(&fold(line)).then_some(())?;
            line.split([':', '=', '\t', ';', '"', ' ', ','])
                .filter_map(number)
                .find(fits)
        })
    };
    // "Samples (#): 8000" is a count.
    let rate = |line: &str| RATE_WORDS.iter().any(|word| line.contains(word));
    let samples = |line: &str| line.contains("sampl") && !line.contains('#');
    let alone = || {
        let mut rates = preamble.iter().take(20).filter_map(|line| {
            let line = line.trim().trim_end_matches([',', ';', '\t']);
            number(line).filter(fits)
        });
        rates.next().filter(|_| rates.next().is_none())
    };
    worded(&rate).or_else(|| worded(&samples)).or_else(alone)
}

#[cfg(test)]
mod tests {
    use super::declared_rate;

    #[test]
    fn rates_above_a_table_are_found() {
        for (line, rate) in [
            ("Rate (Hz):\t1000", Some(1000.0)),
            ("Sample rate,500,,,", Some(500.0)),
            ("Abtastrate = 1200 Hz", Some(1200.0)),
            ("Fréquence d'échantillonnage : 250", Some(250.0)),
            ("サンプリング周波数;1000", Some(1000.0)),
            ("2000", Some(2000.0)),
            ("Subject: 74", None),
            ("Samples (#):\t8000\t8000", None),
            ("Sampled at 400 Hz", Some(400.0)),
            ("Rate: 3", None),
        ] {
            assert_eq!(declared_rate(&[line.to_owned()]), rate, "{line}");
        }
    }
}
