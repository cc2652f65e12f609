//! From a swing to the ground reaction under each foot: Newton and Euler, solved exactly.

use crate::curve::{Curve, unit_step_inverse};
use crate::swing::Swing;

/// What the ground does to one foot, in the player frame.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Foot {
    /// Centre of pressure along the target line, m from the stance centre.
    pub cop_t_m: f64,
    /// Centre of pressure toeward, m from the stance centre.
    pub cop_a_m: f64,
    /// Force toward the target, N.
    pub ft_n: f64,
    /// Force toward the toes, N.
    pub fa_n: f64,
    /// Force upward, N.
    pub fz_n: f64,
    /// Free moment, N·m, positive toward the target.
    pub free_moment_nm: f64,
}

impl Foot {
    /// Moment of the foot's shear about the vertical through `(t, a)`, N·m, positive toward the
    /// target: `(a_i − a_P)·F_t − (t_i − t_P)·F_a`.
    pub fn shear_torque_nm(&self, about: (f64, f64)) -> f64 {
        (self.cop_a_m - about.1) * self.ft_n - (self.cop_t_m - about.0) * self.fa_n
    }
}

/// Both feet at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ground {
    /// The foot nearer the target.
    pub lead: Foot,
    /// The other.
    pub trail: Foot,
}

impl Ground {
    /// Combined centre of pressure: the load-weighted mean of the two, m.
    pub fn combined_cop_m(&self) -> (f64, f64) {
        let share = self.lead_share();
        (
            share * self.lead.cop_t_m + (1.0 - share) * self.trail.cop_t_m,
            share * self.lead.cop_a_m + (1.0 - share) * self.trail.cop_a_m,
        )
    }

    /// Lead foot's share of the vertical force.
    pub fn lead_share(&self) -> f64 {
        self.lead.fz_n / (self.lead.fz_n + self.trail.fz_n)
    }

    /// Torque toward the target about the vertical through `(t, a)`, N·m.
    pub fn torque_nm(&self, about: (f64, f64)) -> f64 {
        self.lead.shear_torque_nm(about)
            + self.trail.shear_torque_nm(about)
            + self.lead.free_moment_nm
            + self.trail.free_moment_nm
    }

    /// Foot-to-foot angle, degrees.
    pub fn cop_angle_deg(&self) -> f64 {
        libm::atan2(
            self.lead.cop_a_m - self.trail.cop_a_m,
            self.lead.cop_t_m - self.trail.cop_t_m,
        )
        .to_degrees()
    }
}

/// The body as a whole at one instant, in the player frame, from the stance centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Centre of mass `(t, a, z)`, m; z from its height at address.
    pub r_m: [f64; 3],
    /// Its velocity, m/s.
    pub v_mps: [f64; 3],
    /// Its acceleration, m/s².
    pub acc_mps2: [f64; 3],
    /// Angular momentum about the vertical through the centre of mass, N·m·s, toward the target.
    pub spin_nms: f64,
    /// Its rate of change, N·m: the torque about the centre of mass.
    pub spin_rate_nm: f64,
}

/// Standard gravity, m/s² (CGPM 1901).
pub const GRAVITY_MPS2: f64 = 9.806_65;

/// A swing's closed forms.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    /// The swing they belong to.
    pub swing: Swing,
    com: [Curve; 3],
    spin: Curve,
    lead_cop: [Curve; 2],
    trail_cop: [Curve; 2],
    share: Curve,
    squeeze: Curve,
}

impl Motion {
    /// Lays out the closed forms of a swing.
    pub fn new(swing: &Swing) -> Self {
        let s = swing;
        let takeaway = s.takeaway_s();
        let transition = s.transition_s();
        let impact = s.impact_s();
        let finish = s.finish_s();
        let back = transition - takeaway;
        let down = impact - transition;

        // The through step must bring the spin exactly to nil at transition: it has then done
        // spin_away of its spin_away + spin_through.
        let whole = s.spin_away_nms + s.spin_through_nms;
        let done = unit_step_inverse(s.spin_away_nms / whole);
        let through_end = impact + s.through_end_after_impact_s;
        let through_start = (transition - done * through_end) / (1.0 - done);
        // Braking sets in before turning through has quite ended, so that the torque between them
        // crosses zero once and does not linger there.
        let brake_start = (impact - 0.05 * down).min(through_end - 0.03);
        let away_end = takeaway + s.away_fraction * back;
        let spin = Curve::new(0.0)
            .step(takeaway, away_end, -(1.0 - s.away_late) * s.spin_away_nms)
            .step(
                takeaway + 0.4 * (away_end - takeaway),
                away_end,
                -s.away_late * s.spin_away_nms,
            )
            .step(through_start, through_end, whole)
            .step(brake_start, finish, -s.spin_through_nms);

        let half = 0.5 * s.stance_width_m;
        let angle = s.stance_angle_deg.to_radians();
        let (lead_t, lead_a) = (half * libm::cos(angle), half * libm::sin(angle));
        let cop = |start: f64, top: f64, impact_shift: f64| {
            Curve::new(start)
                .step(takeaway, takeaway + 0.92 * back, top)
                .step(transition - 0.12 * back, impact, impact_shift - top)
                .step(impact + 0.1 * s.follow_s, finish, -0.4 * impact_shift)
        };
        // At address the player rests exactly over the combined centre of pressure.
        let balance = 2.0 * s.share_address - 1.0;
        Self {
            swing: s.clone(),
            com: [
                Curve::new(balance * lead_t)
                    .step(takeaway, takeaway + 0.85 * back, -s.sway_m)
                    .step(
                        transition - 0.25 * back,
                        impact + 0.35 * s.follow_s,
                        s.sway_m + s.slide_m,
                    ),
                Curve::new(balance * lead_a)
                    .step(takeaway, takeaway + 0.9 * back, s.toeward_m)
                    .step(
                        transition - 0.15 * back,
                        impact + 0.3 * s.follow_s,
                        -1.5 * s.toeward_m,
                    ),
                Curve::new(0.0)
                    .step(transition - 0.28 * back, transition + 0.5 * down, -s.dip_m)
                    .step(
                        transition - 0.1 * down,
                        impact + 0.25 * s.follow_s,
                        s.dip_m + s.rise_m,
                    ),
            ],
            spin,
            lead_cop: [
                cop(lead_t, s.lead_cop_top_m.0, s.lead_cop_impact_m.0),
                cop(lead_a, s.lead_cop_top_m.1, s.lead_cop_impact_m.1),
            ],
            trail_cop: [
                cop(-lead_t, s.trail_cop_top_m.0, s.trail_cop_impact_m.0),
                cop(-lead_a, s.trail_cop_top_m.1, s.trail_cop_impact_m.1),
            ],
            share: Curve::new(s.share_address)
                .step(
                    takeaway,
                    takeaway + 0.85 * back,
                    s.share_top - s.share_address,
                )
                .step(
                    transition - 0.22 * back,
                    impact - 0.2 * down,
                    s.share_impact - s.share_top,
                )
                .step(impact, finish, s.share_finish - s.share_impact),
            squeeze: Curve::new(s.squeeze_address_n)
                .step(
                    transition - 0.5 * back,
                    impact,
                    s.squeeze_swing_n - s.squeeze_address_n,
                )
                .step(impact, finish, s.squeeze_address_n - s.squeeze_swing_n),
        }
    }

