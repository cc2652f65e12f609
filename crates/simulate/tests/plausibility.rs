//! Made-up swings stay in the ranges of published and customary golf values.
//!
//! Ranges: per-foot shear from Worsfold P, Smith NA, Dyson RJ (2007) (the published basis of the
//! 0.15–0.35 and 0.18–0.28 body-weight ranges), the rest common practice. The bounds asserted are
//! wider, the ones beyond which a recording would be questioned.

use footing_simulate::ground::Ground;
use footing_simulate::truth::{maximum, minimum};
use footing_simulate::{About, Motion, Swing, truth};

/// Name, value, lowest and highest that nobody would question.
fn rows(swing: &Swing) -> Vec<(&'static str, f64, f64, f64)> {
    let motion = Motion::new(swing);
    let weight = swing.mass_kg * 9.80665;
    let (start, impact, end) = (swing.takeaway_s(), swing.impact_s(), swing.end_s());
    let most = |f: fn(&Ground) -> f64| maximum(start, end, |t| f(&motion.ground(t))).1;
    let least = |f: fn(&Ground) -> f64| minimum(start, end, |t| f(&motion.ground(t))).1;
    let range = |f: fn(&Ground) -> f64| {
        (maximum(start, impact, |t| f(&motion.ground(t))).1
            - minimum(start, impact, |t| f(&motion.ground(t))).1)
            / weight
    };
    let slip = |f: fn(&Ground) -> (f64, f64, f64)| {
        maximum(start, impact, |t| {
            let (ft, fa, fz) = f(&motion.ground(t));
            if fz > 0.2 * weight {
                ft.hypot(fa) / fz
            } else {
                0.0
            }
        })
        .1
    };
    let com = truth(swing, About::Com);
    let centre = truth(swing, About::StanceCentre);
    let get = |id: &str| com.get(id).unwrap();
    vec![
        (
            "lead peak Fz, BW",
            com.get("lead_fz_max_bw").unwrap(),
            0.6,
            1.7,
        ),
        ("trail peak Fz, BW", get("trail_fz_max_bw"), 0.5, 1.2),
        (
            "total Fz least, BW",
            least(|g| g.lead.fz_n + g.trail.fz_n) / weight,
            0.3,
            1.0,
        ),
        (
            "total Fz most, BW",
            most(|g| g.lead.fz_n + g.trail.fz_n) / weight,
            1.05,
            1.9,
        ),
        ("lead Fz least, N", least(|g| g.lead.fz_n), 45.0, 600.0),
        ("trail Fz least, N", least(|g| g.trail.fz_n), 35.0, 600.0),
        ("lead toe-heel range, BW", range(|g| g.lead.fa_n), 0.08, 0.6),
        (
            "trail toe-heel range, BW",
            range(|g| g.trail.fa_n),
            0.08,
            0.6,
        ),
        (
            "lead along-line range, BW",
            range(|g| g.lead.ft_n),
            0.08,
            0.6,
        ),
        (
            "trail along-line range, BW",
            range(|g| g.trail.ft_n),
            0.08,
            0.6,
        ),
        (
            "lead shear / Fz above 20 % BW",
            slip(|g| (g.lead.ft_n, g.lead.fa_n, g.lead.fz_n)),
            0.0,
            0.8,
        ),
        (
            "trail shear / Fz above 20 % BW",
            slip(|g| (g.trail.ft_n, g.trail.fa_n, g.trail.fz_n)),
            0.0,
            0.8,
        ),
        (
            "lead free moment, N·m",
            most(|g| g.lead.free_moment_nm),
            2.0,
            30.0,
        ),
        (
            "trail free moment, N·m",
            most(|g| g.trail.free_moment_nm),
            1.0,
            30.0,
        ),
        ("torque least, N·m", get("torque_min_nm"), -55.0, -15.0),
        ("torque most, N·m", get("torque_max_nm"), 35.0, 140.0),
        (
            "torque about stance centre, most",
            centre.get("torque_max_nm").unwrap(),
            30.0,
            150.0,
        ),
        (
            "positive impulse, N·m·s",
            get("impulse_positive_nms"),
            8.0,
            30.0,
        ),
        (
            "positive impulse about stance centre",
            centre.get("impulse_positive_nms").unwrap(),
            5.0,
            35.0,
        ),
        (
            "torque back toward target before top, s",
            get("torque_zero_cross_s"),
            -0.5,
            -0.02,
        ),
        (
            "upward crossings about CoM",
            com.upward_crossings as f64,
            1.0,
            1.0,
        ),
        (
            "upward crossings about stance centre",
            centre.upward_crossings as f64,
            1.0,
            1.0,
        ),
        (
            "stance, m",
            minimum(start, end, |t| {
                let g = motion.ground(t);
                (g.lead.cop_t_m - g.trail.cop_t_m).hypot(g.lead.cop_a_m - g.trail.cop_a_m)
            })
            .1,
            0.35,
            0.65,
        ),
    ]
}

#[test]
fn two_hundred_made_up_swings_are_plausible() {
    let mut extremes: Vec<(f64, f64)> = Vec::new();
    let mut outside = Vec::new();
    let swings = std::iter::once(Swing::default()).chain((0..200).map(Swing::varied));
    for (i, swing) in swings.enumerate() {
        let rows = rows(&swing);
        extremes.resize(rows.len(), (f64::INFINITY, f64::NEG_INFINITY));
        for (row, seen) in rows.iter().zip(&mut extremes) {
            let (name, value, lo, hi) = *row;
            *seen = (seen.0.min(value), seen.1.max(value));
            if !(lo..=hi).contains(&value) {
                outside.push(format!(
                    "swing {i}: {name} = {value:.3}, expected {lo} to {hi}"
                ));
            }
        }
    }
    for (row, (lo, hi)) in rows(&Swing::default()).iter().zip(&extremes) {
        println!("{:42} default {:8.3}   {lo:8.3} … {hi:8.3}", row.0, row.1);
    }
    assert!(
        outside.is_empty(),
        "{} outside\n{}",
        outside.len(),
        outside.join("\n")
    );
}
