//! Zip archives and workbooks, written by other libraries than those that read them where there is
//! one.
#![cfg(feature = "xlsx")]

use footing_formats::{archive, read, rig, sheets, wiring};
use miniz_oxide::deflate::compress_to_vec;
use rawzip::{CompressionMethod, ZipArchiveWriter};
use rust_xlsxwriter::Workbook;
use std::io::Write;

/// An archive of files packed by deflate; a claim other than the truth makes it a bomb or damaged.
fn zip(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut archive = ZipArchiveWriter::new(&mut out);
    for (name, bytes) in files {
        if name.ends_with('/') {
            archive.new_dir(name).create().expect("a folder");
            continue;
        }
        let (mut entry, config) = archive
            .new_file(name)
            .compression_method(CompressionMethod::DEFLATE)
            .start()
            .expect("an entry");
        let mut writer = config.wrap(Packer(Vec::new()));
        writer.write_all(bytes).expect("bytes");
        let (packer, descriptor) = writer.finish().expect("a descriptor");
        entry
            .write_all(&compress_to_vec(&packer.0, 6))
            .expect("packed bytes");
        entry.finish(descriptor).expect("an entry");
    }
    archive.finish().expect("an archive");
    out
}

struct Packer(Vec<u8>);

impl Write for Packer {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
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

fn workbook(rows: u32) -> Vec<u8> {
    let mut book = Workbook::new();
    let cover = book.add_worksheet();
    cover
        .write_string(0, 0, "A cover, with words; only")
        .expect("a cell");
    let sheet = book.add_worksheet();
    sheet.write_string(0, 0, "Rate (Hz):").expect("a cell");
    sheet.write_number(0, 1, 1000.0).expect("a cell");
    for (column, name) in (0_u16..).zip(NAMES) {
        sheet.write_string(3, column, name).expect("a cell");
        for row in 0..rows {
            let number = value(row, u32::from(column));
            sheet.write_number(4 + row, column, number).expect("a cell");
        }
    }
    book.save_to_buffer().expect("a workbook")
}

const RIG: &str = r#"{"format":"footing-rig/1","units":{"force":"N","moment":"N.m","length":"m","time":"s"},
 "time":{"column":"Time"},"plates":[{"foot":"both","kind":"six-component",
 "columns":{"fx":"Fx","fy":"Fy","fz":"Fz","mx":"Mx","my":"My","mz":"Mz"},
 "x_azimuth_deg":0,"z_axis":"up","centre_m":[0,0,0],"moment_point_m":[0,0,0]}]}"#;

#[test]
fn a_workbook_reads_as_the_table_it_holds() {
    let book = workbook(300);
    assert!(sheets::looks_like(&book) && archive::is_workbook(&book));
    let rig = rig::parse("x.rig.json", RIG.as_bytes()).expect("a rig");
    let from_book = read("a.xlsx", &book, Some(&rig)).unwrap_or_else(|p| panic!("{p}"));
    let from_text = read("a.csv", csv(300).as_bytes(), Some(&rig)).expect("the table");
    assert_eq!(from_book.recording, from_text.recording);
    let text = sheets::to_table(&book).expect("a table");
    let proposal = wiring::propose("a.xlsx", text.as_bytes()).unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(proposal.rig.plates.len(), 1);
}

#[test]
fn workbooks_that_cannot_be_read_say_why() {
    let book = workbook(40);
    for cut in [200, book.len() / 2, book.len() - 30] {
        let problem = sheets::to_table(&book[..cut]).expect_err("a cut workbook");
        assert!(problem.what.contains("damaged"), "{problem}");
    }
    let mut empty = Workbook::new();
    empty
        .add_worksheet()
        .write_string(0, 0, "words")
        .expect("a cell");
    let problem =
        sheets::to_table(&empty.save_to_buffer().expect("a workbook")).expect_err("words");
    assert!(problem.what.contains("no sheet"), "{problem}");
    // One far cell asks for a sheet of seventeen thousand million: it is refused, not laid out.
    let mut far = Workbook::new();
    let sheet = far.add_worksheet();
    sheet.write_number(0, 0, 1.0).expect("a cell");
    sheet.write_number(1_048_575, 16_383, 1.0).expect("a cell");
    let problem = sheets::to_table(&far.save_to_buffer().expect("a workbook")).expect_err("far");
    assert!(problem.what.contains("too large"), "{problem}");
}

#[test]
fn an_archive_gives_its_recordings() {
    let text = csv(100);
    let bytes = zip(&[
        ("bay/", b""),
        ("bay/one.csv", text.as_bytes()),
        ("__MACOSX/bay/._one.csv", b"x"),
        ("bay/.hidden", b"x"),
        ("bay/two.csv", b"1,2\n"),
    ]);
    let files = archive::entries("set.zip", &bytes).unwrap_or_else(|p| panic!("{p}"));
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["bay/one.csv", "bay/two.csv"]);
    assert_eq!(files[0].1, text.as_bytes());
}

#[test]
fn bombs_and_damage_are_refused() {
    let zeros = vec![b'0'; 40 << 20];
    let problem = archive::entries("b.zip", &zip(&[("zeros.csv", &zeros)])).expect_err("a bomb");
    assert!(problem.what.contains("unpacks to more"), "{problem}");
    let good = zip(&[("one.csv", csv(100).as_bytes())]);
    for cut in [10, good.len() / 2, good.len() - 4] {
        assert!(
            archive::entries("c.zip", &good[..cut]).is_err(),
            "cut at {cut}"
        );
    }
    for at in 0..good.len().min(600) {
        let mut broken = good.clone();
        broken[at] ^= 0x55;
        // Whatever a wrong byte does, what is read is what was packed.
        if let Ok(files) = archive::entries("d.zip", &broken) {
            assert_eq!(files[0].1, csv(100).as_bytes(), "byte {at}");
        }
    }
    let many: Vec<String> = (0..2100).map(|i| format!("{i}.csv")).collect();
    let many: Vec<(&str, &[u8])> = many.iter().map(|n| (n.as_str(), b"1".as_slice())).collect();
    let problem = archive::entries("m.zip", &zip(&many)).expect_err("too many");
    assert!(problem.what.contains("more than 2000"), "{problem}");
    let problem = archive::entries("e.zip", &zip(&[("a/", b"")])).expect_err("nothing");
    assert!(problem.what.contains("no files"), "{problem}");
}
