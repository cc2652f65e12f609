//! Too little, too even, or impossible input: absent values and clear errors, never a NaN.

use footing_core::compare::{
    CompareError, Design, MeasureComparison, Side, compare, permutation::PermutationPlan,
    verdict::Verdict,
};

const PLAN: PermutationPlan = PermutationPlan {
    exact_up_to: 20_000,
    draws: 99,
    seed: 3,
};

fn separate(a: &[f64], b: &[f64]) -> MeasureComparison {
    let found = compare(a, b, Design::Separate, &PLAN).unwrap();
    let numbers = format!("{found:?}");
    assert!(
        !numbers.contains("NaN") && !numbers.contains("inf"),
        "{numbers}"
    );
    found
}

#[test]
fn empty_sets_have_nothing_and_say_too_few() {
    let found = separate(&[], &[]);
    assert_eq!(found.verdict, Verdict::TooFewSwings);
    assert_eq!((found.change, found.ci95, found.spread), (None, None, None));
    assert!(found.p_permutation.is_none() && found.effect.is_none() && found.lag1.is_none());
    assert_eq!(separate(&[], &[1.0, 2.0, 3.0]).change, None);
}

#[test]
fn one_swing_a_side_has_a_change_and_nothing_else() {
    let found = separate(&[1.0], &[3.0]);
    assert_eq!(found.change, Some(2.0));
    assert_eq!((found.ci95, found.mdc95, found.p_t), (None, None, None));
    assert_eq!(found.verdict, Verdict::TooFewSwings);
}

#[test]
fn two_swings_a_side_have_an_interval_but_no_verdict() {
    let found = separate(&[1.0, 2.0], &[8.0, 9.0]);
    assert!(found.ci95.is_some());
    assert_eq!(found.verdict, Verdict::TooFewSwings);
    assert_eq!(
        separate(&[1.0, 2.0, 2.5, 1.5], &[8.0, 9.0]).verdict,
        Verdict::TooFewSwings
    );
}

#[test]
fn equal_swings_have_no_spread_and_say_so() {
    // 0.1 three times over does not add up to 0.3 in binary; the spread must still be nil.
    let found = separate(&[0.1; 3], &[0.1; 3]);
    assert!(found.no_spread);
    assert_eq!((found.spread, found.mdc95), (Some(0.0), Some(0.0)));
    assert_eq!((found.t, found.df, found.p_t), (None, None, None));
    assert_eq!(found.verdict, Verdict::WithinOrdinarySpread);
    let moved = separate(&[0.1; 3], &[0.2; 3]);
    assert_eq!(moved.verdict, Verdict::ClearChange);
    assert!(moved.no_spread && moved.effect.is_none());
    assert_eq!(moved.p_permutation.unwrap().p, 0.1);
}

#[test]
fn one_even_set_beside_one_that_varies() {
    let found = separate(&[5.0; 4], &[1.0, 2.0, 3.0, 4.0]);
    assert!(!found.no_spread);
    // Welch: the whole variance is B's, so df is B's n − 1.
    assert!((found.df.unwrap() - 3.0).abs() < 1e-12);
}

#[test]
fn values_that_are_not_numbers_are_refused_by_place() {
    let refused = compare(&[1.0, f64::NAN], &[1.0], Design::Separate, &PLAN).unwrap_err();
    assert!(matches!(
        refused,
        CompareError::NotFinite {
            side: Side::A,
            index: 1,
            ..
        }
    ));
    assert_eq!(
        refused.to_string(),
        "set A, swing 2: expected a finite number, got NaN; leave the swing out"
    );
}

#[test]
fn pairs_of_different_number_are_refused() {
    let refused = compare(&[1.0, 2.0], &[1.0], Design::Paired, &PLAN).unwrap_err();
    assert_eq!(refused, CompareError::UnequalPairs { a: 2, b: 1 });
    assert!(
        refused
            .to_string()
            .contains("expected 2 in B as in A, got 1")
    );
}

#[test]
fn many_swings_are_drawn_not_enumerated() {
    let long: Vec<f64> = (0..80).map(|i| f64::from(i % 7)).collect();
    let p = separate(&long, &long).p_permutation.unwrap();
    assert_eq!((p.exact, p.arrangements, p.p), (false, 100, 1.0));
    let pairs = compare(&long, &long, Design::Paired, &PLAN).unwrap();
    assert_eq!(pairs.p_permutation.unwrap().arrangements, 100);
    assert!(pairs.no_spread || pairs.t.is_none());
}

#[test]
fn one_number_reckoned_in_two_ways_is_no_change() {
    let (a, b) = ([1.75 - 0.9; 3], [1.85 - 1.0; 3]);
    assert_ne!(a, b, "they differ in the last digit");
    let found = separate(&a, &b);
    assert_eq!(
        (found.change, found.ci95, found.spread),
        (Some(0.0), Some((0.0, 0.0)), Some(0.0))
    );
    assert_eq!(found.verdict, Verdict::WithinOrdinarySpread);
    assert_eq!(found.p_permutation.map(|p| p.p), Some(1.0));
    // One among others that do vary.
    let mixed = separate(&[2.0, 1.75 - 0.9, 3.0], &[1.85 - 1.0, 2.0, 3.0]);
    assert_eq!(mixed.change, Some(0.0));
}

#[test]
fn no_swing_is_odd_among_four() {
    let found = separate(&[1.0, 1.0001, 5.0, 1.0002], &[1.0, 1.1, 1.2, 1.3]);
    assert!(found.odd.is_empty());
    let found = separate(&[1.0, 1.0001, 5.0, 1.0002, 1.0003], &[1.0, 1.1, 1.2, 1.3]);
    assert_eq!(found.odd.len(), 1);
}
