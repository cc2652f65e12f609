//! The corpus: habits of exports, one a table.

use super::names::{
    FRENCH, GERMAN, JAPANESE, SPANISH, bare, in_language, pattern, plain, vertical_in,
};
use super::{Encoding, RATE, Sheet, bay};
use footing_core::frame::Handed;
use footing_core::geometry::Vec3;
use footing_core::recording::{FootRole, PlateKind};
use footing_simulate::{Bay, Swing};

use PlateKind::{EightChannel, ForceCop, SixComponent, VerticalCop};

pub const LR: [&str; 2] = ["Left", "Right"];

use super::places::{centres, storages};
use super::units::units;

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

pub fn six(name: &str, header: impl Fn(&str, usize) -> String) -> Sheet {
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
        sided("names Fx (A)", "{c} ({s})", ["A", "B"]),
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
        six("names of feet in a row above, blank cells behind", bare).change(|sheet| {
            let mut groups = vec![String::new(); sheet.columns.len() + 2];
            for (foot, start) in [("Left foot", 1), ("Right foot", 7)] {
                groups[start] = format!("{foot} - Force");
                groups[start + 3] = format!("{foot} - Moment");
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
        six("eight, and what was made of them", bare).change(|sheet| {
            let eight = Sheet::new("", bay(EightChannel), bare);
            for plate in 0..2 {
                // Three forces, eight sensors, three moments, plate after plate.
                let sensors = eight
                    .columns
                    .iter()
                    .filter(|cell| cell.channel.is_some_and(|(p, _)| p == plate));
                let sensors: Vec<_> = sensors
                    .map(|cell| super::Cell {
                        channel: None,
                        ..cell.clone()
                    })
                    .collect();
                let at = 1 + plate * 14 + 3;
                sheet.columns.splice(at..at, sensors);
            }
        }),
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
        base("form an instrument's text, a word and a number a column above").change(|sheet| {
            sheet.delimiter = '\t';
            sheet.unit_row = true;
            sheet.columns[0].header = "abs time".to_owned();
            let numbers = |number: &str| format!("\t{number}").repeat(sheet.columns.len() - 1);
            sheet.preamble = [("Samples (#):", "901"), ("Rate (Hz):", "200.000000"), ("First sample time (s):", "0.000000")]
                .map(|(word, number)| word.to_owned() + &numbers(number))
                .to_vec();
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
        base("extra impact switch")
            .with("Impact", "V", |i| f64::from(i > 400) * 5.0)
            .change(|sheet| sheet.impact = Some(("Impact", 401))),
        base("extra impact switch, German, in millivolts behind a stroke")
            .with("Treffmoment / mV", "mV", |i| f64::from(i >= 377) * 5000.0)
            .change(|sheet| sheet.impact = Some(("Treffmoment / mV", 377))),
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
        of("bay: both plates together once more, unnamed", idle())
            .change(|sheet| sheet.idle = vec![2]),
        of("bay: both plates together once more, before an idle one", {
            let mut bay = idle();
            bay.plates.push(bay.plates[0].clone());
            bay
        })
        .change(|sheet| {
            sheet.idle = vec![2, 3];
            for cell in &mut sheet.columns {
                if cell.channel.is_some_and(|(plate, _)| plate == 3) {
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
