//! Notes as the command prints them: a sentence, and the option that does what it tells to do.

use footing_app::Settings;
use footing_app::analysis::Handed;

use crate::text::one_line;

/// A note in print. The page has fields and boxes for what options do here, so notes name neither.
pub fn in_print(code: &str, text: &str, settings: &Settings) -> String {
    let text = sentence(text);
    option(code, settings).map_or_else(|| text.clone(), |option| format!("{text} ({option})"))
}

/// One line that begins with a capital letter: readers of files begin with a small one.
pub fn sentence(text: &str) -> String {
    let text = one_line(text);
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// What can be typed to follow the note of this code.
fn option(code: &str, settings: &Settings) -> Option<&'static str> {
    match code {
        "hand-mirrored" => Some(match settings.handed {
            Handed::Right => "--handed left",
            Handed::Left => "--handed right",
        }),
        "quiet-residue" if !settings.zero_quiet => Some("--zero-quiet"),
        "mass-typed" => Some("--mass"),
        "load-threshold-too-high" => Some("--load-threshold"),
        "feet-swapped" | "target-unknown" => Some("--target-azimuth"),
        "events-out-of-order" => Some("--events"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_capital_letter_and_the_option() {
        let print = |code, text| in_print(code, text, &Settings::default());
        assert_eq!(
            print("plate-tilted", "plate 1 is tilted"),
            "Plate 1 is tilted"
        );
        assert_eq!(print("x", "é\nb"), "É b");
        assert_eq!(print("x", ""), "");
        assert_eq!(print("hand-mirrored", "Turn."), "Turn. (--handed left)");
        assert_eq!(print("quiet-residue", "Left."), "Left. (--zero-quiet)");
        let zeroed = Settings {
            zero_quiet: true,
            handed: Handed::Left,
            ..Settings::default()
        };
        assert_eq!(in_print("quiet-residue", "Left.", &zeroed), "Left.");
        assert_eq!(
            in_print("hand-mirrored", "Turn.", &zeroed),
            "Turn. (--handed right)"
        );
    }
}
