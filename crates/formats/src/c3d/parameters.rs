//! The parameter section: a linked list of named groups and parameters.
//!
//! Damage is survived: the walk stops where the list stops making sense, and says so.

use super::bytes::Processor;

/// More records than any real file has; a hostile one may not cost more memory than this.
const MAX_RECORDS: usize = 20_000;
/// More numbers or words than any parameter used here has.
const MAX_VALUES: usize = 20_000;

/// One parameter's stored values, decoded on demand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Parameter<'a> {
    processor: Processor,
    kind: Kind,
    dims: &'a [u8],
    data: &'a [u8],
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Text,
    Byte,
    Word,
    Float,
}

impl Kind {
    fn size(self) -> usize {
        match self {
            Self::Text | Self::Byte => 1,
            Self::Word => 2,
            Self::Float => 4,
        }
    }
}

impl<'a> Parameter<'a> {
    /// The first dimension, 1 when the parameter is a scalar.
    pub(super) fn rows(self) -> usize {
        self.dims.first().map_or(1, |&d| usize::from(d))
    }

    /// Every value as a number; words are signed. Empty for text.
    pub(super) fn numbers(self) -> Vec<f64> {
        let processor = self.processor;
        let count = (self.data.len() / self.kind.size()).min(MAX_VALUES);
        (0..count)
            .filter_map(|i| match self.kind {
                Kind::Text => None,
                Kind::Byte => self.data.get(i).map(|&b| f64::from(b)),
                Kind::Word => processor.i16(self.data, i * 2).map(f64::from),
                Kind::Float => processor.f32(self.data, i * 4),
            })
            .collect()
    }

    /// The first value.
    pub(super) fn number(self) -> Option<f64> {
        match self.kind {
            Kind::Text => None,
            Kind::Byte => self.data.first().map(|&b| f64::from(b)),
            Kind::Word => self.processor.i16(self.data, 0).map(f64::from),
            Kind::Float => self.processor.f32(self.data, 0),
        }
    }

    /// The first value as a count: words are unsigned, floats must be whole and not negative.
    pub(super) fn count(self) -> Option<u64> {
        match self.kind {
            Kind::Word => self.processor.u16(self.data, 0).map(u64::from),
            _ => whole(self.number()?),
        }
    }

    /// A count of up to 32 bits stored as two unsigned words, low word first, or as one float.
    pub(super) fn long_count(self) -> Option<u64> {
        match self.kind {
            Kind::Word => {
                let low = u64::from(self.processor.u16(self.data, 0)?);
                let high = self.processor.u16(self.data, 2).map_or(0, u64::from);
                Some(high << 16 | low)
            }
            _ => self.count(),
        }
    }

    /// The strings, trimmed; bytes that are not UTF-8 are taken as Latin-1.
    pub(super) fn strings(self) -> Vec<String> {
        let width = match self.dims {
            [] => 1,
            [width, ..] => usize::from(*width),
        };
        if self.kind != Kind::Text || width == 0 {
            return Vec::new();
        }
        self.data.chunks(width).take(MAX_VALUES).map(text).collect()
    }

    /// The first string.
    pub(super) fn string(self) -> Option<String> {
        if self.kind != Kind::Text {
            return None;
        }
        let width = self.dims.first().map_or(1, |&d| usize::from(d));
        self.data.get(..width.min(self.data.len())).map(text)
    }
}

/// A float that is a whole, non-negative number below 2³².
fn whole(value: f64) -> Option<u64> {
    ((0.0..4_294_967_296.0).contains(&value) && value.fract() == 0.0).then_some(value as u64)
}

/// Text of a C3D file: trimmed of blanks and NULs, UTF-8 or else Latin-1.
pub(super) fn text(bytes: &[u8]) -> String {
    let decoded = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => bytes.iter().map(|&b| char::from(b)).collect(),
    };
    decoded
        .trim_matches(|c: char| c.is_whitespace() || c == '\0')
        .to_owned()
}

/// The parameter section.
pub(super) struct Parameters<'a> {
    pub(super) processor: Processor,
    groups: Vec<(u8, &'a [u8])>,
    entries: Vec<Entry<'a>>,
    /// The byte where the list stopped making sense, when it did.
    pub(super) damaged_at: Option<usize>,
}

struct Entry<'a> {
    group: u8,
    name: &'a [u8],
    parameter: Parameter<'a>,
}

impl<'a> Parameters<'a> {
    /// Walks the list that starts at byte `start` (the section's four-byte header included).
    pub(super) fn walk(bytes: &'a [u8], start: usize, processor: Processor) -> Self {
        let mut found = Self {
            processor,
            groups: Vec::new(),
            entries: Vec::new(),
            damaged_at: None,
        };
        let mut at = start.saturating_add(4);
        while found.groups.len() + found.entries.len() < MAX_RECORDS {
            if bytes.get(at) == Some(&0) {
                return found;
            }
            match Record::read(bytes, at, processor) {
                Some(record) => {
                    let next = record.next(bytes);
                    match record.body {
                        Body::Group => found.groups.push((record.group, record.name)),
                        Body::Parameter(parameter) => found.entries.push(Entry {
                            group: record.group,
                            name: record.name,
                            parameter,
                        }),
                        Body::Unknown => {}
                    }
                    match next {
                        Next::At(next) => at = next,
                        Next::End => return found,
                        Next::Lost => break,
                    }
                }
                None => break,
            }
        }
        found.damaged_at = Some(at.min(bytes.len()));
        found
    }

