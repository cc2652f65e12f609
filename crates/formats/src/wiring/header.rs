//! One column header, taken apart: quantity, axis, plate, foot.

use super::words::{PHRASES, Word, word};

/// What a column measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quantity {
    Time,
    Frame,
    Force,
    Moment,
    FreeMoment,
    Cop,
    Trigger,
    Impact,
}

/// Along which of the file's axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Axis {
    X,
    Y,
    Z,
}

impl Axis {
    pub(super) const ALL: [Self; 3] = [Self::X, Self::Y, Self::Z];
}

/// Whose foot a header names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    Left,
    Right,
    Lead,
    Trail,
}

/// A header, taken apart.
#[derive(Debug, Clone, Default)]
pub(super) struct Meaning {
    pub(super) quantity: Option<Quantity>,
    pub(super) axis: Option<Axis>,
    pub(super) side: Option<Side>,
    /// Numbers, in order; the plate's and, on piezo plates, the sensor's.
    pub(super) numbers: Vec<String>,
    /// Which of `numbers` stands right behind the axis: `Fz1_2` is sensor 1 of plate 2.
    pub(super) after_axis: Option<usize>,
    /// What is not known, in order: names of devices, single letters.
    pub(super) rest: Vec<String>,
    /// Not a plate's column, whatever else it says.
    pub(super) foreign: bool,
    pub(super) total: bool,
    /// Whether the horizontal axis was given by the body's directions and not the plate's.
    pub(super) anatomical: bool,
}

impl Meaning {
    /// Reads a header; `group` is the text of a row above that spans several columns.
    pub(super) fn of(group: &str, header: &str) -> Self {
        let mut meaning = Self::default();
        for (part, is_group) in [(group, true), (header, false)] {
            for token in tokens(part) {
                meaning.take(&token, is_group);
            }
        }
        meaning
    }

    /// Reads `f1_3`: the third component of the first force.
    pub(super) fn of_vector(header: &str) -> Option<Self> {
        let tokens = tokens(header);
        let [letter, plate, axis] = tokens.as_slice() else {
            return None;
        };
        Some(Self {
            quantity: Some(match letter.as_str() {
                "f" => Quantity::Force,
                "p" => Quantity::Cop,
                "m" => Quantity::Moment,
                _ => return None,
            }),
            axis: Some(match axis.as_str() {
                "1" => Axis::X,
                "2" => Axis::Y,
                "3" => Axis::Z,
                _ => return None,
            }),
            numbers: vec![plate.clone()],
            ..Self::default()
        })
    }

    fn take(&mut self, token: &str, is_group: bool) {
        if token.bytes().all(|b| b.is_ascii_digit()) {
            let follows = self.axis.is_some() && self.after_axis.is_none() && !is_group;
            if follows {
                self.after_axis = Some(self.numbers.len());
            }
            let plain = token.trim_start_matches('0');
            let plain = if plain.is_empty() { "0" } else { plain };
            self.numbers.push(plain.to_owned());
            return;
        }
        let known = word(token).or_else(|| self.velocity_style(token));
        if let Some(known) = known {
            self.mean(known, token);
            return;
        }
        if let Some((side, known)) = sided(token) {
            self.rest.push(side.to_owned());
            self.mean(known, token);
            return;
        }
        self.rest.push(token.to_owned());
    }

    fn mean(&mut self, known: Word, token: &str) {
        match known {
            Word::Is(quantity) => self.measure(quantity),
            Word::Along(axis) => {
                self.axis.get_or_insert(axis);
                self.anatomical |= matches!(token, "ml" | "ap");
            }
            Word::Channel(quantity, axis) => {
                self.measure(quantity);
                self.axis = Some(axis);
                self.anatomical |= matches!(token, "fml" | "fap");
            }
            Word::Foot(side) => {
                self.side.get_or_insert(side);
            }
            Word::Total => self.total = true,
            Word::Foreign => self.foreign = true,
            Word::Filler => {}
        }
    }

