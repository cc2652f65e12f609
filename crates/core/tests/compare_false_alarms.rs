//! An unchanged player is told of a change in at most 6 % of comparisons, a change of two SD is found,
//! and `docs/false-alarms.md` says what is measured here, row by row.
//!
//! Every row is the committed one: as many pairs, the same seed. Only the curves' permutation is dealt less
//! often from eight swings a side on, where it does not lead: 12 870 arrangements of 2 000 pairs take
//! minutes. A permutation p keeps its level with any number of drawn arrangements, so its false
//! alarms are still held to 6 %; but its share is another than the table's, and not compared.

use footing_core::compare::permutation::PermutationPlan;

mod false_alarms;
mod noise;

use false_alarms::{
    CURVE_PERMUTATION, Counts, EXPLANATION, PAIRS, ROWS, count, count_uneven, said_of_found,
    said_of_uneven,
};

const PAGE: &str = include_str!("../docs/false-alarms.md");

/// Every arrangement where there are few, else some of them.
const FEW: PermutationPlan = PermutationPlan {
    exact_up_to: 1_000,
    draws: 99,
    seed: 20_000,
};

fn counts(n: usize, change_sds: f64) -> Counts {
    let counts = count(n, change_sds, &FEW);
    as_on_the_page(n, change_sds, &counts);
    counts
}

/// The page's row has the same shares, but for what other machines' rounding may tip: two pairs.
fn as_on_the_page(n: usize, change_sds: f64, counts: &Counts) {
    let rows = ROWS.iter().position(|row| *row == (n, change_sds));
    let row = PAGE.lines().nth(2 + rows.unwrap()).unwrap();
    let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
    assert_eq!(cells[0], n.to_string());
    let number = |share: &str| share.trim_end_matches(" %").parse::<f64>().unwrap();
    for (place, (said, found)) in cells[2..].iter().zip(counts.shares()).enumerate() {
        if place == CURVE_PERMUTATION && n > 6 {
            continue;
        }
        let apart = (number(said) - number(&found)).abs();
        assert!(
            apart < 0.11,
            "{n} a side, {change_sds} SD, share {place}: the page says {said}, found {found}"
        );
    }
}

fn within(count: u32, percent: u32) -> bool {
    100 * count <= percent * PAIRS
}

fn unchanged(n: usize) -> Counts {
    let c = counts(n, 0.0);
    for (what, count) in [
        ("clear or on average", c.told),
        ("the same, unequal spreads", c.told_uneven),
        ("permutation p", c.permutation_p),
        ("curve, leading", c.curve_leading),
        ("curve, permutation", c.curve_permutation),
        ("curve, random field", c.curve_random_field),
    ] {
        assert!(within(count, 6), "{n} a side, {what}: {count} of {PAIRS}");
    }
    // And the methods are not merely silent.
    assert!(
        !within(c.told, 2) && !within(c.curve_random_field, 2),
        "{c:?}"
    );
    c
}

/// Three a side: the permutation result leads and cannot speak, the smallest p being 2/20; the random field beside
/// it can, and keeps to the level.
#[test]
fn three_swings_of_an_unchanged_player() {
    let c = unchanged(3);
    assert_eq!((c.permutation_p, c.curve_leading), (0, 0));
}

#[test]
fn five_swings_of_an_unchanged_player() {
    let c = unchanged(5);
    assert!(!within(c.curve_leading, 2), "{c:?}");
}

#[test]
fn eight_swings_of_an_unchanged_player() {
    let c = unchanged(8);
    assert_eq!(c.curve_leading, c.curve_random_field);
}

#[test]
fn twelve_swings_of_an_unchanged_player() {
    unchanged(12);
}

/// What the page says is held for a measure; that curves find less it says too.
#[test]
fn a_change_of_two_sd_with_six_swings_is_found() {
    let c = counts(6, 2.0);
    assert!(100 * c.told >= 80 * PAIRS, "{c:?}");
    assert!(PAGE.contains(&said_of_found(&c)), "{}", said_of_found(&c));
    assert!(PAGE.contains(EXPLANATION));
}

#[test]
fn a_change_of_two_sd_with_other_numbers_of_swings() {
    for n in [3, 5, 8] {
        counts(n, 2.0);
    }
}

#[test]
fn unequal_sets_of_an_unchanged_player() {
    let c = count_uneven();
    assert!(within(c.told, 6), "{c:?}");
    assert!(PAGE.contains(&said_of_uneven(&c)), "{}", said_of_uneven(&c));
}
