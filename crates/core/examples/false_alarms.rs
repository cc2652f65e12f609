//! How often is an unchanged player told of a change? Invented swings, a seed, a table in Markdown:
//!
//! ```text
//! cargo run --release -p footing-core --example false_alarms > crates/core/docs/false-alarms.md
//! ```

use footing_core::compare::permutation::PermutationPlan;

#[path = "../tests/false_alarms/mod.rs"]
mod false_alarms;
#[path = "../tests/noise/mod.rs"]
mod noise;

use false_alarms::{
    EXPLANATION, HEAD, ROWS, count, count_uneven, line, said_of_found, said_of_uneven,
};

fn main() {
    println!("{HEAD}");
    let mut of_six = None;
    for (n, change_sds) in ROWS {
        let counts = count(n, change_sds, &PermutationPlan::default());
        println!("{}", line(n, change_sds, &counts.shares()));
        if n == 6 {
            of_six = Some(counts);
        }
    }
    println!("{EXPLANATION}");
    println!("{}\n", said_of_uneven(&count_uneven()));
    println!("{}", said_of_found(&of_six.expect("a row of six swings")));
}
