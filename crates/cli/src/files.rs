//! Files on disk and inside archives and workbooks: which of them is the rig, and what is said when
//! one cannot be read.

use std::borrow::Cow;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use footing_app::formats::Problem;
use footing_app::formats::packed::{self, Kind};
use footing_app::formats::rig::{self, Rig};

/// The path as a person typed it.
pub fn path_text(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

/// The file's name without folders.
pub fn name(path: &Path) -> String {
    path.file_name()
        .map_or_else(|| path_text(path), |n| n.to_string_lossy().into_owned())
}

/// A file's bytes.
///
/// # Errors
/// A [`Problem`] that says why not.
pub fn bytes(path: &Path) -> Result<Vec<u8>, Problem> {
    fs::read(path).map_err(|error| {
        Problem::new(
            &path_text(path),
            format!("cannot be read ({error})"),
            "a file",
            "checking its name and your rights to it",
        )
    })
}

/// One recording.
#[derive(Debug)]
pub struct Input {
    /// The path as typed, and where it is in that file: `tests/pack.zip/one.c3d`.
    pub typed: String,
    /// The same without the folders of the disk.
    pub name: String,
    held: Held,
}

#[derive(Debug)]
enum Held {
    OnDisk(PathBuf),
    Inside(Vec<u8>),
    /// It keeps its place: swings of two sets may be paired.
    Refused(Problem),
}

impl Input {
    fn on_disk(path: &Path) -> Self {
        Self {
            typed: path_text(path),
            name: name(path),
            held: Held::OnDisk(path.to_owned()),
        }
    }

    /// Its bytes.
    ///
    /// # Errors
    /// A [`Problem`] that says why not.
    pub fn bytes(&self) -> Result<Cow<'_, [u8]>, Problem> {
        match &self.held {
            Held::OnDisk(path) => bytes(path).map(Cow::Owned),
            Held::Inside(bytes) => Ok(Cow::Borrowed(bytes)),
            Held::Refused(problem) => Err(problem.clone()),
        }
    }
}

/// Recordings and rig told apart.
#[derive(Debug)]
pub struct Inputs {
    /// The recordings, in the order given; those of an archive by name.
    pub recordings: Vec<Input>,
    /// The rig, read.
    pub rig: Option<Rig>,
}

/// Takes the rig out of the files: `--rig`, or the one `*.rig.json` among them or inside an archive.
/// What archives leave out is told on standard error.
///
/// # Errors
/// A [`Problem`] when the rig cannot be read, when there is more than one, and when there is no
/// recording.
pub fn inputs(files: &[PathBuf], rig: Option<&Path>) -> Result<Inputs, Problem> {
    let mut rigs: Vec<(String, Option<Vec<u8>>)> = Vec::new();
    let mut recordings = Vec::new();
    rigs.extend(rig.map(|path| (path_text(path), None)));
    for path in files {
        if is_rig(path) {
            rigs.push((path_text(path), None));
        } else if is_packed(path) {
            let typed = path_text(path);
            open(
                &typed,
                &name(path),
                &bytes(path)?,
                &mut rigs,
                &mut recordings,
            );
        } else {
            recordings.push(Input::on_disk(path));
        }
    }
    if let Some(((first, held), others)) = rigs.split_first() {
        // The same rig may lie in each of several archives.
        let same = |(_, other): &&(String, _)| held.is_some() && other == held;
        if let Some((second, _)) = others.iter().find(|other| !same(other)) {
            return Err(Problem::new(
                second,
                format!("a second rig beside {first}"),
                "one rig for all files",
                "measuring the files of each rig by themselves",
            ));
        }
    }
    let rig = match rigs.into_iter().next() {
        Some((typed, Some(held))) => Some(rig::parse(&typed, &held)?),
        Some((typed, None)) => Some(rig::parse(&typed, &bytes(Path::new(&typed))?)?),
        None => None,
    };
    match files.first() {
        Some(first) if recordings.is_empty() => Err(Problem::new(
            &path_text(first),
            "no recording given",
            "at least one",
            "naming the files that hold the swings",
        )),
        _ => Ok(Inputs { recordings, rig }),
    }
}

/// Whether the file begins as an archive or a workbook does. One that cannot be read is none here:
/// why it cannot is told when it is.
fn is_packed(path: &Path) -> bool {
    let mut head = [0; 4];
    let read = File::open(path).and_then(|mut file| file.read_exact(&mut head));
    read.is_ok() && packed::looks_like(&head)
}

/// Takes an archive or a workbook apart.
fn open(
    typed: &str,
    name: &str,
    bytes: &[u8],
    rigs: &mut Vec<(String, Option<Vec<u8>>)>,
    recordings: &mut Vec<Input>,
) {
    let unpacked = packed::unpack(name, bytes, &[Kind::Rig, Kind::Recording]);
    let before = typed.strip_suffix(name).unwrap_or_default();
    for inner in unpacked.files {
        let typed = format!("{before}{}", inner.name);
        match inner.content {
            Ok((Kind::Rig, bytes)) => rigs.push((typed, Some(bytes))),
            content => recordings.push(Input {
                held: match content {
                    Ok((_, bytes)) => Held::Inside(bytes),
                    Err(problem) => Held::Refused(problem),
                },
                name: inner.name,
                typed,
            }),
        }
    }
    if let Some(told) = unpacked.left_out {
        // Nowhere left to say it when standard error is gone too.
        let _ = writeln!(io::stderr(), "{}", crate::text::one_line(&told));
    }
}

/// Whether the name is a rig's.
pub fn is_rig(path: &Path) -> bool {
    name(path).to_lowercase().ends_with(".rig.json")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_file_is_one_sentence() {
        let problem = bytes(Path::new("no/such/file.csv"))
            .unwrap_err()
            .to_string();
        assert!(
            problem.starts_with("no/such/file.csv: cannot be read ("),
            "{problem}"
        );
        assert!(problem.contains("; expected a file; try "), "{problem}");
    }

    #[test]
    fn two_rigs_are_one_too_many() {
        let files = ["a.csv", "one.rig.json", "Two.RIG.json"].map(PathBuf::from);
        let problem = inputs(&files, None).unwrap_err();
        assert_eq!(problem.file, "Two.RIG.json");
        let problem = inputs(&files[..2], Some(Path::new("three.rig.json"))).unwrap_err();
        assert_eq!(problem.file, "one.rig.json");
    }

    #[test]
    fn without_a_rig_all_are_recordings() {
        let files = ["a.csv", "b.c3d"].map(PathBuf::from);
        let inputs = inputs(&files, None).unwrap();
        let names: Vec<&str> = inputs.recordings.iter().map(|r| &*r.name).collect();
        assert_eq!(names, ["a.csv", "b.c3d"]);
        assert!(inputs.rig.is_none());
    }
}
