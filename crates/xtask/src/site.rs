//! Puts the page together in `target/site`, as any static host would serve it.
//!
//! The page may open no connection (`connect-src 'none'`), so whatever it needs arrives as a
//! script: beside the files of `www/` there is `pkg/` with
//!
//! | module | exports |
//! | --- | --- |
//! | `footing_web.js` | the main thread's glue |
//! | `wasm.js` | `wasmBytes()`: the first module, which both kinds of glue instantiate |
//! | `worker_source.js` | `workerSource`: text of the worker's classic script, glue first |
//! | `wasm_whole.js`, `worker_source_whole.js` | the same of the whole module, for the worker only |
//! | `wasm_packed.js`, `worker_source_packed.js` | the module that takes archives and workbooks apart, and its worker |
//! | `samples.js` | `samples`: what `samples/index.json` lists; `sampleBytes(file)` |
//! | `build.js` | `build`: version, commit, date, and whether the working copy had changes |
//! | `kept.js` | a classic script that tells the service worker which files to keep, and a stamp |
//!
//! Bytes travel as gzip in base64 and are unpacked by the browser's own `DecompressionStream`:
//! a third of the plain base64 on hosts that do not compress, and less than it on those that do,
//! since base64 of plain wasm compresses badly.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};
use base64::{Engine, engine::general_purpose::STANDARD as BASE64};
use serde_json::{Value, json};

use crate::house::{self, House, say};
use crate::wasm::{self, Modules};

const UNPACK_JS: &str = "\
/**
 * Undoes base64, then gzip.
 * @param {string} text
 * @returns {Promise<Uint8Array<ArrayBuffer>>}
 */
export async function unpack(text) {
  const characters = atob(text);
  const packed = new Uint8Array(characters.length);
  for (let i = 0; i < packed.length; i += 1) packed[i] = characters.charCodeAt(i);
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}
";

/// The workers' own scripts: they reach the page as text in modules of `pkg/`.
const WORKERS: [&str; 2] = ["worker.js", "packed_worker.js"];

/// Types of the generated modules, so that `tsc` need not read megabytes of base64.
const TYPES: [(&str, &str); 9] = [
    (
        "unpack.d.ts",
        "export function unpack(text: string): Promise<Uint8Array<ArrayBuffer>>;\n",
    ),
    (
        "wasm.d.ts",
        "export function wasmBytes(): Promise<Uint8Array<ArrayBuffer>>;\n",
    ),
    ("worker_source.d.ts", "export const workerSource: string;\n"),
    (
        "wasm_whole.d.ts",
        "export function wasmBytes(): Promise<Uint8Array<ArrayBuffer>>;\n",
    ),
    (
        "worker_source_whole.d.ts",
        "export const workerSource: string;\n",
    ),
    (
        "wasm_packed.d.ts",
        "export function wasmBytes(): Promise<Uint8Array<ArrayBuffer>>;\n",
    ),
    (
        "worker_source_packed.d.ts",
        "export const workerSource: string;\n",
    ),
    (
        "samples.d.ts",
        "export interface SampleFile { name: string; gzipBase64: string; }\n\
         export interface SampleSet { set: string; files: SampleFile[]; [key: string]: unknown; }\n\
         export const samples: SampleSet[];\n\
         export function sampleBytes(file: SampleFile): Promise<Uint8Array<ArrayBuffer>>;\n",
    ),
    (
        "build.d.ts",
        "export const build: { version: string, commit: string | null, date: string | null, changed: boolean };\n",
    ),
];

/// Builds everything and gives the folder to serve.
pub fn build(house: &House) -> Result<PathBuf> {
    let modules = wasm::build(house)?;
    // The old page stays whole until the new one is.
    let fresh = house.target.join(format!("site.{}", std::process::id()));
    let assembled = assemble(house, &modules, &fresh);
    if assembled.is_err() {
        std::fs::remove_dir_all(&fresh).ok();
    }
    assembled?;
    let site = house.site();
    if site.exists() {
        std::fs::remove_dir_all(&site)
            .with_context(|| format!("cannot remove the old {}", site.display()))?;
    }
    std::fs::rename(&fresh, &site)
        .with_context(|| format!("cannot move the page to {}", site.display()))?;
    say(format!("page: {}", site.display()));
    Ok(site)
}

