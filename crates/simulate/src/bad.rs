//! Recordings with one fault each, as they come from real laboratories.

use footing_core::frame::Handed;
use footing_core::recording::{FootRole, PlateKind};
use serde_json::json;

use crate::bay::{Bay, Channels, sample, sample_ground};
use crate::csv_out::{N_MM, TableStyle, TableUnits, rig, table};
use crate::curve::unit_step;
use crate::ground::{Foot, GRAVITY_MPS2, Ground, Motion};
use crate::scenario::{OutFile, truth_file, with_noise};
use crate::swing::Swing;

/// A fault and what it is.
pub struct Fault {
    /// Scenario and file name.
    pub name: &'static str,
    /// What is wrong with the file, in words.
    pub what: &'static str,
    kind: Kind,
}

enum Kind {
    Truncated,
    MissingColumn,
    TimeBackwards,
    NotANumber,
    SwappedPlates,
    SwappedFeet,
    NotZeroed,
    Saturated,
    Gap,
    UnitSlip,
    /// Every channel times this.
    Gain(f64),
    Drift,
    StepsOff,
    OnePlate,
    /// The player stands this far toward the target and toeward of where they should, m.
    Beside(f64, f64),
    DeadChannel,
    Jitter,
    OtherHand,
    Clock,
    /// The target lies this far beside what the rig file says, degrees.
    Turned(f64),
    /// White noise on every force channel, N, and a twentieth of it on every moment channel, N·m.
    Noisy(f64),
    /// Channels from one index to another of one plate, or of both, times a factor.
    PlateGain(Option<usize>, usize, usize, f64),
}

/// Every fault there is a sample of.
pub const FAULTS: [Fault; 27] = [
    Fault {
        name: "bad-truncated",
        what: "the file ends in the middle of line 449",
        kind: Kind::Truncated,
    },
    Fault {
        name: "bad-missing-column",
        what: "the column Mz2, which the rig file names, is missing",
        kind: Kind::MissingColumn,
    },
    Fault {
        name: "bad-time-backwards",
        what: "from line 302 on, time has jumped back by half a second",
        kind: Kind::TimeBackwards,
    },
    Fault {
        name: "bad-not-a-number",
        what: "line 250 holds the text OVER in column Fy1",
        kind: Kind::NotANumber,
    },
    Fault {
        name: "bad-swapped-plates",
        what: "the two plates' cables are exchanged: lead columns hold the trail foot",
        kind: Kind::SwappedPlates,
    },
    Fault {
        name: "bad-swapped-feet",
        what: "the rig file gives the lead foot the plate further from the target",
        kind: Kind::SwappedFeet,
    },
    Fault {
        name: "bad-not-zeroed",
        what: "plate 1 was never zeroed: Fx reads 30 N, Fz 60 N and Mz 8 N·m too much",
        kind: Kind::NotZeroed,
    },
    Fault {
        name: "bad-saturated",
        what: "Fz1 is clipped at 80 % of its peak",
        kind: Kind::Saturated,
    },
    Fault {
        name: "bad-gap",
        what: "forty samples (0.2 s) are missing before line 302",
        kind: Kind::Gap,
    },
    Fault {
        name: "bad-unit-slip",
        what: "moments are in N·mm though the rig file says N·m",
        kind: Kind::UnitSlip,
    },
    Fault {
        name: "bad-kilonewtons",
        what: "forces are in kN and moments in kN·m though the rig file says N and N·m",
        kind: Kind::Gain(0.001),
    },
    Fault {
        name: "bad-gain",
        what: "every channel reads a tenth of what it should: the amplifiers' gain is wrong",
        kind: Kind::Gain(0.1),
    },
    Fault {
        name: "bad-kilograms",
        what: "forces are in kgf and moments in kgf·m though the rig file says N and N·m",
        kind: Kind::Gain(1.0 / GRAVITY_MPS2),
    },
    Fault {
        name: "bad-drift",
        what: "Fz1 drifts upward by 12 N a second",
        kind: Kind::Drift,
    },
    Fault {
        name: "bad-steps-off",
        what: "the player breaks off at the top and steps off the plates",
        kind: Kind::StepsOff,
    },
    Fault {
        name: "bad-one-plate",
        what: "both feet stand on plate 1, plate 2 is idle",
        kind: Kind::OnePlate,
    },
    Fault {
        name: "bad-across-plates",
        what: "the player stands 215 mm too far toward the target: the trail foot is at the gap",
        kind: Kind::Beside(0.215, 0.0),
    },
    Fault {
        name: "bad-near-edge",
        what: "the player stands 225 mm too far forward: the toes are at the plates' edge",
        kind: Kind::Beside(0.0, 0.225),
    },
    Fault {
        name: "bad-dead-channel",
        what: "Fy2 reads zero throughout",
        kind: Kind::DeadChannel,
    },
    Fault {
        name: "bad-jitter",
        what: "every other sample is 1 ms late",
        kind: Kind::Jitter,
    },
    Fault {
        name: "bad-other-hand",
        what: "the player is left-handed and read as right-handed",
        kind: Kind::OtherHand,
    },
    Fault {
        name: "bad-clock",
        what: "the time column runs at half speed: 100 Hz is written for 200 Hz",
        kind: Kind::Clock,
    },
    Fault {
        name: "bad-shear-gain",
        what: "Fx and Fy of both plates read four times too much",
        kind: Kind::PlateGain(None, 0, 2, 4.0),
    },
    Fault {
        name: "bad-twist-gain",
        what: "Mz1 reads ten times too much",
        kind: Kind::PlateGain(Some(0), 5, 6, 10.0),
    },
    Fault {
        name: "bad-weak-plate",
        what: "every channel of plate 2 reads 30 % of what it should",
        kind: Kind::PlateGain(Some(1), 0, 6, 0.3),
    },
    Fault {
        name: "bad-target",
        what: "the rig file gives a target direction 37° beside the target",
        kind: Kind::Turned(37.0),
    },
    Fault {
        name: "bad-noisy",
        what: "every force channel has 8 N of noise (standard deviation), every moment channel 0.4 N·m",
        kind: Kind::Noisy(8.0),
    },
];

