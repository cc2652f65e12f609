//! What a chore needs and the machine lacks: installed when that can be done, named when not.

use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::house::{on_path, output_of, run, say};

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
    let install = || {
        run(Command::new("apt-get")
            .env("DEBIAN_FRONTEND", "noninteractive")
            .args(["-qq", "install", "-y", "--no-install-recommends"])
            .args(packages)
            .stdout(std::process::Stdio::null()))
    };
    // A fresh machine may have no package lists, or stale ones.
    if install().is_err() {
        run(Command::new("apt-get").args(["-qq", "update"]))?;
        install().with_context(|| format!("apt-get could not install {wanted}"))?;
    }
    Ok(())
}

fn root() -> Result<bool> {
    Ok(output_of(Command::new("id").arg("-u"))?.trim() == "0")
}