    /// The more telling of two words wins: "Force … CoP x" is a centre of pressure, "Moment … Tz"
    /// a free moment, "Impact trigger" an impact.
    fn measure(&mut self, quantity: Quantity) {
        let rank = |quantity| match quantity {
            Quantity::Frame | Quantity::Time => 0,
            Quantity::Trigger => 1,
            Quantity::Force => 2,
            Quantity::Moment => 3,
            Quantity::FreeMoment | Quantity::Cop | Quantity::Impact => 4,
        };
        if self
            .quantity
            .is_none_or(|known| rank(quantity) > rank(known))
        {
            self.quantity = Some(quantity);
        }
    }

    /// `ground_force_vx`: `v` is the force's vector once a force was named; alone it is a speed.
    fn velocity_style(&self, token: &str) -> Option<Word> {
        let axis = match token {
            "vx" => Axis::X,
            "vy" => Axis::Y,
            "vz" => Axis::Z,
            _ => return None,
        };
        (self.quantity == Some(Quantity::Force)).then_some(Word::Channel(Quantity::Force, axis))
    }

    /// Which plate this belongs to: everything that is not quantity and axis.
    pub(super) fn key(&self) -> Vec<String> {
        let side = self.side.map(|side| format!("{side:?}"));
        self.rest
            .iter()
            .cloned()
            .chain(self.numbers.iter().cloned())
            .chain(side)
            .collect()
    }
}

/// Whether a text says nothing but what headers say: channels, plates, feet, numbers.
pub(super) fn is_understood(text: &str) -> bool {
    let tokens = tokens(text);
    let known = |token: &String| {
        let number = token.bytes().all(|b| b.is_ascii_digit());
        number || word(token).is_some() || sided(token).is_some()
    };
    !tokens.is_empty() && tokens.iter().all(known)
}

/// `LFz`, `FzR`: a side's letter grown together with a channel.
fn sided(token: &str) -> Option<(&str, Word)> {
    let channel = |part: &str| match word(part) {
        Some(known @ Word::Channel(..)) => Some(known),
        _ => None,
    };
    for letter in ["l", "r"] {
        let found = token
            .strip_prefix(letter)
            .and_then(channel)
            .or_else(|| token.strip_suffix(letter).and_then(channel));
        if let Some(known) = found {
            return Some((letter, known));
        }
    }
    // `ForceX`, `momentz`, `copx`: a word and its axis grown together.
    let (end, axis) = [("x", Axis::X), ("y", Axis::Y), ("z", Axis::Z)]
        .into_iter()
        .find(|(end, _)| token.ends_with(end))?;
    match word(token.strip_suffix(end)?) {
        Some(Word::Is(quantity)) if token.len() > 3 => Some(("", Word::Channel(quantity, axis))),
        _ => None,
    }
}

/// Lower-case words and numbers of a header.
fn tokens(text: &str) -> Vec<String> {
    let mut folded = fold(text);
    for (phrase, plain) in PHRASES {
        if folded.contains(phrase) {
            folded = folded.replace(phrase, plain);
        }
    }
    let mut tokens: Vec<String> = Vec::new();
    let mut open = false;
    for c in folded.chars() {
        if !c.is_alphanumeric() {
            open = false;
            continue;
        }
        let digit = c.is_ascii_digit();
        let continues = open
            && tokens
                .last()
                .and_then(|token| token.chars().next_back())
                .is_some_and(|last| last.is_ascii_digit() == digit);
        match tokens.last_mut() {
            Some(token) if continues => token.push(c),
            _ => tokens.push(c.to_string()),
        }
        open = true;
    }
    tokens
}

/// Case, accents and full-width forms folded away; words grown together by capitals split.
pub(super) fn fold(text: &str) -> String {
    // Capitals that are one word, before capitals divide words.
    let text = text
        .replace("CoP", " cop ")
        .replace("COP", " cop ")
        .replace("CoF", " cop ")
        .replace("GRF", " force ");
    let plain: Vec<char> = text.chars().map(plain).collect();
    let mut out = String::with_capacity(text.len() + 8);
    for (index, c) in plain.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|i| plain.get(i));
        let after = plain.get(index + 1);
        let divides = c.is_uppercase()
            && before.is_some_and(|before| {
                before.is_lowercase()
                    || (before.is_uppercase() && after.is_some_and(|after| after.is_lowercase()))
            });
        if divides {
            out.push(' ');
        }
        if matches!(c, '-' | '_') {
            out.push(' ');
        } else {
            out.extend(c.to_lowercase());
        }
    }
    // Some words keep their sound written out: "ß" and umlauts fold to one letter above.
    while out.contains("  ") {
        out = out.replace("  ", " ");
    }
    out
}

