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
    /// A unit this program does not compute with, such as a volt, by its name.
    Other(&'static str),
}

/// Units that tables of forces are in and a rig file is not, so that nobody takes them for others.
const OTHERS: &[(&str, &str)] = &[
    ("v", "V"),
    ("volt", "V"),
    ("volts", "V"),
    ("mv", "mV"),
    ("uv", "µV"),
    ("µv", "µV"),
    ("hz", "Hz"),
    ("kg", "kg"),
    ("deg", "deg"),
    ("rad", "rad"),
    ("°", "°"),
    ("%", "%"),
    ("w", "W"),
    ("bw", "BW"),
    ("xbw", "BW"),
    ("bodyweight", "BW"),
    ("%bw", "%BW"),
    ("bw%", "%BW"),
    ("bwm", "BW.m"),
    ("n/kg", "N/kg"),
    ("nm/kg", "N.m/kg"),
    ("n/bw", "N/BW"),
    ("mn", "mN"),
    ("dan", "daN"),
    ("dyn", "dyn"),
    ("gf", "gf"),
    ("mnm", "mN.m"),
    ("danm", "daN.m"),
    ("kgm", "kgf.m"),
    ("kgfm", "kgf.m"),
    ("kpm", "kgf.m"),
    ("kgcm", "kgf.cm"),
    ("kgfcm", "kgf.cm"),
    ("dm", "dm"),
    ("um", "µm"),
    ("µm", "µm"),
    ("ft", "ft"),
    ("feet", "ft"),
    ("px", "px"),
    ("pixel", "px"),
    ("au", "a.u."),
    ("counts", "counts"),
    ("bits", "bits"),
    ("lsb", "bits"),
    ("us", "µs"),
    ("µs", "µs"),
    ("min", "min"),
    ("h", "h"),
];

impl NamedUnit {
    /// The unit written here, brackets or not; `None` when it is no unit known here.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let inner = bracketed(text).unwrap_or(text);
        let mut plain: String = inner
            .chars()
            .filter(|c| !matches!(c, ' ' | '.' | '·' | '⋅' | '×' | '*' | '-' | '\u{a0}'))
            .map(|c| if c == 'μ' { 'µ' } else { c })
            .collect();
        plain.make_ascii_lowercase();
        Some(match plain.as_str() {
            "n" | "newton" | "newtons" => Self::Force(ForceUnit::Newton),
            "kn" => Self::Force(ForceUnit::Kilonewton),
            "lbf" | "lb" | "lbs" => Self::Force(ForceUnit::PoundForce),
            "kgf" | "kp" => Self::Force(ForceUnit::KilogramForce),
            "nm" | "newtonmeter" | "newtonmetre" => Self::Moment(MomentUnit::NewtonMetre),
            "nmm" => Self::Moment(MomentUnit::NewtonMillimetre),
            "ncm" => Self::Moment(MomentUnit::NewtonCentimetre),
            "knm" => Self::Moment(MomentUnit::KilonewtonMetre),
            "lbfft" | "ftlbf" | "ftlb" | "ftlbs" | "lbft" => {
                Self::Moment(MomentUnit::PoundForceFoot)
            }
            "lbfin" | "inlbf" | "inlb" | "inlbs" | "lbin" => {
                Self::Moment(MomentUnit::PoundForceInch)
            }
            "m" => Self::Length(LengthUnit::Metre),
            "cm" => Self::Length(LengthUnit::Centimetre),
            "mm" => Self::Length(LengthUnit::Millimetre),
            "in" | "inch" | "inches" => Self::Length(LengthUnit::Inch),
            "s" | "sec" | "sek" | "seconds" | "sekunden" | "secondes" | "segundos" | "秒" => {
                Self::Time(TimeUnit::Second)
            }
            "ms" | "msec" => Self::Time(TimeUnit::Millisecond),
            plain => Self::Other(
                OTHERS
                    .iter()
                    .find_map(|(known, name)| (*known == plain).then_some(*name))?,
            ),
        })
    }

    /// The name rig files use.
    pub fn name(self) -> &'static str {
        match self {
            Self::Force(unit) => unit.name(),
            Self::Moment(unit) => unit.name(),
            Self::Length(unit) => unit.name(),
            Self::Time(unit) => unit.name(),
            Self::Other(name) => name,
        }
    }
}

/// What stands between brackets that enclose the whole text.
fn bracketed(text: &str) -> Option<&str> {
    [('(', ')'), ('[', ']'), ('{', '}')]
        .into_iter()
        .find_map(|(open, close)| text.strip_prefix(open)?.strip_suffix(close))
}

/// What a header says in brackets at its end, or behind a stroke, that is no unit known here:
/// `Mx1 (daNcm)`. It may be a unit all the same, or the name of a plate.
#[cfg(feature = "wiring")]
pub(super) fn unknown_unit(header: &str) -> Option<&str> {
    let header = header.trim();
    let behind = match header.rfind(['(', '[', '{']) {
        Some(open) => bracketed(header.get(open..)?)?,
        None => header.rsplit_once('/')?.1,
    };
    let unit = behind.trim();
    (!unit.is_empty() && NamedUnit::parse(unit).is_none()).then_some(unit)
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
