//! One wasm, two bindings: the main thread's module and the worker's classic script.

use std::io::Write;
use std::num::NonZeroU64;
use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use flate2::{Compression, write::GzEncoder};
use wasm_bindgen_cli_support::Bindgen;

use crate::house::{self, House, run, say};
use crate::toolchain::{TARGET, Toolchain};

/// The gzipped first module must stay below this: it is what a first result waits for.
const FIRST_LIMIT_BYTES: usize = 350_000;
/// The whole module comes after it, and is compiled when it is needed: to compare, to send, to wire.
const WHOLE_LIMIT_BYTES: usize = 500_000;
/// The module for archives and workbooks comes last, and is compiled for the first of them. More than half of it are tables
/// of old text encodings, which the reader of workbooks brings.
const PACKED_LIMIT_BYTES: usize = 375_000;

/// How much of the page's crate is compiled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// Reading, measuring, drawing.
    First,
    /// Everything that is done with recordings.
    Whole,
    /// Taking archives and workbooks apart, and nothing else.
    Packed,
}

impl Extent {
    fn name(self) -> &'static str {
        match self {
            Self::First => "first",
            Self::Whole => "whole",
            Self::Packed => "packed",
        }
    }

    /// The feature of `footing-web` that holds it.
    fn feature(self) -> &'static str {
        match self {
            Self::First => "page",
            Self::Whole | Self::Packed => self.name(),
        }
    }

    fn limit_bytes(self) -> usize {
        match self {
            Self::First => FIRST_LIMIT_BYTES,
            Self::Whole => WHOLE_LIMIT_BYTES,
            Self::Packed => PACKED_LIMIT_BYTES,
        }
    }
}

/// The binding generator's output for one wasm.
pub struct Bound {
    /// The module to instantiate: the same bytes serve both kinds of glue.
    pub wasm: Vec<u8>,
    /// Its gzip, as the page carries it.
    pub wasm_gzip: Vec<u8>,
    /// ES module glue for the main thread.
    pub module_js: String,
    /// Types of the glue, for `tsc`.
    pub module_types: String,
    /// Classic-script glue for the worker; it defines the global `wasm_bindgen`.
    pub script_js: String,
}

/// The modules of the page.
pub struct Modules {
    /// What the page starts with.
    pub first: Bound,
    /// What its worker changes to when more is asked of it.
    pub whole: Bound,
    /// What a worker of its own runs when a packed file comes.
    pub packed: Bound,
}

/// Builds `footing-web` for the browser, in every extent, and binds it.
pub fn build(house: &House) -> Result<Modules> {
    let toolchain = Toolchain::find(house)?;
    let module = |extent| -> Result<Bound> {
        let wasm = compile(house, &toolchain, extent)?;
        let bound = bind(house, &wasm)?;
        weigh(house, &bound, extent)?;
        Ok(bound)
    };
    Ok(Modules {
        first: module(Extent::First)?,
        whole: module(Extent::Whole)?,
        packed: module(Extent::Packed)?,
    })
}

fn compile(house: &House, toolchain: &Toolchain, extent: Extent) -> Result<PathBuf> {
    say(format!(
        "compiling footing-web to wasm, the {} module ({} compiler)",
        extent.name(),
        toolchain.name()
    ));
    // A folder of its own for each compiler: they would rebuild each other's work for ever.
    let target = house.target.join("wasm").join(toolchain.name());
    let mut command = house::cargo();
    command
        .current_dir(&house.root)
        .args(["build", "--release", "--package", "footing-web", "--lib"])
        .args(["--no-default-features", "--features", extent.feature()])
        .env("CARGO_TARGET_DIR", &target)
        // Size first: only the science is kept fast, by its own entry in the workspace's profile.
        .env("CARGO_PROFILE_RELEASE_OPT_LEVEL", "z")
        // The binding generator reads the compiler's list of target features and then drops it
        // with the names: stripping before that would leave it guessing.
        .env("CARGO_PROFILE_RELEASE_STRIP", "none");
    if matches!(extent, Extent::Whole) {
        // It holds everything, and comparing costs a fifth more time than it would at full speed; the
        // first module, which a first result waits for, keeps the workspace's own level.
        command.args([
            "--config",
            "profile.release.package.footing-core.opt-level=\"s\"",
        ]);
    }
    toolchain.apply(&mut command);
    run(&mut command)?;
    // All extents are written to the same place: what comes next reads a copy.
    let written = target.join(TARGET).join("release/footing_web.wasm");
    let copy = target.join(format!("{}.wasm", extent.name()));
    std::fs::copy(&written, &copy).with_context(|| format!("cannot copy {}", written.display()))?;
    Ok(copy)
}

