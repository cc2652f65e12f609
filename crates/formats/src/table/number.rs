//! One cell to one number.

/// What stands between the whole and the fraction of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decimal {
    /// 1.5
    Point,
    /// 1,5
    Comma,
}

impl Decimal {
    fn byte(self) -> u8 {
        match self {
            Self::Point => b'.',
            Self::Comma => b',',
        }
    }
}

/// The number in a cell: optional sign, digits with at most one decimal mark, optional exponent;
/// blanks around it do not count. `None` for anything else, the words of infinity and missing
/// values included. Correctly rounded, since the standard library does the conversion; an
/// exponent beyond the range of `f64` gives an infinity, for the caller to refuse.
pub(super) fn parse(cell: &[u8], decimal: Decimal) -> Option<f64> {
    let cell = trim(cell);
    if !is_number(cell, decimal) {
        return unusual_minus(cell, decimal);
    }
    let text = std::str::from_utf8(cell).ok()?;
    match decimal {
        Decimal::Point => text.parse().ok(),
        Decimal::Comma => match cell.iter().position(|byte| *byte == b',') {
            None => text.parse().ok(),
            Some(comma) => with_point(cell, comma),
        },
    }
}

/// Blanks a cell may be padded with.
pub(super) fn trim(cell: &[u8]) -> &[u8] {
    // The no-break space (C2 A0) pads numbers in some exports.
    let mut cell = cell.trim_ascii();
    while let Some(rest) = cell
        .strip_prefix(b"\xc2\xa0")
        .or_else(|| cell.strip_suffix(b"\xc2\xa0"))
    {
        cell = rest.trim_ascii();
    }
    cell
}

fn with_point(cell: &[u8], comma: usize) -> Option<f64> {
    let mut short = [0_u8; 48];
    let mut long;
    let copy = match short.get_mut(..cell.len()) {
        Some(copy) => {
            copy.copy_from_slice(cell);
            copy
        }
        None => {
            long = cell.to_vec();
            long.as_mut_slice()
        }
    };
    *copy.get_mut(comma)? = b'.';
    std::str::from_utf8(copy).ok()?.parse().ok()
}

/// A number written with the typographic minus (U+2212).
fn unusual_minus(cell: &[u8], decimal: Decimal) -> Option<f64> {
    let rest = cell.strip_prefix("\u{2212}".as_bytes())?;
    let signed = matches!(rest.first(), Some(b'+' | b'-'));
    if signed || !is_number(rest, decimal) {
        return None;
    }
    parse(rest, decimal).map(|value| -value)
}

fn is_number(cell: &[u8], decimal: Decimal) -> bool {
    let unsigned = match cell {
        [b'+' | b'-', rest @ ..] => rest,
        all => all,
    };
    let (whole, rest) = digits(unsigned);
    let (fraction, rest) = match rest {
        [mark, rest @ ..] if *mark == decimal.byte() => {
            let (fraction, rest) = digits(rest);
            // "1," is a cell with its delimiter, not a number with a decimal comma.
            if fraction == 0 && decimal == Decimal::Comma {
                return false;
            }
            (fraction, rest)
        }
        rest => (0, rest),
    };
    if whole + fraction == 0 {
        return false;
    }
    match rest {
        [] => true,
        [b'e' | b'E', b'+' | b'-', exponent @ ..] | [b'e' | b'E', exponent @ ..] => {
            let (count, rest) = digits(exponent);
            count > 0 && rest.is_empty()
        }
        _ => false,
    }
}

/// How many digits come first, and what follows them.
fn digits(cell: &[u8]) -> (usize, &[u8]) {
    let count = cell.iter().take_while(|byte| byte.is_ascii_digit()).count();
    (count, cell.get(count..).unwrap_or_default())
}
