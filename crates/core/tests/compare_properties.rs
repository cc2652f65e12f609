//! What must hold whatever the numbers: swap, shift, scale, order.

use footing_core::compare::{Design, MeasureComparison, compare, permutation::PermutationPlan};
use proptest::prelude::*;

const PLAN: PermutationPlan = PermutationPlan {
    exact_up_to: 1_000,
    draws: 199,
    seed: 5,
};

fn near(x: Option<f64>, y: Option<f64>, tolerance: f64) -> bool {
    match (x, y) {
        (Some(x), Some(y)) => (x - y).abs() <= tolerance * (1.0 + x.abs().max(y.abs())),
        _ => x.is_none() && y.is_none(),
    }
}

fn separate(a: &[f64], b: &[f64]) -> MeasureComparison {
    compare(a, b, Design::Separate, &PLAN).unwrap()
}

/// Values on a grid of thousandths, so that ties occur and shifts stay exact enough to compare.
fn set(max: usize) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(
        (-50_000..50_000_i32).prop_map(|i| f64::from(i) / 1e3),
        3..=max,
    )
}

fn p(found: &MeasureComparison) -> Option<f64> {
    found.p_permutation.map(|p| p.p)
}

proptest! {
    #[test]
    fn swapping_the_sets_turns_the_sign_and_nothing_else(a in set(5), b in set(5)) {
        let (there, back) = (separate(&a, &b), separate(&b, &a));
        prop_assert!(near(there.change, back.change.map(|c| -c), 1e-12));
        prop_assert!(near(there.t, back.t.map(|t| -t), 1e-9));
        prop_assert!(near(there.ci95.map(|c| c.0), back.ci95.map(|c| -c.1), 1e-9));
        prop_assert!(near(there.p_t, back.p_t, 1e-9));
        prop_assert!(near(p(&there), p(&back), 1e-12));
        prop_assert!(near(there.effect.map(|e| e.g), back.effect.map(|e| -e.g), 1e-9));
        prop_assert!(near(there.effect.map(|e| e.ci95.0), back.effect.map(|e| -e.ci95.1), 1e-6));
        prop_assert_eq!(there.verdict, back.verdict);
        prop_assert_eq!(there.more_swings, back.more_swings);
    }

    #[test]
    fn shift_and_scale_change_only_the_unit(a in set(5), b in set(5), shift in -100..100_i32, doublings in -3..4_i32) {
        let scale = 2_f64.powi(doublings);
        let moved = |v: &[f64]| -> Vec<f64> { v.iter().map(|x| scale * (x + f64::from(shift))).collect() };
        let (here, there) = (separate(&a, &b), separate(&moved(&a), &moved(&b)));
        prop_assert!(near(here.change.map(|c| scale * c), there.change, 1e-10));
        prop_assert!(near(here.mdc95.map(|c| scale * c), there.mdc95, 1e-10));
        prop_assert!(near(here.t, there.t, 1e-7));
        prop_assert!(near(p(&here), p(&there), 1e-12));
    }

    #[test]
    fn order_within_sets_matters_to_the_lag_alone(a in set(5), b in set(5)) {
        let mut turned = a.clone();
        turned.reverse();
        let (here, there) = (separate(&a, &b), separate(&turned, &b));
        prop_assert!(near(here.t, there.t, 1e-9));
        prop_assert!(near(p(&here), p(&there), 1e-12));
        prop_assert!(near(here.spread, there.spread, 1e-12));
    }

    #[test]
    fn permutation_p_is_a_share_that_counts_the_observed(a in set(6), b in set(6)) {
        let found = separate(&a, &b).p_permutation.unwrap();
        let share = found.p * found.arrangements as f64;
        prop_assert!((share - share.round()).abs() < 1e-6);
        prop_assert!(found.p >= found.smallest_possible - 1e-12 && found.p <= 1.0);
    }

    #[test]
    fn interval_is_off_zero_exactly_when_p_is_below_five_per_cent(a in set(6), b in set(6)) {
        let found = separate(&a, &b);
        if let (Some((low, high)), Some(p)) = (found.ci95, found.p_t)
            && (p - 0.05).abs() > 1e-9
        {
            prop_assert_eq!(low > 0.0 || high < 0.0, p < 0.05);
        }
    }
}
