//! Comparison of two sets against published worked examples; the source stands beside each. Where a
//! source prints few digits, the further ones were computed from its formula with scipy 1.17.

use footing_core::compare::{
    Design, MeasureComparison, compare, compare_rows,
    difference::{paired, welch},
    distribution::{t_two_sided, t_upper, t_upper_quantile},
    effect::{hedges_g, small_sample_factor},
    permutation::{PermutationPlan, Scheme, difference_of_means, sign_flip, visit},
    rows::holm,
    sequence::{effective_swings, odd_swing},
    summary::{mdc95, pooled_sd, summarise},
    verdict::{MoreSwings, Verdict, verdict},
};

fn close(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "expected {expected}, got {got}"
    );
}

/// Half a unit of the last digit given.
const DIGITS_9: f64 = 1e-9;
const DIGITS_6: f64 = 1e-6;

const EVERY: PermutationPlan = PermutationPlan {
    exact_up_to: 200_000,
    draws: 9_999,
    seed: 1,
};

/// Student (1908) Biometrika 6:1–25: extra hours of sleep with two drugs; R's data set `sleep`.
const SLEEP_1: [f64; 10] = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
const SLEEP_2: [f64; 10] = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];

/// Invented: a vertical torque, N·m, in eight swings before and eight after.
const BEFORE: [f64; 8] = [61.2, 58.7, 63.5, 60.1, 59.4, 62.0, 57.9, 61.8];
const AFTER: [f64; 8] = [64.9, 66.3, 63.8, 67.1, 65.0, 62.7, 66.8, 65.4];

fn separate(a: &[f64], b: &[f64]) -> MeasureComparison {
    compare(a, b, Design::Separate, &EVERY).unwrap()
}

#[test]
fn sleep_data_as_two_sets_by_welch_1947() {
    let found = separate(&SLEEP_2, &SLEEP_1);
    close(found.t.unwrap(), -1.860813467, DIGITS_9);
    close(found.df.unwrap(), 17.776473516, DIGITS_9);
    close(found.p_t.unwrap(), 0.079394140, DIGITS_9);
    let (low, high) = found.ci95.unwrap();
    close(low, -3.365483, DIGITS_6);
    close(high, 0.205483, DIGITS_6);
    close(found.spread.unwrap(), 1.898625234, DIGITS_9);
    // Pooled: the same t at equal n, df 18.
    close(2.0 * t_upper(1.860813467, 18.0), 0.079186714, DIGITS_9);
}

#[test]
fn sleep_data_permuted_all_184756_ways() {
    let p = difference_of_means(&SLEEP_1, &SLEEP_2, &EVERY).unwrap();
    assert_eq!((p.arrangements, p.exact), (184_756, true));
    close(p.p, 15_048.0 / 184_756.0, 1e-15);
    assert_eq!(p.standard_error, None);
}

#[test]
fn sleep_data_drawn_from_a_seed_agrees_within_its_stated_error() {
    let p = difference_of_means(&SLEEP_1, &SLEEP_2, &PermutationPlan::default()).unwrap();
    assert_eq!((p.arrangements, p.exact), (10_000, false));
    let error = p.standard_error.unwrap();
    close(error, (p.p * (1.0 - p.p) / 1e4).sqrt(), 1e-15);
    close(p.p, 15_048.0 / 184_756.0, 4.0 * error);
}

#[test]
fn sleep_data_as_pairs() {
    let found = compare(&SLEEP_2, &SLEEP_1, Design::Paired, &EVERY).unwrap();
    close(found.t.unwrap(), -4.062127683, DIGITS_9);
    assert_eq!(found.df, Some(9.0));
    close(found.p_t.unwrap(), 0.002832890, DIGITS_9);
    let (low, high) = found.ci95.unwrap();
    close(low, -2.459886, DIGITS_6);
    close(high, -0.700114, DIGITS_6);
    let p = found.p_permutation.unwrap();
    assert_eq!((p.arrangements, p.p), (1_024, 4.0 / 1_024.0));
}

