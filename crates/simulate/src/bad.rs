//! Recordings with one fault each, as they come from real laboratories.

use footing_core::frame::Handed;
use footing_core::geometry::Vec3;
use footing_core::recording::{FootRole, PlateKind};
use serde_json::json;

use crate::bad_channels::{
    bobbing, clipped, dropped_out, map_cells, on_one_plate, scaled, stepping_off,
};
use crate::bay::{Bay, sample};
use crate::csv_out::{N_MM, TableStyle, TableUnits, rig, table};
use crate::ground::GRAVITY_MPS2;
use crate::scenario::{OutFile, truth_file, with_noise};
use crate::session::half_move;
use crate::swing::Swing;

/// What plate 1 reads with nobody on it before it was ever zeroed.
const NEVER_ZEROED: [f64; 8] = [30.0, 0.0, 60.0, 0.0, 0.0, 8.0, 0.0, 0.0];

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
    /// The rig file puts the plates this much further apart, m.
    Apart(f64),
    DropsOut,
    /// Read with nobody on the plates first, and never zeroed.
    OffsetSeen,
    ToLead,
    Bobs,
    HalfMove,
    Frozen,
}

/// Every fault there is a sample of.
pub const FAULTS: [Fault; 37] = [
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
    Fault {
        name: "bad-apart",
        what: "the rig file puts the plates 0.6 m further apart than they lie",
        kind: Kind::Apart(0.6),
    },
    Fault {
        name: "bad-weak-lead-plate",
        what: "every channel of plate 1 reads 28 % of what it should",
        kind: Kind::PlateGain(Some(0), 0, 6, 0.28),
    },
    Fault {
        name: "bad-dropout",
        what: "for 25 ms of the backswing both plates read 15 % of what they should",
        kind: Kind::DropsOut,
    },
    Fault {
        name: "bad-twist-unit",
        what: "Mz of both plates is in N·mm though the rig file says N·m",
        kind: Kind::PlateGain(None, 5, 6, 1000.0),
    },
    Fault {
        name: "bad-heavy",
        what: "every channel reads 13 % too much: a player who is not this one, or a wrong calibration",
        kind: Kind::PlateGain(None, 0, 6, 1.13),
    },
    Fault {
        name: "bad-offset",
        what: "plate 1, never zeroed, reads Fx 30 N, Fz 60 N and Mz 8 N·m with nobody on it, as the first 0.8 s show",
        kind: Kind::OffsetSeen,
    },
    Fault {
        name: "bad-frozen",
        what: "Mx and My are in kN·m though the rig file says N·m: the centre of pressure never moves",
        kind: Kind::Frozen,
    },
    Fault {
        name: "bad-load-shift",
        what: "the player goes to the lead foot in the backswing, rightly measured",
        kind: Kind::ToLead,
    },
    Fault {
        name: "bad-restless",
        what: "the player never stands still: the weight bobs by 60 N on each plate",
        kind: Kind::Bobs,
    },
    Fault {
        name: "bad-half-move",
        what: "no swing: half back, and slowly home again",
        kind: Kind::HalfMove,
    },
];

/// The same plates with their moments about the middle of the surface.
fn moments_at_surface(bay: &Bay) -> Bay {
    let mut bay = bay.clone();
    for plate in &mut bay.plates {
        plate.moment_point_m = Vec3::default();
    }
    bay
}

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
        Kind::ToLead => Swing {
            share_top: 0.72,
            share_impact: 0.60,
            ..Swing::default()
        },
        Kind::HalfMove => half_move(&Swing::default()),
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
            bay.plates[0].offsets = NEVER_ZEROED;
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
        Kind::SwappedFeet
        | Kind::OtherHand
        | Kind::Turned(_)
        | Kind::Apart(_)
        | Kind::ToLead
        | Kind::HalfMove => text,
        Kind::Frozen => {
            let at_surface = moments_at_surface(&clean);
            let frozen = scaled(
                sample(&swing, &at_surface, seed),
                |_| true,
                |channel| (3..5).contains(&channel),
                0.001,
            );
            table(&at_surface, &frozen, &style)
        }
        Kind::DropsOut => table(&clean, &dropped_out(channels, &swing), &style),
        Kind::Bobs => table(&clean, &bobbing(channels), &style),
        Kind::OffsetSeen => {
            let mut bay = clean.clone();
            bay.unloaded_s = Some(0.8);
            bay.plates[0].offsets = NEVER_ZEROED;
            table(&clean, &sample(&swing, &bay, seed), &style)
        }
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
        Kind::StepsOff => table(&clean, &stepping_off(&swing, &clean, seed), &style),
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
        Kind::Frozen => said = moments_at_surface(&said),
        Kind::Apart(by_m) => {
            let along = said.plates[0].centre_m.x - said.plates[1].centre_m.x;
            said.plates[0].centre_m.x += 0.5 * by_m.copysign(along);
            said.plates[1].centre_m.x -= 0.5 * by_m.copysign(along);
        }
        _ => {}
    }
    let rig_name = if said == clean {
        "bad.rig.json".to_string()
    } else {
        format!("{}.rig.json", fault.name)
    };
    // Where the truth's clock begins.
    let on = match fault.kind {
        Kind::OffsetSeen => Bay {
            unloaded_s: Some(0.8),
            ..clean.clone()
        },
        _ => clean.clone(),
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
                &on,
                json!({ "scenario": fault.name, "seed": seed, "fault": fault.what }),
            ),
        ),
    ]
}
