//! A C3D writer of the tests' own, byte by byte, so that the reader is not checked against itself.
//!
//! It shares no code with the reader: VAX floats are made from IEEE ones by exchanging words and
//! quadrupling, not by taking the exponent apart.

#![allow(dead_code)] // each test file uses its own part

/// The number formats of a file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Processor {
    Intel,
    Dec,
    Mips,
}

pub const PROCESSORS: [Processor; 3] = [Processor::Intel, Processor::Dec, Processor::Mips];

impl Processor {
    fn code(self) -> u8 {
        match self {
            Self::Intel => 84,
            Self::Dec => 85,
            Self::Mips => 86,
        }
    }

    pub fn word(self, value: i32) -> [u8; 2] {
        let low = (value & 0xffff) as u16;
        match self {
            Self::Mips => low.to_be_bytes(),
            _ => low.to_le_bytes(),
        }
    }

    pub fn float(self, value: f32) -> [u8; 4] {
        match self {
            Self::Intel => value.to_le_bytes(),
            Self::Mips => value.to_be_bytes(),
            Self::Dec => {
                let [a, b, c, d] = (value * 4.0).to_le_bytes();
                [c, d, a, b]
            }
        }
    }
}

/// A parameter's value.
#[derive(Clone)]
pub enum Value {
    Words(Vec<u8>, Vec<i32>),
    Floats(Vec<u8>, Vec<f32>),
    Texts(Vec<String>),
    /// Text bytes as they are, one string.
    Bytes(Vec<u8>),
}

/// A file to be written. Headers and parameters may be made to disagree on purpose.
#[derive(Clone)]
pub struct File {
    pub processor: Processor,
    pub float: bool,
    /// Markers in a frame; their coordinates are filler.
    pub points: usize,
    pub per_frame: usize,
    pub first_frame: i64,
    /// Stored values before scaling, `[sample][channel]`.
    pub stored: Vec<Vec<f64>>,
    pub parameters: Vec<(&'static str, &'static str, Value)>,
    pub header_analog_per_frame: Option<i32>,
    pub header_last_frame: Option<i32>,
    pub header_rate_hz: f32,
    pub header_events: Vec<(&'static str, f32)>,
    pub pad: bool,
}

impl File {
    /// Analog samples `[sample][channel]` as stored, at `rate_hz`, one a frame.
    pub fn new(stored: Vec<Vec<f64>>, rate_hz: f32) -> Self {
        let channels = stored[0].len();
        Self {
            processor: Processor::Intel,
            float: true,
            points: 2,
            per_frame: 1,
            first_frame: 1,
            stored,
            parameters: vec![
                ("POINT", "USED", Value::Words(vec![], vec![2])),
                ("POINT", "RATE", Value::Floats(vec![], vec![rate_hz])),
                ("POINT", "SCALE", Value::Floats(vec![], vec![-1.0])),
                ("POINT", "UNITS", Value::Texts(vec!["mm".into()])),
                (
                    "ANALOG",
                    "USED",
                    Value::Words(vec![], vec![channels as i32]),
                ),
                ("ANALOG", "RATE", Value::Floats(vec![], vec![rate_hz])),
            ],
            header_analog_per_frame: None,
            header_last_frame: None,
            header_rate_hz: rate_hz,
            header_events: vec![],
            pad: true,
        }
    }

    pub fn set(&mut self, group: &'static str, name: &'static str, value: Value) -> &mut Self {
        self.drop(group, name);
        self.parameters.push((group, name, value));
        self
    }

    pub fn drop(&mut self, group: &str, name: &str) -> &mut Self {
        self.parameters
            .retain(|(g, n, _)| !(*g == group && *n == name));
        self
    }

    fn parameter_section(&self) -> Vec<u8> {
        let p = self.processor;
        let mut records: Vec<Vec<u8>> = vec![];
        let mut groups: Vec<&str> = vec![];
        for (group, _, _) in &self.parameters {
            if !groups.contains(group) {
                groups.push(group);
                let mut r = vec![group.len() as u8, (-(groups.len() as i8)) as u8];
                r.extend(group.as_bytes());
                r.extend(p.word(2 + 1)); // to the next record: itself and the empty description
                r.push(0);
                records.push(r);
            }
        }
        for (group, name, value) in &self.parameters {
            let id = groups.iter().position(|g| g == group).unwrap() + 1;
            let (kind, dims, data): (i8, Vec<u8>, Vec<u8>) = match value {
                Value::Words(d, v) => (2, d.clone(), v.iter().flat_map(|&w| p.word(w)).collect()),
                Value::Floats(d, v) => (4, d.clone(), v.iter().flat_map(|&f| p.float(f)).collect()),
                Value::Bytes(b) => (-1, vec![b.len() as u8], b.clone()),
                Value::Texts(texts) => {
                    let width = texts.iter().map(|t| t.len()).max().unwrap_or(0);
                    let data = texts
                        .iter()
                        .flat_map(|t| format!("{t:width$}").into_bytes());
                    (-1, vec![width as u8, texts.len() as u8], data.collect())
                }
            };
            let mut r = vec![name.len() as u8, id as u8];
            r.extend(name.as_bytes());
            r.extend(p.word((2 + 2 + dims.len() + data.len() + 1) as i32));
            r.push(kind as u8);
            r.push(dims.len() as u8);
            r.extend(dims);
            r.extend(data);
            r.push(0);
            records.push(r);
        }
        let mut section = vec![1, 0x50, 0, p.code()];
        section.extend(records.concat());
        section.push(0);
        section.resize(section.len().div_ceil(512) * 512, 0);
        section[2] = (section.len() / 512) as u8;
        section
    }

