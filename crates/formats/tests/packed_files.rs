//! Zip archives and workbooks, written by other libraries than those that read them.
#![cfg(feature = "packed")]

use footing_formats::packed::{self, Inner, Kind, Unpacked};
use footing_formats::{Problem, archive, read, rig, wiring};
use rust_xlsxwriter::Workbook;
use std::io::{Cursor, Write};
use zip::write::{SimpleFileOptions, ZipWriter};

/// What the page can do something with.
const ALL: [Kind; 4] = [Kind::Rig, Kind::Recording, Kind::Session, Kind::Film];

/// An archive of files packed by deflate; names that end in a stroke are folders.
fn zip(files: &[(&str, &[u8])]) -> Vec<u8> {
    zip_with(files, SimpleFileOptions::default())
}

fn zip_with(files: &[(&str, &[u8])], options: SimpleFileOptions) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        if name.ends_with('/') {
            writer.add_directory(*name, options).expect("a folder");
            continue;
        }
        writer.start_file(*name, options).expect("an entry");
        writer.write_all(bytes).expect("bytes");
    }
    writer.finish().expect("an archive").into_inner()
}

const NAMES: [&str; 7] = ["Time", "Fx", "Fy", "Fz", "Mx", "My", "Mz"];

fn value(row: u32, column: u32) -> f64 {
    match column {
        0 => f64::from(row) / 1000.0,
        3 => 745.125 + f64::from(row % 7) / 3.0,
        c => f64::from(row % 11) * 0.1 - f64::from(c),
    }
}

fn csv(rows: u32) -> String {
    let mut text = NAMES.join(",") + "\n";
    for row in 0..rows {
        let cells: Vec<String> = (0..7)
            .map(|column| value(row, column).to_string())
            .collect();
        text += &(cells.join(",") + "\n");
    }
    text
}

fn fill(sheet: &mut rust_xlsxwriter::Worksheet, rows: u32) {
    sheet.write_string(0, 0, "Rate (Hz):").expect("a cell");
    sheet.write_number(0, 1, 1000.0).expect("a cell");
    for (column, name) in (0_u16..).zip(NAMES) {
        sheet.write_string(3, column, name).expect("a cell");
        for row in 0..rows {
            let number = value(row, u32::from(column));
            sheet.write_number(4 + row, column, number).expect("a cell");
        }
    }
}

fn save(mut book: Workbook) -> Vec<u8> {
    book.save_to_buffer().expect("a workbook")
}

/// A cover of words and one sheet of samples.
fn workbook(rows: u32) -> Vec<u8> {
    let mut book = Workbook::new();
    let cover = book.add_worksheet();
    cover
        .write_string(0, 0, "A cover, with words; only")
        .expect("a cell");
    fill(book.add_worksheet(), rows);
    save(book)
}

const RIG: &str = r#"{"format":"footing-rig/1","units":{"force":"N","moment":"N.m","length":"m","time":"s"},
 "time":{"column":"Time"},"plates":[{"foot":"both","kind":"six-component",
 "columns":{"fx":"Fx","fy":"Fy","fz":"Fz","mx":"Mx","my":"My","mz":"Mz"},
 "x_azimuth_deg":0,"z_axis":"up","centre_m":[0,0,0],"moment_point_m":[0,0,0]}]}"#;

fn names(unpacked: &Unpacked) -> Vec<&str> {
    unpacked.files.iter().map(|f| f.name.as_str()).collect()
}

fn text(inner: &Inner) -> &str {
    let (_, bytes) = inner
        .content
        .as_ref()
        .unwrap_or_else(|problem| panic!("{problem}"));
    std::str::from_utf8(bytes).expect("text")
}

fn problem<'a>(unpacked: &'a Unpacked, name: &str) -> &'a Problem {
    let inner = unpacked.files.iter().find(|f| f.name == name);
    let inner = inner.unwrap_or_else(|| panic!("no {name} in {:?}", names(unpacked)));
    inner.content.as_ref().expect_err("a refusal")
}

