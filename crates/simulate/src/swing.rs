//! What can be chosen about a swing, and ordinary values for it.

use footing_core::frame::Handed;
use rand_pcg::Pcg64;
use rand_pcg::rand_core::SeedableRng;

use crate::noise::uniform;

/// Everything that decides a swing. Lengths and places are in the player frame `(t, a)`, from the
/// stance centre (midpoint of the two centres of pressure at address); `t` toward the target, `a`
/// toeward.
///
/// The default is a plausible mid-iron swing; the ranges it stays in are those of published and
/// customary values for golf (see the crate's plausibility test).
#[derive(Debug, Clone, PartialEq)]
pub struct Swing {
    /// Which hand leads.
    pub handed: Handed,
    /// Body mass with club, kg.
    pub mass_kg: f64,
    /// Quiet stance before takeaway, s.
    pub quiet_s: f64,
    /// Takeaway to top, s.
    pub backswing_s: f64,
    /// Top to impact, s.
    pub downswing_s: f64,
    /// Impact to finish, s.
    pub follow_s: f64,
    /// Stillness after the finish, s.
    pub still_s: f64,
    /// Top minus momentum reversal, s: positive when the club is last to turn.
    pub top_after_transition_s: f64,
    /// Lead arm level, as a fraction of the backswing.
    pub arm_level_fraction: f64,
    /// Angular momentum away from the target the backswing would reach unbraked, N·m·s, positive.
    pub spin_away_nms: f64,
    /// Angular momentum toward the target the downswing reaches, N·m·s, positive.
    pub spin_through_nms: f64,
    /// Where turning away ends, as a fraction of takeaway → transition (at most 1).
    pub away_fraction: f64,
    /// The part of the turning away (0–1) that comes as a late burst, after two fifths of it.
    pub away_late: f64,
    /// Where turning through ends, s after impact (negative: before).
    pub through_end_after_impact_s: f64,
    /// Distance between the two centres of pressure at address, m.
    pub stance_width_m: f64,
    /// Foot-to-foot angle at address, degrees.
    pub stance_angle_deg: f64,
    /// Lead share of the vertical force at address.
    pub share_address: f64,
    /// Lead share near the top.
    pub share_top: f64,
    /// Lead share just before impact.
    pub share_impact: f64,
    /// Lead share at the finish.
    pub share_finish: f64,
    /// Shift of the lead foot's centre of pressure from address to top `(t, a)`, m.
    pub lead_cop_top_m: (f64, f64),
    /// The same from address to impact.
    pub lead_cop_impact_m: (f64, f64),
    /// Shift of the trail foot's centre of pressure from address to top `(t, a)`, m.
    pub trail_cop_top_m: (f64, f64),
    /// The same from address to impact.
    pub trail_cop_impact_m: (f64, f64),
    /// How far the centre of mass drifts away from the target in the backswing, m.
    pub sway_m: f64,
    /// How far beyond its place at address it ends toward the target, m.
    pub slide_m: f64,
    /// How far it moves toeward in the backswing, m (negative: heelward).
    pub toeward_m: f64,
    /// How far it sinks around the top, m.
    pub dip_m: f64,
    /// How far beyond its height at address it ends, m.
    pub rise_m: f64,
    /// The feet's squeeze along the line between them at address, N: the ground pushes each foot
    /// toward the other.
    pub squeeze_address_n: f64,
    /// The same in the downswing, N.
    pub squeeze_swing_n: f64,
    /// The lead foot's free moment is this × its load share × the torque about the centre of mass.
    pub free_moment_lead: f64,
    /// The trail foot's free moment, likewise.
    pub free_moment_trail: f64,
}

