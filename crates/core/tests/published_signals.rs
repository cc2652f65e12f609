//! Worked examples of filtering, areas and crossings.

use footing_core::filter::{LowPassFilter, residual_analysis};
use footing_core::measures::time_below_zero;
use footing_core::sampled::{Line, area, running_area, signed_areas, upward_crossings};
use std::f64::consts::PI;

fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "expected {expected}, got {got}"
    );
}

/// Coefficients of the corrected design, as printed (numpy 2.4; recipe of Winter 2009 § 3.4 with
/// the correction of Robertson & Dowling 2003). The printed b1 and b2 are −a1 and −a2 here.
#[test]
fn filter_coefficients_match_the_printed_ones() {
    for (rate, cutoff, b0, b1, minus_a1, minus_a2) in [
        (
            1000.0,
            20.0,
            0.005505744328,
            0.011011488657,
            1.779406303736,
            -0.801429281050,
        ),
        (
            1000.0,
            50.0,
            0.029569074716,
            0.059138149432,
            1.458103860461,
            -0.576380159326,
        ),
        (
            500.0,
            20.0,
            0.019877343437,
            0.039754686874,
            1.563460343190,
            -0.642969716938,
        ),
        (
            200.0,
            15.0,
            0.059199991072,
            0.118399982145,
            1.203675705850,
            -0.440475670140,
        ),
    ] {
        let filter = LowPassFilter::zero_lag(cutoff, rate).unwrap();
        near(filter.b[0], b0, 6e-13);
        near(filter.b[1], b1, 6e-13);
        near(filter.b[2], b0, 6e-13);
        near(-filter.a[0], minus_a1, 6e-13);
        near(-filter.a[1], minus_a2, 6e-13);
    }
}

/// The power that passes twice through the filter at its cut-off is one half.
#[test]
fn both_passes_together_have_gain_one_over_root_two_at_the_cutoff() {
    let (rate, cutoff) = (1000.0, 20.0);
    let filter = LowPassFilter::zero_lag(cutoff, rate).unwrap();
    let w = 2.0 * PI * cutoff / rate;
    let response = |c: &[f64]| {
        let re: f64 = c
            .iter()
            .enumerate()
            .map(|(k, c)| c * (w * k as f64).cos())
            .sum();
        let im: f64 = c
            .iter()
            .enumerate()
            .map(|(k, c)| c * (w * k as f64).sin())
            .sum();
        re * re + im * im
    };
    let one_pass = response(&filter.b) / response(&[1.0, filter.a[0], filter.a[1]]);
    near(one_pass, 0.5_f64.sqrt(), 1e-12);
}

/// `scipy.signal.filtfilt` (scipy 1.17, odd padding of 9) on two sines.
#[test]
fn zero_lag_filter_matches_the_scipy_vector() {
    let x: Vec<f64> = (0..=200)
        .map(|n| {
            let n = f64::from(n);
            (2.0 * PI * 3.0 * n / 1000.0).sin() + 0.3 * (2.0 * PI * 60.0 * n / 1000.0).sin()
        })
        .collect();
    let y = LowPassFilter::zero_lag(20.0, 1000.0)
        .unwrap()
        .run_both_ways(&x)
        .unwrap();
    assert_eq!(y.len(), x.len());
    for (n, expected) in [
        (0, -0.018828830),
        (1, 0.002620998),
        (50, 0.808859743),
        (100, 0.950859329),
        (150, 0.309195334),
        (200, -0.548154457),
    ] {
        near(y[n], expected, 6e-10);
    }
}

#[test]
fn a_cutoff_at_half_the_rate_is_refused() {
    assert!(LowPassFilter::zero_lag(500.0, 1000.0).is_none());
    assert!(LowPassFilter::zero_lag(0.0, 1000.0).is_none());
    assert!(LowPassFilter::zero_lag(f64::NAN, 1000.0).is_none());
    let filter = LowPassFilter::zero_lag(20.0, 1000.0).unwrap();
    assert!(filter.run_both_ways(&[1.0; 9]).is_none());
    assert!(filter.run_both_ways(&[1.0; 10]).is_some());
}