    /// Whether there is a group of this name.
    pub(super) fn has_group(&self, group: &str) -> bool {
        self.groups.iter().any(|(_, name)| same(name, group))
    }

    /// The parameter of this group and name, whatever their case. A parameter stored twice
    /// counts once: the first that holds anything.
    pub(super) fn get(&self, group: &str, name: &str) -> Option<Parameter<'a>> {
        let mut fallback = None;
        for entry in &self.entries {
            let in_group = |(id, n): &(u8, &[u8])| *id == entry.group && same(n, group);
            if same(entry.name, name) && self.groups.iter().any(in_group) {
                if !entry.parameter.data.is_empty() {
                    return Some(entry.parameter);
                }
                fallback = fallback.or(Some(entry.parameter));
            }
        }
        fallback
    }

    /// The parameter and its continuations (`LABELS`, `LABELS2`, `LABELS3`…), in order.
    fn series(&self, group: &str, name: &str) -> Vec<Parameter<'a>> {
        let mut all: Vec<_> = self.get(group, name).into_iter().collect();
        for i in 2..=99 {
            match self.get(group, &format!("{name}{i}")) {
                Some(more) => all.push(more),
                None => break,
            }
        }
        all
    }

    /// All numbers of a parameter and its continuations.
    pub(super) fn numbers(&self, group: &str, name: &str) -> Vec<f64> {
        let series = self.series(group, name);
        series.into_iter().flat_map(Parameter::numbers).collect()
    }

    /// All strings of a parameter and its continuations.
    pub(super) fn strings(&self, group: &str, name: &str) -> Vec<String> {
        let series = self.series(group, name);
        series.into_iter().flat_map(Parameter::strings).collect()
    }

    /// The first number of a parameter.
    pub(super) fn number(&self, group: &str, name: &str) -> Option<f64> {
        self.get(group, name)?.number()
    }

    /// The first value of a parameter as a count.
    pub(super) fn count(&self, group: &str, name: &str) -> Option<u64> {
        self.get(group, name)?.count()
    }
}

fn same(stored: &[u8], wanted: &str) -> bool {
    stored.trim_ascii().eq_ignore_ascii_case(wanted.as_bytes())
}

struct Record<'a> {
    group: u8,
    name: &'a [u8],
    body: Body<'a>,
    /// Where the record's own lengths say it ends.
    end: usize,
    /// Where the stored offset points; `None` for the last record.
    pointer: Option<usize>,
}

enum Body<'a> {
    Group,
    Parameter(Parameter<'a>),
    /// A type this format does not have; stepped over.
    Unknown,
}

enum Next {
    At(usize),
    End,
    Lost,
}

impl<'a> Record<'a> {
    /// Name length (negative: locked), group id (negative: this is the group), name, offset to
    /// the next record, then the body.
    fn read(bytes: &'a [u8], at: usize, processor: Processor) -> Option<Self> {
        let (name, id) = name_at(bytes, at)?;
        let offset_at = at.checked_add(2)?.checked_add(name.len())?;
        let offset = processor.u16(bytes, offset_at)?;
        let pointer = (offset != 0)
            .then(|| offset_at.checked_add(usize::from(offset)))
            .flatten();
        let body_at = offset_at.checked_add(2)?;
        if id < 0 {
            let end = body_at + 1 + usize::from(*bytes.get(body_at)?);
            return Some(Self {
                group: id.unsigned_abs(),
                name,
                body: Body::Group,
                end,
                pointer,
            });
        }
        let kind = match bytes.get(body_at)?.cast_signed() {
            -1 => Some(Kind::Text),
            1 => Some(Kind::Byte),
            2 => Some(Kind::Word),
            4 => Some(Kind::Float),
            _ => None,
        };
        let dims_at = body_at + 2;
        let data_at = dims_at.checked_add(usize::from(*bytes.get(body_at + 1)?))?;
        let dims = bytes.get(dims_at..data_at)?;
        let declared = dims.iter().fold(kind.map_or(0, Kind::size), |n, &d| {
            n.saturating_mul(usize::from(d))
        });
        let data_end = data_at.saturating_add(declared).min(bytes.len());
        let body = match kind {
            Some(kind) => Body::Parameter(Parameter {
                processor,
                kind,
                dims,
                data: bytes.get(data_at..data_end)?,
            }),
            None => Body::Unknown,
        };
        Some(Self {
            group: id.unsigned_abs(),
            name,
            body,
            end: data_end + 1 + bytes.get(data_end).map_or(0, |&d| usize::from(d)),
            pointer,
        })
    }

    /// The stored offset is followed; where it leads nowhere, the record's own lengths are.
    fn next(&self, bytes: &[u8]) -> Next {
        let starts = |at: usize| bytes.get(at) == Some(&0) || name_at(bytes, at).is_some();
        match self.pointer {
            None => Next::End,
            Some(at) if starts(at) => Next::At(at),
            Some(_) if name_at(bytes, self.end).is_some() => Next::At(self.end),
            Some(_) => Next::Lost,
        }
    }
}

/// The name and group id of a record, when the bytes can be one.
fn name_at(bytes: &[u8], at: usize) -> Option<(&[u8], i8)> {
    let length = usize::from(bytes.get(at)?.cast_signed().unsigned_abs());
    let id = bytes.get(at.checked_add(1)?)?.cast_signed();
    let name = bytes.get(at.checked_add(2)?..at.checked_add(2)?.checked_add(length)?)?;
    let printable = |&b: &u8| (0x20..0x7f).contains(&b) || b >= 0xa0;
    (length > 0 && id != 0 && name.iter().all(printable)).then_some((name, id))
}
