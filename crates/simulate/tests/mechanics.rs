//! The swings obey Newton and Euler, and their truth is what brute force finds.

use footing_core::recording::{PlateKind, Recording};
use footing_simulate::ground::GRAVITY_MPS2;
use footing_simulate::{About, Bay, Motion, Swing, record, truth};

fn swings() -> impl Iterator<Item = Swing> {
    std::iter::once(Swing::default()).chain((0..24).map(Swing::varied))
}

/// Central difference of a function of time.
fn slope(f: impl Fn(f64) -> f64, t: f64) -> f64 {
    let h = 1e-5;
    (f(t + h) - f(t - h)) / (2.0 * h)
}

#[test]
fn forces_are_mass_times_acceleration() {
    // Newton's second law, the acceleration taken by differences from the path alone.
    for swing in swings() {
        let motion = Motion::new(&swing);
        for i in 0..400 {
            let t = swing.end_s() * i as f64 / 400.0;
            let ground = motion.ground(t);
            let acceleration = |axis: usize| slope(|t| motion.body(t).v_mps[axis], t);
            let speed = |axis: usize| slope(|t| motion.body(t).r_m[axis], t);
            for axis in 0..3 {
                assert!((speed(axis) - motion.body(t).v_mps[axis]).abs() < 1e-6);
            }
            let m = swing.mass_kg;
            assert!((ground.lead.ft_n + ground.trail.ft_n - m * acceleration(0)).abs() < 1e-3);
            assert!((ground.lead.fa_n + ground.trail.fa_n - m * acceleration(1)).abs() < 1e-3);
            let up = m * (acceleration(2) + GRAVITY_MPS2);
            assert!((ground.lead.fz_n + ground.trail.fz_n - up).abs() < 1e-3);
        }
    }
}

