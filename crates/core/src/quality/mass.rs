//! What the player weighs: against what was typed, against other recordings, against people.

use super::{Evidence, note};
use crate::note::{Level, Note};
use crate::quiet::STANDARD_GRAVITY;

/// A person on plates, with a club, kg: outside it the units are doubted. Common sense.
const PEOPLE_KG: std::ops::RangeInclusive<f64> = 25.0..=200.0;
/// Most adult players, kg: a factor that leads here is offered as the remedy.
const PLAYERS_KG: std::ops::RangeInclusive<f64> = 40.0..=130.0;
/// Pounds in a kilogram (NIST SP 811, exact to the digits given).
const POUNDS_PER_KG: f64 = 2.204_622_6;

/// Slips of unit or gain, by what the force would have to be multiplied with.
const SLIPS: [(f64, &str); 8] = [
    (1000.0, "by 1000 (kilonewtons taken for newtons)"),
    (10.0, "by 10 (an amplifier's gain)"),
    (STANDARD_GRAVITY, "by 9.81 (kilograms taken for newtons)"),
    (
        4.448_221_615_260_5,
        "by 4.45 (pounds-force taken for newtons)",
    ),
    (0.001, "by 0.001 (newtons taken for kilonewtons)"),
    (0.1, "by 0.1 (an amplifier's gain)"),
    (
        1.0 / STANDARD_GRAVITY,
        "by 0.102 (newtons taken for kilograms)",
    ),
    (
        1.0 / 4.448_221_615_260_5,
        "by 0.225 (newtons taken for pounds-force)",
    ),
];