fn assemble(house: &House, modules: &Modules, site: &Path) -> Result<()> {
    if site.exists() {
        std::fs::remove_dir_all(site)?;
    }
    house::copy_folder(&house.path("www"), site)?;
    let samples = house.path("samples");
    if samples.is_dir() {
        house::copy_folder(&samples, &site.join("samples"))?;
    }

    let pkg = site.join("pkg");
    let write = |name: &str, content: &str| house::write(&pkg.join(name), content);
    for (name, types) in TYPES {
        write(name, types)?;
    }
    let Modules {
        first,
        whole,
        packed,
    } = modules;
    write("footing_web.js", &first.module_js)?;
    write("footing_web.d.ts", &first.module_types)?;
    write("footing_web_bg.wasm.d.ts", "export {};\n")?;
    write("unpack.js", UNPACK_JS)?;
    write("wasm.js", &wasm_module(&first.wasm_gzip))?;
    write("wasm_whole.js", &wasm_module(&whole.wasm_gzip))?;
    write("wasm_packed.js", &wasm_module(&packed.wasm_gzip))?;
    for (name, script, bound) in [
        ("worker_source.js", WORKERS[0], first),
        ("worker_source_whole.js", WORKERS[0], whole),
        ("worker_source_packed.js", WORKERS[1], packed),
    ] {
        let script = house::read_text(&house.path("www").join(script))?;
        write(name, &worker_module(&bound.script_js, &script))?;
    }
    write("samples.js", &samples_module(&samples)?)?;
    write(
        "build.js",
        &format!("export const build = {};\n", stamp(house)?),
    )?;
    write("kept.js", &kept_script(site)?)
}

/// Lists what the page is made of for the service worker: not the sample files (the page carries
/// those it offers), not types, not the worker's own scripts. The stamp changes with any of them.
fn kept_script(site: &Path) -> Result<String> {
    let mut files = Vec::new();
    let mut contents = Vec::new();
    let mut folders = vec![site.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for path in house::sorted(&folder)? {
            let name = path
                .strip_prefix(site)?
                .to_string_lossy()
                .replace('\\', "/");
            if path.is_dir() {
                if name != "samples" {
                    folders.push(path);
                }
                continue;
            }
            contents.extend(name.bytes());
            contents.extend(std::fs::read(&path)?);
            let apart = ["sw.js", "pkg/kept.js"].contains(&&*name) || WORKERS.contains(&&*name);
            if !apart && !name.ends_with(".d.ts") {
                files.push(name);
            }
        }
    }
    files.sort();
    // The address of the page itself, as a link has it.
    files.insert(0, "./".to_owned());
    let kept = json!({ "stamp": house::fingerprint(&contents), "files": files });
    Ok(format!("self.footingKept = {kept};\n"))
}

fn wasm_module(gzip: &[u8]) -> String {
    format!(
        "import {{ unpack }} from './unpack.js';\n\n\
         const wasmGzipBase64 = '{}';\n\n\
         export const wasmBytes = () => unpack(wasmGzipBase64);\n",
        BASE64.encode(gzip)
    )
}

/// One classic script for a Blob worker: the glue's global first, then what uses it.
fn worker_module(glue: &str, worker: &str) -> String {
    format!(
        "export const workerSource = {};\n",
        js_string(&format!("{glue}\n{worker}"))
    )
}

/// A JavaScript string literal that also survives inside an HTML script element.
fn js_string(text: &str) -> String {
    Value::from(text).to_string().replace("</", "<\\/")
}

/// Reads `index.json`: `{"player": {…}, "sets": [{"set": "A", "files": ["name", …]}]}`. Whatever
/// else a set says (a label) is handed on, and what is said of the player is said of each set.
fn samples_module(folder: &Path) -> Result<String> {
    let index = folder.join("index.json");
    let mut said: Value = if index.is_file() {
        serde_json::from_str(&house::read_text(&index)?)
            .with_context(|| format!("{} is not JSON", index.display()))?
    } else {
        say("samples/index.json is not there yet: the page has no samples");
        json!({ "sets": [] })
    };
    let shape = || {
        format!(
            "{}: expected {{\"sets\": [{{\"set\": \"A\", \"files\": [\"name\"]}}]}}",
            index.display()
        )
    };
    let player = said["player"].as_object().cloned().unwrap_or_default();
    let mut sets = said.get_mut("sets").map(Value::take).with_context(shape)?;
    for set in sets.as_array_mut().with_context(shape)? {
        let set = set.as_object_mut().with_context(shape)?;
        let files = set.get_mut("files").and_then(Value::as_array_mut);
        for file in files.with_context(shape)? {
            let name = file.as_str().with_context(shape)?.to_owned();
            if name.split(['/', '\\']).any(|part| part == "..") || name.starts_with('/') {
                bail!("{}: `{name}` lies outside samples/", index.display());
            }
            let path = folder.join(&name);
            let bytes = std::fs::read(&path)
                .with_context(|| format!("{} lists {name}, cannot read it", index.display()))?;
            *file = json!({ "name": name, "gzipBase64": BASE64.encode(wasm::gzip(&bytes)?) });
        }
        for (key, value) in &player {
            set.entry(key).or_insert_with(|| value.clone());
        }
    }
    Ok(format!(
        "import {{ unpack }} from './unpack.js';\n\n\
         export const samples = {sets};\n\n\
         export const sampleBytes = (file) => unpack(file.gzipBase64);\n"
    ))
}

