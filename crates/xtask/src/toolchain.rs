//! Three ways to a compiler for `wasm32-unknown-unknown`, tried in this order:
//!
//! 1. the compiler's own target folder really holds a standard library;
//! 2. `rustup target add` brings it (it may be refused or out of reach: that is no error);
//! 3. Debian's `rustc-web` with `rust-web-src`, whose standard library is built once and kept in
//!    `target/wasm-sysroot`.
//!
//! `FOOTING_WASM_WAY=debian` forces the third, `FOOTING_WASM_WAY=rustup` forbids it. The two
//! compilers give different bytes for the same source: nothing may depend on wasm bytes.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

use crate::house::{self, House, output_of, run, say};

/// The target that browsers run.
pub const TARGET: &str = "wasm32-unknown-unknown";

/// Debian's compiler with browsers in mind, and the source of its standard library.
const DEBIAN_PACKAGES: [&str; 2] = ["rustc-web", "rust-web-src"];
const DEBIAN_RUSTC: &str = "/usr/bin/rustc";

/// How our crates become wasm on this machine.
pub enum Toolchain {
    /// The everyday compiler knows the target.
    Rustup,
    /// Debian's compiler with a standard library of our own building.
    Debian {
        /// Holds `lib/rustlib/wasm32-unknown-unknown/lib`.
        sysroot: PathBuf,
        /// A linker for wasm.
        linker: PathBuf,
    },
}

impl Toolchain {
    /// Finds the first way that works here, installing what it needs.
    pub fn find(house: &House) -> Result<Self> {
        let way = std::env::var("FOOTING_WASM_WAY").unwrap_or_default();
        match way.as_str() {
            "" => {
                if present() || added() {
                    return Ok(Self::Rustup);
                }
                say("no wasm target from rustup here: taking Debian's compiler");
                debian(house)
            }
            "rustup" => {
                if present() || added() {
                    return Ok(Self::Rustup);
                }
                bail!(
                    "FOOTING_WASM_WAY=rustup, but `rustup target add {TARGET}` gave no standard \
                     library; unset it to let Debian's compiler be used"
                );
            }
            "debian" => debian(house),
            other => bail!("FOOTING_WASM_WAY={other}: expected `rustup` or `debian`, or unset"),
        }
    }

    /// A one-word name, for folders and messages.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Rustup => "rustup",
            Self::Debian { .. } => "debian",
        }
    }

    /// Makes a cargo command build for wasm this way.
    pub fn apply(&self, command: &mut Command) {
        command.args(["--target", TARGET]);
        // Flags from outside would silently replace the ones set here.
        command.env_remove("RUSTFLAGS");
        command.env_remove("CARGO_ENCODED_RUSTFLAGS");
        if let Self::Debian { sysroot, linker } = self {
            command.env("RUSTC", DEBIAN_RUSTC);
            command.env(
                "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS",
                format!("--sysroot={}", sysroot.display()),
            );
            command.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
        }
    }
}

/// The compiler prints the target's folder even when it is absent: look inside.
fn present() -> bool {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let Ok(output) = Command::new(rustc)
        .args(["--print", "target-libdir", "--target", TARGET])
        .stderr(Stdio::null())
        .output()
    else {
        return false;
    };
    let folder = String::from_utf8_lossy(&output.stdout);
    holds_std(Path::new(folder.trim()))
}

fn holds_std(folder: &Path) -> bool {
    std::fs::read_dir(folder).is_ok_and(|entries| {
        entries.flatten().any(|entry| {
            let name = entry.file_name();
            let name = name.to_string_lossy();
            name.starts_with("libstd-") && name.ends_with(".rlib")
        })
    })
}

fn added() -> bool {
    if house::on_path("rustup").is_none() {
        return false;
    }
    say(format!("rustup target add {TARGET}"));
    let asked = Command::new("rustup")
        .args(["target", "add", TARGET])
        .status();
    asked.is_ok_and(|status| status.success()) && present()
}

/// The version that `rustc -vV` tells, as two numbers; one that it does not tell is as old as can be.
fn release(version: &str) -> (u32, u32) {
    let line = version
        .lines()
        .find_map(|line| line.strip_prefix("release: "));
    let mut parts = line
        .unwrap_or("")
        .split('.')
        .map(|part| part.parse().unwrap_or(0));
    (parts.next().unwrap_or(0), parts.next().unwrap_or(0))
}

/// Whether Debian's compiler is here and new enough for these crates.
fn debian_serves() -> bool {
    let needed = release(concat!("release: ", env!("CARGO_PKG_RUST_VERSION")));
    Path::new(DEBIAN_SOURCE).exists()
        && output_of(Command::new(DEBIAN_RUSTC).arg("-vV"))
            .is_ok_and(|version| release(&version) >= needed)
}