/// The only refusal of a file of which nothing can be had.
fn refusal(name: &str, bytes: &[u8]) -> Problem {
    let unpacked = packed::unpack(name, bytes, &ALL);
    assert_eq!(unpacked.files.len(), 1, "{:?}", names(&unpacked));
    problem(&unpacked, name).clone()
}

#[test]
fn a_workbook_reads_as_the_table_it_holds() {
    let book = workbook(300);
    assert!(packed::looks_like(&book) && archive::is_workbook(&book));
    let unpacked = packed::unpack("a.xlsx", &book, &ALL);
    assert_eq!(names(&unpacked), ["a.xlsx"]);
    assert_eq!(unpacked.left_out, None);
    let table = text(&unpacked.files[0]);
    let rig = rig::parse("x.rig.json", RIG.as_bytes()).expect("a rig");
    let from_book = read("a.xlsx", table.as_bytes(), Some(&rig)).unwrap_or_else(|p| panic!("{p}"));
    let from_text = read("a.csv", csv(300).as_bytes(), Some(&rig)).expect("the table");
    assert_eq!(from_book.recording, from_text.recording);
    let proposal = wiring::propose("a.xlsx", table.as_bytes()).unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(proposal.rig.plates.len(), 1);
}

#[test]
fn each_sheet_of_samples_is_a_recording_and_what_is_left_out_is_told() {
    let mut book = Workbook::new();
    for (name, rows) in [
        ("Swing 1", 60),
        ("Swing 2", 300),
        ("Summary", 6),
        ("Old", 300),
    ] {
        let sheet = book.add_worksheet();
        sheet.set_name(name).expect("a name");
        fill(sheet, rows);
        sheet.set_hidden(name == "Old");
    }
    let unpacked = packed::unpack("b.xlsx", &save(book), &ALL);
    assert_eq!(names(&unpacked), ["b.xlsx: Swing 1", "b.xlsx: Swing 2"]);
    assert!(text(&unpacked.files[0]).ends_with(csv(60).split_once('\n').expect("lines").1));
    let told = unpacked.left_out.expect("a sentence");
    assert!(
        told.starts_with("b.xlsx: read from “Swing 1”, “Swing 2”; left out, ")
            && told.contains("“Summary”")
            && told.contains("“Old”"),
        "{told}"
    );
}

#[test]
fn workbooks_that_cannot_be_read_say_why() {
    let book = workbook(40);
    for cut in [200, book.len() / 2, book.len() - 30] {
        let problem = refusal("c.xlsx", &book[..cut]);
        assert!(problem.what.contains("damaged"), "{problem}");
    }
    let mut words = Workbook::new();
    let sheet = words.add_worksheet();
    sheet.write_string(0, 0, "words").expect("a cell");
    let problem = refusal("w.xlsx", &save(words));
    assert!(problem.what.contains("no sheet"), "{problem}");
    // One far cell asks for a sheet of seventeen thousand million: it is refused, not laid out.
    let mut far = Workbook::new();
    let sheet = far.add_worksheet();
    sheet.write_number(0, 0, 1.0).expect("a cell");
    sheet.write_number(1_048_575, 16_383, 1.0).expect("a cell");
    let problem = refusal("f.xlsx", &save(far));
    assert!(problem.what.contains("too large"), "{problem}");
    // One long word in many cells is kept once in the workbook, and would be written out each time.
    let mut long = Workbook::new();
    let sheet = long.add_worksheet();
    let word = "word".repeat(8_000);
    for row in 0..2_000 {
        sheet.write_string(row, 0, &word).expect("a cell");
    }
    let problem = refusal("l.xlsx", &save(long));
    assert!(problem.what.contains("too large"), "{problem}");
    for (path, words) in [
        ("xl/workbook.bin", ".xlsb"),
        ("xl/workbook.xml", "cannot be read"),
    ] {
        let problem = refusal("o.xlsx", &zip(&[(path, b"x")]));
        assert!(problem.what.contains(words), "{problem}");
    }
    for path in ["content.xml", "[Content_Types].xml"] {
        let problem = refusal("o.odt", &zip(&[(path, b"<x/>")]));
        assert!(problem.what.contains("office program"), "{problem}");
    }
}

