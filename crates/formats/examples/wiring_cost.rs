//! What proposing a rig costs beside reading with one: `wiring_cost FILE [RIG]`, medians in
//! milliseconds.

use footing_formats::{read, rig, wiring};
use std::time::Instant;

fn median_ms(mut run: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..15)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn main() {
    let file = std::env::args()
        .nth(1)
        .expect("usage: wiring_cost FILE [RIG]");
    let bytes = std::fs::read(&file).expect("the file");
    let proposal = wiring::propose(&file, &bytes).unwrap_or_else(|problem| panic!("{problem}"));
    let given = std::env::args().nth(2).map(|name| {
        let text = std::fs::read(&name).expect("the rig");
        rig::parse(&name, &text).unwrap_or_else(|problem| panic!("{problem}"))
    });
    let rig = given.unwrap_or_else(|| proposal.rig.clone());
    for choice in &proposal.choices {
        println!(
            "{:.2} {}: {} ({})",
            choice.confidence,
            choice.what,
            choice.value,
            choice.evidence.join("; ")
        );
    }
    for question in &proposal.questions {
        println!("? {}: {}", question.id, question.text);
    }
    println!("{} bytes", bytes.len());
    println!(
        "propose     {:.2} ms",
        median_ms(|| drop(wiring::propose(&file, &bytes)))
    );
    println!(
        "channels    {:.2} ms",
        median_ms(|| drop(wiring::channels(&file, &bytes)))
    );
    println!(
        "fingerprint {:.2} ms",
        median_ms(|| drop(wiring::fingerprint(&file, &bytes)))
    );
    println!(
        "read        {:.2} ms",
        median_ms(|| drop(read(&file, &bytes, Some(&rig))))
    );
}