#[test]
fn sleep_data_standardised_by_hedges_1981() {
    close(small_sample_factor(18.0), 0.957646427, DIGITS_9);
    let effect = separate(&SLEEP_1, &SLEEP_2).effect.unwrap();
    close(effect.g, 0.796935239, DIGITS_9);
    // The noncentral t of scipy 1.17 turned around by brentq.
    close(effect.ci95.0, -0.0954503982, 1e-7);
    close(effect.ci95.1, 1.7388168991, 1e-7);
    // The customary short form of the factor, beside which ours is exact.
    let found = separate(&SLEEP_1, &SLEEP_2);
    let d = found.change.unwrap() / found.spread.unwrap();
    close(d, 0.832181081, DIGITS_9);
    close(approximate_factor(18.0), 0.957746479, DIGITS_9);
    close(d * approximate_factor(18.0), 0.797018500, DIGITS_9);
    close(small_sample_factor(18.0), approximate_factor(18.0), 1.01e-4);
}

/// J ≈ 1 − 3/(4·df − 1), Hedges LV (1981) J Educ Stat 6:107–128.
fn approximate_factor(df: f64) -> f64 {
    1.0 - 3.0 / (4.0 * df - 1.0)
}

#[test]
fn darwins_plants_by_fishers_sign_flips() {
    // Fisher (1935) The Design of Experiments § 21: 863 of 32 768 sums reach 314, two-sided 5.267 %.
    let d = [
        49.0, -67.0, 8.0, 16.0, 6.0, 23.0, 28.0, 41.0, 14.0, 29.0, 56.0, 24.0, 75.0, 60.0, -48.0,
    ];
    let p = sign_flip(&d, &EVERY).unwrap();
    assert_eq!(p.arrangements, 32_768);
    close(p.p, 1_726.0 / 32_768.0, 1e-15);
    // The same one-sided, counted: 863 reach 314 and 835 surpass it; the 28 ties count, as in ours.
    let (mut reach, mut surpass) = (0, 0);
    visit(Scheme::Signs(d.len()), &EVERY, |turned| {
        let signed = turned
            .iter()
            .zip(d)
            .map(|(turned, d)| if *turned { -d } else { d });
        let sum: f64 = signed.sum();
        reach += i32::from(sum >= 314.0);
        surpass += i32::from(sum > 314.0);
    });
    assert_eq!((reach, surpass), (863, 835));
    let test = paired(&d).unwrap().test.unwrap();
    close(test.t, 2.147987461, DIGITS_9);
    assert_eq!(test.df, 14.0);
    close(test.p, 0.049702944, DIGITS_9);
}

#[test]
fn before_and_after_example_in_full() {
    let found = separate(&BEFORE, &AFTER);
    close(found.a.mean.unwrap(), 60.575, 1e-12);
    close(found.b.mean.unwrap(), 65.250, 1e-12);
    close(found.a.sd.unwrap(), 1.880539, DIGITS_6);
    close(found.b.sd.unwrap(), 1.499524, DIGITS_6);
    close(found.t.unwrap(), 5.497622650, DIGITS_9);
    close(found.df.unwrap(), 13.338926809, DIGITS_9);
    close(found.p_t.unwrap(), 9.349e-5, 1e-8);
    let (low, high) = found.ci95.unwrap();
    close(low, 2.842626, DIGITS_6);
    close(high, 6.507374, DIGITS_6);
    close(found.spread.unwrap(), 1.700735, DIGITS_6);
    let effect = found.effect.unwrap();
    close(
        found.change.unwrap() / found.spread.unwrap(),
        2.748811,
        DIGITS_6,
    );
    close(small_sample_factor(14.0), 0.945288, DIGITS_6);
    close(effect.g, 2.748811 * 0.945288, 2e-6);
    // By the short form of the factor, 0.945455 at df 14.
    let d = found.change.unwrap() / found.spread.unwrap();
    close(d * approximate_factor(14.0), 2.598876, DIGITS_6);
    // MDC95 of the difference of two means of eight: the spread of a mean is that of one over √n.
    let of_a_mean = found.spread.unwrap() / 8_f64.sqrt();
    close(mdc95(of_a_mean), 1.666720, DIGITS_6);
    let by_t = t_upper_quantile(0.025, 14.0) * 2_f64.sqrt() * of_a_mean;
    close(by_t, 1.823857, DIGITS_6);
    let p = found.p_permutation.unwrap();
    assert_eq!((p.arrangements, p.exact), (12_870, true));
    close(p.p, 4.0 / 12_870.0, 1e-15);
    close(found.mdc95.unwrap(), 4.714197, DIGITS_6);
    // 4.675 < 4.714: it shows in the average, not in every single swing.
    assert_eq!(found.verdict, Verdict::ChangeOnAverage);
    assert_eq!(found.more_swings, None);
}

