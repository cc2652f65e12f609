//! Curve statistics against published formulas and against outputs of spm1d 0.4.55 (α = .05).
//! The formulas are those of Worsley et al. (1996), Friston et al. (1994) and Kiebel et al. (1999); the
//! table's thresholds are printed to five decimals. spm1d: Pataky 2012, CMBBE 15:295–301.

use footing_core::compare::permutation::PermutationPlan;
use footing_core::curves::{
    CurveComparison, CurvePlan, Leading, compare_curves,
    field::{Question, Variance},
    permutation_maxima,
    random_field::{RandomField, Tails},
    stretches::{Direction, Stretch},
};

fn close(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "expected {expected}, got {got}"
    );
}

fn field(df: f64, fwhm: f64) -> RandomField {
    RandomField::new(df, 101, 1, Some(fwhm))
}

#[test]
fn survival_and_thresholds_of_a_t_field() {
    let t8 = field(8.0, 15.0);
    close(t8.survival(3.5), 0.0699429261, 1e-10);
    close(t8.resel_threshold(0.05).unwrap(), 3.7856053252, 1e-8);
    close(t8.resel_threshold(0.025).unwrap(), 4.3897910987, 1e-8);
    let z = field(f64::INFINITY, 10.0);
    close(z.survival(3.0), 0.0303207091, 1e-10);
    close(z.resel_threshold(0.05).unwrap(), 2.8255597788, 1e-8);
}

#[test]
fn expected_stretches_and_extent_as_documented_by_rft1d() {
    // The documentation of rft1d prints 1.343 and 0.0223 expected upcrossings.
    let t8 = field(8.0, 15.0);
    close(t8.expected_stretches(1.0), 1.3431672009, 1e-9);
    close(t8.expected_stretches(4.5), 0.0223522305, 1e-9);
    close(t8.expected_extent(3.0), 0.4505465928, 1e-9);
    close(t8.stretch_p(0.1, 3.0), 0.1216603258, 1e-9);
    close(t8.stretch_p(0.5, 3.0), 0.0499633554, 1e-9);
    close(t8.set_p(2, 0.1, 2.7), 0.0159709636, 1e-9);
}

#[test]
fn euler_characteristic_of_ten_resels() {
    let given = RandomField {
        df: 8.0,
        nodes: 101,
        segments: 1.0,
        resels: 10.0,
    };
    close(given.survival(2.1), 0.4536366353, 1e-10);
    close(given.expected_stretches(2.1), 0.6044710214, 1e-9);
    close(given.expected_extent(2.1), 0.6047127285, 1e-9);
    close(given.resels * given.density0(2.1), 0.3446876215, 1e-9);
}

/// One-tailed and two-tailed threshold.
type Pair = (f64, f64);

