//! What holds for every table, found by searching for one for which it does not.

mod table_support;

use footing_formats::table::sniff;
use footing_formats::{read, rig};
use proptest::prelude::*;
use table_support::{RIG, assert_invariants, parse_rig, table};

/// A rig of two columns and a time, by number, that most random tables satisfy.
fn small_rig() -> rig::Rig {
    parse_rig(
        r##"{ "format": "footing-rig/1", "time": {"column": "#1"}, "plates": [
        { "kind": "vertical-cop", "columns": {"fz": "#2", "cop_x": "#3", "cop_y": "#4"},
          "centre_m": [0, 0, 0] } ] }"##,
    )
}

/// Numbers in every size that a table may hold.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        -2000.0..2000.0_f64,
        (-1e14..1e14_f64),
        (-40..14_i32, 1.0..10.0_f64).prop_map(|(e, m)| m * 10_f64.powi(e)),
        Just(0.0),
        Just(-0.0),
        Just(f64::MIN_POSITIVE),
        Just(5e-324),
    ]
}

fn is_sound(bytes: &[u8]) {
    for rig in [Some(&small_rig()), Some(&parse_rig(RIG)), None] {
        match read("x.csv", bytes, rig) {
            Ok(loaded) => assert_invariants(&loaded.recording),
            Err(problem) => {
                let text = problem.to_string();
                assert!(!text.contains('\n') && text.len() < 1500, "{text}");
                assert!(!problem.expected.is_empty() && !problem.hint.is_empty());
            }
        }
    }
    let _ = sniff("x.csv", bytes);
    let _ = rig::parse("x.rig.json", bytes);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        is_sound(&bytes);
    }

    #[test]
    fn any_text_of_table_letters_is_read_or_refused(text in "[0-9eE+\\-.,;\t \"\r\n#aN]{0,400}") {
        is_sound(text.as_bytes());
    }

    #[test]
    fn a_damaged_table_is_read_or_refused(
        place in 0..2000_usize, cut in 0..2500_usize, byte in any::<u8>(), wide in any::<bool>(),
    ) {
        let mut bytes = table(";", ',', "\r\n").into_bytes();
        if wide {
            let text = String::from_utf8(bytes).unwrap();
            bytes = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        }
        if let Some(there) = bytes.get_mut(place) {
            *there = byte;
        }
        bytes.truncate(cut);
        is_sound(&bytes);
    }

    #[test]
    fn a_damaged_rig_is_read_or_refused(place in 0..900_usize, byte in any::<u8>()) {
        let mut bytes = RIG.as_bytes().to_vec();
        if let Some(there) = bytes.get_mut(place) {
            *there = byte;
        }
        if let Ok(rig) = rig::parse("x.rig.json", &bytes) {
            prop_assert_eq!(rig::parse("y", rig.to_json().as_bytes()).unwrap().plates, rig.plates);
        }
    }

    /// Every number comes back to the last bit, whatever the delimiter and decimal mark.
    #[test]
    fn numbers_come_back_exactly(
        cells in proptest::collection::vec((number(), number(), number()), 2..40),
        form in 0..5_usize, exponent in any::<bool>(),
    ) {
        let (delimiter, decimal) = [(",", "."), (";", ","), ("\t", ","), (" ", "."), ("|", ",")][form];
        let write = |value: f64| {
            let text = if exponent { format!("{value:e}") } else { value.to_string() };
            text.replace('.', decimal)
        };
        let mut text = ["t", "fz", "x", "y"].join(delimiter) + "\n";
        for (i, (fz, x, y)) in cells.iter().enumerate() {
            let row = [i as f64, *fz, *x, *y].map(write);
            text += &(row.join(delimiter) + "\n");
        }
        let recording = read("x.csv", text.as_bytes(), Some(&small_rig())).unwrap().recording;
        assert_invariants(&recording);
        let plate = &recording.plates[0];
        for (i, (fz, x, y)) in cells.iter().enumerate() {
            prop_assert_eq!(plate.fz_n[i].to_bits(), fz.to_bits());
            prop_assert_eq!(plate.mx_nm[i], y * fz);
            prop_assert_eq!(plate.my_nm[i], -x * fz);
        }
    }
}
