//! Links changed at random never crash the reader, never hang it, and say one of four sentences.

mod support;

use std::time::{Duration, Instant};

use support::mutate::Mutator;

#[test]
fn mutated_links_never_panic() {
    let mut mutator = Mutator::new(1);
    let mut longest = Duration::ZERO;
    for _ in 0..100_000 {
        let text = mutator.text();
        let start = Instant::now();
        mutator.read(&text);
        longest = longest.max(start.elapsed());
    }
    let counts = mutator.counts;
    // The mutations must reach every outcome, or this test tests nothing.
    assert!(counts.iter().all(|count| *count > 20), "{counts:?}");
    // Far above what a link takes even on a busy machine, far below a hang.
    assert!(longest < Duration::from_secs(2), "{longest:?}");
}
