//! The page `docs/false-alarms.md`: invented pairs of sets, counted, and written out.
//!
//! Curves are compared as the application compares them: pooled spread, permutation and random field.
#![allow(dead_code, reason = "the example writes, the test compares")]

use footing_core::compare::{
    Design, compare, permutation::PermutationPlan, sequence, verdict::Verdict,
};
use footing_core::curves::{
    CurveComparison, CurvePlan, compare_curves,
    field::{Question, Variance},
};

use crate::noise::{Swings, course};

/// Pairs of sets a row.
pub const PAIRS: u32 = 2_000;
const SEED: u64 = 11;

/// Swings a side and the true change, SD.
pub const ROWS: [(usize, f64); 8] = [
    (3, 0.0),
    (5, 0.0),
    (8, 0.0),
    (12, 0.0),
    (3, 2.0),
    (5, 2.0),
    (6, 2.0),
    (8, 2.0),
];

/// Counts over the simulated pairs.
#[derive(Debug, Default, Clone, Copy)]
pub struct Counts {
    pub clear: u32,
    pub told: u32,
    pub told_uneven: u32,
    pub unsettled: u32,
    pub permutation_p: u32,
    pub curve_leading: u32,
    pub curve_permutation: u32,
    pub curve_random_field: u32,
    pub odd_sets: u32,
    /// |t| that a curve must pass by the leading result, on average.
    pub threshold: f64,
}

/// A share of the pairs as the page writes it.
pub fn share(count: u32) -> String {
    format!("{:.1} %", 100.0 * f64::from(count) / f64::from(PAIRS))
}

/// Verdicts do not rest on the permutation.
const NONE: PermutationPlan = PermutationPlan {
    exact_up_to: 0,
    draws: 1,
    seed: 1,
};

fn told(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::ClearChange | Verdict::ChangeOnAverage)
}

fn settled_by(p: Option<footing_core::compare::permutation::PermutationP>) -> bool {
    p.is_some_and(|p| p.p <= 0.05)
}

/// Counts a row. The plan is that of the curves' permutation, which takes nearly all the time.
pub fn count(n: usize, change_sds: f64, of_curves: &PermutationPlan) -> Counts {
    let mut swings = Swings::new(SEED ^ (n as u64) << 8 ^ change_sds.to_bits());
    let plan = PermutationPlan::default();
    let mut c = Counts::default();
    for _ in 0..PAIRS {
        let a = swings.measures(n, 0.0);
        let b = swings.measures(n, change_sds);
        let uneven: Vec<f64> = b
            .iter()
            .map(|v| change_sds + 2.0 * (v - change_sds))
            .collect();
        let found = compare(&a, &b, Design::Separate, &plan).expect("finite values");
        let unequal = compare(&a, &uneven, Design::Separate, &NONE).expect("finite values");
        c.told += u32::from(told(found.verdict));
        c.clear += u32::from(found.verdict == Verdict::ClearChange);
        c.unsettled += u32::from(found.verdict == Verdict::NotSettled);
        c.permutation_p += u32::from(settled_by(found.p_permutation));
        c.told_uneven += u32::from(told(unequal.verdict));
        c.odd_sets += u32::from(sequence::odd_swing(&a).is_some());

        let (a, b) = (swings.curves(n, 0.0), swings.curves(n, change_sds));
        c.curves(&curves(&a, &b, of_curves));
    }
    c
}

/// No change, but four swings that vary twice as much as the ten they are compared with.
pub fn count_uneven() -> Counts {
    let mut swings = Swings::new(SEED);
    let plan = PermutationPlan::default();
    let mut c = Counts::default();
    for _ in 0..PAIRS {
        let few = swings.measures(4, 0.0).into_iter().map(|v| 2.0 * v);
        let (few, many) = (few.collect::<Vec<_>>(), swings.measures(10, 0.0));
        let found = compare(&few, &many, Design::Separate, &plan).expect("finite values");
        c.told += u32::from(told(found.verdict));
        c.permutation_p += u32::from(settled_by(found.p_permutation));

        let (mut few, many) = (swings.curves(4, 0.0), swings.curves(10, 0.0));
        for (q, y) in few
            .iter_mut()
            .flat_map(|curve| curve.iter_mut().enumerate())
        {
            *y = y.map(|y| 2.0 * y - course(q as f64));
        }
        c.curves(&curves(&few, &many, &plan));
    }
    c
}

