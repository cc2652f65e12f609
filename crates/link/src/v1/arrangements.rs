//! How many arrangements a permutation test usually has, and what its count usually is.
//!
//! Guesses that both sides of the link make alike. They are frozen with version 1 and owe nothing to the
//! statistics elsewhere: a guess that is off costs a few bits, never a wrong number. Only
//! additions, products, quotients and square roots of floating-point numbers are used, which IEEE 754
//! makes the same on every machine.

use super::wire::Row;

/// Beyond this many, arrangements are drawn.
const EXACT_UP_TO: u64 = 20_000;
/// So many, with the observed one.
const DRAWN: u32 = 10_000;

/// The number of arrangements and whether these are all.
pub fn usual(n: [u32; 2], paired: bool) -> (u32, bool) {
    let count = if paired {
        1_u64.checked_shl(n[0]).filter(|_| n[0] < 63)
    } else {
        let k = u64::from(n[0].min(n[1]));
        let all = u64::from(n[0]) + u64::from(n[1]);
        (1..=k).try_fold(1_u64, |count, i| {
            // Stops long before a product could overflow.
            (count <= EXACT_UP_TO).then(|| count * (all - k + i) / i)
        })
    };
    match count {
        Some(count) if count <= EXACT_UP_TO => (count as u32, true),
        _ => (DRAWN, false),
    }
}

/// Two-sided p of t = 0, ¼, ½ … 5 with ten degrees of freedom, per 10 000.
const P_OF_T: [f64; 21] = [
    10_000.0, 8_076.0, 6_279.0, 4_705.0, 3_409.0, 2_398.0, 1_645.0, 1_107.0, 734.0, 482.0, 314.0,
    205.0, 133.0, 87.0, 57.0, 38.0, 25.0, 17.0, 11.0, 8.0, 5.0,
];

/// The count at least as extreme that a t of these means and spreads suggests.
pub fn expected_at_least(row: &Row, arrangements: u32) -> u32 {
    let change = f64::from(row.mean[1]) - f64::from(row.mean[0]);
    let n = row.n.map(|n| f64::from(n.max(1)));
    let sd = row.sd.map(f64::from);
    let variance = match row.sd_of_differences {
        Some(sd) => f64::from(sd) * f64::from(sd) / n[0],
        None => sd[0] * sd[0] / n[0] + sd[1] * sd[1] / n[1],
    };
    let t = if variance > 0.0 {
        (change * change / variance).sqrt()
    } else {
        5.0
    };
    let at = (4.0 * t).min(19.999);
    let below = at as usize;
    let share = at - below as f64;
    let p = P_OF_T[below] * (1.0 - share) + P_OF_T[below + 1] * share;
    (f64::from(arrangements) * p / 10_000.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: 12!/(6!·6!) = 924, 2⁶ = 64, 16!/(8!·8!) = 12 870, 18!/(9!·9!) = 48 620.
    #[test]
    fn arrangements_by_hand() {
        assert_eq!(usual([6, 6], false), (924, true));
        assert_eq!(usual([6, 6], true), (64, true));
        assert_eq!(usual([8, 8], false), (12_870, true));
        assert_eq!(usual([9, 9], false), (10_000, false));
        assert_eq!(usual([9_999, 9_999], false), (10_000, false));
        assert_eq!(usual([9_999, 9_999], true), (10_000, false));
    }
}
