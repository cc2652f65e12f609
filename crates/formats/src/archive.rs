//! Zip archives, unpacked in memory within limits.
//!
//! **Source:** PKWARE, .ZIP File Format Specification (APPNOTE), for methods 0 (stored) and 8
//! (deflate); the container is read by `rawzip`, deflate by `miniz_oxide`.

use crate::Problem;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};
use rawzip::{
    CompressionMethod, ZipArchive, ZipFileHeaderRecord, ZipSliceArchive, ZipVerification,
};

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
/// Letters of a path that are shown.
const LONGEST_PATH: usize = 160;

const HINT: &str = "unpacking the archive and giving the recordings themselves";

/// Whether these bytes begin as a zip archive does, an empty one too. Spreadsheet workbooks are zip
/// archives: ask [`is_workbook`] of one that is.
pub fn looks_like(bytes: &[u8]) -> bool {
    [b"PK\x03\x04", b"PK\x05\x06"].contains(&bytes.first_chunk().unwrap_or(&[0; 4]))
}

/// Whether a zip archive is a spreadsheet workbook. Of a damaged one, whose list of files cannot be
/// read, this is a guess.
pub fn is_workbook(bytes: &[u8]) -> bool {
    const KEY: &[u8] = b"xl/workbook.";
    if !looks_like(bytes) {
        return false;
    }
    let Ok(archive) = ZipArchive::from_slice(bytes) else {
        return bytes.windows(KEY.len()).any(|window| window == KEY);
    };
    let mut walk = archive.entries();
    while let Ok(Some(record)) = walk.next_entry() {
        if record.file_path().as_bytes().starts_with(KEY) {
            return true;
        }
    }
    false
}

/// The most bytes that an archive of `packed` bytes may unpack to: 200 times its size and 1 MB, and
/// never more than 256 MB.
pub fn most_unpacked(packed: usize) -> usize {
    packed
        .saturating_mul(MOST_TIMES)
        .saturating_add(SMALL)
        .min(MOST_IN_ALL)
}

/// One file of an archive.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its path inside the archive, for people: forward strokes, no control characters.
    pub path: String,
    /// What it unpacks to, or why it does not.
    pub bytes: Result<Vec<u8>, Problem>,
}

/// What an archive holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Archive {
    /// Its files, in the archive's order.
    pub entries: Vec<Entry>,
    /// How many files systems put beside those of people were left out: hidden files, lists of
    /// thumbnails, the doubles that macOS adds, locks of office programs.
    pub hidden: usize,
}

/// Unpacks an archive. `room` is how many bytes may still be unpacked, [`most_unpacked`] at first;
/// what is unpacked is taken from it. A file that is damaged, encrypted, packed by another method
/// than deflate, or too large (128 MB, or 200 times its packed size) is a [`Problem`] in its place.
///
/// # Errors
/// When the list of files cannot be read, is empty, or names more than 2000.
pub fn open(name: &str, bytes: &[u8], room: &mut usize) -> Result<Archive, Problem> {
    let archive: ZipSliceArchive<_> =
        ZipArchive::from_slice(bytes).map_err(|error| damaged(name, error.to_string()))?;
    let (mut entries, mut hidden) = (Vec::new(), 0);
    let (mut packed_in_all, mut seen) = (0_usize, 0_usize);
    let mut walk = archive.entries();
    loop {
        let record = match walk.next_entry() {
            Ok(Some(record)) => record,
            Ok(None) => break,
            Err(error) if entries.is_empty() => return Err(damaged(name, error.to_string())),
            Err(error) => {
                // What was listed before the damage stands.
                let path = "(the rest)".to_owned();
                let bytes = Err(damaged(&below(name, &path), error.to_string()));
                entries.push(Entry { path, bytes });
                break;
            }
        };
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
        if record.is_dir() || path.ends_with('/') {
            continue;
        }
        if is_hidden(&path) {
            hidden += 1;
            continue;
        }
        let bytes = one(
            &below(name, &path),
            &archive,
            &record,
            &mut packed_in_all,
            room,
        );
        entries.push(Entry { path, bytes });
    }
    if entries.is_empty() {
        return Err(Problem::new(
            name,
            "the archive holds no files",
            "an archive of recordings",
            HINT,
        ));
    }
    Ok(Archive { entries, hidden })
}

