//! Curves with gaps, without spread, of unequal number; time normalisation; what must hold always.

use footing_core::compare::permutation::PermutationPlan;
use footing_core::curves::{
    CurveError, CurvePlan, Leading, compare_curves,
    field::{Question, Variance},
    normalise::{Anchors, NODES, NormaliseError, TopAnchor, node_times_s, normalise},
    permutation_maxima,
};
use footing_core::sampled::Line;
use proptest::prelude::*;

mod noise;

type Curves = Vec<Vec<Option<f64>>>;

fn separate<'a>(a: &'a Curves, b: &'a Curves, variance: Variance) -> Question<'a> {
    Question::Separate { a, b, variance }
}

fn pooled(a: &Curves, b: &Curves) -> footing_core::curves::CurveComparison {
    compare_curves(&separate(a, b, Variance::Pooled), &CurvePlan::default()).unwrap()
}

#[test]
fn a_gap_breaks_the_field_and_no_stretch_crosses_it() {
    let mut swings = noise::Swings::new(4);
    let (a, mut b) = (swings.curves(6, 0.0), swings.curves(6, 12.0));
    let whole = pooled(&a, &b);
    assert_eq!(whole.segments, 1);
    assert_eq!(whole.permutation.stretches.len(), 1);
    b[2][58..=62].fill(None);
    let broken = pooled(&a, &b);
    assert_eq!(broken.segments, 2);
    assert!((58..=62).all(|q| broken.t[q].is_none() && broken.mean_b[q].is_none()));
    assert_eq!(broken.mean_a[60], whole.mean_a[60]);
    assert_eq!(broken.t[57], whole.t[57]);
    // Ends at the gap are not interpolated: the last node before it, the first after.
    let field = broken.random_field.as_ref().unwrap();
    for stretches in [&broken.permutation.stretches, &field.stretches] {
        assert_eq!(stretches.len(), 2, "{stretches:?}");
        assert_eq!((stretches[0].to_pct, stretches[1].from_pct), (57.0, 63.0));
    }
    // R1 = (nodes − segments)/FWHM.
    let resels = (96.0 - 2.0) / field.fwhm_nodes.unwrap();
    assert!((field.resels - resels).abs() < 1e-12);
}

#[test]
fn nodes_without_spread_have_no_t() {
    let mut swings = noise::Swings::new(5);
    let (mut a, mut b) = (swings.curves(5, 0.0), swings.curves(5, 0.0));
    a.iter_mut()
        .chain(&mut b)
        .for_each(|curve| curve[0] = Some(0.1));
    let found = pooled(&a, &b);
    assert_eq!(found.t[0], None);
    assert!(found.t[1..].iter().all(Option::is_some));
    assert_eq!(found.segments, 1);
}

#[test]
fn constant_offsets_are_perfectly_smooth() {
    // Residuals that do not change along the curve: no resels, and the threshold is that of one value.
    let level = |y: f64| vec![Some(y); NODES];
    let a: Curves = [0.0, 1.0, 2.0, 3.0].map(level).to_vec();
    let b: Curves = [9.0, 10.0, 11.0, 13.0].map(level).to_vec();
    let found = pooled(&a, &b);
    let field = found.random_field.unwrap();
    assert_eq!((field.fwhm_nodes, field.resels), (None, 0.0));
    // One unbroken field of no resels: 1 − exp(−ρ0) = .025.
    let single = footing_core::compare::distribution::t_upper_quantile(-(-0.025_f64).ln_1p(), 6.0);
    assert!(
        (field.threshold - single).abs() < 1e-9,
        "{}",
        field.threshold
    );
    assert_eq!(field.stretches.len(), 1);
    assert_eq!(
        (field.stretches[0].from_pct, field.stretches[0].to_pct),
        (0.0, 100.0)
    );
}

#[test]
fn welch_with_unequal_numbers_is_welch_at_every_node() {
    use footing_core::compare::{difference::welch, summary::summarise};
    let mut swings = noise::Swings::new(6);
    let (a, b) = (swings.curves(4, 0.0), swings.curves(9, 1.0));
    let found = compare_curves(&separate(&a, &b, Variance::Welch), &CurvePlan::default()).unwrap();
    for q in 0..NODES {
        let at = |set: &Curves| summarise(&set.iter().map(|c| c[q].unwrap()).collect::<Vec<_>>());
        let t = welch(&at(&a), &at(&b)).unwrap().test.unwrap().t;
        assert!((found.t[q].unwrap() - t).abs() < 1e-9, "node {q}");
    }
    assert!(found.df > 3.0 && found.df < 11.0, "{}", found.df);
    // The permutation goes through C(13, 4) splits with the same statistic.
    assert_eq!(found.permutation.whole.arrangements, 715);
    let largest = found
        .t
        .iter()
        .flatten()
        .fold(0.0_f64, |m, t| m.max(t.abs()));
    assert!((found.permutation.largest - largest).abs() < 1e-9);
    assert_eq!(found.leads, Leading::Permutation);
}