/// What somebody on the plates weighs, N: the median of the samples above a third of the 95th
/// percentile of the size of the total; `None` for noise.
pub(super) fn load_n(total_fz_n: &[f64]) -> Option<f64> {
    let mut sizes: Vec<f64> = total_fz_n.iter().map(|f| f.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let high = *sizes.get(sizes.len() * 95 / 100)?;
    let loaded = &sizes[sizes.partition_point(|f| *f < high / 3.0)..];
    let median = *loaded.get(loaded.len() / 2)?;
    let mean = total_fz_n.iter().sum::<f64>() / total_fz_n.len() as f64;
    let spread: f64 = total_fz_n.iter().map(|f| (f - mean) * (f - mean)).sum();
    let steps: f64 = total_fz_n
        .windows(2)
        .map(|w| (w[1] - w[0]) * (w[1] - w[0]))
        .sum();
    // von Neumann's ratio: about 2 for noise, near 0 for what moves smoothly
    (median > 0.0 && steps < 0.5 * spread).then_some(median)
}

/// Slips of units by 10, 1000, 9.81 or 4.45: the load on the plates is not that of a person, or not
/// that of the person whose mass was typed. The factors that would mend it are named.
///
/// A load is doubted below 25 kg and above 200 kg; with a typed mass, when one of the factors fits it
/// to 8 %. **Source:** ours; von Neumann J (1941) Ann Math Stat 12(4):367–395 for the ratio that
/// tells a load from noise.
pub fn units(total_fz_n: &[f64], typed_mass_kg: Option<f64>) -> Option<Note> {
    let kg = load_n(total_fz_n)? / STANDARD_GRAVITY;
    let fits = |factor: f64| match typed_mass_kg {
        Some(typed) => (kg * factor / typed - 1.0).abs() < 0.08,
        None => PLAYERS_KG.contains(&(kg * factor)),
    };
    let mending: Vec<&str> = SLIPS
        .into_iter()
        .filter(|(factor, _)| fits(*factor))
        .map(|(_, words)| words)
        .collect();
    let of_a_person = PEOPLE_KG.contains(&kg);
    if of_a_person && (typed_mass_kg.is_none() || mending.is_empty()) {
        return None;
    }
    let against = typed_mass_kg.map_or_else(
        || "no player's".to_owned(),
        |typed| format!("and {typed:.1} kg was typed"),
    );
    let remedy = if mending.is_empty() {
        "Check the unit of force in the rig file and the amplifiers' range.".to_owned()
    } else {
        format!(
            "Multiplying the force {} would make it right: check the unit in the rig file and the amplifiers' range.",
            mending.join(" or ")
        )
    };
    Some(note(
        "units",
        Level::Stop,
        format_args!(
            "The plates carry {} kg, {against}.",
            if kg < 1.0 {
                format!("{kg:.3}")
            } else {
                format!("{kg:.1}")
            }
        ),
        &remedy,
    ))
}

/// Quiet stance against a typed mass: 2 % apart is noted, 3 % a warning, 10 % a stop.
///
/// **Source:** a person who stands still pushes with their weight (Newton); the limits are ours: a
/// club alone is 0.5 %, with shoes and clothes it stays under 3 %.
pub(super) fn typed(evidence: &Evidence<'_>) -> Option<Note> {
    let typed = evidence.typed_mass_kg?;
    let (weighed, _) = evidence.quiet.body_mass_kg();
    let apart = weighed / typed - 1.0;
    if apart.abs() <= 0.02 {
        return None;
    }
    let pounds = (typed / weighed / POUNDS_PER_KG - 1.0).abs() < 0.06;
    Some(note(
        "mass-typed",
        if apart.abs() > 0.10 {
            Level::Stop
        } else if apart.abs() > 0.03 {
            Level::Warn
        } else {
            Level::Note
        },
        format_args!(
            "In quiet stance the plates weigh {weighed:.1} kg, {:.0} % {} than the {typed:.1} kg that was typed.",
            100.0 * apart.abs(),
            if apart > 0.0 { "more" } else { "less" }
        ),
        if pounds {
            "The typed number looks like pounds: type kilograms."
        } else {
            "Check the typed mass, the plates' zero and calibration, and that both feet are on the plates."
        },
    ))
}

const REMEDY: &str = "Check that it is the same player and the same club, that both feet were on the plates, and the plates' zero.";

/// Masses of several recordings of one player: those that differ by more than 3 % from the median,
/// by their index; more than 10 % is a stop. With two recordings that differ both are named; so are the lightest and
/// the heaviest when only they are more than 3 % apart.
///
/// `masses_kg`: one a recording, `None` where it is not known. **Source:** a player's mass does not
/// change between swings; the limit of 3 % is ours, the accuracy plates keep over a day with room to
/// spare.
pub fn between_recordings(masses_kg: &[Option<f64>]) -> Vec<(usize, Note)> {
    let mut known: Vec<f64> = masses_kg.iter().copied().flatten().collect();
    if known.len() < 2 {
        return Vec::new();
    }
    known.sort_by(f64::total_cmp);
    let middle = 0.5 * (known[(known.len() - 1) / 2] + known[known.len() / 2]);
    // Of two that differ the middle lies between them: their distance from each other counts.
    let share = if known.len() == 2 { 2.0 } else { 1.0 };
    let (least, most) = (known[0], known[known.len() - 1]);
    let near = |mass: f64| (mass / middle - 1.0).abs() <= 0.03;
    let far_apart = known.len() > 2 && near(least) && near(most) && most / least - 1.0 > 0.03;
    masses_kg
        .iter()
        .enumerate()
        .filter_map(|(index, mass)| {
            let mass = (*mass)?;
            let apart = share * (mass / middle - 1.0);
            if far_apart && (mass == least || mass == most) {
                let note = note(
                    "mass-differs",
                    Level::Warn,
                    format_args!(
                        "This recording weighs {mass:.1} kg; this player's lie between {least:.1} and {most:.1} kg, {:.0} % apart.",
                        100.0 * (most / least - 1.0)
                    ),
                    REMEDY,
                );
                return Some((index, note));
            }
            (apart.abs() > 0.03).then(|| {
                let note = note(
                    "mass-differs",
                    if apart.abs() > 0.10 {
                        Level::Stop
                    } else {
                        Level::Warn
                    },
                    format_args!(
                        "This recording weighs {mass:.1} kg, {:.0} % {} than {}.",
                        100.0 * apart.abs(),
                        if apart > 0.0 { "more" } else { "less" },
                        if known.len() == 2 {
                            "the other of this player".to_owned()
                        } else {
                            format!("the usual {middle:.1} kg of this player's")
                        }
                    ),
                    REMEDY,
                );
                (index, note)
            })
        })
        .collect()
}
