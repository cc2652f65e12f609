//! The player frame: toward the target, toeward, up.

use crate::geometry::Vec3;

/// Which hand leads the club; decides which way the player faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Handed {
    /// The target is on the player's left.
    Right,
    /// The target is on the player's right.
    Left,
}

impl Handed {
    /// The name used in options and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

/// Turns lab vectors into `(t, a)` and vertical moments into torque toward the target.
///
/// ```text
/// t̂ = (cos α, sin α)      â = t̂ turned a quarter clockwise (right-handed player, seen from above)
///                              or counter-clockwise (left-handed)
/// T = +Mz (right-handed)   T = −Mz (left-handed)
/// ```
/// `α` is the target's direction, counter-clockwise from lab +x. Check: a right-hander who faces
/// north has the target in the west; turning the chest from north to west is counter-clockwise
/// seen from above, a positive Mz.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlayerFrame {
    cos: f64,
    sin: f64,
    mirror: f64,
}

impl PlayerFrame {
    /// The frame of a player of this hand with the target in this direction.
    pub fn new(target_azimuth_rad: f64, handed: Handed) -> Self {
        Self {
            cos: libm::cos(target_azimuth_rad),
            sin: libm::sin(target_azimuth_rad),
            mirror: match handed {
                Handed::Right => 1.0,
                Handed::Left => -1.0,
            },
        }
    }

    /// Component of a lab vector toward the target.
    pub fn t(self, v: Vec3) -> f64 {
        v.x * self.cos + v.y * self.sin
    }

    /// Component of a lab vector the way the player faces.
    pub fn a(self, v: Vec3) -> f64 {
        self.mirror * (v.x * self.sin - v.y * self.cos)
    }

    /// The target's direction, radians counter-clockwise from lab +x seen from above.
    pub fn target_azimuth_rad(self) -> f64 {
        libm::atan2(self.sin, self.cos)
    }

    /// Direction in the lab of a line that lies `(along, across)` in the player frame, likewise.
    pub fn azimuth_rad(self, (along, across): (f64, f64)) -> f64 {
        // toeward is clockwise of the target for a right-handed player
        self.target_azimuth_rad() - self.mirror * libm::atan2(across, along)
    }

    /// A moment about the lab's vertical, counted positive toward the target.
    pub fn toward_target(self, moment_about_up_nm: f64) -> f64 {
        self.mirror * moment_about_up_nm
    }
}