/// Residual analysis (Winter 2009; Wells & Winter 1980) on two sines and the noise of a linear
/// congruential generator; residuals and tail computed with scipy's filtfilt.
#[test]
fn residual_analysis_matches_the_worked_example() {
    let mut s: u64 = 12345;
    let x: Vec<f64> = (0..2000)
        .map(|n| {
            s = (1_103_515_245 * s + 12345) % (1 << 31);
            let u = s as f64 / (1_u64 << 31) as f64 - 0.5;
            let t = f64::from(n) / 1000.0;
            100.0 * (2.0 * PI * t).sin() + 40.0 * (2.0 * PI * 4.0 * t).sin() + 10.0 * u
        })
        .collect();
    for (cutoff, expected) in [
        (2.0, 24.2518),
        (4.0, 9.6822),
        (6.0, 4.4166),
        (8.0, 3.2923),
        (10.0, 2.9964),
        (12.0, 2.8951),
        (14.0, 2.8512),
        (20.0, 2.7980),
        (50.0, 2.6609),
        (100.0, 2.4449),
        (200.0, 1.9950),
    ] {
        let y = LowPassFilter::zero_lag(cutoff, 1000.0)
            .unwrap()
            .run_both_ways(&x)
            .unwrap();
        let sum: f64 = x.iter().zip(&y).map(|(x, y)| (x - y) * (x - y)).sum();
        near((sum / x.len() as f64).sqrt(), expected, 6e-5);
    }
    let found = residual_analysis(&x, 1000.0, (50.0, 200.0)).unwrap();
    near(found.intercept, 2.88978, 6e-6);
    near(found.slope, -0.0044825, 6e-8);
    near(found.cutoff_hz, 12.24, 0.005);
}

/// Signed areas with the crossings inserted; clipping first would give −3 and +4.
#[test]
fn signed_areas_match_the_worked_example() {
    let corners = [
        (0.0, 0.0),
        (0.1, -10.0),
        (0.2, -20.0),
        (0.3, 10.0),
        (0.4, 30.0),
        (0.5, 0.0),
    ];
    let (negative, positive) = signed_areas(&corners);
    near(negative, -2.6666667, 5e-8);
    near(positive, 3.6666667, 5e-8);
    near(negative + positive, 1.0, 1e-12);
    near(area(&corners), 1.0, 1e-12);
    near(
        time_below_zero(&corners, (0.0, 0.5), 0.0),
        0.2 + 0.1 * 2.0 / 3.0,
        1e-12,
    );
}

#[test]
fn crossing_is_linear_between_samples() {
    let crossings = upward_crossings(&[(0.412, -3.2), (0.414, 1.8)]);
    assert_eq!(crossings.len(), 1);
    near(crossings[0], 0.41328, 1e-12);
}

/// Two half-sines: closed-form areas, the torque's crossing and the return of the impulse to zero.
#[test]
fn half_sines_give_their_closed_form_areas() {
    let t_s: Vec<f64> = (0..=1000).map(|i| f64::from(i) / 1000.0).collect();
    let torque: Vec<f64> = t_s
        .iter()
        .map(|t| {
            if *t <= 0.5 {
                -40.0 * (PI * t / 0.5).sin()
            } else {
                60.0 * (PI * (t - 0.5) / 0.5).sin()
            }
        })
        .collect();
    let corners = Line::new(&t_s, &torque).window(0.0, 1.0).unwrap();
    let (negative, positive) = signed_areas(&corners);
    near(negative, -12.732354, 5e-7);
    near(positive, 19.098530, 6e-7);
    near(negative, -12.7323954, 5e-5);
    near(positive, 19.0985932, 7e-5);
    let after: Vec<(f64, f64)> = corners.iter().copied().filter(|c| c.0 > 0.25).collect();
    near(upward_crossings(&after)[0], 0.5, 1e-9);
    let momentum = running_area(&t_s, &torque);
    let path: Vec<(f64, f64)> = t_s.iter().copied().zip(momentum).collect();
    let returns = upward_crossings(&path);
    near(*returns.last().unwrap(), 0.8040867240, 2e-6);
}

/// Window ends between samples are inserted; outside the samples there is no window.
#[test]
fn windows_insert_their_ends() {
    let t_s = [0.0, 1.0, 2.0, 3.0];
    let y = [0.0, 10.0, 20.0, 30.0];
    let line = Line::new(&t_s, &y);
    assert_eq!(
        line.window(0.5, 2.25).unwrap(),
        vec![(0.5, 5.0), (1.0, 10.0), (2.0, 20.0), (2.25, 22.5)]
    );
    assert!(line.window(-0.1, 1.0).is_none());
    assert!(line.window(1.0, 3.1).is_none());
    assert!(line.window(2.0, 2.0).is_none());
    let gap = [Some(0.0), None, Some(20.0), Some(30.0)];
    let line = Line::new(&t_s, &gap);
    assert_eq!(line.at(2.5), Some(25.0));
    assert_eq!(line.at(1.5), None);
    assert!(line.window(0.0, 3.0).is_none());
}
