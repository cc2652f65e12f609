//! Invented comparisons as large and as rough as real ones, each from a seed, and their text.
//!
//! Single swings are drawn, their curves too; the comparison is then made by the crate that makes it for
//! the page, so that what is packed is what a page would pack.
#![allow(dead_code, reason = "each test uses its own part")]

pub mod mutate;
pub mod text;

use footing_core::compare::permutation::PermutationPlan;
use footing_core::compare::{Design, MeasureComparison, compare};
use footing_link::{
    About, Band, CurvePair, CurveTest, EventTime, Hand, LowPass, Method, Moments, NODES, Path,
    PathPair, Permutation, Shared, SharedMeasure, SharedSet, Stretch,
};

/// SplitMix64. **Source**: Steele GL, Lea D, Flood CH (2014) OOPSLA '14:453–472.
pub struct Draw(pub u64);

impl Draw {
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ z >> 30).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ z >> 27).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ z >> 31
    }

    /// 0 up to 1.
    pub fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn below(&mut self, n: u64) -> u64 {
        self.bits() % n
    }

    /// Mean 0, SD 1; a sum of twelve is near enough to normal here.
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }
}

/// Id, usual mean and swing-to-swing SD of a recreational player (invented).
const USUAL: &[(&str, f64, f64)] = &[
    ("body_mass_kg", 74.2, 0.15),
    ("torque_min_nm", -31.0, 3.1),
    ("torque_min_time_s", -0.31, 0.022),
    ("torque_max_nm", 44.0, 4.2),
    ("torque_max_time_s", 0.17, 0.014),
    ("torque_at_top_nm", 6.0, 3.0),
    ("torque_zero_cross_s", -0.04, 0.018),
    ("torque_negative_duration_s", 0.71, 0.03),
    ("impulse_negative_nms", -11.4, 0.9),
    ("impulse_positive_nms", 7.9, 0.8),
    ("impulse_net_nms", -3.5, 0.9),
    ("impulse_ratio", 1.45, 0.14),
    ("torque_min_nm_per_kg", -0.42, 0.042),
    ("torque_max_nm_per_kg", 0.59, 0.057),
    ("torque_at_top_nm_per_kg", 0.08, 0.04),
    ("impulse_negative_nms_per_kg", -0.154, 0.012),
    ("impulse_positive_nms_per_kg", 0.106, 0.011),
    ("impulse_net_nms_per_kg", -0.047, 0.012),
    ("cop_angle_at_address_deg", -2.1, 0.7),
    ("cop_angle_at_takeaway_deg", -2.4, 0.8),
    ("cop_angle_at_arm_level_deg", -5.3, 1.3),
    ("cop_angle_at_top_deg", 3.2, 1.9),
    ("cop_angle_at_impact_deg", 11.7, 2.2),
    ("cop_angle_min_deg", -7.3, 1.4),
    ("cop_angle_max_deg", 13.9, 2.0),
    ("lead_share_at_takeaway", 0.49, 0.014),
    ("lead_share_at_top", 0.37, 0.028),
    ("lead_share_at_impact", 0.81, 0.031),
    ("lead_fz_max_bw", 1.21, 0.05),
    ("trail_fz_max_bw", 0.79, 0.03),
    ("total_fz_max_bw", 1.48, 0.06),
    ("shear_spread_max_n", 231.0, 17.0),
    ("lead_fa_min_n", -62.0, 9.0),
    ("lead_fa_max_n", 118.0, 12.0),
    ("trail_fa_min_n", -109.0, 11.0),
    ("trail_fa_max_n", 71.0, 8.0),
    ("total_ft_min_n", -84.0, 9.0),
    ("total_ft_max_n", 131.0, 12.0),
    ("lead_cop_a_at_top_mm", 18.0, 6.0),
    ("trail_cop_a_at_top_mm", -9.0, 5.0),
    ("impulse_net_lead_shear_nms", -2.7, 0.6),
    ("impulse_net_trail_shear_nms", -0.9, 0.5),
    ("impulse_net_lead_free_moment_nms", 0.3, 0.2),
    ("impulse_net_trail_free_moment_nms", -0.2, 0.2),
    ("backswing_s", 0.88, 0.024),
    ("downswing_s", 0.29, 0.009),
    ("tempo_ratio", 3.03, 0.11),
];

/// A comparison and what was said of each measure before it was packed.
pub struct Invented {
    pub shared: Shared,
    pub said: Vec<MeasureComparison>,
}

/// What may differ between invented comparisons.
#[derive(Debug, Clone, Copy)]
pub struct Plan {
    pub seed: u64,
    pub swings: [usize; 2],
    pub paired: bool,
    /// Every measure and curve there is; else some are absent.
    pub everything: bool,
    pub texts: bool,
}

