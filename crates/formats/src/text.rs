//! Bytes to text: UTF-8, UTF-16 and, failing those, Windows-1252; and what is not text at all.
//!
//! **Source:** the Unicode Standard, ch. 3.10 and 23.8 for encoding forms and byte order marks;
//! WHATWG Encoding Standard, index windows-1252, for the legacy table (where the five unassigned
//! bytes map to the control characters of the same number).

use crate::Problem;
use std::borrow::Cow;

/// Windows-1252 from 0x80 to 0x9f; the rest of it is Latin-1.
const WINDOWS_1252_HIGH: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}',
    '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// How much of a file is looked at to tell text from binary data.
const HEAD: usize = 64 * 1024;

/// First bytes of files that people mistake for tables, and what to say.
const MAGIC: [(&[u8], &str, &str); 6] = [
    (
        b"PK\x03\x04",
        "a spreadsheet workbook or another zip archive",
        "saving the sheet as CSV in the program it comes from",
    ),
    (
        &[0xd0, 0xcf, 0x11, 0xe0],
        "an old spreadsheet workbook",
        "saving the sheet as CSV in the program it comes from",
    ),
    (&[0x1f, 0x8b], "gzip-compressed data", "unpacking it first"),
    (
        b"%PDF",
        "a PDF document",
        "exporting the numbers as CSV instead",
    ),
    (
        &[0xff, 0xd8, 0xff],
        "a picture",
        "the export file the picture was made from",
    ),
    (
        b"\x89PNG",
        "a picture",
        "the export file the picture was made from",
    ),
];

/// The text of a file, without a byte order mark.
///
/// # Errors
/// Binary data: one sentence that says what it is, where that can be told.
pub(crate) fn decode<'a>(name: &str, bytes: &'a [u8]) -> Result<Cow<'a, str>, Problem> {
    for (magic, what, hint) in MAGIC {
        if bytes.starts_with(magic) {
            return Err(Problem::new(name, format!("this is {what}"), "text", hint));
        }
    }
    let start = bytes.trim_ascii_start();
    for opening in [b"<!doctype html".as_slice(), b"<html"] {
        if start
            .get(..opening.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(opening))
        {
            return Err(Problem::new(
                name,
                "this is a web page",
                "the recording itself",
                "downloading it again: a page to sign in may have come instead",
            ));
        }
    }
    let text = if let Some(rest) = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]) {
        from_utf8_or_legacy(rest)
    } else if let Some(rest) = bytes.strip_prefix(&[0xff, 0xfe]) {
        Cow::Owned(from_utf16(name, rest, u16::from_le_bytes)?)
    } else if let Some(rest) = bytes.strip_prefix(&[0xfe, 0xff]) {
        Cow::Owned(from_utf16(name, rest, u16::from_be_bytes)?)
    } else {
        match bare_utf16(bytes) {
            Some(order) => Cow::Owned(from_utf16(name, bytes, order)?),
            None => from_utf8_or_legacy(bytes),
        }
    };
    refuse_binary(name, text.as_bytes())?;
    Ok(text)
}

fn from_utf8_or_legacy(bytes: &[u8]) -> Cow<'_, str> {
    match std::str::from_utf8(bytes) {
        Ok(text) => Cow::Borrowed(text),
        Err(_) => Cow::Owned(bytes.iter().map(|byte| from_windows_1252(*byte)).collect()),
    }
}

fn from_windows_1252(byte: u8) -> char {
    byte.checked_sub(0x80)
        .and_then(|index| WINDOWS_1252_HIGH.get(usize::from(index)).copied())
        .unwrap_or(char::from(byte))
}

fn from_utf16(name: &str, bytes: &[u8], order: fn([u8; 2]) -> u16) -> Result<String, Problem> {
    // An odd byte at the end is half a character of a file that was cut: the reader of the text
    // sees a last line that is cut.
    let (pairs, _) = bytes.as_chunks::<2>();
    let mut text = String::with_capacity(pairs.len());
    for unit in char::decode_utf16(pairs.iter().map(|pair| order(*pair))) {
        text.push(unit.map_err(|_| {
            Problem::new(
                name,
                "the text claims to be UTF-16 and is not",
                "text in UTF-8, UTF-16 or Windows-1252",
                "exporting the file again",
            )
        })?);
    }
    Ok(text)
}

/// The byte order of UTF-16 without a mark: tables are mostly ASCII, so every other byte is zero.
fn bare_utf16(bytes: &[u8]) -> Option<fn([u8; 2]) -> u16> {
    let (pairs, _) = bytes.get(..HEAD).unwrap_or(bytes).as_chunks::<2>();
    if pairs.len() < 2 {
        return None;
    }
    let first = pairs.iter().filter(|pair| pair[0] == 0).count();
    let second = pairs.iter().filter(|pair| pair[1] == 0).count();
    let (most, few) = (pairs.len() / 2, pairs.len() / 20);
    if second > most && first <= few {
        Some(u16::from_le_bytes)
    } else if first > most && second <= few {
        Some(u16::from_be_bytes)
    } else {
        None
    }
}

fn refuse_binary(name: &str, text: &[u8]) -> Result<(), Problem> {
    let head = text.get(..HEAD).unwrap_or(text);
    let odd = head
        .iter()
        .filter(|byte| {
            byte.is_ascii_control() && !matches!(byte, b'\t' | b'\n' | b'\r' | 0x0c | 0x1a | 0x1f)
        })
        .count();
    let has_nul = head.contains(&0);
    if has_nul || odd * 100 > head.len() {
        return Err(Problem::new(
            name,
            "this is binary data",
            "a table of text or a C3D file",
            "exporting the recording as CSV or C3D",
        ));
    }
    Ok(())
}

/// Text from a file, short enough for a sentence and free of control characters.
pub(crate) fn shorten(text: &str) -> String {
    const LONGEST: usize = 40;
    let clean = |c: char| if c.is_control() { ' ' } else { c };
    let mut short: String = text.trim().chars().take(LONGEST).map(clean).collect();
    if text.trim().chars().nth(LONGEST).is_some() {
        short.push('…');
    }
    short
}