/// The name of a file inside another.
pub(crate) fn below(name: &str, path: &str) -> String {
    format!("{name}/{path}")
}

fn damaged(name: &str, what: String) -> Problem {
    Problem::new(
        name,
        format!("the file is damaged: {what}"),
        "a whole zip archive or workbook",
        "copying or making it again",
    )
}

fn one(
    name: &str,
    archive: &ZipSliceArchive<&[u8]>,
    record: &ZipFileHeaderRecord<'_>,
    packed_in_all: &mut usize,
    room: &mut usize,
) -> Result<Vec<u8>, Problem> {
    if record.flags().is_encrypted() {
        return Err(Problem::new(
            name,
            "it is encrypted",
            "a file packed without a password",
            HINT,
        ));
    }
    let entry = archive
        .get_entry(record.wayfinder())
        .map_err(|error| damaged(name, error.to_string()))?;
    let packed = entry.data();
    // Entries that share bytes are a known way to swell an archive.
    *packed_in_all = packed_in_all.saturating_add(packed.len());
    if *packed_in_all > archive.get_ref().len() {
        return Err(damaged(name, "files in it overlap".to_owned()));
    }
    let limit = packed
        .len()
        .saturating_mul(MOST_TIMES)
        .clamp(SMALL, MOST_BYTES)
        .min(*room);
    let size = usize::try_from(record.uncompressed_size_hint()).unwrap_or(usize::MAX);
    if size > limit {
        return Err(Problem::new(
            name,
            format!("it unpacks to {size} bytes, more than the {limit} it may"),
            "files of at most 128 MB, 256 MB in all, packed at most 200 times smaller",
            HINT,
        ));
    }
    // Taken whether or not it unpacks: the work is the same.
    *room -= size;
    let unpacked = match record.compression_method() {
        CompressionMethod::STORE if packed.len() != size => {
            return Err(damaged(name, "its size is not as stated".to_owned()));
        }
        CompressionMethod::STORE => packed.to_vec(),
        // One byte more, so that the end of the packed data is seen.
        CompressionMethod::DEFLATE => {
            decompress_to_vec_with_limit(packed, size + 1).map_err(|error| {
                damaged(
                    name,
                    match error.status {
                        TINFLStatus::HasMoreOutput => "it is larger than stated".to_owned(),
                        _ => "it does not unpack".to_owned(),
                    },
                )
            })?
        }
        _ => {
            return Err(Problem::new(
                name,
                "it is packed in an unusual way",
                "a zip archive packed by deflate, as every system makes",
                HINT,
            ));
        }
    };
    let found = ZipVerification {
        crc: rawzip::crc32(&unpacked),
        uncompressed_size: unpacked.len() as u64,
    };
    entry
        .claim_verifier()
        .valid(found)
        .map_err(|_| damaged(name, "its checksum differs".to_owned()))?;
    Ok(unpacked)
}

fn path(raw: &[u8]) -> String {
    let clean = String::from_utf8_lossy(raw)
        .replace('\\', "/")
        .replace(char::is_control, " ");
    let letters = clean.chars().count();
    if letters <= LONGEST_PATH {
        return clean;
    }
    // The end names the file.
    clean.chars().skip(letters - LONGEST_PATH).collect()
}

fn is_hidden(path: &str) -> bool {
    let beside = |part: &str| {
        part.starts_with('.')
            || part.starts_with("~$")
            || ["__macosx", "thumbs.db", "desktop.ini"].contains(&&*part.to_ascii_lowercase())
    };
    path.split('/').any(beside)
}
