//! Tables that know where their plates are, and storage files.

use super::names::{pattern, plain};
use super::variants::{LR, six};
use super::{Sheet, bay};
use footing_core::frame::Handed;
use footing_core::geometry::Vec3;
use footing_core::recording::PlateKind::{self, ForceCop, VerticalCop};
use footing_formats::rig::ForceUnit;
use footing_formats::rig::LengthUnit::Millimetre;
use footing_formats::rig::MomentUnit::NewtonMillimetre;
use footing_formats::rig::TimeUnit::Second;
use footing_simulate::{Bay, Swing};

/// Centres of pressure counted from the laboratory's origin.
fn absolute(name: &str, kind: PlateKind, form: &'static str, sides: [&'static str; 2]) -> Sheet {
    absolute_in(name, bay(kind), Swing::default(), pattern(form, sides))
}

fn absolute_in(
    name: &str,
    bay: Bay,
    swing: Swing,
    header: impl Fn(&str, usize) -> String,
) -> Sheet {
    let kind = bay.plates[0].kind;
    let mut bay = bay.moved((0.4, -0.3));
    let centres: Vec<Vec3> = bay.plates.iter().map(|plate| plate.centre_m).collect();
    bay.force_noise_n = 0.2;
    let mut sheet = Sheet::of(name, swing, bay, header);
    for cell in &mut sheet.columns {
        let first = if kind == VerticalCop { 1 } else { 3 };
        if let Some((plate, channel)) = cell.channel
            && (channel == first || channel == first + 1)
        {
            let shift = [centres[plate].x, centres[plate].y][channel - first];
            for value in &mut cell.values {
                *value += shift;
            }
        }
    }
    sheet
}

pub fn centres() -> Vec<Sheet> {
    let plates =
        |name: &str, form: &'static str| Sheet::new(name, bay(ForceCop), pattern(form, LR));
    let right = |sheet: &mut Sheet| sheet.handed = Some(Handed::Right);
    vec![
        plates("centre COPx1", "{c}{p}"),
        plates("centre CoP X 1", "{q} {A} {p}"),
        Sheet::new(
            "centre Ax Ay Tz",
            bay(ForceCop),
            |channel, plate| match channel {
                "cop_x" => format!("Ax{plate}"),
                "cop_y" => format!("Ay{plate}"),
                other => plain(other, plate),
            },
        ),
        plates("centre without free moment", "{c}{p}").without("Tz"),
        Sheet::new(
            "centre beside Mz",
            bay(ForceCop),
            |channel, plate| match channel {
                "tz" => format!("Mz{plate}"),
                other => plain(other, plate),
            },
        ),
        Sheet::new("vertical Fz1 COPx1", bay(VerticalCop), plain),
        Sheet::new("vertical force alone", bay(VerticalCop), plain).without("COP"),
        absolute(
            "absolute centres, left and right, hand known",
            ForceCop,
            "{s} {c}",
            LR,
        )
        .change(right),
        absolute(
            "absolute centres, left and right, hand unknown",
            ForceCop,
            "{s} {c}",
            LR,
        ),
        absolute(
            "absolute centres, lead and trail",
            ForceCop,
            "{c} {s}",
            ["Lead", "Trail"],
        ),
        absolute("absolute centres, plates 1 and 2", ForceCop, "{c}{p}", LR),
        absolute(
            "absolute centres, vertical only",
            VerticalCop,
            "{s} {c}",
            LR,
        )
        .change(right),
        absolute(
            "absolute centres in mm, lead and trail",
            ForceCop,
            "{c} {s}",
            ["Lead", "Trail"],
        )
        .in_units(ForceUnit::Newton, NewtonMillimetre, Millimetre, Second)
        .change(|sheet| sheet.unit_row = true),
        absolute(
            "absolute centres, force on the plate",
            ForceCop,
            "{c} {s}",
            ["Lead", "Trail"],
        )
        .change(|sheet| {
            sheet.bay.on_player = false;
            for plate in &mut sheet.truth.plates {
                let shear = plate.shear.as_mut().expect("shear");
                let all = [&mut plate.fz_n, &mut plate.mx_nm, &mut plate.my_nm];
                let all =
                    all.into_iter()
                        .chain([&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm]);
                all.flatten().for_each(|value| *value = -*value);
            }
            for cell in &mut sheet.columns {
                if matches!(cell.channel, Some((_, 0 | 1 | 2 | 5))) {
                    cell.values.iter_mut().for_each(|value| *value = -*value);
                }
            }
        }),
        absolute(
            "absolute centres, shear on the plate, vertical turned",
            ForceCop,
            "{c} {s}",
            ["Lead", "Trail"],
        )
        .change(|sheet| {
            for cell in &mut sheet.columns {
                sheet.beyond_rigs = true;
                if matches!(cell.channel, Some((_, 0 | 1 | 5))) {
                    cell.values.iter_mut().for_each(|value| *value = -*value);
                }
            }
        }),
        six(
            "moments and absolute centres, lead and trail",
            pattern("{s} {c}", ["Lead", "Trail"]),
        )
        .change(|sheet| {
            let bay = sheet.bay.clone();
            for (plate, side) in ["Lead", "Trail"].into_iter().enumerate() {
                let truth = sheet.truth.plates[plate].clone();
                let centre = bay.plates[plate].centre_m;
                let cop = |moment: &[f64], sign: f64, shift: f64| -> Vec<f64> {
                    let each = moment.iter().zip(&truth.fz_n);
                    each.map(|(m, fz)| sign * m / fz + shift).collect()
                };
                let cops = [
                    ("COPx", cop(&truth.my_nm, -1.0, centre.x)),
                    ("COPy", cop(&truth.mx_nm, 1.0, centre.y)),
                ];
                for (axis, values) in cops {
                    let header = format!("{side} {axis}");
                    *sheet = sheet.clone().with(&header, "m", |i| values[i]);
                    sheet.columns.last_mut().expect("a column").decimals = 5;
                }
            }
        }),
    ]
}

