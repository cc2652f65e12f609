//! Reliability against published worked examples; the source stands beside each.

use footing_core::reliability::{
    Icc, ReliabilityError, agreement, iccs, mean_squares, reading_error, repeatability_coefficient,
    standard_error_of_estimate, standard_error_of_prediction,
};

fn close(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "expected {expected}, got {got}"
    );
}

fn layout<const K: usize>(columns: [&[f64]; K]) -> Vec<Vec<f64>> {
    (0..columns[0].len())
        .map(|i| columns.iter().map(|c| c[i]).collect())
        .collect()
}

/// Shrout PE, Fleiss JL (1979) Psychol Bull 86(2):420–428: six targets, four judges.
fn shrout_fleiss() -> Vec<Vec<f64>> {
    [
        [9.0, 2.0, 5.0, 8.0],
        [6.0, 1.0, 3.0, 2.0],
        [8.0, 4.0, 6.0, 8.0],
        [7.0, 1.0, 2.0, 6.0],
        [10.0, 5.0, 6.0, 9.0],
        [6.0, 2.0, 4.0, 7.0],
    ]
    .map(Vec::from)
    .to_vec()
}

#[test]
fn shrout_fleiss_1979_mean_squares_and_correlations() {
    let ms = mean_squares(&shrout_fleiss()).unwrap();
    close(ms.between, 11.2416667, 5e-8);
    close(ms.within, 6.2638889, 5e-8);
    close(ms.columns_between, 32.4861111, 5e-8);
    close(ms.error, 1.0194444, 5e-8);
    let found = iccs(&ms).unwrap();
    // Published to two digits: .17 .29 .71 .44 .62 .91.
    for (icc, published, precise) in [
        (found.icc1, 0.17, 0.1657417684),
        (found.icc2, 0.29, 0.2897637795),
        (found.icc3, 0.71, 0.7148407148),
        (found.icc1k, 0.44, 0.4427971337),
        (found.icc2k, 0.62, 0.6200505476),
        (found.icc3k, 0.91, 0.9093155424),
    ] {
        close(icc.value, published, 0.005);
        close(icc.value, precise, 1e-10);
    }
    // Intervals as R's psych package gives them for the same data.
    let ci = |icc: Icc, low: f64, high: f64| {
        let (l, h) = icc.ci95.unwrap();
        close(l, low, 5e-6);
        close(h, high, 5e-6);
    };
    ci(found.icc1, -0.13293, 0.72256);
    ci(found.icc2, 0.01879, 0.76108);
    ci(found.icc3, 0.34246, 0.94586);
    // The mean of k: Spearman–Brown of the single limits, which for the F forms must coincide.
    let up = |r: f64| 4.0 * r / (1.0 + 3.0 * r);
    ci(found.icc1k, up(-0.1329323), up(0.7225601));
    ci(found.icc3k, up(0.3424648), up(0.9458583));
    ci(found.icc2k, up(0.0187865), up(0.7610844));
}

/// Weir JP (2005) J Strength Cond Res 19(1):231–240, data set A.
const WEIR_A: [[f64; 8]; 2] = [
    [146.0, 148.0, 170.0, 90.0, 157.0, 156.0, 176.0, 205.0],
    [140.0, 152.0, 152.0, 99.0, 145.0, 153.0, 167.0, 218.0],
];
/// Data set B: the same differences, less spread between subjects (values from memory; they
/// reproduce A's differences exactly).
const WEIR_B: [[f64; 8]; 2] = [
    [166.0, 168.0, 160.0, 150.0, 147.0, 146.0, 156.0, 155.0],
    [160.0, 172.0, 142.0, 159.0, 135.0, 143.0, 147.0, 168.0],
];

