//! `cargo xtask bench`: how fast, in one table.
//!
//! Machines are noisy: each script of `tests/page/bench-*.mjs` measures a thing and its yardstick
//! in the same run and prints lines of `name ⇥ value ⇥ unit`; compare the ratios.

use std::process::{Command, Stdio};

use anyhow::{Result, bail};

use crate::house::{House, output_of, run, say, sorted};
use crate::{install, samples, serve, site};

/// Runs every bench there is.
pub fn bench(house: &House) -> Result<()> {
    let site = site::build(house)?;
    let folder = house.path("tests/page");
    install::npm(&folder)?;
    let chromium = install::chromium()?;
    let scripts: Vec<_> = sorted(&folder)?
        .into_iter()
        .filter(|file| {
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with("bench-") && name.ends_with(".mjs")
        })
        .collect();
    if scripts.is_empty() {
        bail!("tests/page holds no bench-*.mjs");
    }
    let recordings = house.target.join("bench");
    let footing = samples::footing(house)?;
    run(Command::new(&footing)
        .args(["simulate", "bench", "--seed", "1", "--out"])
        .arg(&recordings)
        .stdout(Stdio::null()))?;
    let mut rows = Vec::new();
    serve::during(&site, |url| {
        for script in &scripts {
            let name = script.file_name().unwrap_or_default().to_string_lossy();
            say(format!("bench: {name}"));
            let text = output_of(
                Command::new("node")
                    .current_dir(&house.root)
                    .arg(script)
                    .env("FOOTING_URL", url)
                    .env("FOOTING_SITE", &site)
                    .env("FOOTING", &footing)
                    .env("FOOTING_BENCH", &recordings)
                    .env("FOOTING_CHROMIUM", &chromium),
            )?;
            rows.extend(parsed(&name, &text)?);
        }
        Ok(())
    })?;
    println!("{}", table(&rows));
    Ok(())
}

type Row = (String, f64, String);

fn parsed(script: &str, text: &str) -> Result<Vec<Row>> {
    let mut rows = Vec::new();
    for line in text.lines().filter(|line| !line.is_empty()) {
        let parts: Vec<&str> = line.split('\t').collect();
        let value = parts.get(1).and_then(|value| value.parse().ok());
        match (parts.as_slice(), value) {
            ([name, _, unit], Some(value)) => {
                rows.push(((*name).to_owned(), value, (*unit).to_owned()));
            }
            _ => bail!("{script} printed {line:?}, expected name, value and unit between tabs"),
        }
    }
    if rows.is_empty() {
        bail!("{script} measured nothing");
    }
    Ok(rows)
}

fn table(rows: &[Row]) -> String {
    let width = rows.iter().map(|row| row.0.chars().count()).max();
    let width = width.unwrap_or_default();
    rows.iter()
        .map(|(name, value, unit)| format!("{name:<width$} {value:>10.2} {unit}"))
        .collect::<Vec<_>>()
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_become_rows_and_noise_is_refused() {
        let rows = parsed("a.mjs", "first result\t41.5\tms\n\nratio\t2\t×\n").unwrap();
        assert_eq!(rows.len(), 2);
        assert_eq!(
            table(&rows),
            "first result      41.50 ms\nratio              2.00 ×"
        );
        for bad in ["", "warming up", "first\tx\tms"] {
            assert!(parsed("a.mjs", bad).is_err(), "{bad}");
        }
    }
}