/// A storage file: x forward, y up, z right, points from the laboratory's origin.
fn storage(name: &str, header: &[&str], label: impl Fn(&str, usize) -> String) -> Sheet {
    storage_of(name, bay(ForceCop), Swing::default(), header, label)
}

/// The same of any bay whose plates' x lies along the laboratory's.
fn storage_of(
    name: &str,
    bay: Bay,
    swing: Swing,
    header: &[&str],
    label: impl Fn(&str, usize) -> String,
) -> Sheet {
    let mut sheet = absolute_in(name, bay.clone(), swing, pattern("{c}{p}", LR));
    let n = sheet.truth.t_s.len();
    let mut columns: Vec<super::Cell> = sheet.columns.drain(..1).collect();
    columns[0].header = "time".to_owned();
    for plate in 0..bay.plates.len() {
        let find = |channel: usize| {
            let wanted = Some((plate, channel));
            sheet
                .columns
                .iter()
                .find(|cell| cell.channel == wanted)
                .cloned()
        };
        let put = |label: String, channel: Option<usize>, sign: f64| {
            let from = channel.and_then(find);
            // The plate's x, y, z are the file's z, x, y.
            let rig_channel = channel.map(|c| match c {
                0 => 1,
                1 => 0,
                3 => 4,
                4 => 3,
                other => other,
            });
            super::Cell {
                header: label,
                unit: "",
                values: from.map_or(vec![0.0; n], |c| {
                    c.values.iter().map(|v| sign * v).collect()
                }),
                decimals: 5,
                channel: rig_channel.map(|c| (plate, c)),
                is_time: false,
            }
        };
        for (part, channels) in [
            ("vx vy vz", [Some(0), Some(2), Some(1)]),
            ("px py pz", [Some(3), None, Some(4)]),
            ("tx ty tz", [None, Some(5), None]),
        ] {
            for (axis, channel) in part.split(' ').zip(channels) {
                let sign = if axis.ends_with('z') { -1.0 } else { 1.0 };
                columns.push(put(label(axis, plate), channel, sign));
            }
        }
    }
    sheet.columns = columns;
    sheet.delimiter = '\t';
    sheet.preamble = header.iter().map(|line| (*line).to_owned()).collect();
    sheet
}

