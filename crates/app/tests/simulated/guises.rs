//! One swing in many files: unit systems, delimiters, plate kinds and order, senses, C3D encodings.

use crate::common::{differences, given};
use footing_app::analyse;
use footing_app::analysis::{Handed, Settings};
use footing_app::formats::rig::parse;
use footing_core::recording::PlateKind;
use footing_simulate::bay::sample;
use footing_simulate::c3d_out::{C3dStyle, c3d};
use footing_simulate::csv_out::{
    CM, INCH, KGF, KN, LBF, LBF_FT, M, MM, MS, N, N_M, N_MM, S, TableStyle, TableUnits, rig, table,
};
use footing_simulate::{About, Bay, Events, Processor, Swing, truth};
use proptest::prelude::*;

/// A file, and the rig it needs.
struct Guise {
    name: String,
    bytes: Vec<u8>,
    rig: Option<String>,
}

const KINDS: [PlateKind; 3] = [
    PlateKind::SixComponent,
    PlateKind::ForceCop,
    PlateKind::EightChannel,
];

fn bays(like: &Bay) -> Vec<(String, Bay)> {
    let mut all = Vec::new();
    for kind in KINDS {
        for (turn, z_up, on_player, trail_first) in [
            (0.0, true, true, false),
            (90.0, false, true, true),
            (180.0, false, false, false),
        ] {
            let mut bay = Bay::two_plates(kind, like.target_azimuth_deg, turn, z_up);
            bay.rate_hz = like.rate_hz;
            bay.on_player = on_player;
            if trail_first {
                bay.plates.reverse();
            }
            all.push((
                format!(
                    "{} turn {turn} z_up {z_up} on_player {on_player} trail_first {trail_first}",
                    kind.name()
                ),
                bay,
            ));
        }
    }
    all
}

/// Every guise of a swing in bays like this one.
fn all(swing: &Swing, like: &Bay) -> Vec<Guise> {
    let mut out = Vec::new();
    let units = [
        TableUnits::SI,
        TableUnits {
            force: KN,
            moment: N_MM,
            length: MM,
            time: MS,
        },
        TableUnits {
            force: LBF,
            moment: LBF_FT,
            length: INCH,
            time: S,
        },
        TableUnits {
            force: KGF,
            moment: N_M,
            length: CM,
            time: S,
        },
        TableUnits {
            force: N,
            moment: N_M,
            length: M,
            time: MS,
        },
    ];
    for (i, (label, bay)) in bays(like).into_iter().enumerate() {
        let channels = sample(swing, &bay, 0);
        for (j, units) in units.into_iter().enumerate() {
            let style = TableStyle {
                delimiter: [',', ';', '\t', '|'][(i + j) % 4],
                decimal_comma: (i + j) % 4 != 0 && j % 2 == 1,
                units,
                unit_row: j % 2 == 0,
                crlf: i % 2 == 1,
                decimals: 7,
            };
            out.push(Guise {
                name: format!("{label}, {} {}.csv", units.force.name, units.moment.name),
                bytes: table(&bay, &channels, &style).into_bytes(),
                rig: Some(rig("guise", &bay, &style)),
            });
        }
        // in C3D z down is the norm
        if bay.plates.iter().all(|p| !p.z_up) {
            for processor in [Processor::Intel, Processor::Dec, Processor::Mips] {
                for calibrated in [false, true] {
                    let style = C3dStyle {
                        processor,
                        float: true,
                        point_rate_hz: bay.rate_hz / 5.0,
                        ratio: 5,
                        calibrated,
                        ..C3dStyle::default()
                    };
                    out.push(Guise {
                        name: format!("{label}, {processor:?} calibrated {calibrated}.c3d"),
                        bytes: c3d(&bay, &channels, &style),
                        rig: None,
                    });
                }
            }
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 5, ..ProptestConfig::default() })]

    /// Whatever the units, the format, the kind and the order of the plates, the hand and the way
    /// the bay faces: every measure of the file is the truth, within its tolerance without noise.
    #[test]
    fn every_guise_gives_the_truth(
        seed in 0_u64..10_000, left in any::<bool>(), azimuth_deg in -180.0..180.0_f64,
    ) {
        let handed = if left { Handed::Left } else { Handed::Right };
        let swing = Swing { handed, ..Swing::varied(seed) };
        let bay = Bay::two_plates(PlateKind::SixComponent, azimuth_deg, 0.0, true);
        let truth = truth(&swing, About::StanceCentre);
        let settings = Settings {
            handed,
            given: given(&Events::of(&swing).later(bay.swing_start_s())),
            ..Settings::default()
        };
        let guises = all(&swing, &bay);
        prop_assert!(guises.len() >= 60, "{} guises", guises.len());
        for guise in guises {
            let rig = guise.rig.as_ref().map(|text| parse("guise.rig.json", text.as_bytes()).unwrap());
            // a rig says where the target is; for a C3D a person has to
            let settings = Settings {
                target_azimuth_deg: rig.is_none().then_some(azimuth_deg),
                ..settings.clone()
            };
            let analysis = analyse(&guise.name, &guise.bytes, rig.as_ref(), &settings);
            let analysis = analysis.unwrap_or_else(|problem| panic!("{}: {problem}", guise.name));
            let wrong = differences(&analysis, &truth);
            prop_assert!(wrong.is_empty(), "{}:\n  {}", guise.name, wrong.join("\n  "));
        }
    }
}
