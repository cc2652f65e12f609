//! Around the body: version, length, checksum; and finding all that in what people paste.
//!
//! ```text
//! bytes    version (1)   length of the body (1–2, seven bits each, low first)   body   CRC-32 (4, low first)
//! spelt    #f1=…  base64url and a letter        #F1:…  41 characters and a letter
//! ```
//! The number in the tag is the version, so that even a page that cannot read the rest knows it.

use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

use crate::alphabet::Spelling;
use crate::refusal::Refusal;
use crate::shared::Shared;
use crate::versions::{LATEST, reader};

const CHECKSUM: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);

/// The longest body; a rich comparison is a tenth of it.
pub const BODY_LIMIT: usize = 8_191;
/// Text beyond this many bytes is not looked at.
const TEXT_LIMIT: usize = 65_536;
/// Links looked for in one text.
const TAGS_LIMIT: usize = 4;
/// How often a link may have been percent-encoded over.
const PERCENT_ROUNDS: usize = 3;

/// Version, length, body, checksum; `None` when the body is too long.
pub fn wrap(body: &[u8]) -> Option<Vec<u8>> {
    if body.len() > BODY_LIMIT {
        return None;
    }
    let mut bytes = vec![LATEST as u8];
    let mut length = body.len();
    while length > 0x7f {
        bytes.push(length as u8 | 0x80);
        length >>= 7;
    }
    bytes.push(length as u8);
    bytes.extend(body);
    bytes.extend(CHECKSUM.checksum(&bytes).to_le_bytes());
    Some(bytes)
}

/// The fragment with its `#`.
pub fn fragment(bytes: &[u8], spelling: Spelling) -> String {
    let mark = match spelling {
        Spelling::Link => format!("#f{LATEST}="),
        Spelling::Qr => format!("#F{LATEST}:"),
    };
    mark + &spelling.spell(bytes)
}

/// Finds a link in a text and opens it.
pub fn open(text: &str) -> Result<Shared, Refusal> {
    let text = unescaped(within_limit(text));
    let mut refusal = Refusal::NotALink;
    for (place, tag) in tags(&text).take(TAGS_LIMIT).enumerate() {
        match tag.open() {
            Ok(shared) => return Ok(shared),
            // Of several links that cannot be opened, the first is meant.
            Err(found) if place == 0 => refusal = found,
            Err(_) => {}
        }
    }
    Err(refusal)
}

fn within_limit(text: &str) -> &str {
    let mut end = text.len().min(TEXT_LIMIT);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    &text[..end]
}

/// Unseen characters taken out and percent-encoding undone, also when it was done over and over. No character of a link is a `%`, so this
/// harms none.
fn unescaped(text: &str) -> String {
    // Characters that take no room come in where a page allows a line to break.
    let unseen = ['\u{ad}', '\u{200b}', '\u{2060}', '\u{feff}'];
    let mut text: String = text.chars().filter(|c| !unseen.contains(c)).collect();
    for _ in 0..PERCENT_ROUNDS {
        if !text.contains('%') {
            break;
        }
        let bytes = text.as_bytes();
        let mut out = Vec::with_capacity(bytes.len());
        let mut i = 0;
        while i < bytes.len() {
            let digit = |at: usize| bytes.get(at).and_then(|b| char::from(*b).to_digit(16));
            match (bytes[i], digit(i + 1), digit(i + 2)) {
                (b'%', Some(high), Some(low)) => {
                    out.push((high << 4 | low) as u8);
                    i += 3;
                }
                (byte, ..) => {
                    out.push(byte);
                    i += 1;
                }
            }
        }
        text = String::from_utf8_lossy(&out).into_owned();
    }
    text
}

/// A tag and the text after it.
struct Tag<'a> {
    version: u32,
    spelling: Spelling,
    rest: &'a str,
}

/// Every `#f1=` or `#F1:` in a text, and one without its `#` at the very beginning.
fn tags(text: &str) -> impl Iterator<Item = Tag<'_>> {
    let bare = text.trim_start_matches(|c: char| c.is_whitespace() || "<\"'(«".contains(c));
    let after_hash = text.match_indices('#').map(|(at, _)| &text[at + 1..]);
    std::iter::once(bare).chain(after_hash).filter_map(tag)
}

fn tag(text: &str) -> Option<Tag<'_>> {
    let rest = text.strip_prefix(['f', 'F'])?;
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    // Longer numbers overflow and are no version of ours.
    let version = rest[..digits].parse().ok().filter(|version| *version > 0)?;
    let rest = &rest[digits..];
    let (spelling, rest) = match rest.strip_prefix('=') {
        Some(rest) => (Spelling::Link, rest),
        None => (Spelling::Qr, rest.strip_prefix(':')?),
    };
    Some(Tag {
        version,
        spelling,
        rest,
    })
}

