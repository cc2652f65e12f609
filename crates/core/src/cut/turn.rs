//! How far a movement turns the player, and how it shifts the load.

use super::{AWAY_NMS_PER_KG, HARDLY, THROUGH_NMS_PER_KG};
use crate::quiet::STANDARD_GRAVITY;
use crate::sampled::{mean_sd, running_area};
use crate::stance::{Feet, Stance};

/// How far a movement turns, N·m·s, and the player's mass, kg.
#[derive(Clone, Copy)]
pub(super) struct Turn {
    pub(super) away_nms: f64,
    pub(super) through_nms: f64,
    pub(super) mass_kg: f64,
}

impl Turn {
    pub(super) fn is_swing(self) -> bool {
        self.away_nms >= AWAY_NMS_PER_KG * self.mass_kg
            && self.through_nms >= THROUGH_NMS_PER_KG * self.mass_kg
    }

    pub(super) fn why_not(self) -> String {
        let Self {
            away_nms,
            through_nms,
            mass_kg,
        } = self;
        let needed = AWAY_NMS_PER_KG * mass_kg;
        if away_nms < needed {
            format!(
                "a small movement, such as a waggle or a step: it turns by {away_nms:.1} N·m·s, and a swing turns away by {needed:.1} at least"
            )
        } else if through_nms < HARDLY * away_nms {
            format!(
                "a change of stance or half a move: it turns by {away_nms:.1} N·m·s and hardly back"
            )
        } else {
            format!(
                "a half move: it turns away by {away_nms:.1} N·m·s and back by {through_nms:.1}, and a swing turns back by {:.1} at least",
                THROUGH_NMS_PER_KG * mass_kg
            )
        }
    }
}

/// The turn of a movement about the mean centre of pressure of the stillness before it; `None`
/// without shear.
pub(super) fn turn(
    stance: &Stance,
    standing_n: f64,
    quiet: (usize, usize),
    (first, end): (usize, usize),
) -> Option<Turn> {
    let shear = stance.total_shear()?;
    let rest = quiet.0..quiet.1;
    let mean = |series: &[f64]| mean_sd(series[rest.clone()].iter().copied()).map(|m| m.0);
    let normal = mean(&stance.sum(|load| &load.normal_n))?;
    let t_m = mean(&stance.sum(|load| &load.cop_t_moment_nm))? / normal;
    let a_m = mean(&stance.sum(|load| &load.cop_a_moment_nm))? / normal;
    let about =
        |i: usize| shear.torque_about_origin_nm[i] - (a_m * shear.ft_n[i] - t_m * shear.fa_n[i]);
    let residue = rest.clone().map(about).sum::<f64>() / rest.len().max(1) as f64;
    let torque: Vec<f64> = (first..end).map(|i| about(i) - residue).collect();
    let turned = running_area(&stance.t_s[first..end], &torque);
    let mass_kg = standing_n / STANDARD_GRAVITY;
    let away = AWAY_NMS_PER_KG * mass_kg;
    // the first turn that counts decides which way is away
    let sign = match turned.iter().position(|l| l.abs() >= away) {
        Some(i) => turned[i].signum(),
        None => 1.0,
    };
    let mut furthest: f64 = 0.0;
    let mut through: f64 = 0.0;
    for l in turned.iter().map(|l| l * sign) {
        furthest = furthest.max(l);
        through = through.max(furthest - l);
    }
    let most = turned.iter().fold(0.0_f64, |m, l| m.max(l.abs()));
    Some(Turn {
        away_nms: if most < away { most } else { furthest },
        through_nms: through,
        mass_kg,
    })
}

/// Largest change of one foot's vertical force, N; of the total on a single plate.
pub(super) fn load_change(stance: &Stance, (first, end): (usize, usize)) -> f64 {
    let range = |series: &[f64]| {
        let (lo, hi) = series[first..end]
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                (lo.min(*v), hi.max(*v))
            });
        hi - lo
    };
    match &stance.feet {
        Feet::Two { lead, trail } => range(&lead.fz_n).max(range(&trail.fz_n)),
        Feet::Both(both) => range(&both.fz_n),
    }
}
