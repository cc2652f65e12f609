//! Vertical torque of the ground on the player about a chosen axis.

/// Which vertical axis torque is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// Fixed: midpoint of the two mean centres of pressure at address.
    StanceCentre,
    /// Moving with the estimated centre of mass.
    Com,
    /// Moving with the combined centre of pressure: customary and descriptive only.
    CombinedCop,
}

impl Reference {
    /// The name used in options and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::StanceCentre => "stance-centre",
            Self::Com => "com",
            Self::CombinedCop => "combined-cop",
        }
    }
}
