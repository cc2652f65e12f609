//! One swing in many files: unit systems, delimiters, plate kinds, senses, C3D encodings.

use footing_core::recording::PlateKind;
use footing_simulate::bay::sample;
use footing_simulate::c3d_out::{C3dStyle, c3d};
use footing_simulate::csv_out::{
    CM, INCH, KGF, KN, LBF, LBF_FT, M, MM, MS, N, N_M, N_MM, S, TableStyle, TableUnits, rig, table,
};
use footing_simulate::{Bay, Processor, Swing};

/// A file, and the rig it needs.
pub struct Guise {
    pub name: String,
    pub bytes: Vec<u8>,
    pub rig: Option<String>,
}

const KINDS: [PlateKind; 3] = [
    PlateKind::SixComponent,
    PlateKind::ForceCop,
    PlateKind::EightChannel,
];

fn bays(like: &Bay) -> Vec<(String, Bay)> {
    let mut all = Vec::new();
    for kind in KINDS {
        for (turn, z_up, on_player) in [
            (0.0, true, true),
            (90.0, false, true),
            (180.0, false, false),
        ] {
            let mut bay = Bay::two_plates(kind, like.target_azimuth_deg, turn, z_up);
            bay.rate_hz = like.rate_hz;
            bay.on_player = on_player;
            all.push((
                format!(
                    "{} turn {turn} z_up {z_up} on_player {on_player}",
                    kind.name()
                ),
                bay,
            ));
        }
    }
    all
}

/// Every guise of a swing in bays like this one.
pub fn all(swing: &Swing, like: &Bay) -> Vec<Guise> {
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
                decimals: 4,
            };
            out.push(Guise {
                name: format!("{label}, {} {}.csv", units.force.name, units.moment.name),
                bytes: table(&bay, &channels, &style).into_bytes(),
                rig: Some(rig("guise", &bay, &style)),
            });
        }
        // In C3D the target is lab +x unless told, and z down is the norm.
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
