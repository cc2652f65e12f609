//! Permutation tests: what would the labels alone, dealt anew, have given?
//!
//! If nothing changed, the labels "before" and "after" mean nothing and every way of dealing them
//! out was as likely as the one that happened. The p-value is the share of all dealings that give
//! a statistic at least as extreme as the observed one. It is exact in finite samples and needs no
//! normal distribution, only that the swings could have come in any order (exchangeability).
//!
//! The observed dealing is always counted, so p is never 0.
//!
//! **Source**: Fisher RA (1935) *The Design of Experiments*, § 21 (sign flips of pairs);
//! Pitman EJG (1937) J R Stat Soc Suppl 4:119–130 (two samples); Phipson B, Smyth GK (2010) Stat Appl
//! Genet Mol Biol 9:39 (p = (b + 1)/(m + 1) when dealings are drawn at random).

use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_pcg::Pcg64Mcg;

/// How far to enumerate and what to do beyond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PermutationPlan {
    /// Enumerate every arrangement when there are at most this many.
    pub exact_up_to: u64,
    /// Otherwise draw this many at random (the observed one is counted besides).
    pub draws: u32,
    /// Seed of the draws: the same seed gives the same p.
    pub seed: u64,
}

impl Default for PermutationPlan {
    fn default() -> Self {
        Self {
            exact_up_to: 20_000,
            draws: 9_999,
            seed: 20_000,
        }
    }
}

/// What is dealt anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scheme {
    /// Which `first` of `all` values belong to the first set.
    Splits {
        /// Size of the first set.
        first: usize,
        /// Size of both sets together.
        all: usize,
    },
    /// The sign of each of so many differences.
    Signs(usize),
}

impl Scheme {
    /// Number of arrangements, the observed one included; `None` beyond 2⁶³.
    pub fn arrangements(self) -> Option<u64> {
        match self {
            Self::Signs(n) => (n < 63).then(|| 1 << n),
            Self::Splits { first, all } => {
                let k = first.min(all - first) as u64;
                (1..=k).try_fold(1_u64, |count, i| {
                    let grown = u128::from(count) * u128::from(all as u64 - k + i) / u128::from(i);
                    u64::try_from(grown).ok()
                })
            }
        }
    }
}

impl Scheme {
    /// The smallest two-sided p that a test by this plan could give; 1 where nothing can be dealt anew.
    pub fn smallest_possible(self, plan: &PermutationPlan) -> f64 {
        let all = self
            .arrangements()
            .filter(|count| *count <= plan.exact_up_to);
        let visited = Visited {
            arrangements: all.unwrap_or(u64::from(plan.draws) + 1),
            exact: all.is_some(),
        };
        PermutationP::from_count(1, visited, self).smallest_possible
    }
}

/// How many arrangements a test went through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Visited {
    /// Arrangements counted, the observed one included.
    pub arrangements: u64,
    /// Whether these are all there are.
    pub exact: bool,
}

/// A permutation p-value with what it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PermutationP {
    /// Two-sided p: the share of arrangements at least as extreme as the observed one.
    pub p: f64,
    /// Arrangements counted, the observed one included.
    pub arrangements: u64,
    /// Whether these are all there are; otherwise they were drawn from a seed.
    pub exact: bool,
    /// Standard error of `p` from drawing, `√(p(1 − p)/N)`; `None` when exact.
    pub standard_error: Option<f64>,
    /// The smallest p these numbers of swings could ever give: `2/N` for sign flips and for sets of
    /// equal size (an arrangement and its mirror always tie), else `1/N`.
    pub smallest_possible: f64,
}

impl PermutationP {
    /// From the count of arrangements at least as extreme as the observed one.
    pub fn from_count(at_least: u64, visited: Visited, scheme: Scheme) -> Self {
        let n = visited.arrangements as f64;
        let p = at_least as f64 / n;
        let mirrored = match scheme {
            Scheme::Signs(_) => true,
            Scheme::Splits { first, all } => 2 * first == all,
        };
        let ties = if mirrored && visited.exact { 2.0 } else { 1.0 };
        Self {
            p,
            arrangements: visited.arrangements,
            exact: visited.exact,
            standard_error: (!visited.exact).then(|| (p * (1.0 - p) / n).sqrt()),
            smallest_possible: (ties / n).min(1.0),
        }
    }
}

