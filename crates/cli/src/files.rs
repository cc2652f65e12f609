//! Files on disk: which of them is the rig, and what is said when one cannot be read.

use std::fs;
use std::path::{Path, PathBuf};

use footing_app::formats::Problem;
use footing_app::formats::rig::Rig;

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

/// Recordings and rig told apart.
#[derive(Debug)]
pub struct Inputs {
    /// The recordings, in the order given.
    pub recordings: Vec<PathBuf>,
    /// The rig, read.
    pub rig: Option<Rig>,
}

/// Takes the rig out of the files: `--rig`, or the one `*.rig.json` among them.
///
/// # Errors
/// A [`Problem`] when the rig cannot be read or when there is more than one.
pub fn inputs(files: &[PathBuf], rig: Option<&Path>) -> Result<Inputs, Problem> {
    let (rigs, recordings): (Vec<&PathBuf>, Vec<&PathBuf>) =
        files.iter().partition(|file| is_rig(file));
    let mut rigs = rig
        .into_iter()
        .chain(rigs.into_iter().map(PathBuf::as_path));
    let first = rigs.next();
    if let (Some(first), Some(second)) = (first, rigs.next()) {
        return Err(Problem::new(
            &path_text(second),
            format!("a second rig beside {}", path_text(first)),
            "one rig for all files",
            "measuring the files of each rig by themselves",
        ));
    }
    let rig = first
        .map(|path| footing_app::formats::rig::parse(&path_text(path), &bytes(path)?))
        .transpose()?;
    Ok(Inputs {
        recordings: recordings.into_iter().cloned().collect(),
        rig,
    })
}

fn is_rig(path: &Path) -> bool {
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
        assert_eq!(inputs.recordings, files);
        assert!(inputs.rig.is_none());
    }
}
