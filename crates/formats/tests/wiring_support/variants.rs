//! The corpus: habits of exports, one a table.

use super::names::{
    FRENCH, GERMAN, JAPANESE, SPANISH, bare, in_language, pattern, plain, vertical_in,
};
use super::{Encoding, RATE, Sheet, bay};
use footing_core::frame::Handed;
use footing_core::geometry::Vec3;
use footing_core::recording::{FootRole, PlateKind};
use footing_formats::rig::{ForceUnit, LengthUnit, MomentUnit, TimeUnit};
use footing_simulate::{Bay, Swing};

use LengthUnit::{Centimetre, Metre, Millimetre};
use MomentUnit::{NewtonMetre, NewtonMillimetre, PoundForceFoot};
use PlateKind::{EightChannel, ForceCop, SixComponent, VerticalCop};
use TimeUnit::{Millisecond, Second};

const LR: [&str; 2] = ["Left", "Right"];

pub fn all() -> Vec<Sheet> {
    [
        names(),
        languages(),
        centres(),
        storages(),
        eights(),
        units(),
        forms(),
        clocks(),
        orders(),
        bays(),
    ]
    .concat()
}

fn six(name: &str, header: impl Fn(&str, usize) -> String) -> Sheet {
    Sheet::new(name, bay(SixComponent), header)
}

fn names() -> Vec<Sheet> {
    let named = |name: &str, form: &'static str| six(name, pattern(form, LR));
    let sided = |name: &str, form: &'static str, sides| six(name, pattern(form, sides));
    vec![
        six("names Fx1", plain),
        named("names 1Fx", "{p}{c}"),
        named("names FX_1", "{C}_{p}"),
        named("names Force.Fx1", "{q}.{c}{p}"),
        named("names Plate 1 Fx", "Plate {p} {c}"),
        named("names F1x", "{l}{p}{a}"),
        named("names FP1_ForceX", "FP{p}_{q}{A}"),
        named("names Force X (plate 1)", "{q} {A} (plate {p})"),
        named("names GRF/moment words", "FP {p} {q} {a}"),
        sided("names Left Fx", "{s} {c}", LR),
        sided("names L_Fx", "{s}_{c}", ["L", "R"]),
        sided("names FxL", "{c}{s}", ["L", "R"]),
        sided("names LFx", "{s}{c}", ["L", "R"]),
        sided("names Lead Fx", "{s} {c}", ["Lead", "Trail"]),
        sided("names Fx front foot", "{c} {s} foot", ["front", "back"]),
        sided("names A and B", "{c} {s}", ["A", "B"]),
        six("names repeated plate by plate", bare),
        six("names with .1 for repeats", |channel, plate| match plate {
            1 => bare(channel, 1),
            _ => format!("{}.1", bare(channel, 1)),
        }),
        six("names of devices in a row above", bare).change(|sheet| {
            let mut groups = vec![String::new(); sheet.columns.len()];
            for (plate, start) in [(1, 1), (2, 7)] {
                groups[start] = format!("Force plate #{plate} - Force");
                groups[start + 3] = format!("Force plate #{plate} - Moment");
            }
            sheet.groups = Some(groups);
        }),
        six("names none", plain).change(|sheet| sheet.header = false),
        six("names none, force and centre", plain).change(|sheet| {
            *sheet = Sheet::new(&sheet.name, bay(ForceCop), plain);
            sheet.header = false;
        }),
        six("names Channel 1 to 12", {
            |channel, plate| {
                let names = ["fx", "fy", "fz", "mx", "my", "mz"];
                let at = names.iter().position(|n| *n == channel).unwrap_or(0);
                format!("Channel {}", (plate - 1) * 6 + at + 1)
            }
        }),
        six("names of another trade", |channel, plate| {
            let names = ["fx", "fy", "fz", "mx", "my", "mz"];
            let at = names.iter().position(|n| *n == channel).unwrap_or(0);
            format!("sig{}", (plate * 37 + at * 11) % 97)
        }),
    ]
}

