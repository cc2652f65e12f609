//! Links changed at random never crash the reader, never hang or swell it, and say one of four sentences.

mod support;

use footing_counting::Counting;
use support::mutate::Mutator;

#[global_allocator]
static ALLOCATOR: Counting = Counting;

#[test]
fn mutated_links_never_panic_dawdle_or_swell() {
    let mut mutator = Mutator::new(1);
    let mut most = 0;
    for _ in 0..100_000 {
        let changed = mutator.text();
        most = most.max(mutator.read(&changed).bytes);
    }
    let counts = mutator.counts;
    // The mutations must reach every outcome, or this test tests nothing.
    assert!(counts.iter().all(|count| *count > 20), "{counts:?}");
    // Nearly all that open can be packed again.
    let (not, packed) = (mutator.not_sent_on, mutator.packed);
    assert!(packed > 1_000 && 20 * not < packed, "{not} of {packed}");
    // And the allocator does count: the tables of a text alone are half a megabyte.
    assert!(most > 1 << 18, "{most} bytes");
}
