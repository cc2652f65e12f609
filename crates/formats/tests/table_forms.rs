//! The same table, however it is written, is the same recording.

mod table_support;

use footing_core::recording::{EventKind, FootRole};
use footing_formats::table::{Decimal, Delimiter, NamedUnit, sniff};
use footing_formats::{Level, read, rig};
use table_support::{HEADERS, RIG, codes, load, parse_rig, rig as test_rig, rows, table};

#[test]
fn every_delimiter_decimal_and_line_end_gives_the_same_recording() {
    let rig = test_rig();
    let expected = load(table(",", '.', "\n"), &rig).recording;
    table_support::assert_invariants(&expected);
    assert_eq!(expected.rate_hz, 1000.0);
    assert_eq!(expected.t_s[39], 0.039);
    let delimiters = [
        ",", ";", "\t", "|", " ", "   ", ":", "~", "¦", "§", "&", " \t ", "; ", ", ", "/",
    ];
    let mut written = 0;
    for delimiter in delimiters {
        for decimal in ['.', ','] {
            if decimal == ',' && delimiter.contains(',') {
                continue;
            }
            for line_end in ["\n", "\r\n", "\r"] {
                let text = table(delimiter, decimal, line_end);
                let loaded = load(&text, &rig);
                assert_eq!(
                    loaded.recording, expected,
                    "{delimiter:?} {decimal:?} {line_end:?}"
                );
                assert_eq!(codes(&loaded), [""; 0], "{delimiter:?}");
                // Without a line end after the last row, nothing is missing.
                let bare = text.trim_end_matches(['\r', '\n']);
                assert_eq!(load(bare, &rig).recording, expected);
                written += 1;
            }
        }
    }
    assert_eq!(written, (15 + 13) * 3);
}

#[test]
fn every_encoding_gives_the_same_recording() {
    // A name beyond ASCII, in the table and in the rig, so that decoding is seen to be right.
    let rig = parse_rig(&RIG.replace("\"Time\"", "\"Zeit in Säcken\""));
    let text = table(";", ',', "\r\n").replacen("Time", "Zeit in Säcken", 1);
    let expected = load(&text, &rig).recording;
    let units: Vec<u16> = text.encode_utf16().collect();
    let little: Vec<u8> = units.iter().flat_map(|u| u.to_le_bytes()).collect();
    let big: Vec<u8> = units.iter().flat_map(|u| u.to_be_bytes()).collect();
    let latin: Vec<u8> = text
        .chars()
        .map(|c| u8::try_from(u32::from(c)).expect("a Latin-1 letter"))
        .collect();
    let marked = |mark: &[u8], bytes: &[u8]| [mark, bytes].concat();
    for (encoding, bytes) in [
        (
            "UTF-8 with mark",
            marked(&[0xef, 0xbb, 0xbf], text.as_bytes()),
        ),
        ("UTF-16LE with mark", marked(&[0xff, 0xfe], &little)),
        ("UTF-16BE with mark", marked(&[0xfe, 0xff], &big)),
        ("UTF-16LE", little),
        ("UTF-16BE", big),
        ("Windows-1252", latin),
    ] {
        let loaded = read("t.csv", &bytes, Some(&rig));
        let loaded = loaded.unwrap_or_else(|problem| panic!("{encoding}: {problem}"));
        assert_eq!(loaded.recording, expected, "{encoding}");
    }
}

#[test]
fn windows_1252_letters_above_latin_1_are_those_of_the_whatwg_index() {
    // WHATWG Encoding Standard, index windows-1252: 0x80 euro, 0x8A S caron, 0x99 trade mark.
    let text = table(",", '.', "\n").into_bytes();
    let text = [&[0x80, 0x8a, 0x99], text.get(4..).unwrap()].concat();
    let sniffed = sniff("t.csv", &text).unwrap();
    assert_eq!(sniffed.headers[0], "€Š™");
}

#[test]
fn quoted_cells_may_hold_the_delimiter() {
    let rig = test_rig();
    let expected = load(table(",", '.', "\n"), &rig).recording;
    let mut text = String::new();
    for name in HEADERS {
        text += &format!("\"{name}\",");
    }
    text += "\n";
    for row in rows() {
        for value in row {
            text += &format!("\"{}\",", value.to_string().replace('.', ","));
        }
        text += "\n";
    }
    assert_eq!(load(&text, &rig).recording, expected);
}