#[test]
fn an_archive_gives_what_it_holds_in_a_fit_order() {
    let table = csv(100);
    let rig = RIG.as_bytes();
    let bytes = zip(&[
        ("bay/", b""),
        ("bay/swing 10.csv", table.as_bytes()),
        ("bay/swing 2.csv", table.as_bytes()),
        ("notes.txt", b"Monday, bay 1: windy.\n"),
        ("bay/film.mp4", b"\0\0\0 ftyp"),
        ("photo.jpg", &[0xff, 0xd8, 0xff, 0xe0]),
        ("__MACOSX/bay/._swing 2.csv", b"x"),
        ("bay/.hidden", b"x"),
        ("Thumbs.db", b"x"),
        ("z/the.rig.json", rig),
    ]);
    let unpacked = packed::unpack("set.zip", &bytes, &ALL);
    assert_eq!(
        names(&unpacked),
        [
            "set.zip/z/the.rig.json",
            "set.zip/bay/film.mp4",
            "set.zip/bay/swing 2.csv",
            "set.zip/bay/swing 10.csv"
        ]
    );
    assert_eq!(text(&unpacked.files[0]), RIG);
    assert_eq!(text(&unpacked.files[2]), table);
    assert_eq!(
        unpacked.left_out.as_deref(),
        Some(
            "set.zip: left out 2 files that are no recordings (notes.txt, photo.jpg), 3 hidden files"
        )
    );
    let fewer = packed::unpack("set.zip", &bytes, &[Kind::Rig, Kind::Recording]);
    assert_eq!(fewer.files.len(), 3);
}

#[test]
fn a_workbook_in_an_archive_is_opened_and_an_archive_in_an_archive_is_not() {
    let (book, table) = (workbook(80), csv(80));
    let inner = zip(&[("one.csv", table.as_bytes())]);
    // Stored as it is, the workbook's own list of parts stands in the archive's bytes.
    let stored = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    let files: [(&str, &[u8]); 3] = [
        ("book.xlsx", &book),
        ("inner.zip", &inner),
        ("one.csv", table.as_bytes()),
    ];
    for bytes in [zip(&files), zip_with(&files, stored)] {
        assert!(!archive::is_workbook(&bytes));
        let unpacked = packed::unpack("p.zip", &bytes, &ALL);
        assert_eq!(
            names(&unpacked),
            ["p.zip/book.xlsx", "p.zip/inner.zip", "p.zip/one.csv"]
        );
        assert!(text(&unpacked.files[0]).contains("Time,Fx"));
        assert_eq!(
            problem(&unpacked, "p.zip/inner.zip").to_string(),
            "p.zip/inner.zip: it is an archive inside an archive; expected recordings in one archive; try unpacking the outer one first"
        );
    }
}

/// Changes a byte of every header of an entry, which are found by their mark and the entry's name.
fn with_headers(bytes: &mut [u8], name: &str, change: impl Fn(&mut [u8], usize)) {
    for (mark, flags, named) in [(b"PK\x03\x04", 6, 30), (b"PK\x01\x02", 8, 46)] {
        for at in 0..bytes.len().saturating_sub(named + name.len()) {
            if bytes[at..].starts_with(mark) && bytes[at + named..].starts_with(name.as_bytes()) {
                change(&mut bytes[at..], flags);
            }
        }
    }
}

