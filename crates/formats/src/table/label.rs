//! Units written in a table: in a row of their own, or in brackets after a header.

use crate::rig::{ForceUnit, LengthUnit, MomentUnit, TimeUnit};

/// A unit a table names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NamedUnit {
    /// A force.
    Force(ForceUnit),
    /// A moment.
    Moment(MomentUnit),
    /// A length.
    Length(LengthUnit),
    /// A time.
    Time(TimeUnit),
    /// A unit this program does not compute with, such as a volt.
    Other,
}

impl NamedUnit {
    /// The unit written here, brackets or not; `None` when it is no unit known here.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let inner = bracketed(text).unwrap_or(text);
        let mut plain: String = inner
            .chars()
            .filter(|c| !matches!(c, ' ' | '.' | '·' | '⋅' | '*' | '-' | '\u{a0}'))
            .collect();
        plain.make_ascii_lowercase();
        Some(match plain.as_str() {
            "n" | "newton" | "newtons" => Self::Force(ForceUnit::Newton),
            "kn" => Self::Force(ForceUnit::Kilonewton),
            "lbf" | "lb" | "lbs" => Self::Force(ForceUnit::PoundForce),
            "kgf" | "kp" => Self::Force(ForceUnit::KilogramForce),
            "nm" | "newtonmeter" | "newtonmetre" => Self::Moment(MomentUnit::NewtonMetre),
            "nmm" => Self::Moment(MomentUnit::NewtonMillimetre),
            "lbfft" | "ftlbf" | "ftlb" | "lbft" => Self::Moment(MomentUnit::PoundForceFoot),
            "m" => Self::Length(LengthUnit::Metre),
            "cm" => Self::Length(LengthUnit::Centimetre),
            "mm" => Self::Length(LengthUnit::Millimetre),
            "in" | "inch" | "inches" => Self::Length(LengthUnit::Inch),
            "s" | "sec" | "sek" | "seconds" | "sekunden" | "secondes" | "segundos" | "秒" => {
                Self::Time(TimeUnit::Second)
            }
            "ms" | "msec" => Self::Time(TimeUnit::Millisecond),
            "v" | "volt" | "volts" | "mv" | "hz" | "kg" | "deg" | "rad" | "°" | "%" | "w" => {
                Self::Other
            }
            _ => return None,
        })
    }

    /// The name rig files use.
    pub fn name(self) -> &'static str {
        match self {
            Self::Force(unit) => unit.name(),
            Self::Moment(unit) => unit.name(),
            Self::Length(unit) => unit.name(),
            Self::Time(unit) => unit.name(),
            Self::Other => "another unit",
        }
    }
}

/// What stands between brackets that enclose the whole text.
fn bracketed(text: &str) -> Option<&str> {
    [('(', ')'), ('[', ']'), ('{', '}')]
        .into_iter()
        .find_map(|(open, close)| text.strip_prefix(open)?.strip_suffix(close))
}

/// A header without its unit in brackets at the end, and that unit: `Fz1 [N]` is `Fz1`, N.
pub(super) fn split_header(header: &str) -> (&str, Option<NamedUnit>) {
    let header = header.trim();
    let Some(open) = header.rfind(['(', '[', '{']) else {
        return (header, None);
    };
    let (name, unit) = header.split_at(open);
    match bracketed(unit).and_then(|_| NamedUnit::parse(unit)) {
        Some(unit) if !name.trim().is_empty() => (name.trim_end(), Some(unit)),
        _ => (header, None),
    }
}
