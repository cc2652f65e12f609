//! An unchanged player is told of a change in at most 6 % of comparisons, and a change of two SD is
//! found: a smaller version of the table in `docs/false-alarms.md`.
//!
//! The bound asserted is 6 % plus three standard errors of a share of 6 % in so many pairs, so that a
//! method within it passes with any seed; the table holds the figures of the full run.

use footing_core::compare::{Design, compare, permutation::PermutationPlan, verdict::Verdict};
use footing_core::curves::{
    CurvePlan, compare_curves,
    field::{Question, Variance},
};

mod noise;

fn told(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::ClearChange | Verdict::ChangeOnAverage)
}

fn told_share(n: usize, shift: f64, pairs: u32, seed: u64) -> f64 {
    let mut swings = noise::Swings::new(seed);
    // The verdict does not rest on the permutation; a few draws are enough here.
    let plan = PermutationPlan {
        exact_up_to: 0,
        draws: 1,
        seed: 1,
    };
    let count = (0..pairs)
        .filter(|_| {
            let (a, b) = (swings.measures(n, 0.0), swings.measures(n, shift));
            told(compare(&a, &b, Design::Separate, &plan).unwrap().verdict)
        })
        .count();
    count as f64 / f64::from(pairs)
}

fn bound(pairs: u32) -> f64 {
    0.06 + 3.0 * (0.06 * 0.94 / f64::from(pairs)).sqrt()
}

#[test]
fn measures_of_an_unchanged_player() {
    for n in [3, 5, 8] {
        let share = told_share(n, 0.0, 2_000, 21);
        assert!(share <= bound(2_000), "{n} a side: {share}");
        // And the method is not merely silent.
        assert!(share >= 0.02, "{n} a side: {share}");
    }
}

#[test]
fn a_change_of_two_sd_with_six_swings_is_found() {
    let share = told_share(6, 2.0, 1_000, 22);
    assert!(share >= 0.80, "{share}");
}

#[test]
fn curves_of_an_unchanged_player() {
    for (n, pairs) in [(3, 200), (5, 200), (8, 100)] {
        let mut swings = noise::Swings::new(23);
        let mut found = 0;
        for _ in 0..pairs {
            let (a, b) = (swings.curves(n, 0.0), swings.curves(n, 0.0));
            let question = Question::Separate {
                a: &a,
                b: &b,
                variance: Variance::Welch,
            };
            let curves = compare_curves(&question, &CurvePlan::default()).unwrap();
            found += u32::from(!curves.leading_stretches().is_empty());
        }
        let share = f64::from(found) / f64::from(pairs);
        assert!(share <= bound(pairs), "{n} a side: {share}");
    }
}