impl Tag<'_> {
    fn open(&self) -> Result<Shared, Refusal> {
        let Some(read) = reader(self.version) else {
            return Err(Refusal::Newer {
                version: self.version,
            });
        };
        let opened = |letters: &[u8]| {
            let bytes = payload(letters, self.spelling)?;
            let body = unwrap(&bytes, self.version)?;
            read(body).map_err(|_| Refusal::Damaged)
        };
        // Words after the link are not part of it, a line broken by a mail program is; if that
        // does not open it, blanks may have come into it.
        let first = opened(&letters(self.rest, self.spelling, true));
        first.or_else(|refusal| {
            opened(&letters(self.rest, self.spelling, false)).map_err(|_| refusal)
        })
    }
}

/// Letters of the alphabet, whatever else is between them left out. With `to_blank`, up to
/// the first white space that is not at a line's end.
fn letters(text: &str, spelling: Spelling, to_blank: bool) -> Vec<u8> {
    let mut found = Vec::new();
    let mut chars = text.chars().peekable();
    // Enough for the longest body, and the length says where to stop.
    let limit = spelling.length(BODY_LIMIT + 16);
    while let Some(c) = chars.next() {
        if c.is_whitespace() {
            let mut line_end = c == '\n' || c == '\r';
            while let Some(c) = chars.next_if(|c| c.is_whitespace() || *c == '>') {
                line_end |= c == '\n' || c == '\r';
            }
            if to_blank && !line_end && !found.is_empty() {
                break;
            }
        } else if let Some(letter) = spelling.letter(c) {
            found.push(letter);
        }
        if found.len() == limit {
            break;
        }
    }
    found
}

/// The bytes that the letters spell, cut to the length they state.
fn payload(letters: &[u8], spelling: Spelling) -> Result<Vec<u8>, Refusal> {
    let whole = spelling.whole(letters.len());
    let head = spelling.length(6).min(whole);
    let head = spelling.bytes(&letters[..head]).ok_or(Refusal::Damaged)?;
    let (body, header) = stated_length(&head)?;
    let all = header + body + 4;
    let expected = spelling.length(all);
    if letters.len() < expected {
        // The letter at the end is missing too.
        return Err(Refusal::CutShort {
            missing: Some(expected + 1 - letters.len()),
        });
    }
    spelling.bytes(&letters[..expected]).ok_or(Refusal::Damaged)
}

/// Length of the body and of what precedes it.
fn stated_length(bytes: &[u8]) -> Result<(usize, usize), Refusal> {
    let cut = Refusal::CutShort { missing: None };
    let low = usize::from(*bytes.get(1).ok_or(cut)?);
    if low < 0x80 {
        return Ok((low, 2));
    }
    let high = usize::from(*bytes.get(2).ok_or(cut)?);
    let length = high << 7 | (low & 0x7f);
    if high == 0 || length > BODY_LIMIT {
        return Err(Refusal::Damaged);
    }
    Ok((length, 3))
}

/// The body, if checksum and version are right.
fn unwrap(bytes: &[u8], version: u32) -> Result<&[u8], Refusal> {
    let (length, header) = stated_length(bytes)?;
    let (bytes, checksum) = bytes
        .split_at_checked(header + length)
        .ok_or(Refusal::Damaged)?;
    if CHECKSUM.checksum(bytes).to_le_bytes() != *checksum || u32::from(bytes[0]) != version {
        return Err(Refusal::Damaged);
    }
    Ok(&bytes[header..])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The check value of CRC-32/ISO-HDLC in Williams' catalogue: 0xCBF43926 for "123456789".
    #[test]
    fn checksum_is_the_common_one() {
        assert_eq!(CHECKSUM.checksum(b"123456789"), 0xcbf4_3926);
    }

    #[test]
    fn lengths_of_one_and_two_bytes() {
        for length in [0, 1, 127, 128, 300, BODY_LIMIT] {
            let bytes = wrap(&vec![7; length]).unwrap();
            let header = if length > 127 { 3 } else { 2 };
            assert_eq!(stated_length(&bytes), Ok((length, header)));
            assert_eq!(unwrap(&bytes, 1), Ok(&vec![7; length][..]));
            assert_eq!(unwrap(&bytes, 2), Err(Refusal::Damaged));
        }
        assert_eq!(wrap(&vec![7; BODY_LIMIT + 1]), None);
    }
}
