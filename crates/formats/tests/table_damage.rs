//! One damaged line deep in a long table: the rest of the recording must not vanish unsaid.

mod table_support;

use footing_formats::Level;
use table_support::{HEADERS, codes, load, refusal, rig};

/// The damaged line, from 1: far below what is looked at to find out how a table is written.
const LINE: usize = 4711;

/// Ten seconds at 1000 Hz, the names in line 1, line by line.
fn lines() -> Vec<String> {
    let row = |i: u32| {
        let x = f64::from(i);
        let t_s = x / 1000.0;
        let trigger = if i < 2_000 { 0 } else { 5 };
        let (fx, fy, fz) = (x % 7.0, x % 5.0, 700.0 + x % 11.0);
        format!("{t_s},{fx},{fy},{fz},0.5,-0.25,2,{trigger}")
    };
    std::iter::once(HEADERS.join(","))
        .chain((0..10_000).map(row))
        .collect()
}

/// The table with its line 4711 replaced, whatever its line ends.
fn damaged(by: &str, line_end: &str) -> String {
    let mut lines = lines();
    lines[LINE - 1] = by.to_owned();
    lines.join(line_end) + line_end
}

#[test]
fn a_word_for_a_line_is_refused_where_the_table_goes_on() {
    let expected = "t.csv:4711: this is no line of data (1 cell, the first \"hello\"), yet data go \
                    on in line 4712; expected 8 cells of numbers, as in the table's first line of \
                    data; try correcting the line, exporting again, or, for a second recording, a \
                    file of its own";
    for line_end in ["\n", "\r\n", "\r"] {
        assert_eq!(
            refusal(damaged("hello", line_end), &rig()),
            expected,
            "{line_end:?}"
        );
    }
}

#[test]
fn whatever_stands_between_two_stretches_of_data_is_refused() {
    let names = HEADERS.join(",");
    for (by, place, goes_on) in [
        ("hello,there".to_owned(), 4711, 4712),
        // An empty line before it makes it look like the title of a block.
        ("\nhello".to_owned(), 4712, 4713),
        ("\nhello,,,,,,,".to_owned(), 4712, 4713),
        // A second recording under the same names.
        (format!("\n{names}"), 4712, 4713),
        ("\n1,2,3".to_owned(), 4712, 4713),
        ("hello\nhello\nhello".to_owned(), 4711, 4714),
        // A quote that never closes would swallow the five thousand lines behind it.
        ("\"hello".to_owned(), 4711, 4712),
        ("\"4.709,1,1,700,0,0,0,0".to_owned(), 4711, 4712),
    ] {
        let said = refusal(damaged(&by, "\n"), &rig());
        assert!(
            said.starts_with(&format!("t.csv:{place}: ")),
            "{by:?}: {said}"
        );
        assert!(
            said.contains(&format!("data go on in line {goes_on};")),
            "{by:?}: {said}"
        );
        assert!(!said.contains('\n') && said.len() < 400, "{by:?}: {said}");
    }
}

#[test]
fn unequal_lines_in_line_4711() {
    for (by, cells) in [
        ("4.709,1,1,700,0,0,0", 7),
        ("4.709,1,1,700,0,0,0,0,0", 9),
        ("4.709", 1),
    ] {
        let cells = format!("{cells} {}", if cells == 1 { "cell" } else { "cells" });
        assert_eq!(
            refusal(damaged(by, "\n"), &rig()),
            format!(
                "t.csv:4711: the line has {cells}; expected 8, as in the table's first line of \
                 data; try exporting the file again"
            )
        );
    }
}

#[test]
fn a_cell_that_is_no_number_in_line_4711() {
    for (by, column, what) in [
        (
            "4.709,1,1,seven,0,0,0,0",
            4,
            "the cell of \"Fz\" holds \"seven\"",
        ),
        ("4.709,1,1,,0,0,0,0", 4, "the cell of \"Fz\" is blank"),
        (
            "4.709,NaN,1,700,0,0,0,0",
            2,
            "the cell of \"Fx\" is missing (\"nan\")",
        ),
        ("hello,,,,,,,", 1, "the cell of \"Time\" holds \"hello\""),
    ] {
        let said = refusal(damaged(by, "\n"), &rig());
        let expected = format!(
            "t.csv:4711:{column}: {what}; expected a number; try exporting the recording without \
             gaps, or correcting the cell"
        );
        assert_eq!(said.to_lowercase(), expected.to_lowercase());
    }
}

#[test]
fn a_block_of_another_shape_ends_the_table_with_a_warning() {
    let mut text = lines()[..LINE - 1].join("\n");
    text += "\n\nTrajectories\n200\nFrame,X,Y\n,mm,mm\n1,2,3\n2,3,4\n";
    let loaded = load(text, &rig());
    assert_eq!(loaded.recording.t_s.len(), LINE - 2);
    assert_eq!(codes(&loaded), ["further-block"]);
    assert_eq!(loaded.notes[0].level, Level::Warn);
    assert_eq!(
        loaded.notes[0].text,
        "another block begins in line 4712 and was not read: the 4709 samples from line 2 on were; \
         if the recording goes on behind them, save that block as a file of its own"
    );
}
