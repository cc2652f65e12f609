//! Ways to damage a file.

use rand::RngExt;
use rand_pcg::Pcg64Mcg;

use crate::target::Target;

/// Values at which counts, lengths and signs go wrong.
const WORDS: [u16; 12] = [
    0, 1, 2, 6, 127, 255, 256, 512, 0x7fff, 0x8000, 0xfffe, 0xffff,
];
const FLOATS: [u32; 8] = [
    0,
    0x7f80_0000, // infinity
    0x7fc0_0000, // not a number
    0x7f7f_ffff, // largest
    0xbf80_0000, // −1
    0x0000_0001, // smallest
    0x447a_0000, // 1000
    0x8000_0000, // −0
];
const TOKENS: [&str; 30] = [
    "\n",
    "\r\n",
    "\r",
    "\t",
    ";",
    ",",
    "\"",
    "\"\"",
    "NaN",
    "inf",
    "-",
    "1e308",
    "-1e-308",
    "1,5",
    "0",
    "1",
    "999999999999",
    "endheader\n",
    "nRows=99999999\n",
    "datarows 4294967296\n",
    "Time",
    "Fz1",
    "\u{feff}",
    "\0",
    "Rate (Hz):\t0",
    "{",
    "}",
    "[",
    "null",
    "\\u0000",
];
/// What goes wrong in the parts of a workbook.
const XML: [&str; 18] = [
    "<c r=\"XFD1048576\"><v>1</v></c>",
    "<c r=\"A0\"><v>1</v></c>",
    "<c r=\"ZZZZZZZ99999999999\"><v>1</v></c>",
    "<c t=\"s\"><v>4294967296</v></c>",
    "<c t=\"s\"><v>-1</v></c>",
    "<c s=\"65536\"><v>1</v></c>",
    "<c><f t=\"shared\" ref=\"A1:XFD1048576\" si=\"4000000000\">A1</f></c>",
    "<c t=\"d\"><v>0000-00-00T99:99:99</v></c>",
    "<row r=\"4294967295\">",
    "</row>",
    "<dimension ref=\"A1:XFD1048576\"/>",
    "<mergeCell ref=\"B2:A1\"/>",
    "&#x0;",
    "&#x110000;",
    "]]>",
    "<!--",
    "<?xml version=\"1.0\" encoding=\"Shift_JIS\"?>",
    "\n==== xl/worksheets/sheet1.xml\n",
];
/// Inputs stay small so that many are tried.
const LARGEST: usize = 1 << 20;

/// A damaged copy of `input`; `other` lends pieces.
pub fn mutate(target: Target, input: &[u8], other: &[u8], random: &mut Pcg64Mcg) -> Vec<u8> {
    let mut bytes = input.to_vec();
    for _ in 0..random.random_range(1..=6) {
        once(target, &mut bytes, other, random);
    }
    bytes.truncate(LARGEST);
    bytes
}

fn once(target: Target, bytes: &mut Vec<u8>, other: &[u8], random: &mut Pcg64Mcg) {
    if bytes.is_empty() {
        bytes.extend_from_slice(other);
        return;
    }
    let at = place(target, bytes.len(), random);
    match random.random_range(0..10) {
        0 => bytes[at] ^= 1 << random.random_range(0..8),
        1 => bytes[at] = random.random(),
        2 => bytes.truncate(at),
        3 => {
            let piece = piece(other, random);
            bytes.splice(at..at, piece);
        }
        4 => {
            let end = (at + random.random_range(1..64)).min(bytes.len());
            bytes.drain(at..end);
        }
        5 => {
            let own = piece(bytes, random);
            bytes.splice(at..at, own);
        }
        6 if target == Target::C3d => {
            let value = FLOATS[random.random_range(0..FLOATS.len())];
            write(bytes, at, &either_end(&value.to_be_bytes(), random));
        }
        6 if target == Target::Sheets => {
            let token = XML[random.random_range(0..XML.len())];
            bytes.splice(at..at, token.bytes());
        }
        6 | 7 if target != Target::C3d => {
            let token = TOKENS[random.random_range(0..TOKENS.len())];
            bytes.splice(at..at, token.bytes());
        }
        _ => {
            let value = WORDS[random.random_range(0..WORDS.len())];
            write(bytes, at, &either_end(&value.to_be_bytes(), random));
        }
    }
}

/// Half of the time in a C3D's header or parameters, on a whole word: there the lengths are.
fn place(target: Target, length: usize, random: &mut Pcg64Mcg) -> usize {
    let near = match target {
        Target::C3d if random.random() => length.min(3_072),
        _ => length,
    };
    let at = random.random_range(0..near);
    if random.random() { at & !1 } else { at }
}

fn either_end(bytes: &[u8], random: &mut Pcg64Mcg) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    if random.random() {
        bytes.reverse();
    }
    bytes
}

fn write(bytes: &mut [u8], at: usize, value: &[u8]) {
    for (slot, &b) in bytes.iter_mut().skip(at).zip(value) {
        *slot = b;
    }
}

fn piece(from: &[u8], random: &mut Pcg64Mcg) -> Vec<u8> {
    if from.is_empty() {
        return Vec::new();
    }
    let start = random.random_range(0..from.len());
    let end = (start + random.random_range(1..512)).min(from.len());
    from[start..end].to_vec()
}