#[test]
fn weir_2005_data_set_a() {
    let ms = mean_squares(&layout([&WEIR_A[0], &WEIR_A[1]])).unwrap();
    close(ms.between, 2098.535714, 5e-7);
    close(ms.columns_between, 30.25, 1e-9);
    close(ms.error, 57.107143, 5e-7);
    close(ms.within, 53.75, 1e-9);
    close(ms.sd_total, 31.748753, 5e-7);
    let found = iccs(&ms).unwrap();
    for (icc, value) in [
        (found.icc1, 0.9501),
        (found.icc2, 0.9500),
        (found.icc3, 0.9470),
        (found.icc1k, 0.9744),
        (found.icc2k, 0.9743),
        (found.icc3k, 0.9728),
    ] {
        close(icc.value, value, 5e-5);
    }
    let error = reading_error(&ms);
    close(error.sem, 7.556926813, 5e-10);
    close(error.mdc95, 20.946732442, 5e-9);
    close(error.sem_ci95.0, 4.9964, 5e-5);
    close(error.sem_ci95.1, 15.3804, 5e-5);
    // Printed on p. 236: SEM 7.6, SEP 10.2, SEE 7.1.
    let icc = found.icc3.value;
    close(error.sem, 7.6, 0.05);
    let sep = standard_error_of_prediction(ms.sd_total, icc).unwrap();
    let see = standard_error_of_estimate(ms.sd_total, icc).unwrap();
    close(sep, 10.2, 0.05);
    close(see, 7.1, 0.05);
    // To more digits by another road: SEP² − SEE² = SD²·(1 − ICC), SEE²/ICC = the same.
    close(
        sep * sep - see * see,
        ms.sd_total.powi(2) * (1.0 - icc),
        1e-9,
    );
    close(see * see / icc, ms.sd_total.powi(2) * (1.0 - icc), 1e-9);
}

#[test]
fn weir_2005_data_set_a_typical_error_by_hopkins_2000() {
    // SD of the differences / √2 = SEM.
    let d: Vec<f64> = WEIR_A[1]
        .iter()
        .zip(WEIR_A[0])
        .map(|(y, x)| y - x)
        .collect();
    let sd = footing_core::compare::summary::summarise(&d).sd.unwrap();
    close(sd, 10.687108, 5e-7);
    close(sd / 2_f64.sqrt(), 7.556926813, 5e-10);
    let test = footing_core::compare::difference::paired(&d).unwrap();
    close(test.change, -2.75, 1e-12);
    close(test.test.unwrap().t, -0.72781, 5e-6);
    close(test.test.unwrap().p, 0.49035, 5e-6);
}

#[test]
fn weir_2005_data_set_b_has_the_same_error_and_lower_correlations() {
    let ms = mean_squares(&layout([&WEIR_B[0], &WEIR_B[1]])).unwrap();
    let error = reading_error(&ms);
    close(error.sem, 7.556926813, 5e-10);
    close(error.mdc95, 20.946732442, 5e-9);
    let found = iccs(&ms).unwrap();
    for (icc, value) in [
        (found.icc1, 0.5589),
        (found.icc2, 0.5527),
        (found.icc3, 0.5377),
        (found.icc1k, 0.7171),
        (found.icc2k, 0.7120),
        (found.icc3k, 0.6994),
    ] {
        close(icc.value, value, 5e-5);
    }
}

/// Bland JM, Altman DG (1986) Lancet 327(8476):307–310: peak flow, two meters, two readings each.
const WRIGHT: [[f64; 17]; 2] = [
    [
        494.0, 395.0, 516.0, 434.0, 476.0, 557.0, 413.0, 442.0, 650.0, 433.0, 417.0, 656.0, 267.0,
        478.0, 178.0, 423.0, 427.0,
    ],
    [
        490.0, 397.0, 512.0, 401.0, 470.0, 611.0, 415.0, 431.0, 638.0, 429.0, 420.0, 633.0, 275.0,
        492.0, 165.0, 372.0, 421.0,
    ],
];
const MINI: [[f64; 17]; 2] = [
    [
        512.0, 430.0, 520.0, 428.0, 500.0, 600.0, 364.0, 380.0, 658.0, 445.0, 432.0, 626.0, 260.0,
        477.0, 259.0, 350.0, 451.0,
    ],
    [
        525.0, 415.0, 508.0, 444.0, 500.0, 625.0, 460.0, 390.0, 642.0, 432.0, 420.0, 605.0, 227.0,
        467.0, 268.0, 370.0, 443.0,
    ],
];