/// A 0-D data set packaged with spm1d 0.4.55 with the statistic its cited source gives.
struct Packaged {
    a: &'static [f64],
    b: &'static [f64],
    t: f64,
    df: f64,
    p: f64,
}

#[test]
fn spm1d_rs_weight_clinic_and_columbia_mileage_as_pairs() {
    let weight = Packaged {
        a: &[
            210.0, 205.0, 193.0, 182.0, 259.0, 239.0, 164.0, 197.0, 222.0, 211.0, 187.0, 175.0,
            186.0, 243.0, 246.0,
        ],
        b: &[
            197.0, 195.0, 191.0, 174.0, 236.0, 226.0, 157.0, 196.0, 201.0, 196.0, 181.0, 164.0,
            181.0, 229.0, 231.0,
        ],
        t: 6.6896995,
        df: 14.0,
        p: 1.028e-5,
    };
    let mileage = Packaged {
        a: &[19.0, 22.0, 24.0, 24.0, 25.0, 25.0, 26.0, 26.0, 28.0, 32.0],
        b: &[16.0, 20.0, 21.0, 22.0, 23.0, 22.0, 27.0, 25.0, 27.0, 28.0],
        t: 4.4721,
        df: 9.0,
        p: 2.0 * 0.000775,
    };
    for (set, t_digits, p_digits) in [(weight, 5e-8, 5e-9), (mileage, 5e-5, 1e-6)] {
        let found = compare(set.b, set.a, Design::Paired, &EVERY).unwrap();
        close(found.t.unwrap(), set.t, t_digits);
        assert_eq!(found.df, Some(set.df));
        close(found.p_t.unwrap(), set.p, p_digits);
    }
}

#[test]
fn spm1d_columbia_placebo_and_rs_flavor_with_unequal_variances() {
    let placebo = Packaged {
        a: &[101.0, 110.0, 103.0, 93.0, 99.0, 104.0],
        b: &[91.0, 87.0, 99.0, 77.0, 88.0, 91.0],
        t: 3.4456,
        df: 9.48,
        p: 2.0 * 0.003391,
    };
    let flavor = Packaged {
        a: &[34.0, 52.0, 17.0, 45.0, 5.0, 29.0, 31.0, 6.0, 52.0, 64.0],
        b: &[12.0, 8.0, 6.0, 16.0, 12.0, 14.0, 10.0, 18.0, 4.0, 11.0],
        t: 3.454842,
        df: 9.83928,
        p: 2.0 * 0.003162,
    };
    for (set, t_digits, df_digits) in [(&placebo, 5e-5, 5e-3), (&flavor, 5e-7, 5e-6)] {
        let found = separate(set.b, set.a);
        close(found.t.unwrap(), set.t, t_digits);
        close(found.df.unwrap(), set.df, df_digits);
        close(found.p_t.unwrap(), set.p, 1e-6);
    }
    // Equal variances: df 10, one-sided p .003136.
    close(
        t_upper(separate(placebo.b, placebo.a).t.unwrap(), 10.0),
        0.003136,
        5e-7,
    );
}

/// RSRegression. A regression line is none of our comparisons; a slope's t is judged by the same t
/// distribution, which is what is held here: t = r·√(df/(1 − r²)) with df = n − 2 and its p.
#[test]
fn spm1d_rs_regression_by_the_t_distribution() {
    let x = [
        5.0, 23.0, 25.0, 48.0, 17.0, 8.0, 4.0, 26.0, 11.0, 19.0, 14.0, 35.0, 29.0, 4.0, 23.0,
    ];
    let y = [
        80.0, 78.0, 60.0, 53.0, 85.0, 84.0, 73.0, 79.0, 81.0, 75.0, 68.0, 72.0, 58.0, 92.0, 65.0,
    ];
    let difference: Vec<f64> = x.iter().zip(y).map(|(x, y)| x - y).collect();
    let r = correlation(&x, &y, &difference);
    close(r, -0.71343, 5e-6);
    let t = r * (13.0 / (1.0 - r * r)).sqrt();
    close(t, -3.67092, 5e-6);
    close(t_two_sided(t, 13.0), 0.002822, 5e-7);
}

