//! Numbers as a person reads them.

use crate::analysis::Measure;

pub use footing_core::printed::{fixed, signed};

/// How many decimals a value in this unit deserves.
///
/// **Source:** ours: one digit beyond what force plates and 1 kHz sampling resolve.
pub fn decimals(unit: &str) -> usize {
    match unit {
        "N" | "mm" | "Hz" | "ms" => 0,
        "N·m" | "°" | "deg" | "kg" | "%" => 1,
        "s" | "N·m/kg" | "N·m·s/kg" | "N·m per kg" | "N·m·s per kg" => 3,
        _ => 2,
    }
}

/// How many decimals a measure deserves: as its unit, but a time that rests on an estimated event is
/// known to hundredths at best, and so is one that is read where torque is flat
/// (`footing-core/docs/measure-errors.md`).
pub fn decimals_of(measure: &Measure) -> usize {
    const FLAT: [&str; 3] = [
        "torque_min_time_s",
        "torque_max_time_s",
        "torque_negative_duration_s",
    ];
    let vague = !measure.estimated.is_empty() || FLAT.contains(&measure.id);
    let fine = decimals(measure.unit);
    if measure.unit == "s" && vague {
        2
    } else {
        fine
    }
}

/// A value and its unit, the unit left out where there is none.
pub fn with_unit(value: f64, unit: &str) -> String {
    with_digits(value, unit, decimals(unit))
}

/// A number to so many digits, with its unit.
pub fn with_digits(value: f64, unit: &str, digits: usize) -> String {
    let number = fixed(value, digits);
    match unit {
        "" => number,
        "°" => format!("{number}°"),
        unit => format!("{number} {unit}"),
    }
}

/// A duration a person can picture: milliseconds under a second.
pub fn span(seconds: f64) -> String {
    if seconds.abs() < 0.9995 {
        format!("{} ms", fixed(seconds * 1000.0, 0))
    } else {
        format!("{} s", fixed(seconds, 2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_no_finer_than_what_it_rests_on() {
        let mut swing = super::super::fixture::swing();
        let crossing = super::super::fixture::measure(&mut swing, "torque_zero_cross_s");
        assert_eq!(decimals_of(crossing), 2);
        crossing.estimated.clear();
        assert_eq!(decimals_of(crossing), 3);
        crossing.id = "torque_negative_duration_s";
        assert_eq!(decimals_of(crossing), 2);
    }

    #[test]
    fn units_follow_their_number() {
        assert_eq!(with_unit(-0.0624, "s"), "\u{2212}0.062 s");
        assert_eq!(with_unit(6.04, "°"), "6.0°");
        assert_eq!(with_unit(0.314, ""), "0.31");
        assert_eq!(span(-0.062), "\u{2212}62 ms");
        assert_eq!(span(1.25), "1.25 s");
    }
}