#[test]
fn torque_about_each_axis_is_the_rate_of_change_of_its_momentum() {
    // Euler's law about the centre of mass and about a fixed axis, summed over the feet.
    for swing in swings() {
        let motion = Motion::new(&swing);
        for i in 0..400 {
            let t = swing.end_s() * i as f64 / 400.0;
            let ground = motion.ground(t);
            for about in [About::Com, About::StanceCentre] {
                let from_feet = ground.torque_nm(motion.axis_m(about, t));
                let rate = slope(|t| motion.momentum_nms(about, t).unwrap(), t);
                assert!(
                    (from_feet - rate).abs() < 1e-4,
                    "{about:?} at {t}: {from_feet} against {rate}"
                );
                assert!((from_feet - motion.torque_nm(about, t)).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn the_player_stands_still_over_the_combined_cop_at_address() {
    for swing in swings() {
        let motion = Motion::new(&swing);
        for i in 0..10 {
            let t = swing.takeaway_s() * f64::from(i) / 10.0;
            let (body, ground) = (motion.body(t), motion.ground(t));
            let (cop_t, cop_a) = ground.combined_cop_m();
            assert!((cop_t - body.r_m[0]).abs() < 1e-12 && (cop_a - body.r_m[1]).abs() < 1e-12);
            assert_eq!(body.v_mps, [0.0; 3]);
            assert_eq!(body.spin_nms, 0.0);
            for about in About::ALL {
                assert!(ground.torque_nm(motion.axis_m(about, t)).abs() < 1e-12);
            }
        }
        // One millisecond into the swing something has moved.
        assert!(motion.body(swing.takeaway_s() + 0.001).spin_nms < 0.0);
        // Still again at the finish.
        let end = motion.body(swing.finish_s() + 1e-9);
        assert!(end.spin_nms.abs() < 1e-9 && end.v_mps.iter().all(|v| v.abs() < 1e-9));
    }
}

#[test]
fn spin_is_nil_at_transition_and_turns_the_right_way_around_it() {
    for swing in swings() {
        let motion = Motion::new(&swing);
        let transition = swing.transition_s();
        assert!(motion.body(transition).spin_nms.abs() < 1e-9);
        for i in 1..100 {
            let part = f64::from(i) / 100.0;
            let back = swing.takeaway_s() + part * (transition - swing.takeaway_s());
            assert!(motion.body(back).spin_nms < 0.0, "{back}");
            let through = transition + part * (swing.impact_s() - transition);
            assert!(motion.body(through).spin_nms > 0.0, "{through}");
        }
    }
}

#[test]
fn truth_is_what_a_hundred_thousand_samples_a_second_find() {
    for swing in [Swing::default(), Swing::varied(3), Swing::varied(4)] {
        let motion = Motion::new(&swing);
        let (start, end) = (swing.takeaway_s(), swing.impact_s());
        let dt = 1e-5;
        let n = ((end - start) / dt).round() as usize;
        let dt = (end - start) / n as f64;
        for about in About::ALL {
            let found = truth(&swing, about);
            let (mut negative, mut positive, mut below) = (0.0, 0.0, 0.0);
            let (mut least, mut most) = ((0.0, f64::INFINITY), (0.0, f64::NEG_INFINITY));
            let mut split = [0.0; 4];
            let mut angle = (f64::INFINITY, f64::NEG_INFINITY);
            let (mut fz, mut spread, mut ft) = (0.0_f64, 0.0_f64, f64::NEG_INFINITY);
            let mut last_up = None;
            let mut before = 0.0;
            for i in 0..n {
                // Midpoint rule from the feet alone.
                let t = start + (i as f64 + 0.5) * dt;
                let ground = motion.ground(t);
                let axis = motion.axis_m(about, t);
                let torque = ground.torque_nm(axis);
                if torque < 0.0 {
                    negative += torque * dt;
                    below += dt;
                } else {
                    positive += torque * dt;
                }
                if before < 0.0 && torque >= 0.0 {
                    last_up = Some(t);
                }
                before = torque;
                if torque < least.1 {
                    least = (t, torque);
                }
                if torque > most.1 {
                    most = (t, torque);
                }
                split[0] += ground.lead.shear_torque_nm(axis) * dt;
                split[1] += ground.trail.shear_torque_nm(axis) * dt;
                split[2] += ground.lead.free_moment_nm * dt;
                split[3] += ground.trail.free_moment_nm * dt;
                angle.0 = angle.0.min(ground.cop_angle_deg());
                angle.1 = angle.1.max(ground.cop_angle_deg());
                fz = fz.max(ground.lead.fz_n);
                spread = spread.max((ground.lead.fa_n - ground.trail.fa_n).abs());
                ft = ft.max(ground.lead.ft_n + ground.trail.ft_n);
            }
            let top = swing.top_s();
            for (id, value, tolerance) in [
                ("impulse_negative_nms", negative, 1e-6),
                ("impulse_positive_nms", positive, 1e-6),
                ("impulse_net_nms", negative + positive, 1e-6),
                ("impulse_ratio", -negative / positive, 1e-6),
                // A crossing within the first half millisecond after takeaway is below the grid.
                ("torque_negative_duration_s", below, 5e-4),
                ("torque_min_nm", least.1, 1e-4),
                ("torque_max_nm", most.1, 1e-4),
                ("torque_min_time_s", least.0 - top, 1e-3),
                ("torque_max_time_s", most.0 - top, 1e-3),
                ("torque_zero_cross_s", last_up.unwrap() - top, 2e-5),
                ("impulse_net_lead_shear_nms", split[0], 1e-6),
                ("impulse_net_trail_shear_nms", split[1], 1e-6),
                ("impulse_net_lead_free_moment_nms", split[2], 1e-6),
                ("impulse_net_trail_free_moment_nms", split[3], 1e-6),
                ("cop_angle_min_deg", angle.0, 1e-4),
                ("cop_angle_max_deg", angle.1, 1e-4),
                ("lead_fz_max_bw", fz / (swing.mass_kg * 9.80665), 1e-5),
                ("shear_spread_max_n", spread, 1e-3),
                ("total_ft_max_n", ft, 1e-2),
            ] {
                let got = found.get(id).unwrap_or(f64::NAN);
                assert!(
                    (got - value).abs() <= tolerance,
                    "{about:?} {id}: truth {got}, brute force {value}"
                );
            }
            let sum: f64 = [
                "impulse_net_lead_shear_nms",
                "impulse_net_trail_shear_nms",
                "impulse_net_lead_free_moment_nms",
                "impulse_net_trail_free_moment_nms",
            ]
            .iter()
            .map(|id| found.get(id).unwrap())
            .sum();
            assert!((sum - found.get("impulse_net_nms").unwrap()).abs() < 1e-9);
        }
    }
}

/// Vertical moment about the lab origin and total force, from a recording's plates.
fn about_origin(recording: &Recording, i: usize, sense: f64) -> ([f64; 3], f64) {
    let mut total = ([0.0; 3], 0.0);
    for plate in &recording.plates {
        let shear = plate.shear.as_ref().unwrap();
        let pose = plate.lab_from_plate;
        let force = pose.rotation.x * (sense * shear.fx_n[i])
            + pose.rotation.y * (sense * shear.fy_n[i])
            + pose.rotation.z * (sense * plate.fz_n[i]);
        let moment = pose.rotation.x * (sense * plate.mx_nm[i])
            + pose.rotation.y * (sense * plate.my_nm[i])
            + pose.rotation.z * (sense * shear.mz_nm[i]);
        let c = pose.centre_m;
        total.0[0] += force.x;
        total.0[1] += force.y;
        total.0[2] += force.z;
        total.1 += moment.z + c.x * force.y - c.y * force.x;
    }
    total
}

#[test]
fn every_bay_records_the_same_ground_reaction() {
    // However the plates are turned, moved, flipped, signed or wired, the lab sees one wrench:
    // force and vertical moment about the player's stance centre, from Newton and Euler.
    for seed in 0..6 {
        let swing = Swing::varied(seed);
        let motion = Motion::new(&swing);
        let kinds = [
            PlateKind::SixComponent,
            PlateKind::ForceCop,
            PlateKind::EightChannel,
        ];
        for (k, kind) in kinds.into_iter().enumerate() {
            let azimuth = 37.0 * f64::from(seed as u32) - 60.0;
            let mut bay = Bay::two_plates(
                kind,
                azimuth,
                90.0 * k as f64,
                (k as u64 + seed).is_multiple_of(2),
            )
            .moved((0.4, -1.1));
            bay.on_player = seed.is_multiple_of(2);
            bay.rate_hz = 200.0;
            let recording = record(&swing, &bay, 0);
            let sense = if bay.on_player { 1.0 } else { -1.0 };
            let mirror = match swing.handed {
                footing_core::frame::Handed::Right => 1.0,
                footing_core::frame::Handed::Left => -1.0,
            };
            let (cos, sin) = (azimuth.to_radians().cos(), azimuth.to_radians().sin());
            for (i, &t) in recording.t_s.iter().enumerate() {
                let (force, moment) = about_origin(&recording, i, sense);
                let body = motion.body(t);
                let ft = force[0] * cos + force[1] * sin;
                let fa = mirror * (force[0] * sin - force[1] * cos);
                let m = swing.mass_kg;
                assert!((ft - m * body.acc_mps2[0]).abs() < 1e-8);
                assert!((fa - m * body.acc_mps2[1]).abs() < 1e-8);
                assert!((force[2] - m * (body.acc_mps2[2] + GRAVITY_MPS2)).abs() < 1e-8);
                let about_centre = moment - (0.4 * force[1] + 1.1 * force[0]);
                let expected = motion.torque_nm(About::StanceCentre, t);
                assert!(
                    (mirror * about_centre - expected).abs() < 1e-8,
                    "{kind:?} at {t}: {about_centre} against {expected}"
                );
            }
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_recording_and_another_seed_another() {
    let mut bay = Bay::two_plates(PlateKind::EightChannel, 90.0, 0.0, false);
    bay.force_noise_n = 0.5;
    bay.unloaded_s = Some(0.5);
    bay.rate_hz = 250.0;
    let swing = Swing::varied(11);
    assert_eq!(swing, Swing::varied(11));
    assert_ne!(swing, Swing::varied(12));
    assert_eq!(record(&swing, &bay, 5), record(&swing, &bay, 5));
    assert_ne!(record(&swing, &bay, 5), record(&swing, &bay, 6));
    // Nobody is on the plates in the lead-in.
    assert!(
        record(&swing, &bay, 5).plates[0].fz_n[..125]
            .iter()
            .all(|f| f.abs() < 5.0)
    );
}