    /// The body at `t_s`, on the swing's own clock.
    pub fn body(&self, t_s: f64) -> Body {
        let [t, a, z] = [0, 1, 2].map(|axis| self.com[axis].at(t_s));
        let spin = self.spin.at(t_s);
        Body {
            r_m: [t[0], a[0], z[0]],
            v_mps: [t[1], a[1], z[1]],
            acc_mps2: [t[2], a[2], z[2]],
            spin_nms: spin[0],
            spin_rate_nm: spin[1],
        }
    }

    /// The ground reaction at `t_s`.
    ///
    /// ```text
    /// ΣF = m(r̈ + g ẑ)                       each foot by its load share
    /// F_lead = s·ΣF − q·û + c·n̂             û from the trail foot's CoP to the lead foot's
    /// F_trail = (1−s)·ΣF + q·û − c·n̂        n̂ across it, heelward on the lead foot
    /// τ_lead = φ_lead·s·Ḣ     τ_trail = φ_trail·(1−s)·Ḣ
    /// c = (Ḣ − τ_lead − τ_trail − (CoP − r) × m r̈) / |û-line|      so that ΣT about the CoM is Ḣ
    /// ```
    /// **Source:** Newton's and Euler's laws; squeeze `q` acts along the line and has no moment.
    pub fn ground(&self, t_s: f64) -> Ground {
        let body = self.body(t_s);
        let mass = self.swing.mass_kg;
        let share = self.share.value(t_s);
        let squeeze = self.squeeze.value(t_s);
        let lead = [0, 1].map(|axis| self.lead_cop[axis].value(t_s));
        let trail = [0, 1].map(|axis| self.trail_cop[axis].value(t_s));

        let line = [lead[0] - trail[0], lead[1] - trail[1]];
        let length = libm::hypot(line[0], line[1]);
        let along = [line[0] / length, line[1] / length];
        let across = [along[1], -along[0]];

        let force = [
            mass * body.acc_mps2[0],
            mass * body.acc_mps2[1],
            mass * (body.acc_mps2[2] + GRAVITY_MPS2),
        ];
        let free_lead = self.swing.free_moment_lead * share * body.spin_rate_nm;
        let free_trail = self.swing.free_moment_trail * (1.0 - share) * body.spin_rate_nm;
        let combined = [0, 1].map(|axis| share * lead[axis] + (1.0 - share) * trail[axis]);
        let shared =
            (combined[1] - body.r_m[1]) * force[0] - (combined[0] - body.r_m[0]) * force[1];
        let couple = (body.spin_rate_nm - free_lead - free_trail - shared) / length;

        let foot = |cop: [f64; 2], share: f64, sign: f64, free_moment_nm: f64| {
            let inner = |axis: usize| sign * (couple * across[axis] - squeeze * along[axis]);
            Foot {
                cop_t_m: cop[0],
                cop_a_m: cop[1],
                ft_n: share * force[0] + inner(0),
                fa_n: share * force[1] + inner(1),
                fz_n: share * force[2],
                free_moment_nm,
            }
        };
        Ground {
            lead: foot(lead, share, 1.0, free_lead),
            trail: foot(trail, 1.0 - share, -1.0, free_trail),
        }
    }

    /// Instants where some curve begins or ends a step, sorted: between them everything is a
    /// smooth function without kinks in any derivative.
    pub fn knots_s(&self) -> Vec<f64> {
        let mut knots: Vec<f64> = self
            .com
            .iter()
            .chain(&self.lead_cop)
            .chain(&self.trail_cop)
            .chain([&self.spin, &self.share, &self.squeeze])
            .flat_map(|curve| curve.steps.iter())
            .flat_map(|step| [step.from_s, step.to_s])
            .collect();
        knots.sort_by(f64::total_cmp);
        knots.dedup();
        knots
    }
}
