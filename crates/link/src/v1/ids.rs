//! The measures version 1 can name, by their place in this list.
//!
//! Append-only: a link holds places, not names. New measures go to the end; a page with a shorter list
//! leaves them out and says so. Nothing is ever moved, renamed or taken away.

use super::numbers::Step;

/// Id and the step its spread usually asks for (a guess that only affects length).
pub struct Named {
    /// As in the catalogue of measures.
    pub id: &'static str,
    /// Place of the step in the list of steps.
    usual_step: u8,
}

impl Named {
    /// The step its spread usually asks for.
    pub fn usual_step(&self) -> Step {
        Step::from_index(self.usual_step).unwrap_or(Step::FINEST)
    }
}

const fn named(id: &'static str, usual_step: u8) -> Named {
    Named { id, usual_step }
}

/// The usual step of a measure this list does not have.
pub const UNNAMED_STEP: u8 = 12;

// 9 is 0.001, 12 is 0.01, 15 is 0.1; between them 0.002 and 0.005, and so on.
/// The list.
pub static IDS: &[Named] = &[
    named("body_mass_kg", 11),
    named("torque_min_nm", 14),
    named("torque_min_time_s", 7),
    named("torque_max_nm", 14),
    named("torque_max_time_s", 7),
    named("torque_at_top_nm", 14),
    named("torque_zero_cross_s", 7),
    named("torque_negative_duration_s", 7),
    named("impulse_negative_nms", 11),
    named("impulse_positive_nms", 11),
    named("impulse_net_nms", 11),
    named("impulse_ratio", 9),
    named("torque_min_nm_per_kg", 8),
    named("torque_max_nm_per_kg", 8),
    named("torque_at_top_nm_per_kg", 8),
    named("impulse_negative_nms_per_kg", 5),
    named("impulse_positive_nms_per_kg", 5),
    named("impulse_net_nms_per_kg", 5),
    named("cop_angle_at_address_deg", 12),
    named("cop_angle_at_takeaway_deg", 12),
    named("cop_angle_at_arm_level_deg", 13),
    named("cop_angle_at_top_deg", 13),
    named("cop_angle_at_impact_deg", 13),
    named("cop_angle_min_deg", 13),
    named("cop_angle_max_deg", 13),
    named("lead_share_at_takeaway", 8),
    named("lead_share_at_top", 8),
    named("lead_share_at_impact", 8),
    named("lead_fz_max_bw", 8),
    named("trail_fz_max_bw", 8),
    named("total_fz_max_bw", 8),
    named("shear_spread_max_n", 15),
    named("lead_fa_min_n", 15),
    named("lead_fa_max_n", 15),
    named("trail_fa_min_n", 15),
    named("trail_fa_max_n", 15),
    named("total_ft_min_n", 15),
    named("total_ft_max_n", 15),
    named("lead_cop_a_at_top_mm", 15),
    named("trail_cop_a_at_top_mm", 15),
    named("impulse_net_lead_shear_nms", 11),
    named("impulse_net_trail_shear_nms", 11),
    named("impulse_net_lead_free_moment_nms", 10),
    named("impulse_net_trail_free_moment_nms", 10),
    named("backswing_s", 7),
    named("downswing_s", 7),
    named("tempo_ratio", 9),
];

/// Place of a measure in the list.
pub fn place(id: &str) -> Option<usize> {
    IDS.iter().position(|named| named.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use footing_core::measures::CATALOGUE;

    #[test]
    fn every_measure_can_be_named() {
        let missing: Vec<_> = CATALOGUE
            .iter()
            .map(|spec| spec.id)
            .filter(|id| place(id).is_none())
            .collect();
        assert!(missing.is_empty(), "append to IDS: {missing:?}");
    }

    #[test]
    fn no_name_stands_twice() {
        for (i, named) in IDS.iter().enumerate() {
            assert_eq!(place(named.id), Some(i));
        }
    }
}