/// Twin: every split of few curves, t by the textbook at every node.
#[test]
fn maxima_agree_with_a_brute_force_twin() {
    let mut swings = noise::Swings::new(7);
    let (a, b) = (swings.curves(3, 0.0), swings.curves(4, 2.0));
    for variance in [Variance::Pooled, Variance::Welch] {
        let question = separate(&a, &b, variance);
        let maxima = permutation_maxima(&question, &CurvePlan::default()).unwrap();
        let all: Curves = a.iter().chain(&b).cloned().collect();
        let mut twin = Vec::new();
        for bits in 0_u32..1 << 7 {
            if bits.count_ones() != 3 {
                continue;
            }
            let chosen = |want: bool| -> Curves {
                let pick = |i: &usize| (bits >> i & 1 == 1) == want;
                (0..7).filter(pick).map(|i| all[i].clone()).collect()
            };
            let (a, b) = (chosen(true), chosen(false));
            let t = compare_curves(
                &separate(&a, &b, variance),
                &CurvePlan {
                    permutation: PermutationPlan {
                        exact_up_to: 0,
                        draws: 1,
                        seed: 1,
                    },
                    ..CurvePlan::default()
                },
            )
            .unwrap()
            .t;
            twin.push(t.iter().flatten().fold(0.0_f64, |m, t| m.max(t.abs())));
        }
        twin.sort_by(f64::total_cmp);
        assert_eq!(twin.len(), 35);
        for (got, expected) in maxima.sorted.iter().zip(&twin) {
            assert!((got - expected).abs() < 1e-8 * expected, "{got} {expected}");
        }
    }
}

#[test]
fn three_a_side_can_never_speak_and_eight_let_the_random_field_lead() {
    let mut swings = noise::Swings::new(8);
    let found = pooled(&swings.curves(3, 0.0), &swings.curves(3, 40.0));
    assert!(found.permutation.stretches.is_empty());
    assert_eq!(found.permutation.whole.p, 0.1);
    assert!(found.leading_stretches().is_empty());
    let found = pooled(&swings.curves(8, 0.0), &swings.curves(8, 4.0));
    assert_eq!(found.leads, Leading::RandomField);
    assert!(!found.leading_stretches().is_empty());
}

#[test]
fn impossible_input_is_refused_with_what_was_expected() {
    let flat: Curves = vec![vec![Some(1.0); 5]; 3];
    let refused = |a: &Curves, b: &Curves| {
        compare_curves(&separate(a, b, Variance::Pooled), &CurvePlan::default()).unwrap_err()
    };
    assert_eq!(refused(&flat, &flat), CurveError::NothingToTest);
    assert_eq!(
        refused(&vec![], &flat),
        CurveError::TooFew { a: 0, b: Some(3) }
    );
    assert_eq!(
        refused(&flat, &vec![vec![Some(1.0); 4]; 3]),
        CurveError::Length {
            expected: 5,
            got: 4
        }
    );
    assert_eq!(
        refused(&flat, &vec![vec![Some(f64::NAN); 5]; 3]),
        CurveError::NotFinite { node: 0 }
    );
    assert_eq!(
        refused(&flat, &vec![vec![None; 5]; 3]),
        CurveError::NothingToTest
    );
    let pairs = Question::Paired {
        a: &flat,
        b: &flat[..2],
    };
    let refused = compare_curves(&pairs, &CurvePlan::default()).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "pairs need as many curves in both sets: expected 3 in B as in A, got 2"
    );
}

#[test]
fn normalising_a_ramp_gives_the_node_times() {
    // A line through its own times: the value at each node is the node's time.
    let t_s: Vec<f64> = (0..200).map(|i| 0.01 * f64::from(i)).collect();
    let anchors = Anchors {
        takeaway_s: 0.305,
        top: None,
        impact_s: 1.305,
    };
    let curve = normalise(&Line::new(&t_s, &t_s), &anchors).unwrap();
    for (q, y) in curve.iter().enumerate() {
        assert!(
            (y.unwrap() - (0.305 + 0.01 * q as f64)).abs() < 1e-12,
            "node {q}"
        );
    }
    let piecewise = Anchors {
        top: Some(TopAnchor {
            time_s: 1.055,
            node: 75,
        }),
        ..anchors
    };
    let times = node_times_s(&piecewise).unwrap();
    assert_eq!(
        (times.len(), times[0], times[75], times[100]),
        (NODES, 0.305, 1.055, 1.305)
    );
    assert!((times[30] - (0.305 + 0.75 * 30.0 / 75.0)).abs() < 1e-12);
    assert!((times[80] - (1.055 + 0.25 * 5.0 / 25.0)).abs() < 1e-12);
}

