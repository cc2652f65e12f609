//! Many measures read at once: Holm's adjustment.

/// Holm-adjusted p-values, in the order given; absent rows stay absent and are not counted.
///
/// ```text
/// p sorted upwards, m of them:   p̃_(i) = max over j ≤ i of min(1, (m − j + 1)·p_(j))
/// ```
/// Reading as "changed" every row with an adjusted p ≤ 0.05 errs anywhere in the table in at most
/// one such table in twenty, whatever the rows have to do with one another.
/// **Source**: Holm S (1979) Scand J Stat 6:65–70.
pub fn holm(p: &[Option<f64>]) -> Vec<Option<f64>> {
    let mut order: Vec<(usize, f64)> = p
        .iter()
        .enumerate()
        .filter_map(|(row, p)| p.map(|p| (row, p)))
        .collect();
    order.sort_by(|x, y| x.1.total_cmp(&y.1));
    let mut adjusted = vec![None; p.len()];
    let (count, mut largest) = (order.len(), 0.0_f64);
    for (rank, (row, p)) in order.into_iter().enumerate() {
        largest = largest.max(p * (count - rank) as f64).min(1.0);
        adjusted[row] = Some(largest);
    }
    adjusted
}
