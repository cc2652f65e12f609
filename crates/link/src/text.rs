//! Cleaning of the free texts: one line, no control characters, a bounded length.

/// Most characters of a set's label.
pub const LABEL_CHARS: usize = 24;
/// Most characters of the title.
pub const TITLE_CHARS: usize = 60;
/// Most characters of the cue.
pub const CUE_CHARS: usize = 140;

/// The text as it is carried: control characters and characters that turn the reading direction or
/// take no room become spaces, runs of white space one space, the ends are trimmed, and what is
/// beyond `limit` characters is cut.
///
/// Cleaning a clean text changes nothing. The receiver cleans again, so a forged link cannot bring in
/// what a sender could not have typed. It must still be shown as text, never as markup.
pub fn clean(text: &str, limit: usize) -> String {
    let mut found = String::new();
    let (mut count, mut gap) = (0, false);
    for c in text.chars() {
        if c.is_whitespace() || c.is_control() || is_unseen(c) {
            gap = count > 0;
            continue;
        }
        // A gap is only written before a character that still fits.
        if count + usize::from(gap) >= limit {
            break;
        }
        if std::mem::take(&mut gap) {
            found.push(' ');
            count += 1;
        }
        found.push(c);
        count += 1;
    }
    found
}

/// Directional marks, overrides and isolates, zero-width characters, line separators, byte-order
/// mark, tags. The joiners U+200C and U+200D stay: some scripts need them.
fn is_unseen(c: char) -> bool {
    matches!(c,
        '\u{00ad}' | '\u{061c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}'
        | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn texts_become_one_clean_line() {
        assert_eq!(clean("  lead\theel\r\n first ", 60), "lead heel first");
        assert_eq!(clean("a\u{202e}b\u{0}c", 60), "a b c");
        assert_eq!(clean("abcdef", 3), "abc");
        assert_eq!(clean("ab cd", 3), "ab");
        assert_eq!(clean("Fuß ⛳", 5), "Fuß ⛳");
        assert_eq!(clean("\u{200b}", 5), "");
    }

    proptest! {
        #[test]
        fn cleaning_twice_is_cleaning_once(text in "\\PC{0,40}[\\x00-\\x20\u{202a}-\u{202e}]{0,5}\\PC{0,40}", limit in 0_usize..70) {
            let once = clean(&text, limit);
            prop_assert!(once.chars().count() <= limit);
            prop_assert_eq!(clean(&once, limit), once.clone());
        }
    }
}