/// Thresholds for 101 nodes without Bonferroni: df; one-tailed and two-tailed for FWHM 5, 10, … 30;
/// and those of a single value.
const THRESHOLDS: [(f64, [Pair; 6], Pair); 8] = [
    (
        4.0,
        [
            (9.19395, 11.72994),
            (7.22500, 9.25947),
            (6.26739, 8.06054),
            (5.66453, 7.30654),
            (5.23776, 6.77294),
            (4.91442, 6.36858),
        ],
        (2.13185, 2.77645),
    ),
    (
        5.0,
        [
            (6.78892, 8.22528),
            (5.60234, 6.83232),
            (4.99522, 6.12220),
            (4.60089, 5.66189),
            (4.31537, 5.32894),
            (4.09523, 5.07234),
        ],
        (2.01505, 2.57058),
    ),
    (
        8.0,
        [
            (4.71479, 5.38217),
            (4.11459, 4.73992),
            (3.78561, 4.38979),
            (3.56271, 4.15333),
            (3.39636, 3.97720),
            (3.26507, 3.83834),
        ],
        (1.85955, 2.30600),
    ),
    (
        9.0,
        [
            (4.45057, 5.03530),
            (3.91679, 4.47342),
            (3.62069, 4.16351),
            (3.41860, 3.95270),
            (3.26700, 3.79488),
            (3.14687, 3.66998),
        ],
        (1.83311, 2.26216),
    ),
    (
        10.0,
        [
            (4.25808, 4.78518),
            (3.77122, 4.27930),
            (3.49859, 3.99768),
            (3.31145, 3.80504),
            (3.17049, 3.66025),
            (3.05844, 3.54531),
        ],
        (1.81246, 2.22814),
    ),
    (
        14.0,
        [
            (3.82837, 4.23518),
            (3.44131, 3.84598),
            (3.21938, 3.62422),
            (3.06486, 3.47038),
            (2.94727, 3.35360),
            (2.85307, 3.26018),
        ],
        (1.76131, 2.14479),
    ),
    (
        18.0,
        [
            (3.62391, 3.97783),
            (3.28170, 3.63982),
            (3.08298, 3.44480),
            (2.94353, 3.30847),
            (2.83684, 3.20442),
            (2.75102, 3.12085),
        ],
        (1.73406, 2.10092),
    ),
    (
        30.0,
        [
            (3.37138, 3.66415),
            (3.08196, 3.38523),
            (2.91094, 3.22150),
            (2.78967, 3.10586),
            (2.69620, 3.01695),
            (2.62058, 2.94513),
        ],
        (1.69726, 2.04227),
    ),
];

#[test]
fn every_cell_of_the_threshold_table() {
    for (df, row, single) in THRESHOLDS {
        for (i, (one, two)) in row.into_iter().enumerate() {
            let field = field(df, 5.0 * (i + 1) as f64);
            close(field.resel_threshold(0.05).unwrap(), one, 6e-6);
            close(field.resel_threshold(0.025).unwrap(), two, 6e-6);
        }
        let quantile = footing_core::compare::distribution::t_upper_quantile;
        close(quantile(0.05, df), single.0, 6e-6);
        close(quantile(0.025, df), single.1, 6e-6);
    }
}

#[test]
fn bonferroni_bites_for_rough_fields_only() {
    let (threshold, bonferroni) = field(4.0, 5.0).threshold(0.025);
    close(threshold, 10.33273, 6e-6);
    assert!(bonferroni);
    let (threshold, bonferroni) = field(5.0, 5.0).threshold(0.025);
    close(threshold, 7.99260, 6e-6);
    assert!(bonferroni);
    assert!(!field(8.0, 10.0).threshold(0.025).1);
    // Below two degrees of freedom crossings never become rare: only Bonferroni's is left.
    assert_eq!(field(1.0, 20.0).resel_threshold(0.05), None);
    assert!(field(1.0, 20.0).threshold(0.05).1);
}

/// A deterministic set of six smooth curves, free of any licence:
/// `Y = sin(2πq/100) + Σ_{m=1..4} 0.35·cos(2πmq/100 + 2π·frac((j+g+1)(m+1)φ))`, φ the golden ratio
/// less one; the second set has `1.5·exp(−(q−60)²/(2·8²))` added.
fn golden_set(g: usize, bump: f64) -> Vec<Vec<Option<f64>>> {
    let golden = 0.618_033_988_749_894_9_f64;
    let turn = 2.0 * std::f64::consts::PI;
    (0..6)
        .map(|j| {
            (0..=100)
                .map(|q| {
                    let x = f64::from(q) / 100.0;
                    let waves: f64 = (1..=4)
                        .map(|m| {
                            let phase = ((j + g + 1) * (m + 1)) as f64 * golden;
                            0.35 * (turn * m as f64 * x + turn * phase.fract()).cos()
                        })
                        .sum();
                    let hump = (-(f64::from(q) - 60.0).powi(2) / 128.0).exp();
                    Some((turn * x).sin() + waves + bump * hump)
                })
                .collect()
        })
        .collect()
}

fn golden_sets() -> [Vec<Vec<Option<f64>>>; 2] {
    [golden_set(0, 0.0), golden_set(6, 1.5)]
}

fn analyse(question: &Question<'_>) -> CurveComparison {
    compare_curves(question, &CurvePlan::default()).unwrap()
}

