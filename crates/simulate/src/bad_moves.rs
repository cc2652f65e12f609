//! Recordings of which not the plates are at fault but what was done, or written down.

use footing_core::recording::PlateKind;
use serde_json::{Value, json};

use crate::bay::{Bay, sample};
use crate::c3d_out::{C3dStyle, c3d};
use crate::csv_out::pretty;
use crate::scenario::{OutFile, truth_file, with_noise};
use crate::session::{Movement, Session, half_move, waggle};
use crate::swing::Swing;
use crate::truth::Events;

/// Their names.
pub const NAMES: [&str; 2] = ["bad-no-swing", "bad-events"];

/// The files of one of [`NAMES`]; C3D at 200 Hz, plate type 2, integers.
pub fn files(name: &str, seed: u64) -> Option<Vec<OutFile>> {
    let bay = with_noise(
        Bay::two_plates(PlateKind::SixComponent, 0.0, 0.0, false),
        200.0,
    );
    let player = Swing::default();
    let style = C3dStyle {
        point_rate_hz: 40.0,
        ..C3dStyle::default()
    };
    let file = format!("{name}.c3d");
    Some(match name {
        "bad-no-swing" => {
            let session = Session {
                movements: vec![
                    (Movement::HalfMove, half_move(&player)),
                    (Movement::Waggle, waggle(&player)),
                    (Movement::HalfMove, half_move(&player)),
                ],
                settle_s: 0.9,
            };
            let six = |value: f64| json!((value * 1e6).round() / 1e6 + 0.0);
            let movements: Vec<Value> = session
                .events()
                .into_iter()
                .map(|(movement, events)| {
                    json!({
                        "what": movement.name(),
                        "takeaway_s": six(events.takeaway_s),
                        "top_s": six(events.top_s),
                        "finish_s": six(events.finish_s),
                    })
                })
                .collect();
            vec![
                OutFile::new(file.clone(), c3d(&bay, &session.sample(&bay, seed), &style)),
                OutFile::new(
                    format!("{name}.movements.json"),
                    pretty(&json!({
                        "format": "footing-movements/1",
                        "files": [file],
                        "handed": "right",
                        "scenario": name,
                        "seed": seed,
                        "movements": movements,
                    })),
                ),
            ]
        }
        "bad-events" => {
            let events = Events::of(&player).later(bay.swing_start_s());
            let marks = [
                ("Takeaway", events.takeaway_s),
                ("Top", events.impact_s),
                ("Impact", events.top_s),
            ];
            let marked = C3dStyle {
                events: marks.map(|(label, t_s)| (label.to_owned(), t_s)).to_vec(),
                ..style
            };
            vec![
                OutFile::new(
                    file.clone(),
                    c3d(&bay, &sample(&player, &bay, seed), &marked),
                ),
                OutFile::new(
                    format!("{name}.truth.json"),
                    truth_file(
                        &[&file],
                        &player,
                        &bay,
                        json!({ "scenario": name, "seed": seed, "fault": "the EVENT group names impact as the top, and the top as impact" }),
                    ),
                ),
            ]
        }
        _ => return None,
    })
}
