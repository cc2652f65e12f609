//! What a chore needs and the machine lacks: installed when that can be done, named when not.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::house::{House, fingerprint, on_path, output_of, read_text, run, say, write};

/// Installs Debian packages as root, else says which and why.
pub fn debian(packages: &[&str], why: &str) -> Result<()> {
    let wanted = packages.join(" ");
    if on_path("apt-get").is_none() {
        bail!("{wanted} needed {why}: these are Debian packages; install their like by hand");
    }
    if !root()? {
        bail!("{wanted} needed {why}: run `sudo apt-get install --no-install-recommends {wanted}`");
    }
    say(format!("apt-get install {wanted} ({why})"));
    // A fresh machine may have no package lists, or stale ones, which name packages that are too old
    // or are gone. Without a network the lists that are there must do.
    if run(Command::new("apt-get").args(["-qq", "update"])).is_err() {
        say("apt-get update failed: going on with the package lists that are here");
    }
    run(Command::new("apt-get")
        .env("DEBIAN_FRONTEND", "noninteractive")
        .args(["-qq", "install", "-y", "--no-install-recommends"])
        .args(packages)
        .stdout(std::process::Stdio::null()))
    .with_context(|| format!("apt-get could not install {wanted}"))?;
    Ok(())
}

fn root() -> Result<bool> {
    Ok(output_of(Command::new("id").arg("-u"))?.trim() == "0")
}

/// The browser that the page is checked in.
pub fn chromium() -> Result<PathBuf> {
    if let Some(given) = std::env::var_os("FOOTING_CHROMIUM") {
        let given = PathBuf::from(given);
        if !given.is_file() {
            bail!("FOOTING_CHROMIUM={}: no such file", given.display());
        }
        return Ok(given);
    }
    if on_path("chromium").is_none() {
        debian(&["chromium"], "to check the page in a real browser")?;
    }
    on_path("chromium").context("no `chromium` on the path; name one in FOOTING_CHROMIUM")
}

/// The packages that a folder's `package-lock.json` names, in its `node_modules`.
pub fn npm(folder: &Path) -> Result<()> {
    if on_path("node").is_none() || on_path("npm").is_none() {
        debian(&["nodejs", "npm"], "to run the page's checks")?;
    }
    let lock = fingerprint(read_text(&folder.join("package-lock.json"))?);
    once(&folder.join("node_modules/.footing"), &lock, || {
        say("npm ci, as the page's package-lock.json says");
        run(Command::new("npm").current_dir(folder).args([
            "ci",
            "--ignore-scripts",
            "--no-audit",
            "--no-fund",
        ]))
    })
}

/// A Python of our own with the packages that `requirements` names.
pub fn python(house: &House, requirements: &Path) -> Result<PathBuf> {
    let venv = house.target.join("venv");
    let python = venv.join("bin/python");
    let wanted = fingerprint(read_text(requirements)?);
    once(&venv.join("footing-stamp"), &wanted, || {
        say("a Python environment with what tests/reference needs");
        let make = |python: &str| {
            run(Command::new(python)
                .args(["-m", "venv", "--clear"])
                .arg(&venv))
        };
        if on_path("python3").is_none() || make("python3").is_err() {
            debian(&["python3-venv"], "for the reference checks")?;
            make("/usr/bin/python3")?;
        }
        run(Command::new(&python)
            .args(["-m", "pip", "install", "--quiet"])
            .args(["--disable-pip-version-check", "--requirement"])
            .arg(requirements))
    })?;
    Ok(python)
}

/// Does the work unless the stamp says that just this was done; a stamp is written last.
fn once(stamp: &Path, wanted: &str, work: impl FnOnce() -> Result<()>) -> Result<()> {
    if std::fs::read_to_string(stamp).is_ok_and(|done| done == wanted) {
        return Ok(());
    }
    work()?;
    write(stamp, wanted)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_is_done_again_only_when_what_is_wanted_changes() {
        let folder = std::env::temp_dir().join(format!("xtask-once-{}", std::process::id()));
        let stamp = folder.join("stamp");
        let mut runs = 0;
        for (wanted, expected) in [("a", 1), ("a", 1), ("b", 2)] {
            once(&stamp, wanted, || {
                runs += 1;
                Ok(())
            })
            .unwrap();
            assert_eq!(runs, expected);
        }
        assert!(once(&stamp, "c", || bail!("broken")).is_err());
        assert!(
            once(&stamp, "c", || bail!("broken")).is_err(),
            "no stamp for broken work"
        );
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