/// The files of one faulty recording: table, rig (the same for all faults
/// but that of the rig itself) and the truth of the
/// swing that was made.
pub fn files(fault: &Fault, seed: u64) -> Vec<OutFile> {
    let swing = match fault.kind {
        Kind::OtherHand => Swing {
            handed: Handed::Left,
            ..Swing::default()
        },
        // both feet must find room on one plate
        Kind::OnePlate => Swing {
            stance_width_m: 0.30,
            ..Swing::default()
        },
        _ => Swing::default(),
    };
    let clean = with_noise(
        Bay::two_plates(PlateKind::SixComponent, 0.0, 0.0, true),
        200.0,
    );
    let style = TableStyle::default();
    let channels = sample(&swing, &clean, seed);
    let text = table(&clean, &channels, &style);
    let faulty = match fault.kind {
        Kind::Truncated => {
            let keep: usize = text.split_inclusive('\n').take(448).map(str::len).sum();
            text[..keep + 31].to_string()
        }
        Kind::MissingColumn => map_cells(&text, |_, cells| {
            cells.remove(12);
        }),
        Kind::TimeBackwards => map_cells(&text, |line, cells| {
            if line >= 302 {
                cells[0] = format!("{:.5}", (line - 2) as f64 / clean.rate_hz - 0.5);
            }
        }),
        Kind::NotANumber => map_cells(&text, |line, cells| {
            if line == 250 {
                cells[2] = "OVER".to_string();
            }
        }),
        Kind::SwappedPlates => {
            let mut exchanged = channels;
            exchanged.plates.swap(0, 1);
            table(&clean, &exchanged, &style)
        }
        Kind::NotZeroed => {
            let mut bay = clean.clone();
            bay.plates[0].offsets = [30.0, 0.0, 60.0, 0.0, 0.0, 8.0, 0.0, 0.0];
            table(&clean, &sample(&swing, &bay, seed), &style)
        }
        Kind::Saturated => table(&clean, &clipped(channels), &style),
        Kind::Gap => text
            .split_inclusive('\n')
            .enumerate()
            .filter(|(index, _)| !(301..341).contains(index))
            .map(|(_, line)| line)
            .collect(),
        // The table is sound; its rig file, or what is said of the player, is not.
        Kind::SwappedFeet | Kind::OtherHand | Kind::Turned(_) => text,
        Kind::Noisy(force_n) => {
            let noisy = Bay {
                force_noise_n: force_n,
                moment_noise_nm: force_n / 20.0,
                ..clean.clone()
            };
            table(&clean, &sample(&swing, &noisy, seed), &style)
        }
        Kind::Gain(factor) => {
            let finer = TableStyle {
                decimals: 4,
                ..style
            };
            let small = scaled(channels, |_| true, |_| true, factor);
            // times as in the others
            map_cells(&table(&clean, &small, &finer), |line, cells| {
                if line > 1 {
                    cells[0] = format!("{:.5}", (line - 2) as f64 / clean.rate_hz);
                }
            })
        }
        Kind::Drift => {
            let mut drifting = channels;
            for (value, t) in drifting.plates[0][2].iter_mut().zip(&drifting.t_s) {
                *value += 12.0 * t;
            }
            table(&clean, &drifting, &style)
        }
        Kind::StepsOff => {
            let motion = Motion::new(&swing);
            let left = |t: f64| {
                let on = 1.0 - unit_step((t - swing.top_s()) / 0.4)[0];
                let Ground { lead, trail } = motion.ground(t);
                let lighter = |foot: Foot| Foot {
                    ft_n: foot.ft_n * on,
                    fa_n: foot.fa_n * on,
                    fz_n: foot.fz_n * on,
                    free_moment_nm: foot.free_moment_nm * on,
                    ..foot
                };
                Ground {
                    lead: lighter(lead),
                    trail: lighter(trail),
                }
            };
            let channels = sample_ground(left, swing.handed, swing.end_s(), &clean, seed);
            table(&clean, &channels, &style)
        }
        Kind::OnePlate => table(&clean, &on_one_plate(&swing, &clean, seed), &style),
        Kind::Beside(t_m, a_m) => {
            let mut bay = clean.clone();
            // a right-handed player with the target along +x faces −y
            bay.stance_centre_m = (t_m, -a_m);
            table(&clean, &sample(&swing, &bay, seed), &style)
        }
        Kind::DeadChannel => {
            let mut dead = channels;
            dead.plates[1][1].fill(0.0);
            table(&clean, &dead, &style)
        }
        Kind::Jitter => map_cells(&text, |line, cells| {
            if line > 1 && line % 2 == 0 {
                cells[0] = format!("{:.5}", (line - 2) as f64 / clean.rate_hz + 0.001);
            }
        }),
        Kind::Clock => map_cells(&text, |line, cells| {
            if line > 1 {
                cells[0] = format!("{:.5}", 2.0 * (line - 2) as f64 / clean.rate_hz);
            }
        }),
        Kind::PlateGain(plate, from, to, factor) => {
            let wrong = scaled(
                channels,
                |index| plate.is_none_or(|only| only == index),
                |channel| (from..to).contains(&channel),
                factor,
            );
            table(&clean, &wrong, &style)
        }
        Kind::UnitSlip => {
            let slipped = TableStyle {
                units: TableUnits {
                    moment: N_MM,
                    ..TableUnits::SI
                },
                ..style
            };
            table(&clean, &channels, &slipped)
        }
    };
    let mut said = clean.clone();
    match fault.kind {
        Kind::SwappedFeet => {
            said.plates[0].foot = FootRole::Trail;
            said.plates[1].foot = FootRole::Lead;
        }
        Kind::Turned(by_deg) => said.target_azimuth_deg += by_deg,
        _ => {}
    }
    let rig_name = if said == clean {
        "bad.rig.json".to_string()
    } else {
        format!("{}.rig.json", fault.name)
    };
    let csv_name = format!("{}.csv", fault.name);
    vec![
        OutFile::new(rig_name, rig("Bay of the bad samples", &said, &style)),
        OutFile::new(csv_name.clone(), faulty),
        OutFile::new(
            format!("{}.truth.json", fault.name),
            truth_file(
                &[&csv_name],
                &swing,
                &clean,
                json!({ "scenario": fault.name, "seed": seed, "fault": fault.what }),
            ),
        ),
    ]
}

