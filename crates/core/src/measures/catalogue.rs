//! Every measure: id, unit, what it rests on, how it is read.

use super::Value;
use super::context::{Context, Extreme, Foot};
use crate::recording::EventKind;
use crate::sampled::signed_areas;

/// One measure.
pub struct Spec {
    /// Id in JSON, links and scripts; the unit is its suffix.
    pub id: &'static str,
    /// Short name a person reads.
    pub label: &'static str,
    /// Unit as printed; empty for plain ratios.
    pub unit: &'static str,
    /// Events it rests on.
    pub needs: &'static [EventKind],
    /// How it is read.
    pub compute: fn(&Context<'_>) -> Value,
}

use EventKind::{ArmLevel, Impact, Takeaway, Top};
use Extreme::{Highest, Lowest};

const SWING: &[EventKind] = &[Takeaway, Impact];
const SWING_FROM_TOP: &[EventKind] = &[Takeaway, Top, Impact];

fn negative(c: &Context<'_>) -> Value {
    Ok(signed_areas(&c.torque()?).0)
}

fn positive(c: &Context<'_>) -> Value {
    Ok(signed_areas(&c.torque()?).1)
}

fn net(c: &Context<'_>) -> Value {
    let (negative, positive) = signed_areas(&c.torque()?);
    Ok(negative + positive)
}

fn per_kg(c: &Context<'_>, of: fn(&Context<'_>) -> Value) -> Value {
    Ok(of(c)? / c.mass()?)
}

fn torque_min(c: &Context<'_>) -> Value {
    c.torque_extreme(Lowest).map(|peak| peak.1)
}

fn torque_max(c: &Context<'_>) -> Value {
    c.torque_extreme(Highest).map(|peak| peak.1)
}

fn torque_at_top(c: &Context<'_>) -> Value {
    c.torque_at(c.top())
}

fn lead_shear(c: &Context<'_>) -> Value {
    c.shear_impulse(Foot::Lead)
}

fn trail_shear(c: &Context<'_>) -> Value {
    c.shear_impulse(Foot::Trail)
}

fn lead_free(c: &Context<'_>) -> Value {
    c.free_moment_impulse(Foot::Lead)
}

fn trail_free(c: &Context<'_>) -> Value {
    c.free_moment_impulse(Foot::Trail)
}

fn backswing(c: &Context<'_>) -> Value {
    lasting(c.takeaway()?, c.top()?, "the top is not after takeaway")
}

fn downswing(c: &Context<'_>) -> Value {
    lasting(c.top()?, c.impact()?, "impact is not after the top")
}

/// A duration; events in another order have none.
fn lasting(from_s: f64, to_s: f64, otherwise: &str) -> Value {
    if to_s > from_s {
        Ok(to_s - from_s)
    } else {
        Err(otherwise.into())
    }
}

