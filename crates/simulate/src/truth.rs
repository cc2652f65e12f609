//! What a perfect analysis would find: every measure from the closed forms, without sampling.

use std::collections::BTreeMap;

use crate::curve::root;
use crate::ground::{Body, GRAVITY_MPS2, Ground, Motion};
use crate::swing::Swing;

/// The vertical axis torque is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// Fixed: midpoint of the two centres of pressure at address.
    StanceCentre,
    /// Moving with the centre of mass.
    Com,
    /// Moving with the combined centre of pressure.
    CombinedCop,
}

impl About {
    /// All three.
    pub const ALL: [Self; 3] = [Self::StanceCentre, Self::Com, Self::CombinedCop];

    /// The name used in options and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::StanceCentre => "stance-centre",
            Self::Com => "com",
            Self::CombinedCop => "combined-cop",
        }
    }
}

/// Instants of a swing, seconds on the clock said by whoever made them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Events {
    /// Last instant of quiet stance: nothing has moved yet.
    pub address_s: f64,
    /// Onset of the swing; the same instant.
    pub takeaway_s: f64,
    /// Lead arm level in the backswing.
    pub arm_level_s: f64,
    /// Top of the backswing.
    pub top_s: f64,
    /// Spin about the vertical through the centre of mass is nil again.
    pub transition_s: f64,
    /// Club meets ball.
    pub impact_s: f64,
    /// Nothing moves any more.
    pub finish_s: f64,
}

impl Events {
    /// The events of a swing on its own clock.
    pub fn of(swing: &Swing) -> Self {
        Self {
            address_s: swing.takeaway_s(),
            takeaway_s: swing.takeaway_s(),
            arm_level_s: swing.arm_level_s(),
            top_s: swing.top_s(),
            transition_s: swing.transition_s(),
            impact_s: swing.impact_s(),
            finish_s: swing.finish_s(),
        }
    }

    /// The same events on a clock on which the swing begins `by_s` later.
    pub fn later(self, by_s: f64) -> Self {
        Self {
            address_s: self.address_s + by_s,
            takeaway_s: self.takeaway_s + by_s,
            arm_level_s: self.arm_level_s + by_s,
            top_s: self.top_s + by_s,
            transition_s: self.transition_s + by_s,
            impact_s: self.impact_s + by_s,
            finish_s: self.finish_s + by_s,
        }
    }
}

/// The true values of one swing about one axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// Which axis.
    pub about: About,
    /// Events on the swing's own clock.
    pub events: Events,
    /// Measures by id; those that do not exist for this swing are missing.
    pub measures: BTreeMap<String, f64>,
    /// How often the torque crosses zero upward after its minimum and before impact.
    pub upward_crossings: usize,
}

impl Truth {
    /// The measure with this id.
    pub fn get(&self, id: &str) -> Option<f64> {
        self.measures.get(id).copied()
    }
}

/// Spacing of the grid on which extremes and crossings are bracketed before refinement, s.
const GRID_S: f64 = 0.000_5;

impl Motion {
    /// Where the axis stands at `t_s`, `(t, a)` in metres from the stance centre.
    pub fn axis_m(&self, about: About, t_s: f64) -> (f64, f64) {
        match about {
            About::StanceCentre => (0.0, 0.0),
            About::Com => {
                let r = self.body(t_s).r_m;
                (r[0], r[1])
            }
            About::CombinedCop => self.ground(t_s).combined_cop_m(),
        }
    }

    /// Torque toward the target about the axis, N·m. About the centre of mass it is the
    /// derivative of the spin, not a sum over the feet.
    pub fn torque_nm(&self, about: About, t_s: f64) -> f64 {
        match about {
            About::Com => self.body(t_s).spin_rate_nm,
            _ => {
                let ground = self.ground(t_s);
                match about {
                    About::CombinedCop => ground.torque_nm(ground.combined_cop_m()),
                    _ => ground.torque_nm((0.0, 0.0)),
                }
            }
        }
    }

    /// Angular momentum whose rate of change is the torque about the axis, N·m·s; `None` about
    /// the combined centre of pressure, where there is none.
    ///
    /// ```text
    /// H_P = H + m[(a_r − a_P)·ṫ_r − (t_r − t_P)·ȧ_r]
    /// ```
    pub fn momentum_nms(&self, about: About, t_s: f64) -> Option<f64> {
        let Body {
            r_m,
            v_mps,
            spin_nms,
            ..
        } = self.body(t_s);
        match about {
            About::StanceCentre => {
                Some(spin_nms + self.swing.mass_kg * (r_m[1] * v_mps[0] - r_m[0] * v_mps[1]))
            }
            About::Com => Some(spin_nms),
            About::CombinedCop => None,
        }
    }

