//! What is proposed for a table: `cargo run -p footing-formats --example propose -- FILE [left|right]`.
//!
//! One JSON object: `certain`, `questions` by id with their texts, `columns` of each plate as the rig names
//! them, `units`, `rate_hz` and `quiet_fz` as the proposed rig reads the file, or `refused` and why.

use footing_core::frame::Handed;
use footing_formats::{read, wiring};

fn main() {
    let mut given = std::env::args().skip(1);
    let file = given.next().unwrap_or_default();
    let hand = given.next();
    let handed = [Handed::Right, Handed::Left]
        .into_iter()
        .find(|one| Some(one.name()) == hand.as_deref());
    println!("{}", described(&file, handed));
}

fn described(file: &str, handed: Option<Handed>) -> serde_json::Value {
    let bytes = match std::fs::read(file) {
        Ok(bytes) => bytes,
        Err(error) => return serde_json::json!({ "refused": error.to_string() }),
    };
    let found = match wiring::propose_for(file, &bytes, handed) {
        Ok(found) => found,
        Err(problem) => return serde_json::json!({ "refused": problem.to_string() }),
    };
    let questions: serde_json::Map<String, serde_json::Value> = found
        .questions
        .iter()
        .map(|question| (question.id.to_owned(), question.text.clone().into()))
        .collect();
    let columns: Vec<Vec<String>> = found
        .rig
        .plates
        .iter()
        .map(|plate| {
            plate
                .wiring
                .columns()
                .iter()
                .map(ToString::to_string)
                .collect()
        })
        .collect();
    let units = found.rig.units;
    let units = [
        units.force.name(),
        units.moment.name(),
        units.length.name(),
        units.time.name(),
    ];
    let read = read(file, &bytes, Some(&found.rig)).map_or_else(
        |problem| serde_json::json!({ "refused": problem.to_string() }),
        |loaded| {
            let peaks: Vec<f64> = loaded
                .recording
                .plates
                .iter()
                .map(|plate| plate.fz_n.iter().fold(0.0_f64, |most, f| most.max(f.abs())))
                .collect();
            serde_json::json!({
                "rate_hz": loaded.recording.rate_hz,
                "samples": loaded.recording.t_s.len(),
                "peak_fz_n": peaks,
            })
        },
    );
    serde_json::json!({
        "certain": found.certain,
        "written": found.written,
        "questions": questions,
        "columns": columns,
        "kinds": found.rig.plates.iter().map(|p| p.wiring.kind().map(|k| k.name())).collect::<Vec<_>>(),
        "units": units,
        "read": read,
    })
}