/// Two sets of six with everything in it.
pub fn six_and_six(seed: u64) -> Plan {
    Plan {
        seed,
        swings: [6, 6],
        paired: false,
        everything: true,
        texts: true,
    }
}

pub fn invent(plan: Plan) -> Invented {
    let draw = &mut Draw(plan.seed);
    let mut shared = Shared {
        handed: if draw.below(3) == 0 {
            Hand::Left
        } else {
            Hand::Right
        },
        about: [About::StanceCentre, About::Com, About::CombinedCop]
            [draw.below(8).min(2) as usize / (1 + usize::from(plan.everything))],
        low_pass: match draw.below(6) {
            0 => LowPass::Auto,
            1 => LowPass::Off,
            2 => LowPass::Hz(12.5),
            _ => LowPass::Hz(50.0),
        },
        mass_kg: (plan.everything || draw.below(2) == 0).then(|| 55.0 + 45.0 * draw.share()),
        ..Shared::default()
    };
    if plan.texts {
        shared.title = Some("Harbour Range · K-07 · 7-iron".into());
        shared.cue = Some(
            [
                "Step in, and let the lead heel press before the arms start down.",
                "Früher auf den linken Fuß, dann erst drehen – nicht umgekehrt.",
                "Feel the trail foot push back while the lead foot pushes forward; hold the finish for two.",
            ][draw.below(3) as usize]
                .into(),
        );
        shared.a.label = Some("last month".into());
        shared.b.label = Some("after step-in".into());
    }
    for (set, swings) in [&mut shared.a, &mut shared.b].into_iter().zip(plan.swings) {
        *set = SharedSet {
            swings: swings as u32,
            set_aside: draw.below(2) as u32,
            overruled: draw.below(4) as u32 / 3,
            top_estimated: draw.below(2) == 0,
            takeaway: Some(EventTime {
                from_top_s: -0.88 + 0.03 * draw.normal(),
                estimated: true,
            }),
            arm_level: (plan.everything || draw.below(3) == 0).then(|| EventTime {
                from_top_s: -0.41 + 0.02 * draw.normal(),
                estimated: false,
            }),
            impact: Some(EventTime {
                from_top_s: 0.29 + 0.01 * draw.normal(),
                estimated: draw.below(2) == 0,
            }),
            label: set.label.take(),
        };
    }
    let mut said = Vec::new();
    for (id, mean, sd) in USUAL {
        if plan.everything || draw.below(6) > 0 {
            let (measure, comparison) = measured(draw, plan, id, *mean, *sd);
            shared.measures.push(measure);
            said.push(comparison);
        }
    }
    let n = plan.swings;
    if plan.everything || draw.below(4) > 0 {
        shared.torque_nm = Some(curve(draw, n, plan.everything, torque));
        shared.cop_angle_deg = Some(curve(draw, n, plan.everything, angle));
    }
    if plan.everything || draw.below(4) > 0 {
        shared.lead_cop = Some(paths(draw, 310.0, n));
        shared.trail_cop = Some(paths(draw, -290.0, n));
    }
    shared.top_node = (draw.below(2) == 0).then_some(75);
    Invented { shared, said }
}

fn measured(
    draw: &mut Draw,
    plan: Plan,
    id: &'static str,
    mean: f64,
    sd: f64,
) -> (SharedMeasure, MeasureComparison) {
    let mean = mean + 2.0 * sd * draw.normal();
    let change = sd * draw.normal() * [0.0, 1.0, 3.0][draw.below(3) as usize];
    let mut swings = |n: usize, mean: f64| -> Vec<f64> {
        let absent = !plan.everything && !plan.paired && draw.below(8) == 0;
        (0..n - usize::from(absent && n > 0))
            .map(|_| mean + sd * draw.normal())
            .collect()
    };
    let a = swings(plan.swings[0], mean);
    let b = swings(plan.swings[1], mean + change);
    let design = if plan.paired {
        Design::Paired
    } else {
        Design::Separate
    };
    let said = compare(&a, &b, design, &PermutationPlan::default()).unwrap();
    let moments = |s: &footing_core::compare::summary::Summary| Moments {
        n: s.n as u32,
        mean: s.mean,
        sd: s.sd,
    };
    let differences: Vec<f64> = b.iter().zip(&a).map(|(b, a)| b - a).collect();
    let measure = SharedMeasure {
        id,
        a: moments(&said.a),
        b: moments(&said.b),
        sd_of_differences: plan
            .paired
            .then(|| footing_core::compare::summary::summarise(&differences).sd)
            .flatten(),
        permutation: said.p_permutation.map(|p| Permutation {
            at_least: (p.p * p.arrangements as f64).round() as u32,
            arrangements: p.arrangements as u32,
            exact: p.exact,
        }),
        lag1_r: said.lag1.map(|lag| lag.r),
        step: None,
    };
    (measure, said)
}