fn bind(house: &House, wasm: &PathBuf) -> Result<Bound> {
    let bytes = std::fs::read(wasm).with_context(|| format!("cannot read {}", wasm.display()))?;
    let generator = |bytes: &[u8]| {
        let mut generator = Bindgen::new();
        generator
            .input_bytes("footing_web", bytes.to_vec())
            .remove_name_section(true)
            .remove_producers_section(true)
            .omit_default_module_path(true)
            .typescript(true);
        generator
    };
    let mut module = generator(&bytes)
        .web(true)?
        .generate_output()
        .context("binding for the main thread")?;
    let mut script = generator(&bytes)
        .no_modules(true)?
        .generate_output()
        .context("binding for the worker")?;
    let inline = module.snippets().values().any(|texts| !texts.is_empty());
    if inline || !module.local_modules().is_empty() {
        bail!(
            "dependencies bring JavaScript files of their own, which the page would not carry: \
             {:?} {:?}",
            module.snippets(),
            module.local_modules().keys()
        );
    }
    let wasm = module.wasm_mut().emit_wasm();
    if script.wasm_mut().emit_wasm() != wasm {
        bail!("the two kinds of glue want different wasm: the page carries only one");
    }
    Ok(Bound {
        wasm_gzip: smallest_gzip(house, &wasm)?,
        wasm,
        module_js: module.js().to_owned(),
        module_types: module.ts().unwrap_or_default().to_owned(),
        script_js: script.js().to_owned(),
    })
}

/// Gzip at its smallest, with no time in the header: the same bytes in give the same bytes out.
pub fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    Ok(encoder.finish()?)
}

/// Gzip by a compressor that takes its time: a few per cent less for everybody who loads the page. It takes seconds:
/// what it gave is kept for as long as the wasm stays the same.
fn smallest_gzip(house: &House, wasm: &[u8]) -> Result<Vec<u8>> {
    let kept = house
        .target
        .join("wasm")
        .join(format!("gzip-{}", house::fingerprint(wasm)));
    if let Ok(packed) = std::fs::read(&kept) {
        return Ok(packed);
    }
    let mut packed = Vec::new();
    let options = zopfli::Options {
        iteration_count: NonZeroU64::MIN.saturating_add(4),
        ..Default::default()
    };
    zopfli::compress(options, zopfli::Format::Gzip, wasm, &mut packed)?;
    std::fs::write(&kept, &packed).with_context(|| format!("cannot write {}", kept.display()))?;
    Ok(packed)
}

fn brotli_len(bytes: &[u8]) -> Result<usize> {
    let mut out = Vec::new();
    let parameters = brotli::enc::BrotliEncoderParams {
        quality: 11,
        lgwin: 24,
        ..Default::default()
    };
    brotli::BrotliCompress(&mut &bytes[..], &mut out, &parameters)?;
    Ok(out.len())
}

/// Prints the sizes and holds the wasm to its limit. Brotli takes seconds: its answer is kept
/// for as long as the wasm stays the same.
fn weigh(house: &House, bound: &Bound, extent: Extent) -> Result<()> {
    let kept = house
        .target
        .join("wasm")
        .join(format!("brotli-{}", house::fingerprint(&bound.wasm)));
    let brotli = match std::fs::read_to_string(&kept)
        .ok()
        .and_then(|text| text.parse().ok())
    {
        Some(length) => length,
        None => {
            let length = brotli_len(&bound.wasm)?;
            house::write(&kept, length.to_string())?;
            length
        }
    };
    say(format!(
        "{} module: {} bytes raw, {} gzip, {} brotli; glue {} + {} bytes",
        extent.name(),
        bound.wasm.len(),
        bound.wasm_gzip.len(),
        brotli,
        bound.module_js.len(),
        bound.script_js.len()
    ));
    within_limit(bound.wasm_gzip.len(), extent)
}

fn within_limit(gzip_bytes: usize, extent: Extent) -> Result<()> {
    let limit = extent.limit_bytes();
    if gzip_bytes >= limit {
        bail!(
            "the gzipped {} module has {gzip_bytes} bytes, expected fewer than {limit}: \
             see which dependency grew",
            extent.name()
        );
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_size_limit_bites() {
        for (extent, limit) in [
            (Extent::First, 350_000),
            (Extent::Whole, 500_000),
            (Extent::Packed, 375_000),
        ] {
            assert!(within_limit(limit - 1, extent).is_ok());
            let error = within_limit(limit, extent).unwrap_err().to_string();
            assert!(error.contains(&format!("{limit} bytes")), "{error}");
        }
    }

    #[test]
    fn gzip_is_repeatable_and_unpacks() {
        let text = b"the same bytes in give the same bytes out".repeat(50);
        let packed = gzip(&text).unwrap();
        assert_eq!(packed, gzip(&text).unwrap());
        assert!(packed.len() < text.len() / 4);
        let mut unpacked = Vec::new();
        let mut reader = flate2::read::GzDecoder::new(&packed[..]);
        std::io::Read::read_to_end(&mut reader, &mut unpacked).unwrap();
        assert_eq!(unpacked, text);
    }
}
