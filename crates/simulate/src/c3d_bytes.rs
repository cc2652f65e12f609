//! Numbers and parameter records of C3D files in the three byte orders the format knows.

/// The processor whose number formats a file uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Processor {
    /// Little-endian, IEEE 754.
    Intel,
    /// Little-endian integers, VAX F floats.
    Dec,
    /// Big-endian, IEEE 754.
    Mips,
}

impl Processor {
    /// The number the parameter section carries.
    fn code(self) -> u8 {
        match self {
            Self::Intel => 84,
            Self::Dec => 85,
            Self::Mips => 86,
        }
    }

    /// A 16-bit integer.
    pub fn int(self, value: i16) -> [u8; 2] {
        match self {
            Self::Mips => value.to_be_bytes(),
            _ => value.to_le_bytes(),
        }
    }

    /// A 32-bit float. The VAX F format has an exponent larger by two and its two 16-bit words
    /// the other way round; it has no infinities and no denormals.
    pub fn float(self, value: f32) -> [u8; 4] {
        match self {
            Self::Intel => value.to_le_bytes(),
            Self::Mips => value.to_be_bytes(),
            Self::Dec => {
                let bits = if value.abs() < f32::MIN_POSITIVE {
                    0
                } else {
                    (value * 4.0).to_bits()
                };
                let [high0, high1, low0, low1] = bits.to_be_bytes();
                [high1, high0, low1, low0]
            }
        }
    }
}

/// Bytes in one processor's formats.
pub struct Writer {
    processor: Processor,
    bytes: Vec<u8>,
}

impl Writer {
    /// Nothing yet.
    pub fn new(processor: Processor) -> Self {
        Self {
            processor,
            bytes: Vec::new(),
        }
    }

    /// Raw bytes.
    pub fn bytes(&mut self, bytes: &[u8]) {
        self.bytes.extend_from_slice(bytes);
    }

    /// A 16-bit integer.
    pub fn int(&mut self, value: i16) {
        let bytes = self.processor.int(value);
        self.bytes(&bytes);
    }

    /// A 32-bit float.
    pub fn float(&mut self, value: f32) {
        let bytes = self.processor.float(value);
        self.bytes(&bytes);
    }

    /// Zeros up to a length.
    pub fn pad_to(&mut self, length: usize) {
        self.bytes.resize(length.max(self.bytes.len()), 0);
    }

    /// How much there is.
    pub fn len(&self) -> usize {
        self.bytes.len()
    }

    /// What was written.
    pub fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }
}

/// A parameter's values.
enum Values {
    Ints(Vec<i16>),
    Floats(Vec<f32>),
    Texts(Vec<u8>),
}

/// A named group of parameters.
pub struct Group {
    name: &'static str,
    parameters: Vec<(&'static str, Vec<u8>, Values)>,
}

impl Group {
    /// An empty group.
    pub fn new(name: &'static str) -> Self {
        Self {
            name,
            parameters: Vec::new(),
        }
    }

    /// Integers, first index fastest; no dimensions for a scalar.
    pub fn ints(&mut self, name: &'static str, dimensions: &[usize], values: &[i16]) {
        let dimensions = dimensions.iter().map(|d| *d as u8).collect();
        self.parameters
            .push((name, dimensions, Values::Ints(values.to_vec())));
    }

    /// Floats, first index fastest; no dimensions for a scalar.
    pub fn floats(&mut self, name: &'static str, dimensions: &[usize], values: &[f64]) {
        let dimensions = dimensions.iter().map(|d| *d as u8).collect();
        let values = values.iter().map(|v| *v as f32).collect();
        self.parameters
            .push((name, dimensions, Values::Floats(values)));
    }

    /// Texts padded with blanks to the longest: a list, or one plain text.
    pub fn texts(&mut self, name: &'static str, values: &[impl AsRef<str>], list: bool) {
        let width = values
            .iter()
            .map(|text| text.as_ref().len())
            .max()
            .unwrap_or(0);
        let bytes = values
            .iter()
            .flat_map(|text| format!("{:width$}", text.as_ref()).into_bytes())
            .collect();
        let mut dimensions = vec![width as u8];
        if list {
            dimensions.push(values.len() as u8);
        }
        self.parameters
            .push((name, dimensions, Values::Texts(bytes)));
    }

    /// The group's records; `id` counts from 1.
    fn records(&self, id: i8, processor: Processor) -> Vec<Vec<u8>> {
        let head = |name: &str, id: i8, rest: Vec<u8>| {
            let mut record = vec![name.len() as u8, id as u8];
            record.extend_from_slice(name.as_bytes());
            // The offset to the next record counts its own two bytes.
            record.extend(processor.int(rest.len() as i16 + 2));
            record.extend(rest);
            record
        };
        let mut records = vec![head(self.name, -id, vec![0])];
        for (name, dimensions, values) in &self.parameters {
            let kind: i8 = match values {
                Values::Ints(_) => 2,
                Values::Floats(_) => 4,
                Values::Texts(_) => -1,
            };
            let mut rest = vec![kind as u8, dimensions.len() as u8];
            rest.extend_from_slice(dimensions);
            match values {
                Values::Ints(v) => rest.extend(v.iter().flat_map(|v| processor.int(*v))),
                Values::Floats(v) => rest.extend(v.iter().flat_map(|v| processor.float(*v))),
                Values::Texts(bytes) => rest.extend_from_slice(bytes),
            }
            // No description.
            rest.push(0);
            records.push(head(name, id, rest));
        }
        records
    }
}

/// The parameter section, whole blocks of 512 bytes.
pub fn parameter_section(groups: &[Group], processor: Processor) -> Vec<u8> {
    let mut section = vec![1, 0x50, 0, processor.code()];
    let mut id: i8 = 0;
    for group in groups {
        id += 1;
        for record in group.records(id, processor) {
            section.extend(record);
        }
    }
    // A record with an empty name ends the section; the padding is its zeros.
    section.extend([0, 0]);
    section.resize(section.len().div_ceil(512) * 512, 0);
    section[2] = (section.len() / 512) as u8;
    section
}
