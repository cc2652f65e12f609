//! Files with recordings inside: zip archives and spreadsheet workbooks. What comes out goes on as
//! any other file does.

use crate::{Problem, archive, c3d, rig, sheets, text};
use std::cmp::Ordering;

/// What a file inside another is, by its bytes and, where those do not tell, by its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A rig file.
    Rig,
    /// A C3D file or a table of numbers.
    Recording,
    /// A session that the page saved.
    Session,
    /// A film.
    Film,
    /// None of these.
    Other,
}

/// A file that was inside another.
#[derive(Debug, Clone, PartialEq)]
pub struct Inner {
    /// The outer file's name and where it was in it: `pack.zip/bay/one.c3d`, `book.xlsx: Sheet1`.
    pub name: String,
    /// What it is and its bytes, or why it cannot be had.
    pub content: Result<(Kind, Vec<u8>), Problem>,
}

/// What was inside a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Unpacked {
    /// Rigs first, then by name, numbers in names by their value.
    pub files: Vec<Inner>,
    /// One sentence on what was left out; nothing where nothing was.
    pub left_out: Option<String>,
}

/// Whether there may be recordings inside these bytes.
pub fn looks_like(bytes: &[u8]) -> bool {
    archive::looks_like(bytes)
}

/// Takes the files of the kinds `wanted` out of an archive, and the recordings out of a workbook.
/// Whatever cannot be had is a [`Problem`] in its place; an archive inside an archive is one.
///
/// What this needs in memory stays within four times the bytes given and what they unpack to
/// ([`archive::most_unpacked`]) and 16 MB.
pub fn unpack(name: &str, bytes: &[u8], wanted: &[Kind]) -> Unpacked {
    let mut out = Out {
        wanted,
        files: Vec::new(),
        others: Vec::new(),
        notes: Vec::new(),
        hidden: 0,
    };
    let mut room = archive::most_unpacked(bytes.len());
    if sheets::looks_like(bytes) {
        out.workbook(name, bytes, &mut room);
    } else if let Err(problem) = out.archive(name, bytes, &mut room) {
        out.refuse(name, problem);
    }
    out.files.sort_by(|a, b| {
        let later = |inner: &Inner| !matches!(inner.content, Ok((Kind::Rig, _)));
        later(a)
            .cmp(&later(b))
            .then_with(|| by_name(&a.name, &b.name))
    });
    Unpacked {
        left_out: out.left_out(name),
        files: out.files,
    }
}

struct Out<'a> {
    wanted: &'a [Kind],
    files: Vec<Inner>,
    /// Paths of files of no wanted kind.
    others: Vec<String>,
    /// What workbooks left out.
    notes: Vec<String>,
    hidden: usize,
}

impl Out<'_> {
    fn archive(&mut self, name: &str, bytes: &[u8], room: &mut usize) -> Result<(), Problem> {
        let archive = archive::open(name, bytes, room)?;
        let holds = |path: &str| archive.entries.iter().any(|entry| entry.path == path);
        if holds("[Content_Types].xml") || holds("content.xml") {
            return Err(Problem::new(
                name,
                "it is a document of an office program",
                "a workbook in the form .xlsx, a zip archive, C3D files or tables of numbers",
                "saving the sheet with the numbers as .xlsx or CSV",
            ));
        }
        self.hidden += archive.hidden;
        for entry in archive.entries {
            let inner = archive::below(name, &entry.path);
            let bytes = match entry.bytes {
                Ok(bytes) => bytes,
                Err(problem) => {
                    self.refuse(&inner, problem);
                    continue;
                }
            };
            if sheets::looks_like(&bytes) {
                self.workbook(&inner, &bytes, room);
            } else if looks_like(&bytes) {
                let problem = Problem::new(
                    &inner,
                    "it is an archive inside an archive",
                    "recordings in one archive",
                    "unpacking the outer one first",
                );
                self.refuse(&inner, problem);
            } else {
                let kind = kind(&entry.path, &bytes);
                if self.wanted.contains(&kind) {
                    self.files.push(Inner {
                        name: inner,
                        content: Ok((kind, bytes)),
                    });
                } else {
                    self.others.push(entry.path);
                }
            }
        }
        Ok(())
    }

    fn workbook(&mut self, name: &str, bytes: &[u8], room: &mut usize) {
        let book = match sheets::read(name, bytes, room) {
            Ok(book) => book,
            Err(problem) => return self.refuse(name, problem),
        };
        let several = book.sheets.len() > 1;
        let read: Vec<String> = book
            .sheets
            .iter()
            .map(|s| format!("“{}”", s.name))
            .collect();
        if !book.left_out.is_empty() {
            let left: Vec<String> = book.left_out.iter().map(|n| format!("“{n}”")).collect();
            self.notes.push(format!(
                "{name}: read from {}; left out, for no more than a few of its lines hold numbers or it is hidden: {}",
                some(&read),
                some(&left)
            ));
        }
        for sheet in book.sheets {
            let name = if several {
                format!("{name}: {}", sheet.name)
            } else {
                name.to_owned()
            };
            self.files.push(Inner {
                name,
                content: Ok((Kind::Recording, sheet.text.into_bytes())),
            });
        }
    }

    fn refuse(&mut self, name: &str, problem: Problem) {
        self.files.push(Inner {
            name: name.to_owned(),
            content: Err(problem),
        });
    }

    fn left_out(&self, name: &str) -> Option<String> {
        let mut parts = Vec::new();
        if !self.others.is_empty() {
            let shown: Vec<String> = self.others.iter().map(|o| text::shorten(o)).collect();
            let are = counted(
                self.others.len(),
                "file that is no recording",
                "files that are no recordings",
            );
            parts.push(format!("{are} ({})", some(&shown)));
        }
        if self.hidden > 0 {
            parts.push(counted(self.hidden, "hidden file", "hidden files"));
        }
        let archive = (!parts.is_empty()).then(|| format!("{name}: left out {}", parts.join(", ")));
        let notes: Vec<String> = archive.into_iter().chain(self.notes.clone()).collect();
        (!notes.is_empty()).then(|| some(&notes))
    }
}

fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A list of bearable length.
fn some(names: &[String]) -> String {
    const SHOWN: usize = 4;
    let mut text = names[..names.len().min(SHOWN)].join(", ");
    if names.len() > SHOWN {
        text += &format!(" and {} more", names.len() - SHOWN);
    }
    text
}

fn kind(path: &str, bytes: &[u8]) -> Kind {
    let head = bytes.get(..64).unwrap_or(bytes);
    let ending = path.rsplit_once('.').map(|(_, e)| e.to_ascii_lowercase());
    match ending.as_deref() {
        _ if rig::looks_like(path, bytes) => Kind::Rig,
        _ if String::from_utf8_lossy(head).contains("\"footing-session/") => Kind::Session,
        Some("mp4" | "m4v" | "webm" | "mov" | "ogv" | "mkv" | "avi") => Kind::Film,
        // Named as a recording: what is wrong with it is told when it is read.
        Some("c3d" | "csv" | "tsv" | "mot" | "sto") => Kind::Recording,
        _ if c3d::looks_like(bytes) || is_table(path, bytes) => Kind::Recording,
        _ => Kind::Other,
    }
}

/// Whether it is text with a few lines of numbers.
fn is_table(path: &str, bytes: &[u8]) -> bool {
    const LINES: usize = 3;
    let Ok(text) = text::decode(path, bytes) else {
        return false;
    };
    let of_numbers = |line: &&str| {
        let cells = line.split([';', '\t', ' ']).flat_map(|c| c.split(", "));
        let numbers = |cell: &str| cell.replace(',', ".").parse::<f64>().is_ok();
        let commas = line
            .split(',')
            .filter(|c| c.trim().parse::<f64>().is_ok())
            .count();
        commas > 1 || cells.filter(|cell| numbers(cell.trim())).count() > 1
    };
    text.lines().filter(of_numbers).nth(LINES - 1).is_some()
}

/// Names in the order people expect: `swing 2` before `swing 10`.
fn by_name(a: &str, b: &str) -> Ordering {
    let (mut a, mut b) = (a, b);
    loop {
        match (a.chars().next(), b.chars().next()) {
            (None, None) => return Ordering::Equal,
            (None, _) => return Ordering::Less,
            (_, None) => return Ordering::Greater,
            (Some(x), Some(y)) if x.is_ascii_digit() && y.is_ascii_digit() => {
                let (left, right) = (digits(a), digits(b));
                let value = |run: &str| run.trim_start_matches('0').to_owned();
                let (one, other) = (value(left), value(right));
                let order = (one.len(), &one).cmp(&(other.len(), &other));
                if order != Ordering::Equal {
                    return order;
                }
                (a, b) = (&a[left.len()..], &b[right.len()..]);
            }
            (Some(x), Some(y)) if x != y => return x.cmp(&y),
            (Some(x), Some(_)) => (a, b) = (&a[x.len_utf8()..], &b[x.len_utf8()..]),
        }
    }
}

fn digits(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_ascii_digit());
    &text[..end.unwrap_or(text.len())]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_go_by_the_value_of_their_numbers() {
        let mut names = ["b 1", "a 10", "a 2", "a 02", "a", "a 2b"];
        names.sort_by(|a, b| by_name(a, b));
        assert_eq!(names, ["a", "a 2", "a 02", "a 2b", "a 10", "b 1"]);
    }

    #[test]
    fn a_table_is_told_from_prose_by_its_lines_of_numbers() {
        for table in [
            "t,Fz\n0,1\n1,2\n2,3\n",
            "0,0 1,5\n0,1 1,5\n0,2 1,6\n",
            "t;Fz\n0,0;700\n0,1;701\n0,2;702\n",
            "# 1\n0\t1\n1\t2\n2\t3\n",
        ] {
            assert_eq!(kind("x.dat", table.as_bytes()), Kind::Recording, "{table}");
        }
        for prose in [
            "Plates 1 and 2 of bay 3,\nas of 2026.\n",
            "",
            "one, two\n1, 2\n",
        ] {
            assert_eq!(kind("readme.txt", prose.as_bytes()), Kind::Other, "{prose}");
        }
        assert_eq!(kind("a.csv", b"prose"), Kind::Recording);
        assert_eq!(kind("a.MOV", b"\0\0\0"), Kind::Film);
        assert_eq!(
            kind("rig.json", br#"{"format": "footing-rig/1"}"#),
            Kind::Rig
        );
        assert_eq!(
            kind("s.json", br#"{"format":"footing-session/1","#),
            Kind::Session
        );
        assert_eq!(kind("photo.jpg", &[0xff, 0xd8, 0xff, 0]), Kind::Other);
    }
}