/// Pearson's r from the spreads of x, y and x − y: s²(x − y) = s²(x) + s²(y) − 2·r·s(x)·s(y).
fn correlation(x: &[f64], y: &[f64], difference: &[f64]) -> f64 {
    let [sx, sy, sd] = [x, y, difference].map(|values| summarise(values).sd.unwrap());
    (sx * sx + sy * sy - sd * sd) / (2.0 * sx * sy)
}

#[test]
fn spm1d_columbia_salmonella_against_a_level() {
    let x = [
        0.593, 0.142, 0.329, 0.691, 0.231, 0.793, 0.519, 0.392, 0.418,
    ];
    let test = paired(&x.map(|x| x - 0.3)).unwrap().test.unwrap();
    close(test.t, 2.2051, 5e-5);
    assert_eq!(test.df, 8.0);
    close(test.p / 2.0, 0.02927, 5e-6);
}

#[test]
fn smallest_possible_p_of_few_swings() {
    // Counting: 2 of C(10, 5) = 252; 2 of C(6, 3) = 20; 2 of 2⁵.
    let five = separate(&[1.0, 2.0, 3.0, 4.0, 5.0], &[11.0, 12.0, 13.0, 14.0, 15.0]);
    let p = five.p_permutation.unwrap();
    assert_eq!((p.p, p.smallest_possible), (2.0 / 252.0, 2.0 / 252.0));
    let three = separate(&[1.0, 2.0, 3.0], &[11.0, 12.0, 13.0]);
    assert_eq!(three.p_permutation.unwrap().p, 0.1);
    let pairs = sign_flip(&[5.0, 6.0, 7.0, 8.0, 9.0], &EVERY).unwrap();
    assert_eq!((pairs.p, pairs.smallest_possible), (0.0625, 0.0625));
    // Sets of unequal size have no mirror: 1 of C(5, 2) = 10.
    let uneven = separate(&[1.0, 2.0], &[11.0, 12.0, 13.0]);
    assert_eq!(uneven.p_permutation.unwrap().p, 0.1);
}

#[test]
fn holm_1979_adjustment() {
    // By hand: 4·.005, 3·.01, 2·.03, 1·.04 → carried up to .06.
    let got = holm(&[Some(0.01), None, Some(0.04), Some(0.03), Some(0.005)]);
    let expected = [Some(0.03), None, Some(0.06), Some(0.06), Some(0.02)];
    for (got, expected) in got.iter().zip(expected) {
        match (got, expected) {
            (Some(got), Some(expected)) => close(*got, expected, 1e-15),
            _ => assert_eq!(*got, expected),
        }
    }
    assert_eq!(holm(&[Some(0.6), Some(0.7)]), [Some(1.0), Some(1.0)]);
    let rows = [(&BEFORE[..], &AFTER[..]), (&SLEEP_1, &SLEEP_2)];
    let found = compare_rows(&rows, Design::Separate, &EVERY).unwrap();
    close(found[0].p_holm.unwrap(), 2.0 * 4.0 / 12_870.0, 1e-15);
    close(found[1].p_holm.unwrap(), 15_048.0 / 184_756.0, 1e-15);
}

#[test]
fn the_five_verdicts_by_their_definitions() {
    assert_eq!(verdict(6.0, (5.0, 7.0), 5.5), Verdict::ClearChange);
    assert_eq!(verdict(-6.0, (-7.0, -5.0), 5.5), Verdict::ClearChange);
    assert_eq!(verdict(5.0, (4.0, 6.0), 5.5), Verdict::ChangeOnAverage);
    assert_eq!(verdict(5.5, (4.0, 6.0), 5.5), Verdict::ChangeOnAverage);
    assert_eq!(verdict(2.0, (-1.0, 6.0), 5.5), Verdict::NotSettled);
    assert_eq!(verdict(-2.0, (-6.0, 1.0), 5.5), Verdict::NotSettled);
    assert_eq!(
        verdict(2.0, (-1.0, 5.0), 5.5),
        Verdict::WithinOrdinarySpread
    );
    // Touching zero spans it, touching MDC95 stays inside.
    assert_eq!(verdict(2.5, (0.0, 5.5), 5.5), Verdict::WithinOrdinarySpread);
}