#[test]
fn normalising_keeps_gaps_and_refuses_disorder() {
    let t_s: Vec<f64> = (0..=10).map(f64::from).collect();
    let mut values: Vec<Option<f64>> = vec![Some(1.0); 11];
    values[4] = None;
    let anchors = Anchors {
        takeaway_s: 0.0,
        top: None,
        impact_s: 10.0,
    };
    let curve = normalise(&Line::new(&t_s, &values), &anchors).unwrap();
    assert!(curve[31..50].iter().all(Option::is_none));
    assert!(curve[30].is_some() && curve[50].is_some());
    let late = Anchors {
        takeaway_s: 11.0,
        ..anchors
    };
    let refused = node_times_s(&late).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "expected takeaway < impact, got 11 s and 10 s; move the events"
    );
    for node in [0, 100, 400] {
        let top = Some(TopAnchor { time_s: 5.0, node });
        let refused = node_times_s(&Anchors { top, ..anchors }).unwrap_err();
        assert_eq!(refused, NormaliseError::TopNode { node });
    }
    let top = Some(TopAnchor {
        time_s: 12.0,
        node: 50,
    });
    assert!(node_times_s(&Anchors { top, ..anchors }).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn swapping_the_sets_turns_the_t_curve(seed in any::<u64>(), n_a in 3..6_usize, n_b in 3..6_usize, shift in -3.0..3.0_f64) {
        let mut swings = noise::Swings::new(seed);
        let (a, b) = (swings.curves(n_a, 0.0), swings.curves(n_b, shift));
        for variance in [Variance::Pooled, Variance::Welch] {
            let plan = CurvePlan::default();
            let there = compare_curves(&separate(&a, &b, variance), &plan).unwrap();
            let back = compare_curves(&separate(&b, &a, variance), &plan).unwrap();
            for (x, y) in there.t.iter().flatten().zip(back.t.iter().flatten()) {
                prop_assert!((x + y).abs() <= 1e-9 * (1.0 + x.abs()));
            }
            prop_assert!((there.permutation.whole.p - back.permutation.whole.p).abs() < 1e-12);
            prop_assert!((there.permutation.threshold - back.permutation.threshold).abs() < 1e-6 * there.permutation.threshold);
            prop_assert_eq!(there.permutation.stretches.len(), back.permutation.stretches.len());
        }
    }

    #[test]
    fn shift_and_scale_leave_the_t_curve_alone(seed in any::<u64>(), doublings in -3..4_i32, shift in -50..50_i32) {
        let mut swings = noise::Swings::new(seed);
        let (a, b) = (swings.curves(5, 0.0), swings.curves(5, 2.0));
        let scale = 2_f64.powi(doublings);
        let moved = |set: &Curves| -> Curves {
            set.iter().map(|c| c.iter().map(|y| y.map(|y| scale * (y + f64::from(shift)))).collect()).collect()
        };
        let (here, there) = (pooled(&a, &b), pooled(&moved(&a), &moved(&b)));
        for (x, y) in here.t.iter().flatten().zip(there.t.iter().flatten()) {
            prop_assert!((x - y).abs() <= 1e-7 * (1.0 + x.abs()));
        }
        prop_assert_eq!(here.permutation.whole, there.permutation.whole);
        let (here, there) = (here.random_field.unwrap(), there.random_field.unwrap());
        prop_assert!((here.resels - there.resels).abs() < 1e-7);
    }

    #[test]
    fn a_stretch_by_permutation_always_has_p_within_alpha(seed in any::<u64>(), n in 4..6_usize, shift in 0.0..6.0_f64) {
        let mut swings = noise::Swings::new(seed);
        let found = pooled(&swings.curves(n, 0.0), &swings.curves(n, shift));
        let permutation = found.permutation;
        prop_assert!(permutation.stretches.iter().all(|s| s.p <= 0.05));
        prop_assert_eq!(permutation.whole.p <= 0.05, !permutation.stretches.is_empty());
    }
}