    /// Torque integrated between two instants, N·m·s: a difference of momenta where there is one.
    pub fn impulse_nms(&self, about: About, from_s: f64, to_s: f64) -> f64 {
        match (
            self.momentum_nms(about, from_s),
            self.momentum_nms(about, to_s),
        ) {
            (Some(before), Some(after)) => after - before,
            _ => self.integral(from_s, to_s, |t| self.torque_nm(about, t)),
        }
    }

    /// Gauss–Legendre quadrature, five points on panels of at most 2 ms that end at every knot.
    pub fn integral(&self, from_s: f64, to_s: f64, f: impl Fn(f64) -> f64) -> f64 {
        // Abramowitz & Stegun (1964), table 25.4, n = 5.
        const POINTS: [(f64, f64); 5] = [
            (0.0, 0.568_888_888_888_888_9),
            (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (0.906_179_845_938_664, 0.236_926_885_056_189_1),
            (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
        ];
        let mut ends = vec![from_s];
        ends.extend(
            self.knots_s()
                .into_iter()
                .filter(|knot| *knot > from_s && *knot < to_s),
        );
        ends.push(to_s);
        let mut sum = 0.0;
        for pair in ends.windows(2) {
            let panels = ((pair[1] - pair[0]) / 0.002).ceil().max(1.0);
            let half = 0.5 * (pair[1] - pair[0]) / panels;
            for panel in 0..panels as usize {
                let middle = pair[0] + (2 * panel + 1) as f64 * half;
                for (x, weight) in POINTS {
                    sum += weight * half * f(middle + half * x);
                }
            }
        }
        sum
    }
}

/// The largest value of `f` between two instants and where it is: dense grid, then golden-section
/// refinement around the best grid point.
pub fn maximum(from_s: f64, to_s: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    let n = ((to_s - from_s) / GRID_S).ceil().max(2.0) as usize;
    let at = |i: usize| from_s + (to_s - from_s) * i as f64 / n as f64;
    let best = (0..=n)
        .max_by(|i, j| f(at(*i)).total_cmp(&f(at(*j))))
        .unwrap_or(0);
    let (mut lo, mut hi) = (at(best.saturating_sub(1)), at((best + 1).min(n)));
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    for _ in 0..40 {
        let (x1, x2) = (hi - GOLDEN * (hi - lo), lo + GOLDEN * (hi - lo));
        if f(x1) < f(x2) {
            lo = x1;
        } else {
            hi = x2;
        }
    }
    let middle = 0.5 * (lo + hi);
    // At an end of the window the refinement stops short of the end itself.
    [at(best), middle]
        .map(|t| (t, f(t)))
        .into_iter()
        .max_by(|p, q| p.1.total_cmp(&q.1))
        .unwrap_or((middle, f(middle)))
}

/// The smallest value between two instants and where it is.
pub fn minimum(from_s: f64, to_s: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    let (t, value) = maximum(from_s, to_s, |t| -f(t));
    (t, -value)
}

/// Sign changes of `f` between two instants: grid, then bisection. Each is `(instant, upward)`.
pub fn crossings(from_s: f64, to_s: f64, f: impl Fn(f64) -> f64) -> Vec<(f64, bool)> {
    let n = ((to_s - from_s) / GRID_S).ceil() as usize;
    let at = |i: usize| from_s + (to_s - from_s) * i as f64 / n as f64;
    let mut found = Vec::new();
    // Below this a torque is rounding, not a torque.
    let negligible = 1e-9;
    let mut last: Option<(f64, bool)> = None;
    for i in 0..=n {
        let (t, value) = (at(i), f(at(i)));
        if value.abs() < negligible {
            continue;
        }
        let positive = value > 0.0;
        if let Some((before, was_positive)) = last
            && was_positive != positive
        {
            found.push((root(before, t, &f), positive));
        }
        last = Some((t, positive));
    }
    found
}

/// The truth of a swing about one axis.
///
/// The window is takeaway → impact; times are relative to the top; torque is positive toward the
/// target. About a fixed point or the centre of mass the impulses are exact differences of angular
/// momentum between zero crossings; about the combined centre of pressure, and for the split into
/// four, they are Gauss quadratures good to about 1e-12.
pub fn truth(swing: &Swing, about: About) -> Truth {
    let motion = Motion::new(swing);
    let events = Events::of(swing);
    let (start, top, impact) = (events.takeaway_s, events.top_s, events.impact_s);
    let mass = swing.mass_kg;
    let weight = mass * GRAVITY_MPS2;
    let ground = |t: f64| motion.ground(t);
    let torque = |t: f64| motion.torque_nm(about, t);
    let mut measures = BTreeMap::new();
    let mut put = |id: &str, value: f64| {
        measures.insert(id.to_string(), value);
    };

    put("body_mass_kg", mass);
    let (t_min, torque_min) = minimum(start, impact, torque);
    let (t_max, torque_max) = maximum(start, impact, torque);
    put("torque_min_time_s", t_min - top);
    put("torque_max_time_s", t_max - top);

    let zeros = crossings(start, impact, torque);
    let upward: Vec<f64> = zeros
        .iter()
        .filter(|(t, up)| *up && *t > t_min)
        .map(|(t, _)| *t)
        .collect();
    if let Some(last) = upward.last() {
        put("torque_zero_cross_s", last - top);
    }
    let mut ends = vec![start];
    ends.extend(zeros.iter().map(|(t, _)| *t));
    ends.push(impact);
    let (mut negative, mut positive, mut negative_duration) = (0.0, 0.0, 0.0);
    for pair in ends.windows(2) {
        let impulse = motion.impulse_nms(about, pair[0], pair[1]);
        if impulse < 0.0 {
            negative += impulse;
            negative_duration += pair[1] - pair[0];
        } else {
            positive += impulse;
        }
    }
    put("torque_negative_duration_s", negative_duration);
    if negative < 0.0 {
        put("impulse_ratio", -negative / positive);
    }
    for (id, value) in [
        ("torque_min_nm", torque_min),
        ("torque_max_nm", torque_max),
        ("torque_at_top_nm", torque(top)),
        ("impulse_negative_nms", negative),
        ("impulse_positive_nms", positive),
        ("impulse_net_nms", motion.impulse_nms(about, start, impact)),
    ] {
        put(id, value);
        put(&format!("{id}_per_kg"), value / mass);
    }

    for (name, t) in [
        ("address", events.address_s),
        ("takeaway", start),
        ("arm_level", events.arm_level_s),
        ("top", top),
        ("impact", impact),
    ] {
        put(
            &format!("cop_angle_at_{name}_deg"),
            ground(t).cop_angle_deg(),
        );
        if !matches!(name, "address" | "arm_level") {
            put(&format!("lead_share_at_{name}"), ground(t).lead_share());
        }
    }
    let largest = |f: fn(&Ground) -> f64| maximum(start, impact, |t| f(&motion.ground(t))).1;
    let smallest = |f: fn(&Ground) -> f64| minimum(start, impact, |t| f(&motion.ground(t))).1;
    put("cop_angle_min_deg", smallest(Ground::cop_angle_deg));
    put("cop_angle_max_deg", largest(Ground::cop_angle_deg));
    put("lead_fz_max_bw", largest(|g| g.lead.fz_n) / weight);
    put("trail_fz_max_bw", largest(|g| g.trail.fz_n) / weight);
    put(
        "total_fz_max_bw",
        largest(|g| g.lead.fz_n + g.trail.fz_n) / weight,
    );
    put(
        "shear_spread_max_n",
        largest(|g| (g.lead.fa_n - g.trail.fa_n).abs()),
    );
    put("lead_fa_min_n", smallest(|g| g.lead.fa_n));
    put("lead_fa_max_n", largest(|g| g.lead.fa_n));
    put("trail_fa_min_n", smallest(|g| g.trail.fa_n));
    put("trail_fa_max_n", largest(|g| g.trail.fa_n));
    put("total_ft_min_n", smallest(|g| g.lead.ft_n + g.trail.ft_n));
    put("total_ft_max_n", largest(|g| g.lead.ft_n + g.trail.ft_n));

    let (address, at_top) = (ground(start), ground(top));
    put(
        "lead_cop_a_at_top_mm",
        1000.0 * (at_top.lead.cop_a_m - address.lead.cop_a_m),
    );
    put(
        "trail_cop_a_at_top_mm",
        1000.0 * (at_top.trail.cop_a_m - address.trail.cop_a_m),
    );
    let axis = |t: f64| motion.axis_m(about, t);
    put(
        "impulse_net_lead_shear_nms",
        motion.integral(start, impact, |t| ground(t).lead.shear_torque_nm(axis(t))),
    );
    put(
        "impulse_net_trail_shear_nms",
        motion.integral(start, impact, |t| ground(t).trail.shear_torque_nm(axis(t))),
    );
    put(
        "impulse_net_lead_free_moment_nms",
        motion.integral(start, impact, |t| ground(t).lead.free_moment_nm),
    );
    put(
        "impulse_net_trail_free_moment_nms",
        motion.integral(start, impact, |t| ground(t).trail.free_moment_nm),
    );
    put("backswing_s", swing.backswing_s);
    put("downswing_s", swing.downswing_s);
    put("tempo_ratio", swing.backswing_s / swing.downswing_s);

    Truth {
        about,
        events,
        measures,
        upward_crossings: upward.len(),
    }
}
