//! How long links are: `cargo run --release -p footing-link --example sizes`.

#[path = "../tests/support/mod.rs"]
mod support;

use footing_link::encode;
use support::{invent, six_and_six};

const BASE: &str = "https://example.org/footing/";

fn main() {
    let (mut lengths, mut sides, mut bytes) = (Vec::new(), Vec::new(), Vec::new());
    for seed in 0..300 {
        let link = encode(&invent(six_and_six(seed)).shared).expect("can be sent");
        lengths.push(link.url(BASE).len());
        bytes.push(link.bytes().len());
        sides.push(link.qr(BASE).map_or(0, |qr| (qr.size - 17) / 4));
    }
    println!("300 invented comparisons of six and six swings, everything in them");
    for (name, mut values) in [
        ("URL characters", lengths),
        ("bytes", bytes),
        ("QR version", sides),
    ] {
        values.sort_unstable();
        let at = |share: usize| values[(values.len() - 1) * share / 100];
        println!(
            "{name}: least {}, 5 % {}, median {}, 95 % {}, most {}",
            at(0),
            at(5),
            at(50),
            at(95),
            at(100)
        );
    }
}