#[test]
fn number_notations() {
    let rig = test_rig();
    let text = "Time,Fx,Fy,Fz,Mx,My,Mz,Trigger\n\
                0,+1,1e2,7.5E+2,-.5,5.,-0.00,0\n\
                1e-3,+1.0,100,750,-0.5,5,0,0\n\
                .002, 1 ,1.0e+02,75e1,\u{2212}0.5,0005,+0,0\n";
    let loaded = load(text, &rig);
    let plate = &loaded.recording.plates[0];
    let shear = plate.shear.as_ref().unwrap();
    assert_eq!(loaded.recording.t_s, [0.0, 0.001, 0.002]);
    assert_eq!(plate.fz_n, [750.0; 3]);
    assert_eq!(shear.fx_n, [1.0; 3]);
    assert_eq!(shear.fy_n, [100.0; 3]);
    // M about the centre: the moment point is 0.04 m below, so Mx gains Fy·0.04, My loses Fx·0.04.
    assert_eq!(plate.mx_nm, [-0.5 + 4.0; 3]);
    assert_eq!(plate.my_nm, [5.0 - 0.04; 3]);
}

#[test]
fn preambles_units_rows_and_blank_lines() {
    let rig = test_rig();
    let expected = load(table(",", '.', "\n"), &rig).recording;
    let plain = table(",", '.', "\n");
    let (names, data) = plain.split_once('\n').unwrap();
    for (what, text) in [
        ("title", format!("A player's swing\n{names}\n{data}")),
        (
            "title and blank",
            format!("Title, with comma\n\n{names}\n{data}"),
        ),
        ("rate row", format!("Devices\n1000\n{names}\n{data}")),
        (
            "padded rate row",
            format!("Devices,,,,,,,\n1000,,,,,,,\n{names}\n{data}"),
        ),
        ("units", format!("{names}\ns,N,N,N,N.m,N.m,N.m,V\n{data}")),
        (
            "bracketed units",
            format!("{names}\n[s],[N],[N],[N],[Nm],[Nm],[Nm],[V]\n{data}"),
        ),
        (
            "blank unit",
            format!("{names}\n,(N),(N),(N),(N m),(N·m),(N.m),\n{data}"),
        ),
        (
            "devices",
            format!("Swing\n1000\n,Plate 1,,,,,,\n{names}\n,N,N,N,N.m,N.m,N.m,V\n{data}"),
        ),
        ("blank below names", format!("{names}\n\n{data}")),
        ("blank at the top", format!("\n\n{names}\n{data}")),
        ("blank at the end", format!("{names}\n{data}\n\n ,,\n")),
        (
            "trailing delimiters",
            format!("{names},\n{}", data.replace('\n', ",\n")),
        ),
        ("comment sign", format!("# {names}\n{data}")),
        ("stray quote", format!("\"Swing of\n{names}\n{data}")),
        (
            "key value lines",
            format!("Rate (Hz):,1000\nMass,74\nPlates,1\n{names}\n{data}"),
        ),
        // As the text exports of an instrument's software have it: a value for every column.
        (
            "key and a value a column",
            format!(
                "Export\nDevice:{p}\nSamples (#):{n}\nRate (Hz):{n}\nFile Information\nDate,May 13\n\
                 Name,\n{names}\n,N,N,N,N m,N m,N m,V\n{data}",
                p = ",Plate".repeat(7),
                n = ",1000.000000".repeat(7),
            ),
        ),
    ] {
        let loaded = load(&text, &rig);
        assert_eq!(loaded.recording, expected, "{what}");
        assert_eq!(codes(&loaded), [""; 0], "{what}");
    }
}

#[test]
fn headers_match_whatever_their_case_and_with_their_units() {
    let rig = test_rig();
    let expected = load(table(",", '.', "\n"), &rig).recording;
    let text = table(",", '.', "\n")
        .replacen("Time", "TIME (s)", 1)
        .replacen("Fx", "fx [N]", 1)
        .replacen("Mz", "Mz (Nm)", 1);
    assert_eq!(load(text, &rig).recording, expected);
}