fn stretch(got: &Stretch, from: f64, to: f64, p: f64, p_digits: f64) {
    close(got.from_pct, from, 1e-6);
    close(got.to_pct, to, 1e-6);
    close(got.p, p, p_digits);
}

#[test]
fn golden_set_is_reproduced() {
    let [a, b] = golden_sets();
    let sum = |set: &[Vec<Option<f64>>]| set.iter().flatten().flatten().sum::<f64>();
    close(a[0][0].unwrap(), 0.19421724, 5e-9);
    close(a[0][1].unwrap(), 0.20687403, 5e-9);
    close(a[0][2].unwrap(), 0.21272849, 5e-9);
    close(sum(&a), -1.1305362144, 1e-9);
    close(b[5][100].unwrap(), 0.3032801626, 1e-10);
    close(sum(&b), 180.8220309282, 1e-9);
}

#[test]
fn golden_set_as_two_samples() {
    let [a, b] = golden_sets();
    for variance in [Variance::Pooled, Variance::Welch] {
        let (a, b) = (&a[..], &b[..]);
        let found = analyse(&Question::Separate { a, b, variance });
        for (q, t) in [
            (0, 1.250370183),
            (50, 3.133043115),
            (60, 4.305270660),
            (100, 1.250398608),
        ] {
            close(found.t[q].unwrap(), t, 1e-9);
        }
        assert_eq!(found.leads, Leading::Permutation);
        let field = found.random_field.as_ref().unwrap();
        close(field.fwhm_nodes.unwrap(), 9.813542963, 1e-9);
        close(field.resels, 10.189999716, 1e-8);
        if variance == Variance::Pooled {
            assert_eq!(found.df, 10.0);
            close(field.threshold, 4.2926432794, 1e-9);
            assert_eq!(field.stretches.len(), 1);
            stretch(&field.stretches[0], 52.475889, 60.086402, 6.295269e-4, 1e-9);
            let resels = (60.086402 - 52.475889) / field.fwhm_nodes.unwrap();
            close(resels, 0.775511, 1e-6);
        }
    }
}

#[test]
fn golden_set_as_pairs() {
    let [a, b] = golden_sets();
    let found = analyse(&Question::Paired { a: &a, b: &b });
    assert_eq!(found.df, 5.0);
    close(found.t[50].unwrap(), 3.221579865, 1e-9);
    close(found.t[60].unwrap(), 3.934735516, 1e-9);
    let field = found.random_field.as_ref().unwrap();
    close(field.fwhm_nodes.unwrap(), 9.724699968, 1e-9);
    close(field.resels, 10.283093599, 1e-8);
    close(field.threshold, 6.883945811, 1e-8);
    assert!(field.stretches.is_empty());
}

#[test]
fn golden_set_b_against_zero() {
    let [_, b] = golden_sets();
    let found = analyse(&Question::OneSample {
        curves: &b,
        level: 0.0,
    });
    let field = found.random_field.as_ref().unwrap();
    close(field.fwhm_nodes.unwrap(), 8.472920723, 1e-9);
    close(field.resels, 11.802305636, 1e-8);
    close(field.threshold, 7.144070843, 1e-8);
    let expected = [
        (16.293620, 21.144841, 7.016e-5),
        (29.230281, 33.480823, 3.2366e-4),
        (50.120912, 53.022798, 4.79924e-3),
        (82.827571, 87.561723, 9.6025e-5),
    ];
    assert_eq!(field.stretches.len(), expected.len());
    for (got, (from, to, p)) in field.stretches.iter().zip(expected) {
        stretch(got, from, to, p, 5e-8);
    }
    assert_eq!(field.stretches[3].direction, Direction::Lower);
}

/// Percentile by linear interpolation between order statistics, as numpy's default.
fn linear_percentile(sorted: &[f64], share: f64) -> f64 {
    let at = share * (sorted.len() - 1) as f64;
    let below = at.floor() as usize;
    sorted[below] + (at - at.floor()) * (sorted[below + 1] - sorted[below])
}