/// Shorthand for one line of the catalogue.
const fn spec(
    id: &'static str,
    label: &'static str,
    unit: &'static str,
    needs: &'static [EventKind],
    compute: fn(&Context<'_>) -> Value,
) -> Spec {
    Spec {
        id,
        label,
        unit,
        needs,
        compute,
    }
}

/// Every measure in the order people read them.
pub static CATALOGUE: &[Spec] = &[
    spec("body_mass_kg", "Body mass", "kg", &[], |c| c.mass()),
    spec("torque_min_nm", "Lowest torque", "N·m", SWING, torque_min),
    spec(
        "torque_min_time_s",
        "Lowest torque, time from top",
        "s",
        SWING_FROM_TOP,
        |c| Ok(c.torque_extreme(Lowest)?.0 - c.top()?),
    ),
    spec("torque_max_nm", "Highest torque", "N·m", SWING, torque_max),
    spec(
        "torque_max_time_s",
        "Highest torque, time from top",
        "s",
        SWING_FROM_TOP,
        |c| Ok(c.torque_extreme(Highest)?.0 - c.top()?),
    ),
    spec(
        "torque_at_top_nm",
        "Torque at top",
        "N·m",
        &[Top],
        torque_at_top,
    ),
    spec(
        "torque_zero_cross_s",
        "Torque turns toward the target, time from top",
        "s",
        SWING_FROM_TOP,
        |c| Ok(c.torque_zero_cross()? - c.top()?),
    ),
    spec(
        "torque_negative_duration_s",
        "Time with torque away from the target",
        "s",
        SWING,
        |c| c.torque_negative_duration(),
    ),
    spec(
        "impulse_negative_nms",
        "Impulse away from the target",
        "N·m·s",
        SWING,
        negative,
    ),
    spec(
        "impulse_positive_nms",
        "Impulse toward the target",
        "N·m·s",
        SWING,
        positive,
    ),
    spec("impulse_net_nms", "Net impulse", "N·m·s", SWING, net),
    spec(
        "impulse_ratio",
        "Impulse ratio, away to toward",
        "",
        SWING,
        |c| {
            let (negative, positive) = signed_areas(&c.torque()?);
            if positive > 0.0 {
                // nothing is nothing, not minus nothing
                Ok(-negative / positive + 0.0)
            } else {
                Err("there is no impulse toward the target to divide by".into())
            }
        },
    ),
    spec(
        "torque_min_nm_per_kg",
        "Lowest torque per kg",
        "N·m/kg",
        SWING,
        |c| per_kg(c, torque_min),
    ),
    spec(
        "torque_max_nm_per_kg",
        "Highest torque per kg",
        "N·m/kg",
        SWING,
        |c| per_kg(c, torque_max),
    ),
    spec(
        "torque_at_top_nm_per_kg",
        "Torque at top per kg",
        "N·m/kg",
        &[Top],
        |c| per_kg(c, torque_at_top),
    ),
    spec(
        "impulse_negative_nms_per_kg",
        "Impulse away from the target per kg",
        "N·m·s/kg",
        SWING,
        |c| per_kg(c, negative),
    ),
    spec(
        "impulse_positive_nms_per_kg",
        "Impulse toward the target per kg",
        "N·m·s/kg",
        SWING,
        |c| per_kg(c, positive),
    ),
    spec(
        "impulse_net_nms_per_kg",
        "Net impulse per kg",
        "N·m·s/kg",
        SWING,
        |c| per_kg(c, net),
    ),
    spec(
        "cop_angle_at_address_deg",
        "CoP angle at address",
        "°",
        &[],
        |c| c.angle_at_address(),
    ),
    spec(
        "cop_angle_at_takeaway_deg",
        "CoP angle at takeaway",
        "°",
        &[Takeaway],
        |c| c.angle_at(c.takeaway()),
    ),
    spec(
        "cop_angle_at_arm_level_deg",
        "CoP angle at lead arm level",
        "°",
        &[ArmLevel],
        |c| c.angle_at(c.arm_level()),
    ),
    spec(
        "cop_angle_at_top_deg",
        "CoP angle at top",
        "°",
        &[Top],
        |c| c.angle_at(c.top()),
    ),
    spec(
        "cop_angle_at_impact_deg",
        "CoP angle at impact",
        "°",
        &[Impact],
        |c| c.angle_at(c.impact()),
    ),
    spec(
        "cop_angle_min_deg",
        "Smallest CoP angle",
        "°",
        SWING,
        |c| c.angle_extreme(Lowest),
    ),
    spec("cop_angle_max_deg", "Largest CoP angle", "°", SWING, |c| {
        c.angle_extreme(Highest)
    }),
    spec(
        "lead_share_at_takeaway",
        "Lead share at takeaway",
        "",
        &[Takeaway],
        |c| c.lead_share_at(c.takeaway()),
    ),
    spec("lead_share_at_top", "Lead share at top", "", &[Top], |c| {
        c.lead_share_at(c.top())
    }),
    spec(
        "lead_share_at_impact",
        "Lead share at impact",
        "",
        &[Impact],
        |c| c.lead_share_at(c.impact()),
    ),
    spec(
        "lead_fz_max_bw",
        "Largest vertical force, lead foot",
        "BW",
        SWING,
        |c| c.foot_fz_max_bw(Foot::Lead),
    ),
    spec(
        "trail_fz_max_bw",
        "Largest vertical force, trail foot",
        "BW",
        SWING,
        |c| c.foot_fz_max_bw(Foot::Trail),
    ),
    spec(
        "total_fz_max_bw",
        "Largest vertical force, both feet",
        "BW",
        SWING,
        |c| c.total_fz_max_bw(),
    ),
    spec(
        "shear_spread_max_n",
        "Largest shear spread",
        "N",
        SWING,
        |c| c.shear_spread_max(),
    ),
    spec(
        "lead_fa_min_n",
        "Lowest toe–heel shear, lead foot",
        "N",
        SWING,
        |c| c.foot_fa(Foot::Lead, Lowest),
    ),
    spec(
        "lead_fa_max_n",
        "Highest toe–heel shear, lead foot",
        "N",
        SWING,
        |c| c.foot_fa(Foot::Lead, Highest),
    ),
    spec(
        "trail_fa_min_n",
        "Lowest toe–heel shear, trail foot",
        "N",
        SWING,
        |c| c.foot_fa(Foot::Trail, Lowest),
    ),
    spec(
        "trail_fa_max_n",
        "Highest toe–heel shear, trail foot",
        "N",
        SWING,
        |c| c.foot_fa(Foot::Trail, Highest),
    ),
    spec(
        "total_ft_min_n",
        "Lowest force along the target line",
        "N",
        SWING,
        |c| c.total_ft(Lowest),
    ),
    spec(
        "total_ft_max_n",
        "Highest force along the target line",
        "N",
        SWING,
        |c| c.total_ft(Highest),
    ),
    spec(
        "lead_cop_a_at_top_mm",
        "Toeward shift of the lead foot's CoP at top",
        "mm",
        &[Top],
        |c| c.cop_a_shift_mm(Foot::Lead, c.top()),
    ),
    spec(
        "trail_cop_a_at_top_mm",
        "Toeward shift of the trail foot's CoP at top",
        "mm",
        &[Top],
        |c| c.cop_a_shift_mm(Foot::Trail, c.top()),
    ),
    spec(
        "impulse_net_lead_shear_nms",
        "Net impulse from the lead foot's shear",
        "N·m·s",
        SWING,
        lead_shear,
    ),
    spec(
        "impulse_net_trail_shear_nms",
        "Net impulse from the trail foot's shear",
        "N·m·s",
        SWING,
        trail_shear,
    ),
    spec(
        "impulse_net_lead_free_moment_nms",
        "Net impulse from the lead foot's free moment",
        "N·m·s",
        SWING,
        lead_free,
    ),
    spec(
        "impulse_net_trail_free_moment_nms",
        "Net impulse from the trail foot's free moment",
        "N·m·s",
        SWING,
        trail_free,
    ),
    spec("backswing_s", "Backswing", "s", &[Takeaway, Top], backswing),
    spec("downswing_s", "Downswing", "s", &[Top, Impact], downswing),
    spec("tempo_ratio", "Tempo ratio", "", SWING_FROM_TOP, |c| {
        Ok(backswing(c)? / downswing(c)?)
    }),
];