const STORAGE: [&str; 5] = [
    "swing",
    "version=1",
    "nRows=901",
    "nColumns=19",
    "endheader",
];

/// `ground_force_vx`, `1_ground_force_vx`, `ground_torque_x`.
fn storage_label(prefixes: [&'static str; 2]) -> impl Fn(&str, usize) -> String {
    move |part, plate| {
        let prefix = prefixes[plate];
        match part.strip_prefix('t') {
            Some(axis) => format!("{prefix}ground_torque_{axis}"),
            None => format!("{prefix}ground_force_{part}"),
        }
    }
}

/// A left-handed player whose target lies against the file's forward axis.
fn backward(name: &str, prefixes: [&'static str; 2]) -> Sheet {
    let mut bay = Bay::two_plates(ForceCop, 180.0, 180.0, true);
    bay.rate_hz = super::RATE;
    let swing = Swing {
        handed: Handed::Left,
        ..Swing::default()
    };
    storage_of(name, bay, swing, &STORAGE, storage_label(prefixes))
}

pub fn storages() -> Vec<Sheet> {
    let simm = [
        "name swing.mot",
        "datacolumns 19",
        "datarows 10",
        "range 0 3",
        "endheader",
    ];
    vec![
        storage(
            "storage, lead and trail",
            &STORAGE,
            storage_label(["lead_", "trail_"]),
        ),
        backward(
            "storage, left-handed, target behind, hand known",
            ["r_", "l_"],
        )
        .change(|sheet| sheet.handed = Some(Handed::Left)),
        backward(
            "storage, left-handed, target behind, hand unknown",
            ["r_", "l_"],
        ),
        backward(
            "storage, target behind, lead and trail",
            ["lead_", "trail_"],
        ),
        backward("storage, target behind, groups 0 and 1", ["", "1_"]),
        storage("storage, torques that are not upright", &STORAGE, {
            storage_label(["lead_", "trail_"])
        })
        .change(|sheet| {
            for cell in &mut sheet.columns {
                if cell.header.ends_with("ground_torque_x") {
                    let n = cell.values.len();
                    cell.values = (0..n).map(|i| 20.0 * (i as f64 * 0.01).sin()).collect();
                }
            }
        }),
        storage(
            "storage, groups 0 and 1",
            &STORAGE,
            storage_label(["", "1_"]),
        ),
        storage("storage, SIMM header", &simm, storage_label(["", "1_"])),
        storage(
            "storage, left and right, hand unknown",
            &STORAGE,
            storage_label(["l_", "r_"]),
        ),
        storage(
            "storage, left and right, hand known",
            &STORAGE,
            storage_label(["L_", "R_"]),
        )
        .change(|sheet| sheet.handed = Some(Handed::Right)),
        storage("storage, foot behind", &STORAGE, |part, plate| {
            let foot = ["l", "r"][plate];
            match part.strip_prefix('t') {
                Some(axis) => format!("ground_torque_{foot}_{axis}"),
                None => format!("ground_force_{foot}_{part}"),
            }
        })
        .change(|sheet| sheet.handed = Some(Handed::Right)),
        storage("storage, numbered vectors", &STORAGE, |part, plate| {
            let letter = match &part[..1] {
                "v" => "f",
                "p" => "p",
                _ => "m",
            };
            let axis = "xyz".find(&part[1..]).unwrap_or(0) + 1;
            format!("{letter}{}_{axis}", plate + 1)
        }),
        storage("storage, no torques", &STORAGE, storage_label(["l_", "r_"]))
            .without("torque")
            .change(|sheet| sheet.handed = Some(Handed::Right)),
        storage(
            "storage, joint angles between",
            &STORAGE,
            storage_label(["l_", "r_"]),
        )
        .with("knee_angle_r", "", |i| (i as f64 * 0.01).sin())
        .with("pelvis_tx", "", |i| i as f64 * 0.001)
        .change(|sheet| {
            sheet.handed = Some(Handed::Right);
            sheet.columns.rotate_right(2);
            let time = sheet.columns.remove(2);
            sheet.columns.insert(0, time);
        }),
    ]
}