    /// The file's bytes.
    pub fn bytes(&self) -> Vec<u8> {
        let p = self.processor;
        let section = self.parameter_section();
        let channels = self.stored[0].len();
        let frames = self.stored.len() / self.per_frame;
        let mut header = vec![0_u8; 512];
        let mut put = |word: usize, bytes: &[u8]| {
            header[(word - 1) * 2..(word - 1) * 2 + bytes.len()].copy_from_slice(bytes);
        };
        put(1, &[2, 0x50]);
        put(2, &p.word(self.points as i32));
        let analog = self
            .header_analog_per_frame
            .unwrap_or((channels * self.per_frame) as i32);
        put(3, &p.word(analog));
        put(4, &p.word(self.first_frame.min(65_535) as i32));
        let last = self.first_frame + frames as i64 - 1;
        put(
            5,
            &p.word(self.header_last_frame.unwrap_or(last.min(65_535) as i32)),
        );
        put(7, &p.float(if self.float { -1.0 } else { 1.0 }));
        put(9, &p.word((2 + section.len() / 512) as i32));
        put(10, &p.word(self.per_frame as i32));
        put(11, &p.float(self.header_rate_hz));
        if !self.header_events.is_empty() {
            put(150, &p.word(12_345));
            put(151, &p.word(self.header_events.len() as i32));
            for (i, (label, t)) in self.header_events.iter().enumerate() {
                put(153 + 2 * i, &p.float(*t));
                put(199 + 2 * i, format!("{label:4}").as_bytes());
            }
        }
        let mut file = header;
        file.extend(section);
        for frame in self.stored.chunks_exact(self.per_frame) {
            for i in 0..self.points * 4 {
                // Filler that would be wild as a force.
                file.extend(self.value(7_000.0 + 900.0 * i as f64));
            }
            for v in frame.iter().flatten() {
                file.extend(self.value(*v));
            }
        }
        if self.pad {
            file.resize(file.len().div_ceil(512) * 512, 0);
        }
        file
    }

    fn value(&self, v: f64) -> Vec<u8> {
        if self.float {
            self.processor.float(v as f32).to_vec()
        } else {
            self.processor.word(v as i32).to_vec()
        }
    }
}

/// A plate for [`with_plates`]: type, ORIGIN, CORNERS.
pub struct PlateSpec {
    pub kind: i32,
    pub origin: [f32; 3],
    pub corners: [[f32; 3]; 4],
}

/// Adds a FORCE_PLATFORM group whose plates take the channels in order.
pub fn with_plates(file: &mut File, plates: &[PlateSpec]) {
    let n = plates.len() as u8;
    let rows = if plates.iter().any(|p| p.kind == 3) {
        8
    } else {
        6
    };
    let mut next = 1;
    let mut channels = vec![];
    for plate in plates {
        let own = if plate.kind == 3 { 8 } else { 6 };
        channels.extend((0..rows).map(|i| if i < own { next + i } else { 0 }));
        next += own;
    }
    let kinds = plates.iter().map(|p| p.kind).collect();
    let origins = plates.iter().flat_map(|p| p.origin).collect();
    let corners = plates.iter().flat_map(|p| p.corners.concat()).collect();
    file.set(
        "FORCE_PLATFORM",
        "USED",
        Value::Words(vec![], vec![n.into()]),
    );
    file.set("FORCE_PLATFORM", "TYPE", Value::Words(vec![n], kinds));
    file.set(
        "FORCE_PLATFORM",
        "CHANNEL",
        Value::Words(vec![rows as u8, n], channels),
    );
    file.set(
        "FORCE_PLATFORM",
        "ORIGIN",
        Value::Floats(vec![3, n], origins),
    );
    file.set(
        "FORCE_PLATFORM",
        "CORNERS",
        Value::Floats(vec![3, 4, n], corners),
    );
}

/// Corners of a z-down plate 400 × 600 mm around (x, y).
pub fn corners_at(x: f32, y: f32) -> [[f32; 3]; 4] {
    [
        [x + 300.0, y + 200.0, 0.0],
        [x + 300.0, y - 200.0, 0.0],
        [x - 300.0, y - 200.0, 0.0],
        [x - 300.0, y + 200.0, 0.0],
    ]
}

pub fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: {got}, expected {expected} ± {tolerance}"
    );
}
