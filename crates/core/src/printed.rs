//! Numbers in sentences that people read. Files that machines read have their own.

/// A number with this many decimals, a true minus sign, and no "−0".
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value.abs());
    if value < 0.0 && !is_nil(&text) {
        format!("\u{2212}{text}")
    } else {
        text
    }
}

/// A number with its sign always written.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.starts_with('\u{2212}') || is_nil(&text) {
        text
    } else {
        format!("+{text}")
    }
}

fn is_nil(text: &str) -> bool {
    text.bytes().all(|b| b == b'0' || b == b'.')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minus_is_a_true_minus_and_zero_has_none() {
        assert_eq!(fixed(-24.61, 1), "\u{2212}24.6");
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(signed(6.0, 1), "+6.0");
        assert_eq!(signed(-6.0, 1), "\u{2212}6.0");
        assert_eq!(signed(0.01, 1), "0.0");
    }
}