impl Counts {
    fn curves(&mut self, found: &CurveComparison) {
        self.curve_leading += u32::from(!found.leading_stretches().is_empty());
        self.curve_permutation += u32::from(!found.permutation.stretches.is_empty());
        let field = found.random_field.as_ref();
        self.curve_random_field += u32::from(field.is_some_and(|f| !f.stretches.is_empty()));
        self.threshold += found.permutation.threshold / f64::from(PAIRS);
    }

    /// The shares of a row of the table, in its order.
    pub fn shares(&self) -> [String; 9] {
        [
            self.clear,
            self.told,
            self.told_uneven,
            self.unsettled,
            self.permutation_p,
            self.curve_leading,
            self.curve_permutation,
            self.curve_random_field,
            self.odd_sets,
        ]
        .map(share)
    }
}

fn curves(
    a: &[Vec<Option<f64>>],
    b: &[Vec<Option<f64>>],
    permutation: &PermutationPlan,
) -> CurveComparison {
    let question = Question::Separate {
        a,
        b,
        variance: Variance::Pooled,
    };
    let plan = CurvePlan {
        permutation: *permutation,
        ..CurvePlan::default()
    };
    compare_curves(&question, &plan).expect("curves that can be compared")
}

/// The place of "curve: permutation" among the shares of a row.
pub const CURVE_PERMUTATION: usize = 6;

/// The line of the table with these shares.
pub fn line(n: usize, change_sds: f64, shares: &[String]) -> String {
    let change = if change_sds == 0.0 {
        "none".into()
    } else {
        format!("{change_sds} SD")
    };
    format!("| {n} | {change} | {} |", shares.join(" | "))
}

/// The table's head.
pub const HEAD: &str = "| swings a side | true change | clear change | clear or on average | unequal spreads | not settled | permutation p ≤ 0.05 | curve: leading result | curve: permutation | curve: random field | a swing called odd |
| --: | --: | --: | --: | --: | --: | --: | --: | --: | --: | --: |";

/// What unequal sets do, as the page says it.
pub fn said_of_uneven(c: &Counts) -> String {
    format!(
        "With unequal sets of which the smaller varies more only the verdicts keep to that (Welch's interval). \
         With 4 and 10\nswings and twice the spread in the smaller set a change is told by the verdict in {}, by \
         a measure's permutation p in {},\nby whole curves in {} (leading result; random field: {}): both take the \
         spreads as equal.",
        share(c.told),
        share(c.permutation_p),
        share(c.curve_leading),
        share(c.curve_random_field),
    )
}

/// What is found of a true change, as the page says it; of six swings a side and 2 SD.
pub fn said_of_found(c: &Counts) -> String {
    format!(
        "Found in at least 80 % with six swings a side and a change of 2 SD: that is held for a given measure ({}). \
         Whole curves\nfind such a change in {}. A curve is asked at 101 nodes at once, so |t| must pass {:.2} somewhere \
         (permutation, average) where\na single value must pass 2.23; the bump's own t is 3.46 on average, \
         at its peak only.",
        share(c.told),
        share(c.curve_leading),
        c.threshold,
    )
}

/// What the page says besides.
pub const EXPLANATION: &str = "
2 000 simulated pairs of sets a row, seed 11, printed by the example `false_alarms`; the standard error of a share near
5 % is 0.5 %.

- \"clear change\" and \"clear or on average\" are verdicts on independent normal values; \"unequal spreads\" is the second of
  them when one set has twice the spread of the other.
- The curves are 101 nodes of Gaussian noise smoothed to a FWHM of 20 nodes; a true change is a bump of two SD at its
  peak, 25 nodes wide. A share counts the comparisons with any significant stretch, tested as on the page: one pooled
  spread for both sets.
- \"a swing called odd\" counts sets in which a swing is named as worth a second look though none was made odd.

No share of false alarms passes 6 % with sets of equal size. Below eight swings a side the permutation result leads; with
three it cannot speak at all, since the smallest p there is 2/20.
";
