//! Reads millions of changed links: `cargo run --release -p footing-link --example mutate [COUNT] [SEED]`.

#[path = "../tests/support/mod.rs"]
mod support;

use std::time::{Duration, Instant};

use support::mutate::Mutator;

fn main() {
    let mut given = std::env::args()
        .skip(1)
        .map(|arg| arg.parse().expect("a number"));
    let count: u64 = given.next().unwrap_or(10_000_000);
    let mut mutator = Mutator::new(given.next().unwrap_or(1));
    let mut longest = (Duration::ZERO, String::new());
    let begin = Instant::now();
    for _ in 0..count {
        let text = mutator.text();
        let start = Instant::now();
        mutator.read(&text);
        let took = start.elapsed();
        if took > longest.0 {
            longest = (took, text);
        }
    }
    let [opened, cut, damaged, newer, none] = mutator.counts;
    println!("{count} links in {:?}", begin.elapsed());
    println!("opened {opened}, cut short {cut}, damaged {damaged}, newer {newer}, no link {none}");
    // On a busy machine the longest was waiting for its turn; the least of several is its own.
    let again = (0..5).map(|_| {
        let start = Instant::now();
        mutator.read(&longest.1);
        start.elapsed()
    });
    println!("longest {:?}, again {:?}", longest.0, again.min());
    // Linux only; elsewhere nothing is said.
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    for line in status.lines().filter(|line| line.starts_with("VmHWM")) {
        println!("most memory of the whole process: {}", line[6..].trim());
    }
}
