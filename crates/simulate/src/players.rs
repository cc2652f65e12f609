//! The invented players of the samples, with an ordinary spread from swing to swing.

use footing_core::frame::Handed;
use rand_pcg::Pcg64;
use rand_pcg::rand_core::SeedableRng;

use crate::noise::normal;
use crate::swing::Swing;

/// Before or after the step-in rehearsal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Hangs on the trail foot and reverses late.
    Before,
    /// Gets back to the lead foot and reverses earlier.
    After,
}

/// The same swing as its player would make it another time: each number moves by its own
/// ordinary spread, and so that the recording lasts `duration_s`.
fn another(mean: &Swing, random: &mut Pcg64, duration_s: f64) -> Swing {
    let mut around = |value: f64, sd: f64| value + sd * normal(random).clamp(-2.0, 2.0);
    let mut pair = |value: (f64, f64)| (around(value.0, 0.002), around(value.1, 0.003));
    let (lead_cop_top_m, lead_cop_impact_m) =
        (pair(mean.lead_cop_top_m), pair(mean.lead_cop_impact_m));
    let (trail_cop_top_m, trail_cop_impact_m) =
        (pair(mean.trail_cop_top_m), pair(mean.trail_cop_impact_m));
    let mut swing = Swing {
        quiet_s: around(mean.quiet_s, 0.04),
        backswing_s: around(mean.backswing_s, 0.012),
        downswing_s: around(mean.downswing_s, 0.005),
        top_after_transition_s: around(mean.top_after_transition_s, 0.004),
        arm_level_fraction: around(mean.arm_level_fraction, 0.015),
        spin_away_nms: around(mean.spin_away_nms, 0.5),
        spin_through_nms: around(mean.spin_through_nms, 0.5),
        away_fraction: around(mean.away_fraction, 0.012).min(1.0),
        away_late: around(mean.away_late, 0.02),
        through_end_after_impact_s: around(mean.through_end_after_impact_s, 0.009),
        stance_width_m: around(mean.stance_width_m, 0.005),
        stance_angle_deg: around(mean.stance_angle_deg, 0.6),
        share_address: around(mean.share_address, 0.012),
        share_top: around(mean.share_top, 0.02),
        share_impact: around(mean.share_impact, 0.025),
        share_finish: around(mean.share_finish, 0.02),
        sway_m: around(mean.sway_m, 0.003),
        slide_m: around(mean.slide_m, 0.003),
        toeward_m: around(mean.toeward_m, 0.002),
        dip_m: around(mean.dip_m, 0.003),
        rise_m: around(mean.rise_m, 0.003),
        squeeze_address_n: around(mean.squeeze_address_n, 2.0),
        squeeze_swing_n: around(mean.squeeze_swing_n, 5.0),
        free_moment_lead: around(mean.free_moment_lead, 0.015),
        free_moment_trail: around(mean.free_moment_trail, 0.015),
        lead_cop_top_m,
        lead_cop_impact_m,
        trail_cop_top_m,
        trail_cop_impact_m,
        ..mean.clone()
    };
    swing.still_s = duration_s - swing.finish_s();
    swing
}

/// Six swings of K-07, left-handed, 7-iron, 74 kg, in one recording length of 3.2 s each.
pub fn harbour_range(side: Side, seed: u64) -> Vec<Swing> {
    let before = Swing {
        handed: Handed::Left,
        mass_kg: 74.0,
        quiet_s: 1.02,
        backswing_s: 0.80,
        downswing_s: 0.27,
        spin_away_nms: 9.3,
        spin_through_nms: 6.8,
        away_fraction: 0.985,
        away_late: 0.82,
        through_end_after_impact_s: -0.050,
        stance_width_m: 0.46,
        stance_angle_deg: -1.5,
        share_address: 0.47,
        share_top: 0.26,
        share_impact: 0.48,
        share_finish: 0.60,
        lead_cop_top_m: (0.004, -0.023),
        lead_cop_impact_m: (0.006, -0.030),
        trail_cop_top_m: (-0.006, 0.022),
        trail_cop_impact_m: (0.002, 0.030),
        sway_m: 0.036,
        slide_m: 0.020,
        dip_m: 0.024,
        rise_m: 0.030,
        squeeze_address_n: 18.0,
        squeeze_swing_n: 72.0,
        ..Swing::default()
    };
    let after = Swing {
        spin_away_nms: 7.0,
        spin_through_nms: 9.2,
        away_fraction: 0.72,
        away_late: 0.10,
        through_end_after_impact_s: 0.042,
        share_address: 0.49,
        share_top: 0.30,
        share_impact: 0.74,
        share_finish: 0.86,
        lead_cop_top_m: (0.006, 0.050),
        lead_cop_impact_m: (0.012, -0.040),
        trail_cop_top_m: (-0.004, -0.043),
        trail_cop_impact_m: (0.010, 0.052),
        sway_m: 0.028,
        slide_m: 0.042,
        dip_m: 0.032,
        rise_m: 0.042,
        squeeze_swing_n: 82.0,
        ..before.clone()
    };
    let (mean, stream) = match side {
        Side::Before => (before, 1),
        Side::After => (after, 2),
    };
    several(&mean, seed.wrapping_mul(31).wrapping_add(stream), 6, 3.2)
}

/// Three driver swings of a right-handed player of 83 kg.
pub fn driver_right(seed: u64) -> Vec<Swing> {
    let mean = Swing {
        handed: Handed::Right,
        mass_kg: 83.0,
        quiet_s: 1.0,
        backswing_s: 0.86,
        downswing_s: 0.26,
        spin_away_nms: 10.5,
        spin_through_nms: 11.5,
        away_fraction: 0.84,
        stance_width_m: 0.58,
        stance_angle_deg: 2.0,
        share_top: 0.24,
        share_impact: 0.80,
        sway_m: 0.040,
        slide_m: 0.050,
        rise_m: 0.055,
        squeeze_swing_n: 105.0,
        ..Swing::default()
    };
    several(&mean, seed.wrapping_mul(31).wrapping_add(3), 3, 3.2)
}

fn several(mean: &Swing, seed: u64, count: usize, duration_s: f64) -> Vec<Swing> {
    let mut random = Pcg64::seed_from_u64(seed);
    (0..count)
        .map(|_| another(mean, &mut random, duration_s))
        .collect()
}