/// Changes the cells of each line; lines are counted from 1, the header is line 1.
fn map_cells(text: &str, change: impl Fn(usize, &mut Vec<String>)) -> String {
    text.lines()
        .enumerate()
        .map(|(index, line)| {
            let mut cells: Vec<String> = line.split(',').map(str::to_string).collect();
            change(index + 1, &mut cells);
            cells.join(",") + "\n"
        })
        .collect()
}

/// The channels of the chosen plates and kinds times a factor.
fn scaled(
    mut channels: Channels,
    plates: impl Fn(usize) -> bool,
    kinds: impl Fn(usize) -> bool,
    factor: f64,
) -> Channels {
    for (_, plate) in channels
        .plates
        .iter_mut()
        .enumerate()
        .filter(|(index, _)| plates(*index))
    {
        for (_, values) in plate
            .iter_mut()
            .enumerate()
            .filter(|(channel, _)| kinds(*channel))
        {
            values.iter_mut().for_each(|value| *value *= factor);
        }
    }
    channels
}

/// Both feet on the first plate, noise alone on the second.
fn on_one_plate(swing: &Swing, clean: &Bay, seed: u64) -> Channels {
    let mut bay = clean.clone();
    bay.plates[0].foot = FootRole::Both;
    let centre = bay.plates[0].centre_m;
    bay.stance_centre_m = (centre.x, centre.y);
    let silent = Bay {
        force_noise_n: 0.0,
        moment_noise_nm: 0.0,
        ..bay.clone()
    };
    let mut channels = sample(swing, &bay, seed);
    let still = sample(swing, &silent, seed);
    for (values, without) in channels.plates[1].iter_mut().zip(&still.plates[1]) {
        for (value, exact) in values.iter_mut().zip(without) {
            *value -= exact;
        }
    }
    channels
}

fn clipped(mut channels: Channels) -> Channels {
    let fz = &mut channels.plates[0][2];
    let limit = 0.8 * fz.iter().fold(0.0_f64, |peak, v| peak.max(*v));
    for value in fz.iter_mut() {
        *value = value.min(limit);
    }
    channels
}