#[test]
fn golden_set_through_all_924_splits() {
    let [a, b] = golden_sets();
    let question = Question::Separate {
        a: &a,
        b: &b,
        variance: Variance::Pooled,
    };
    let found = analyse(&question).permutation;
    assert!(found.whole.exact);
    assert_eq!(found.whole.arrangements, 924);
    close(found.largest, 4.731772355, 1e-8);
    close(found.whole.p, 12.0 / 924.0, 1e-15);
    // Every split ties with its mirror here, so the linear percentile falls on the threshold itself.
    close(found.threshold, 3.691591557, 1e-7);
    let maxima = permutation_maxima(&question, &CurvePlan::default()).unwrap();
    close(linear_percentile(&maxima.sorted, 0.95), 3.691591557, 1e-8);
    assert_eq!(found.stretches.len(), 1);
    let stretch = found.stretches[0];
    close(stretch.p, 12.0 / 924.0, 1e-15);
    assert!(
        stretch.from_pct < 52.48 && stretch.to_pct > 60.09,
        "{stretch:?}"
    );
}

#[test]
fn golden_set_through_all_64_sign_flips() {
    let [a, b] = golden_sets();
    let question = Question::Paired { a: &a, b: &b };
    let found = analyse(&question).permutation;
    assert_eq!(found.whole.arrangements, 64);
    close(found.whole.p, 6.0 / 64.0, 1e-15);
    let maxima = permutation_maxima(&question, &CurvePlan::default()).unwrap();
    close(linear_percentile(&maxima.sorted, 0.95), 5.549956014, 1e-8);
    // The threshold is defined on order statistics: at most 3 of 64 lie above it.
    let above = maxima
        .sorted
        .iter()
        .filter(|m| **m > found.threshold)
        .count();
    assert!(above <= 3, "{above}");
    assert!(found.threshold >= 5.549956014);
    assert!(found.stretches.is_empty());
}

#[test]
fn golden_set_drawn_from_a_seed_agrees_within_its_stated_error() {
    let [a, b] = golden_sets();
    let plan = CurvePlan {
        permutation: PermutationPlan {
            exact_up_to: 0,
            draws: 4_999,
            seed: 8,
        },
        tails: Tails::Two,
        ..CurvePlan::default()
    };
    let question = Question::Separate {
        a: &a,
        b: &b,
        variance: Variance::Pooled,
    };
    let found = compare_curves(&question, &plan).unwrap().permutation;
    assert!(!found.whole.exact);
    close(
        found.whole.p,
        12.0 / 924.0,
        4.0 * found.whole.standard_error.unwrap(),
    );
    close(found.threshold, 3.691591557, 0.1);
}

/// The regressions among spm1d 0.4.55's packaged curves. A regression over curves is none of our
/// questions (two sets, pairs, one set): there is no third quantity measured beside each swing. What
/// is ours of it is the random field that judges its t, given its df and smoothness; that is held.
#[test]
fn spm1d_regressions_by_the_random_field() {
    // SimulatedPataky2015c: df 8, FWHM 24.133205; the printed stretches give their extents.
    let simulated = field(8.0, 24.133205);
    close(simulated.resels, 4.143668, 5e-7);
    for (alpha, threshold, from, to, p) in [
        (0.05, 3.422260, 30.006, 45.548, 0.006762),
        (0.025, 4.004605, 32.187, 44.288, 0.009903),
    ] {
        let (got, bonferroni) = simulated.threshold(alpha);
        close(got, threshold, 1e-4);
        assert!(!bonferroni);
        let tails = 0.05 / alpha;
        let one = simulated.stretch_p((to - from) / 24.133205, threshold);
        close(tails * one, p, 1e-5);
    }
    // SpeedGRF, subject 0: df 58, FWHM 6.134343.
    let speed = field(58.0, 6.134343);
    close(speed.resels, 16.301665, 5e-6);
    close(speed.threshold(0.05).0, 3.134578, 1e-4);
    close(speed.threshold(0.025).0, 3.394490, 1e-4);
}
