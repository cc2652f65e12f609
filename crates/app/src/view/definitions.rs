//! What each measure means, how it is computed and where that comes from, in a few words.
//!
//! The formulas are those of `footing_core::measures`; this is how a person is told.

/// One measure explained.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Definition {
    /// The measure's id.
    pub id: &'static str,
    /// Meaning, with its sign.
    pub meaning: &'static str,
    /// The formula.
    pub formula: &'static str,
    /// A published source, "common practice" or "ours".
    pub source: &'static str,
}

/// The definition of a measure.
pub fn of(id: &str) -> Option<&'static Definition> {
    DEFINITIONS.iter().find(|d| d.id == id)
}

const WEIGHT: &str = "common practice; g from the 3rd CGPM (1901)";
const MECHANICS: &str =
    "rigid-body mechanics: ΔL = ∫T dt about a fixed axis, or about the centre of mass";
const SPLIT: &str =
    "rigid-body mechanics; the split into feet is exact, the four parts sum to the net impulse";
const PRACTICE: &str = "common practice";
const OURS: &str = "ours";

const fn d(
    id: &'static str,
    meaning: &'static str,
    formula: &'static str,
    source: &'static str,
) -> Definition {
    Definition {
        id,
        meaning,
        formula,
        source,
    }
}

/// Every definition, in the order of the table.
pub const DEFINITIONS: &[Definition] = &[
    d(
        "body_mass_kg",
        "The player's mass: what both plates carry in quiet stance, unless a mass is typed in.",
        "m = mean(Fz,lead + Fz,trail) / 9.80665",
        WEIGHT,
    ),
    d(
        "torque_min_nm",
        "The strongest turning of the player away from the target by the ground, between takeaway and impact. Torque toward the target is positive. Like every highest and lowest value it is read from a curve fitted around it, as the outermost of many samples is so by noise.",
        "min T(t);  T = Σ feet [ (a − aP)·Ft − (t − tP)·Fa + τ ]",
        MECHANICS,
    ),
    d(
        "torque_min_time_s",
        "When the torque is lowest, counted from the top; negative is before the top. Read from a curve fitted around the lowest stretch: where that is flat and the plates have 2 N of noise, it is known to about ± 5 ms.",
        "t(min T) − t(top)",
        OURS,
    ),
    d(
        "torque_max_nm",
        "The strongest turning of the player toward the target by the ground, between takeaway and impact.",
        "max T(t)",
        MECHANICS,
    ),
    d(
        "torque_max_time_s",
        "When the torque is highest, counted from the top. Read as the lowest is: with 2 N of noise known to about ± 3 ms.",
        "t(max T) − t(top)",
        OURS,
    ),
    d(
        "torque_at_top_nm",
        "The torque at the top of the backswing. Positive: the ground already turns the player back toward the target.",
        "T(t(top))",
        MECHANICS,
    ),
    d(
        "torque_zero_cross_s",
        "When the torque turns from away to toward the target and stays there for 30 ms or to impact, counted from the top; negative is before the top. Absent when it does not turn before impact.",
        "first upward crossing of T = 0 after min T and before impact that lasts 30 ms or to impact, minus t(top)",
        OURS,
    ),
    d(
        "torque_negative_duration_s",
        "How long the ground turns the player away from the target, between takeaway and impact. Just after takeaway the torque is so small that noise hides its sign: with 2 N of noise known to about ± 10 ms, up to ± 50 ms where it lingers near zero.",
        "time with T < 0",
        OURS,
    ),
    d(
        "impulse_negative_nms",
        "All of the turning away together: the hatched area under the torque. It speeds up the turn away or slows the turn back.",
        "∫ min(T, 0) dt, takeaway to impact",
        MECHANICS,
    ),
    d(
        "impulse_positive_nms",
        "All of the turning toward the target together: the filled area under the torque.",
        "∫ max(T, 0) dt, takeaway to impact",
        MECHANICS,
    ),
    d(
        "impulse_net_nms",
        "What the ground changed of the turn from takeaway to impact, both areas together. About the stance centre it is the change of angular momentum about that axis; about the centre of mass, the change of spin; about the combined centre of pressure it is descriptive only.",
        "∫ T dt, takeaway to impact",
        MECHANICS,
    ),
    d(
        "impulse_ratio",
        "How large the turning away is for each unit of turning toward the target.",
        "−negative / positive",
        OURS,
    ),
    d(
        "torque_min_nm_per_kg",
        "Lowest torque for each kilogram of the player.",
        "min T / m",
        PRACTICE,
    ),
    d(
        "torque_max_nm_per_kg",
        "Highest torque for each kilogram of the player.",
        "max T / m",
        PRACTICE,
    ),
    d(
        "torque_at_top_nm_per_kg",
        "Torque at the top for each kilogram of the player.",
        "T(t(top)) / m",
        PRACTICE,
    ),
    d(
        "impulse_negative_nms_per_kg",
        "Impulse away from the target for each kilogram of the player.",
        "∫ min(T, 0) dt / m",
        PRACTICE,
    ),
    d(
        "impulse_positive_nms_per_kg",
        "Impulse toward the target for each kilogram of the player.",
        "∫ max(T, 0) dt / m",
        PRACTICE,
    ),
    d(
        "impulse_net_nms_per_kg",
        "Net impulse for each kilogram of the player.",
        "∫ T dt / m",
        PRACTICE,
    ),
    d(
        "cop_angle_at_address_deg",
        "The angle of the line from the trail foot's to the lead foot's centre of pressure against the target line, in quiet stance. Positive: the lead foot's is further toward the toes.",
        "θ = atan2(a lead − a trail, t lead − t trail), mean over quiet stance",
        OURS,
    ),
    d(
        "cop_angle_at_takeaway_deg",
        "The foot-to-foot angle at takeaway.",
        "θ(t(takeaway))",
        OURS,
    ),
    d(
        "cop_angle_at_arm_level_deg",
        "The foot-to-foot angle when the lead arm is level in the backswing. Force does not show that moment: it needs the event by hand, from film or from the file.",
        "θ(t(arm level))",
        OURS,
    ),
    d(
        "cop_angle_at_top_deg",
        "The foot-to-foot angle at the top.",
        "θ(t(top))",
        OURS,
    ),
    d(
        "cop_angle_at_impact_deg",
        "The foot-to-foot angle at impact.",
        "θ(t(impact))",
        OURS,
    ),
    d(
        "cop_angle_min_deg",
        "The smallest foot-to-foot angle between takeaway and impact.",
        "min θ(t)",
        OURS,
    ),
    d(
        "cop_angle_max_deg",
        "The largest foot-to-foot angle between takeaway and impact.",
        "max θ(t)",
        OURS,
    ),
    d(
        "lead_share_at_takeaway",
        "The part of the load on the lead foot at takeaway; 0.5 is even.",
        "Fz,lead / (Fz,lead + Fz,trail)",
        PRACTICE,
    ),
    d(
        "lead_share_at_top",
        "The part of the load on the lead foot at the top.",
        "Fz,lead / (Fz,lead + Fz,trail)",
        PRACTICE,
    ),
    d(
        "lead_share_at_impact",
        "The part of the load on the lead foot at impact.",
        "Fz,lead / (Fz,lead + Fz,trail)",
        PRACTICE,
    ),
    d(
        "lead_fz_max_bw",
        "The highest vertical force under the lead foot between takeaway and impact, in body weights.",
        "max Fz,lead / (m·9.80665)",
        WEIGHT,
    ),
    d(
        "trail_fz_max_bw",
        "The highest vertical force under the trail foot between takeaway and impact, in body weights.",
        "max Fz,trail / (m·9.80665)",
        WEIGHT,
    ),
    d(
        "total_fz_max_bw",
        "The highest vertical force under both feet together, in body weights.",
        "max (Fz,lead + Fz,trail) / (m·9.80665)",
        WEIGHT,
    ),
    d(
        "shear_spread_max_n",
        "The largest difference between the toe–heel shears of the two feet: how strongly they work against each other.",
        "max |Fa,lead − Fa,trail|",
        OURS,
    ),
    d(
        "lead_fa_min_n",
        "The strongest shear on the lead foot toward the heels.",
        "min Fa,lead",
        PRACTICE,
    ),
    d(
        "lead_fa_max_n",
        "The strongest shear on the lead foot toward the toes.",
        "max Fa,lead",
        PRACTICE,
    ),
    d(
        "trail_fa_min_n",
        "The strongest shear on the trail foot toward the heels.",
        "min Fa,trail",
        PRACTICE,
    ),
    d(
        "trail_fa_max_n",
        "The strongest shear on the trail foot toward the toes.",
        "max Fa,trail",
        PRACTICE,
    ),
    d(
        "total_ft_min_n",
        "The strongest push of the ground on the whole body away from the target.",
        "min (Ft,lead + Ft,trail)",
        PRACTICE,
    ),
    d(
        "total_ft_max_n",
        "The strongest push of the ground on the whole body toward the target.",
        "max (Ft,lead + Ft,trail)",
        PRACTICE,
    ),
    d(
        "lead_cop_a_at_top_mm",
        "How far the lead foot's centre of pressure has moved toward the toes from quiet stance to the top.",
        "a lead(t(top)) − mean a lead in quiet stance",
        OURS,
    ),
    d(
        "trail_cop_a_at_top_mm",
        "How far the trail foot's centre of pressure has moved toward the toes from quiet stance to the top.",
        "a trail(t(top)) − mean a trail in quiet stance",
        OURS,
    ),
    d(
        "impulse_net_lead_shear_nms",
        "The part of the net impulse that comes from the lead foot's shear and its lever to the reference point.",
        "∫ [ (a − aP)·Ft − (t − tP)·Fa ]lead dt",
        SPLIT,
    ),
    d(
        "impulse_net_trail_shear_nms",
        "The part of the net impulse that comes from the trail foot's shear and its lever to the reference point.",
        "∫ [ (a − aP)·Ft − (t − tP)·Fa ]trail dt",
        SPLIT,
    ),
    d(
        "impulse_net_lead_free_moment_nms",
        "The part of the net impulse that comes from the twist under the lead foot itself.",
        "∫ τ lead dt",
        SPLIT,
    ),
    d(
        "impulse_net_trail_free_moment_nms",
        "The part of the net impulse that comes from the twist under the trail foot itself.",
        "∫ τ trail dt",
        SPLIT,
    ),
    d(
        "backswing_s",
        "From takeaway to the top.",
        "t(top) − t(takeaway)",
        PRACTICE,
    ),
    d(
        "downswing_s",
        "From the top to impact.",
        "t(impact) − t(top)",
        PRACTICE,
    ),
    d(
        "tempo_ratio",
        "How many times longer the backswing takes than the downswing.",
        "backswing / downswing",
        "common practice; about 3 : 1 after Grober RD, Cholewicki J, \"Towards a biomechanical understanding of tempo in the golf swing\" (preprint)",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_measure_has_its_definition_and_no_definition_is_left_over() {
        let measured: Vec<&str> = footing_core::measures::CATALOGUE
            .iter()
            .map(|s| s.id)
            .collect();
        let defined: Vec<&str> = DEFINITIONS.iter().map(|d| d.id).collect();
        assert_eq!(measured, defined);
    }

    #[test]
    fn every_definition_is_whole_and_named_once() {
        for (i, definition) in DEFINITIONS.iter().enumerate() {
            assert!(!definition.meaning.is_empty() && !definition.formula.is_empty());
            assert!(!definition.source.is_empty());
            let again = DEFINITIONS[i + 1..].iter().any(|d| d.id == definition.id);
            assert!(!again, "{} is defined twice", definition.id);
        }
        assert!(of("tempo_ratio").is_some());
        assert!(of("nothing").is_none());
    }
}
