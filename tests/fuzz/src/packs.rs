//! Archives and workbooks: as they are, and workbooks from their parts too, since no mutation gets past a checksum.

use std::io::{Cursor, Write};

use footing_formats::packed::{self, Kind};
use footing_formats::{archive, sheets, table};
use zip::write::{SimpleFileOptions, ZipWriter};

use crate::target::check_sentence;

/// What opens a part of a workbook in an input: the path follows on the same line.
const PART: &str = "\n==== ";

/// Opens an input as an archive.
///
/// # Panics
/// When the reader does, gives more than it may, or a refusal is none.
pub fn archive(bytes: &[u8]) {
    let wanted = [Kind::Rig, Kind::Recording, Kind::Session, Kind::Film];
    let unpacked = packed::unpack("input.zip", bytes, &wanted);
    assert!(!unpacked.files.is_empty() || unpacked.left_out.is_some());
    let mut held = 0;
    for inner in unpacked.files {
        assert!(inner.name.starts_with("input.zip") && inner.name.len() < 1_000);
        match inner.content {
            Ok((_, bytes)) => held += bytes.len(),
            Err(problem) => check_sentence(&problem),
        }
    }
    // A workbook inside may come to a little more as text.
    assert!(
        held <= 2 * archive::most_unpacked(bytes.len()),
        "{held} bytes"
    );
    if let Some(told) = unpacked.left_out {
        assert!(told.len() < 10_000 && !told.contains('\n'));
    }
}

/// Opens an input as a workbook and as the parts of one.
///
/// # Panics
/// When the reader does, or a refusal is none.
pub fn workbook(bytes: &[u8]) {
    for file in [bytes.to_vec(), forged(bytes)] {
        let mut room = archive::most_unpacked(file.len());
        match sheets::read("input.xlsx", &file, &mut room) {
            Ok(book) => {
                assert!(!book.sheets.is_empty());
                for sheet in book.sheets {
                    assert!(sheet.text.ends_with('\n') && !sheet.text.contains('\r'));
                    if let Err(problem) = table::sniff("input.xlsx", sheet.text.as_bytes()) {
                        check_sentence(&problem);
                    }
                }
            }
            Err(problem) => check_sentence(&problem),
        }
    }
}

/// How many bytes an input unpacks to.
pub fn unpacked(bytes: &[u8]) -> usize {
    let mut room = archive::most_unpacked(bytes.len());
    let held = |bytes: &[u8], room: &mut usize| {
        let opened = archive::open("input", bytes, room);
        let entries = opened.map_or(Vec::new(), |archive| archive.entries);
        entries.into_iter().filter_map(|entry| entry.bytes.ok())
    };
    let outer: Vec<Vec<u8>> = held(bytes, &mut room).collect();
    let inner = |bytes: &Vec<u8>| -> usize {
        let mut inside = held(bytes, &mut room);
        inside.by_ref().map(|bytes| bytes.len()).sum()
    };
    outer.iter().map(Vec::len).sum::<usize>() + outer.iter().map(inner).sum::<usize>()
}

/// A workbook of the parts that an input names.
fn forged(bytes: &[u8]) -> Vec<u8> {
    let text = String::from_utf8_lossy(bytes);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for part in text.split(PART).skip(1) {
        let (path, content) = part.split_once('\n').unwrap_or((part, ""));
        // A path that is there twice is refused by the writer; the reader is given the first.
        if writer.start_file(path, stored).is_ok() {
            writer
                .write_all(content.as_bytes())
                .expect("room in memory");
        }
    }
    writer.finish().expect("an archive").into_inner()
}