#[test]
fn aligned_names_may_hold_single_blanks() {
    let rig = parse_rig(&RIG.replace("\"Fz\"", "\"Plate 1 Fz\""));
    let text = "Time    Fx    Fy    Plate 1 Fz    Mx   My   Mz   Trigger\n\
                \x20 0.000  1.5   2.5  700.5  0  0  0  0\n\
                \x20 0.001  1.5   2.5  710.5  0  0  0  0\n";
    assert_eq!(load(text, &rig).recording.plates[0].fz_n, [700.5, 710.5]);
}

#[test]
fn a_table_without_names_is_wired_by_number() {
    // A blank first line, blanks as padding, no rate: as headerless jump exports come.
    let rig = r##"{ "format": "footing-rig/1", "time": {"rate_hz": 500}, "force_sense": "on-player",
        "units": { "force": "N", "moment": "N.m", "length": "m", "time": "s" },
        "plates": [ { "foot": "both", "kind": "vertical-cop",
          "columns": {"fz": "#3", "cop_x": "#1", "cop_y": "#2"}, "centre_m": [0, 0, 0],
          "x_azimuth_deg": 0, "z_axis": "up" } ] }"##;
    let rig = parse_rig(rig);
    let text = "\n   0.010    0.020    700.0\n   0.011    0.021   -800.0\n";
    let loaded = load(text, &rig);
    let plate = &loaded.recording.plates[0];
    assert_eq!(loaded.recording.t_s, [0.0, 0.002]);
    assert_eq!(loaded.recording.rate_hz, 500.0);
    assert_eq!(plate.fz_n, [700.0, -800.0]);
    assert_eq!(plate.mx_nm, [0.020 * 700.0, 0.021 * -800.0]);
    assert_eq!(plate.my_nm, [-0.010 * 700.0, -0.011 * -800.0]);
    assert_eq!(plate.shear, None);
    assert_eq!(plate.foot, FootRole::Both);
    assert_eq!(codes(&loaded), [""; 0]);
    assert_eq!(loaded.format, "Table, aligned by blanks, decimal point");
}

#[test]
fn a_further_block_ends_the_table() {
    let rig = test_rig();
    let expected = load(table(",", '.', "\r\n"), &rig).recording;
    let devices = table(",", '.', "\r\n");
    for (further, line) in [
        (
            "\r\nTrajectories\r\n200\r\nFrame,X,Y\r\n,mm,mm\r\n1,2,3\r\n2,3,4\r\n",
            43,
        ),
        ("Trajectories\r\n200\r\nFrame,X,Y\r\n1,2,3\r\n", 42),
        // As wide as the table, with no numbers where the table has them.
        ("\r\nFrame,a,b,c,d,e,f,g\r\n,mm,mm,,,,,\r\n", 43),
        ("\r\n1,2,3\r\n", 43),
    ] {
        let loaded = load(format!("{devices}{further}"), &rig);
        assert_eq!(loaded.recording, expected);
        assert_eq!(
            loaded.notes[0].text,
            format!(
                "another block begins in line {line} and was not read: the 40 samples from line 2 \
                 on were; if the recording goes on behind them, save that block as a file of its own"
            )
        );
        assert_eq!(codes(&loaded), ["further-block"]);
    }
}

#[test]
fn a_file_that_was_cut_loads_to_its_last_whole_line() {
    let rig = test_rig();
    let whole = table(",", '.', "\n");
    let expected = load(&whole, &rig).recording;
    for cut in ["0.04,1,2", "0.04,1,2,3,4,5,-", "0.04,1,2,3,4,5,6", "0"] {
        let loaded = load(format!("{whole}{cut}"), &rig);
        assert_eq!(loaded.recording, expected, "{cut}");
        assert_eq!(codes(&loaded), ["truncated"], "{cut}");
        assert_eq!(loaded.notes[0].level, Level::Warn);
        assert_eq!(
            loaded.notes[0].text,
            "the last line, 42, is cut short and was left out: the file may lack more; export it \
             again"
        );
    }
}

