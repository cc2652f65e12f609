//! The events file: `{"FILE NAME": {"takeaway_s": 0.9, "top_s": 1.74, "impact_s": 2.03}}`, or one
//! object of times for every file. An event read off a film is an object in the place of the time,
//! which says how sure it is: `{"t_s": 1.74, "uncertainty_s": 0.006, "frames_per_s": 240}`.

use std::collections::BTreeMap;
use std::fmt::{self, Display};
use std::io::{self, Write};
use std::path::Path;

use footing_app::analysis::Filmed;
use footing_app::core::recording::EventKind;
use footing_app::formats::Problem;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};

use crate::files::{self, Input};

/// Which events, and when.
type Times = Vec<(EventKind, Instant)>;

/// What is said of one event.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Instant {
    /// On the recording's clock, seconds.
    t_s: f64,
    /// How it was read off a film, when it was.
    film: Option<Film>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Film {
    uncertainty_s: f64,
    frames_per_s: f64,
}

/// The events of one recording.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// Set by hand: times on the recording's clock, seconds.
    pub given: Vec<(EventKind, f64)>,
    /// Read off a film.
    pub filmed: Vec<Filmed>,
}

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
    pub fn of(&self, path: &str, name: &str) -> Told {
        let own = self.by_file.get(path).or_else(|| self.by_file.get(name));
        let own = own.map_or(&[][..], Vec::as_slice);
        let others = self
            .all
            .iter()
            .filter(|(kind, _)| !own.iter().any(|(k, _)| k == kind));
        let mut told = Told::default();
        for &(kind, Instant { t_s, film }) in own.iter().chain(others) {
            match film {
                None => told.given.push((kind, t_s)),
                Some(film) => told.filmed.push(Filmed {
                    kind,
                    t_s,
                    uncertainty_s: film.uncertainty_s,
                    frames_per_s: film.frames_per_s,
                }),
            }
        }
        told
    }

    /// Refuses every file name the events file speaks of that is not among the recordings: a
    /// slip of the pen would quietly leave events out. Warns of a name that several of them have.
    pub fn name_strangers<'a>(
        &self,
        recordings: impl Iterator<Item = &'a Input>,
        refuse: &mut impl FnMut(&dyn Display),
    ) {
        let names: Vec<(&str, &str)> = recordings.map(|r| (&*r.typed, &*r.name)).collect();
        for (key, paths) in self.shared(&names) {
            // A warning: nowhere left to say it when this fails too.
            let _ = writeln!(
                io::stderr(),
                "{}: the events of `{}` are taken for {}; name each by its path where they differ",
                crate::text::one_line(&self.source),
                crate::text::one_line(key),
                crate::text::one_line(&paths.join(" and "))
            );
        }
        for stranger in self.strangers(&names) {
            refuse(&Problem::new(
                &self.source,
                format!("`{stranger}` is not among the recordings"),
                "names of the files that are measured",
                "correcting the name, or leave the entry out",
            ));
        }
    }

    /// What of the events of one file lies outside its recording, from `first_s` to `last_s`: passed
    /// over, it would leave the file's own event or an estimate in its place.
    ///
    /// # Errors
    /// One [`Problem`] about the first such event.
    pub fn within(
        &self,
        typed: &str,
        told: &Told,
        (first_s, last_s): (f64, f64),
    ) -> Result<(), Problem> {
        let given = told.given.iter().copied();
        let filmed = told.filmed.iter().map(|film| (film.kind, film.t_s));
        let outside = given
            .chain(filmed)
            .find(|(_, t_s)| !(first_s..=last_s).contains(t_s));
        outside.map_or(Ok(()), |(kind, t_s)| {
            let (label, key) = (kind.label(), kind.id());
            Err(Problem::new(
                typed,
                format!(
                    "{label} is set at {t_s} s, and the recording runs from {first_s:.3} to {last_s:.3} s"
                ),
                "a time on the recording's own clock",
                format!("correcting {key}_s in {}, or leave it out", self.source),
            ))
        })
    }

    /// Names that several recordings have, with the paths of those that no entry of their own tells apart.
    fn shared<'a>(&'a self, files: &[(&'a str, &'a str)]) -> Vec<(&'a str, Vec<&'a str>)> {
        let by_name = |key: &str| {
            let mut paths: Vec<&str> = Vec::new();
            for &(path, name) in files {
                let own = path != key && self.by_file.contains_key(path);
                if name == key && !own && !paths.contains(&path) {
                    paths.push(path);
                }
            }
            paths
        };
        let keys = self.by_file.keys().map(|key| (&**key, by_name(key)));
        keys.filter(|(_, paths)| paths.len() > 1).collect()
    }

    fn strangers(&self, files: &[(&str, &str)]) -> Vec<&str> {
        self.by_file
            .keys()
            .filter(|key| !files.iter().any(|(p, n)| p == key || n == key))
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

impl<'de> Deserialize<'de> for Instant {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct One;
        impl<'de> Visitor<'de> for One {
            type Value = Instant;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(
                    "seconds, or for an event from film {\"t_s\": …, \"uncertainty_s\": …, \"frames_per_s\": …}",
                )
            }

            fn visit_f64<E: Error>(self, t_s: f64) -> Result<Instant, E> {
                Ok(Instant { t_s, film: None })
            }

            fn visit_u64<E: Error>(self, t_s: u64) -> Result<Instant, E> {
                self.visit_f64(t_s as f64)
            }

            fn visit_i64<E: Error>(self, t_s: i64) -> Result<Instant, E> {
                self.visit_f64(t_s as f64)
            }

            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Instant, M::Error> {
                const KEYS: [&str; 3] = ["t_s", "uncertainty_s", "frames_per_s"];
                let mut found: [Option<f64>; 3] = [None; 3];
                while let Some(key) = map.next_key::<String>()? {
                    let place = KEYS.iter().position(|k| *k == key).ok_or_else(|| {
                        M::Error::custom(format!(
                            "`{key}` is not known of an event from film; there are {}",
                            KEYS.join(", ")
                        ))
                    })?;
                    let value: f64 = map.next_value()?;
                    let fits = match place {
                        0 => true,
                        1 => value >= 0.0,
                        _ => value > 0.0,
                    };
                    if !fits {
                        return Err(M::Error::custom(format!("`{key}` cannot be {value}")));
                    }
                    if found[place].replace(value).is_some() {
                        return Err(M::Error::custom(format!("`{key}` is there twice")));
                    }
                }
                let has = |place: usize| {
                    found[place].ok_or_else(|| {
                        M::Error::custom(format!("an event from film lacks `{}`", KEYS[place]))
                    })
                };
                Ok(Instant {
                    t_s: has(0)?,
                    film: Some(Film {
                        uncertainty_s: has(1)?,
                        frames_per_s: has(2)?,
                    }),
                })
            }
        }
        deserializer.deserialize_any(One)
    }
}

