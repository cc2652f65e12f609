//! Zip archives of recordings, unpacked in memory within limits.
//!
//! **Source:** PKWARE, .ZIP File Format Specification (APPNOTE), for methods 0 (stored) and 8
//! (deflate); the container is read by `rawzip`, deflate by `miniz_oxide`.

use crate::Problem;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};
use rawzip::{CompressionMethod, ZipArchive, ZipSliceArchive, ZipVerification};

/// Files an archive may hold.
const MOST_FILES: usize = 2000;
/// Bytes one file may unpack to.
const MOST_BYTES: usize = 128 << 20;
/// Bytes all files together may unpack to.
const MOST_IN_ALL: usize = 256 << 20;
/// How many times its packed size a file may unpack to; tables of numbers reach about 20.
const MOST_TIMES: usize = 200;
/// Below this a ratio says nothing.
const SMALL: usize = 1 << 20;

const HINT: &str = "unpacking the archive and giving the recordings themselves";

/// Whether these bytes begin as a zip archive does. Spreadsheet workbooks are zip archives too:
/// ask [`is_workbook`] of one that is.
pub fn looks_like(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04")
}

/// Whether a zip archive is a spreadsheet workbook.
pub fn is_workbook(bytes: &[u8]) -> bool {
    const KEY: &[u8] = b"xl/workbook.";
    looks_like(bytes) && bytes.windows(KEY.len()).any(|window| window == KEY)
}

/// The files of an archive with their paths, in the archive's order; folders, hidden files and the
/// doubles that macOS adds are left out.
///
/// # Errors
/// A damaged or encrypted archive, another packing than deflate, or one that would unpack to more
/// than 128 MB a file, 256 MB in all or 200 times its size.
pub fn entries(name: &str, bytes: &[u8]) -> Result<Vec<(String, Vec<u8>)>, Problem> {
    let damaged = |what: String| {
        Problem::new(
            name,
            format!("the archive is damaged: {what}"),
            "a whole zip archive",
            "copying or packing it again",
        )
    };
    let archive: ZipSliceArchive<_> =
        ZipArchive::from_slice(bytes).map_err(|error| damaged(error.to_string()))?;
    let mut files = Vec::new();
    let (mut packed_in_all, mut in_all, mut seen) = (0_usize, 0_usize, 0_usize);
    let mut walk = archive.entries();
    while let Some(record) = walk
        .next_entry()
        .map_err(|error| damaged(error.to_string()))?
    {
        seen += 1;
        if seen > MOST_FILES {
            return Err(Problem::new(
                name,
                format!("the archive holds more than {MOST_FILES} files"),
                "an archive of recordings",
                HINT,
            ));
        }
        let path = path(record.file_path().as_bytes());
        if record.is_dir() || is_clutter(&path) {
            continue;
        }
        let shown = crate::text::shorten(&path);
        if record.flags().is_encrypted() {
            return Err(Problem::new(
                name,
                format!("\"{shown}\" in it is encrypted"),
                "an archive without a password",
                HINT,
            ));
        }
        let entry = archive
            .get_entry(record.wayfinder())
            .map_err(|error| damaged(error.to_string()))?;
        let packed = entry.data();
        // Entries that share bytes are a known way to swell an archive.
        packed_in_all = packed_in_all.saturating_add(packed.len());
        if packed_in_all > bytes.len() {
            return Err(damaged("its files overlap".to_owned()));
        }
        let limit = packed
            .len()
            .saturating_mul(MOST_TIMES)
            .clamp(SMALL, MOST_BYTES)
            .min(MOST_IN_ALL - in_all);
        let too_large = || {
            Problem::new(
                name,
                format!("\"{shown}\" in it unpacks to more than {limit} bytes"),
                "recordings of at most 128 MB, 256 MB in all, packed at most 200 times smaller",
                HINT,
            )
        };
        let unpacked = match record.compression_method() {
            CompressionMethod::STORE if packed.len() > limit => return Err(too_large()),
            CompressionMethod::STORE => packed.to_vec(),
            CompressionMethod::DEFLATE => {
                decompress_to_vec_with_limit(packed, limit).map_err(|error| match error.status {
                    TINFLStatus::HasMoreOutput => too_large(),
                    _ => damaged(format!("\"{shown}\" does not unpack")),
                })?
            }
            _ => {
                return Err(Problem::new(
                    name,
                    format!("\"{shown}\" in it is packed in an unusual way"),
                    "a zip archive packed by deflate, as every system makes",
                    HINT,
                ));
            }
        };
        let claim = entry.claim_verifier();
        let found = ZipVerification {
            crc: rawzip::crc32(&unpacked),
            uncompressed_size: unpacked.len() as u64,
        };
        claim
            .valid(found)
            .map_err(|_| damaged(format!("the checksum of \"{shown}\" differs")))?;
        in_all += unpacked.len();
        files.push((path, unpacked));
    }
    if files.is_empty() {
        return Err(Problem::new(
            name,
            "the archive holds no files",
            "an archive of recordings",
            HINT,
        ));
    }
    Ok(files)
}

/// A path for people: forward strokes, no control characters. It is only ever shown.
fn path(raw: &[u8]) -> String {
    String::from_utf8_lossy(raw)
        .replace('\\', "/")
        .replace(char::is_control, " ")
}

fn is_clutter(path: &str) -> bool {
    path.ends_with('/')
        || path
            .split('/')
            .any(|part| part.starts_with('.') || part == "__MACOSX")
}
