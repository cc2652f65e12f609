//! Who may use whom.

use std::path::Path;

use serde_json::Value;

use super::Finding;

/// Each crate with the crates of ours it may use.
const ROOMS: [(&str, &[&str]); 9] = [
    ("footing-core", &[]),
    ("footing-formats", &["footing-core"]),
    ("footing-link", &["footing-core"]),
    (
        "footing-app",
        &["footing-core", "footing-formats", "footing-link"],
    ),
    ("footing-charts", &["footing-app"]),
    ("footing-web", &["footing-app", "footing-charts"]),
    (
        "footing-cli",
        &["footing-app", "footing-charts", "footing-simulate"],
    ),
    ("footing-simulate", &["footing-core"]),
    ("xtask", &[]),
];

/// Swings whose truth is known may feed any room's tests, and any may count the memory that it takes.
const TESTS_MAY_USE: [&str; 2] = ["footing-counting", "footing-simulate"];

/// All the science may lean on.
const CORE_MAY_USE: [&str; 4] = ["libm", "rand", "rand_pcg", "statrs"];

/// Random numbers come from a seed handed in: these crates' features would bring the system's.
const SEEDED: [&str; 2] = ["rand", "rand_pcg"];

/// Only one room knows JavaScript.
const JAVASCRIPT: [&str; 6] = [
    "js-sys",
    "plotters-canvas",
    "serde-wasm-bindgen",
    "wasm-bindgen",
    "wasm-bindgen-futures",
    "web-sys",
];

/// Checks `cargo metadata` of the workspace against the table above.
pub fn dependencies(metadata: &Value, root: &Path) -> Vec<Finding> {
    let mut findings = Vec::new();
    for package in list(&metadata["packages"]) {
        let name = text(&package["name"]);
        let manifest = Path::new(text(&package["manifest_path"]));
        let place = manifest.strip_prefix(root).unwrap_or(manifest);
        let place = place.display().to_string();
        let Some((_, may_use)) = ROOMS.iter().find(|(room, _)| *room == name) else {
            findings.push(Finding::new(
                place,
                format!("`{name}` has no place in the table of rooms; give it one"),
            ));
            continue;
        };
        for dependency in list(&package["dependencies"]) {
            let used = text(&dependency["name"]);
            let dev = text(&dependency["kind"]) == "dev";
            let ours = ROOMS.iter().any(|(room, _)| *room == used) || !dependency["path"].is_null();
            let refusal = if ours {
                let fine = may_use.contains(&used) || (dev && TESTS_MAY_USE.contains(&used));
                (!fine).then(|| format!("it may use {}", or_none(may_use)))
            } else if name == "footing-core" && !dev && !CORE_MAY_USE.contains(&used) {
                Some(format!("the science may use {}", or_none(&CORE_MAY_USE)))
            } else if name == "footing-core" && SEEDED.contains(&used) && !bare(dependency) {
                Some("expected no features: the science has no randomness but a seed".to_owned())
            } else if name != "footing-web" && JAVASCRIPT.contains(&used) {
                Some("only footing-web knows JavaScript".to_owned())
            } else {
                None
            };
            if let Some(reason) = refusal {
                findings.push(Finding::new(
                    place.clone(),
                    format!("{name} → {used}: {reason}"),
                ));
            }
        }
    }
    findings
}

fn bare(dependency: &Value) -> bool {
    dependency["uses_default_features"] == Value::Bool(false)
        && list(&dependency["features"]).is_empty()
}

