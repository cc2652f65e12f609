//! Where things are, and how other programs are run.

use std::ffi::OsStr;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

/// The working copy and the folder that everything built goes to.
pub struct House {
    /// The top of the working copy: the folder of the workspace's `Cargo.toml`.
    pub root: PathBuf,
    /// Cargo's target folder, `target` unless `CARGO_TARGET_DIR` says otherwise.
    pub target: PathBuf,
}

impl House {
    /// Asks cargo where the workspace is, so that a chore runs from any folder inside it.
    pub fn find() -> Result<Self> {
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        let metadata = metadata(here)?;
        let folder = |key: &str| -> Result<PathBuf> {
            let text = metadata[key]
                .as_str()
                .with_context(|| format!("`cargo metadata` names no {key}"))?;
            Ok(PathBuf::from(text))
        };
        Ok(Self {
            root: folder("workspace_root")?,
            target: folder("target_directory")?,
        })
    }

    /// A path below the top of the working copy.
    pub fn path(&self, below: impl AsRef<Path>) -> PathBuf {
        self.root.join(below)
    }

    /// The built page: what a static host serves.
    pub fn site(&self) -> PathBuf {
        self.target.join("site")
    }
}

/// What `cargo metadata` says of the workspace whose files lie at or above `folder`.
pub fn metadata(folder: &Path) -> Result<serde_json::Value> {
    let text = output_of(cargo().current_dir(folder).args([
        "metadata",
        "--no-deps",
        "--format-version",
        "1",
    ]))?;
    serde_json::from_str(&text).context("`cargo metadata` printed something that is not JSON")
}

/// The cargo that started this chore, else the one on the path.
pub fn cargo() -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    // `cargo run` adds its own library folders, in which another compiler would find the wrong
    // libraries; and what it says of this crate is no news for the crates built from here.
    command.env_remove("LD_LIBRARY_PATH");
    for (name, _) in std::env::vars_os() {
        let of_this_crate = name.to_str().is_some_and(|name| {
            name.starts_with("CARGO_PKG_") || name.starts_with("CARGO_MANIFEST_")
        });
        if of_this_crate {
            command.env_remove(name);
        }
    }
    command
}

/// Runs a command that talks to the person; fails when it fails.
pub fn run(command: &mut Command) -> Result<()> {
    let status = command
        .status()
        .with_context(|| format!("cannot start {}", shown(command)))?;
    if !status.success() {
        bail!("{} ended with {status}", shown(command));
    }
    Ok(())
}

/// Runs a command and gives its standard output; its errors go to the person.
pub fn output_of(command: &mut Command) -> Result<String> {
    let output = command
        .stderr(Stdio::inherit())
        .output()
        .with_context(|| format!("cannot start {}", shown(command)))?;
    if !output.status.success() {
        bail!("{} ended with {}", shown(command), output.status);
    }
    String::from_utf8(output.stdout)
        .with_context(|| format!("{} printed text that is not UTF-8", shown(command)))
}

/// A command as a person would type it.
pub fn shown(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    words
        .map(|word| word.to_string_lossy().into_owned())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Whether the path holds a program of this name.
pub fn on_path(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|folder| folder.join(program))
        .find(|file| file.is_file())
}

/// Says what is about to happen, apart from what the programs say themselves.
pub fn say(text: impl AsRef<str>) {
    eprintln!("→ {}", text.as_ref());
}

/// A short name for some content: stamps and folder names, nothing that must resist a forger.
pub fn fingerprint(content: impl AsRef<[u8]>) -> String {
    let mut hasher = DefaultHasher::new();
    content.as_ref().hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}

/// Copies a folder with all below it; gives the number of files.
pub fn copy_folder(from: &Path, to: &Path) -> Result<usize> {
    std::fs::create_dir_all(to).with_context(|| format!("cannot make {}", to.display()))?;
    let mut files = 0;
    for entry in sorted(from)? {
        let target = to.join(entry.file_name().unwrap_or(OsStr::new("")));
        if entry.is_dir() {
            files += copy_folder(&entry, &target)?;
        } else {
            std::fs::copy(&entry, &target)
                .with_context(|| format!("cannot copy {}", entry.display()))?;
            files += 1;
        }
    }
    Ok(files)
}

/// What a folder holds, by name, without the files that start with a dot.
pub fn sorted(folder: &Path) -> Result<Vec<PathBuf>> {
    let mut entries = Vec::new();
    for entry in
        std::fs::read_dir(folder).with_context(|| format!("cannot read {}", folder.display()))?
    {
        let entry = entry?;
        if !entry.file_name().to_string_lossy().starts_with('.') {
            entries.push(entry.path());
        }
    }
    entries.sort();
    Ok(entries)
}

/// Reads a text file, naming it in the error.
pub fn read_text(file: &Path) -> Result<String> {
    std::fs::read_to_string(file).with_context(|| format!("cannot read {}", file.display()))
}

/// Writes a file, naming it in the error.
pub fn write(file: &Path, content: impl AsRef<[u8]>) -> Result<()> {
    if let Some(folder) = file.parent() {
        std::fs::create_dir_all(folder)
            .with_context(|| format!("cannot make {}", folder.display()))?;
    }
    std::fs::write(file, content).with_context(|| format!("cannot write {}", file.display()))
}
