//! A long recording: several movements of one player, one after the other.
//!
//! Each movement is a [`Swing`] of its own, small or large, with its own stillness before and after;
//! between two of them the player settles from where the first left off to where the next begins,
//! without a turn.

use crate::bay::{Bay, Channels, sample_ground};
use crate::curve::unit_step;
use crate::ground::{Foot, Ground, Motion};
use crate::swing::Swing;
use crate::truth::Events;

/// What a movement is meant to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Movement {
    /// A full swing.
    Swing,
    /// A waggle: a small turn there and back before the swing.
    Waggle,
    /// A practice move: half back, and slowly home again.
    HalfMove,
}

impl Movement {
    /// The word used in truth files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Swing => "swing",
            Self::Waggle => "waggle",
            Self::HalfMove => "half-move",
        }
    }
}

/// Movements in their order, and how long the player takes to settle between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// The movements.
    pub movements: Vec<(Movement, Swing)>,
    /// Settling between two movements, s.
    pub settle_s: f64,
}

/// A small movement of the same player: everything a swing has, scaled down, around the same stance.
fn small(
    player: &Swing,
    (away_nms, through_nms): (f64, f64),
    share: f64,
    (back_s, down_s): (f64, f64),
) -> Swing {
    let size = player.mass_kg / 78.0;
    Swing {
        quiet_s: 0.9,
        backswing_s: back_s,
        downswing_s: down_s,
        follow_s: down_s,
        still_s: 0.4,
        top_after_transition_s: 0.0,
        spin_away_nms: away_nms * size,
        spin_through_nms: through_nms * size,
        share_top: player.share_address - share,
        share_impact: player.share_address + 0.3 * share,
        share_finish: player.share_address,
        lead_cop_top_m: (0.0, 0.2 * share * 0.1),
        lead_cop_impact_m: (0.0, 0.0),
        trail_cop_top_m: (0.0, -0.2 * share * 0.1),
        trail_cop_impact_m: (0.0, 0.0),
        sway_m: 0.1 * share,
        slide_m: 0.0,
        toeward_m: 0.0,
        dip_m: 0.0,
        rise_m: 0.0,
        squeeze_swing_n: player.squeeze_address_n,
        ..player.clone()
    }
}

/// A waggle of a player.
pub fn waggle(player: &Swing) -> Swing {
    small(player, (0.8, 0.5), 0.04, (0.40, 0.30))
}

/// A practice half move of a player.
pub fn half_move(player: &Swing) -> Swing {
    small(player, (7.0, 2.0), 0.18, (0.9, 0.7))
}

impl Session {
    /// When each movement's own clock begins on the recording's clock, s.
    pub fn starts_s(&self) -> Vec<f64> {
        let mut at = 0.0;
        self.movements
            .iter()
            .map(|(_, swing)| {
                let start = at;
                at += swing.end_s() + self.settle_s;
                start
            })
            .collect()
    }

    /// Length of the recording, s.
    pub fn duration_s(&self) -> f64 {
        let last = self.movements.last().map_or(0.0, |(_, s)| s.end_s());
        self.starts_s().last().copied().unwrap_or(0.0) + last
    }

    /// Each movement with its events on the recording's clock.
    pub fn events(&self) -> Vec<(Movement, Events)> {
        self.movements
            .iter()
            .zip(self.starts_s())
            .map(|((movement, swing), start)| (*movement, Events::of(swing).later(start)))
            .collect()
    }

    /// Samples the session through the plates of a bay.
    pub fn sample(&self, bay: &Bay, seed: u64) -> Channels {
        let starts = self.starts_s();
        let motions: Vec<Motion> = self.movements.iter().map(|(_, s)| Motion::new(s)).collect();
        let ground = |t: f64| {
            let k = starts
                .partition_point(|start| *start <= t)
                .saturating_sub(1);
            let own = t - starts[k];
            let end = self.movements[k].1.end_s();
            match motions.get(k + 1) {
                Some(next) if own > end => blend(
                    motions[k].ground(end),
                    next.ground(0.0),
                    unit_step((own - end) / self.settle_s)[0],
                ),
                _ => motions[k].ground(own),
            }
        };
        let handed = self.movements[0].1.handed;
        sample_ground(ground, handed, self.duration_s(), bay, seed)
    }
}

/// From one stillness to another.
fn blend(from: Ground, to: Ground, done: f64) -> Ground {
    let mix = |a: f64, b: f64| a + done * (b - a);
    let foot = |a: Foot, b: Foot| Foot {
        cop_t_m: mix(a.cop_t_m, b.cop_t_m),
        cop_a_m: mix(a.cop_a_m, b.cop_a_m),
        ft_n: mix(a.ft_n, b.ft_n),
        fa_n: mix(a.fa_n, b.fa_n),
        fz_n: mix(a.fz_n, b.fz_n),
        free_moment_nm: mix(a.free_moment_nm, b.free_moment_nm),
    };
    Ground {
        lead: foot(from.lead, to.lead),
        trail: foot(from.trail, to.trail),
    }
}

/// Three swings of one player with two waggles and a practice half move between them.
pub fn three_swings(swings: [Swing; 3]) -> Session {
    let [one, two, three] = swings;
    Session {
        movements: vec![
            (Movement::Waggle, waggle(&one)),
            (Movement::Swing, one),
            (Movement::HalfMove, half_move(&two)),
            (Movement::Waggle, waggle(&two)),
            (Movement::Swing, two),
            (Movement::Swing, three),
        ],
        settle_s: 0.9,
    }
}