#[test]
fn one_bad_entry_is_one_sentence_and_the_others_are_read() {
    let table = csv(100);
    let good = zip(&[
        ("one.csv", table.as_bytes()),
        ("two.csv", table.as_bytes()),
        ("three.csv", table.as_bytes()),
    ]);
    type Change = fn(&mut [u8], usize);
    let cases: [(&str, Change); 4] = [
        ("encrypted", |header, flags| header[flags] |= 1),
        ("unusual way", |header, flags| header[flags + 2] = 12),
        // The checksum, two fields of four bytes after the method.
        ("checksum", |header, flags| header[flags + 8] ^= 0x55),
        ("larger than stated", |header, flags| {
            header[flags + 16..flags + 20].copy_from_slice(&7_u32.to_le_bytes());
        }),
    ];
    for (words, change) in cases {
        let mut bytes = good.clone();
        with_headers(&mut bytes, "two.csv", change);
        let unpacked = packed::unpack("p.zip", &bytes, &ALL);
        assert_eq!(unpacked.files.len(), 3);
        let sentence = problem(&unpacked, "p.zip/two.csv").to_string();
        assert!(sentence.contains(words), "{words}: {sentence}");
        let read = unpacked.files.iter().filter(|f| f.content.is_ok());
        assert_eq!(read.map(text).collect::<Vec<_>>(), [&table, &table]);
    }
    // The form for files beyond 4 GB is no refusal.
    let large = SimpleFileOptions::default().large_file(true);
    let unpacked = packed::unpack(
        "p.zip",
        &zip_with(&[("a.csv", table.as_bytes())], large),
        &ALL,
    );
    assert_eq!(text(&unpacked.files[0]), table);
}

#[test]
fn bombs_and_damage_are_refused() {
    let zeros = vec![b'0'; 40 << 20];
    let bytes = zip(&[("zeros.csv", &zeros), ("one.csv", csv(100).as_bytes())]);
    let unpacked = packed::unpack("b.zip", &bytes, &ALL);
    let sentence = problem(&unpacked, "b.zip/zeros.csv").to_string();
    assert!(
        sentence.contains("it unpacks to 41943040 bytes"),
        "{sentence}"
    );
    assert!(unpacked.files[0].content.is_ok());
    // A thousand small bombs come to no more than a large one may.
    let zeros = vec![b'0'; 1 << 20];
    let many: Vec<String> = (0..1000).map(|i| format!("{i}.csv")).collect();
    let many: Vec<(&str, &[u8])> = many.iter().map(|n| (n.as_str(), &zeros[..])).collect();
    let bytes = zip(&many);
    let unpacked = packed::unpack("b.zip", &bytes, &ALL);
    let held = unpacked
        .files
        .iter()
        .filter_map(|f| f.content.as_ref().ok());
    let held: usize = held.map(|(_, bytes)| bytes.len()).sum();
    assert!(held <= archive::most_unpacked(bytes.len()), "{held}");

    let good = zip(&[("one.csv", csv(100).as_bytes())]);
    for cut in [10, good.len() / 2, good.len() - 4] {
        let problem = refusal("c.zip", &good[..cut]);
        assert!(problem.what.contains("damaged"), "cut at {cut}: {problem}");
    }
    for at in 0..good.len() {
        let mut broken = good.clone();
        broken[at] ^= 0x55;
        // Whatever a wrong byte does, what is read is what was packed.
        for file in packed::unpack("d.zip", &broken, &ALL).files {
            if let Ok((_, bytes)) = file.content {
                assert_eq!(bytes, csv(100).as_bytes(), "byte {at}");
            }
        }
    }
    let many: Vec<String> = (0..2100).map(|i| format!("{i}.csv")).collect();
    let many: Vec<(&str, &[u8])> = many.iter().map(|n| (n.as_str(), b"1".as_slice())).collect();
    let problem = refusal("m.zip", &zip(&many));
    assert!(problem.what.contains("more than 2000"), "{problem}");
    for nothing in [zip(&[]), zip(&[("a/", b"")])] {
        assert!(packed::looks_like(&nothing));
        let problem = refusal("e.zip", &nothing);
        assert!(problem.what.contains("no files"), "{problem}");
    }
}