fn languages() -> Vec<Sheet> {
    let time = |word: &'static str| {
        move |sheet: &mut Sheet| {
            for cell in &mut sheet.columns {
                if cell.is_time {
                    cell.header = word.to_owned();
                }
            }
        }
    };
    let plate = |name: &str, form: &'static str| six(name, pattern(form, LR));
    let force_cop = |name: &str, language| Sheet::new(name, bay(ForceCop), in_language(language));
    let vertical = |name: &str, language| Sheet::new(name, bay(VerticalCop), vertical_in(language));
    vec![
        six("German, left and right", in_language(&GERMAN)).change(time("Zeit")),
        plate("German, plates", "Platte {p} {c}").change(time("Zeit [s]")),
        force_cop("German, centre of pressure", &GERMAN).change(time("Zeit")),
        vertical("German, vertical only", &GERMAN).change(time("Zeit")),
        six("French, left and right", in_language(&FRENCH)).change(time("Temps")),
        plate("French, plates", "Plateforme {p} {c}").change(time("Temps (s)")),
        force_cop("French, centre of pressure", &FRENCH).change(time("Temps")),
        six("French, G and D", pattern("{c}_{s}", ["G", "D"])).change(time("Temps")),
        vertical("French, vertical only", &FRENCH).change(time("Temps")),
        six("Spanish, left and right", in_language(&SPANISH)).change(time("Tiempo")),
        plate("Spanish, plates", "Plataforma {p} {c}").change(time("Tiempo (s)")),
        force_cop("Spanish, centre of pressure", &SPANISH).change(time("Tiempo")),
        vertical("Spanish, vertical only", &SPANISH).change(time("Tiempo")),
        six("Japanese, left and right", in_language(&JAPANESE)).change(time("時間")),
        plate("Japanese, plates", "プレート{p} {c}").change(time("時間 [s]")),
        force_cop("Japanese, centre of pressure", &JAPANESE).change(time("時刻")),
        vertical("Japanese, vertical only", &JAPANESE).change(time("時間")),
        six("Japanese, full-width", |channel, plate| {
            let wide = |c: char| char::from_u32(u32::from(c) + 0xfee0).unwrap_or(c);
            plain(channel, plate).chars().map(wide).collect()
        }),
        six("Japanese, UTF-16", in_language(&JAPANESE)).change(|sheet| {
            sheet.encoding = Encoding::Utf16;
            sheet.delimiter = '\t';
        }),
        six("French, Windows-1252", in_language(&FRENCH)).change(|sheet| {
            sheet.encoding = Encoding::Windows;
            sheet.delimiter = ';';
            sheet.comma = true;
            sheet.preamble = vec!["Fréquence d'échantillonnage;200".to_owned()];
        }),
    ]
}