impl Default for Swing {
    fn default() -> Self {
        Self {
            handed: Handed::Right,
            mass_kg: 78.0,
            quiet_s: 1.0,
            backswing_s: 0.84,
            downswing_s: 0.28,
            follow_s: 0.6,
            still_s: 0.48,
            top_after_transition_s: 0.0,
            arm_level_fraction: 0.55,
            spin_away_nms: 9.0,
            spin_through_nms: 8.5,
            away_fraction: 0.86,
            away_late: 0.0,
            through_end_after_impact_s: 0.03,
            stance_width_m: 0.50,
            stance_angle_deg: -2.0,
            share_address: 0.50,
            share_top: 0.27,
            share_impact: 0.76,
            share_finish: 0.88,
            lead_cop_top_m: (0.005, 0.030),
            lead_cop_impact_m: (0.015, -0.045),
            trail_cop_top_m: (-0.005, -0.025),
            trail_cop_impact_m: (0.010, 0.060),
            sway_m: 0.030,
            slide_m: 0.045,
            toeward_m: 0.012,
            dip_m: 0.035,
            rise_m: 0.045,
            squeeze_address_n: 20.0,
            squeeze_swing_n: 85.0,
            free_moment_lead: 0.28,
            free_moment_trail: 0.26,
        }
    }
}

impl Swing {
    /// A plausible swing of a made-up player; the same seed always gives the same swing.
    pub fn varied(seed: u64) -> Self {
        let mut random = Pcg64::seed_from_u64(seed);
        let mut between = |lo: f64, hi: f64| uniform(&mut random, lo, hi);
        let handed = if between(0.0, 1.0) < 0.7 {
            Handed::Right
        } else {
            Handed::Left
        };
        let mass_kg = between(58.0, 100.0);
        // Angular momenta and squeeze grow with the player.
        let size = mass_kg / 78.0;
        Self {
            handed,
            mass_kg,
            quiet_s: between(0.8, 1.3),
            backswing_s: between(0.72, 1.08),
            downswing_s: between(0.23, 0.34),
            follow_s: 0.6,
            still_s: between(0.4, 0.6),
            top_after_transition_s: between(-0.02, 0.02),
            arm_level_fraction: between(0.45, 0.65),
            spin_away_nms: between(8.6, 11.5) * size,
            spin_through_nms: between(7.5, 10.0) * size,
            away_fraction: between(0.80, 0.96),
            away_late: between(0.0, 0.3),
            through_end_after_impact_s: between(0.0, 0.06),
            stance_width_m: between(0.40, 0.60),
            stance_angle_deg: between(-6.0, 6.0),
            share_address: between(0.42, 0.56),
            share_top: between(0.18, 0.40),
            share_impact: between(0.60, 0.84),
            share_finish: between(0.70, 0.92),
            lead_cop_top_m: (between(-0.01, 0.01), between(-0.01, 0.05)),
            lead_cop_impact_m: (between(-0.01, 0.02), between(-0.07, 0.0)),
            trail_cop_top_m: (between(-0.01, 0.01), between(-0.05, 0.01)),
            trail_cop_impact_m: (between(-0.01, 0.02), between(0.02, 0.08)),
            sway_m: between(0.010, 0.045),
            slide_m: between(0.020, 0.055),
            toeward_m: between(-0.010, 0.020),
            dip_m: between(0.020, 0.045),
            rise_m: between(0.025, 0.055),
            squeeze_address_n: between(10.0, 30.0) * size,
            squeeze_swing_n: between(78.0, 114.0) * size,
            free_moment_lead: between(0.22, 0.36),
            free_moment_trail: between(0.20, 0.34),
        }
    }

    /// Start of takeaway, on the swing's own clock that begins with the quiet stance, s.
    pub fn takeaway_s(&self) -> f64 {
        self.quiet_s
    }

    /// Top of the backswing, s.
    pub fn top_s(&self) -> f64 {
        self.quiet_s + self.backswing_s
    }

    /// Momentum reversal: the instant when the body's angular momentum about the vertical through
    /// its centre of mass is nil again, s.
    pub fn transition_s(&self) -> f64 {
        self.top_s() - self.top_after_transition_s
    }

    /// Lead arm level in the backswing, s.
    pub fn arm_level_s(&self) -> f64 {
        self.quiet_s + self.arm_level_fraction * self.backswing_s
    }

    /// Impact, s.
    pub fn impact_s(&self) -> f64 {
        self.top_s() + self.downswing_s
    }

    /// Finish: nothing moves any more, s.
    pub fn finish_s(&self) -> f64 {
        self.impact_s() + self.follow_s
    }

    /// End of the still stretch after the finish, s.
    pub fn end_s(&self) -> f64 {
        self.finish_s() + self.still_s
    }
}