fn bump(x: f64, centre: f64, width: f64) -> f64 {
    (-0.5 * ((x - centre) / width).powi(2)).exp()
}

/// Torque of a swing, N·m, over its share.
fn torque(x: f64, of: &[f64; 3]) -> f64 {
    -(31.0 + 3.0 * of[0]) * bump(x, 0.42 + 0.02 * of[1], 0.18)
        + (44.0 + 4.0 * of[2]) * bump(x, 0.86 + 0.01 * of[1], 0.07)
        + 6.0 * bump(x, 0.08, 0.05)
}

/// Foot-to-foot CoP angle of a swing, degrees.
fn angle(x: f64, of: &[f64; 3]) -> f64 {
    -2.4 + 0.8 * of[0] - 5.0 * bump(x, 0.35, 0.15)
        + (14.0 + 2.0 * of[2]) / (1.0 + (-(x - 0.78 - 0.015 * of[1]) / 0.04).exp())
}

/// What the same swing would look like with its own wobble: smooth, up to the 20th cosine, and a
/// little that is not.
fn wobbly(draw: &mut Draw, shape: impl Fn(f64) -> f64, size: f64) -> Vec<f64> {
    let terms: Vec<f64> = (1..=20)
        .map(|k| size * draw.normal() / f64::from(k).powf(1.2))
        .collect();
    (0..NODES)
        .map(|q| {
            let x = q as f64 / (NODES - 1) as f64;
            let wobble: f64 = terms
                .iter()
                .zip(1..)
                .map(|(c, k)| c * (std::f64::consts::PI * f64::from(k) * x).cos())
                .sum();
            shape(x) + wobble + 0.04 * size * draw.normal()
        })
        .collect()
}

fn band(swings: &[Vec<f64>], from: usize) -> Band {
    let n = swings.len() as f64;
    let (mut mean, mut sd) = (vec![None; NODES], vec![None; NODES]);
    for q in from..NODES {
        let m = swings.iter().map(|s| s[q]).sum::<f64>() / n;
        let squares: f64 = swings.iter().map(|s| (s[q] - m).powi(2)).sum();
        mean[q] = (n > 0.0).then_some(m);
        sd[q] = (n > 1.0).then(|| (squares / (n - 1.0)).sqrt());
    }
    if swings.len() < 2 {
        sd.clear();
    }
    Band {
        n: swings.len() as u32,
        mean,
        sd,
    }
}

fn curve(
    draw: &mut Draw,
    n: [usize; 2],
    everything: bool,
    shape: fn(f64, &[f64; 3]) -> f64,
) -> CurvePair {
    let change = draw.normal();
    let from = if everything || draw.below(2) == 0 {
        0
    } else {
        3
    };
    let [a, b] = [0.0, change].map(|change| [change, 2.0 * change, 1.5 * change]);
    let mut set = |n: usize, about: [f64; 3]| {
        let swings: Vec<_> = (0..n)
            .map(|_| {
                let of = about.map(|centre| centre + draw.normal());
                wobbly(draw, |x| shape(x, &of), 1.2)
            })
            .collect();
        band(&swings, from)
    };
    let (a, b) = (set(n[0], a), set(n[1], b));
    let stretch = |draw: &mut Draw| {
        let from_pct = 90.0 * draw.share();
        Stretch {
            from_pct,
            to_pct: from_pct + (100.0 - from_pct) * draw.share(),
            b_higher: draw.below(2) == 0,
            p: 0.05 * draw.share() + 1e-6,
        }
    };
    let tests = [Method::Permutation, Method::RandomField]
        .into_iter()
        .map(|method| CurveTest {
            method,
            threshold: 3.5 + draw.share(),
            stretches: (0..draw.below(4)).map(|_| stretch(draw)).collect(),
        })
        .collect();
    CurvePair {
        a,
        b,
        tests,
        steps: None,
    }
}

fn paths(draw: &mut Draw, t_mm: f64, n: [usize; 2]) -> PathPair {
    let shift = 10.0 * draw.normal();
    let mut path = |shift: f64, n: usize| {
        let spread = 1.0 / (n.max(1) as f64).sqrt();
        let t = wobbly(
            draw,
            |x| t_mm + 25.0 * bump(x, 0.5, 0.2) - 15.0 * bump(x, 0.9, 0.08),
            6.0 * spread,
        );
        let a = wobbly(
            draw,
            |x| shift - 30.0 * bump(x, 0.45, 0.2) + 70.0 / (1.0 + (-(x - 0.8) / 0.05).exp()),
            9.0 * spread,
        );
        Path {
            t_mm: t.into_iter().map(Some).collect(),
            a_mm: a.into_iter().map(Some).collect(),
        }
    };
    PathPair {
        a: path(0.0, n[0]),
        b: path(shift, n[1]),
        step: None,
    }
}
