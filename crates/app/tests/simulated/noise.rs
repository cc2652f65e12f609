//! Measures under noise against the simulator's truth, measure by measure.
//!
//! "2 N of noise" is white noise on what a plate measures, per kind of plate, as large as 2 N
//! (standard deviation) on its noisiest component of force:
//!
//! - six components, force and centre of pressure: 2 N on each component of force and 0.1 N·m on
//!   each moment of each plate;
//! - eight channels: 1 N on each of the eight sensors, independent of one another. They sum to 2 N
//!   vertically and 1.4 N along each horizontal axis, and, over levers of 0.15 and 0.2 m, to
//!   0.3–0.5 N·m: such a plate's moments are noisier than those of the other kinds.

use crate::common::{BAYS, measured, tolerance};
use footing_app::analysis::{Handed, Reference, Settings};
use footing_core::recording::PlateKind;
use footing_simulate::{Bay, Swing};
use std::fmt::Write;

const KINDS: [PlateKind; 3] = [
    PlateKind::SixComponent,
    PlateKind::ForceCop,
    PlateKind::EightChannel,
];

/// A bay with 2 N of noise: see the module.
fn noisy(mut bay: Bay) -> Bay {
    let sums_of_sensors = bay.plates[0].kind == PlateKind::EightChannel;
    bay.force_noise_n = if sums_of_sensors { 1.0 } else { 2.0 };
    bay.moment_noise_nm = 0.1;
    bay
}

/// What is promised under 2 N of noise.
enum Held {
    /// So many times the tolerance without noise.
    Times(f64),
    /// This much.
    Within(f64),
}

/// What each measure is held to under 2 N of noise, and, where that is more than three times the
/// tolerance, why no more can be known.
fn held(id: &str, eight: bool) -> (Held, &'static str) {
    let presses = id.starts_with("cop_angle") || id.contains("_cop_a_");
    match id {
        "torque_negative_duration_s" => (
            Held::Within(0.05),
            "after takeaway torque leaves zero so slowly that its sign is beneath the noise: here for up to 20 ms, in the Harbour Range samples up to 50 ms",
        ),
        "torque_min_time_s" => (
            Held::Times(5.0),
            "the lowest torque is the flattest extreme",
        ),
        "cop_angle_min_deg" | "cop_angle_max_deg" => (
            Held::Times(5.0),
            "a centre of pressure is a moment over a load, and where a foot is light noise makes the extreme",
        ),
        _ if presses && eight => (
            Held::Times(5.0),
            "a centre of pressure is a moment over a load, and moments summed from eight sensors are noisier",
        ),
        _ if eight && (id.starts_with("torque_min_nm") || id.starts_with("torque_max_nm")) => (
            Held::Times(4.0),
            "torque summed from eight sensors is noisier, and an extreme is where noise adds to it",
        ),
        _ => (Held::Times(3.0), ""),
    }
}

/// How far from its truth a measure may be under 2 N of noise.
pub fn allowed(id: &str, expected: f64, eight: bool) -> f64 {
    match held(id, eight).0 {
        Held::Times(times) => times * tolerance(id, expected),
        Held::Within(most) => most,
    }
}

/// One measure of one noisy swing.
struct Case {
    id: &'static str,
    eight: bool,
    error: f64,
    tolerance: f64,
    allowed: f64,
    where_: String,
}