fn debian(house: &House) -> Result<Toolchain> {
    if !debian_serves() {
        crate::install::debian(&DEBIAN_PACKAGES, "to build wasm without rustup's target")?;
    }
    let linker = linker()?;
    let version = output_of(Command::new(DEBIAN_RUSTC).arg("-vV"))?;
    let sysroot = house
        .target
        .join("wasm-sysroot")
        .join(house::fingerprint(&version));
    let library = sysroot.join("lib/rustlib").join(TARGET).join("lib");
    if !holds_std(&library) {
        let first = version.lines().next().unwrap_or("Debian's rustc");
        say(format!(
            "building the standard library once for wasm with {first}"
        ));
        build_std(&sysroot, &library, &linker)?;
    }
    Ok(Toolchain::Debian { sysroot, linker })
}

const DEBIAN_SOURCE: &str = "/usr/lib/rustlib/src/rust/library/std/Cargo.toml";

/// rustup's own `rust-lld`, else the one that Debian's `lld` brings.
fn linker() -> Result<PathBuf> {
    let asked = Command::new("rustc")
        .args(["--print", "sysroot"])
        .stderr(Stdio::null())
        .output();
    if let Ok(output) = asked {
        let sysroot = PathBuf::from(String::from_utf8_lossy(&output.stdout).trim());
        let hosts = std::fs::read_dir(sysroot.join("lib/rustlib"));
        let found = hosts
            .into_iter()
            .flatten()
            .flatten()
            .map(|host| host.path().join("bin/rust-lld"))
            .find(|file| file.is_file());
        if let Some(file) = found {
            return Ok(file);
        }
    }
    if let Some(file) = house::on_path("wasm-ld") {
        return Ok(file);
    }
    crate::install::debian(&["lld"], "for its wasm linker")?;
    house::on_path("wasm-ld")
        .context("no wasm linker: expected `rust-lld` from rustup or `wasm-ld` from Debian's lld")
}

/// Builds the standard library through an empty crate, then keeps only its rlibs. The finished
/// folder gets its name last, so that an interrupted build is not mistaken for a whole one.
fn build_std(sysroot: &Path, library: &Path, linker: &Path) -> Result<()> {
    let work = sysroot.with_extension("build");
    house::write(
        &work.join("Cargo.toml"),
        "[package]\nname = \"empty\"\nedition = \"2024\"\n\n[lib]\npath = \"empty.rs\"\n\n\
         [profile.release]\nopt-level = 3\ncodegen-units = 1\npanic = \"abort\"\n\n[workspace]\n",
    )?;
    house::write(&work.join("empty.rs"), "")?;
    run(house::cargo()
        .current_dir(&work)
        .args(["build", "--release", "--target", TARGET])
        .args(["-Zbuild-std=std,panic_abort", "-Zbuild-std-features="])
        .env("RUSTC_BOOTSTRAP", "1")
        .env("RUSTC", DEBIAN_RUSTC)
        .env("CARGO_TARGET_DIR", work.join("target"))
        .env_remove("RUSTFLAGS")
        .env_remove("CARGO_ENCODED_RUSTFLAGS")
        // Fat LTO reads bitcode out of the rlibs; cargo would leave it out of this empty build.
        .env(
            "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS",
            "-Cembed-bitcode=yes",
        )
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker))?;

    let built = work.join("target").join(TARGET).join("release/deps");
    std::fs::create_dir_all(library)
        .with_context(|| format!("cannot make {}", library.display()))?;
    let mut rlibs: Vec<PathBuf> = house::sorted(&built)?
        .into_iter()
        .filter(|file| file.extension().is_some_and(|kind| kind == "rlib"))
        .filter(|file| {
            !file
                .file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with("libempty"))
        })
        .collect();
    // `libstd` is what the next run looks for: it is copied when all the others are there.
    rlibs.sort_by_key(|file| {
        file.file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with("libstd-"))
    });
    for file in &rlibs {
        std::fs::copy(file, library.join(file.file_name().unwrap_or_default()))
            .with_context(|| format!("cannot copy {}", file.display()))?;
    }
    if !holds_std(library) {
        bail!("the build in {} gave no libstd rlib", work.display());
    }
    std::fs::remove_dir_all(&work).with_context(|| format!("cannot remove {}", work.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_older_compiler_is_told_from_a_newer_one() {
        let debian =
            "rustc 1.85.0 (4d91de4e4 2025-02-17)\nbinary: rustc\nrelease: 1.85.0\nhost: x\n";
        assert_eq!(release(debian), (1, 85));
        assert!(release(debian) < release("release: 1.95"));
        assert!(release("release: 1.100.1-nightly") > release("release: 1.95"));
        assert_eq!(release("no such line"), (0, 0));
    }
}
