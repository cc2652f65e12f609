//! The events file: `{"FILE NAME": {"takeaway_s": 0.9, "top_s": 1.74, "impact_s": 2.03}}`, or one
//! object of times for every file.

use std::collections::BTreeMap;
use std::fmt::{self, Display};
use std::path::{Path, PathBuf};

use footing_app::core::recording::EventKind;
use footing_app::formats::Problem;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};

use crate::files;

/// Times of events on the recording's clock, seconds.
pub type Times = Vec<(EventKind, f64)>;

/// What an events file says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Given {
    /// The events file itself, as typed.
    source: String,
    /// For every file.
    all: Times,
    /// For one file, by its name or the path it was given by.
    by_file: BTreeMap<String, Times>,
}

impl Given {
    /// Reads the events file, where there is one.
    ///
    /// # Errors
    /// As [`Given::read`], and when there is no such file.
    pub fn of_file(path: Option<&Path>) -> Result<Self, Problem> {
        path.map_or_else(
            || Ok(Self::default()),
            |path| Self::read(&files::path_text(path), &files::bytes(path)?),
        )
    }

    /// Reads an events file.
    ///
    /// # Errors
    /// A [`Problem`] with line and column: not JSON, an event that is not one of ours, a time that
    /// is not a number.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Problem> {
        let given: Self = serde_json::from_slice(bytes).map_err(|error| {
            let text = error.to_string();
            let what = text.split(" at line ").next().unwrap_or(&text).to_owned();
            Problem::new(
                file,
                what,
                "times by file, such as {\"a.csv\": {\"takeaway_s\": 0.9, \"top_s\": 1.74, \"impact_s\": 2.03}}",
                "correcting it there",
            )
            .at(error.line() as u64, Some(error.column() as u64))
        })?;
        Ok(Self {
            source: file.to_owned(),
            ..given
        })
    }

    /// The events of one file: its own where it has any of that kind, else those for every file.
    pub fn of(&self, path: &str, name: &str) -> Times {
        let own = self.by_file.get(path).or_else(|| self.by_file.get(name));
        let mut times = own.cloned().unwrap_or_default();
        for (kind, t) in &self.all {
            if !times.iter().any(|(k, _)| k == kind) {
                times.push((*kind, *t));
            }
        }
        times
    }

    /// Refuses every file name the events file speaks of that is not among the recordings: a
    /// slip of the pen would quietly leave events out.
    pub fn name_strangers(&self, recordings: &[PathBuf], refuse: &mut impl FnMut(&dyn Display)) {
        let names: Vec<(String, String)> = recordings
            .iter()
            .map(|p| (files::path_text(p), files::name(p)))
            .collect();
        for stranger in self.strangers(&names) {
            refuse(&Problem::new(
                &self.source,
                format!("`{stranger}` is not among the recordings"),
                "names of the files that are measured",
                "correcting the name, or leave the entry out",
            ));
        }
    }

    fn strangers<'a>(&'a self, files: &[(String, String)]) -> Vec<&'a str> {
        self.by_file
            .keys()
            .filter(|key| !files.iter().any(|(p, n)| p == *key || n == *key))
            .map(String::as_str)
            .collect()
    }
}

fn event_of(key: &str) -> Option<EventKind> {
    EventKind::from_id(key.strip_suffix("_s")?)
}

fn keys() -> String {
    EventKind::ALL
        .map(|kind| format!("{}_s", kind.id()))
        .join(", ")
}

impl<'de> Deserialize<'de> for Given {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Whole;
        impl<'de> Visitor<'de> for Whole {
            type Value = Given;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("an object of event times or of file names")
            }

            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Given, M::Error> {
                let mut given = Given::default();
                while let Some(key) = map.next_key::<String>()? {
                    if let Some(kind) = event_of(&key) {
                        let t = map.next_value()?;
                        push(&mut given.all, kind, t)?;
                    } else {
                        let times: OneFile = map.next_value()?;
                        if given.by_file.insert(key.clone(), times.0).is_some() {
                            return Err(M::Error::custom(format!("`{key}` is there twice")));
                        }
                    }
                }
                Ok(given)
            }
        }
        deserializer.deserialize_map(Whole)
    }
}

struct OneFile(Times);

impl<'de> Deserialize<'de> for OneFile {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct One;
        impl<'de> Visitor<'de> for One {
            type Value = OneFile;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                write!(f, "an object of event times with keys among {}", keys())
            }

            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<OneFile, M::Error> {
                let mut times = Times::new();
                while let Some(key) = map.next_key::<String>()? {
                    let kind = event_of(&key).ok_or_else(|| {
                        M::Error::custom(format!("`{key}` is not an event; there are {}", keys()))
                    })?;
                    let t = map.next_value()?;
                    push(&mut times, kind, t)?;
                }
                Ok(OneFile(times))
            }
        }
        deserializer.deserialize_map(One)
    }
}

fn push<E: Error>(times: &mut Times, kind: EventKind, t: f64) -> Result<(), E> {
    if times.iter().any(|(k, _)| *k == kind) {
        return Err(E::custom(format!("`{}_s` is there twice", kind.id())));
    }
    times.push((kind, t));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_file_and_for_all() {
        let text = br#"{"a.csv": {"top_s": 1.5, "arm_level_s": 1}, "impact_s": 2.03, "top_s": 9}"#;
        let given = Given::read("e.json", text).unwrap();
        assert_eq!(
            given.of("/data/a.csv", "a.csv"),
            [
                (EventKind::Top, 1.5),
                (EventKind::ArmLevel, 1.0),
                (EventKind::Impact, 2.03)
            ]
        );
        assert_eq!(
            given.of("b.csv", "b.csv"),
            [(EventKind::Impact, 2.03), (EventKind::Top, 9.0)]
        );
        let names = [("b.csv".to_owned(), "b.csv".to_owned())];
        assert_eq!(given.strangers(&names), ["a.csv"]);
    }

    #[test]
    fn every_event_has_a_key() {
        for kind in EventKind::ALL {
            let text = format!("{{\"{}_s\": 0.25}}", kind.id());
            let given = Given::read("e.json", text.as_bytes()).unwrap();
            assert_eq!(given.of("x", "x"), [(kind, 0.25)]);
        }
    }

    #[test]
    fn mistakes_are_named_with_their_place() {
        for (text, line, words) in [
            ("{\n \"a.csv\": {\"topp_s\": 1}\n}", 2, "topp_s"),
            ("{\"impakt_s\": 2.0}", 1, "floating point"),
            ("{\n\n\"top_s\": \"soon\"}", 3, "soon"),
            ("{\"top_s\": 1, \"top_s\": 2}", 1, "twice"),
            ("[1, 2]", 1, "sequence"),
            ("{", 1, "EOF"),
            ("", 1, "EOF"),
        ] {
            let problem = Given::read("e.json", text.as_bytes()).unwrap_err();
            assert!(problem.to_string().contains(words), "{problem}");
            assert_eq!(problem.line, Some(line), "{problem}");
            assert!(problem.column.is_some());
        }
    }
}
