//! The units a table may be in, and their size in SI.
//!
//! **Source:** NIST Special Publication 811 (2008), appendix B: 1 lbf = 4.448 221 615 260 5 N and
//! 1 kgf = 9.806 65 N, 1 in = 0.0254 m, all exact by definition; lbf·ft and lbf·in follow from them.

/// Defines a unit: its variants, the written names and the conversion to SI. Powers of ten below
/// one are divided by, so that 1 ms is the same number as 0.001 s.
macro_rules! unit {
    ($(#[$meta:meta])* $name:ident { $($(#[$vmeta:meta])* $variant:ident = $text:literal, |$v:ident| $si:expr;)+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name { $($(#[$vmeta])* $variant,)+ }

        impl $name {
            /// Every unit with a name.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The name used in rig files.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $text,)+ }
            }

            /// The unit with this name in a rig file.
            pub fn from_name(name: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|unit| unit.name() == name)
            }

            /// A value in this unit, in SI.
            pub fn to_si(self, value: f64) -> f64 {
                match self { $(Self::$variant => { let $v = value; $si })+ }
            }
        }
    };
}

unit! {
    /// Unit of force.
    ForceUnit {
        /// Newton.
        Newton = "N", |v| v;
        /// Kilonewton.
        Kilonewton = "kN", |v| v * 1000.0;
        /// Pound-force.
        PoundForce = "lbf", |v| v * 4.448_221_615_260_5;
        /// Kilogram-force.
        KilogramForce = "kgf", |v| v * 9.806_65;
    }
}

unit! {
    /// Unit of moment.
    MomentUnit {
        /// Newton metre.
        NewtonMetre = "N.m", |v| v;
        /// Newton millimetre.
        NewtonMillimetre = "N.mm", |v| v / 1000.0;
        /// Newton centimetre.
        NewtonCentimetre = "N.cm", |v| v / 100.0;
        /// Kilonewton metre.
        KilonewtonMetre = "kN.m", |v| v * 1000.0;
        /// Pound-force foot.
        PoundForceFoot = "lbf.ft", |v| v * 1.355_817_948_331_400_4;
        /// Pound-force inch.
        PoundForceInch = "lbf.in", |v| v * 4.448_221_615_260_5 * 0.0254;
    }
}

unit! {
    /// Unit of length.
    LengthUnit {
        /// Metre.
        Metre = "m", |v| v;
        /// Centimetre.
        Centimetre = "cm", |v| v / 100.0;
        /// Millimetre.
        Millimetre = "mm", |v| v / 1000.0;
        /// Inch.
        Inch = "in", |v| v * 0.0254;
    }
}

unit! {
    /// Unit of time.
    TimeUnit {
        /// Second.
        Second = "s", |v| v;
        /// Millisecond.
        Millisecond = "ms", |v| v / 1000.0;
    }
}

/// The units of a table's columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Units {
    /// Of force columns.
    pub force: ForceUnit,
    /// Of moment and free-moment columns.
    pub moment: MomentUnit,
    /// Of centre-of-pressure columns.
    pub length: LengthUnit,
    /// Of the time column.
    pub time: TimeUnit,
}

impl Units {
    /// N, N·m, m, s.
    pub const SI: Self = Self {
        force: ForceUnit::Newton,
        moment: MomentUnit::NewtonMetre,
        length: LengthUnit::Metre,
        time: TimeUnit::Second,
    };
}
