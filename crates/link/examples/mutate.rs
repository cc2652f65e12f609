//! Reads millions of changed links and ends with an error when one breaks a promise:
//! `cargo run --release -p footing-link --example mutate [COUNT] [SEED]`.

#[path = "../tests/support/mod.rs"]
mod support;

use std::time::{Duration, Instant};

use footing_counting::Counting;
use support::mutate::{LONGEST, MOST_BYTES, Mutator};

#[global_allocator]
static ALLOCATOR: Counting = Counting;

fn main() {
    let mut given = std::env::args()
        .skip(1)
        .map(|arg| arg.parse().expect("a number"));
    let count: u64 = given.next().unwrap_or(10_000_000);
    let mut mutator = Mutator::new(given.next().unwrap_or(1));
    let (mut longest, mut most) = (Duration::ZERO, 0);
    let begin = Instant::now();
    for _ in 0..count {
        let changed = mutator.text();
        let taken = mutator.read(&changed);
        longest = longest.max(taken.time);
        most = most.max(taken.bytes);
    }
    let [opened, cut, damaged, newer, none] = mutator.counts;
    println!("{count} links in {:?}", begin.elapsed());
    println!("opened {opened}, cut short {cut}, damaged {damaged}, newer {newer}, no link {none}");
    let (packed, not) = (mutator.packed, mutator.not_sent_on);
    println!("{packed} packed again, but for {not} with forged numbers beyond those that are sent");
    println!("longest {longest:?} of {LONGEST:?}, most memory {most} of {MOST_BYTES} bytes");
}