#[test]
fn more_swings_are_the_fewest_that_would_settle_it() {
    let (a, b) = ([0.0, 1.0, 2.0], [0.5, 1.5, 2.6]);
    let found = separate(&a, &b);
    assert_eq!(found.verdict, Verdict::NotSettled);
    let Some(MoreSwings::Each(more)) = found.more_swings else {
        panic!("expected a number, got {:?}", found.more_swings);
    };
    // Twin: Welch's half-width with the same spreads and k more swings a side, straight from the formula.
    let (change, mdc95) = (found.change.unwrap(), found.mdc95.unwrap());
    let half = |k: usize| {
        let grown = |s: footing_core::compare::summary::Summary| {
            footing_core::compare::summary::Summary { n: s.n + k, ..s }
        };
        let d = welch(&grown(found.a), &grown(found.b)).unwrap();
        d.ci95.1 - d.change
    };
    let settled = |k: usize| half(k) < change || change + half(k) < mdc95;
    assert!(settled(more as usize), "{more} do not settle it");
    assert!(
        (0..more as usize).all(|k| !settled(k)),
        "fewer than {more} would do"
    );
}

#[test]
fn one_odd_swing_is_named_and_none_in_ordinary_sets() {
    let mut swings = BEFORE;
    assert_eq!(odd_swing(&swings), None);
    swings[5] = 92.0;
    let found = separate(&swings, &AFTER);
    assert_eq!(found.odd.len(), 1);
    assert_eq!((found.odd[0].1.index, found.odd[0].1.value), (5, 92.0));
    assert!(found.odd[0].1.robust_sds > 3.5);
    // Half of them equal: no robust spread to judge by.
    assert_eq!(odd_swing(&[1.0, 1.0, 1.0, 1.0, 5.0]), None);
}

#[test]
fn odd_swing_begins_at_grubbs_critical_value() {
    // Grubbs' test, n = 8, 5 % both ways: G = 2.126 in the printed tables (from memory).
    let with = |x: f64| [-1.0, -0.5, -0.2, 0.0, 0.2, 0.5, 1.0, x];
    let (mut ordinary, mut odd) = (1.0, 10.0);
    for _ in 0..60 {
        let middle = 0.5 * (ordinary + odd);
        match odd_swing(&with(middle)) {
            Some(_) => odd = middle,
            None => ordinary = middle,
        }
    }
    let s = summarise(&with(odd));
    close((odd - s.mean.unwrap()) / s.sd.unwrap(), 2.126, 1e-3);
}

#[test]
fn lag_1_correlation_by_hand() {
    // About means 2 and 5: products (−1·0 + 0·1) and (2·−1 + −1·−1 + −1·0); squares 2 and 6.
    let found = separate(&[1.0, 2.0, 3.0], &[7.0, 4.0, 4.0, 5.0]);
    let lag = found.lag1.unwrap();
    close(lag.r, -1.0 / 8.0, 1e-15);
    assert_eq!(lag.neighbours, 5);
    assert_eq!(lag.effective_n, (3.0, 4.0));
    // n(1 − r)/(1 + r): a steady drift leaves little.
    close(effective_swings(10, 0.3), 5.4, 0.05);
    close(effective_swings(10, 0.5), 3.3, 0.05);
    let drift: Vec<f64> = (0..10).map(f64::from).collect();
    let lag = separate(&drift, &drift).lag1.unwrap();
    close(
        lag.effective_n.0,
        10.0 * (1.0 - lag.r) / (1.0 + lag.r),
        1e-12,
    );
    assert!(lag.r > 0.6 && lag.effective_n.0 < 3.0, "{lag:?}");
}

#[test]
fn pooled_spread_and_mdc_by_their_formulas() {
    let (a, b) = (summarise(&BEFORE), summarise(&AFTER[..3]));
    let squares = 7.0 * a.sd.unwrap().powi(2) + 2.0 * b.sd.unwrap().powi(2);
    close(pooled_sd(&a, &b).unwrap(), (squares / 9.0).sqrt(), 1e-12);
    close(mdc95(7.556926813), 20.946732442, 1e-8);
    assert_eq!(hedges_g(1.0, 0.0, 5, 5), None);
}
