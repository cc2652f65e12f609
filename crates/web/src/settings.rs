//! A person's settings as the page sends them.

use std::collections::BTreeMap;

use footing_app::Settings;
use footing_app::analysis::{Filmed, Handed, LowPass, Reference};
use footing_app::core::recording::EventKind;
use serde::Deserialize;
use wasm_bindgen::{JsError, JsValue};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wire {
    handed: String,
    about: String,
    target_azimuth_deg: Option<f64>,
    low_pass: Cut,
    mass_kg: Option<f64>,
    load_threshold_n: Option<f64>,
    zero_quiet: bool,
    given: BTreeMap<String, f64>,
    #[serde(default)]
    filmed: BTreeMap<String, WireFilmed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WireFilmed {
    t_s: f64,
    uncertainty_s: f64,
    frames_per_s: f64,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Cut {
    Hz(f64),
    Word(String),
}

/// Turns the page's object into settings.
pub fn read(value: JsValue) -> Result<Settings, JsValue> {
    let wire: Wire = serde_wasm_bindgen::from_value(value)?;
    settings(wire).map_err(|what| JsError::new(&what).into())
}

fn settings(wire: Wire) -> Result<Settings, String> {
    Ok(Settings {
        handed: [Handed::Right, Handed::Left]
            .into_iter()
            .find(|h| h.name() == wire.handed)
            .ok_or_else(|| format!("no hand is named {}", wire.handed))?,
        about: [
            Reference::StanceCentre,
            Reference::Com,
            Reference::CombinedCop,
        ]
        .into_iter()
        .find(|r| r.name() == wire.about)
        .ok_or_else(|| format!("no reference point is named {}", wire.about))?,
        low_pass: match wire.low_pass {
            Cut::Hz(hz) => LowPass::Hz(hz),
            Cut::Word(word) if word == "off" => LowPass::Off,
            Cut::Word(word) if word == "auto" => LowPass::Auto,
            Cut::Word(word) => return Err(format!("no low-pass is named {word}")),
        },
        target_azimuth_deg: wire.target_azimuth_deg,
        mass_kg: wire.mass_kg,
        load_threshold_n: wire.load_threshold_n,
        zero_quiet: wire.zero_quiet,
        given: wire
            .given
            .into_iter()
            .map(|(id, t_s)| Ok((kind(&id)?, t_s)))
            .collect::<Result<_, String>>()?,
        filmed: wire
            .filmed
            .into_iter()
            .map(|(id, film)| {
                Ok(Filmed {
                    kind: kind(&id)?,
                    t_s: film.t_s,
                    uncertainty_s: film.uncertainty_s,
                    frames_per_s: film.frames_per_s,
                })
            })
            .collect::<Result<_, String>>()?,
    })
}

fn kind(id: &str) -> Result<EventKind, String> {
    EventKind::from_id(id).ok_or_else(|| format!("no event is named {id}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wire() -> Wire {
        Wire {
            handed: "left".into(),
            about: "com".into(),
            target_azimuth_deg: Some(90.0),
            low_pass: Cut::Word("auto".into()),
            mass_kg: None,
            load_threshold_n: Some(45.0),
            zero_quiet: true,
            given: BTreeMap::from([("arm_level".to_owned(), 1.5)]),
            filmed: BTreeMap::from([(
                "top".to_owned(),
                WireFilmed {
                    t_s: 1.74,
                    uncertainty_s: 0.004,
                    frames_per_s: 240.0,
                },
            )]),
        }
    }

    #[test]
    fn every_choice_arrives() {
        let got = settings(wire()).unwrap();
        assert_eq!((got.handed, got.about), (Handed::Left, Reference::Com));
        assert_eq!(got.low_pass, LowPass::Auto);
        assert_eq!(got.given, [(EventKind::ArmLevel, 1.5)]);
        let film = got.filmed[0];
        assert_eq!((film.kind, film.t_s), (EventKind::Top, 1.74));
        assert_eq!((film.uncertainty_s, film.frames_per_s), (0.004, 240.0));
        assert_eq!(got.load_threshold_n, Some(45.0));
        assert!(got.zero_quiet);
    }

    #[test]
    fn unknown_names_are_refused() {
        let wrong = Wire {
            given: BTreeMap::from([("lunch".to_owned(), 1.0)]),
            ..wire()
        };
        assert!(settings(wrong).unwrap_err().contains("lunch"));
        let wrong = Wire {
            low_pass: Cut::Word("some".into()),
            ..wire()
        };
        assert!(settings(wrong).unwrap_err().contains("some"));
    }
}
