//! Cosine terms of the two sets' curves.

use super::Damaged;
use super::coder::{Chance, Coder};
use super::numbers::{LARGEST, Numbers};
use super::wire::{Runs, Terms};

/// How many sizes of neighbouring terms are told apart.
const SIZES: usize = 10;

/// What is learnt of one kind of curve, for terms as they are and for differences B − A.
pub struct KindModels {
    count: [Numbers; 2],
    first: [Numbers; 2],
    by_neighbours: [[Numbers; SIZES]; 2],
    from_a: Chance,
}

impl KindModels {
    fn new() -> Self {
        let by_size = || std::array::from_fn(Numbers::about);
        Self {
            count: [Numbers::about(5), Numbers::about(5)],
            first: [Numbers::about(8), Numbers::about(6)],
            by_neighbours: [by_size(), by_size()],
            from_a: Chance::NEW,
        }
    }
}

/// Means, SDs and paths.
pub struct TermModels {
    pub means: KindModels,
    pub sds: KindModels,
    pub paths: KindModels,
}

impl TermModels {
    pub fn new() -> Self {
        Self {
            means: KindModels::new(),
            sds: KindModels::new(),
            paths: KindModels::new(),
        }
    }
}

/// Codes the terms of A, then those of B as they are or as differences from A's.
pub fn curve_terms(
    io: &mut impl Coder,
    m: &mut KindModels,
    pair: &mut [Terms; 2],
    runs: &[Runs; 2],
) -> Result<(), Damaged> {
    let [a, b] = pair;
    terms(io, m, 0, a, &runs[0])?;
    let alike = runs[0] == runs[1];
    let from_a = alike && io.bit(&mut m.from_a, alike && size(&less(b, a)) < size(b))?;
    if from_a {
        let mut differences = less(b, a);
        terms(io, m, 1, &mut differences, &runs[1])?;
        *b = more(&differences, a)?;
        Ok(())
    } else {
        terms(io, m, 0, b, &runs[1])
    }
}

/// Bits, roughly.
fn size(terms: &Terms) -> u32 {
    let bits = |v: &i32| 2 * (u32::BITS - v.unsigned_abs().leading_zeros());
    terms.iter().flatten().map(bits).sum()
}

fn less(b: &Terms, a: &Terms) -> Terms {
    combined(b, a, |b, a| b - a)
}

fn more(differences: &Terms, a: &Terms) -> Result<Terms, Damaged> {
    let sums = combined(differences, a, |d, a| d + a);
    let fits = |v: &i32| v.abs() <= LARGEST / 2;
    sums.iter()
        .flatten()
        .all(fits)
        .then_some(sums)
        .ok_or(Damaged)
}

/// Term by term, missing terms nil, nil terms at the end left out.
fn combined(x: &Terms, y: &Terms, with: impl Fn(i32, i32) -> i32) -> Terms {
    let run = |i: usize| {
        let empty = Vec::new();
        let (x, y) = (x.get(i).unwrap_or(&empty), y.get(i).unwrap_or(&empty));
        let term = |terms: &[i32], k: usize| terms.get(k).copied().unwrap_or(0);
        let mut terms: Vec<i32> = (0..x.len().max(y.len()))
            .map(|k| with(term(x, k), term(y, k)))
            .collect();
        trim(&mut terms);
        terms
    };
    (0..x.len().max(y.len())).map(run).collect()
}

/// Leaves out nil terms at the end.
pub fn trim(terms: &mut Vec<i32>) {
    while terms.last() == Some(&0) {
        terms.pop();
    }
}

fn terms(
    io: &mut impl Coder,
    m: &mut KindModels,
    kind: usize,
    terms: &mut Terms,
    runs: &Runs,
) -> Result<(), Damaged> {
    terms.resize(runs.len(), Vec::new());
    for (terms, (_, length)) in terms.iter_mut().zip(runs) {
        let count = m.count[kind].unsigned(io, terms.len() as u32)?;
        if count > *length {
            return Err(Damaged);
        }
        terms.resize(count as usize, 0);
        for k in 0..terms.len() {
            let before = |back: usize| k.checked_sub(back).map_or(0, |j| terms[j].unsigned_abs());
            let neighbours = (2 * before(1) + before(2)).div_ceil(3);
            let size = (u32::BITS - neighbours.leading_zeros()) as usize;
            let model = match k {
                0 => &mut m.first[kind],
                _ => &mut m.by_neighbours[kind][size.min(SIZES - 1)],
            };
            let value = model.signed(io, terms[k])?;
            if value.abs() > LARGEST / 2 && kind == 0 {
                return Err(Damaged);
            }
            terms[k] = value;
        }
        trim(terms);
    }
    Ok(())
}