fn or_none(names: &[&str]) -> String {
    match names {
        [] => "none of ours".to_owned(),
        names => format!("only {}", names.join(", ")),
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

fn manifest(name: &str, text: &str) -> Result<toml::Table, Vec<Finding>> {
    text.parse()
        .map_err(|error| vec![Finding::new(name, format!("not a manifest: {error}"))])
}

/// A crate's manifest takes the workspace's lints.
pub fn lints(name: &str, text: &str) -> Vec<Finding> {
    let table = match manifest(name, text) {
        Ok(table) => table,
        Err(findings) => return findings,
    };
    let taken = table
        .get("lints")
        .and_then(|lints| lints.get("workspace"))
        .and_then(toml::Value::as_bool);
    if taken == Some(true) {
        return Vec::new();
    }
    vec![Finding::new(
        name,
        "expected `[lints]` with `workspace = true`",
    )]
}

/// The workspace's manifest keeps its strictest lints, and pins the binding generator to the
/// version of the macro.
pub fn workspace(name: &str, text: &str) -> Vec<Finding> {
    let table = match manifest(name, text) {
        Ok(table) => table,
        Err(findings) => return findings,
    };
    let at = |path: &[&str]| {
        let mut value = table.get("workspace");
        for key in path {
            value = value.and_then(|value| value.get(key));
        }
        value.and_then(toml::Value::as_str).unwrap_or_default()
    };
    let mut findings = Vec::new();
    for (lint, level) in [("unsafe_code", "forbid"), ("missing_docs", "deny")] {
        if at(&["lints", "rust", lint]) != level {
            findings.push(Finding::new(
                name,
                format!("expected `{lint} = \"{level}\"` in [workspace.lints.rust]"),
            ));
        }
    }
    let macro_version = at(&["dependencies", "wasm-bindgen"]);
    let generator_version = at(&["dependencies", "wasm-bindgen-cli-support"]);
    if !macro_version.starts_with('=') || macro_version != generator_version {
        findings.push(Finding::new(
            name,
            format!(
                "wasm-bindgen is {macro_version:?}, its generator {generator_version:?}: \
                 expected the same version, pinned with `=`"
            ),
        ));
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn check(name: &str, dependencies: Value) -> Vec<String> {
        let metadata = json!({ "packages": [{
            "name": name,
            "manifest_path": "top/crates/here/Cargo.toml",
            "dependencies": dependencies,
        }]});
        super::dependencies(&metadata, Path::new("top"))
            .into_iter()
            .map(|finding| format!("{}: {}", finding.place, finding.what))
            .collect()
    }

    #[test]
    fn a_room_may_use_rooms_above_it() {
        let app = json!([
            { "name": "footing-core", "kind": null, "path": "x" },
            { "name": "footing-simulate", "kind": "dev", "path": "x" },
            { "name": "serde", "kind": null },
        ]);
        assert_eq!(check("footing-app", app), [""; 0]);
        let core = json!([
            { "name": "libm", "kind": null },
            { "name": "proptest", "kind": "dev" },
        ]);
        assert_eq!(check("footing-core", core), [""; 0]);
    }

    #[test]
    fn a_room_may_not_use_rooms_below_it() {
        for (name, used) in [
            ("footing-formats", "footing-app"),
            ("footing-link", "footing-formats"),
            ("footing-app", "footing-simulate"),
            ("footing-charts", "footing-core"),
            ("footing-web", "footing-core"),
            ("footing-simulate", "footing-app"),
            ("xtask", "footing-core"),
        ] {
            let found = check(name, json!([{ "name": used, "kind": null, "path": "x" }]));
            assert_eq!(found.len(), 1, "{name} → {used}");
            assert!(
                found[0].starts_with(&format!("crates/here/Cargo.toml: {name} → {used}: ")),
                "{found:?}"
            );
        }
    }

    #[test]
    fn tests_may_not_reach_down_either() {
        let found = check(
            "footing-core",
            json!([{ "name": "footing-app", "kind": "dev", "path": "x" }]),
        );
        assert_eq!(found.len(), 1);
    }

    #[test]
    fn the_science_stays_small_and_javascript_in_its_room() {
        assert_eq!(
            check("footing-core", json!([{ "name": "serde", "kind": null }])).len(),
            1
        );
        for (features, found) in [(json!([]), 0), (json!(["sys_rng"]), 1)] {
            let rand = json!([{
                "name": "rand", "kind": null, "uses_default_features": false, "features": features,
            }]);
            assert_eq!(check("footing-core", rand).len(), found);
        }
        assert_eq!(
            check("footing-core", json!([{ "name": "rand", "kind": null }])).len(),
            1
        );
        let web_sys = json!([{ "name": "web-sys", "kind": null }]);
        assert_eq!(check("footing-charts", web_sys.clone()).len(), 1);
        assert_eq!(check("footing-web", web_sys).len(), 0);
    }

    #[test]
    fn a_crate_without_a_place_is_named() {
        assert!(check("footing-attic", json!([]))[0].contains("`footing-attic` has no place"));
    }

    #[test]
    fn a_crate_without_the_lints_is_named() {
        assert_eq!(lints("a", "[lints]\nworkspace = true\n"), []);
        for bad in [
            "",
            "[lints]\nworkspace = false\n",
            "[lints.rust]\nunused = \"allow\"\n",
        ] {
            assert_eq!(lints("a", bad).len(), 1, "{bad}");
        }
        assert!(lints("a", "[lints")[0].what.contains("not a manifest"));
    }

    #[test]
    fn a_weakened_workspace_is_named() {
        let good = "[workspace.dependencies]\nwasm-bindgen = \"=0.2.1\"\n\
                    wasm-bindgen-cli-support = \"=0.2.1\"\n\
                    [workspace.lints.rust]\nunsafe_code = \"forbid\"\nmissing_docs = \"deny\"\n";
        assert_eq!(workspace("Cargo.toml", good), []);
        for (from, to) in [
            ("\"forbid\"", "\"allow\""),
            ("missing_docs", "unused"),
            ("wasm-bindgen = \"=0.2.1\"", "wasm-bindgen = \"=0.2.2\""),
            ("\"=0.2.1\"", "\"0.2.1\""),
        ] {
            assert_eq!(
                workspace("Cargo.toml", &good.replace(from, to)).len(),
                1,
                "{to}"
            );
        }
    }
}