/// A letter without its accent; a full-width form as its ordinary one.
fn plain(c: char) -> char {
    match c {
        'à' | 'á' | 'â' | 'ä' | 'ã' => 'a',
        'ç' => 'c',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ñ' => 'n',
        'ò' | 'ó' | 'ô' | 'ö' | 'õ' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        'À' | 'Á' | 'Â' | 'Ä' => 'A',
        'È' | 'É' | 'Ê' | 'Ë' => 'E',
        'Ò' | 'Ó' | 'Ô' | 'Ö' => 'O',
        'Ù' | 'Ú' | 'Û' | 'Ü' => 'U',
        '\u{ff01}'..='\u{ff5e}' => char::from_u32(u32::from(c) - 0xfee0).unwrap_or(c),
        '\u{3000}' => ' ',
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::{Axis, Meaning, Quantity, Side};

    #[test]
    fn headers_of_many_habits_mean_the_same() {
        use Quantity::{Cop, Force, FreeMoment, Moment};
        for (header, quantity, axis, numbers, side) in [
            ("Fx1", Force, Axis::X, "1", None),
            ("1Fx", Force, Axis::X, "1", None),
            ("FX_1", Force, Axis::X, "1", None),
            ("Force.Fx1", Force, Axis::X, "1", None),
            ("Plate 1 Fx", Force, Axis::X, "1", None),
            ("F1x", Force, Axis::X, "1", None),
            ("FP2_ForceZ", Force, Axis::Z, "2", None),
            ("ground_force_vx", Force, Axis::X, "", None),
            ("1_ground_force_vz", Force, Axis::Z, "1", None),
            ("Ax", Cop, Axis::X, "", None),
            ("CoPx2", Cop, Axis::X, "2", None),
            ("COP_Y_1", Cop, Axis::Y, "1", None),
            ("Tz", FreeMoment, Axis::Z, "", None),
            ("Moment Mx 2", Moment, Axis::X, "2", None),
            ("Left Fz", Force, Axis::Z, "", Some(Side::Left)),
            ("Kraft links Z", Force, Axis::Z, "", Some(Side::Left)),
            (
                "Vertikalkraft rechts",
                Force,
                Axis::Z,
                "",
                Some(Side::Right),
            ),
            (
                "Force verticale gauche",
                Force,
                Axis::Z,
                "",
                Some(Side::Left),
            ),
            (
                "Fuerza vertical derecha",
                Force,
                Axis::Z,
                "",
                Some(Side::Right),
            ),
            (
                "Centre de pression X droite",
                Cop,
                Axis::X,
                "",
                Some(Side::Right),
            ),
            (
                "Centro de presión Y izquierda",
                Cop,
                Axis::Y,
                "",
                Some(Side::Left),
            ),
            ("左足 床反力 鉛直", Force, Axis::Z, "", Some(Side::Left)),
            ("Ｆｚ１", Force, Axis::Z, "1", None),
            ("右 モーメントX", Moment, Axis::X, "", Some(Side::Right)),
            ("Lead foot Fy", Force, Axis::Y, "", Some(Side::Lead)),
        ] {
            let meaning = Meaning::of("", header);
            assert_eq!(meaning.quantity, Some(quantity), "{header}");
            assert_eq!(meaning.axis, Some(axis), "{header}");
            assert_eq!(meaning.numbers.join(" "), numbers, "{header}");
            assert_eq!(meaning.side, side, "{header}");
            assert!(
                !meaning.foreign && meaning.rest.is_empty(),
                "{header}: {meaning:?}"
            );
        }
    }

    #[test]
    fn columns_of_other_devices_are_no_plates() {
        for header in ["Knee Fx", "EMG 1", "LASI X", "vx", "Club speed", "C7:Z"] {
            let meaning = Meaning::of("", header);
            let plate = meaning.quantity.is_some() && meaning.axis.is_some() && !meaning.foreign;
            assert!(!plate, "{header}: {meaning:?}");
        }
    }
}