/// Every kind of plate × bay rotation × turn of the plates × z up or down × sense × hand, each
/// with a swing, a reference point and noise of its own, and 60 swings more in an ordinary bay.
fn cases() -> Vec<Case> {
    let mut bays = Vec::new();
    for kind in KINDS {
        for (azimuth, turn) in BAYS {
            for z_up in [true, false] {
                for on_player in [true, false] {
                    for handed in [Handed::Right, Handed::Left] {
                        let mut bay = Bay::two_plates(kind, azimuth, turn, z_up);
                        bay.on_player = on_player;
                        let of = format!(
                            "{} {azimuth}° turn {turn}° z_up {z_up} on_player {on_player}",
                            kind.name()
                        );
                        bays.push((bay, Some(handed), of));
                    }
                }
            }
        }
    }
    assert_eq!(bays.len(), 120);
    bays.extend((0..60).map(|_| (Bay::default(), None, "ordinary bay".to_owned())));
    let mut all = Vec::new();
    for (seed, (bay, handed, of)) in (0_u64..).zip(bays) {
        let mut swing = Swing::varied(seed);
        swing.handed = handed.unwrap_or(swing.handed);
        let about = [
            Reference::StanceCentre,
            Reference::Com,
            Reference::CombinedCop,
        ][seed as usize % 3];
        let settings = Settings {
            about,
            ..Settings::default()
        };
        let eight = bay.plates[0].kind == PlateKind::EightChannel;
        let bay = noisy(bay);
        let (analysis, truth) = measured(&swing, &bay, seed, &settings);
        for measure in &analysis.measures {
            let known = match measure.id {
                "cop_angle_at_address_deg" => "cop_angle_at_takeaway_deg",
                id => id,
            };
            let where_ = format!("{of}, seed {seed}, about {}", about.name());
            let (got, expected) = match (&measure.value, truth.get(known)) {
                (Ok(got), Some(expected)) => (*got, expected),
                (Err(_), None) => continue,
                (got, expected) => panic!("{}: {got:?}, truth {expected:?}, {where_}", measure.id),
            };
            all.push(Case {
                id: measure.id,
                eight,
                error: (got - expected).abs(),
                tolerance: tolerance(measure.id, expected),
                allowed: allowed(measure.id, expected, eight),
                where_,
            });
        }
    }
    all
}

fn quantile(sorted: &[f64], q: f64) -> f64 {
    sorted[((sorted.len() - 1) as f64 * q).round() as usize]
}

/// The unit of an id, as the table prints it, and what makes a value of it readable.
fn unit(id: &str) -> (&'static str, f64) {
    let units = [
        ("_nm_per_kg", "N·m/kg", 1.0),
        ("_nms_per_kg", "N·m·s/kg", 1.0),
        ("_nms", "N·m·s", 1.0),
        ("_nm", "N·m", 1.0),
        ("_deg", "°", 1.0),
        ("_kg", "kg", 1.0),
        ("_bw", "BW", 1.0),
        ("_mm", "mm", 1.0),
        ("_n", "N", 1.0),
        ("_s", "ms", 1000.0),
    ];
    units
        .into_iter()
        .find(|(end, ..)| id.ends_with(end))
        .map_or(("", 1.0), |(_, unit, times)| (unit, times))
}

fn table(cases: &[Case]) -> String {
    let mut out = String::from(
        "| measure | unit | six components, force and CoP: 95th percentile | largest | beyond 3 tolerances | eight channels: 95th percentile | largest | beyond 3 tolerances |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n",
    );
    for spec in footing_core::measures::CATALOGUE {
        let (unit, times) = unit(spec.id);
        let mut row = format!("| {} | {unit} |", spec.id);
        for eight in [false, true] {
            let of: Vec<&Case> = cases
                .iter()
                .filter(|c| c.id == spec.id && c.eight == eight)
                .collect();
            let mut sizes: Vec<f64> = of.iter().map(|c| c.error * times).collect();
            sizes.sort_by(f64::total_cmp);
            let beyond = of.iter().filter(|c| c.error > 3.0 * c.tolerance).count();
            let print = |v: f64| {
                if times > 1.0 {
                    format!("{v:.1}")
                } else if v < 0.1 {
                    format!("{v:.4}")
                } else {
                    format!("{v:.2}")
                }
            };
            write!(
                row,
                " {} | {} | {beyond} of {} |",
                print(quantile(&sizes, 0.95)),
                print(quantile(&sizes, 1.0)),
                of.len()
            )
            .expect("a string takes any text");
        }
        out.push_str(&row);
        out.push('\n');
    }
    out
}