fn push<E: Error>(times: &mut Times, kind: EventKind, t: Instant) -> Result<(), E> {
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
            given.of("/data/a.csv", "a.csv").given,
            [
                (EventKind::Top, 1.5),
                (EventKind::ArmLevel, 1.0),
                (EventKind::Impact, 2.03)
            ]
        );
        assert_eq!(
            given.of("b.csv", "b.csv").given,
            [(EventKind::Impact, 2.03), (EventKind::Top, 9.0)]
        );
        let names = [("b.csv", "b.csv")];
        assert_eq!(given.strangers(&names), ["a.csv"]);
    }

    #[test]
    fn the_ends_of_a_recording_belong_to_it() {
        let text = br#"{"takeaway_s": 0, "impact_s": {"t_s": 2, "uncertainty_s": 0.02, "frames_per_s": 30}}"#;
        let given = Given::read("e.json", text).unwrap();
        let told = given.of("a.csv", "a.csv");
        assert!(given.within("a.csv", &told, (0.0, 2.0)).is_ok());
        let late = given.within("d/a.csv", &told, (0.5, 2.0)).unwrap_err();
        assert_eq!(
            late.to_string(),
            "d/a.csv: takeaway is set at 0 s, and the recording runs from 0.500 to 2.000 s; expected a time on the recording's own clock; try correcting takeaway_s in e.json, or leave it out"
        );
        let short = given.within("a.csv", &told, (0.0, 1.999)).unwrap_err();
        assert!(
            short.to_string().contains("impact is set at 2 s"),
            "{short}"
        );
    }

    #[test]
    fn a_name_that_several_files_have_is_told_and_a_path_tells_them_apart() {
        let text =
            br#"{"a.csv": {"top_s": 1.5}, "d2/b.csv": {"top_s": 1.7}, "b.csv": {"top_s": 1.6}}"#;
        let given = Given::read("e.json", text).unwrap();
        let top = |path, name| given.of(path, name).given[0].1;
        assert_eq!(top("d1/b.csv", "b.csv"), 1.6);
        assert_eq!(top("d2/b.csv", "b.csv"), 1.7);
        let files = [
            ("d1/a.csv", "a.csv"),
            ("d2/a.csv", "a.csv"),
            ("d1/b.csv", "b.csv"),
            ("d2/b.csv", "b.csv"),
            // the same recording twice, as in two sets
            ("d1/b.csv", "b.csv"),
        ];
        assert_eq!(
            given.shared(&files),
            [("a.csv", vec!["d1/a.csv", "d2/a.csv"])]
        );
        assert!(given.strangers(&files).is_empty());
    }

    #[test]
    fn every_event_has_a_key() {
        for kind in EventKind::ALL {
            let text = format!("{{\"{}_s\": 0.25}}", kind.id());
            let given = Given::read("e.json", text.as_bytes()).unwrap();
            assert_eq!(given.of("x", "x").given, [(kind, 0.25)]);
        }
    }

    #[test]
    fn an_event_from_film_takes_the_place_of_a_time_for_every_file() {
        let text =
            br#"{"top_s": 9, "impact_s": {"t_s": 2, "uncertainty_s": 0.02, "frames_per_s": 30},
            "a.csv": {"top_s": {"uncertainty_s": 0.006, "t_s": 1.74, "frames_per_s": 240}}}"#;
        let given = Given::read("e.json", text).unwrap();
        let film = |kind, t_s, uncertainty_s, frames_per_s| Filmed {
            kind,
            t_s,
            uncertainty_s,
            frames_per_s,
        };
        let impact = film(EventKind::Impact, 2.0, 0.02, 30.0);
        assert_eq!(
            given.of("a.csv", "a.csv"),
            Told {
                given: Vec::new(),
                filmed: vec![film(EventKind::Top, 1.74, 0.006, 240.0), impact],
            }
        );
        assert_eq!(
            given.of("b.csv", "b.csv"),
            Told {
                given: vec![(EventKind::Top, 9.0)],
                filmed: vec![impact],
            }
        );
    }

    #[test]
    fn mistakes_are_named_with_their_place() {
        for (text, line, words) in [
            ("{\n \"a.csv\": {\"topp_s\": 1}\n}", 2, "topp_s"),
            ("{\"impakt_s\": 2.0}", 1, "floating point"),
            ("{\n\n\"top_s\": \"soon\"}", 3, "soon"),
            ("{\"top_s\": 1, \"top_s\": 2}", 1, "twice"),
            ("{\"top_s\": {\"t_s\": 1}}", 1, "lacks `uncertainty_s`"),
            (
                "{\"top_s\": {\"t_s\": 1,\n\"uncertainty_s\": -1}}",
                2,
                "cannot be -1",
            ),
            (
                "{\"top_s\": {\"t_s\": 1, \"frames\": 240}}",
                1,
                "`frames` is not known",
            ),
            ("{\"top_s\": {\"t_s\": 1, \"t_s\": 2}}", 1, "twice"),
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
