//! Rules of the house that no compiler checks. Each rule is a pure function of text, so that its
//! tests can show it failing on a bad example.

use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::house::{self, House, output_of, say};

mod links;
mod pure;
mod rooms;
mod text;

/// What a rule found: where, and what to do about it.
#[derive(Debug, PartialEq)]
pub struct Finding {
    place: String,
    what: String,
}

impl Finding {
    fn new(place: impl Into<String>, what: impl Into<String>) -> Self {
        Self {
            place: place.into(),
            what: what.into(),
        }
    }
}

/// Holds the working copy to every rule; gives the number of rules.
pub fn tidy(house: &House) -> Result<usize> {
    let files = files(house)?;
    let mut texts = Vec::new();
    for name in &files {
        let bytes = match std::fs::read(house.path(name)) {
            Ok(bytes) => bytes,
            // Listed by git, deleted since: git's own affair.
            Err(_) => continue,
        };
        if let Ok(text) = String::from_utf8(bytes) {
            texts.push((name.as_str(), text));
        }
    }
    let metadata = house::metadata(&house.root)?;
    let of = |keep: &dyn Fn(&str) -> bool, rule: &dyn Fn(&str, &str) -> Vec<Finding>| {
        texts
            .iter()
            .filter(|(name, _)| keep(name))
            .flat_map(|(name, text)| rule(name, text))
            .collect::<Vec<Finding>>()
    };
    let any = |_: &str| true;
    let manifest = |name: &str| name.starts_with("crates/") && name.ends_with("/Cargo.toml");
    let rules: Vec<(&str, Vec<Finding>)> = vec![
        (
            "each room knows only the rooms above it",
            rooms::dependencies(&metadata, &house.root),
        ),
        (
            "pure rooms touch no file, clock, thread, network or terminal",
            of(&pure::applies, &pure::rule),
        ),
        (
            "every crate takes the workspace's lints",
            of(&manifest, &rooms::lints),
        ),
        (
            "the workspace forbids unsafe code and undocumented items, and pins the generator",
            of(&|name| name == "Cargo.toml", &rooms::workspace),
        ),
        (
            "no source file is too long",
            of(&text::source, &text::length),
        ),
        ("no check is switched off", of(&any, &text::switched_off)),
        ("no machine's paths or hosts", of(&any, &text::machine)),
        (
            "every page states its policy",
            of(
                &|name| name.starts_with("www/") && name.ends_with(".html"),
                &text::policy,
            ),
        ),
        ("links once made stay", links::append_only(&house.root)?),
    ];
    for (name, text) in &texts {
        if let Some(warning) = text::getting_long(name, text) {
            say(format!("warning: {warning}"));
        }
    }
    let mut found = 0;
    for (rule, findings) in &rules {
        for finding in findings {
            eprintln!("{}: {} (rule: {rule})", finding.place, finding.what);
        }
        found += findings.len();
    }
    if found > 0 {
        bail!("tidy: {found} findings");
    }
    say(format!(
        "tidy: {} rules, {} files",
        rules.len(),
        texts.len()
    ));
    Ok(rules.len())
}

/// What is or could be committed: everything that git does not ignore.
fn files(house: &House) -> Result<Vec<String>> {
    let listed = git(
        &house.root,
        &[
            "ls-files",
            "-z",
            "--cached",
            "--others",
            "--exclude-standard",
        ],
    )?;
    let mut files: Vec<String> = listed
        .split('\0')
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect();
    files.sort();
    files.dedup();
    Ok(files)
}

fn git(root: &Path, arguments: &[&str]) -> Result<String> {
    output_of(Command::new("git").current_dir(root).args(arguments))
        .context("tidy reads the file list and the history from git")
}
