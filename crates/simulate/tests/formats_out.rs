//! The writers write what was sampled.

use footing_core::recording::PlateKind;
use footing_simulate::bay::sample;
use footing_simulate::c3d_out::{C3dStyle, c3d};
use footing_simulate::csv_out::{CM, KN, MS, N_MM, TableStyle, TableUnits, rig, table};
use footing_simulate::{Bay, Processor, Swing};

#[test]
fn floats_of_three_processors() {
    // Published bit patterns: VAX F-floating 1.0 is 80 40 00 00 and −2.5 is 20 C1 00 00 in memory
    // order (VAX Architecture Reference Manual: sign, excess-128 exponent, fraction 0.1f);
    // IEEE 754 1.0 is 3F800000.
    assert_eq!(Processor::Dec.float(1.0), [0x80, 0x40, 0, 0]);
    assert_eq!(Processor::Dec.float(-2.5), [0x20, 0xC1, 0, 0]);
    assert_eq!(Processor::Dec.float(0.0), [0; 4]);
    assert_eq!(Processor::Intel.float(1.0), [0, 0, 0x80, 0x3F]);
    assert_eq!(Processor::Mips.float(1.0), [0x3F, 0x80, 0, 0]);
    assert_eq!(Processor::Mips.int(258), [1, 2]);
    assert_eq!(Processor::Dec.int(258), [2, 1]);
}

fn bay(kind: PlateKind) -> Bay {
    let mut bay = Bay::two_plates(kind, 0.0, 0.0, false);
    bay.rate_hz = 500.0;
    bay.force_noise_n = 0.5;
    bay
}

#[test]
fn c3d_header_and_data_are_where_the_user_guide_puts_them() {
    // Header words as numbered in the C3D user guide: word 1 is the parameter block and the key
    // 0x50, word 3 the analog values a frame, words 4 and 5 the frames, word 9 the first data
    // block, word 10 the analog samples a frame.
    let swing = Swing::default();
    for (kind, width) in [
        (PlateKind::ForceCop, 12),
        (PlateKind::SixComponent, 12),
        (PlateKind::EightChannel, 16),
    ] {
        let bay = bay(kind);
        let channels = sample(&swing, &bay, 3);
        let style = C3dStyle {
            float: true,
            ..C3dStyle::default()
        };
        let bytes = c3d(&bay, &channels, &style);
        let word = |n: usize| i16::from_le_bytes([bytes[2 * n - 2], bytes[2 * n - 1]]) as usize;
        assert_eq!(word(1), 0x5002);
        assert_eq!(word(2), 0);
        assert_eq!(word(3), width * 5);
        assert_eq!(word(5) - word(4) + 1, channels.t_s.len() / 5);
        assert_eq!(word(10), 5);
        assert_eq!(bytes.len() % 512, 0);
        let data = 512 * (word(9) - 1);
        assert_eq!(bytes[512 + 2] as usize, word(9) - 2, "parameter blocks");
        assert_eq!(bytes[512 + 3], 84);
        // Sample 700 of the first plate's vertical force, in the stored sense: z is down. Type 3
        // spreads it over four sensors.
        let at = data + 4 * width * 700;
        let float = |i: usize| {
            let p = at + 4 * i;
            f32::from_le_bytes([bytes[p], bytes[p + 1], bytes[p + 2], bytes[p + 3]])
        };
        let stored = &channels.plates[0];
        let (from_file, expected) = match kind {
            PlateKind::EightChannel => (
                (4..8).map(float).sum::<f32>(),
                (4..8).map(|c| stored[c][700]).sum::<f64>(),
            ),
            _ => (float(2), stored[2][700]),
        };
        assert!((f64::from(from_file) - expected).abs() < 1e-3);
        assert!(
            expected < -100.0,
            "a loaded plate with z down reads negative"
        );
    }
}

#[test]
fn integers_lose_less_than_the_noise() {
    let swing = Swing::default();
    let bay = bay(PlateKind::SixComponent);
    let channels = sample(&swing, &bay, 3);
    let bytes = c3d(&bay, &channels, &C3dStyle::default());
    let first = 512 * (usize::from(bytes[16]) - 1);
    let stored = &channels.plates[0][2];
    let peak = stored.iter().fold(0.0_f64, |p, v| p.max(v.abs()));
    let scale = f64::from((peak / 29_490.0) as f32);
    for i in (0..stored.len() / 5 * 5).step_by(97) {
        let p = first + 2 * (12 * i + 2);
        let value = f64::from(i16::from_le_bytes([bytes[p], bytes[p + 1]])) * scale;
        assert!((value - stored[i]).abs() <= 0.51 * scale);
    }
    assert!(scale < 0.1);
}

#[test]
fn tables_hold_the_samples_in_the_units_they_name() {
    let swing = Swing::default();
    let mut bay = bay(PlateKind::ForceCop);
    bay.impact_mark = true;
    let channels = sample(&swing, &bay, 3);
    let style = TableStyle {
        delimiter: ';',
        decimal_comma: true,
        crlf: true,
        unit_row: true,
        units: TableUnits {
            force: KN,
            moment: N_MM,
            length: CM,
            time: MS,
        },
        ..TableStyle::default()
    };
    let text = table(&bay, &channels, &style);
    let lines: Vec<&str> = text.split_terminator("\r\n").collect();
    assert_eq!(lines.len(), channels.t_s.len() + 2);
    assert!(lines[0].starts_with("Time;Fx1;Fy1;Fz1;Cx1;Cy1;Tz1;Fx2"));
    assert!(lines[1].starts_with("ms;kN;kN;kN;cm;cm;N.mm;kN"));
    for i in (0..channels.t_s.len()).step_by(53) {
        let cells: Vec<f64> = lines[i + 2]
            .split(';')
            .map(|cell| cell.replace(',', ".").parse().unwrap())
            .collect();
        assert!((cells[0] / 1000.0 - channels.t_s[i]).abs() < 1e-5);
        for (c, si) in [1000.0, 1000.0, 1000.0, 0.01, 0.01, 0.001]
            .into_iter()
            .enumerate()
        {
            let half_digit = [0.05, 0.05, 0.05, 5e-6, 5e-6, 0.5][c] * 1.001;
            let value = channels.plates[1][c][i];
            assert!((cells[7 + c] * si - value).abs() <= half_digit, "{c} {i}");
        }
        let after = i as f64 / bay.rate_hz - channels.impact_s;
        if !(0.0..=0.03).contains(&after) {
            assert_eq!(cells[13], 0.0);
        }
    }
    let rises = lines[2..]
        .iter()
        .position(|line| line.ends_with(";5"))
        .unwrap();
    let late = rises as f64 / bay.rate_hz - channels.impact_s;
    assert!((0.0..1.0 / bay.rate_hz).contains(&late));
    let rig: serde_json::Value = serde_json::from_str(&rig("Test", &bay, &style)).unwrap();
    assert_eq!(rig["format"], "footing-rig/1");
    assert_eq!(rig["units"]["force"], "kN");
    assert_eq!(rig["plates"][1]["columns"]["cop_x"], "Cx2");
    assert_eq!(rig["plates"][0]["z_axis"], "down");
}