/// What was built: the same commit gives the same stamp, so the date is the commit's.
fn stamp(house: &House) -> Result<Value> {
    let git = |arguments: &[&str]| -> Option<String> {
        let output = Command::new("git")
            .current_dir(&house.root)
            .args(arguments)
            .output()
            .ok()?;
        let text = String::from_utf8(output.stdout).ok()?;
        output.status.success().then(|| text.trim().to_owned())
    };
    Ok(json!({
        "version": env!("CARGO_PKG_VERSION"),
        "commit": git(&["rev-parse", "--short=12", "HEAD"]),
        "date": git(&["log", "-1", "--format=%cs"]),
        "changed": git(&["status", "--porcelain"]).is_some_and(|text| !text.is_empty()),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scratch(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("xtask-{name}-{}", std::process::id()));
        std::fs::remove_dir_all(&folder).ok();
        std::fs::create_dir_all(&folder).unwrap();
        folder
    }

    #[test]
    fn strings_stay_inside_their_script() {
        assert_eq!(js_string("a\"b\n</script>"), r#""a\"b\n<\/script>""#);
        let module = worker_module("let wasm_bindgen;", "onmessage = () => {};");
        let glue = module.find("let wasm_bindgen").unwrap();
        assert!(glue < module.find("onmessage").unwrap());
    }

    #[test]
    fn samples_carry_the_listed_files_and_keep_the_rest_of_the_entry() {
        let folder = scratch("samples");
        std::fs::write(folder.join("one.csv"), "t,Fz\n0,1\n").unwrap();
        std::fs::write(folder.join("unlisted.csv"), "x").unwrap();
        std::fs::write(
            folder.join("index.json"),
            r#"{"player": {"handed": "left"},
                "sets": [{"set": "A", "label": "before", "files": ["one.csv"]}]}"#,
        )
        .unwrap();
        let module = samples_module(&folder).unwrap();
        std::fs::remove_dir_all(&folder).unwrap();
        assert!(module.contains(r#""label":"before""#), "{module}");
        assert!(module.contains(r#""handed":"left""#), "{module}");
        assert!(module.contains(r#""name":"one.csv""#), "{module}");
        assert!(!module.contains("unlisted"), "{module}");
    }

    #[test]
    fn the_service_worker_keeps_what_the_page_is_made_of_and_nothing_else() {
        let site = scratch("kept");
        for name in [
            "index.html",
            "sw.js",
            "worker.js",
            "packed_worker.js",
            "pkg/wasm.js",
            "pkg/wasm.d.ts",
            "samples/one.csv",
        ] {
            house::write(&site.join(name), name).unwrap();
        }
        let script = kept_script(&site).unwrap();
        house::write(&site.join("pkg/wasm.js"), "newer").unwrap();
        let newer = kept_script(&site).unwrap();
        std::fs::remove_dir_all(&site).unwrap();
        assert!(
            script.contains(r#""files":["./","index.html","pkg/wasm.js"]"#),
            "{script}"
        );
        assert_ne!(script, newer, "the stamp follows the files");
    }

    #[test]
    fn a_sample_outside_its_folder_or_absent_is_refused() {
        let folder = scratch("outside");
        for name in ["../one.csv", "/one.csv", "absent.csv"] {
            let index = json!({ "sets": [{ "set": "A", "files": [name] }] }).to_string();
            std::fs::write(folder.join("index.json"), index).unwrap();
            let error = samples_module(&folder).unwrap_err().to_string();
            assert!(error.contains(name), "{error}");
        }
        for bad in [
            "[]",
            "{}",
            r#"{"sets": [{"set": "A"}]}"#,
            r#"{"sets": [{"files": [1]}]}"#,
        ] {
            std::fs::write(folder.join("index.json"), bad).unwrap();
            let error = samples_module(&folder).unwrap_err().to_string();
            assert!(error.contains("expected {\"sets\""), "{bad}: {error}");
        }
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