/// Calls `each` with every arrangement, or with random ones when there are too many. The
/// observed arrangement comes first. A `true` marks membership of the first set
/// ([`Scheme::Splits`]) or a turned sign ([`Scheme::Signs`]).
pub fn visit(scheme: Scheme, plan: &PermutationPlan, mut each: impl FnMut(&[bool])) -> Visited {
    match scheme.arrangements() {
        Some(count) if count <= plan.exact_up_to => {
            match scheme {
                Scheme::Splits { first, all } => every_split(first, all, &mut each),
                Scheme::Signs(n) => every_sign(n, &mut each),
            }
            Visited {
                arrangements: count,
                exact: true,
            }
        }
        _ => {
            random_arrangements(scheme, plan, &mut each);
            Visited {
                arrangements: u64::from(plan.draws) + 1,
                exact: false,
            }
        }
    }
}

/// All splits in lexicographic order, starting with the first `first` values.
fn every_split(first: usize, all: usize, each: &mut impl FnMut(&[bool])) {
    let mut chosen: Vec<usize> = (0..first).collect();
    let mut marks = vec![false; all];
    marks[..first].fill(true);
    loop {
        each(&marks);
        // The last index that can still move up; those after it follow close behind.
        let Some(at) = (0..first).rev().find(|i| chosen[*i] < all - first + i) else {
            return;
        };
        for &i in &chosen[at..] {
            marks[i] = false;
        }
        let start = chosen[at] + 1;
        for (k, index) in chosen[at..].iter_mut().enumerate() {
            *index = start + k;
            marks[start + k] = true;
        }
    }
}

fn every_sign(n: usize, each: &mut impl FnMut(&[bool])) {
    let mut marks = vec![false; n];
    for bits in 0..1_u64 << n {
        for (i, mark) in marks.iter_mut().enumerate() {
            *mark = bits >> i & 1 == 1;
        }
        each(&marks);
    }
}

fn random_arrangements(scheme: Scheme, plan: &PermutationPlan, each: &mut impl FnMut(&[bool])) {
    let mut random = Pcg64Mcg::seed_from_u64(plan.seed);
    match scheme {
        Scheme::Splits { first, all } => {
            let mut marks = vec![false; all];
            marks[..first].fill(true);
            each(&marks);
            for _ in 0..plan.draws {
                marks.shuffle(&mut random);
                each(&marks);
            }
        }
        Scheme::Signs(n) => {
            let mut marks = vec![false; n];
            each(&marks);
            for _ in 0..plan.draws {
                for block in marks.chunks_mut(64) {
                    let bits = random.next_u64();
                    for (i, mark) in block.iter_mut().enumerate() {
                        *mark = bits >> i & 1 == 1;
                    }
                }
                each(&marks);
            }
        }
    }
}

/// Two-sided permutation p of a difference of means; `None` when a set is empty.
///
/// Statistic: |mean of one set − mean of the other|. For sets of equal size this ranks the
/// arrangements exactly as |t| does.
pub fn difference_of_means(a: &[f64], b: &[f64], plan: &PermutationPlan) -> Option<PermutationP> {
    if a.is_empty() || b.is_empty() {
        return None;
    }
    let all: Vec<f64> = a.iter().chain(b).copied().collect();
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    // About the grand mean the two sums are opposite, so one of them says everything.
    let about: Vec<f64> = all.iter().map(|v| v - mean).collect();
    let scheme = Scheme::Splits {
        first: a.len(),
        all: all.len(),
    };
    Some(count_extreme(scheme, plan, &about, |marks| {
        let chosen = about.iter().zip(marks).filter(|(_, mark)| **mark);
        chosen.map(|(v, _)| v).sum::<f64>().abs()
    }))
}

/// Two-sided sign-flip p of paired differences; `None` when there are none.
///
/// Statistic: |sum of the differences|.
pub fn sign_flip(differences: &[f64], plan: &PermutationPlan) -> Option<PermutationP> {
    if differences.is_empty() {
        return None;
    }
    let scheme = Scheme::Signs(differences.len());
    Some(count_extreme(scheme, plan, differences, |marks| {
        let signed = differences.iter().zip(marks);
        signed
            .map(|(d, turned)| if *turned { -d } else { *d })
            .sum::<f64>()
            .abs()
    }))
}

fn count_extreme(
    scheme: Scheme,
    plan: &PermutationPlan,
    values: &[f64],
    statistic: impl Fn(&[bool]) -> f64,
) -> PermutationP {
    // Equal sums added in another order differ in their last bits and must still count as ties.
    let slack = 1e-11 * values.iter().map(|v| v.abs()).sum::<f64>();
    let (mut observed, mut at_least) = (None, 0);
    let visited = visit(scheme, plan, |marks| {
        let value = statistic(marks);
        if value >= *observed.get_or_insert(value) - slack {
            at_least += 1;
        }
    });
    PermutationP::from_count(at_least, visited, scheme)
}