/// Centres of pressure counted from the laboratory's origin.
fn absolute(name: &str, kind: PlateKind, form: &'static str, sides: [&'static str; 2]) -> Sheet {
    let mut bay = bay(kind).moved((0.4, -0.3));
    let centres: Vec<Vec3> = bay.plates.iter().map(|plate| plate.centre_m).collect();
    bay.force_noise_n = 0.2;
    let mut sheet = Sheet::new(name, bay, pattern(form, sides));
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

fn centres() -> Vec<Sheet> {
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
    let bay = bay(ForceCop).moved((0.4, -0.3));
    let mut sheet = absolute(name, ForceCop, "{c}{p}", LR);
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

fn storages() -> Vec<Sheet> {
    let simm = [
        "name swing.mot",
        "datacolumns 19",
        "datarows 10",
        "range 0 3",
        "endheader",
    ];
    vec![
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

fn eights() -> Vec<Sheet> {
    let named = |name: &str, header: &dyn Fn(&str, usize) -> String| {
        Sheet::new(name, bay(EightChannel), header)
    };
    vec![
        named("eight Fx12_1", &|channel, plate| {
            format!("{}_{plate}", bare(channel, 1))
        }),
        named("eight 1FX12", &|channel, plate| {
            format!("{plate}{}", channel.to_uppercase())
        }),
        named("eight repeated", &bare),
        named("eight Plate 2 Fz3", &pattern("Plate {p} {c}", LR)),
    ]
}

fn units() -> Vec<Sheet> {
    use ForceUnit::{KilogramForce, Kilonewton, Newton, PoundForce};
    let row = |sheet: &mut Sheet| sheet.unit_row = true;
    let base = |name: &str| six(name, plain);
    let cops = |name: &str| Sheet::new(name, bay(ForceCop), plain);
    vec![
        base("units in a row, N mm")
            .in_units(Newton, NewtonMillimetre, Millimetre, Second)
            .change(row),
        base("units unsaid, N mm").in_units(Newton, NewtonMillimetre, Millimetre, Second),
        cops("units unsaid, mm").in_units(Newton, NewtonMillimetre, Millimetre, Second),
        cops("units unsaid, cm").in_units(Newton, NewtonMetre, Centimetre, Second),
        base("units unsaid, kN").in_units(Kilonewton, NewtonMetre, Metre, Second),
        base("units in a row, pounds")
            .in_units(PoundForce, PoundForceFoot, Metre, Second)
            .change(row),
        base("units unsaid, pounds").in_units(PoundForce, PoundForceFoot, Metre, Second),
        base("units in brackets, kgf")
            .in_units(KilogramForce, NewtonMetre, Metre, Second)
            .units_behind(" [%]"),
        base("units unsaid, kgf").in_units(KilogramForce, NewtonMetre, Metre, Second),
        base("units in round brackets").units_behind(" (%)"),
        base("units behind a stroke").units_behind(" / %"),
        cops("units behind a low line").units_behind("_%"),
        base("units in a row, moments mislabelled")
            .in_units(Newton, NewtonMillimetre, Millimetre, Second)
            .change(|sheet| {
                sheet.unit_row = true;
                for cell in &mut sheet.columns {
                    if cell.unit == "N.mm" {
                        cell.unit = "Nm";
                    }
                }
            }),
        base("units in a row, forces mislabelled")
            .in_units(KilogramForce, NewtonMetre, Metre, Second)
            .change(|sheet| {
                sheet.unit_row = true;
                for cell in &mut sheet.columns {
                    if cell.unit == "kgf" {
                        cell.unit = "N";
                    }
                }
            }),
        base("units in a row, volts").change(|sheet| {
            sheet.unit_row = true;
            for cell in &mut sheet.columns {
                if cell.unit == "N" {
                    cell.unit = "V";
                }
            }
        }),
        base("time in ms, said")
            .in_units(Newton, NewtonMetre, Metre, Millisecond)
            .change(row),
        base("time in ms, unsaid").in_units(Newton, NewtonMetre, Metre, Millisecond),
    ]
}

fn forms() -> Vec<Sheet> {
    let base = |name: &str| six(name, plain);
    vec![
        base("form semicolons, decimal commas").change(|sheet| {
            sheet.delimiter = ';';
            sheet.comma = true;
        }),
        base("form tabs, decimal commas").change(|sheet| {
            sheet.delimiter = '\t';
            sheet.comma = true;
        }),
        base("form blanks").change(|sheet| sheet.delimiter = ' '),
        base("form strokes").change(|sheet| sheet.delimiter = '|'),
        base("form UTF-8 with a mark, CR LF").change(|sheet| {
            sheet.encoding = Encoding::Utf8Mark;
            sheet.crlf = true;
        }),
        base("form UTF-16").change(|sheet| sheet.encoding = Encoding::Utf16),
        base("form lab text, 17 lines above").change(|sheet| {
            sheet.delimiter = '\t';
            sheet.unit_row = true;
            sheet.preamble = (0..15).map(|i| format!("Setting {i}:\tvalue\t")).collect();
            sheet.preamble.push("Rate (Hz):\t200".to_owned());
            sheet.preamble.push(String::new());
            sheet.columns[0].header = "abs time (s)".to_owned();
            sheet.columns[0].unit = "";
        }),
        base("form capture CSV with a further block").change(|sheet| {
            sheet.encoding = Encoding::Utf8Mark;
            sheet.crlf = true;
            sheet.unit_row = true;
            *sheet = sheet.clone().without_time();
            let n = sheet.truth.t_s.len();
            for (header, values) in [("Sub Frame", vec![0.0; n]), ("Frame", (1..=n).map(|i| i as f64).collect())] {
                let cell = super::Cell {
                    header: header.to_owned(),
                    unit: "",
                    values,
                    decimals: 0,
                    channel: None,
                    is_time: false,
                };
                sheet.columns.insert(0, cell);
            }
            sheet.preamble = vec!["Devices".to_owned(), "200".to_owned()];
            sheet.after = "\r\nTrajectories\r\n200\r\nFrame,Sub Frame,X,Y,Z\r\n,,mm,mm,mm\r\n1,0,1.5,2.5,3.5\r\n2,0,1.5,2.5,3.5\r\n".to_owned();
        }),
    ]
}

fn clocks() -> Vec<Sheet> {
    let base = |name: &str| six(name, plain);
    let above =
        |line: &'static str| move |sheet: &mut Sheet| sheet.preamble = vec![line.to_owned()];
    vec![
        base("clock: rate above")
            .without_time()
            .change(above("Rate (Hz): 200")),
        base("clock: rate above, German")
            .without_time()
            .change(above("Abtastrate: 200 Hz")),
        base("clock: rate above, Spanish")
            .without_time()
            .change(above("Frecuencia de muestreo: 200")),
        base("clock: none").without_time(),
        base("clock: times rounded till they repeat").change(|sheet| {
            sheet.columns[0].decimals = 2;
            sheet.rate = Some(RATE);
        }),
        base("clock: time of day").change(|sheet| {
            for value in &mut sheet.columns[0].values {
                *value += 534.25;
            }
        }),
        base("clock: disagrees with the rate above").change(above("Rate (Hz): 1000")),
        base("clock: counts samples").change(|sheet| {
            let n = sheet.truth.t_s.len();
            sheet.columns[0].values = (0..n).map(|i| i as f64).collect();
            sheet.rate = Some(RATE);
        }),
    ]
}

fn orders() -> Vec<Sheet> {
    let base = |name: &str| six(name, plain);
    vec![
        base("order reversed").change(|sheet| sheet.columns.reverse()),
        base("order by channel").change(|sheet| {
            sheet.columns.sort_by_key(|cell| {
                let order = cell.channel.map(|(plate, channel)| (channel, plate));
                (!cell.is_time, order)
            });
        }),
        base("order shuffled").change(|sheet| {
            let n = sheet.columns.len();
            let order: Vec<usize> = (0..n).map(|i| (i * 5 + 3) % n).collect();
            sheet.columns = order.iter().map(|i| sheet.columns[*i].clone()).collect();
        }),
        base("extra muscle signals")
            .with("EMG 1", "V", |i| (i as f64 * 0.7).sin())
            .with("EMG 2", "V", |i| (i as f64 * 0.9).cos()),
        base("extra marker columns")
            .with("LANK:X", "mm", |i| 120.0 + i as f64 * 0.01)
            .with("LANK:Y", "mm", |i| 310.0 + (i as f64 * 0.01).sin())
            .with("LANK:Z", "mm", |_| 80.0),
        base("extra joint forces")
            .with("Knee Fx", "N", |i| 90.0 + i as f64 * 0.1)
            .with("Knee Fz", "N", |_| 900.0),
        base("extra accelerations")
            .with("Acc X", "", |i| (i as f64 * 0.2).sin())
            .with("Acc Y", "", |_| 0.1)
            .with("Acc Z", "", |_| 9.8),
        base("extra trigger").with("Trigger", "V", |i| f64::from(i > 400) * 5.0),
        base("extra impact switch").with("Impact", "V", |i| f64::from(i > 400) * 5.0),
        base("extra totals")
            .with("Total Fz", "N", |_| 765.0)
            .with("Total Fx", "N", |_| 0.5),
    ]
}

fn bays() -> Vec<Sheet> {
    let of = |name: &str, bay: Bay| Sheet::new(name, bay, plain);
    let one = |kind| {
        let mut bay = bay(kind);
        bay.plates.truncate(1);
        bay.plates[0].foot = FootRole::Both;
        bay.plates[0].centre_m = Vec3::default();
        bay.plates[0].size_m = (1.2, 0.8);
        bay
    };
    let turned = |turn: f64, z_up: bool, on_player: bool| {
        let mut bay = Bay::two_plates(SixComponent, 0.0, turn, z_up);
        bay.rate_hz = RATE;
        bay.on_player = on_player;
        bay
    };
    let idle = || {
        let mut bay = bay(SixComponent);
        let mut third = bay.plates[0].clone();
        third.foot = FootRole::Unassigned;
        bay.plates.push(third);
        bay
    };
    let left = Swing {
        handed: Handed::Left,
        ..Swing::default()
    };
    vec![
        of("bay: one plate", one(SixComponent)),
        of("bay: one plate, vertical", one(VerticalCop)),
        of("bay: force on the plate", turned(0.0, true, false)),
        of("bay: z down", turned(0.0, false, true)),
        of(
            "bay: z down, force on the plate",
            turned(180.0, false, false),
        ),
        of("bay: turned a quarter", turned(90.0, true, true)),
        of("bay: nobody at first", {
            let mut bay = bay(SixComponent);
            bay.unloaded_s = Some(1.0);
            bay
        }),
        of("bay: a third plate idle", idle()).change(|sheet| {
            sheet.idle = vec![2];
            for cell in &mut sheet.columns {
                if cell.channel.is_some_and(|(plate, _)| plate == 2) {
                    cell.values.iter_mut().for_each(|value| *value *= 1e-3);
                }
            }
        }),
        of("bay: y up", bay(SixComponent)).change(|sheet| {
            // x, y, z of the plate go into the columns of z, x, y.
            let names = ["Fz", "Fx", "Fy", "Mz", "Mx", "My"];
            for cell in &mut sheet.columns {
                if let Some((plate, channel)) = cell.channel {
                    cell.header = format!("{}{}", names[channel], plate + 1);
                }
            }
        }),
        Sheet::of(
            "bay: left-handed, hand known",
            left,
            bay(SixComponent),
            |channel, plate| pattern("{s} {c}", ["Right", "Left"])(channel, plate),
        )
        .change(|sheet| sheet.handed = Some(Handed::Left)),
        of("bay: body's directions", bay(SixComponent)).change(|sheet| {
            for cell in &mut sheet.columns {
                cell.header = cell
                    .header
                    .replace("Fx", "Force ML ")
                    .replace("Fy", "Force AP ")
                    .replace("Fz", "Force vertical ");
            }
        }),
    ]
}