#[test]
fn markers_are_placed_between_samples() {
    let rig = test_rig();
    let recording = load(table(",", '.', "\n"), &rig).recording;
    // 0.5 at 24 ms to 4.5 at 25 ms: level 2.5 is halfway.
    let mark = &recording.marks[0];
    assert_eq!(mark.event, Some(EventKind::Impact));
    assert!((mark.t_s - 0.0245).abs() < 1e-12);
    assert!((mark.uncertainty_s - 0.0005).abs() < 1e-12);
    assert_eq!(mark.label, "Trigger");

    let falling = parse_rig(&RIG.replace("rising", "falling"));
    let loaded = load(table(",", '.', "\n"), &falling);
    assert_eq!(loaded.recording.marks, []);
    assert_eq!(codes(&loaded), ["marker-absent"]);
    let turned = table(",", '.', "\n").replace(",4.5\n", ",-4.5\n");
    let mark = &load(turned.replace(",0.5\n", ",5.5\n"), &falling)
        .recording
        .marks[0];
    assert!((mark.t_s - 0.0243).abs() < 1e-12);
}

#[test]
fn the_rig_wins_over_units_in_the_table_and_says_so() {
    let rig = test_rig();
    let text = table(",", '.', "\n");
    let expected = load(&text, &rig).recording;
    let loaded = load(text.replacen('\n', "\ns,N,N,N,N.mm,N.mm,N.mm,V\n", 1), &rig);
    assert_eq!(loaded.recording, expected);
    assert_eq!(codes(&loaded), ["units-disagree"]);
    assert_eq!(
        loaded.notes[0].text,
        "Mx is in N.mm in the table and N.m in the rig, and 2 more columns likewise; the rig's \
         units were used: check which is right"
    );
}

#[test]
fn uneven_times_are_said() {
    let rig = test_rig();
    // Times rounded to a tenth of a millisecond at 600 Hz: intervals alternate.
    let mut text = HEADERS.join(",") + "\n";
    for t in ["0", "0.0017", "0.0033", "0.005", "0.0067", "0.2"] {
        text += &format!("{t},1,2,700,0,0,0,0\n");
    }
    let loaded = load(text, &rig);
    assert!(codes(&loaded).contains(&"uneven-times"));
}

#[test]
fn what_a_rig_leaves_out_is_said() {
    let rig = parse_rig(
        r#"{ "format": "footing-rig/1", "time": {"column": "Time"}, "plates": [
            { "kind": "six-component", "centre_m": [0, 0, 0],
              "columns": {"fx":"Fx","fy":"Fy","fz":"Fz","mx":"Mx","my":"My","mz":"Mz"} } ] }"#,
    );
    let loaded = load(table(",", '.', "\n"), &rig);
    let texts: Vec<&str> = loaded.notes.iter().map(|n| n.text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "the rig does not say; assumed: units: N, N.m, m, s",
            "the rig does not say; assumed: plate 1: x_azimuth_deg 0",
            "the rig does not say; assumed: plate 1: z_axis up",
            "the rig does not say; assumed: plate 1: moment_point_m [0, 0, 0] (moments about the \
             surface centre)",
        ]
    );
    assert_eq!(loaded.recording.plates[0].foot, FootRole::Unassigned);
    assert_eq!(loaded.recording.target_azimuth_rad, None);
}

#[test]
fn sniffing_tells_how_a_table_is_written() {
    let text = "Swing 3\r\nRate (Hz):;1000\r\n\r\nTime;Fz (N);Note\r\n;;\r\ns;N;\r\n\
                0,000;700,5;a\r\n0,001;701,5;b\r\n\r\n0,002;702,5;c\r\n";
    let sniffed = sniff("t.csv", text.as_bytes()).unwrap();
    assert_eq!(sniffed.delimiter, Delimiter::Char(';'));
    assert_eq!(sniffed.decimal, Decimal::Comma);
    assert_eq!(sniffed.preamble, ["Swing 3", "Rate (Hz):;1000", ""]);
    assert_eq!(sniffed.header_line, Some(4));
    assert_eq!(sniffed.headers, ["Time", "Fz (N)", "Note"]);
    assert_eq!(
        sniffed.units,
        [
            Some(NamedUnit::Time(rig::TimeUnit::Second)),
            Some(NamedUnit::Force(rig::ForceUnit::Newton)),
            None
        ]
    );
    assert_eq!(
        (sniffed.data_line, sniffed.columns, sniffed.rows),
        (7, 3, 3)
    );
}