#[test]
fn bland_altman_1986_limits_of_agreement() {
    // The paper uses 2 SD: −79.7 and 75.5 after rounding.
    let found = agreement(&WRIGHT[0], &MINI[0], 2.0).unwrap();
    assert_eq!(found.n, 17);
    close(found.mean, -2.117647059, 5e-10);
    close(found.sd, 38.765129874, 5e-10);
    close(found.limits.0, -79.647907, 5e-7);
    close(found.limits.1, 75.412613, 5e-7);
    close(found.mean_se, 9.401925, 5e-7);
    close(found.mean_ci95.0, -22.04884, 5e-6);
    close(found.mean_ci95.1, 17.81354, 5e-6);
    close(found.limit_se, 16.284612, 5e-7);
    close(found.lower_ci95.0, -114.170, 1e-3);
    close(found.lower_ci95.1, -45.126, 1e-3);
    close(found.upper_ci95.0, 40.891, 1e-3);
    close(found.upper_ci95.1, 109.934, 1e-3);
    let customary = agreement(&WRIGHT[0], &MINI[0], 1.96).unwrap();
    close(customary.limits.0, -78.097302, 5e-7);
    close(customary.limits.1, 73.862007, 5e-7);
    // Pearson's r of the two meters, from the three spreads: that it is high says nothing of how
    // well they agree, which is the paper's point.
    let sd = |values: &[f64]| {
        footing_core::compare::summary::summarise(values)
            .sd
            .unwrap()
    };
    let (wright, mini) = (sd(&WRIGHT[0]), sd(&MINI[0]));
    let r = (wright.powi(2) + mini.powi(2) - found.sd.powi(2)) / (2.0 * wright * mini);
    close(r, 0.94328, 5e-6);
    let exact = agreement(&WRIGHT[0], &MINI[0], 1.959963984540054).unwrap();
    close(exact.limits.0, -78.0959055, 1e-7);
    close(exact.limits.1, 73.8606114, 1e-7);
}

#[test]
fn bland_altman_1986_repeatability() {
    close(
        repeatability_coefficient(&WRIGHT[0], &WRIGHT[1], 2.0).unwrap(),
        43.294,
        5e-4,
    );
    close(
        repeatability_coefficient(&MINI[0], &MINI[1], 2.0).unwrap(),
        56.316,
        5e-4,
    );
}

#[test]
fn degenerate_layouts_are_refused_or_absent() {
    let refused = mean_squares(&[vec![1.0, 2.0]]).unwrap_err();
    assert_eq!(
        refused,
        ReliabilityError::TooSmall {
            rows: 1,
            columns: 2
        }
    );
    let ragged = mean_squares(&[vec![1.0, 2.0], vec![1.0]]).unwrap_err();
    assert_eq!(
        ragged.to_string(),
        "row 2: expected 2 readings as in the first, got 1"
    );
    let hole = mean_squares(&[vec![1.0, 2.0], vec![1.0, f64::NAN]]).unwrap_err();
    assert_eq!(hole, ReliabilityError::NotFinite { row: 1 });
    // All rows alike: nothing varies between them.
    let alike = mean_squares(&[vec![1.0, 2.0], vec![1.0, 2.0]]).unwrap();
    assert_eq!(iccs(&alike), None);
    // No error at all: correlations of one without interval.
    let perfect = iccs(&mean_squares(&[vec![1.0, 1.0], vec![2.0, 2.0]]).unwrap()).unwrap();
    assert_eq!((perfect.icc3.value, perfect.icc3.ci95), (1.0, None));
    assert_eq!(perfect.icc2.ci95, None);
    assert!(agreement(&[1.0], &[1.0], 2.0).is_err());
    assert!(agreement(&[1.0, 2.0], &[1.0], 2.0).is_err());
    assert!(repeatability_coefficient(&[], &[], 2.0).is_err());
    assert_eq!(standard_error_of_estimate(1.0, -0.2), None);
    assert_eq!(standard_error_of_prediction(1.0, 1.2), None);
}