fn document(cases: &[Case]) -> String {
    let mut beyond = String::new();
    let mut told: Vec<&str> = Vec::new();
    for spec in footing_core::measures::CATALOGUE {
        for (eight, of) in [(false, "any plate"), (true, "eight channels")] {
            let (limit, why) = held(spec.id, eight);
            let limit = match limit {
                _ if why.is_empty() || told.contains(&spec.id) => continue,
                Held::Times(times) => format!("{times} tolerances"),
                Held::Within(most) => format!("{:.0} ms", 1000.0 * most),
            };
            told.push(spec.id);
            writeln!(beyond, "| {} | {of} | {limit} | {why} |", spec.id)
                .expect("a string takes any text");
        }
    }
    format!(
        "# How far measures are from the truth under noise\n\n\
Errors on simulated swings (1000 Hz, two plates, 50 Hz low-pass, events given): every kind of plate,\n\
bay rotation, plate orientation, sense of force and hand, each with a swing and noise of its own, 180\n\
in all. Without noise every measure lies within its tolerance: half a per cent, or 0.3 N·m,\n\
0.05 N·m·s, 0.1°, 2 ms, 1 N, 0.3 mm, 0.002 otherwise, whichever is larger; the time below zero, where it\n\
is low-passed, within 3 ms, as a low-pass of 50 Hz shows a movement so much before it begins.\n\n\
Here there are 2 N of white noise (standard deviation) on the noisiest component of each plate's\n\
force: 2 N on each component and 0.1 N·m on each moment of plates with six components or with force and\n\
centre of pressure; 1 N on each of eight sensors, which sum to 2 N vertically, 1.4 N horizontally and\n\
0.3–0.5 N·m. A good laboratory's plates have less than half of that.\n\n\
The promise is three tolerances. What cannot be held to that, and why:\n\n\
| measure | plates | held to | why |\n| --- | --- | --- | --- |\n{beyond}\n\
The place of the lowest and the highest torque is read from a curve fitted to the flat stretch around\n\
it, and the time below zero without believing a sign that is beneath the noise (`measures/flat.rs`);\n\
read from single samples they would be off by up to 35, 20 and 55 ms.\n\n\
What the errors are:\n\n{}",
        table(cases)
    )
}

/// With 2 N of noise (see the module) every measure is within what it is held to, and the committed
/// table is what the code does today. To rewrite it after a change, run
/// `FOOTING_REWRITE=1 cargo test -p footing-app --test simulated noise` and read the diff.
#[test]
fn noise_of_two_newtons_stays_within_what_is_promised() {
    let cases = cases();
    let wrong: Vec<String> = cases
        .iter()
        .filter(|c| c.error > c.allowed)
        .map(|c| {
            format!(
                "{}: off by {:.4}, allowed {:.4}, {}",
                c.id, c.error, c.allowed, c.where_
            )
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // What is held to more than three tolerances is so in most swings too.
    for spec in footing_core::measures::CATALOGUE {
        let of = || cases.iter().filter(|c| c.id == spec.id);
        let beyond = of().filter(|c| c.error > 3.0 * c.tolerance).count();
        assert!(
            beyond * 20 <= of().count(),
            "{}: {beyond} of {}",
            spec.id,
            of().count()
        );
    }
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../core/docs/measure-errors.md"
    );
    let now = document(&cases);
    if std::env::var_os("FOOTING_REWRITE").is_some() {
        std::fs::write(path, &now).expect("the table can be written");
    }
    let committed = std::fs::read_to_string(path).expect("the table is committed");
    // not compared by assert_eq, which would print both tables in full
    assert!(
        committed == now,
        "docs/measure-errors.md no longer says what the code does: rewrite it and read the diff"
    );
}
